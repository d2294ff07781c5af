//! Stacks: flat piles, rows on edge, rolls, leaning rows.
//!
//! A leaning row of n pieces t thick, edge e rising at θ from the floor: the last piece's foot lies
//! (n − 1)·t / sin θ behind the first one's, its head e·cos θ farther, its back t·sin θ ≤ t / sin θ more;
//! so n·t / sin θ + e·cos θ is long enough, and e·sin θ + t·cos θ high enough.

use super::sine::{BILLION, cosine_up, sine_down, sine_up};
use super::{Least, div_up, mul, several};
use crate::job::{Face, Stack, Stand};
use crate::plan::Compartment;

/// Tenths of a billionth: 2/√3 rounded up (a hexagon's width over corners by that over flats), π/4 and √3/2
/// rounded down (area of a disc and of a hexagon by width squared).
const OVER_CORNERS_UP: i128 = 11_547_005_384;
const DISC_DOWN: i128 = 7_853_981_633;
const HEXAGON_DOWN: i128 = 8_660_254_037;
const WHOLE: i128 = 10_000_000_000;

/// How thick any number of pieces is: `height` is shared evenly by `of` pieces.
struct Pieces {
    height: i128,
    of: i128,
    /// Pieces in the compartment, wanted spare ones included.
    held: i128,
    /// Pieces of it that are there only because room for more is wanted.
    spare: i128,
    /// Pieces in one of the part's own terms.
    term: i128,
}

impl Pieces {
    fn thick(&self, count: i128) -> i128 {
        div_up(mul(self.height, count), self.of)
    }

    /// Single pieces are not known: the stack counts as slices of a nanometre, told in mm.
    fn is_block(&self) -> bool {
        self.term != 1
    }
}

/// A measured height beats count × each; a sleeve adds two films to a piece.
fn pieces(s: &Stack) -> Option<Pieces> {
    let each = s.each.map(|e| i128::from(e.nm()) + s.sleeve.map_or(0, |v| 2 * i128::from(v.film.nm())));
    let height = s.height.map(|h| i128::from(h.nm()));
    let (height, of) = match (height, s.count, each) {
        (Some(height), Some(count), _) => (height, i128::from(count)),
        // To the nearest whole piece.
        (Some(height), None, Some(each)) => (height, ((height + each / 2) / each.max(1)).max(1)),
        (Some(height), None, None) => {
            return Some(Pieces { height: 1, of: 1, held: height, spare: 0, term: 1_000_000 });
        }
        (None, Some(count), Some(each)) => (mul(each, i128::from(count)), i128::from(count)),
        (None, _, _) => return None,
    };
    let spare = i128::from(s.spare_count);
    Some(Pieces { height, of, held: of.saturating_add(spare), spare, term: 1 })
}

fn face(s: &Stack) -> Face {
    s.sleeve.map_or(s.face, |v| v.face)
}

/// Face × thickness in nm³, sleeves counted, wanted spare pieces not.
pub(super) fn volume(s: &Stack) -> Option<i128> {
    let pieces = pieces(s)?;
    let square = |l: crate::length::Length| mul(i128::from(l.nm()), i128::from(l.nm()));
    let area = match face(s) {
        Face::Rectangle(a, b) => mul(i128::from(a.nm()), i128::from(b.nm())),
        Face::Disc(across) => mul(square(across), DISC_DOWN) / WHOLE,
        Face::Hexagon(flats) => mul(square(flats), HEXAGON_DOWN) / WHOLE,
    };
    Some(mul(area, pieces.thick(pieces.held - pieces.spare)))
}

pub(super) fn terms(s: &Stack) -> &'static str {
    match (pieces(s), s.sleeve) {
        (Some(p), _) if p.is_block() => "mm of stack",
        (_, Some(_)) => "sleeved pieces",
        (_, None) => "pieces",
    }
}

/// Thickness of one piece in nm, rounded down.
pub(super) fn one(s: &Stack) -> Option<i64> {
    let pieces = pieces(s).filter(|p| !p.is_block())?;
    i64::try_from(pieces.height / pieces.of.max(1)).ok()
}

/// The rooms that standing as the compartment says may take, with `more` of the part's own terms beyond.
/// Their order does not depend on `more`.
pub(super) fn ways(s: &Stack, c: &Compartment, more: i128) -> Result<Vec<Least>, String> {
    let known = [
        ("flat", Stand::Flat, "piles"),
        ("long-edge", Stand::LongEdge, "rows"),
        ("short-edge", Stand::ShortEdge, "rows"),
        ("roll", Stand::Roll, "rows"),
        ("lean", Stand::Lean, "rows"),
    ];
    let Some((_, stand, what)) = known.into_iter().find(|(word, _, _)| *word == c.standing) else {
        return Err(format!("a stack does not stand \"{}\"", c.standing));
    };
    if !s.stand.contains(&stand) {
        return Err(format!("the brief does not let it stand \"{}\"", c.standing));
    }
    let pieces = pieces(s).ok_or("its thickness is not known")?;
    let most = if pieces.is_block() { 1 } else { i128::from(s.piles) };
    let piles = several(&c.piles, what).filter(|n| *n <= most);
    let piles = piles.ok_or_else(|| format!("\"{}\" is not one of at most {most} {what}", c.piles))?;
    let least_lean = if stand == Stand::Lean && !pieces.is_block() { s.least_lean } else { 90 };
    if !(least_lean..=90).contains(&c.lean_deg) || (stand == Stand::Lean && pieces.is_block()) {
        return Err(format!("it may not lean at {} degrees", c.lean_deg));
    }
    let held = pieces.held.saturating_add(mul(more, pieces.term));
    let in_one = div_up(held, piles);
    let (a, b) = bounding(face(s));
    let ease = i128::from(s.ease.nm());
    let mut all = Vec::new();
    if stand == Stand::Flat {
        flat(s, (a + ease, b + ease), piles, pieces.thick(in_one), &mut all);
    } else {
        for (across, edge) in edges(s, stand, a, b) {
            // T·(1 + browse) / sin θ, then the overhang of the edge: each rounded up by itself.
            let run = mul(mul(pieces.thick(in_one), 1000 + i128::from(s.browse)), BILLION);
            let run = div_up(run, mul(1000, sine_down(c.lean_deg)));
            let length = run.saturating_add(div_up(mul(edge, cosine_up(c.lean_deg)), BILLION));
            let rise = mul(edge, sine_up(c.lean_deg)) + mul(pieces.thick(1), cosine_up(c.lean_deg));
            let sides = [mul(across + ease, piles), length, div_up(rise, BILLION)];
            all.push(Least::Block { sides, row: true });
        }
    }
    Ok(all.into_iter().map(|least| least.turned(c.turn)).collect())
}

/// Flat piles in p × q. From a side every second pile is in reach, so p or q is at most 2; finger room lies
/// along a side that at most two piles stand away from.
fn flat(s: &Stack, (w, d): (i128, i128), piles: i128, height: i128, all: &mut Vec<Least>) {
    let finger = i128::from(s.finger.nm());
    for p in (1..=piles).filter(|p| piles % p == 0) {
        let q = piles / p;
        if p.min(q) > 2 {
            continue;
        }
        let mut push = |w: i128, d: i128| all.push(Least::Block { sides: [w, d, height], row: false });
        if finger == 0 || p <= 2 {
            push(mul(w, p) + finger, mul(d, q));
        }
        if finger != 0 && q <= 2 {
            push(mul(w, p), mul(d, q) + finger);
        }
    }
}

/// Box about a face as it lies: a hexagon over flats, then over corners.
fn bounding(face: Face) -> (i128, i128) {
    match face {
        Face::Rectangle(a, b) => (i128::from(a.nm()), i128::from(b.nm())),
        Face::Disc(across) => (i128::from(across.nm()), i128::from(across.nm())),
        Face::Hexagon(flats) => {
            let flats = i128::from(flats.nm());
            (flats, div_up(mul(flats, OVER_CORNERS_UP), WHOLE))
        }
    }
}

/// Edges that may lie across the row, each with the one that rises.
fn edges(s: &Stack, stand: Stand, a: i128, b: i128) -> Vec<(i128, i128)> {
    let (short, long) = (a.min(b), a.max(b));
    let (on_long, on_short) = ((long, short), (short, long));
    let round = !matches!(face(s), Face::Rectangle(..));
    match stand {
        Stand::Roll if round => vec![(b, a), (a, b)],
        Stand::LongEdge if !round => vec![on_long],
        Stand::ShortEdge if !round => vec![on_short],
        Stand::Lean if !round => {
            // It leans on an edge on which it may stand, on either where none is named.
            let (may_long, may_short) =
                (s.stand.contains(&Stand::LongEdge), s.stand.contains(&Stand::ShortEdge));
            let mut all = Vec::new();
            if may_long || !may_short {
                all.push(on_long);
            }
            if may_short || !may_long {
                all.push(on_short);
            }
            all
        }
        _ => Vec::new(),
    }
}

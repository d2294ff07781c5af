//! Stacked contents: flat piles, rows on edge, rolls and leaning rows.
//!
//! With face (a, b), thickness T(n) of n pieces, k piles or rows side by side (so that the tallest
//! holds m = ⌈n / k⌉), ease c on the face and browsing room β along a row, a room is
//!
//! * flat: p·(a + c) × q·(b + c), finger room beside it, height T(m), where k = p·q;
//! * on the long edge: k·(long + c) × T(m)·(1 + β), height the short side; on the short edge likewise;
//! * a roll of discs of diameter D: k·(D + c) × T(m)·(1 + β), height D; hexagons of width F over flats
//!   stand on a flat (across 2F/√3, height F) or, held by the walls, on a corner (across F, height 2F/√3);
//! * leaning at θ from the floor, edge e rising, one piece t thick: height e·sin θ + t·cos θ, length
//!   T(m)·(1 + β) / sin θ + e·cos θ. The outline of n pieces shifted by t / sin θ each is
//!   e·cos θ + t·sin θ + (n − 1)·t / sin θ long, and sin θ ≤ 1 / sin θ: a safe upper value.

use super::angle::{ONE, cos_up, sin_down, sin_up};
use super::{Alternative, More, MoreStep, Need, Pieces, Space, Standing, div_up, length};
use crate::job::{Face, Stack, Stand};
use crate::length::{Length, NM_PER_MM, Volume};

impl Pieces {
    /// Thickness of `count` pieces in nm, rounded up: a measured height is shared out evenly.
    pub(super) fn thickness(&self, count: i64) -> i128 {
        div_up(i128::from(self.height.nm()) * i128::from(count), i128::from(self.of.max(1)))
    }

    /// Length of a row of `count` pieces in nm, browsing room included; leaning at `degrees` (90: upright)
    /// it lacks the overhang of its edge.
    pub(super) fn row(&self, count: i64, degrees: i64) -> i128 {
        div_up(self.thickness(count) * i128::from(1000 + self.browse) * ONE, 1000 * sin_down(degrees).max(1))
    }

    /// The most pieces that are no thicker than this: the inverse of [`Self::thickness`].
    pub(super) fn within(&self, nm: i128) -> i128 {
        (nm * i128::from(self.of)).div_euclid(i128::from(self.height.nm().max(1)))
    }

    /// The most pieces whose row is no longer than this: the inverse of [`Self::row`].
    pub(super) fn within_row(&self, nm: i128, degrees: i64) -> i128 {
        self.within((nm * 1000 * sin_down(degrees)).div_euclid(i128::from(1000 + self.browse) * ONE))
    }

    /// Whether single pieces can be told apart: else a stack is not split into piles.
    fn known(&self) -> bool {
        self.term == 1
    }
}

/// Thickness of a whole stack and the count of its pieces.
///
/// A measured height beats count × each: ISO 534 has one method for a sheet and one for a pack and
/// says that they generally lead to different results. A sleeved piece is piece + 2 × film thick.
/// Where only the height is known, the stack counts as slices of a nanometre, told in mm.
pub(super) fn pieces(stack: &Stack) -> Option<Pieces> {
    let each = stack.each.map(|each| each + stack.sleeve.map_or(Length::ZERO, |s| s.film * 2));
    let known = |height: Length, of: i64| Pieces {
        height,
        of,
        held: of + stack.spare_count,
        browse: stack.browse,
        term: 1,
    };
    match (stack.height, stack.count, each) {
        (Some(height), Some(count), _) => Some(known(height, count)),
        (Some(height), None, Some(each)) => {
            // To the nearest whole piece; one at least.
            let count = ((height.nm() + each.nm() / 2) / each.nm().max(1)).max(1);
            Some(known(height, count))
        }
        (Some(height), None, None) => Some(Pieces {
            height: Length::from_nm(1),
            of: 1,
            held: height.nm(),
            browse: stack.browse,
            term: NM_PER_MM,
        }),
        (None, Some(count), Some(each)) => {
            Some(known(length(i128::from(each.nm()) * i128::from(count))?, count))
        }
        (None, _, _) => None,
    }
}

/// 2/√3 in units of 1e-10, rounded up: from a hexagon's width over flats to its width over corners.
const OVER_CORNERS: i128 = 11_547_005_384;
/// π/4 and √3/2 in units of 1e-10, rounded down: area of a disc or hexagon over its width squared.
const DISC_AREA: i128 = 7_853_981_633;
const HEXAGON_AREA: i128 = 8_660_254_037;
const UNIT: i128 = 10_000_000_000;

/// The box about a face as it lies: for a hexagon over flats, then over corners.
fn bounding(face: Face) -> Option<(Length, Length)> {
    Some(match face {
        Face::Rectangle(a, b) => (a, b),
        Face::Disc(across) => (across, across),
        Face::Hexagon(flats) => (flats, length(div_up(i128::from(flats.nm()) * OVER_CORNERS, UNIT))?),
    })
}

/// Face × thickness of the stack as it is given: sleeves count, wanted spare pieces do not.
fn contents(face: Face, pieces: &Pieces, spare: i64) -> Volume {
    let thickness = pieces.thickness(pieces.held - spare);
    let area = match face {
        Face::Rectangle(a, b) => (a * b).nm2(),
        Face::Disc(across) => (across * across).nm2() * DISC_AREA / UNIT,
        Face::Hexagon(flats) => (flats * flats).nm2() * HEXAGON_AREA / UNIT,
    };
    Volume::from_nm3(area * thickness)
}

/// The need; `None` where the thickness is not known. No way of standing may suit the face: then
/// there is no alternative.
pub(super) fn need(stack: &Stack) -> Option<Need> {
    let pieces = pieces(stack)?;
    let spare = if pieces.known() { stack.spare_count } else { 0 };
    let face = stack.sleeve.map_or(stack.face, |s| s.face);
    let mut list =
        List { stack, pieces, most: if pieces.known() { stack.piles } else { 1 }, all: Vec::new() };
    let (a, b) = bounding(face)?;
    if stack.stand.contains(&Stand::Flat) {
        list.flat(a, b);
    }
    match face {
        Face::Rectangle(..) => {
            let (short, long) = (a.min(b), a.max(b));
            let long_edge = stack.stand.contains(&Stand::LongEdge);
            let short_edge = stack.stand.contains(&Stand::ShortEdge);
            if long_edge {
                list.rows(Stand::LongEdge, 90, long, short);
            }
            if short_edge {
                list.rows(Stand::ShortEdge, 90, short, long);
            }
            if stack.stand.contains(&Stand::Lean) && pieces.known() {
                // A row leans on the edge it may stand on; on either where neither is named.
                for degrees in (stack.least_lean..=90).rev() {
                    if long_edge || !short_edge {
                        list.rows(Stand::Lean, degrees, long, short);
                    }
                    if short_edge || !long_edge {
                        list.rows(Stand::Lean, degrees, short, long);
                    }
                }
            }
        }
        Face::Disc(_) | Face::Hexagon(_) => {
            if stack.stand.contains(&Stand::Roll) {
                list.rows(Stand::Roll, 90, b, a);
                list.rows(Stand::Roll, 90, a, b);
            }
        }
    }
    let of = match (pieces.known(), stack.sleeve) {
        (false, _) => "mm of stack",
        (true, Some(_)) => "sleeved pieces",
        (true, None) => "pieces",
    };
    Some(Need {
        contents: contents(face, &pieces, spare),
        alternatives: list.all,
        estimate: stack.height.is_none(),
        more: More { of: of.into(), step: MoreStep::Piece(pieces) },
    })
}

/// Alternatives as they are found.
struct List<'a> {
    stack: &'a Stack,
    pieces: Pieces,
    most: i64,
    all: Vec<Alternative>,
}

impl List<'_> {
    /// Flat piles in p × q, of which some may stay empty (three piles in 2 × 2). Every pile has an outer side (so p or q is 1 or 2), and finger room lies
    /// along a side that at most two piles stand away from: both are reached from it.
    fn flat(&mut self, a: Length, b: Length) {
        let (ease, finger) = (self.stack.ease, self.stack.finger);
        for p in 1..=self.most {
            for q in 1..=(self.most / p) {
                let piles = p * q;
                if p.min(q) > 2 {
                    continue;
                }
                let (w, d) = ((a + ease) * p, (b + ease) * q);
                let height = self.pieces.thickness(self.in_one(piles));
                if finger == Length::ZERO {
                    self.push(Stand::Flat, 90, piles, (w, d), height);
                    continue;
                }
                if p <= 2 {
                    self.push(Stand::Flat, 90, piles, (w + finger, d), height);
                }
                if q <= 2 {
                    self.push(Stand::Flat, 90, piles, (w, d + finger), height);
                }
            }
        }
    }

    /// Rows side by side: `across` the row lies one edge, the other rises to `edge`.
    fn rows(&mut self, stand: Stand, degrees: i64, across: Length, edge: Length) {
        for rows in 1..=self.most {
            let w = (across + self.stack.ease) * rows;
            let (rising, sine, cosine) = (i128::from(edge.nm()), sin_up(degrees), cos_up(degrees));
            let one = self.pieces.thickness(1);
            // The two terms are rounded by themselves, so that the overhang is known again from the sum.
            let Some(d) = length(self.pieces.row(self.in_one(rows), degrees) + div_up(rising * cosine, ONE))
            else {
                continue;
            };
            let height = div_up(rising * sine + one * cosine, ONE);
            self.push(stand, degrees, rows, (w, d), height);
        }
    }

    /// Pieces in the fullest of so many piles.
    fn in_one(&self, piles: i64) -> i64 {
        (self.pieces.held + piles - 1) / piles
    }

    fn push(&mut self, stand: Stand, degrees: i64, piles: i64, (w, d): (Length, Length), height: i128) {
        let Some(h) = length(height) else { return };
        self.all.push(Alternative {
            standing: Standing::Stacked(stand, degrees),
            piles,
            space: Space::Fixed { w, d, h },
            turnable: true,
        });
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn irrational_factors_stand_on_the_safe_side() {
        let square = |x: i128| x * x;
        assert!(
            3 * square(OVER_CORNERS) >= 4 * square(UNIT) && 3 * square(OVER_CORNERS - 1) < 4 * square(UNIT)
        );
        assert!(
            4 * square(HEXAGON_AREA) <= 3 * square(UNIT) && 4 * square(HEXAGON_AREA + 1) > 3 * square(UNIT)
        );
        assert_eq!(DISC_AREA, (std::f64::consts::FRAC_PI_4 * 1e10).floor() as i128);
    }

    proptest! {
        #[test]
        fn the_most_pieces_within_a_length(
            height in 1..40i64, of in 1..12i64, browse in 0..500i64, degrees in 1..=90i64, nm in 0..4_000i128,
        ) {
            let p = Pieces { height: Length::from_nm(height), of, held: 1, browse, term: 1 };
            let most = i64::try_from(p.within(nm)).unwrap();
            prop_assert!(p.thickness(most) <= nm && nm < p.thickness(most + 1));
            let most = i64::try_from(p.within_row(nm, degrees)).unwrap();
            prop_assert!(p.row(most, degrees) <= nm && nm < p.row(most + 1, degrees));
        }
    }
}

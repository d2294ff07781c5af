//! A small box for a set of pieces: strips of many widths filled by their lowest gaps, then, for few pieces, box after
//! box refuted or found.

use rayon::prelude::*;

use super::skyline::{Outline, Strip, disturb, orders};
use super::{Floor, LeastBox, Packed, Piece, Spot, pack};
use crate::random::Random;
use crate::stop::Stop;

/// Widths that are tried first, from the narrowest to the widest part of a square's side, in hundredths.
const WIDTHS: i64 = 256;
const NARROWEST: i64 = 60;
const WIDEST: i64 = 150;
/// Fillings of each strip in the first round; doubled from round to round, while the worse half of the strips is given up.
const TRIES: u64 = 16;
/// Strips that are never given up.
const KEPT: usize = 4;
/// Rounds without gain after which nothing better is expected.
const BARREN: usize = 40;
/// No more fillings in one round of one strip: the stop is looked at in between.
const MOST_TRIES: u64 = 4_096;
/// Up to so many pieces boxes are decided.
const FEW: usize = 12;

/// A box that holds all pieces without gaps (held places ignored), as small as is found before `stop` ends the search;
/// each filling of a strip counts as a node. Up to a dozen pieces it goes on until the box is proven least. `None` where
/// a piece has no outline or sides beyond 2^24 steps.
///
/// ```
/// use traywright::layout::pack::{Piece, small_box};
/// use traywright::stop::Stop;
/// let squares: Vec<Piece> =
///     (1..=7).map(|n| Piece { shapes: vec![(n, n)], ..Piece::default() }).collect();
/// let found = small_box(&squares, 1, &Stop::never()).unwrap();
/// assert_eq!((found.w * found.d, found.proven), (154, true)); // OEIS A038666
/// let hurried = small_box(&squares, 1, &Stop::nodes(500)).unwrap();
/// assert!(hurried.w * hurried.d >= 154);
/// ```
pub fn small_box(pieces: &[Piece], seed: u64, stop: &Stop) -> Option<LeastBox> {
    let shapes: Vec<Vec<Outline>> = pieces.iter().map(|p| p.shapes.clone()).collect();
    let fair = |&(w, d): &Outline| (1..=MOST).contains(&w) && (1..=MOST).contains(&d);
    if shapes.is_empty() || shapes.iter().any(|s| s.is_empty() || !s.iter().all(fair)) {
        return None;
    }
    let few = pieces.len() <= FEW;
    let (climb, nodes) = (stop.part(if few { 0.3 } else { 1.0 }), if few { 2_000_000 } else { u64::MAX });
    let mut best = climbed(&shapes, seed, nodes, &climb, stop)?;
    if few {
        prove(pieces, &mut best, stop);
    }
    Some(best)
}

/// Longest side of a piece.
const MOST: i64 = 1 << 24;

/// A strip of one width and the best order so far.
struct Climb {
    w: i64,
    order: Vec<usize>,
    best: Strip,
    random: Random,
}

impl Climb {
    fn new(w: i64, pieces: &[Vec<Outline>], seed: u64) -> Climb {
        let mut random = Random::new(seed ^ w.unsigned_abs());
        let mut strip = Strip::default();
        let filled = orders(pieces).map(|order| {
            strip.fill((w, i64::MAX), pieces, &order, i64::MAX);
            (strip.depth, order, strip.clone())
        });
        let (_, order, best) = filled.into_iter().min_by_key(|f| f.0).unwrap_or_default();
        let random = random.child();
        Climb { w, order, best, random }
    }

    fn area(&self) -> i64 {
        self.w * self.best.depth
    }

    fn go(&mut self, tries: u64, pieces: &[Vec<Outline>], least: i64) {
        let mut strip = Strip::default();
        for _ in 0..tries {
            let mut order = self.order.clone();
            disturb(&mut order, &mut self.random);
            let spare = self.w * self.best.depth - least;
            strip.fill((self.w, self.best.depth), pieces, &order, spare);
            if strip.left.is_empty() {
                self.order = order;
                self.best.clone_from(&strip);
            }
        }
    }

    fn boxed(&self) -> LeastBox {
        let mut spots = vec![Spot { shape: 0, x: 0, y: 0 }; self.order.len()];
        for s in &self.best.placed {
            spots[s.piece] = Spot { shape: s.outline, x: s.x, y: s.y };
        }
        LeastBox { w: self.w, d: self.best.depth, spots, proven: false }
    }
}

/// The best of strips of many widths; ever more tries for ever fewer.
fn climbed(pieces: &[Vec<Outline>], seed: u64, nodes: u64, part: &Stop, stop: &Stop) -> Option<LeastBox> {
    let area = |s: &Outline| s.0 * s.1;
    let least: i64 = pieces.iter().map(|p| p.iter().map(area).min().unwrap_or(0)).sum();
    let widest = pieces.iter().map(|p| p.iter().map(|s| s.0).min().unwrap_or(0)).max()?;
    let width = |i: i64| least.isqrt() * (NARROWEST * WIDTHS + (WIDEST - NARROWEST) * i) / (100 * WIDTHS);
    let mut widths: Vec<i64> = (0..WIDTHS).map(|i| width(i).max(widest)).collect();
    widths.dedup();
    let mut climbs: Vec<Climb> = widths.into_par_iter().map(|w| Climb::new(w, pieces, seed)).collect();
    let (mut tries, mut barren, mut spent) = (TRIES, 0, 0);
    let mut best = climbs.iter().min_by_key(|c| (c.area(), c.w))?.boxed();
    while barren < BARREN && spent < nodes && !part.now() && !stop.now() {
        climbs.par_iter_mut().filter(|_| !part.now()).for_each(|c| c.go(tries, pieces, least));
        let now = tries * climbs.len() as u64;
        spent += now;
        stop.spend(now);
        climbs.sort_by_key(|c| (c.area(), c.w));
        match climbs.first() {
            Some(c) if c.area() < best.w * best.d => (best, barren) = (c.boxed(), 0),
            _ if climbs.len() == KEPT => barren += 1,
            _ => {}
        }
        climbs.truncate((climbs.len() / 2).max(KEPT));
        tries = (tries * 2).min(MOST_TRIES);
    }
    Some(best)
}

/// Refutes every smaller box, or finds one and goes on from it: all boxes of widths in a range lie in one of the
/// greatest width and depth, and where that holds not all pieces, none of them does. Widths are all whole numbers.
fn prove(pieces: &[Piece], best: &mut LeastBox, stop: &Stop) {
    let free: Vec<Piece> =
        pieces.iter().map(|p| Piece { shapes: p.shapes.clone(), kept: false, at: None }).collect();
    let side = |s: fn(&Outline) -> i64| {
        let least = |p: &Piece| p.shapes.iter().map(s).min().unwrap_or(0);
        free.iter().map(least).max().unwrap_or(0)
    };
    let (narrow, shallow) = (side(|s| s.0), side(|s| s.1));
    // A box and the same box turned hold the same sets where every outline may be turned.
    let turnable = free.iter().all(|p| p.shapes.iter().all(|(w, d)| p.shapes.contains(&(*d, *w))));
    let widest = |best: &LeastBox| {
        let smaller = best.w * best.d - 1;
        if turnable { smaller.isqrt() } else { smaller / shallow.max(1) }
    };
    let mut ranges = vec![(narrow, widest(best))];
    while let Some((from, to)) = ranges.pop() {
        let (to, smaller) = (to.min(widest(best)), best.w * best.d - 1);
        if from > to {
            continue;
        }
        match pack(&Floor { w: to, d: smaller / from, ..Floor::default() }, &free, stop) {
            Packed::Impossible => continue,
            Packed::Unknown => return,
            Packed::Found(spots) => {
                let far = |at: fn(&Spot) -> i64, len: fn(&Outline) -> i64| {
                    let end = |(s, p): (&Spot, &Piece)| p.shapes.get(s.shape).map_or(0, |o| at(s) + len(o));
                    spots.iter().zip(&free).map(end).max().unwrap_or(0)
                };
                let (w, d) = (far(|s| s.x, |o| o.0), far(|s| s.y, |o| o.1));
                if w * d < best.w * best.d {
                    *best = LeastBox { w, d, spots, proven: false };
                }
                if from == to {
                    // Of one width only a smaller box is asked for, so this one was.
                    ranges.push((from, to));
                } else {
                    // In proportion, so that both halves give away as much.
                    let middle = (from * to).isqrt().clamp(from, to - 1);
                    ranges.extend([(middle + 1, to), (from, middle)]);
                }
            }
        }
    }
    best.proven = true;
}

#[cfg(test)]
mod tests {
    use super::super::least_box;
    use super::*;

    #[test]
    fn few_pieces_are_proven_as_by_going_through_all_boxes() {
        let mut random = Random::new(3);
        for _ in 0..24 {
            let n = 1 + random.below(6);
            let mut side = || 1 + random.below(9) as i64;
            let pieces: Vec<Piece> = (0..n)
                .map(|i| (side(), side(), i))
                .map(|(w, d, i)| {
                    let shapes = if i % 3 == 0 { vec![(w, d)] } else { vec![(w, d), (d, w)] };
                    Piece { shapes, ..Piece::default() }
                })
                .collect();
            let small = small_box(&pieces, 1, &Stop::never()).unwrap();
            let least = least_box(&pieces, &Stop::never()).unwrap();
            assert!(small.proven);
            assert_eq!(small.w * small.d, least.w * least.d, "{pieces:?}");
        }
    }

    #[test]
    fn pieces_stand_apart_in_the_box() {
        let mut random = Random::new(9);
        let mut side = || 5 + random.below(40) as i64;
        let pieces: Vec<Piece> = (0..30)
            .map(|_| (side(), side()))
            .map(|(w, d)| Piece { shapes: vec![(w, d), (d, w)], ..Piece::default() })
            .collect();
        let found = small_box(&pieces, 1, &Stop::nodes(20_000)).unwrap();
        let again = small_box(&pieces, 1, &Stop::nodes(20_000)).unwrap();
        assert_eq!(found, again);
        let rects: Vec<[i64; 4]> = found
            .spots
            .iter()
            .zip(&pieces)
            .map(|(s, p)| [s.x, s.y, s.x + p.shapes[s.shape].0, s.y + p.shapes[s.shape].1])
            .collect();
        for (i, a) in rects.iter().enumerate() {
            assert!(a[0] >= 0 && a[1] >= 0 && a[2] <= found.w && a[3] <= found.d);
            assert!(rects[..i].iter().all(|b| a[0] >= b[2] || b[0] >= a[2] || a[1] >= b[3] || b[1] >= a[3]));
        }
        let area: i64 = pieces.iter().map(|p| p.shapes[0].0 * p.shapes[0].1).sum();
        assert!(found.w * found.d <= area * 106 / 100, "{} {area}", found.w * found.d);
    }
}

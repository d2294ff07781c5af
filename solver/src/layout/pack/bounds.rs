//! Cheap proofs that a set of pieces cannot fit: area, dual feasible functions, pairs.

use super::field::{Field, KEPT, Shape, TRAY, disjoint};
use super::{Floor, Piece};

/// Whether a cheap bound proves that the pieces cannot all stand on the floor. `false` says nothing.
///
/// Area with gaps; dual feasible functions (Fekete & Schepers, Math. Oper. Res. 29, 2004; Carlier, Clautiaux
/// & Moukrim, Comput. Oper. Res. 34, 2007) along the width, along the depth and both; pairs that go neither
/// beside nor behind each other.
///
/// ```
/// use traywright::layout::pack::{Floor, Piece, cannot_fit};
/// let piece = Piece { shapes: vec![(6, 6)], ..Piece::default() };
/// let floor = Floor { w: 10, d: 10, ..Floor::default() };
/// assert!(cannot_fit(&floor, &[piece.clone(), piece]));
/// ```
pub fn cannot_fit(floor: &Floor, pieces: &[Piece]) -> bool {
    Field::new(floor, pieces).is_some_and(|f| refuted(&f))
}

pub(super) fn refuted(field: &Field) -> bool {
    let bodies = &field.bodies;
    if bodies.iter().any(|b| b.shapes.is_empty()) {
        return true;
    }
    if bodies.is_empty() {
        return false;
    }
    // All reaches are disjoint and lie in the hull: the classical bounds hold for them.
    let classes = [TRAY, KEPT].map(|c| bodies.iter().any(|b| b.class == c));
    let hull = field.hull(classes);
    let (w, d) = (hull.x1 - hull.x0, hull.y1 - hull.y0);
    let blocked: i64 = if classes[KEPT] {
        0
    } else {
        disjoint(&field.blocked, hull).iter().map(|s| (s.x1 - s.x0) * (s.y1 - s.y0)).sum()
    };
    let sets: Vec<&[Shape]> = bodies.iter().map(|b| b.shapes.as_slice()).collect();
    let least: i128 = sets.iter().map(|s| i128::from(s.iter().map(|s| s.area()).min().unwrap_or(0))).sum();
    least > i128::from(w * d - blocked) || pairs(&sets, w, d) || scaled(&sets, w, d)
}

/// Whether two pieces go neither beside nor behind each other.
fn pairs(sets: &[&[Shape]], w: i64, d: i64) -> bool {
    // Outlines stand widest last, so the narrowest is the first and the shallowest the last.
    let least: Vec<(i64, i64)> = sets.iter().filter_map(|s| Some((s.first()?.w, s.last()?.d))).collect();
    least.iter().enumerate().any(|(i, a)| least.iter().skip(i + 1).any(|b| a.0 + b.0 > w && a.1 + b.1 > d))
}

/// A dual feasible function for lengths in a floor of a given length: scaled lengths of pieces that stand
/// in a row never add up to more than the scaled length of the floor.
#[derive(Clone, Copy)]
enum Scale {
    Plain,
    /// Lengths under `k` count nothing, over the rest of the floor everything (`k` at most half the floor).
    Cut(i64),
    /// Whole multiples of `k`, doubled; long pieces count what they leave.
    Steps(i64),
}

impl Scale {
    fn of(self, x: i64, floor: i64) -> i64 {
        match self {
            Scale::Plain => x,
            Scale::Cut(k) => {
                if x > floor - k {
                    floor
                } else if x < k {
                    0
                } else {
                    x
                }
            }
            Scale::Steps(k) => {
                if 2 * x > floor {
                    2 * (floor / k - (floor - x) / k)
                } else if 2 * x == floor {
                    floor / k
                } else {
                    2 * (x / k)
                }
            }
        }
    }

    fn floor(self, floor: i64) -> i64 {
        match self {
            Scale::Plain | Scale::Cut(_) => floor,
            Scale::Steps(k) => 2 * (floor / k),
        }
    }
}

/// At most so many parameters a direction: the bound stays in the order of 100 microseconds.
const MOST_SCALES: usize = 16;

fn scales(mut sizes: Vec<i64>, floor: i64) -> Vec<Scale> {
    sizes.retain(|k| *k > 0 && 2 * *k <= floor);
    sizes.sort_unstable();
    sizes.dedup();
    let step = sizes.len().div_ceil(MOST_SCALES / 2).max(1);
    let picked = sizes.iter().rev().step_by(step);
    let mut out = vec![Scale::Plain, Scale::Cut(floor / 2)];
    out.extend(picked.flat_map(|&k| [Scale::Cut(k), Scale::Steps(k)]));
    out
}

/// Whether some pair of scales leaves the pieces too large. A piece counts with its least scaled outline.
fn scaled(sets: &[&[Shape]], w: i64, d: i64) -> bool {
    let xs = scales(sets.iter().filter_map(|s| Some(s.first()?.w)).collect(), w);
    let ys = scales(sets.iter().filter_map(|s| Some(s.last()?.d)).collect(), d);
    let table = |scales: &[Scale], wide: bool| -> Vec<Vec<Vec<i64>>> {
        let one = |f: &Scale, s: &Shape| if wide { f.of(s.w, w) } else { f.of(s.d, d) };
        scales.iter().map(|f| sets.iter().map(|s| s.iter().map(|s| one(f, s)).collect()).collect()).collect()
    };
    let (tx, ty) = (table(&xs, true), table(&ys, false));
    xs.iter().zip(&tx).any(|(fx, rx)| {
        ys.iter().zip(&ty).any(|(fy, ry)| {
            let room = i128::from(fx.floor(w)) * i128::from(fy.floor(d));
            let need: i128 = rx
                .iter()
                .zip(ry)
                .map(|(a, b)| i128::from(a.iter().zip(b).map(|(a, b)| a * b).min().unwrap_or(0)))
                .sum();
            need > room
        })
    })
}

//! Gaps at the sides that no packing needs ("empty strip dominance", after Korf, ICAPS 2003).
//!
//! Say a piece leaves a gap between itself and a side, and all pieces narrow enough for the gap fit together into
//! the gap along the piece. Then it can move to the side, and what stood in the gap goes where it came from.
//! This ends: among all packings take one that is least, piece by piece, by the gap at the nearer side plus the
//! gap in front, the piece for the quarter first, then the larger before the smaller; what moves aside has less
//! area. Where pieces must touch something on their left, the gap on the left takes the place of the nearer one.

use super::super::field::Field;
use super::super::slice::Slice;
use super::super::{Floor, Packed, Piece, bounds, corners};
use super::{Item, RANGE};

/// Nodes for the question whether a strip takes a set. It counts as too short where they do not tell.
const NODES: u64 = 100;

/// Lists the left edges of every outline, and the front edges it may not have.
pub(super) fn bar(items: &mut [Item], (width, depth): (i32, i32), loose: bool, slice: &Slice) {
    let even = items.iter().all(|i| i.choices.iter().all(|c| c.outline.w * c.outline.d == i.least));
    let [beside, before] =
        [false, true].map(|turn| if even { strips(items, turn, slice) } else { Vec::new() });
    let needs = |strips: &[i32], gap: i32| strips.get(gap as usize).copied().unwrap_or(i32::MAX);
    for item in items {
        for choice in &mut item.choices {
            let (w, d) = (choice.outline.w, choice.outline.d);
            let last = if item.quarter { (width - w) / 2 } else { width - w };
            let idle = |gap: i32| gap < w && needs(&beside, gap) <= d;
            choice.edges = (0..=last)
                .filter(|&x| {
                    x == 0 || !loose && x == width - w || !(idle(x) || !loose && idle(width - w - x))
                })
                .collect();
            choice.front = (0..d.min(depth)).map(|y| y > 0 && needs(&before, y) <= w).collect();
            let step = (w * RANGE[usize::from(loose)] / 100).max(1);
            choice.ranges = Vec::new();
            for &x in &choice.edges {
                match choice.ranges.last_mut() {
                    Some((lo, hi)) if x - *lo < step => *hi = x,
                    _ => choice.ranges.push((x, x)),
                }
            }
        }
    }
}

/// Per width: how long a strip must be to take all pieces that may stand in it; as long as known, at most.
fn strips(items: &[Item], turn: bool, slice: &Slice) -> Vec<i32> {
    let sizes = |i: &Item| -> Vec<(i64, i64)> {
        let size = |(w, d)| if turn { (i64::from(d), i64::from(w)) } else { (i64::from(w), i64::from(d)) };
        i.sizes().into_iter().map(size).collect()
    };
    let all = || items.iter().flat_map(sizes);
    let widest = all().map(|s| s.0).max().unwrap_or(0);
    let longest = all().map(|s| s.1).max().unwrap_or(0);
    let mut needs = vec![0];
    for gap in 1..widest {
        let thin = |i: &&Item| sizes(i).iter().any(|s| s.0 <= gap);
        let set: Vec<&Item> = items.iter().filter(thin).collect();
        let area: i64 = set.iter().map(|i| i64::from(i.least)).sum();
        if area > gap * longest || set.iter().any(|i| i.quarter) {
            break;
        }
        let pieces: Vec<Piece> =
            set.iter().map(|&i| Piece { shapes: sizes(i), ..Piece::default() }).collect();
        let long = ((area + gap - 1) / gap..=longest).find(|&d| holds(gap, d, &pieces, &slice.part(NODES)));
        needs.push(long.map_or(i32::MAX, |d| d as i32));
    }
    needs
}

fn holds(w: i64, d: i64, pieces: &[Piece], slice: &Slice) -> bool {
    pieces.is_empty()
        || Field::new(&Floor { w, d, ..Floor::default() }, pieces).is_some_and(|field| {
            !bounds::refuted(&field) && matches!(corners::search(&field, slice), Packed::Found(_))
        })
}

#[cfg(test)]
mod tests {
    use super::super::Shape;
    use super::*;
    use crate::stop::Stop;

    /// Korf's table: squares from 1 up all fit beside one of 1, 3, 5, 9, 12 and 18 in gaps of 1 to 6.
    #[test]
    fn strips_of_squares() {
        let square = |s: i64| Item::new(s as usize, &[Shape { w: s, d: s, index: 0 }], false);
        let mut items: Vec<Item> = (1..=20).rev().map(square).collect();
        let stop = Stop::never();
        let needs = strips(&items, false, &Slice::new(&stop, 0));
        assert_eq!(needs.get(..7), Some(&[0, 1, 3, 5, 9, 12, 18][..]));
        items[0].quarter = true;
        bar(&mut items, (45, 64), false, &Slice::new(&stop, 0));
        let edges = |k: usize| items.get(k).and_then(|i: &Item| i.choices.first()).map(|c| c.edges.clone());
        assert_eq!(edges(0), Some(vec![0, 7, 8, 9, 10, 11, 12]));
        let nine: Vec<i32> = [0].into_iter().chain(5..=31).chain([36]).collect();
        assert_eq!(edges(11), Some(nine));
    }
}

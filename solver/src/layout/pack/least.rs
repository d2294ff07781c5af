//! The floor of least area for a set of pieces.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::{Floor, Packed, Piece, Spot, pack};
use crate::stop::Stop;

/// The answer of [`least_box`].
///
/// ```
/// # use traywright::layout::pack::{least_box, Piece};
/// # let stop = traywright::stop::Stop::never();
/// // Two of 2 × 3: 3 × 4 would do as well, but is less narrow.
/// let pieces = vec![Piece { shapes: vec![(2, 3), (3, 2)], ..Piece::default() }; 2];
/// let least = least_box(&pieces, &stop).unwrap();
/// assert_eq!((least.w, least.d), (2, 6));
/// assert!(least.spots.iter().all(|s| s.shape == 0 && s.x == 0));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeastBox {
    /// Width of the floor.
    pub w: i64,
    /// Depth of the floor.
    pub d: i64,
    /// Where the pieces stand.
    pub spots: Vec<Spot>,
    /// Whether no smaller one holds them, for sure.
    pub proven: bool,
}

/// The floor of least area that holds all pieces without gaps, held places ignored. Of several, the narrowest
/// that is not wider than deep comes first where all outlines are listed turned as well. `None` where `stop` ended
/// the search, a piece has no outline, or there are too many sides to list.
///
/// Floors are decided in the order of their area, so the first that holds the pieces is proven least (Korf,
/// ICAPS 2003). Sides are sums of sides of pieces: in a packing pushed left and forward each piece rests on others.
///
/// ```
/// use traywright::layout::pack::{Piece, least_box};
/// use traywright::stop::Stop;
/// let squares: Vec<Piece> =
///     (1..=7).map(|n| Piece { shapes: vec![(n, n)], ..Piece::default() }).collect();
/// // OEIS A038666: 154, as 7 by 22 or 11 by 14.
/// let least = least_box(&squares, &Stop::never()).unwrap();
/// assert_eq!(least.w * least.d, 154);
/// ```
pub fn least_box(pieces: &[Piece], stop: &Stop) -> Option<LeastBox> {
    let free: Vec<Piece> =
        pieces.iter().map(|p| Piece { shapes: p.shapes.clone(), kept: false, at: None }).collect();
    let fair = |&(w, d): &(i64, i64)| (1..=MOST).contains(&w) && (1..=MOST).contains(&d);
    let sets: Vec<Vec<(i64, i64)>> =
        free.iter().map(|p| p.shapes.iter().copied().filter(fair).collect()).collect();
    if sets.iter().any(|s| s.is_empty()) || sets.len() > 10_000 {
        return None;
    }
    let area: i64 = sets.iter().map(|s| s.iter().map(|(w, d)| w * d).min().unwrap_or(0)).sum();
    let widths = sums(&sets, |s| s.0)?;
    let depths = sums(&sets, |s| s.1)?;
    // A floor and the same floor turned hold the same sets where every outline may be turned.
    let turnable = sets.iter().all(|s| s.iter().all(|(w, d)| s.contains(&(*d, *w))));
    let mut next: BinaryHeap<Reverse<(i64, usize, usize)>> = BinaryHeap::new();
    for (i, w) in widths.iter().enumerate() {
        let j = depths.partition_point(|d| w * d < area || (turnable && d < w));
        if let Some(d) = depths.get(j) {
            next.push(Reverse((w * d, i, j)));
        }
    }
    while let Some(Reverse((_, i, j))) = next.pop() {
        let (w, d) = (*widths.get(i)?, *depths.get(j)?);
        match pack(&Floor { w, d, ..Floor::default() }, &free, stop) {
            Packed::Found(spots) => return Some(LeastBox { w, d, spots, proven: true }),
            Packed::Unknown => return None,
            Packed::Impossible => {}
        }
        if let Some(d) = depths.get(j + 1) {
            next.push(Reverse((w * d, i, j + 1)));
        }
    }
    None
}

/// Longest side of a piece.
const MOST: i64 = 1 << 24;
/// As many sides of floors are listed at most.
const MOST_SIDES: usize = 1 << 20;

/// All sums of sides of some of the pieces, at least the longest of the least sides; `None` if too many.
fn sums(sets: &[Vec<(i64, i64)>], side: fn(&(i64, i64)) -> i64) -> Option<Vec<i64>> {
    let least = sets.iter().filter_map(|s| s.iter().map(side).min()).max().unwrap_or(0);
    let mut all = std::collections::BTreeSet::from([0]);
    for s in sets {
        let more: Vec<i64> = all.iter().flat_map(|a| s.iter().map(move |x| a + side(x))).collect();
        all.extend(more);
        if all.len() > MOST_SIDES {
            return None;
        }
    }
    Some(all.into_iter().filter(|s| *s >= least).collect())
}

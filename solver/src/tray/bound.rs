//! Lower bounds of a tray's floor area that hold for every straight-cut arrangement.

use super::Effort;
use super::leaf::Leaf;
use super::needs::{PartNeed, TrayNeeds};

/// A lower bound, in square grid steps, of the tray's outer footprint at clear height `u`, over all
/// straight-cut arrangements, walked or not. 0 where nothing stands at that height.
///
/// With each compartment grown by one divider's thickness t on both axes, compartments do not
/// overlap inside (W + t) × (D + t); so the sum of their least grown areas bounds that product.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// let parts = vec![block(60, 40, 20, true)];
/// let tray = TrayNeeds { parts, wall: Length::mm(3), ..TrayNeeds::plain(Length::mm(1), 300) };
/// // As if 60 × 40 were a square: a little less than the true outline of 66 × 46.
/// assert_eq!((tray::area_bound(&tray, 20), 66 * 46), (3_024, 3_036));
/// assert_eq!(tray::area_bound(&tray, 19), 0);
/// ```
pub fn area_bound(tray: &TrayNeeds, u: i64) -> i64 {
    let Some(inner) = inner_bound(tray, u) else { return 0 };
    let walls = tray.walls();
    // Outer = (x + e)(y + e) with x·y ≥ inner: at least as for a square where e is not negative.
    if walls >= tray.divider {
        grown(inner, 0, walls - tray.divider)
    } else {
        grown(inner_area(tray, u, 0).unwrap_or(0), 0, walls)
    }
}

/// A lower bound of (W + t)·(D + t), t one divider; `None` where some part does not stand.
pub(super) fn inner_bound(tray: &TrayNeeds, u: i64) -> Option<i64> {
    inner_area(tray, u, tray.divider)
}

fn inner_area(tray: &TrayNeeds, u: i64, t: i64) -> Option<i64> {
    let mut all: i64 = 0;
    for part in &tray.parts {
        let own = match part {
            PartNeed::Room(_) => {
                let leaf = Leaf::new(part, tray.grid, u, Effort::Usual);
                leaf.pick(i64::MAX / 8, i64::MAX / 8)?;
                leaf.least_area(t)
            }
            PartNeed::Tray(inner, ease) => {
                let below = u - inner.base_steps();
                inner_area(inner, below, inner.divider)?;
                grown(area_bound(inner, below), 0, ease.max(&0) + t)
            }
        };
        all = all.saturating_add(own);
    }
    Some(all)
}

/// A lower bound of (w + e)·(d + e) where w·d ≥ area and w + d ≥ sum: w + d is at least 2·√(w·d).
pub(super) fn grown(area: i64, sum: i64, e: i64) -> i64 {
    let sum = root_up(area.saturating_mul(4)).max(sum);
    area.saturating_add(e.saturating_mul(sum)).saturating_add(e * e)
}

/// Least whole number whose square is at least `n`.
pub(super) fn root_up(n: i64) -> i64 {
    if n <= 0 {
        return 0;
    }
    let root = n.isqrt();
    if root * root == n { root } else { root + 1 }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_round_up() {
        for (n, root) in [(0, 0), (1, 1), (2, 2), (4, 2), (5, 3), (99, 10), (100, 10), (101, 11)] {
            assert_eq!(root_up(n), root);
        }
    }
}

//! Shape curves, one arrangement for an inner size, and the least height for an inner size.

use super::frame::Frame;
use super::needs::TrayNeeds;
use super::{Curve, Effort, Shape, Slice};

/// Pareto-least inner (width, depth) over all straight-cut arrangements, standings and turns, at
/// clear height `u`, within `most`; all in grid steps.
///
/// Empty where some part does not stand at `u` or nothing fits. Points within `most` do not depend
/// on `most`.
///
/// ```
/// # use traywright::{length::Length, tray::{self, Effort, TrayNeeds}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d| tray::PartNeed::Room(Need::plain(vec![
/// #     Alternative { standing: Standing::Block(1, 1, 1), piles: 1, turnable: true,
/// #         space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(1) } }]));
/// // Three blocks, 2×5, 3×4 and 1×6, with dividers of no thickness (facts G13, all arrangements).
/// let parts = vec![block(2, 5), block(3, 4), block(1, 6)];
/// let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 40) };
/// let curve = tray::curve(&tray, 1, (40, 40), Effort::Usual);
/// assert!(curve.exact && curve.points.contains(&(6, 6)) && curve.points.contains(&(4, 9)));
/// assert!(tray::slice(&tray, 1, 6, 6).is_some() && tray::slice(&tray, 1, 5, 6).is_none());
/// assert_eq!(tray::least_height(&tray, 6, 6), Some(1));
/// ```
pub fn curve(tray: &TrayNeeds, u: i64, most: Shape, effort: Effort) -> Curve {
    let frame = Frame::new(tray, effort);
    curve_of(&frame, u, most)
}

pub(super) fn curve_of(frame: &Frame, u: i64, most: Shape) -> Curve {
    let points = frame.solve(u, most).map(|solved| solved.points()).unwrap_or_default();
    Curve { points, exact: frame.exact_throughout(), step: frame.step_throughout() }
}

/// An arrangement that fits into an inner `w` × `d` at clear height `u`, all in grid steps.
///
/// Succeeds for every point of [`curve()`], of whatever effort, and for anything larger. Like
/// compartments lie side by side in equal rows where that fits.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// let parts = vec![block(60, 40, 20, false)];
/// let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
/// let fits = |u, w, d| tray::slice(&tray, u, w, d).is_some();
/// assert!(fits(20, 60, 40) && fits(25, 90, 90));
/// assert!(!fits(19, 60, 40) && !fits(20, 59, 40) && !fits(20, 40, 60));
/// ```
pub fn slice(tray: &TrayNeeds, u: i64, w: i64, d: i64) -> Option<Slice> {
    let (w, d) = (w.min(tray.reach), d.min(tray.reach));
    let usual = Frame::new(tray, Effort::Usual);
    let found = usual.holding(u, w, d).and_then(|solved| solved.slice(w, d));
    if found.is_some() || (usual.exact && usual.step == 1) {
        return found;
    }
    // It may come from refining on the real grid, or from a deeper walk.
    let finest = || Frame::finest(tray)?.holding(u, w, d)?.slice(w, d);
    let deep = || Frame::new(tray, Effort::Deep).holding(u, w, d)?.slice(w, d);
    finest().or_else(|| if usual.exact { None } else { deep() })
}

/// Cells of one of the dozen walks on the real grid that find a least height; about 10 ms.
const BISECT_CELLS: u64 = 60_000_000;

/// Least clear height at which an inner `w` × `d` serves, in grid steps; exact where the curve is.
///
/// `None` where no height does.
///
/// ```
/// # use traywright::{length::Length, need::{Alternative, Need, Space, Standing}};
/// # use traywright::tray::{self, PartNeed, TrayNeeds};
/// # let way = |w, d, h| Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable: false,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # };
/// // It lies on 60 × 40 or stands on 40 × 20.
/// let parts = vec![PartNeed::Room(Need::plain(vec![way(60, 40, 20), way(40, 20, 60)]))];
/// let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
/// let least = |w, d| tray::least_height(&tray, w, d);
/// assert_eq!((least(60, 40), least(59, 40), least(39, 40)), (Some(20), Some(60), None));
/// ```
pub fn least_height(tray: &TrayNeeds, w: i64, d: i64) -> Option<i64> {
    let (w, d) = (w.min(tray.reach), d.min(tray.reach));
    let frame = Frame::finest_within(tray, (w, d), BISECT_CELLS);
    let serves = |u: i64| {
        let room = (w + tray.divider).saturating_mul(d + tray.divider);
        super::bound::inner_bound(tray, u).is_some_and(|least| least <= room)
            && frame.holding(u, w, d).is_some()
    };
    let least = tray.least_clear()?;
    let heights: Vec<i64> = tray.breakpoints().into_iter().filter(|&u| u >= least).collect();
    if !tray.has_soft() {
        let found = heights.partition_point(|&u| !serves(u));
        return heights.get(found).copied();
    }
    // Poured parts grow with the height without end, so a height far above every side decides.
    let mut high = tray.reach.max(least).max(heights.last().copied().unwrap_or(1)).saturating_mul(4);
    if !serves(high) {
        return None;
    }
    let mut low = least;
    while low < high {
        let middle = low + (high - low) / 2;
        if serves(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    Some(high)
}

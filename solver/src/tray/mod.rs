//! Compartments → shape curves: the Pareto-least inner (width, depth) of a tray at a clear height.
//!
//! [`needs()`] turns a tray of a job into [`TrayNeeds`]; [`curve()`], [`slice()`] and [`least_height`]
//! answer about its inside, [`options()`] and [`refine`] about its outlines, and [`place()`] gives an
//! arrangement exact lengths. All but the last is in whole grid steps; needs are rounded up to them.

mod bound;
mod curve;
mod curves;
mod dense;
mod exact;
mod fine;
mod frame;
mod interval;
mod joint;
mod leaf;
mod needs;
mod nest;
mod options;
mod place;
mod sample;
mod search;
mod tree;

#[cfg(test)]
mod tests;

pub use bound::area_bound;
pub use curve::{curve, least_height, slice};
pub use curves::Curves;
pub use needs::{PartNeed, TrayNeeds, needs};
pub(crate) use options::options_at;
pub use options::{OptionLimits, Options, options, refine};
pub use place::{Placed, PlacedNested, PlacedRoom, place};

/// A straight-cut arrangement of compartments: every divider runs wall to wall of the region it cuts.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// // 30 and 60 wide, both 40 deep, with a divider of 2 between.
/// let parts = vec![block(30, 40, 5, false), block(60, 40, 5, false)];
/// let tray = TrayNeeds { parts, divider: 2, ..TrayNeeds::plain(Length::mm(1), 300) };
/// assert!(matches!(tray::slice(&tray, 5, 92, 40), Some(Slice::Beside(..))));
/// assert!(matches!(tray::slice(&tray, 5, 60, 82), Some(Slice::Behind(..))));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Slice {
    /// One compartment: index of the part, of its alternative, and whether that is turned.
    Part {
        /// Index into the tray's parts.
        part: usize,
        /// Index into the need's alternatives.
        alternative: usize,
        /// Turned by 90° about the vertical.
        turned: bool,
        /// A nested tray's own arrangement.
        inner: Option<Box<Slice>>,
        /// Room it was given when the arrangement was found, grid steps.
        size: Shape,
    },
    /// Side by side along the width, one divider between neighbours.
    Beside(Box<Slice>, Box<Slice>),
    /// One behind the other along the depth, one divider between.
    Behind(Box<Slice>, Box<Slice>),
}

/// One Pareto point: inner width and depth in grid steps.
pub type Shape = (i64, i64);

/// Pareto-least inner shapes at one clear height, widths ascending and depths descending.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// let parts = vec![block(30, 40, 5, true)];
/// let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
/// let at = |u| tray::curve(&tray, u, (300, 300), Effort::Usual);
/// assert_eq!(at(5), Curve { points: vec![(30, 40), (40, 30)], exact: true, step: 1 });
/// assert_eq!(at(4).points, []); // lower than the block
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Curve {
    /// The points; empty where nothing stands at this height.
    pub points: Vec<Shape>,
    /// Whether every straight-cut arrangement was considered (claims say `exact`, else `searched`).
    pub exact: bool,
    /// Working step in grid steps: `exact` holds for needs rounded up to it. 1 is the grid itself.
    pub step: i64,
}

/// How much work a curve may take.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// // What the usual effort walks whole is not better for a deeper one.
/// let parts = vec![block(30, 40, 5, true), block(20, 50, 5, true)];
/// let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
/// let curve = |effort| tray::curve(&tray, 5, (300, 300), effort);
/// assert!(curve(Effort::default()).exact && Effort::default() < Effort::Deep);
/// assert_eq!(curve(Effort::Usual).points, curve(Effort::Deep).points);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Effort {
    /// Every arrangement of a dozen different compartments, or of thirty of three kinds.
    #[default]
    Usual,
    /// Every arrangement of fifteen different compartments, about a second a curve.
    Deep,
}

impl Effort {
    /// Cells (joins × columns and rows) up to which every arrangement is walked.
    fn cells(self) -> u64 {
        match self {
            Effort::Usual => 400_000_000,
            Effort::Deep => 10_000_000_000,
        }
    }

    /// Groups that a search may arrange.
    fn groups(self) -> u64 {
        match self {
            Effort::Usual => 100,
            Effort::Deep => 20_000,
        }
    }
}

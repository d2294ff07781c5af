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
            Effort::Usual => 300,
            Effort::Deep => 20_000,
        }
    }
}

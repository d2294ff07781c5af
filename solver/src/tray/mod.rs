//! Compartments → shape curves: the Pareto-least inner (width, depth) of a tray at a clear height.
//!
//! All of it is in whole grid steps; needs are rounded up to them.

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
}

//! Pieces that are alike, and what one of them takes.

use super::super::field::Shape;

/// What a piece takes at least, or may take at most: area with its gap, and of the budget beyond its cheapest outline.
#[derive(Clone, Copy, Default)]
pub(super) struct Share {
    pub(super) area: i64,
    pub(super) price: i64,
}

/// Pieces that are alike.
pub(super) struct Kind {
    pub(super) class: usize,
    pub(super) shapes: Vec<Shape>,
    /// Per outline: what it takes of the budget beyond the cheapest one.
    pub(super) prices: Vec<i64>,
    /// Bodies of this kind; the first `left` of them are not placed.
    pub(super) members: Vec<usize>,
    pub(super) left: usize,
    /// How far the number of a set of remaining pieces moves for one of them.
    pub(super) stride: usize,
    /// Least area of its outlines, gaps not counted.
    pub(super) cheapest: i64,
    /// One of them must stand in the left front quarter.
    pub(super) quarter: bool,
}

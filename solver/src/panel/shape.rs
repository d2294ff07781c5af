//! Plane outlines in exact lengths: straight edges and arcs.

use crate::length::Length;

/// A point of a panel's plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Along the panel.
    pub x: Length,
    /// Across it.
    pub y: Length,
}

/// One edge of a ring, from where the last one ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Edge {
    /// Straight to a point.
    Line(Spot),
    /// A quarter or half circle to a point; both ends and the middle are exact.
    Arc {
        /// Where it ends.
        to: Spot,
        /// Its middle.
        centre: Spot,
        /// Whether it turns to the right.
        clockwise: bool,
    },
}

impl Edge {
    /// Where it ends.
    pub fn to(&self) -> Spot {
        match *self {
            Edge::Line(to) | Edge::Arc { to, .. } => to,
        }
    }
}

/// A closed line: edge 0 begins where the last edge ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ring {
    /// Its edges.
    pub edges: Vec<Edge>,
}

impl Ring {
    /// A rectangle, counterclockwise from its least corner.
    pub fn rectangle(x: Length, y: Length, w: Length, d: Length) -> Ring {
        let at = |x, y| Edge::Line(Spot { x, y });
        Ring { edges: vec![at(x + w, y), at(x + w, y + d), at(x, y + d), at(x, y)] }
    }

    /// Where each edge begins and what it is.
    ///
    /// ```
    /// use traywright::length::Length;
    /// use traywright::panel::Ring;
    /// let mm = Length::mm;
    /// let ring = Ring::rectangle(mm(1), mm(2), mm(30), mm(40));
    /// assert_eq!(ring.spans().count(), 4);
    /// assert_eq!(ring.spans().next().map(|(from, _)| (from.x, from.y)), Some((mm(1), mm(2))));
    /// ```
    pub fn spans(&self) -> impl Iterator<Item = (Spot, Edge)> + '_ {
        let last = self.edges.last().map(Edge::to);
        last.into_iter().chain(self.edges.iter().map(Edge::to)).zip(self.edges.iter().copied())
    }
}

//! Plane outlines in exact lengths: straight edges and arcs.

use crate::length::Length;

/// A point of a panel's plane.
///
/// ```
/// use traywright::{length::Length, panel::Spot};
/// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
/// assert_eq!(at(30, 4) - at(10, 1), at(20, 3));
/// assert!(at(1, 9) < at(2, 0)); // along the panel first
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Along the panel.
    pub x: Length,
    /// Across it.
    pub y: Length,
}

/// One edge of a ring, from where the last one ended.
///
/// ```
/// use traywright::{cut::ring::area_mm2, length::Length, panel::{Edge, Ring, Spot}};
/// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
/// let round = Edge::Arc { to: at(0, 10), centre: at(0, 0), clockwise: false };
/// let quarter = Ring { edges: vec![Edge::Line(at(10, 0)), round, Edge::Line(at(0, 0))] };
/// assert!((area_mm2(&quarter) - 25.0 * std::f64::consts::PI).abs() < 1e-6);
/// ```
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
    ///
    /// ```
    /// use traywright::{length::Length, panel::{Edge, Spot}};
    /// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
    /// let round = Edge::Arc { to: at(0, 10), centre: at(0, 0), clockwise: false };
    /// assert_eq!((Edge::Line(at(10, 0)).to(), round.to()), (at(10, 0), at(0, 10)));
    /// ```
    pub fn to(&self) -> Spot {
        match *self {
            Edge::Line(to) | Edge::Arc { to, .. } => to,
        }
    }
}

/// A closed line: edge 0 begins where the last edge ends.
///
/// ```
/// use traywright::{length::Length, panel::{Edge, Ring, Spot}};
/// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
/// let sail = Ring { edges: [at(30, 0), at(0, 40), at(0, 0)].map(Edge::Line).to_vec() };
/// // The first edge begins where the last one ends.
/// assert_eq!(sail.spans().next(), Some((at(0, 0), Edge::Line(at(30, 0)))));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ring {
    /// Its edges.
    pub edges: Vec<Edge>,
}

impl Ring {
    /// A rectangle, counterclockwise from its least corner.
    ///
    /// ```
    /// use traywright::{length::Length, panel::{Edge, Ring, Spot}};
    /// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
    /// let ring = Ring::rectangle(Length::mm(1), Length::mm(2), Length::mm(30), Length::mm(40));
    /// assert_eq!(ring.edges, [at(31, 2), at(31, 42), at(1, 42), at(1, 2)].map(Edge::Line));
    /// ```
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

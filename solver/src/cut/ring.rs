//! What outlines measure: directions, bounds, lengths, areas; and how they are carried from one place to another.

use std::f64::consts::TAU;
use std::ops::{Add, Sub};

use crate::length::Length;
use crate::panel::{Edge, Ring, Spot};

impl Add for Spot {
    type Output = Spot;
    fn add(self, o: Spot) -> Spot {
        Spot { x: self.x + o.x, y: self.y + o.y }
    }
}

impl Sub for Spot {
    type Output = Spot;
    fn sub(self, o: Spot) -> Spot {
        Spot { x: self.x - o.x, y: self.y - o.y }
    }
}

/// Twice the area between two vectors, nm²: positive where `b` lies to the left of `a`.
pub(crate) fn cross(a: Spot, b: Spot) -> i128 {
    i128::from(a.x.nm()) * i128::from(b.y.nm()) - i128::from(a.y.nm()) * i128::from(b.x.nm())
}

/// Their inner product, nm².
pub(crate) fn dot(a: Spot, b: Spot) -> i128 {
    i128::from(a.x.nm()) * i128::from(b.x.nm()) + i128::from(a.y.nm()) * i128::from(b.y.nm())
}

/// The root of a square, rounded to the nearest; 0 of what is negative.
pub(super) fn isqrt(v: i128) -> i128 {
    let down = v.max(0).isqrt();
    if v - down * down > down { down + 1 } else { down }
}

/// Distance of two points in nanometres, rounded to the nearest.
pub(crate) fn radius(a: Spot, b: Spot) -> i64 {
    isqrt(dot(a - b, a - b)) as i64
}

/// Directions of travel at both ends of an edge.
pub(super) fn ends(from: Spot, edge: Edge) -> [Spot; 2] {
    match edge {
        Edge::Line(to) => [to - from; 2],
        Edge::Arc { to, centre, clockwise } => [from, to].map(|at| {
            let arm = at - centre;
            if clockwise { Spot { x: arm.y, y: -arm.x } } else { Spot { x: -arm.y, y: arm.x } }
        }),
    }
}

/// How far an arc turns, in radians, from above 0 to below a full turn.
fn sweep(from: Spot, to: Spot, centre: Spot, clockwise: bool) -> f64 {
    let (a, b) = if clockwise { (to - centre, from - centre) } else { (from - centre, to - centre) };
    let angle = (cross(a, b) as f64).atan2(dot(a, b) as f64);
    if angle <= 0.0 { angle + TAU } else { angle }
}

/// Corners of a polygon that follows a ring: arcs become chains of chords, so many a quarter turn.
///
/// ```
/// use traywright::{cut::ring::flat, length::Length, panel::{Edge, Ring, Spot}};
/// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
/// let half = Edge::Arc { to: at(-5, 0), centre: at(0, 0), clockwise: false };
/// let bow = Ring { edges: vec![Edge::Line(at(5, 0)), half] };
/// assert_eq!(flat(&bow, 1), [at(5, 0), at(0, 5), at(-5, 0)]);
/// assert_eq!(flat(&bow, 8).len(), 1 + 16); // two quarter turns
/// ```
pub fn flat(ring: &Ring, chords: u32) -> Vec<Spot> {
    let mut out = Vec::with_capacity(ring.edges.len());
    for (from, edge) in ring.spans() {
        if let Edge::Arc { to, centre, clockwise } = edge {
            let (whole, r) = (sweep(from, to, centre, clockwise), radius(from, centre) as f64);
            let arm = from - centre;
            let first = (arm.y.nm() as f64).atan2(arm.x.nm() as f64);
            let parts = (f64::from(chords) * whole / (TAU / 4.0)).ceil().max(1.0) as u32;
            for k in 1..parts {
                let turned = whole * f64::from(k) / f64::from(parts);
                let angle = if clockwise { first - turned } else { first + turned };
                let at = |v: f64| Length::from_nm((r * v).round() as i64);
                out.push(centre + Spot { x: at(angle.cos()), y: at(angle.sin()) });
            }
        }
        out.push(edge.to());
    }
    out
}

/// The least and the greatest coordinates of a ring, arcs counted exactly; the origin twice for an empty one.
///
/// ```
/// use traywright::cut::ring::bounds;
/// use traywright::length::Length;
/// use traywright::panel::{Edge, Ring, Spot};
/// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
/// let half = Edge::Arc { to: at(-5, 0), centre: at(0, 0), clockwise: false };
/// let (least, most) = bounds(&Ring { edges: vec![Edge::Line(at(5, 0)), half] });
/// assert_eq!((least, most), (at(-5, 0), at(5, 5)));
/// ```
pub fn bounds(ring: &Ring) -> (Spot, Spot) {
    let first = ring.edges.first().map_or(Spot { x: Length::ZERO, y: Length::ZERO }, Edge::to);
    let (mut least, mut most) = (first, first);
    let mut take = |p: Spot| {
        least = Spot { x: least.x.min(p.x), y: least.y.min(p.y) };
        most = Spot { x: most.x.max(p.x), y: most.y.max(p.y) };
    };
    for (from, edge) in ring.spans() {
        take(edge.to());
        if let Edge::Arc { to, centre, clockwise } = edge {
            let r = Length::from_nm(radius(from, centre));
            let zero = Length::ZERO;
            for arm in [(r, zero), (zero, r), (-r, zero), (zero, -r)] {
                let arm = Spot { x: arm.0, y: arm.1 };
                let (a, b) =
                    if clockwise { (to - centre, from - centre) } else { (from - centre, to - centre) };
                let passes = if cross(a, b) >= 0 {
                    cross(a, arm) >= 0 && cross(arm, b) >= 0
                } else {
                    !(cross(b, arm) > 0 && cross(arm, a) > 0)
                };
                if passes {
                    take(centre + arm);
                }
            }
        }
    }
    (least, most)
}

/// Distance of two points in millimetres.
pub(super) fn distance_mm(a: Spot, b: Spot) -> f64 {
    (dot(a - b, a - b) as f64).sqrt() / 1e6
}

/// Length of an edge in millimetres.
pub(super) fn edge_mm(from: Spot, edge: Edge) -> f64 {
    match edge {
        Edge::Line(to) => distance_mm(from, to),
        Edge::Arc { to, centre, clockwise } => {
            radius(from, centre) as f64 * sweep(from, to, centre, clockwise) / 1e6
        }
    }
}

/// Length of a ring in millimetres.
pub(crate) fn length_mm(ring: &Ring) -> f64 {
    ring.spans().map(|(from, edge)| edge_mm(from, edge)).sum()
}

/// Area within a ring in mm², whichever way it runs.
///
/// ```
/// use traywright::{cut::ring::{area_mm2, carried}, length::Length, panel::Ring};
/// let ring = Ring::rectangle(Length::mm(1), Length::mm(2), Length::mm(30), Length::mm(40));
/// assert_eq!(area_mm2(&ring), 1_200.0);
/// assert_eq!(area_mm2(&carried(&ring, true, |p| p)), 1_200.0); // the other way round
/// ```
pub fn area_mm2(ring: &Ring) -> f64 {
    let twice: f64 = ring
        .spans()
        .map(|(from, edge)| {
            let chord = cross(from, edge.to()) as f64;
            match edge {
                Edge::Line(_) => chord,
                Edge::Arc { to, centre, clockwise } => {
                    let (r, turned) = (radius(from, centre) as f64, sweep(from, to, centre, clockwise));
                    let bulge = r * r * (turned - turned.sin());
                    if clockwise { chord - bulge } else { chord + bulge }
                }
            }
        })
        .sum();
    (twice / 2.0).abs() / 1e12
}

/// A ring carried elsewhere by a map of points that keeps lengths; `mirrors` says that the map turns left into
/// right, and then the ring runs the other way round, so that what was outside stays outside.
///
/// ```
/// use traywright::{cut::ring::carried, length::Length, panel::{Edge, Ring, Spot}};
/// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
/// let ring = Ring::rectangle(Length::mm(1), Length::mm(2), Length::mm(30), Length::mm(40));
/// let moved = carried(&ring, false, |p| p + at(9, 0));
/// assert_eq!(moved.edges[0], Edge::Line(at(40, 2)));
/// // Seen from the back it still runs counterclockwise.
/// let back = carried(&ring, true, |p| Spot { x: -p.x, y: p.y });
/// assert_eq!(back.edges, [at(-1, 42), at(-31, 42), at(-31, 2), at(-1, 2)].map(Edge::Line));
/// ```
pub fn carried(ring: &Ring, mirrors: bool, map: impl Fn(Spot) -> Spot) -> Ring {
    if !mirrors {
        let carry = |edge: &Edge| match *edge {
            Edge::Line(to) => Edge::Line(map(to)),
            Edge::Arc { to, centre, clockwise } => Edge::Arc { to: map(to), centre: map(centre), clockwise },
        };
        return Ring { edges: ring.edges.iter().map(carry).collect() };
    }
    // Backwards every edge ends where it began; mirrored and backwards an arc keeps its hand.
    let back = |(from, edge): (Spot, Edge)| match edge {
        Edge::Line(_) => Edge::Line(map(from)),
        Edge::Arc { centre, clockwise, .. } => Edge::Arc { to: map(from), centre: map(centre), clockwise },
    };
    let spans: Vec<(Spot, Edge)> = ring.spans().collect();
    Ring { edges: spans.into_iter().rev().map(back).collect() }
}

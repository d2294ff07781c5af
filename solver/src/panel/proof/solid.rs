//! A panel as boxes in space, read back from what is cut: outline, openings, recesses and pose. Shares no code with
//! the making of panels.

use super::super::{Axis, Edge, NotchFor, Panel, Ring, Spot};
use crate::length::{Area, Length};

/// A body with faces along the axes, from its least to its greatest corner, nanometres of the tray.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Solid {
    pub(super) lo: [i64; 3],
    pub(super) hi: [i64; 3],
}

impl Solid {
    pub(super) fn volume(&self) -> i128 {
        (0..3).map(|k| i128::from((self.hi[k] - self.lo[k]).max(0))).product()
    }

    /// What both share; its volume is 0 where they share none.
    pub(super) fn shared(&self, o: &Solid) -> Solid {
        Solid {
            lo: [0, 1, 2].map(|k| self.lo[k].max(o.lo[k])),
            hi: [0, 1, 2].map(|k| self.hi[k].min(o.hi[k])),
        }
    }

    pub(super) fn meets(&self, o: &Solid) -> bool {
        (0..3).all(|k| self.lo[k] < o.hi[k] && o.lo[k] < self.hi[k])
    }

    /// Whether they touch face to face without sharing volume.
    pub(super) fn faces(&self, o: &Solid) -> bool {
        let touching = (0..3).filter(|&k| self.hi[k] == o.lo[k] || o.hi[k] == self.lo[k]).count();
        let overlapping = (0..3).filter(|&k| self.lo[k] < o.hi[k] && o.lo[k] < self.hi[k]).count();
        touching == 1 && overlapping == 2
    }

    pub(super) fn within(&self, o: &Solid) -> bool {
        (0..3).all(|k| o.lo[k] <= self.lo[k] && self.hi[k] <= o.hi[k])
    }
}

/// A panel's boxes with its notches filled up, and how to find places of the panel in space.
pub(super) struct Body {
    pub(super) boxes: Vec<Solid>,
    /// The same without what is lowered for something sunk: what is moved to its place.
    pub(super) moved: Vec<Solid>,
    frame: Frame,
    pub(super) thickness: i64,
}

impl Body {
    /// Reads a panel; the error says what is wrong with it.
    pub(super) fn of(panel: &Panel) -> Result<Body, String> {
        let frame = Frame::of(panel).ok_or("its axes are no right-handed frame")?;
        let thickness = panel.thickness.nm();
        if thickness <= 0 {
            return Err("it has no thickness".into());
        }
        let notches: Vec<Flat> = panel
            .notches
            .iter()
            .map(|n| Flat::new((n.at.x.nm(), (n.at.x + n.w).nm()), (n.at.y.nm(), (n.at.y + n.d).nm())))
            .collect();
        let rim = straight(&panel.outline, &notches)?;
        let mut rims = vec![rim];
        for opening in &panel.openings {
            rims.push(straight(&opening.ring, &[])?);
        }
        let plate = slabs(&rims)?;
        if notches.iter().any(|n| plate.iter().any(|p| p.meets(n))) {
            return Err("there is stock where a notch should be".into());
        }
        let mut recessed = Vec::new();
        for recess in &panel.recesses {
            let rim = straight(&recess.ring, &[])?;
            let depth = recess.depth.nm();
            if depth <= 0 || depth >= thickness {
                return Err("a recess goes through it or takes nothing".into());
            }
            let left = if recess.from_face { (0, thickness - depth) } else { (depth, thickness) };
            recessed.extend(slabs(&[rim])?.into_iter().map(|part| (part, left)));
        }
        let solids = |flats: Vec<Flat>| {
            let (mut boxes, mut full) = (Vec::new(), flats);
            for (part, left) in &recessed {
                let within = full.iter().map(|f| f.shared(part)).filter(|f| f.area() > 0);
                boxes.extend(within.map(|f| frame.place(f, *left)));
                full = full.iter().flat_map(|f| f.without(part)).collect();
            }
            boxes.extend(full.iter().map(|f| frame.place(*f, (0, thickness))));
            boxes
        };
        let for_fingers = panel.notches.iter().zip(&notches).filter(|(n, _)| n.purpose != NotchFor::Sunk);
        let moved = solids(plate.iter().chain(for_fingers.map(|(_, flat)| flat)).copied().collect());
        let boxes = solids(plate.iter().chain(&notches).copied().collect());
        Ok(Body { boxes, moved, frame, thickness })
    }

    /// The box over this rectangle of the panel, all through its thickness.
    pub(super) fn through(&self, x: (i64, i64), y: (i64, i64)) -> Solid {
        self.frame.place(Flat::new(x, y), (0, self.thickness))
    }

    /// The boxes that notches of a panel take; no two overlap.
    pub(super) fn notched(&self, panel: &Panel) -> Vec<Solid> {
        let range = |from: Length, long: Length| (from.nm(), (from + long).nm());
        panel.notches.iter().map(|n| self.through(range(n.at.x, n.w), range(n.at.y, n.d))).collect()
    }

    /// The boxes that openings of a panel take.
    pub(super) fn opening(&self, ring: &Ring) -> Result<Vec<Solid>, String> {
        let flats = slabs(&[straight(ring, &[])?])?;
        Ok(flats.into_iter().map(|f| self.frame.place(f, (0, self.thickness))).collect())
    }
}

/// What a panel's faces measure: outline less openings, arcs rounded to the lesser whole nm².
pub(super) fn face(panel: &Panel) -> Area {
    let rings = std::iter::once(&panel.outline).chain(panel.openings.iter().map(|o| &o.ring));
    Area::from_nm2(rings.map(signed).sum())
}

/// Area within a ring, negative for one that runs clockwise.
fn signed(ring: &Ring) -> i128 {
    let mut twice = 0i128;
    let mut round = 0i128;
    for (from, edge) in ring.spans() {
        for (a, b) in corners(from, edge).windows(2).filter_map(|w| Some((*w.first()?, *w.get(1)?))) {
            twice +=
                i128::from(a.x.nm()) * i128::from(b.y.nm()) - i128::from(b.x.nm()) * i128::from(a.y.nm());
        }
        if let Edge::Arc { to, clockwise, .. } = edge {
            let r = i128::from((to.x - from.x).nm().abs());
            // 355/113 is a little more than π, so that the quarter circle is taken large and the corner small.
            let corner = r * r - (r * r * 355 + 451) / 452;
            round += if clockwise { corner } else { -corner };
        }
    }
    twice / 2 + round
}

/// The corners of an edge: an arc goes by the corner of its square that is not its middle.
fn corners(from: Spot, edge: Edge) -> Vec<Spot> {
    match edge {
        Edge::Line(to) => vec![from, to],
        Edge::Arc { to, centre, .. } => {
            let corner = Spot { x: from.x + to.x - centre.x, y: from.y + to.y - centre.y };
            vec![from, corner, to]
        }
    }
}

type Points = Vec<(i64, i64)>;

/// A ring with straight edges along the axes only; arcs must round the lower corners of these notches.
fn straight(ring: &Ring, notches: &[Flat]) -> Result<Points, String> {
    let mut out = Vec::new();
    for (from, edge) in ring.spans() {
        if let Edge::Arc { to, centre, clockwise } = edge {
            let (dx, dy) = ((to.x - from.x).nm(), (to.y - from.y).nm());
            let quarter = dx.abs() == dy.abs()
                && ((centre.x == from.x && centre.y == to.y) || (centre.y == from.y && centre.x == to.x));
            let square = Flat::new(
                (from.x.nm().min(to.x.nm()), from.x.nm().max(to.x.nm())),
                (from.y.nm().min(to.y.nm()), from.y.nm().max(to.y.nm())),
            );
            if !quarter || !clockwise || !notches.iter().any(|n| n.shared(&square) == square) {
                return Err("an arc is not a quarter circle in the corner of a notch".into());
            }
        }
        for w in corners(from, edge).windows(2) {
            let [a, b] = w else { continue };
            if a.x != b.x && a.y != b.y {
                return Err("an edge runs along neither axis".into());
            }
            out.push((b.x.nm(), b.y.nm()));
        }
    }
    Ok(out)
}

/// A rectangle of a panel's plane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Flat {
    x: (i64, i64),
    y: (i64, i64),
}

impl Flat {
    fn new(x: (i64, i64), y: (i64, i64)) -> Flat {
        Flat { x, y }
    }

    fn area(&self) -> i128 {
        i128::from((self.x.1 - self.x.0).max(0)) * i128::from((self.y.1 - self.y.0).max(0))
    }

    fn shared(&self, o: &Flat) -> Flat {
        Flat::new((self.x.0.max(o.x.0), self.x.1.min(o.x.1)), (self.y.0.max(o.y.0), self.y.1.min(o.y.1)))
    }

    fn meets(&self, o: &Flat) -> bool {
        self.shared(o).area() > 0
    }

    /// What is left of it outside the other.
    fn without(&self, o: &Flat) -> Vec<Flat> {
        let s = self.shared(o);
        if s.area() <= 0 {
            return vec![*self];
        }
        let parts = [
            Flat::new((self.x.0, s.x.0), self.y),
            Flat::new((s.x.1, self.x.1), self.y),
            Flat::new(s.x, (self.y.0, s.y.0)),
            Flat::new(s.x, (s.y.1, self.y.1)),
        ];
        parts.into_iter().filter(|f| f.x.0 < f.x.1 && f.y.0 < f.y.1).collect()
    }
}

/// What these rims enclose (what is enclosed twice is a hole), as rectangles that share nothing.
fn slabs(rims: &[Points]) -> Result<Vec<Flat>, String> {
    let mut xs: Vec<i64> = rims.iter().flatten().map(|p| p.0).collect();
    xs.sort_unstable();
    xs.dedup();
    let level: Vec<(i64, i64, i64)> = rims
        .iter()
        .flat_map(|rim| rim.iter().zip(rim.iter().cycle().skip(1)))
        .filter(|(a, b)| a.1 == b.1 && a.0 != b.0)
        .map(|(a, b)| (a.0.min(b.0), a.0.max(b.0), a.1))
        .collect();
    let mut out = Vec::new();
    for slab in xs.windows(2) {
        let [x0, x1] = *slab else { continue };
        let mut ys: Vec<i64> = level.iter().filter(|(a, b, _)| *a <= x0 && x1 <= *b).map(|l| l.2).collect();
        ys.sort_unstable();
        if !ys.len().is_multiple_of(2) {
            return Err("its rim is not closed".into());
        }
        out.extend(ys.chunks(2).filter_map(|c| match *c {
            [y0, y1] if y0 < y1 => Some(Flat::new((x0, x1), (y0, y1))),
            _ => None,
        }));
    }
    Ok(out)
}

/// Where a panel's axes point in its tray.
struct Frame {
    origin: [i64; 3],
    x: [i64; 3],
    y: [i64; 3],
    normal: [i64; 3],
}

impl Frame {
    fn of(panel: &Panel) -> Option<Frame> {
        let p = panel.pose;
        let (x, y, normal) = (direction(p.x), direction(p.y), direction(p.normal));
        let cross = [0, 1, 2].map(|k| {
            let (i, j) = ((k + 1) % 3, (k + 2) % 3);
            x[i] * y[j] - x[j] * y[i]
        });
        let origin = [p.origin.x.nm(), p.origin.y.nm(), p.origin.z.nm()];
        (cross == normal).then_some(Frame { origin, x, y, normal })
    }

    fn place(&self, f: Flat, depth: (i64, i64)) -> Solid {
        let at = |x: i64, y: i64, n: i64| {
            [0, 1, 2].map(|k| self.origin[k] + x * self.x[k] + y * self.y[k] + n * self.normal[k])
        };
        let (a, b) = (at(f.x.0, f.y.0, depth.0), at(f.x.1, f.y.1, depth.1));
        Solid { lo: [0, 1, 2].map(|k| a[k].min(b[k])), hi: [0, 1, 2].map(|k| a[k].max(b[k])) }
    }
}

/// A unit step in this direction.
pub(super) fn direction(axis: Axis) -> [i64; 3] {
    match axis {
        Axis::Right => [1, 0, 0],
        Axis::Left => [-1, 0, 0],
        Axis::Back => [0, 1, 0],
        Axis::Front => [0, -1, 0],
        Axis::Up => [0, 0, 1],
        Axis::Down => [0, 0, -1],
    }
}

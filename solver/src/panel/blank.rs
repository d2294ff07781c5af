//! A panel while it is being thought out, in the coordinates of its tray; and how it becomes one to cut.

use super::region::{Corners, Rect, Region, twice_area};
use super::shape::{Edge, Ring, Spot};
use super::{Axis, Cut, Mark, Meets, Notch, NotchFor, Opening, Panel, Pose, Recess, Role};
use crate::finding::Finding;
use crate::job::Joint;
use crate::length::Length;
use crate::place::Point;

/// Largest radius of the lower corners of a notch (our choice, no source).
const NOTCH_RADIUS: Length = Length::mm(10);

/// Which way a panel lies, and so which coordinates of the tray are its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lie {
    /// Across the tray: width and depth.
    Flat,
    /// Upright along the width: width and height.
    AlongWidth,
    /// Upright along the depth: depth and height.
    AlongDepth,
}

/// A panel in tray coordinates.
#[derive(Clone, Debug)]
pub(super) struct Blank {
    pub(super) role: Role,
    pub(super) name: String,
    pub(super) cut: Cut,
    pub(super) thickness: Length,
    pub(super) lie: Lie,
    /// Its good face looks to the back or to the left, where it would look to the front or to the right.
    pub(super) turned: bool,
    /// Where its back face is, across.
    pub(super) back: Length,
    pub(super) region: Region,
    slots: Vec<Slot>,
    pub(super) notches: Vec<(Rect, NotchFor)>,
    recesses: Vec<(Rect, Length)>,
    pub(super) marks: Vec<Mark>,
}

/// A place where another panel goes in.
#[derive(Clone, Copy, Debug)]
struct Slot {
    rect: Rect,
    joint: Joint,
    /// Where it is open at the rim: whether its sides are upright.
    upright: bool,
}

impl Blank {
    pub(super) fn new(role: Role, name: &str, cut: Cut, thickness: Length, lie: Lie, back: Length) -> Blank {
        Blank {
            role,
            name: name.to_owned(),
            cut,
            thickness,
            lie,
            turned: false,
            back,
            region: Region::default(),
            slots: Vec::new(),
            notches: Vec::new(),
            recesses: Vec::new(),
            marks: Vec::new(),
        }
    }

    /// The same with its good face the other way.
    pub(super) fn turned(self) -> Blank {
        Blank { turned: true, ..self }
    }

    /// Cuts a slot for another panel.
    pub(super) fn slot(&mut self, rect: Rect, joint: Joint, upright: bool) {
        self.region.cut(rect);
        self.slots.push(Slot { rect, joint, upright });
    }

    /// Cuts a notch for fingers, open above.
    pub(super) fn notch(&mut self, rect: Rect, purpose: NotchFor) {
        self.region.cut(rect);
        self.notches.push((rect, purpose));
    }

    /// Lowers it within a rectangle for something that sinks in: takes whatever stock it has there.
    pub(super) fn lower(&mut self, rect: Rect) {
        for part in self.region.cells().within(rect) {
            self.notch(part, NotchFor::Sunk);
        }
    }

    /// Cuts to this depth from the back.
    pub(super) fn recess(&mut self, rect: Rect, depth: Length) {
        if !rect.is_empty() {
            self.recesses.push((rect, depth));
        }
    }

    /// The panel to cut, its least corner at (0, 0).
    ///
    /// # Errors
    /// K001 where less stock is left somewhere than it is thick, K002 where it falls apart.
    pub(super) fn finish(self, letter: String, tray: &str) -> Result<Panel, Finding> {
        let about = |f: Finding| f.about(format!("tray \"{tray}\" › {} ({letter})", self.name));
        let Some(around) = self.region.around() else {
            return Err(about(Finding::listed("K002", format!("nothing is left of the {}", self.name))));
        };
        let (dx, dy) = (if self.turned { -around.x1 } else { -around.x0 }, -around.y0);
        let own = |r: &Rect| r.moved(dx, dy, self.turned);
        let cells = self.region.moved(dx, dy, self.turned).cells();
        if let Some((left, at)) = cells.thinnest()
            && left < self.thickness
        {
            let more = self.thickness - left;
            return Err(about(
                Finding::listed(
                    "K001",
                    format!(
                        "only {left} of stock is left at {}, {} of the {}, which is {} thick",
                        at.x, at.y, self.name, self.thickness
                    ),
                )
                .remedied(format!(
                    "Make the compartment there {more} larger, take stock of {left}, or join this tray with `butt`."
                )),
            ));
        }
        let (outer, holes): (Vec<Corners>, Vec<Corners>) =
            cells.rims().into_iter().partition(|rim| twice_area(rim) > 0);
        let [rim] = outer.as_slice() else {
            let cause = format!("the {} would fall into {} pieces", self.name, outer.len());
            return Err(about(Finding::listed("K002", cause)));
        };
        let slots: Vec<Slot> = self.slots.iter().map(|s| Slot { rect: own(&s.rect), ..*s }).collect();
        let notches: Vec<(Rect, NotchFor)> =
            self.notches.iter().map(|(r, purpose)| (own(r), *purpose)).collect();
        let (outline, fitted) = outline(rim, &slots, &notches);
        let openings = holes.iter().map(|hole| {
            let joint = slots.iter().find(|s| hole.iter().any(|c| touches(&s.rect, *c))).map(|s| s.joint);
            Opening {
                ring: Ring { edges: hole.iter().map(|&to| Edge::Line(to)).collect() },
                meets: joint.map_or(Meets::Nothing, Meets::Panel),
            }
        });
        let recesses = self.recesses.iter().map(|(r, depth)| {
            let r = own(r);
            let ring = Ring::rectangle(r.x0, r.y0, r.x1 - r.x0, r.y1 - r.y0);
            Recess { ring, depth: *depth, from_face: false }
        });
        let notches = notches.iter().map(|(r, purpose)| Notch {
            at: Spot { x: r.x0, y: r.y0 },
            w: r.x1 - r.x0,
            d: r.y1 - r.y0,
            purpose: *purpose,
        });
        let marks = self.marks.iter().map(|m| {
            let Spot { x, y } = m.middle;
            let r = own(&Rect { x0: x, x1: x, y0: y, y1: y });
            Mark { middle: Spot { x: r.x0, y: r.y0 }, ..m.clone() }
        });
        let (u, v) = (if self.turned { around.x1 } else { around.x0 }, around.y0);
        Ok(Panel {
            letter,
            name: self.name.clone(),
            role: self.role,
            cut: self.cut,
            thickness: self.thickness,
            outline,
            fitted,
            openings: openings.collect(),
            notches: notches.collect(),
            recesses: recesses.collect(),
            pose: pose(self.lie, self.turned, self.back, u, v),
            marks: marks.collect(),
        })
    }
}

fn pose(lie: Lie, turned: bool, back: Length, u: Length, v: Length) -> Pose {
    let (origin, x, y, normal) = match (lie, turned) {
        (Lie::Flat, _) => (Point { x: u, y: v, z: back }, Axis::Right, Axis::Back, Axis::Up),
        (Lie::AlongWidth, false) => (Point { x: u, y: back, z: v }, Axis::Right, Axis::Up, Axis::Front),
        (Lie::AlongWidth, true) => (Point { x: u, y: back, z: v }, Axis::Left, Axis::Up, Axis::Back),
        (Lie::AlongDepth, false) => (Point { x: back, y: u, z: v }, Axis::Back, Axis::Up, Axis::Right),
        (Lie::AlongDepth, true) => (Point { x: back, y: u, z: v }, Axis::Front, Axis::Up, Axis::Left),
    };
    Pose { origin, x, y, normal }
}

/// Whether a point lies in a rectangle or on its rim.
fn touches(r: &Rect, at: Spot) -> bool {
    r.x0 <= at.x && at.x <= r.x1 && r.y0 <= at.y && at.y <= r.y1
}

/// The rim with the lower corners of notches rounded, and which of its edges are sides of slots.
fn outline(rim: &[Spot], slots: &[Slot], notches: &[(Rect, NotchFor)]) -> (Ring, Vec<(usize, Joint)>) {
    let mut edges = Vec::with_capacity(rim.len());
    let mut fitted = Vec::new();
    let before = rim.iter().cycle().skip(rim.len().saturating_sub(1));
    let after = rim.iter().cycle().skip(1);
    for ((&corner, &from), &next) in rim.iter().zip(before).zip(after) {
        if let Some(slot) = slots.iter().find(|s| is_side(s, from, corner)) {
            fitted.push((edges.len(), slot.joint));
        }
        let round = notches.iter().find(|(r, purpose)| {
            *purpose != NotchFor::Sunk && corner.y == r.y0 && (corner.x == r.x0 || corner.x == r.x1)
        });
        let Some((notch, _)) = round else {
            edges.push(Edge::Line(corner));
            continue;
        };
        let radius = NOTCH_RADIUS.min((notch.x1 - notch.x0) / 2).min(notch.y1 - notch.y0);
        let (a, b) = (towards(corner, from, radius), towards(corner, next, radius));
        let reached = edges.last().map(Edge::to);
        if reached != Some(a) && (reached.is_some() || from != a) {
            edges.push(Edge::Line(a));
        }
        let centre = Spot { x: a.x + b.x - corner.x, y: a.y + b.y - corner.y };
        edges.push(Edge::Arc { to: b, centre, clockwise: true });
    }
    (Ring { edges }, fitted)
}

/// The point so far from one corner towards another that differs from it in one coordinate.
fn towards(from: Spot, to: Spot, by: Length) -> Spot {
    let step = |a: Length, b: Length| match a.cmp(&b) {
        std::cmp::Ordering::Less => by,
        std::cmp::Ordering::Equal => Length::ZERO,
        std::cmp::Ordering::Greater => -by,
    };
    Spot { x: from.x + step(from.x, to.x), y: from.y + step(from.y, to.y) }
}

/// Whether an edge of the rim is a side of this slot.
fn is_side(slot: &Slot, a: Spot, b: Spot) -> bool {
    let r = &slot.rect;
    if slot.upright {
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        a.x == b.x && (a.x == r.x0 || a.x == r.x1) && r.y0 <= low && high <= r.y1
    } else {
        let (low, high) = (a.x.min(b.x), a.x.max(b.x));
        a.y == b.y && (a.y == r.y0 || a.y == r.y1) && r.x0 <= low && high <= r.x1
    }
}

//! Floor, walls and lid of a tray, and how they meet.

use super::blank::{Blank, Lie};
use super::comb::{corner_tabs, even, fingers};
use super::recess::{Zone, top_at};
use super::region::Rect;
use super::{Cut, Role};
use crate::job::{Job, Joint, Tray};
use crate::length::Length;
use crate::plan::PlacedTray;

/// What a rebate leaves: the paper face, half a millimetre, but never more than a quarter of the sheet (common
/// practice, no source).
const SKIN: Length = Length::um(500);

/// The measures of a tray, its outer left front bottom corner being the origin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Measures {
    pub(super) w: Length,
    pub(super) d: Length,
    pub(super) h: Length,
    /// Where the walls end: under the lid.
    pub(super) top: Length,
    pub(super) wall: Length,
    pub(super) floor: Length,
    pub(super) lid: Length,
}

impl Measures {
    pub(super) fn of(tray: &PlacedTray) -> Measures {
        let s = tray.size;
        let (wall, floor, lid) = (tray.wall, tray.floor, tray.lid);
        Measures { w: s.w, d: s.d, h: s.h, top: s.h - lid, wall, floor, lid }
    }

    /// Length of a wall outside: of front and back, or of left and right.
    pub(super) fn length(&self, side: Side) -> Length {
        if side.along_width() { self.w } else { self.d }
    }
}

/// One of the four walls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Side {
    Front,
    Back,
    Left,
    Right,
}

impl Side {
    pub(super) const ALL: [Side; 4] = [Side::Front, Side::Back, Side::Left, Side::Right];

    pub(super) fn along_width(self) -> bool {
        matches!(self, Side::Front | Side::Back)
    }
}

/// How the panels of a tray meet: what it is asked for, as far as the stocks of both sides make it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ways {
    /// Wall to wall, and how walls and floor meet where both are cut so.
    pub(super) corner: Joint,
    /// Wall to floor: `finger`, `tab`, `rebate` or `butt`.
    pub(super) base: Joint,
    /// Whether dividers have tabs in walls.
    pub(super) ends: bool,
    /// Whether dividers have tabs in the floor.
    pub(super) feet: bool,
    /// Whether dividers are halved where they cross and slotted where one meets the face of another.
    pub(super) halved: bool,
}

impl Ways {
    /// The tray's own joint, or that of each stock.
    pub(super) fn of(job: &Job, rule: Option<&Tray>) -> Ways {
        let asked = rule.and_then(|t| t.joint);
        let of = |stock: Option<&crate::job::Stock>| asked.unwrap_or(stock.unwrap_or(&job.stock).joint);
        let (walls, floor, dividers) =
            (of(None), of(job.floor_stock.as_ref()), of(job.divider_stock.as_ref()));
        let cut = |joint: Joint| matches!(joint, Joint::Finger | Joint::Tab);
        let base = match walls {
            Joint::Finger | Joint::Tab if cut(floor) => walls,
            Joint::Rebate => Joint::Rebate,
            _ => Joint::Butt,
        };
        Ways {
            corner: walls,
            base,
            ends: cut(walls) && cut(dividers),
            feet: cut(floor) && cut(dividers),
            halved: cut(dividers) || dividers == Joint::Halved,
        }
    }
}

/// Floor, walls and lid.
pub(super) struct Shell {
    pub(super) floor: Blank,
    pub(super) front: Blank,
    pub(super) back: Blank,
    pub(super) left: Blank,
    pub(super) right: Blank,
    pub(super) lid: Option<Blank>,
    /// Corners or edges too short for the joint that was asked for.
    pub(super) glued: Vec<&'static str>,
}

impl Shell {
    pub(super) fn wall(&mut self, side: Side) -> &mut Blank {
        match side {
            Side::Front => &mut self.front,
            Side::Back => &mut self.back,
            Side::Left => &mut self.left,
            Side::Right => &mut self.right,
        }
    }
}

/// Bounds of what belongs to either panel along an edge; see [`fingers`].
fn bounds(joint: Joint, from: Length, to: Length, t: Length) -> Vec<Length> {
    match joint {
        Joint::Finger => fingers(from, to, t),
        Joint::Tab => corner_tabs(from, to, t),
        Joint::Halved | Joint::Butt | Joint::Rebate => vec![from, to],
    }
}

/// The shell of a tray, its corners no higher than zones leave them.
pub(super) fn shell(m: &Measures, ways: &Ways, zones: &[Zone]) -> Shell {
    let t = m.wall;
    let wall = |role, name, lie, back| Blank::new(role, name, Cut::Body, t, lie, back);
    let floor = Blank::new(Role::Floor, "floor", Cut::Floor, m.floor, Lie::Flat, Length::ZERO);
    let mut shell = Shell {
        floor,
        front: wall(Role::Front, "front wall", Lie::AlongWidth, t),
        back: wall(Role::Back, "back wall", Lie::AlongWidth, m.d - t).turned(),
        left: wall(Role::Left, "left wall", Lie::AlongDepth, t).turned(),
        right: wall(Role::Right, "right wall", Lie::AlongDepth, m.w - t),
        lid: None,
        glued: Vec::new(),
    };
    if ways.base == Joint::Rebate {
        rebated(&mut shell, m, zones);
    } else {
        combed(&mut shell, m, ways, zones);
    }
    if m.lid > Length::ZERO {
        let mut lid = Blank::new(Role::Lid, "lid", Cut::Floor, m.lid, Lie::Flat, m.top);
        lid.region.add(Rect::new((Length::ZERO, m.w), (Length::ZERO, m.d)));
        shell.lid = Some(lid);
    }
    shell
}

/// A corner of a tray: front or back wall, left or right wall, where it is, and up to which height walls meet there.
struct Corner {
    sides: [Side; 2],
    x: (Length, Length),
    y: (Length, Length),
    top: Length,
}

fn corners(m: &Measures, zones: &[Zone]) -> Vec<Corner> {
    let (t, zero) = (m.wall, Length::ZERO);
    let mut out = Vec::with_capacity(4);
    for (front, y) in [(Side::Front, (zero, t)), (Side::Back, (m.d - t, m.d))] {
        for (left, x) in [(Side::Left, (zero, t)), (Side::Right, (m.w - t, m.w))] {
            out.push(Corner { sides: [front, left], x, y, top: top_at(zones, x, y, m.top) });
        }
    }
    out
}

/// Walls around the floor, or on it where they are only glued; front and back own the corners.
fn combed(shell: &mut Shell, m: &Measures, ways: &Ways, zones: &[Zone]) {
    let (t, zero) = (m.wall, Length::ZERO);
    let standing = ways.base == Joint::Butt;
    let bottom = if standing { m.floor } else { zero };
    let upright = (bottom, m.top);
    shell.front.region.add(Rect::new((zero, m.w), upright));
    shell.back.region.add(Rect::new((zero, m.w), upright));
    shell.left.region.add(Rect::new((t, m.d - t), upright));
    shell.right.region.add(Rect::new((t, m.d - t), upright));
    let thick = if standing { t } else { t.max(m.floor) };
    let mut plain = false;
    for corner in corners(m, zones) {
        let heights = bounds(ways.corner, bottom, corner.top, thick);
        plain |= heights.len() == 2 && matches!(ways.corner, Joint::Finger | Joint::Tab);
        for z in even(&heights) {
            shell.wall(corner.sides[0]).slot(Rect::new(corner.x, z), ways.corner, false);
            shell.wall(corner.sides[1]).region.add(Rect::new(corner.y, z));
        }
    }
    if plain {
        shell.glued.push("its corners");
    }
    if standing {
        shell.floor.region.add(Rect::new((zero, m.w), (zero, m.d)));
        return;
    }
    shell.floor.region.add(Rect::new((t, m.w - t), (t, m.d - t)));
    for side in Side::ALL {
        let (length, far) = (m.length(side), if side.along_width() { m.d } else { m.w });
        let along = bounds(ways.base, t, length - t, thick);
        if along.len() == 2 {
            shell.glued.push(match side {
                Side::Front => "its front wall and floor",
                Side::Back => "its back wall and floor",
                Side::Left => "its left wall and floor",
                Side::Right => "its right wall and floor",
            });
        }
        let across = if matches!(side, Side::Front | Side::Left) { (zero, t) } else { (far - t, far) };
        for u in even(&along) {
            shell.wall(side).slot(Rect::new(u, (zero, m.floor)), ways.base, true);
            let tab = if side.along_width() { Rect::new(u, across) } else { Rect::new(across, u) };
            shell.floor.region.add(tab);
        }
    }
}

/// Walls around the floor, their inner side taken away at the edges so that only the outer face covers them.
fn rebated(shell: &mut Shell, m: &Measures, zones: &[Zone]) {
    let (t, zero) = (m.wall, Length::ZERO);
    let skin = SKIN.min(t / 4);
    let depth = t - skin;
    let upright = (zero, m.top);
    for wall in [&mut shell.front, &mut shell.back] {
        wall.region.add(Rect::new((zero, m.w), upright));
        wall.recess(Rect::new((t, m.w - t), (zero, m.floor)), depth);
    }
    for wall in [&mut shell.left, &mut shell.right] {
        wall.region.add(Rect::new((skin, m.d - skin), upright));
        wall.recess(Rect::new((skin, m.d - skin), (zero, m.floor)), depth);
    }
    for corner in corners(m, zones) {
        shell.wall(corner.sides[0]).recess(Rect::new(corner.x, (zero, corner.top)), depth);
        // Above a lowered corner the other wall ends beside it, and takes no room that is not there.
        let own = (corner.y.0.max(skin), corner.y.1.min(m.d - skin));
        shell.wall(corner.sides[1]).region.cut(Rect::new(own, (corner.top, m.top)));
    }
    shell.floor.region.add(Rect::new((skin, m.w - skin), (skin, m.d - skin)));
}

/// Widest tab that a lid seats on.
const LID_TAB: Length = Length::mm(30);

/// Where along a wall the tab is on which a lid seats: in its middle. `None` where there is no lid or no room.
pub(super) fn lid_tab(m: &Measures, side: Side) -> Option<(Length, Length)> {
    let thick = m.wall.max(m.lid);
    let length = m.length(side);
    let width = (length / 3).min(LID_TAB.max(thick * 2));
    let start = (length - width) / 2;
    (m.lid > Length::ZERO && width >= thick * 2).then_some((start, start + width))
}

/// Gives walls that are free there a tab in their middle on which the lid seats; where those of two opposite walls
/// hold it, it can only be lifted. Says whether they do.
pub(super) fn seat_lid(shell: &mut Shell, m: &Measures, taken: &dyn Fn(Side) -> bool) -> bool {
    let Some(mut lid) = shell.lid.take() else { return true };
    let mut seated = [false; 4];
    for (side, done) in Side::ALL.into_iter().zip(&mut seated) {
        let Some(u) = lid_tab(m, side).filter(|_| !taken(side)) else { continue };
        shell.wall(side).region.add(Rect::new(u, (m.top, m.h)));
        let far = if side.along_width() { m.d } else { m.w };
        let across = if matches!(side, Side::Front | Side::Left) {
            (Length::ZERO, m.wall)
        } else {
            (far - m.wall, far)
        };
        match side.along_width() {
            true => lid.slot(Rect::new(u, across), Joint::Tab, true),
            false => lid.slot(Rect::new(across, u), Joint::Tab, false),
        }
        *done = true;
    }
    shell.lid = Some(lid);
    let [front, back, left, right] = seated;
    front && back || left && right
}

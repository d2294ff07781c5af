//! Notches for fingers: grips by which a tray is lifted, and openings to compartments out of which nothing could be
//! taken otherwise. None opens below the fill line of what is poured in, none weakens a corner, none meets a slot.

use super::NotchFor;
use super::boards::Board;
use super::dividers::{Dividers, Lowered};
use super::recess::Zone;
use super::region::Rect;
use super::shell::{Measures, Shell, Side};
use super::trays::{Made, part};
use crate::job::defaults::{NOTCH_DEPTH, NOTCH_WIDTH};
use crate::job::{Contents, Grip, Job};
use crate::length::Length;
use crate::need;
use crate::plan::Compartment;
use crate::plan::grip::{NOTCH_SHOULDER, passes};

/// A narrower notch still takes one finger (DIN 33402-2, from memory: near the palm up to 23 mm, near the tip 20 mm).
const ONE_FINGER: Length = Length::mm(20);
/// Beside contents with so much play a finger goes down: an adult finger is 16 to 20 mm thick (MIT Touch Lab report
/// 2003_009, as cited in a public design guide).
const FINGER_GAP: Length = Length::mm(16);
/// Fingers scoop pieces out of a pocket that is no deeper (common practice, no source).
const REACH: Length = Length::mm(30);
/// … unless it is so wide that the hand goes in (common practice, no source).
const HAND: Length = Length::mm(60);
/// A notch less deep helps no finger (our choice, no source).
const SHALLOWEST: Length = Length::mm(6);
/// Steps in which a grip is moved out of the way of a divider.
const STEP: Length = Length::mm(1);

type Range = (Length, Length);

/// Where notches are in two opposite walls.
type Pair = [(Side, Range); 2];

/// A compartment in coordinates of its tray.
struct Room<'a> {
    c: &'a Compartment,
    x: Range,
    y: Range,
    /// Height above which a notch may open it: the fill line of what is poured in, the floor for the rest.
    line: Length,
}

impl Room<'_> {
    fn along(&self, width: bool) -> Range {
        if width { self.x } else { self.y }
    }
}

fn rooms<'a>(job: &Job, made: &Made<'a>, m: &Measures) -> Vec<Room<'a>> {
    let o = made.tray.at;
    let all = made.tray.compartments.iter().map(|c| {
        let x = (c.at.x - o.x, c.at.x - o.x + c.size.w);
        let y = (c.at.y - o.y, c.at.y - o.y + c.size.d);
        let own = part(job, made.rule, &c.part);
        let poured = own.filter(|p| matches!(p.contents, Contents::Loose(_)));
        let fill = match poured {
            // How high the bulk stands on the compartment's floor.
            Some(part) if c.size.w.min(c.size.d) > Length::ZERO => {
                need::of(part).contents.over_up(c.size.w).over_up(c.size.d).min(c.size.h)
            }
            _ => Length::ZERO,
        };
        Room { c, x, y, line: m.floor + fill }
    });
    all.collect()
}

/// Stretches of a range that lie outside all of these.
fn free(of: Range, taken: &[Range]) -> Vec<Range> {
    let mut taken = taken.to_vec();
    taken.sort_unstable();
    let mut out = Vec::new();
    let mut from = of.0;
    for (a, b) in taken {
        out.push((from, a.min(of.1)));
        from = from.max(b);
    }
    out.push((from, of.1));
    out.into_iter().filter(|(a, b)| a < b).collect()
}

fn overlap(a: Range, b: Range) -> bool {
    a.0 < b.1 && b.0 < a.1
}

/// Whether a compartment lies right behind a wall.
fn behind(r: &Room, side: Side, m: &Measures) -> bool {
    match side {
        Side::Front => r.y.0 == m.wall,
        Side::Back => r.y.1 == m.d - m.wall,
        Side::Left => r.x.0 == m.wall,
        Side::Right => r.x.1 == m.w - m.wall,
    }
}

/// Least distance of a notch from the end of a wall: twice the thickness beside the corner joint.
fn shoulder(m: &Measures) -> Length {
    NOTCH_SHOULDER.max(m.wall * 3)
}

/// Cuts the grips of a tray that is lifted by notches: in the middle of two opposite walls, or beside it, as far to
/// either hand on both walls, where a divider stands in the middle. `None` where no two walls take them.
pub(super) fn grips(
    job: &Job,
    made: &Made,
    m: &Measures,
    shell: &mut Shell,
    low: &[Lowered],
) -> Option<Vec<Lowered>> {
    if made.tray.grip != Grip::Notch {
        return Some(Vec::new());
    }
    let rooms = rooms(job, made, m);
    let thick = m.wall.max(job.divider);
    let at = |side: Side, shift: Length| {
        let start = (m.length(side) - NOTCH_WIDTH) / 2;
        let shift = if matches!(side, Side::Left | Side::Front) { shift } else { -shift };
        (start + shift, start + shift + NOTCH_WIDTH)
    };
    let dry = |side: Side, u: Range, bottom: Length| {
        let own = rooms.iter().filter(|r| behind(r, side, m) && overlap(r.along(side.along_width()), u));
        let slides = |r: &&Room| {
            job.container.on_side
                && part(job, made.rule, &r.c.part)
                    .is_none_or(|p| passes(&p.contents, NOTCH_WIDTH, NOTCH_DEPTH))
        };
        own.into_iter().all(|r| r.line <= bottom && !slides(&r))
    };
    // Behind a clear notch there is one compartment, with stock enough for a slot on either hand.
    let clear = |side: Side, u: Range| {
        rooms.iter().any(|r| {
            let own = r.along(side.along_width());
            behind(r, side, m) && own.0 <= u.0 - thick && u.1 + thick <= own.1
        })
    };
    // From where the wall ends there down to the notch's own end; no notch where a wall is lowered for a part of it.
    let upright = |side: Side, u: Range| {
        let wide = (u.0 - thick * 2, u.1 + thick * 2);
        let mut top = m.top;
        for (_, own, z) in low.iter().filter(|(s, own, _)| *s == side && overlap(*own, wide)) {
            if own.0 > wide.0 || wide.1 > own.1 {
                return None;
            }
            top = top.min(*z);
        }
        let depth = NOTCH_DEPTH.min(top - m.floor - m.wall * 2);
        (depth >= SHALLOWEST).then_some((top - depth, top))
    };
    let mut best: Option<(bool, Length, Pair)> = None;
    for pair in [[Side::Left, Side::Right], [Side::Front, Side::Back]] {
        let most = (m.length(pair[0]) - NOTCH_WIDTH) / 2 - shoulder(m);
        let far = most.min(m.length(pair[0]) / 6);
        let steps = if most < Length::ZERO { -1 } else { far.steps_down(STEP).max(0) };
        for shift in (0..=steps).flat_map(|k| [STEP * k, -(STEP * k)]) {
            let notches = pair.map(|side| (side, at(side, shift)));
            let fits = |(side, u): &(Side, Range)| upright(*side, *u).is_some_and(|z| dry(*side, *u, z.0));
            if !notches.iter().all(fits) {
                continue;
            }
            let key = (!notches.iter().all(|(side, u)| clear(*side, *u)), shift.max(-shift));
            if best.is_none_or(|(hidden, by, _)| key < (hidden, by)) && (!key.0 || shift == Length::ZERO) {
                best = Some((key.0, key.1, notches));
            }
        }
    }
    let (_, _, notches) = best?;
    let lowered = notches.into_iter().filter_map(|(side, u)| {
        let z = upright(side, u)?;
        shell.wall(side).notch(Rect::new(u, z), NotchFor::Grip);
        Some((side, u, z.0))
    });
    Some(lowered.collect())
}

/// How deep a notch a compartment asks for, from the rim; `None` where fingers reach in without.
fn wanted(job: &Job, made: &Made, r: &Room) -> Option<Length> {
    let c = r.c;
    let narrow = c.size.w.min(c.size.d);
    match c.standing.as_str() {
        "poured" if narrow < ONE_FINGER || (c.size.h > REACH && narrow < HAND) => {
            Some(NOTCH_DEPTH.max(c.size.h - REACH))
        }
        "flat" | "block" => {
            let own = part(job, made.rule, &c.part).map(|p| &p.contents);
            let room = matches!(own, Some(Contents::Stack(s)) if s.finger > Length::ZERO);
            if room || c.slack.width.max(c.slack.depth) >= FINGER_GAP {
                return None;
            }
            // Half of what stands there is uncovered, so that two fingers hold it.
            let contents = c.size.h - c.slack.height;
            Some(NOTCH_DEPTH.max(c.slack.height + contents / 2))
        }
        _ => None,
    }
}

/// What notches for fingers keep clear of.
#[derive(Clone, Copy)]
pub(super) struct Taken<'a> {
    pub(super) grips: &'a [Lowered],
    /// Stretches of walls that are lowered for something sunk.
    pub(super) low: &'a [Lowered],
    /// The same for dividers.
    pub(super) zones: &'a [Zone],
    /// Tabs on which a lid seats.
    pub(super) lid_tabs: &'a dyn Fn(Side) -> Option<Range>,
}

/// Cuts notches to compartments that fingers could not reach into; names the parts for which there is no room.
pub(super) fn fingers(
    job: &Job,
    made: &Made,
    m: &Measures,
    shell: &mut Shell,
    taken_up: &Taken,
    inside: &mut Dividers,
) -> Vec<String> {
    let Taken { grips, low, zones, lid_tabs } = *taken_up;
    let rooms = rooms(job, made, m);
    let thick = m.wall.max(job.divider);
    let apart = |r: Range| (r.0 - thick * 2, r.1 + thick * 2);
    let mut without = Vec::new();
    for r in &rooms {
        let Some(depth) = wanted(job, made, r) else { continue };
        // In a box kept on its side, small things would slide out.
        let slides = |o: &Room| {
            job.container.on_side
                && part(job, made.rule, &o.c.part).is_none_or(|p| passes(&p.contents, NOTCH_WIDTH, depth))
        };
        if slides(r) {
            continue;
        }
        let rim = m.floor + r.c.size.h;
        let bottom = (rim - depth).max(r.line).max(m.floor + thick * 2);
        if rim - bottom < SHALLOWEST {
            // A shallow compartment needs none; a deep one that is full to the rim cannot have one.
            if r.c.size.h > REACH {
                without.push(r.c.part.clone());
            }
            continue;
        }
        let mut offers: Vec<Place> = Vec::new();
        for side in Side::ALL.into_iter().filter(|&side| behind(r, side, m)) {
            let (a, b) = r.along(side.along_width());
            let ends = shoulder(m);
            let within = ((a + thick * 2).max(ends), (b - thick * 2).min(m.length(side) - ends));
            let mut taken: Vec<Range> =
                grips.iter().filter(|(s, ..)| *s == side).map(|(_, u, _)| apart(*u)).collect();
            taken.extend(lid_tabs(side).map(apart));
            let lowered = || low.iter().filter(|(s, ..)| *s == side);
            for (_, u, z) in lowered().filter(|(.., z)| *z - SHALLOWEST >= bottom) {
                let own = (within.0.max(u.0 + thick * 2), within.1.min(u.1 - thick * 2));
                for stretch in free(own, &taken) {
                    offers.extend(enough(stretch).then_some(Place::Wall(side, stretch, *z)));
                }
            }
            taken.extend(lowered().map(|(_, u, _)| apart(*u)));
            for stretch in free(within, &taken) {
                offers.extend(enough(stretch).then_some(Place::Wall(side, stretch, m.top)));
            }
        }
        let mut open = false;
        if offers.is_empty() {
            for (i, b) in inside.boards.iter().enumerate() {
                let own = r.along(b.along_width);
                let across = r.along(!b.along_width);
                let beside = across.1 == b.faces.0 || across.0 == b.faces.1;
                if !(beside && b.from <= own.0 && own.1 <= b.to) {
                    continue;
                }
                if b.top() - SHALLOWEST < bottom {
                    open = true;
                    continue;
                }
                let mut taken = crossed(i, &inside.boards);
                taken.extend(
                    inside
                        .blanks
                        .get(i)
                        .into_iter()
                        .flat_map(|blank| blank.notches.iter().map(|(n, _)| (n.x0, n.x1))),
                );
                taken.extend(
                    zones.iter().filter_map(|z| z.on(b.along_width, b.faces, b.top())).map(|z| (z.x0, z.x1)),
                );
                let over = |o: &&Room| {
                    let side = o.along(!b.along_width);
                    (side.1 == b.faces.0 || side.0 == b.faces.1) && (o.line > bottom || slides(o))
                };
                taken.extend(rooms.iter().filter(over).map(|o| o.along(b.along_width)));
                let taken: Vec<Range> = taken.into_iter().map(apart).collect();
                for stretch in free((own.0 + thick * 2, own.1 - thick * 2), &taken) {
                    offers.extend(enough(stretch).then_some(Place::Board(i, stretch)));
                }
            }
        }
        let middle = |s: Range| {
            let width = NOTCH_WIDTH.min(s.1 - s.0);
            let start = s.0 + (s.1 - s.0 - width) / 2;
            (start, start + width)
        };
        // The longest stretch; the first of equals.
        match offers.into_iter().rev().max_by_key(Place::length) {
            Some(Place::Wall(side, s, top)) => {
                shell.wall(side).notch(Rect::new(middle(s), (bottom, top)), NotchFor::Finger);
            }
            Some(Place::Board(i, s)) => {
                let top = inside.boards.get(i).map_or(m.top, Board::top);
                if let Some(blank) = inside.blanks.get_mut(i) {
                    blank.notch(Rect::new(middle(s), (bottom, top)), NotchFor::Finger);
                }
            }
            None if open => {}
            None => without.push(r.c.part.clone()),
        }
    }
    without
}

/// Where a notch may go: a stretch of a wall or of a board.
#[derive(Clone, Copy)]
enum Place {
    /// With the height at which the wall ends there.
    Wall(Side, Range, Length),
    Board(usize, Range),
}

impl Place {
    fn length(&self) -> Length {
        let (Place::Wall(_, s, _) | Place::Board(_, s)) = self;
        s.1 - s.0
    }
}

/// Whether a stretch takes a notch for one finger.
fn enough(stretch: Range) -> bool {
    stretch.1 - stretch.0 >= ONE_FINGER
}

/// Where other boards cross this one or meet it.
fn crossed(i: usize, boards: &[Board]) -> Vec<Range> {
    let Some(own) = boards.get(i) else { return Vec::new() };
    let meets = |o: &&Board| {
        o.along_width != own.along_width
            && o.from <= own.faces.1
            && own.faces.0 <= o.to
            && own.from <= o.faces.0
            && o.faces.1 <= own.to
    };
    boards.iter().filter(meets).map(|o| o.faces).collect()
}

//! Cover items that may sink into the trays under them: where they lie, flush with the rims of the top layer, in
//! recesses of walls and dividers, and which trays lack the headroom for it.

use super::{Arrangement, PlacedTray};
use crate::job::Job;
use crate::layout::bearing::{SUNK_ENDS, rests_in};
use crate::layout::build::lift_nm3;
use crate::layout::pack::Rect;
use crate::length::Length;
use crate::place::{Cuboid, Point, Size};

/// Below a recess, walls and dividers keep so many times their thickness above the floor, for their joints (our
/// choice, no source).
const KEEP: i64 = 4;

/// Places tried along each side of the box at most; where there are more, evenly spread ones are taken.
const MOST_PLACES: usize = 160;

/// A cover item in its recess.
///
/// ```
/// # use traywright::{length::Length, place::{Cuboid, Point, Size}, plan::sink::Sunk};
/// # let mm = Length::mm;
/// # let at = |x| Point { x: mm(x), y: mm(10), z: mm(26) };
/// # let size = Size { w: mm(90), d: mm(20), h: mm(4) };
/// // A ruler from 10 to 100 mm along the width, in a recess from 9 to 101 mm.
/// let sunk = Sunk { item: 0, body: Cuboid { at: at(10), size }, play: mm(1) };
/// assert!(sunk.over(at(100), size) && !sunk.over(at(101), size));
/// assert!(!sunk.overlaps(at(100), size));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sunk {
    /// Index into the job's cover items.
    pub item: usize,
    /// Where it lies.
    pub body: Cuboid,
    /// Room around it, so that it can be lifted out.
    pub play: Length,
}

impl Sunk {
    /// Whether its recess shares area with this body, seen from above.
    ///
    /// ```
    /// # use traywright::{length::Length, place::{Cuboid, Point, Size}, plan::sink::Sunk};
    /// # let mm = Length::mm;
    /// # let size = Size { w: mm(90), d: mm(20), h: mm(4) };
    /// # let at = |x, z| Point { x: mm(x), y: mm(10), z: mm(z) };
    /// let ruler = Sunk { item: 0, body: Cuboid { at: at(10, 26), size }, play: mm(1) };
    /// assert!(ruler.over(at(100, 0), size)); // under its play; heights do not count
    /// assert!(!ruler.over(at(101, 0), size));
    /// ```
    pub fn over(&self, at: Point, size: Size) -> bool {
        self.recess().overlaps(&outline(at, size))
    }

    /// Whether it lies over any of this body itself, seen from above.
    ///
    /// ```
    /// # use traywright::{length::Length, place::{Cuboid, Point, Size}, plan::sink::Sunk};
    /// # let mm = Length::mm;
    /// # let size = Size { w: mm(90), d: mm(20), h: mm(4) };
    /// # let at = |x, z| Point { x: mm(x), y: mm(10), z: mm(z) };
    /// let ruler = Sunk { item: 0, body: Cuboid { at: at(10, 26), size }, play: mm(1) };
    /// assert!(ruler.overlaps(at(99, 0), size));
    /// assert!(!ruler.overlaps(at(100, 0), size)); // under its play only
    /// ```
    pub fn overlaps(&self, at: Point, size: Size) -> bool {
        outline(self.body.at, self.body.size).overlaps(&outline(at, size))
    }

    /// Whether its recess covers all of this body, seen from above.
    ///
    /// ```
    /// # use traywright::{length::Length, place::{Cuboid, Point, Size}, plan::sink::Sunk};
    /// # let mm = Length::mm;
    /// # let at = |x| Point { x: mm(x), y: mm(10), z: mm(26) };
    /// # let size = |w| Size { w: mm(w), d: mm(20), h: mm(4) };
    /// let ruler = Sunk { item: 0, body: Cuboid { at: at(10), size: size(90) }, play: mm(1) };
    /// assert!(ruler.contains(at(9), size(92)));
    /// assert!(!ruler.contains(at(9), size(93)) && !ruler.contains(at(8), size(92)));
    /// ```
    pub fn contains(&self, at: Point, size: Size) -> bool {
        let (r, o) = (self.recess(), outline(at, size));
        r.x <= o.x && r.y <= o.y && o.x + o.w <= r.x + r.w && o.y + o.d <= r.y + r.d
    }

    /// The recess seen from above, nanometres.
    fn recess(&self) -> Rect {
        let (r, p) = (outline(self.body.at, self.body.size), self.play.nm());
        Rect { x: r.x - p, y: r.y - p, w: r.w + 2 * p, d: r.d + 2 * p }
    }
}

fn outline(at: Point, size: Size) -> Rect {
    Rect { x: at.x.nm(), y: at.y.nm(), w: size.w.nm(), d: size.d.nm() }
}

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Laid {
    /// All of them lie.
    All(Vec<Sunk>),
    /// They would if these trays, by index, had headroom for them: how much each lacks.
    Short(Vec<(usize, Length)>),
    /// There is no place for one of them.
    Nowhere,
}

/// The top of all layers.
pub(super) fn top(a: &Arrangement) -> Length {
    a.layers.iter().map(|l| l.bottom + l.height).max().unwrap_or_default()
}

/// What is asked of places.
pub(super) enum Asked<'a> {
    /// Everything rests on something: what is built.
    Borne,
    /// Over at least the trays over which these lie in that arrangement, so that it has no fewer lifts; nothing need
    /// bear them, as nothing bears cover items over a tight plan.
    Over(&'a [Sunk], &'a Arrangement),
}

/// Lays all cover items that may sink, the longest first, into an arrangement made without them.
pub(super) fn lay(job: &Job, a: &Arrangement, asked: &Asked) -> Laid {
    let mut items: Vec<usize> = (0..job.cover.len()).filter(|&c| job.cover[c].sink).collect();
    // Long ones have the least choice.
    let long = |c: usize| job.cover[c].size.w.max(job.cover[c].size.d);
    items.sort_by_key(|&c| (std::cmp::Reverse(long(c)), c));
    let mut all: Vec<Sunk> = Vec::with_capacity(items.len());
    let mut short: Vec<(usize, Length)> = Vec::new();
    for item in items {
        let mut best: Option<(Key, Sunk, Vec<usize>)> = None;
        let z = top(a) - job.cover[item].size.h;
        let own = match asked {
            Asked::Borne => None,
            Asked::Over(there, arranged) => there.iter().find(|s| s.item == item).map(|s| (s, *arranged)),
        };
        let again = own.map(|(s, _)| Cuboid { at: Point { z, ..s.body.at }, ..s.body });
        let over: Vec<usize> = own.map_or_else(Vec::new, |(s, arranged)| under(s, arranged));
        for body in again.into_iter().chain(places(job, a, item)) {
            let sunk = Sunk { item, body, play: job.container.between };
            if all.iter().any(|o| o.over(body.at, body.size)) {
                continue;
            }
            let below = under(&sunk, a);
            if !over.iter().all(|t| below.contains(t)) {
                continue;
            }
            let Some((key, lacking)) = worth(job, a, &sunk, own.is_none()) else { continue };
            if best.as_ref().is_none_or(|b| key < b.0) {
                best = Some((key, sunk, lacking));
            }
        }
        let Some((_, sunk, lacking)) = best else { return Laid::Nowhere };
        for tray in lacking {
            let h = sunk.body.size.h;
            match short.iter_mut().find(|(t, _)| *t == tray) {
                Some((_, most)) => *most = h.max(*most),
                None => short.push((tray, h)),
            }
        }
        all.push(sunk);
    }
    if short.is_empty() {
        all.sort_by_key(|s| s.item);
        Laid::All(all)
    } else {
        Laid::Short(short)
    }
}

/// Trays over which an item lies.
fn under(sunk: &Sunk, a: &Arrangement) -> Vec<usize> {
    (0..a.trays.len()).filter(|&t| sunk.overlaps(a.trays[t].at, a.trays[t].size)).collect()
}

/// What a place is worth, the least first: footprint of trays that lack headroom, price of lifts, compartments under
/// it, distance from the middle of the box.
type Key = (i128, i128, usize, i64, Cuboid2);

/// A place, for an order among equals.
type Cuboid2 = (Length, Length, Length);

/// The key of a place and the trays that lack headroom there; `None` where the item cannot lie.
fn worth(job: &Job, a: &Arrangement, sunk: &Sunk, borne: bool) -> Option<(Key, Vec<usize>)> {
    let (own, floor) = (outline(sunk.body.at, sunk.body.size), sunk.body.at.z);
    if floor < Length::ZERO {
        return None;
    }
    let mut under: Vec<Rect> = Vec::new();
    for k in a.kept.iter().filter(|k| outline(k.at, k.size).overlaps(&own)) {
        let top = k.at.z + k.size.h;
        if top > floor {
            return None;
        }
        if top == floor {
            under.push(outline(k.at, k.size));
        }
    }
    let (mut lacking, mut lifts, mut rooms, mut claimed) = (Vec::new(), 0, 0, 0);
    for (i, t) in a.trays.iter().enumerate() {
        if outline(t.at, t.size).overlaps(&own) {
            lifts += lift_nm3(job, t.usage);
        }
        if t.at.z + t.size.h <= floor || !sunk.over(t.at, t.size) {
            if t.at.z + t.size.h == floor {
                under.extend(stock(t, floor));
            }
            continue;
        }
        let thick = t.wall.max(job.divider);
        let whole = sunk.contains(t.at, t.size);
        let fixed = job.trays.iter().any(|rule| rule.name == t.name && rule.size.is_some());
        if t.lid > Length::ZERO || (whole && fixed) || floor - t.at.z - t.floor < thick * KEEP {
            return None;
        }
        let over = || t.compartments.iter().filter(|c| whole || sunk.over(c.at, c.size));
        if over().any(|c| c.tray.is_some()) {
            return None;
        }
        rooms += over().count();
        let lacks = |c: &super::Compartment| c.at.z + c.size.h - floor > c.slack.height;
        if over().any(lacks) {
            lacking.push(i);
            claimed += t.size.footprint().nm2();
        }
        under.extend(stock(t, floor));
    }
    if borne
        && !rests_in(&own, &under.into_iter().filter(|r| r.overlaps(&own)).collect::<Vec<_>>(), SUNK_ENDS)
    {
        return None;
    }
    let box_ = job.container.interior;
    let off = (own.x * 2 + own.w - box_.w.nm()).abs() + (own.y * 2 + own.d - box_.d.nm()).abs();
    let at = (sunk.body.at.x, sunk.body.at.y, sunk.body.size.w);
    Some(((claimed, lifts, rooms, off, at), lacking))
}

/// Walls and dividers of a tray that reach up to this height, seen from above.
fn stock(t: &PlacedTray, floor: Length) -> Vec<Rect> {
    let (o, wall) = (outline(t.at, t.size), t.wall.nm());
    let mut out = vec![
        Rect { w: wall, ..o },
        Rect { x: o.x + o.w - wall, w: wall, ..o },
        Rect { d: wall, ..o },
        Rect { y: o.y + o.d - wall, d: wall, ..o },
    ];
    let high = t.dividers.iter().filter(|d| d.at.z + d.size.h >= floor);
    out.extend(high.map(|d| outline(d.at, d.size)));
    out
}

/// Where an item could lie: in corners, in the middle, and in line with what lies under it.
fn places(job: &Job, a: &Arrangement, item: usize) -> Vec<Cuboid> {
    let (size, box_, play) = (job.cover[item].size, job.container.interior, job.container.between);
    let z = top(a) - size.h;
    let mut turns = vec![size];
    if size.w != size.d {
        turns.push(size.turned());
    }
    let mut out = Vec::new();
    for size in turns {
        if size.w > box_.w || size.d > box_.d {
            continue;
        }
        let outlines = || {
            let trays = a.trays.iter().flat_map(|t| {
                let rooms = t.compartments.iter().map(|c| (c.at, c.size));
                std::iter::once((t.at, t.size)).chain(rooms)
            });
            trays.chain(a.kept.iter().map(|k| (k.at, k.size)))
        };
        let xs = line(outlines().map(|(at, s)| (at.x, s.w)), size.w, box_.w, play);
        let ys = line(outlines().map(|(at, s)| (at.y, s.d)), size.d, box_.d, play);
        for &x in &xs {
            out.extend(ys.iter().map(|&y| Cuboid { at: Point { x, y, z }, size }));
        }
    }
    out
}

/// Places along one side for an item that takes `own` of `whole`.
fn line(
    bodies: impl Iterator<Item = (Length, Length)>,
    own: Length,
    whole: Length,
    play: Length,
) -> Vec<Length> {
    let mut all = vec![Length::ZERO, (whole - own) / 2, whole - own];
    for (at, long) in bodies {
        all.extend([at, at + play, at + long - own, at + long - own - play, at + (long - own) / 2]);
    }
    all.retain(|x| *x >= Length::ZERO && *x + own <= whole);
    all.sort_unstable();
    all.dedup();
    let n = all.len();
    if n <= MOST_PLACES {
        return all;
    }
    (0..MOST_PLACES).filter_map(|i| all.get(i * (n - 1) / (MOST_PLACES - 1)).copied()).collect()
}

//! From an arrangement on the grid to exact lengths, with spare room shared out fairly.
//!
//! Compartments and dividers fill the clear room exactly. Along each axis every compartment is
//! enlarged by the same share of its own least extent; where others bind sooner, the rest goes on
//! growing. In a tree of cuts that is max-min fair: a chain of neighbours uses up its length at one
//! common share, and regions across the chain all take the chain's full breadth.

use super::Slice;
use super::needs::{PartNeed, TrayNeeds};
use crate::length::Length;
use crate::need::Space;
use crate::place::{Cuboid, Point, Size};

/// Compartments and dividers of one tray with exact lengths.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// # use traywright::place::{Cuboid, Point, Size};
/// # let (w, d, h) = (Length::mm(92), Length::mm(40), Length::mm(20));
/// # let inner = Cuboid { at: Point::default(), size: Size { w, d, h } };
/// // Dividers of 2 mm that end 12 mm above the floor of a tray that is clear for 20 mm.
/// let tray = TrayNeeds {
/// #   parts: vec![block(30, 40, 5, false), block(60, 40, 5, false)],
///     divider: 2,
///     divider_exact: Length::mm(2),
///     divider_height: Some(Length::mm(12)),
///     ..TrayNeeds::plain(Length::mm(1), 300)
/// };
/// let slice = tray::slice(&tray, 20, 92, 40).unwrap();
/// let placed = tray::place(&tray, &slice, inner).unwrap();
/// assert_eq!(placed.dividers[0].size, Size { w: Length::mm(2), d, h: Length::mm(12) });
/// assert!(placed.compartments.iter().all(|c| c.size.h == h));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Placed {
    /// One a part, in the arrangement's order.
    pub compartments: Vec<PlacedRoom>,
    /// Partitions; as high as the tray's `divider_height` says, else up to the rim.
    pub dividers: Vec<Cuboid>,
}

/// One compartment.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// # use traywright::place::{Cuboid, Point, Size};
/// # let parts = vec![block(60, 40, 5, true)];
/// # let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
/// // A block of 60 × 40 mm in a tray that is clear for 45 × 60 mm: it goes in turned.
/// let size = Size { w: Length::mm(45), d: Length::mm(60), h: Length::mm(9) };
/// let slice = tray::slice(&tray, 9, 45, 60).unwrap();
/// let placed = tray::place(&tray, &slice, Cuboid { at: Point::default(), size }).unwrap();
/// let room = &placed.compartments[0];
/// assert!(room.turned && room.size == size); // all of the tray, up to the rim
/// ```
#[derive(Clone, Debug)]
pub struct PlacedRoom {
    /// Index into the tray's parts.
    pub part: usize,
    /// Corner with the least coordinates.
    pub at: Point,
    /// Clear room up to the rim.
    pub size: Size,
    /// Index into the need's alternatives.
    pub alternative: usize,
    /// Turned by 90° about the vertical.
    pub turned: bool,
    /// A nested tray.
    pub tray: Option<Box<PlacedNested>>,
}

/// A nested tray in its compartment.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// # use traywright::place::{Cuboid, Point, Size};
/// # let plain = || TrayNeeds::plain(Length::mm(1), 300);
/// # let (wall, floor, base) = (Length::mm(3), Length::mm(3), Length::mm(3));
/// # let inner = TrayNeeds { parts: vec![block(30, 40, 5, false)], wall, floor, base, ..plain() };
/// # let tray = TrayNeeds { parts: vec![PartNeed::Tray(Box::new(inner), 2)], ..plain() };
/// # let size = Size { w: Length::mm(38), d: Length::mm(48), h: Length::mm(8) };
/// # let slice = tray::slice(&tray, 8, 38, 48).unwrap();
/// # let placed = tray::place(&tray, &slice, Cuboid { at: Point::default(), size }).unwrap();
/// // A tray with walls and floor of 3 mm in a compartment of 38 × 48 × 8 mm, 2 mm of it ease.
/// let nested = placed.compartments[0].tray.as_ref().unwrap();
/// let mm = Length::mm;
/// assert_eq!(nested.outer.at, Point { x: mm(1), y: mm(1), z: mm(0) });
/// assert_eq!(nested.outer.size, Size { w: mm(36), d: mm(46), h: mm(8) });
/// assert_eq!(nested.inner.size, Size { w: mm(30), d: mm(40), h: mm(5) });
/// ```
#[derive(Clone, Debug)]
pub struct PlacedNested {
    /// Its outside: the compartment less its ease, in the middle, as high as the compartment.
    pub outer: Cuboid,
    /// Its clear inner room.
    pub inner: Cuboid,
    /// What is inside.
    pub placed: Placed,
}

/// Rounds of sharing: an enlarged width lets poured parts do with less depth, and so on.
const ROUNDS: usize = 3;

/// Shares are counted in 2⁻²⁴ of a compartment's least extent.
const SHARE_BITS: u32 = 24;

/// Gives an arrangement exact lengths inside the clear inner room `inner` of a tray.
///
/// `None` where the arrangement does not fit: it always does for a slice of this tray taken at a
/// clear height, width and depth (in grid steps) that `inner` reaches.
///
/// ```
/// # use traywright::{length::Length, place::{Cuboid, Point, Size}, tray::{self, TrayNeeds}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h| tray::PartNeed::Room(Need::plain(vec![
/// #     Alternative { standing: Standing::Block(1, 1, 1), piles: 1, turnable: false,
/// #         space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) } }]));
/// // 30 and 60 wide in 102 with a divider of 2.5 mm: 9.5 mm to spare, shared 1 to 2.
/// let tray = TrayNeeds {
///     parts: vec![block(30, 40, 5), block(60, 40, 5)],
///     divider: 3,
///     divider_exact: Length::um(2_500),
///     ..TrayNeeds::plain(Length::mm(1), 300)
/// };
/// let slice = tray::slice(&tray, 5, 102, 40).unwrap();
/// let inner = Cuboid { at: Point::default(), size: Size { w: Length::mm(102), d: Length::mm(40), h: Length::mm(5) } };
/// let placed = tray::place(&tray, &slice, inner).unwrap();
/// let widths: Vec<Length> = placed.compartments.iter().map(|c| c.size.w).collect();
/// let all = widths[0] + widths[1] + placed.dividers[0].size.w;
/// assert_eq!(all, Length::mm(102));
/// assert_eq!(widths[0].nm() / 1_000, 33_166); // 30 mm + 9.5 mm / 3
/// ```
pub fn place(tray: &TrayNeeds, slice: &Slice, inner: Cuboid) -> Option<Placed> {
    let mut region = Region::of(tray, slice, inner.size.h)?;
    let full = [inner.size.w.nm(), inner.size.d.nm()];
    for _ in 0..ROUNDS {
        for (axis, &len) in full.iter().enumerate() {
            region.measure(axis)?;
            if region.grown(axis, 0) > i128::from(len) {
                return None;
            }
            region.share(axis, len);
        }
    }
    let mut placed = Placed::default();
    region.emit(tray, inner, &mut placed)?;
    Some(placed)
}

/// A region with its extents in nanometres.
struct Region<'a> {
    size: [i64; 2],
    kind: Kind<'a>,
}

enum Kind<'a> {
    Room {
        part: usize,
        alternative: usize,
        turned: bool,
        space: &'a Space,
        clear: Length,
        least: [i64; 2],
    },
    Nested {
        part: usize,
        tray: &'a TrayNeeds,
        edge: i64,
        ease: i64,
        inside: Box<Region<'a>>,
    },
    /// Neighbours along an axis with dividers of this thickness between.
    Row {
        axis: usize,
        divider: i64,
        members: Vec<Region<'a>>,
    },
}

impl<'a> Region<'a> {
    fn of(tray: &'a TrayNeeds, slice: &Slice, clear: Length) -> Option<Region<'a>> {
        match slice {
            Slice::Part { part, alternative, turned, inner, size } => {
                let size = [size.0, size.1].map(|s| s.saturating_mul(tray.grid.nm()));
                let kind = match tray.parts.get(*part)? {
                    PartNeed::Room(need) => {
                        let space = &need.alternatives.get(*alternative)?.space;
                        let (alternative, turned) = (*alternative, *turned);
                        Kind::Room { part: *part, alternative, turned, space, clear, least: [0, 0] }
                    }
                    PartNeed::Tray(nested, ease) => {
                        let ease = tray.grid.nm().saturating_mul(*ease.max(&0));
                        let edge = (nested.wall * 2).nm().saturating_add(ease);
                        let inside = Region::of(nested, inner.as_deref()?, clear - nested.base)?;
                        Kind::Nested { part: *part, tray: nested, edge, ease, inside: Box::new(inside) }
                    }
                };
                Some(Region { size, kind })
            }
            Slice::Beside(a, b) => Region::row(tray, 0, a, b, clear),
            Slice::Behind(a, b) => Region::row(tray, 1, a, b, clear),
        }
    }

    /// Chains of like cuts become one row, so that all its members share alike.
    fn row(tray: &'a TrayNeeds, axis: usize, a: &Slice, b: &Slice, clear: Length) -> Option<Region<'a>> {
        let divider = tray.divider_exact.nm();
        let mut members = Vec::new();
        for slice in [a, b] {
            match Region::of(tray, slice, clear)? {
                Region { kind: Kind::Row { axis: own, members: more, .. }, .. } if own == axis => {
                    members.extend(more)
                }
                other => members.push(other),
            }
        }
        Some(Region { size: [0, 0], kind: Kind::Row { axis, divider, members } })
    }

    /// Notes the least extent of every compartment along an axis, its extent across being given.
    fn measure(&mut self, axis: usize) -> Option<()> {
        let across = pick(self.size, 1 - axis);
        match &mut self.kind {
            Kind::Room { turned, space, clear, least, .. } => {
                let own = least_extent(space, *turned, *clear, axis, across)?;
                if let Some(into) = least.get_mut(axis) {
                    *into = own;
                }
            }
            Kind::Nested { inside, .. } => inside.measure(axis)?,
            Kind::Row { members, .. } => members.iter_mut().try_for_each(|m| m.measure(axis))?,
        }
        Some(())
    }

    /// Extent along an axis with every compartment enlarged by `share`.
    fn grown(&self, axis: usize, share: i64) -> i128 {
        match &self.kind {
            Kind::Room { least, .. } => {
                let least = i128::from(pick(*least, axis));
                least + ((least * i128::from(share)) >> SHARE_BITS)
            }
            Kind::Nested { edge, inside, .. } => i128::from(*edge) + inside.grown(axis, share),
            Kind::Row { axis: own, divider, members } if *own == axis => {
                let dividers = i128::from(*divider) * (members.len() as i128 - 1);
                dividers + members.iter().map(|m| m.grown(axis, share)).sum::<i128>()
            }
            Kind::Row { members, .. } => members.iter().map(|m| m.grown(axis, share)).max().unwrap_or(0),
        }
    }

    /// Fills exactly `len` along an axis, at the greatest share that all compartments can have.
    fn share(&mut self, axis: usize, len: i64) {
        if let Some(into) = self.size.get_mut(axis) {
            *into = len;
        }
        if let Kind::Row { axis: own, divider, members } = &mut self.kind
            && *own == axis
        {
            let dividers = divider.saturating_mul(members.len() as i64 - 1);
            let all = |share: i64, members: &[Region]| -> i128 {
                members.iter().map(|m| m.grown(axis, share)).sum()
            };
            let room = i128::from(len - dividers);
            let (mut low, mut high) = (0, 1 << SHARE_BITS);
            while all(high, members) <= room && high < 1 << 60 {
                (low, high) = (high, high * 2);
            }
            while high - low > 1 {
                let middle = low + (high - low) / 2;
                if all(middle, members) <= room { low = middle } else { high = middle }
            }
            // What rounding leaves, a few nanometres, goes to the first ones.
            let mut over = room - all(low, members);
            let count = members.len() as i128;
            for (i, member) in members.iter_mut().enumerate() {
                let left = count - i as i128;
                let extra = (over + left - 1) / left;
                over -= extra;
                let own = member.grown(axis, low) + extra;
                member.share(axis, i64::try_from(own).unwrap_or(i64::MAX));
            }
            return;
        }
        match &mut self.kind {
            Kind::Room { .. } => {}
            Kind::Nested { edge, inside, .. } => inside.share(axis, len - *edge),
            Kind::Row { members, .. } => members.iter_mut().for_each(|m| m.share(axis, len)),
        }
    }

    /// Writes down the region's compartments and dividers; `None` where a need is not met.
    fn emit(&self, tray: &TrayNeeds, room: Cuboid, into: &mut Placed) -> Option<()> {
        match &self.kind {
            Kind::Room { part, alternative, turned, space, clear, .. } => {
                if !space.fits(room.size.w, room.size.d, *clear, *turned) {
                    return None;
                }
                into.compartments.push(PlacedRoom {
                    part: *part,
                    at: room.at,
                    size: room.size,
                    alternative: *alternative,
                    turned: *turned,
                    tray: None,
                });
            }
            Kind::Nested { part, tray: nested, ease, inside, .. } => {
                let half = Length::from_nm(ease / 2);
                let mut outer = room;
                outer.at.x += half;
                outer.at.y += half;
                outer.size.w -= Length::from_nm(*ease);
                outer.size.d -= Length::from_nm(*ease);
                let mut inner = outer;
                inner.at.x += nested.wall;
                inner.at.y += nested.wall;
                inner.at.z += nested.floor;
                inner.size.w -= nested.wall * 2;
                inner.size.d -= nested.wall * 2;
                inner.size.h -= nested.base;
                let mut placed = Placed::default();
                inside.emit(nested, inner, &mut placed)?;
                into.compartments.push(PlacedRoom {
                    part: *part,
                    at: room.at,
                    size: room.size,
                    alternative: 0,
                    turned: false,
                    tray: Some(Box::new(PlacedNested { outer, inner, placed })),
                });
            }
            Kind::Row { axis, divider, members } => {
                let height = tray.divider_height.map_or(room.size.h, |h| h.min(room.size.h));
                let mut own = room;
                for (i, member) in members.iter().enumerate() {
                    if i > 0 {
                        let mut panel = Cuboid { at: own.at, size: Size { h: height, ..room.size } };
                        *along(&mut panel.size, *axis) = Length::from_nm(*divider);
                        into.dividers.push(panel);
                        *at(&mut own.at, *axis) += Length::from_nm(*divider);
                    }
                    let len = Length::from_nm(pick(member.size, *axis));
                    *along(&mut own.size, *axis) = len;
                    member.emit(tray, own, into)?;
                    *at(&mut own.at, *axis) += len;
                }
            }
        }
        Some(())
    }
}

fn pick(size: [i64; 2], axis: usize) -> i64 {
    let [w, d] = size;
    if axis == 0 { w } else { d }
}

fn along(size: &mut Size, axis: usize) -> &mut Length {
    if axis == 0 { &mut size.w } else { &mut size.d }
}

fn at(point: &mut Point, axis: usize) -> &mut Length {
    if axis == 0 { &mut point.x } else { &mut point.y }
}

/// Least extent of a compartment along an axis, its extent across and its clear height being given.
fn least_extent(space: &Space, turned: bool, clear: Length, axis: usize, across: i64) -> Option<i64> {
    if space.least_height() > clear {
        return None;
    }
    match *space {
        Space::Fixed { w, d, .. } => {
            let (along, other) = if (axis == 0) != turned { (w, d) } else { (d, w) };
            (across >= other.nm()).then_some(along.nm())
        }
        Space::Soft { volume, side, long, .. } => {
            if across < side.nm().max(1) || clear.nm() < 1 {
                return None;
            }
            let own = volume.over_up(clear).over_up(Length::from_nm(across)).max(side);
            Some(if across < long.nm() { own.max(long) } else { own }.nm())
        }
    }
}

//! The volume account of an arrangement, an identity in exact integers:
//! `interior = contents + kept + cover + stock + voids + slack + overhead + spare`.

use super::{Arrangement, Body, Compartment, Layer, PlacedTray, Volumes};
use crate::length::{Length, Volume};
use crate::place::{Cuboid, Point, Size};

/// What one compartment holds, for the account.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// # use traywright::{length::Volume, plan::account::{account, Held}};
/// let ml = |n: i128| Volume::from_nm3(n * 10i128.pow(21));
/// // 40 ml that ask for 50 ml of room.
/// let held = |_: &plan::Compartment| Held { contents: ml(40), need: ml(50) };
/// let volumes = account(job.container.interior, &plan.settled, &held);
/// assert_eq!((volumes.contents, volumes.voids), (ml(40), ml(10)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// The contents alone.
    pub contents: Volume,
    /// What they need, packing and ease included.
    pub need: Volume,
}

/// Closes the account of an arrangement; `held` tells what a compartment holds (for a nested tray, `contents`
/// is not looked at: its own compartments tell).
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"pilots\"\n[[tray.part]]\nname = \"pilot\"\n\
/// #     solid = { size = [30, 20, 12], count = 4 }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// # use traywright::plan::account::{account, Held};
/// // Four pilots of 30 × 20 × 12 mm, whose compartment tells what they need with their ease.
/// let pilots = job.trays[0].parts.iter().map(traywright::need::of).next().unwrap().contents;
/// let held = |c: &plan::Compartment| {
///     Held { contents: pilots, need: c.need.size.unwrap().volume() }
/// };
/// let volumes = account(job.container.interior, &plan.settled, &held);
/// assert_eq!(volumes, plan.settled.volumes_mm3);
/// ```
pub fn account(interior: Size, arrangement: &Arrangement, held: &dyn Fn(&Compartment) -> Held) -> Volumes {
    let mut v = Volumes { interior: interior.volume(), ..Volumes::default() };
    v.kept = arrangement.kept.iter().map(|b| b.size.volume()).sum();
    v.cover = arrangement.cover.iter().map(|b| b.size.volume()).sum();
    let sunk: Vec<Cuboid> = sunk(arrangement).map(|b| Cuboid { at: b.at, size: b.size }).collect();
    let in_sunk = |c: Cuboid| -> Volume { sunk.iter().map(|s| shared(*s, c)).sum() };
    let mut above = |at: Point, size: Size, layers: &[usize]| {
        let over = (top(&arrangement.layers, layers) - (at.z + size.h)).max(Length::ZERO);
        let room = Cuboid { at: Point { z: at.z + size.h, ..at }, size: Size { h: over, ..size } };
        v.overhead += room.size.volume() - in_sunk(room);
    };
    arrangement.kept.iter().for_each(|b| above(b.at, b.size, &b.layers));
    arrangement.trays.iter().for_each(|t| above(t.at, t.size, &t.layers));
    for t in &arrangement.trays {
        tray(t, &mut v, held);
        // Where something is sunk into a tray, there is neither stock nor room.
        let stock: Volume = stock(t).into_iter().map(in_sunk).sum();
        v.stock -= stock;
        v.slack -= in_sunk(Cuboid { at: t.at, size: t.size }) - stock;
    }
    v.wasted = v.stock + v.voids + v.slack + v.overhead;
    v.spare = v.interior - v.contents - v.kept - v.cover - v.wasted;
    v
}

/// Clear room inside a tray: what neither floor, walls, lid nor dividers take.
pub(crate) fn air(t: &PlacedTray) -> Volume {
    let inner = (t.size.w - t.wall * 2) * (t.size.d - t.wall * 2) * (t.size.h - t.floor - t.lid);
    inner - t.dividers.iter().map(|d| d.size.volume()).sum()
}

fn tray(t: &PlacedTray, v: &mut Volumes, held: &dyn Fn(&Compartment) -> Held) {
    let air = air(t);
    v.stock += t.size.volume() - air;
    let mut needs = Volume::ZERO;
    for c in &t.compartments {
        let Held { contents, need } = held(c);
        needs += need;
        match &c.tray {
            Some(inner) => {
                v.voids += need - inner.size.volume();
                tray(inner, v, held);
            }
            None => {
                v.contents += contents;
                v.voids += need - contents;
            }
        }
    }
    v.slack += air - needs;
}

/// Cover items that lie in recesses, below the top of the last layer.
///
/// ```
/// # use traywright::{length::Length, place::{Point, Size}};
/// # use traywright::plan::{account::sunk, Arrangement, Body, Layer, Volumes};
/// # let mm = Length::mm;
/// # let size = Size { w: mm(90), d: mm(20), h: mm(4) };
/// let ruler = |copy, z| Body {
///     name: "ruler".into(), copy, at: Point { x: mm(0), y: mm(0), z }, size, layers: vec![],
/// };
/// // One 4 mm high in recesses under the rims at 30 mm, one over them.
/// let cover = vec![ruler(1, mm(26)), ruler(2, mm(30))];
/// let layers = vec![Layer { bottom: mm(0), height: mm(30) }];
/// # let (volumes_mm3, kept, trays) = (Volumes::default(), vec![], vec![]);
/// let all = Arrangement { volumes_mm3, layers, kept, cover, trays };
/// assert_eq!(sunk(&all).map(|b| b.copy).collect::<Vec<_>>(), [1]);
/// ```
pub fn sunk(a: &Arrangement) -> impl Iterator<Item = &Body> {
    let top = a.layers.iter().map(|l| l.bottom + l.height).max().unwrap_or_default();
    a.cover.iter().filter(move |b| b.at.z + b.size.h <= top)
}

/// What sunk cover items take of what trays and kept items claim.
pub(crate) fn sunk_into(a: &Arrangement) -> Volume {
    let columns = a
        .trays
        .iter()
        .map(|t| (t.at, t.size, &t.layers))
        .chain(a.kept.iter().map(|k| (k.at, k.size, &k.layers)));
    let columns: Vec<Cuboid> = columns
        .map(|(at, size, layers)| {
            let h = (top(&a.layers, layers) - at.z).max(size.h);
            Cuboid { at, size: Size { h, ..size } }
        })
        .collect();
    sunk(a).flat_map(|b| columns.iter().map(|c| shared(*c, Cuboid { at: b.at, size: b.size }))).sum()
}

/// Volume that two bodies share.
fn shared(a: Cuboid, b: Cuboid) -> Volume {
    let (fa, fb) = (a.far(), b.far());
    let long = |lo: Length, o: Length, hi: Length, p: Length| (hi.min(p) - lo.max(o)).max(Length::ZERO);
    let (w, d) = (long(a.at.x, b.at.x, fa.x, fb.x), long(a.at.y, b.at.y, fa.y, fb.y));
    w * d * long(a.at.z, b.at.z, fa.z, fb.z)
}

/// Walls and dividers of a tray, none twice.
fn stock(t: &PlacedTray) -> Vec<Cuboid> {
    let Size { w, d, h } = t.size;
    let body =
        |x, y, w, d| Cuboid { at: Point { x: t.at.x + x, y: t.at.y + y, z: t.at.z }, size: Size { w, d, h } };
    let (zero, wall) = (Length::ZERO, t.wall);
    let mut all = vec![
        body(zero, zero, w, wall),
        body(zero, d - wall, w, wall),
        body(zero, wall, wall, d - wall * 2),
        body(w - wall, wall, wall, d - wall * 2),
    ];
    all.extend(t.dividers.iter().map(|d| Cuboid { at: d.at, size: d.size }));
    all
}

/// Top of the last of these layers (counted from 1); 0 for none.
fn top(layers: &[Layer], reached: &[usize]) -> Length {
    reached
        .iter()
        .filter_map(|l| layers.get(l.wrapping_sub(1)))
        .map(|l| l.bottom + l.height)
        .max()
        .unwrap_or_default()
}

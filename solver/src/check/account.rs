//! The volume account, every term from the geometry, an identity in whole cubic nanometres:
//! `interior = contents + kept + cover + stock + voids + slack + overhead + spare`.

use super::Report;
use super::extent::Extent;
use super::needs;
use super::view::{Placed, View};
use crate::length::Volume;

/// In nm³.
#[derive(Default)]
struct Terms {
    contents: i128,
    stock: i128,
    voids: i128,
    slack: i128,
    overhead: i128,
}

pub(super) fn check(view: &View, report: &mut Report) {
    let Some(t) = terms(view) else { return };
    let told = &view.a.volumes_mm3;
    let body = |b: &crate::plan::Body| Extent::new(b.at, b.size).volume();
    let interior = view.interior().volume();
    let kept: i128 = view.a.kept.iter().map(body).sum();
    let cover: i128 = view.a.cover.iter().map(body).sum();
    let wasted = t.stock + t.voids + t.slack + t.overhead;
    let spare = interior - t.contents - kept - cover - wasted;
    let path = format!("{} › volumes_mm3", view.name);
    for (what, is, told) in [
        ("interior", interior, told.interior),
        ("contents", t.contents, told.contents),
        ("kept", kept, told.kept),
        ("cover", cover, told.cover),
        ("stock", t.stock, told.stock),
        ("voids", t.voids, told.voids),
        ("slack", t.slack, told.slack),
        ("overhead", t.overhead, told.overhead),
        ("spare", spare, told.spare),
        ("wasted", wasted, told.wasted),
    ] {
        if told.nm3() != is {
            let cause = format!("{what} is {} in the geometry, {told} in the plan", Volume::from_nm3(is));
            report.fault("C130", &path, cause);
        }
        if is < 0 {
            report.fault("C131", &path, format!("{what} is below nothing: {}", Volume::from_nm3(is)));
        }
    }
}

/// `None` where a tray or a need is not understood, which has been told.
fn terms(view: &View) -> Option<Terms> {
    let mut t = Terms::default();
    let compartments: usize = view.trays.iter().map(|p| p.tray.compartments.len()).sum();
    if view.outer().count() != view.a.trays.len() || view.rooms.len() != compartments {
        return None;
    }
    for placed in &view.trays {
        let air = air(placed);
        t.stock += placed.extent.volume() - air;
        t.slack += air;
        if placed.outer {
            t.overhead += over(view, &placed.extent, &placed.tray.layers);
            let (taken, stock) = sunk(view, placed);
            t.stock -= stock;
            t.slack -= taken - stock;
        }
    }
    for room in &view.rooms {
        let need = needs::chosen(view.job, room).ok()?.least.volume();
        let own = match &room.c.tray {
            Some(inner) => Extent::new(inner.at, inner.size).volume(),
            None => {
                let contents = needs::contents(room)?;
                t.contents = t.contents.checked_add(contents)?;
                contents
            }
        };
        t.voids = t.voids.checked_add(need.checked_sub(own)?)?;
        t.slack = t.slack.checked_sub(need)?;
    }
    for kept in &view.a.kept {
        t.overhead += over(view, &Extent::new(kept.at, kept.size), &kept.layers);
    }
    Some(t)
}

/// Room inside a tray that neither walls, floor, lid nor dividers take.
fn air(placed: &Placed) -> i128 {
    let tray = placed.tray;
    let side = |axis: usize, off: i64| i128::from((placed.extent.len(axis) - off).max(0));
    let wall = 2 * tray.wall.nm();
    let inner = side(0, wall) * side(1, wall) * side(2, tray.floor.nm() + tray.lid.nm());
    inner - tray.dividers.iter().map(|d| Extent::new(d.at, d.size).volume()).sum::<i128>()
}

/// Room above a body up to the top of the last layer that it reaches into, but for what is sunk there.
fn over(view: &View, e: &Extent, layers: &[usize]) -> i128 {
    let top = view.top(layers).unwrap_or(0).max(e.hi[2]);
    let room = Extent { lo: [e.lo[0], e.lo[1], e.hi[2]], hi: [e.hi[0], e.hi[1], top] };
    room.volume() - view.sunk.iter().map(|s| common(&s.item, &room)).sum::<i128>()
}

/// What sunk items take within a tray, and how much of it would else be walls and dividers.
fn sunk(view: &View, placed: &Placed) -> (i128, i128) {
    let (e, wall) = (placed.extent, placed.tray.wall.nm());
    let mut inner = e;
    for axis in [0, 1] {
        inner.lo[axis] += wall;
        inner.hi[axis] -= wall;
    }
    let dividers: Vec<Extent> = placed.tray.dividers.iter().map(|d| Extent::new(d.at, d.size)).collect();
    let mut sums = (0, 0);
    for s in &view.sunk {
        let all = common(&s.item, &e);
        sums.0 += all;
        sums.1 += all - common(&s.item, &inner) + dividers.iter().map(|d| common(&s.item, d)).sum::<i128>();
    }
    sums
}

/// The volume of what two bodies share.
fn common(a: &Extent, b: &Extent) -> i128 {
    (0..3).map(|axis| i128::from((a.hi[axis].min(b.hi[axis]) - a.lo[axis].max(b.lo[axis])).max(0))).product()
}

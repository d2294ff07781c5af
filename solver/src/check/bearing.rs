//! Bearing: what stands above the floor rests on rims, full-height dividers, lids or kept items.
//!
//! A body rests if each of its four corner zones (a quarter of its width by a quarter of its depth) meets
//! something that bears, or if along two opposite edges the outer quarter strip meets things that cover at
//! least half of the edge. Common practice for a rigid floor, no source.
//!
//! Layers begin at whole steps of the search, kept items end where they end: what ends less than a step below
//! a body is what the body comes to rest on.

use super::Report;
use super::extent::Extent;
use super::view::{Placed, View};

/// Outlines here are in twentieths of a nanometre, so that a quarter and two fifths of a side are whole.
const PARTS: i64 = 20;
/// At its corners and edges a body must be borne: in the outer quarter.
const QUARTER: i64 = 5;
/// A sunk item cannot slide off: in the outer two fifths.
const TWO_FIFTHS: i64 = 8;

pub(super) fn check(view: &View, report: &mut Report) {
    let kept: Vec<(Extent, String)> =
        view.a.kept.iter().map(|b| (Extent::new(b.at, b.size), view.body_path("kept item", b))).collect();
    let step = view.job.grid.nm().max(1);
    let mut places: Vec<Extent> = kept.iter().map(|(e, _)| *e).collect();
    view.outer().for_each(|t| bears(t, &mut places));
    // As cover items over the top layer, sunk ones are borne in what is built only.
    for own in view.sunk.iter().filter(|_| view.name == "settled") {
        if !rests(&scaled(&own.item, PARTS), &recessed(view, &own.item, &kept, step), TWO_FIFTHS) {
            let path = view.body_path("cover item", own.body);
            report.fault(
                "C090",
                &path,
                "no wall or divider bears it at two opposite edges or at all four corners",
            );
        }
    }
    let trays = view.outer().map(|t| (&t.extent, &t.path));
    for (body, path) in trays.chain(kept.iter().map(|(e, path)| (e, path))) {
        if body.lo[2] == 0 {
            continue;
        }
        let under: Vec<Extent> = places
            .iter()
            .filter(|p| (0..step).contains(&(body.lo[2] - p.hi[2])) && p.over(body))
            .map(|p| scaled(p, PARTS))
            .collect();
        if !rests(&scaled(body, PARTS), &under, QUARTER) {
            report.fault("C090", path, "nothing bears it at two opposite edges or at all four corners");
        }
    }
}

/// The places on the top of a tray that bear: all of a lid, else the rims and the dividers that reach them.
fn bears(t: &Placed, places: &mut Vec<Extent>) {
    let (e, wall) = (t.extent, t.tray.wall.nm());
    if t.rule.low {
        return;
    }
    if t.tray.lid.nm() > 0 {
        places.push(e);
        return;
    }
    for axis in [0, 1] {
        let (mut near, mut far) = (e, e);
        near.hi[axis] = e.lo[axis] + wall;
        far.lo[axis] = e.hi[axis] - wall;
        places.extend([near, far]);
    }
    let dividers = t.tray.dividers.iter().map(|d| Extent::new(d.at, d.size));
    places.extend(dividers.filter(|d| d.hi[2] == e.hi[2]));
}

/// Places in which a sunk item lies: walls and dividers lowered for it, rims and kept items that end there.
fn recessed(view: &View, item: &Extent, kept: &[(Extent, String)], step: i64) -> Vec<Extent> {
    let floor = item.lo[2];
    let mut places: Vec<Extent> =
        kept.iter().map(|(e, _)| *e).filter(|e| (0..step).contains(&(floor - e.hi[2]))).collect();
    for t in view.outer().filter(|t| t.extent.hi[2] >= floor) {
        let (e, wall) = (t.extent, t.tray.wall.nm());
        for axis in [0, 1] {
            let (mut near, mut far) = (e, e);
            near.hi[axis] = e.lo[axis] + wall;
            far.lo[axis] = e.hi[axis] - wall;
            places.extend([near, far]);
        }
        let dividers = t.tray.dividers.iter().map(|d| Extent::new(d.at, d.size));
        places.extend(dividers.filter(|d| d.hi[2] >= floor));
    }
    places.into_iter().filter(|p| p.over(item)).map(|p| scaled(&p, PARTS)).collect()
}

fn scaled(e: &Extent, by: i64) -> Extent {
    Extent { lo: e.lo.map(|v| v * by), hi: e.hi.map(|v| v * by) }
}

fn rests(body: &Extent, places: &[Extent], part: i64) -> bool {
    // [outer part at the least end, at the greatest end] along an axis.
    let ends = |axis: usize| {
        let outer = body.len(axis) / PARTS * part;
        [[body.lo[axis], body.lo[axis] + outer], [body.hi[axis] - outer, body.hi[axis]]]
    };
    let narrowed = |mut e: Extent, axis: usize, [lo, hi]: [i64; 2]| {
        e.lo[axis] = e.lo[axis].max(lo);
        e.hi[axis] = e.hi[axis].min(hi);
        e
    };
    let corner = |x: [i64; 2], y: [i64; 2]| {
        let zone = narrowed(narrowed(*body, 0, x), 1, y);
        places.iter().any(|p| p.over(&zone))
    };
    if ends(0).into_iter().all(|x| ends(1).into_iter().all(|y| corner(x, y))) {
        return true;
    }
    [0, 1].into_iter().any(|axis| {
        ends(axis).into_iter().all(|end| {
            let strip = narrowed(*body, axis, end);
            let along = 1 - axis;
            let met = places.iter().filter(|p| p.over(&strip));
            let covered =
                union(met.map(|p| [p.lo[along].max(body.lo[along]), p.hi[along].min(body.hi[along])]));
            2 * covered >= body.len(along)
        })
    })
}

/// Length of the union of intervals.
fn union(intervals: impl Iterator<Item = [i64; 2]>) -> i64 {
    let mut all: Vec<[i64; 2]> = intervals.collect();
    all.sort_unstable();
    let (mut sum, mut reached) = (0, i64::MIN);
    for [lo, hi] in all {
        let lo = lo.max(reached);
        if hi > lo {
            sum += hi - lo;
            reached = hi;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flat(x: i64, y: i64, w: i64, d: i64) -> Extent {
        scaled(&Extent { lo: [x, y, 0], hi: [x + w, y + d, 1] }, PARTS)
    }

    #[test]
    fn corners_or_opposite_edges_bear() {
        let body = flat(0, 0, 40, 40);
        assert!(rests(&body, &[flat(-5, -5, 6, 60), flat(39, -5, 6, 60)], QUARTER));
        assert!(!rests(&body, &[flat(18, -5, 6, 60)], QUARTER), "one line under the middle");
        // Half of two opposite edges is enough, a nanometre less is not.
        assert!(rests(&body, &[flat(0, 10, 2, 20), flat(38, 20, 2, 20)], QUARTER));
        assert!(!rests(&body, &[flat(0, 10, 2, 20), flat(38, 20, 2, 19)], QUARTER));
        let corners = [flat(9, 9, 1, 1), flat(30, 9, 1, 1), flat(9, 30, 1, 1), flat(30, 30, 1, 1)];
        assert!(rests(&body, &corners, QUARTER));
        assert!(!rests(&body, &corners[..3], QUARTER));
    }
}

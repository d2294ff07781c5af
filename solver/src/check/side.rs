//! Boxes kept on their side: nothing may slide out of a compartment.
//!
//! Over every open compartment, what lies above comes so near to the rim that its thinnest piece does not
//! pass; slits between neighbours above, or beside a wall, are measured alike.

use super::Report;
use super::extent::Extent;
use super::needs;
use super::view::{Room, View};

pub(super) fn check(view: &View, report: &mut Report) {
    if !view.job.container.on_side {
        return;
    }
    let outer = view.outer().map(|t| t.extent);
    let items = view.a.kept.iter().chain(&view.a.cover).map(|b| Extent::new(b.at, b.size));
    let mut above: Vec<Extent> = outer.chain(items).collect();
    // The lid of the box itself.
    let mut lid = view.interior();
    lid.lo[2] = lid.hi[2];
    above.push(lid);
    for room in view.rooms.iter().filter(|r| view.trays.get(r.tray).is_some_and(|t| t.tray.lid.nm() == 0)) {
        let thinnest = needs::thinnest(room).unwrap_or(0);
        if !closed(room, thinnest, &above, view) {
            let cause = "a piece may slide out over the rim when the box stands on its side";
            report.fault("C120", &room.path, cause);
        }
    }
}

/// Whether nothing above leaves an opening wider than `thinnest` both upwards and along the rim.
fn closed(room: &Room, thinnest: i64, above: &[Extent], view: &View) -> bool {
    let rim = room.extent.hi[2];
    // The lids of trays that this one lives in close it too.
    let own = view.trays.get(room.tray);
    let lids = view.trays.iter().filter(|t| own.is_some_and(|o| o.within == t.within) && t.tray.lid.nm() > 0);
    let lids = lids.map(|t| {
        let mut e = t.extent;
        e.lo[2] = e.hi[2] - t.tray.lid.nm();
        e
    });
    // Twice as large, so that half of the thinnest piece is whole: an opening shrinks by it, covers grow.
    let twice = |v: [i64; 2]| v.map(|v| 2 * v);
    let mut open = [0, 1].map(|axis| twice([room.extent.lo[axis], room.extent.hi[axis]]));
    for side in &mut open {
        side[0] += thinnest;
        side[1] -= thinnest;
        if side[0] >= side[1] {
            return true;
        }
    }
    let covers: Vec<[[i64; 2]; 2]> = above
        .iter()
        .copied()
        .chain(lids)
        .filter(|e| e.lo[2] >= rim && e.lo[2] - rim <= thinnest && e.over(&room.extent))
        .map(|e| {
            [0, 1].map(|axis| {
                let [lo, hi] = twice([e.lo[axis], e.hi[axis]]);
                [lo - thinnest, hi + thinnest]
            })
        })
        .collect();
    covered(open, &covers)
}

/// Whether these rectangles cover `open`.
fn covered(open: [[i64; 2]; 2], covers: &[[[i64; 2]; 2]]) -> bool {
    let cuts = |axis: usize| {
        let mut all: Vec<i64> = covers.iter().flat_map(|c| c[axis]).chain(open[axis]).collect();
        all.retain(|v| (open[axis][0]..=open[axis][1]).contains(v));
        all.sort_unstable();
        all.dedup();
        all
    };
    let (xs, ys) = (cuts(0), cuts(1));
    let pairs = |all: &[i64]| -> Vec<[i64; 2]> {
        all.windows(2).filter_map(|w| if let [a, b] = w { Some([*a, *b]) } else { None }).collect()
    };
    let (xs, ys) = (pairs(&xs), pairs(&ys));
    xs.iter().all(|x| {
        ys.iter().all(|y| {
            covers.iter().any(|c| c[0][0] <= x[0] && x[1] <= c[0][1] && c[1][0] <= y[0] && y[1] <= c[1][1])
        })
    })
}

//! Cover items sunk into the trays under them: only those that may, flush with the top of the layers, with play around
//! them, and neither a lid, a nested tray nor a kept item where they lie.

use super::Report;
use super::extent::Extent;
use super::view::View;

pub(super) fn check(view: &View, report: &mut Report) {
    for own in &view.sunk {
        let path = view.body_path("cover item", own.body);
        if !view.job.cover.iter().any(|c| c.name == own.body.name && c.sink) {
            report.fault("C044", &path, "it lies in a recess, which the brief does not allow");
        }
        if own.item.hi[2] != view.layers_top() {
            report.fault("C044", &path, "it is not flush with the rims around it");
        }
        for t in view.outer().filter(|t| t.extent.over(&own.recess) && t.extent.hi[2] > own.item.lo[2]) {
            if t.tray.lid.nm() > 0 || own.item.lo[2] <= t.extent.lo[2] + t.tray.floor.nm() {
                report.fault(
                    "C045",
                    &path,
                    format!("{} cannot be recessed: its lid or its floor is there", t.path),
                );
            }
        }
        for room in view.rooms.iter().filter(|r| r.c.tray.is_some() && r.extent.over(&own.recess)) {
            let outer = view.trays.get(room.tray).is_some_and(|t| t.outer && t.extent.hi[2] > own.item.lo[2]);
            if outer {
                report.fault("C045", &path, format!("a tray in {} is in its way", room.path));
            }
        }
        for kept in &view.a.kept {
            let e = Extent::new(kept.at, kept.size);
            if e.over(&own.item) && e.meets(&own.item, 2) {
                report.fault("C050", &path, format!("it overlaps {}", view.body_path("kept item", kept)));
            }
        }
        // What lies in a wall's way of another recess would leave no wall between.
        for other in view.sunk.iter().filter(|o| !std::ptr::eq(o.body, own.body)) {
            if other.recess.over(&own.item) {
                report.fault("C051", &path, format!("it is too near to cover item \"{}\"", other.body.name));
            }
        }
    }
}

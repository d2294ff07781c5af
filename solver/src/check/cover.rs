//! Cover items: large flat things in one slab directly under the lid room.

use super::Report;
use super::extent::Extent;
use super::view::View;
use crate::plan::Body;

pub(super) fn check(view: &View, report: &mut Report) {
    let lid = (view.job.container.interior.h - view.job.container.lid_room).nm();
    let mut free = view.interior();
    free.hi[2] = lid;
    let items: Vec<(&Body, Extent)> = view.a.cover.iter().map(|b| (b, Extent::new(b.at, b.size))).collect();
    for (i, (b, e)) in items.iter().enumerate() {
        let path = view.body_path("cover item", b);
        if let Some(item) = view.job.cover.iter().find(|c| c.name == b.name)
            && b.size != item.size
            && b.size != item.size.turned()
        {
            report.fault("C040", &path, "its size is not the brief's, lying flat");
        }
        if !e.within(&free) {
            report.fault("C041", &path, "it reaches out of the box or into the lid room");
        }
        // Each level lies on the lowest plane of the slab or on the top of another item.
        let sunk = view.sunk.iter().any(|s| std::ptr::eq(s.body, *b));
        let borne = sunk || e.lo[2] == view.ceiling || items.iter().any(|(_, o)| o.hi[2] == e.lo[2]);
        if !borne {
            report.fault("C042", &path, "it lies neither on the bottom of the slab nor on a level of it");
        }
        if !b.layers.is_empty() {
            report.fault("C043", &path, "a cover item reaches into no layer");
        }
        for (other, o) in &items[..i] {
            if e.over(o) && e.meets(o, 2) {
                report.fault("C050", &path, format!("it overlaps cover item \"{}\"", other.name));
            }
        }
    }
    let lying = items.iter().filter(|(b, _)| !view.sunk.iter().any(|s| std::ptr::eq(s.body, *b)));
    if let Some(top) = lying.map(|(_, e)| e.hi[2]).max()
        && top != lid
    {
        report.fault(
            "C042",
            &format!("{} › cover", view.name),
            "the slab does not lie directly under the lid room",
        );
    }
}

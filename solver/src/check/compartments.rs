//! What a tray is made of, and that its compartments and dividers fill it exactly, by straight cuts.

use super::Report;
use super::cuts::{self, Piece};
use super::extent::Extent;
use super::view::{Placed, View};
use crate::job::Grip;
use crate::length::Length;

pub(super) fn check(view: &View, report: &mut Report) {
    for placed in &view.trays {
        make(view, placed, report);
        inside(view, placed, report);
    }
}

/// Thicknesses and grip.
fn make(view: &View, placed: &Placed, report: &mut Report) {
    let (job, rule, tray) = (view.job, placed.rule, placed.tray);
    let mut thick = |what: &str, is: Length, wanted: Length| {
        if is != wanted {
            report.fault("C060", &placed.path, format!("its {what} is {is} thick, the stock {wanted}"));
        }
    };
    thick("wall", tray.wall, job.stock.thickness);
    thick("floor", tray.floor, job.floor);
    // In a box kept on its side a tray may have a lid that the brief did not ask for.
    let lid = rule.lid || (job.container.on_side && tray.lid > Length::ZERO);
    thick("lid", tray.lid, if lid { job.floor } else { Length::ZERO });
    // A wanted notch may give way to a ribbon (P010); whether it had to is not a fault either way.
    let grip = match rule.grip {
        Some(Grip::Notch) => tray.grip != Grip::None,
        Some(grip) => tray.grip == grip,
        None => tray.grip != Grip::None,
    };
    if !grip {
        report.fault(
            "C061",
            &placed.path,
            format!("its grip is {:?}, asked for is {:?}", tray.grip, rule.grip),
        );
    }
}

fn inside(view: &View, placed: &Placed, report: &mut Report) {
    let (rule, tray) = (placed.rule, placed.tray);
    let mut inner = placed.extent;
    for axis in [0, 1] {
        inner.lo[axis] += tray.wall.nm();
        inner.hi[axis] -= tray.wall.nm();
    }
    inner.lo[2] += tray.floor.nm();
    inner.hi[2] -= tray.lid.nm();
    if (0..3).any(|axis| inner.len(axis) <= 0) {
        report.fault("C062", &placed.path, "walls, floor and lid leave no room inside");
        return;
    }
    let mut pieces = Vec::with_capacity(tray.compartments.len() + tray.dividers.len());
    for c in &tray.compartments {
        let e = Extent::new(c.at, c.size);
        let top = if placed.outer { inner.hi[2].min(view.below_sunk(&e)) } else { inner.hi[2] };
        if e.lo[2] != inner.lo[2] || e.hi[2] != top {
            let path = format!("{} › compartment \"{}\"", placed.path, c.part);
            report.fault(
                "C063",
                &path,
                "it does not reach from the floor up to the rim, or to what is sunk over it",
            );
        }
        pieces.push(Piece::compartment(&e));
    }
    let full = inner.len(2);
    let height = rule.divider_height.map_or(full, |h| h.nm().min(full));
    for d in &tray.dividers {
        let e = Extent::new(d.at, d.size);
        if e.lo[2] != inner.lo[2] || e.len(2) != height {
            let cause = format!("a divider is not {} high from the floor", Length::from_nm(height));
            report.fault("C064", &placed.path, cause);
        }
        let thickness = view.job.divider.nm();
        if e.len(0) != thickness && e.len(1) != thickness {
            report.fault("C064", &placed.path, format!("a divider is not {} thick", view.job.divider));
        }
        pieces.push(Piece::divider(&e, thickness));
    }
    if let Err(cause) = cuts::straight(cuts::region(&inner), &pieces) {
        report.fault("C065", &placed.path, cause);
    }
    // Its lid or rim, and its place in the compartment it lives in.
    if placed.outer {
        return;
    }
    if let Some(room) = view.rooms.iter().find(|r| r.c.tray.as_deref().is_some_and(|t| std::ptr::eq(t, tray)))
    {
        let e = &placed.extent;
        if !e.within(&room.extent) || e.lo[2] != room.extent.lo[2] {
            report.fault(
                "C066",
                &placed.path,
                "it does not stand on the floor of its compartment, inside it",
            );
        }
        let ease = view.job.container.between.nm();
        if (0..2).any(|axis| room.extent.len(axis) - e.len(axis) < ease) {
            let cause = format!("it has less play in its compartment than {}", view.job.container.between);
            report.fault("C051", &placed.path, cause);
        }
    }
}

//! Trays and kept items: where they stand, what they claim, and how near they come to each other.

use super::Report;
use super::extent::Extent;
use super::view::{Placed, View};
use crate::job::{Held, Kept, Turn};
use crate::length::Length;
use crate::place::{Point, Size};
use crate::plan::Body;

/// A body with all it claims: up to the top of its layers.
struct Claimed<'a> {
    extent: Extent,
    tray: bool,
    path: &'a str,
}

pub(super) fn check(view: &View, report: &mut Report) {
    let box_ = &view.job.container;
    let mut claimed = Vec::new();
    for t in view.outer() {
        tray(view, t, report);
        let mut extent = t.extent;
        extent.hi[2] = extent.hi[2].max(view.top(&t.tray.layers).unwrap_or(0));
        claimed.push(Claimed { extent, tray: true, path: &t.path });
    }
    let paths: Vec<String> = view.a.kept.iter().map(|b| view.body_path("kept item", b)).collect();
    for (b, path) in view.a.kept.iter().zip(&paths) {
        let mut extent = Extent::new(b.at, b.size);
        kept(view, b, &extent, path, report);
        extent.hi[2] = extent.hi[2].max(view.top(&b.layers).unwrap_or(0));
        claimed.push(Claimed { extent, tray: false, path });
    }
    for (i, a) in claimed.iter().enumerate() {
        bounds(view, a, report);
        for b in &claimed[..i] {
            // Kept items may touch each other; a tray keeps clear of everything.
            let between = if a.tray || b.tray { box_.between.nm() } else { 0 };
            let gap = a.extent.gap(&b.extent);
            if a.extent.meets(&b.extent, 2) && gap < between {
                let cause = if gap < 0 {
                    format!("it overlaps {}", b.path)
                } else {
                    format!(
                        "{} away from {}, less than the clearance {}",
                        Length::from_nm(gap),
                        b.path,
                        box_.between
                    )
                };
                report.fault(if gap < 0 { "C050" } else { "C051" }, a.path, cause);
            }
        }
    }
}

fn bounds(view: &View, body: &Claimed, report: &mut Report) {
    let mut free = view.interior();
    free.hi[2] = view.ceiling;
    if !body.extent.within(&free) {
        report.fault(
            "C052",
            body.path,
            "it reaches out of the box, into the lid room or into the cover items",
        );
    }
    let side = view.job.container.side.nm();
    let near = |axis: usize| body.extent.lo[axis] < side || free.hi[axis] - body.extent.hi[axis] < side;
    if body.tray && (near(0) || near(1)) {
        let cause = format!("it is nearer to a side of the box than {}", view.job.container.side);
        report.fault("C051", body.path, cause);
    }
}

fn tray(view: &View, t: &Placed, report: &mut Report) {
    let (rule, tray) = (t.rule, t.tray);
    let in_order = tray.layers.windows(2).all(|w| matches!(w, [a, b] if a.checked_add(1) == Some(*b)));
    let bottom =
        tray.layers.first().and_then(|l| view.a.layers.get(l.checked_sub(1)?)).map(|l| l.bottom.nm());
    let (Some(bottom), Some(top), true) = (bottom, view.top(&tray.layers), in_order) else {
        report.fault("C053", &t.path, format!("it reaches through no such run of layers: {:?}", tray.layers));
        return;
    };
    if tray.layers.len() > rule.span.max(1) {
        let cause =
            format!("it reaches through {} layers, at most {} are wanted", tray.layers.len(), rule.span);
        report.fault("C053", &t.path, cause);
    }
    // What lies wholly under a sunk item ends at its underside.
    let within = |s: &&super::view::Sunk| {
        (0..2).all(|a| s.recess.lo[a] <= t.extent.lo[a] && t.extent.hi[a] <= s.recess.hi[a])
    };
    let top = view.sunk.iter().filter(within).map(|s| s.item.lo[2]).fold(top, i64::min);
    // Low ones and those of a fixed height may end lower.
    let lower = rule.low || rule.size.is_some();
    let reaches = if lower { t.extent.hi[2] <= top } else { t.extent.hi[2] == top };
    if t.extent.lo[2] != bottom || !reaches {
        report.fault("C054", &t.path, "it does not stand on the bottom of its layers and end at their top");
    }
    held(rule.held, tray.at, tray.layers.first(), &t.path, report);
    if let Some(size) = rule.size
        && tray.size != size
        && tray.size != size.turned()
    {
        report.fault("C056", &t.path, "the brief fixes another outer size");
    }
    if let Some((a, b)) = view.job.wishes.largest_tray {
        let (w, d) = (tray.size.w, tray.size.d);
        if !((w <= a && d <= b) || (w <= b && d <= a)) {
            report.fault(
                "C057",
                &t.path,
                format!("{w} × {d} is more than the largest tray wanted, {a} × {b}"),
            );
        }
    }
}

fn kept(view: &View, b: &Body, e: &Extent, path: &str, report: &mut Report) {
    if let Some(item) = view.job.kept.iter().find(|k| k.name == b.name) {
        if !stands(item, b.size) {
            report.fault("C055", path, "its size is not the brief's in any turn that is allowed");
        }
        held(item.held, b.at, b.layers.first(), path, report);
    }
    let bottoms = view.a.layers.iter().map(|l| (l.bottom.nm(), l.bottom.nm() + l.height.nm()));
    let top = bottoms.clone().map(|(_, top)| top).max().unwrap_or(0);
    if e.lo[2] != top && bottoms.clone().all(|(bottom, _)| bottom != e.lo[2]) {
        report.fault("C054", path, "it stands neither on the bottom of a layer nor on the top of the last");
    }
    let reached: Vec<usize> = bottoms
        .enumerate()
        .filter(|(_, (lo, hi))| *lo < e.hi[2] && *hi > e.lo[2])
        .map(|(i, _)| i + 1)
        .collect();
    if reached != b.layers {
        report.fault("C053", path, format!("it reaches into layers {reached:?}, not {:?}", b.layers));
    }
}

fn stands(item: &Kept, as_placed: Size) -> bool {
    let Size { w, d, h } = item.size;
    let ways: &[[Length; 3]] = match item.turn {
        Turn::None => &[[w, d, h]],
        Turn::Upright => &[[w, d, h], [d, w, h]],
        Turn::Any => &[[w, d, h], [d, w, h], [w, h, d], [h, w, d], [d, h, w], [h, d, w]],
    };
    ways.iter().any(|way| Size::from(*way) == as_placed)
}

fn held(held: Option<Held>, at: Point, first: Option<&usize>, path: &str, report: &mut Report) {
    let kept = match held {
        None => true,
        Some(Held::Layer(layer)) => first.and_then(|l| l.checked_sub(1)) == Some(layer),
        Some(Held::At(place)) => place == at,
    };
    if !kept {
        report.fault("C058", path, "it is not where the brief holds it");
    }
}

//! Repair of bearing: bodies that rest on nothing are moved within their layers until they do.

use super::bearing::unborne;
use super::instance::{HeldAt, Instance, Layout};
use super::pack::Rect;
use crate::random::Random;

/// Moves tried before giving up.
const TRIES: usize = 3_000;

/// A layout that keeps every rule, bearing included, made from one that keeps every other rule; `None` where none was
/// found. Claims stay as they are: bodies only move or change places with equals.
pub(crate) fn repair(instance: &Instance, layout: &Layout, seed: u64) -> Option<Layout> {
    instance.feasible(layout).ok()?;
    let mut now = layout.clone();
    let mut hanging = unborne(instance, &now);
    let mut random = Random::new(seed);
    let bodies = layout.trays.len() + layout.kept.len();
    for _ in 0..TRIES {
        if hanging == 0 {
            return Some(now);
        }
        let mut next = now.clone();
        let body = random.below(bodies);
        let moved = match random.below(4) {
            0 => swap(instance, &mut next, body, random.below(bodies)),
            _ => slide(instance, &mut next, body, &mut random),
        };
        if !moved || instance.feasible(&next).is_err() {
            continue;
        }
        let left = unborne(instance, &next);
        if left <= hanging {
            now = next;
            hanging = left;
        }
    }
    (hanging == 0).then_some(now)
}

fn rect(instance: &Instance, layout: &Layout, body: usize) -> Rect {
    match body.checked_sub(layout.trays.len()) {
        None => instance.tray_rect(body, &layout.trays[body]),
        Some(k) => instance.kept_rect(k, &layout.kept[k]),
    }
}

fn put(layout: &mut Layout, body: usize, x: i64, y: i64) {
    match body.checked_sub(layout.trays.len()) {
        None => (layout.trays[body].x, layout.trays[body].y) = (x, y),
        Some(k) => (layout.kept[k].x, layout.kept[k].y) = (x, y),
    }
}

/// Moves a body along one or both directions: to a side, beside another body, or in line with one.
fn slide(instance: &Instance, layout: &mut Layout, body: usize, random: &mut Random) -> bool {
    let held = match body.checked_sub(layout.trays.len()) {
        None => instance.trays[body].held,
        Some(k) => instance.kept[k].held,
    };
    if matches!(held, HeldAt::Point(..)) {
        return false;
    }
    let r = rect(instance, layout, body);
    let other = rect(instance, layout, random.below(layout.trays.len() + layout.kept.len()));
    let (s, g) = (instance.side, instance.between);
    let mut line = |own: i64, size: i64, at: i64, extent: i64, whole: i64| match random.below(8) {
        0 => s,
        1 => whole - s - size,
        2 => at,
        3 => at + extent - size,
        4 => at + extent + g,
        5 => at - g - size,
        _ => own,
    };
    let x = line(r.x, r.w, other.x, other.w, instance.width);
    let y = line(r.y, r.d, other.y, other.d, instance.depth);
    put(layout, body, x, y);
    (x, y) != (r.x, r.y)
}

/// Two trays change places: corner for corner, within a layer or between layers that take each other's height.
fn swap(instance: &Instance, layout: &mut Layout, a: usize, b: usize) -> bool {
    let n = layout.trays.len();
    if a == b || a >= n || b >= n {
        return false;
    }
    let (p, q) = (layout.trays[a], layout.trays[b]);
    let (ra, rb) = (rect(instance, layout, a), rect(instance, layout, b));
    if p.layer == q.layer && p.span == q.span {
        put(layout, a, rb.x, rb.y);
        put(layout, b, ra.x, ra.y);
        return true;
    }
    // Only equals, so that nothing is claimed anew.
    if instance.trays[a].kind != instance.trays[b].kind || p.option != q.option {
        return false;
    }
    layout.trays.swap(a, b);
    true
}

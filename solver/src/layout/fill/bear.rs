//! Moves trays that hang to where something bears them.

use super::super::bearing::{Borne, hanging};
use super::super::instance::{Instance, Layout, TrayPlace};
use super::super::pack::Rect;

/// Places tried along each side for a tray that hangs.
const PLACES: i64 = 48;
/// Rounds over all trays that hang.
const ROUNDS: usize = 3;

/// Moves trays that nothing bears to free places of their layer where something does, from the floor up.
pub(super) fn bear(instance: &Instance, layout: &mut Layout) {
    if instance.rims.is_none() {
        return;
    }
    for _ in 0..ROUNDS {
        let mut all = hanging(instance, layout);
        if all.is_empty() {
            return;
        }
        all.sort_by_key(|&t| (layout.trays.get(t).map(|p| p.layer), t));
        for t in all {
            rehang(instance, layout, t);
        }
    }
}

/// Another place in its layer for one tray, the first that bears it; else it stays.
fn rehang(instance: &Instance, layout: &mut Layout, t: usize) {
    let Some(old) = layout.trays.get(t).copied() else { return };
    let r = instance.tray_rect(t, &old);
    let near = |p: &(usize, &TrayPlace)| p.0 != t && p.1.layer == old.layer;
    let others = layout.trays.iter().enumerate().filter(near).map(|(i, p)| instance.tray_rect(i, p));
    let kept = layout.kept.iter().enumerate().filter(|(_, k)| k.layer == old.layer);
    let others: Vec<Rect> = others.chain(kept.map(|(k, p)| instance.kept_rect(k, p))).collect();
    let (s, b) = (instance.side, instance.between);
    let along = |most: i64, len: i64, edges: &dyn Fn(&Rect) -> (i64, i64)| {
        let last = most - s - len;
        let even = (0..=PLACES).map(|i| s + (last - s) * i / PLACES);
        let beside = others.iter().flat_map(|o| [edges(o).1 + b, edges(o).0 - b - len]);
        let mut all: Vec<i64> = even.chain(beside).filter(|x| (s..=last).contains(x)).collect();
        all.sort_unstable();
        all.dedup();
        all
    };
    let xs = along(instance.width, r.w, &|o| (o.x, o.x + o.w));
    let ys = along(instance.depth, r.d, &|o| (o.y, o.y + o.d));
    let borne = Borne::under(instance, layout, old.layer);
    for &y in &ys {
        for &x in &xs {
            let here = Rect { x, y, ..r };
            if others.iter().all(|o| !o.nearer(&here, b))
                && borne.bears(instance, t, &TrayPlace { x, y, ..old })
            {
                layout.trays[t] = TrayPlace { x, y, ..old };
                return;
            }
        }
    }
}

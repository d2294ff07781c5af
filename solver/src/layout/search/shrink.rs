//! Layers no higher than what stands in them.

use super::super::bearing::unborne;
use super::super::instance::{Instance, Layout, TrayPlace};

/// Lowers each layer to what its bodies need, and takes out layers in which no tray stands, where that keeps the layout
/// valid and costs nothing.
pub(super) fn shrink(instance: &Instance, layout: &Layout) -> Layout {
    let mut best = layout.clone();
    let mut cost = instance.cost(&best).value();
    for l in 0..layout.heights.len() {
        let Some(least) = least_height(instance, &best, l) else { continue };
        let mut tried = best.clone();
        tried.heights[l] = least.max(instance.height_rules.get(l).map_or(1, |r| r.0)).max(1);
        let value = instance.cost(&tried).value();
        if value < cost && valid(instance, &tried) {
            best = tried;
            cost = value;
        }
    }
    for l in (0..best.heights.len()).rev() {
        let reached = best.trays.iter().any(|p| (p.layer..p.layer + p.span).contains(&l));
        if reached || best.heights.len() == 1 {
            continue;
        }
        let mut tried = best.clone();
        tried.heights.remove(l);
        tried.trays.iter_mut().filter(|p| p.layer > l).for_each(|p| p.layer -= 1);
        // What stood on the layer's floor stands on that of the next one, or of the one below the top.
        let top = tried.heights.len() - 1;
        tried
            .kept
            .iter_mut()
            .for_each(|p| p.layer = if p.layer > l { p.layer - 1 } else { p.layer.min(top) });
        if instance.cost(&tried).value() <= cost && valid(instance, &tried) {
            cost = instance.cost(&tried).value();
            best = tried;
        }
    }
    best
}

/// Whether a layout keeps every rule, bearing included.
pub(super) fn valid(instance: &Instance, layout: &Layout) -> bool {
    instance.feasible(layout).is_ok() && unborne(instance, layout) == 0
}

/// The least height of a layer that its trays allow, the other layers staying; `None` where none reaches it.
fn least_height(instance: &Instance, layout: &Layout, l: usize) -> Option<i64> {
    let reaching = layout.trays.iter().enumerate().filter(|(_, p)| (p.layer..p.layer + p.span).contains(&l));
    let need = |(i, p): (usize, &TrayPlace)| {
        let others: i64 = (p.layer..p.layer + p.span).filter(|m| *m != l).map(|m| layout.heights[m]).sum();
        instance.trays[i].options.get(p.option).map_or(0, |o| o.h) - others
    };
    reaching.map(need).max()
}

//! Layers no higher than what stands in them.

use super::super::bearing::unborne;
use super::super::instance::{Instance, Layout, TrayPlace};

/// Lowers each layer to what its bodies need, takes out layers in which no tray stands, and makes one of two in which the
/// same bodies stand, where that keeps the layout valid and costs nothing.
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
    for l in (0..best.heights.len().saturating_sub(1)).rev() {
        let tried = instance.blocked.is_empty().then(|| joined(&best, l)).flatten();
        if let Some(tried) = tried.filter(|t| instance.cost(t).value() <= cost && valid(instance, t)) {
            cost = instance.cost(&tried).value();
            best = tried;
        }
    }
    best
}

/// Layer `l` and the one over it as one; `None` where something ends or stands between them.
fn joined(layout: &Layout, l: usize) -> Option<Layout> {
    let between = |p: &TrayPlace| p.layer + p.span == l + 1 || p.layer == l + 1;
    if layout.trays.iter().any(between) || layout.kept.iter().any(|p| p.layer == l + 1) {
        return None;
    }
    let mut joined = layout.clone();
    joined.heights[l] += joined.heights.remove(l + 1);
    for p in &mut joined.trays {
        p.span -= usize::from(p.layer <= l && p.layer + p.span > l + 1);
        p.layer -= usize::from(p.layer > l);
    }
    joined.kept.iter_mut().for_each(|p| p.layer -= usize::from(p.layer > l));
    Some(joined)
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

#[cfg(test)]
mod tests {
    use super::super::super::instance::KeptPlace;
    use super::*;

    #[test]
    fn layers_are_joined_where_nothing_ends_or_stands_between_them() {
        let tray = |layer, span| TrayPlace { layer, span, option: 0, x: 0, y: 0 };
        let kept = |layer| KeptPlace { layer, turn: 0, x: 0, y: 0 };
        let heights = vec![2, 1, 3, 4];
        let of = |trays: &[TrayPlace], kept: &[KeptPlace]| Layout {
            heights: heights.clone(),
            trays: trays.to_vec(),
            kept: kept.to_vec(),
        };
        let all = of(&[tray(2, 1), tray(0, 3)], &[kept(0), kept(3)]);
        assert_eq!(
            joined(&all, 0),
            Some(Layout {
                heights: vec![3, 3, 4],
                trays: vec![tray(1, 1), tray(0, 2)],
                kept: vec![kept(0), kept(2)]
            })
        );
        // A tray stands there, one ends there, a kept item stands there.
        assert_eq!(joined(&all, 1), None);
        assert_eq!(joined(&of(&[tray(0, 1)], &[]), 0), None);
        assert_eq!(joined(&of(&[tray(0, 4)], &[kept(3)]), 2), None);
    }
}

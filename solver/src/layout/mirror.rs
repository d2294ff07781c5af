//! Turning packed layers about: mirrored layers are as valid, but lift and rest differently.

use super::bearing::unborne;
use super::instance::{HeldAt, Instance, Layout};

/// Most combinations of mirrored layers that are tried.
const MOST: usize = 4096;

/// The best valid layout among those that differ from this one by mirroring layers left to right or front to back, and
/// its value; `None` where each leaves a body without bearing (or breaks a rule).
///
/// Layers that share a body are mirrored together; layers with held or blocked places stay.
pub(crate) fn best(instance: &Instance, layout: &Layout) -> Option<(Layout, i64)> {
    let valid = |l: &Layout| instance.feasible(l).is_ok() && unborne(instance, l) == 0;
    let weighs =
        instance.trays.iter().any(|t| t.weight > 0) && instance.access == super::instance::Access::Lifts;
    let value = instance.cost(layout).value();
    if (instance.rims.is_none() && !weighs) || layout.heights.len() < 2 {
        return valid(layout).then(|| (layout.clone(), value));
    }
    let groups = groups(instance, layout);
    let count = groups.iter().copied().max().map_or(0, |g| g + 1);
    let mut best: Option<(Layout, i64)> = None;
    for code in 0..4usize.saturating_pow(count as u32).min(MOST) {
        let turned = mirrored(instance, layout, &groups, code);
        let v = instance.cost(&turned).value();
        if best.as_ref().is_none_or(|b| v < b.1) && valid(&turned) {
            best = Some((turned, v));
        }
    }
    best
}

/// For each layer, the number of its group of layers that share bodies.
fn groups(instance: &Instance, layout: &Layout) -> Vec<usize> {
    let layers = layout.heights.len();
    let mut joined = vec![false; layers];
    for p in &layout.trays {
        joined.iter_mut().take(p.layer + p.span).skip(p.layer + 1).for_each(|j| *j = true);
    }
    for (k, p) in layout.kept.iter().enumerate() {
        let h = instance.kept[k].turns.get(p.turn).map_or(0, |o| o.h);
        let (first, after, _) = instance.kept_reach(&layout.heights, p.layer, h);
        joined.iter_mut().take(after).skip(first + 1).for_each(|j| *j = true);
    }
    let mut group = 0;
    (0..layers)
        .map(|l| {
            group += usize::from(l > 0 && !joined[l]);
            group
        })
        .collect()
}

fn mirrored(instance: &Instance, layout: &Layout, groups: &[usize], code: usize) -> Layout {
    let mut out = layout.clone();
    let stays = |g: usize| {
        let point = |h: HeldAt| matches!(h, HeldAt::Point(..));
        instance.blocked.iter().any(|(l, _)| groups.get(*l) == Some(&g))
            || layout
                .trays
                .iter()
                .zip(&instance.trays)
                .any(|(p, t)| point(t.held) && groups.get(p.layer) == Some(&g))
            || layout
                .kept
                .iter()
                .zip(&instance.kept)
                .any(|(p, t)| point(t.held) && groups.get(p.layer) == Some(&g))
    };
    let flip = |layer: usize| {
        let g = groups.get(layer).copied().unwrap_or(0);
        if stays(g) { 0 } else { code >> (2 * g) & 3 }
    };
    for (i, p) in out.trays.iter_mut().enumerate() {
        let r = instance.tray_rect(i, p);
        if flip(p.layer) & 1 == 1 {
            p.x = instance.width - r.x - r.w;
        }
        if flip(p.layer) & 2 == 2 {
            p.y = instance.depth - r.y - r.d;
        }
    }
    for (k, p) in out.kept.iter_mut().enumerate() {
        let r = instance.kept_rect(k, p);
        if flip(p.layer) & 1 == 1 {
            p.x = instance.width - r.x - r.w;
        }
        if flip(p.layer) & 2 == 2 {
            p.y = instance.depth - r.y - r.d;
        }
    }
    out
}

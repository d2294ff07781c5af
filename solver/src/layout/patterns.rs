//! Likely places of kept items: with these held, layers no longer share free bodies and can be packed one by one.

use super::instance::{Access, HeldAt, Instance, Layout, Option3};

/// Lifts that a layer above a tray stands for.
const LIFTS_A_LAYER: i64 = 3;

/// Easier problems beside an instance: free kept items are held in them, and lifts cost nothing or (`weighed`) are
/// counted by layers.
///
/// What they find must be judged by the instance itself; what they prove holds for themselves only.
pub(crate) fn easier(instance: &Instance, weighed: bool) -> Vec<Instance> {
    let mut all = patterns(instance);
    let weighs = instance.access == Access::Lifts && instance.trays.iter().any(|t| t.weight > 0);
    if weighs {
        all.insert(0, instance.clone());
    }
    all.iter_mut().for_each(|i| by_layers(i, if weighed { LIFTS_A_LAYER } else { 0 }));
    all
}

/// The easier problem around a plan: its layer heights, its places of kept items, lifts counted by layers.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::patterns::around;
/// let turns = vec![Option3 { w: 2, d: 2, h: 6 }, Option3 { w: 6, d: 2, h: 2 }];
/// let oar = KeptItem { name: "oar".into(), kind: 0, turns, held: HeldAt::Free };
/// let lies = KeptPlace { layer: 1, turn: 1, x: 2, y: 3 };
/// let layout = Layout { heights: vec![3, 2], trays: vec![], kept: vec![lies] };
/// let near = around(&Instance { kept: vec![oar], ..empty }, &layout);
/// assert_eq!((near.height_rules, near.access), (vec![(3, 3), (2, 2)], Access::LayersAbove));
/// assert_eq!(near.kept[0].held, HeldAt::Point(2, 3, 3));
/// assert_eq!(near.kept[0].turns, [Option3 { w: 6, d: 2, h: 2 }]);
/// ```
pub fn around(instance: &Instance, layout: &Layout) -> Instance {
    let mut near = instance.clone();
    near.most_layers = layout.heights.len();
    near.height_rules = layout.heights.iter().map(|h| (*h, *h)).collect();
    for (item, place) in near.kept.iter_mut().zip(&layout.kept) {
        item.held = HeldAt::Point(place.x, place.y, layout.bottom(place.layer));
        item.turns = item.turns.get(place.turn).copied().into_iter().collect();
    }
    by_layers(&mut near, LIFTS_A_LAYER);
    near
}

/// Counts lifts by the layers above a tray, each as so many lifts.
fn by_layers(instance: &mut Instance, lifts: i64) {
    if instance.access == Access::Lifts {
        instance.access = Access::LayersAbove;
        instance.trays.iter_mut().for_each(|t| t.weight *= lifts);
    }
}

/// Restrictions of an instance in which every free kept item stands on the floor at a given place: in a row along the
/// front, along the left side, in the corners, in a block; with each way of turning. Empty where there is none to place.
fn patterns(instance: &Instance) -> Vec<Instance> {
    let free: Vec<usize> =
        (0..instance.kept.len()).filter(|&k| instance.kept[k].held == HeldAt::Free).collect();
    if free.is_empty() {
        return Vec::new();
    }
    let mut out: Vec<Instance> = Vec::new();
    for turn in 0..2 {
        let sizes: Vec<Option3> = free.iter().filter_map(|&k| pick(&instance.kept[k].turns, turn)).collect();
        if sizes.len() < free.len() {
            continue;
        }
        for places in [
            row(instance.width, &sizes, false),
            row(instance.depth, &sizes, true),
            corners(instance, &sizes),
            row(2 * sizes.iter().map(|s| s.w).max().unwrap_or(0), &sizes, false),
        ] {
            let inside =
                |(s, p): (&Option3, &(i64, i64))| p.0 + s.w <= instance.width && p.1 + s.d <= instance.depth;
            if places.len() < sizes.len() || !sizes.iter().zip(&places).all(inside) {
                continue;
            }
            let mut held = instance.clone();
            for ((&k, size), &(x, y)) in free.iter().zip(&sizes).zip(&places) {
                held.kept[k].turns = vec![*size];
                held.kept[k].held = HeldAt::Point(x, y, 0);
            }
            let same = |o: &Instance| {
                o.kept.iter().zip(&held.kept).all(|(a, b)| a.held == b.held && a.turns == b.turns)
            };
            if !out.iter().any(same) {
                out.push(held);
            }
        }
    }
    out
}

/// The lowest way to stand, turned or not.
fn pick(turns: &[Option3], turn: usize) -> Option<Option3> {
    let low = turns.iter().map(|o| o.h).min()?;
    let lowest: Vec<Option3> = turns.iter().copied().filter(|o| o.h == low).collect();
    lowest.get(turn).or(lowest.first()).copied()
}

/// Side by side from the left front corner, in further rows behind where the first is full.
fn row(length: i64, sizes: &[Option3], along_depth: bool) -> Vec<(i64, i64)> {
    let (mut along, mut across, mut thick) = (0, 0, 0);
    let mut out = Vec::with_capacity(sizes.len());
    for s in sizes {
        let (w, d) = if along_depth { (s.d, s.w) } else { (s.w, s.d) };
        if along > 0 && along + w > length {
            across += thick;
            (along, thick) = (0, 0);
        }
        out.push(if along_depth { (across, along) } else { (along, across) });
        along += w;
        thick = thick.max(d);
    }
    out
}

/// One in each corner; nothing for more than four.
fn corners(instance: &Instance, sizes: &[Option3]) -> Vec<(i64, i64)> {
    if sizes.len() > 4 {
        return Vec::new();
    }
    let corner = |(i, s): (usize, &Option3)| {
        let x = if i % 2 == 1 { instance.width - s.w } else { 0 };
        let y = if i / 2 == 1 { instance.depth - s.d } else { 0 };
        (x, y)
    };
    sizes.iter().enumerate().map(corner).collect()
}

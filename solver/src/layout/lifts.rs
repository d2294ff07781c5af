//! Lifts: what lies over a tray and must come out first.

use super::instance::{HeldAt, Instance, Layout, Option3, TrayItem};
use super::pack::Rect;

/// A set of body indices.
#[derive(Clone, PartialEq, Eq)]
struct Set(Vec<u64>);

impl Set {
    fn new(n: usize) -> Set {
        Set(vec![0; n.div_ceil(64)])
    }
    fn add(&mut self, i: usize) {
        self.0[i / 64] |= 1 << (i % 64);
    }
    fn join(&mut self, o: &Set) {
        for (a, b) in self.0.iter_mut().zip(&o.0) {
            *a |= b;
        }
    }
    fn has(&self, i: usize) -> bool {
        self.0[i / 64] >> (i % 64) & 1 == 1
    }
    fn len(&self) -> u32 {
        self.0.iter().map(|w| w.count_ones()).sum()
    }
}

/// One body seen from above: its outline, the height of its bottom and of its top.
///
/// ```
/// # use traywright::layout::{lifts::{above, Seen}, pack::Rect};
/// let at = |x, bottom| Seen { rect: Rect { x, y: 0, w: 10, d: 10 }, bottom, top: bottom + 5 };
/// let over_first = |other| above(&[at(0, 0), other])[0] == [1];
/// assert!(over_first(at(9, 5)));
/// assert!(!over_first(at(10, 5)) && !over_first(at(9, 4))); // beside it, and below its top
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Seen {
    /// Outline.
    pub rect: Rect,
    /// Bottom.
    pub bottom: i64,
    /// Top.
    pub top: i64,
}

/// For each body, which others must be lifted first: those above it whose outlines overlap, and those above these.
///
/// The lists are ascending; the unit of lengths does not matter.
///
/// ```
/// # use traywright::layout::{lifts::{above, Seen}, pack::Rect};
/// let at = |x, bottom| Seen { rect: Rect { x, y: 0, w: 10, d: 10 }, bottom, top: bottom + 5 };
/// // Like stairs: the third lies on the second only, and comes out before the first all the same.
/// assert_eq!(above(&[at(0, 0), at(8, 5), at(16, 10)]), [vec![1, 2], vec![2], vec![]]);
/// ```
pub fn above(bodies: &[Seen]) -> Vec<Vec<usize>> {
    let sets = closure(bodies);
    sets.iter().map(|s| (0..bodies.len()).filter(|&i| s.has(i)).collect()).collect()
}

fn closure(bodies: &[Seen]) -> Vec<Set> {
    let n = bodies.len();
    let mut order: Vec<usize> = (0..n).collect();
    // From the top down, so that the sets of all that lie above are ready.
    order.sort_by_key(|&i| (-bodies[i].bottom, i));
    let mut sets = vec![Set::new(n); n];
    for &i in &order {
        let mut mine = Set::new(n);
        for (j, b) in bodies.iter().enumerate() {
            if j != i && b.bottom >= bodies[i].top && b.rect.overlaps(&bodies[i].rect) {
                mine.add(j);
                mine.join(&sets[j]);
            }
        }
        sets[i] = mine;
    }
    sets
}

/// Every body of a layout as seen from above: trays, kept items, cover items, in this order.
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
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// # use traywright::layout::{lifts::seen, pack::Rect};
/// // In a box with 6 for layers, a tray in the upper layer and a map over all.
/// let rect = Rect { x: 0, y: 0, w: 8, d: 5 };
/// let cover = vec![CoverPlace { rect, level: 0 }];
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], cover, ..empty };
/// let layout = Layout { heights: vec![2, 3], trays: vec![at(1, 0)], kept: vec![] };
/// let all: Vec<_> = seen(&instance, &layout).iter().map(|s| (s.bottom, s.top)).collect();
/// assert_eq!(all, [(2, 5), (6, 7)]); // the cover's bottoms tell only the order
/// ```
pub fn seen(instance: &Instance, layout: &Layout) -> Vec<Seen> {
    let mut all = Vec::with_capacity(layout.trays.len() + layout.kept.len() + instance.cover.len());
    for (i, p) in layout.trays.iter().enumerate() {
        let bottom = layout.bottom(p.layer);
        let top = layout.bottom(p.layer + p.span);
        all.push(Seen { rect: instance.tray_rect(i, p), bottom, top });
    }
    for (k, p) in layout.kept.iter().enumerate() {
        let bottom = layout.bottom(p.layer);
        let h = instance.kept[k].turns.get(p.turn).map_or(0, |o| o.h);
        all.push(Seen { rect: instance.kept_rect(k, p), bottom, top: bottom + h });
    }
    for c in &instance.cover {
        let bottom = instance.height + c.level as i64;
        all.push(Seen { rect: c.rect, bottom, top: bottom + 1 });
    }
    all
}

/// What lifts cost at the very least: cover items that lie over a tray wherever it stands.
pub(crate) fn forced(instance: &Instance) -> i64 {
    instance.trays.iter().filter(|t| t.weight > 0).map(|t| t.weight * covers_over(instance, t)).sum()
}

/// How many cover items lie over a tray wherever it stands, whatever its outline: directly, or over one that does.
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
/// # use traywright::layout::{lifts::covers_over, pack::Rect};
/// let item = tray(0, (4, 5, 3));
/// let over = |w| {
///     let cover = vec![CoverPlace { rect: Rect { x: 0, y: 0, w, d: 5 }, level: 0 }];
///     covers_over(&Instance { cover, ..empty.clone() }, &item)
/// };
/// assert_eq!((over(4), over(5)), (0, 1)); // in a box 8 wide, there is room beside 4, not beside 5
/// ```
pub fn covers_over(instance: &Instance, tray: &TrayItem) -> i64 {
    let s = instance.side;
    let cover = &instance.cover;
    // Over each cover item: itself, and what lies over it through any others.
    let seen: Vec<Seen> = cover
        .iter()
        .map(|c| Seen { rect: c.rect, bottom: c.level as i64, top: c.level as i64 + 1 })
        .collect();
    let over = above(&seen);
    let under = |c: &Rect, w: i64, d: i64| {
        if let HeldAt::Point(x, y, _) = tray.held {
            return c.overlaps(&Rect { x, y, w, d });
        }
        let beside = (c.x - s).max(instance.width - s - c.x - c.w);
        let behind = (c.y - s).max(instance.depth - s - c.y - c.d);
        w > beside && d > behind
    };
    let covers = |o: &Option3| {
        let direct: Vec<bool> = cover.iter().map(|c| under(&c.rect, o.w, o.d)).collect();
        (0..cover.len())
            .filter(|&c| direct[c] || (0..cover.len()).any(|b| direct[b] && over[b].contains(&c)))
            .count() as i64
    };
    tray.options.iter().map(covers).min().unwrap_or(0)
}

/// Σ over trays of weight × bodies to be lifted first.
pub(crate) fn weighted(instance: &Instance, layout: &Layout) -> i64 {
    if instance.trays.iter().all(|t| t.weight == 0) {
        return 0;
    }
    let sets = closure(&seen(instance, layout));
    instance.trays.iter().zip(&sets).map(|(t, s)| t.weight * i64::from(s.len())).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lifts_reach_through_what_lies_between() {
        let at = |x, w, bottom| Seen { rect: Rect { x, y: 0, w, d: 10 }, bottom, top: bottom + 5 };
        // c lies on b only, b on a only: c must come out before a all the same.
        let bodies = [at(0, 10, 0), at(8, 10, 5), at(16, 10, 10), at(40, 5, 5)];
        assert_eq!(above(&bodies), vec![vec![1, 2], vec![2], vec![], vec![]]);
    }
}

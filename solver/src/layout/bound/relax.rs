//! The relaxation of one profile: every body where it costs least at given multipliers.

use std::collections::BTreeMap;

use super::super::heights::upper;
use super::super::instance::{Access, HeldAt, Instance, Option3};

/// λ is counted in these parts of a height step.
pub(crate) const PARTS: i64 = 256;
/// Rounds of subgradient steps per profile.
const ROUNDS: usize = 40;

/// One way of putting a body into layers, for the relaxation.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::bound::Profiles;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
/// let mut profiles = Profiles::new(&instance, &[3]);
/// // Area in the lower of two layers of 3 is priced at 2 heights (in 256ths).
/// let all = profiles.table(2).unwrap().choices(&[3, 3], &[512, 0], 0);
/// let told: Vec<_> = all.iter().map(|c| (c.first, c.after, c.cost, c.priced / 256)).collect();
/// assert_eq!(told, [(0, 1, 4 * 5 * 3, 4 * 5 * (3 + 2)), (1, 2, 4 * 5 * 3, 4 * 5 * 3)]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// First layer.
    pub first: usize,
    /// Layer after the last.
    pub after: usize,
    /// Least height of what stands there: the tray's layers together, or the kept item's own height.
    pub height: i64,
    /// Least claim (with the layer's price under [`Access::LayerIndex`]).
    pub cost: i64,
    /// Least cost with area priced by the multipliers, in [`PARTS`].
    pub priced: i64,
    /// Area with play of the outline behind `priced`.
    pub wide: i64,
    /// Least area with play of any outline.
    pub least_wide: i64,
}

/// What the trays offer at each height, for the relaxation.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::{bound::Profiles, pack::Rect};
/// // A box of 8 × 5, of which 3 × 5 are blocked in the lower layer.
/// let blocked = vec![(0, Rect { x: 0, y: 0, w: 3, d: 5 })];
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], blocked, ..empty };
/// let mut profiles = Profiles::new(&instance, &[3]);
/// assert_eq!(profiles.table(2).unwrap().room, [25, 40]);
/// ```
#[derive(Debug)]
pub struct Table<'a> {
    instance: &'a Instance,
    /// Candidate heights.
    grid: Vec<i64>,
    /// Each height stands for all up to the next one: what is claimed is counted at its lower end, what fits at
    /// its upper end.
    pub coarse: bool,
    /// Per kind and height: (area, area with play) pairs, non-dominated.
    known: BTreeMap<(usize, i64), Vec<(i64, i64)>>,
    /// Room in each layer, with play, less what is blocked there.
    pub room: Vec<i64>,
}

impl<'a> Table<'a> {
    /// A table for these candidate heights.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # use traywright::layout::bound::Profiles;
    /// # let trays = vec![tray(0, (4, 3, 3))];
    /// // Profiles make one a number of layers. Play at the sides leaves 6 × 3 of 8 × 5, that
    /// // between trays is counted to the right of and behind each, so once more.
    /// let instance = Instance { trays, between: 1, side: 1, ..empty };
    /// let mut profiles = Profiles::new(&instance, &[3]);
    /// let table = profiles.table(1).unwrap();
    /// assert_eq!((table.room[0], table.coarse), ((6 + 1) * (3 + 1), false));
    /// ```
    pub fn new(instance: &'a Instance, grid: &[i64], coarse: bool) -> Table<'a> {
        let (c, s) = (instance.between, instance.side);
        let whole = (instance.width - 2 * s + c).max(0) * (instance.depth - 2 * s + c).max(0);
        let mut taken = vec![0; instance.most_layers];
        for (k, (l, r)) in instance.blocked.iter().enumerate() {
            // Blocked places that overlap each other would be counted twice, so only apart ones count.
            let mut others = instance.blocked.iter().enumerate().filter(|(n, _)| *n != k);
            let apart = !others.any(|(_, (m, o))| l == m && o.overlaps(r));
            // What lies within the sides' play or outside the box is no room anyway.
            let within = |from: i64, extent: i64, whole: i64| (from + extent).min(whole - s) - from.max(s);
            let (w, d) = (within(r.x, r.w, instance.width), within(r.y, r.d, instance.depth));
            if let (Some(v), true) = (taken.get_mut(*l), apart) {
                // Play to the right of a tray may lie over a blocked place: it counts less by that much.
                *v += (w - c).max(0) * (d - c).max(0);
            }
        }
        // Blocked places do not concern kept items, which may take up as much of them as they cover.
        let area = |o: &Option3| o.w * o.d;
        let kept: i64 = instance.kept.iter().map(|k| k.turns.iter().map(area).max().unwrap_or(0)).sum();
        let room = taken.iter().map(|t| whole - (t - kept).max(0)).collect();
        Table { instance, grid: grid.to_vec(), coarse, known: BTreeMap::new(), room }
    }

    fn at(&mut self, tray: usize, h: i64) -> &[(i64, i64)] {
        let item = &self.instance.trays[tray];
        let c = self.instance.between;
        self.known.entry((item.kind, h)).or_insert_with(|| {
            let mut all: Vec<(i64, i64)> = item
                .options
                .iter()
                .filter(|o| o.h <= h)
                .map(|o| (o.w * o.d, (o.w + c) * (o.d + c)))
                .collect();
            all.sort_unstable();
            let mut least = i64::MAX;
            all.retain(|a| {
                let keep = a.1 < least;
                least = least.min(a.1);
                keep
            });
            all
        })
    }

    /// Without multipliers: every tray where it costs least.
    pub(crate) fn cheap(&mut self, profile: &[i64]) -> Option<i64> {
        self.relaxed(profile, &vec![0; profile.len()]).map(|(v, _)| v.div_euclid(PARTS))
    }

    /// With multipliers raised where areas are short: the bound and the multipliers that gave it; `None` where the
    /// profile cannot hold everything.
    pub(crate) fn sharp(&mut self, profile: &[i64]) -> Option<(i64, Vec<i64>)> {
        let mut multipliers = vec![0i64; profile.len()];
        let mut best = (i64::MIN, multipliers.clone());
        let highest = profile.iter().copied().max().unwrap_or(1);
        for round in 0..ROUNDS {
            let (value, used) = self.relaxed(profile, &multipliers)?;
            // Rounded up: the true value is a whole number.
            let bound = -(-value).div_euclid(PARTS);
            if bound > best.0 {
                best = (bound, multipliers.clone());
            }
            let mut moved = false;
            for l in 0..profile.len() {
                let over = used[l] - self.room[l];
                let step = highest * PARTS / (2 + round as i64);
                let share =
                    (i128::from(over) * i128::from(step) * 4 / i128::from(self.room[l].max(1))) as i64;
                let new = (multipliers[l] + share).max(0);
                moved |= new != multipliers[l];
                multipliers[l] = new;
            }
            if !moved {
                break;
            }
        }
        Some(best)
    }

    /// Value (in parts) of the relaxation at these multipliers, and the area used in each layer.
    fn relaxed(&mut self, profile: &[i64], multipliers: &[i64]) -> Option<(i64, Vec<i64>)> {
        let mut used = vec![0i64; profile.len()];
        let mut value: i64 = 0;
        let mut choices = Vec::new();
        for body in 0..self.instance.trays.len() + self.instance.kept.len() {
            choices.clear();
            self.list(profile, multipliers, body, &mut choices);
            let best = choices.iter().min_by_key(|c| c.priced)?;
            value += best.priced;
            for u in &mut used[best.first..best.after] {
                *u += best.wide;
            }
        }
        for (m, r) in multipliers.iter().zip(&self.room) {
            value -= m * r;
        }
        Some((value, used))
    }

    /// Every way of putting a body (trays first, then kept items) into the layers of a profile.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # use traywright::layout::bound::Profiles;
    /// let trays = vec![TrayItem { span: 2, ..tray(0, (4, 5, 3)) }];
    /// let instance = Instance { trays, ..empty };
    /// let mut profiles = Profiles::new(&instance, &[3]);
    /// let all = profiles.table(2).unwrap().choices(&[3, 3], &[0, 0], 0);
    /// // In the lower layer, through both, and in the upper one.
    /// let layers: Vec<_> = all.iter().map(|c| (c.first, c.after)).collect();
    /// assert_eq!(layers, [(0, 1), (0, 2), (1, 2)]);
    /// ```
    pub fn choices(&mut self, profile: &[i64], multipliers: &[i64], body: usize) -> Vec<Choice> {
        let mut out = Vec::with_capacity(profile.len());
        self.list(profile, multipliers, body, &mut out);
        out
    }

    fn list(&mut self, profile: &[i64], multipliers: &[i64], body: usize, out: &mut Vec<Choice>) {
        match body.checked_sub(self.instance.trays.len()) {
            None => self.tray_choices(profile, multipliers, body, out),
            Some(k) => self.kept_choices(profile, multipliers, k, out),
        }
    }

    fn tray_choices(&mut self, profile: &[i64], multipliers: &[i64], t: usize, out: &mut Vec<Choice>) {
        let item = &self.instance.trays[t];
        let (held, span, weight) = (item.held, item.span, item.weight);
        let layers = profile.len();
        let extra = |first: usize, after: usize| match self.instance.access {
            Access::LayerIndex => weight * first as i64,
            Access::LayersAbove => weight * (layers - after) as i64,
            Access::Lifts => 0,
        };
        let mut bottom = 0;
        for layer in 0..profile.len() {
            let here = match held {
                HeldAt::Free => true,
                HeldAt::Layer(l) => l == layer,
                HeldAt::Point(_, _, z) => self.coarse || z == bottom,
            };
            bottom += profile[layer];
            if !here {
                continue;
            }
            let (mut h, mut room, mut price) = (0, 0, 0);
            for s in 1..=span.min(profile.len() - layer) {
                h += profile[layer + s - 1];
                let own = profile[layer + s - 1];
                room += if self.coarse { upper(&self.grid, own, self.instance.height) } else { own };
                price += multipliers[layer + s - 1];
                let extra = extra(layer, layer + s);
                let offers = self.at(t, room);
                let best = offers
                    .iter()
                    .map(|&(area, wide)| ((area * h + extra) * PARTS + wide * price, wide))
                    .min();
                if let (Some((priced, wide)), Some(first), Some(last)) = (best, offers.first(), offers.last())
                {
                    out.push(Choice {
                        first: layer,
                        after: layer + s,
                        height: h,
                        cost: first.0 * h + extra,
                        priced,
                        wide,
                        least_wide: last.1,
                    });
                }
            }
        }
    }

    fn kept_choices(&self, profile: &[i64], multipliers: &[i64], k: usize, out: &mut Vec<Choice>) {
        let item = &self.instance.kept[k];
        let s = self.instance.side;
        let mut bottom = 0;
        // One more than there are: on the top of the last one.
        for layer in 0..=profile.len() {
            let here = match item.held {
                HeldAt::Free => true,
                HeldAt::Layer(l) => l == layer && l < profile.len(),
                HeldAt::Point(_, _, z) => self.coarse || z == bottom,
            };
            for o in item.turns.iter().filter(|o| here && bottom + o.h <= self.instance.height) {
                let (first, after, top) = self.instance.kept_reach(profile, layer, o.h);
                // What of it must lie within the trays' part of the layer, whatever its place.
                let wide = (o.w - 2 * s).max(0) * (o.d - 2 * s).max(0);
                // At coarse heights only its own height and its first layer are sure.
                let (after, tall) =
                    if self.coarse { ((first + 1).min(profile.len()), o.h) } else { (after, top - bottom) };
                let cost = o.w * o.d * tall;
                let priced = cost * PARTS + wide * multipliers[first..after].iter().sum::<i64>();
                let new = Choice { first, after, height: o.h, cost, priced, wide, least_wide: wide };
                match out.iter_mut().find(|c| (c.first, c.after, c.height) == (first, after, o.h)) {
                    Some(c) if c.priced <= priced => {}
                    Some(c) => *c = new,
                    None => out.push(new),
                }
            }
            bottom += profile.get(layer).copied().unwrap_or(0);
        }
    }
}

//! A lower bound that costs little: per profile of layer heights, a Lagrangian relaxation of the areas.
//!
//! For a profile, every tray picks layers and an outline at the least cost plus λ per area in each layer it
//! reaches; Σ of these less Σ λ·room is a bound for any λ ≥ 0 (Fisher, Management Science 27, 1981, from
//! memory). Positions, bearing and lifts by overlap are left out, each of which could only cost more. All
//! numbers are integers; λ is counted in 256ths of a height step.

use std::collections::{BTreeMap, BinaryHeap};

use super::heights::{profiles, thinned, upper};
use super::instance::{Access, HeldAt, Instance};

/// λ is counted in these parts of a height step.
const PARTS: i64 = 256;
/// Rounds of subgradient steps per profile.
const ROUNDS: usize = 40;
/// Most profiles looked at one by one for one number of layers.
pub const MOST_PROFILES: usize = 60_000;

/// A profile with what no plan of it can be below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bounded {
    /// The bound.
    pub bound: i64,
    /// Layer heights from the floor up.
    pub heights: Vec<i64>,
}

/// The bound over all profiles, and the profiles in the order of their own bounds.
#[derive(Clone, Debug)]
pub struct AreaBound {
    /// No plan costs less. `None`: no profile can hold everything, so there is no plan.
    pub bound: Option<i64>,
    /// The most promising profiles first (at most as many as asked for).
    pub best: Vec<Bounded>,
    /// Whether candidate heights had to be thinned (bounds stay valid; profiles are then coarse).
    pub thinned: bool,
}

/// Bounds every profile made of the candidate heights; returns the `count` best.
pub fn area_bound(instance: &Instance, candidates: &[i64], count: usize) -> AreaBound {
    let mut heap: BinaryHeap<std::cmp::Reverse<(i64, bool, Vec<i64>)>> = BinaryHeap::new();
    let mut tables: Vec<Table> = Vec::new();
    for layers in 1..=instance.most_layers {
        let mut grid = candidates.to_vec();
        let mut coarse = false;
        let found = loop {
            match profiles(instance, &grid, layers, MOST_PROFILES, coarse) {
                Some(p) => break p,
                None => {
                    grid = thinned(&grid, (grid.len() * 4 / 5).max(2));
                    coarse = true;
                }
            }
        };
        let mut table = Table::new(instance, &grid, coarse);
        for p in found {
            if let Some(bound) = table.cheap(&p) {
                heap.push(std::cmp::Reverse((bound, false, p)));
            }
        }
        tables.push(table);
    }
    let mut best = Vec::new();
    while let Some(std::cmp::Reverse((bound, done, heights))) = heap.pop() {
        if done {
            best.push(Bounded { bound, heights });
            if best.len() >= count {
                break;
            }
        } else if let Some(sharper) = tables.get_mut(heights.len() - 1).and_then(|t| t.sharp(&heights)) {
            heap.push(std::cmp::Reverse((sharper.max(bound), true, heights)));
        }
    }
    AreaBound { bound: best.first().map(|b| b.bound), best, thinned: tables.iter().any(|t| t.coarse) }
}

/// What the trays offer at each height, for the relaxation.
struct Table<'a> {
    instance: &'a Instance,
    /// Candidate heights.
    grid: Vec<i64>,
    /// Each height stands for all up to the next one: what is claimed is counted at its lower end, what fits at
    /// its upper end.
    coarse: bool,
    /// Per kind and height: (area, area with play) pairs, non-dominated.
    known: BTreeMap<(usize, i64), Vec<(i64, i64)>>,
    /// Room in each layer, with play, less what is blocked there.
    room: Vec<i64>,
}

impl<'a> Table<'a> {
    fn new(instance: &'a Instance, grid: &[i64], coarse: bool) -> Table<'a> {
        let (c, s) = (instance.between, instance.side);
        let whole = (instance.width - 2 * s + c).max(0) * (instance.depth - 2 * s + c).max(0);
        let mut room = vec![whole; instance.most_layers];
        for (l, r) in &instance.blocked {
            // Play to the right of a tray may lie over a blocked place: count it less by that much. Blocked
            // places that overlap each other would be counted twice, so only apart ones count.
            let apart = !instance.blocked.iter().any(|(m, o)| l == m && o != r && o.overlaps(r));
            if let (Some(v), true) = (room.get_mut(*l), apart) {
                *v -= (r.w - c - s).max(0) * (r.d - c - s).max(0);
            }
        }
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
    fn cheap(&mut self, profile: &[i64]) -> Option<i64> {
        self.relaxed(profile, &vec![0; profile.len()]).map(|(v, _)| v.div_euclid(PARTS))
    }

    /// With multipliers raised where areas are short; `None` where the profile cannot hold everything.
    fn sharp(&mut self, profile: &[i64]) -> Option<i64> {
        let mut multipliers = vec![0i64; profile.len()];
        let mut best = i64::MIN;
        // Nothing can claim more than the box: a bound beyond it says that the profile holds no plan.
        let top = self.instance.width * self.instance.depth * self.instance.height
            + self.instance.trays.iter().map(|t| t.weight * profile.len() as i64).sum::<i64>();
        let highest = profile.iter().copied().max().unwrap_or(1);
        for round in 0..ROUNDS {
            let (value, used) = self.relaxed(profile, &multipliers)?;
            // Rounded up: the true value is a whole number.
            best = best.max(-(-value).div_euclid(PARTS));
            if best > top && self.instance.access == Access::LayerIndex {
                return None;
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
        let upper = |h: &i64| if self.coarse { upper(&self.grid, *h, self.instance.height) } else { *h };
        let tops: Vec<i64> = profile.iter().map(upper).collect();
        for t in 0..self.instance.trays.len() {
            let item = &self.instance.trays[t];
            let (held, span, weight) = (item.held, item.span, item.weight);
            let per_layer = if self.instance.access == Access::LayerIndex { weight } else { 0 };
            let mut best: Option<(i64, usize, usize, i64)> = None;
            for layer in 0..profile.len() {
                if matches!(held, HeldAt::Layer(l) if l != layer) {
                    continue;
                }
                let (mut h, mut room, mut price) = (0, 0, 0);
                for s in 1..=span.min(profile.len() - layer) {
                    h += profile[layer + s - 1];
                    room += tops[layer + s - 1];
                    price += multipliers[layer + s - 1];
                    for &(area, wide) in self.at(t, room) {
                        let cost = (area * h + per_layer * layer as i64) * PARTS + wide * price;
                        if best.is_none_or(|b| cost < b.0) {
                            best = Some((cost, layer, s, wide));
                        }
                    }
                }
            }
            let (cost, layer, s, wide) = best?;
            value += cost;
            for u in &mut used[layer..layer + s] {
                *u += wide;
            }
        }
        for k in 0..self.instance.kept.len() {
            let item = &self.instance.kept[k];
            let s = self.instance.side;
            let mut best: Option<(i64, usize, usize, i64)> = None;
            for layer in 0..profile.len() {
                if matches!(item.held, HeldAt::Layer(l) if l != layer) {
                    continue;
                }
                for o in &item.turns {
                    let (first, after, top) = self.instance.kept_reach(profile, layer, o.h);
                    let bottom: i64 = profile.iter().take(layer).sum();
                    if bottom + o.h > self.instance.height {
                        continue;
                    }
                    // What of it must lie within the trays' part of the layer, whatever its place.
                    let wide = (o.w - 2 * s).max(0) * (o.d - 2 * s).max(0);
                    // At coarse heights only its own height and its first layer are sure.
                    let (after, tall) = if self.coarse { (first + 1, o.h) } else { (after, top - bottom) };
                    let price: i64 = multipliers[first..after].iter().sum();
                    let cost = o.w * o.d * tall * PARTS + wide * price;
                    if best.is_none_or(|b| cost < b.0) {
                        best = Some((cost, first, after, wide));
                    }
                }
            }
            let (cost, first, after, wide) = best?;
            value += cost;
            for u in &mut used[first..after] {
                *u += wide;
            }
        }
        for (m, r) in multipliers.iter().zip(&self.room) {
            value -= m * r;
        }
        Some((value, used))
    }
}

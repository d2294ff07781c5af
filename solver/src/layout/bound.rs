//! A lower bound that costs little: per profile of layer heights, a Lagrangian relaxation of the areas.
//!
//! For a profile, every tray picks layers and an outline at the least cost plus λ per area in each layer it
//! reaches; Σ of these less Σ λ·room is a bound for any λ ≥ 0 (Fisher, Management Science 27, 1981, from
//! memory). Positions, bearing and lifts by overlap are left out, each of which could only cost more. All
//! numbers are integers; λ is counted in 256ths of a height step.

pub(crate) mod relax;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use itertools::Itertools;

use super::heights::{Making, any_order, profiles, thinned};
use super::instance::{Access, Instance};
use relax::Table;

/// Most profiles looked at one by one for one number of layers.
pub const MOST_PROFILES: usize = 100_000;

/// More layers than this are not looked at once for all their orders.
const MOST_ORDERED: usize = 6;

/// A profile with what no plan of it can be below.
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
/// let least = profiles.get(0).unwrap();
/// // Both trays in one layer of 3, and nothing below what they claim there.
/// assert_eq!((&least.heights[..], least.bound), (&[3][..], 2 * 4 * 5 * 3));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bounded {
    /// The bound.
    pub bound: i64,
    /// Layer heights from the floor up.
    pub heights: Vec<i64>,
    /// Multipliers of the areas behind the bound.
    pub multipliers: Vec<i64>,
    /// The heights stand for ranges (thinned candidates): good for a bound only.
    pub coarse: bool,
}

/// Bound, whether multipliers were sought already, heights, multipliers.
type Entry = (i64, bool, Vec<i64>, Vec<i64>);

/// Profiles in the order of their bounds, each bounded when its turn comes.
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
/// let mut profiles = Profiles::new(&instance, &[3, 5]);
/// let all: Vec<_> = (0..).map_while(|r| profiles.get(r).cloned()).collect();
/// // [3], [3, 3] and [5]; two layers of 3 and 5 are higher than the box of 6.
/// assert_eq!(all.iter().map(|b| b.bound).collect::<Vec<_>>(), [120, 120, 200]);
/// ```
#[derive(Debug)]
pub struct Profiles<'a> {
    heap: BinaryHeap<Reverse<Entry>>,
    tables: Vec<Table<'a>>,
    sorted: Vec<Bounded>,
    ceiling: i64,
    /// Profiles of few layers stand for all their orders until their turn comes.
    any_order: bool,
}

impl<'a> Profiles<'a> {
    /// Every profile that can be made of these heights (thinned where there are too many).
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
    /// assert!(Profiles::new(&instance, &[3]).get(0).is_some());
    /// assert!(Profiles::new(&instance, &[2]).get(0).is_none()); // lower than the trays
    /// ```
    pub fn new(instance: &'a Instance, candidates: &[i64]) -> Profiles<'a> {
        let mut heap = BinaryHeap::new();
        let mut tables: Vec<Table> = Vec::new();
        let any_order = any_order(instance);
        for layers in 1..=instance.most_layers {
            let ascending = any_order && layers <= MOST_ORDERED;
            let mut grid = candidates.to_vec();
            let mut coarse = false;
            let found = loop {
                match profiles(instance, &grid, layers, MOST_PROFILES, Making { coarse, ascending }) {
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
                    heap.push(Reverse((bound, false, p, Vec::new())));
                }
            }
            tables.push(table);
        }
        let penalty = match instance.access {
            Access::LayerIndex | Access::LayersAbove => {
                instance.trays.iter().map(|t| t.weight * instance.most_layers as i64).sum()
            }
            Access::Lifts => 0,
        };
        let ceiling = instance.width * instance.depth * instance.height + penalty;
        Profiles { heap, tables, sorted: Vec::new(), ceiling, any_order }
    }

    /// The profile of this rank; `None` where there are not so many.
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
    /// let mut profiles = Profiles::new(&instance, &[3, 5]);
    /// let heights: Vec<_> = (0..4).map(|r| profiles.get(r).map(|b| b.heights.clone())).collect();
    /// assert_eq!(heights, [Some(vec![3]), Some(vec![3, 3]), Some(vec![5]), None]);
    /// ```
    pub fn get(&mut self, rank: usize) -> Option<&Bounded> {
        while self.sorted.len() <= rank {
            let Reverse((bound, done, heights, multipliers)) = self.heap.pop()?;
            let table = self.tables.get_mut(heights.len() - 1)?;
            // Bodies lie apart within the box: what must claim more is no profile of any plan.
            if bound > self.ceiling {
                return None;
            }
            if done {
                let one = Bounded { bound, heights, multipliers, coarse: table.coarse };
                if self.any_order && one.heights.len() <= MOST_ORDERED {
                    self.sorted.extend(orders(&one));
                } else {
                    self.sorted.push(one);
                }
            } else if let Some((sharper, multipliers)) = table.sharp(&heights) {
                self.heap.push(Reverse((sharper.max(bound), true, heights, multipliers)));
            }
        }
        self.sorted.get(rank)
    }

    /// Whether candidate heights had to be thinned for some number of layers.
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
    /// // A tray that may reach through two layers: what it claims depends on the order of the layers.
    /// let trays = vec![TrayItem { span: 2, ..tray(0, (4, 5, 3)) }];
    /// let instance = Instance { height: 60, most_layers: 4, trays, ..empty };
    /// // Of 60 heights, half a million profiles of four layers fit the box.
    /// let all: Vec<i64> = (1..=60).collect();
    /// assert!(!Profiles::new(&instance, &all[..10]).thinned());
    /// assert!(Profiles::new(&instance, &all).thinned());
    /// ```
    pub fn thinned(&self) -> bool {
        self.tables.iter().any(|t| t.coarse)
    }

    /// No plan can claim more than this (with the layers' price under [`Access::LayerIndex`]).
    pub(crate) fn ceiling(&self) -> i64 {
        self.ceiling
    }

    /// The table for this number of layers.
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
    /// assert!(profiles.table(2).is_some());
    /// assert!(profiles.table(0).is_none() && profiles.table(3).is_none()); // 1 to most_layers
    /// ```
    pub fn table(&mut self, layers: usize) -> Option<&mut Table<'a>> {
        self.tables.get_mut(layers.checked_sub(1)?)
    }
}

/// A profile in all its orders, ascending.
fn orders(one: &Bounded) -> Vec<Bounded> {
    let order = |of: Vec<usize>| Bounded {
        heights: of.iter().filter_map(|&l| one.heights.get(l).copied()).collect(),
        multipliers: of.iter().filter_map(|&l| one.multipliers.get(l).copied()).collect(),
        ..one.clone()
    };
    let all = (0..one.heights.len()).permutations(one.heights.len()).map(order);
    let mut all: Vec<Bounded> = all.collect();
    all.sort_by(|a, b| a.heights.cmp(&b.heights));
    all.dedup_by(|a, b| a.heights == b.heights);
    all
}

/// The bound over all profiles; `None`: no profile can hold everything, so there is no plan.
pub(crate) fn area_bound(instance: &Instance, candidates: &[i64]) -> Option<i64> {
    Profiles::new(instance, candidates).get(0).map(|b| b.bound)
}

#[cfg(test)]
mod tests {
    use super::super::instance::Option3;
    use super::super::model::tests::{plain, tray};
    use super::*;
    use crate::random::Random;

    /// Against every order looked at by itself, as it is where there are rules for heights.
    #[test]
    fn one_order_bounds_them_all() {
        let mut random = Random::new(5);
        for case in 0..60 {
            let mut from = |least: usize, most: usize| (least + random.below(most - least + 1)) as i64;
            let mut instance = plain(from(6, 12), from(6, 12), from(8, 14), 3);
            instance.access = Access::Lifts;
            for _ in 0..from(3, 6) {
                let (w, d, h) = (from(2, 6), from(2, 6), from(2, 4));
                instance.trays.push(tray("t", &[(w, d, h), (w + 1, d, h - 1)], 1));
            }
            let heights: Vec<i64> = {
                let all = instance.trays.iter().flat_map(|t| t.options.iter().map(|o: &Option3| o.h));
                all.sorted_unstable().dedup().collect()
            };
            let list = |instance: &Instance| -> Vec<(i64, Vec<i64>)> {
                let mut profiles = Profiles::new(instance, &heights);
                let all = (0..).map_while(|r| profiles.get(r).map(|b| (b.bound, b.heights.clone())));
                let mut all: Vec<_> = all.collect();
                assert!(all.is_sorted_by_key(|b| b.0), "case {case}");
                all.sort();
                all
            };
            // Rules that allow everything: each order for itself.
            let rules = vec![(0, instance.height); 3];
            let apart = list(&Instance { height_rules: rules, ..instance.clone() });
            let together = list(&instance);
            let names =
                |all: &[(i64, Vec<i64>)]| all.iter().map(|b| b.1.clone()).sorted().collect::<Vec<_>>();
            assert_eq!(names(&together), names(&apart), "case {case}");
            let best = |all: &[(i64, Vec<i64>)]| all.iter().map(|b| b.0).min();
            assert_eq!(best(&together), best(&apart), "case {case}");
        }
    }
}

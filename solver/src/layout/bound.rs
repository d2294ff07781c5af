//! A lower bound that costs little: per range of layer heights, a Lagrangian relaxation of areas and lifts.
//!
//! For a range of profiles, every tray picks layers and an outline at the least cost plus a price per area in each layer it
//! reaches and for each area that it leaves uncovered or takes above trays; Σ of these less Σ price · room is a bound for
//! any prices ≥ 0 (Fisher, Management Science 27, 1981, from memory). Positions and bearing are left out, which could only
//! cost more. The range with the least bound is halved again and again, so that profiles come one by one in the order of
//! their bounds, and those that are too dear are never looked at for themselves. All numbers are integers.

mod bands;
mod covers;
mod offers;
pub(crate) mod relax;

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use itertools::Itertools;

use super::heights::any_order;
use super::instance::{Access, Instance};
use crate::stop::Stop;
use bands::Bands;
use relax::{Prices, Relaxation};

/// Most ranges kept at once; beyond that the next ones are not halved any more.
const MOST_RANGES: usize = 150_000;
/// More layers than this are not looked at once for all their orders.
const MOST_ORDERED: usize = 6;
/// Rounds in which the prices of a new range are sharpened, once more when its turn comes, and for a single profile; and the
/// part of the first step.
const ROUNDS: (usize, i64) = (3, 200);
const AGAIN: (usize, i64) = (8, 100);
const FULL: (usize, i64) = (40, 20);
const LAST: (usize, i64) = (40, 400);
/// Bodies and layers of a relaxation that count as one node.
const A_NODE: u64 = 64;
/// Relaxations for likely profiles.
const LIKELY: usize = 5_000;
/// Ranges that are halved before anything is known, for the first bound.
const FIRST: usize = 64;

/// A profile with what no plan of it can be below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Bounded {
    /// The bound.
    pub(crate) bound: i64,
    /// Layer heights from the floor up.
    pub(crate) heights: Vec<i64>,
    /// Prices of areas in layers, lifts aside.
    pub(crate) flat: Prices,
    /// Prices with lifts.
    pub(crate) prices: Prices,
    /// The heights stand for ranges: good for a bound only.
    pub(crate) coarse: bool,
}

/// What is next in the order of bounds.
#[derive(Debug)]
pub(crate) enum Next {
    Profile(Bounded),
    /// Everything else costs more.
    Beyond,
    /// The stop came first.
    Stopped,
}

/// How well a range is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Known {
    New,
    Sharp,
    /// A single profile with its prices without lifts.
    Whole,
}

/// Ranges in the order of their bounds.
type Entry = (i64, Known, Bands, Prices, Option<Prices>);

/// Profiles in the order of their bounds, each met when its turn comes.
#[derive(Debug)]
pub(crate) struct Profiles<'a> {
    instance: &'a Instance,
    candidates: Vec<i64>,
    relaxation: Relaxation<'a>,
    heap: BinaryHeap<Reverse<Entry>>,
    sorted: Vec<Bounded>,
    ceiling: i64,
    /// What is claimed is the same in every order, and lifts cost nothing: one order stands for them all until its turn comes.
    ascending: bool,
}

impl<'a> Profiles<'a> {
    /// Every profile that can be made of these heights.
    pub(crate) fn new(instance: &'a Instance, candidates: &[i64]) -> Profiles<'a> {
        let penalty: i64 = match instance.access {
            Access::LayerIndex | Access::LayersAbove => {
                instance.trays.iter().map(|t| t.weight * instance.most_layers as i64).sum()
            }
            Access::Lifts => {
                let bodies = (instance.trays.len() + instance.kept.len()) as i64;
                instance.trays.iter().map(|t| t.weight * bodies).sum()
            }
        };
        let mut all = Profiles {
            instance,
            candidates: candidates.to_vec(),
            relaxation: Relaxation::new(instance),
            heap: BinaryHeap::new(),
            sorted: Vec::new(),
            ceiling: instance.width * instance.depth * instance.height + penalty,
            ascending: any_order(instance)
                && instance.trays.iter().all(|t| t.weight == 0)
                && instance.most_layers <= MOST_ORDERED,
        };
        for layers in 1..=instance.most_layers {
            let from = all.relaxation.free_of_charge(layers);
            if let Some(bands) = Bands::whole(instance, candidates, layers, all.ascending) {
                all.add(bands, &from, i64::MIN, FULL);
            }
        }
        for _ in 0..FIRST {
            let single = |Reverse(e): &Reverse<Entry>| e.1 == Known::Whole;
            if all.heap.peek().is_none_or(single) {
                break;
            }
            all.step();
        }
        all
    }

    /// The profile of this rank, if no bound below `cutoff` stands before it.
    pub(crate) fn next(&mut self, rank: usize, cutoff: i64, stop: &Stop) -> Next {
        while self.sorted.len() <= rank {
            if self.bound().is_none_or(|b| b > cutoff) {
                return Next::Beyond;
            }
            let bodies = self.instance.trays.len() + self.instance.kept.len();
            let size = (bodies * self.instance.most_layers) as u64;
            let ended = stop.spend(self.step() as u64 * size / A_NODE + 1);
            // What was ready is still handed out: nothing else tells of it.
            if ended && self.sorted.len() <= rank {
                return Next::Stopped;
            }
        }
        match self.sorted.get(rank) {
            Some(b) if b.bound <= cutoff => Next::Profile(b.clone()),
            _ => Next::Beyond,
        }
    }

    /// What no profile that is still to come can be below; `None`: there are no more. Bodies lie apart within the box, and no
    /// more than all others lie over one: what must cost more is no profile of any plan.
    pub(crate) fn bound(&self) -> Option<i64> {
        self.heap.peek().map(|Reverse(e)| e.0).filter(|b| *b <= self.ceiling)
    }

    /// What no plan can be below; `None`: there is none.
    pub(crate) fn least(&self) -> Option<i64> {
        self.sorted.first().map(|b| b.bound).or_else(|| self.bound())
    }

    /// Goes on with the range of the least bound; says how many relaxations that took.
    fn step(&mut self) -> usize {
        let Some(Reverse((bound, known, bands, prices, flat))) = self.heap.pop() else { return 0 };
        let profile = bands.profile();
        let full = self.heap.len() >= MOST_RANGES;
        match (known, profile) {
            (Known::Whole, Some(heights)) => {
                let flat = flat.unwrap_or_else(|| prices.clone());
                self.sort(Bounded { bound, heights, flat, prices, coarse: false });
                0
            }
            (_, Some(_)) => {
                let flat = prices.flat();
                let flat = self.relaxation.sharpened(&bands, &flat, LAST);
                let Some((alone, flat)) = flat else { return LAST.0 };
                let lifted = if prices.free.is_empty() {
                    None
                } else {
                    self.relaxation.sharpened(&bands, &prices, LAST)
                };
                let (sharper, prices) = lifted.unwrap_or_else(|| (alone, flat.clone()));
                let bound = bound.max(alone).max(sharper);
                self.heap.push(Reverse((bound, Known::Whole, bands, prices, Some(flat))));
                2 * LAST.0
            }
            (_, None) if full => {
                let flat = prices.flat();
                self.sort(Bounded { bound, heights: bands.lowest(), flat, prices, coarse: true });
                0
            }
            (Known::New, None) => {
                let sharper = self.relaxation.sharpened(&bands, &prices, AGAIN);
                if let Some((sharper, prices)) = sharper {
                    self.heap.push(Reverse((bound.max(sharper), Known::Sharp, bands, prices, None)));
                }
                AGAIN.0
            }
            (_, None) => {
                let halves = bands.halves(self.instance, &self.candidates, self.ascending);
                for half in halves.into_iter().flatten().flatten() {
                    self.add(half, &prices, bound, ROUNDS);
                }
                2 * ROUNDS.0
            }
        }
    }

    fn add(&mut self, bands: Bands, from: &Prices, least: i64, rounds: (usize, i64)) {
        if let Some((bound, prices)) = self.relaxation.sharpened(&bands, from, rounds) {
            self.heap.push(Reverse((bound.max(least), Known::New, bands, prices, None)));
        }
    }

    fn sort(&mut self, one: Bounded) {
        if self.ascending && !one.coarse {
            self.sorted.extend(orders(&one));
        } else {
            self.sorted.push(one);
        }
    }

    /// Likely profiles, at most so many of them: those of the least bounds as far as they are soon met, then from each of the
    /// ranges with the least bounds down into its better halves.
    pub(crate) fn likely(&mut self, count: usize) -> Vec<Vec<i64>> {
        let mut relaxations = 0;
        while self.sorted.len() < count && self.bound().is_some() && relaxations < LIKELY {
            relaxations += self.step();
        }
        let whole = |b: &&Bounded| !b.coarse;
        let best = self.sorted.iter().filter(whole).take(count).map(|b| (b.bound, b.heights.clone()));
        let mut out: Vec<(i64, Vec<i64>)> = best.collect();
        let mut heap = self.heap.clone();
        while out.len() < count
            && let Some(Reverse((mut bound, _, mut bands, mut prices, _))) = heap.pop()
        {
            while let Some(halves) = bands.halves(self.instance, &self.candidates, self.ascending) {
                let sharper = |half: Bands| {
                    let (bound, prices) = self.relaxation.sharpened(&half, &prices, ROUNDS)?;
                    Some((bound, half, prices))
                };
                let Some(better) = halves.into_iter().flatten().filter_map(sharper).min() else { break };
                (bound, bands, prices) = better;
            }
            out.extend(bands.profile().map(|heights| (bound, heights)));
        }
        out.sort();
        out.dedup_by(|a, b| a.1 == b.1);
        out.into_iter().map(|o| o.1).collect()
    }

    /// No plan can cost more than this, cover items aside.
    pub(crate) fn ceiling(&self) -> i64 {
        self.ceiling
    }

    pub(crate) fn relaxation(&self) -> &Relaxation<'a> {
        &self.relaxation
    }
}

/// A profile in all its orders, ascending.
fn orders(one: &Bounded) -> Vec<Bounded> {
    let order = |of: Vec<usize>| {
        let area: Vec<i64> = of.iter().filter_map(|&l| one.flat.area.get(l).copied()).collect();
        let flat = Prices { area, ..one.flat.clone() };
        Bounded {
            heights: of.iter().filter_map(|&l| one.heights.get(l).copied()).collect(),
            prices: flat.clone(),
            flat,
            ..one.clone()
        }
    };
    let all = (0..one.heights.len()).permutations(one.heights.len()).map(order);
    let mut all: Vec<Bounded> = all.collect();
    all.sort_by(|a, b| a.heights.cmp(&b.heights));
    all.dedup_by(|a, b| a.heights == b.heights);
    all
}

/// The bound over all profiles; `None`: no profile can hold everything, so there is no plan.
pub(crate) fn area_bound(instance: &Instance, candidates: &[i64]) -> Option<i64> {
    Profiles::new(instance, candidates).least()
}

#[cfg(test)]
mod tests {
    use super::super::model::tests::{plain, thrown, tray};
    use super::*;
    use crate::random::Random;

    /// Everything up to a bound that no plan reaches.
    fn all(instance: &Instance, heights: &[i64]) -> Vec<Bounded> {
        // However much it claims.
        let mut profiles = Profiles { ceiling: i64::MAX / 4, ..Profiles::new(instance, heights) };
        let next = |rank| match profiles.next(rank, i64::MAX / 4, &Stop::never()) {
            Next::Profile(profile) => Some(profile),
            Next::Beyond | Next::Stopped => None,
        };
        (0..).map_while(next).collect()
    }

    fn drawn(random: &mut Random) -> Instance {
        let mut from = |least: usize, most: usize| (least + random.below(most - least + 1)) as i64;
        let mut instance = plain(from(6, 12), from(6, 12), from(8, 14), 3);
        instance.access = Access::Lifts;
        for kind in 0..from(3, 6) as usize {
            let (w, d, h) = (from(2, 6), from(2, 6), from(2, 4));
            let mut new = tray("t", &[(w, d, h), (w + 1, d, h - 1)], 1 + from(0, 3) as usize / 3);
            (new.kind, new.weight) = (kind, from(0, 9) / 5 * 8);
            instance.trays.push(new);
        }
        instance
    }

    #[test]
    fn every_profile_comes_once_in_the_order_of_bounds() {
        let mut random = Random::new(5);
        let heights = [1, 2, 3, 4, 6];
        let mut told = 0;
        for case in 0..60 {
            let instance = drawn(&mut random);
            let all = all(&instance, &heights);
            assert!(all.is_sorted_by_key(|b| b.bound), "case {case}");
            let names: Vec<&Vec<i64>> = all.iter().map(|b| &b.heights).sorted().collect();
            assert!(names.windows(2).all(|two| two[0] != two[1]), "case {case}");
            let relaxation = Relaxation::new(&instance);
            for layers in 1..=3 {
                let every = std::iter::repeat_n(heights, layers).multi_cartesian_product();
                for profile in every.filter(|p| p.iter().sum::<i64>() <= instance.height) {
                    let bands = Bands(profile.iter().map(|h| (*h, *h)).collect());
                    let free = relaxation.free_of_charge(layers);
                    let alone = relaxation.sharpened(&bands, &free, FULL);
                    let met = names.contains(&&profile);
                    assert_eq!(met, alone.is_some(), "case {case}: {profile:?}");
                    told += usize::from(met);
                }
            }
        }
        assert!(told > 1_000, "{told}");
    }

    #[test]
    fn a_limit_ends_the_list() {
        let mut random = Random::new(9);
        for case in 0..20 {
            let instance = drawn(&mut random);
            let whole = all(&instance, &[1, 2, 3, 4, 6]);
            let Some(middle) = whole.get(whole.len() / 2).map(|b| b.bound) else { continue };
            let mut profiles =
                Profiles { ceiling: i64::MAX / 4, ..Profiles::new(&instance, &[1, 2, 3, 4, 6]) };
            assert!(profiles.least().is_some_and(|b| b <= whole[0].bound), "case {case}");
            let under = whole.iter().take_while(|b| b.bound <= middle).count();
            for (rank, own) in whole.iter().take(under).enumerate() {
                let next = profiles.next(rank, middle, &Stop::never());
                assert!(matches!(next, Next::Profile(p) if p == *own), "case {case}");
            }
            assert!(matches!(profiles.next(under, middle, &Stop::never()), Next::Beyond));
            assert!(matches!(
                Profiles::new(&instance, &[1, 2, 3, 4, 6]).next(40, i64::MAX / 4, &Stop::nodes(1)),
                Next::Stopped
            ));
        }
    }

    #[test]
    fn no_layout_costs_less_than_the_bound() {
        let mut random = Random::new(31);
        let mut sharp = 0;
        for case in 0..15_000 {
            let (mut instance, layout, _) = thrown(&mut random);
            instance.kept.iter_mut().enumerate().for_each(|(kind, k)| k.kind = kind);
            let value = instance.cost(&layout).value();
            let bands = Bands(layout.heights.iter().map(|h| (*h, *h)).collect());
            let bound = |instance: &Instance| {
                let relaxation = Relaxation::new(instance);
                relaxation.sharpened(&bands, &relaxation.free_of_charge(bands.0.len()), FULL).unwrap().0
            };
            let own = bound(&instance);
            assert!(own <= value, "case {case}: {own} > {value} in {layout:?} of {instance:?}");
            instance.trays.iter_mut().for_each(|t| t.weight = 0);
            sharp += usize::from(bound(&instance) < own);
        }
        assert!(sharp > 30, "{sharp}");
    }

    /// With access before everything else a lift weighs more than the box.
    #[test]
    fn lifts_may_cost_more_than_the_box() {
        let mut instance = plain(10, 10, 10, 2);
        instance.access = Access::Lifts;
        instance.trays = vec![tray("reeds", &[(10, 10, 5)], 1), tray("knives", &[(10, 10, 5)], 1)];
        instance.trays.iter_mut().enumerate().for_each(|(kind, t)| (t.kind, t.weight) = (kind, 1 << 40));
        let value = (1 << 40) + 2 * 10 * 10 * 5;
        assert!(area_bound(&instance, &[5]).is_some_and(|b| b > 1_000 && b <= value));
        let whole = all(&instance, &[5]);
        assert!(whole.iter().any(|b| b.heights == [5, 5] && b.bound <= value));
    }

    /// Against every order looked at by itself, as it is where there are rules for heights.
    #[test]
    fn one_order_bounds_them_all() {
        let mut random = Random::new(5);
        for case in 0..60 {
            let mut instance = drawn(&mut random);
            instance.trays.iter_mut().for_each(|t| (t.weight, t.span) = (0, 1));
            let heights = [1, 2, 3, 4, 6];
            let list = |instance: &Instance| -> Vec<(i64, Vec<i64>)> {
                all(instance, &heights).into_iter().map(|b| (b.bound, b.heights)).collect()
            };
            let rules = vec![(0, instance.height); 3];
            let apart = list(&Instance { height_rules: rules, ..instance.clone() });
            let together = list(&instance);
            let names =
                |all: &[(i64, Vec<i64>)]| all.iter().map(|b| b.1.clone()).sorted().collect::<Vec<_>>();
            assert_eq!(names(&together), names(&apart), "case {case}");
        }
    }
}

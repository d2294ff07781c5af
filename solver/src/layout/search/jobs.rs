//! What the runs of a round do: anneal from somewhere, better a plan, make piles.

use std::collections::BTreeMap;

use super::super::anneal::{Best, Manner, first_draft};
use super::super::decode::Draft;
use super::super::exact::Exact;
use super::super::heights::{any_order, even};
use super::super::instance::{Access, Instance, Layout};
use super::super::piles::can_pile;
use crate::random::Random;

/// Runs side by side in one round.
pub(super) const RUNS: usize = 8;
/// Those that better plans a few bodies at a time, where there is one; and where piles are made, which leave little to
/// annealing.
const POLISHED: &[usize] = &[3, 5, 6];
const POLISHED_PILES: &[usize] = &[0, 1, 3, 4, 5, 6, 7];
/// While there is no plan, one run starts from even layers, and one more for so many trays: the more there are to place,
/// the less is to be hoped for from tight profiles.
pub(super) const TRAYS_A_RUN: usize = 20;
/// Rounds with a plan in which runs that started from drafts go on from where they came themselves.
const ISLANDS: usize = 4;
/// Where lifts cost something, so many of the runs make piles, with so many times the steps, of which as many count as one
/// node; in the first round with a plan all of them do, with this many, and with twice so many trays in the second.
const PILES: usize = 2;
const PILE_STEPS: u64 = 4;
const FIRST_PILES: u64 = 16_000;
/// Profiles kept for starts, and with many trays how many orders of the same heights.
const STARTS: usize = 48;
const ORDERS: usize = 6;

/// What one of the runs of a round does.
pub(super) enum Job {
    Anneal(Draft, Manner),
    /// Betters a plan.
    Polish(Layout),
    /// Makes piles from this profile on, in so many steps.
    Pile(Vec<i64>, u64),
}

/// What a run ends with: the best plan, and what came closest to one.
pub(super) type End = (Option<Best>, Option<(i64, Draft)>);

/// What runs have come to.
pub(super) struct Pool {
    /// The best plan of each run.
    pub(super) best: Vec<Option<Best>>,
    /// Where a run came closest to a plan, while there is none.
    pub(super) tries: Vec<Option<(i64, Draft)>>,
}

impl Pool {
    pub(super) fn new() -> Pool {
        Pool { best: vec![None; RUNS], tries: vec![None; RUNS] }
    }

    pub(super) fn least(&self) -> Option<&Best> {
        self.best.iter().flatten().min_by_key(|b| b.value)
    }

    /// Keeps what is better than before.
    pub(super) fn keep(&mut self, ends: Vec<End>) {
        for ((slot, near), (end, least)) in self.best.iter_mut().zip(&mut self.tries).zip(ends) {
            if let Some(end) = end.filter(|e| slot.as_ref().is_none_or(|b| e.value < b.value)) {
                *slot = Some(end);
            }
            if let Some(least) = least.filter(|l| near.as_ref().is_none_or(|n| l.0 < n.0)) {
                *near = Some(least);
            }
        }
    }
}

/// Where runs may start.
pub(super) struct Starts<'a> {
    instance: &'a Instance,
    /// Bearing is what makes plans of many trays hard to meet; without it the runs do better from tight profiles.
    pub(super) many: bool,
    /// Where much lies over much, plans of piles are hard to beat.
    piling: bool,
    /// The best profiles by their bounds: tight ones.
    pub(super) profiles: Vec<Vec<i64>>,
    /// Even layers are where everything goes in most easily.
    pub(super) roomy: Vec<Vec<i64>>,
    /// Lines of their own for some of the runs.
    pub(super) drafts: Vec<Draft>,
}

impl<'a> Starts<'a> {
    pub(super) fn new(instance: &'a Instance, heights: &[i64], exact: &mut Exact) -> Starts<'a> {
        let many = instance.trays.len() >= TRAYS_A_RUN && instance.rims.is_some();
        let weighed = instance.access == Access::Lifts && instance.trays.iter().any(|t| t.weight > 0);
        let orders = if many && any_order(instance) { ORDERS } else { usize::MAX };
        Starts {
            instance,
            many,
            piling: many && weighed && can_pile(instance),
            profiles: profiles(exact, orders),
            roomy: (1..=instance.most_layers).rev().filter_map(|n| even(instance, heights, n)).collect(),
            drafts: Vec::new(),
        }
    }

    /// First rounds with a plan in which all runs make piles.
    fn piled(&self) -> usize {
        usize::from(self.piling) + usize::from(self.piling && self.instance.trays.len() >= 2 * TRAYS_A_RUN)
    }

    /// Steps of the runs of a round, of which all together count as nodes and stay about within those that are left.
    pub(super) fn steps(&self, since: Option<usize>, steps: u64, left: u64) -> u64 {
        let first = self.piling && since == Some(0);
        if first { (FIRST_PILES / PILE_STEPS).min(left / RUNS as u64 + 1) } else { steps }
    }

    /// What each run does, and its seed; `since`: rounds since there was a plan first.
    pub(super) fn jobs(
        &self,
        (round, since): (usize, Option<usize>),
        steps: u64,
        (best, pool): (Option<&Layout>, &Pool),
        random: &mut Random,
    ) -> Vec<(Option<Job>, u64)> {
        let polished = if self.piling { POLISHED_PILES } else { POLISHED };
        let job = |r| {
            let job = self.pile(round, since, r, steps).or_else(|| {
                let own = pool.best[r].as_ref().filter(|_| r >= RUNS / 2).map(|b| &b.layout);
                let draft = self.draft(round, since, r, pool, random)?;
                let manner = if r.is_multiple_of(2) { Manner::EASY } else { Manner::STRICT };
                Some(match own.or(best).filter(|_| best.is_some() && polished.contains(&r)) {
                    Some(plan) => Job::Polish(plan.clone()),
                    None => Job::Anneal(draft, manner),
                })
            });
            (job, random.child().below(usize::MAX) as u64)
        };
        (0..RUNS).map(job).collect()
    }

    fn pile(&self, round: usize, since: Option<usize>, r: usize, steps: u64) -> Option<Job> {
        let since = since.filter(|_| self.piling)?;
        let count = if since < self.piled() { RUNS } else { PILES };
        let at = round * PILES + RUNS - 1 - r;
        let lists = match at % 3 {
            0 => [&self.profiles, &self.roomy],
            _ => [&self.roomy, &self.profiles],
        };
        let list = lists.into_iter().find(|l| !l.is_empty()).filter(|_| r + count >= RUNS)?;
        let at = if at.is_multiple_of(3) { at / 3 } else { at - at / 3 };
        Some(Job::Pile(list.get(at % list.len())?.clone(), steps * PILE_STEPS))
    }

    fn draft(
        &self,
        round: usize,
        since: Option<usize>,
        r: usize,
        pool: &Pool,
        random: &mut Random,
    ) -> Option<Draft> {
        let island = self.many && r >= 2 && r.is_multiple_of(2);
        let own = match since.and_then(|s| s.checked_sub(self.piled())) {
            Some(0) if island => self.drafts.get(r / 2 - 1).cloned(),
            Some(1..ISLANDS) if island => {
                let best = pool.best[r].as_ref().map(|b| &b.draft);
                best.or(pool.tries[r].as_ref().map(|t| &t.1)).cloned()
            }
            _ => None,
        };
        let borne = self.many && r.is_multiple_of(2);
        own.or_else(|| self.start(round, r, pool, random)).map(|d| Draft { borne, ..d })
    }

    /// Some from the best so far, some from their own best (or what came closest to a plan, or even layers), the others from
    /// promising profiles.
    fn start(&self, round: usize, r: usize, pool: &Pool, random: &mut Random) -> Option<Draft> {
        let (instance, profiles, roomy) = (self.instance, &self.profiles, &self.roomy);
        let even = 1 + (instance.trays.len() / TRAYS_A_RUN).min(RUNS / 2);
        let level = if roomy.is_empty() { 0 } else { even };
        match (pool.least(), pool.best.get(r).and_then(Option::as_ref)) {
            (Some(best), _) if r < RUNS / 2 => Some(best.draft.clone()),
            (_, Some(own)) if r < RUNS - 2 => Some(own.draft.clone()),
            (None, None) if r >= RUNS - level => {
                first_draft(instance, &roomy[(round + r) % roomy.len()], true)
            }
            (None, None) if round > 0 && r < RUNS / 2 => {
                let nearest = pool.tries.iter().flatten().min_by_key(|t| t.0);
                let own = pool.tries.get(r).and_then(Option::as_ref);
                (if r == 0 { nearest } else { own.or(nearest) }).map(|t| t.1.clone())
            }
            _ => {
                let at = if round == 0 {
                    r * profiles.len() / RUNS / 2
                } else {
                    random.below(profiles.len().max(1))
                };
                (0..profiles.len())
                    .map(|k| &profiles[(at + k) % profiles.len()])
                    .find_map(|h| first_draft(instance, h, false))
            }
        }
    }
}

/// The best profiles by their bounds, at most so many orders of the same heights.
fn profiles(exact: &mut Exact, orders: usize) -> Vec<Vec<i64>> {
    let mut out: Vec<Vec<i64>> = Vec::new();
    let mut met: BTreeMap<Vec<i64>, usize> = BTreeMap::new();
    for heights in exact.likely(STARTS) {
        let mut sorted = heights.clone();
        sorted.sort_unstable();
        let count = met.entry(sorted).or_default();
        if *count < orders {
            *count += 1;
            out.push(heights);
        }
    }
    out
}

//! The engines behind one call: cheap bounds first, then annealing in rounds of parallel runs.
//!
//! Rounds and runs are fixed by seed and node budget alone; results are merged in the order of the runs, so that
//! the number of threads changes nothing. The clock only ends a round early.

use rayon::prelude::*;

use super::anneal::{Best, first_draft, run};
use super::bound::{AreaBound, area_bound};
use super::decode::Draft;
use super::heights::candidates;
use super::instance::{Cost, Instance, Layout};
use crate::random::Random;
use crate::stop::Stop;

/// Runs side by side in one round.
const RUNS: usize = 8;
/// Steps of a run in the first round; doubled from round to round up to the cap.
const FIRST_STEPS: u64 = 2_000;
/// Cap of the steps of one run.
const MOST_STEPS: u64 = 128_000;
/// Profiles kept for starts.
const STARTS: usize = 48;

/// What a search found.
#[derive(Clone, Debug)]
pub struct Found {
    /// The best valid layout.
    pub layout: Option<(Layout, Cost)>,
    /// No layout costs less; `None`: none exists, proven.
    pub bound: Option<i64>,
    /// Which bound that is.
    pub bound_by: &'static str,
    /// Whether layer heights were thinned to coarser candidates.
    pub thinned: bool,
    /// Nodes spent.
    pub nodes: u64,
}

/// Searches until the nodes are spent, the stop says so, or value meets bound.
pub fn search(
    instance: &Instance,
    seed: u64,
    nodes: u64,
    stop: &Stop,
    progress: &mut dyn FnMut(Option<i64>, Option<i64>),
) -> Found {
    let heights = candidates(instance);
    let area = area_bound(instance, &heights, STARTS);
    progress(None, area.bound);
    let mut found = Found {
        layout: None,
        bound: area.bound,
        bound_by: "areas of the layers",
        thinned: area.thinned,
        nodes: 0,
    };
    if area.bound.is_none() || (instance.trays.is_empty() && instance.kept.is_empty()) {
        if area.bound.is_some() {
            let layout = Layout { heights: vec![], trays: vec![], kept: vec![] };
            found.layout = Some((layout.clone(), instance.cost(&layout)));
        }
        return found;
    }
    let mut random = Random::new(seed);
    let mut pool: Vec<Option<Best>> = vec![None; RUNS];
    let mut steps = FIRST_STEPS;
    let mut round = 0;
    while found.nodes + steps * RUNS as u64 <= nodes.max(FIRST_STEPS * RUNS as u64) {
        let starts: Vec<(Option<Draft>, u64)> = (0..RUNS)
            .map(|r| {
                (
                    start(instance, &area, &pool, round, r, &mut random),
                    random.child().below(usize::MAX) as u64,
                )
            })
            .collect();
        let ends: Vec<_> = starts
            .into_par_iter()
            .map(|(draft, seed)| draft.and_then(|d| run(instance, &heights, d, seed, steps, stop).0))
            .collect();
        found.nodes += steps * RUNS as u64;
        for (slot, end) in pool.iter_mut().zip(ends) {
            if let Some(end) = end.filter(|e| slot.as_ref().is_none_or(|b| e.value < b.value)) {
                *slot = Some(end);
            }
        }
        if let Some(best) = pool.iter().flatten().min_by_key(|b| b.value) {
            let layout = shrink(instance, &best.layout);
            let cost = instance.cost(&layout);
            if found.layout.as_ref().is_none_or(|(_, c)| cost.value() < c.value()) {
                found.layout = Some((layout, cost));
            }
        }
        let value = found.layout.as_ref().map(|(_, c)| c.value());
        progress(value, found.bound);
        if stop.now() || value.is_some_and(|v| found.bound.is_some_and(|b| v <= b)) {
            break;
        }
        round += 1;
        steps = (steps * 2).min(MOST_STEPS);
    }
    found
}

/// Where a run starts: some from the best so far, some from its slot's own best, the others from promising profiles.
fn start(
    instance: &Instance,
    area: &AreaBound,
    pool: &[Option<Best>],
    round: usize,
    r: usize,
    random: &mut Random,
) -> Option<Draft> {
    let best = pool.iter().flatten().min_by_key(|b| b.value);
    match (best, pool.get(r).and_then(Option::as_ref)) {
        (Some(best), _) if r < RUNS / 2 => Some(best.draft.clone()),
        (_, Some(own)) if r < RUNS - 2 => Some(own.draft.clone()),
        _ => {
            let at = if round == 0 {
                r * area.best.len() / RUNS / 2
            } else {
                random.below(area.best.len().max(1))
            };
            (0..area.best.len())
                .map(|k| &area.best[(at + k) % area.best.len()].heights)
                .find_map(|h| first_draft(instance, h))
        }
    }
}

/// Lowers each layer to what its bodies need, where that keeps the layout valid.
fn shrink(instance: &Instance, layout: &Layout) -> Layout {
    let mut best = layout.clone();
    let mut cost = instance.cost(&best).value();
    for l in 0..layout.heights.len() {
        let mut tried = best.clone();
        let need = |p: &super::instance::TrayPlace, i: usize| {
            let others: i64 = (p.layer..p.layer + p.span).filter(|m| *m != l).map(|m| best.heights[m]).sum();
            instance.trays[i].options.get(p.option).map_or(0, |o| o.h) - others
        };
        let least = best
            .trays
            .iter()
            .enumerate()
            .filter(|(_, p)| (p.layer..p.layer + p.span).contains(&l))
            .map(|(i, p)| need(p, i))
            .max();
        let Some(least) = least else { continue };
        tried.heights[l] = least.max(instance.height_rules.get(l).map_or(1, |r| r.0)).max(1);
        let value = instance.cost(&tried).value();
        if value < cost && instance.feasible(&tried).is_ok() && super::bearing::unborne(instance, &tried) == 0
        {
            best = tried;
            cost = value;
        }
    }
    best
}

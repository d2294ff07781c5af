//! Drafts by dealing: for heights in the order that suits them best, each body in a layer where it claims little.

use std::cmp::Reverse;

use itertools::Itertools;
use rayon::prelude::*;

use super::super::anneal::worth;
use super::super::decode::Draft;
use super::super::heights::thinned;
use super::super::instance::{Access, HeldAt, Instance};
use super::{Deal, Wish};
use crate::random::Random;
use crate::stop::Stop;

/// Deals, each with less for the layers in which something found no place.
const DEALS: usize = 4;
/// No more layers than this are put into another order.
const MOST_LAYERS: usize = 6;

/// Candidate heights from which profiles for drafts are made.
const MOST_HEIGHTS: usize = 10;
/// Profiles tried for each number of layers.
const PROFILES: usize = 4;

/// Drafts for profiles of every number of layers, that of least score first, and how many profiles were tried: none where
/// they are more than `most`. The stop's clock and flag end it.
pub(crate) fn drafts(
    instance: &Instance,
    heights: &[i64],
    others: &[Vec<i64>],
    most: u64,
    (seed, stop): (u64, &Stop),
) -> (Vec<Draft>, u64) {
    let mut profiles: Vec<Vec<i64>> = if free(instance) { sets(instance, heights) } else { Vec::new() };
    profiles.extend(others.iter().cloned());
    let tried = profiles.len() as u64;
    if tried > most {
        return (Vec::new(), 0);
    }
    let one = |p: &Vec<i64>| if stop.now() { None } else { dealt(instance, p, seed) };
    let mut all: Vec<(i64, Draft)> = profiles.par_iter().filter_map(one).collect();
    all.sort_by_key(|d| d.0);
    all.dedup_by_key(|d| d.0);
    (all.into_iter().map(|d| d.1).collect(), tried)
}

/// Profiles in no order in which bodies claim least, areas looked at only as a whole.
fn sets(instance: &Instance, heights: &[i64]) -> Vec<Vec<i64>> {
    let lowest = instance.trays.iter().filter_map(|t| t.options.iter().map(|o| o.h).min()).min().unwrap_or(1);
    let heights: Vec<i64> = heights.iter().copied().filter(|h| *h >= lowest).collect();
    let grid = thinned(&heights, MOST_HEIGHTS);
    let floor = instance.width * instance.depth;
    // Per tray and height: the least outline.
    let least: Vec<Vec<Option<i64>>> = instance
        .trays
        .iter()
        .map(|t| {
            let at = |h: i64| t.options.iter().filter(|o| o.h <= h).map(|o| o.w * o.d).min();
            grid.iter().map(|h| at(*h)).collect()
        })
        .collect();
    // Beyond 64 bits in boxes of ten metres on a fine grid.
    let cost = |set: &[usize]| -> Option<i128> {
        let mut used = vec![0; set.len()];
        let mut sum = 0i128;
        for least in &least {
            let claims = |(at, &h): (usize, &usize)| Some((least[h]? * grid[h], at, least[h]?));
            let (claim, at, area) = set.iter().enumerate().filter_map(claims).min()?;
            sum += i128::from(claim);
            used[at] += area;
        }
        let all: i64 = used.iter().sum();
        let over = (all - floor * set.len() as i64).max(0);
        Some(sum + i128::from(over) * i128::from(instance.height))
    };
    let mut out = Vec::new();
    for layers in 1..=instance.most_layers.min(MOST_LAYERS) {
        let high = |set: &Vec<usize>| set.iter().map(|&h| grid[h]).sum::<i64>() <= instance.height;
        let all = (0..grid.len()).combinations_with_replacement(layers).filter(high);
        let mut best: Vec<(i128, Reverse<Vec<usize>>)> =
            all.filter_map(|set| Some((cost(&set)?, Reverse(set)))).collect();
        best.sort_unstable();
        out.extend(best.into_iter().take(PROFILES).map(|(_, set)| set.0.iter().map(|&h| grid[h]).collect()));
    }
    out
}

/// A draft with layers of these heights, in whatever order (where the instance leaves it free), and its score as
/// annealing counts it; `None` where some body has no place.
fn dealt(instance: &Instance, profile: &[i64], seed: u64) -> Option<(i64, Draft)> {
    let mut random = Random::new(seed);
    let floor = |deal: &Deal| vec![deal.floor.0 * deal.floor.1; profile.len()];
    let loose = Deal::new(instance, profile, Wish::Claims)?;
    let heights = if free(instance) && profile.len() <= MOST_LAYERS {
        let layers = loose.dealt(&floor(&loose), &mut random)?;
        ordered(instance, &loose, &layers)
    } else {
        profile.to_vec()
    };
    let deal = Deal::new(instance, &heights, Wish::Claims)?;
    let mut room = floor(&deal);
    let mut best: Option<(i64, Draft)> = None;
    for _ in 0..DEALS {
        let layers = deal.dealt(&room, &mut random)?;
        let draft = drafted(instance, &deal, &layers)?;
        let (score, unplaced) = worth(instance, &draft);
        if best.as_ref().is_none_or(|b| score < b.0) {
            best = Some((score, draft));
        }
        if unplaced.is_empty() {
            break;
        }
        for (l, room) in room.iter_mut().enumerate() {
            let left: i64 = unplaced.iter().filter(|b| layers[**b] == l).map(|&b| deal.area(b, l)).sum();
            let used: i64 = (0..layers.len()).filter(|b| layers[*b] == l).map(|b| deal.area(b, l)).sum();
            if left > 0 {
                *room = (*room).min(used - left / 2).max(0);
            }
        }
    }
    best
}

/// Whether layers may lie in any order.
fn free(instance: &Instance) -> bool {
    let trays = instance.trays.iter().map(|t| t.held);
    let held = trays.chain(instance.kept.iter().map(|k| k.held)).any(|h| h != HeldAt::Free);
    !held && instance.height_rules.is_empty() && instance.blocked.is_empty()
}

/// The heights in the order in which least hangs and least lies over what is often lifted.
fn ordered(instance: &Instance, deal: &Deal, layers: &[usize]) -> Vec<i64> {
    let count = deal.profile.len();
    let mut used = vec![0; count];
    let mut weight = vec![0; count];
    for (b, &l) in layers.iter().enumerate() {
        used[l] += deal.area(b, l);
        weight[l] += instance.trays.get(b).map_or(0, |t| t.weight);
    }
    let cost = |order: &Vec<usize>| {
        let used: Vec<i64> = order.iter().map(|&l| used[l]).collect();
        let lifts: i64 =
            order.iter().zip(0..).map(|(&l, at)| weight[l] * lifts(instance, at, count as i64)).sum();
        deal.strain(&used, &vec![i64::MAX / 2; count]) + i128::from(lifts)
    };
    let best = (0..count).permutations(count).min_by_key(cost).unwrap_or_default();
    best.iter().filter_map(|&l| deal.profile.get(l).copied()).collect()
}

/// What a layer's place costs for each weight.
fn lifts(instance: &Instance, layer: i64, layers: i64) -> i64 {
    match instance.access {
        Access::LayerIndex => layer,
        Access::LayersAbove | Access::Lifts => layers - 1 - layer,
    }
}

/// The draft of a deal: kept items first, then large trays before small ones.
fn drafted(instance: &Instance, deal: &Deal, layers: &[usize]) -> Option<Draft> {
    let n = instance.trays.len();
    let choice = |b: usize| deal.seat(b, *layers.get(b)?)?.choices.first().copied();
    let trays = (0..n).map(|b| Some((layers[b], 1, choice(b)?))).collect::<Option<_>>()?;
    let kept = (n..layers.len()).map(|b| Some((layers[b], choice(b)?))).collect::<Option<_>>()?;
    let mut order: Vec<usize> = (0..layers.len()).collect();
    order.sort_by_key(|&b| (b < n, -deal.area(b, layers[b]), b));
    Some(Draft { heights: deal.profile.to_vec(), trays, kept, order, borne: true })
}

#[cfg(test)]
mod tests {
    use super::super::super::anneal::tests::drafts as problems;
    use super::super::super::decode::decode;
    use super::*;

    #[test]
    fn drafts_decode_to_layouts_that_keep_every_rule() {
        let mut whole = 0;
        for (instance, _) in problems() {
            let (all, tried) = drafts(&instance, &[3, 4, 6, 12], &[vec![4, 4, 3]], 100, (1, &Stop::never()));
            assert!(all.len() as u64 <= tried);
            for draft in &all {
                assert!(draft.heights.iter().sum::<i64>() <= instance.height);
                let decoded = decode(&instance, draft);
                if decoded.unplaced.is_empty() {
                    assert_eq!(instance.feasible(&decoded.layout), Ok(()), "{instance:?} {draft:?}");
                    whole += 1;
                }
            }
            assert!(drafts(&instance, &[3, 4, 6, 12], &[vec![4, 4, 3]], 0, (1, &Stop::never())).0.is_empty());
        }
        assert!(whole > 30, "{whole}");
    }
}

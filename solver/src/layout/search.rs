//! The engines behind one call: a cheap bound first, then annealing and the exact side in rounds.
//!
//! In a round, parallel annealing runs and a slice of the exact side work beside each other on what the last round
//! left, and hand their results over at its end, in a fixed order. Rounds are fixed by seed and node budget alone, so
//! that the number of threads changes nothing. The clock only ends a round early.

mod jobs;
mod ladder;
mod polish;
mod shrink;

use rayon::prelude::*;

use super::anneal::{Best, run};
use super::decode::drafted;
use super::exact::Exact;
use super::fill::drafts::drafts;
use super::fill::{Wish, filled};
use super::heights::candidates;
use super::instance::{Cost, Instance, Layout};
use super::patterns::{around, easier};
use super::piles::piled;
use crate::random::Random;
use crate::stop::Stop;
use jobs::{End, Job, Pool, RUNS, Starts};
use ladder::Ladder;
use polish::polish;
use shrink::{shrink, valid};

/// Steps of a run in the first round; doubled from round to round up to the cap.
const FIRST_STEPS: u64 = 500;
/// Cap of the steps of one run.
const MOST_STEPS: u64 = 8_000;
/// Rounds without gain after which the runs become shorter: the exact side has more use of the time.
const BARREN: usize = 3;
/// Cap of a slice, until so many nodes are spent that this part of them is more.
const LEAST_CAP: u64 = 400_000;
const CAP_PART: u64 = 3;
/// Nodes of the first search around a plan.
const AROUND: u64 = 200_000;
/// And at most so many for each step of the annealing, with many trays.
const AROUND_STEPS: u64 = 8;
/// Profiles for which layouts are dealt, and what each counts in nodes.
const DEALT: usize = 16;
const DEAL_NODES: u64 = 50;
/// Layouts of fewer trays are met at once without dealing.
const LEAST_DEALT: usize = 6;

/// What a search found.
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
/// # let stop = traywright::stop::Stop::nodes(100_000);
/// # use traywright::layout::search::search;
/// let found = |count| {
///     let trays = (0..count).map(|kind| tray(kind, (4, 5, 3))).collect();
///     let found = search(&Instance { trays, ..empty.clone() }, 1, 20_000, &stop, &mut |_, _| {});
///     (found.layout.map(|(_, cost)| cost.value()), found.bound)
/// };
/// assert_eq!(found(4), (Some(240), Some(240))); // the box is full
/// assert_eq!(found(5), (None, None)); // and that is proven
/// ```
#[derive(Clone, Debug)]
pub struct Found {
    /// The best valid layout.
    pub layout: Option<(Layout, Cost)>,
    /// No layout costs less; `None`: none exists, proven.
    pub bound: Option<i64>,
    /// Which bound that is.
    pub bound_by: &'static str,
    /// Nodes spent.
    pub nodes: u64,
}

impl Found {
    fn standing(&self) -> Standing {
        let (value, layers) =
            self.layout.as_ref().map_or((None, 0), |(l, c)| (Some(c.value()), l.heights.len()));
        Standing { value, bound: self.bound, nodes: self.nodes, layers }
    }
}

/// How far a search has come.
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
/// # let stop = traywright::stop::Stop::nodes(100_000);
/// # use traywright::layout::search::{search, Standing};
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
/// let mut all = Vec::new();
/// let mut told = |value, bound| all.push((value, bound));
/// search(&instance, 1, 20_000, &stop, &mut told);
/// // A bound at once, a plan later; at the end they meet.
/// assert_eq!(all[0], (None, Some(120)));
/// let (value, bound) = *all.last().unwrap();
/// let last = Standing { value, bound, nodes: 20_000, layers: 1 };
/// assert_eq!((last.value, last.bound), (Some(120), Some(120)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Value of the best plan.
    pub value: Option<i64>,
    /// No plan costs less; `None`: there is none.
    pub bound: Option<i64>,
    /// Nodes spent.
    pub nodes: u64,
    /// Layers of the best plan; 0 where there is none.
    pub layers: usize,
}

/// Searches until the nodes are spent, the stop says so, or value meets bound.
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
/// # let stop = traywright::stop::Stop::nodes(100_000);
/// # use traywright::layout::search::search;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
/// let found = search(&instance, 1, 20_000, &stop, &mut |_, _| {});
/// let (layout, cost) = found.layout.unwrap();
/// assert_eq!((instance.feasible(&layout), cost.value()), (Ok(()), 2 * 4 * 5 * 3));
/// assert_eq!(found.bound, Some(cost.value()));
/// ```
pub fn search(
    instance: &Instance,
    seed: u64,
    nodes: u64,
    stop: &Stop,
    progress: &mut dyn FnMut(Option<i64>, Option<i64>),
) -> Found {
    let mut on = |s: Standing| {
        progress(s.value, s.bound);
        true
    };
    search_while(instance, seed, nodes, stop, &mut on)
}

/// The same, as long as `on` says so: it is told the standing after every round.
pub(crate) fn search_while(
    instance: &Instance,
    seed: u64,
    nodes: u64,
    stop: &Stop,
    on: &mut dyn FnMut(Standing) -> bool,
) -> Found {
    let heights = candidates(instance);
    let mut exact = Exact::new(instance);
    let mut ladder = Ladder::new(exact.area_bound());
    let mut go_on = on(Standing { value: None, bound: ladder.bound, nodes: 0, layers: 0 });
    let mut found = Found { layout: None, bound: ladder.bound, bound_by: "areas of the layers", nodes: 0 };
    if instance.trays.is_empty() && instance.kept.is_empty() {
        let layout = Layout { heights: vec![], trays: vec![], kept: vec![] };
        found.layout = Some((layout.clone(), instance.cost(&layout)));
        found.bound = Some(0);
        return found;
    }
    if found.bound.is_none() {
        return found;
    }
    let mut starts = Starts::new(instance, &heights, &mut exact);
    let many = starts.many;
    // Beside the problem itself, easier ones: good for plans, not for bounds. The easiest until there is a plan.
    let restricted = [easier(instance, false), easier(instance, true)];
    let mut sides: Vec<Option<(Exact, Ladder)>> = restricted[0].iter().map(|_| None).collect();
    let mut weighed = false;
    let mut random = Random::new(seed);
    let mut pool = Pool::new();
    let mut steps = FIRST_STEPS;
    let mut barren = 0;
    if many {
        let most = nodes / DEAL_NODES / 4;
        let (own, tried) = drafts(instance, &heights, &starts.roomy, most, (seed, stop));
        starts.drafts = own;
        found.nodes += tried * DEAL_NODES;
    }
    let dealt = deals(instance, &starts.roomy, &starts.profiles, (seed, nodes - found.nodes), stop);
    found.nodes += dealt.1;
    for (slot, layout) in pool.best.iter_mut().zip(&dealt.0) {
        let (value, draft) = (instance.cost(layout).value(), drafted(instance, layout));
        *slot = Some(Best { value, layout: layout.clone(), draft });
    }
    if let Some(layout) = dealt.0.into_iter().next() {
        let cost = instance.cost(&layout);
        let value = Some(cost.value());
        ladder.best = value;
        found.bound = ladder.bound.map(|b| b.min(cost.value()));
        found.layout = Some((layout, cost));
        go_on &= on(found.standing());
        if !go_on || stop.now() || value == found.bound || found.nodes >= nodes {
            return found;
        }
    }
    // Value of the plan around which was searched last, and nodes for that.
    let mut searched = (i64::MAX, AROUND);
    // The round in which there was a plan first.
    let mut begun = None;
    for round in 0.. {
        if found.layout.is_some() {
            begun = begun.or(Some(round));
        }
        let since = begun.map(|b| round - b);
        let seeking = found.layout.is_none();
        let best = found.layout.as_ref().map(|f| &f.0);
        let own = starts.steps(since, steps, nodes - found.nodes);
        let jobs = starts.jobs((round, since), own, (best, &pool), &mut random);
        let anneal = || -> Vec<End> {
            let one = |(job, seed): (Option<Job>, u64)| match job {
                Some(Job::Anneal(draft, manner)) => {
                    let (best, least) = run(instance, &heights, draft, manner, seed, own, stop);
                    (best, Some(least))
                }
                Some(Job::Polish(plan)) => (polish(instance, &heights, &plan, seed, own, stop), None),
                Some(Job::Pile(profile, steps)) => {
                    (piled(instance, &heights, &profile, (seed, steps), stop), None)
                }
                None => (None, None),
            };
            jobs.into_par_iter().map(one).collect()
        };
        // The heuristic comes first: the exact side joins when the first round is over.
        let cap = LEAST_CAP.max(found.nodes / CAP_PART);
        let slice = stop.share(if round > 0 { ladder.slice.min(cap).min(nodes - found.nodes) } else { 0 });
        // Every better plan is followed by the easier problem around it; else every other round belongs to one of the
        // easier problems, and each second of these to the one around the plan.
        let turn = match (round % 2 == 0 && !sides.is_empty(), &found.layout) {
            (true, Some((best, cost))) if searched.0 != cost.value() => {
                searched = (cost.value(), AROUND);
                Turn::Around(best)
            }
            (false, _) => Turn::Whole,
            (true, Some((best, _))) if round % 4 == 0 => {
                searched.1 = searched.1.saturating_mul(2);
                Turn::Around(best)
            }
            (true, Some(_)) => Turn::Side(round / 4 % sides.len()),
            (true, None) => Turn::Side(round / 2 % sides.len()),
        };
        let known = found.layout.as_ref().map_or(i64::MAX, |l| l.1.value());
        exact.known = known;
        sides.iter_mut().flatten().for_each(|side| side.0.known = known);
        let (ends, packed) = rayon::join(anneal, || match turn {
            Turn::Around(best) => {
                let near = around(instance, best);
                let mut exact = Exact::within(&near, instance);
                exact.known = known;
                let bound = exact.area_bound();
                // With many trays, annealing gains more of the time at first.
                let most = if many { steps * RUNS as u64 * AROUND_STEPS } else { u64::MAX };
                let slice = stop.share(searched.1.min(cap).min(most).min(nodes - found.nodes));
                let met = Ladder::new(bound).work(&mut exact, &slice, false);
                (met, slice.spent())
            }
            Turn::Side(s) => {
                let (exact, side) = sides[s].get_or_insert_with(|| {
                    let exact = Exact::within(&restricted[usize::from(weighed)][s], instance);
                    let bound = exact.area_bound();
                    (exact, Ladder::new(bound))
                });
                (side.work(exact, &slice, seeking), slice.spent())
            }
            Turn::Whole => (ladder.work(&mut exact, &slice, seeking), slice.spent()),
        });
        let (packed, spent) = packed;
        found.nodes += own * RUNS as u64 + spent;
        pool.keep(ends);
        let annealed = pool.least();
        let held = found.layout.as_ref().map(|(_, c)| c.value());
        barren = if annealed.is_some_and(|a| held.is_none_or(|h| a.value < h)) { 0 } else { barren + 1 };
        let annealed = annealed.map(|b| b.layout.clone());
        for layout in [packed, annealed].into_iter().flatten() {
            let layout = shrink(instance, &layout);
            let cost = instance.cost(&layout);
            if found.layout.as_ref().is_none_or(|(_, c)| cost.value() < c.value()) {
                found.layout = Some((layout, cost));
            }
        }
        if let Some((layout, cost)) = &found.layout
            && pool.best.iter().flatten().all(|b| b.value > cost.value())
        {
            // The annealing goes on from what the exact side met.
            let draft = drafted(instance, layout);
            pool.best[0] = Some(Best { value: cost.value(), layout: layout.clone(), draft });
        }
        let value = found.layout.as_ref().map(|(_, c)| c.value());
        if ladder.passes > 0 {
            found.bound_by = "search over layers, each packed exactly";
        }
        if value.is_some() && !weighed {
            weighed = true;
            sides.iter_mut().for_each(|side| *side = None);
        }
        ladder.best = value;
        found.bound = ladder.bound.map(|b| value.map_or(b, |v| b.min(v)));
        go_on &= on(found.standing());
        let met = value.is_some() && value == found.bound;
        if !go_on || stop.now() || met || found.bound.is_none() || found.nodes >= nodes {
            break;
        }
        steps = if found.layout.is_some() && barren > BARREN { steps / 2 } else { steps * 2 };
        let most = if found.layout.is_some() { MOST_STEPS } else { MOST_STEPS * 4 };
        steps = steps.clamp(FIRST_STEPS, most).min((nodes - found.nodes) / RUNS as u64 + 1);
    }
    found
}

/// Valid layouts dealt for even layers and for the best profiles, the best first, and nodes spent on them.
fn deals(
    instance: &Instance,
    roomy: &[Vec<i64>],
    profiles: &[Vec<i64>],
    (seed, nodes): (u64, u64),
    stop: &Stop,
) -> (Vec<Layout>, u64) {
    let even = roomy.iter().flat_map(|p| [(p, Wish::Low), (p, Wish::Borne)]);
    let tight = profiles.iter().take(DEALT).map(|p| (p, Wish::Borne));
    let all: Vec<(&Vec<i64>, Wish)> = even.chain(tight).collect();
    let spent = all.len() as u64 * DEAL_NODES;
    if spent >= nodes || instance.trays.len() < LEAST_DEALT {
        return (Vec::new(), 0);
    }
    let mut found: Vec<Layout> = all
        .into_par_iter()
        .filter(|_| !stop.now())
        .filter_map(|(profile, wish)| filled(instance, profile, wish, seed, stop))
        .map(|layout| shrink(instance, &layout))
        .filter(|layout| valid(instance, layout))
        .collect();
    found.sort_by_key(|layout| instance.cost(layout).value());
    (found, spent)
}

/// Whose turn it is on the exact side.
enum Turn<'a> {
    /// The problem itself.
    Whole,
    /// The easier problem of this number.
    Side(usize),
    /// The easier problem around a plan.
    Around(&'a Layout),
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::instance::{Access, HeldAt, KeptItem, KeptPlace, Option3, TrayItem, TrayPlace};
    use itertools::Itertools;

    /// Tries every place of every body; returns the least value.
    fn brute(instance: &Instance) -> Option<i64> {
        let c = candidates(instance);
        let mut best = None;
        for layers in 1..=instance.most_layers {
            for heights in std::iter::repeat_n(c.iter().copied(), layers).multi_cartesian_product() {
                let mut layout = Layout { heights, trays: vec![], kept: vec![] };
                place(instance, &mut layout, &mut best);
            }
        }
        best
    }

    fn place(instance: &Instance, layout: &mut Layout, best: &mut Option<i64>) {
        let (t, k) = (layout.trays.len(), layout.kept.len());
        let part = Instance {
            trays: instance.trays[..t].to_vec(),
            kept: instance.kept[..k].to_vec(),
            ..instance.clone()
        };
        if part.feasible(layout).is_err() {
            return;
        }
        if t == instance.trays.len() && k == instance.kept.len() {
            let v = instance.cost(layout).value();
            *best = Some(best.map_or(v, |b: i64| b.min(v)));
            return;
        }
        for layer in 0..=layout.heights.len() {
            for x in 0..instance.width {
                for y in 0..instance.depth {
                    if t < instance.trays.len() {
                        for option in 0..instance.trays[t].options.len() {
                            for span in 1..=instance.trays[t].span {
                                layout.trays.push(TrayPlace { layer, span, option, x, y });
                                place(instance, layout, best);
                                layout.trays.pop();
                            }
                        }
                    } else {
                        for turn in 0..instance.kept[k].turns.len() {
                            layout.kept.push(KeptPlace { layer, turn, x, y });
                            place(instance, layout, best);
                            layout.kept.pop();
                        }
                    }
                }
            }
        }
    }

    fn random_instance(random: &mut Random) -> Instance {
        let mut size = |n: usize| 1 + random.below(n) as i64;
        let (width, depth, height) = (3 + size(3), 3 + size(2), 3 + size(3));
        let n = size(2) as usize;
        let trays = (0..n)
            .map(|i| {
                let mut options = vec![];
                for _ in 0..size(2) {
                    let (w, d, h) = (size(4), size(3), size(3));
                    options.push(Option3 { w, d, h });
                    options.push(Option3 { w: d, d: w, h });
                }
                options.sort_unstable();
                options.dedup();
                TrayItem {
                    name: format!("t{i}"),
                    kind: i,
                    options,
                    span: size(2) as usize,
                    low: false,
                    fixed: false,
                    lid: false,
                    held: if size(5) == 1 { HeldAt::Layer(size(2) as usize - 1) } else { HeldAt::Free },
                    weight: size(4) - 1,
                }
            })
            .collect();
        let kept = (0..size(2) - 1)
            .map(|k| {
                let (w, d, h) = (size(3), size(2), size(3));
                let turns = vec![Option3 { w, d, h }, Option3 { w: d, d: w, h }];
                KeptItem { name: format!("k{k}"), kind: 0, turns, held: HeldAt::Free }
            })
            .collect();
        let (between, side) = (size(2) - 1, size(2) - 1);
        Instance {
            width,
            depth,
            height,
            between,
            side,
            most_layers: 2,
            height_rules: if size(4) == 1 { vec![(1, 2)] } else { vec![] },
            trays,
            kept,
            cover: vec![],
            access: if size(2) == 1 { Access::Lifts } else { Access::LayerIndex },
            blocked: vec![],
            rims: None,
        }
    }

    #[test]
    fn never_below_the_bound_nor_below_the_optimum() {
        let mut random = Random::new(3);
        let (mut met, mut without) = (0, 0);
        for case in 0..90 {
            let instance = random_instance(&mut random);
            let truth = brute(&instance);
            let found = search(&instance, 1, 40_000, &Stop::never(), &mut |_, _| {});
            match truth {
                None => {
                    assert!(found.layout.is_none(), "case {case}: a plan where there is none: {instance:?}");
                    without += 1;
                }
                Some(truth) => {
                    let bound = found.bound.expect("a plan exists, so no bound may say otherwise");
                    assert!(bound <= truth, "case {case}: bound {bound} above optimum {truth}: {instance:?}");
                    if let Some((layout, cost)) = found.layout {
                        assert!(cost.value() >= truth && instance.feasible(&layout).is_ok(), "case {case}");
                        met += i32::from(cost.value() == truth);
                    }
                }
            }
        }
        assert!(met > 60 && without > 3, "met {met}, without {without}");
    }
}

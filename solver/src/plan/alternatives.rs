//! Other good plans of the same brief: solved again with something of the best one forbidden.

use std::collections::BTreeMap;

use super::group::ways;
use super::solve::{Ground, Searched, finish, solved};
use super::{Claim, Options, Outcome, Plan, Progress};
use crate::job::{Job, Tray};
use crate::layout::build::{Built, build};
use crate::layout::instance::{HeldAt, Instance, Layout};
use crate::layout::search::search;

/// Problems with something forbidden that are tried at most.
const MOST: usize = 40;
/// Nodes of each of them: a share of the budget, within these.
const NODES: (u64, u64) = (20_000, 200_000);

/// A plan, and others beside it.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"maps\"\nuse = \"seldom\"\nsize = [110, 80, 15]\n[[tray.part]]\n\
/// #     name = \"map\"\nloose = { volume = \"40 ml\" }\n[[tray]]\nname = \"mail\"\n\
/// #     use = \"always\"\nsize = [110, 80, 15]\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// // Of two trays over each other, another plan has the upper one below.
/// let found = plan::alternatives(&job, &options, &mut |_| {});
/// let best = found.outcome.plan.unwrap().objective_mm3;
/// let other = &found.others[0].objective_mm3;
/// assert!(other.value > best.value && other.bound == best.bound); // the bound is for all plans
/// assert!(found.tried >= found.others.len());
/// ```
#[derive(Clone, Debug)]
pub struct Alternatives {
    /// What came of the brief as it is; its plan is the best of all that were found.
    pub outcome: Outcome,
    /// Other plans that have passed the checker, the best first; some may look like each other. Claims are about the
    /// brief: the bound is the one for all plans.
    pub others: Vec<Plan>,
    /// How many problems with something forbidden were searched.
    pub tried: usize,
}

/// A problem with something forbidden.
struct Forbidding {
    trays: Vec<Tray>,
    built: Built,
}

/// Solves a job, and then again: with fewer layers, with lower ones, with each kind of tray in each other layer, and where
/// parts have no tray, with another number of trays. The same job, seed and nodes give the same plans.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "box.interior = [100, 70, 80]\nstock = { name = \"greyboard\", thickness = 2 }\n\
/// #     [[tray]]\nname = \"shells\"\n[[tray.part]]\nname = \"small shells\"\nloose = { volume = \"90 ml\" }\n\
/// #     [[tray]]\nname = \"stones\"\n[[tray.part]]\nname = \"flat stones\"\nloose = { volume = \"80 ml\" }\n";
/// let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// let mut options = plan::Options::default();
/// options.nodes = 30_000;
/// let found = plan::alternatives(&job, &options, &mut |_| {});
/// let best = found.outcome.plan.unwrap().objective_mm3.value;
/// assert!(found.others.iter().all(|p| p.objective_mm3.value >= best));
/// ```
pub fn alternatives(job: &Job, options: &Options, progress: &mut dyn FnMut(&Progress)) -> Alternatives {
    // Half of the clock is for the brief as it is.
    let half = Options { stop: options.stop.part(0.5), ..options.clone() };
    let (mut outcome, ground) = solved(job, &half, progress);
    let mut others = Vec::new();
    let mut tried = 0;
    if let (Some(best), Some(ground)) = (outcome.plan.clone(), ground) {
        let all = forbidding(job, &ground);
        let nodes = (options.nodes / (all.len().max(1) as u64)).clamp(NODES.0, NODES.1);
        for (i, one) in all.iter().enumerate() {
            if options.stop.now() {
                break;
            }
            let done = Some(i as f64 / all.len() as f64);
            progress(&Progress { phase: "looking for other plans", value_ml: None, bound_ml: None, done });
            tried += 1;
            let mut claim = outcome.claim.clone();
            others.extend(plan(job, one, &ground, nodes, &mut claim, options));
        }
        others.push(best);
        // Equal values stay in the order in which they were found, the plan of the brief itself before all.
        others.rotate_right(1);
        others.sort_by_key(|p| p.objective_mm3.value);
        let first = others.remove(0);
        outcome.claim = first.claim.clone();
        outcome.plan = Some(first);
    }
    Alternatives { outcome, others, tried }
}

fn plan(
    job: &Job,
    one: &Forbidding,
    ground: &Ground,
    nodes: u64,
    claim: &mut Claim,
    options: &Options,
) -> Option<Plan> {
    let stop = options.stop.share(nodes);
    let found = search(&one.built.instance, options.seed, nodes, &stop, &mut |_, _| {});
    let (layout, cost) = found.layout?;
    let bound = ground.bound.filter(|b| *b <= cost.value());
    let searched = Searched { layout: &layout, cost, bound, sunk: false, made: &[] };
    finish(job, &one.trays, &one.built, &searched, claim, options).ok()
}

/// All that is tried, the most visible differences first.
fn forbidding(job: &Job, ground: &Ground) -> Vec<Forbidding> {
    let with = |instance: Instance| Forbidding {
        trays: ground.trays.clone(),
        built: Built { instance, ..ground.built.clone() },
    };
    let whole = &ground.built.instance;
    let mut out = Vec::new();
    if !job.free.is_empty() {
        for way in ways(job) {
            let trays: Vec<Tray> = job.trays.iter().chain(&way).cloned().collect();
            if trays.len() != ground.trays.len()
                && let Ok(built) = build(job, &trays)
            {
                out.push(Forbidding { trays, built });
            }
        }
    }
    out.extend(other_layers(whole, &ground.layout).into_iter().map(with));
    out.extend(other_places(whole, &ground.layout).into_iter().map(with));
    out.truncate(MOST);
    out
}

/// Fewer layers than the layout has, and layers lower than its highest one, so that there must be more.
fn other_layers(whole: &Instance, layout: &Layout) -> Vec<Instance> {
    let layers = layout.heights.len();
    let mut out: Vec<Instance> =
        (1..layers).rev().map(|most| Instance { most_layers: most, ..whole.clone() }).collect();
    let highest = layout.heights.iter().copied().max().unwrap_or(0);
    // As low as it takes for one layer more, where the highest was; and just lower than it is.
    for most in [highest - 1, highest / 2] {
        let mut lower = whole.clone();
        lower.height_rules.resize(whole.most_layers.max(whole.height_rules.len()), (1, whole.height));
        lower.height_rules.iter_mut().for_each(|r| r.1 = r.1.min(most));
        if layers < whole.most_layers && lower.height_rules.iter().all(|r| r.0 <= r.1) {
            out.push(lower);
        }
    }
    out
}

/// One more of each kind of tray than now in each layer where there could be one.
fn other_places(whole: &Instance, layout: &Layout) -> Vec<Instance> {
    let mut kinds: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, item) in whole.trays.iter().enumerate().filter(|(_, t)| t.held == HeldAt::Free) {
        kinds.entry(item.kind).or_default().push(i);
    }
    let mut out = Vec::new();
    for copies in kinds.values() {
        for layer in 0..layout.heights.len() {
            let there =
                copies.iter().filter(|&&i| layout.trays.get(i).is_some_and(|p| p.layer == layer)).count();
            if there == copies.len() {
                continue;
            }
            let mut held = whole.clone();
            for &i in copies.iter().take(there + 1) {
                held.trays[i].held = HeldAt::Layer(layer);
                // Held copies are not like the others any more.
                held.trays[i].kind = whole.trays.len() + copies.first().copied().unwrap_or(0);
            }
            out.push(held);
        }
    }
    out
}

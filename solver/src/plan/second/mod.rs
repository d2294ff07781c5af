//! The second version of an insert: a plan for a changed brief that keeps what the first one left standing.
//!
//! A tray of the old plan that still does ([`refit`]) keeps its pieces and its place wherever a plan can be found around
//! it. What cannot all stay is found by trying ([`keep`]), and the search fills in the rest.

mod grouping;
mod keep;
mod old;
mod refit;
mod rows;
mod trial;

use std::collections::BTreeSet;

use old::Old;
use trial::{Bench, Kept, Stay};

use super::solve::{doubts, solved};
use super::{Claim, ClaimState, Options, Outcome, PlacedTray, Plan, Progress};
use crate::brief::nearest;
use crate::check::reckonable;
use crate::finding::{Finding, Severity};
use crate::job::{Job, Tray};
use crate::layout::build::{Built, build, copy_name};
use crate::length::Volume;

/// What becomes of one tray of the new plan.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let read = |changes: &[(String, String)]| {
/// #     job::read(brief, "b.toml", Format::Toml, None, changes).unwrap()
/// # };
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # use traywright::plan::Fate;
/// let old = plan::solve(&read(&[]), &options, &mut |_| {}).plan.unwrap();
/// let fate = |key: &str, value: &str| {
///     let job = read(&[(key.into(), value.into())]);
///     plan::second(&job, &old, &[], &options, &mut |_| {}).unwrap().fates[0].fate
/// };
/// assert_eq!(fate("box.interior", "[120, 90, 45]"), Fate::Stays);
/// assert_eq!(fate("stock.thickness", "4"), Fate::Afresh); // none of its pieces does any more
/// assert_eq!(serde_json::to_value(Fate::Afresh).unwrap(), "afresh");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fate {
    /// The same tray in the same place.
    Stays,
    /// The same tray in another place.
    Moves,
    /// The same outside and compartments, but a divider, a grip or what stands in a compartment is another.
    Altered,
    /// Made afresh.
    Afresh,
}

/// A tray of the new plan and what becomes of it.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\ncount = 2\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let read = |changes: &[(String, String)]| {
/// #     job::read(brief, "b.toml", Format::Toml, None, changes).unwrap()
/// # };
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let old = plan::solve(&read(&[]), &options, &mut |_| {}).plan.unwrap();
/// let job = read(&[("box.interior".into(), "[120, 90, 45]".into())]);
/// let fates = plan::second(&job, &old, &[], &options, &mut |_| {}).unwrap().fates;
/// assert_eq!((&*fates[0].tray, &*fates[1].tray), ("mail #1", "mail #2"));
/// assert!(fates.iter().all(|f| f.why.is_empty())); // both stay
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrayFate {
    /// Its name, with the number of its copy where there are several.
    pub tray: String,
    /// What becomes of it.
    pub fate: Fate,
    /// Why it does not stay as it was; empty where it does.
    pub why: String,
}

/// What came of a second version.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let second = plan::second(&job, &plan, &[], &options, &mut |_| {}).unwrap();
/// let new = second.outcome.plan.unwrap();
/// assert_eq!(second.fates.len(), new.settled.trays.len());
/// assert_eq!(new.settled.trays[0].at, plan.settled.trays[0].at); // nothing has changed
/// ```
#[derive(Clone, Debug)]
pub struct Second {
    /// The plan and what is proven about it: its bound holds for any plan of the brief, whether or not old trays stay.
    pub outcome: Outcome,
    /// Every tray of the new plan, in its order.
    pub fates: Vec<TrayFate>,
    /// The best plan that was found with nothing kept.
    pub free: Option<FromScratch>,
}

/// What a plan counts in which nothing is kept.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let second = plan::second(&job, &plan, &[], &options, &mut |_| {}).unwrap();
/// let free = second.free.unwrap();
/// assert_eq!(free.value, plan.objective_mm3.value); // of the tight arrangement
/// assert_eq!(free.wasted, plan.settled.volumes_mm3.wasted); // as built
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FromScratch {
    /// Waste and lifts of its tight plan.
    pub value: Volume,
    /// Waste as built.
    pub wasted: Volume,
}

/// Plans a job anew so that as much of an old plan stays as can.
///
/// Trays of the old plan that still hold what they must are kept with their pieces and in their places; where not all of
/// them can stay, those in layers far from what has changed are kept before others, and trays that the brief holds before
/// all. `hold` names trays that must stay: without a plan for that there is none. Lastly the job is solved with nothing
/// kept, for comparison.
///
/// ```
/// # use traywright::{brief::Format, job, plan::{self, Fate}};
/// # let brief = "box.interior = [120, 90, 40]\nstock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// let read = |changes: &[(String, String)]| job::read(brief, "b.toml", Format::Toml, None, changes).unwrap();
/// let old = plan::solve(&read(&[]), &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// // The box turned out to be a little lower; the tray still goes in.
/// let job = read(&[("box.interior".into(), "[120, 90, 40.5]".into())]);
/// let second = plan::second(&job, &old, &[], &plan::Options::default(), &mut |_| {}).unwrap();
/// assert_eq!(second.fates[0].fate, Fate::Stays);
/// ```
///
/// # Errors
/// `P060` where the old plan is none of this brief, `P061` where `hold` names no tray of both.
pub fn second(
    job: &Job,
    old: &Plan,
    hold: &[String],
    options: &Options,
    progress: &mut dyn FnMut(&Progress),
) -> Result<Second, Vec<Finding>> {
    fits_together(job, old, hold)?;
    progress(&Progress { phase: "sizing trays", value_ml: None, bound_ml: None, done: None });
    let doubtful = doubts(job).iter().any(|f| f.severity == Severity::Fault);
    let trays = grouping::trays(job, old);
    let built = if doubtful { None } else { build(job, &trays).ok() };
    let mut told = |phase| progress(&Progress { phase, value_ml: None, bound_ml: None, done: None });
    let (mut kept, mut whys) = (None, Vec::new());
    if let Some(built) = &built {
        let stock = Old::of(job, &trays, built, old);
        whys = stock.trays.iter().map(|t| t.as_ref().err().cloned()).collect();
        // Half of the clock is for the plan from scratch that it is compared with.
        let half = Options { stop: options.stop.part(0.5), ..options.clone() };
        let mut bench = Bench { job, trays: &trays, built, old: &stock, options: &half, spent: 0 };
        told("keeping what was there");
        kept = bench.most(&order(&trays, built, &stock, old, hold), FIRM);
        told("arranging the rest");
        kept = kept.map(|k| bench.polished(k, options.nodes));
    }
    let (mut outcome, ground) = solved(job, options, progress);
    let free = outcome
        .plan
        .as_ref()
        .map(|p| FromScratch { value: p.objective_mm3.value, wasted: p.settled.volumes_mm3.wasted });
    if let (Some(kept), Some(built)) = (&kept, &built) {
        // The bound of the plan from scratch holds whatever stays, as staying only forbids.
        let bound = ground.as_ref().and_then(|g| g.bound);
        let mut claim = outcome.claim.clone();
        let bench = Bench { job, trays: &trays, built, old: &Old::none(), options, spent: 0 };
        if let Some(plan) = bench.plan(kept, bound, &mut claim) {
            outcome.claim = claim;
            outcome.plan = Some(plan);
            outcome.reasons = Vec::new();
        }
    }
    let stays = kept.map_or_else(Vec::new, |k: Kept| k.stays);
    let lost: Vec<Finding> =
        hold.iter().filter_map(|name| lost(name, built.as_ref(), &trays, &stays, &whys)).collect();
    if !lost.is_empty() {
        outcome.plan = None;
        outcome.claim = Claim { state: ClaimState::NoneFound, ..Claim::none_found(job.grid) };
        outcome.reasons = lost;
    }
    let fates =
        outcome.plan.as_ref().map_or_else(Vec::new, |plan| fates(plan, old, &trays, built.as_ref(), &whys));
    Ok(Second { outcome, fates, free })
}

/// The old plan must be one of this brief, more or less, and the trays that must stay must be in both.
fn fits_together(job: &Job, old: &Plan, hold: &[String]) -> Result<(), Vec<Finding>> {
    let absurd = reckonable(job, old);
    if !absurd.is_empty() {
        return Err(absurd);
    }
    let known: BTreeSet<&str> =
        parts(&job.trays).chain(job.free.iter().map(|f| f.part.name.as_str())).collect();
    let held = old.settled.trays.iter().flat_map(|t| &t.compartments);
    if !held.clone().any(|c| known.contains(c.part.as_str())) {
        let cause = format!(
            "the old plan, \"{}\", holds no part of this brief, \"{}\"",
            crate::brief::clip(&old.title),
            crate::brief::clip(&job.title)
        );
        return Err(vec![Finding::listed("P060", cause)]);
    }
    let names: BTreeSet<&str> = old.settled.trays.iter().map(|t| t.name.as_str()).collect();
    let unknown = hold.iter().filter(|name| !names.contains(name.as_str())).map(|name| {
        let finding =
            Finding::listed("P061", format!("the old plan has no tray \"{}\"", crate::brief::clip(name)));
        match nearest(name, names.iter().copied()) {
            Some(near) => finding.remedied(format!("Did you mean \"{near}\"?")),
            None => finding,
        }
    });
    let unknown: Vec<Finding> = unknown.collect();
    if unknown.is_empty() { Ok(()) } else { Err(unknown) }
}

fn parts(trays: &[Tray]) -> impl Iterator<Item = &str> {
    trays.iter().flat_map(|t| &t.parts).map(|p| p.name.as_str())
}

/// Groups of trays that must stay or are held.
const FIRM: usize = 2;

/// Trays that can stay, in groups: those that must, those that the brief holds, then layer by layer, beginning with the
/// layers that are farthest from what has changed, among equals with those of most pieces.
fn order(trays: &[Tray], built: &Built, old: &Old, plan: &Plan, hold: &[String]) -> Vec<Vec<usize>> {
    let rule = |i: usize| built.trays.get(i).and_then(|(kind, _)| trays.get(*kind));
    let name = |i: usize| Some((rule(i)?.name.clone(), built.trays.get(i)?.1));
    let changed = old.changed(plan, &name);
    let (mut must, mut held) = (Vec::new(), Vec::new());
    let mut layers: Vec<Vec<usize>> = vec![Vec::new(); old.heights.len()];
    for (i, one) in old.trays.iter().enumerate() {
        let Ok(one) = one else { continue };
        match rule(i) {
            Some(t) if hold.contains(&t.name) => must.push(i),
            Some(t) if t.held.is_some() => held.push(i),
            _ => layers.get_mut(one.layer).into_iter().for_each(|l| l.push(i)),
        }
    }
    let pieces =
        |i: &usize| old.trays.get(*i).and_then(|o| o.as_ref().ok()).map_or(0, |o| 5 + o.tray.dividers.len());
    layers.iter_mut().for_each(|group| group.sort_by_key(|i| (std::cmp::Reverse(pieces(i)), *i)));
    let mut by_layer: Vec<(usize, Vec<usize>)> = layers.into_iter().enumerate().collect();
    by_layer.sort_by_key(|(l, group)| {
        let near = changed.iter().map(|c| c.abs_diff(*l)).min().unwrap_or(0);
        (std::cmp::Reverse((near, group.iter().map(pieces).sum::<usize>())), *l)
    });
    let mut out = vec![must, held];
    out.extend(by_layer.into_iter().map(|(_, group)| group));
    out
}

/// Why a tray that must stay does not.
fn lost(
    name: &str,
    built: Option<&Built>,
    trays: &[Tray],
    stays: &[Stay],
    whys: &[Option<String>],
) -> Option<Finding> {
    let of = |i: &usize| {
        let kind = built.and_then(|b| b.trays.get(*i)).map(|(kind, _)| *kind);
        kind.and_then(|k| trays.get(k)).is_some_and(|t| t.name == name)
    };
    let all: Vec<usize> = (0..whys.len()).filter(of).collect();
    let stay = |i: &usize| stays.get(*i).is_some_and(|s| *s > Stay::No);
    if !all.is_empty() && all.iter().all(stay) {
        return None;
    }
    let why = all.iter().find_map(|&i| whys.get(i).cloned().flatten());
    let why = match (why, all.is_empty()) {
        (Some(why), _) => why,
        (None, true) => "the brief has no such tray any more, or nothing fits at all".into(),
        (None, false) => "no plan was found around it".into(),
    };
    Some(Finding::listed("P062", format!("tray \"{name}\" must stay and cannot: {why}")))
}

/// What becomes of every tray of the new plan, as it can be seen in both.
fn fates(
    plan: &Plan,
    old: &Plan,
    trays: &[Tray],
    built: Option<&Built>,
    whys: &[Option<String>],
) -> Vec<TrayFate> {
    let fate = |new: &PlacedTray| {
        let count = plan.settled.trays.iter().filter(|t| t.name == new.name).count();
        let was = old.settled.trays.iter().find(|t| t.name == new.name && t.copy == new.copy);
        let index = built.into_iter().flat_map(|b| b.trays.iter()).position(|(kind, copy)| {
            *copy == new.copy && trays.get(*kind).is_some_and(|t| t.name == new.name)
        });
        let known = index.and_then(|i| whys.get(i).cloned()).flatten();
        let (fate, why) = match was.map(|was| compared(was, new)) {
            None => (Fate::Afresh, "it is new".into()),
            Some(Fate::Stays) => (Fate::Stays, String::new()),
            Some(Fate::Moves) => (Fate::Moves, "to make room".into()),
            Some(Fate::Altered) => {
                (Fate::Altered, "its dividers, its grip or how something stands in it".into())
            }
            Some(Fate::Afresh) => {
                (Fate::Afresh, known.unwrap_or_else(|| "no plan was found in which it stays".into()))
            }
        };
        TrayFate { tray: copy_name(&new.name, new.copy, count), fate, why }
    };
    plan.settled.trays.iter().map(fate).collect()
}

/// What an old tray and a new one have in common.
pub(crate) fn compared(was: &PlacedTray, new: &PlacedTray) -> Fate {
    let there = was.moved(new.at);
    let rooms = |t: &PlacedTray| {
        let mut all: Vec<_> = t.compartments.iter().map(|c| (c.part.clone(), c.at, c.size)).collect();
        all.sort();
        all
    };
    if (there.size, there.wall, there.floor, there.lid) != (new.size, new.wall, new.floor, new.lid)
        || rooms(&there) != rooms(new)
    {
        return Fate::Afresh;
    }
    let nested = |a: &PlacedTray, b: &PlacedTray| {
        a.compartments.iter().zip(&b.compartments).all(|(c, d)| match (&c.tray, &d.tray) {
            (Some(c), Some(d)) => compared(c, d) == Fate::Stays && c.at == d.at,
            (c, d) => c.is_none() && d.is_none(),
        })
    };
    let standing = |t: &PlacedTray| t.compartments.iter().map(|c| c.standing.clone()).collect::<Vec<_>>();
    if there.grip != new.grip
        || there.dividers != new.dividers
        || standing(&there) != standing(new)
        || !nested(&there, new)
    {
        return Fate::Altered;
    }
    if was.at == new.at { Fate::Stays } else { Fate::Moves }
}

//! The plan file of an arrangement that was found: value, bound, claim, lifts, notes.

use std::collections::BTreeMap;

use super::account::{Held, sunk_into};
use super::{Arrangement, Claim, ClaimState, Compartment, Lift, Note, Objective, Options, Plan};
use crate::finding::Finding;
use crate::job::{AccessOrder, Contents, Job, Tray, Use};
use crate::layout::bound::area_bound;
use crate::layout::build::{Built, copy_name, lift_nm3, lifts_are_cut};
use crate::layout::heights::candidates;
use crate::layout::instance::{Cost, Instance, TrayItem};
use crate::layout::lifts::{Seen, above, forced};
use crate::layout::pack::Rect;
use crate::length::Volume;
use crate::need::Space;
use crate::place::{Point, Size};
use crate::stop::Stop;
use crate::tray::{PartNeed, TrayNeeds};

/// What every part holds, by its name: contents, and the volume of its need where it is poured in.
pub(super) type Holdings = BTreeMap<String, (Volume, Option<Volume>)>;

/// What every part of these trays holds.
pub(super) fn holdings(trays: &[Tray], built: &Built) -> Holdings {
    let mut out = Holdings::new();
    for (tray, needs) in trays.iter().zip(&built.needs) {
        add(tray, needs, &mut out);
    }
    out
}

/// What trays and kept items hold together: what they claim beyond it is wasted.
pub(super) fn held_volume(job: &Job, trays: &[Tray], built: &Built) -> Volume {
    let mut sum = 0;
    for (tray, needs) in trays.iter().zip(&built.needs) {
        let mut own = Holdings::new();
        add(tray, needs, &mut own);
        sum += own.values().map(|(contents, _)| contents.nm3()).sum::<i128>() * tray.count as i128;
    }
    sum += job.kept.iter().map(|k| k.size.volume().nm3() * k.count as i128).sum::<i128>();
    Volume::from_nm3(sum)
}

fn add(tray: &Tray, needs: &TrayNeeds, out: &mut Holdings) {
    for (part, need) in tray.parts.iter().zip(&needs.parts) {
        match (need, &part.contents) {
            (PartNeed::Room(need), _) => {
                let poured = need.alternatives.iter().find_map(|a| match a.space {
                    Space::Soft { volume, .. } => Some(volume),
                    Space::Fixed { .. } => None,
                });
                out.insert(part.name.clone(), (need.contents, poured));
            }
            (PartNeed::Tray(inner, _), Contents::Tray(own)) => add(own, inner, out),
            _ => {}
        }
    }
}

/// What one compartment holds, for the account.
pub(super) fn held_in(c: &Compartment, holdings: &Holdings) -> Held {
    let (contents, poured) = holdings.get(&c.part).copied().unwrap_or((Volume::ZERO, None));
    let need = match c.need.size {
        Some(size) => size.volume(),
        None => poured.unwrap_or_else(|| c.size.volume()),
    };
    Held { contents, need }
}

/// Everything that can come off, as seen from above, and what each is called.
fn seen(job: &Job, a: &Arrangement) -> (Vec<Seen>, Vec<String>) {
    let body = |at: Point, size: Size| Seen {
        rect: Rect { x: at.x.nm(), y: at.y.nm(), w: size.w.nm(), d: size.d.nm() },
        bottom: at.z.nm(),
        top: (at.z + size.h).nm(),
    };
    let copies = |name: &str| a.trays.iter().filter(|t| t.name == name).count();
    let mut all = Vec::new();
    let mut names = Vec::new();
    for t in &a.trays {
        all.push(body(t.at, t.size));
        names.push(copy_name(&t.name, t.copy, copies(&t.name)));
    }
    for k in &a.kept {
        let count = job.kept.iter().find(|own| own.name == k.name).map_or(1, |own| own.count);
        all.push(body(k.at, k.size));
        names.push(copy_name(&k.name, k.copy, count));
    }
    // What is sunk comes off before the trays around it, as if it lay on them.
    let top = super::sink::top(a);
    for c in &a.cover {
        let own = body(c.at, c.size);
        all.push(Seen { bottom: own.bottom.max(top.nm()).min(own.top), ..own });
        names.push(c.name.clone());
    }
    (all, names)
}

/// Lifts of every tray, and what they cost together.
pub(super) fn lifts(job: &Job, a: &Arrangement) -> (Vec<Lift>, Volume) {
    let (bodies, names) = seen(job, a);
    let over = above(&bodies);
    let mut cost = 0i128;
    let mut out = Vec::with_capacity(a.trays.len());
    for (i, t) in a.trays.iter().enumerate() {
        cost += lift_nm3(job, t.usage) * over[i].len() as i128;
        let mut first = over[i].clone();
        // The highest first: it is what the hand meets.
        first.sort_by_key(|&j| (-bodies[j].bottom, j));
        out.push(Lift {
            tray: names[i].clone(),
            first: first.into_iter().map(|j| names[j].clone()).collect(),
        });
    }
    (out, Volume::from_nm3(cost))
}

/// What was found: a layout, its cost and bound on the grid, and the two arrangements made of it.
pub(super) struct Answer<'a> {
    /// What the search found it to cost, in cubed grid steps.
    pub(super) cost: Cost,
    /// The search's bound on that, in cubed grid steps.
    pub(super) bound: Option<i64>,
    /// Seed and nodes, for the file.
    pub(super) options: &'a Options,
    /// Least claimed volume.
    pub(super) tight: Arrangement,
    /// Spare room shared out.
    pub(super) settled: Arrangement,
    /// Met on the way.
    pub(super) findings: Vec<Finding>,
}

/// The whole file.
///
/// The bound holds for the gridded problem: it lies as far below the plan's exact value as the search's bound lies
/// below the value on the grid. With lifts strictly first or last, and with so many steps and trays that a lift would be too
/// large a number, the search's weights are not the file's: what it knows
/// of claims, with the lifts that nothing avoids, is carried over. With lifts first its bound may hold lifts at a weight
/// beyond every claim; then only the bound without them says what is claimed.
pub(super) fn written(job: &Job, built: &Built, claim: &Claim, answer: Answer) -> Plan {
    let (_, access) = lifts(job, &answer.tight);
    let (lifts, _) = lifts(job, &answer.settled);
    let wasted = answer.tight.volumes_mm3.wasted;
    let value = wasted + access;
    let step = i128::from(job.grid.nm()).pow(3);
    // A plan that costs less has shown that the bound is none: nothing is proven then.
    let holds = answer.bound.filter(|b| *b <= answer.cost.value());
    let bound = match (holds, job.wishes.access_order) {
        (None, _) => 0,
        (Some(bound), AccessOrder::Together) if !lifts_are_cut(job) => {
            value.nm3() - i128::from(answer.cost.value() - bound) * step
        }
        (Some(bound), order) => {
            let claimed = match order {
                AccessOrder::First | AccessOrder::Together => unweighed_bound(job, built).unwrap_or(0),
                AccessOrder::Last => bound - forced(&built.instance),
            };
            wasted.nm3() - i128::from(answer.cost.claimed - claimed) * step + forced_nm3(job, built)
        }
    };
    // What could sink at most takes that much of what is claimed; the plan has that already for what is sunk in it.
    let could: Volume = job.cover.iter().filter(|c| c.sink).map(|c| c.size.volume()).sum();
    let bound = bound - (could - sunk_into(&answer.tight)).nm3();
    let bound = Volume::from_nm3(if bound > value.nm3() { 0 } else { bound.max(0) });
    let mut claim = claim.clone();
    (claim.state, claim.gap) = if value == bound {
        (ClaimState::Proven, Some(0.0))
    } else if bound > Volume::ZERO {
        (ClaimState::Gap, Some(1.0 - bound.nm3() as f64 / value.nm3() as f64))
    } else {
        (ClaimState::Unproven, None)
    };
    // What is proven cannot become better by more time.
    let ended = cut_short(&answer.options.stop).filter(|_| claim.state != ClaimState::Proven);
    let ended = ended.map(|why| Finding::listed("P011", why));
    Plan {
        format: "traywright-plan".into(),
        version: 1,
        title: job.title.clone(),
        brief_sha256: job.digest.clone(),
        seed: answer.options.seed,
        nodes: answer.options.nodes,
        claim,
        objective_mm3: Objective { wasted, access, value, bound },
        tight: answer.tight,
        settled: answer.settled,
        lifts,
        left_out: Vec::new(),
        findings: job.findings.iter().chain(&answer.findings).chain(&ended).map(note).collect(),
    }
}

/// What ended a search from outside, where something did: the caller, who comes first, or the clock.
pub(super) fn cut_short(stop: &Stop) -> Option<&'static str> {
    if stop.is_raised() {
        Some("the search was interrupted before it was through")
    } else if stop.late() {
        Some("the time for the search was over before it was through")
    } else {
        None
    }
}

/// What is claimed at least, whatever is lifted; `None` where nothing is known.
fn unweighed_bound(job: &Job, built: &Built) -> Option<i64> {
    let trays = built.instance.trays.iter().map(|t| TrayItem { weight: 0, ..t.clone() }).collect();
    let instance = Instance { trays, ..built.instance.clone() };
    if job.free.is_empty() { area_bound(&instance, &candidates(&instance)) } else { None }
}

/// Lifts that nothing avoids, at the job's own price; which trays there are for free parts is not sure.
fn forced_nm3(job: &Job, built: &Built) -> i128 {
    let mut instance = built.instance.clone();
    let mut sum = 0;
    for usage in [Use::Always, Use::Setup, Use::Seldom] {
        for (item, (kind, _)) in instance.trays.iter_mut().zip(&built.trays) {
            item.weight = i64::from(built.uses[*kind] == usage && *kind < job.trays.len());
        }
        sum += i128::from(forced(&instance)) * lift_nm3(job, usage);
    }
    sum
}

/// A finding as it stands in a plan.
pub(super) fn note(f: &Finding) -> Note {
    let about = if f.place.path.is_empty() { String::new() } else { format!("{}: ", f.place.path) };
    Note { code: f.code.to_string(), text: format!("{about}{} — {}", f.cause, f.remedy) }
}

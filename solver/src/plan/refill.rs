//! A plan as it stands for a job that asks for more or less of a part: the same trays and dividers, no search.

use std::collections::BTreeMap;

use super::account::{Held, account};
use super::arrange::{compartment, words};
use super::grip::choose_grips;
use super::write::{lifts, note};
use super::{Arrangement, Claim, ClaimState, Compartment, Objective, PlacedTray, Plan};
use crate::check::check;
use crate::job::{Contents, Job, Part, Tray};
use crate::length::Volume;
use crate::need::{self, Need, Space};
use crate::place::Cuboid;

/// The plan's settled arrangement, every compartment holding what `job` asks for, where all of it goes in; it has
/// passed the checker. `None` where something does not go in, or where the job differs in more than amounts.
///
/// Every part stands as it did where it still can. The new plan claims nothing about how good it is: its tight and
/// settled arrangements are one.
pub(crate) fn refilled(job: &Job, plan: &Plan) -> Option<Plan> {
    let mut arrangement = plan.settled.clone();
    let rules: Vec<Tray> = arrangement.trays.iter().map(|t| rule(job, t)).collect::<Option<_>>()?;
    let mut needs = BTreeMap::new();
    rules.iter().for_each(|tray| add(&tray.parts, &mut needs));
    for tray in &mut arrangement.trays {
        refill(tray, &needs)?;
    }
    let held = |c: &Compartment| held_in(c, &needs);
    arrangement.volumes_mm3 = account(job.container.interior, &arrangement, &held);
    let kinds: Vec<usize> = (0..rules.len()).collect();
    let findings = choose_grips(&rules, &kinds, &mut arrangement, &held, job.container.on_side);
    let filled = file(job, plan, arrangement, findings.iter().chain(&job.findings).map(note).collect());
    check(job, &filled).is_empty().then_some(filled)
}

/// The tray of the job that this one is, or the one that was made for the free parts it holds.
fn rule(job: &Job, placed: &PlacedTray) -> Option<Tray> {
    if let Some(tray) = job.trays.iter().find(|t| t.name == placed.name) {
        return Some(tray.clone());
    }
    let of = |c: &Compartment| job.free.iter().find(|f| f.part.name == c.part).map(|f| f.part.clone());
    let parts: Vec<Part> = placed.compartments.iter().map(of).collect::<Option<_>>()?;
    Some(Tray {
        name: placed.name.clone(),
        usage: placed.usage,
        count: 1,
        lid: job.container.on_side,
        grip: None,
        span: 1,
        spare_share: 1000,
        low: false,
        held: None,
        size: None,
        joint: None,
        divider_height: None,
        parts,
    })
}

fn add(parts: &[Part], needs: &mut BTreeMap<String, Need>) {
    for part in parts {
        match &part.contents {
            Contents::Tray(own) => add(&own.parts, needs),
            _ => drop(needs.insert(part.name.clone(), need::of(part))),
        }
    }
}

/// Puts what is needed now into every compartment of a tray; `None` where something does not go in.
fn refill(tray: &mut PlacedTray, needs: &BTreeMap<String, Need>) -> Option<()> {
    for c in &mut tray.compartments {
        if let Some(inner) = &mut c.tray {
            refill(inner, needs)?;
            continue;
        }
        let need = needs.get(&c.part)?;
        let ways = need.alternatives.iter().flat_map(|a| [(a, false), (a, true)]);
        let (a, turned) = ways
            .filter(|(a, turned)| {
                (!turned || a.turnable) && a.space.fits(c.size.w, c.size.d, c.size.h, *turned)
            })
            .min_by_key(|(a, turned)| {
                let (standing, lean, _) = words(a);
                (standing != c.standing, *turned != c.turn, (lean - c.lean_deg).abs())
            })?;
        *c = compartment(&c.part, need, a, Cuboid { at: c.at, size: c.size }, turned);
    }
    Some(())
}

fn held_in(c: &Compartment, needs: &BTreeMap<String, Need>) -> Held {
    let need = needs.get(&c.part);
    let poured = need.into_iter().flat_map(|n| &n.alternatives).find_map(|a| match a.space {
        Space::Soft { volume, .. } => Some(volume),
        Space::Fixed { .. } => None,
    });
    let room = c.need.size.map(|size| size.volume());
    Held {
        contents: need.map_or(Volume::ZERO, |n| n.contents),
        need: room.or(poured).unwrap_or_else(|| c.size.volume()),
    }
}

fn file(job: &Job, plan: &Plan, arrangement: Arrangement, findings: Vec<super::Note>) -> Plan {
    let (lifts, access) = lifts(job, &arrangement);
    let wasted = arrangement.volumes_mm3.wasted;
    Plan {
        title: job.title.clone(),
        brief_sha256: job.digest.clone(),
        claim: Claim {
            state: ClaimState::Unproven,
            gap: None,
            bound_by: "none".into(),
            ..plan.claim.clone()
        },
        objective_mm3: Objective { wasted, access, value: wasted + access, bound: Volume::ZERO },
        tight: arrangement.clone(),
        settled: arrangement,
        lifts,
        findings,
        ..plan.clone()
    }
}

//! The trays of a second version: those of the brief, and for parts without one those of the old plan.

use std::collections::BTreeSet;

use crate::job::{FreePart, Job, Tray};
use crate::plan::Plan;
use crate::plan::group::ways;

/// The trays to place: free parts stay together as the old plan has them, new ones share trays of their own.
pub(super) fn trays(job: &Job, old: &Plan) -> Vec<Tray> {
    let mut out = job.trays.clone();
    let mut placed: BTreeSet<&str> = BTreeSet::new();
    for made in &old.settled.trays {
        if job.trays.iter().any(|t| t.name == made.name) || out.iter().any(|t| t.name == made.name) {
            continue;
        }
        let own: Vec<&FreePart> = made
            .compartments
            .iter()
            .filter_map(|c| job.free.iter().find(|f| f.part.name == c.part && f.usage == made.usage))
            .filter(|f| placed.insert(&f.part.name))
            .collect();
        // A name that is taken by something else now would be told twice.
        let taken = job
            .kept
            .iter()
            .map(|k| &k.name)
            .chain(job.cover.iter().map(|c| &c.name))
            .any(|n| *n == made.name);
        let (Some(first), false) = (own.first(), taken) else {
            own.iter().for_each(|f| {
                placed.remove(f.part.name.as_str());
            });
            continue;
        };
        let alone = Job { free: vec![(*first).clone()], ..job.clone() };
        if let Some(mut tray) = ways(&alone).into_iter().flatten().next() {
            tray.name = made.name.clone();
            tray.parts = own.iter().map(|f| f.part.clone()).collect();
            out.push(tray);
        }
    }
    let left: Vec<FreePart> =
        job.free.iter().filter(|f| !placed.contains(f.part.name.as_str())).cloned().collect();
    if !left.is_empty() {
        // Names of trays that are there already are not given again.
        let rest = Job { free: left, trays: out.clone(), ..job.clone() };
        out.extend(ways(&rest).into_iter().next().unwrap_or_default());
    }
    out
}

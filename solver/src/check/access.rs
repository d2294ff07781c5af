//! Access: what must be lifted off before a tray can come out, and what that costs.

use std::collections::{BTreeMap, BTreeSet};

use super::Report;
use super::extent::Extent;
use super::view::View;
use crate::job::Use;
use crate::length::Volume;
use crate::plan::Plan;

/// For every tray by its name, what lies over it, directly or through others.
type Lifts = BTreeMap<String, BTreeSet<String>>;

pub(super) fn check(tight: &View, settled: &View, plan: &Plan, report: &mut Report) {
    let (_, counted) = lifts(tight);
    let (over, built) = lifts(settled);
    let mut cost = 0i128;
    for t in &tight.a.trays {
        let lifted = counted.get(&called(tight, &t.name, t.copy)).map_or(0, BTreeSet::len);
        cost += weight(tight, t.usage).saturating_mul(lifted as i128);
    }
    if plan.objective_mm3.access.nm3() != cost {
        let cause =
            format!("it says {}, the lifts cost {}", plan.objective_mm3.access, Volume::from_nm3(cost));
        report.fault("C100", "objective_mm3 › access", cause);
    }
    let mut told = BTreeSet::new();
    for lift in &plan.lifts {
        let path = format!("lifts › \"{}\"", lift.tray);
        let (Some(first), Some(before)) = (built.get(&lift.tray), counted.get(&lift.tray)) else {
            report.fault("C101", &path, "there is no such tray");
            continue;
        };
        if !told.insert(&lift.tray) {
            report.fault("C101", &path, "its lifts are told twice");
        }
        let mut done: BTreeSet<&str> = BTreeSet::new();
        for name in &lift.first {
            if !first.contains(name) && !before.contains(name) {
                report.fault("C102", &path, format!("\"{name}\" does not lie over it"));
            }
            if let Some(other) = over.get(name).and_then(|o| o.iter().find(|o| !done.contains(o.as_str()))) {
                report.fault("C103", &path, format!("\"{other}\" lies over \"{name}\" and comes out first"));
            }
            if !done.insert(name) {
                report.fault("C102", &path, format!("\"{name}\" is lifted twice"));
            }
        }
        for name in first.iter().filter(|n| !done.contains(n.as_str())) {
            report.fault("C102", &path, format!("\"{name}\" lies over it and is not told"));
        }
        for name in first.difference(before) {
            report.fault(
                "C104",
                &path,
                format!("\"{name}\" lies over it settled, but not in the tight plan"),
            );
        }
    }
    for name in built.keys().filter(|n| !told.contains(n)) {
        report.fault("C101", "lifts", format!("tray \"{name}\" is missing"));
    }
}

/// A lift's cost in nm³, rounded down to whole cubed steps of the search.
fn weight(view: &View, usage: Use) -> i128 {
    let w = &view.job.wishes;
    let share = match usage {
        Use::Always => w.access_always,
        Use::Setup => w.access_setup,
        Use::Seldom => w.access_seldom,
    };
    let cost = view.interior().volume().saturating_mul(i128::from(share)) / 1_000_000;
    cost - cost % i128::from(view.job.grid.nm().max(1)).pow(3)
}

/// A name with the number of its copy where there are several.
fn called(view: &View, name: &str, copy: usize) -> String {
    let trays = view.job.trays.iter().find(|t| t.name == name).map(|t| t.count);
    let count = trays.or_else(|| view.job.kept.iter().find(|k| k.name == name).map(|k| k.count));
    if count.unwrap_or(1) > 1 { format!("{name} #{copy}") } else { name.to_string() }
}

/// Everything that lies over every body, and the same for trays alone.
fn lifts(view: &View) -> (Lifts, Lifts) {
    let a = view.a;
    let mut bodies: Vec<(String, Extent)> = Vec::new();
    for t in &a.trays {
        bodies.push((called(view, &t.name, t.copy), Extent::new(t.at, t.size)));
    }
    for b in &a.kept {
        bodies.push((called(view, &b.name, b.copy), Extent::new(b.at, b.size)));
    }
    for b in &a.cover {
        let mut e = Extent::new(b.at, b.size);
        // What is sunk comes off first, as if it lay on the rims.
        e.lo[2] = e.lo[2].max(view.layers_top()).min(e.hi[2]);
        bodies.push((b.name.clone(), e));
    }
    // From the top down: whatever lies over a body has its own list ready, since it starts higher.
    let mut order: Vec<usize> = (0..bodies.len()).collect();
    order.sort_by_key(|&i| std::cmp::Reverse(bodies[i].1.lo[2]));
    let mut over: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); bodies.len()];
    for (done, &i) in order.iter().enumerate() {
        let mut mine = BTreeSet::new();
        for &j in &order[..done] {
            let (own, other) = (&bodies[i].1, &bodies[j].1);
            if other.lo[2] >= own.hi[2] && other.over(own) {
                mine.insert(j);
                mine.extend(&over[j]);
            }
        }
        over[i] = mine;
    }
    let mut named = Lifts::new();
    for ((name, _), set) in bodies.iter().zip(&over) {
        named.insert(name.clone(), set.iter().map(|&j| bodies[j].0.clone()).collect());
    }
    let trays: BTreeSet<&String> = bodies.iter().take(a.trays.len()).map(|(name, _)| name).collect();
    let own = named.iter().filter(|(name, _)| trays.contains(name)).map(|(n, s)| (n.clone(), s.clone()));
    let own = own.collect();
    (named, own)
}

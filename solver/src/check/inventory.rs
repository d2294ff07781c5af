//! Everything is there exactly once, or said to be left out; nothing else is there.

use std::collections::{BTreeMap, BTreeSet};

use super::Report;
use super::view::View;
use crate::job::{Contents, Job, Part, Tray};
use crate::plan::Plan;

/// Names left out are known and told once.
pub(super) fn left_out(job: &Job, plan: &Plan, report: &mut Report) {
    let mut known: BTreeSet<String> = BTreeSet::new();
    for tray in &job.trays {
        tray_names(tray, &mut known);
    }
    known.extend(job.free.iter().map(|f| f.part.name.clone()));
    known.extend(job.cover.iter().map(|c| c.name.clone()));
    for kept in &job.kept {
        known.insert(kept.name.clone());
        known.extend((1..=kept.count).map(|k| format!("{} #{k}", kept.name)));
    }
    let mut told = BTreeSet::new();
    for name in &plan.left_out {
        if !known.contains(name) {
            report.fault("C022", "left_out", format!("nothing in the brief is called \"{name}\""));
        }
        if !told.insert(name) {
            report.fault("C022", "left_out", format!("\"{name}\" is told twice"));
        }
    }
}

fn tray_names(tray: &Tray, known: &mut BTreeSet<String>) {
    known.insert(tray.name.clone());
    for part in &tray.parts {
        known.insert(part.name.clone());
        if let Contents::Tray(inner) = &part.contents {
            tray_names(inner, known);
        }
    }
}

/// What there must be, and what there is, by kind, name and copy.
type Counts<'a> = BTreeMap<(&'static str, &'a str, usize), (usize, usize)>;

pub(super) fn check(view: &View, report: &mut Report) {
    let (job, a) = (view.job, view.a);
    let mut counts = Counts::new();
    let mut expect = |kind, name, copy| counts.entry((kind, name, copy)).or_default().0 += 1;
    for tray in &job.trays {
        if left(view, &tray.name) || tray.parts.iter().all(|p| left(view, &p.name)) {
            continue;
        }
        (1..=tray.count).for_each(|k| expect("tray", &tray.name, k));
    }
    for kept in &job.kept {
        let copies = (1..=kept.count).filter(|k| !left(view, &format!("{} #{k}", kept.name)));
        copies.filter(|_| !left(view, &kept.name)).for_each(|k| expect("kept item", &kept.name, k));
    }
    job.cover.iter().filter(|c| !left(view, &c.name)).for_each(|c| expect("cover item", &c.name, 1));
    job.free.iter().filter(|f| !left(view, &f.part.name)).for_each(|f| expect("part", &f.part.name, 1));

    let named: BTreeSet<&str> = job.trays.iter().map(|t| t.name.as_str()).collect();
    let free: BTreeMap<&str, crate::job::Use> =
        job.free.iter().map(|f| (f.part.name.as_str(), f.usage)).collect();
    let mut find = |kind, name, copy| counts.entry((kind, name, copy)).or_default().1 += 1;
    for tray in &a.trays {
        if named.contains(tray.name.as_str()) {
            find("tray", &tray.name, tray.copy);
            continue;
        }
        // A tray made for parts without one: it holds such parts only, all of its use.
        let path = format!("{} › tray \"{}\"", view.name, tray.name);
        tray.compartments.iter().for_each(|c| find("part", &c.part, 1));
        if tray.compartments.is_empty() || tray.copy != 1 {
            report.fault("C021", &path, "the brief has no such tray");
        }
        for c in &tray.compartments {
            if free.get(c.part.as_str()).is_some_and(|usage| *usage != tray.usage) {
                report.fault("C023", &path, format!("\"{}\" has another use than the tray", c.part));
            }
        }
    }
    a.kept.iter().for_each(|b| find("kept item", &b.name, b.copy));
    a.cover.iter().for_each(|b| find("cover item", &b.name, b.copy));
    told(view.name, &counts, report);

    let mut names: BTreeSet<(&str, usize)> = BTreeSet::new();
    let kept: BTreeSet<&str> = job.kept.iter().map(|k| k.name.as_str()).collect();
    for tray in &a.trays {
        if !names.insert((&tray.name, tray.copy)) || kept.contains(tray.name.as_str()) {
            report.fault("C021", view.name, format!("\"{}\" is the name of two things", tray.name));
        }
    }
    parts(view, report);
    order(view, report);
}

fn left(view: &View, name: &str) -> bool {
    view.left.contains(name)
}

fn told(path: &str, counts: &Counts, report: &mut Report) {
    for ((kind, name, copy), (wanted, found)) in counts {
        let what = format!("{kind} \"{name}\" #{copy}");
        if wanted > found {
            report.fault("C020", path, format!("{what} is neither placed nor left out"));
        } else if found > wanted {
            report.fault(
                "C021",
                path,
                format!("{what} is placed {found} times and asked for {wanted} times"),
            );
        }
    }
}

/// The parts of every tray, nested ones too, and what the tray itself is called and used as.
fn parts(view: &View, report: &mut Report) {
    for placed in &view.trays {
        let (rule, tray) = (placed.rule, placed.tray);
        let mut counts = Counts::new();
        rule.parts
            .iter()
            .filter(|p| !left(view, &p.name))
            .for_each(|p| counts.entry(("part", p.name.as_str(), 1)).or_default().0 += 1);
        tray.compartments.iter().for_each(|c| counts.entry(("part", c.part.as_str(), 1)).or_default().1 += 1);
        told(&placed.path, &counts, report);
        if tray.usage != rule.usage {
            report.fault("C023", &placed.path, format!("its use is {:?}, not {:?}", rule.usage, tray.usage));
        }
        if !placed.outer && (tray.name != rule.name || tray.copy != 1 || !tray.layers.is_empty()) {
            let cause = format!("the nested tray is called \"{}\" #{} here", tray.name, tray.copy);
            report.fault("C021", &placed.path, cause);
        }
    }
    for room in &view.rooms {
        if nested(room.part) != room.c.tray.is_some() {
            report.fault(
                "C020",
                &room.path,
                "a nested tray is missing, or there is one that was not asked for",
            );
        }
    }
}

fn nested(part: &Part) -> bool {
    matches!(part.contents, Contents::Tray(_))
}

/// Trays stand in the order of the brief, copies one by one, those made for free parts last.
fn order(view: &View, report: &mut Report) {
    let place: BTreeMap<&str, usize> =
        view.job.trays.iter().enumerate().map(|(i, t)| (t.name.as_str(), i)).collect();
    let key = |name: &str, copy| (place.get(name).copied().unwrap_or(usize::MAX), copy);
    if !view.a.trays.is_sorted_by_key(|t| key(&t.name, t.copy)) {
        report.fault("C024", view.name, "trays are not in the order of the brief");
    }
}

/// Both arrangements hold the same trays, made of the same parts and lifted alike.
pub(super) fn alike(tight: &View, settled: &View, report: &mut Report) {
    let content = |view: &View| -> BTreeSet<(String, usize, Vec<String>)> {
        let parts = |t: &crate::plan::PlacedTray| {
            let mut all: Vec<String> = t.compartments.iter().map(|c| c.part.clone()).collect();
            all.sort();
            all
        };
        view.a.trays.iter().map(|t| (t.name.clone(), t.copy, parts(t))).collect()
    };
    if content(tight) != content(settled) {
        report.fault("C025", "settled", "its trays are not those of the tight plan");
    }
}

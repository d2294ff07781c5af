//! Findings with their remedies, the assumptions that were used, and where the report comes from.

use std::collections::BTreeSet;

use super::{ReportExtra, marked, wrap};
use crate::draw::scene::Scene;
use crate::draw::svg::{escape, one_line, plain};
use crate::draw::words;
use crate::finding::index;
use crate::finding::{Finding, Severity};
use crate::job::{Contents, Job, Part, Stock};
use crate::length::Volume;
use crate::plan::Plan;

/// A finding as the report shows it.
pub(in crate::draw) struct Shown {
    pub(in crate::draw) severity: Severity,
    pub(in crate::draw) code: String,
    pub(in crate::draw) text: String,
}

/// Findings of job, plan and caller, each once, the gravest first.
pub(in crate::draw) fn all_findings(job: &Job, plan: &Plan, extra: &[Finding]) -> Vec<Shown> {
    let mut out: Vec<Shown> = Vec::new();
    for f in job.findings.iter().chain(extra) {
        let about = if f.place.path.is_empty() { String::new() } else { format!("{}: ", f.place.path) };
        let text = one_line(&format!("{about}{} {}", sentence(&f.cause), sentence(&f.remedy)));
        out.push(Shown { severity: f.severity, code: f.code.to_string(), text });
    }
    for n in &plan.findings {
        // A plan file repeats what the job found, as one text.
        let known = job.findings.iter().chain(extra).any(|f| f.code == n.code && n.text.contains(&f.cause));
        if !known {
            let severity = index::find(&n.code).map_or(Severity::Note, |e| e.severity);
            out.push(Shown { severity, code: plain(&n.code), text: one_line(&n.text) });
        }
    }
    out.sort_by_key(|s| std::cmp::Reverse(s.severity));
    out
}

/// With a capital at its head and a stop at its end.
fn sentence(text: &str) -> String {
    let text = text.trim();
    let mut chars = text.chars();
    let head: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    let stop = if text.ends_with(['.', '!', '?']) || text.is_empty() { "" } else { "." };
    format!("{head}{}{stop}", chars.as_str())
}

fn severity(s: Severity) -> (&'static str, &'static str) {
    match s {
        Severity::Note => ("note", "Note"),
        Severity::Warning => ("warning", "Warning"),
        Severity::Fault => ("fault", "Fault"),
    }
}

/// Warnings and notes; what was left out comes first.
pub(super) fn findings(job: &Job, plan: &Plan, extra: &ReportExtra) -> String {
    let mut items = String::new();
    if !plan.left_out.is_empty() {
        let names: Vec<String> = plan.left_out.iter().map(|n| plain(n)).collect();
        items.push_str(&format!(
            "<li class=\"fault\"><b>Left out</b> {} found no place.</li>\n",
            escape(&names.join(", "))
        ));
    }
    for f in all_findings(job, plan, &extra.findings) {
        let (class, word) = severity(f.severity);
        items.push_str(&format!(
            "<li class=\"{class}\"><b>{word} {}</b> {}</li>\n",
            escape(&f.code),
            marked(&f.text)
        ));
    }
    if items.is_empty() {
        return String::new();
    }
    wrap("findings", "Worth knowing before cutting", &format!("<ul class=\"notes\">\n{items}</ul>\n"))
}

/// A thickness with the name of its stock where that is another than the walls'.
fn of_stock(thickness: String, stock: Option<&Stock>) -> String {
    match stock {
        Some(s) => format!("{thickness} ({})", plain(&s.name)),
        None => thickness,
    }
}

/// All parts of a job, those in nested trays too.
fn parts<'a>(list: impl Iterator<Item = &'a Part>, out: &mut Vec<&'a Part>) {
    for p in list {
        out.push(p);
        if let Contents::Tray(t) = &p.contents {
            parts(t.parts.iter(), out);
        }
    }
}

/// The numbers that the brief gave or the program assumed.
pub(super) fn assumptions(job: &Job, scene: &Scene<'_>) -> String {
    let u = scene.units;
    let c = &job.container;
    let mut rows: Vec<(&str, String)> = vec![
        ("Clearance between bodies", u.with_sign(c.between)),
        ("Clearance to the sides of the box", u.with_sign(c.side)),
        ("Kept free under the lid", u.with_sign(c.lid_room)),
        ("Walls", format!("{} ({}, measured)", u.with_sign(job.stock.thickness), plain(&job.stock.name))),
        ("Floors and lids", of_stock(u.with_sign(job.floor), job.floor_stock.as_ref())),
        ("Dividers", of_stock(u.with_sign(job.divider), job.divider_stock.as_ref())),
        ("Step of the search", format!("{} mm", words::trimmed(job.grid.to_mm_f64(), 4))),
        ("Layers at most", job.layers.most.to_string()),
    ];
    let density = |s: &Stock| Some(format!("{} kg/m³ ({})", s.density?, plain(&s.name)));
    let mut stocks = vec![&job.stock];
    for other in [&job.floor_stock, &job.divider_stock].into_iter().flatten() {
        if stocks.iter().all(|s| s.name != other.name) {
            stocks.push(other);
        }
    }
    let densities: Vec<String> = stocks.into_iter().filter_map(density).collect();
    if !densities.is_empty() {
        rows.push(("Density of stock", densities.join(", ")));
    }
    if c.on_side {
        rows.push(("Stored", "on its side: nothing may slide out of a compartment".into()));
    }
    let mut all = Vec::new();
    parts(job.trays.iter().flat_map(|t| &t.parts).chain(job.free.iter().map(|f| &f.part)), &mut all);
    let mut sets: [BTreeSet<i64>; 6] = Default::default();
    for p in &all {
        let mut add = |k: usize, v: i64| sets.get_mut(k).map(|s| s.insert(v));
        match &p.contents {
            Contents::Loose(l) => {
                add(0, l.level);
                add(1, l.finger.nm());
            }
            Contents::Stack(s) => {
                add(2, s.ease.nm());
                add(3, s.finger.nm());
                add(4, s.browse);
            }
            Contents::Solid(s) => {
                add(5, s.ease.nm());
            }
            Contents::Tray(_) => {}
        }
    }
    let lengths = |s: &BTreeSet<i64>| {
        let all: Vec<String> = s.iter().map(|&v| u.len(crate::length::Length::from_nm(v))).collect();
        format!("{} {}", all.join(", "), u.sign())
    };
    let shares = |s: &BTreeSet<i64>| {
        let all: Vec<String> =
            s.iter().map(|&v| format!("{} %", words::trimmed(v as f64 / 10.0, 1))).collect();
        all.join(", ")
    };
    let [level, finger, ease, beside, browse, block] = &sets;
    for (name, set, percent) in [
        ("Loose parts: filled to", level, true),
        ("Loose parts: no side under", finger, false),
        ("Stacks: ease on the face", ease, false),
        ("Stacks: finger room beside", beside, false),
        ("Rows: browsing room", browse, true),
        ("Solids: ease around", block, false),
    ] {
        if !set.is_empty() {
            rows.push((name, if percent { shares(set) } else { lengths(set) }));
        }
    }
    let w = &job.wishes;
    let interior = job_interior_ml(scene);
    let lift = |m: i64| format!("{} ml", words::ml_f64(interior * m as f64 / 1e6));
    rows.push((
        "One lift less is worth",
        format!(
            "{} of waste for a tray always needed, {} at the start, {} for one seldom needed",
            lift(w.access_always),
            lift(w.access_setup),
            lift(w.access_seldom)
        ),
    ));
    let mut out = String::from(
        "<p>Given by the brief or, where it is silent, usual values that a brief can change. A number that you \
         have measured is always better.</p>\n<dl class=\"pairs\">\n",
    );
    for (name, value) in rows {
        out.push_str(&format!("<dt>{name}</dt><dd>{}</dd>\n", escape(&value)));
    }
    out.push_str("</dl>\n");
    wrap("assumptions", "What was assumed", &out)
}

/// Interior from the scene, in floating numbers: no product of hostile lengths can overflow.
fn job_interior_ml(scene: &Scene<'_>) -> f64 {
    scene.interior.w() * scene.interior.d() * scene.interior.h() / 1e3
}

/// What this report is of, so that it can be made again.
pub(super) fn colophon(plan: &Plan, extra: &ReportExtra) -> String {
    let digest: String = plain(&plan.brief_sha256).chars().take(12).collect();
    let brief = super::brief_name(extra);
    let of = if brief.is_empty() { "the brief".to_string() } else { brief };
    let o = &plan.objective_mm3;
    let access = if o.access == Volume::ZERO { "0".to_string() } else { words::ml(o.access) };
    format!(
        "<footer>\n<p>Made by Traywright {} from {} (SHA-256 {}…), seed {}, {}. Tight plan: {} ml wasted and {} ml for \
         lifts, {} ml together, bound {} ml ({}).</p>\n</footer>\n",
        env!("CARGO_PKG_VERSION"),
        escape(&of),
        escape(&digest),
        plan.seed,
        words::nodes(plan.nodes),
        words::ml(o.wasted),
        access,
        words::ml(o.value),
        words::ml(o.bound),
        escape(&plain(&plan.claim.bound_by))
    )
}

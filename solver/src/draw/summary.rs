//! What a maker sees first: the plan in plain text, at most 100 columns wide.

use super::report::{all_findings, tightest};
use super::scene::Scene;
use super::svg::plain;
use super::{legend, order, play, spare, words};
use crate::finding::Severity;
use crate::job::Job;
use crate::panel;
use crate::plan::Plan;

/// Columns of a terminal that the summary keeps to.
const COLUMNS: usize = 100;

/// The summary of a plan for a terminal: claim, volume account, layers with their trays, the tightest
/// compartments, lifts, findings. No line is longer than 100 characters; no colours, no control codes.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// let text = traywright::draw::summary(&job, &plan);
/// assert!(text.starts_with("Quay\n") && text.contains("(1 layer, 1 tray, 1 compartment;"));
/// assert!(text.lines().all(|line| line.chars().count() <= 100));
/// ```
pub fn summary(job: &Job, plan: &Plan) -> String {
    let scene = Scene::new(job, plan);
    let mut out = Page::default();
    let u = scene.units;
    let v = &plan.settled.volumes_mm3;
    out.line("", &plain(&plan.title));
    out.line("", &words::claim(plan));
    if let Some(why) = words::cut_short(plan) {
        out.line("", &why);
    }
    out.line("", &words::class(&plan.claim));
    if !plan.left_out.is_empty() {
        let names: Vec<String> = plan.left_out.iter().map(|n| plain(n)).collect();
        out.line("", &format!("LEFT OUT: {}", names.join(", ")));
    }
    account(&mut out, plan);
    let parts: usize = plan.settled.trays.iter().map(|t| t.compartments.len()).sum();
    let holds = format!(
        "{}, {}, {}",
        words::count(scene.plan.layers.len(), "layer"),
        words::count(plan.settled.trays.len(), "tray"),
        words::count(parts, "compartment")
    );
    out.head(&format!("Layers, from the top down ({holds}; outer sizes in {})", u.sign()));
    for n in (1..=scene.plan.layers.len()).rev() {
        let (bottom, height) = scene.layer(n).unwrap_or_default();
        let free = spare::of_layer(&scene, n);
        out.line(
            "  ",
            &format!(
                "{n}: {} to {} {} above the floor, {:.0} % free beside bodies",
                u.mm(bottom),
                u.mm(bottom + height),
                u.sign(),
                free.percent
            ),
        );
        if let Some(play) = play::of_layer(&scene, n) {
            let most =
                |(mm, name): &(f64, String), way: &str| format!("{} {} {way} ({name})", u.mm(*mm), u.sign());
            let (width, depth) = (most(&play.width, "sideways"), most(&play.depth, "from front to back"));
            out.line("     ", &format!("loose by up to {width}, {depth}"));
        }
        let items: Vec<_> = scene.in_layer(n).collect();
        let name = column(items.iter().map(|i| i.name.as_str()), 34);
        for i in items {
            let what = i.tray.map_or("kept", |t| words::usage(t.usage));
            let size = u.size(i.size);
            let mut notes = Vec::new();
            if let Some(t) = i.tray {
                notes.push(words::count(t.compartments.len(), "compartment"));
            }
            notes.extend(legend::through(i.layers).strip_prefix(", ").map(str::to_string));
            let (name, notes) = (padded(&i.name, name), notes.join(", "));
            out.row(&format!("     {:<3}{name} {what:<8}{size:<24}{notes}", i.mark));
        }
    }
    for i in scene.cover() {
        let place = if scene.sunk(i) { "sunk into the top layer" } else { "on top" };
        out.line("  ", &format!("{place}: {} {}, {}", i.mark, i.name, u.size(i.size)));
    }
    if let Some(b) = spare::largest_block(job, &scene) {
        let size = format!("{} × {} × {} {}", u.mm(b.w()), u.mm(b.d()), u.mm(b.h()), u.sign());
        out.line("  ", &format!("Largest free block: {size} (spare in all: {} ml)", words::ml(v.spare)));
    }
    slack(&mut out, &scene);
    lifts(&mut out, plan, &scene);
    findings(&mut out, job, plan);
    out.text
}

fn account(out: &mut Page, plan: &Plan) {
    let v = &plan.settled.volumes_mm3;
    out.head(&format!("Where the room goes ({} ml)", words::ml(v.interior)));
    for t in super::account::terms(v) {
        let share = words::percent(t.volume, v.interior);
        // One sign for 2 % of the box.
        let bar = "#".repeat((share / 2.0).round().clamp(0.0, 50.0) as usize);
        let wasted = if t.wasted { "*" } else { " " };
        out.row(&format!("  {wasted}{:<9}{:>9} ml {:>5.1} %  {bar}", t.name, words::ml(t.volume), share));
    }
    let share = words::percent_words(v.wasted, v.interior);
    let tight = &plan.tight.volumes_mm3;
    out.line(
        "  ",
        &format!(
            "* wasted: {} ml, {share}; in the tight plan, by which the claim is judged, {} ml.",
            words::ml(v.wasted),
            words::ml(tight.wasted)
        ),
    );
}

fn slack(out: &mut Page, scene: &Scene<'_>) {
    let rows = tightest(scene);
    if rows.is_empty() {
        return;
    }
    let u = scene.units;
    out.head(&format!("Tightest compartments (slack: width, depth, height in {})", u.sign()));
    let rows: Vec<_> = rows.into_iter().take(5).collect();
    let names: Vec<String> = rows.iter().map(|(_, c)| plain(&c.part)).collect();
    let name = column(names.iter().map(String::as_str), 34);
    for ((tray, c), part) in rows.iter().zip(&names) {
        let s = &c.slack;
        let room = format!("{}, {}, {}", u.down(s.width), u.down(s.depth), u.down(s.height));
        out.row(&format!(
            "  {:<3}{} {room:<18}{:>5} %  {}",
            tray.mark,
            padded(part, name),
            words::trimmed(s.percent, 1),
            words::more(s)
        ));
    }
}

fn lifts(out: &mut Page, plan: &Plan, scene: &Scene<'_>) {
    if plan.lifts.is_empty() {
        return;
    }
    out.head("What to lift before a tray");
    // Trays under the same things stand in one line.
    let mut under: Vec<(&Vec<String>, Vec<String>)> = Vec::new();
    for l in &plan.lifts {
        match under.iter_mut().find(|(first, _)| **first == l.first) {
            Some((_, trays)) => trays.push(plain(&l.tray)),
            None => under.push((&l.first, vec![plain(&l.tray)])),
        }
    }
    under.sort_by_key(|(first, _)| first.len());
    for (first, trays) in under {
        let first: Vec<String> = first.iter().map(|n| plain(n)).collect();
        let first = if first.is_empty() { "nothing".to_string() } else { first.join(", ") };
        out.line("  ", &format!("{}: {first}", trays.join(", ")));
    }
    let marks: Vec<&str> = order::packing(scene).iter().map(|i| i.mark.as_str()).collect();
    out.line("  ", &format!("Pack in this order: {}", marks.join(" ")));
}

fn findings(out: &mut Page, job: &Job, plan: &Plan) {
    let all = all_findings(job, plan, &panel::notes(job, plan));
    if all.is_empty() {
        return;
    }
    out.head("Worth knowing before cutting");
    for f in all {
        let word = match f.severity {
            Severity::Fault => "fault",
            Severity::Warning => "warning",
            Severity::Note => "note",
        };
        out.line("  ", &format!("{word} {}: {}", f.code, f.text));
    }
}

/// Width of a column: the longest of its texts, but no more than `most`.
fn column<'t>(texts: impl Iterator<Item = &'t str>, most: usize) -> usize {
    texts.map(|t| t.chars().count()).max().unwrap_or(0).min(most)
}

/// A text in a column, cut with an ellipsis where it is longer.
fn padded(text: &str, columns: usize) -> String {
    let n = text.chars().count();
    if n > columns {
        let cut: String = text.chars().take(columns.saturating_sub(1)).collect();
        return format!("{cut}…");
    }
    format!("{text}{}", " ".repeat(columns - n))
}

/// Text that is being set.
#[derive(Default)]
struct Page {
    text: String,
}

impl Page {
    /// A heading after an empty line.
    fn head(&mut self, text: &str) {
        self.text.push('\n');
        self.line("", text);
    }

    /// A row of a table as it is, cut at the edge.
    fn row(&mut self, text: &str) {
        let cut = if text.chars().count() > COLUMNS { padded(text, COLUMNS) } else { text.to_string() };
        self.text.push_str(cut.trim_end());
        self.text.push('\n');
    }

    /// Running text, wrapped between words; further lines hang two columns deeper.
    fn line(&mut self, indent: &str, text: &str) {
        let hang = if indent.is_empty() { String::new() } else { format!("{indent}  ") };
        let mut line = String::from(indent);
        let mut empty = true;
        for word in text.split_whitespace() {
            let long = line.chars().count() + 1 + word.chars().count() > COLUMNS;
            if !empty && long {
                self.row(&line);
                line = hang.clone();
                empty = true;
            }
            if !empty {
                line.push(' ');
            }
            line.push_str(word);
            empty = false;
        }
        self.row(&line);
    }
}

//! For a screen, and for other programs.

use serde_json::{Value, json};

use super::{ALL, about, body, grown, share, shown, word};
use crate::draw::words::{Units, ml, trimmed};
use crate::length::Length;
use crate::place::{Cuboid, Size};
use crate::plan::{FromScratch, Plan};
use crate::shop::{Became, Differences, From};

/// Columns of a screen.
const COLUMNS: usize = 100;

/// Breaks a text between words, further lines standing in by `inner`.
fn wrapped(text: &str, first: &str, inner: usize) -> String {
    let mut out = String::new();
    let mut line = first.to_owned();
    let mut empty = true;
    for word in text.split(' ') {
        if !empty && line.chars().count() + 1 + word.chars().count() > COLUMNS {
            out += line.trim_end();
            out.push('\n');
            line = " ".repeat(inner);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line += word;
        empty = false;
    }
    out + line.trim_end() + "\n"
}

/// What differs, for a screen, at most 100 columns wide where names allow.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let solved = |changes: &[(String, String)]| {
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let (old, new) = (solved(&[]), solved(&[("box.interior".into(), "[120, 90, 50]".into())]));
/// # let it = shop::differences((&old.0, &old.1), (&new.0, &new.1)).unwrap();
/// // The box has become 10 mm higher.
/// use traywright::draw::differences_text;
/// assert!(differences_text(&it).contains("\nLayers, from the floor up, 40 → 50 mm high\n"));
/// let same = shop::differences((&old.0, &old.1), (&old.0, &old.1)).unwrap();
/// assert!(differences_text(&same).contains("\nNothing: "));
/// ```
pub fn differences_text(it: &Differences) -> String {
    let u = Units(it.unit);
    let mut out = format!("{}: what differs from the old plan\n", shown(&it.title));
    if it.is_nothing() {
        return out + "Nothing: every tray stays where it is, and no panel is cut.\n";
    }
    let (old, new) = it.figures;
    out += &wrapped(
        &format!(
            "Wasted as built {} ml, before {} ml; spare room {} ml, before {} ml.",
            ml(new.wasted),
            ml(old.wasted),
            ml(new.spare),
            ml(old.spare)
        ),
        "",
        0,
    );
    if it.interior.0 != it.interior.1 {
        out += &format!("Inside of the box {} {}\n", grown(u, it.interior.0, it.interior.1), u.sign());
    }
    if it.heights.0 != it.heights.1 {
        let list = |h: &[Length]| h.iter().map(|h| u.len(*h)).collect::<Vec<_>>().join(" | ");
        let (was, is) = (list(&it.heights.0), list(&it.heights.1));
        out += &format!("Layers, from the floor up, {was} → {is} {} high\n", u.sign());
    }
    out += &format!("\nTrays ({})\n", u.sign());
    for became in ALL {
        let all: Vec<_> = it.trays.iter().filter(|t| t.became == became).collect();
        if all.is_empty() {
            continue;
        }
        if became == Became::Stays {
            let names: Vec<String> = all.iter().map(|t| shown(&t.tray)).collect();
            out += &wrapped(&names.join(", "), &format!("  {}: ", word(became)), 4);
            continue;
        }
        out += &format!("  {}\n", word(became));
        let wide = all.iter().map(|t| shown(&t.tray).chars().count()).max().unwrap_or(0);
        for tray in all {
            let name = shown(&tray.tray);
            let gap = " ".repeat(wide - name.chars().count());
            out += format!("    {name}{gap}  {}", about(u, tray)).trim_end();
            out.push('\n');
        }
    }
    let rooms: Vec<_> = it.trays.iter().flat_map(|t| t.rooms.iter().map(move |r| (t, r))).collect();
    if !rooms.is_empty() {
        out += &format!("\nCompartments that grew or shrank (clear room, {})\n", u.sign());
        let name = |t: &str, part: &str| format!("{} › {}", shown(t), shown(part));
        let wide = rooms.iter().map(|(t, r)| name(&t.tray, &r.part).chars().count()).max().unwrap_or(0);
        for (tray, room) in &rooms {
            let name = name(&tray.tray, &room.part);
            let gap = " ".repeat(wide - name.chars().count());
            let told = match (room.old, room.new) {
                (Some(a), Some(b)) => grown(u, a, b),
                (None, Some(b)) => format!("new: {}", u.size(b)),
                (Some(a), None) => format!("gone: {}", u.size(a)),
                (None, None) => String::new(),
            };
            out += &format!("    {name}{gap}  {told}\n");
        }
    }
    let moved: Vec<_> = it.bodies.iter().filter(|b| b.became != Became::Stays).collect();
    if !moved.is_empty() {
        out += "\nKept and cover items\n";
        for one in moved {
            out += &format!("    {}  {}\n", shown(&one.name), body(u, one));
        }
    }
    out += &format!("\nCut again: {} ({})\n", share(it), u.sign());
    for tray in it.trays.iter().filter(|t| t.panels.iter().any(|p| p.from == From::Cut)) {
        if tray.panels.iter().all(|p| p.from == From::Cut) {
            let first = tray.panels.first().map_or("", |p| p.label.as_str());
            let last = tray.panels.last().map_or("", |p| p.label.as_str());
            out += &format!("  {}: all {} ({first} to {last})\n", shown(&tray.tray), tray.panels.len());
            continue;
        }
        out += &format!("  {}\n", shown(&tray.tray));
        for panel in tray.panels.iter().filter(|p| p.from == From::Cut) {
            let (w, d) = panel.size;
            out += &format!(
                "    {:<6} {:<14} {} × {} × {}\n",
                panel.label,
                shown(&panel.name),
                u.len(w),
                u.len(d),
                u.len(panel.thickness)
            );
        }
    }
    let renamed: Vec<_> = it
        .trays
        .iter()
        .flat_map(|t| t.panels.iter().map(move |p| (t, p)))
        .filter_map(|(t, p)| match &p.from {
            From::Relabelled { label, tray, name } => Some((t, p, label, tray, name)),
            _ => None,
        })
        .collect();
    if !renamed.is_empty() {
        out += "\nOnly called otherwise\n";
        for (tray, panel, label, was, name) in renamed {
            out += &format!(
                "    {:<6} {} of {}: was {label}, {} of {}\n",
                panel.label,
                shown(&panel.name),
                shown(&tray.tray),
                shown(name),
                shown(was)
            );
        }
    }
    if !it.left_over.is_empty() {
        let labels: Vec<&str> = it.left_over.iter().map(|l| l.label.as_str()).collect();
        out.push('\n');
        out += &wrapped(&labels.join(", "), "Left over of the old panels: ", 4);
    }
    out
}

/// Everything, for other programs: lengths in millimetres, volumes in mm³.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let solved = |changes: &[(String, String)]| {
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let (old, new) = (solved(&[]), solved(&[("box.interior".into(), "[120, 90, 50]".into())]));
/// # let it = shop::differences((&old.0, &old.1), (&new.0, &new.1)).unwrap();
/// // The box has become 10 mm higher.
/// let text = traywright::draw::differences_json(&it);
/// let json: serde_json::Value = serde_json::from_str(&text).unwrap();
/// assert_eq!(json["layer_heights"]["old"], serde_json::json!([40]));
/// assert_eq!(json["layer_heights"]["new"], serde_json::json!([50]));
/// assert_eq!(json["cut"], it.to_cut().count());
/// ```
pub fn differences_json(it: &Differences) -> String {
    let cuboid = |c: Option<Cuboid>| c.map(|c| json!({ "at": c.at, "size": c.size }));
    let size = |s: Option<Size>| s.map(|s| json!(s));
    let trays: Vec<Value> = it
        .trays
        .iter()
        .map(|t| {
            let rooms: Vec<Value> = t
                .rooms
                .iter()
                .map(|r| json!({ "part": r.part, "old": size(r.old), "new": size(r.new) }))
                .collect();
            let panels: Vec<Value> = t
                .panels
                .iter()
                .map(|p| {
                    let (word, was) = match &p.from {
                        From::Same => ("same", Value::Null),
                        From::Cut => ("cut", Value::Null),
                        From::Relabelled { label, tray, name } => {
                            ("relabelled", json!({ "label": label, "tray": tray, "name": name }))
                        }
                    };
                    json!({
                        "label": p.label, "name": p.name, "size": [p.size.0, p.size.1],
                        "thickness": p.thickness, "from": word, "was": was,
                    })
                })
                .collect();
            json!({
                "tray": t.tray, "became": t.became, "old": cuboid(t.old), "new": cuboid(t.new),
                "old_layers": t.old_layers, "new_layers": t.new_layers, "compartments": rooms, "panels": panels,
            })
        })
        .collect();
    let bodies: Vec<Value> = it
        .bodies
        .iter()
        .map(|b| json!({ "name": b.name, "became": b.became, "old": cuboid(b.old), "new": cuboid(b.new) }))
        .collect();
    let figures = |f: crate::shop::PlanFigures| json!({ "value_mm3": f.value, "wasted_mm3": f.wasted, "spare_mm3": f.spare, "panels": f.panels });
    let left: Vec<Value> =
        it.left_over.iter().map(|l| json!({ "label": l.label, "tray": l.tray, "name": l.name })).collect();
    let all = json!({
        "format": "traywright-differences", "version": 1, "title": it.title,
        "interior": { "old": it.interior.0, "new": it.interior.1 },
        "layer_heights": { "old": it.heights.0, "new": it.heights.1 },
        "old": figures(it.figures.0), "new": figures(it.figures.1),
        "cut": it.to_cut().count(), "trays": trays, "bodies": bodies, "left_over": left,
    });
    format!("{all:#}\n")
}

/// What a plan with nothing kept would save, for a screen.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{draw::free_text, length::Volume, plan::FromScratch};
/// let value = plan.objective_mm3.value;
/// let told = |value| free_text(&plan, Some(FromScratch { value, wasted: value }));
/// assert!(told(value / 2).contains("(50 % less)"));
/// assert_eq!(told(value), "A plan with nothing kept was found to be no better.\n");
/// ```
pub fn free_text(plan: &Plan, free: Option<FromScratch>) -> String {
    wrapped(&free_words(plan, free), "", 0)
}

/// The same, unbroken.
pub(super) fn free_words(plan: &Plan, free: Option<FromScratch>) -> String {
    let (value, wasted) = (plan.objective_mm3.value, plan.settled.volumes_mm3.wasted);
    match free {
        Some(free) if free.value < value && free.wasted < wasted => {
            let percent = 100.0 * (1.0 - free.value.to_ml_f64() / value.to_ml_f64().max(1e-9));
            format!(
                "With nothing kept, waste and lifts would count {} ml instead of {} ml ({} % less), trays that are kept \
                 counting with the room that was shared out to them; as built it would waste {} ml instead of {} ml.",
                ml(free.value),
                ml(value),
                trimmed(percent, 1),
                ml(free.wasted),
                ml(wasted)
            )
        }
        Some(_) => "A plan with nothing kept was found to be no better.".into(),
        None => "No plan with nothing kept was found to compare with.".into(),
    }
}

//! The slack table: tightest compartments first.

use super::{cell, table_head, wrap};
use crate::draw::scene::{Item, Scene};
use crate::draw::svg::{escape, plain};
use crate::draw::words;
use crate::plan::Compartment;

/// Every compartment that holds a part, tightest first, with its tray.
pub(in crate::draw) fn tightest<'s, 'a>(scene: &'s Scene<'a>) -> Vec<(&'s Item<'a>, &'s Compartment)> {
    let mut all: Vec<(&Item<'a>, &Compartment)> = scene
        .items
        .iter()
        .filter_map(|i| i.tray.map(|t| (i, t)))
        // A tray in a compartment has slack of its own: that of its compartments.
        .flat_map(|(i, t)| t.compartments.iter().filter(|c| c.tray.is_none()).map(move |c| (i, c)))
        .collect();
    all.sort_by(|a, b| a.1.slack.percent.total_cmp(&b.1.slack.percent).then_with(|| a.1.part.cmp(&b.1.part)));
    all
}

/// The slack report.
pub(super) fn section(scene: &Scene<'_>) -> String {
    let u = scene.units;
    let rows = tightest(scene);
    if rows.is_empty() {
        return String::new();
    }
    let mut out = format!(
        "<p>Room beyond need, tightest first. Lengths in {}; room is clear inner room up to the rim of the tray. \
         Columns with a + say how much more there is than needed, rounded down.</p>\n<table class=\"cards\">\n",
        u.sign()
    );
    out.push_str(&table_head(&[
        ("", "Part"),
        ("", "Tray"),
        ("", "Stands"),
        ("", "Room"),
        ("", "Need"),
        ("n", "Width +"),
        ("n", "Depth +"),
        ("n", "Height +"),
        ("n", "ml"),
        ("n", "%"),
        ("", "Room for"),
    ]));
    out.push_str("<tbody>\n");
    for (tray, c) in rows {
        let s = &c.slack;
        let cells = [
            cell("first", "Part", &escape(&plain(&c.part))),
            cell(
                "",
                "Tray",
                &format!(
                    "<span><b>{}</b><span class=\"phone\"> {}</span></span>",
                    tray.mark,
                    escape(&tray.name)
                ),
            ),
            cell("", "Stands", &escape(&words::standing(c))),
            cell("w", "Room", &u.size(c.size)),
            cell("need", "Need", &words::need(c, u)),
            cell("n", "Spare width", &u.down(s.width)),
            cell("n", "Spare depth", &u.down(s.depth)),
            cell("n", "Spare height", &u.down(s.height)),
            cell("n", "ml", &words::ml_f64(s.volume_ml)),
            cell("n", "%", &words::trimmed(s.percent, 1)),
            cell("said", "Room for", &escape(&words::more(s))),
        ];
        out.push_str(&format!("<tr>{}</tr>\n", cells.concat()));
    }
    out.push_str("</tbody>\n</table>\n");
    wrap("slack", "Slack of every compartment", &out)
}

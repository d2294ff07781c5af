//! The slack table: tightest compartments first.

use super::{cell, table_head, wrap};
use crate::draw::scene::Scene;
use crate::draw::svg::{escape, plain};
use crate::draw::words;
use crate::plan::Compartment;

/// Every compartment that holds a part, tightest first, with the mark of its tray.
pub(in crate::draw) fn tightest<'s>(scene: &'s Scene<'_>) -> Vec<(&'s str, &'s Compartment)> {
    let mut all: Vec<(&str, &Compartment)> = scene
        .items
        .iter()
        .filter_map(|i| i.tray.map(|t| (i.mark.as_str(), t)))
        .flat_map(|(mark, t)| t.compartments.iter().map(move |c| (mark, c)))
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
        "<p>Room beyond need, tightest first. Lengths in {}; room is clear inner room up to the rim of the tray; \
         slack is rounded down.</p>\n<table class=\"cards\">\n",
        u.sign()
    );
    out.push_str(&table_head(&[
        ("", "Part"),
        ("", "Tray"),
        ("", "Stands"),
        ("", "Room"),
        ("", "Need"),
        ("n", "Width"),
        ("n", "Depth"),
        ("n", "Height"),
        ("n", "ml"),
        ("n", "%"),
        ("", "Room for"),
    ]));
    out.push_str("<tbody>\n");
    for (mark, c) in rows {
        let s = &c.slack;
        let cells = [
            cell("first", "Part", &escape(&plain(&c.part))),
            cell("mark", "Tray", mark),
            cell("", "Stands", &escape(&words::standing(c))),
            cell("", "Room", &u.size(c.size)),
            cell("", "Need", &words::need(c, u)),
            cell("n", "Spare width", &u.down(s.width)),
            cell("n", "Spare depth", &u.down(s.depth)),
            cell("n", "Spare height", &u.down(s.height)),
            cell("n", "ml", &words::ml_f64(s.volume_ml)),
            cell("n", "%", &words::trimmed(s.percent, 1)),
            cell("", "Room for", &escape(&words::more(s))),
        ];
        out.push_str(&format!("<tr>{}</tr>\n", cells.concat()));
    }
    out.push_str("</tbody>\n</table>\n");
    wrap("slack", "Slack of every compartment", &out)
}

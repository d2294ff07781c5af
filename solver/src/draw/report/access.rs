//! What to lift, and in which order to pack and unpack.

use std::collections::BTreeMap;

use super::{cell, table_head, wrap};
use crate::draw::scene::Scene;
use crate::draw::svg::{escape, plain};
use crate::draw::{order, words};
use crate::plan::Plan;

/// Access table and packing order.
pub(super) fn section(plan: &Plan, scene: &Scene<'_>) -> String {
    let mut out = lifts(plan, scene);
    let order = order::packing(scene);
    if !order.is_empty() {
        out.push_str("<h3>Packing order</h3>\n<p class=\"small soft\">From the floor up, back to front.</p>\n<ol class=\"steps\">\n");
        for i in &order {
            out.push_str(&format!("<li><span><b>{}</b> {}</span></li>\n", i.mark, escape(&i.name)));
        }
        out.push_str("</ol>\n<h3>Unpacking order</h3>\n<p class=\"small soft\">The same backwards: what lies above comes out first.</p>\n");
        let back: Vec<String> = order.iter().rev().map(|i| i.mark.clone()).collect();
        out.push_str(&format!("<p>{}</p>\n", escape(&back.join(", "))));
    }
    wrap("access", "Reaching, packing, unpacking", &out)
}

fn lifts(plan: &Plan, scene: &Scene<'_>) -> String {
    if plan.lifts.is_empty() {
        return String::new();
    }
    let by_name: BTreeMap<&str, _> = scene.items.iter().map(|i| (i.name.as_str(), i)).collect();
    let mut out = String::from(
        "<p>What must be lifted off before a tray can be lifted out or reached into.</p>\n<table class=\"cards\">\n",
    );
    out.push_str(&table_head(&[("", "Tray"), ("", "Mark"), ("", "Use"), ("n", "Lifts"), ("", "Lift first")]));
    out.push_str("<tbody>\n");
    let mut rows: Vec<_> =
        plan.lifts.iter().map(|l| (l, by_name.get(plain(&l.tray).as_str()).copied())).collect();
    // What is needed soonest stands first, the hardest to reach of it on top.
    rows.sort_by_key(|(l, i)| (i.and_then(|i| i.tray).map(|t| t.usage), std::cmp::Reverse(l.first.len())));
    for (lift, item) in rows {
        let usage = item.and_then(|i| i.tray).map_or("", |t| words::usage(t.usage));
        let mark = |name: &str| {
            let name = plain(name);
            match by_name.get(name.as_str()) {
                Some(i) => format!("{} {}", i.mark, name),
                None => name,
            }
        };
        let first: Vec<String> = lift.first.iter().map(|n| mark(n)).collect();
        let first = if first.is_empty() { "nothing".to_string() } else { first.join(", ") };
        out.push_str(&format!(
            "<tr>{}{}{}{}{}</tr>\n",
            cell("first", "Tray", &escape(&plain(&lift.tray))),
            cell("mark", "Mark", item.map_or("", |i| i.mark.as_str())),
            cell("", "Use", usage),
            cell("n", "Lifts", &lift.first.len().to_string()),
            cell("", "Lift first", &escape(&first))
        ));
    }
    out.push_str("</tbody>\n</table>\n");
    out
}

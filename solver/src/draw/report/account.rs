//! The volume account and spare room.

use super::figures::inline;
use super::{cell, table_head, wrap};
use crate::draw::account::{lying, standing, terms};
use crate::draw::scene::Scene;
use crate::draw::svg::{Area, Svg, escape};
use crate::draw::{spare as room, words};
use crate::job::Job;
use crate::plan::Plan;

/// The account of the settled plan, with the tight plan beside it.
pub(super) fn section(plan: &Plan, scene: &Scene<'_>) -> String {
    let (settled, tight) = (&plan.settled.volumes_mm3, &plan.tight.volumes_mm3);
    let (wide, narrow) = (lying(settled), standing(settled));
    let u = scene.units;
    let mut out = format!(
        "<p>Every millilitre of the interior ({} {}, {} ml) in one account. The picture shows the settled plan, \
         the one that is built: spare room is shared out to its compartments. The tight plan, by which the \
         claim is judged, holds the same things in the least room.</p>\n<figure>\n{}{}</figure>\n",
        u.size(scene.size),
        u.sign(),
        words::ml(settled.interior),
        inline(&wide.0, (wide.1, wide.2), "wide", "Volume account"),
        inline(&narrow.0, (narrow.1, narrow.2), "narrow", "Volume account"),
    );
    out.push_str("<table>\n");
    out.push_str(&table_head(&[
        ("", "Term"),
        ("hide", "What it is"),
        ("n", "ml"),
        ("n", "%"),
        ("n", "tight, ml"),
        ("n", "tight, %"),
    ]));
    out.push_str("<tbody>\n");
    for (s, t) in terms(settled).iter().zip(&terms(tight)) {
        let mut svg = Svg::new();
        s.paint(&mut svg, Area::new(0.2, 0.2, 5.0, 2.6));
        let swatch = inline(&svg.into_inner(), (5.4, 3.0), "", s.name);
        out.push_str(&format!(
            "<tr><td>{swatch} {}</td><td class=\"hide\">{}</td><td class=\"n\">{}</td><td class=\"n\">{:.1}</td><td class=\"n\">{}</td><td class=\"n\">{:.1}</td></tr>\n",
            s.name,
            escape(s.what),
            words::ml(s.volume),
            words::percent(s.volume, settled.interior),
            words::ml(t.volume),
            words::percent(t.volume, tight.interior)
        ));
    }
    for (name, what, s, t) in [
        ("wasted", "stock + voids + slack + overhead", settled.wasted, tight.wasted),
        ("interior", "all of it", settled.interior, tight.interior),
    ] {
        out.push_str(&format!(
            "<tr class=\"sum\"><td>{name}</td><td class=\"hide\">{what}</td><td class=\"n\">{}</td><td class=\"n\">{:.1}</td><td class=\"n\">{}</td><td class=\"n\">{:.1}</td></tr>\n",
            words::ml(s),
            words::percent(s, settled.interior),
            words::ml(t),
            words::percent(t, tight.interior)
        ));
    }
    out.push_str("</tbody>\n</table>\n");
    wrap("account", "Where the room goes", &out)
}

/// What each layer has to spare, and the largest free block.
pub(super) fn spare(job: &Job, scene: &Scene<'_>) -> String {
    let u = scene.units;
    let mut out = match room::largest_block(job, scene) {
        Some(b) => format!(
            "<p>The largest free block is {} × {} × {} {}; its left front bottom corner is {} from the left side, \
             {} from the front and {} above the floor.</p>\n",
            u.mm(b.w()),
            u.mm(b.d()),
            u.mm(b.h()),
            u.sign(),
            u.mm(b.x0),
            u.mm(b.y0),
            u.mm(b.z0)
        ),
        None => String::new(),
    };
    out.push_str("<table>\n");
    let height = format!("height, {}", u.sign());
    out.push_str(&table_head(&[("", "Layer"), ("n", &height), ("n", "free, ml"), ("n", "free, %")]));
    out.push_str("<tbody>\n");
    for n in (1..=scene.plan.layers.len()).rev() {
        let s = room::of_layer(scene, n);
        let height = scene.layer(n).map_or(0.0, |l| l.1);
        out.push_str(&format!(
            "<tr>{}{}{}{}</tr>\n",
            cell("", "Layer", &n.to_string()),
            cell("n", "height", &u.mm(height)),
            cell("n", "free, ml", &words::ml_f64(s.ml)),
            cell("n", "free, %", &format!("{:.1}", s.percent))
        ));
    }
    out.push_str(
        "</tbody>\n</table>\n<p class=\"small soft\">Free is what bodies of a layer leave beside them; clearances count as spare \
         room.</p>\n",
    );
    wrap("spare", "Spare room", &out)
}

//! Title, claim and the figures that matter first.

use super::ReportExtra;
use crate::draw::scene::Scene;
use crate::draw::svg::{escape, plain};
use crate::draw::{spare, words};
use crate::job::Job;
use crate::plan::{ClaimState, Plan};

/// The head of the report.
pub(super) fn section(job: &Job, plan: &Plan, scene: &Scene<'_>, extra: &ReportExtra) -> String {
    let u = scene.units;
    let v = &plan.settled.volumes_mm3;
    let tight = &plan.tight.volumes_mm3;
    let class = match plan.claim.state {
        ClaimState::Proven => "claim",
        ClaimState::Gap | ClaimState::Unproven => "claim open",
        ClaimState::Impossible | ClaimState::NoneFound => "claim none",
    };
    let mut out = format!("<header>\n<h1>{}</h1>\n", escape(&plain(&plan.title)));
    let brief = super::brief_name(extra);
    let from = if brief.is_empty() { String::new() } else { format!(", from {brief}") };
    out.push_str(&format!(
        "<p class=\"soft\">Insert of {} for a box of {} {} inside{}</p>\n",
        escape(&plain(&job.stock.name)),
        u.size(scene.size),
        u.sign(),
        escape(&from)
    ));
    out.push_str(&format!(
        "<div class=\"{class}\">\n<p class=\"said\">{}</p>\n<p class=\"small\">{} Walls, floors, air and slack of the tight plan take {} of the box.</p>\n</div>\n",
        escape(&[Some(words::claim(plan)), words::cut_short(plan)].into_iter().flatten().collect::<Vec<_>>().join(" ")),
        escape(&words::class(&plan.claim)),
        words::percent_words(tight.wasted, tight.interior)
    ));
    let block = spare::largest_block(job, scene).map_or_else(
        || "–".to_string(),
        |b| format!("{} × {} × {} {}", u.mm(b.w()), u.mm(b.d()), u.mm(b.h()), u.sign()),
    );
    let parts = plan.settled.trays.iter().map(|t| t.compartments.len()).sum();
    let facts = [
        ("Trays", plan.settled.trays.len().to_string()),
        ("Compartments", usize::to_string(&parts)),
        ("Layers", plan.settled.layers.len().to_string()),
        ("Spare room", format!("{} ml ({})", words::ml(v.spare), words::percent_words(v.spare, v.interior))),
        ("Largest free block", block),
    ];
    out.push_str("<dl class=\"facts\">\n");
    for (name, value) in facts {
        out.push_str(&format!("<div><dt>{name}</dt><dd>{}</dd></div>\n", escape(&value)));
    }
    out.push_str("</dl>\n</header>\n");
    out
}

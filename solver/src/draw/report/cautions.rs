//! Usual cautions where cutting and glue come in. They name whom to follow instead of replacing them.

use super::wrap;
use crate::draw::svg::escape;
use crate::job::material::{Material, material};
use crate::job::{Job, Process};

/// Cautions for this job's process and stock.
pub(super) fn section(job: &Job) -> String {
    let mut out = String::from("<ul class=\"plain small\">\n");
    for text in list(job) {
        out.push_str(&format!("<li>{}</li>\n", escape(text)));
    }
    out.push_str(&format!("</ul>\n<p class=\"small\">{}</p>\n", escape(DEFER)));
    wrap("cautions", "Cautions", &out)
}

/// Whom to follow.
pub(in crate::draw) const DEFER: &str = "These are usual cautions, not a complete list. The manual of your machine, the data sheet of your material, \
     the rules where you work, and the law come first; work that asks for a licence belongs to those who hold one.";

/// The cautions one by one.
pub(in crate::draw) fn list(job: &Job) -> Vec<&'static str> {
    let stocks = [Some(&job.stock), job.floor_stock.as_ref(), job.divider_stock.as_ref()];
    let is = |m: Material| stocks.iter().flatten().any(|s| material(&s.name) == m);
    let cut_by = |p: Process| stocks.iter().flatten().any(|s| s.process == p);
    let fibre = is(Material::Fibreboard);
    let wood = fibre || is(Material::Plywood) || is(Material::Wood);
    let board = is(Material::Board) || is(Material::FoamBoard);
    let mut list: Vec<&'static str> = vec![
        // Facts, rule 2: nominal is not actual.
        "Measure the sheets on the day you cut: sold thicknesses are nominal, and wood and board move with the weather. A tenth of a millimetre in the walls adds up across a box.",
    ];
    if cut_by(Process::Laser) {
        // OSHA laser hazards page (29 CFR 1910.132 and .133, ANSI Z136), IEC 60825-1; workshop rules of
        // several universities for the rest.
        list.push("Laser: keep the lid closed and the interlock working, the exhaust on, an extinguisher within reach, and never leave a running machine alone.");
        list.push("Laser: never cut PVC, vinyl or artificial leather, polycarbonate, ABS, PTFE, polystyrene or polypropylene foam, foam board, or any plastic you cannot name. They burn or give off poisonous or corrosive fumes.");
        if fibre {
            list.push("Laser on MDF: the fumes contain formaldehyde; use strong extraction to the outside.");
        }
    }
    if cut_by(Process::Knife) {
        // Common practice, no source.
        list.push("Knife: cut on a mat along a steel edge with a fresh blade, in several light passes, and keep the other hand behind the blade.");
    }
    if cut_by(Process::Saw) {
        // Common practice, no source.
        list.push("Saw: use guard, push stick and eye protection; thin sheet lifts, so hold it down over its whole length.");
    }
    if wood {
        // NIOSH recommended exposure limit 1 mg/m³, as on OSHA's page on wood dust.
        list.push("Sawing and sanding: extract the dust and wear a mask. NIOSH recommends no more than 1 mg of wood dust in a cubic metre of air.");
    }
    if board {
        // Common practice, no source.
        list.push("Water-based glue swells greyboard and lifts thin faces: use little, and let parts dry flat under weight.");
    }
    list.push("Instant glue (cyanoacrylate) bonds skin and eyes in seconds and heats up on cloth: if skin sticks, soak it in warm soapy water and do not pull.");
    if wood && job.sold {
        // 40 CFR part 770 (hardwood plywood, MDF, particleboard).
        list.push("As you sell it: wood panels sold in the United States must meet the formaldehyde limits of 40 CFR part 770; ask the supplier for the TSCA Title VI label. Other countries have limits of their own (Europe: class E1).");
    }
    if job.for_children {
        // 16 CFR 1501.4; EN 71-1.
        list.push("As it is meant for children: small parts are forbidden in things for those under three (United States 16 CFR part 1501, Europe EN 71-1). Have it tested; a drawing cannot tell.");
    }
    list
}

//! Assembly cards: a page a tray with its panels taken apart, their letters and the order in which they go together.

use super::list::size;
use super::{explode, words};
use crate::cut::CutJob;
use crate::draw::report::STYLE;
use crate::draw::svg::{document, escape, plain};
use crate::job::{Job, Joint};
use crate::panel::{Axis, Panel, TrayPanels};

const CARD: &str = "@page { margin: 12mm 15mm; }\n\
.card { break-after: page; padding-top: 6px; }\n.card:last-child { break-after: auto; }\n.card h2 { margin-top: 0; border: 0; padding: 0; }\n\
.card figure { margin: 4mm 0; }\n.card ol { columns: 2 70mm; column-gap: 8mm; padding-left: 1.6em; margin: 0; }\n.card li { break-inside: avoid; margin: 0 0 3px; }\n\
@media print { .card h2 { margin-top: 0; } .card { font-size: 9pt; } .card ol { font-size: 8.5pt; } }\n";

/// All cards in one file.
pub(super) fn cards(job: &Job, made: &CutJob) -> String {
    let title = escape(&plain(&made.title));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}: assembly</title>\n\
         <style>\n{STYLE}{CARD}</style>\n</head>\n<body>\n<main>\n"
    );
    for (t, tray) in made.trays.iter().enumerate() {
        out.push_str(&card(job, made, t, tray));
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// From where a panel comes that is moved this way.
fn from(way: Axis) -> &'static str {
    match way {
        Axis::Down => "from above",
        Axis::Up => "from below",
        Axis::Back => "from the front",
        Axis::Front => "from behind",
        Axis::Right => "from the left",
        Axis::Left => "from the right",
    }
}

fn card(job: &Job, made: &CutJob, t: usize, tray: &TrayPanels) -> String {
    let name = plain(&tray.tray);
    let marks = made.marks.get(t).map(|m| m.join(", ")).unwrap_or_default();
    let copies = if tray.copies > 1 { format!(" × {}", tray.copies) } else { String::new() };
    let rows = tray.panels.len() as f64;
    let (inner, w, h) =
        explode::picture(tray, (180.0, (222.0 - rows.div_euclid(2.0) * 7.5).clamp(90.0, 170.0)));
    let about = format!("The panels of {name} pulled apart");
    let mut out = format!(
        "<section class=\"card\">\n<h2>{}: {}{}</h2>\n<p class=\"soft small\">{} · letters on the panels: {} and the panel’s own, such as {}-{}.</p>\n<figure>\n{}</figure>\n<ol>\n",
        escape(&marks),
        escape(&name),
        escape(&copies),
        escape(&plain(&made.title)),
        escape(&marks),
        escape(made.marks.get(t).and_then(|m| m.first()).map_or("", String::as_str)),
        escape(tray.panels.first().map_or("", |p| p.letter.as_str())),
        document(w, h, &about, "", "", &inner)
    );
    let proof = made.proofs.iter().find(|p| p.tray == tray.tray);
    for (p, panel) in tray.panels.iter().enumerate() {
        let way = proof.and_then(|f| f.moves.get(p)).filter(|_| p > 0);
        let way = way.map_or(String::new(), |w| format!(", {}", from(*w)));
        out.push_str(&format!(
            "<li><b>{}</b> {}</li>\n",
            escape(&panel.letter),
            escape(&(line(made, t, p, panel) + &way))
        ));
    }
    out.push_str("</ol>\n");
    out.push_str(&format!("<p class=\"small\">{}</p>\n", escape(advice(job, tray))));
    for note in &tray.notes {
        out.push_str(&format!("<p class=\"small\">{}</p>\n", escape(&note.cause)));
    }
    out.push_str("</section>\n");
    out
}

/// What a panel is, how large, of which stock, and on which sheets it lies.
fn line(made: &CutJob, t: usize, p: usize, panel: &Panel) -> String {
    let (w, d) = size(panel);
    let unit = made.unit;
    let mut sheets = Vec::new();
    let mut stock = String::new();
    for lot in &made.lots {
        for sheet in &lot.sheets {
            let here = sheet
                .placed
                .iter()
                .filter_map(|(i, _)| lot.items.get(*i))
                .any(|i| (i.tray, i.panel) == (t, p));
            if here {
                sheets.push(sheet.number.to_string());
                stock = words::stock(lot);
            }
        }
    }
    format!(
        "{}, {} × {}, {stock}, sheet {}",
        plain(&panel.name),
        w.show_number(unit),
        d.show(unit),
        sheets.join(", ")
    )
}

/// How a tray of these joints goes together.
fn advice(job: &Job, tray: &TrayPanels) -> &'static str {
    let glued = job.stock.joint == Joint::Butt || job.stock.joint == Joint::Rebate;
    let lone = tray.panels.iter().all(|p| p.fitted.is_empty() && p.openings.is_empty());
    if glued || lone {
        "Put it together dry first, with tape at the corners. Then glue edge to face in this order, square against a block, and let it dry flat under weight; heed the cautions of the cut list."
    } else {
        "Put it together dry first, in this order. Where it is right, take it apart and glue the joints sparingly, or leave a press fit without glue; heed the cautions of the cut list."
    }
}

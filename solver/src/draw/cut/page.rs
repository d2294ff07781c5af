//! The workshop page: every sheet with the letters of its panels, the cut list, what cutting takes term by term, and
//! cautions.

use super::list::{in_order, note, size, tray_name};
use super::sheet_svg::{allowed, data, faces};
use super::{by_severity, words};
use crate::cut::{CutJob, CutSheet, Lot, Operation, estimate};
use crate::draw::label;
use crate::draw::report::{STYLE, cautions, cell, marked, table_head, wrap};
use crate::draw::svg::{Area, Svg, document, escape, num, plain};
use crate::draw::words::count;
use crate::finding::Severity;
use crate::job::Job;
use crate::length::Unit;

/// Largest picture of a sheet, mm on paper.
const WIDEST: f64 = 180.0;
const TALLEST: f64 = 190.0;

/// The whole page.
pub(super) fn page(job: &Job, made: &CutJob) -> String {
    let title = escape(&plain(&made.title));
    let mut sheets = String::new();
    for lot in &made.lots {
        for sheet in &lot.sheets {
            sheets.push_str(&sheet_section(lot, sheet));
        }
    }
    let mut warn = String::new();
    for f in by_severity(&made.findings) {
        let class = if f.severity == Severity::Warning { "warning" } else { "note" };
        let about = if f.place.path.is_empty() { String::new() } else { format!("{}: ", f.place.path) };
        warn.push_str(&format!(
            "<li class=\"{class}\"><b>{class} {}</b> {} — {}</li>\n",
            f.code,
            marked(&(about + &f.cause)),
            marked(&f.remedy)
        ));
    }
    let warn = if warn.is_empty() { warn } else { format!("<ul class=\"notes\">\n{warn}</ul>\n") };
    let proven: usize = made.proofs.len();
    let proof = if proven == 0 {
        String::new()
    } else {
        let panels: usize = made.proofs.iter().map(|p| p.panels).sum();
        let slots: usize = made.proofs.iter().map(|p| p.slots).sum();
        let kinds = if proven == 1 { "the tray".to_owned() } else { format!("all {proven} kinds of tray") };
        format!(
            "<p>Proven before anything was written, in whole nanometres: in {kinds} no two of the {panels} panels share room, each of the {slots} slots is filled by its tab, every compartment keeps its planned size, and every panel can be moved straight into its place.</p>\n"
        )
    };
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}: cutting</title>\n\
         <style>\n{STYLE}#list, .sheet {{ break-before: page; }}\n.sheet:first-of-type {{ break-before: auto; }}\n</style>\n</head>\n<body>\n<main>\n<header>\n<h1>{title}</h1>\n\
         <p class=\"soft\">Cutting: sheets, cut list, time and material</p>\n{proof}</header>\n{}{}{sheets}{}{}</main>\n</body>\n</html>\n",
        wrap("estimate", "What it takes", &estimates(made)),
        wrap("notes", "Worth knowing", &warn),
        wrap("list", "Cut list", &table(made)),
        wrap("cautions", "Cautions", &caution(job)),
    )
}

fn caution(job: &Job) -> String {
    let items: String = cautions::list(job).iter().map(|t| format!("<li>{}</li>\n", escape(t))).collect();
    format!("<ul class=\"plain small\">\n{items}</ul>\n<p class=\"small\">{}</p>\n", escape(cautions::DEFER))
}

/// Length, time, material of every stock.
fn estimates(made: &CutJob) -> String {
    let mut out = String::from("<table class=\"cards\">\n");
    out.push_str(&table_head(&[
        ("", "Stock"),
        ("n", "Sheets"),
        ("n", "Cut"),
        ("n", "Lines"),
        ("n", "Time"),
        ("n", "Panels"),
        ("n", "Waste"),
        ("n", "Used"),
        ("n", "Mass"),
        ("n", "Price"),
    ]));
    out.push_str("<tbody>\n");
    let mut terms = String::new();
    let (mut seconds, mut mass) = (0.0, Some(0));
    for lot in &made.lots {
        let e = estimate(made, lot);
        let area = |mm2: f64| format!("{:.0} cm²", mm2 / 100.0);
        out.push_str("<tr>");
        out.push_str(&cell("first", "Stock", &escape(&words::stock(lot))));
        for (label, value) in [
            ("Sheets", e.sheets.to_string()),
            ("Cut", words::metres(e.length_mm)),
            ("Lines", e.lines.to_string()),
            ("Time", words::time(e.total_s())),
            ("Panels", area(e.panels_mm2)),
            ("Waste", area(e.bought_mm2 - e.panels_mm2)),
            ("Used", format!("{:.0} %", e.yield_percent())),
            ("Mass", e.mass_mg.map_or("not known".into(), words::grams)),
            ("Price", e.price_hundredths.map_or("–".into(), words::price)),
        ] {
            out.push_str(&cell("n", label, &escape(&value)));
        }
        out.push_str("</tr>\n");
        terms.push_str(&format!(
            "<li><b>{}</b>: {}, {} in all. Sheets: {}.</li>\n",
            escape(&words::stock(lot)),
            escape(&words::terms(lot, &e)),
            escape(&words::time(e.total_s())),
            escape(&words::proven(lot))
        ));
        seconds += e.total_s();
        mass = mass.and_then(|m| e.mass_mg.map(|g| m + g));
    }
    out.push_str("</tbody>\n</table>\n");
    let mass = mass.map_or(String::new(), |m| format!("; the insert weighs {}", words::grams(m)));
    out.push_str(&format!(
        "<p>All together {}{}.</p>\n<ul class=\"plain small\">\n{terms}</ul>\n<p class=\"small\">Time is length ÷ speed + lines × time to begin one + sheets × set-up; moves between lines are left out. \
         Speeds of a laser are published ones for 60 W, the rest is common practice: expect 10 to 20 % either way until you have put your own into the stock (<code>cutting</code>).</p>\n",
        escape(&words::time(seconds)),
        escape(&mass)
    ));
    out
}

/// One sheet with its picture.
fn sheet_section(lot: &Lot, sheet: &CutSheet) -> String {
    let mm = Unit::Millimetre;
    let (w, d) = (sheet.w.to_mm_f64(), sheet.d.to_mm_f64());
    let scale = (WIDEST / w).min(TALLEST / d).min(1.0);
    let mut svg = Svg::new();
    let frame = Area::new(0.2, 0.2, w * scale - 0.4, d * scale - 0.4);
    svg.rect(frame, "fill=\"#fbf8f1\" stroke=\"#777\" stroke-width=\"0.3\"");
    if let Some([x, y, ow, od]) = sheet.offcut {
        let a = Area::new(
            x.to_mm_f64() * scale,
            (d - (y + od).to_mm_f64()) * scale,
            ow.to_mm_f64() * scale,
            od.to_mm_f64() * scale,
        );
        svg.rect(
            a.inset(0.8),
            "fill=\"none\" stroke=\"#999\" stroke-width=\"0.25\" stroke-dasharray=\"1 1.4\"",
        );
        if let Some(fit) = label::fit(
            "left over",
            &format!("{} × {}", ow.show_number(mm), od.show(mm)),
            (a.w - 3.0, a.h - 3.0),
            3.4,
        ) {
            fit.draw(&mut svg, a);
        }
    }
    svg.raw(&format!("<g transform=\"scale({scale:.6})\" stroke-linejoin=\"round\">\n"));
    // Only for reading, so outlines come first here, and what is within them is pale under the letters.
    let wide = num(0.16 / scale);
    for outline in [true, false] {
        for line in sheet.lines.iter().filter(|l| (l.operation == Operation::Outline) == outline) {
            let look = if outline {
                format!("fill=\"#fff\" stroke=\"#222\" stroke-width=\"{wide}\"")
            } else {
                format!("fill=\"none\" stroke=\"#8a8a8a\" stroke-width=\"{wide}\"")
            };
            svg.raw(&format!("<path {look} d=\"{}\"/>\n", data(&line.path, sheet.d)));
        }
    }
    svg.raw("</g>\n");
    for (i, [x, y, pw, pd]) in &sheet.placed {
        let Some(item) = lot.items.get(*i) else { continue };
        let a = Area::new(
            x.to_mm_f64() * scale,
            (d - (*y + *pd).to_mm_f64()) * scale,
            pw.to_mm_f64() * scale,
            pd.to_mm_f64() * scale,
        );
        if let Some(fit) = label::fit(&item.label, "", (a.w, a.h), 3.4) {
            fit.draw(&mut svg, a);
        }
    }
    let about = format!("Sheet {} with {}", sheet.number, count(sheet.placed.len(), "panel"));
    let picture = document(w * scale, d * scale, &about, "", "", &svg.into_inner());
    let mut text = format!(
        "<figure>\n{picture}</figure>\n<p class=\"small\">{} {}</p>\n",
        escape(&allowed(lot)),
        escape(&faces(lot, sheet))
    );
    if !sheet.cuts.is_empty() {
        text.push_str(&order(sheet));
    }
    let heading = format!(
        "Sheet {}: {}, {} × {}, {}",
        sheet.number,
        words::stock(lot),
        sheet.w.show_number(mm),
        sheet.d.show(mm),
        count(sheet.placed.len(), "panel")
    );
    format!(
        "<section class=\"sheet\" id=\"sheet-{}\">\n<h2>{}</h2>\n{text}</section>\n",
        sheet.number,
        escape(&heading)
    )
}

/// Cuts from edge to edge, in their order.
fn order(sheet: &CutSheet) -> String {
    let mm = Unit::Millimetre;
    let items: String = sheet
        .cuts
        .iter()
        .map(|c| {
            let (a, b) = (c.from, c.to);
            let text = if a.0 == b.0 {
                format!(
                    "{} from the left, from {} to {}",
                    a.0.show(mm),
                    a.1.min(b.1).show_number(mm),
                    a.1.max(b.1).show(mm)
                )
            } else {
                format!(
                    "{} from the front, from {} to {}",
                    a.1.show(mm),
                    a.0.min(b.0).show_number(mm),
                    a.0.max(b.0).show(mm)
                )
            };
            format!("<li>{}</li>\n", escape(&text))
        })
        .collect();
    format!("<h3>Cuts from edge to edge, in this order</h3>\n<ol class=\"steps small\">\n{items}</ol>\n")
}

/// Every panel.
fn table(made: &CutJob) -> String {
    let unit = made.unit;
    let mut out = String::from("<table class=\"cards\">\n");
    out.push_str(&table_head(&[
        ("", "Panel"),
        ("", "Tray"),
        ("", "What"),
        ("n", "Size"),
        ("", "Stock"),
        ("n", "Sheet"),
        ("", "Note"),
    ]));
    out.push_str("<tbody>\n");
    for lot in &made.lots {
        for sheet in &lot.sheets {
            for (i, _) in in_order(sheet) {
                let Some(item) = lot.items.get(*i) else { continue };
                let Some(panel) = made.trays.get(item.tray).and_then(|t| t.panels.get(item.panel)) else {
                    continue;
                };
                let (w, d) = size(panel);
                let dims = format!("{} × {}", w.show_number(unit), d.show(unit));
                out.push_str("<tr>");
                out.push_str(&cell("first", "Panel", &format!("<b>{}</b>", escape(&item.label))));
                for (class, label, value) in [
                    ("", "Tray", tray_name(made, item)),
                    ("", "What", plain(&panel.name)),
                    ("n", "Size", dims),
                    ("", "Stock", words::stock(lot)),
                    ("n", "Sheet", sheet.number.to_string()),
                    ("", "Note", note(lot, item, panel)),
                ] {
                    out.push_str(&cell(class, label, &escape(&value)));
                }
                out.push_str("</tr>\n");
            }
        }
    }
    out.push_str("</tbody>\n</table>\n");
    out
}

//! The cut list as CSV, and figures of all sheets as JSON.

use serde_json::{Value, json};

use super::words;
use crate::cut::{CutJob, CutSheet, Item, Lot, Operation, estimate};
use crate::draw::report::cautions;
use crate::draw::svg::plain;
use crate::job::Job;
use crate::length::{Length, Unit};
use crate::panel::Panel;

/// Size of a panel's finished outline, width and depth, as it lies before any turning.
pub(super) fn size(panel: &Panel) -> (Length, Length) {
    let (least, most) = crate::cut::ring::bounds(&panel.outline);
    (most.x - least.x, most.y - least.y)
}

/// The panels of a sheet, tray by tray.
pub(super) fn in_order(sheet: &CutSheet) -> Vec<&(usize, [Length; 4])> {
    let mut all: Vec<_> = sheet.placed.iter().collect();
    all.sort_by_key(|(item, _)| *item);
    all
}

/// The tray of an item with the number of its copy where there are several.
pub(super) fn tray_name(job: &CutJob, item: &Item) -> String {
    let Some(tray) = job.trays.get(item.tray) else { return String::new() };
    let name = plain(&tray.tray);
    if tray.copies > 1 { format!("{name} #{}", item.copy + 1) } else { name }
}

/// What is to be heeded with one panel.
pub(super) fn note(lot: &Lot, item: &Item, panel: &Panel) -> String {
    let mut notes = Vec::new();
    if item.back_up {
        notes.push("lies with its back up".to_owned());
    }
    for recess in &panel.recesses {
        let from = if recess.from_face != item.back_up { "above" } else { "below" };
        let text = format!("recess {} deep from {from}", recess.depth.show(Unit::Millimetre));
        if !notes.contains(&text) {
            notes.push(text);
        }
    }
    if lot.stock.one_good_face {
        notes.push("good face up".to_owned());
    }
    notes.join("; ")
}

/// One row a panel in the order of the sheets, then one a sheet, then cautions; the first column tells which.
pub(super) fn csv(job: &Job, made: &CutJob) -> String {
    let mut rows: Vec<Vec<String>> = vec![
        [
            "row",
            "sheet",
            "label",
            "tray",
            "panel",
            "name",
            "stock",
            "thickness_mm",
            "width_mm",
            "depth_mm",
            "x_mm",
            "y_mm",
            "turned",
            "note",
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    for lot in &made.lots {
        for sheet in &lot.sheets {
            for (i, [x, y, w, _]) in in_order(sheet) {
                let Some(item) = lot.items.get(*i) else { continue };
                let Some(panel) = made.trays.get(item.tray).and_then(|t| t.panels.get(item.panel)) else {
                    continue;
                };
                let (width, depth) = size(panel);
                rows.push(vec![
                    "panel".into(),
                    sheet.number.to_string(),
                    item.label.clone(),
                    tray_name(made, item),
                    panel.letter.clone(),
                    plain(&panel.name),
                    plain(&lot.stock.name),
                    panel.thickness.decimal(),
                    width.decimal(),
                    depth.decimal(),
                    x.decimal(),
                    y.decimal(),
                    if *w == width { "no" } else { "yes" }.into(),
                    note(lot, item, panel),
                ]);
            }
        }
    }
    let rest =
        |row: &str, sheet: String, stock: &str, thickness: String, w: String, d: String, note: String| {
            let mut cells = vec![String::new(); 14];
            for (i, cell) in [
                (0, row.to_owned()),
                (1, sheet),
                (6, stock.to_owned()),
                (7, thickness),
                (8, w),
                (9, d),
                (13, note),
            ] {
                if let Some(c) = cells.get_mut(i) {
                    *c = cell;
                }
            }
            cells
        };
    for lot in &made.lots {
        for sheet in &lot.sheets {
            rows.push(rest(
                "sheet",
                sheet.number.to_string(),
                &plain(&lot.stock.name),
                lot.stock.thickness.decimal(),
                sheet.w.decimal(),
                sheet.d.decimal(),
                format!("{} panels", sheet.placed.len()),
            ));
        }
    }
    let empty = String::new;
    for text in cautions::list(job).into_iter().chain([cautions::DEFER]) {
        rows.push(rest("caution", empty(), "", empty(), empty(), empty(), text.to_owned()));
    }
    rows.iter().map(|row| line(row)).collect()
}

/// One row as RFC 4180 has it; a cell that a spreadsheet would take for a formula gets a quote before it.
fn line(cells: &[String]) -> String {
    let cells: Vec<String> = cells
        .iter()
        .map(|c| {
            let c = if c.starts_with(['=', '+', '@', '-']) && c.parse::<f64>().is_err() {
                format!("'{c}")
            } else {
                c.clone()
            };
            if c.contains([',', '"', '\n', '\r']) { format!("\"{}\"", c.replace('"', "\"\"")) } else { c }
        })
        .collect();
    cells.join(",") + "\n"
}

/// Figures of all lots and sheets.
pub(super) fn json(made: &CutJob, stem: &str) -> String {
    let tenth = |v: f64| Value::from((v * 10.0).round() / 10.0);
    let lots: Vec<Value> = made
        .lots
        .iter()
        .map(|lot| {
            let e = estimate(made, lot);
            let shares: serde_json::Map<String, Value> = e
                .shares
                .iter()
                .map(|s| {
                    (s.operation.name().to_owned(), json!({ "lines": s.lines, "length_mm": tenth(s.length_mm) }))
                })
                .collect();
            json!({
                "stock": lot.stock.name, "thickness_mm": lot.stock.thickness,
                "process": words::process(lot.stock.process),
                "cut_full_width_mm": lot.stock.cut_width,
                "fit_mm": { "finger": lot.stock.fit.finger, "tab": lot.stock.fit.tab, "halved": lot.stock.fit.halved },
                "panels": lot.items.len(), "sheets": lot.sheets.len(),
                "operations": shares,
                "length_mm": tenth(e.length_mm), "lines": e.lines,
                "seconds": { "cutting": tenth(e.cutting_s), "pierces": tenth(e.pierces_s), "setup": tenth(e.setup_s), "all": tenth(e.total_s()) },
                "panels_mm2": tenth(e.panels_mm2), "bought_mm2": tenth(e.bought_mm2),
                "wasted_mm2": tenth(e.bought_mm2 - e.panels_mm2), "yield_percent": tenth(e.yield_percent()),
                "mass_g": e.mass_mg.map(|mg| tenth(mg as f64 / 1e3)),
                "price": e.price_hundredths.map(words::price),
            })
        })
        .collect();
    let mut sheets = Vec::new();
    for lot in &made.lots {
        for sheet in &lot.sheets {
            let lines: serde_json::Map<String, Value> = Operation::ALL
                .into_iter()
                .map(|o| (o, sheet.of(o).count()))
                .filter(|(_, n)| *n > 0)
                .map(|(o, n)| (o.name().to_owned(), n.into()))
                .collect();
            sheets.push(json!({
                "number": sheet.number,
                "svg": format!("{stem}.sheet-{}.svg", sheet.number),
                "dxf": format!("{stem}.sheet-{}.dxf", sheet.number),
                "stock": lot.stock.name, "thickness_mm": lot.stock.thickness,
                "size_mm": [sheet.w, sheet.d],
                "panels": sheet.placed.iter().filter_map(|(i, _)| lot.items.get(*i)).map(|i| i.label.clone()).collect::<Vec<_>>(),
                "lines": lines,
                "extents_mm": sheet.extents().map(|(a, b)| [a.x, a.y, b.x, b.y]),
            }));
        }
    }
    let all = json!({ "format": "traywright-cut", "version": 1, "title": made.title, "stocks": lots, "sheets": sheets });
    format!("{all:#}\n")
}

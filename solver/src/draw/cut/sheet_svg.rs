//! One sheet as SVG: a unit is a millimetre, operations are groups told apart by names and dashes, and what explains
//! them lies beside the sheet in a group of its own.

use crate::cut::{CutJob, CutSheet, Line, Lot, Operation, Path};
use crate::draw::label::{LINE, RISE, wrap_hard};
use crate::draw::palette::INK;
use crate::draw::svg::{Anchor, Area, FONTS, Ink, Svg, escape, num, plain};
use crate::job::Colour;
use crate::length::{Length, Unit};
use crate::panel::{Edge, Spot};

/// Dashes by which operations are told apart on a screen and on paper, in millimetres; our own choice.
pub(super) fn dashes(operation: Operation) -> &'static [f64] {
    match operation {
        Operation::Engrave => &[3.0, 1.0, 0.5, 1.0],
        Operation::Recess => &[1.5, 1.5],
        Operation::RecessBelow => &[0.5, 1.5],
        Operation::Opening => &[5.0, 1.2],
        Operation::EdgeCut => &[9.0, 1.5, 1.5, 1.5],
        Operation::Outline => &[],
    }
}

/// How lines of an operation are drawn on paper.
pub(super) fn style(operation: Operation) -> String {
    style_in(operation, Colour::Black)
}

/// How lines of an operation are drawn in a colour.
pub(super) fn style_in(operation: Operation, colour: Colour) -> String {
    let dashes: Vec<String> = dashes(operation).iter().map(|d| num(*d)).collect();
    let dash =
        if dashes.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{}\"", dashes.join(" ")) };
    format!("fill=\"none\" stroke=\"{}\" stroke-width=\"0.2\"{dash}", colour.hex())
}

/// Path data of a line; `top` is the y that lies at the picture's upper edge.
pub(super) fn data(path: &Path, top: Length) -> String {
    let spot = |p: Spot| format!("{} {}", p.x.decimal(), (top - p.y).decimal());
    match path {
        Path::Open(points) => {
            let mut out = String::new();
            for (i, p) in points.iter().enumerate() {
                out.push(if i == 0 { 'M' } else { 'L' });
                out.push_str(&spot(*p));
            }
            out
        }
        Path::Closed(ring) => {
            let Some((first, _)) = ring.spans().next() else { return String::new() };
            let mut out = format!("M{}", spot(first));
            for (from, edge) in ring.spans() {
                match edge {
                    Edge::Line(to) => out.push_str(&format!("L{}", spot(to))),
                    Edge::Arc { to, centre, clockwise } => {
                        let r = Length::from_nm(crate::cut::ring::radius(from, centre)).decimal();
                        let turns = crate::cut::ring::cross(from - centre, to - centre);
                        let long = i32::from(if clockwise { turns > 0 } else { turns < 0 });
                        // Turned upside down for the screen, what runs clockwise still does so there.
                        out.push_str(&format!("A{r} {r} 0 {long} {} {}", i32::from(clockwise), spot(to)));
                    }
                }
            }
            out.push('Z');
            out
        }
    }
}

/// Size of the legend's text.
const TEXT: f64 = 3.2;
/// No legend is narrower.
const NARROWEST: f64 = 130.0;

/// The file of one sheet.
pub(super) fn sheet_svg(job: &CutJob, lot: &Lot, sheet: &CutSheet) -> String {
    let (w, d) = (sheet.w.to_mm_f64(), sheet.d.to_mm_f64());
    let room = w.max(NARROWEST);
    let (legend, height) = legend(job, lot, sheet, room, d);
    let title = heading(job, lot, sheet);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\" font-family=\"{FONTS}\">\n<title>{2}</title>\n",
        num(room),
        num(d + height),
        escape(&title)
    );
    out.push_str(&format!(
        "<g id=\"not-cut-sheet-edge\" fill=\"none\" stroke=\"#777\" stroke-width=\"0.2\" stroke-dasharray=\"0.4 2\">\n<rect x=\"0\" y=\"0\" width=\"{}\" height=\"{}\"/>\n</g>\n",
        sheet.w.decimal(),
        sheet.d.decimal()
    ));
    for operation in Operation::ALL {
        let lines: Vec<&Line> = sheet.of(operation).collect();
        if lines.is_empty() {
            continue;
        }
        let style = style_in(operation, operation.colour(&lot.stock.colours));
        out.push_str(&format!("<g id=\"{}\" {style}>\n", operation.name()));
        for line in lines {
            let of = line.item.and_then(|i| lot.items.get(i)).map_or("", |i| i.label.as_str());
            let of = if of.is_empty() { String::new() } else { format!(" data-panel=\"{}\"", escape(of)) };
            out.push_str(&format!("<path{of} d=\"{}\"/>\n", data(&line.path, sheet.d)));
        }
        out.push_str("</g>\n");
    }
    out.push_str(&legend);
    out.push_str("</svg>\n");
    out
}

/// What the sheet is.
pub(super) fn heading(job: &CutJob, lot: &Lot, sheet: &CutSheet) -> String {
    let mm = Unit::Millimetre;
    format!(
        "{}: sheet {} of {}, {} {}, {} × {}",
        plain(&job.title),
        sheet.number,
        job.lots.iter().map(|l| l.sheets.len()).sum::<usize>(),
        plain(&lot.stock.name),
        lot.stock.thickness.show(mm),
        sheet.w.show_number(mm),
        sheet.d.show(mm)
    )
}

/// What has been allowed for, in words.
pub(super) fn allowed(lot: &Lot) -> String {
    let stock = &lot.stock;
    let fit = |l: Length| {
        let sign = if l > Length::ZERO { "+" } else { "" };
        format!("{sign}{}", l.show(Unit::Millimetre))
    };
    let mut text = if stock.cut_width == Length::ZERO {
        "The cut removes nothing: lines lie on the finished edge.".to_owned()
    } else {
        format!(
            "Lines allow for a cut of {} full width: {} to either side of the line.",
            stock.cut_width.show(Unit::Millimetre),
            (stock.cut_width / 2).show(Unit::Millimetre)
        )
    };
    text.push_str(&format!(
        " Slots against the sheet's thickness: combs {}, tabs {}, halved dividers {}.",
        fit(stock.fit.finger),
        fit(stock.fit.tab),
        fit(stock.fit.halved)
    ));
    text
}

/// Which face lies up, in words; nothing where it does not matter.
pub(super) fn faces(lot: &Lot, sheet: &CutSheet) -> String {
    let backs: Vec<&str> = sheet
        .placed
        .iter()
        .filter_map(|(i, _)| lot.items.get(*i))
        .filter(|i| i.back_up)
        .map(|i| i.label.as_str())
        .collect();
    match (lot.stock.one_good_face, backs.is_empty()) {
        (true, _) => "Lay the sheet with its good face up.".to_owned(),
        (false, false) => format!("Drawn from their backs: {}.", backs.join(", ")),
        (false, true) => String::new(),
    }
}

/// The legend below the sheet and its height.
fn legend(job: &CutJob, lot: &Lot, sheet: &CutSheet, room: f64, top: f64) -> (String, f64) {
    let mut svg = Svg::new();
    svg.raw("<g id=\"not-cut-legend\">\n");
    let row = TEXT * LINE + 0.8;
    let mut y = top + 6.0;
    let ink = Ink { size: TEXT, fill: INK, bold: false };
    let text = |svg: &mut Svg, y: &mut f64, x: f64, words: &str, bold: bool| {
        for line in wrap_hard(words, TEXT, room - x - 4.0, bold) {
            let area = Area::new(x, *y, room - x - 1.0, row);
            svg.text((x, *y + TEXT * RISE), Anchor::Start, Ink { bold, ..ink }, area, &line);
            *y += row;
        }
    };
    text(&mut svg, &mut y, 4.0, &heading(job, lot, sheet), true);
    text(
        &mut svg,
        &mut y,
        4.0,
        "Nothing here below the sheet is cut. One unit of this file is one millimetre.",
        false,
    );
    text(&mut svg, &mut y, 4.0, &allowed(lot), false);
    let faces = faces(lot, sheet);
    if !faces.is_empty() {
        text(&mut svg, &mut y, 4.0, &faces, false);
    }
    for operation in Operation::ALL {
        let count = sheet.of(operation).count();
        if count > 0 {
            let at = y + row / 2.0;
            svg.line((4.0, at), (27.0, at), &style_in(operation, operation.colour(&lot.stock.colours)));
            let words = format!("{}: {} ({count})", operation.name(), operation.about());
            text(&mut svg, &mut y, 30.0, &words, false);
        }
    }
    let at = y + row / 2.0;
    svg.raw(&format!(
        "<path id=\"not-cut-scale-bar\" d=\"M4 {0}L104 {0}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.4\"/>\n",
        num(at)
    ));
    for x in [4.0, 104.0] {
        svg.line((x, at - 1.5), (x, at + 1.5), "stroke=\"#000\" stroke-width=\"0.4\"");
    }
    text(&mut svg, &mut y, 107.0, "100 mm", false);
    svg.raw("</g>\n");
    (svg.into_inner(), y + 4.0 - top)
}

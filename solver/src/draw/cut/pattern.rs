//! Patterns on paper at true size, for knife and saw: panels side by side on pages, larger ones tiled over several with
//! marks by which the pages are put together.

use super::sheet_svg::{data, style};
use super::words;
use crate::cut::kerf::{Allowance, cut_lines};
use crate::cut::ring::{bounds, carried, flat};
use crate::cut::{CutJob, Lot, Operation, Options, Path};
use crate::draw::label::{self, LINE, RISE};
use crate::draw::palette::INK;
use crate::draw::svg::{Anchor, Area, FONTS, Ink, Svg, escape, num, plain};
use crate::job::Process;
use crate::length::Length;
use crate::panel::{Ring, Spot};
use crate::sheet::{Piece, Rules, SheetSize, lay_out};
use crate::stop::Stop;

/// What both A4 and Letter can print, with 10 mm margins, less the head of the page.
const WIDE: i64 = 190;
const TALL: i64 = 238;
/// Kept free along the edges of a page, so that no line is cut off.
const EDGE: i64 = 1;
/// Head with the scale bar.
const HEAD: i64 = 16;
/// How far tiles of a large panel overlap.
const OVERLAP: i64 = 10;
/// Between panels on a page.
const SPACING: Length = Length::mm(5);
/// Trials in packing a page: patterns need not be the tightest.
const NODES: u64 = 30_000;

const STYLE: &str = "@page { size: auto; margin: 10mm; }\n\
body { margin: 0; background: #fff; }\n\
svg { display: block; break-after: page; break-inside: avoid; overflow: hidden; }\nsvg:last-child { break-after: auto; }\n\
@media screen { svg { margin: 0 auto 8mm; outline: 1px solid #bbb; } body { padding: 6mm 0; } }\n";

/// A panel to be drawn once: its lines in their own coordinates, from (0, 0), and what is said about it.
struct Sample {
    lines: Vec<(Operation, Ring)>,
    w: Length,
    d: Length,
    name: String,
    about: String,
}

/// The pages, or `None` where no stock is cut by hand and none was asked for.
pub(super) fn pattern(made: &CutJob, options: &Options) -> Option<String> {
    let lots: Vec<&Lot> =
        made.lots.iter().filter(|l| options.pattern || l.stock.process != Process::Laser).collect();
    if lots.is_empty() {
        return None;
    }
    let mut pages = Vec::new();
    for lot in lots {
        let (small, large): (Vec<Sample>, Vec<Sample>) =
            samples(made, lot).into_iter().partition(goes_on_page);
        packed(lot, &small, &mut pages);
        for sample in &large {
            tiled(lot, sample, &mut pages);
        }
    }
    let title = plain(&made.title);
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{}: pattern</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n",
        escape(&title)
    );
    let count = pages.len();
    for (i, (heading, inner)) in pages.iter().enumerate() {
        out.push_str(&page(&format!("{title}, page {} of {count}: {heading}", i + 1), inner));
    }
    out.push_str("</body>\n</html>\n");
    Some(out)
}

/// Every different panel of a lot, once.
fn samples(made: &CutJob, lot: &Lot) -> Vec<Sample> {
    let allowance = Allowance { full_width: Length::ZERO, fits: lot.stock.fit };
    let mut seen: Vec<(usize, usize)> = Vec::new();
    let mut out = Vec::new();
    for item in &lot.items {
        if seen.contains(&(item.tray, item.panel)) {
            continue;
        }
        seen.push((item.tray, item.panel));
        let Some(tray) = made.trays.get(item.tray) else { continue };
        let Some(panel) = tray.panels.get(item.panel) else { continue };
        // Without a cut to allow for, what could be laid out can be drawn.
        let Ok(cut) = cut_lines(panel, &allowance) else { continue };
        let turn = |p: Spot| if item.back_up { Spot { x: -p.x, y: p.y } } else { p };
        let (least, most) = bounds(&carried(&cut.outline, item.back_up, turn));
        let at = |ring: &Ring| carried(ring, item.back_up, |p| turn(p) - least);
        let mut lines = Vec::new();
        for (recess, ring) in panel.recesses.iter().zip(&cut.recesses) {
            let above = recess.from_face != item.back_up;
            lines.push((if above { Operation::Recess } else { Operation::RecessBelow }, at(ring)));
        }
        lines.extend(cut.openings.iter().map(|r| (Operation::Opening, at(r))));
        lines.push((Operation::Outline, at(&cut.outline)));
        let labels: Vec<&str> = lot
            .items
            .iter()
            .filter(|i| (i.tray, i.panel) == (item.tray, item.panel))
            .map(|i| i.label.as_str())
            .collect();
        let back = if item.back_up { ", from its back" } else { "" };
        out.push(Sample {
            lines,
            w: most.x - least.x,
            d: most.y - least.y,
            name: labels.join(", "),
            about: format!("{}{back}", plain(&panel.name)),
        });
    }
    out
}

fn goes_on_page(s: &Sample) -> bool {
    let (w, t) = (Length::mm(WIDE - 2 * EDGE), Length::mm(TALL - 2 * EDGE));
    (s.w <= w && s.d <= t) || (s.d <= w && s.w <= t)
}

/// Panels side by side.
fn packed(lot: &Lot, samples: &[Sample], pages: &mut Vec<(String, String)>) {
    let pieces: Vec<Piece> =
        samples.iter().map(|s| Piece { name: s.name.clone(), w: s.w, d: s.d, turns: true }).collect();
    let size = SheetSize { w: Length::mm(WIDE), d: Length::mm(TALL), price_hundredths: None, most: None };
    let rules = Rules { margin: Length::mm(EDGE), spacing: SPACING, straight: false };
    // Every piece goes on a page, so that a layout is always found.
    let Ok(plan) = lay_out(&pieces, &[size], &rules, &Stop::nodes(NODES)) else { return };
    for layout in &plan.sheets {
        let mut svg = Svg::new();
        for placed in &layout.placed {
            let Some(s) = samples.get(placed.piece) else { continue };
            let (w, d) = if placed.turned { (s.d, s.w) } else { (s.w, s.d) };
            let shift = Spot { x: placed.x + if placed.turned { s.d } else { Length::ZERO }, y: placed.y };
            let map = |p: Spot| if placed.turned { shift + Spot { x: -p.y, y: p.x } } else { shift + p };
            for (operation, ring) in &s.lines {
                let path = Path::Closed(carried(ring, false, map));
                svg.raw(&format!(
                    "<path {} d=\"{}\"/>\n",
                    style(*operation),
                    data(&path, Length::mm(HEAD + TALL))
                ));
            }
            let a = Area::new(
                placed.x.to_mm_f64(),
                (Length::mm(HEAD + TALL) - placed.y - d).to_mm_f64(),
                w.to_mm_f64(),
                d.to_mm_f64(),
            );
            if let Some(fit) = label::fit(&s.name, &s.about, (a.w - 2.0, a.h - 2.0), 4.0) {
                fit.draw(&mut svg, a);
            }
        }
        pages.push((words::stock(lot), svg.into_inner()));
    }
}

/// One panel over several pages.
fn tiled(lot: &Lot, s: &Sample, pages: &mut Vec<(String, String)>) {
    let (step_x, step_y) = ((WIDE - OVERLAP) as f64, (TALL - OVERLAP) as f64);
    let count =
        |length: Length, step: f64| ((length.to_mm_f64() - OVERLAP as f64) / step).ceil().max(1.0) as i64;
    let (columns, rows) = (count(s.w, step_x), count(s.d, step_y));
    let top = (HEAD + TALL) as f64;
    for row in 0..rows {
        for column in 0..columns {
            let (x0, y0) = (column as f64 * step_x, row as f64 * step_y);
            let mut svg = Svg::new();
            for (operation, ring) in &s.lines {
                let points: Vec<(f64, f64)> =
                    flat(ring, 24).iter().map(|p| (p.x.to_mm_f64() - x0, p.y.to_mm_f64() - y0)).collect();
                let mut path = String::new();
                for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
                    if let Some((a, b)) = clipped(*a, *b, (WIDE as f64, TALL as f64)) {
                        path.push_str(&format!(
                            "M{} {}L{} {}",
                            num(a.0),
                            num(top - a.1),
                            num(b.0),
                            num(top - b.1)
                        ));
                    }
                }
                if !path.is_empty() {
                    svg.raw(&format!("<path {} d=\"{path}\"/>\n", style(*operation)));
                }
            }
            // Marks lie in the middle of the overlaps, at the same places of the panel on every page that shows them.
            let half = OVERLAP as f64 / 2.0;
            for i in 0..=columns {
                for k in 0..=rows {
                    let (x, y) = (i as f64 * step_x + half - x0, k as f64 * step_y + half - y0);
                    if (3.0..=WIDE as f64 - 3.0).contains(&x) && (3.0..=TALL as f64 - 3.0).contains(&y) {
                        mark(
                            &mut svg,
                            x,
                            top - y,
                            &format!("{}{}", i + 1, char::from(b'a' + (k % 26) as u8)),
                        );
                    }
                }
            }
            let room = Area::new(
                WIDE as f64 / 4.0,
                HEAD as f64 + TALL as f64 / 4.0,
                WIDE as f64 / 2.0,
                TALL as f64 / 2.0,
            );
            if let Some(fit) = label::fit(&s.name, &s.about, (room.w, room.h), 4.0) {
                fit.draw(&mut svg, room);
            }
            let heading = format!(
                "{}, {}, row {} of {rows} from the front, column {} of {columns} from the left",
                words::stock(lot),
                s.name,
                row + 1,
                column + 1
            );
            pages.push((heading, svg.into_inner()));
        }
    }
}

/// A cross in a ring, with its name.
fn mark(svg: &mut Svg, x: f64, y: f64, name: &str) {
    let look = "fill=\"none\" stroke=\"#000\" stroke-width=\"0.15\"";
    svg.circle((x, y), 1.8, look);
    svg.line((x - 2.8, y), (x + 2.8, y), look);
    svg.line((x, y - 2.8), (x, y + 2.8), look);
    let ink = Ink { size: 2.6, fill: INK, bold: false };
    // Beside the mark, on the side that lies on the page.
    let (at, anchor, left) =
        if x > 20.0 { (x - 3.2, Anchor::End, x - 12.0) } else { (x + 3.2, Anchor::Start, x + 3.0) };
    svg.text((at, y - 3.4 + 2.6 * RISE), anchor, ink, Area::new(left, y - 3.6, 9.2, 2.6 * LINE + 0.4), name);
}

/// What of a straight line lies on the page (Liang and Barsky, ACM Trans. Graphics 3, 1984).
fn clipped(a: (f64, f64), b: (f64, f64), size: (f64, f64)) -> Option<((f64, f64), (f64, f64))> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, q) in [(-dx, a.0), (dx, size.0 - a.0), (-dy, a.1), (dy, size.1 - a.1)] {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            from = from.max(q / p);
        } else {
            to = to.min(q / p);
        }
    }
    (from < to).then_some(((a.0 + from * dx, a.1 + from * dy), (a.0 + to * dx, a.1 + to * dy)))
}

/// One page: its head with the scale bar, and what is on it.
fn page(heading: &str, inner: &str) -> String {
    let mut svg = Svg::new();
    let row = 2.8 * LINE;
    let ink = Ink { size: 2.8, fill: INK, bold: false };
    let lines = label::wrap_hard(heading, 2.8, WIDE as f64 - 2.0, false);
    for (i, line) in lines.iter().take(2).enumerate() {
        let y = i as f64 * row;
        svg.text((0.5, y + 2.8 * RISE), Anchor::Start, ink, Area::new(0.0, y, WIDE as f64, row), line);
    }
    let y = 11.0;
    svg.raw(&format!("<path class=\"scale-bar\" d=\"M0.5 {y}L100.5 {y}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.4\"/>\n"));
    for k in 0..=10 {
        let x = 0.5 + f64::from(k) * 10.0;
        let long = if k % 5 == 0 { 1.8 } else { 1.1 };
        svg.line((x, y - long), (x, y + long), "stroke=\"#000\" stroke-width=\"0.3\"");
    }
    let words = "100 mm: print at 100 %, not “fit to page”, and measure";
    svg.text(
        (103.0, y - 1.6 + 2.8 * RISE),
        Anchor::Start,
        ink,
        Area::new(102.5, y - 1.8, WIDE as f64 - 103.0, row + 0.4),
        words,
    );
    svg.raw(inner);
    let tall = HEAD + TALL;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{WIDE}mm\" height=\"{tall}mm\" viewBox=\"0 0 {WIDE} {tall}\" font-family=\"{FONTS}\">\n<title>{}</title>\n{}</svg>\n",
        escape(heading),
        svg.into_inner()
    )
}

#[cfg(test)]
mod tests {
    use super::clipped;

    #[test]
    fn lines_end_at_the_edge_of_the_page() {
        assert_eq!(clipped((-10.0, 5.0), (10.0, 5.0), (8.0, 8.0)), Some(((0.0, 5.0), (8.0, 5.0))));
        assert_eq!(clipped((-10.0, 5.0), (-1.0, 5.0), (8.0, 8.0)), None);
        assert_eq!(clipped((2.0, -4.0), (2.0, 40.0), (8.0, 8.0)), Some(((2.0, 0.0), (2.0, 8.0))));
    }
}

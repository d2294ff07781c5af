//! Test coupons as files, with a page that says how to read them.

use super::{CutFile, read_back, sheet_files};
use crate::cut::coupon::{Coupon, coupon};
use crate::cut::{Operation, Path};
use crate::draw::label::{LINE, RISE, width};
use crate::draw::palette::INK;
use crate::draw::report::{STYLE, cautions};
use crate::draw::svg::{Anchor, Area, FONTS, Ink, Svg, document, escape, num, plain};
use crate::finding::Finding;
use crate::job::{Job, Stock};
use crate::length::{Length, Unit};

/// Coupon files of every stock of a brief.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// let made = traywright::draw::coupon_files(&job, "ferry").unwrap();
/// let pages = made.files.iter().filter(|f| f.counts.is_none()).map(|f| &*f.name);
/// assert_eq!(pages.collect::<Vec<_>>(), ["ferry.coupon.html"]); // the others hold lines
/// assert!(made.summary.contains("birch plywood 3 mm"));
/// ```
#[derive(Clone, Debug)]
pub struct CouponFiles {
    /// The files.
    pub files: Vec<CutFile>,
    /// What is said about them, for a screen.
    pub summary: String,
}

/// A coupon for every stock that a brief uses: SVG and DXF each, and one page that tells how to read them.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{draw::coupon_files, length::Length};
/// let names = |job: &job::Job| coupon_files(job, "ferry").map(|made| made.files.len());
/// assert_eq!(names(&job), Ok(3)); // one stock: a page, SVG and DXF
/// let thinner = job::Job { floor: Length::mm(2), ..job.clone() };
/// assert_eq!(names(&thinner), Ok(5)); // floors need a coupon of their own
/// ```
///
/// # Errors
/// `D001` where the cut is so wide that no slot can be cut; `D006` where a file that was read back does not hold what
/// was drawn.
pub fn coupon_files(job: &Job, stem: &str) -> Result<CouponFiles, Vec<Finding>> {
    let mut stocks: Vec<Stock> = Vec::new();
    let mut add = |stock: &Stock, thickness: Length| {
        if !stocks.iter().any(|s| s.id == stock.id && s.thickness == thickness) {
            stocks.push(Stock { thickness, ..stock.clone() });
        }
    };
    add(&job.stock, job.stock.thickness);
    add(job.floor_stock.as_ref().unwrap_or(&job.stock), job.floor);
    add(job.divider_stock.as_ref().unwrap_or(&job.stock), job.divider);
    let (mut coupons, mut faults) = (Vec::new(), Vec::new());
    for stock in &stocks {
        match coupon(stock) {
            Some(made) => coupons.push(made),
            None => {
                let cause = format!(
                    "the cut is {} wide, full width: no slot for a sheet {} thick can be cut",
                    stock.cut_width, stock.thickness
                );
                faults.push(Finding::listed("D001", cause).about(format!("stock \"{}\"", stock.name)));
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut files =
        vec![CutFile { name: format!("{stem}.coupon.html"), text: page(job, &coupons), counts: None }];
    let mut summary = String::new();
    for (i, c) in coupons.iter().enumerate() {
        let name = format!("{stem}.coupon-{}", i + 1);
        summary.push_str(&format!("{name}.svg, {name}.dxf: {}\n", title(c)));
        files.extend(sheet_files(&name, &c.sheet, &c.stock.colours, |_| svg(c)));
    }
    summary.push_str(&format!("{stem}.coupon.html tells how to read them\n"));
    let wrong: Vec<Finding> = files.iter().filter_map(|f| read_back(f, &f.text)).collect();
    if wrong.is_empty() { Ok(CouponFiles { files, summary }) } else { Err(wrong) }
}

fn title(c: &Coupon) -> String {
    let mm = Unit::Millimetre;
    format!(
        "{} {}, {} × {}",
        plain(&c.stock.name),
        c.stock.thickness.show(mm),
        c.sheet.w.show_number(mm),
        c.sheet.d.show(mm)
    )
}

fn lines(c: &Coupon) -> String {
    let mut out = String::new();
    for operation in Operation::ALL {
        if c.sheet.of(operation).next().is_none() {
            continue;
        }
        let style = super::sheet_svg::style_in(operation, operation.colour(&c.stock.colours));
        out.push_str(&format!("<g id=\"{}\" {style}>\n", operation.name()));
        for line in c.sheet.of(operation) {
            out.push_str(&format!("<path d=\"{}\"/>\n", super::sheet_svg::data(&line.path, c.sheet.d)));
        }
        out.push_str("</g>\n");
    }
    out
}

/// The file to cut, what explains it in a group of its own below.
fn svg(c: &Coupon) -> String {
    let (w, d) = (c.sheet.w.to_mm_f64().max(120.0), c.sheet.d.to_mm_f64());
    let mut notes = Svg::new();
    let ink = Ink { size: 3.0, fill: INK, bold: false };
    let row = 3.0 * LINE + 0.4;
    let mut y = d + 4.0;
    let texts = [
        title(c),
        "Nothing below this piece is cut. One unit of this file is one millimetre.".to_owned(),
        "Groups: names (write them by hand if you do not engrave), openings first, outlines last.".to_owned(),
    ];
    for text in texts {
        for line in crate::draw::label::wrap_hard(&text, 3.0, w - 6.0, false) {
            notes.text((3.0, y + 3.0 * RISE), Anchor::Start, ink, Area::new(3.0, y, w - 3.5, row), &line);
            y += row;
        }
    }
    y += 2.0;
    notes.raw(&format!("<path id=\"not-cut-scale-bar\" d=\"M3 {0}L103 {0}\" fill=\"none\" stroke=\"#000\" stroke-width=\"0.4\"/>\n", num(y)));
    notes.text(
        (104.0, y - 1.8 + 3.0 * RISE),
        Anchor::Start,
        ink,
        Area::new(103.8, y - 1.9, w - 104.0, row),
        "100 mm",
    );
    let tall = y + 4.0;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\" font-family=\"{FONTS}\">\n<title>Test coupon: {2}</title>\n\
         <g id=\"not-cut-sheet-edge\" fill=\"none\" stroke=\"#777\" stroke-width=\"0.2\" stroke-dasharray=\"0.4 2\">\n<rect x=\"0\" y=\"0\" width=\"{3}\" height=\"{4}\"/>\n</g>\n{5}<g id=\"not-cut-legend\">\n{6}</g>\n</svg>\n",
        num(w),
        num(tall),
        escape(&title(c)),
        c.sheet.w.decimal(),
        c.sheet.d.decimal(),
        lines(c),
        notes.into_inner()
    )
}

/// How to read all coupons.
fn page(job: &Job, coupons: &[Coupon]) -> String {
    let mut inner = String::new();
    for (i, c) in coupons.iter().enumerate() {
        inner.push_str(&section(i + 1, c));
    }
    let cautions: String = cautions::list(job).iter().map(|t| format!("<li>{}</li>\n", escape(t))).collect();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>Test coupons</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n<header>\n<h1>Test coupons</h1>\n<p class=\"soft\">Cut each from the very sheet that the insert is cut from, with the settings and the machine you will use. The cut differs from sheet to sheet, along and across it.</p>\n</header>\n{inner}\
         <section id=\"cautions\">\n<h2>Cautions</h2>\n<ul class=\"plain small\">\n{cautions}</ul>\n<p class=\"small\">{}</p>\n</section>\n</main>\n</body>\n</html>\n",
        escape(cautions::DEFER)
    )
}

/// One coupon at true size with what its parts mean.
fn section(number: usize, c: &Coupon) -> String {
    let mm = Unit::Millimetre;
    let (w, d) = (c.sheet.w.to_mm_f64(), c.sheet.d.to_mm_f64());
    let scale = (180.0 / w).min(1.0);
    let mut svg = Svg::new();
    svg.raw(&format!("<g transform=\"scale({scale:.6})\">\n"));
    for line in c.sheet.lines.iter() {
        let fill = if matches!(line.path, Path::Closed(_)) && line.operation == Operation::Outline {
            "#f6efe0"
        } else {
            "none"
        };
        let look = format!("fill=\"{fill}\" stroke=\"#000\" stroke-width=\"0.25\"");
        let data = super::sheet_svg::data(&line.path, c.sheet.d);
        if line.operation == Operation::Outline {
            svg = prepended(
                svg,
                &format!("<g transform=\"scale({scale:.6})\"><path {look} d=\"{data}\"/></g>\n"),
            );
        } else {
            svg.raw(&format!("<path {look} d=\"{data}\"/>\n"));
        }
    }
    svg.raw("</g>\n");
    let ink = Ink { size: 3.2, fill: INK, bold: true };
    // Beside the frame of the ladder and between letters and slots is no other text.
    for (text, y) in [("ladder", c.cuts.map(|_| d - 7.0)), ("comb", Some(1.2))] {
        if let Some(y) = y {
            let room =
                Area::new(w * scale + 1.0, y.max(0.0) * scale, width(text, 3.2, true) + 1.0, 3.2 * LINE);
            svg.text((room.x, room.y + 3.2 * RISE), Anchor::Start, ink, room, text);
        }
    }
    let wide = w * scale + 1.0 + width("ladder", 3.2, true) + 1.5;
    let picture = document(wide, (d * scale).max(12.0), "The coupon", "", "", &svg.into_inner());
    // What a brief's own stock is known by is its name.
    let known = if c.stock.id == c.stock.name { "name" } else { "id" };
    let id = escape(&plain(&c.stock.id));
    let mut out = format!(
        "<section id=\"coupon-{number}\">\n<h2>Coupon {number}: {}</h2>\n<figure>\n{picture}</figure>\n<ol class=\"plain\">\n",
        escape(&title(c))
    );
    out.push_str("<li><b>Thickness.</b> Measure this sheet at eight places, 50 mm from its edges: the corners and the middles of the sides. The mean is <code>thickness</code>, greatest less least is <code>thickness_spread</code>.</li>\n");
    if let Some(cuts) = c.cuts {
        let rows: String = [10, 12, 15, 18, 20, 22, 25, 30, 35, 40]
            .iter()
            .map(|h| {
                let width = Length::um(h * 10);
                format!(
                    "<tr><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>\n",
                    (width * cuts).show_number(mm),
                    width.show_number(mm)
                )
            })
            .collect();
        out.push_str(&format!(
            "<li><b>Ladder: the width of the cut.</b> Push the {} loose strips together in their window, all to one side. {cuts} cuts lie along the row, so the gap that is left, divided by {cuts}, is the <em>full width</em> of the cut, not the half of it: <code>cut_width</code>.\n\
             <table style=\"max-width: 90mm\"><thead><tr><th class=\"n\">gap, mm</th><th class=\"n\">cut_width (full width), mm</th></tr></thead><tbody>\n{rows}</tbody></table></li>\n",
            cuts - 1
        ));
    } else {
        out.push_str(
            "<li><b>No ladder:</b> this cut is said to remove nothing (<code>cut_width = 0</code>).</li>\n",
        );
    }
    let least = c.fits.first().map_or(String::new(), |f| f.show(mm));
    let most = c.fits.last().map_or(String::new(), |f| format!("+{}", f.show(mm)));
    let after = if c.cuts.is_some() {
        "If the ladder said another width than the stock does, correct that first and cut the coupon again. "
    } else {
        ""
    };
    out.push_str(&format!(
        "<li><b>Comb: the fit.</b> {after}Push the edge of an offcut of the same sheet into the slots, the wide ones first. From the left they are {least} to {most} wider than the sheet is thick, in steps of {}; the numbers say it in hundredths of a millimetre. \
         The widest that still goes home by a firm push is your push fit, one that slides in by hand your easy fit, the narrowest that can be tapped home without splitting your press fit. Write that length as <code>fit</code>, for all joints or joint by joint.</li>\n</ol>\n",
        crate::cut::coupon::STEP.show(mm)
    ));
    out.push_str(&format!("<p>What goes back into the stock’s record (values are those that the coupon was drawn for):</p>\n<pre class=\"small\" style=\"white-space: pre-wrap\">{known} = \"{id}\"\nthickness = \"{}\"\nthickness_spread = \"…\"\ncut_width = \"{}\"       # full width\nfit = {{ finger = \"{}\", tab = \"{}\", halved = \"{}\" }}</pre>\n</section>\n",
        c.stock.thickness.show(mm), c.stock.cut_width.show(mm), c.stock.fit.finger.show(mm), c.stock.fit.tab.show(mm), c.stock.fit.halved.show(mm)));
    out
}

/// The same picture with something behind it.
fn prepended(svg: Svg, behind: &str) -> Svg {
    let mut out = Svg::new();
    out.raw(behind);
    out.raw(&svg.into_inner());
    out
}

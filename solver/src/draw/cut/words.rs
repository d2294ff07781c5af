//! Numbers as the files of a cut say them, and the summary for a screen.

use super::CutFile;
use crate::cut::{CutJob, Estimate, Lot, estimate};
use crate::draw::svg::plain;
use crate::job::Process;
use crate::length::Unit;

/// Seconds as minutes, or as hours and minutes; at least a minute where there is anything.
pub(super) fn time(seconds: f64) -> String {
    let minutes = (seconds / 60.0).ceil().max(0.0) as i64;
    if minutes < 60 {
        format!("{minutes} min")
    } else {
        format!("{} h {:02} min", minutes / 60, minutes % 60)
    }
}

/// Seconds as they are, so that the terms of a sum add up.
fn term(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as i64;
    match (whole / 60, whole % 60) {
        (0, s) => format!("{s} s"),
        (m, 0) => format!("{m} min"),
        (m, s) => format!("{m} min {s} s"),
    }
}

/// Metres with one decimal.
pub(super) fn metres(mm: f64) -> String {
    format!("{:.1} m", mm / 1e3)
}

/// Grams.
pub(super) fn grams(mg: i64) -> String {
    format!("{} g", (mg + 500) / 1000)
}

/// A price as it was written.
pub(super) fn price(hundredths: i64) -> String {
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}

/// Name and thickness of a lot's stock.
pub(super) fn stock(lot: &Lot) -> String {
    format!("{} {}", plain(&lot.stock.name), lot.stock.thickness.show(Unit::Millimetre))
}

/// The time of a lot with every term.
pub(super) fn terms(lot: &Lot, e: &Estimate) -> String {
    let c = &lot.stock.cutting;
    format!(
        "{} at {} mm/s = {} + {} lines × {} s = {} + {} × {} to set up = {}",
        metres(e.length_mm),
        thousandths(c.um_a_second),
        term(e.cutting_s),
        e.lines,
        thousandths(c.pierce_ms),
        term(e.pierces_s),
        e.sheets,
        term(c.setup_ms as f64 / 1e3),
        term(e.setup_s),
    )
}

fn thousandths(v: i64) -> String {
    crate::draw::words::trimmed(v as f64 / 1e3, 3)
}

/// What is proven about a lot's sheets.
pub(super) fn proven(lot: &Lot) -> String {
    let (cost, bound) = (lot.plan.cost, lot.plan.bound);
    let what = if lot.plan.by_price { "price" } else { "area" };
    if cost == bound {
        return format!("no choice of sheets has a lower {what}: proven");
    }
    let gap = if cost > 0 { 100.0 * (cost - bound) as f64 / cost as f64 } else { 0.0 };
    format!("at most {gap:.0} % of the sheets' {what} could be saved")
}

/// How a stock is cut, in a word.
pub(super) fn process(process: Process) -> &'static str {
    match process {
        Process::Laser => "laser",
        Process::Knife => "knife",
        Process::Saw => "saw",
    }
}

/// What was made, for a screen.
pub(super) fn summary(job: &CutJob, files: &[CutFile]) -> String {
    let sheets: usize = job.lots.iter().map(|l| l.sheets.len()).sum();
    let panels: usize = job.lots.iter().map(|l| l.items.len()).sum();
    let count = |n: usize, one: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") };
    let mut out =
        format!("{}: {} on {}\n", plain(&job.title), count(panels, "panel"), count(sheets, "sheet"));
    for lot in &job.lots {
        let e = estimate(job, lot);
        let sizes: Vec<String> = lot
            .sheets
            .iter()
            .map(|s| format!("{} × {}", s.w.show_number(Unit::Millimetre), s.d.show_number(Unit::Millimetre)))
            .collect();
        out.push_str(&format!(
            "  {}, cut by {}, {} full width of the cut: {} ({}), {:.0} % of them used\n",
            stock(lot),
            process(lot.stock.process),
            lot.stock.cut_width.show(Unit::Millimetre),
            count(lot.sheets.len(), "sheet"),
            sizes.join(", "),
            e.yield_percent()
        ));
        out.push_str(&format!("    {}\n", proven(lot)));
        out.push_str(&format!("    {}: {} in all\n", terms(lot, &e), time(e.total_s())));
        if let Some(mg) = e.mass_mg {
            out.push_str(&format!("    {} of panels\n", grams(mg)));
        }
    }
    let lines: usize =
        files.iter().filter_map(|f| f.counts.as_ref()).map(|c| c.lines.values().sum::<usize>()).sum();
    let read = files.iter().filter(|f| f.counts.is_some()).count();
    out.push_str(&format!(
        "  {} written, {read} of them read back and counted: {lines} lines\n",
        count(files.len(), "file")
    ));
    out.push_str(
        "  Cut a test coupon first (`traywright coupon`): it measures the width of the cut and the fit.\n",
    );
    out
}

//! Panels that no sheet or machine takes, with the smallest change that mends it.

use super::{Cut, Panel};
use crate::finding::Finding;
use crate::job::{Job, Stock};
use crate::length::Length;

/// Which stock a panel is cut from.
fn stock(job: &Job, cut: Cut) -> &Stock {
    let other = match cut {
        Cut::Body => None,
        Cut::Floor => job.floor_stock.as_ref(),
        Cut::Divider => job.divider_stock.as_ref(),
    };
    other.unwrap_or(&job.stock)
}

/// How much larger, in width and depth, a rectangle must become to take another either way round; the lesser sum.
fn short((w, d): (Length, Length), within: (Length, Length)) -> (Length, Length) {
    let over = |w: Length, d: Length| ((w - within.0).max(Length::ZERO), (d - within.1).max(Length::ZERO));
    let (as_is, turned) = (over(w, d), over(d, w));
    if turned.0 + turned.1 < as_is.0 + as_is.1 { turned } else { as_is }
}

/// K003 where no sheet takes the panel with its cut and margins, K004 where the bed does not.
pub(super) fn too_large(job: &Job, panel: &Panel, tray: &str) -> Vec<Finding> {
    let spots = || panel.outline.spans().map(|(from, _)| from);
    let (Some(w), Some(d)) = (spots().map(|s| s.x).max(), spots().map(|s| s.y).max()) else {
        return Vec::new();
    };
    let about = |f: Finding| f.about(format!("tray \"{tray}\" › {} ({})", panel.name, panel.letter));
    let mut out = Vec::new();
    let stock = stock(job, panel.cut);
    let fixed = stock.margin * 2;
    let with_cut = (w + stock.cut_width, d + stock.cut_width);
    // The grain runs along the longer side, and along the width of the sheet.
    let along = |within: (Length, Length)| {
        let (long, across) = (with_cut.0.max(with_cut.1), with_cut.0.min(with_cut.1));
        ((long - within.0).max(Length::ZERO), (across - within.1).max(Length::ZERO))
    };
    let over = |within| if stock.grain { along(within) } else { short(with_cut, within) };
    let least = stock
        .sheets
        .iter()
        .map(|s| (over((s.size.w - fixed, s.size.d - fixed)), s))
        .min_by_key(|(over, _)| over.0 + over.1);
    if let Some((over, sheet)) = least
        && over != (Length::ZERO, Length::ZERO)
    {
        let cause = format!(
            "the {} is {w} × {d}, which no sheet of \"{}\" takes (margins of {} left free{})",
            panel.name,
            stock.name,
            stock.margin,
            if stock.grain { ", the grain along the longer side" } else { "" }
        );
        let remedy = format!(
            "Take a sheet of at least {} × {}, or make the tray smaller by {}.",
            sheet.size.w + over.0,
            sheet.size.d + over.1,
            over.0.max(over.1)
        );
        out.push(about(Finding::listed("K003", cause).remedied(remedy)));
    }
    if let Some(bed) = job.wishes.largest_tray {
        let over = short((w, d), bed);
        if over != (Length::ZERO, Length::ZERO) {
            let cause = format!(
                "the {} is {w} × {d}; the largest that is wished for is {} × {}",
                panel.name, bed.0, bed.1
            );
            let remedy = format!(
                "Make the tray smaller by {}, or allow {} × {}.",
                over.0.max(over.1),
                bed.0 + over.0,
                bed.1 + over.1
            );
            out.push(about(Finding::listed("K004", cause).remedied(remedy)));
        }
    }
    out
}

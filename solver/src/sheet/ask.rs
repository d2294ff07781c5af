//! Faults of the question: what cannot be laid out, whatever the sheets.

use super::reduced::MOST_SHEETS;
use super::{Piece, Rules, SheetSize};
use crate::finding::Finding;
use crate::length::Length;

/// Everything that is wrong with pieces, sizes and rules.
pub(super) fn faults(pieces: &[Piece], sizes: &[SheetSize], rules: &Rules) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut say = |code, cause: String| found.push(Finding::listed(code, cause));
    let sane = |l: Length| l > Length::ZERO && l <= LONGEST;
    for p in pieces.iter().filter(|p| !sane(p.w) || !sane(p.d)) {
        say("H001", format!("`{}` is {} × {}", p.name, p.w, p.d));
    }
    for (i, s) in sizes.iter().enumerate() {
        let name = format!("sheet size {} ({} × {})", i + 1, s.w, s.d);
        if !sane(s.w) || !sane(s.d) {
            say("H002", format!("{name} cannot be"));
        } else if rules.margin * 2 >= s.w.min(s.d) {
            say("H003", format!("{name} has nothing within margins of {}", rules.margin));
        }
        if s.price_hundredths.is_some_and(|p| !(0..=MOST_PRICE).contains(&p)) {
            say("H004", format!("{name} has a price below nothing or beyond reason"));
        }
    }
    for (name, l) in [("margin", rules.margin), ("spacing", rules.spacing)] {
        if l < Length::ZERO || l > LONGEST {
            say("H005", format!("a {name} of {l}"));
        }
    }
    if pieces.len() > MOST_PIECES {
        say("H006", format!("{} pieces", pieces.len()));
    }
    if sizes.len() > MOST_SIZES {
        say("H006", format!("{} sizes of sheets", sizes.len()));
    }
    if !pieces.is_empty() && sizes.iter().all(|s| s.most == Some(0)) {
        say("H007", "there is no sheet".to_owned());
    }
    if found.is_empty() {
        found.extend(pieces.iter().filter_map(|p| held(p, sizes, rules)));
    }
    found
}

/// No sheet is longer, nor what is cut from it: 10 m.
const LONGEST: Length = Length::mm(10_000);
/// Dearer sheets are a slip: a hundred million.
const MOST_PRICE: i64 = 10_000_000_000;
/// More pieces are never cut at once.
const MOST_PIECES: usize = MOST_SHEETS;
/// More sizes are no choice any more.
const MOST_SIZES: usize = 40;

/// The finding of a piece that lies on no sheet, with what would be large enough.
fn held(p: &Piece, sizes: &[SheetSize], rules: &Rules) -> Option<Finding> {
    let over = |s: &SheetSize, w: Length, d: Length| {
        let inner = |l: Length| l - rules.margin * 2;
        (w - inner(s.w)).max(Length::ZERO).max((d - inner(s.d)).max(Length::ZERO))
    };
    let mut least: Option<Length> = None;
    for s in sizes.iter().filter(|s| s.most != Some(0)) {
        let mut this = over(s, p.w, p.d);
        if p.turns {
            this = this.min(over(s, p.d, p.w));
        }
        least = Some(least.map_or(this, |l| l.min(this)));
    }
    let short = least.filter(|l| *l > Length::ZERO)?;
    let cause = format!("`{}` ({} × {}) is {short} too large for every sheet", p.name, p.w, p.d);
    let turn = if p.turns { "" } else { ", or let it lie across the grain" };
    Some(
        Finding::listed("H008", cause).remedied(format!(
            "Take a sheet that is {short} larger, a smaller margin, or a smaller tray{turn}."
        )),
    )
}

/// The sheets there are cannot be enough.
pub(super) fn too_few(sizes: &[SheetSize]) -> Finding {
    let there: usize = sizes.iter().filter_map(|s| s.most).sum();
    Finding::listed(
        "H009",
        format!("the {there} sheets there are cannot hold all pieces: their room is less than needed"),
    )
}

/// No layout was found on the sheets there are.
pub(super) fn not_found(left: usize) -> Finding {
    Finding::listed("H010", format!("{left} pieces found no room on the sheets there are"))
}

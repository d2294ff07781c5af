//! Outlines that trays may have: what the maker wishes, and what sheets take that the brief or the stock list names.

use super::Job;
use super::stock::{Sheet, Stock};
use crate::length::Length;

/// Width and depth, as they lie in the box.
type Outline = (Length, Length);

/// Most outlines, of which a tray must lie within one; `None` where the box alone limits it.
pub(crate) fn allowed(job: &Job) -> Option<Vec<Outline>> {
    let wished = job.wishes.largest_tray.map(either_way);
    match (wished, on_sheets(job)) {
        (None, None) => None,
        (Some(one), None) | (None, Some(one)) => Some(one),
        (Some(wished), Some(sheets)) => {
            let both = wished.iter().flat_map(|w| sheets.iter().map(|s| (w.0.min(s.0), w.1.min(s.1))));
            Some(both.collect())
        }
    }
}

/// What the sheets take; `None` where they take all that the box does. Floors and walls are cut in one piece each: a tray is
/// no larger than a sheet takes, though some joints would leave its floor a little smaller. Whether a wall is too high for
/// all of them is seen when it is cut. Sheets that are only supposed limit nothing.
pub(crate) fn on_sheets(job: &Job) -> Option<Vec<Outline>> {
    let inside = (job.container.interior.w, job.container.interior.d);
    let beds = |s: &Stock| -> Vec<Outline> {
        if s.sheets_assumed { vec![inside] } else { s.sheets.iter().map(|sheet| bed(s, sheet)).collect() }
    };
    let longest = beds(&job.stock).iter().map(|b| b.0.max(b.1)).max()?;
    let floors = beds(job.floor_stock.as_ref().unwrap_or(&job.stock));
    let mut all: Vec<Outline> =
        floors.into_iter().map(|b| (b.0.min(longest), b.1.min(longest))).flat_map(either_way).collect();
    // What has no room between walls takes no tray.
    let walls = job.stock.thickness * 2;
    all.retain(|o| o.0 > walls && o.1 > walls);
    if all.is_empty() {
        all.push((Length::ZERO, Length::ZERO));
    }
    (!takes(Some(&all), inside.0, inside.1)).then_some(all)
}

/// The largest panel of a sheet. Where there is grain, it runs along the width of the sheet and the longer side of a panel.
fn bed(stock: &Stock, sheet: &Sheet) -> Outline {
    let lost = stock.margin * 2 + stock.cut_width;
    let (w, d) = (sheet.size.w - lost, sheet.size.d - lost);
    (w, if stock.grain { d.min(w) } else { d })
}

fn either_way((w, d): Outline) -> Vec<Outline> {
    vec![(w, d), (d, w)]
}

/// Whether one of them takes this.
pub(crate) fn takes(allowed: Option<&[Outline]>, w: Length, d: Length) -> bool {
    allowed.is_none_or(|all| all.iter().any(|a| w <= a.0 && d <= a.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::{Format, Starter, starter};

    fn outlines(changes: &[(&str, &str)]) -> Option<Vec<(i64, i64)>> {
        let changes: Vec<(String, String)> =
            changes.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        let job = crate::job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &changes).unwrap();
        let mm = |l: Length| l.nm() / 1_000_000;
        allowed(&job).map(|all| all.iter().map(|o| (mm(o.0), mm(o.1))).collect())
    }

    #[test]
    fn sheets_and_wishes_limit_trays() {
        let (bare, margin) = (("stock.cut_width", "0"), ("stock.margin", "5"));
        let sheets =
            |list| outlines(&[bare, margin, ("box.interior", "[300, 230, 90]"), ("stock.sheets", list)]);
        assert_eq!(sheets("[[600, 300]]"), None);
        assert_eq!(sheets("[[210, 110], [600, 300]]"), None);
        assert_eq!(sheets("[[210, 110]]"), Some(vec![(200, 100), (100, 200)]));
        let both = [bare, margin, ("stock.sheets", "[[210, 110]]"), ("wishes.largest_tray", "[150, 120]")];
        assert_eq!(outlines(&both), Some(vec![(150, 100), (100, 120), (120, 100), (100, 150)]));
        // The grain runs along 110 mm: no panel is longer.
        let grain = [bare, margin, ("stock.sheets", "[[110, 210]]"), ("stock.grain", "true")];
        assert_eq!(outlines(&grain), Some(vec![(100, 100), (100, 100)]));
        assert_eq!(outlines(&[bare, margin]), None);
    }
}

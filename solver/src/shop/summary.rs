//! What a run over many boxes comes to: the smallest box that fits each brief.

use super::BatchRow;
use super::table::{Cell, Table};
use crate::draw::{Bar, bars, cell, count, escape, inline, page, plain, table_head, wrap};

/// Bars drawn for one brief; a table says the rest.
const MOST_BARS: usize = 40;

/// The jobs of one brief, smallest box first.
struct Group<'a> {
    brief: &'a str,
    title: &'a str,
    rows: Vec<(f64, &'a BatchRow)>,
    /// Jobs of the brief that were not run: nobody knows how large their boxes are.
    not_run: usize,
}

impl<'a> Group<'a> {
    /// The row with the smallest box of those that fit; where two boxes are as large, the first in the list.
    fn smallest(&self) -> Option<&'a BatchRow> {
        self.rows.iter().find(|(_, row)| row.fits()).map(|(_, row)| *row)
    }

    /// The row of least cost: box and sheets where both are known of some row, else whichever is.
    fn cheapest(&self) -> Option<&'a BatchRow> {
        let fits = || self.rows.iter().map(|(_, row)| *row).filter(|row| row.fits());
        let least = |cost: &dyn Fn(&BatchRow) -> Option<f64>| {
            let costed = fits().filter_map(|row| Some((cost(row)?, row)));
            costed.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, row)| row)
        };
        let both = |row: &BatchRow| Some(price(row, "box_price")? + price(row, "sheet_price")?);
        least(&both)
            .or_else(|| least(&|row| price(row, "box_price")))
            .or_else(|| least(&|row| price(row, "sheet_price")))
    }

    fn name(&self) -> String {
        if self.title.is_empty() { plain(self.brief) } else { plain(self.title) }
    }
}

/// A price that is a plain number.
fn price(row: &BatchRow, column: &str) -> Option<f64> {
    row.get(column).parse().ok()
}

/// Litres of a box, where its row knows them.
fn litres(row: &BatchRow) -> Option<f64> {
    let sides = ["width_mm", "depth_mm", "height_mm"].map(|side| row.get(side).parse::<f64>());
    match sides {
        [Ok(w), Ok(d), Ok(h)] => Some(w * d * h / 1e6),
        _ => None,
    }
}

fn groups(rows: &[BatchRow]) -> Vec<Group<'_>> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    for row in rows {
        let Some(litres) = litres(row) else { continue };
        let brief = row.get("brief");
        let at = groups.iter().position(|g| g.brief == brief).unwrap_or(groups.len());
        if at == groups.len() {
            groups.push(Group { brief, title: row.get("title"), rows: Vec::new(), not_run: 0 });
        }
        if let Some(group) = groups.get_mut(at) {
            group.rows.push((litres, row));
        }
    }
    for group in &mut groups {
        let of_it = rows.iter().filter(|row| row.get("brief") == group.brief);
        group.not_run = of_it.filter(|row| row.get("result") == "not run").count();
        group.rows.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    groups
}

/// The box of a row in words.
fn box_of(row: &BatchRow) -> String {
    let sides = ["width_mm", "depth_mm", "height_mm"].map(|side| row.get(side)).join(" × ");
    match row.get("box") {
        "" => format!("{sides} mm"),
        id => format!("{id} ({sides} mm)"),
    }
}

/// What a row says about money.
fn price_of(row: &BatchRow) -> String {
    let mut out = match row.get("box_price") {
        "" => String::new(),
        price => format!(", box {price}"),
    };
    if let (sheets, Some(price)) = (row.get("sheets"), price(row, "sheet_price")) {
        let sheets = if sheets == "1" { "1 sheet".to_owned() } else { format!("{sheets} sheets") };
        out += &format!(", {sheets} {price:.2}");
        if let Some(container) = self::price(row, "box_price") {
            out += &format!(", together {:.2}", container + price);
        }
    }
    out
}

fn said(group: &Group<'_>) -> Vec<String> {
    let not_run = match group.not_run {
        0 => None,
        1 => Some("1 job of this brief was not run: its box is not counted here".to_owned()),
        n => Some(format!("{n} jobs of this brief were not run: their boxes are not counted here")),
    };
    let Some(smallest) = group.smallest() else {
        let none = match group.rows.len() {
            1 => "does not fit in the one box that was tried".to_owned(),
            n => format!("fits in none of the {n} boxes that were tried"),
        };
        return std::iter::once(none).chain(not_run).collect();
    };
    let of_those = if not_run.is_some() { " of those that were run" } else { "" };
    let cheapest = group.cheapest();
    let both = if cheapest.is_some_and(|c| c.id == smallest.id) { ", at the least cost" } else { "" };
    let mut out = vec![format!(
        "smallest box that fits{of_those}{both}: {}, {:.2} l, {}{} (job {})",
        box_of(smallest),
        litres(smallest).unwrap_or(0.0),
        smallest.get("stock"),
        price_of(smallest),
        smallest.id
    )];
    if let Some(cheapest) = cheapest.filter(|c| c.id != smallest.id) {
        out.push(format!(
            "least cost that fits{of_those}: {}, {}{} (job {})",
            box_of(cheapest),
            cheapest.get("stock"),
            price_of(cheapest),
            cheapest.id
        ));
    }
    let smaller = group.rows.iter().take_while(|(_, row)| !row.fits());
    let unsure = smaller.filter(|(_, row)| row.get("result") == "none found").count();
    if unsure > 0 {
        let boxes = if unsure == 1 { "1 smaller box".to_owned() } else { format!("{unsure} smaller boxes") };
        out.push(format!("in {boxes} no plan was found, without a proof that there is none"));
    }
    out.extend(not_run);
    out
}

/// Rows that have no box to speak of: faults, and jobs that were not run.
fn rest(rows: &[BatchRow]) -> Vec<&BatchRow> {
    rows.iter().filter(|row| row.fault() || row.get("result") == "not run").collect()
}

fn table(rows: &[&BatchRow]) -> Table {
    let cells = |row: &&BatchRow| {
        let number = |column: &str| match row.get(column) {
            "" => Cell::Empty,
            number => Cell::number(number),
        };
        vec![
            Cell::text(&row.id),
            Cell::text(box_of(row)),
            litres(row).map_or(Cell::Empty, |l| Cell::number(format!("{l:.2}"))),
            Cell::text(row.get("stock")),
            Cell::text(row.get("result")),
            number("wasted_ml"),
            number("spare_ml"),
            number("box_price"),
            number("sheets"),
            number("sheet_price"),
        ]
    };
    Table {
        columns: vec![
            "job",
            "box",
            "litres",
            "stock",
            "result",
            "wasted_ml",
            "spare_ml",
            "box_price",
            "sheets",
            "sheet_price",
        ],
        rows: rows.iter().map(cells).collect(),
    }
}

/// What a run comes to, as plain text.
///
/// ```
/// use traywright::shop::summary_text;
/// # use traywright::shop::{Header, Journal, JournalLine, Portion, join};
/// # let header = Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
/// #     list: String::new(), effort: String::new(), portion: Portion::ALL, whole: true };
/// # let line = |job: usize, row: serde_json::Value| JournalLine {
/// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
/// #     row: serde_json::from_value(row).unwrap(),
/// # };
/// # let rows = |lines: Vec<JournalLine>| {
/// #     let header = Header { jobs: lines.len(), ..header.clone() };
/// #     join(&[("run.jsonl".into(), Journal { header, lines })]).unwrap().rows
/// # };
/// # let boxed = |job, height: i64, result: &str| line(job, serde_json::json!({
/// #     "brief": "tides.toml", "title": "Tides", "width_mm": 100, "depth_mm": 100,
/// #     "height_mm": height, "stock": "oak-3", "result": result }));
/// // Heights of three boxes of like width and depth, and what came of each.
/// let lines = vec![boxed(0, 50, "fits"), boxed(1, 30, "does not fit"), boxed(2, 40, "fits")];
/// let text = summary_text(&rows(lines));
/// let told = text.lines().nth(1).unwrap().trim();
/// assert_eq!(told, "smallest box that fits: 100 × 100 × 40 mm, 0.40 l, oak-3 (job job-2)");
/// ```
pub fn summary_text(rows: &[BatchRow]) -> String {
    let mut out = String::new();
    for group in groups(rows) {
        out += &format!("{} ({})\n", group.name(), plain(group.brief));
        for line in said(&group) {
            out += &format!("  {line}\n");
        }
        let rows: Vec<&BatchRow> = group.rows.iter().map(|(_, row)| *row).collect();
        for line in table(&rows).text().lines() {
            out += &format!("    {line}\n");
        }
        out.push('\n');
    }
    let rest = rest(rows);
    if !rest.is_empty() {
        out += "Without a result\n";
        for row in rest {
            out += &format!("  {}: {}\n", row.id, outcome_of(row));
        }
    }
    out
}

/// Its result and its finding.
fn outcome_of(row: &BatchRow) -> String {
    let finding = row.get("finding").split_whitespace();
    std::iter::once(row.get("result")).chain(finding).collect::<Vec<_>>().join(" ")
}

/// What a run comes to, as a page that needs nothing else.
///
/// ```
/// use traywright::shop::summary_html;
/// # use traywright::shop::{Header, Journal, JournalLine, Portion, join};
/// # let header = Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
/// #     list: String::new(), effort: String::new(), portion: Portion::ALL, whole: true };
/// # let line = |job: usize, row: serde_json::Value| JournalLine {
/// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
/// #     row: serde_json::from_value(row).unwrap(),
/// # };
/// # let rows = |lines: Vec<JournalLine>| {
/// #     let header = Header { jobs: lines.len(), ..header.clone() };
/// #     join(&[("run.jsonl".into(), Journal { header, lines })]).unwrap().rows
/// # };
/// # let boxed = |job, height: i64, result: &str| line(job, serde_json::json!({
/// #     "brief": "tides.toml", "title": "Tides", "width_mm": 100, "depth_mm": 100,
/// #     "height_mm": height, "stock": "oak-3", "result": result }));
/// let lines = vec![boxed(0, 50, "fits"), boxed(1, 30, "does not fit"), boxed(2, 40, "fits")];
/// let page = summary_html(&rows(lines));
/// assert!(page.contains("3 jobs, 2 of them with a plan."));
/// assert!(page.contains("smallest box that fits: 100 × 100 × 40 mm"));
/// ```
pub fn summary_html(rows: &[BatchRow]) -> String {
    let fitting = rows.iter().filter(|r| r.fits()).count();
    let mut inner = format!(
        "<header>\n<h1>Boxes and briefs</h1>\n<p class=\"soft\">{}, {fitting} of them with a plan. Smallest boxes first; \
         a full bar is a box that fits, a striped one is a box that does not, or in which no plan was found.</p>\n</header>\n",
        count(rows.len(), "job")
    );
    for (n, group) in groups(rows).iter().enumerate() {
        let best = group.smallest().map(|row| row.id.as_str());
        let drawn: Vec<Bar> = group
            .rows
            .iter()
            .take(MOST_BARS)
            .map(|(litres, row)| Bar {
                name: plain(if row.get("box").is_empty() { &row.id } else { row.get("box") }),
                value: *litres,
                note: format!("{litres:.2} l {} {}", row.get("stock"), row.get("result")),
                full: row.fits(),
                bold: best == Some(row.id.as_str()),
            })
            .collect();
        let lines: String = said(group).iter().map(|l| format!("<p>{}</p>\n", escape(&plain(l)))).collect();
        let (wide, narrow) = (bars(&drawn, 168.0), bars(&drawn, 84.0));
        let picture = format!(
            "<figure>\n{}{}</figure>\n",
            inline(&wide.0, (wide.1, wide.2), "wide", "Boxes by volume"),
            inline(&narrow.0, (narrow.1, narrow.2), "narrow", "Boxes by volume")
        );
        let rows: Vec<&BatchRow> = group.rows.iter().map(|(_, row)| *row).collect();
        inner +=
            &wrap(&format!("brief-{n}"), &group.name(), &format!("{lines}{picture}{}", html_table(&rows)));
    }
    let rest = rest(rows);
    if !rest.is_empty() {
        let items: String = rest
            .iter()
            .map(|row| {
                let text = escape(&outcome_of(row));
                format!("<li class=\"fault\"><b>{}</b> {text}</li>\n", escape(&plain(&row.id)))
            })
            .collect();
        inner += &wrap("rest", "Without a result", &format!("<ul class=\"notes\">\n{items}</ul>\n"));
    }
    page("Boxes and briefs", &inner)
}

fn html_table(rows: &[&BatchRow]) -> String {
    let table = table(rows);
    let labels = ["Job", "Box", "litres", "Stock", "Result", "waste, ml", "spare, ml", "Box price", "Sheets"];
    let class = |i: usize| if matches!(i, 2 | 5..=8) { "n" } else { "" };
    let heads: Vec<(&str, &str)> = labels.iter().enumerate().map(|(i, label)| (class(i), *label)).collect();
    let mut out = format!("<table class=\"cards\">\n{}<tbody>\n", table_head(&heads));
    for row in &table.rows {
        let price = row.last().map_or("", Cell::shown);
        let cells = row.iter().zip(labels).enumerate().map(|(i, (value, label))| {
            let mut shown = value.shown().to_owned();
            // Their price goes with the number of sheets: the table has to go on a page.
            if i + 1 == labels.len() && !price.is_empty() {
                shown += &format!(" for {price}");
            }
            cell(if i == 0 { "first" } else { class(i) }, label, &escape(&shown))
        });
        out += &format!("<tr>{}</tr>\n", cells.collect::<String>());
    }
    out + "</tbody>\n</table>\n"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::{Header, Journal, JournalLine, Portion, join};

    /// The summary of jobs of one brief: heights of boxes of 100 × 100 mm, and what came of each.
    fn told(jobs: &[(Option<u32>, &str)]) -> String {
        let line = |(job, (height, result)): (usize, &(Option<u32>, &str))| {
            let side = |mm: u32| height.map(|_| mm);
            let row = serde_json::json!({ "brief": "tides.toml", "title": "Tides", "width_mm": side(100),
                "depth_mm": side(100), "height_mm": height, "stock": "oak-3", "result": result });
            let row = serde_json::from_value(row).unwrap();
            JournalLine { job, id: format!("job-{job}"), input: String::new(), files: Vec::new(), row }
        };
        let header = Header {
            format: Header::FORMAT.into(),
            version: Header::VERSION,
            jobs: jobs.len(),
            list: String::new(),
            effort: String::new(),
            portion: Portion::ALL,
            whole: true,
        };
        let lines = jobs.iter().enumerate().map(line).collect();
        summary_text(&join(&[("run.jsonl".into(), Journal { header, lines })]).unwrap().rows)
    }

    #[test]
    fn the_smallest_box_is_that_of_those_that_were_run() {
        let text = told(&[(Some(40), "fits"), (None, "not run")]);
        assert!(text.contains("smallest box that fits of those that were run: 100 × 100 × 40 mm"), "{text}");
        assert!(text.contains("1 job of this brief was not run"), "{text}");
        assert!(!told(&[(Some(40), "fits")]).contains("run"));
        assert!(told(&[(Some(40), "does not fit"), (None, "not run")]).contains("not run"));
    }

    #[test]
    fn one_box_is_not_boxes() {
        let text = told(&[(Some(30), "none found"), (Some(40), "fits")]);
        assert!(text.contains("in 1 smaller box no plan was found"), "{text}");
        let two = told(&[(Some(20), "none found"), (Some(30), "none found"), (Some(40), "fits")]);
        assert!(two.contains("in 2 smaller boxes no plan"), "{two}");
        assert!(told(&[(Some(30), "does not fit")]).contains("does not fit in the one box that was tried"));
    }
}

//! One brief, many stocks, and other switches.

mod page;

use std::path::Path;

use super::answer::{COLUMNS, SHORT};
use super::cost::made;
use super::each::each;
use super::table::{Cell, Table};
use super::{Answer, Effort};
use crate::cut::{Estimate, estimate};
use crate::finding::Finding;
use crate::job::{Source, StockRow, load_list};

/// Changes that are tried together on every stock.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Variant {
    /// How the maker wrote it; empty for the brief as it is.
    pub name: String,
    /// Keys of the brief that it sets.
    pub changes: Vec<(String, String)>,
}

impl Variant {
    /// Reads a variant: changes `KEY=VALUE` with `;` between; `clearance=…`, `layers=…` and `unsleeved` are short for
    /// `box.clearance`, `layers.most` and taking the sleeves from all parts. A key without a value is taken out.
    ///
    /// ```
    /// use traywright::shop::Variant;
    /// let it = Variant::read("layers=2; unsleeved").unwrap();
    /// assert_eq!(it.changes[0], ("layers.most".to_owned(), "2".to_owned()));
    /// assert!(Variant::read("thin").is_err());
    /// ```
    ///
    /// # Errors
    /// What cannot be understood, in a sentence.
    pub fn read(text: &str) -> Result<Variant, String> {
        let mut changes = Vec::new();
        for change in text.split(';').map(str::trim).filter(|c| !c.is_empty()) {
            changes.push(match change.split_once('=') {
                None if change == "unsleeved" => ("part.*.stack.sleeve".to_owned(), String::new()),
                Some(("clearance", value)) => ("box.clearance".to_owned(), value.trim().to_owned()),
                Some(("layers", value)) => ("layers.most".to_owned(), value.trim().to_owned()),
                Some((key, value)) if !key.trim().is_empty() => {
                    (key.trim().to_owned(), value.trim().to_owned())
                }
                _ => return Err(format!("`{change}` is neither KEY=VALUE nor `unsleeved`")),
            });
        }
        if changes.is_empty() {
            return Err("a variant changes something, such as layers=2 or `unsleeved`".to_owned());
        }
        Ok(Variant { name: text.trim().to_owned(), changes })
    }
}

/// What cutting a plan takes, all stocks together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// Panels to cut.
    pub panels: usize,
    /// Sheets to buy.
    pub sheets: usize,
    /// Panels as a share of the sheets, percent.
    pub yield_percent: f64,
    /// Mass of all trays in grams, where all densities are known.
    pub mass_g: Option<f64>,
    /// Length of all cuts, m.
    pub cut_m: f64,
    /// Time to cut, minutes.
    pub minutes: f64,
    /// Price of the sheets in hundredths, where all have one.
    pub price_hundredths: Option<i64>,
}

/// One stock and variant with what came of it.
#[derive(Clone, Debug)]
pub struct Compared {
    /// The stock.
    pub stock: StockRow,
    /// Name of the variant; empty for the brief as it is.
    pub variant: String,
    /// What came of it.
    pub answer: Answer,
    /// What cutting takes; `None` without a plan, or where its trays cannot be made of this stock.
    pub taken: Option<Taken>,
}

/// A brief solved afresh for every stock of a list.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// Title of the brief, where any of its jobs could be read.
    pub title: String,
    /// Stocks in the order of the list, each with all variants.
    pub rows: Vec<Compared>,
}

/// Nodes for laying out the sheets of each stock: a comparison needs no proof of them.
const SHEET_NODES: u64 = 60_000;

/// Solves the brief afresh for every stock of the list as it is and with every variant, each with the same effort.
/// `done` hears of every one that is finished.
///
/// # Errors
/// The faults of a brief or list that cannot be read. A stock for which the brief is at fault is a row.
pub fn compare(
    brief: &Path,
    list: &Path,
    changes: &[(String, String)],
    variants: &[Variant],
    effort: &Effort,
    done: &(dyn Fn(&str) + Sync),
) -> Result<Comparison, Vec<Finding>> {
    let stocks = load_list(list)?;
    let mut source = Source::load(brief, changes)?;
    let text = crate::job::files::read(list, "the stock list")?;
    source.stock_list = Some((list.display().to_string(), text));
    let as_it_is = Variant::default();
    let todo: Vec<(&StockRow, &Variant)> = stocks
        .iter()
        .flat_map(|stock| std::iter::once(&as_it_is).chain(variants).map(move |variant| (stock, variant)))
        .collect();
    let rows = each(&todo, |(stock, variant)| {
        let mut row = Compared {
            stock: (*stock).clone(),
            variant: variant.name.clone(),
            answer: Answer::NotRun,
            taken: None,
        };
        if effort.options.stop.is_raised() {
            return row;
        }
        let mut changes = changes.to_vec();
        changes.push(("stock".to_owned(), stock.id.clone()));
        changes.extend(variant.changes.iter().cloned());
        row.answer = match source.read(&changes) {
            Ok(job) => effort.solve(job),
            Err(findings) => Answer::Fault(findings),
        };
        row.taken = taken(&row.answer);
        done(&stock.id);
        row
    });
    let title = rows.iter().find_map(|row| match &row.answer {
        Answer::Plan { plan, .. } => Some(plan.title.clone()),
        _ => None,
    });
    Ok(Comparison { title: title.unwrap_or_default(), rows })
}

/// What cutting takes, where there is a plan that can be cut.
fn taken(answer: &Answer) -> Option<Taken> {
    let Answer::Plan { job, plan } = answer else { return None };
    let made = made(job, plan, SHEET_NODES).ok()?;
    let lots: Vec<Estimate> = made.lots.iter().map(|lot| estimate(&made, lot)).collect();
    let sum = |of: fn(&Estimate) -> f64| lots.iter().map(of).sum::<f64>();
    let (used, bought) = (sum(|e| e.panels_mm2), sum(|e| e.bought_mm2));
    let mass: Option<i64> = lots.iter().map(|e| e.mass_mg).sum();
    Some(Taken {
        panels: made.lots.iter().map(|lot| lot.items.len()).sum(),
        sheets: lots.iter().map(|e| e.sheets).sum(),
        yield_percent: if bought > 0.0 { 100.0 * used / bought } else { 0.0 },
        mass_g: mass.map(|mg| mg as f64 / 1000.0),
        cut_m: sum(|e| e.length_mm) / 1000.0,
        minutes: sum(Estimate::total_s) / 60.0,
        price_hundredths: lots.iter().map(|e| e.price_hundredths).sum(),
    })
}

/// Columns of what cutting takes.
const TAKEN: [&str; 7] =
    ["panels", "sheets", "yield_percent", "mass_g", "cut_m", "cut_minutes", "sheet_price"];

fn taken_cells(taken: Option<&Taken>) -> Vec<Cell> {
    let Some(t) = taken else { return vec![Cell::Empty; TAKEN.len()] };
    let number = |value: f64, places: usize| Cell::number(format!("{value:.places$}"));
    vec![
        Cell::number(t.panels.to_string()),
        Cell::number(t.sheets.to_string()),
        number(t.yield_percent, 1),
        t.mass_g.map_or(Cell::Empty, |g| number(g, 0)),
        number(t.cut_m, 2),
        number(t.minutes, 1),
        t.price_hundredths.map_or(Cell::Empty, |p| Cell::number(format!("{}.{:02}", p / 100, p % 100))),
    ]
}

impl Comparison {
    /// The whole table, volumes of the tight plans.
    pub fn table(&self) -> Table {
        let columns = ["stock", "variant", "name", "thickness_mm", "floor_mm", "divider_mm"];
        let row = |it: &Compared| {
            let mm = |of: &crate::job::Stock| Cell::number(of.thickness.decimal());
            let variant = if it.variant.is_empty() { Cell::Empty } else { Cell::text(&it.variant) };
            let mut cells = vec![
                Cell::text(&it.stock.id),
                variant,
                Cell::text(&it.stock.stock.name),
                mm(&it.stock.stock),
                mm(&it.stock.floor),
                mm(&it.stock.divider),
            ];
            cells.extend(it.answer.cells());
            cells.extend(taken_cells(it.taken.as_ref()));
            cells
        };
        Table {
            columns: columns.into_iter().chain(COLUMNS).chain(TAKEN).collect(),
            rows: self.rows.iter().map(row).collect(),
        }
    }

    /// What fits on a screen.
    pub fn short_table(&self) -> Table {
        let variant = self.rows.iter().any(|row| !row.variant.is_empty());
        let before = if variant { vec!["stock", "variant"] } else { vec!["stock", "thickness_mm"] };
        let columns: Vec<&str> = before.into_iter().chain(SHORT).collect();
        self.table().pick(&columns)
    }
}

//! One brief, many stocks, and other switches.

mod page;

use std::path::Path;

use super::answer::{COLUMNS, SHORT};
use super::each::each;
use super::table::{Cell, Table};
use super::taken::{TAKEN, Taken};
use super::{Answer, Effort};
use crate::finding::Finding;
use crate::job::{Source, StockRow, load_list};

/// Changes that are tried together on every stock.
///
/// ```
/// use traywright::shop::Variant;
/// let unsleeved = Variant::read("unsleeved").unwrap();
/// // Nothing as a value takes a key out.
/// assert_eq!(unsleeved.changes, [("part.*.stack.sleeve".to_owned(), String::new())]);
/// assert!(Variant::default().changes.is_empty()); // the brief as it is
/// ```
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

/// One stock and variant with what came of it.
///
/// ```
/// use traywright::shop::{Answer, Compared, Comparison, Taken};
/// # use traywright::job::read_list;
/// # let list = "id,name,thickness\nbirch-3,birch plywood,3 mm\n";
/// # let stock = read_list("stocks.csv", list).unwrap().remove(0);
/// let taken = Some(Taken { sheets: 2, price_hundredths: Some(905), ..Taken::default() });
/// let row = Compared { stock, variant: String::new(), answer: Answer::NotRun, taken };
/// let table = Comparison { title: "Pilot".into(), rows: vec![row] }.table();
/// let told = table.pick(&["stock", "result", "sheets", "sheet_price"]).csv();
/// assert_eq!(told, "stock,result,sheets,sheet_price\nbirch-3,not run,2,9.05\n");
/// ```
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
///
/// ```
/// use traywright::shop::{Effort, Variant, compare};
/// let (brief, list) = ("../scenarios/easy/tides.toml", "../scenarios/shop/stocks.csv");
/// let variants = [Variant::read("layers=1").unwrap()];
/// let effort = Effort::default();
/// effort.options.stop.raise(); // no stock is tried
/// let found = compare(brief.as_ref(), list.as_ref(), &[], &variants, &effort, &|_| {}).unwrap();
/// let first: Vec<_> = found.rows[..3].iter().map(|r| (&r.stock.id[..], &r.variant[..])).collect();
/// assert_eq!(first, [("birch-3", ""), ("birch-3", "layers=1"), ("birch-4", "")]);
/// ```
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
/// ```
/// use traywright::shop::{Effort, compare};
/// # let (brief, list) = ("../scenarios/easy/tides.toml", "../scenarios/shop/stocks.csv");
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 1_000;
/// let found = compare(brief.as_ref(), list.as_ref(), &[], &[], &effort, &|_| {}).unwrap();
/// let of = |id: &str| found.rows.iter().find(|row| row.stock.id == id).unwrap();
/// // Where there is no plan there is nothing to cut.
/// assert!(of("greyboard-2").taken.is_some() && of("foam-5").taken.is_none());
/// assert_eq!((found.rows.len(), of("birch-3").answer.word()), (8, "fits"));
/// ```
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
        row.taken = Taken::of(&row.answer, SHEET_NODES);
        done(&stock.id);
        row
    });
    let title = rows.iter().find_map(|row| match &row.answer {
        Answer::Plan { plan, .. } => Some(plan.title.clone()),
        _ => None,
    });
    Ok(Comparison { title: title.unwrap_or_default(), rows })
}

impl Comparison {
    /// The whole table, volumes of the tight plans.
    ///
    /// ```
    /// use traywright::shop::{Answer, Compared, Comparison};
    /// # use traywright::job::read_list;
    /// # let list = "id,name,thickness\nbirch-3,birch plywood,3 mm\n";
    /// # let stock = read_list("stocks.csv", list).unwrap().remove(0);
    /// let answer = Answer::NotRun;
    /// let row = Compared { stock, variant: "layers=1".into(), answer, taken: None };
    /// let table = Comparison { title: "Pilot".into(), rows: vec![row] }.table();
    /// let told = table.pick(&["stock", "variant", "thickness_mm", "floor_mm", "value_ml"]);
    /// // Floors are of the stock of the walls where the list says nothing; no plan, no value.
    /// assert_eq!(told.csv().lines().last(), Some("birch-3,layers=1,3,3,"));
    /// ```
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
            cells.extend(Taken::cells(it.taken.as_ref()));
            cells
        };
        Table {
            columns: columns.into_iter().chain(COLUMNS).chain(TAKEN).collect(),
            rows: self.rows.iter().map(row).collect(),
        }
    }

    /// What fits on a screen.
    ///
    /// ```
    /// use traywright::shop::{Answer, Compared, Comparison};
    /// # use traywright::job::read_list;
    /// # let list = "id,name,thickness\nbirch-3,birch plywood,3 mm\n";
    /// # let stock = read_list("stocks.csv", list).unwrap().remove(0);
    /// let as_it_is = Compared { stock, variant: "".into(), answer: Answer::NotRun, taken: None };
    /// let varied = Compared { variant: "layers=1".into(), ..as_it_is.clone() };
    /// let second = |rows| Comparison { title: "Pilot".into(), rows }.short_table().columns[1];
    /// assert_eq!(second(vec![as_it_is.clone()]), "thickness_mm");
    /// assert_eq!(second(vec![as_it_is, varied]), "variant");
    /// ```
    pub fn short_table(&self) -> Table {
        let variant = self.rows.iter().any(|row| !row.variant.is_empty());
        let before = if variant { vec!["stock", "variant"] } else { vec!["stock", "thickness_mm"] };
        let columns: Vec<&str> = before.into_iter().chain(SHORT).collect();
        self.table().pick(&columns)
    }
}

//! One brief, many stocks.

use std::path::Path;

use super::answer::{COLUMNS, SHORT};
use super::each::each;
use super::table::{Cell, Table};
use super::{Answer, Effort};
use crate::finding::Finding;
use crate::job::{Source, StockRow, load_list};

/// A brief solved afresh for every stock of a list.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// The stocks in the order of the list, each with what came of it.
    pub rows: Vec<(StockRow, Answer)>,
}

/// Solves the brief afresh for every stock of the list, each with the same effort. `done` hears of every stock
/// as it is finished.
///
/// # Errors
/// The faults of a brief or list that cannot be read. A stock for which the brief is at fault is a row.
pub fn compare(
    brief: &Path,
    list: &Path,
    changes: &[(String, String)],
    effort: &Effort,
    done: &(dyn Fn(&str) + Sync),
) -> Result<Comparison, Vec<Finding>> {
    let stocks = load_list(list)?;
    let mut source = Source::load(brief, changes)?;
    let text = crate::job::files::read(list, "the stock list")?;
    source.stock_list = Some((list.display().to_string(), text));
    let answers = each(&stocks, |stock| {
        if effort.options.stop.is_raised() {
            return Answer::NotRun;
        }
        let mut changes = changes.to_vec();
        changes.push(("stock".to_owned(), stock.id.clone()));
        let answer = match source.read(&changes) {
            Ok(job) => effort.solve(job),
            Err(findings) => Answer::Fault(findings),
        };
        done(&stock.id);
        answer
    });
    Ok(Comparison { rows: stocks.into_iter().zip(answers).collect() })
}

impl Comparison {
    /// The whole table, volumes of the tight plans.
    pub fn table(&self) -> Table {
        let columns = ["stock", "name", "thickness_mm", "floor_mm", "divider_mm"];
        let row = |(stock, answer): &(StockRow, Answer)| {
            let mm = |of: &crate::job::Stock| Cell::number(of.thickness.decimal());
            let mut cells = vec![
                Cell::text(&stock.id),
                Cell::text(&stock.stock.name),
                mm(&stock.stock),
                mm(&stock.floor),
                mm(&stock.divider),
            ];
            cells.extend(answer.cells());
            cells
        };
        Table {
            columns: columns.into_iter().chain(COLUMNS).collect(),
            rows: self.rows.iter().map(row).collect(),
        }
    }

    /// What fits on a screen.
    pub fn short_table(&self) -> Table {
        let columns: Vec<&str> = ["stock", "thickness_mm"].into_iter().chain(SHORT).collect();
        self.table().pick(&columns)
    }
}

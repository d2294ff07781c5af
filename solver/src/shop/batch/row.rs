//! One row of a run's results.

use std::collections::BTreeMap;
use std::time::Duration;

use serde_json::Value;

use super::{FileMark, JournalLine};
use crate::job::Job;
use crate::shop::answer::COLUMNS;
use crate::shop::table::{Cell, Table};
use crate::shop::taken::{TAKEN, Taken};
use crate::shop::{Answer, JobLine};

/// Columns before those of the answer.
const OWN: [&str; 10] = [
    "id",
    "brief",
    "title",
    "box",
    "box_price",
    "width_mm",
    "depth_mm",
    "height_mm",
    "stock",
    "thickness_mm",
];

/// All columns: of the job, of the answer, and of what cutting it takes.
fn columns() -> impl Iterator<Item = &'static str> {
    OWN.into_iter().chain(COLUMNS).chain(TAKEN)
}

/// One job of a run and what came of it.
#[derive(Clone, Debug)]
pub struct BatchRow {
    /// Where the job stands in the list, from 0.
    pub position: usize,
    /// Identifier of the job.
    pub id: String,
    /// How long it took, where it was run just now; kept apart from results, which are the same every time.
    pub time: Option<Duration>,
    cells: Vec<Cell>,
}

/// What the brief of a job says that its row repeats.
pub(super) struct Facts {
    title: String,
    sides: [String; 3],
    stock: String,
    thickness: String,
}

impl Facts {
    pub(super) fn of(job: &Job) -> Facts {
        let inside = job.container.interior;
        Facts {
            title: job.title.clone(),
            sides: [inside.w, inside.d, inside.h].map(|side| side.decimal()),
            stock: job.stock.id.clone(),
            thickness: job.stock.thickness.decimal(),
        }
    }
}

impl BatchRow {
    pub(super) fn new(
        position: usize,
        line: &JobLine,
        facts: Option<Facts>,
        answer: &Answer,
        taken: Option<&Taken>,
        time: Option<Duration>,
    ) -> BatchRow {
        let optional = |text: &Option<String>| text.as_ref().map_or(Cell::Empty, Cell::text);
        let mut cells = vec![Cell::text(&line.id), Cell::text(&line.brief)];
        let price = line.box_price.as_deref().map_or(Cell::Empty, number_or_text);
        match facts {
            Some(facts) => {
                cells.extend([Cell::text(facts.title), optional(&line.box_id), price]);
                cells.extend(facts.sides.map(Cell::number));
                cells.extend([Cell::text(facts.stock), Cell::number(facts.thickness)]);
            }
            None => {
                let unknown = Cell::Empty;
                cells.extend([unknown.clone(), optional(&line.box_id), price]);
                cells.extend([unknown.clone(), unknown.clone(), unknown.clone()]);
                cells.extend([optional(&line.stock), unknown]);
            }
        }
        cells.extend(answer.cells());
        cells.extend(Taken::cells(taken));
        BatchRow { position, id: line.id.clone(), time, cells }
    }

    /// A row as a journal holds it.
    pub(super) fn of_line(line: &JournalLine) -> BatchRow {
        let cell = |column: &str| match line.row.get(column) {
            Some(Value::String(text)) => Cell::text(text),
            Some(Value::Number(number)) => Cell::number(number.to_string()),
            _ => Cell::Empty,
        };
        let cells = columns().map(cell).collect();
        BatchRow { position: line.job, id: line.id.clone(), time: None, cells }
    }

    /// The row as a line of a journal.
    pub(super) fn line(&self, input: String, files: Vec<FileMark>) -> JournalLine {
        let value = |cell: &Cell| match cell {
            Cell::Empty => Value::Null,
            Cell::Text(text) => Value::from(text.as_str()),
            Cell::Number(number) => {
                number.parse().map_or_else(|_| Value::from(number.as_str()), Value::Number)
            }
        };
        let columns = columns();
        let row: BTreeMap<String, Value> =
            columns.zip(&self.cells).map(|(column, cell)| (column.to_owned(), value(cell))).collect();
        JournalLine { job: self.position, id: self.id.clone(), input, files, row }
    }

    /// What stands in a column, as it is shown; empty where there is nothing.
    pub fn get(&self, column: &str) -> &str {
        let at = columns().position(|c| c == column);
        at.and_then(|i| self.cells.get(i)).map_or("", Cell::shown)
    }

    /// Whether there is a plan.
    pub fn fits(&self) -> bool {
        self.get("result") == "fits"
    }

    /// Whether the input was at fault.
    pub fn fault(&self) -> bool {
        self.get("result") == "fault"
    }
}

/// A price that is a plain number as one, so that a spreadsheet can sort by it.
fn number_or_text(text: &str) -> Cell {
    match text.parse::<serde_json::Number>() {
        Ok(number) => Cell::number(number.to_string()),
        Err(_) => Cell::text(text),
    }
}

/// All results, one row a job in the order of the list; the same every time.
pub fn results(rows: &[BatchRow]) -> Table {
    Table { columns: columns().collect(), rows: rows.iter().map(|r| r.cells.clone()).collect() }
}

/// How long every job took, in the order of the list; jobs of which it is not known have none.
pub fn times(rows: &[BatchRow]) -> Table {
    let seconds = |r: &BatchRow| match r.time {
        Some(time) => Cell::number(format!("{:.3}", time.as_secs_f64())),
        None => Cell::Empty,
    };
    Table {
        columns: vec!["id", "seconds"],
        rows: rows.iter().map(|r| vec![Cell::text(&r.id), seconds(r)]).collect(),
    }
}

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
///
/// ```
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
/// let lines = [1, 0].map(|job| line(job, serde_json::json!({ "result": "fits" })));
/// let row = &rows(lines.to_vec())[1]; // in the order of the list
/// // What a journal holds says nothing of the time it took.
/// assert_eq!((row.position, row.id.as_str(), row.time), (1, "job-1", None));
/// ```
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
    ///
    /// ```
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
    /// let row = &rows(vec![line(0, serde_json::json!({ "wasted_ml": 136.8 }))])[0];
    /// assert_eq!(["wasted_ml", "value_ml", "colour"].map(|c| row.get(c)), ["136.8", "", ""]);
    /// ```
    pub fn get(&self, column: &str) -> &str {
        let at = columns().position(|c| c == column);
        at.and_then(|i| self.cells.get(i)).map_or("", Cell::shown)
    }

    /// Whether there is a plan.
    ///
    /// ```
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
    /// let one = |result: &str| line(0, serde_json::json!({ "result": result }));
    /// let fits = |result| rows(vec![one(result)])[0].fits();
    /// assert!(fits("fits") && !fits("does not fit") && !fits("none found"));
    /// ```
    pub fn fits(&self) -> bool {
        self.get("result") == "fits"
    }

    /// Whether the input was at fault.
    ///
    /// ```
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
    /// let one = |result: &str| line(0, serde_json::json!({ "result": result }));
    /// let fault = |result| rows(vec![one(result)])[0].fault();
    /// // A box that is too small is an answer, not a fault.
    /// assert!(fault("fault") && !fault("does not fit"));
    /// ```
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
///
/// ```
/// use traywright::shop::results;
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
/// let lines = [1, 0].map(|job| line(job, serde_json::json!({ "layers": job + 1 })));
/// let table = results(&rows(lines.to_vec()));
/// assert_eq!(table.pick(&["layers"]).csv(), "layers\n1\n2\n"); // in the order of the list
/// // The same columns whatever came of the jobs.
/// assert_eq!(results(&[]).columns, table.columns);
/// ```
pub fn results(rows: &[BatchRow]) -> Table {
    Table { columns: columns().collect(), rows: rows.iter().map(|r| r.cells.clone()).collect() }
}

/// How long every job took, in the order of the list; jobs of which it is not known have none.
///
/// ```
/// use std::time::Duration;
/// use traywright::shop::times;
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
/// let mut rows = rows([0, 1].map(|job| line(job, serde_json::json!({}))).to_vec());
/// rows[1].time = Some(Duration::from_millis(1_250));
/// assert_eq!(times(&rows).csv(), "id,seconds\njob-0,\njob-1,1.250\n");
/// ```
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

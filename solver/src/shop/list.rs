//! Lists that a shop keeps as spreadsheets: rows of named cells with their places.

use std::collections::BTreeMap;

use crate::finding::{Finding, Place};

/// Rows beyond this are refused: a night's work is a few thousand.
pub(super) const MOST_ROWS: usize = 100_000;

/// One row.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Cells that are not empty, by their column's name.
    pub(super) cells: BTreeMap<String, String>,
    /// Where the row stands.
    pub(super) place: Place,
}

impl Row {
    pub(super) fn get(&self, column: &str) -> Option<&str> {
        self.cells.get(column).map(String::as_str)
    }

    /// A fault at this row.
    pub(super) fn fault(&self, code: &'static str, cause: impl Into<String>) -> Finding {
        Finding::listed(code, cause).at(self.place.clone())
    }
}

/// Where a line of a text stands: `start` is its first byte.
pub(super) fn line_place(file: &str, text: &str, start: usize, line: usize) -> Place {
    let rest = text.get(start..).unwrap_or("");
    let end = start + rest.find(['\r', '\n']).unwrap_or(rest.len());
    Place {
        file: file.to_owned(),
        bytes: Some(start..end),
        line_column: Some((line, 1)),
        path: String::new(),
    }
}

/// Reads a CSV text line by line; lines that begin with `#` are remarks. `known` says which columns there may be.
///
/// A line that is malformed is a row with a finding: it cannot swallow the lines behind it.
///
/// # Errors
/// Faults of its heading, and a list that is too long.
pub(super) fn rows(
    file: &str,
    text: &str,
    known: &dyn Fn(&str) -> bool,
    columns: &str,
) -> Result<Vec<(Row, Vec<Finding>)>, Vec<Finding>> {
    let mut start = 0;
    let mut lines = text.split_inclusive('\n').enumerate().filter_map(|(i, line)| {
        let place = line_place(file, text, start, i + 1);
        start += line.len();
        let line = line.trim().trim_start_matches('\u{feff}');
        (!line.is_empty() && !line.starts_with('#')).then_some((line, place))
    });
    let Some((heading, place)) = lines.next() else { return Ok(Vec::new()) };
    let delimiter = if heading.contains(';') { b';' } else { b',' };
    let names = cells(heading, delimiter)
        .map_err(|cause| vec![Finding::listed("S051", format!("the heading: {cause}")).at(place.clone())])?;
    let mut findings = Vec::new();
    for (i, name) in names.iter().enumerate().filter(|(_, name)| !name.is_empty()) {
        let cause = if !known(name) {
            format!("`{name}` is no column of this list")
        } else if names.iter().take(i).any(|other| other == name) {
            format!("the column `{name}` stands twice")
        } else {
            continue;
        };
        let mut place = place.clone();
        let from = place.bytes.as_ref().map_or(0, |b| b.start);
        let at = from + text.get(from..).and_then(|rest| rest.find(name.as_str())).unwrap_or(0);
        place.bytes = Some(at..at + name.len());
        findings.push(Finding::listed("S052", cause).remedied(format!("Columns are {columns}.")).at(place));
    }
    let mut rows = Vec::new();
    for (line, place) in lines {
        if rows.len() >= MOST_ROWS {
            findings.push(too_many(file));
            break;
        }
        let mut row = Row { cells: BTreeMap::new(), place };
        let mut faults = Vec::new();
        match cells(line, delimiter) {
            Ok(cells) => {
                if cells.len() != names.len() {
                    let cause = format!(
                        "this line has {} cells, the heading has {} columns",
                        cells.len(),
                        names.len()
                    );
                    faults.push(row.fault("S051", cause));
                }
                let filled =
                    names.iter().zip(cells).filter(|(name, cell)| !name.is_empty() && !cell.is_empty());
                row.cells = filled.map(|(name, cell)| (name.clone(), cell)).collect();
            }
            Err(cause) => faults.push(row.fault("S051", format!("this line is malformed: {cause}"))),
        }
        if !row.cells.is_empty() || !faults.is_empty() {
            rows.push((row, faults));
        }
    }
    if findings.is_empty() { Ok(rows) } else { Err(findings) }
}

/// The cells of one line.
fn cells(line: &str, delimiter: u8) -> Result<Vec<String>, String> {
    if line.matches('"').count() % 2 == 1 {
        return Err("a quote is not closed".to_owned());
    }
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .trim(csv::Trim::All)
        .from_reader(line.as_bytes());
    match reader.records().next() {
        Some(Ok(record)) => Ok(record.iter().map(str::to_owned).collect()),
        Some(Err(error)) => Err(error.to_string()),
        None => Ok(Vec::new()),
    }
}

/// A fault of the whole list.
pub(super) fn whole(file: &str, code: &'static str, cause: impl Into<String>) -> Finding {
    Finding::listed(code, cause).at(Place { file: file.to_owned(), ..Place::default() })
}

/// The fault of a list with too many rows.
pub(super) fn too_many(file: &str) -> Finding {
    whole(file, "S053", format!("the list has more than {MOST_ROWS} rows"))
}

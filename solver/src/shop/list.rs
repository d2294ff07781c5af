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

/// Reads a CSV text; lines that begin with `#` are remarks. `known` says which columns there may be.
///
/// # Errors
/// All faults of its form.
pub(super) fn rows(
    file: &str,
    text: &str,
    known: &dyn Fn(&str) -> bool,
    columns: &str,
) -> Result<Vec<Row>, Vec<Finding>> {
    let heading =
        text.lines().find(|l| !l.trim_start().starts_with('#') && !l.trim().is_empty()).unwrap_or("");
    let delimiter = if heading.contains(';') { b';' } else { b',' };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let malformed = |error: &csv::Error| {
        let at = error.position();
        let place =
            line_place(file, text, at.map_or(0, |p| p.byte() as usize), at.map_or(1, |p| p.line() as usize));
        Finding::listed("S051", format!("the list breaks off: {error}")).at(place)
    };
    let names: Vec<String> = match reader.headers() {
        Ok(names) => names.iter().map(|n| n.trim_start_matches('\u{feff}').to_owned()).collect(),
        Err(error) => return Err(vec![malformed(&error)]),
    };
    let mut findings: Vec<Finding> = names
        .iter()
        .filter(|name| !name.is_empty() && !known(name))
        .map(|name| {
            let start = text.find(name.as_str()).unwrap_or(0);
            let line = text.get(..start).unwrap_or("").lines().count().max(1);
            let mut place = line_place(file, text, start, line);
            place.bytes = Some(start..start + name.len());
            let cause = format!("`{name}` is no column of this list");
            Finding::listed("S052", cause).remedied(format!("Columns are {columns}.")).at(place)
        })
        .collect();
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                findings.push(malformed(&error));
                break;
            }
        };
        let at = record.position().map_or((0, 1), |p| (p.byte() as usize, p.line() as usize));
        let at = past_remarks(text, at);
        let cells: BTreeMap<String, String> = names
            .iter()
            .zip(&record)
            .filter(|(name, cell)| !name.is_empty() && !cell.is_empty())
            .map(|(name, cell)| (name.clone(), cell.to_owned()))
            .collect();
        if !cells.is_empty() {
            rows.push(Row { cells, place: line_place(file, text, at.0, at.1) });
        }
        if rows.len() > MOST_ROWS {
            findings.push(too_many(file));
            break;
        }
    }
    if findings.is_empty() { Ok(rows) } else { Err(findings) }
}

/// The reader counts remarks and empty lines before a row to the row.
fn past_remarks(text: &str, (mut start, mut line): (usize, usize)) -> (usize, usize) {
    while let Some(rest) = text.get(start..)
        && (rest.starts_with(['#', '\r', '\n']))
        && let Some(end) = rest.find('\n')
    {
        start += end + 1;
        line += 1;
    }
    (start, line)
}

/// A fault of the whole list.
pub(super) fn whole(file: &str, code: &'static str, cause: impl Into<String>) -> Finding {
    Finding::listed(code, cause).at(Place { file: file.to_owned(), ..Place::default() })
}

/// The fault of a list with too many rows.
pub(super) fn too_many(file: &str) -> Finding {
    whole(file, "S053", format!("the list has more than {MOST_ROWS} rows"))
}

//! A maker's spreadsheet: one row a part (or a stock), columns named as the keys, dotted for what is inside.
//!
//! Our own reader of the format (RFC 4180, with `;` too), because findings need the place of every cell,
//! which the usual one does not keep.

use super::form::{Form, Key};
use super::number::has_decimal_comma;
use super::sources::{Sources, Span};
use super::suggest::suggest;
use super::tree::{Node, Table, Value};
use crate::finding::Finding;

/// Columns that are looked at; there are not half as many that mean anything.
const MOST_COLUMNS: usize = 200;

/// One row: its cells under the names of their columns.
pub(crate) struct Row {
    /// Number as a spreadsheet shows it: the heading is row 1.
    pub(crate) number: usize,
    /// The row as a table.
    pub(crate) node: Node,
}

/// A column that may be written.
struct Column {
    name: String,
    /// Its cells may hold several values.
    many: bool,
    /// Its cells are names: no comma in them is a decimal comma.
    text: bool,
}

/// The columns that a table's keys make. `skip` names keys that are not followed into their tables, but taken as text.
fn columns(keys: &[Key], before: &str, skip: &[&str], into: &mut Vec<Column>) {
    for key in keys {
        let name = format!("{before}{}", key.name);
        if skip.contains(&name.as_str()) {
            into.push(Column { name, many: false, text: true });
            continue;
        }
        let form = (key.form)();
        add_columns(&form, &name, skip, into);
    }
}

fn add_columns(form: &Form, name: &str, skip: &[&str], into: &mut Vec<Column>) {
    let forms = if let Form::Either(all) = form { all.as_slice() } else { std::slice::from_ref(form) };
    let leaf = |f: &Form| !matches!(f, Form::Table(_));
    if forms.iter().any(leaf) {
        let many = forms.iter().any(|f| matches!(f, Form::List(..) | Form::Tuple(_)));
        let text = forms.iter().any(|f| matches!(f, Form::Text));
        into.push(Column { name: name.to_owned(), many, text });
    }
    for form in forms {
        if let Form::Table(table) = form {
            columns((table.keys)(), &format!("{name}."), skip, into);
        }
    }
}

/// Reads source number `source`: a heading, then one row each. Everything that is wrong is found at once.
pub(crate) fn rows(
    sources: &Sources,
    source: usize,
    keys: &[Key],
    skip: &[&str],
    findings: &mut Vec<Finding>,
) -> Vec<Row> {
    let text = sources.text(source);
    let heading_line = text.lines().next().unwrap_or("");
    let separator = if heading_line.contains(';') { b';' } else { b',' };
    let mut known = Vec::new();
    columns(keys, "", skip, &mut known);

    let mut grid = match cells(text, source, separator) {
        Ok(grid) => grid.into_iter(),
        Err(span) => {
            let cause = "a quoted cell is not closed";
            findings.push(Finding::listed("B022", cause).at(sources.place(span, "")));
            return Vec::new();
        }
    };
    let Some(heading) = grid.next().filter(|h| h.iter().any(|c| !c.text.trim().is_empty())) else {
        let place = sources.place(Span { source, ..Span::default() }, "");
        findings.push(Finding::listed("B024", "there is no heading").at(place));
        return Vec::new();
    };
    let heading = heading_columns(sources, &heading, &known, findings);
    let decimal_comma = separator == b';';
    let mut rows = Vec::new();
    for (i, row) in grid.enumerate() {
        let first = row.first();
        let remark = first.is_some_and(|c| c.text.trim_start().starts_with('#'));
        if remark || row.iter().all(|c| c.text.trim().is_empty()) {
            continue;
        }
        let number = i + 2;
        let start = first.map_or(0, |c| c.span.start);
        let end = row.last().map_or(start, |c| c.span.end);
        let span = Span { source, start, end };
        if let Some(extra) = row.iter().skip(heading.len()).find(|c| !c.text.trim().is_empty()) {
            let cause = format!("row {number} has more cells than the heading ({})", heading.len());
            findings.push(Finding::listed("B023", cause).at(sources.place(extra.span, "")));
        }
        let mut table = Node { span, value: Value::Table(Table::default()) };
        for (cell, column) in row.iter().zip(&heading) {
            if let (Some(column), false) = (column, cell.text.trim().is_empty()) {
                let node = cell_node(cell, column, decimal_comma);
                set(&mut table, &column.name, cell.span, span, node);
            }
        }
        rows.push(Row { number, node: table });
    }
    rows
}

/// Which known column stands where; `None` for remarks and for those that findings are about.
fn heading_columns<'k>(
    sources: &Sources,
    heading: &[Cell],
    known: &'k [Column],
    findings: &mut Vec<Finding>,
) -> Vec<Option<&'k Column>> {
    let mut found: Vec<Option<&Column>> = Vec::new();
    for cell in heading.iter().take(MOST_COLUMNS) {
        let name = cell.text.trim();
        if name.is_empty() || name.starts_with('#') {
            found.push(None);
            continue;
        }
        let place = sources.place(cell.span, name);
        let column = known.iter().find(|k| k.name == name);
        let twice = column.is_some_and(|c| found.iter().flatten().any(|f| f.name == c.name));
        if twice {
            findings.push(Finding::listed("B021", format!("the column `{name}` is there twice")).at(place));
            found.push(None);
            continue;
        }
        if column.is_none() {
            let cause = format!("`{}` is not a known column", super::clip(name));
            let finding = Finding::listed("B020", cause).at(place);
            findings.push(match suggest(name, known.iter().map(|k| k.name.as_str())) {
                Some(near) => finding.remedied(format!("Did you mean `{near}`?")),
                None => finding,
            });
        }
        found.push(column);
    }
    found
}

fn cell_node(cell: &Cell, column: &Column, decimal_comma: bool) -> Node {
    let written = cell.text.trim();
    let text = if decimal_comma && !column.text && has_decimal_comma(written) {
        points_for_commas(written)
    } else {
        written.to_owned()
    };
    let one = |t: &str| Node { span: cell.span, value: Value::Text(t.trim().to_owned()) };
    if !column.many {
        return one(&text);
    }
    // Several values in one cell: "28 x 28 x 52", "flat + roll"; several sheets: "600 x 300 x 4.50 | 1220 x 2440".
    let split = |t: &str, by: &[char]| -> Value {
        let parts: Vec<Node> = t.split(by).filter(|p| !p.trim().is_empty()).map(one).collect();
        if parts.len() > 1 { Value::List(parts) } else { Value::Text(t.trim().to_owned()) }
    };
    if column.name == "sheets" {
        let sheets = text.split('|').map(|t| Node { span: cell.span, value: split(t, &['x', '×']) });
        return Node { span: cell.span, value: Value::List(sheets.collect()) };
    }
    Node { span: cell.span, value: split(&text, &['x', '×', '+', '|', ',']) }
}

/// Sets a dotted key, making the tables on the way.
fn set(table: &mut Node, dotted: &str, cell: Span, row: Span, node: Node) {
    let Value::Table(entries) = &mut table.value else { return };
    match dotted.split_once('.') {
        None => entries.set(dotted, cell, node),
        Some((first, rest)) => {
            let is_table = entries.get(first).is_some_and(|n| n.as_table().is_some());
            if !is_table {
                entries.set(first, cell, Node { span: row, value: Value::Table(Table::default()) });
            }
            if let Some(inner) = entries.get_mut(first) {
                set(inner, rest, cell, row, node);
            }
        }
    }
}

/// Turns every comma between two digits into a point.
fn points_for_commas(text: &str) -> String {
    let bytes = text.as_bytes();
    let digit = |i: Option<usize>| i.and_then(|i| bytes.get(i)).is_some_and(u8::is_ascii_digit);
    text.char_indices()
        .map(|(i, c)| if c == ',' && digit(i.checked_sub(1)) && digit(Some(i + 1)) { '.' } else { c })
        .collect()
}

struct Cell {
    text: String,
    span: Span,
}

/// Splits a text into rows of cells; a cell in quotes may hold separators, line breaks and doubled quotes.
/// The error is the place of a quote that is never closed.
fn cells(text: &str, source: usize, separator: u8) -> Result<Vec<Vec<Cell>>, Span> {
    let bytes = text.as_bytes();
    let mut grid = Vec::new();
    let mut row = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let start = at;
        let mut cell = String::new();
        if bytes.get(at) == Some(&b'"') {
            at += 1;
            loop {
                let from = at;
                while at < bytes.len() && bytes.get(at) != Some(&b'"') {
                    at += 1;
                }
                if at >= bytes.len() {
                    return Err(Span { source, start, end: start + 1 });
                }
                cell.push_str(text.get(from..at).unwrap_or(""));
                at += 1;
                if bytes.get(at) != Some(&b'"') {
                    break;
                }
                cell.push('"');
                at += 1;
            }
        }
        let from = at;
        while !bytes.get(at).is_none_or(|b| *b == separator || *b == b'\n' || *b == b'\r') {
            at += 1;
        }
        cell.push_str(text.get(from..at).unwrap_or(""));
        row.push(Cell { text: cell, span: Span { source, start, end: at } });
        match bytes.get(at) {
            Some(b'\r') if bytes.get(at + 1) == Some(&b'\n') => at += 2,
            Some(b) if *b == separator => {
                at += 1;
                // A separator at the very end of the file begins a last, empty cell, which nobody misses.
                continue;
            }
            _ => at += 1,
        }
        grid.push(std::mem::take(&mut row));
    }
    if !row.is_empty() {
        grid.push(row);
    }
    Ok(grid)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn plain(text: &str, separator: u8) -> Vec<Vec<String>> {
        let grid = cells(text, 0, separator).unwrap();
        grid.into_iter().map(|r| r.into_iter().map(|c| c.text).collect()).collect()
    }

    #[test]
    fn quotes_hold_separators_and_line_breaks() {
        assert_eq!(
            plain("a;\"b;c\"\n\"d\"\"e\";\"f\ng\"\r\nh;", b';'),
            [vec!["a", "b;c"], vec!["d\"e", "f\ng"], vec!["h"]]
        );
        assert_eq!(points_for_commas("2,5 mm, 3,5"), "2.5 mm, 3.5");
    }

    proptest! {
        /// Cells that the `csv` crate writes come back as they were.
        #[test]
        fn reads_what_the_usual_writer_writes(grid in prop::collection::vec(prop::collection::vec("[a;,\"\n é]{1,5}", 3), 1..5)) {
            let mut writer = csv::Writer::from_writer(Vec::new());
            for row in &grid {
                writer.write_record(row).unwrap();
            }
            let text = String::from_utf8(writer.into_inner().unwrap()).unwrap();
            prop_assert_eq!(plain(&text, b','), grid);
        }
    }
}

//! One table in three writings: for a screen, as CSV, as JSON.

/// One cell.
///
/// ```
/// use traywright::shop::{Cell, Table};
/// let row = vec![Cell::Empty, Cell::text("12.50"), Cell::number("12.50")];
/// let table = Table { columns: vec!["a", "b", "c"], rows: vec![row] };
/// assert_eq!(table.json_lines(), "{\"a\": null, \"b\": \"12.50\", \"c\": 12.50}\n");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Nothing to say.
    Empty,
    /// A text.
    Text(String),
    /// A decimal number as it is shown.
    Number(String),
}

impl Cell {
    /// A text.
    ///
    /// ```
    /// use traywright::shop::Cell;
    /// assert_eq!(Cell::text("birch-3"), Cell::Text("birch-3".into()));
    /// assert_ne!(Cell::text("3"), Cell::number("3"));
    /// ```
    pub fn text(text: impl Into<String>) -> Cell {
        Cell::Text(text.into())
    }

    /// A decimal number.
    ///
    /// ```
    /// use traywright::shop::{Cell, Table};
    /// // It is written as it was given: nothing is rounded.
    /// let table = Table { columns: vec!["spare_ml"], rows: vec![vec![Cell::number("12.50")]] };
    /// assert_eq!(table.csv(), "spare_ml\n12.50\n");
    /// ```
    pub fn number(text: impl Into<String>) -> Cell {
        Cell::Number(text.into())
    }

    pub(super) fn shown(&self) -> &str {
        match self {
            Cell::Empty => "",
            Cell::Text(text) | Cell::Number(text) => text,
        }
    }

    fn json(&self) -> String {
        match self {
            Cell::Empty => "null".to_owned(),
            Cell::Number(text) => text.clone(),
            Cell::Text(text) => serde_json::Value::from(text.as_str()).to_string(),
        }
    }
}

/// A table: every row has a cell for every column.
///
/// ```
/// use traywright::shop::{Cell, Table};
/// let row = |id, n| vec![Cell::text(id), Cell::number(n)];
/// let rows = vec![row("ferry", "2"), row("tides", "1")];
/// let table = Table { columns: vec!["id", "layers"], rows };
/// assert_eq!(table.csv(), "id,layers\nferry,2\ntides,1\n");
/// ```
#[derive(Clone, Debug)]
pub struct Table {
    /// Names of the columns.
    pub columns: Vec<&'static str>,
    /// From the top.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// The same rows with these columns only; names that the table does not have are left out.
    ///
    /// ```
    /// use traywright::shop::{Cell, Table};
    /// let table = Table {
    ///     columns: vec!["stock", "spare_ml"],
    ///     rows: vec![vec![Cell::text("birch-3"), Cell::number("12.5")]],
    /// };
    /// assert_eq!(table.pick(&["spare_ml"]).csv(), "spare_ml\n12.5\n");
    /// assert_eq!(table.json(), "[\n  {\"stock\": \"birch-3\", \"spare_ml\": 12.5}\n]\n");
    /// ```
    #[must_use]
    pub fn pick(&self, names: &[&str]) -> Table {
        let kept: Vec<usize> =
            names.iter().filter_map(|n| self.columns.iter().position(|c| c == n)).collect();
        Table {
            columns: kept.iter().filter_map(|&i| self.columns.get(i).copied()).collect(),
            rows: self
                .rows
                .iter()
                .map(|row| kept.iter().map(|&i| row.get(i).cloned().unwrap_or(Cell::Empty)).collect())
                .collect(),
        }
    }

    /// For a screen: columns aligned, numbers to the right, two spaces between.
    ///
    /// ```
    /// use traywright::shop::{Cell, Table};
    /// let row = |id, n| vec![Cell::text(id), Cell::number(n)];
    /// let rows = vec![row("ferry", "9.5"), row("tides", "121.0")];
    /// let text = Table { columns: vec!["id", "slack_ml"], rows }.text();
    /// assert_eq!(text, "id     slack ml\nferry       9.5\ntides     121.0\n");
    /// ```
    pub fn text(&self) -> String {
        let heads: Vec<Cell> = self.columns.iter().map(|c| Cell::text(heading(c))).collect();
        let lines: Vec<&Vec<Cell>> = std::iter::once(&heads).chain(&self.rows).collect();
        let width = |i: usize| lines.iter().filter_map(|l| l.get(i)).map(|c| c.shown().chars().count()).max();
        let widths: Vec<usize> = (0..self.columns.len()).map(|i| width(i).unwrap_or(0)).collect();
        let numeric = |i: usize| self.rows.iter().any(|r| matches!(r.get(i), Some(Cell::Number(_))));
        let mut out = String::new();
        for line in lines {
            let mut text = String::new();
            for (i, (cell, width)) in line.iter().zip(&widths).enumerate() {
                let shown = cell.shown();
                let gap = " ".repeat(width - shown.chars().count());
                let (before, after) = if numeric(i) { (gap.as_str(), "") } else { ("", gap.as_str()) };
                text += &format!("{before}{shown}{after}  ");
            }
            out += text.trim_end();
            out.push('\n');
        }
        out
    }

    /// CSV with a heading, commas between and LF after every line.
    ///
    /// ```
    /// use traywright::shop::{Cell, Table};
    /// let rows = vec![vec![Cell::text("salt, \"coarse\"")]];
    /// let table = Table { columns: vec!["note"], rows };
    /// assert_eq!(table.csv(), "note\n\"salt, \"\"coarse\"\"\"\n");
    /// ```
    pub fn csv(&self) -> String {
        let mut writer = csv::WriterBuilder::new().from_writer(Vec::new());
        // Writing into memory cannot fail, and every row has as many cells as there are columns.
        let _ = writer.write_record(&self.columns);
        for row in &self.rows {
            let _ = writer.write_record(row.iter().map(Cell::shown));
        }
        writer.into_inner().map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default()
    }

    /// JSON: a list with one object a row, keys in the order of the columns.
    ///
    /// ```
    /// use traywright::shop::{Cell, Table};
    /// let rows = vec![vec![Cell::text("ferry"), Cell::Empty]];
    /// let table = Table { columns: vec!["id", "gap_percent"], rows };
    /// assert_eq!(table.json(), "[\n  {\"id\": \"ferry\", \"gap_percent\": null}\n]\n");
    /// let none = Table { rows: Vec::new(), ..table };
    /// assert_eq!(none.json(), "[]\n");
    /// ```
    pub fn json(&self) -> String {
        if self.rows.is_empty() {
            return "[]\n".to_owned();
        }
        let rows: Vec<String> = self.objects().map(|row| format!("  {row}")).collect();
        format!("[\n{}\n]\n", rows.join(",\n"))
    }

    /// JSON lines: one object a row.
    ///
    /// ```
    /// use traywright::shop::{Cell, Table};
    /// let rows = vec![vec![Cell::number("1")], vec![Cell::number("2")]];
    /// let table = Table { columns: vec!["layers"], rows };
    /// assert_eq!(table.json_lines(), "{\"layers\": 1}\n{\"layers\": 2}\n");
    /// ```
    pub fn json_lines(&self) -> String {
        self.objects().map(|row| row + "\n").collect()
    }

    fn objects(&self) -> impl Iterator<Item = String> {
        self.rows.iter().map(|row| {
            let pairs: Vec<String> =
                self.columns.iter().zip(row).map(|(c, cell)| format!("\"{c}\": {}", cell.json())).collect();
            format!("{{{}}}", pairs.join(", "))
        })
    }
}

/// How a column is called on a screen.
fn heading(column: &str) -> String {
    column.replace("_percent", " %").replace('_', " ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Table {
        Table {
            columns: vec!["id", "spare_ml", "note"],
            rows: vec![
                vec![Cell::text("a"), Cell::number("1234.5"), Cell::text("salt, \"coarse\"")],
                vec![Cell::text("béton"), Cell::number("2.0"), Cell::Empty],
            ],
        }
    }

    #[test]
    fn on_a_screen_numbers_stand_under_each_other() {
        assert_eq!(
            sample().text(),
            "id     spare ml  note\n\
             a        1234.5  salt, \"coarse\"\n\
             béton       2.0\n"
        );
    }

    #[test]
    fn csv_quotes_what_needs_it() {
        assert_eq!(sample().csv(), "id,spare_ml,note\na,1234.5,\"salt, \"\"coarse\"\"\"\nbéton,2.0,\n");
    }

    #[test]
    fn json_reads_back() {
        let read: serde_json::Value = serde_json::from_str(&sample().json()).unwrap();
        assert_eq!(read[0]["note"], "salt, \"coarse\"");
        assert_eq!(read[1]["note"], serde_json::Value::Null);
        assert_eq!(read[0]["spare_ml"].to_string(), "1234.5");
    }
}

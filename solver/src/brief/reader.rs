//! What carries a reading along: the sources, the unit of bare numbers, and the findings so far.

use super::form::{Key, Read};
use super::sources::{Sources, Span, Spot};
use super::suggest::suggest;
use super::tree::{Node, Table, Value};
use crate::finding::{Finding, Severity};
use crate::length::Unit;

/// Findings kept; a file with more faults than this is not helped by a longer list.
pub(crate) const MOST_FINDINGS: usize = 500;

/// Trays within trays beyond this are refused: a carry tray within a carry tray is the most that anyone lifts.
pub(crate) const MOST_TRAY_DEPTH: usize = 4;

/// Path of a key in words, such as `tray "decks" › part "weather cards" › stack.count`.
#[derive(Clone, Debug, Default)]
pub(crate) struct Path {
    text: String,
    at_item: bool,
}

impl Path {
    /// One key further down.
    pub(crate) fn key(&self, key: &str) -> Path {
        let joint = match (self.text.is_empty(), self.at_item) {
            (true, _) => "",
            (false, true) => " › ",
            (false, false) => ".",
        };
        Path { text: format!("{}{joint}{key}", self.text), at_item: false }
    }

    /// One entry of a list: by its name where it has one, else by its number from 1.
    pub(crate) fn item(&self, index: usize, node: &Node) -> Path {
        let text = match node.text("name") {
            Some(name) => format!("{} \"{}\"", self.text, super::clip(name)),
            None => format!("{} {}", self.text, index + 1),
        };
        Path { text, at_item: true }
    }

    pub(crate) fn text(&self) -> &str {
        &self.text
    }
}

/// The findings of a reading, at most [`MOST_FINDINGS`] of them.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    list: Vec<Finding>,
    left_out: usize,
}

impl Findings {
    pub(crate) fn push(&mut self, finding: Finding) {
        if self.list.len() < MOST_FINDINGS { self.list.push(finding) } else { self.left_out += 1 }
    }

    /// Counts a finding instead of making it, where there are enough already: a file with a million faults must
    /// not cost a million searches for suggestions.
    fn count_only(&mut self) -> bool {
        let full = self.list.len() >= MOST_FINDINGS;
        self.left_out += usize::from(full);
        full
    }

    pub(crate) fn any_fault(&self) -> bool {
        self.left_out > 0 || self.list.iter().any(|f| f.severity == Severity::Fault)
    }

    /// All of them in the order of the file, with a last one that counts those left out.
    pub(crate) fn into_list(mut self) -> Vec<Finding> {
        // Findings of one file in its order; notes without a place come last. The sort is stable.
        self.list.sort_by_key(|f| {
            (f.place.bytes.is_none(), f.place.file.clone(), f.place.bytes.clone().map_or(0, |b| b.start))
        });
        if self.left_out > 0 {
            self.list.push(Finding::listed("B019", format!("{} more findings are left out", self.left_out)));
        }
        self.list
    }
}

/// A reading under way.
pub(crate) struct Reader<'s> {
    pub(crate) sources: &'s Sources,
    pub(crate) unit: Unit,
    pub(crate) findings: Findings,
    pub(crate) tray_depth: usize,
}

impl<'s> Reader<'s> {
    pub(crate) fn new(sources: &'s Sources) -> Self {
        Reader { sources, unit: Unit::Millimetre, findings: Findings::default(), tray_depth: 0 }
    }

    /// Adds a finding about these bytes.
    pub(crate) fn report(&mut self, code: &'static str, span: Span, path: &str, cause: impl Into<String>) {
        if !self.findings.count_only() {
            self.findings.push(Finding::listed(code, cause).at(self.sources.place(span, path)));
        }
    }

    /// Adds a finding with a remedy that says more than the usual one.
    pub(crate) fn report_with(
        &mut self,
        code: &'static str,
        span: Span,
        path: &str,
        cause: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        if !self.findings.count_only() {
            let finding = Finding::listed(code, cause).remedied(remedy).at(self.sources.place(span, path));
            self.findings.push(finding);
        }
    }

    /// Says that something else was wanted here.
    pub(crate) fn wrong_kind(&mut self, node: &Node, path: &Path, wanted: &str) {
        let quote = self.sources.quote(node.span);
        let cause = match node.value {
            Value::Table(_) => format!("here stands a table, but {wanted} is wanted"),
            _ => format!("`{quote}` is {}, but {wanted} is wanted", node.value.kind()),
        };
        self.report("B009", node.span, path.text(), cause);
    }

    /// The table that should stand here; unknown keys and missing ones are findings.
    pub(crate) fn table<'n>(
        &mut self,
        node: &'n Node,
        path: &Path,
        keys: &[Key],
        what: &str,
    ) -> Option<&'n Table> {
        let Value::Table(table) = &node.value else {
            let quote = super::clip(self.sources.quote(node.span));
            let cause = format!("`{quote}` is {}, but {what} is wanted", node.value.kind());
            self.report_with("B009", node.span, path.text(), cause, table_remedy(keys));
            return None;
        };
        // A key that is merely mistyped is not missing as well.
        let mut meant = Vec::new();
        for entry in &table.entries {
            if keys.iter().all(|k| k.name != entry.key) && !self.findings.count_only() {
                let near = suggest(&entry.key, keys.iter().map(|k| k.name));
                let cause = format!("`{}` is not a key of {what}", super::clip(&entry.key));
                meant.extend(near);
                let remedy = match near {
                    Some(near) => format!("Did you mean `{near}`?"),
                    None => {
                        let all: Vec<&str> = keys.iter().map(|k| k.name).collect();
                        format!("Known here: {}.", all.join(", "))
                    }
                };
                self.report_with("B007", entry.key_span, path.key(&entry.key).text(), cause, remedy);
            }
        }
        for key in keys.iter().filter(|k| k.needed && table.get(k.name).is_none() && !meant.contains(&k.name))
        {
            let about = super::form::first_sentence(key.about);
            let cause = format!("`{}` is missing in {what}", key.name);
            self.report_with("B008", node.span, path.key(key.name).text(), cause, format!("Add it: {about}"));
        }
        Some(table)
    }
}

/// Keys of a table that are told with what they mean; of a larger one only their names.
const MOST_TOLD: usize = 3;

/// How a table is written that has these keys.
fn table_remedy(keys: &[Key]) -> String {
    let brackets = "Write a table in curly brackets, `{ key = value }`";
    if keys.len() > MOST_TOLD {
        let names: Vec<&str> = keys.iter().map(|k| k.name).collect();
        return format!("{brackets}; keys known here: {}.", names.join(", "));
    }
    let one = |k: &Key| format!("`{}`: {}", k.name, k.about.trim());
    format!("{brackets}. {}", keys.iter().map(one).collect::<Vec<_>>().join(" "))
}

/// What a key of a table held.
#[derive(Clone, Debug, Default)]
pub(crate) enum Field<T> {
    /// The key is not there.
    #[default]
    Absent,
    /// It is there, but a finding says what is wrong with it: later checks keep quiet about it.
    Bad,
    /// It is there.
    Good(At<T>),
}

/// A value with its place.
#[derive(Clone, Debug)]
pub(crate) struct At<T> {
    pub(crate) value: T,
    pub(crate) spot: Spot,
}

impl<T: Read> Field<T> {
    /// Reads `key` of a table.
    pub(crate) fn read(table: &Table, key: &str, path: &Path, reader: &mut Reader<'_>) -> Field<T> {
        let Some(node) = table.get(key) else { return Field::Absent };
        let path = path.key(key);
        match T::read(node, &path, reader) {
            Some(value) => {
                Field::Good(At { value, spot: Spot { span: node.span, path: path.text().to_owned() } })
            }
            None => Field::Bad,
        }
    }
}

impl<T> Field<T> {
    pub(crate) fn get(&self) -> Option<&At<T>> {
        if let Field::Good(at) = self { Some(at) } else { None }
    }

    pub(crate) fn value(&self) -> Option<&T> {
        self.get().map(|at| &at.value)
    }

    pub(crate) fn is_absent(&self) -> bool {
        matches!(self, Field::Absent)
    }

    pub(crate) fn is_bad(&self) -> bool {
        matches!(self, Field::Bad)
    }
}

impl<T: Copy> Field<T> {
    pub(crate) fn copied(&self) -> Option<T> {
        self.value().copied()
    }
}

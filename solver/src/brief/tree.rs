//! One small tree for everything that is read: TOML, JSON, spreadsheets and changes from the command line.
//!
//! Every value and every key knows where it stands, so that each finding can point at it.

use toml::de::{DeTable, DeValue};

use super::sources::{Sources, Span};
use crate::finding::Finding;

/// A value and where it stands.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(crate) span: Span,
    pub(crate) value: Value,
}

/// What was written.
#[derive(Clone, Debug)]
pub(crate) enum Value {
    Text(String),
    /// A number as it was written, without underscores; hexadecimal and the like turned into decimal.
    Number(String),
    Truth(bool),
    List(Vec<Node>),
    Table(Table),
    /// A date, or JSON's `null`: nothing here takes one.
    Foreign(&'static str),
}

/// Keys with their values, in the order of the file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Table {
    pub(crate) entries: Vec<Entry>,
}

/// One key with its value.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    pub(crate) key: String,
    pub(crate) key_span: Span,
    pub(crate) node: Node,
}

impl Value {
    /// What kind of value this is, for findings.
    pub(crate) fn kind(&self) -> &'static str {
        match self {
            Value::Text(_) => "a text",
            Value::Number(_) => "a number",
            Value::Truth(_) => "true or false",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
            Value::Foreign(what) => what,
        }
    }
}

impl Node {
    pub(crate) fn as_table(&self) -> Option<&Table> {
        if let Value::Table(t) = &self.value { Some(t) } else { None }
    }

    /// The value of `key`, where this is a table that has it.
    pub(crate) fn get(&self, key: &str) -> Option<&Node> {
        self.as_table()?.get(key)
    }

    /// The text of `key`, where this is a table that has one.
    pub(crate) fn text(&self, key: &str) -> Option<&str> {
        match &self.get(key)?.value {
            Value::Text(t) | Value::Number(t) => Some(t),
            _ => None,
        }
    }
}

impl Table {
    pub(crate) fn get(&self, key: &str) -> Option<&Node> {
        self.entries.iter().find(|e| e.key == key).map(|e| &e.node)
    }

    pub(crate) fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        self.entries.iter_mut().find(|e| e.key == key).map(|e| &mut e.node)
    }

    /// Takes `key` out.
    pub(crate) fn take(&mut self, key: &str) -> Option<Node> {
        let at = self.entries.iter().position(|e| e.key == key)?;
        Some(self.entries.remove(at).node)
    }

    /// Sets `key`, in its old place where it had one.
    pub(crate) fn set(&mut self, key: &str, key_span: Span, node: Node) {
        match self.entries.iter_mut().find(|e| e.key == key) {
            Some(entry) => *entry = Entry { key: key.to_owned(), key_span, node },
            None => self.entries.push(Entry { key: key.to_owned(), key_span, node }),
        }
    }
}

/// Reads source number `source` as TOML.
pub(crate) fn from_toml(sources: &Sources, source: usize) -> Result<Node, Vec<Finding>> {
    parsed(sources, source).ok_or_else(|| super::syntax::faults(sources, source))
}

/// The same; what is wrong is not looked for.
pub(crate) fn parsed(sources: &Sources, source: usize) -> Option<Node> {
    let (root, errors) = DeTable::parse_recoverable(sources.text(source));
    let span = Span { source, start: 0, end: 0 };
    errors.is_empty().then(|| Node { span, value: Value::Table(table(root.get_ref(), source)) })
}

/// A value written on a command line: as TOML where it reads as such, else as plain text.
pub(crate) fn from_change(text: &str, source: usize) -> Node {
    match DeValue::parse(text) {
        Ok(value) => match node(value.get_ref(), Span { source, start: 0, end: text.len() }) {
            Node { span, value: Value::Foreign(_) } => Node { span, value: Value::Text(text.to_owned()) },
            node => node,
        },
        Err(_) => {
            let span = Span { source, start: 0, end: text.len() };
            Node { span, value: Value::Text(text.trim().to_owned()) }
        }
    }
}

fn table(from: &DeTable<'_>, source: usize) -> Table {
    let mut entries: Vec<Entry> = from
        .iter()
        .map(|(key, value)| {
            let at = |r: std::ops::Range<usize>| Span { source, start: r.start, end: r.end };
            Entry {
                key: key.get_ref().to_string(),
                key_span: at(key.span()),
                node: node(value.get_ref(), at(value.span())),
            }
        })
        .collect();
    entries.sort_by_key(|e| e.key_span.start);
    Table { entries }
}

fn node(from: &DeValue<'_>, span: Span) -> Node {
    let value = match from {
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(i) => {
            let decimal = match i.radix() {
                10 => i.as_str().to_owned(),
                radix => i128::from_str_radix(i.as_str(), radix)
                    .map_or_else(|_| i.as_str().to_owned(), |n| n.to_string()),
            };
            Value::Number(decimal)
        }
        DeValue::Float(f) => Value::Number(f.as_str().to_owned()),
        DeValue::Boolean(b) => Value::Truth(*b),
        DeValue::Datetime(_) => Value::Foreign("a date"),
        DeValue::Array(list) => Value::List(
            list.iter()
                .map(|item| {
                    let r = item.span();
                    node(item.get_ref(), Span { source: span.source, start: r.start, end: r.end })
                })
                .collect(),
        ),
        DeValue::Table(t) => Value::Table(table(t, span.source)),
    };
    Node { span, value }
}

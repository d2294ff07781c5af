//! Rows of an inventory put into the tree of the brief, each beside the parts written there.

use std::collections::BTreeMap;

use super::csv;
use super::keys::FreePartKeys;
use super::sources::{Sources, Span};
use super::tree::{Node, Table, Value};
use crate::finding::Finding;

/// Columns that are no tables here: the tray is told by its name.
const TEXT_COLUMNS: &[&str] = &["tray"];

/// Adds the rows of source number `source` to the brief. A row with a tray becomes a part of that tray, which
/// is made where the brief has none of that name; a row without one becomes a part without a tray.
pub(crate) fn merge(root: &mut Node, sources: &Sources, source: usize, findings: &mut Vec<Finding>) {
    let rows = csv::rows(sources, source, FreePartKeys::KEYS, TEXT_COLUMNS, findings);
    let Value::Table(root) = &mut root.value else { return };
    let mut trays: BTreeMap<String, usize> = BTreeMap::new();
    if let Some(Value::List(list)) = root.get("tray").map(|n| &n.value) {
        for (i, tray) in list.iter().enumerate() {
            if let Some(name) = tray.text("name") {
                trays.entry(name.trim().to_owned()).or_insert(i);
            }
        }
    }
    for row in rows {
        let mut part = row.node;
        let span = part.span;
        let Value::Table(cells) = &mut part.value else { continue };
        let tray = cells.take("tray");
        let Some(tray) = tray else {
            push(root, "part", part);
            continue;
        };
        let usage = cells.take("use");
        let Value::Text(name) = &tray.value else { continue };
        let index = *trays.entry(name.clone()).or_insert_with(|| {
            let mut made = Table::default();
            made.set("name", tray.span, tray.clone());
            push(root, "tray", Node { span, value: Value::Table(made) })
        });
        let Some(tray) = list_entry(root, "tray", index) else { continue };
        if let Some(usage) = usage {
            match tray.get("use").map(|n| &n.value) {
                None => tray.set("use", usage.span, usage),
                Some(said) => {
                    if let (Value::Text(said), Value::Text(here)) = (said, &usage.value)
                        && said != here
                    {
                        let cause = format!(
                            "row {} says use \"{here}\", but its tray \"{name}\" has use \"{said}\"",
                            row.number
                        );
                        findings.push(Finding::listed("B025", cause).at(sources.place(usage.span, "use")));
                    }
                }
            }
        }
        push(tray, "part", part);
    }
}

/// Appends to a list, making it where there is none; returns the new entry's place in it.
fn push(table: &mut Table, key: &str, node: Node) -> usize {
    if table.get(key).is_none() {
        let span: Span = node.span;
        table.set(key, span, Node { span, value: Value::List(Vec::new()) });
    }
    match table.get_mut(key).map(|n| &mut n.value) {
        Some(Value::List(list)) => {
            list.push(node);
            list.len() - 1
        }
        // Not a list: the reader will say so.
        _ => usize::MAX,
    }
}

fn list_entry<'t>(table: &'t mut Table, key: &str, index: usize) -> Option<&'t mut Table> {
    match table.get_mut(key).map(|n| &mut n.value) {
        Some(Value::List(list)) => match list.get_mut(index).map(|n| &mut n.value) {
            Some(Value::Table(t)) => Some(t),
            _ => None,
        },
        _ => None,
    }
}

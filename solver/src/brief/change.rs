//! Changes to a brief from outside it: a dotted path and a new value.
//!
//! `box.interior`, `stock.thickness`, `part.weather cards.stack.count`: after `part`, `tray`, `kept` and
//! `cover` comes the name of the one that is meant; the rest are keys.

use super::sources::{Sources, Span};
use super::tree::{Node, Table, Value, from_change};

/// Kinds of named entries, and where lists of them are found.
pub(super) const NAMED: [&str; 4] = ["part", "tray", "kept", "cover"];

/// Keys beyond this in one path name nothing.
const MOST_KEYS: usize = 12;

/// Puts a change into the tree. Its value is source number `source`; `path` is as it was given.
///
/// The error says why it reaches nothing.
pub(crate) fn apply(root: &mut Node, sources: &Sources, source: usize, path: &str) -> Result<(), String> {
    // Nothing at all takes the key out, so that what is usual counts.
    let value = if sources.text(source).trim().is_empty() {
        None
    } else {
        Some(from_change(sources.text(source), source))
    };
    let span = sources.whole(source);
    if let (None, Some(keys)) = (&value, path.strip_prefix("part.*.")) {
        return take_from_all(root, keys);
    }
    let (first, rest) = path.split_once('.').unwrap_or((path, ""));
    if !NAMED.contains(&first) || rest.is_empty() {
        return set(root, path, span, value);
    }
    let Some((name, keys)) = longest_name(root, first, rest) else {
        return Err(format!("no {first} has the name with which `{}` begins", super::clip(rest)));
    };
    if keys.is_empty() {
        return Err(format!("`{}` says which {first}, but not which key of it", super::clip(path)));
    }
    match find_named(root, first, &name) {
        Some(entry) => set(entry, &keys, span, value),
        None => Err(format!("no {first} is called \"{name}\"")),
    }
}

/// Takes a key from every part that has it.
fn take_from_all(node: &mut Node, dotted: &str) -> Result<(), String> {
    let Value::Table(table) = &mut node.value else { return Ok(()) };
    for entry in table.entries.iter_mut().filter(|e| NAMED.contains(&e.key.as_str())) {
        let part = entry.key == "part";
        let items = match &mut entry.node {
            Node { value: Value::List(list), .. } => list.as_mut_slice(),
            single => std::slice::from_mut(single),
        };
        for item in items {
            take_from_all(item, dotted)?;
            if part && let Value::Table(table) = &mut item.value {
                take(table, dotted);
                // A tray that lies in a part holds parts of its own.
                if let Some(inner) = table.get_mut("tray") {
                    take_from_all(inner, dotted)?;
                }
            }
        }
    }
    Ok(())
}

/// Takes a dotted key out, where it is there.
fn take(table: &mut Table, dotted: &str) {
    match dotted.split_once('.') {
        None => drop(table.take(dotted)),
        Some((first, rest)) => {
            if let Some(Node { value: Value::Table(inner), .. }) = table.get_mut(first) {
                take(inner, rest);
            }
        }
    }
}

/// The longest name of that kind with which `rest` begins (names may hold points), and the keys after it.
fn longest_name(root: &Node, kind: &str, rest: &str) -> Option<(String, String)> {
    let mut names = Vec::new();
    collect_names(root, kind, &mut names);
    names
        .into_iter()
        .filter_map(|name| {
            let after = rest.strip_prefix(name)?;
            let keys = if after.is_empty() { "" } else { after.strip_prefix('.')? };
            Some((name.to_owned(), keys.to_owned()))
        })
        .max_by_key(|(name, _)| name.len())
}

/// Lists and single tables under `kind`, wherever trays and parts lie in one another.
pub(super) fn collect_names<'n>(node: &'n Node, kind: &str, into: &mut Vec<&'n str>) {
    let Some(table) = node.as_table() else { return };
    for entry in table.entries.iter().filter(|e| NAMED.contains(&e.key.as_str())) {
        for item in items(&entry.node) {
            if entry.key == kind
                && let Some(name) = item.text("name")
            {
                into.push(name);
            }
            collect_names(item, kind, into);
        }
    }
}

fn items(node: &Node) -> &[Node] {
    match &node.value {
        Value::List(list) => list,
        _ => std::slice::from_ref(node),
    }
}

pub(super) fn find_named<'n>(node: &'n mut Node, kind: &str, name: &str) -> Option<&'n mut Node> {
    let Value::Table(table) = &mut node.value else { return None };
    for entry in table.entries.iter_mut().filter(|e| NAMED.contains(&e.key.as_str())) {
        let right_kind = entry.key == kind;
        let items = match &mut entry.node {
            Node { value: Value::List(list), .. } => list.as_mut_slice(),
            single => std::slice::from_mut(single),
        };
        for item in items {
            if right_kind && item.text("name") == Some(name) {
                return Some(item);
            }
            if let Some(found) = find_named(item, kind, name) {
                return Some(found);
            }
        }
    }
    None
}

/// Sets a dotted key, making tables on the way, or takes it out where there is no value.
fn set(node: &mut Node, dotted: &str, span: Span, value: Option<Node>) -> Result<(), String> {
    let keys: Vec<&str> = dotted.split('.').collect();
    if keys.len() > MOST_KEYS || keys.iter().any(|k| k.trim().is_empty()) {
        return Err(format!("`{}` is not a path of keys", super::clip(dotted)));
    }
    let Some(value) = value else {
        if let Value::Table(table) = &mut node.value {
            take(table, dotted);
        }
        return Ok(());
    };
    let mut at = node;
    let (last, before) = match keys.split_last() {
        Some((last, before)) => (*last, before),
        None => return Err("the path is empty".to_owned()),
    };
    for key in before {
        let Value::Table(table) = &mut at.value else {
            return Err(format!("`{key}` in `{dotted}` cannot be reached: what lies before it is no table"));
        };
        if table.get(key).is_none() {
            table.set(key, span, Node { span, value: Value::Table(Table::default()) });
        }
        match table.get_mut(key) {
            Some(next) => at = next,
            None => return Err(format!("`{key}` cannot be reached")),
        }
    }
    match &mut at.value {
        Value::Table(table) => {
            table.set(last, span, value);
            Ok(())
        }
        other => {
            Err(format!("`{last}` in `{dotted}` cannot be set: what lies before it is {}", other.kind()))
        }
    }
}

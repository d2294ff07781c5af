//! Changes to a brief from outside it: a dotted path and a new value.
//!
//! `box.interior`, `stock.thickness`, `part.weather cards.stack.count`: after `part`, `tray`, `kept` and
//! `cover` comes the name of the one that is meant; the rest are keys. `KEY=` takes a key out, `part.NAME=` a whole part,
//! and `tray.NAME.split = ["part", …]` moves these parts into a second tray like it.

use super::sources::{Sources, Span};
use super::tree::{Node, Table, Value, from_change};

/// Kinds of named entries, and where lists of them are found.
pub(super) const NAMED: [&str; 4] = ["part", "tray", "kept", "cover"];

/// Sides of a box or a body, in the order in which a list has them.
const SIDES: [&str; 3] = ["width", "depth", "height"];

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
    if let ("tray", "split", Some(parts)) = (first, keys.as_str(), &value) {
        return split(root, &name, parts, span);
    }
    if keys.is_empty() && value.is_none() {
        return if remove_named(root, first, &name) {
            Ok(())
        } else {
            Err(format!("\"{name}\" is no {first} by itself that can be taken out"))
        };
    }
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

/// Takes the entry of that kind and name out of the list it stands in, and says whether there was one.
fn remove_named(node: &mut Node, kind: &str, name: &str) -> bool {
    let Value::Table(table) = &mut node.value else { return false };
    for entry in table.entries.iter_mut().filter(|e| NAMED.contains(&e.key.as_str())) {
        if let Value::List(list) = &mut entry.node.value
            && entry.key == kind
            && let Some(at) = list.iter().position(|item| item.text("name") == Some(name))
        {
            list.remove(at);
            return true;
        }
        let items = match &mut entry.node {
            Node { value: Value::List(list), .. } => list.as_mut_slice(),
            single => std::slice::from_mut(single),
        };
        if items.iter_mut().any(|item| remove_named(item, kind, name)) {
            return true;
        }
    }
    false
}

/// Keys that a tray does not share with the one that is split off from it.
const OWN: [&str; 4] = ["name", "part", "size", "held"];

/// Moves parts of a tray of the box into a second one with the same keys, called by its name and a number.
fn split(root: &mut Node, name: &str, parts: &Node, span: Span) -> Result<(), String> {
    let wanted: Vec<&str> = items(parts)
        .iter()
        .map(|item| match &item.value {
            Value::Text(t) | Value::Number(t) => Ok(t.as_str()),
            other => Err(format!("a tray is split by names of its parts, not by {}", other.kind())),
        })
        .collect::<Result<_, _>>()?;
    let mut taken = Vec::new();
    NAMED.iter().for_each(|kind| collect_names(root, kind, &mut taken));
    let second = (2..).map(|n| format!("{name} {n}")).find(|n| !taken.contains(&n.as_str()));
    let Value::Table(table) = &mut root.value else { return Ok(()) };
    let Some(Node { value: Value::List(trays), .. }) = table.get_mut("tray") else {
        return Err(format!("no tray of the box is called \"{name}\""));
    };
    let Some(at) = trays.iter().position(|t| t.text("name") == Some(name)) else {
        return Err(format!("\"{name}\" is no tray of the box itself"));
    };
    let mut other = trays[at].clone();
    let (Value::Table(first), Value::Table(new)) = (&mut trays[at].value, &mut other.value) else {
        return Ok(());
    };
    let Some(Node { value: Value::List(list), span: list_span }) = first.get_mut("part") else {
        return Err(format!("\"{name}\" has no parts to be split"));
    };
    let moved = |item: &Node| item.text("name").is_some_and(|n| wanted.contains(&n));
    let (go, stay): (Vec<Node>, Vec<Node>) = list.drain(..).partition(moved);
    let whole = go.len() == wanted.len();
    let parted = !go.is_empty() && !stay.is_empty();
    *list = stay;
    if !whole || !parted {
        return Err(format!("\"{name}\" is split by some of its own parts, and some must stay"));
    }
    OWN.iter().for_each(|key| drop(new.take(key)));
    let text = Value::Text(second.unwrap_or_default());
    new.set("name", span, Node { span, value: text });
    new.set("part", span, Node { span: *list_span, value: Value::List(go) });
    trays.insert(at + 1, other);
    Ok(())
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
        // Sides that are written as a list have names all the same.
        Value::List(sides)
            if matches!(sides.len(), 2 | 3) && SIDES.iter().take(sides.len()).any(|s| *s == last) =>
        {
            let side = SIDES.iter().position(|s| *s == last).and_then(|i| sides.get_mut(i));
            side.into_iter().for_each(|side| *side = value.clone());
            Ok(())
        }
        other => {
            Err(format!("`{last}` in `{dotted}` cannot be set: what lies before it is {}", other.kind()))
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::job::Source;
    use crate::job::{Job, Tray};
    use crate::{brief::Format, finding::Finding};

    const BRIEF: &str = r#"
box.interior = [200, 150, 60]
stock = { name = "greyboard", thickness = 2 }
kept = [{ name = "carton", size = [40, 40, 40], count = 2 }]

[[tray]]
name = "quay"
use = "always"
held = { layer = 1 }
part = [{ name = "salt", loose.volume = "20 ml" }, { name = "rope", loose.volume = "30 ml" }]

[[tray]]
name = "quay 2"
part = [{ name = "oil", loose.volume = "20 ml" }]
"#;

    fn changed(path: &str, value: &str) -> Result<Job, Vec<Finding>> {
        let source = Source {
            name: "quay.toml".into(),
            text: BRIEF.to_owned(),
            format: Format::Toml,
            inventory: None,
            stock_list: None,
            corrections: None,
        };
        source.read(&[(path.to_owned(), value.to_owned())])
    }

    fn parts(tray: &Tray) -> Vec<&str> {
        tray.parts.iter().map(|p| p.name.as_str()).collect()
    }

    #[test]
    fn whole_entries_are_taken_out_by_nothing() {
        let job = changed("part.salt", "").unwrap();
        assert_eq!(parts(&job.trays[0]), ["rope"]);
        let job = changed("tray.quay 2", "").unwrap();
        assert_eq!(job.trays.len(), 1);
        assert!(changed("kept.carton", "").unwrap().kept.is_empty());
        assert_eq!(changed("kept.salt", "").unwrap_err()[0].code, "B030");
        assert_eq!(changed("part.salt", "3").unwrap_err()[0].code, "B030");
    }

    #[test]
    fn sides_of_a_list_go_by_their_names() {
        let inside = |path: &str, value: &str| changed(path, value).map(|job| job.container.interior);
        let before = inside("title", "Quay").unwrap();
        let mm = crate::length::Length::mm;
        assert_eq!(inside("box.interior.depth", "[160, 161]").unwrap().d, mm(160));
        assert_eq!(inside("box.interior.height", "61").unwrap(), crate::place::Size { h: mm(61), ..before });
        assert_eq!(inside("box.interior.length", "61").unwrap_err()[0].code, "B030");
    }

    #[test]
    fn a_tray_is_split_in_two_alike() {
        let job = changed("tray.quay.split", "[\"rope\"]").unwrap();
        let names: Vec<_> = job.trays.iter().map(|t| (t.name.as_str(), parts(t), t.usage)).collect();
        assert_eq!((names[0].0, &names[0].1[..]), ("quay", &["salt"][..]));
        assert_eq!((names[1].0, &names[1].1[..]), ("quay 3", &["rope"][..]));
        assert_eq!(names[0].2, names[1].2);
        for wrong in ["[\"oil\"]", "[]", "[\"salt\", \"rope\"]", "[3]", "{}"] {
            assert_eq!(changed("tray.quay.split", wrong).unwrap_err()[0].code, "B030", "{wrong}");
        }
    }
}

//! Measures corrected on a dry fit: a file with the keys of a brief, laid over it.
//!
//! Parts, trays, kept and cover items are found by their names, wherever they stand in the brief; everything else by its
//! keys. A text that begins with a sign, such as "+2 mm", is added to what the brief says.

use super::change::{NAMED, collect_names, find_named};
use super::sources::{Sources, Span};
use super::suggest::suggest;
use super::tree::{Node, Table, Value, from_toml};
use crate::finding::Finding;
use crate::length::{Length, Unit, parse_length};

/// Keys of a brief that are no measures.
const NO_MEASURES: [&str; 5] = ["title", "unit", "inventory", "stock_list", "corrections"];

/// Lays source number `source` over the brief.
pub(crate) fn merge(root: &mut Node, sources: &Sources, source: usize, findings: &mut Vec<Finding>) {
    let corrections = match from_toml(sources, source) {
        Ok(node) => node,
        Err(faults) => return findings.extend(faults),
    };
    let unit = match root.text("unit") {
        Some("cm") => Unit::Centimetre,
        Some("in") => Unit::Inch,
        _ => Unit::Millimetre,
    };
    let mut laying = Laying { sources, unit, findings, seen: Vec::new() };
    let Value::Table(table) = corrections.value else { return };
    for entry in table.entries {
        let key = entry.key.as_str();
        if NAMED.contains(&key) {
            laying.named(root, key, entry.node);
        } else if NO_MEASURES.contains(&key) {
            let cause = format!("`{key}` is no measure that a dry fit corrects");
            laying.fault("B034", entry.key_span, key, cause);
        } else if let Value::Table(own) = &mut root.value {
            laying.key(own, key, entry.key_span, entry.node, key);
        }
    }
}

struct Laying<'a> {
    sources: &'a Sources,
    unit: Unit,
    findings: &'a mut Vec<Finding>,
    /// Kinds and names that were corrected.
    seen: Vec<(String, String)>,
}

impl Laying<'_> {
    fn fault(&mut self, code: &'static str, span: Span, path: &str, cause: String) {
        self.findings.push(Finding::listed(code, cause).at(self.sources.place(span, path)));
    }

    /// Corrections of things by their names: a list of tables, or one.
    fn named(&mut self, root: &mut Node, kind: &str, node: Node) {
        let items = match node.value {
            Value::List(list) => list,
            value => vec![Node { span: node.span, value }],
        };
        for item in items {
            self.thing(root, kind, item);
        }
    }

    fn thing(&mut self, root: &mut Node, kind: &str, mut item: Node) {
        let span = item.span;
        let name = item.text("name").map(|n| n.trim().to_owned());
        let (Value::Table(table), Some(name)) = (&mut item.value, name) else {
            let cause = format!("a correction of a {kind} must say its `name`");
            return self.fault("B032", span, kind, cause);
        };
        let path = format!("{kind} \"{}\"", super::clip(&name));
        if self.seen.iter().any(|(k, n)| (k.as_str(), n) == (kind, &name)) {
            return self.fault("B033", span, &path, format!("{path} is corrected twice"));
        }
        self.seen.push((kind.to_owned(), name.clone()));
        table.take("name");
        // What lies in it is corrected by its own name.
        let inner: Vec<(&str, Node)> = NAMED.iter().filter_map(|k| Some((*k, table.take(k)?))).collect();
        let own = std::mem::take(table);
        if find_named(root, kind, &name).is_none() {
            return self.unknown(root, kind, &name, span, &path);
        }
        for (kind, node) in inner {
            // A tray that lies in a part has no name of its own.
            if let (true, Some(Value::Table(carried))) = (kind == "tray", carried(root, &name, &node)) {
                self.table(carried, node, &format!("{path} › tray"));
                continue;
            }
            self.named(root, kind, node);
        }
        if let Some(Node { value: Value::Table(there), .. }) = find_named(root, kind, &name) {
            let node = Node { span, value: Value::Table(own) };
            self.table(there, node, &path);
        }
    }

    fn unknown(&mut self, root: &Node, kind: &str, name: &str, span: Span, path: &str) {
        let mut finding =
            Finding::listed("B032", format!("the brief has no {kind} \"{}\"", super::clip(name)));
        let mut names = Vec::new();
        collect_names(root, kind, &mut names);
        let other = NAMED.iter().find(|k| {
            let mut all = Vec::new();
            collect_names(root, k, &mut all);
            all.contains(&name)
        });
        if let Some(other) = other {
            finding = finding.remedied(format!("\"{}\" is a {other}: write [[{other}]].", super::clip(name)));
        } else if let Some(near) = suggest(name, names) {
            finding = finding.remedied(format!("Did you mean \"{}\"?", super::clip(near)));
        }
        self.findings.push(finding.at(self.sources.place(span, path)));
    }

    /// Every key of a table over that of another one.
    fn table(&mut self, there: &mut Table, node: Node, path: &str) {
        let Value::Table(own) = node.value else { return };
        self.outweighed(there, &own, path);
        for entry in own.entries {
            let below = format!("{path}.{}", entry.key);
            self.key(there, &entry.key, entry.key_span, entry.node, &below);
        }
    }

    /// A corrected count or piece says nothing where a measure of the whole counts, which the brief has.
    fn outweighed(&mut self, there: &Table, own: &Table, path: &str) {
        for (measure, others) in [("height", ["each", "count"]), ("volume", ["piece", "count"])] {
            let whole = there.get(measure).is_some() && own.get(measure).is_none();
            let entry = own.entries.iter().find(|e| others.contains(&e.key.as_str()));
            if let (true, Some(entry)) = (whole, entry) {
                let key = &entry.key;
                let cause = format!(
                    "`{key}` is corrected, but the measured `{measure}` of the brief counts before it"
                );
                let path = format!("{path}.{key}");
                self.fault("B034", entry.key_span, &path, cause);
            }
        }
    }

    fn key(&mut self, there: &mut Table, key: &str, key_span: Span, node: Node, path: &str) {
        let base = there.get(key).cloned().or_else(|| estimated(there, key, self.unit, node.span));
        match (&node.value, there.get_mut(key)) {
            (Value::Table(_), Some(Node { value: Value::Table(inner), .. })) => self.table(inner, node, path),
            (Value::Table(_), Some(old)) => {
                let cause = format!(
                    "`{key}` is {} in the brief, of which no single key can be corrected",
                    old.value.kind()
                );
                self.fault("B034", key_span, path, cause);
            }
            _ => {
                let node = self.summed(base.as_ref(), node, path);
                there.set(key, key_span, node);
            }
        }
    }

    /// A value, added to that of the brief where it is written with a sign; in lists one by one.
    fn summed(&mut self, base: Option<&Node>, node: Node, path: &str) -> Node {
        let Node { span, value } = node;
        let value = match value {
            Value::Text(text) if text.trim_start().starts_with(['+', '-', '−']) => {
                match base.map(|b| self.sum(b, &text)) {
                    Some(Ok(sum)) => Value::Text(format!("{} mm", sum.decimal())),
                    Some(Err(cause)) => {
                        self.fault("B035", span, path, cause);
                        Value::Text(text)
                    }
                    None => {
                        let cause = format!(
                            "`{}` is to be added to something that the brief does not say",
                            super::clip(&text)
                        );
                        self.fault("B035", span, path, cause);
                        Value::Text(text)
                    }
                }
            }
            Value::List(list) => {
                let old = match base.map(|b| &b.value) {
                    Some(Value::List(old)) if old.len() == list.len() => old.as_slice(),
                    _ => &[],
                };
                let items = list.into_iter().enumerate();
                Value::List(items.map(|(i, item)| self.summed(old.get(i), item, path)).collect())
            }
            value => value,
        };
        Node { span, value }
    }

    fn sum(&self, base: &Node, text: &str) -> Result<Length, String> {
        let (Value::Text(said) | Value::Number(said)) = &base.value else {
            return Err(format!(
                "`{}` can only be added to one length, and the brief says {}",
                super::clip(text),
                base.value.kind()
            ));
        };
        let text = text.trim();
        let minus = text.starts_with(['-', '−']);
        let read = |t: &str| parse_length(t, self.unit).map_err(|e| e.to_string());
        let by = read(text.trim_start_matches(['+', '-', '−']).trim_start())?;
        let base = read(said)?;
        let sum = if minus { base - by } else { base + by };
        if sum < Length::ZERO {
            return Err(format!("`{}` takes more away than the {base} of the brief", super::clip(text)));
        }
        Ok(sum)
    }
}

/// The tray that a part carries, where a correction means that one: a table without a name, or with the part's.
fn carried<'n>(root: &'n mut Node, part: &str, correction: &Node) -> Option<&'n mut Value> {
    let named = correction.text("name").is_some_and(|n| n != part);
    if named || correction.as_table().is_none() {
        return None;
    }
    match &mut find_named(root, "part", part)?.value {
        Value::Table(table) => table.get_mut("tray").map(|n| &mut n.value),
        _ => None,
    }
}

/// What a stack's height comes to by count and thickness, where the brief measures none.
fn estimated(stack: &Table, key: &str, unit: Unit, span: Span) -> Option<Node> {
    if key != "height" {
        return None;
    }
    let of = |node: Option<&Node>| match &node?.value {
        Value::Text(t) | Value::Number(t) => parse_length(t, unit).ok(),
        _ => None,
    };
    let count: i64 = match &stack.get("count")?.value {
        Value::Number(n) => n.parse().ok().filter(|n| (0..=1_000_000).contains(n))?,
        _ => return None,
    };
    let film = of(stack.get("sleeve").and_then(|s| s.get("film"))).unwrap_or(Length::ZERO);
    let sum = (of(stack.get("each"))? + film * 2) * count;
    Some(Node { span, value: Value::Text(format!("{} mm", sum.decimal())) })
}

#[cfg(test)]
mod tests {
    use crate::brief::Format;
    use crate::finding::Finding;
    use crate::job::{Contents, Job, Source};
    use crate::length::Length;

    const BRIEF: &str = "[box]\ninterior = [300, 285, 90]\n\n[stock]\nname = \"birch plywood\"\nthickness = 3\n\n\
        [[kept]]\nname = \"carton\"\nsize = [92, 67, 36]\n\n\
        [[tray]]\nname = \"decks\"\n\n[[tray.part]]\nname = \"tide cards\"\nstack = { face = [44, 68], count = 100, each = 0.3, sleeve = { film = 0.1, face = [47, 71] } }\n\n\
        [[tray.part]]\nname = \"purse\"\n\n[tray.part.tray]\n\n[[tray.part.tray.part]]\nname = \"coins\"\nloose = { volume = \"12 ml\", count = 30 }\n\n\
        [[part]]\nname = \"planks\"\nsolid = { size = [40, 20, 5], count = 4 }\n";

    fn read(corrections: &str) -> Result<Job, Vec<Finding>> {
        Source {
            name: "brief.toml".into(),
            text: BRIEF.into(),
            format: Format::Toml,
            inventory: None,
            stock_list: None,
            corrections: Some(("fit.toml".into(), corrections.into())),
        }
        .read(&[])
    }

    fn codes(corrections: &str) -> Vec<(&'static str, String)> {
        read(corrections).unwrap_err().into_iter().map(|f| (f.code, f.to_string())).collect()
    }

    #[test]
    fn measures_are_laid_over_the_brief_by_name() {
        let job = read(
            "[box]\ninterior = [300, 284.6, \"-0.5 mm\"]\n[stock]\nthickness = \"3.1 mm\"\n\
             [[part]]\nname = \"tide cards\"\nstack.height = \"+2 mm\"\n\
             [[part]]\nname = \"coins\"\nloose.volume = \"14 ml\"\n\
             [[part]]\nname = \"planks\"\nsolid.size = [\"+1\", 20, 5]\n\
             [[kept]]\nname = \"carton\"\nsize = [92, 68, 36]\n\
             [[tray]]\nname = \"decks\"\ndivider_height = 20\n",
        )
        .unwrap();
        let inside = job.container.interior;
        assert_eq!((inside.d, inside.h), (Length::um(284_600), Length::um(89_500)));
        assert_eq!(job.stock.thickness, Length::um(3_100));
        assert_eq!(job.kept[0].size.d, Length::mm(68));
        assert_eq!(job.trays[0].divider_height, Some(Length::mm(20)));
        let Contents::Stack(cards) = &job.trays[0].parts[0].contents else { panic!() };
        // 100 × (0.3 + 2 × 0.1) mm and 2 mm more.
        assert_eq!(cards.height, Some(Length::mm(52)));
        let Contents::Tray(purse) = &job.trays[0].parts[1].contents else { panic!() };
        let Contents::Loose(coins) = &purse.parts[0].contents else { panic!() };
        assert_eq!(coins.volume.map(|v| v.to_ml_f64()), Some(14.0));
        let Contents::Solid(planks) = &job.free[0].part.contents else { panic!() };
        assert_eq!(planks.size.w, Length::mm(41));
    }

    #[test]
    fn a_tray_that_lies_in_a_part_is_corrected_there() {
        let job = read("[[part]]\nname = \"purse\"\ntray.divider_height = 12\n").unwrap();
        let Contents::Tray(purse) = &job.trays[0].parts[1].contents else { panic!() };
        assert_eq!(purse.divider_height, Some(Length::mm(12)));
    }

    #[test]
    fn corrections_change_the_digest_and_none_do_not() {
        let digest = |text: &str| read(text).unwrap().digest;
        assert_ne!(digest("[box]\nlid_room = 1\n"), digest("[box]\nlid_room = 2\n"));
    }

    #[test]
    fn unknown_names_are_refused_with_a_suggestion() {
        for (text, code, told) in [
            ("[[part]]\nname = \"tide card\"\nstack.height = 3\n", "B032", "Did you mean \"tide cards\"?"),
            ("[[tray]]\nname = \"carton\"\nlid = true\n", "B032", "write [[kept]]"),
            ("[[part]]\nstack.height = 3\n", "B032", "`name`"),
            ("[[part]]\nname = \"planks\"\nsolid.sise = 3\n", "B007", "size"),
        ] {
            let all = codes(text);
            assert!(
                all.iter().any(|(c, t)| *c == code && t.contains(told) && t.contains("fit.toml:")),
                "{text}{all:?}"
            );
        }
    }

    #[test]
    fn corrections_that_contradict_are_refused() {
        for (text, code, told) in [
            (
                "[[part]]\nname = \"planks\"\nsolid.count = 3\n[[part]]\nname = \"planks\"\nsolid.count = 4\n",
                "B033",
                "twice",
            ),
            ("[[part]]\nname = \"coins\"\nloose.count = 31\n", "B034", "`volume` of the brief"),
            ("[box]\nlid_room = 1\nlid_room = 2\n", "B015", "twice"),
            ("unit = \"in\"\n", "B034", "no measure"),
            ("[[tray]]\nname = \"decks\"\ndivider_height = \"+2 mm\"\n", "B035", "does not say"),
            ("[[part]]\nname = \"tide cards\"\nstack.each = \"-2 mm\"\n", "B035", "more away"),
            ("[box]\ninterior = \"-2 mm\"\n", "B035", "a list"),
            ("box = [", "B004", ""),
        ] {
            let all = codes(text);
            assert!(all.iter().any(|(c, t)| *c == code && t.contains(told)), "{text}{all:?}");
        }
    }
}

//! The written model, read back by a small reader of free-format MPS, is the model.

use std::collections::BTreeMap;

use traywright::layout::model::{Model, Sense, build, mps};
use traywright_tests::model_jobs::jobs;

#[derive(Default)]
struct Read {
    /// Name and kind, in order.
    rows: Vec<(String, char)>,
    /// Name and whether whole, in order.
    columns: Vec<(String, bool)>,
    /// By column and row.
    entries: BTreeMap<(String, String), f64>,
    right: BTreeMap<String, f64>,
    bounds: BTreeMap<String, (f64, f64)>,
}

fn read(text: &str) -> Read {
    let mut out = Read::default();
    let (mut section, mut whole) = (String::new(), false);
    for line in text.lines().filter(|l| !l.starts_with('*')) {
        let words: Vec<&str> = line.split_whitespace().collect();
        if !line.starts_with(' ') {
            section = words[0].to_string();
            continue;
        }
        match (section.as_str(), words.as_slice()) {
            ("ROWS", [kind, name]) => out.rows.push(((*name).into(), kind.chars().next().unwrap())),
            ("COLUMNS", [_, "'MARKER'", kind]) => whole = *kind == "'INTORG'",
            ("COLUMNS", [column, row, value]) => {
                if out.columns.last().is_none_or(|c| c.0 != *column) {
                    out.columns.push(((*column).into(), whole));
                }
                let before = out.entries.insert(((*column).into(), (*row).into()), value.parse().unwrap());
                assert_eq!(before, None, "{column} {row} twice");
            }
            ("RHS", [_, row, value]) => {
                out.right.insert((*row).into(), value.parse().unwrap());
            }
            ("BOUNDS", [kind, _, column, value]) => {
                let value: f64 = value.parse().unwrap();
                let b = out.bounds.entry((*column).into()).or_insert((0.0, f64::INFINITY));
                match *kind {
                    "FX" => *b = (value, value),
                    "LO" => b.0 = value,
                    "UP" => b.1 = value,
                    other => panic!("bound {other}"),
                }
            }
            _ => panic!("{section}: {line}"),
        }
    }
    assert_eq!(section, "ENDATA");
    out
}

fn compare(model: &Model, read: &Read) {
    assert_eq!(read.rows[0], ("cost".into(), 'N'));
    assert_eq!(read.rows.len(), model.rows.len() + 1);
    assert_eq!(read.columns.len(), model.columns.len());
    let mut entries = 0;
    for (row, (name, kind)) in model.rows.iter().zip(&read.rows[1..]) {
        let sense = match row.sense {
            Sense::AtMost => 'L',
            Sense::AtLeast => 'G',
            Sense::Equal => 'E',
        };
        assert_eq!((&row.name, sense), (name, *kind));
        assert_eq!(read.right.get(name).copied().unwrap_or(0.0), row.right, "{name}");
        for &(c, v) in &row.terms {
            let key = (model.columns[c].name.clone(), name.clone());
            assert_eq!(read.entries.get(&key), Some(&v), "{key:?}");
            entries += 1;
        }
    }
    for (column, (name, whole)) in model.columns.iter().zip(&read.columns) {
        assert_eq!((&column.name, column.binary), (name, *whole));
        assert_eq!(read.bounds[name], (column.least, column.most), "{name}");
        let cost = read.entries.get(&(name.clone(), "cost".into()));
        assert_eq!(cost.copied().unwrap_or(0.0), column.cost, "{name}");
        entries += usize::from(cost.is_some());
    }
    assert_eq!(read.entries.len(), entries);
}

#[test]
fn what_is_written_reads_back_as_the_model() {
    for (name, instance) in jobs() {
        let (model, text) = (build(&instance).unwrap(), mps(&instance).unwrap());
        assert_eq!(text, mps(&instance).unwrap(), "{name} twice");
        compare(&model, &read(&text));
        let longest = text.split_whitespace().map(str::len).max().unwrap();
        assert!(longest < 256 && text.is_ascii(), "{name}: names of {longest} characters");
    }
}

#[test]
fn names_can_be_read() {
    let spans = jobs().into_iter().find(|j| j.0 == "spans").unwrap().1;
    let text = mps(&spans).unwrap();
    for name in [
        "height:L1:24",
        "put:cargo:L1:60x50x24:h24",
        "put:masts:L1-2:40x30x48",
        "put:crew_carton:L1-2:35x50x30",
        "left:cargo:masts",
        "x:crew_carton",
        "high-enough:masts:L1-2:40x30x48",
        "area:L2:",
    ] {
        assert!(text.contains(name), "{name}");
    }
}

#[test]
fn coefficients_are_near_one() {
    for (name, instance) in jobs() {
        let model = build(&instance).unwrap();
        let rows = model.rows.iter().flat_map(|r| r.terms.iter().map(|t| t.1.abs()).chain([r.right.abs()]));
        for v in rows.filter(|v| *v != 0.0) {
            assert!((1e-3..=10.0).contains(&v), "{name}: {v}");
        }
    }
}

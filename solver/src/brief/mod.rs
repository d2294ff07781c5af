//! What the maker wrote: a brief in TOML or JSON, an inventory as a spreadsheet, and changes from a
//! command line, read into one tree and from there into tables, with every finding at its place.
//!
//! The tables of a brief and their keys are declared once (in `keys`); the reader, its suggestions, the
//! columns of spreadsheets and the [`schema`] all come from that declaration. What was read is checked and
//! made exact by [`crate::job`]: [`load`](crate::job::load) and [`read`](crate::job::read) are the way in.
//!
//! # Limits
//! Beyond them input is refused with a finding, within seconds: 8 MiB a file; lists and tables 80 deep; trays 4 deep in
//! one another; 2 000 parts; 200 trays; 200 kept and cover items; 1 000 stocks; lengths up to 10 m, volumes up to
//! 1 000 l, counts up to a million; a million grid steps along the box; 500 findings are told, further ones counted.

mod change;
mod correct;
mod csv;
pub(crate) mod form;
mod inventory;
mod json;
pub(crate) mod keys;
pub(crate) mod number;
pub(crate) mod reader;
mod schema;
pub(crate) mod shape;
pub(crate) mod sources;
mod starter;
mod suggest;
mod syntax;
pub(crate) mod tree;
pub(crate) mod value;

pub use schema::schema;
pub use starter::{Starter, starter};

use form::Read;
use keys::{BriefKeys, StockKeys, StockListKeys};
use reader::{Field, Path, Reader};
use sources::{Hand, Sources};
use tree::Node;

use crate::finding::Finding;
use crate::length::Unit;

/// How a brief is written.
///
/// ```
/// use traywright::{brief::Format, job};
/// let json = r#"{
///     "box": { "interior": [120, 90, 40] },
///     "stock": { "name": "birch plywood", "thickness": 3 },
///     "part": [{ "name": "mail", "loose": { "volume": "40 ml" } }]
/// }"#;
/// let read = |format| job::read(json, "quay", format, None, &[]);
/// assert_eq!(read(Format::Json).unwrap().free[0].part.name, "mail");
/// assert!(read(Format::Toml).is_err());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// TOML.
    Toml,
    /// JSON with the same keys.
    Json,
}

/// A file's name and its text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Written<'t> {
    pub(crate) name: &'t str,
    pub(crate) text: &'t str,
}

/// The tree of a brief, without its inventory and changes.
fn tree(sources: &Sources, source: usize, format: Format) -> Result<Node, Vec<Finding>> {
    match format {
        Format::Toml => tree::from_toml(sources, source),
        Format::Json => json::from_json(sources, source),
    }
}

/// Takes in a text as a source; a byte order mark before it is dropped.
fn add(sources: &mut Sources, written: Written<'_>, hand: Hand) -> usize {
    sources.add(written.name, written.text.strip_prefix('\u{feff}').unwrap_or(written.text), hand)
}

/// What one reading takes in, as sources.
pub(crate) struct Input {
    brief: usize,
    format: Format,
    inventory: Option<usize>,
    corrections: Option<usize>,
    changes: Vec<(String, usize)>,
}

impl Input {
    /// Takes the texts in.
    pub(crate) fn new(
        sources: &mut Sources,
        brief: Written<'_>,
        format: Format,
        inventory: Option<Written<'_>>,
        corrections: Option<Written<'_>>,
        changes: &[(String, String)],
    ) -> Input {
        let brief = add(sources, brief, Hand::Quoted);
        let inventory = inventory.map(|i| add(sources, i, Hand::Bare));
        let corrections = corrections.map(|c| add(sources, c, Hand::Quoted));
        let changes = changes
            .iter()
            .map(|(path, value)| (path.clone(), sources.add(format!("change of {path}"), value, Hand::Bare)))
            .collect();
        Input { brief, format, inventory, corrections, changes }
    }
}

/// Reads a brief. Every finding is in the reader; `None` where the text is not even TOML (or JSON).
pub(crate) fn read(reader: &mut Reader<'_>, input: &Input) -> Option<BriefKeys> {
    let mut root = match tree(reader.sources, input.brief, input.format) {
        Ok(root) => root,
        Err(findings) => {
            findings.into_iter().for_each(|f| reader.findings.push(f));
            return None;
        }
    };
    if let Some(inventory) = input.inventory {
        let mut findings = Vec::new();
        inventory::merge(&mut root, reader.sources, inventory, &mut findings);
        findings.into_iter().for_each(|f| reader.findings.push(f));
    }
    if let Some(corrections) = input.corrections {
        let mut findings = Vec::new();
        correct::merge(&mut root, reader.sources, corrections, &mut findings);
        findings.into_iter().for_each(|f| reader.findings.push(f));
    }
    for (path, source) in &input.changes {
        if let Err(cause) = change::apply(&mut root, reader.sources, *source, path) {
            reader.report("B030", reader.sources.whole(*source), path, cause);
        }
    }
    // The unit must be known before any bare number is read; what is wrong with it is told when its turn comes.
    reader.unit = match root.text("unit") {
        Some("cm") => Unit::Centimetre,
        Some("in") => Unit::Inch,
        _ => Unit::Millimetre,
    };
    BriefKeys::read(&root, &Path::default(), reader)
}

/// The files that a brief names: its inventory, its stock list, its corrections. Findings are left to the reading proper.
pub(crate) fn named_files(
    written: Written<'_>,
    format: Format,
    changes: &[(String, String)],
) -> [Option<String>; 3] {
    let mut sources = Sources::default();
    let input = Input::new(&mut sources, written, format, None, None, &[]);
    let root = match format {
        Format::Toml => tree::parsed(&sources, input.brief),
        Format::Json => json::from_json(&sources, input.brief).ok(),
    };
    let named = |key: &str| {
        let changed =
            changes.iter().rev().find(|(path, _)| path == key).map(|(_, value)| value.trim().to_owned());
        let named = changed.or_else(|| root.as_ref()?.text(key).map(|t| t.trim().to_owned()));
        // A change to nothing takes the key out.
        named.filter(|name| !name.is_empty())
    };
    ["inventory", "stock_list", "corrections"].map(named)
}

/// Reads a stock list: CSV where its name ends so, else TOML.
pub(crate) fn read_stocks(reader: &mut Reader<'_>, source: usize) -> Vec<StockKeys> {
    let is_csv = reader.sources.name(source).to_lowercase().ends_with(".csv");
    if is_csv {
        let mut findings = Vec::new();
        let rows = csv::rows(reader.sources, source, StockKeys::KEYS, &[], &mut findings);
        findings.into_iter().for_each(|f| reader.findings.push(f));
        return rows
            .iter()
            .filter_map(|row| {
                let path = Path::default().key("row").item(row.number - 1, &row.node);
                StockKeys::read(&row.node, &path, reader)
            })
            .collect();
    }
    match tree::from_toml(reader.sources, source) {
        Ok(root) => match StockListKeys::read(&root, &Path::default(), reader).map(|l| l.stock) {
            Some(Field::Good(list)) => list.value,
            _ => Vec::new(),
        },
        Err(findings) => {
            findings.into_iter().for_each(|f| reader.findings.push(f));
            Vec::new()
        }
    }
}

/// Reads another file (TOML) whose tables are declared as those of a brief are, and makes something of it.
pub(crate) fn read_table<K: Read, T>(
    name: &str,
    text: &str,
    make: impl FnOnce(&K, &mut Reader<'_>) -> T,
) -> Result<T, Vec<Finding>> {
    let mut sources = Sources::default();
    let source = add(&mut sources, Written { name, text }, Hand::Quoted);
    let root = tree::from_toml(&sources, source)?;
    let mut reader = Reader::new(&sources);
    let made = K::read(&root, &Path::default(), &mut reader).map(|keys| make(&keys, &mut reader));
    match made {
        Some(made) if !reader.findings.any_fault() => Ok(made),
        _ => Err(reader.findings.into_list()),
    }
}

/// Takes a stock list in; cells of a spreadsheet are not quoted.
pub(crate) fn add_stock_list(sources: &mut Sources, written: Written<'_>) -> usize {
    let hand = if written.name.to_lowercase().ends_with(".csv") { Hand::Bare } else { Hand::Quoted };
    add(sources, written, hand)
}

/// The likeliest of some names for a mistyped one.
pub(crate) fn nearest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    suggest::suggest(word, known)
}

/// Shortens a long text for a finding.
pub(crate) fn clip(text: &str) -> &str {
    const LONGEST_QUOTE: usize = 60;
    let line = text.lines().next().unwrap_or("");
    match line.char_indices().nth(LONGEST_QUOTE) {
        Some((end, _)) => line.get(..end).unwrap_or(line),
        None => line,
    }
}

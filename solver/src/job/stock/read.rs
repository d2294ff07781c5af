//! Stock tables and stock lists made exact.

use crate::brief::keys::{ColourKeys, CuttingKeys, StockKeys};
use crate::brief::reader::{At, Field, Reader};
use crate::brief::shape::{Fit, FitEntry, OtherStock, SheetEntry};
use crate::brief::sources::{Sources, Spot};
use crate::brief::{Written, add_stock_list, read_stocks};
use crate::finding::Finding;
use crate::job::material::{material, not_by_laser, unlisted};
use crate::job::stock::{Colour, Colours, Cutting, Fits, Process, Sheet, Stock};
use crate::job::{defaults, files};
use crate::length::Length;
use crate::place::Size;

/// Stocks that a list may hold.
const MOST_ROWS: usize = 1_000;

/// One stock of a list, with the stocks of its floors and dividers.
///
/// ```
/// use traywright::{job::read_list, length::Length};
/// let list = "id,name,thickness,process,divider\nply,birch plywood,3 mm,laser,2 mm\n";
/// let row = &read_list("shelf.csv", list).unwrap()[0];
/// assert_eq!((&*row.id, row.stock.thickness), ("ply", Length::mm(3)));
/// assert_eq!((row.floor.thickness, row.divider.thickness), (Length::mm(3), Length::mm(2)));
/// ```
#[derive(Clone, Debug)]
pub struct StockRow {
    /// Identifier by which briefs name it.
    pub id: String,
    /// Stock of walls.
    pub stock: Stock,
    /// Stock of floors and lids; the same as the walls' where the list says nothing.
    pub floor: Stock,
    /// Stock of dividers; the same as the walls' where the list says nothing.
    pub divider: Stock,
    /// Warnings and notes about this stock.
    pub findings: Vec<Finding>,
}

/// Reads a stock list from a file: CSV where its name ends so, else TOML.
///
/// ```
/// use traywright::job::load_list;
/// let file = std::env::temp_dir().join(format!("shelf-{}.csv", std::process::id()));
/// std::fs::write(&file, "id,name,thickness,process\nply,birch plywood,3 mm,laser\n").unwrap();
/// let rows = load_list(&file).unwrap();
/// std::fs::remove_file(&file).unwrap();
/// assert_eq!((rows.len(), &*rows[0].id), (1, "ply"));
/// assert!(load_list(&file).is_err()); // gone
/// ```
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn load_list(path: &std::path::Path) -> Result<Vec<StockRow>, Vec<Finding>> {
    let text = files::read(path, "the stock list")?;
    read_list(&path.display().to_string(), &text)
}

/// Name and text of a stock list, for [`crate::job::Source::stock_list`].
///
/// ```
/// use traywright::job::read_list_text;
/// let file = std::env::temp_dir().join(format!("shelf-text-{}.csv", std::process::id()));
/// std::fs::write(&file, "id,name,thickness\n").unwrap();
/// let (name, text) = read_list_text(&file).unwrap();
/// std::fs::remove_file(&file).unwrap();
/// assert!(name.ends_with(".csv"));
/// assert_eq!(text, "id,name,thickness\n"); // not looked into yet
/// ```
///
/// # Errors
/// A file that is missing, too large or no text.
pub fn read_list_text(path: &std::path::Path) -> Result<(String, String), Vec<Finding>> {
    Ok((path.display().to_string(), files::read(path, "the stock list")?))
}

/// Reads a stock list from a text; `name` decides between CSV and TOML.
///
/// ```
/// use traywright::job::read_list;
/// let toml = "[[stock]]\nid = \"ply\"\nname = \"birch plywood\"\nthickness = 3\n";
/// assert_eq!(read_list("shelf.toml", toml).unwrap()[0].stock.density, Some(660));
/// assert!(read_list("shelf.csv", toml).is_err());
/// let twice = read_list("shelf.toml", &toml.repeat(2)).unwrap_err();
/// assert_eq!(twice[0].code, "S005");
/// ```
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_list(name: &str, text: &str) -> Result<Vec<StockRow>, Vec<Finding>> {
    let mut sources = Sources::default();
    let source = add_stock_list(&mut sources, Written { name, text });
    let mut reader = Reader::new(&sources);
    let rows = list(&mut reader, source);
    if reader.findings.any_fault() { Err(reader.findings.into_list()) } else { Ok(rows) }
}

/// Reads the stock list that is source number `source`.
pub(in crate::job) fn list(reader: &mut Reader<'_>, source: usize) -> Vec<StockRow> {
    let tables = read_stocks(reader, source);
    let whole =
        Spot { span: crate::brief::sources::Span { source, ..Default::default() }, path: String::new() };
    if tables.is_empty() && !reader.findings.any_fault() {
        reader.report("S006", whole.span, "", "the stock list is empty");
    }
    if tables.len() > MOST_ROWS {
        let cause = format!("the list has {} stocks; {MOST_ROWS} is the most that is read", tables.len());
        reader.report("J018", whole.span, "", cause);
        return Vec::new();
    }
    let mut walls: Vec<(String, Stock, &StockKeys, Vec<Finding>)> = Vec::new();
    for table in &tables {
        let Some(id) = table.id.get() else {
            if table.id.is_absent() {
                let cause = "`id` is missing in the table of stock";
                let remedy = "Give the stock an identifier by which briefs name it.";
                reader.report_with("B008", table.spot.span, &table.spot.path, cause, remedy);
            }
            continue;
        };
        if walls.iter().any(|(other, ..)| *other == id.value.0) {
            let cause = format!("\"{}\" is the identifier of two stocks", id.value.0);
            reader.report("S005", id.spot.span, &id.spot.path, cause);
            continue;
        }
        let mut notes = Vec::new();
        if let Some(stock) = stock(table, reader, &mut notes) {
            walls.push((id.value.0.clone(), stock, table, notes));
        }
    }
    let of_id = |id: &str| walls.iter().find(|(other, ..)| other == id).map(|(_, stock, ..)| stock.clone());
    walls
        .iter()
        .filter_map(|(id, stock, table, notes)| {
            let floor = other(&table.floor, stock, of_id, reader);
            let divider = other(&table.divider, stock, of_id, reader);
            Some(StockRow {
                id: id.clone(),
                stock: stock.clone(),
                floor: floor?,
                divider: divider?,
                findings: notes.clone(),
            })
        })
        .collect()
}

/// The stock of floors or dividers. `None` means that a finding says why not.
pub(in crate::job) fn other(
    field: &Field<OtherStock>,
    walls: &Stock,
    of_id: impl Fn(&str) -> Option<Stock>,
    reader: &mut Reader<'_>,
) -> Option<Stock> {
    match field {
        Field::Absent => Some(walls.clone()),
        Field::Bad => None,
        Field::Good(At { value: OtherStock::Thickness(thickness), .. }) => {
            Some(Stock { thickness: *thickness, ..walls.clone() })
        }
        Field::Good(At { value: OtherStock::Id(id), spot }) => {
            let found = of_id(id);
            if found.is_none() {
                unknown_id(id, spot, reader);
            }
            found
        }
    }
}

/// Says that no stock has this identifier.
pub(in crate::job) fn unknown_id(id: &str, spot: &Spot, reader: &mut Reader<'_>) {
    let cause = format!("no stock has the identifier \"{id}\"");
    reader.report("S003", spot.span, &spot.path, cause);
}

/// Makes a stock's table exact. `None` means that a finding says why not; warnings and notes go to `notes`.
pub(in crate::job) fn stock(
    keys: &StockKeys,
    reader: &mut Reader<'_>,
    notes: &mut Vec<Finding>,
) -> Option<Stock> {
    let (name, name_spot) = match (&keys.name, &keys.id) {
        (Field::Good(name), _) => (name.value.0.clone(), &name.spot),
        (Field::Absent, Field::Good(id)) => (id.value.0.clone(), &id.spot),
        (Field::Absent, _) => {
            let cause = "`name` is missing in the table of stock";
            let remedy = "Name the material, such as \"birch plywood\": clearance, cut and safety go by it.";
            reader.report_with("B008", keys.spot.span, &keys.spot.path, cause, remedy);
            return None;
        }
        (Field::Bad, _) => return None,
    };
    let material = material(&name);
    let thickness = keys.thickness.get()?;
    let spread = keys.thickness_spread.copied().map(|p| p.0);
    if let (Some(spread), Some(at)) = (spread, keys.thickness_spread.get())
        && spread >= thickness.value.0
    {
        let cause = format!("the spread {spread} is as great as the thickness {}", thickness.value.0);
        reader.report("J025", at.spot.span, &at.spot.path, cause);
    }
    thick(thickness.value.0, &thickness.spot, reader, notes);
    let process = keys.process.copied().unwrap_or_else(|| defaults::process(material));
    if keys.process.is_absent() {
        let word = match process {
            Process::Laser => "laser",
            Process::Knife => "knife",
            Process::Saw => "saw",
        };
        let cause = format!("\"{name}\" is taken to be cut by {word}");
        notes.push(Finding::listed("J042", cause).at(reader.sources.place(keys.spot.span, &keys.spot.path)));
    }
    if process == Process::Laser {
        laser_safety(&name, name_spot, reader, notes);
    }
    let cut_width = keys.cut_width.copied().map(|p| p.0);
    let cut_width = cut_width.unwrap_or_else(|| defaults::cut_width(process, material, thickness.value.0));
    if let Some(at) = keys.cut_width.get()
        && process == Process::Laser
        && !(Length::um(50)..=Length::um(500)).contains(&cut_width)
    {
        // Facts D1, D2: 0.08 to 0.45 mm were published; 0.05 to 0.5 mm is believed.
        let cause = format!("a laser's cut is seldom {cut_width} wide; 0.05 to 0.5 mm is usual");
        notes.push(Finding::listed("J032", cause).at(reader.sources.place(at.spot.span, &at.spot.path)));
    }
    let thickness = thickness.value.0;
    let density = keys.density.copied().map(|d| d.0).or_else(|| defaults::density_of(&name, material));
    let id = keys.id.value().map_or_else(|| name.clone(), |id| id.0.clone());
    let sheets = keys.sheets.value().map(Vec::as_slice).unwrap_or_default();
    Some(Stock {
        id,
        name,
        thickness,
        spread,
        density,
        process,
        joint: keys.joint.copied().unwrap_or_else(|| defaults::joint(process)),
        cut_width,
        fit: fits(&keys.fit),
        grain: keys.grain.copied().unwrap_or(false),
        one_good_face: keys.good_faces.copied().is_some_and(|faces| faces.0 == 1),
        sheets_assumed: sheets.is_empty(),
        sheets: sheets_of(sheets, process, thickness),
        margin: keys.margin.copied().map_or(defaults::margin(process), |p| p.0),
        spacing: keys.spacing.copied().map_or(defaults::spacing(process), |p| p.0),
        cutting: cutting(&keys.cutting, defaults::cutting(process, material, thickness)),
        colours: colours(&keys.colours),
    })
}

/// Trays are made of sheet of up to about half an inch; thicker is rather a slip of the unit (our choice, no source).
const THICKEST: Length = Length::mm(13);

/// Warns of sheet that nobody makes trays of.
fn thick(thickness: Length, spot: &Spot, reader: &Reader<'_>, notes: &mut Vec<Finding>) {
    if thickness > THICKEST {
        let cause = format!("a sheet {thickness} thick is more than trays are made of: 2 to 6 mm is usual");
        notes.push(Finding::listed("J043", cause).at(reader.sources.place(spot.span, &spot.path)));
    }
}

/// The sheets that the brief names, or those that are usual.
fn sheets_of(named: &[SheetEntry], process: Process, thickness: Length) -> Vec<Sheet> {
    let sheet = |w, d, price_hundredths| Sheet { size: Size { w, d, h: thickness }, price_hundredths };
    if named.is_empty() {
        return defaults::sheets(process).iter().map(|&(w, d)| sheet(w, d, None)).collect();
    }
    named.iter().map(|s| sheet(s.width, s.depth, s.price_hundredths)).collect()
}

/// One fit for all joints, or one a joint; a push fit adds nothing to the thickness.
fn fits(field: &Field<FitEntry>) -> Fits {
    match field.value() {
        None => Fits::default(),
        Some(FitEntry::All(fit)) => Fits::all(fit.0),
        Some(FitEntry::EachJoint(keys)) => {
            let of = |field: &Field<Fit>| field.copied().map_or(Length::ZERO, |f| f.0);
            Fits { finger: of(&keys.finger), tab: of(&keys.tab), halved: of(&keys.halved) }
        }
    }
}

/// Black where the brief says nothing.
fn colours(field: &Field<ColourKeys>) -> Colours {
    let Some(keys) = field.value() else { return Colours::default() };
    let of = |field: &Field<Colour>| field.copied().unwrap_or_default();
    Colours {
        names: of(&keys.names),
        recesses: of(&keys.recesses),
        recesses_from_below: of(&keys.recesses_from_below),
        openings: of(&keys.openings),
        edge_to_edge: of(&keys.edge_to_edge),
        outlines: of(&keys.outlines),
    }
}

/// What the brief says about times, the rest as is usual.
fn cutting(field: &Field<CuttingKeys>, usual: Cutting) -> Cutting {
    let Some(keys) = field.value() else { return usual };
    Cutting {
        // Thousandths of a millimetre, of a second, of a minute.
        um_a_second: keys.speed.copied().map_or(usual.um_a_second, |v| v.0),
        pierce_ms: keys.pierce.copied().map_or(usual.pierce_ms, |v| v.0),
        setup_ms: keys.setup.copied().map_or(usual.setup_ms, |v| v.0 * 60),
    }
}

/// Stock that a laser must not touch is refused; what no list allows is warned of (facts E4 to E7).
fn laser_safety(name: &str, spot: &Spot, reader: &mut Reader<'_>, notes: &mut Vec<Finding>) {
    if let Some(why) = not_by_laser(name) {
        let cause = format!("\"{name}\" must not be cut by laser: {why}");
        reader.report("S001", spot.span, &spot.path, cause);
    } else if unlisted(name) {
        let cause = format!("\"{name}\" is on no list of what a laser may cut");
        let place = reader.sources.place(spot.span, &spot.path);
        notes.push(Finding::listed("S002", cause).at(place));
    }
}

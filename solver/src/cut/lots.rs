//! Panels gathered by stock and laid out on its sheets, the cut allowed for, every line in its place.

use super::kerf::{Allowance, CutPanel, Vanished, cut_lines};
use super::names::names;
use super::ring::{bounds, carried};
use super::{CutJob, CutSheet, Item, Line, Lot, Operation, Path, limits};
use crate::finding::{Finding, Severity};
use crate::job::{Job, Process, Stock};
use crate::length::Length;
use crate::panel::{Cut, Panel, Ring, Spot, TrayPanels};
use crate::sheet::{self, Piece, Placed, Rules, SheetLayout, SheetSize};
use crate::stop::Stop;

/// What can be chosen beyond the brief.
///
/// ```
/// # use traywright::{brief::Format, cut, job, panel, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
/// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
/// use traywright::cut::Operation;
/// let mut options = cut::Options::default();
/// assert!(!options.engrave && !options.pattern);
/// options.engrave = true;
/// let named = cut::lay_out(&job, made.trays, made.marks, &options).unwrap();
/// assert!(named.lots[0].sheets[0].of(Operation::Engrave).next().is_some());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Options {
    /// Names on the panels as an operation of their own. Default false.
    pub engrave: bool,
    /// A pattern on paper for every stock, not only for those cut by knife or saw. Default false.
    pub pattern: bool,
    /// Nodes of the search for sheet layouts, a stock. Default [`sheet::NODES`].
    pub nodes: u64,
}

impl Default for Options {
    fn default() -> Options {
        Options { engrave: false, pattern: false, nodes: sheet::NODES }
    }
}

/// The stock that a panel is cut from, its thickness the panel's.
pub(super) fn stock_of(job: &Job, cut: Cut, thickness: Length) -> Stock {
    let own = match cut {
        Cut::Body => None,
        Cut::Floor => job.floor_stock.as_ref(),
        Cut::Divider => job.divider_stock.as_ref(),
    };
    let mut stock = own.unwrap_or(&job.stock).clone();
    stock.thickness = thickness;
    stock
}

/// Lays all panels out on sheets of their stocks, with the lines to cut on them. `marks` holds, for each of the trays,
/// the letters of its copies.
///
/// ```
/// # use traywright::{brief::Format, job, panel, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let mut job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::{self, Options}, length::Length};
/// let trays = panel::panels(&job, &plan).unwrap();
/// let marks = vec![vec!["A".to_owned()]]; // one tray, of which there is one
/// let made = cut::lay_out(&job, trays.clone(), marks.clone(), &Options::default()).unwrap();
/// assert_eq!(made.lots[0].items[4].label, "A-E");
/// // No panel goes on a sheet of 60 × 400 mm.
/// job.stock.sheets.iter_mut().for_each(|s| s.size.w = Length::mm(60));
/// assert!(cut::lay_out(&job, trays, marks, &Options::default()).is_err());
/// ```
///
/// # Errors
/// Every fault met: a cut as wide as the sheet is thick, an opening that the cut swallows, a sheet smaller than its
/// margins, a panel that no sheet holds.
pub fn lay_out(
    job: &Job,
    trays: Vec<TrayPanels>,
    marks: Vec<Vec<String>>,
    options: &Options,
) -> Result<CutJob, Vec<Finding>> {
    let (mut lots, mut found) = gathered(job, &trays, &marks);
    let faulty = |found: &[Finding]| found.iter().any(|f| f.severity == Severity::Fault);
    if faulty(&found) {
        return Err(found);
    }
    let mut number = 0;
    for lot in &mut lots {
        match lay_lot(lot, &trays, options, &mut number) {
            Ok(()) => {}
            Err(faults) => found.extend(faults),
        }
    }
    if faulty(&found) {
        return Err(found);
    }
    Ok(CutJob {
        title: job.title.clone(),
        unit: job.unit,
        trays,
        proofs: Vec::new(),
        marks,
        lots,
        findings: found,
    })
}

/// Items by stock and thickness, and what is to be said of the stocks.
fn gathered(job: &Job, trays: &[TrayPanels], marks: &[Vec<String>]) -> (Vec<Lot>, Vec<Finding>) {
    let mut lots: Vec<Lot> = Vec::new();
    let mut found = Vec::new();
    for (t, tray) in trays.iter().enumerate() {
        for copy in 0..tray.copies {
            let mark = marks.get(t).and_then(|m| m.get(copy)).map_or("", String::as_str);
            for (p, panel) in tray.panels.iter().enumerate() {
                let stock = stock_of(job, panel.cut, panel.thickness);
                let at =
                    lots.iter().position(|l| l.stock.id == stock.id && l.stock.thickness == stock.thickness);
                let lot = match at.and_then(|i| lots.get_mut(i)) {
                    Some(lot) => lot,
                    None => {
                        for f in limits::of_stock(&stock, job.unit) {
                            if !found.contains(&f) {
                                found.push(f);
                            }
                        }
                        lots.push(empty(stock));
                        let Some(lot) = lots.last_mut() else { continue };
                        lot
                    }
                };
                let below = panel.recesses.iter().filter(|r| !r.from_face).count();
                lot.items.push(Item {
                    tray: t,
                    copy,
                    panel: p,
                    label: format!("{mark}-{}", panel.letter),
                    // Where either face may be seen, the one that is worked on lies up.
                    back_up: !lot.stock.one_good_face && below > 0 && below == panel.recesses.len(),
                });
            }
        }
    }
    (lots, found)
}

fn empty(stock: Stock) -> Lot {
    let sizes = stock
        .sheets
        .iter()
        .map(|s| SheetSize { w: s.size.w, d: s.size.d, price_hundredths: s.price_hundredths, most: None })
        .collect();
    let plan = sheet::SheetPlan {
        sheets: Vec::new(),
        cost: 0,
        bound: 0,
        by_price: false,
        used: crate::length::Area::ZERO,
        bought: crate::length::Area::ZERO,
    };
    Lot { stock, items: Vec::new(), sizes, plan, sheets: Vec::new() }
}

/// Whether only cuts from edge to edge are possible.
fn is_straight(process: Process) -> bool {
    match process {
        Process::Laser => false,
        Process::Knife | Process::Saw => true,
    }
}

/// An item as it is laid out: the lines of its panel and how they lie in its piece.
struct Laid<'a> {
    panel: &'a Panel,
    tray: &'a str,
    label: &'a str,
    cut: CutPanel,
    /// Turned by a quarter before it is laid out, because its grain runs so.
    turned: bool,
    back_up: bool,
}

fn lay_lot(
    lot: &mut Lot,
    trays: &[TrayPanels],
    options: &Options,
    number: &mut usize,
) -> Result<(), Vec<Finding>> {
    let stock = &lot.stock;
    let allowance = Allowance { full_width: stock.cut_width, fits: stock.fit };
    let (mut laid, mut pieces, mut faults) = (Vec::new(), Vec::new(), Vec::new());
    for item in &lot.items {
        let Some((tray, panel)) = trays.get(item.tray).and_then(|t| t.panels.get(item.panel).map(|p| (t, p)))
        else {
            continue;
        };
        let cut = match cut_lines(panel, &allowance) {
            Ok(cut) => cut,
            Err(what) => {
                let fault = vanished(&tray.tray, panel, what, stock);
                if !faults.contains(&fault) {
                    faults.push(fault);
                }
                continue;
            }
        };
        let (least, most) = bounds(&panel.outline);
        let (w, d) = (most.x - least.x, most.y - least.y);
        // The grain runs along the longer side.
        let turned = stock.grain && d > w;
        let (w, d) = if turned { (d, w) } else { (w, d) };
        pieces.push(Piece { name: format!("{} {}", tray.tray, panel.letter), w, d, turns: !stock.grain });
        laid.push(Laid { panel, tray: &tray.tray, label: &item.label, cut, turned, back_up: item.back_up });
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    // Lines around a panel lie half a cut outside of it, and must not leave the sheet.
    let rules = Rules {
        margin: stock.margin.max(stock.cut_width / 2),
        spacing: stock.spacing + stock.cut_width,
        straight: is_straight(stock.process),
    };
    let about = format!("stock \"{}\"", stock.name);
    let plan = sheet::lay_out(&pieces, &lot.sizes, &rules, &Stop::nodes(options.nodes))
        .map_err(|f| f.into_iter().map(|f| placed_at(f, &about)).collect::<Vec<_>>())?;
    let mut sheets = Vec::with_capacity(plan.sheets.len());
    for layout in &plan.sheets {
        let Some(size) = lot.sizes.get(layout.size) else { continue };
        *number += 1;
        sheets.push(drawn(*number, size, layout, &laid, &pieces, options));
    }
    lot.plan = plan;
    lot.sheets = sheets;
    Ok(())
}

fn placed_at(finding: Finding, about: &str) -> Finding {
    if finding.place.path.is_empty() { finding.about(about) } else { finding }
}

fn vanished(tray: &str, panel: &Panel, what: Vanished, stock: &Stock) -> Finding {
    let which = match what {
        Vanished::Outline => "a notch in the rim",
        Vanished::Opening(_) => "an opening",
        Vanished::Recess(_) => "a recess",
    };
    let cause = format!(
        "{which} of panel {} ({}) is no wider than the cut, {} at full width",
        panel.letter, panel.name, stock.cut_width
    );
    Finding::listed("D005", cause).about(format!("tray \"{tray}\""))
}

/// One sheet with its lines.
fn drawn(
    number: usize,
    size: &SheetSize,
    layout: &SheetLayout,
    laid: &[Laid<'_>],
    pieces: &[Piece],
    options: &Options,
) -> CutSheet {
    let mut lines = Vec::new();
    let mut places = Vec::with_capacity(layout.placed.len());
    for placed in &layout.placed {
        let (Some(item), Some(piece)) = (laid.get(placed.piece), pieces.get(placed.piece)) else { continue };
        let (w, d) = if placed.turned { (piece.d, piece.w) } else { (piece.w, piece.d) };
        places.push((placed.piece, [placed.x, placed.y, w, d]));
        item_lines(item, placed, options, &mut lines);
    }
    for cut in &layout.cuts {
        let ends = [cut.from, cut.to].map(|(x, y)| Spot { x, y });
        lines.push(Line { operation: Operation::EdgeCut, item: None, path: Path::Open(ends.to_vec()) });
    }
    // Stable: within an operation panel by panel, in the order of the layout.
    lines.sort_by_key(|l| l.operation);
    CutSheet {
        number,
        w: size.w,
        d: size.d,
        placed: places,
        lines,
        cuts: layout.cuts.clone(),
        offcut: layout.offcut.map(|(x, y, w, d)| [x, y, w, d]),
    }
}

fn item_lines(item: &Laid<'_>, placed: &Placed, options: &Options, lines: &mut Vec<Line>) {
    let turned = item.turned != placed.turned;
    let turn = |p: Spot| {
        let p = if item.back_up { Spot { x: -p.x, y: p.y } } else { p };
        if turned { Spot { x: -p.y, y: p.x } } else { p }
    };
    let (least, _) = bounds(&carried(&item.panel.outline, item.back_up, turn));
    let shift = Spot { x: placed.x, y: placed.y } - least;
    let map = |p: Spot| turn(p) + shift;
    let mut add = |operation, path| lines.push(Line { operation, item: Some(placed.piece), path });
    let closed = |ring: &Ring| Path::Closed(carried(ring, item.back_up, map));
    if options.engrave && !item.back_up {
        for stroke in names(item.panel, item.tray, item.label) {
            add(Operation::Engrave, Path::Open(stroke.into_iter().map(map).collect()));
        }
    }
    for (recess, ring) in item.panel.recesses.iter().zip(&item.cut.recesses) {
        let above = recess.from_face != item.back_up;
        add(if above { Operation::Recess } else { Operation::RecessBelow }, closed(ring));
    }
    for ring in &item.cut.openings {
        add(Operation::Opening, closed(ring));
    }
    add(Operation::Outline, closed(&item.cut.outline));
}

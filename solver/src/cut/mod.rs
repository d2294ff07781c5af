//! From panels on sheets to lines that a machine or a hand follows: which panels are cut from which stock, where they
//! lie, what the cut itself takes away, and what cutting costs in length, time and material.

pub mod coupon;
mod estimate;
pub mod kerf;
mod limits;
mod lots;
mod names;
pub mod ring;
pub mod stroke;

pub use estimate::{Estimate, Share, estimate};
pub use lots::{Options, lay_out};

use crate::finding::Finding;
use crate::job::{Colour, Colours, Stock};
use crate::length::{Length, Unit};
use crate::panel::{Proof, Ring, Spot, TrayPanels};
use crate::sheet::{SheetCut, SheetPlan, SheetSize};

/// Everything that is cut for one plan.
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
/// assert_eq!((&*made.title, made.lots.len()), ("Quay", 1));
/// assert_eq!((made.trays[0].panels.len(), made.lots[0].items.len()), (5, 5));
/// assert!(made.proofs.is_empty()); // laying out proves nothing about the assembly
/// ```
#[derive(Clone, Debug)]
pub struct CutJob {
    /// What the maker calls the job.
    pub title: String,
    /// What people read lengths in.
    pub unit: Unit,
    /// The trays' panels.
    pub trays: Vec<TrayPanels>,
    /// What is proven about each of them; empty where nothing was.
    pub proofs: Vec<Proof>,
    /// For each of [`CutJob::trays`], the letters by which pictures of the plan know its copies.
    pub marks: Vec<Vec<String>>,
    /// One a stock and thickness.
    pub lots: Vec<Lot>,
    /// Warnings and notes.
    pub findings: Vec<Finding>,
}

/// What is cut from one stock of one thickness.
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
/// let lot = &made.lots[0];
/// assert_eq!((lot.items.len(), lot.stock.thickness), (5, job.stock.thickness));
/// assert_eq!((lot.sheets.len(), lot.plan.sheets.len()), (1, 1));
/// assert_eq!(lot.sizes.len(), job.stock.sheets.len());
/// ```
#[derive(Clone, Debug)]
pub struct Lot {
    /// The stock; its thickness is the panels'.
    pub stock: Stock,
    /// Every single panel.
    pub items: Vec<Item>,
    /// Sizes of sheets there are.
    pub sizes: Vec<SheetSize>,
    /// Where the items lie, with what is proven about it.
    pub plan: SheetPlan,
    /// The same sheets with the lines on them.
    pub sheets: Vec<CutSheet>,
}

/// One panel to be cut.
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
/// let item = &made.lots[0].items[1];
/// assert_eq!((&*item.label, item.copy, item.back_up), ("A-B", 0, false));
/// assert_eq!(made.trays[item.tray].panels[item.panel].name, "left wall");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Item {
    /// Index into [`CutJob::trays`].
    pub tray: usize,
    /// Which of the like trays, from 0.
    pub copy: usize,
    /// Index into the tray's panels.
    pub panel: usize,
    /// By which it is known everywhere: the tray's mark and the panel's letter, `E-B`.
    pub label: String,
    /// Whether it lies with its back up, drawn mirrored: it is cut to a part of its thickness from there.
    pub back_up: bool,
}

/// What is done along a line, in the order in which it is done: what holds a panel in its sheet goes last.
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
/// assert!(Operation::ALL.is_sorted());
/// assert_eq!(Operation::ALL.last(), Some(&Operation::Outline)); // until then a panel is held
/// // All that these five panels want.
/// assert!(made.lots[0].sheets[0].lines.iter().all(|l| l.operation == Operation::Outline));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// A name, engraved or written.
    Engrave,
    /// Cut to a part of the thickness from above.
    Recess,
    /// Cut to a part of the thickness from below, once the panel is out and turned over.
    RecessBelow,
    /// Through, within a panel.
    Opening,
    /// Through, from edge to edge of what is left of the sheet, in their order.
    EdgeCut,
    /// Through, around a panel.
    Outline,
}

impl Operation {
    /// All of them, in their order.
    pub const ALL: [Operation; 6] = [
        Operation::Engrave,
        Operation::Recess,
        Operation::RecessBelow,
        Operation::Opening,
        Operation::EdgeCut,
        Operation::Outline,
    ];

    /// Its name in files.
    ///
    /// ```
    /// use traywright::cut::Operation;
    /// assert_eq!(Operation::ALL.map(Operation::name)[3], "openings");
    /// ```
    pub fn name(self) -> &'static str {
        match self {
            Operation::Engrave => "names",
            Operation::Recess => "recesses",
            Operation::RecessBelow => "recesses-from-below",
            Operation::Opening => "openings",
            Operation::EdgeCut => "edge-to-edge",
            Operation::Outline => "outlines",
        }
    }

    /// The colour of its lines.
    ///
    /// ```
    /// use traywright::{cut::Operation, job::{Colour, Colours}};
    /// let colours = Colours { openings: Colour::Blue, ..Colours::default() };
    /// assert_eq!(Operation::Opening.colour(&colours), Colour::Blue);
    /// assert_eq!(Operation::Outline.colour(&colours), Colour::Black);
    /// ```
    pub fn colour(self, colours: &Colours) -> Colour {
        match self {
            Operation::Engrave => colours.names,
            Operation::Recess => colours.recesses,
            Operation::RecessBelow => colours.recesses_from_below,
            Operation::Opening => colours.openings,
            Operation::EdgeCut => colours.edge_to_edge,
            Operation::Outline => colours.outlines,
        }
    }

    /// What it means.
    ///
    /// ```
    /// use traywright::cut::Operation;
    /// assert_eq!(Operation::Outline.about(), "outlines, cut through last");
    /// ```
    pub fn about(self) -> &'static str {
        match self {
            Operation::Engrave => "names, engraved or written",
            Operation::Recess => "cut to a part of the thickness, from above",
            Operation::RecessBelow => "cut to a part of the thickness, from below",
            Operation::Opening => "openings, cut through first",
            Operation::EdgeCut => "cuts from edge to edge, in their order",
            Operation::Outline => "outlines, cut through last",
        }
    }
}

/// A line on a sheet; the sheet's left front corner is the origin, y points away from the reader.
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
/// use traywright::cut::Path;
/// let lot = &made.lots[0];
/// let line = &lot.sheets[0].lines[0];
/// assert!(matches!(line.path, Path::Closed(_)));
/// assert!(lot.items[line.item.unwrap()].label.starts_with("A-"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// What is done along it.
    pub operation: Operation,
    /// Index into [`Lot::items`].
    pub item: Option<usize>,
    /// The way of the middle of the cut.
    pub path: Path,
}

/// The way of a cut.
///
/// ```
/// use traywright::{cut::Path, length::Length, panel::{Edge, Ring, Spot}};
/// let sail = [(0, 0), (30, 0), (0, 40)].map(|(x, y)| Spot { x: Length::mm(x), y: Length::mm(y) });
/// assert_eq!(Path::Open(sail.to_vec()).length_mm(), 80.0);
/// let ring = Ring { edges: sail.map(Edge::Line).to_vec() };
/// assert_eq!(Path::Closed(ring).length_mm(), 120.0); // and back to where it began
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Path {
    /// A closed line.
    Closed(Ring),
    /// Points joined by straight lines, its ends apart.
    Open(Vec<Spot>),
}

/// One sheet with everything that is cut from it.
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
/// use traywright::length::Length;
/// let sheet = &made.lots[0].sheets[0];
/// assert_eq!((sheet.number, sheet.placed.len(), sheet.lines.len()), (1, 5, 5));
/// assert!(sheet.cuts.is_empty()); // a laser needs none from edge to edge
/// let [x, _, w, _] = sheet.offcut.unwrap();
/// assert!(w > Length::ZERO && x + w == sheet.w);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutSheet {
    /// Number of the sheet, from 1, counted through all lots.
    pub number: usize,
    /// Along the grain.
    pub w: Length,
    /// Across it.
    pub d: Length,
    /// Items with the rectangles that their finished outlines take: x, y, w, d.
    pub placed: Vec<(usize, [Length; 4])>,
    /// Lines, by operation in its order.
    pub lines: Vec<Line>,
    /// Cuts from edge to edge in their order, where only such are possible.
    pub cuts: Vec<SheetCut>,
    /// The largest rectangle left over: x, y, w, d.
    pub offcut: Option<[Length; 4]>,
}

impl CutSheet {
    /// Lines of one operation.
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
    /// let sheet = &made.lots[0].sheets[0];
    /// assert_eq!(sheet.of(Operation::Outline).count(), 5);
    /// assert_eq!(sheet.of(Operation::Engrave).count(), 0); // not asked for
    /// ```
    pub fn of(&self, operation: Operation) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(move |l| l.operation == operation)
    }

    /// The least and greatest coordinates of all lines; `None` where there is none.
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
    /// // Panels begin at the margin; the line around one runs half a cut outside of it.
    /// let (stock, sheet) = (&made.lots[0].stock, &made.lots[0].sheets[0]);
    /// let (least, most) = sheet.extents().unwrap();
    /// assert_eq!(least.x, stock.margin - stock.cut_width / 2);
    /// assert!(most.x < sheet.w && most.y < sheet.d);
    /// ```
    pub fn extents(&self) -> Option<(Spot, Spot)> {
        self.lines.iter().map(|l| l.path.bounds()).reduce(|a, b| {
            (
                Spot { x: a.0.x.min(b.0.x), y: a.0.y.min(b.0.y) },
                Spot { x: a.1.x.max(b.1.x), y: a.1.y.max(b.1.y) },
            )
        })
    }
}

impl Path {
    /// The least and the greatest coordinates.
    ///
    /// ```
    /// use traywright::{cut::Path, length::Length, panel::Spot};
    /// let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
    /// let path = Path::Open(vec![at(30, -2), at(1, 5), at(8, 40)]);
    /// assert_eq!(path.bounds(), (at(1, -2), at(30, 40)));
    /// ```
    pub fn bounds(&self) -> (Spot, Spot) {
        match self {
            Path::Closed(ring) => ring::bounds(ring),
            Path::Open(points) => {
                let edges = points.iter().map(|p| crate::panel::Edge::Line(*p)).collect();
                ring::bounds(&Ring { edges })
            }
        }
    }

    /// Its length in millimetres.
    ///
    /// ```
    /// use traywright::{cut::Path, length::Length, panel::{Ring, Spot}};
    /// let mm = Length::mm;
    /// assert_eq!(Path::Closed(Ring::rectangle(mm(5), mm(5), mm(30), mm(40))).length_mm(), 140.0);
    /// let stroke = Path::Open(vec![Spot { x: mm(1), y: mm(1) }, Spot { x: mm(4), y: mm(5) }]);
    /// assert_eq!(stroke.length_mm(), 5.0);
    /// ```
    pub fn length_mm(&self) -> f64 {
        match self {
            Path::Closed(ring) => ring::length_mm(ring),
            Path::Open(points) => {
                points.iter().zip(points.iter().skip(1)).map(|(a, b)| ring::distance_mm(*a, *b)).sum()
            }
        }
    }
}

#[cfg(test)]
pub(crate) mod tests;

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
use crate::job::Stock;
use crate::length::{Length, Unit};
use crate::panel::{Proof, Ring, Spot, TrayPanels};
use crate::sheet::{SheetCut, SheetPlan, SheetSize};

/// Everything that is cut for one plan.
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

    /// What it means.
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
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Path {
    /// A closed line.
    Closed(Ring),
    /// Points joined by straight lines, its ends apart.
    Open(Vec<Spot>),
}

/// One sheet with everything that is cut from it.
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
    pub fn of(&self, operation: Operation) -> impl Iterator<Item = &Line> {
        self.lines.iter().filter(move |l| l.operation == operation)
    }

    /// The least and greatest coordinates of all lines; `None` where there is none.
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

//! Panels on sheets: which sheets to buy and where each panel lies on them.
//!
//! [`lay_out`] answers, [`verify`] checks an answer by the rules alone. Inside, `reduced` folds spacing into whole units; `scales`,
//! `bound` and `prices` (straight cuts) bound the cost from below; `floor` and
//! `strips` fill one sheet and `search` many; `raster` and
//! `knapsack` find the best straight cuts of one sheet; `exact` proves small jobs; `gather` keeps what is free together;
//! `cuts` lists the cuts.

mod ask;
mod bound;
mod cuts;
mod exact;
mod floor;
mod gather;
mod knapsack;
mod lay;
mod prices;
mod raster;
mod reduced;
mod scales;
mod search;
mod strips;
mod verify;

pub use lay::{NODES, lay_out};
pub use verify::verify;

use crate::length::{Area, Length};

/// A rectangle to be cut: a panel's outline as it lies on the sheet, width of the cut and spacing not counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What it is, for the reader: "cargo A".
    pub name: String,
    /// Along the sheet's grain where [`Piece::turns`] is false.
    pub w: Length,
    /// Across it.
    pub d: Length,
    /// Whether it may lie turned by a quarter.
    pub turns: bool,
}

/// A size of sheet that can be bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetSize {
    /// Along the grain.
    pub w: Length,
    /// Across it.
    pub d: Length,
    /// Price of one, in hundredths of the brief's currency; without prices sheets are counted by area.
    pub price_hundredths: Option<i64>,
    /// How many there are; `None`: as many as it takes.
    pub most: Option<usize>,
}

/// How pieces may be laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rules {
    /// Kept free along every edge of a sheet.
    pub margin: Length,
    /// Least distance between pieces, the width of the cut included.
    pub spacing: Length,
    /// Whether only cuts from edge to edge are possible (knife, saw).
    pub straight: bool,
}

/// A piece in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Index into the pieces.
    pub piece: usize,
    /// Left edge, from the sheet's corner.
    pub x: Length,
    /// Front edge.
    pub y: Length,
    /// Whether it lies turned by a quarter.
    pub turned: bool,
}

/// One sheet with its pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetLayout {
    /// Index into the sheet sizes.
    pub size: usize,
    /// The pieces on it.
    pub placed: Vec<Placed>,
    /// Cuts from edge to edge in the order they are made, where only such are possible.
    pub cuts: Vec<SheetCut>,
    /// The largest rectangle of the sheet that keeps the spacing to every piece (it may reach into the margins): x, y, w, d. Where
    /// cuts are straight, the largest one that comes off by [`SheetLayout::cuts`].
    pub offcut: Option<(Length, Length, Length, Length)>,
}

/// A cut from edge to edge of one part of a sheet: a line along the width or the depth, from the lesser end to the greater.
///
/// It removes a band as wide as the spacing, with the line in its middle (rounded down to a nanometre): give the width of the
/// saw's cut as spacing, nothing for a knife, and every piece comes off at its size. Where less than a whole band is to be trimmed off,
/// the line may lie up to half a band outside the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetCut {
    /// Where it begins.
    pub from: (Length, Length),
    /// Where it ends.
    pub to: (Length, Length),
}

/// All sheets, with what is proven about them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetPlan {
    /// The sheets.
    pub sheets: Vec<SheetLayout>,
    /// Price of all sheets in hundredths; where any size has no price, their area in mm², begun ones of each sheet counted (see
    /// [`SheetPlan::by_price`]).
    pub cost: i128,
    /// No choice of sheets costs less.
    pub bound: i128,
    /// Whether cost and bound are money, not area.
    pub by_price: bool,
    /// Area of all pieces.
    pub used: Area,
    /// Area of all sheets.
    pub bought: Area,
}

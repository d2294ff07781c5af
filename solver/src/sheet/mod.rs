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
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let rules = Rules { margin: Length::ZERO, spacing: Length::ZERO, straight: false };
/// // A sheet of 100 × 60 mm: what is 90 mm across the grain goes in turned or not at all.
/// # let size = [SheetSize { w: mm(100), d: mm(60), price_hundredths: None, most: None }];
/// let floor = |turns| Piece { name: "floor".into(), w: mm(50), d: mm(90), turns };
/// assert!(lay_out(&[floor(true)], &size, &rules, &stop).unwrap().sheets[0].placed[0].turned);
/// assert!(lay_out(&[floor(false)], &size, &rules, &stop).is_err());
/// ```
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
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let rules = Rules { margin: Length::ZERO, spacing: Length::ZERO, straight: false };
/// // One sheet is left from last time, further ones cost 2.50 each.
/// let size = |price, most| {
///     SheetSize { w: mm(100), d: mm(100), price_hundredths: Some(price), most }
/// };
/// let sizes = [size(100, Some(1)), size(250, None)];
/// # let floors = vec![Piece { name: "floor".into(), w: mm(90), d: mm(90), turns: true }; 3];
/// assert_eq!(lay_out(&floors, &sizes, &rules, &stop).unwrap().cost, 100 + 2 * 250);
/// ```
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
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let size = [SheetSize { w: mm(100), d: mm(50), price_hundredths: None, most: None }];
/// # let walls = vec![Piece { name: "wall".into(), w: mm(45), d: mm(42), turns: false }; 2];
/// // Two walls, 45 mm wide, on sheets of 100 mm.
/// let sheets = |spacing| {
///     let rules = Rules { margin: mm(4), spacing: mm(spacing), straight: false };
///     lay_out(&walls, &size, &rules, &stop).unwrap().sheets.len()
/// };
/// assert_eq!((sheets(2), sheets(3)), (1, 2)); // 4 + 45 + 2 + 45 + 4 = 100
/// ```
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
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let size = [SheetSize { w: mm(40), d: mm(70), price_hundredths: None, most: None }];
/// # let rules = Rules { margin: mm(5), spacing: Length::ZERO, straight: false };
/// let wall = Piece { name: "wall".into(), w: mm(60), d: mm(30), turns: true };
/// // On 40 × 70 mm with a margin of 5 mm there is one place: x and y count the margin.
/// let plan = lay_out(&[wall], &size, &rules, &stop).unwrap();
/// let only = Placed { piece: 0, x: mm(5), y: mm(5), turned: true };
/// assert_eq!(plan.sheets[0].placed, [only]);
/// ```
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
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let size = |w| SheetSize { w: mm(w), d: mm(50), price_hundredths: None, most: None };
/// # let rules = Rules { margin: Length::ZERO, spacing: mm(2), straight: false };
/// # let wall = [Piece { name: "wall".into(), w: mm(40), d: mm(50), turns: false }];
/// // A wall of 40 × 50 mm goes on the second size, and 2 mm beside it the offcut begins.
/// let plan = lay_out(&wall, &[size(30), size(100)], &rules, &stop).unwrap();
/// let sheet = &plan.sheets[0];
/// let (_, _, w, d) = sheet.offcut.unwrap();
/// assert_eq!((sheet.size, w, d), (1, mm(58), mm(50)));
/// assert!(sheet.cuts.is_empty()); // not only straight cuts are possible
/// ```
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
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let size = [SheetSize { w: mm(100), d: mm(50), price_hundredths: None, most: None }];
/// # let wall = [Piece { name: "wall".into(), w: mm(40), d: mm(50), turns: false }];
/// // The saw takes 2 mm: its middle runs 1 mm beside the wall of 40 × 50 mm.
/// let rules = Rules { margin: Length::ZERO, spacing: mm(2), straight: true };
/// let plan = lay_out(&wall, &size, &rules, &stop).unwrap();
/// let cut = SheetCut { from: (mm(41), Length::ZERO), to: (mm(41), mm(50)) };
/// assert_eq!(plan.sheets[0].cuts, [cut]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetCut {
    /// Where it begins.
    pub from: (Length, Length),
    /// Where it ends.
    pub to: (Length, Length),
}

/// All sheets, with what is proven about them.
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let rules = Rules { margin: Length::ZERO, spacing: Length::ZERO, straight: false };
/// # let wall = [Piece { name: "wall".into(), w: mm(60), d: mm(30), turns: true }];
/// let cost = |price_hundredths| {
///     let size = SheetSize { w: mm(100), d: mm(50), price_hundredths, most: None };
///     let plan = lay_out(&wall, &[size], &rules, &stop).unwrap();
///     assert_eq!((plan.used, plan.bought), (mm(60) * mm(30), mm(100) * mm(50)));
///     (plan.by_price, plan.cost)
/// };
/// assert_eq!(cost(Some(450)), (true, 450));
/// assert_eq!(cost(None), (false, 5_000)); // mm²
/// ```
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

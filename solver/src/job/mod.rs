//! The brief, checked and made exact: what every later room works from. Immutable once built.

mod build;
pub mod defaults;
pub(crate) mod files;
pub mod material;
mod source;
pub mod stock;

use crate::finding::Finding;
use crate::length::{Length, Unit, Volume};
use crate::place::{Point, Size};
#[cfg(test)]
mod tests;

pub use build::{MOST_BODIES, MOST_PARTS, MOST_TRAYS};
pub use source::{Source, load, read};
pub use stock::{
    Cutting, Fits, Joint, Process, Sheet, Stock, StockRow, load_list, read_list, read_list_text,
};

/// Millionths of the interior's volume: 2 % is 20 000.
pub type Millionths = i64;

/// A mass in milligrams.
pub type Milligrams = i64;

/// A whole job.
#[derive(Clone, Debug)]
pub struct Job {
    /// What the maker calls it.
    pub title: String,
    /// What a bare number meant, and what tables are printed in.
    pub unit: Unit,
    /// SHA-256 of the brief's bytes (and of its inventory file's), in hexadecimal.
    pub digest: String,
    /// The step of the search; needs are rounded up to it.
    pub grid: Length,
    /// The box.
    pub container: Container,
    /// Stock of walls.
    pub stock: Stock,
    /// Thickness of tray floors (and of lids).
    pub floor: Length,
    /// Thickness of dividers.
    pub divider: Length,
    /// Stock of floors and lids where it is another than the walls' (its thickness is `floor`).
    pub floor_stock: Option<Stock>,
    /// Stock of dividers where it is another than the walls' (its thickness is `divider`).
    pub divider_stock: Option<Stock>,
    /// How layers may be made.
    pub layers: LayerRules,
    /// What the maker would like.
    pub wishes: Wishes,
    /// Things that stay as they are.
    pub kept: Vec<Kept>,
    /// Large flat things over the top layer.
    pub cover: Vec<Cover>,
    /// Trays that the maker named. A tray with `count` 3 is one entry here.
    pub trays: Vec<Tray>,
    /// Parts for which the solver chooses trays.
    pub free: Vec<FreePart>,
    /// The maker sells what is made (asks for notes on emission classes of boards).
    pub sold: bool,
    /// It is meant for children (asks for notes on small parts).
    pub for_children: bool,
    /// Warnings and notes met on the way.
    pub findings: Vec<Finding>,
}

/// The box and its rules.
#[derive(Clone, Debug)]
pub struct Container {
    /// Inside; the least of the readings.
    pub interior: Size,
    /// Greatest less least reading, for tolerance.
    pub spread: Size,
    /// Kept free under the lid.
    pub lid_room: Length,
    /// Play between trays, and between a tray and a kept item.
    pub between: Length,
    /// Play between a tray and a side of the box.
    pub side: Length,
    /// Kept on edge: nothing may slide out of its compartment.
    pub on_side: bool,
}

/// How layers may be made, from the floor up.
#[derive(Clone, Debug)]
pub struct LayerRules {
    /// At most this many.
    pub most: usize,
    /// Rule of the first layers; those beyond the list are open.
    pub heights: Vec<HeightRule>,
}

/// What outer height a layer may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeightRule {
    /// Any.
    Open,
    /// Within these, both included.
    Range(Length, Length),
    /// Exactly this.
    Fixed(Length),
}

/// What the maker would like.
#[derive(Clone, Debug)]
pub struct Wishes {
    /// What one lift less is worth for a tray `always` needed, in millionths of the interior.
    pub access_always: Millionths,
    /// The same for `setup`.
    pub access_setup: Millionths,
    /// The same for `seldom`.
    pub access_seldom: Millionths,
    /// How access and waste are ranked.
    pub access_order: AccessOrder,
    /// How much waste may rise for tidiness, in millionths of the interior.
    pub tidy: Millionths,
    /// Keep spare room in one piece instead of sharing it out.
    pub spare_one_piece: bool,
    /// Largest outer footprint of a tray, either way round.
    pub largest_tray: Option<(Length, Length)>,
    /// Greatest mass of a tray with its contents.
    pub most_mass: Option<Milligrams>,
}

/// How access and waste are ranked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AccessOrder {
    /// Fewest lifts first, waste only between equals.
    First,
    /// One sum.
    Together,
    /// Waste first, lifts only between equals.
    Last,
}

/// How soon a part is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Use {
    /// In play all the time.
    Always,
    /// Once at the start.
    Setup,
    /// Hardly ever.
    Seldom,
}

/// Where the maker fixes a tray or a kept item.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// In this layer, counted from 0 at the floor.
    Layer(usize),
    /// With its least corner exactly here.
    At(Point),
}

/// Which ways a body may stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// As given only.
    None,
    /// Turned about the vertical.
    Upright,
    /// On any face.
    Any,
}

/// A kept item. `count` 2 stands for two bodies.
#[derive(Clone, Debug)]
pub struct Kept {
    /// Its name.
    pub name: String,
    /// Outside.
    pub size: Size,
    /// How many.
    pub count: usize,
    /// Which ways it may stand.
    pub turn: Turn,
    /// Where it must stay (with `count` 1 only).
    pub held: Option<Held>,
    /// Mass of one.
    pub mass: Option<Milligrams>,
}

/// A cover item.
#[derive(Clone, Debug)]
pub struct Cover {
    /// Its name.
    pub name: String,
    /// Outside, lying flat; it may be turned about the vertical.
    pub size: Size,
    /// It may lie in recesses of the trays under it, flush with their rims.
    pub sink: bool,
}

/// How a tray is lifted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Grip {
    /// Two notches in opposite walls.
    Notch,
    /// A ribbon under the tray.
    Ribbon,
    /// Nothing.
    None,
}

/// A tray that the maker named, or one made for free parts.
#[derive(Clone, Debug)]
pub struct Tray {
    /// Its name.
    pub name: String,
    /// How soon it is needed.
    pub usage: Use,
    /// How many alike.
    pub count: usize,
    /// With a lid of the floor's thickness.
    pub lid: bool,
    /// How it is lifted; `None` lets the program choose.
    pub grip: Option<Grip>,
    /// The most layers it may reach through.
    pub span: usize,
    /// Share of spare room relative to other trays, in thousandths (1000 is usual).
    pub spare_share: i64,
    /// Its walls end where its contents need it; it carries nothing.
    pub low: bool,
    /// Where it must stay.
    pub held: Option<Held>,
    /// Outer size fixed by the maker.
    pub size: Option<Size>,
    /// Joint that differs from the stock's.
    pub joint: Option<Joint>,
    /// Height of its dividers above the floor panel where they are lower than the walls.
    pub divider_height: Option<Length>,
    /// Its compartments, one a part.
    pub parts: Vec<Part>,
}

/// One entry of the inventory.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its name, unique in the job.
    pub name: String,
    /// What it is.
    pub contents: Contents,
    /// Mass of all its pieces, where known.
    pub mass: Option<Milligrams>,
}

/// A part without a tray.
#[derive(Clone, Debug)]
pub struct FreePart {
    /// The part.
    pub part: Part,
    /// How soon it is needed.
    pub usage: Use,
}

/// What a part holds.
#[derive(Clone, Debug)]
pub enum Contents {
    /// Pieces poured in.
    Loose(Loose),
    /// Pieces in piles, rows or rolls.
    Stack(Stack),
    /// Bodies placed side by side.
    Solid(Solid),
    /// A small tray that is carried by itself.
    Tray(Box<Tray>),
}

/// Form of a loose piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Cubes and dice.
    Cube,
    /// Spheres and beads.
    Bead,
    /// Flat round pieces.
    Disc,
    /// Pegs and rods.
    Peg,
    /// Lens-like pieces.
    Lens,
    /// Figures with arms or bases, and whatever else.
    Odd,
}

/// Loose contents.
#[derive(Clone, Debug)]
pub struct Loose {
    /// Measured bulk volume, best of all.
    pub volume: Option<Volume>,
    /// Count of pieces.
    pub count: Option<i64>,
    /// Form of one piece.
    pub form: Option<Form>,
    /// One piece's bounding size.
    pub piece: Option<Size>,
    /// Packing fraction given by the maker, loosest and densest, in thousandths.
    pub packing: Option<(i64, i64)>,
    /// How full a compartment may be, in thousandths.
    pub level: i64,
    /// Room for more: bulk volume.
    pub spare_volume: Volume,
    /// Room for more: pieces.
    pub spare_count: i64,
    /// Finger room: no compartment is narrower than this.
    pub finger: Length,
}

/// Face of a stacked piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Width and depth.
    Rectangle(Length, Length),
    /// Diameter.
    Disc(Length),
    /// Width over flats.
    Hexagon(Length),
}

/// Protective sleeve about each piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sleeve {
    /// Thickness of one film; two lie on each piece.
    pub film: Length,
    /// Outer face of the sleeve.
    pub face: Face,
}

/// A way of standing that a stack may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stand {
    /// Pieces lie flat, one on another.
    Flat,
    /// A row on the long edges.
    LongEdge,
    /// A row on the short edges.
    ShortEdge,
    /// Discs or hexagons on edge in a trough.
    Roll,
    /// A row that leans because the room is lower than the edge.
    Lean,
}

/// Stacked contents.
#[derive(Clone, Debug)]
pub struct Stack {
    /// Face of a bare piece.
    pub face: Face,
    /// Count of pieces, where given.
    pub count: Option<i64>,
    /// Thickness of one bare piece, where given.
    pub each: Option<Length>,
    /// Measured height of the whole bare (or sleeved, where a sleeve is given) stack.
    pub height: Option<Length>,
    /// Sleeve, where used.
    pub sleeve: Option<Sleeve>,
    /// Allowed ways of standing; never empty.
    pub stand: Vec<Stand>,
    /// Most piles side by side.
    pub piles: i64,
    /// Least lean angle from the floor, whole degrees.
    pub least_lean: i64,
    /// Room for more pieces.
    pub spare_count: i64,
    /// Ease on the face, in each direction.
    pub ease: Length,
    /// Browsing room along a row, in thousandths of its length.
    pub browse: i64,
    /// Finger room beside a flat stack (0: a notch in the wall serves).
    pub finger: Length,
}

/// Solid contents.
#[derive(Clone, Debug)]
pub struct Solid {
    /// One body.
    pub size: Size,
    /// How many.
    pub count: i64,
    /// Room for more bodies.
    pub spare_count: i64,
    /// Which ways it may stand.
    pub turn: Turn,
    /// May they lie one on another?
    pub pile: bool,
    /// Ease around the block in each horizontal direction.
    pub ease: Length,
}

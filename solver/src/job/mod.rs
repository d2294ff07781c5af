//! The brief, checked and made exact: what every later room works from. Immutable once built.

mod build;
pub mod defaults;
pub(crate) mod files;
pub mod material;
pub(crate) mod outline;
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
    Colour, Colours, Cutting, Fits, Joint, Process, Sheet, Stock, StockRow, load_list, read_list,
    read_list_text,
};

/// Millionths of the interior's volume: 2 % is 20 000.
pub type Millionths = i64;

/// A mass in milligrams.
pub type Milligrams = i64;

/// A whole job.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::length::Length;
/// let layout: Vec<(&str, usize)> = job.trays.iter().map(|t| (&*t.name, t.parts.len())).collect();
/// assert_eq!(layout, [("cargo", 2), ("decks", 2)]);
/// assert_eq!(job.container.interior.h, Length::mm(60));
/// // Neither a thickness of floors nor one of dividers is written: the stock's counts.
/// assert_eq!([job.floor, job.divider], [job.stock.thickness; 2]);
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::length::Length;
/// let it = starter_with("box.interior", "[[240, 239.5], 180, 60]").container;
/// assert_eq!((it.interior.w, it.spread.w), (Length::um(239_500), Length::um(500)));
/// assert_eq!((it.interior.d, it.spread.d), (Length::mm(180), Length::ZERO));
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::HeightRule, length::Length};
/// let layers = starter_with("layers.heights", "[25]").layers;
/// assert_eq!(layers.heights, [HeightRule::Fixed(Length::mm(25))]);
/// assert_eq!(layers.most, 2); // the second one is open
/// ```
#[derive(Clone, Debug)]
pub struct LayerRules {
    /// At most this many.
    pub most: usize,
    /// Rule of the first layers; those beyond the list are open.
    pub heights: Vec<HeightRule>,
}

/// What outer height a layer may have.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::HeightRule, length::Length};
/// let job = starter_with("layers.heights", "[\"open\", { least = 15, most = 30 }]");
/// let range = HeightRule::Range(Length::mm(15), Length::mm(30));
/// assert_eq!(job.layers.heights, [HeightRule::Open, range]);
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// let wishes = starter_with("wishes.access.always", "1.5").wishes;
/// assert_eq!(wishes.access_always, 15_000); // percent become millionths
/// assert_eq!((wishes.access_setup, wishes.access_seldom), (5_000, 0));
/// assert!(wishes.largest_tray.is_none() && !wishes.spare_one_piece);
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::AccessOrder;
/// let wishes = starter_with("wishes.access.order", "first").wishes;
/// assert_eq!(wishes.access_order, AccessOrder::First);
/// assert_eq!(starter_with("wishes", "{}").wishes.access_order, AccessOrder::Together);
/// ```
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
///
/// ```
/// use traywright::job::Use;
/// assert!(Use::Always < Use::Setup && Use::Setup < Use::Seldom);
/// assert_eq!(serde_json::to_string(&Use::Seldom).unwrap(), "\"seldom\"");
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::Held, place::Point};
/// let held = |place| starter_with("kept.ticket box.held", place).kept[0].held;
/// assert_eq!(held("{ layer = 1 }"), Some(Held::Layer(0))); // briefs count from 1
/// assert_eq!(held("{ at = [0, 0, 0] }"), Some(Held::At(Point::default())));
/// assert_eq!(held(""), None);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// In this layer, counted from 0 at the floor.
    Layer(usize),
    /// With its least corner exactly here.
    At(Point),
}

/// Which ways a body may stand.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{length::Length, need};
/// let lowest = |turn| {
///     let job = starter_with("part.deckhands.solid.turn", turn);
///     let need = need::of(&job.trays[1].parts[1]);
///     need.alternatives.iter().map(|a| a.space.least_height()).min().unwrap()
/// };
/// assert_eq!((lowest("upright"), lowest("any")), (Length::mm(34), Length::mm(20)));
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::Turn;
/// let kept = starter_with("kept.ticket box.count", "2").kept;
/// assert_eq!((kept.len(), kept[0].count), (1, 2));
/// assert_eq!(kept[0].turn, Turn::Upright);
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::length::Length;
/// let chart = "[{ name = \"chart\", size = [220, 160, 3], sink = true }]";
/// let cover = starter_with("cover", chart).cover;
/// assert!(cover[0].sink && cover[0].size.h == Length::mm(3));
/// assert!(!starter_with("cover", &chart.replace(", sink = true", "")).cover[0].sink);
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::Grip;
/// assert_eq!(starter_with("tray.decks.grip", "none").trays[1].grip, Some(Grip::None));
/// assert_eq!(starter_with("tray.decks.grip", "").trays[1].grip, None); // the program chooses
/// assert_eq!(serde_json::to_string(&Grip::Ribbon).unwrap(), "\"ribbon\"");
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// let job = starter_with("tray.decks.count", "3");
/// let decks = &job.trays[1];
/// assert_eq!((job.trays.len(), decks.count), (2, 3));
/// assert_eq!((decks.span, decks.spare_share, decks.lid), (1, 1_000, false));
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// // A brief gives the mass of one piece; there are six.
/// let deckhands = starter_with("part.deckhands.mass", "4 g").trays[1].parts[1].clone();
/// assert_eq!((&*deckhands.name, deckhands.mass), ("deckhands", Some(24_000)));
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::Use;
/// let luggage = "{ name = \"lost luggage\", use = \"seldom\", loose = { volume = \"25 ml\" } }";
/// let job = starter_with("part", &format!("[{luggage}]"));
/// assert_eq!((&*job.free[0].part.name, job.free[0].usage), ("lost luggage", Use::Seldom));
/// assert_eq!(job.trays.len(), 2); // still those that are named
/// ```
#[derive(Clone, Debug)]
pub struct FreePart {
    /// The part.
    pub part: Part,
    /// How soon it is needed.
    pub usage: Use,
}

/// What a part holds.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::job::Contents;
/// let kinds = job.trays.iter().flat_map(|t| &t.parts).map(|p| match p.contents {
///     Contents::Loose(_) => "loose",
///     Contents::Stack(_) => "stack",
///     Contents::Solid(_) => "solid",
///     Contents::Tray(_) => "tray",
/// });
/// assert_eq!(kinds.collect::<Vec<_>>(), ["loose", "loose", "stack", "solid"]);
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::Contents, need::loose::estimate};
/// let packing = |form| {
///     let job = starter_with("part.fare discs.loose.form", form);
///     let Contents::Loose(discs) = &job.trays[0].parts[1].contents else { panic!("fare discs") };
///     estimate(discs).unwrap().packing // loosest and densest, in thousandths
/// };
/// assert_eq!((packing("cube"), packing("disc")), ((540, 670), (420, 640)));
/// ```
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
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::job::Contents;
/// let Contents::Loose(discs) = &job.trays[0].parts[1].contents else { panic!("fare discs") };
/// assert_eq!((discs.volume, discs.count, discs.spare_count), (None, Some(60), 10));
/// assert_eq!(discs.level, 900); // nine tenths of a compartment
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{length::Length, need::{self, Space}};
/// // A millimetre of ease on either side of the face.
/// let job = starter_with("part.weather cards.stack.face", "{ disc = 48 }");
/// let pile = Space::Fixed { w: Length::mm(49), d: Length::mm(49), h: Length::um(16_500) };
/// assert!(need::of(&job.trays[1].parts[0]).alternatives.iter().any(|a| a.space == pile));
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{length::Length, need};
/// let bare = "{ face = [63.5, 88.9], count = 54, each = 0.3";
/// let cards = format!("{bare}, sleeve = {{ film = 0.1, face = [66, 91] }} }}");
/// let need = need::of(&starter_with("part.weather cards.stack", &cards).trays[1].parts[0]);
/// // 54 × (0.3 + 2 × 0.1) mm high.
/// assert_eq!(need.contents, Length::mm(66) * Length::mm(91) * Length::mm(27));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sleeve {
    /// Thickness of one film; two lie on each piece.
    pub film: Length,
    /// Outer face of the sleeve.
    pub face: Face,
}

/// A way of standing that a stack may take.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::{Contents, Stand};
/// let stand = |key, value| match &starter_with(key, value).trays[1].parts[0].contents {
///     Contents::Stack(cards) => cards.stand.clone(),
///     _ => Vec::new(),
/// };
/// assert_eq!(stand("part.weather cards.stack.stand", "[\"lean\"]"), [Stand::Lean]);
/// assert_eq!(stand("title", "any"), [Stand::Flat, Stand::LongEdge, Stand::ShortEdge]);
/// ```
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
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{job::Contents, length::Length};
/// let Contents::Stack(cards) = &job.trays[1].parts[0].contents else { panic!("weather cards") };
/// assert_eq!((cards.count, cards.each, cards.height), (None, None, Some(Length::um(16_500))));
/// assert_eq!((cards.piles, cards.browse, cards.ease), (1, 100, Length::mm(1)));
/// ```
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
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{job::Contents, need};
/// let Contents::Solid(deckhands) = &job.trays[1].parts[1].contents else { panic!("deckhands") };
/// assert_eq!((deckhands.count, deckhands.pile), (6, false));
/// assert_eq!(need::of(&job.trays[1].parts[1]).contents, deckhands.size.volume() * 6);
/// ```
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

//! The answer: what `traywright plan` writes and every later room reads.
//!
//! The types here are the file format (design §8); all lengths are millimetres as exact decimals,
//! all volumes mm³ as exact decimals, in box coordinates.

pub mod account;
mod alternatives;
pub(crate) mod arrange;
mod file;
pub mod grip;
pub mod group;
mod hunt;
mod model;
mod patience;
mod refill;
mod rounding;
mod second;
pub mod sink;
pub mod slack;
mod solve;
mod unshared;
mod write;

pub use alternatives::{Alternatives, alternatives};
pub use model::mps;
pub(crate) use refill::refilled;
pub(crate) use second::compared;
pub use second::{Fate, FromScratch, Second, TrayFate, second};
pub use solve::{Options, Outcome, Progress, solve};

use serde::{Deserialize, Serialize};

use crate::job::{Grip, Use};
use crate::length::{Area, Length, Volume};
use crate::place::{Point, Size};

/// A whole plan file.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// assert_eq!((plan.format.as_str(), plan.version), ("traywright-plan", 1));
/// assert_eq!((plan.brief_sha256, plan.nodes), (job.digest, options.nodes));
/// assert_eq!(plan.lifts.len(), plan.settled.trays.len());
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Plan {
    /// Always `traywright-plan`.
    pub format: String,
    /// Always 1.
    pub version: u32,
    /// Title of the brief.
    pub title: String,
    /// Digest of the brief it answers.
    pub brief_sha256: String,
    /// Seed of the search.
    pub seed: u64,
    /// Node budget of the search.
    pub nodes: u64,
    /// What is proven.
    pub claim: Claim,
    /// Value and bound of the tight plan.
    pub objective_mm3: Objective,
    /// Least claimed volume.
    pub tight: Arrangement,
    /// The same after spare room has been shared out: what is built.
    pub settled: Arrangement,
    /// What to lift to reach each tray.
    pub lifts: Vec<Lift>,
    /// Parts and kept items that found no place.
    pub left_out: Vec<String>,
    /// Warnings and notes.
    pub findings: Vec<Note>,
}

/// State of a claim.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// # use traywright::plan::ClaimState;
/// assert_eq!(plan.claim.state, ClaimState::Proven);
/// assert_eq!(plan.objective_mm3.value, plan.objective_mm3.bound);
/// assert_eq!(serde_json::to_string(&ClaimState::NoneFound).unwrap(), "\"none-found\"");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClaimState {
    /// Value equals bound.
    Proven,
    /// A plan with a bound below it.
    Gap,
    /// A plan without a useful bound.
    Unproven,
    /// It is proven that no plan of this class exists.
    Impossible,
    /// The search ended without a plan and without a proof that there is none.
    NoneFound,
}

/// What is proven about a plan, and within which class of arrangements.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let claim = &plan.claim;
/// assert_eq!((claim.gap, claim.grid_mm), (Some(0.0), Length::mm(1)));
/// assert_eq!((&*claim.curves, &*claim.heights), ("exact", "candidates")); // poured: any height
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Claim {
    /// State.
    pub state: ClaimState,
    /// 1 − bound / value, as a decimal share; 0 where proven.
    pub gap: Option<f64>,
    /// Step of the search.
    pub grid_mm: Length,
    /// `exact` or `searched` shape curves.
    pub curves: String,
    /// `all` or `candidates`: which layer heights were considered.
    pub heights: String,
    /// Which bound closed (or holds) the gap.
    pub bound_by: String,
}

impl Claim {
    /// The claim of a search that found nothing and proved nothing.
    ///
    /// ```
    /// # use traywright::{length::Length, plan::{Claim, ClaimState}};
    /// let claim = Claim::none_found(Length::mm(1));
    /// assert_eq!((claim.state, claim.gap), (ClaimState::NoneFound, None));
    /// assert_eq!(claim.bound_by, "none");
    /// ```
    pub fn none_found(grid: Length) -> Claim {
        Claim {
            state: ClaimState::NoneFound,
            gap: None,
            grid_mm: grid,
            curves: "exact".into(),
            heights: "all".into(),
            bound_by: "none".into(),
        }
    }
}

/// Value and bound of the tight plan, mm³.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"maps\"\nuse = \"seldom\"\nsize = [110, 80, 15]\n[[tray.part]]\n\
/// #     name = \"map\"\nloose = { volume = \"40 ml\" }\n[[tray]]\nname = \"mail\"\n\
/// #     use = \"always\"\nsize = [110, 80, 15]\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # use traywright::length::Volume;
/// # let mut job = job;
/// // Of two trays that are always needed, one lies under the other.
/// job.trays[0].usage = job::Use::Always;
/// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let o = plan.objective_mm3;
/// assert_eq!(o.value, o.wasted + o.access);
/// assert!(o.access > Volume::ZERO && o.bound <= o.value);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Objective {
    /// stock + voids + slack + overhead.
    pub wasted: Volume,
    /// Weighted lifts.
    pub access: Volume,
    /// Their sum.
    pub value: Volume,
    /// Nothing of the class can be below this.
    pub bound: Volume,
}

/// The volume account: `interior = contents + kept + cover + stock + voids + slack + overhead + spare`.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[kept]]\n\
/// #     name = \"carton\"\nsize = [30, 30, 20]\ncount = 2\n[[tray]]\nname = \"mail\"\n\
/// #     [[tray.part]]\nname = \"letters\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let v = plan.settled.volumes_mm3;
/// assert_eq!(v.kept, Length::mm(30) * Length::mm(30) * Length::mm(20) * 2);
/// assert_eq!(v.wasted, v.stock + v.voids + v.slack + v.overhead);
/// assert_eq!(v.interior, v.contents + v.kept + v.cover + v.wasted + v.spare);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Volumes {
    /// Width × depth × height of the box.
    pub interior: Volume,
    /// The parts themselves.
    pub contents: Volume,
    /// Kept items.
    pub kept: Volume,
    /// Cover items.
    pub cover: Volume,
    /// Wood or board of all trays.
    pub stock: Volume,
    /// Needs less contents.
    pub voids: Volume,
    /// Compartments' clear room less need.
    pub slack: Volume,
    /// Room above kept items and low trays up to the top of their layers.
    pub overhead: Volume,
    /// All the rest.
    pub spare: Volume,
    /// stock + voids + slack + overhead.
    pub wasted: Volume,
}

/// One arrangement of everything in the box.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\ncount = 2\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// // One tray of the brief, twice in the box; what is settled wastes no less than what is tight.
/// assert_eq!((job.trays.len(), plan.settled.trays.len()), (1, 2));
/// assert!(plan.tight.volumes_mm3.wasted <= plan.settled.volumes_mm3.wasted);
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Arrangement {
    /// The volume account.
    pub volumes_mm3: Volumes,
    /// From the floor up.
    pub layers: Vec<Layer>,
    /// Kept items.
    pub kept: Vec<Body>,
    /// Cover items.
    pub cover: Vec<Body>,
    /// Trays, in the order of the brief, copies one by one.
    pub trays: Vec<PlacedTray>,
}

/// A horizontal slab.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"maps\"\nuse = \"seldom\"\nsize = [110, 80, 15]\n[[tray.part]]\n\
/// #     name = \"map\"\nloose = { volume = \"40 ml\" }\n[[tray]]\nname = \"mail\"\n\
/// #     use = \"always\"\nsize = [110, 80, 15]\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let [low, high] = plan.settled.layers[..] else { panic!() };
/// assert_eq!((low.bottom, high.bottom), (Length::ZERO, low.height));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Layer {
    /// z of its bottom.
    pub bottom: Length,
    /// Its height.
    pub height: Length,
}

/// A kept or cover item in its place.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[kept]]\n\
/// #     name = \"carton\"\nsize = [30, 30, 20]\ncount = 2\n[[tray]]\nname = \"mail\"\n\
/// #     [[tray.part]]\nname = \"letters\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let kept = &plan.settled.kept;
/// assert_eq!((kept[0].copy, kept[1].copy), (1, 2));
/// assert_eq!(kept[0].layers, [1]); // the lowest layer is 1
/// assert_eq!(kept[0].size.volume(), job.kept[0].size.volume()); // in whatever turn
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Its name.
    pub name: String,
    /// Which of its copies, from 1.
    pub copy: usize,
    /// Corner with the least coordinates.
    pub at: Point,
    /// As it stands.
    pub size: Size,
    /// Layers it reaches into, from 1 at the floor; empty for cover items.
    pub layers: Vec<usize>,
}

/// A tray in its place (or nested in a compartment).
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n[[tray.part]]\nname = \"parcels\"\n\
/// #     loose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let tray = &plan.settled.trays[0];
/// assert_eq!((tray.copy, &tray.layers[..], tray.lid), (1, &[1][..], Length::ZERO));
/// assert_eq!((tray.compartments.len(), tray.dividers.len()), (2, 1));
/// let clear = tray.compartments[0].size.h;
/// assert_eq!(tray.size.h, tray.floor + clear);
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacedTray {
    /// Its name.
    pub name: String,
    /// Which of its copies, from 1.
    pub copy: usize,
    /// How soon it is needed.
    #[serde(rename = "use")]
    pub usage: Use,
    /// Layers it reaches through, from 1 at the floor; empty for a nested tray.
    pub layers: Vec<usize>,
    /// Corner with the least coordinates, box coordinates.
    pub at: Point,
    /// Outer size.
    pub size: Size,
    /// Thickness of its walls.
    pub wall: Length,
    /// Thickness of its floor.
    pub floor: Length,
    /// Thickness of its lid; 0 where it has none.
    pub lid: Length,
    /// How it is lifted.
    pub grip: Grip,
    /// One a part.
    pub compartments: Vec<Compartment>,
    /// Partitions between compartments.
    pub dividers: Vec<Divider>,
}

impl PlacedTray {
    /// The same tray with its least corner elsewhere.
    ///
    /// Its layers stay as they are told.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, length::Length, plan};
    /// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
    /// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
    /// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
    /// #     loose = { volume = \"40 ml\" }\n";
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = plan::Options::default();
    /// # options.nodes = 10_000;
    /// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
    /// # use traywright::place::Point;
    /// let tray = &plan.settled.trays[0];
    /// let there = tray.moved(Point { x: tray.at.x + Length::mm(7), ..tray.at });
    /// assert_eq!(there.compartments[0].at.x, tray.compartments[0].at.x + Length::mm(7));
    /// assert_eq!((there.size, &there.layers), (tray.size, &tray.layers));
    /// ```
    #[must_use]
    pub fn moved(&self, at: Point) -> PlacedTray {
        let by = Point { x: at.x - self.at.x, y: at.y - self.at.y, z: at.z - self.at.z };
        self.shifted(by)
    }

    fn shifted(&self, by: Point) -> PlacedTray {
        let to = |p: Point| Point { x: p.x + by.x, y: p.y + by.y, z: p.z + by.z };
        let mut out = self.clone();
        out.at = to(out.at);
        out.dividers.iter_mut().for_each(|d| d.at = to(d.at));
        for c in &mut out.compartments {
            c.at = to(c.at);
            c.tray = c.tray.as_ref().map(|t| Box::new(t.shifted(by)));
        }
        out
    }
}

/// A partition.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n[[tray.part]]\nname = \"parcels\"\n\
/// #     loose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let tray = &plan.settled.trays[0];
/// let divider = tray.dividers[0];
/// assert_eq!(divider.at.z, tray.at.z + tray.floor);
/// assert_eq!(divider.size.w.min(divider.size.d), Length::mm(3)); // the stock's thickness
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Divider {
    /// Corner with the least coordinates.
    pub at: Point,
    /// Extent.
    pub size: Size,
}

/// A space for one part: its clear inner room up to the tray's rim.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let tray = &plan.settled.trays[0];
/// let only = &tray.compartments[0];
/// assert_eq!((&*only.part, &*only.standing, only.lean_deg), ("letters", "poured", 90));
/// assert_eq!(only.at.x, tray.at.x + tray.wall); // box coordinates, within the walls
/// assert_eq!(only.size.w, tray.size.w - tray.wall * 2);
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Compartment {
    /// Name of the part.
    pub part: String,
    /// Corner with the least coordinates.
    pub at: Point,
    /// Clear room.
    pub size: Size,
    /// What the part needs as it stands here (already turned).
    pub need: PlacedNeed,
    /// `poured`, `flat`, `long-edge`, `short-edge`, `roll`, `lean`, `block`, `tray`.
    pub standing: String,
    /// Turned by 90° about the vertical.
    pub turn: bool,
    /// Piles, rows or bodies along the width and the depth, as words such as "2 piles" or "3 × 2 × 1"; empty for one.
    pub piles: String,
    /// Lean angle in whole degrees; 90 where nothing leans.
    pub lean_deg: i64,
    /// Room beyond need.
    pub slack: Slack,
    /// A nested tray.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tray: Option<Box<PlacedTray>>,
}

/// Kind of a need.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// # use traywright::plan::NeedKind;
/// let need = &plan.settled.trays[0].compartments[0].need;
/// assert_eq!(need.kind, NeedKind::Soft); // poured contents
/// assert_eq!(serde_json::to_value(NeedKind::Soft).unwrap(), "soft");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum NeedKind {
    /// A block of fixed size.
    Fixed,
    /// An area and least sides.
    Soft,
    /// A row whose length depends on its height.
    Row,
}

/// A need as it stands in its compartment.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// # use traywright::length::Volume;
/// let only = &plan.settled.trays[0].compartments[0];
/// let area = only.need.area_mm2.unwrap();
/// assert!(only.need.size.is_none() && area <= only.size.footprint());
/// assert!(area * only.size.h >= Volume::from_nm3(40 * 10i128.pow(21))); // 40 ml
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PlacedNeed {
    /// Which kind.
    pub kind: NeedKind,
    /// For `fixed` and `row`: width, depth, height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<Size>,
    /// For `soft`: least floor area at this clear height.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area_mm2: Option<Area>,
    /// For `soft`: least shorter and least longer side.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<[Length; 2]>,
}

/// Room beyond need, in several terms.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"pilots\"\n[[tray.part]]\nname = \"pilot\"\n\
/// #     solid = { size = [30, 20, 12], count = 4 }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let only = &plan.settled.trays[0].compartments[0];
/// let need = only.need.size.unwrap();
/// assert_eq!(need.w + only.slack.width, only.size.w);
/// assert_eq!(need.h + only.slack.height, only.size.h);
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Slack {
    /// Along x.
    pub width: Length,
    /// Along y.
    pub depth: Length,
    /// Up.
    pub height: Length,
    /// Clear room less need, ml rounded down to 0.1.
    pub volume_ml: f64,
    /// Share of the clear room, percent with one decimal.
    pub percent: f64,
    /// How many more would go in.
    pub more: i64,
    /// Of what.
    pub more_of: String,
}

/// What to lift to reach a tray.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"maps\"\nuse = \"seldom\"\nsize = [110, 80, 15]\n[[tray.part]]\n\
/// #     name = \"map\"\nloose = { volume = \"40 ml\" }\n[[tray]]\nname = \"mail\"\n\
/// #     use = \"always\"\nsize = [110, 80, 15]\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// // What is always needed lies over what is seldom needed.
/// let first = |name| &plan.lifts.iter().find(|l| l.tray == name).unwrap().first;
/// assert!(first("mail").is_empty());
/// assert_eq!(*first("maps"), ["mail"]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lift {
    /// The tray, with the number of its copy where there are several.
    pub tray: String,
    /// Trays and cover items to be lifted first, in the order of lifting.
    pub first: Vec<String>,
}

/// A finding as it stands in a plan.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let mut job = job;
/// // A tray too low for the notches that the maker wants.
/// job.container.interior.h = Length::mm(15);
/// job.trays[0].grip = Some(job::Grip::Notch);
/// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let note = plan.findings.iter().find(|n| n.code == "P010").unwrap();
/// assert!(note.text.contains("so the tray gets a ribbon"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Note {
    /// Its code.
    pub code: String,
    /// Cause and remedy.
    pub text: String,
}

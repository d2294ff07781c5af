//! The placement problem in whole grid steps: what every engine of this room works from.
//!
//! Engines are scored by one function, [`Instance::cost`]. Lengths, areas and volumes are `i64`
//! grid steps (squared, cubed); [`crate::job`] refuses boxes for which these could overflow.

use super::pack::Rect;

/// A placement problem.
#[derive(Clone, Debug)]
pub struct Instance {
    /// Interior width, rounded down.
    pub width: i64,
    /// Interior depth, rounded down.
    pub depth: i64,
    /// Height for layers: interior less lid room less cover slab, rounded down.
    pub height: i64,
    /// Play between trays and between trays and kept items, rounded up.
    pub between: i64,
    /// Play between a tray and a side of the box, rounded up.
    pub side: i64,
    /// At most this many layers.
    pub most_layers: usize,
    /// Allowed outer heights of each layer from the floor up: least and greatest, both included.
    pub height_rules: Vec<(i64, i64)>,
    /// Trays, copies listed one by one.
    pub trays: Vec<TrayItem>,
    /// Kept items, copies listed one by one.
    pub kept: Vec<KeptItem>,
    /// Where cover items lie over the top layer, for lifts.
    pub cover: Vec<Rect>,
    /// How access is counted.
    pub access: Access,
    /// Rectangles in which no tray may stand, by layer (layout cases only; empty for briefs).
    pub blocked: Vec<(usize, Rect)>,
    /// Whether bodies above the floor must rest on rims (off for plain layout cases).
    pub bearing: bool,
}

/// How access is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Weight × number of trays and cover items to be lifted first (transitively, outlines overlapping).
    Lifts,
    /// Weight × index of the layer counted from the lid (layout cases).
    LayerIndex,
}

/// One outer shape that a tray may take.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Option3 {
    /// Outer width.
    pub w: i64,
    /// Outer depth.
    pub d: i64,
    /// Least outer height at which this outline holds everything.
    pub h: i64,
}

/// Where the maker fixes a body.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeldAt {
    /// Nowhere.
    Free,
    /// In this layer (from the floor, from 0).
    Layer(usize),
    /// At this place; `z` is the bottom of its first layer.
    Point(i64, i64, i64),
}

/// A tray to be placed.
#[derive(Clone, Debug)]
pub struct TrayItem {
    /// Its name, with the number of its copy where there are several.
    pub name: String,
    /// Trays with the same kind are interchangeable.
    pub kind: usize,
    /// Every outline with the least height it needs, turned ones listed too; sorted, no duplicates.
    pub options: Vec<Option3>,
    /// The most layers it may reach through.
    pub span: usize,
    /// It ends where its contents need it and carries nothing.
    pub low: bool,
    /// Carries anywhere on its top (a lid), not on rims only.
    pub lid: bool,
    /// Where it must stay.
    pub held: HeldAt,
    /// Cost of one lift (or of one layer of depth), in cubed grid steps.
    pub weight: i64,
}

/// A kept item to be placed.
#[derive(Clone, Debug)]
pub struct KeptItem {
    /// Its name, with the number of its copy where there are several.
    pub name: String,
    /// Items with the same kind are interchangeable.
    pub kind: usize,
    /// Allowed ways to stand: width, depth, height (rounded up).
    pub turns: Vec<Option3>,
    /// Where it must stay.
    pub held: HeldAt,
}

/// Where a tray stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TrayPlace {
    /// First layer it stands in, from the floor, from 0.
    pub layer: usize,
    /// Layers it reaches through.
    pub span: usize,
    /// Index into its options.
    pub option: usize,
    /// Left edge.
    pub x: i64,
    /// Front edge.
    pub y: i64,
}

/// Where a kept item stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct KeptPlace {
    /// Layer whose bottom it stands on.
    pub layer: usize,
    /// Index into its turns.
    pub turn: usize,
    /// Left edge.
    pub x: i64,
    /// Front edge.
    pub y: i64,
}

/// A whole arrangement.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Outer heights of the layers from the floor up.
    pub heights: Vec<i64>,
    /// In the order of [`Instance::trays`].
    pub trays: Vec<TrayPlace>,
    /// In the order of [`Instance::kept`].
    pub kept: Vec<KeptPlace>,
}

/// What a layout costs, in cubed grid steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cost {
    /// What trays and kept items claim: footprint × height up to the top of their layers.
    pub claimed: i64,
    /// Weighted lifts.
    pub access: i64,
}

impl Cost {
    /// The value to be minimised.
    pub fn value(self) -> i64 {
        self.claimed + self.access
    }
}

//! The placement problem in whole grid steps: what every engine of this room works from.
//!
//! Engines are scored by one function, [`Instance::cost`]. Lengths, areas and volumes are `i64`
//! grid steps (squared, cubed); [`crate::job`] refuses boxes for which these could overflow.

use std::sync::Arc;

use super::pack::Rect;

/// A placement problem.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// let instance = |width| Instance {
///     width, depth: 7, between: 1, side: 1,
///     trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))],
///     ..empty.clone()
/// };
/// let at = |x| TrayPlace { layer: 0, span: 1, option: 0, x, y: 1 };
/// let layout = Layout { heights: vec![3], trays: vec![at(1), at(6)], kept: vec![] };
/// assert_eq!(instance(11).feasible(&layout), Ok(())); // 1 + 4 + 1 + 4 + 1
/// assert_eq!(instance(10).feasible(&layout), Err("tray 1: too near a side".into()));
/// ```
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
    pub cover: Vec<CoverPlace>,
    /// How access is counted.
    pub access: Access,
    /// Rectangles in which no tray may stand, by layer (layout cases only; empty for briefs).
    pub blocked: Vec<(usize, Rect)>,
    /// What the tops of trays bear on; `None` for plain layout cases, in which nothing need rest on anything.
    pub rims: Option<Rims>,
}

/// A tray as what stands on it sees it.
///
/// ```
/// # use traywright::layout::{instance::{Option3, Rims, Top}, pack::Rect};
/// // Trays with walls of 1 to the left and right.
/// let wall = |x, d| Rect { x, y: 0, w: 1, d };
/// let rims = Rims::whole(move |_, o| [wall(0, o.d), wall(o.w - 1, o.d)].into());
/// let top = (rims.top)(0, Option3 { w: 4, d: 5, h: 3 });
/// assert_eq!(top, Top { size: (4, 5), places: [wall(0, 5), wall(3, 5)].into() });
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Top {
    /// Its true width and depth.
    pub size: (i64, i64),
    /// Rectangles within its outline that bear.
    pub places: Arc<[Rect]>,
}

/// What tells the top of a tray, by its index and its outline in grid steps.
pub type TopOf = Arc<dyn Fn(usize, Option3) -> Top + Send + Sync>;

/// What bodies truly measure, where they bear and rest: on the grid they are rounded up, and what is rounded up would
/// seem to carry where nothing is.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// # use std::sync::Arc;
/// # use traywright::layout::bearing::unborne;
/// # let turns = vec![Option3 { w: 5, d: 5, h: 3 }];
/// # let carton = KeptItem { name: "carton".into(), kind: 0, turns, held: HeldAt::Free };
/// # let on = KeptPlace { layer: 0, turn: 0, x: 0, y: 0 };
/// # let layout = Layout { heights: vec![3, 3], trays: vec![at(1, 0)], kept: vec![on] };
/// // A tray 9 steps wide on a carton that is 4.4 steps wide, less than half, and takes 5.
/// let hanging = |kept: Vec<Vec<(i64, i64)>>| {
///     let top = |_, o: Option3| Top { size: (10 * o.w, 10 * o.d), places: Arc::from([]) };
///     let rims = Some(Rims { per_step: 10, top: Arc::new(top), kept: kept.into() });
/// #   let (trays, kept) = (vec![tray(0, (9, 5, 3))], vec![carton.clone()]);
///     unborne(&Instance { width: 9, trays, kept, rims, ..empty.clone() }, &layout)
/// };
/// assert_eq!(hanging(vec![vec![(44, 50)]]), 1);
/// assert_eq!(hanging(vec![]), 0); // as wide as its steps, it would seem to carry
/// ```
#[derive(Clone)]
pub struct Rims {
    /// So many units of what is told here make a grid step.
    pub per_step: i64,
    /// Tops of trays.
    pub top: TopOf,
    /// True width and depth of each kept item in each of its turns; where one is missing it is that of the turn.
    pub kept: Arc<[Vec<(i64, i64)>]>,
}

impl Rims {
    /// Trays whose tops bear in these places, everything in whole steps.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
    /// # use traywright::layout::{bearing::unborne, pack::Rect};
    /// # let wall = |x, d| Rect { x, y: 0, w: 1, d };
    /// let rims = Some(Rims::whole(move |_, o| [wall(0, o.d), wall(o.w - 1, o.d)].into()));
    /// # let trays = vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))];
    /// let instance = Instance { trays, rims, ..empty };
    /// // One tray of 4 × 5 on another, and then two steps beside it: it hangs over.
    /// let hanging = |x| {
    ///     let trays = vec![at(0, 0), at(1, x)];
    ///     unborne(&instance, &Layout { heights: vec![3, 3], trays, kept: vec![] })
    /// };
    /// assert_eq!((hanging(0), hanging(2)), (0, 1));
    /// ```
    pub fn whole(places: impl Fn(usize, Option3) -> Arc<[Rect]> + Send + Sync + 'static) -> Rims {
        let top = move |tray, o: Option3| Top { size: (o.w, o.d), places: places(tray, o) };
        Rims { per_step: 1, top: Arc::new(top), kept: Arc::from([]) }
    }
}

impl std::fmt::Debug for Rims {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Rims")
    }
}

/// Where a cover item lies.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// # use traywright::layout::pack::Rect;
/// # let layout = Layout { heights: vec![3], trays: vec![at(0, 0)], kept: vec![] };
/// // A board over a tray that is 4 wide, and a map that meets only the board.
/// let lifts = |board, map| {
///     let lies = |x, w, level| CoverPlace { rect: Rect { x, y: 0, w, d: 5 }, level };
///     let trays = vec![TrayItem { weight: 1, ..tray(0, (4, 5, 3)) }];
///     let cover = vec![lies(0, 6, board), lies(5, 3, map)];
///     Instance { trays, cover, ..empty.clone() }.cost(&layout).access
/// };
/// assert_eq!((lifts(0, 1), lifts(1, 0)), (2, 1)); // the map on the board, or under it
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CoverPlace {
    /// Outline.
    pub rect: Rect,
    /// Level of the slab, from 0 at its underside. It lies over what it overlaps in lower levels.
    pub level: usize,
}

impl CoverPlace {
    /// Whether it must be lifted before another cover item.
    pub(crate) fn lies_over(&self, other: &CoverPlace) -> bool {
        self.level > other.level && self.rect.overlaps(&other.rect)
    }
}

/// How access is counted.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// // Beside each other, in two layers; a lift costs 5 and 7.
/// let layout = Layout { heights: vec![3, 3], trays: vec![at(0, 0), at(1, 4)], kept: vec![] };
/// let cost = |access| {
/// #   let item = |kind, weight| TrayItem { weight, ..tray(kind, (4, 5, 3)) };
///     let trays = vec![item(0, 5), item(1, 7)];
///     Instance { trays, access, ..empty.clone() }.cost(&layout).access
/// };
/// assert_eq!(cost(Access::Lifts), 0);
/// assert_eq!(cost(Access::LayerIndex), 7);
/// assert_eq!(cost(Access::LayersAbove), 5);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Weight × number of trays and cover items to be lifted first (transitively, outlines overlapping).
    Lifts,
    /// Weight × index of the tray's first layer, from 0. Layout cases count layers from the lid and are
    /// entered upside down, so that this is the depth below the lid.
    LayerIndex,
    /// Weight × number of layers above the tray: a stand-in for lifts that knows no outlines.
    LayersAbove,
}

/// One outer shape that a tray may take.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// let layer = |h| Layout { heights: vec![h], trays: vec![at(0, 0)], kept: vec![] };
/// assert_eq!(instance.feasible(&layer(3)), Ok(()));
/// assert_eq!(instance.feasible(&layer(2)), Err("tray 0: higher than its layers".into()));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Option3 {
    /// Outer width.
    pub w: i64,
    /// Outer depth.
    pub d: i64,
    /// Least outer height at which this outline holds everything.
    pub h: i64,
}

impl Option3 {
    /// The same, turned by 90°.
    ///
    /// ```
    /// # use traywright::layout::instance::Option3;
    /// let outline = Option3 { w: 4, d: 5, h: 3 };
    /// assert_eq!(outline.turned(), Option3 { w: 5, d: 4, h: 3 });
    /// assert_eq!(outline.turned().turned(), outline);
    /// ```
    #[must_use]
    pub fn turned(self) -> Option3 {
        Option3 { w: self.d, d: self.w, h: self.h }
    }
}

/// Where the maker fixes a body.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// // A tray in the second layer, whose bottom is at 2.
/// let layout = Layout { heights: vec![2, 3], trays: vec![at(1, 4)], kept: vec![] };
/// let stays = |held| {
///     let trays = vec![TrayItem { held, ..tray(0, (4, 5, 3)) }];
///     Instance { trays, ..empty.clone() }.feasible(&layout).is_ok()
/// };
/// assert!(stays(HeldAt::Free) && stays(HeldAt::Layer(1)) && stays(HeldAt::Point(4, 0, 2)));
/// assert!(!stays(HeldAt::Layer(2)) && !stays(HeldAt::Point(4, 0, 1)));
/// ```
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
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let place = TrayPlace { layer: 0, span: 2, option: 0, x: 0, y: 0 };
/// # let layout = Layout { heights: vec![3, 3], trays: vec![place], kept: vec![] };
/// // As high as two layers, so that it must be allowed to reach through both.
/// let reaching = |span| {
///     let trays = vec![TrayItem { span, ..tray(0, (4, 5, 6)) }];
///     Instance { trays, ..empty.clone() }.feasible(&layout)
/// };
/// assert_eq!(reaching(2), Ok(()));
/// assert_eq!(reaching(1), Err("tray 0: reaches out of its layers".into()));
/// ```
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
    /// Its outer height is that of its options, whatever its layers have: it carries only where they are as high as one of
    /// them.
    pub fixed: bool,
    /// Carries anywhere on its top (a lid), not on rims only.
    pub lid: bool,
    /// Where it must stay.
    pub held: HeldAt,
    /// Cost of one lift (or of one layer of depth), in cubed grid steps.
    pub weight: i64,
}

impl TrayItem {
    /// Whether it carries what stands over it, reaching through layers of this height together.
    pub(crate) fn carries(&self, room: i64) -> bool {
        !self.low && (!self.fixed || self.options.iter().any(|o| o.h == room))
    }
}

/// A kept item to be placed.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// let turns = vec![Option3 { w: 2, d: 2, h: 6 }, Option3 { w: 6, d: 2, h: 2 }];
/// let oar = KeptItem { name: "oar".into(), kind: 0, turns, held: HeldAt::Free };
/// let instance = Instance { kept: vec![oar], ..empty };
/// let claims = |turn| {
///     let kept = vec![KeptPlace { layer: 0, turn, x: 0, y: 0 }];
///     instance.cost(&Layout { heights: vec![3], trays: vec![], kept }).claimed
/// };
/// assert_eq!(claims(0), 2 * 2 * 6); // stands out of the layer, to its own top
/// assert_eq!(claims(1), 6 * 2 * 3); // to the top of the layer
/// ```
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
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// let trays = vec![TrayItem { span: 2, ..tray(0, (4, 5, 3)) }];
/// let instance = Instance { trays, ..empty };
/// let claims = |layer, span| {
///     let trays = vec![TrayPlace { layer, span, option: 0, x: 4, y: 0 }];
///     instance.cost(&Layout { heights: vec![2, 3], trays, kept: vec![] }).claimed
/// };
/// assert_eq!(claims(1, 1), 4 * 5 * 3); // the second layer alone
/// assert_eq!(claims(0, 2), 4 * 5 * (2 + 3));
/// ```
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
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// let turns = vec![Option3 { w: 2, d: 2, h: 6 }, Option3 { w: 6, d: 2, h: 2 }];
/// # let oar = KeptItem { name: "oar".into(), kind: 0, turns, held: HeldAt::Free };
/// # let instance = Instance { kept: vec![oar], ..empty };
/// // On the only layer, at 3 of 6, there is height for an oar lying down, not for it upright.
/// let standing = |layer, turn| {
///     let kept = vec![KeptPlace { layer, turn, x: 0, y: 0 }];
///     instance.feasible(&Layout { heights: vec![3], trays: vec![], kept })
/// };
/// assert_eq!(standing(1, 1), Ok(()));
/// assert_eq!(standing(1, 0), Err("oar: too high".into()));
/// ```
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
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
/// // Places in the order of the instance's trays, one for each.
/// let layout = |trays| Layout { heights: vec![3], trays, kept: vec![] };
/// assert_eq!(instance.feasible(&layout(vec![at(0, 4), at(0, 0)])), Ok(()));
/// let missing = instance.feasible(&layout(vec![at(0, 4)]));
/// assert_eq!(missing, Err("not every body is placed".into()));
/// ```
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
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// // A tray of 4 × 5 × 2 in the second of two layers that are 3 high.
/// let trays = vec![TrayItem { weight: 7, ..tray(0, (4, 5, 2)) }];
/// let instance = Instance { trays, access: Access::LayerIndex, ..empty };
/// let layout = Layout { heights: vec![3, 3], trays: vec![at(1, 0)], kept: vec![] };
/// assert_eq!(instance.cost(&layout), Cost { claimed: 4 * 5 * 3, access: 7 });
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cost {
    /// What trays and kept items claim: footprint × height up to the top of their layers.
    pub claimed: i64,
    /// Weighted lifts.
    pub access: i64,
}

impl Cost {
    /// The value to be minimised.
    ///
    /// ```
    /// # use traywright::layout::instance::Cost;
    /// assert_eq!(Cost { claimed: 60, access: 7 }.value(), 67);
    /// ```
    pub fn value(self) -> i64 {
        self.claimed + self.access
    }
}

impl Layout {
    /// z of the bottom of a layer (or of the top of all layers, for `layer == heights.len()`).
    ///
    /// ```
    /// # use traywright::layout::instance::Layout;
    /// let layout = Layout { heights: vec![3, 2], trays: vec![], kept: vec![] };
    /// assert_eq!([0, 1, 2].map(|l| layout.bottom(l)), [0, 3, 5]); // the last is the top of all
    /// ```
    pub fn bottom(&self, layer: usize) -> i64 {
        self.heights.iter().take(layer).sum()
    }
}

impl Instance {
    /// Outline of a tray as placed. Missing options have no extent (and are infeasible).
    pub(crate) fn tray_rect(&self, tray: usize, place: &TrayPlace) -> Rect {
        let o = self.trays[tray].options.get(place.option).copied().unwrap_or(Option3 { w: 0, d: 0, h: 0 });
        Rect { x: place.x, y: place.y, w: o.w, d: o.d }
    }

    /// Outline of a kept item as placed.
    pub(crate) fn kept_rect(&self, kept: usize, place: &KeptPlace) -> Rect {
        let o = self.kept[kept].turns.get(place.turn).copied().unwrap_or(Option3 { w: 0, d: 0, h: 0 });
        Rect { x: place.x, y: place.y, w: o.w, d: o.d }
    }

    /// First layer and the layer after the last that a kept item reaches into, and the top of its claim.
    ///
    /// An item taller than what its layers and those above add up to stands out of the top layer; its
    /// claim then ends at its own top.
    pub(crate) fn kept_reach(&self, heights: &[i64], layer: usize, height: i64) -> (usize, usize, i64) {
        let bottom: i64 = heights.iter().take(layer).sum();
        let (mut last, mut top) = (layer, bottom);
        while last < heights.len() && (top < bottom + height || last == layer) {
            top += heights[last];
            last += 1;
        }
        (layer, last, top.max(bottom + height))
    }

    /// The objective that every engine minimises.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
    /// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
    /// let trays = vec![at(0, 0), at(0, 4)];
    /// let high = |h| Layout { heights: vec![h], trays: trays.clone(), kept: vec![] };
    /// assert_eq!(instance.cost(&high(3)).value(), 2 * 4 * 5 * 3);
    /// assert_eq!(instance.cost(&high(4)).value(), 2 * 4 * 5 * 4); // with what is over them
    /// ```
    pub fn cost(&self, layout: &Layout) -> Cost {
        let mut claimed = 0;
        for (i, p) in layout.trays.iter().enumerate() {
            let r = self.tray_rect(i, p);
            claimed += r.w * r.d * layout.heights.iter().skip(p.layer).take(p.span).sum::<i64>();
        }
        for (k, p) in layout.kept.iter().enumerate() {
            let r = self.kept_rect(k, p);
            let h = self.kept[k].turns.get(p.turn).map_or(0, |o| o.h);
            let (_, _, top) = self.kept_reach(&layout.heights, p.layer, h);
            claimed += r.w * r.d * (top - layout.bottom(p.layer));
        }
        let access = match self.access {
            Access::LayerIndex => {
                layout.trays.iter().zip(&self.trays).map(|(p, t)| t.weight * p.layer as i64).sum()
            }
            Access::LayersAbove => {
                let above = |p: &TrayPlace| (layout.heights.len() - p.layer - p.span) as i64;
                layout.trays.iter().zip(&self.trays).map(|(p, t)| t.weight * above(p)).sum()
            }
            Access::Lifts => super::lifts::weighted(self, layout),
        };
        Cost { claimed, access }
    }

    /// Whether a layout keeps every rule but bearing; the error names the first rule broken.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
    /// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
    /// let beside = |x| Layout { heights: vec![3], trays: vec![at(0, 0), at(0, x)], kept: vec![] };
    /// assert_eq!(instance.feasible(&beside(4)), Ok(()));
    /// assert_eq!(instance.feasible(&beside(3)), Err("tray 1 and tray 0: too near".into()));
    /// assert_eq!(instance.feasible(&beside(5)), Err("tray 1: too near a side".into()));
    /// ```
    pub fn feasible(&self, layout: &Layout) -> Result<(), String> {
        let layers = layout.heights.len();
        if layers > self.most_layers || layout.heights.iter().sum::<i64>() > self.height {
            return Err("layers: too many or too high".into());
        }
        for (l, h) in layout.heights.iter().enumerate() {
            let (least, most) = self.height_rules.get(l).copied().unwrap_or((1, self.height));
            if *h < least || *h > most {
                return Err(format!("layer {l}: height {h} outside {least}..={most}"));
            }
        }
        if layout.trays.len() != self.trays.len() || layout.kept.len() != self.kept.len() {
            return Err("not every body is placed".into());
        }
        // (outline, first layer, layer after the last, is a tray)
        let mut bodies = Vec::with_capacity(layout.trays.len() + layout.kept.len());
        for (i, (p, t)) in layout.trays.iter().zip(&self.trays).enumerate() {
            let Some(o) = t.options.get(p.option) else { return Err(format!("{}: no such outline", t.name)) };
            if p.span == 0 || p.span > t.span || p.layer + p.span > layers {
                return Err(format!("{}: reaches out of its layers", t.name));
            }
            if o.h > layout.heights[p.layer..p.layer + p.span].iter().sum() {
                return Err(format!("{}: higher than its layers", t.name));
            }
            let r = self.tray_rect(i, p);
            let s = self.side;
            if r.x < s || r.y < s || r.x + r.w + s > self.width || r.y + r.d + s > self.depth {
                return Err(format!("{}: too near a side", t.name));
            }
            held(&t.name, t.held, p.layer, (p.x, p.y, layout.bottom(p.layer)))?;
            for (l, b) in &self.blocked {
                if (p.layer..p.layer + p.span).contains(l) && b.overlaps(&r) {
                    return Err(format!("{}: on a blocked place", t.name));
                }
            }
            bodies.push((&t.name, r, p.layer, p.layer + p.span, true));
        }
        for (k, (p, t)) in layout.kept.iter().zip(&self.kept).enumerate() {
            let Some(o) = t.turns.get(p.turn) else { return Err(format!("{}: no such turn", t.name)) };
            let bottom = layout.bottom(p.layer);
            if p.layer > layers || bottom + o.h > self.height {
                return Err(format!("{}: too high", t.name));
            }
            let r = self.kept_rect(k, p);
            if r.x < 0 || r.y < 0 || r.x + r.w > self.width || r.y + r.d > self.depth {
                return Err(format!("{}: out of the box", t.name));
            }
            held(&t.name, t.held, p.layer, (p.x, p.y, bottom))?;
            if p.layer == layers && matches!(t.held, HeldAt::Layer(_)) {
                return Err(format!("{}: held in a layer that is not there", t.name));
            }
            let (first, after, _) = self.kept_reach(&layout.heights, p.layer, o.h);
            // Above the top layer there may still be another kept item standing out.
            let after = if bottom + o.h > layout.bottom(layers) { usize::MAX } else { after };
            bodies.push((&t.name, r, first, after, false));
        }
        for (i, a) in bodies.iter().enumerate() {
            for b in &bodies[..i] {
                let gap = if a.4 || b.4 { self.between } else { 0 };
                if a.2 < b.3 && b.2 < a.3 && a.1.nearer(&b.1, gap) {
                    return Err(format!("{} and {}: too near", a.0, b.0));
                }
            }
        }
        Ok(())
    }
}

fn held(name: &str, held: HeldAt, layer: usize, at: (i64, i64, i64)) -> Result<(), String> {
    match held {
        HeldAt::Free => Ok(()),
        HeldAt::Layer(l) if l == layer => Ok(()),
        HeldAt::Point(x, y, z) if (x, y, z) == at => Ok(()),
        _ => Err(format!("{name}: not where it is held")),
    }
}

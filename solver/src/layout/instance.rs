//! The placement problem in whole grid steps: what every engine of this room works from.
//!
//! Engines are scored by one function, [`Instance::cost`]. Lengths, areas and volumes are `i64`
//! grid steps (squared, cubed); [`crate::job`] refuses boxes for which these could overflow.

use std::sync::Arc;

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
    pub cover: Vec<CoverPlace>,
    /// How access is counted.
    pub access: Access,
    /// Rectangles in which no tray may stand, by layer (layout cases only; empty for briefs).
    pub blocked: Vec<(usize, Rect)>,
    /// What the tops of trays bear on; `None` for plain layout cases, in which nothing need rest on anything.
    pub rims: Option<Rims>,
}

/// A tray as what stands on it sees it.
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
    #[must_use]
    pub fn turned(self) -> Option3 {
        Option3 { w: self.d, d: self.w, h: self.h }
    }
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

impl Layout {
    /// z of the bottom of a layer (or of the top of all layers, for `layer == heights.len()`).
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

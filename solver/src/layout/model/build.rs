//! Columns and rows of the model: choices, layer heights, and cuts by area and by width or depth.

use super::choices::{Body, Choice, Reach, bodies, choices};
use super::{
    Column, MOST_COLUMNS, Model, Parts, Row, Sense, TooLarge, candidate_heights, lifts, names, pairs,
};
use crate::layout::instance::{Access, HeldAt, Instance};
use crate::layout::pack::Rect;

/// A model under construction.
pub(super) struct Draft<'a> {
    pub instance: &'a Instance,
    pub bodies: Vec<Body<'a>>,
    /// Names of the bodies, then of the cover items, for columns and rows.
    pub names: Vec<String>,
    pub columns: Vec<Column>,
    pub rows: Vec<Row>,
    pub parts: Parts,
    /// Per body and layer: the columns that say how much of it stands there at which height.
    shares: Vec<Vec<Vec<Share>>>,
    /// One of a length, of a height, of the objective.
    pub length: f64,
    height: f64,
    pub volume: f64,
}

/// How much of a choice stands in a layer of a height.
#[derive(Clone, Copy)]
struct Share {
    height: i64,
    choice: Choice,
    column: usize,
}

/// The least that a scale may be, so that empty boxes divide by nothing wrong.
fn scale(v: i64) -> f64 {
    v.max(1) as f64
}

pub(super) fn build(instance: &Instance) -> Result<Model, TooLarge> {
    let candidates = candidate_heights(instance);
    let layers = instance.most_layers;
    let heights: Vec<Vec<i64>> = (0..layers)
        .map(|l| {
            let (least, most) = instance.height_rules.get(l).copied().unwrap_or((1, instance.height));
            candidates.heights.iter().copied().filter(|h| (least..=most).contains(h)).collect()
        })
        .collect();
    let bodies = bodies(instance);
    let every: Vec<Vec<Choice>> = bodies.iter().map(|b| choices(instance, b, &heights)).collect();
    let count = |c: &Choice| match c.reach {
        Reach::Layers(n) => 1 + heights[c.layer..c.layer + n].iter().map(Vec::len).sum::<usize>(),
        _ => 1,
    };
    let columns: usize = every.iter().flatten().map(count).sum();
    if columns + 6 * bodies.len() * bodies.len() > MOST_COLUMNS {
        return Err(TooLarge);
    }
    let cover_names: Vec<String> = (1..=instance.cover.len()).map(|c| format!("cover-{c}")).collect();
    let volume = scale(instance.width) * scale(instance.depth) * scale(instance.height);
    let mut draft = Draft {
        names: names::plain(bodies.iter().map(|b| b.name).chain(cover_names.iter().map(String::as_str))),
        shares: vec![vec![Vec::new(); layers]; bodies.len()],
        length: scale(instance.width.max(instance.depth)),
        height: scale(instance.height),
        volume,
        instance,
        bodies,
        columns: Vec::with_capacity(columns),
        rows: Vec::new(),
        parts: Parts::default(),
    };
    draft.layer_heights(&heights);
    for (b, choices) in every.iter().enumerate() {
        draft.body(b, choices);
    }
    draft.area_cuts();
    draft.length_cuts();
    pairs::add(&mut draft);
    pairs::alike(&mut draft);
    if instance.access == Access::Lifts {
        lifts::add(&mut draft);
    }
    Ok(Model {
        columns: draft.columns,
        rows: draft.rows,
        unit: volume as i64,
        complete: candidates.complete,
        parts: draft.parts,
    })
}

impl Draft<'_> {
    pub(super) fn binary(&mut self, name: String, cost: f64) -> usize {
        self.columns.push(Column { name, binary: true, least: 0.0, most: 1.0, cost });
        self.columns.len() - 1
    }

    pub(super) fn real(&mut self, name: String, (least, most): (f64, f64), cost: f64) -> usize {
        self.columns.push(Column { name, binary: false, least, most, cost });
        self.columns.len() - 1
    }

    pub(super) fn row(&mut self, name: String, terms: Vec<(usize, f64)>, sense: Sense, right: f64) {
        self.rows.push(Row { name, terms, sense, right });
    }

    pub(super) fn layers(&self) -> usize {
        self.parts.heights.len()
    }

    /// Σ of the columns of a body's choices that pass, each with this coefficient.
    pub(super) fn chosen(
        &self,
        body: usize,
        by: f64,
        pass: impl Fn(&Choice) -> bool,
    ) -> impl Iterator<Item = (usize, f64)> {
        self.parts.choices[body].iter().filter(move |(c, _)| pass(c)).map(move |(_, column)| (*column, by))
    }

    /// Σ of the columns of a body's choices that reach into a layer.
    pub(super) fn within(&self, body: usize, layer: usize, by: f64) -> impl Iterator<Item = (usize, f64)> {
        let layers = self.layers();
        self.chosen(body, by, move |c| c.layer <= layer && layer < c.after(layers))
    }

    /// Σ of width (or depth) over a body's choices.
    pub(super) fn extent(&self, body: usize, along_width: bool) -> impl Iterator<Item = (usize, f64)> {
        let length = self.length;
        self.parts.choices[body].iter().map(move |(c, column)| {
            (*column, (if along_width { c.size.w } else { c.size.d }) as f64 / length)
        })
    }

    /// Σ of heights of these layers, in parts of the box's height.
    fn sum(&self, layers: std::ops::Range<usize>, by: f64) -> impl Iterator<Item = (usize, f64)> {
        let scale = by / self.height;
        let some = self.parts.heights.iter().take(layers.end).skip(layers.start);
        some.flatten().map(move |(h, column)| (*column, *h as f64 * scale))
    }

    fn used(&self, layer: usize, by: f64) -> impl Iterator<Item = (usize, f64)> {
        self.parts.heights[layer].iter().map(move |(_, column)| (*column, by))
    }

    fn layer_heights(&mut self, heights: &[Vec<i64>]) {
        for (l, all) in heights.iter().enumerate() {
            let columns =
                all.iter().map(|&h| (h, self.binary(format!("height:L{}:{h}", l + 1), 0.0))).collect();
            self.parts.heights.push(columns);
        }
        for l in 0..heights.len() {
            let mut terms: Vec<_> = self.used(l, 1.0).collect();
            if l == 0 {
                self.row("one-height:L1".into(), terms, Sense::AtMost, 1.0);
            } else {
                // Layers are used from the floor up.
                terms.extend(self.used(l - 1, -1.0));
                self.row(format!("one-height:L{}", l + 1), terms, Sense::AtMost, 0.0);
            }
        }
        let all = self.sum(0..heights.len(), 1.0).collect();
        self.row("height-of-box".into(), all, Sense::AtMost, 1.0);
    }

    fn body(&mut self, b: usize, choices: &[Choice]) {
        let name = self.names[b].clone();
        let layers = self.layers();
        let mut chosen = Vec::with_capacity(choices.len());
        for c in choices {
            let o = c.size;
            let floor = o.w as f64 * o.d as f64 / self.volume;
            let penalty = match self.instance.access {
                Access::LayerIndex => self.bodies[b].weight as f64 * c.layer as f64 / self.volume,
                Access::Lifts | Access::LayersAbove => 0.0,
            };
            let shape = format!("{}x{}x{}", o.w, o.d, o.h);
            let l = c.layer + 1;
            let column = match c.reach {
                Reach::One(h) => {
                    let cost = floor * h as f64 + penalty;
                    let column = self.binary(format!("put:{name}:L{l}:{shape}:h{h}"), cost);
                    self.shares[b][c.layer].push(Share { height: h, choice: *c, column });
                    column
                }
                Reach::Layers(n) => {
                    let at = format!("{name}:L{l}-{}:{shape}", c.layer + n);
                    let column = self.binary(format!("put:{at}"), penalty);
                    self.span(b, c, n, column, &at, floor);
                    column
                }
                Reach::Out => {
                    let cost = floor * o.h as f64;
                    let column = self.binary(format!("put:{name}:L{l}-out:{shape}"), cost);
                    self.stand_out(c, column, &format!("{name}:L{l}:{shape}"), self.bodies[b].held);
                    column
                }
            };
            chosen.push((*c, column));
        }
        let terms = chosen.iter().map(|(_, column)| (*column, 1.0)).collect();
        self.row(format!("one-choice:{name}"), terms, Sense::Equal, 1.0);
        self.parts.choices.push(chosen);
        for l in 0..layers {
            for (h, column) in self.parts.heights[l].clone() {
                let mut terms: Vec<_> =
                    self.shares[b][l].iter().filter(|s| s.height == h).map(|s| (s.column, 1.0)).collect();
                if !terms.is_empty() {
                    terms.push((column, -1.0));
                    self.row(format!("in-height:{name}:L{}:{h}", l + 1), terms, Sense::AtMost, 0.0);
                }
            }
        }
        self.corner(b, &name);
    }

    /// A choice that reaches through several layers: its share in each at each height, and their sum.
    fn span(&mut self, b: usize, c: &Choice, n: usize, column: usize, at: &str, floor: f64) {
        let mut sum = vec![(column, -(c.size.h as f64) / self.height)];
        for m in c.layer..c.layer + n {
            let mut one = vec![(column, -1.0)];
            for (h, _) in self.parts.heights[m].clone() {
                let name = format!("share:{at}:at:L{}:{h}", m + 1);
                let share = self.real(name, (0.0, 1.0), floor * h as f64);
                one.push((share, 1.0));
                sum.push((share, h as f64 / self.height));
                self.shares[b][m].push(Share { height: h, choice: *c, column: share });
            }
            self.row(format!("whole:{at}:L{}", m + 1), one, Sense::Equal, 0.0);
        }
        self.row(format!("high-enough:{at}"), sum, Sense::AtLeast, 0.0);
    }

    /// A kept item that stands out of the top: nothing above its layer is higher, it ends in the box, and it stands
    /// on a layer that is used.
    fn stand_out(&mut self, c: &Choice, column: usize, at: &str, held: HeldAt) {
        let (layers, h) = (self.layers(), c.size.h as f64 / self.height);
        let mut top: Vec<_> = self.sum(c.layer..layers, 1.0).collect();
        if !top.is_empty() {
            top.push((column, 1.0 - h));
            self.row(format!("not-above:{at}"), top, Sense::AtMost, 1.0);
        }
        if c.layer > 0 {
            let mut lid: Vec<_> = self.sum(0..c.layer, 1.0).collect();
            lid.push((column, h));
            self.row(format!("under-lid:{at}"), lid, Sense::AtMost, 1.0);
        }
        // Where it is held in a layer, that one must be there; else it may stand on the last one.
        let floor = if matches!(held, HeldAt::Layer(_)) { Some(c.layer) } else { c.layer.checked_sub(1) };
        if let Some(floor) = floor {
            let mut on: Vec<_> = self.used(floor, -1.0).collect();
            on.push((column, 1.0));
            self.row(format!("on-layer:{at}"), on, Sense::AtMost, 0.0);
        }
    }

    /// Position of a body, within the sides, and where it is held.
    fn corner(&mut self, b: usize, name: &str) {
        let i = self.instance;
        let (side, held) = (self.bodies[b].side, self.bodies[b].held);
        let mut columns = [0; 2];
        for (k, (axis, whole)) in [("x", i.width), ("y", i.depth)].into_iter().enumerate() {
            let (least, most) = match held {
                HeldAt::Point(x, y, _) => [(x, x), (y, y)][k],
                _ => (side, (whole - side).max(side)),
            };
            let bounds = (least as f64 / self.length, most as f64 / self.length);
            columns[k] = self.real(format!("{axis}:{name}"), bounds, 0.0);
            let mut end: Vec<_> = self.extent(b, k == 0).collect();
            end.push((columns[k], 1.0));
            self.row(
                format!("inside-{axis}:{name}"),
                end,
                Sense::AtMost,
                (whole - side) as f64 / self.length,
            );
        }
        self.parts.corners.push((columns[0], columns[1]));
        let HeldAt::Point(_, _, z) = held else { return };
        for l in 1..=self.layers() {
            let chosen: Vec<_> = self.chosen(b, 1.0, |c| c.layer == l).collect();
            if chosen.is_empty() {
                continue;
            }
            // bottom ≥ z where chosen, and bottom ≤ z where chosen, else ≤ the box's height.
            let z = z as f64 / self.height;
            let with = |by: f64| chosen.iter().map(move |(column, _)| (*column, by));
            let low = self.sum(0..l, 1.0).chain(with(-z)).collect();
            self.row(format!("held-low:{name}:L{}", l + 1), low, Sense::AtLeast, 0.0);
            let high = self.sum(0..l, 1.0).chain(with(1.0 - z)).collect();
            self.row(format!("held-high:{name}:L{}", l + 1), high, Sense::AtMost, 1.0);
        }
    }

    /// A common room for all bodies when trays are thought wider and deeper by their play on one side.
    ///
    /// Trays alone keep off the sides; kept items may touch them.
    fn room(&self) -> (i64, i64) {
        let i = self.instance;
        let more = if i.kept.is_empty() { i.between - 2 * i.side } else { (i.between - i.side).max(0) };
        ((i.width + more).max(0), (i.depth + more).max(0))
    }

    fn with_play(&self, b: usize, c: &Choice) -> (i64, i64) {
        let play = if self.bodies[b].kept { 0 } else { self.instance.between };
        (c.size.w + play, c.size.d + play)
    }

    /// In a layer of a height, bodies take no more area than there is.
    fn area_cuts(&mut self) {
        let (w, d) = self.room();
        let whole = w * d;
        for l in 0..self.layers() {
            let room = (whole - self.blocked_area(l)).max(0) as f64 / scale(whole);
            let mut all: Vec<(usize, f64)> = Vec::new();
            for (h, column) in self.parts.heights[l].clone() {
                let mut terms = Vec::new();
                for b in 0..self.bodies.len() {
                    let here = self.shares[b][l].iter().filter(|s| s.height == h);
                    terms.extend(here.map(|s| {
                        let (w, d) = self.with_play(b, &s.choice);
                        (s.column, (w * d) as f64 / scale(whole))
                    }));
                }
                all.extend(&terms);
                if !terms.is_empty() {
                    terms.push((column, -room));
                    self.row(format!("area:L{}:{h}", l + 1), terms, Sense::AtMost, 0.0);
                }
            }
            let before = all.len();
            for b in 0..self.bodies.len() {
                let out = self.parts.choices[b].iter();
                all.extend(
                    out.filter(|(c, _)| c.reach == Reach::Out && c.layer <= l)
                        .map(|(c, column)| (*column, (c.size.w * c.size.d) as f64 / scale(whole))),
                );
            }
            if all.len() > before {
                self.row(format!("area:L{}", l + 1), all, Sense::AtMost, room);
            }
        }
    }

    /// Area lost to blocked places: a tray's play may lie over them, and ones that overlap count once at most.
    fn blocked_area(&self, layer: usize) -> i64 {
        let i = self.instance;
        if !i.kept.is_empty() {
            return 0;
        }
        let here: Vec<Rect> = i.blocked.iter().filter(|(l, _)| *l == layer).map(|(_, r)| *r).collect();
        let inner = |at: i64, size: i64, whole: i64| {
            ((at + size).min(whole - i.side) - (at + i.between).max(i.side + i.between)).max(0)
        };
        here.iter()
            .enumerate()
            .filter(|(k, r)| !here[..*k].iter().any(|o| o.overlaps(r)))
            .map(|(_, r)| inner(r.x, r.w, i.width) * inner(r.y, r.d, i.depth))
            .sum()
    }

    /// Bodies deeper than half the room cannot stand one behind the other: their widths add up. And turned.
    fn length_cuts(&mut self) {
        let (w, d) = self.room();
        for l in 0..self.layers() {
            for (axis, whole, across) in [("width", w, d), ("depth", d, w)] {
                let mut terms = Vec::new();
                for b in 0..self.bodies.len() {
                    let layers = self.layers();
                    for (c, column) in &self.parts.choices[b] {
                        let (cw, cd) = self.with_play(b, c);
                        let (along, other) = if axis == "width" { (cw, cd) } else { (cd, cw) };
                        if c.layer <= l && l < c.after(layers) && 2 * other > across {
                            terms.push((*column, along as f64 / scale(whole)));
                        }
                    }
                }
                if !terms.is_empty() {
                    self.row(format!("{axis}:L{}", l + 1), terms, Sense::AtMost, 1.0);
                }
            }
        }
    }
}

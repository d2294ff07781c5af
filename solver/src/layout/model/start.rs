//! From a layout to values of the model's whole choices (to start from), and back.

use super::choices::{Choice, Reach};
use super::pairs::{fixed, interchangeable, lifts_count};
use super::{Model, Side, Thing};
use crate::layout::instance::{HeldAt, Instance, KeptPlace, Layout, TrayPlace};
use crate::layout::pack::Rect;
use crate::layout::settle::{Chain, Link, Order};

/// A value above this counts as chosen.
const CHOSEN: f64 = 0.5;

/// Where one body stands.
#[derive(Clone, Copy)]
struct Stand {
    rect: Rect,
    first: usize,
    after: usize,
    height: Option<i64>,
}

impl Model {
    /// Values of the binary columns for a layout; `None` where the model does not know one of its choices.
    pub(super) fn values(&self, instance: &Instance, layout: &Layout) -> Option<Vec<(usize, f64)>> {
        let mut chosen = Vec::new();
        for (l, h) in layout.heights.iter().enumerate() {
            chosen.push(self.parts.heights.get(l)?.iter().find(|(c, _)| c == h)?.1);
        }
        let layers = self.parts.heights.len();
        let mut stands = stands(instance, layout, layers);
        // Bodies that can stand for each other go in the order that the model asks for.
        for b in 0..stands.len() {
            for a in (0..b).filter(|&a| interchangeable(instance, a, b)) {
                let key = |s: &Stand| (s.first, s.rect.x, s.rect.y);
                if key(&stands[b]) < key(&stands[a]) {
                    stands.swap(a, b);
                }
            }
        }
        for (choices, s) in self.parts.choices.iter().zip(&mut stands) {
            let inside = |c: &Choice| {
                c.layer == s.first
                    && c.after(layers) == s.after
                    && c.size.w <= s.rect.w
                    && c.size.d <= s.rect.d
                    && match c.reach {
                        Reach::One(h) => s.height == Some(h),
                        Reach::Layers(_) | Reach::Out => true,
                    }
            };
            let best = choices.iter().filter(|(c, _)| inside(c)).min_by_key(|(c, column)| {
                // The outline nearest to the one it stands for comes first.
                (s.rect.w - c.size.w + s.rect.d - c.size.d, c.size.h, *column)
            });
            let (choice, column) = best?;
            (s.rect.w, s.rect.d) = (choice.size.w, choice.size.d);
            chosen.push(*column);
        }
        // Where only layers matter, the model asks every side for the play, whether two bodies meet or not.
        let across = lifts_count(instance);
        let body_play = |a: usize, b: usize| {
            let kept = a >= instance.trays.len() && b >= instance.trays.len();
            let meet = stands[a].first < stands[b].after && stands[b].first < stands[a].after;
            if kept || (across && !meet) { 0 } else { instance.between }
        };
        for side in &self.parts.sides {
            let rect = |t: Thing| match t {
                Thing::Body(b) => stands.get(b).map(|s| s.rect),
                _ => fixed(instance, t),
            };
            let (f, s) = (rect(side.first)?, rect(side.second)?);
            let play = match (side.first, side.second) {
                (Thing::Body(a), Thing::Body(b)) => body_play(a, b),
                _ => 0,
            };
            let beside = if side.along_width { f.x + f.w + play <= s.x } else { f.y + f.d + play <= s.y };
            if beside && self.columns.get(side.column)?.most > CHOSEN {
                chosen.push(side.column);
            }
        }
        let mut values: Vec<(usize, f64)> = Vec::new();
        let mut taken = vec![false; self.columns.len()];
        chosen.iter().for_each(|&c| taken[c] = true);
        for (c, column) in self.columns.iter().enumerate().filter(|(_, column)| column.binary) {
            values.push((c, if taken[c] { column.most } else { 0.0 }));
        }
        Some(values)
    }

    /// The layout that the whole choices among these values describe, its positions worked out anew in whole
    /// steps; `None` where they contradict each other. Whether it is feasible is another question.
    pub(super) fn layout(&self, instance: &Instance, values: &[f64]) -> Option<Layout> {
        let is = |column: usize| values.get(column).is_some_and(|v| *v > CHOSEN);
        let mut heights = Vec::new();
        for all in &self.parts.heights {
            match all.iter().find(|(_, column)| is(*column)) {
                Some((h, _)) => heights.push(*h),
                None => break,
            }
        }
        let mut choices: Vec<Choice> = Vec::new();
        for all in &self.parts.choices {
            choices.push(all.iter().find(|(_, column)| is(*column))?.0);
        }
        let x = self.places(instance, &choices, true, &is)?;
        let y = self.places(instance, &choices, false, &is)?;
        let n = instance.trays.len();
        let place = |b: usize| (choices[b], x[b], y[b]);
        let trays = (0..n).map(place).map(|(c, x, y)| {
            let span = c.after(0) - c.layer;
            TrayPlace { layer: c.layer, span, option: c.shape, x, y }
        });
        let kept = (n..choices.len()).map(place);
        Some(Layout {
            heights,
            trays: trays.collect(),
            kept: kept.map(|(c, x, y)| KeptPlace { layer: c.layer, turn: c.shape, x, y }).collect(),
        })
    }

    fn places(
        &self,
        instance: &Instance,
        choices: &[Choice],
        along_width: bool,
        is: &dyn Fn(usize) -> bool,
    ) -> Option<Vec<i64>> {
        let whole = if along_width { instance.width } else { instance.depth };
        let nt = instance.trays.len();
        let mut links = Vec::new();
        let mut sizes = Vec::new();
        for (b, c) in choices.iter().enumerate() {
            let held = match instance.trays.get(b) {
                Some(t) => t.held,
                None => instance.kept.get(b - nt)?.held,
            };
            let fixed = match held {
                HeldAt::Point(x, y, _) => Some(if along_width { x } else { y }),
                _ => None,
            };
            let side = if b < nt { instance.side } else { 0 };
            links.push(Link { least: side, most: whole - side, fixed });
            sizes.push(if along_width { c.size.w } else { c.size.d });
        }
        // Cover items and blocked places follow the bodies.
        let first_cover = links.len();
        for r in instance.cover.iter().map(|c| c.rect).chain(instance.blocked.iter().map(|(_, r)| *r)) {
            let (at, size) = if along_width { (r.x, r.w) } else { (r.y, r.d) };
            links.push(Link { least: at, most: i64::MAX, fixed: Some(at) });
            sizes.push(size);
        }
        let index = |t: Thing| match t {
            Thing::Body(b) => b,
            Thing::Cover(c) => first_cover + c,
            Thing::Blocked(k) => first_cover + instance.cover.len() + k,
        };
        let layers = self.parts.heights.len();
        let order = |s: &Side| {
            let gap = match (s.first, s.second) {
                (Thing::Body(a), Thing::Body(b)) if a < nt || b < nt => {
                    let (p, q) = (choices.get(a)?, choices.get(b)?);
                    let meet = p.layer < q.after(layers) && q.layer < p.after(layers);
                    if meet { instance.between } else { 0 }
                }
                _ => 0,
            };
            Some(Order { first: index(s.first), second: index(s.second), gap })
        };
        let orders: Option<Vec<Order>> = self
            .parts
            .sides
            .iter()
            .filter(|s| s.along_width == along_width && is(s.column))
            .map(order)
            .collect();
        Chain::new(links, &orders?)?.earliest(&sizes)
    }
}

fn stands(instance: &Instance, layout: &Layout, layers: usize) -> Vec<Stand> {
    let trays = layout.trays.iter().enumerate().map(|(i, p)| Stand {
        rect: instance.tray_rect(i, p),
        first: p.layer,
        after: p.layer + p.span,
        height: layout.heights.get(p.layer).copied(),
    });
    let kept = layout.kept.iter().enumerate().map(|(k, p)| {
        let h = instance.kept[k].turns.get(p.turn).map_or(0, |o| o.h);
        let (first, after, _) = instance.kept_reach(&layout.heights, p.layer, h);
        let out = layout.bottom(p.layer) + h > layout.bottom(layout.heights.len());
        let after = if out { layers + 1 } else { after };
        Stand { rect: instance.kept_rect(k, p), first, after, height: layout.heights.get(p.layer).copied() }
    });
    trays.chain(kept).collect()
}

//! Settling: spare room shared out, so that trays fill their layer and rattle as little as they can.
//!
//! The relative order of the tight layout stays: of each pair of bodies that share a layer, one separating axis is
//! kept, the one with more clear distance beyond the play (the width where equal). Along that order the trays
//! grow by progressive filling, first in width, then in depth, then layers in height. Whole grid steps
//! throughout: the order makes every question "do these sizes fit?" a longest path, and the common level is found
//! by bisection. The same could be written as linear programs; they would have to be rounded and repaired,
//! would be slower, and ties would fall as the solver pleases.

mod chain;
mod fill;
#[cfg(test)]
mod tests;

use super::instance::{HeldAt, Instance, Layout};
use super::lifts;
use super::pack::Rect;
pub(crate) use chain::{Chain, Link, Order};
use fill::fill;

/// Share of a tray for which none is given, in thousandths.
const USUAL_SHARE: i64 = 1000;

/// What a maker wants of settling. Lists that are too short count as filled up with the usual values.
#[derive(Clone, Debug)]
pub(crate) struct SettleWishes {
    /// Per tray, its share of spare room in thousandths; usual 1000. A tray with 0 keeps its size.
    pub share: Vec<i64>,
    /// Most outer footprints, in grid steps, of which a tray must lie within one; `None` where nothing but the box limits it.
    pub most: Option<Vec<(i64, i64)>>,
    /// Per tray, whether it keeps its footprint; usual `false`.
    pub fixed: Vec<bool>,
    /// Per body, trays first, then kept items: whether its least corner stays where it is; usual `false`.
    pub stay: Vec<bool>,
    /// Height available for layers, in grid steps; never more than [`Instance::height`] is used.
    pub height_room: i64,
    /// Per layer, whether it keeps its height (see [`borne_layers`]); usual `false`.
    pub no_grow: Vec<bool>,
    /// Grow nothing; push everything to the left and to the front, so that spare room is in one piece.
    pub one_piece: bool,
    /// Pairs of bodies in different layers whose outlines must stay apart, so that no lift is added
    /// (see [`apart`]): trays first, then kept items, then cover items. Pairs that overlap already are passed over.
    pub keep_apart: Vec<(usize, usize)>,
}

impl SettleWishes {
    /// Equal shares, no limits but the box.
    pub(crate) fn usual(instance: &Instance) -> SettleWishes {
        SettleWishes {
            share: Vec::new(),
            most: None,
            fixed: Vec::new(),
            stay: Vec::new(),
            height_room: instance.height,
            no_grow: Vec::new(),
            one_piece: false,
            keep_apart: Vec::new(),
        }
    }
}

/// Outline of a settled tray, in grid steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct SettledTray {
    /// Left edge.
    pub x: i64,
    /// Front edge.
    pub y: i64,
    /// Outer width, at least that of its option.
    pub w: i64,
    /// Outer depth, at least that of its option.
    pub d: i64,
}

/// A settled layout; layers, spans and turns are those of the tight one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Settled {
    /// Outer heights of the layers from the floor up.
    pub heights: Vec<i64>,
    /// In the order of [`Instance::trays`].
    pub trays: Vec<SettledTray>,
    /// Least corners in the order of [`Instance::kept`].
    pub kept: Vec<(i64, i64)>,
}

/// Two bodies that must keep apart by at least `gap` in one direction.
#[derive(Clone, Copy)]
struct Pair {
    a: usize,
    b: usize,
    gap: i64,
}

/// Everything along which bodies are ordered: trays, kept items, cover items, blocked places.
struct Scene<'a> {
    instance: &'a Instance,
    rects: Vec<Rect>,
    stays: Vec<bool>,
    pairs: Vec<Pair>,
}

/// Shares spare room out (or gathers it).
///
/// Where [`Instance::feasible`] holds for the layout, the result keeps every rule too: plays, sides, held bodies,
/// blocked places, height rules; nothing shrinks. A layout that is not feasible comes back as it is. Bearing is not
/// looked at: a caller who needs it checks the result and repeats with `stay` for the bodies concerned.
///
/// Trays held at a point keep their least corner and grow away from it; bodies with leftover play stand in its
/// middle; kept items that carry something stay (in instances with bearing).
pub(crate) fn settle(instance: &Instance, layout: &Layout, wishes: &SettleWishes) -> Settled {
    let as_is = || Settled {
        heights: layout.heights.clone(),
        trays: tray_rects(instance, layout).map(|r| SettledTray { x: r.x, y: r.y, w: r.w, d: r.d }).collect(),
        kept: layout.kept.iter().map(|k| (k.x, k.y)).collect(),
    };
    if instance.feasible(layout).is_err() {
        return as_is();
    }
    let mut scene = Scene::new(instance, layout, wishes);
    let heights = if wishes.one_piece {
        scene.gather();
        layout.heights.clone()
    } else if scene.share_out(wishes).is_some() {
        heights(instance, layout, wishes)
    } else {
        return as_is();
    };
    let (trays, rest) = scene.rects.split_at(layout.trays.len());
    Settled {
        heights,
        trays: trays.iter().map(|r| SettledTray { x: r.x, y: r.y, w: r.w, d: r.d }).collect(),
        kept: rest.iter().take(layout.kept.len()).map(|r| (r.x, r.y)).collect(),
    }
}

fn tray_rects<'a>(instance: &'a Instance, layout: &'a Layout) -> impl Iterator<Item = Rect> + 'a {
    // Layouts with too many trays are infeasible; what the instance does not know has no outline.
    layout.trays.iter().take(instance.trays.len()).enumerate().map(|(i, p)| instance.tray_rect(i, p))
}

impl<'a> Scene<'a> {
    fn new(instance: &'a Instance, layout: &Layout, wishes: &SettleWishes) -> Scene<'a> {
        let (nt, nk) = (layout.trays.len(), layout.kept.len());
        let mut rects: Vec<Rect> = tray_rects(instance, layout).collect();
        let mut reach: Vec<(usize, usize)> =
            layout.trays.iter().map(|p| (p.layer, p.layer + p.span)).collect();
        for (k, p) in layout.kept.iter().enumerate() {
            rects.push(instance.kept_rect(k, p));
            reach.push(kept_layers(instance, layout, k));
        }
        let mut pairs = Vec::new();
        for b in 0..rects.len() {
            for a in 0..b {
                if reach[a].0 < reach[b].1 && reach[b].0 < reach[a].1 {
                    let gap = if a < nt || b < nt { instance.between } else { 0 };
                    pairs.push(Pair { a, b, gap });
                }
            }
        }
        let pointed = |h: HeldAt| matches!(h, HeldAt::Point(..));
        let mut stays: Vec<bool> = instance.trays.iter().map(|t| pointed(t.held)).collect();
        let carries = carrying(instance, layout);
        stays.extend(
            instance.kept.iter().zip(carries).map(|(k, c)| pointed(k.held) || (c && instance.rims.is_some())),
        );
        for (s, wish) in stays.iter_mut().zip(&wishes.stay) {
            *s |= wish;
        }
        rects.extend(instance.cover.iter().map(|c| c.rect));
        let bodies = rects.len();
        for (layer, blocked) in &instance.blocked {
            let b = rects.len();
            rects.push(*blocked);
            let here = (0..nt).filter(|&a| (reach[a].0..reach[a].1).contains(layer));
            pairs.extend(here.map(|a| Pair { a, b, gap: 0 }));
        }
        for &(a, b) in &wishes.keep_apart {
            if a != b && a < bodies && b < bodies && !rects[a].overlaps(&rects[b]) {
                pairs.push(Pair { a, b, gap: 0 });
            }
        }
        stays.truncate(nt + nk);
        stays.resize(rects.len(), true);
        Scene { instance, rects, stays, pairs }
    }

    fn extent(&self, along: Axis) -> Vec<(i64, i64)> {
        self.rects.iter().map(|r| along.of(r)).collect()
    }

    /// Clear distance of a pair beyond its play, and whether `a` comes first.
    fn apart(&self, p: &Pair, along: Axis) -> (i64, bool) {
        let ((a, la), (b, lb)) = (along.of(&self.rects[p.a]), along.of(&self.rects[p.b]));
        let (ab, ba) = (b - a - la - p.gap, a - b - lb - p.gap);
        (ab.max(ba), ab >= ba)
    }

    fn chain(&self, along: Axis, bodies: usize, pairs: &[Pair]) -> Option<Chain> {
        let (i, nt) = (self.instance, self.instance.trays.len());
        let whole = if along == Axis::X { i.width } else { i.depth };
        let links = (0..bodies)
            .map(|b| {
                let at = along.of(&self.rects[b]).0;
                let fixed = self.stays[b].then_some(at);
                if b < nt {
                    Link { least: i.side, most: whole - i.side, fixed }
                } else if b < nt + i.kept.len() {
                    Link { least: 0, most: whole, fixed }
                } else {
                    // Cover items and blocked places are where they are, whatever the sides say.
                    Link { least: at, most: i64::MAX, fixed }
                }
            })
            .collect();
        let orders: Vec<Order> = pairs
            .iter()
            .map(|p| {
                let (first, second) = if self.apart(p, along).1 { (p.a, p.b) } else { (p.b, p.a) };
                Order { first, second, gap: p.gap }
            })
            .collect();
        Chain::new(links, &orders)
    }

    fn share_out(&mut self, wishes: &SettleWishes) -> Option<()> {
        let nt = self.instance.trays.len();
        let (by_x, by_y): (Vec<Pair>, Vec<Pair>) =
            self.pairs.iter().partition(|p| self.apart(p, Axis::X).0 >= self.apart(p, Axis::Y).0);
        for (along, pairs) in [(Axis::X, by_x), (Axis::Y, by_y)] {
            let chain = self.chain(along, self.rects.len(), &pairs)?;
            let sizes: Vec<i64> = self.extent(along).iter().map(|e| e.1).collect();
            let shares: Vec<i64> = (0..nt)
                .map(|t| match wishes.fixed.get(t) {
                    Some(true) => 0,
                    _ => wishes.share.get(t).copied().unwrap_or(USUAL_SHARE),
                })
                .collect();
            let caps: Vec<i64> =
                self.rects[..nt].iter().map(|r| along.cap(r, wishes.most.as_deref())).collect();
            let grown = |growth: &[i64]| {
                let mut next = sizes.clone();
                next.iter_mut().zip(growth).for_each(|(s, g)| *s += g);
                next
            };
            let fits = |growth: &[i64]| {
                let next = grown(growth);
                next.iter().zip(&caps).all(|(s, c)| s <= c) && chain.earliest(&next).is_some()
            };
            let whole = self.instance.width.max(self.instance.depth);
            let sizes = grown(&fill(&shares, whole, &fits));
            let (early, late) = (chain.earliest(&sizes)?, chain.latest(&sizes)?);
            for (r, ((e, l), s)) in self.rects.iter_mut().zip(early.iter().zip(&late).zip(&sizes)) {
                // The middle of two places that keep every order keeps it too, rounded down as well.
                along.set(r, (e + l).div_euclid(2), *s);
            }
        }
        Some(())
    }

    /// Slides everything left, then to the front, until nothing moves.
    fn gather(&mut self) {
        loop {
            let before = self.rects.clone();
            for (along, across) in [(Axis::X, Axis::Y), (Axis::Y, Axis::X)] {
                let facing: Vec<Pair> =
                    self.pairs.iter().filter(|p| self.apart(p, across).0 < 0).copied().collect();
                let sizes: Vec<i64> = self.extent(along).iter().map(|e| e.1).collect();
                let at = self.chain(along, self.rects.len(), &facing).and_then(|c| c.earliest(&sizes));
                let Some(at) = at else { return };
                self.rects.iter_mut().zip(at.iter().zip(&sizes)).for_each(|(r, (a, s))| along.set(r, *a, *s));
            }
            if self.rects == before {
                return;
            }
        }
    }
}

/// Width or depth.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Axis {
    X,
    Y,
}

impl Axis {
    fn of(self, r: &Rect) -> (i64, i64) {
        if self == Axis::X { (r.x, r.w) } else { (r.y, r.d) }
    }

    fn set(self, r: &mut Rect, at: i64, size: i64) {
        if self == Axis::X {
            (r.x, r.w) = (at, size);
        } else {
            (r.y, r.d) = (at, size);
        }
    }

    /// The greatest size of a tray along this axis while the other stays, within one of these footprints.
    fn cap(self, r: &Rect, most: Option<&[(i64, i64)]>) -> i64 {
        let along = |(w, d)| if self == Axis::X { (w, d) } else { (d, w) };
        let (here, across) = along((r.w, r.d));
        let Some(most) = most else { return i64::MAX };
        most.iter().map(|m| along(*m)).filter(|m| across <= m.1).map(|m| m.0).fold(here, i64::max)
    }
}

/// First layer and the layer after the last that a kept item reaches into; one that stands out of the top
/// layer has no last.
fn kept_layers(instance: &Instance, layout: &Layout, k: usize) -> (usize, usize) {
    let Some(p) = layout.kept.get(k) else { return (0, 0) };
    let h = instance.kept[k].turns.get(p.turn).map_or(0, |o| o.h);
    let (first, after, _) = instance.kept_reach(&layout.heights, p.layer, h);
    let out = layout.bottom(p.layer) + h > layout.bottom(layout.heights.len());
    (first, if out { usize::MAX } else { after })
}

/// Per kept item, whether something stands at the height of its top over its outline.
fn carrying(instance: &Instance, layout: &Layout) -> Vec<bool> {
    let seen = lifts::seen(instance, layout);
    let (nt, nk) = (layout.trays.len(), layout.kept.len());
    let carries =
        |s: &lifts::Seen| seen.iter().take(nt + nk).any(|o| o.bottom == s.top && o.rect.overlaps(&s.rect));
    seen.iter().skip(nt).take(nk).map(carries).collect()
}

/// Per layer, whether a kept item beside its trays carries what stands above: such a layer must not grow, or
/// the body above would no longer rest on the kept item. For [`SettleWishes::no_grow`].
pub(crate) fn borne_layers(instance: &Instance, layout: &Layout) -> Vec<bool> {
    let mut borne = vec![false; layout.heights.len()];
    if instance.feasible(layout).is_err() {
        return borne;
    }
    for (k, carries) in carrying(instance, layout).into_iter().enumerate() {
        if carries {
            let (first, after) = kept_layers(instance, layout, k);
            borne.iter_mut().take(after).skip(first).for_each(|b| *b = true);
        }
    }
    borne
}

/// The pairs of bodies of which the second lies higher without being a lift of the first, and would
/// add a weighted one if their outlines came to overlap. For [`SettleWishes::keep_apart`].
pub(crate) fn apart(instance: &Instance, layout: &Layout) -> Vec<(usize, usize)> {
    let seen = lifts::seen(instance, layout);
    let above = lifts::above(&seen);
    let weighs = |i: usize| instance.trays.get(i).is_some_and(|t| t.weight > 0);
    let counts: Vec<bool> = (0..seen.len())
        .map(|i| weighs(i) || above.iter().enumerate().any(|(j, a)| weighs(j) && a.contains(&i)))
        .collect();
    let mut pairs = Vec::new();
    for (i, a) in seen.iter().enumerate().filter(|(i, _)| counts[*i]) {
        let higher = seen.iter().enumerate().filter(|(j, b)| *j != i && b.bottom >= a.top);
        pairs.extend(higher.filter(|(j, _)| !above[i].contains(j)).map(|(j, _)| (i, j)));
    }
    pairs
}

/// Layer heights after sharing out what is left of the height.
fn heights(instance: &Instance, layout: &Layout, wishes: &SettleWishes) -> Vec<i64> {
    let sum: i64 = layout.heights.iter().sum();
    let room = wishes.height_room.min(instance.height).max(sum);
    // What is held at a point keeps its bottom.
    let held = |h: HeldAt, layer: usize| if matches!(h, HeldAt::Point(..)) { layer } else { 0 };
    let trays = instance.trays.iter().zip(&layout.trays).map(|(t, p)| held(t.held, p.layer));
    let kept = instance.kept.iter().zip(&layout.kept).map(|(t, p)| held(t.held, p.layer));
    let below = trays.chain(kept).max().unwrap_or(0);
    let shares: Vec<i64> = (0..layout.heights.len())
        .map(|l| if l < below || wishes.no_grow.get(l).copied().unwrap_or(false) { 0 } else { USUAL_SHARE })
        .collect();
    let grown = |growth: &[i64]| layout.heights.iter().zip(growth).map(|(h, g)| h + g).collect::<Vec<i64>>();
    let fits = |growth: &[i64]| {
        let next = grown(growth);
        let rules = next.iter().zip(&instance.height_rules).all(|(h, r)| *h <= r.1);
        let tops = layout.kept.iter().zip(&instance.kept).all(|(p, k)| {
            let h = k.turns.get(p.turn).map_or(0, |o| o.h);
            next.iter().take(p.layer).sum::<i64>() + h <= instance.height
        });
        rules && tops && next.iter().sum::<i64>() <= room
    };
    grown(&fill(&shares, room, &fits))
}

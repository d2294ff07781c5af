//! Runs of an item's outlines, as what lies under, over or beside them sees them.

use std::collections::BTreeMap;

use super::super::super::instance::Rims;
use super::super::super::pack::Rect;
use super::{Relate, Shape};

/// From the least to the greatest.
pub(super) type Span = (i64, i64);

/// Some of an item's outlines, neighbours by width.
pub(super) struct Run {
    /// From one up to but without another.
    pub(super) from: usize,
    pub(super) to: usize,
    /// Sides in grid steps.
    pub(super) sides: [Span; 2],
    /// Sides at most where they are made larger than need be: a tray may rest or bear so where its outlines do not.
    pub(super) most: [i64; 2],
    /// The cheapest, and what it costs more than the item's cheapest.
    pub(super) cheapest: usize,
    pub(super) extra: i64,
    /// True sides, in the units of [`Rims`]: the least of the outlines, the greatest of what they are made.
    pub(super) size: [Span; 2],
    /// Where it may bear, however large it is made and however it is divided.
    pub(super) places: Vec<Reach>,
    /// Where it does bear, where it is but one outline.
    pub(super) top: Vec<Rect>,
}

/// How far a bearing place may reach, and its sides at most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Reach {
    pub(super) span: [Span; 2],
    pub(super) sides: [i64; 2],
}

/// Runs by number.
#[derive(Default)]
pub(super) struct Runs {
    all: Vec<Run>,
    known: BTreeMap<(usize, usize, usize), usize>,
}

impl std::ops::Index<usize> for Runs {
    type Output = Run;

    fn index(&self, run: usize) -> &Run {
        &self.all[run]
    }
}

impl Relate<'_> {
    /// The number of a run.
    pub(super) fn run(&mut self, item: usize, from: usize, to: usize) -> usize {
        if let Some(run) = self.runs.known.get(&(item, from, to)) {
            return *run;
        }
        let run = self.seen(item, from, to);
        self.runs.all.push(run);
        self.runs.known.insert((item, from, to), self.runs.all.len() - 1);
        self.runs.all.len() - 1
    }

    fn seen(&self, item: usize, from: usize, to: usize) -> Run {
        let item = &self.items[item];
        let shapes = item.shapes.get(from..to).unwrap_or(&[]);
        let hull = |a: usize| {
            let side = |s: &Shape| [s.option.w, s.option.d][a];
            (shapes.iter().map(side).min().unwrap_or(0), shapes.iter().map(side).max().unwrap_or(0))
        };
        let cheapest = (from..to).min_by_key(|&i| (item.shapes[i].extra, i)).unwrap_or(from);
        let extra = item.shapes.get(cheapest).map_or(0, |s| s.extra);
        let largest = |s: &Shape| {
            let area = (item.slack - s.extra) / item.height.max(1);
            [s.option.w + area / s.option.d.max(1), s.option.d + area / s.option.w.max(1)]
        };
        let most = [0, 1].map(|a| {
            let side = |s: &Shape| if item.grows { largest(s)[a] } else { [s.option.w, s.option.d][a] };
            shapes.iter().map(side).max().unwrap_or(0).min(self.floor[a])
        });
        let (size, places, top) = ([(0, 0); 2], Vec::new(), Vec::new());
        let mut run = Run { from, to, sides: [hull(0), hull(1)], most, cheapest, extra, size, places, top };
        let Some(rims) = &self.instance.rims else { return run };
        run.size = most.map(|m| (i64::MAX, m * rims.per_step));
        let mut all: Option<Vec<Reach>> = None;
        let mut framed = true;
        for shape in shapes {
            let (size, top) = self.top(rims, item.body, shape);
            for (own, side) in run.size.iter_mut().zip(size) {
                *own = (own.0.min(side), own.1.max(side));
            }
            framed &= is_frame(&top, size);
            let grown = [0, 1].map(|a| (most[a] * rims.per_step - size[a]).max(0));
            let reaches = top.iter().map(|p| reach(p, size, grown));
            match &mut all {
                None => all = Some(reaches.collect()),
                Some(all) => all.iter_mut().zip(reaches).for_each(|(a, r)| a.join(&r)),
            }
            run.top = if to - from == 1 { top } else { Vec::new() };
        }
        let sides = run.size.map(|s| s.1);
        let whole = vec![Reach { span: sides.map(|s| (0, s)), sides }];
        // A tray that is divided may be divided otherwise.
        run.places = all.filter(|_| framed).unwrap_or(whole);
        run
    }

    /// True sides of a body in this outline, and where it bears.
    fn top(&self, rims: &Rims, body: usize, shape: &Shape) -> ([i64; 2], Vec<Rect>) {
        let (instance, step) = (self.instance, rims.per_step);
        let whole = |(w, d)| Rect { x: 0, y: 0, w, d };
        let (size, places) = match body.checked_sub(instance.trays.len()) {
            None => {
                let top = (rims.top)(body, shape.option);
                let lid = instance.trays[body].lid;
                (top.size, if lid { vec![whole(top.size)] } else { top.places.to_vec() })
            }
            Some(k) => {
                let size = rims.kept.get(k).and_then(|sizes| sizes.get(shape.choice)).copied();
                let size = size.unwrap_or((step * shape.option.w, step * shape.option.d));
                (size, vec![whole(size)])
            }
        };
        ([size.0, size.1], places)
    }
}

impl Reach {
    fn join(&mut self, other: &Reach) {
        for a in 0..2 {
            let (own, new) = (self.span[a], other.span[a]);
            self.span[a] = (own.0.min(new.0), own.1.max(new.1));
            self.sides[a] = self.sides[a].max(other.sides[a]);
        }
    }
}

/// Whether these are four walls, in the order of [`is_wall`], and nothing else.
fn is_frame(top: &[Rect], size: [i64; 2]) -> bool {
    top.len() == 4 && top.iter().enumerate().all(|(n, p)| is_wall(n, p, size))
}

/// At the front, at the back, to the left, to the right.
fn is_wall(number: usize, p: &Rect, [w, d]: [i64; 2]) -> bool {
    match number {
        0 => (p.x, p.y, p.w) == (0, 0, w),
        1 => (p.x, p.y + p.d, p.w) == (0, d, w),
        2 => (p.x, p.y, p.d) == (0, 0, d),
        _ => (p.x + p.w, p.y, p.d) == (w, 0, d),
    }
}

/// How far a wall reaches where the tray is made larger by so much.
fn reach(p: &Rect, size: [i64; 2], grown: [i64; 2]) -> Reach {
    let (at, sides) = ([p.x, p.y], [p.w, p.d]);
    let whole = [0, 1].map(|a| if sides[a] == size[a] { grown[a] } else { 0 });
    Reach {
        span: [0, 1].map(|a| (at[a], at[a] + sides[a] + grown[a])),
        sides: [sides[0] + whole[0], sides[1] + whole[1]],
    }
}

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
    /// The cheapest, and what it costs more than the item's cheapest.
    pub(super) cheapest: usize,
    pub(super) extra: i64,
    /// True sides, in the units of [`Rims`].
    pub(super) size: [Span; 2],
    /// Where it bears.
    pub(super) places: Vec<Reach>,
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
        let (size, places) = ([(0, 0); 2], Vec::new());
        let mut run = Run { from, to, sides: [hull(0), hull(1)], cheapest, extra, size, places };
        let Some(rims) = &self.instance.rims else { return run };
        let mut tops = shapes.iter().map(|s| self.top(rims, item.body, s));
        let Some((size, places)) = tops.next() else { return run };
        (run.size, run.places) = (size.map(|s| (s, s)), places);
        let mut alike = true;
        for (size, places) in tops {
            for (own, s) in run.size.iter_mut().zip(size) {
                *own = (own.0.min(s), own.1.max(s));
            }
            alike &= places.len() == run.places.len();
            for (r, p) in run.places.iter_mut().zip(&places) {
                for a in 0..2 {
                    r.span[a] = (r.span[a].0.min(p.span[a].0), r.span[a].1.max(p.span[a].1));
                    r.sides[a] = r.sides[a].max(p.sides[a]);
                }
            }
        }
        if !alike {
            // Divided in different ways: it may bear anywhere.
            let sides = run.size.map(|s| s.1);
            run.places = vec![Reach { span: sides.map(|s| (0, s)), sides }];
        }
        run
    }

    /// True sides of a body in this outline, and where it bears.
    fn top(&self, rims: &Rims, body: usize, shape: &Shape) -> ([i64; 2], Vec<Reach>) {
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
        let reach = |p: &Rect| Reach { span: [(p.x, p.x + p.w), (p.y, p.y + p.d)], sides: [p.w, p.d] };
        ([size.0, size.1], places.iter().map(reach).collect())
    }
}

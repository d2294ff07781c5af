//! The most valuable pieces that straight cuts get from one sheet, with so many of each to be had.
//!
//! Best first (Viswanathan & Bagchi, Oper. Res. 41 (1993)): rectangles of pieces are joined side by side and one behind the
//! other, most promising first; what may still come around one is bounded by the [`Raster`], which forgets counts. The first
//! rectangle that promises no more than the best one found proves that best.

use std::collections::{BTreeSet, BinaryHeap};

use super::raster::Raster;
use super::reduced::Spot;
use crate::stop::Stop;

/// A kind of piece for the knapsack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    pub(super) w: i64,
    pub(super) d: i64,
    pub(super) turns: bool,
    pub(super) value: i64,
    pub(super) count: usize,
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cutting {
    pub(super) value: i64,
    /// Pieces by item, in their places.
    pub(super) spots: Vec<Spot>,
    /// No cutting has more value than this.
    pub(super) bound: i64,
}

/// Rectangles held at once at most: about 100 MB.
const MOST_BUILDS: usize = 400_000;

/// A rectangle joined from pieces.
#[derive(Clone, Debug)]
struct Build {
    w: i64,
    d: i64,
    /// The same in steps of the raster.
    steps: (i64, i64),
    value: i64,
    counts: Box<[u16]>,
    made: Made,
}

#[derive(Clone, Copy, Debug)]
enum Made {
    Piece { item: usize, turned: bool },
    Beside(usize, usize),
    Behind(usize, usize),
}

/// Searches with one node for every pair of rectangles tried; what is not worth more than `floor` is not looked for. Where the stop
/// ends it, the best so far is returned with the bound that is left.
pub(super) fn best_sheet(w: i64, d: i64, items: &[Item], floor: i64, stop: &Stop) -> Cutting {
    let raster = Raster::new(w, d, items);
    let mut search = Search {
        w,
        d,
        items,
        raster: &raster,
        builds: Vec::new(),
        open: BinaryHeap::new(),
        seen: BTreeSet::new(),
        best: floor,
        found: None,
    };
    let ended = search.run(stop);
    let mut spots = Vec::new();
    let mut value = 0;
    if let Some(build) = search.found {
        value = search.builds[build].value;
        search.write(build, 0, 0, &mut spots);
    }
    let bound = ended.unwrap_or(search.best).max(value);
    Cutting { value, spots, bound }
}

struct Search<'a> {
    w: i64,
    d: i64,
    items: &'a [Item],
    raster: &'a Raster,
    builds: Vec<Build>,
    /// By promise, then the earliest made.
    open: BinaryHeap<(i64, std::cmp::Reverse<usize>)>,
    seen: BTreeSet<(i64, i64, Box<[u16]>)>,
    best: i64,
    found: Option<usize>,
}

impl Search<'_> {
    /// `None`: the search is complete. Else no cutting is worth more than this.
    fn run(&mut self, stop: &Stop) -> Option<i64> {
        for (item, i) in self.items.iter().enumerate() {
            if i.count == 0 {
                continue;
            }
            let mut counts = vec![0; self.items.len()];
            counts[item] = 1;
            let ways: &[bool] = if i.turns { &[false, true] } else { &[false] };
            for &turned in ways {
                let (w, d) = if turned { (i.d, i.w) } else { (i.w, i.d) };
                let (steps, counts) = (self.raster.steps(w, d), counts.clone().into());
                self.offer(Build { w, d, steps, value: i.value, counts, made: Made::Piece { item, turned } });
            }
        }
        let mut closed: Vec<usize> = Vec::new();
        while let Some((promise, std::cmp::Reverse(build))) = self.open.pop() {
            if promise <= self.best {
                return None;
            }
            closed.push(build);
            for &other in &closed {
                self.join(build, other);
            }
            if stop.spend(closed.len() as u64) || self.builds.len() > MOST_BUILDS {
                return Some(promise);
            }
        }
        None
    }

    fn join(&mut self, a: usize, b: usize) {
        let (p, q) = (&self.builds[a], &self.builds[b]);
        let beside = p.w + q.w <= self.w;
        let behind = p.d + q.d <= self.d;
        if !beside && !behind {
            return;
        }
        let most = |i: usize| u16::try_from(self.items[i].count).unwrap_or(u16::MAX);
        let mut counts = Vec::with_capacity(p.counts.len());
        for (i, (m, n)) in p.counts.iter().zip(&q.counts).enumerate() {
            if m.saturating_add(*n) > most(i) {
                return;
            }
            counts.push(m + n);
        }
        let counts: Box<[u16]> = counts.into();
        let value = p.value + q.value;
        let (ps, qs) = (p.steps, q.steps);
        let side = beside.then(|| Build {
            w: p.w + q.w,
            d: p.d.max(q.d),
            steps: (ps.0 + qs.0, ps.1.max(qs.1)),
            value,
            counts: counts.clone(),
            made: Made::Beside(a, b),
        });
        let back = behind.then(|| Build {
            w: p.w.max(q.w),
            d: p.d + q.d,
            steps: (ps.0.max(qs.0), ps.1 + qs.1),
            value,
            counts,
            made: Made::Behind(a, b),
        });
        side.into_iter().chain(back).for_each(|build| self.offer(build));
    }

    fn offer(&mut self, build: Build) {
        if build.w > self.w || build.d > self.d {
            return;
        }
        let promise = build.value.saturating_add(self.raster.around(build.steps.0, build.steps.1));
        if promise <= self.best || !self.seen.insert((build.w, build.d, build.counts.clone())) {
            return;
        }
        let index = self.builds.len();
        if build.value > self.best {
            self.best = build.value;
            self.found = Some(index);
        }
        self.builds.push(build);
        self.open.push((promise, std::cmp::Reverse(index)));
    }

    fn write(&self, build: usize, x: i64, y: i64, spots: &mut Vec<Spot>) {
        match self.builds[build].made {
            Made::Piece { item, turned } => spots.push(Spot { kind: item, x, y, turned }),
            Made::Beside(a, b) => {
                self.write(a, x, y, spots);
                self.write(b, x + self.builds[a].w, y, spots);
            }
            Made::Behind(a, b) => {
                self.write(a, x, y, spots);
                self.write(b, x, y + self.builds[a].d, spots);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Christofides & Whitlock, Oper. Res. 25 (1977), instance 1: sheet 15 × 10.
    const FIRST: [(i64, i64, i64, usize); 7] = [
        (8, 4, 66, 2),
        (3, 7, 35, 1),
        (8, 2, 24, 3),
        (3, 4, 17, 5),
        (3, 3, 11, 2),
        (3, 2, 8, 2),
        (2, 1, 2, 1),
    ];

    fn items(turns: bool) -> Vec<Item> {
        FIRST
            .iter()
            .map(|&(w, d, value, count)| Item { w, d, turns: turns && w != d, value, count })
            .collect()
    }

    fn solve(turns: bool) -> Cutting {
        best_sheet(15, 10, &items(turns), -1, &Stop::nodes(20_000_000))
    }

    /// 244: the optimum with the counts given, pieces not turned.
    #[test]
    fn christofides_and_whitlock_with_counts() {
        let cutting = solve(false);
        assert_eq!((cutting.value, cutting.bound), (244, 244));
        let value: i64 = cutting.spots.iter().map(|s| FIRST[s.kind].2).sum();
        assert_eq!(value, 244);
        for (kind, item) in FIRST.iter().enumerate() {
            assert!(cutting.spots.iter().filter(|s| s.kind == kind).count() <= item.3);
        }
    }

    /// 260 turnable, computed by several searches; no printed source.
    #[test]
    fn christofides_and_whitlock_turnable() {
        let cutting = solve(true);
        assert_eq!((cutting.value, cutting.bound), (260, 260));
    }

    /// 249 unlimited: Hifi & Zissimopoulos, EJOR 91 (1996); 278 turnable: computed, no printed source.
    #[test]
    fn christofides_and_whitlock_without_counts() {
        for (turns, value) in [(false, 249), (true, 278)] {
            let raster = Raster::new(15, 10, &items(turns));
            assert!(raster.exact());
            assert_eq!(raster.most(), value);
            // The search that keeps counts agrees where there are plenty.
            let plenty: Vec<Item> = items(turns).into_iter().map(|i| Item { count: 99, ..i }).collect();
            assert_eq!(best_sheet(15, 10, &plenty, -1, &Stop::nodes(50_000_000)).value, value);
        }
    }

    /// Herz, IBM J. 16 (1972): 12348 of 12446.
    #[test]
    fn herz() {
        let sides = [(21, 13), (36, 17), (54, 20), (24, 27), (18, 65)];
        let item = |&(w, d): &(i64, i64)| Item { w, d, turns: false, value: w * d, count: 99 };
        let items: Vec<Item> = sides.iter().map(item).collect();
        let raster = Raster::new(127, 98, &items);
        assert!(raster.exact());
        assert_eq!(raster.most(), 12_348);
    }

    /// On coarse steps values are bounds, never less than what is possible.
    #[test]
    fn coarse_steps_bound() {
        let item = |w, d| Item { w, d, turns: true, value: w * d, count: 9 };
        let items = [item(2_111, 1_377), item(977, 1_789), item(3_301, 613)];
        let raster = Raster::new(9_973, 8_009, &items);
        assert!(!raster.exact());
        let cutting = best_sheet(9_973, 8_009, &items, -1, &Stop::nodes(300_000));
        assert!(cutting.value > 0 && cutting.value <= raster.most() && cutting.bound <= raster.most());
    }
}

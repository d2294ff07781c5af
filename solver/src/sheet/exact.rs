//! Proofs on small jobs: every cheaper choice of sheets, cheapest first, is decided by trying all ways of sharing out the pieces
//! among its sheets, with an exact answer to whether such pieces go on one sheet.

use std::collections::BTreeMap;

use super::bound::{Row, choices};
use super::floor::{Floor, Rule};
use super::knapsack::{Item, best_sheet};
use super::reduced::{Problem, Spot};
use super::search::{Filled, State};
use crate::layout::pack::{self, Packed};
use crate::stop::Stop;

/// Beyond this a proof by trying has no hope.
const MOST_PIECES: usize = 20;
/// Choices of sheets decided at most.
const MOST_CHOICES: usize = 400;
/// Nodes for one sheet.
const SHEET_NODES: u64 = 30_000;

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Proof {
    /// Sheets cheaper than the best known, where there are.
    pub(super) better: Option<State>,
    /// No choice of sheets costs less.
    pub(super) least: i128,
}

/// Decides whether sheets cheaper than `cost` suffice; `least` is the bound known before.
pub(super) fn prove(problem: &Problem, rows: &[Row], cost: i128, least: i128, stop: &Stop) -> Proof {
    let unknown = Proof { better: None, least };
    let pieces: usize = problem.demand().iter().sum();
    if pieces > MOST_PIECES {
        return unknown;
    }
    let Some(all) = choices(problem, rows, cost, MOST_CHOICES) else { return unknown };
    let mut sheets = Sheets { problem, known: BTreeMap::new(), stop };
    for counts in all {
        let this: i128 = counts.iter().zip(&problem.sizes).map(|(&n, s)| s.cost * n as i128).sum();
        match sheets.decide(&counts) {
            Decided::Found(state) => return Proof { better: Some(state), least: this.max(least) },
            Decided::Impossible => {}
            Decided::Unknown => return Proof { better: None, least: this.max(least) },
        }
    }
    Proof { better: None, least: cost }
}

enum Decided {
    Found(State),
    Impossible,
    Unknown,
}

/// Whether some pieces go on one sheet.
#[derive(Clone, Debug)]
enum Fit {
    Yes(Vec<Spot>),
    No,
    Unknown,
}

/// Answers about single sheets, kept.
struct Sheets<'a> {
    problem: &'a Problem,
    known: BTreeMap<(usize, Vec<usize>), Fit>,
    stop: &'a Stop,
}

/// Sheets being shared out: the size of each, and how many of each kind it gets.
struct Share {
    sizes: Vec<usize>,
    given: Vec<Vec<usize>>,
    free: Vec<i128>,
}

impl Sheets<'_> {
    fn decide(&mut self, counts: &[usize]) -> Decided {
        let sizes: Vec<usize> =
            counts.iter().enumerate().flat_map(|(s, &n)| std::iter::repeat_n(s, n)).collect();
        let free = sizes.iter().map(|&s| self.problem.sizes[s].area()).collect();
        let given = vec![vec![0; self.problem.kinds.len()]; sizes.len()];
        let demand = self.problem.demand();
        let pieces: Vec<usize> =
            demand.iter().enumerate().flat_map(|(k, &n)| std::iter::repeat_n(k, n)).collect();
        self.dive(&pieces, 0, 0, &mut Share { sizes, given, free })
    }

    /// Gives a sheet to every piece from `next` on; equal pieces take sheets in rising order.
    fn dive(&mut self, pieces: &[usize], next: usize, from: usize, share: &mut Share) -> Decided {
        let Some(&kind) = pieces.get(next) else { return self.read(share) };
        if self.stop.spend(1) {
            return Decided::Unknown;
        }
        let area = self.problem.kinds[kind].area();
        let mut doubt = false;
        for s in from..share.sizes.len() {
            let twin = |o: usize| share.sizes[o] == share.sizes[s] && share.given[o] == share.given[s];
            if share.free[s] < area || (from..s).any(twin) {
                continue;
            }
            share.given[s][kind] += 1;
            share.free[s] -= area;
            if !matches!(self.fit(share.sizes[s], &share.given[s]), Fit::No) {
                let from = if pieces.get(next + 1) == Some(&kind) { s } else { 0 };
                match self.dive(pieces, next + 1, from, share) {
                    Decided::Found(state) => return Decided::Found(state),
                    Decided::Impossible => {}
                    Decided::Unknown => doubt = true,
                }
            }
            share.given[s][kind] -= 1;
            share.free[s] += area;
            if doubt && self.stop.now() {
                break;
            }
        }
        if doubt { Decided::Unknown } else { Decided::Impossible }
    }

    fn read(&mut self, share: &Share) -> Decided {
        let mut sheets = Vec::new();
        for (&size, given) in share.sizes.iter().zip(&share.given) {
            match self.fit(size, given) {
                Fit::Yes(spots) => sheets.push(Filled { size, spots }),
                _ => return Decided::Unknown,
            }
        }
        Decided::Found(State { sheets, left: Vec::new() })
    }

    fn fit(&mut self, size: usize, given: &[usize]) -> Fit {
        let key = (size, given.to_vec());
        if let Some(fit) = self.known.get(&key) {
            return fit.clone();
        }
        let fit = self.ask(size, given);
        self.known.insert(key, fit.clone());
        fit
    }

    fn ask(&self, size: usize, given: &[usize]) -> Fit {
        let (w, d) = (self.problem.sizes[size].w, self.problem.sizes[size].d);
        let pieces: Vec<usize> =
            given.iter().enumerate().flat_map(|(k, &n)| std::iter::repeat_n(k, n)).collect();
        if pieces.iter().any(|&k| !self.problem.kinds[k].fits(w, d)) {
            return Fit::No;
        }
        for rule in Rule::ALL {
            let mut floor = Floor::new(w, d, self.problem.straight);
            let placed = pieces.iter().all(|&k| match floor.best(&self.problem.kinds[k], rule) {
                Some(at) => {
                    floor.put(k, &self.problem.kinds[k], at);
                    true
                }
                None => false,
            });
            if placed {
                return Fit::Yes(floor.spots);
            }
        }
        let slice = self.stop.share(SHEET_NODES);
        let fit = if self.problem.straight {
            self.cut(w, d, given, &slice)
        } else {
            self.pack(w, d, &pieces, &slice)
        };
        self.stop.spend(slice.spent().min(SHEET_NODES));
        fit
    }

    fn pack(&self, w: i64, d: i64, pieces: &[usize], stop: &Stop) -> Fit {
        let floor = pack::Floor { w, d, ..pack::Floor::default() };
        let shapes = |&k: &usize| {
            let kind = &self.problem.kinds[k];
            let ways: &[bool] = if kind.turns { &[false, true] } else { &[false] };
            let shapes = ways.iter().map(|&turned| kind.lying(turned)).collect();
            pack::Piece { shapes, ..pack::Piece::default() }
        };
        let all: Vec<pack::Piece> = pieces.iter().map(shapes).collect();
        match pack::pack(&floor, &all, stop) {
            Packed::Found(spots) => {
                let spot =
                    |(&kind, s): (&usize, &pack::Spot)| Spot { kind, x: s.x, y: s.y, turned: s.shape == 1 };
                Fit::Yes(pieces.iter().zip(&spots).map(spot).collect())
            }
            Packed::Impossible => Fit::No,
            Packed::Unknown => Fit::Unknown,
        }
    }

    /// All of them are cut from one sheet if the most area that can be cut is the area of all.
    fn cut(&self, w: i64, d: i64, given: &[usize], stop: &Stop) -> Fit {
        let (items, kinds) = items(self.problem, given);
        let all: i64 = items.iter().map(|i| i.value * i.count as i64).sum();
        let cutting = best_sheet(w, d, &items, all - 1, stop);
        if cutting.value == all {
            Fit::Yes(cutting.spots.into_iter().map(|s| Spot { kind: kinds[s.kind], ..s }).collect())
        } else if cutting.bound < all {
            Fit::No
        } else {
            Fit::Unknown
        }
    }
}

/// Kinds with their counts as items worth their area (in parts small enough to add up), and which kind each is.
pub(super) fn items(problem: &Problem, counts: &[usize]) -> (Vec<Item>, Vec<usize>) {
    let largest = problem.kinds.iter().map(super::reduced::Kind::area).max().unwrap_or(0);
    let part = (largest >> 40) + 1;
    let kinds: Vec<usize> = (0..counts.len()).filter(|&k| counts[k] > 0).collect();
    let item = |&k: &usize| {
        let kind = &problem.kinds[k];
        let value = i64::try_from(kind.area() / part).unwrap_or(i64::MAX >> 20).max(1);
        Item { w: kind.w, d: kind.d, turns: kind.turns, value, count: counts[k] }
    };
    (kinds.iter().map(item).collect(), kinds)
}

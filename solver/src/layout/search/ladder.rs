//! Passes of the exact side under a rising cutoff.

use super::super::exact::{Exact, Pass};
use super::super::instance::Layout;
use crate::stop::Stop;

/// Nodes of the exact side's first slice; doubled from slice to slice up to the cap.
const FIRST_SLICE: u64 = 20_000;
/// Passes cut off in a row before the next one reaches less far.
const PATIENCE: usize = 3;

/// The rising cutoff of the exact side.
pub(super) struct Ladder {
    /// Proven so far; `None`: there is no plan.
    pub(super) bound: Option<i64>,
    /// Value of the best plan.
    pub(super) best: Option<i64>,
    /// How far the next cutoff lies above the bound.
    rise: i64,
    /// Nodes of the next slice.
    pub(super) slice: u64,
    /// Passes that ended by themselves.
    pub(super) passes: usize,
    /// Nothing more can be proven.
    done: bool,
    /// The last doubtful pass was answered by more nodes a packing: the next one is by a higher cutoff, so that a single
    /// hard layer keeps neither bound nor plan waiting for ever.
    deepened: bool,
    /// Passes in a row that the end of a slice cut off.
    cut: usize,
}

impl Ladder {
    pub(super) fn new(bound: Option<i64>) -> Ladder {
        let rise = bound.map_or(1, |b| b / 20_000 + 1);
        Ladder {
            bound,
            best: None,
            rise,
            slice: FIRST_SLICE,
            passes: 0,
            done: bound.is_none(),
            deepened: false,
            cut: 0,
        }
    }

    /// The next cutoff; never beyond what would still be an improvement.
    fn cutoff(&self, ceiling: i64) -> Option<i64> {
        let bound = self.bound.filter(|_| !self.done)?;
        let most = self.best.map_or(ceiling, |b| b - 1);
        Some((bound + self.rise).min(most)).filter(|c| *c >= bound)
    }

    /// Passes with rising cutoffs until the slice is spent or nothing more can be proven; the best plan met. `seeking`: there
    /// is no plan yet.
    pub(super) fn work(&mut self, exact: &mut Exact, slice: &Stop, seeking: bool) -> Option<Layout> {
        let mut met: Option<(Layout, i64)> = None;
        exact.seeking = seeking;
        while !slice.now() {
            let Some(cutoff) = self.cutoff(exact.ceiling()) else { break };
            let pass = exact.pass(cutoff, slice);
            if self.climb(cutoff, &pass, exact.ceiling()) {
                exact.deepen();
            }
            if pass.met <= cutoff {
                self.best = Some(self.best.map_or(pass.met, |b| b.min(pass.met)));
            }
            if let Some(best) = pass.best
                && met.as_ref().is_none_or(|m| best.1 < m.1)
            {
                met = Some(best);
            }
        }
        met.map(|m| m.0)
    }

    /// What a pass means for the next one; says whether packings should get more nodes.
    fn climb(&mut self, cutoff: i64, pass: &Pass, ceiling: i64) -> bool {
        if pass.stopped {
            self.bound = self.bound.map(|b| b.max(pass.bound));
            self.slice *= 2;
            self.cut += 1;
            if self.cut < PATIENCE {
                return false;
            }
            // Too much for one pass: less, but with more nodes a packing.
            self.cut = 0;
            self.rise = self.rise / 3 + 1;
            self.deepened = true;
            return true;
        }
        self.cut = 0;
        self.passes += 1;
        if pass.best.is_none() && pass.met > ceiling && pass.bound > ceiling {
            // Everything was searched.
            self.bound = None;
            self.done = true;
            return false;
        }
        let doubtful = pass.bound <= cutoff && pass.bound < pass.met;
        self.bound = self.bound.map(|b| b.max(pass.bound));
        // Doubts stay: a higher cutoff can only find plans, and only so far as it goes beyond them.
        let everything = cutoff >= self.best.map_or(ceiling, |b| b - 1);
        self.done = doubtful && everything && !pass.undecided;
        let open = pass.undecided && doubtful;
        self.deepened = open && (everything || !self.deepened);
        if !self.deepened {
            self.rise = self.rise.saturating_mul(3).min(ceiling);
        }
        self.deepened
    }
}

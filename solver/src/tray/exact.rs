//! Every straight-cut arrangement: dynamic programming over how many of each kind are placed.
//!
//! Compartments with equal needs are one kind, so a state is a count per kind; thirty like ones
//! are 31 states, twelve different ones are 4096 subsets. For each state all ways to part it in two
//! are joined. This is the subset recursion of slicing floorplans with Stockmeyer's curves.

use rayon::prelude::*;

use super::dense::{self, Board, Dense, Ends, NONE};
use super::joint::{Half, Joint};
use super::tree::{Kind, Node};

/// How many pairs of states the recursion joins for these multiplicities; saturating.
pub(super) fn joins(counts: &[usize]) -> u64 {
    let mut all: u64 = 1;
    for &m in counts {
        let m = m as u64;
        all = all.saturating_mul((m + 1).saturating_mul(m + 2) / 2);
    }
    all / 2
}

/// How many states there are; saturating.
pub(super) fn states(counts: &[usize]) -> u64 {
    counts.iter().fold(1u64, |all, &m| all.saturating_mul(m as u64 + 1))
}

/// Curves of all states.
pub(super) struct Table {
    board: Board,
    counts: Vec<usize>,
    /// A state's index is the sum of count × weight.
    weights: Vec<usize>,
    depth: Vec<i16>,
    width: Vec<i16>,
    ends: Vec<Ends>,
    /// Every curve is its own mirror image.
    mirrored: bool,
}

impl Table {
    /// Fills the table; `leaves` and `counts` go by kind.
    pub(super) fn fill(board: Board, leaves: &[&Dense], counts: &[usize]) -> Table {
        let mut weights = Vec::with_capacity(counts.len());
        let mut states = 1;
        for &m in counts {
            weights.push(states);
            states *= m + 1;
        }
        let (columns, rows) = (board.width + 1, board.depth + 1);
        let mut table = Table {
            board,
            counts: counts.to_vec(),
            weights,
            depth: vec![NONE; states * columns],
            width: vec![NONE; states * rows],
            ends: vec![Ends::EMPTY; states],
            mirrored: leaves.iter().all(|leaf| leaf.is_mirrored()),
        };
        // A state is joined from states of fewer compartments, so those of as many do not need each other.
        let mut by_size: Vec<Vec<usize>> = vec![Vec::new(); counts.iter().sum::<usize>() + 1];
        for state in 1..states {
            if let Some(same) = by_size.get_mut(table.digits(state).iter().sum::<usize>()) {
                same.push(state);
            }
        }
        for same in by_size {
            let curves: Vec<Dense> = same.par_iter().map(|state| table.curve(*state, leaves)).collect();
            for (state, own) in same.into_iter().zip(curves) {
                if let Some(into) = table.depth.get_mut(state * columns..(state + 1) * columns) {
                    into.copy_from_slice(&own.depth);
                }
                if let Some(into) = table.width.get_mut(state * rows..(state + 1) * rows) {
                    into.copy_from_slice(&own.width);
                }
                if let Some(into) = table.ends.get_mut(state) {
                    *into = own.ends;
                }
            }
        }
        table
    }

    /// The curve of a state, from those of its parts.
    fn curve(&self, state: usize, leaves: &[&Dense]) -> Dense {
        if let Some(kind) = self.single(state) {
            return leaves.get(kind).map_or_else(|| Dense::empty(&self.board), |leaf| (*leaf).clone());
        }
        let mut own = Joint::new(&self.board, self.mirrored);
        for a in self.parts_of(state) {
            own.put(self.half(a), self.half(state - a));
        }
        own.close()
    }

    fn half(&self, state: usize) -> Half<'_> {
        let ends = self.ends.get(state).copied().unwrap_or(Ends::EMPTY);
        Half { depth: self.depths(state), width: self.widths(state), ends }
    }

    fn depths(&self, state: usize) -> &[i16] {
        let columns = self.board.width + 1;
        self.depth.get(state * columns..(state + 1) * columns).unwrap_or(&[])
    }

    fn widths(&self, state: usize) -> &[i16] {
        let rows = self.board.depth + 1;
        self.width.get(state * rows..(state + 1) * rows).unwrap_or(&[])
    }

    /// The kind of a state that holds one compartment only.
    fn single(&self, state: usize) -> Option<usize> {
        self.weights.iter().position(|&w| w == state)
    }

    /// How many of each kind a state holds.
    fn digits(&self, state: usize) -> Vec<usize> {
        self.weights.iter().zip(&self.counts).map(|(w, m)| state / w % (m + 1)).collect()
    }

    /// Every state that is part of `state` and comes no later than the rest of it, ascending.
    fn parts_of(&self, state: usize) -> PartsOf<'_> {
        PartsOf {
            of: self.digits(state),
            at: vec![0; self.counts.len()],
            index: 0,
            half: state / 2,
            weights: &self.weights,
        }
    }

    fn last(&self) -> usize {
        self.ends.len().saturating_sub(1)
    }

    /// Curve of the whole tray.
    pub(super) fn whole(&self) -> Dense {
        let last = self.last();
        let ends = self.ends.get(last).copied().unwrap_or(Ends::EMPTY);
        Dense { depth: self.depths(last).to_vec(), width: self.widths(last).to_vec(), ends }
    }

    /// Pareto points of the whole tray.
    pub(super) fn points(&self) -> Vec<(i64, i64)> {
        dense::points(self.depths(self.last()), self.board.depth + 1)
    }

    /// Whether the whole tray fits.
    pub(super) fn fits(&self, columns: i64, rows: i64) -> bool {
        let at = usize::try_from(columns).unwrap_or(0).min(self.board.width);
        self.depths(self.last()).get(at).is_some_and(|&d| i64::from(d) <= rows)
    }

    /// An arrangement of the whole tray within so many columns and rows.
    pub(super) fn tree(&self, columns: i64, rows: i64) -> Option<Node> {
        let columns = columns.min(self.board.width as i64);
        let rows = rows.min(self.board.depth as i64);
        self.tree_of(self.last(), columns, rows)
    }

    fn tree_of(&self, state: usize, columns: i64, rows: i64) -> Option<Node> {
        let size = [self.board.clear(columns), self.board.clear(rows)];
        if let Some(kind) = self.single(state) {
            return Some(Node { size, kind: Kind::Leaf(kind) });
        }
        let (axis, a) = self.best_cut(state, columns, rows)?;
        let b = state - a;
        let (first, second) = if axis == 0 {
            let own = i64::from(*self.widths(a).get(usize::try_from(rows).ok()?)?);
            (self.tree_of(a, own, rows)?, self.tree_of(b, columns - own, rows)?)
        } else {
            let own = i64::from(*self.depths(a).get(usize::try_from(columns).ok()?)?);
            (self.tree_of(a, columns, own)?, self.tree_of(b, columns, rows - own)?)
        };
        Some(Node { size, kind: Kind::Cut(axis, Box::new([first, second])) })
    }

    /// The cut that reads best among those that fit: like compartments stay together, and a block of
    /// like ones is cut into equal rows, so that dividers run straight through.
    fn best_cut(&self, state: usize, columns: i64, rows: i64) -> Option<(usize, usize)> {
        let (w, d) = (usize::try_from(columns).ok()?, usize::try_from(rows).ok()?);
        let mut best: Option<((usize, bool, usize), usize, usize)> = None;
        for a in self.parts_of(state) {
            let b = state - a;
            let sum = |x: &[i16], y: &[i16], at: usize| -> Option<i64> {
                Some(i64::from(*x.get(at)?) + i64::from(*y.get(at)?))
            };
            let behind = sum(self.depths(a), self.depths(b), w).is_some_and(|s| s <= rows);
            let beside = sum(self.widths(a), self.widths(b), d).is_some_and(|s| s <= columns);
            if !behind && !beside {
                continue;
            }
            let (da, db) = (self.digits(a), self.digits(b));
            let shared = da.iter().zip(&db).filter(|&(&x, &y)| x > 0 && y > 0).count();
            let kinds = da.iter().zip(&db).filter(|&(&x, &y)| x + y > 0).count();
            let (na, n) = (da.iter().sum::<usize>(), da.iter().chain(&db).sum::<usize>());
            let uneven = kinds == 1 && n % na != 0;
            let rank = (shared, uneven, if kinds == 1 { n - na } else { 0 });
            if best.as_ref().is_none_or(|(r, _, _)| rank < *r) {
                best = Some((rank, usize::from(!beside), a));
            }
        }
        best.map(|(_, axis, a)| (axis, a))
    }
}

/// Iterator of [`Table::parts_of`]: counts upwards, each digit up to the state's own.
struct PartsOf<'a> {
    of: Vec<usize>,
    at: Vec<usize>,
    index: usize,
    half: usize,
    weights: &'a [usize],
}

impl Iterator for PartsOf<'_> {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        for ((at, &of), &weight) in self.at.iter_mut().zip(&self.of).zip(self.weights) {
            if *at < of {
                *at += 1;
                self.index += weight;
                return (self.index <= self.half).then_some(self.index);
            }
            self.index -= *at * weight;
            *at = 0;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_of_joins() {
        // 3^12 / 2 and 3^15 / 2: each compartment in one part, the other, or neither.
        assert_eq!(joins(&[1; 12]), 3u64.pow(12) / 2);
        assert_eq!(joins(&[1; 15]), 3u64.pow(15) / 2);
        assert_eq!(joins(&[10, 10, 10]), 66u64.pow(3) / 2);
        assert_eq!(states(&[10, 10, 10]), 1331);
        assert_eq!(joins(&[usize::MAX / 4; 9]), u64::MAX / 2);
    }

    #[test]
    fn parts_of_a_state_come_once_each() {
        let board = Board::new(1, 0, (9, 9));
        let table = Table::fill(board, &[&Dense::empty(&board), &Dense::empty(&board)], &[2, 1]);
        // Weights 1 and 3; the whole is 5: parts (1,0), (2,0) with the rest (1,1), (0,1).
        assert_eq!(table.parts_of(5).collect::<Vec<_>>(), [1, 2]);
        assert_eq!(table.parts_of(4).collect::<Vec<_>>(), [1]);
        assert_eq!(table.parts_of(2).collect::<Vec<_>>(), [1]);
    }
}

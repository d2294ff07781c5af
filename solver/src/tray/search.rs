//! Arrangements of more different compartments than can be walked: a search over slicing trees.
//!
//! First, for a few good orders of the compartments, all slicing trees that keep the order (a
//! recursion over intervals); then, for outlines of several proportions, local moves on the best
//! of these trees: swap two compartments, turn a cut, move a region elsewhere. Only curves of
//! whole trees are kept; the answer's curve is the least of them all. Seeded, so always the same.

use super::Effort;
use super::bands::Band;
use super::dense::{self, Board, Dense, NONE};
use super::interval;
use super::leaf::Leaf;
use super::sketch::Sketch;
use super::tree::Node;
use crate::random::Random;

/// Seed of every search here: a curve must be found again when a slice of it is asked for.
const SEED: u64 = 0x7261_7973;

/// What a search found: trees, and for each width the tree that is least deep there.
pub(super) struct Found {
    board: Board,
    leaves: Vec<Dense>,
    trees: Vec<Sketch>,
    /// Least depth per column and the tree it comes from.
    depth: Vec<i16>,
    from: Vec<usize>,
}

impl Found {
    pub(super) fn search(
        board: Board,
        dense: &[Dense],
        leaves: &[Leaf],
        counts: &[usize],
        turns: bool,
        effort: Effort,
    ) -> Found {
        let mut found = Found {
            board,
            leaves: dense.to_vec(),
            trees: Vec::new(),
            depth: vec![NONE; board.width + 1],
            from: vec![0; board.width + 1],
        };
        let kinds: Vec<usize> =
            counts.iter().enumerate().flat_map(|(k, &m)| std::iter::repeat_n(k, m)).collect();
        let mut random = Random::new(SEED);
        for order in orders(&kinds, leaves, &mut random) {
            for tree in interval::best_trees(&board, dense, &order) {
                found.keep(&tree);
            }
        }
        let bands = if turns { Band::HALF } else { Band::ALL };
        let joins = effort.moves() / (bands.len() as u64);
        for &band in bands {
            found.improve(band, joins, &mut random.child());
        }
        found
    }

    /// Local moves on the best tree of a band, slightly worse ones accepted less and less.
    fn improve(&mut self, band: Band, joins: u64, random: &mut Random) {
        let Some(start) = self.best_in(band) else { return };
        let mut now = start.grow(&self.board, &self.leaves);
        let mut cost = band.cost(now.curve());
        let mut best = cost;
        let mut spent = 0;
        while spent < joins {
            let Some(undo) = now.disturb(random, &self.leaves) else { break };
            spent += undo.joins().max(1);
            let new = band.cost(now.curve());
            // From 1 % down to nothing over the run.
            let allowed = cost.saturating_add(
                (cost / 100 / 1000).saturating_mul((1000 - spent.min(joins) * 1000 / joins) as i64),
            );
            if new > allowed {
                now.undo(undo);
                continue;
            }
            cost = new;
            if new < best {
                best = new;
                self.keep(&now.sketch());
            }
        }
    }

    /// Takes a tree into the answer where it is less deep than what is there.
    fn keep(&mut self, tree: &Sketch) {
        let grown = tree.grow(&self.board, &self.leaves);
        let id = self.trees.len();
        let mut better = false;
        for ((best, from), &d) in self.depth.iter_mut().zip(&mut self.from).zip(&grown.curve().depth) {
            if d < *best {
                (*best, *from, better) = (d, id, true);
            }
        }
        if better {
            self.trees.push(tree.clone());
        }
    }

    fn best_in(&self, band: Band) -> Option<&Sketch> {
        let (_, w) = self.points().into_iter().map(|(w, d)| (band.cost_of(w, d), w)).min()?;
        self.trees.get(*self.from.get(usize::try_from(w).ok()?)?)
    }

    pub(super) fn points(&self) -> Vec<(i64, i64)> {
        dense::points(&self.depth, self.board.depth + 1)
    }

    pub(super) fn fits(&self, columns: i64, rows: i64) -> bool {
        let at = usize::try_from(columns).unwrap_or(0).min(self.board.width);
        self.depth.get(at).is_some_and(|&d| i64::from(d) <= rows)
    }

    pub(super) fn tree(&self, columns: i64, rows: i64) -> Option<Node> {
        let columns = columns.min(self.board.width as i64);
        let rows = rows.min(self.board.depth as i64);
        let id = *self.from.get(usize::try_from(columns).ok()?)?;
        self.trees.get(id)?.grow(&self.board, &self.leaves).node(&self.board, columns, rows)
    }
}

/// Orders in which neighbours are alike in one measure or another, and two that are shuffled.
fn orders(kinds: &[usize], leaves: &[Leaf], random: &mut Random) -> Vec<Vec<usize>> {
    let sides: Vec<(i64, i64)> = leaves.iter().map(Leaf::sides).collect();
    let side = |k: usize| sides.get(k).copied().unwrap_or((0, 0));
    let sorted = |key: &dyn Fn((i64, i64)) -> i64| {
        let mut order = kinds.to_vec();
        order.sort_by_key(|&k| (std::cmp::Reverse(key(side(k))), k));
        order
    };
    let mut all = vec![sorted(&|(a, b)| a.saturating_mul(b)), sorted(&|(_, b)| b), sorted(&|(a, _)| a)];
    for _ in 0..2 {
        let mut order = kinds.to_vec();
        random.shuffle(&mut order);
        all.push(order);
    }
    all
}

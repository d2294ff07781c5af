//! Arrangements of more different compartments than can be walked: a search over nests of groups.
//!
//! Compartments are put into groups, by size and as the best trees that keep an order have them
//! together; each group is arranged in every way, and so are the groups. Then compartments change groups, at random, as long as the curve as a whole becomes no
//! worse. The answer's curve is the least of all nests met. Seeded, so always the same.

use super::Effort;
use super::dense::{self, Board, Dense, NONE};
use super::interval;
use super::leaf::Leaf;
use super::nest::{Nest, Tables};
use super::tree::Node;
use crate::random::Random;

/// Seed of every search here: a curve must be found again when a slice of it is asked for.
const SEED: u64 = 0x7261_7973;

/// Proportions that the search cares for: width over depth up to this, and as much the other way.
const NARROWEST: i64 = 6;

/// What a search found: nests, and for each width the one that is least deep there.
pub(super) struct Found {
    board: Board,
    nests: Vec<Tables>,
    /// Least depth per column and the nest it comes from.
    depth: Vec<i16>,
    from: Vec<usize>,
}

/// The curve so far, and the nests it comes from.
struct Best {
    nests: Vec<Nest>,
    depth: Vec<i16>,
    from: Vec<usize>,
}

impl Best {
    /// Takes a nest into the answer where it is less deep than what is there.
    fn keep(&mut self, nest: &Nest) {
        let Some(curve) = nest.curve() else { return };
        let id = self.nests.len();
        let mut better = false;
        for ((best, from), &d) in self.depth.iter_mut().zip(&mut self.from).zip(&curve.depth) {
            if d < *best {
                (*best, *from, better) = (d, id, true);
            }
        }
        if better {
            self.nests.push(nest.clone());
        }
    }
}

impl Found {
    /// Searches; `counts` go by kind, like `leaves`.
    pub(super) fn search(
        board: Board,
        dense: &[Dense],
        leaves: &[Leaf],
        counts: &[usize],
        turns: bool,
        effort: Effort,
    ) -> Found {
        let columns = board.width + 1;
        let mut best = Best { nests: Vec::new(), depth: vec![NONE; columns], from: vec![0; columns] };
        let kinds: Vec<usize> =
            counts.iter().enumerate().flat_map(|(k, &m)| std::iter::repeat_n(k, m)).collect();
        let mut starts = Vec::new();
        for order in orders(&kinds, leaves) {
            starts.push(Nest::of_order(&board, dense, &order));
            let trees = interval::best_trees(&board, dense, &order, turns);
            starts.extend(trees.iter().map(|tree| Nest::of_tree(&board, dense, tree)));
        }
        for nest in &starts {
            best.keep(nest);
        }
        let area = dense::points(&best.depth, board.depth + 1).into_iter().map(|(w, d)| w * d).min();
        let worth = Worth::new(area.unwrap_or(0), turns, &board);
        let mut random = Random::new(SEED);
        let start = starts.into_iter().min_by_key(|nest| nest.curve().map_or(i64::MAX, |c| worth.of(c)));
        if let Some(nest) = start {
            improve(nest, &worth, &board, dense, effort.groups(), &mut random, &mut best);
        }
        // Only nests that the curve still comes from are kept, with their tables.
        let mut used: Vec<usize> =
            best.from.iter().zip(&best.depth).filter(|&(_, &d)| d < NONE).map(|(&id, _)| id).collect();
        used.sort_unstable();
        used.dedup();
        let nests =
            used.iter().filter_map(|&id| best.nests.get(id)).map(|nest| nest.tables(&board, dense)).collect();
        let from = best.from.iter().map(|id| used.binary_search(id).unwrap_or(0)).collect();
        Found { board, nests, depth: best.depth, from }
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
        self.nests.get(id)?.tree(&self.board, columns, rows)
    }
}

/// What a curve is worth as a whole: the sum of areas over all widths that matter. The least area
/// alone would move in jumps of a whole column and show no way down.
struct Worth {
    columns: std::ops::RangeInclusive<usize>,
    /// A width without an arrangement counts as four times the least area.
    cap: i64,
}

impl Worth {
    fn new(area: i64, turns: bool, board: &Board) -> Worth {
        let root = |n: i64| (n.max(0).isqrt() as usize).min(board.width);
        let narrow = if turns { root(area) * 9 / 10 } else { root(area / NARROWEST) };
        Worth { columns: narrow..=root(area.saturating_mul(NARROWEST)), cap: area.saturating_mul(4) }
    }

    fn of(&self, curve: &Dense) -> i64 {
        let depths = curve.depth.get(self.columns.clone()).unwrap_or(&[]);
        self.columns.clone().zip(depths).map(|(w, &d)| (w as i64 * i64::from(d)).min(self.cap)).sum()
    }
}

/// Moves on a nest, slightly worse ones accepted less and less.
fn improve(
    mut now: Nest,
    worth: &Worth,
    board: &Board,
    dense: &[Dense],
    groups: u64,
    random: &mut Random,
    best: &mut Best,
) {
    let Some(mut least) = now.curve().map(|c| worth.of(c)) else { return };
    let (mut spent, mut idle) = (0, 0);
    while spent < groups && idle < 200 {
        let Some(undo) = now.disturb(board, dense, random) else {
            idle += 1;
            continue;
        };
        idle = 0;
        spent += undo.groups();
        let Some(curve) = now.curve() else { return };
        let new = worth.of(curve);
        // Within 1 % of the best so far, down to nothing over the run.
        let left = i128::from(groups.saturating_sub(spent));
        let allowed = i128::from(least) * left / (100 * i128::from(groups.max(1)));
        if i128::from(new - least) > allowed {
            now.undo(undo);
            continue;
        }
        least = least.min(new);
        if worth.columns.clone().any(|w| curve.depth.get(w) < best.depth.get(w)) {
            best.keep(&now);
        }
    }
}

/// Orders in which neighbours are alike in one measure or another.
fn orders(kinds: &[usize], leaves: &[Leaf]) -> Vec<Vec<usize>> {
    let sides: Vec<(i64, i64)> = leaves.iter().map(Leaf::sides).collect();
    let side = |k: usize| sides.get(k).copied().unwrap_or((0, 0));
    let sorted = |key: &dyn Fn((i64, i64)) -> i64| {
        let mut order = kinds.to_vec();
        order.sort_by_key(|&k| (std::cmp::Reverse(key(side(k))), k));
        order
    };
    vec![sorted(&|(a, b)| a.saturating_mul(b)), sorted(&|(_, b)| b), sorted(&|(a, _)| a)]
}

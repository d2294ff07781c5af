//! Arrangements found on a coarse board, worked out again on a fine one.
//!
//! Drawing an arrangement tight gives back what rounding took, but poured compartments could also share
//! it out anew. The whole curve of one arrangement is a few joins, so each is worked out on the real grid,
//! or as near to it as a board goes.

use std::borrow::Cow;
use std::collections::BTreeMap;

use rayon::prelude::*;

use super::dense::{self, Board, Dense, NONE};
use super::joint::Joint;
use super::leaf::Leaf;
use super::tree::{Kind, Node};

/// Columns of a fine board.
const COLUMNS: i64 = 6_000;

/// A board that is not this many times as fine is not worth the work.
const FINER: i64 = 4;

/// Cells that all arrangements together may take: about 0.1 s.
const CELLS: u64 = 200_000_000;

/// Arrangements of one tray on a fine board.
pub(super) struct Fine {
    board: Board,
    leaves: Vec<Dense>,
    trees: Vec<Node>,
}

/// An arrangement with the curves of its regions.
struct Shaped<'a> {
    curve: Cow<'a, Dense>,
    kids: Option<Box<[Shaped<'a>; 2]>>,
    node: &'a Node,
}

impl Fine {
    /// Of arrangements found on a board of this step, each once; evenly spread ones where all are too many.
    /// `None` where no finer board would tell more.
    pub(super) fn new(trees: &[Node], coarse: &Board, reach: i64, leaves: &[Leaf]) -> Option<Fine> {
        let step = (reach / COLUMNS).max(1);
        if coarse.step < step * FINER || !leaves.iter().any(Leaf::is_soft) {
            return None;
        }
        let board = Board::new(step, coarse.divider, (reach, reach));
        let by_form: BTreeMap<Vec<u32>, &Node> = trees.iter().map(|tree| (tree.form(), tree)).collect();
        let trees: Vec<&Node> = by_form.into_values().collect();
        let cells = trees.iter().map(|t| t.leaves() * (board.width + board.depth) as u64).sum::<u64>();
        let nth = usize::try_from(cells.div_ceil(CELLS)).unwrap_or(usize::MAX).max(1);
        let trees = trees.into_iter().step_by(nth).cloned().collect();
        let leaves = leaves.iter().map(|l| l.dense(&board)).collect();
        Some(Fine { board, leaves, trees })
    }

    /// Pareto-least inner sizes over all arrangements, in grid steps.
    pub(super) fn points(&self) -> Vec<(i64, i64)> {
        let none = || vec![NONE; self.board.width + 1];
        let least = |mut a: Vec<i16>, b: &[i16]| {
            a.iter_mut().zip(b).for_each(|(a, b)| *a = (*a).min(*b));
            a
        };
        let depth = self
            .trees
            .par_iter()
            .fold(none, |all, tree| least(all, &self.shaped(tree).curve.depth))
            .reduce(none, |a, b| least(a, &b));
        let points = dense::points(&depth, self.board.depth + 1);
        points.into_iter().map(|(c, r)| (self.board.clear(c), self.board.clear(r))).collect()
    }

    /// The first arrangement that goes into this inner size, filling it.
    pub(super) fn node(&self, w: i64, d: i64) -> Option<Node> {
        let (columns, rows) = (self.board.down(w), self.board.down(d));
        self.trees.iter().find_map(|tree| self.shaped(tree).node(&self.board, columns, rows))
    }

    fn shaped<'a>(&'a self, node: &'a Node) -> Shaped<'a> {
        match &node.kind {
            Kind::Leaf(kind) => {
                let empty = || Cow::Owned(Dense::empty(&self.board));
                let curve = self.leaves.get(*kind).map_or_else(empty, Cow::Borrowed);
                Shaped { curve, kids: None, node }
            }
            Kind::Cut(axis, kids) => {
                let [a, b] = kids.as_ref();
                let [a, b] = [self.shaped(a), self.shaped(b)];
                let mut curve = Joint::new(&self.board, false);
                if *axis == 0 {
                    curve.beside(a.curve.half(), b.curve.half());
                } else {
                    curve.behind(a.curve.half(), b.curve.half());
                }
                let curve = curve.close();
                Shaped { curve: Cow::Owned(curve), kids: Some(Box::new([a, b])), node }
            }
        }
    }
}

impl Shaped<'_> {
    /// The region drawn out to so many columns and rows; `None` where it needs more.
    fn node(&self, board: &Board, columns: i64, rows: i64) -> Option<Node> {
        let at = |side: &[i16], i: i64| side.get(usize::try_from(i).ok()?).map(|x| i64::from(*x));
        if at(&self.curve.depth, columns.min(board.width as i64))? > rows {
            return None;
        }
        let size = [board.clear(columns), board.clear(rows)];
        let kind = match (&self.node.kind, &self.kids) {
            (Kind::Cut(axis, _), Some(kids)) => {
                let [a, b] = kids.as_ref();
                let kids = if *axis == 0 {
                    let own = at(&a.curve.width, rows.min(board.depth as i64))?;
                    [a.node(board, own, rows)?, b.node(board, columns - own, rows)?]
                } else {
                    let own = at(&a.curve.depth, columns.min(board.width as i64))?;
                    [a.node(board, columns, own)?, b.node(board, columns, rows - own)?]
                };
                Kind::Cut(*axis, Box::new(kids))
            }
            (kind, _) => kind.clone(),
        };
        Some(Node { size, kind })
    }
}

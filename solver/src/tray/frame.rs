//! One tray at one clear height, solved: exact where that is affordable, else searched.

use std::sync::OnceLock;

use super::dense::{Board, Dense, MOST_COLUMNS};
use super::exact::{self, Table};
use super::fine::Fine;
use super::leaf::Leaf;
use super::needs::{PartNeed, TrayNeeds};
use super::search::Found;
use super::tree::Node;
use super::{Effort, Shape};
use crate::length::Length;

/// Cells (joins × columns and rows) up to which a finer working step is chosen: about 7 ms a curve.
const FINE_CELLS: u64 = 48_000_000;

/// Cells up to which a tray is walked on the real grid around a chosen outline.
const FINEST_CELLS: u64 = 4_000_000_000;

/// The working step never grows beyond this while the board has enough columns.
const COARSEST: Length = Length::mm(1);

/// Columns that even a coarse board keeps over the tray's reach.
const ENOUGH_COLUMNS: i64 = 600;

/// Memory limit of the exact recursion in cells of two bytes.
const MOST_STORED: u64 = 64_000_000;

/// What does not depend on the height: kinds of parts, the working step, and whether every
/// arrangement is walked.
#[derive(Clone, Debug)]
pub(super) struct Frame<'a> {
    pub(super) tray: &'a TrayNeeds,
    /// Part indices by kind.
    pub(super) kinds: Vec<Vec<usize>>,
    pub(super) step: i64,
    pub(super) exact: bool,
    effort: Effort,
    pub(super) turns: bool,
}

impl<'a> Frame<'a> {
    pub(super) fn new(tray: &'a TrayNeeds, effort: Effort) -> Frame<'a> {
        let kinds = tray.kinds();
        let turns = tray.turns();
        let mut frame = Frame { tray, kinds, step: 1, exact: false, effort, turns };
        let (joins, reach) = (frame.joins(), tray.reach.max(1));
        for step in (0..6).flat_map(|decade| [1, 2, 5].map(|m| m * 10i64.pow(decade))) {
            frame.step = step;
            let work = joins.saturating_mul(frame.cells(step));
            let fine = work <= FINE_CELLS && reach / step < MOST_COLUMNS;
            let coarse = Length::from_nm(tray.grid.nm().saturating_mul(step)) >= COARSEST
                && reach / step <= ENOUGH_COLUMNS;
            if fine || coarse {
                frame.exact = work <= effort.cells() && frame.stored(step) <= MOST_STORED;
                break;
            }
        }
        frame
    }

    /// The same on the real grid, where that can be walked within [`FINEST_CELLS`] for inner sizes
    /// up to the reach. What it finds for smaller sizes is found again for larger ones.
    pub(super) fn finest(tray: &'a TrayNeeds) -> Option<Frame<'a>> {
        let frame = Frame { step: 1, exact: true, ..Frame::new(tray, Effort::Usual) };
        let affordable = frame.joins().saturating_mul(frame.cells(1)) <= FINEST_CELLS
            && frame.stored(1) <= MOST_STORED
            && tray.reach < MOST_COLUMNS;
        affordable.then_some(frame)
    }

    /// [`Frame::finest`] where a walk up to `most` stays within so many cells, else the usual one.
    pub(super) fn finest_within(tray: &'a TrayNeeds, most: Shape, cells: u64) -> Frame<'a> {
        let columns = u64::try_from(most.0.max(0).saturating_add(most.1.max(0))).unwrap_or(0);
        match Frame::finest(tray) {
            Some(frame) if frame.joins().saturating_mul(columns) <= cells => frame,
            _ => Frame::new(tray, Effort::Usual),
        }
    }

    fn counts(&self) -> Vec<usize> {
        self.kinds.iter().map(Vec::len).collect()
    }

    fn joins(&self) -> u64 {
        exact::joins(&self.counts()).max(1)
    }

    /// Columns and rows over the tray's reach at a working step.
    fn cells(&self, step: i64) -> u64 {
        2 * (self.tray.reach.max(1) / step + 1) as u64
    }

    fn stored(&self, step: i64) -> u64 {
        exact::states(&self.counts()).saturating_mul(self.cells(step))
    }

    /// A frame that searches even where all arrangements could be walked, to compare the two.
    #[cfg(test)]
    pub(super) fn searching(tray: &'a TrayNeeds) -> Frame<'a> {
        Frame { exact: false, ..Frame::new(tray, Effort::Usual) }
    }

    /// Whether every straight-cut arrangement is walked, those of nested trays included.
    pub(super) fn exact_throughout(&self) -> bool {
        self.exact && self.nested().all(|inner| inner.exact_throughout())
    }

    /// The coarsest working step, those of nested trays included.
    pub(super) fn step_throughout(&self) -> i64 {
        self.nested().map(|inner| inner.step_throughout()).fold(self.step, i64::max)
    }

    fn nested(&self) -> impl Iterator<Item = Frame<'_>> {
        self.tray.parts.iter().filter_map(|part| match part {
            PartNeed::Tray(inner, _) => Some(Frame::new(inner, self.effort)),
            PartNeed::Room(_) => None,
        })
    }

    /// The tray solved at clear height `u` so that an inner `w` × `d` holds it; `None` where none does.
    pub(super) fn holding(&self, u: i64, w: i64, d: i64) -> Option<Solved<'_>> {
        if self.exact {
            let quick = self.solve(u, (w, d)).filter(|solved| solved.fits_coarsely(w, d));
            if quick.is_some() {
                return quick;
            }
            if self.step == 1 {
                return None;
            }
        }
        // A tightened point comes from a coarse point that is larger than itself.
        self.solve(u, self.reach()).filter(|solved| solved.node(w, d).is_some())
    }

    /// How much longer a row may be on the board than on the real grid, in grid steps: every part of a row may have
    /// been rounded up by nearly a step. An eighth of the reach at most, so that boards stay small.
    fn rounded(&self) -> i64 {
        let row = (self.tray.parts.len() as i64).saturating_mul(self.step - 1);
        row.min(self.tray.reach / 8)
    }

    fn reach(&self) -> Shape {
        (self.tray.reach, self.tray.reach)
    }

    /// Solves the tray at clear height `u` for inner sizes up to `most`. Points within `most` do not
    /// depend on `most`. `None` where some part does not stand at this height.
    pub(super) fn solve(&self, u: i64, most: Shape) -> Option<Solved<'_>> {
        let most = (most.0.min(self.tray.reach), most.1.min(self.tray.reach));
        if u < 1 || most.0 < 1 || most.1 < 1 || self.kinds.is_empty() {
            return None;
        }
        let leaves = Leaf::all(self.tray, &self.kinds, u, self.effort)?;
        let (w, d) = if self.exact { most } else { self.reach() };
        let more = self.rounded();
        let board = Board::new(self.step, self.tray.divider, (w + more, d + more));
        let dense: Vec<Dense> = leaves.iter().map(|l| l.dense(&board)).collect();
        if self.exact && dense.iter().any(|d| d.ends.is_empty()) {
            return None;
        }
        let counts = self.counts();
        let engine = if self.exact {
            Engine::Exact(Table::fill(board, &dense.iter().collect::<Vec<_>>(), &counts))
        } else {
            Engine::Searched(Found::search(board, &dense, &leaves, &counts, self.turns, self.effort))
        };
        Some(Solved { frame: self, u, most, board, leaves, engine, trees: OnceLock::new() })
    }
}

enum Engine {
    Exact(Table),
    Searched(Found),
}

/// A tray solved at one clear height.
pub(super) struct Solved<'a> {
    frame: &'a Frame<'a>,
    u: i64,
    most: Shape,
    board: Board,
    leaves: Vec<Leaf>,
    engine: Engine,
    /// Taking them out takes a good part of the time, and is asked for more than once.
    trees: OnceLock<Vec<Node>>,
}

impl Solved<'_> {
    fn coarse_points(&self) -> Vec<(i64, i64)> {
        match &self.engine {
            Engine::Exact(table) => table.points(),
            Engine::Searched(found) => found.points(),
        }
    }

    fn tree(&self, columns: i64, rows: i64) -> Option<Node> {
        match &self.engine {
            Engine::Exact(table) => table.tree(columns, rows),
            Engine::Searched(found) => found.tree(columns, rows),
        }
    }

    /// On the real grid and exact, points need no tightening.
    fn is_tight(&self) -> bool {
        self.frame.step == 1
    }

    /// The arrangements at all coarse points.
    fn coarse_trees(&self) -> &[Node] {
        let trees = || self.coarse_points().into_iter().filter_map(|(c, r)| self.tree(c, r)).collect();
        self.trees.get_or_init(trees)
    }

    /// Every arrangement at a coarse point, drawn tight: width first, and depth first.
    fn tight(&self) -> impl Iterator<Item = Node> + '_ {
        self.coarse_trees().iter().flat_map(|node| {
            [0, 1].map(|axis| {
                let mut node = node.clone();
                node.tighten(axis, &self.leaves, self.frame.tray.divider);
                node
            })
        })
    }

    /// The same arrangements worked out on a finer board, where that tells more.
    fn fine(&self) -> Option<Fine> {
        if self.is_tight() {
            return None;
        }
        Fine::new(self.coarse_trees(), &self.board, self.frame.tray.reach, &self.leaves)
    }

    /// Pareto-least inner sizes on the real grid, widths ascending.
    pub(super) fn points(&self) -> Vec<Shape> {
        let mut all: Vec<Shape> = if self.is_tight() {
            self.coarse_points()
                .into_iter()
                .map(|(c, r)| (self.board.clear(c), self.board.clear(r)))
                .collect()
        } else {
            let tight = self.tight().map(|node| (node.size[0], node.size[1]));
            tight.chain(self.fine().into_iter().flat_map(|fine| fine.points())).collect()
        };
        if self.frame.turns && !(self.is_tight() && self.frame.exact) {
            all.extend(all.clone().into_iter().map(|(w, d)| (d, w)));
        }
        all.retain(|&(w, d)| w <= self.most.0 && d <= self.most.1);
        pareto(all)
    }

    /// Whether an inner size holds the tray without tightening; quick.
    pub(super) fn fits_coarsely(&self, w: i64, d: i64) -> bool {
        let (columns, rows) = (self.board.down(w), self.board.down(d));
        match &self.engine {
            Engine::Exact(table) => table.fits(columns, rows),
            Engine::Searched(found) => found.fits(columns, rows),
        }
    }

    /// An arrangement within an inner size, drawn out to fill it.
    pub(super) fn node(&self, w: i64, d: i64) -> Option<Node> {
        let direct = |w: i64, d: i64| {
            self.fits_coarsely(w, d).then(|| self.tree(self.board.down(w), self.board.down(d))).flatten()
        };
        if let Some(node) = direct(w, d) {
            return Some(node);
        }
        if self.frame.turns
            && let Some(mut node) = direct(d, w)
        {
            node.mirror();
            return Some(node);
        }
        if self.is_tight() {
            return None;
        }
        let found = self.tight().find_map(|mut node| {
            let [own_w, own_d] = node.size;
            if own_w <= w && own_d <= d {
                return Some(node);
            }
            if self.frame.turns && own_d <= w && own_w <= d {
                node.mirror();
                return Some(node);
            }
            None
        });
        found.or_else(|| {
            let fine = self.fine()?;
            let turned = || {
                let mut node = fine.node(d, w)?;
                node.mirror();
                Some(node)
            };
            fine.node(w, d).or_else(|| if self.frame.turns { turned() } else { None })
        })
    }

    pub(super) fn slice(&self, w: i64, d: i64) -> Option<super::Slice> {
        let node = self.node(w, d)?;
        let mut pools: Vec<_> = self.frame.kinds.iter().map(|k| k.clone().into_iter()).collect();
        node.slice(self.frame.tray, self.u, &self.leaves, &mut pools)
    }
}

/// Drops dominated points; widths ascending, depths descending.
pub(super) fn pareto(mut all: Vec<Shape>) -> Vec<Shape> {
    all.sort_unstable();
    let mut out: Vec<Shape> = Vec::with_capacity(all.len());
    for (w, d) in all {
        if out.last().is_none_or(|&(_, last)| d < last) {
            out.push((w, d));
        }
    }
    out
}

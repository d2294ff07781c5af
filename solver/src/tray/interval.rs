//! All slicing trees that keep an order: a recursion over intervals of the order.

use super::dense::{self, Board, Dense};
use super::joint::Joint;
use super::tree::{Kind, Node};

/// Orders longer than this are cut into blocks first; the work grows with the third power.
const BLOCK: usize = 64;

/// Proportions of outlines (width to depth) for which a tree is taken out; those that are not deeper
/// than wide come first.
const PROPORTIONS: &[(i64, i64)] = &[(1, 1), (2, 1), (4, 1), (1, 2), (1, 4)];

/// Curves of all intervals of a list of items.
struct Triangle {
    items: usize,
    /// Interval `from..=to` at `to·(to+1)/2 + from`.
    curves: Vec<Dense>,
}

impl Triangle {
    fn fill(board: &Board, items: &[&Dense]) -> Triangle {
        let mut triangle = Triangle { items: items.len(), curves: Vec::new() };
        let mirrored = items.iter().all(|item| item.is_mirrored());
        for (to, &item) in items.iter().enumerate() {
            // From right to left, each needs shorter intervals only; stored from left to right.
            let mut row: Vec<Dense> = vec![item.clone()];
            for from in (0..to).rev() {
                let mut own = Joint::new(board, mirrored);
                for middle in from..to {
                    // `row` holds intervals that end at `to`, the shortest first.
                    if let (Some(a), Some(b)) = (triangle.of(from, middle), row.get(to - middle - 1)) {
                        own.put(a.half(), b.half());
                    }
                }
                row.push(own.close());
            }
            row.reverse();
            triangle.curves.append(&mut row);
        }
        triangle
    }

    fn of(&self, from: usize, to: usize) -> Option<&Dense> {
        self.curves.get(to * (to + 1) / 2 + from)
    }

    fn whole(&self) -> Option<&Dense> {
        self.of(0, self.items.checked_sub(1)?)
    }

    /// The tree of an interval within so many columns and rows; leaves are numbers of items.
    fn tree(&self, board: &Board, (from, to): (usize, usize), (w, d): (i64, i64)) -> Option<Node> {
        let size = [board.clear(w), board.clear(d)];
        if from == to {
            return Some(Node { size, kind: Kind::Leaf(from) });
        }
        let (column, row) = (usize::try_from(w).ok()?, usize::try_from(d).ok()?);
        for middle in from..to {
            let (a, b) = (self.of(from, middle)?, self.of(middle + 1, to)?);
            let (da, db) = (i64::from(*a.depth.get(column)?), i64::from(*b.depth.get(column)?));
            let (wa, wb) = (i64::from(*a.width.get(row)?), i64::from(*b.width.get(row)?));
            let (axis, first, second) = if da + db <= d {
                (1, (w, da), (w, d - da))
            } else if wa + wb <= w {
                (0, (wa, d), (w - wa, d))
            } else {
                continue;
            };
            let first = self.tree(board, (from, middle), first)?;
            let second = self.tree(board, (middle + 1, to), second)?;
            return Some(Node { size, kind: Kind::Cut(axis, Box::new([first, second])) });
        }
        None
    }
}

/// For each proportion the best tree that keeps `order` (kinds of parts, one entry a part); a tray
/// that turns needs none that is deeper than wide.
pub(super) fn best_trees(board: &Board, leaves: &[Dense], order: &[usize], turns: bool) -> Vec<Node> {
    let items: Vec<&Dense> = order.iter().filter_map(|&k| leaves.get(k)).collect();
    if items.len() != order.len() || items.is_empty() {
        return Vec::new();
    }
    let size = if items.len() <= BLOCK { BLOCK } else { BLOCK.min(items.len().isqrt() + 1) };
    let blocks: Vec<Triangle> = items.chunks(size).map(|block| Triangle::fill(board, block)).collect();
    let wholes: Vec<&Dense> = blocks.iter().filter_map(Triangle::whole).collect();
    let over = Triangle::fill(board, &wholes);
    let Some(whole) = over.whole() else { return Vec::new() };
    let points = dense::points(&whole.depth, board.depth + 1);
    PROPORTIONS
        .iter()
        .take(if turns { 3 } else { PROPORTIONS.len() })
        .filter_map(|&(w, d)| {
            let point = *points.iter().min_by_key(|p| ((p.0 * d).max(p.1 * w), p.0))?;
            let mut node = over.tree(board, (0, wholes.len() - 1), point)?;
            open(board, &blocks, size, order, &mut node)?;
            Some(node)
        })
        .collect()
}

/// Puts the trees of blocks in the place of blocks, and kinds of parts in the place of items.
fn open(board: &Board, blocks: &[Triangle], size: usize, order: &[usize], node: &mut Node) -> Option<()> {
    match &mut node.kind {
        Kind::Cut(_, kids) => kids.iter_mut().try_for_each(|kid| open(board, blocks, size, order, kid)),
        Kind::Leaf(block) => {
            let (block, [w, d]) = (*block, node.size);
            let triangle = blocks.get(block)?;
            let extent = (board.down(w), board.down(d));
            *node = triangle.tree(board, (0, triangle.items.checked_sub(1)?), extent)?;
            name(order.get(block * size..)?, node)
        }
    }
}

fn name(order: &[usize], node: &mut Node) -> Option<()> {
    match &mut node.kind {
        Kind::Cut(_, kids) => kids.iter_mut().try_for_each(|kid| name(order, kid)),
        Kind::Leaf(item) => {
            *item = *order.get(*item)?;
            Some(())
        }
    }
}

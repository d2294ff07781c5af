//! All slicing trees that keep an order: a recursion over intervals of the order.

use super::bands::Band;
use super::dense::{self, Board, Dense};
use super::sketch::Sketch;

/// Orders longer than this are cut into blocks first; the work grows with the third power.
const BLOCK: usize = 64;

/// Curves of all intervals of a list of items.
struct Triangle {
    items: usize,
    /// Interval `from..=to` at `to·(to+1)/2 + from`.
    curves: Vec<Dense>,
}

impl Triangle {
    fn fill(board: &Board, items: &[&Dense]) -> Triangle {
        let mut triangle = Triangle { items: items.len(), curves: Vec::new() };
        for (to, &item) in items.iter().enumerate() {
            // From right to left, each needs shorter intervals only; stored from left to right.
            let mut row: Vec<Dense> = vec![item.clone()];
            for from in (0..to).rev() {
                let mut own = Dense::empty(board);
                for middle in from..to {
                    // `row` holds intervals that end at `to`, the shortest first.
                    let (Some(a), Some(b)) = (triangle.of(from, middle), row.get(to - middle - 1)) else {
                        continue;
                    };
                    if a.ends.is_empty() || b.ends.is_empty() {
                        continue;
                    }
                    dense::join(&mut own.depth, &a.depth, &b.depth, dense::columns(a.ends, b.ends));
                    dense::join(&mut own.width, &a.width, &b.width, dense::rows(a.ends, b.ends));
                }
                own.close();
                row.push(own);
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

    /// The tree of an interval within so many columns and rows; `leaf` grows an item's own part of it.
    fn tree(
        &self,
        (from, to): (usize, usize),
        (w, d): (i64, i64),
        into: &mut Sketch,
        leaf: &dyn Fn(&mut Sketch, usize, i64, i64) -> Option<usize>,
    ) -> Option<usize> {
        if from == to {
            return leaf(into, from, w, d);
        }
        let (column, row) = (usize::try_from(w).ok()?, usize::try_from(d).ok()?);
        for middle in from..to {
            let (a, b) = (self.of(from, middle)?, self.of(middle + 1, to)?);
            let (da, db) = (i64::from(*a.depth.get(column)?), i64::from(*b.depth.get(column)?));
            if da + db <= d {
                let first = self.tree((from, middle), (w, da), into, leaf)?;
                let second = self.tree((middle + 1, to), (w, d - da), into, leaf)?;
                return Some(into.cut(1, first, second));
            }
            let (wa, wb) = (i64::from(*a.width.get(row)?), i64::from(*b.width.get(row)?));
            if wa + wb <= w {
                let first = self.tree((from, middle), (wa, d), into, leaf)?;
                let second = self.tree((middle + 1, to), (w - wa, d), into, leaf)?;
                return Some(into.cut(0, first, second));
            }
        }
        None
    }
}

/// For each proportion the best tree that keeps `order` (kinds of parts, one entry a part).
pub(super) fn best_trees(board: &Board, leaves: &[Dense], order: &[usize]) -> Vec<Sketch> {
    let items: Vec<&Dense> = order.iter().filter_map(|&k| leaves.get(k)).collect();
    if items.len() != order.len() || items.is_empty() {
        return Vec::new();
    }
    let size = if items.len() <= BLOCK { BLOCK } else { BLOCK.min(items.len().isqrt() + 1) };
    let blocks: Vec<Triangle> = items.chunks(size).map(|block| Triangle::fill(board, block)).collect();
    let wholes: Vec<&Dense> = blocks.iter().filter_map(Triangle::whole).collect();
    let over = Triangle::fill(board, &wholes);
    let Some(whole) = over.whole() else { return Vec::new() };
    let points = whole.points();
    let mut out = Vec::new();
    for band in Band::ALL {
        let Some(&point) = points.iter().min_by_key(|&&(w, d)| band.cost_of(w, d)) else { continue };
        let mut sketch = Sketch::default();
        let grown = over.tree((0, blocks.len() - 1), point, &mut sketch, &|sketch, block, w, d| {
            let triangle = blocks.get(block)?;
            triangle.tree((0, triangle.items - 1), (w, d), sketch, &|sketch, item, _, _| {
                Some(sketch.leaf(*order.get(block * size + item)?))
            })
        });
        if grown.is_some() {
            out.push(sketch);
        }
    }
    out
}

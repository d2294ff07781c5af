//! Curves kept as the least depth for every width and the least width for every depth.
//!
//! Every compartment is taken with one divider's thickness added on both axes, so that neighbours
//! simply add up; the tray's inner size is the sum less one divider. Two curves join in two passes
//! over short arrays: one behind the other adds depths at equal width, side by side adds widths at
//! equal depth (Stockmeyer 1983, facts G12), both of them plain loops that compilers vectorise.

use super::Shape;

/// Stands for "does not fit"; two of them still add up within an `i16`.
pub(super) const NONE: i16 = 16_000;

/// Most columns that a board may have.
pub(super) const MOST_COLUMNS: i64 = 15_000;

/// The working grid of one tray: its step in grid steps, and how far it reaches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Board {
    pub(super) step: i64,
    pub(super) divider: i64,
    /// Greatest column, one divider included.
    pub(super) width: usize,
    /// Greatest row, one divider included.
    pub(super) depth: usize,
}

impl Board {
    pub(super) fn new(step: i64, divider: i64, most: Shape) -> Board {
        let last = |len: i64| ((len + divider) / step).clamp(0, MOST_COLUMNS) as usize;
        Board { step, divider, width: last(most.0), depth: last(most.1) }
    }

    /// Columns that hold this many grid steps and a divider.
    pub(super) fn up(&self, len: i64) -> i64 {
        (len + self.divider + self.step - 1) / self.step
    }

    /// Columns within this many grid steps and a divider.
    pub(super) fn down(&self, len: i64) -> i64 {
        (len + self.divider) / self.step
    }

    /// Clear grid steps in so many columns.
    pub(super) fn clear(&self, columns: i64) -> i64 {
        columns * self.step - self.divider
    }
}

/// One curve: `depth[w]` the least depth at width w, `width[d]` the least width at depth d.
#[derive(Clone, Debug)]
pub(super) struct Dense {
    pub(super) depth: Vec<i16>,
    pub(super) width: Vec<i16>,
    pub(super) ends: Ends,
}

/// Columns and rows between which a curve changes; `w_least` is [`NONE`] for an empty one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ends {
    pub(super) w_least: i16,
    pub(super) w_most: i16,
    pub(super) d_least: i16,
    pub(super) d_most: i16,
}

impl Ends {
    pub(super) const EMPTY: Ends = Ends { w_least: NONE, w_most: NONE, d_least: NONE, d_most: NONE };

    pub(super) fn is_empty(self) -> bool {
        self.w_least == NONE
    }
}

impl Dense {
    pub(super) fn empty(board: &Board) -> Dense {
        Dense { depth: vec![NONE; board.width + 1], width: vec![NONE; board.depth + 1], ends: Ends::EMPTY }
    }

    /// Marks a point; [`Dense::close`] makes a curve of the marks.
    pub(super) fn mark(&mut self, columns: i64, rows: i64) {
        let (Ok(w), Ok(d)) = (usize::try_from(columns), usize::try_from(rows)) else { return };
        if d < self.width.len() && w < self.depth.len() {
            // Both are below MOST_COLUMNS, so the casts hold.
            if let Some(cell) = self.depth.get_mut(w) {
                *cell = (*cell).min(d as i16);
            }
        }
    }

    /// Makes a curve of marks.
    pub(super) fn close(&mut self) {
        self.ends = close(&mut self.depth, &mut self.width);
    }
}

/// Pareto points of an array of least depths.
pub(super) fn points(depth: &[i16], rows: usize) -> Vec<(i64, i64)> {
    let mut out = Vec::new();
    let mut last = rows as i64;
    for (w, &d) in depth.iter().enumerate() {
        if i64::from(d) < last {
            last = i64::from(d);
            out.push((w as i64, last));
        }
    }
    out
}

/// Columns in which the sum of two curves' depths can still change.
pub(super) fn columns(a: Ends, b: Ends) -> std::ops::RangeInclusive<usize> {
    a.w_least.max(b.w_least) as usize..=a.w_most.max(b.w_most) as usize
}

/// Rows in which the sum of two curves' widths can still change.
pub(super) fn rows(a: Ends, b: Ends) -> std::ops::RangeInclusive<usize> {
    a.d_least.max(b.d_least) as usize..=a.d_most.max(b.d_most) as usize
}

/// `into[i] = min(into[i], a[i] + b[i])` over a range.
#[inline]
pub(super) fn join(into: &mut [i16], a: &[i16], b: &[i16], range: std::ops::RangeInclusive<usize>) {
    let (Some(into), Some(a), Some(b)) = (into.get_mut(range.clone()), a.get(range.clone()), b.get(range))
    else {
        return;
    };
    for ((o, &x), &y) in into.iter_mut().zip(a).zip(b) {
        *o = (*o).min(x + y);
    }
}

/// Makes one curve of two halves, depths by width and widths by depth, each only partly marked.
pub(super) fn close(depth: &mut [i16], width: &mut [i16]) -> Ends {
    let (columns, rows) = (depth.len(), width.len());
    let mut least = NONE;
    for w in width.iter_mut() {
        least = least.min(*w);
        *w = least;
    }
    // Least depth per width: the marks so far, and the first row whose width is small enough.
    let mut row = rows;
    let mut least = NONE;
    let mut ends = Ends::EMPTY;
    for (w, d) in depth.iter_mut().enumerate() {
        while row > 0 && width.get(row - 1).is_some_and(|&x| x as usize <= w) {
            row -= 1;
        }
        let by_row = if row < rows { row as i16 } else { NONE };
        let now = (*d).min(by_row).min(least);
        let now = if (now as usize) < rows { now } else { NONE };
        if now < least {
            if ends.is_empty() {
                ends.w_least = w as i16;
                ends.d_most = now;
            }
            ends.w_most = w as i16;
            ends.d_least = now;
            least = now;
        }
        *d = now;
    }
    let mut column = columns;
    for (d, w) in width.iter_mut().enumerate() {
        while column > 0 && depth.get(column - 1).is_some_and(|&x| x as usize <= d) {
            column -= 1;
        }
        *w = if column < columns { column as i16 } else { NONE };
    }
    ends
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(board: &Board, axis: usize, a: &Dense, b: &Dense) -> Dense {
        let mut own = Dense::empty(board);
        if axis == 0 {
            join(&mut own.width, &a.width, &b.width, rows(a.ends, b.ends));
        } else {
            join(&mut own.depth, &a.depth, &b.depth, columns(a.ends, b.ends));
        }
        own.close();
        own
    }

    fn turnable(board: &Board, w: i64, d: i64) -> Dense {
        let mut curve = Dense::empty(board);
        curve.mark(w, d);
        curve.mark(d, w);
        curve.close();
        curve
    }

    /// Facts G13 (worked out there by hand): A 2×5, B 3×4, C 1×6, each turnable.
    #[test]
    fn shapes_join_as_in_the_worked_example() {
        let board = Board::new(1, 0, (40, 40));
        let (a, b, c) = (turnable(&board, 2, 5), turnable(&board, 3, 4), turnable(&board, 1, 6));
        let ab = cut(&board, 0, &a, &b);
        assert_eq!(points(&ab.depth, 41), [(5, 5), (8, 4), (9, 3)]);
        let abc = cut(&board, 1, &ab, &c);
        assert_eq!(points(&abc.depth, 41), [(5, 11), (6, 6), (8, 5), (9, 4)]);
        let areas: Vec<i64> = points(&abc.depth, 41).iter().map(|(w, d)| w * d).collect();
        assert_eq!(areas, [55, 36, 40, 36]);
    }

    #[test]
    fn columns_and_rows_say_the_same() {
        let board = Board::new(1, 0, (30, 20));
        let x = cut(&board, 1, &turnable(&board, 3, 7), &turnable(&board, 5, 6));
        for w in 0..=30usize {
            for d in 0..=20usize {
                assert_eq!(x.depth[w] as usize <= d, x.width[d] as usize <= w, "{w} {d}");
            }
        }
    }

    #[test]
    fn what_reaches_beyond_the_board_is_left_out() {
        let board = Board::new(1, 0, (8, 8));
        let x = cut(&board, 0, &turnable(&board, 5, 5), &turnable(&board, 5, 5));
        assert!(x.ends.is_empty() && points(&x.depth, 9).is_empty());
    }
}

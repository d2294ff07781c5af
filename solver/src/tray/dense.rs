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
        let (columns, rows) = (Span::all(&self.depth), Span::all(&self.width));
        self.ends = close(&mut self.depth, &mut self.width, columns, rows);
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

/// Makes one curve of two halves, depths by width and widths by depth, each only partly marked; marks lie within
/// `columns` and `rows`.
///
/// Every step down of one half is a mark in the other; between steps nothing is looked up, and nothing at all
/// outside the marks, as this takes most of the time of small groups of compartments.
pub(super) fn close(depth: &mut [i16], width: &mut [i16], columns: Span, rows: Span) -> Ends {
    let (mut columns, mut rows) = (columns, rows);
    let mut least = NONE;
    let first = rows.from;
    for (i, &w) in width.get(rows.range()).unwrap_or(&[]).iter().enumerate() {
        if w < least {
            least = w;
            if let Some(d) = depth.get_mut(w as usize) {
                *d = (*d).min((first + i) as i16);
                columns.reach(w as usize);
            }
        }
    }
    let ends = step_down(depth, columns, width.len(), |column, d| {
        if let Some(w) = width.get_mut(d) {
            *w = (*w).min(column as i16);
            rows.reach(d);
        }
    });
    step_down(width, rows, depth.len(), |_, _| {});
    ends
}

/// The same for a curve that is its own mirror image, of one half. Returns its ends.
pub(super) fn close_mirrored(half: &mut [i16], columns: Span) -> Ends {
    let mut columns = columns;
    let mut least = NONE;
    for column in columns.range() {
        let d = half.get(column).copied().unwrap_or(NONE);
        if d < least {
            least = d;
            if let Some(w) = half.get_mut(d as usize) {
                *w = (*w).min(column as i16);
                columns.reach(d as usize);
            }
        }
    }
    let most = half.len();
    step_down(half, columns, most, |_, _| {})
}

/// Makes the least so far of an array of marks within `span`; marks of `most` and more reach beyond the board and
/// are left out. Tells each step down, and the ends in terms of a half of depths.
fn step_down(half: &mut [i16], span: Span, most: usize, mut step: impl FnMut(usize, usize)) -> Ends {
    let mut least = NONE;
    let mut ends = Ends::EMPTY;
    for (i, cell) in half.get_mut(span.range()).unwrap_or(&mut []).iter_mut().enumerate() {
        if *cell < least && (*cell as usize) < most {
            least = *cell;
            let at = (span.from + i) as i16;
            if ends.is_empty() {
                (ends.w_least, ends.d_most) = (at, least);
            }
            (ends.w_most, ends.d_least) = (at, least);
            step(at as usize, least as usize);
        }
        *cell = least;
    }
    half.get_mut(span.to..).unwrap_or(&mut []).fill(least);
    ends
}

/// Columns or rows from one up to but without another; empty at first.
#[derive(Clone, Copy, Debug)]
pub(super) struct Span {
    from: usize,
    to: usize,
}

impl Span {
    pub(super) const EMPTY: Span = Span { from: usize::MAX, to: 0 };

    /// All of an array.
    fn all(half: &[i16]) -> Span {
        Span { from: 0, to: half.len() }
    }

    /// Grows to hold this one.
    pub(super) fn reach(&mut self, at: usize) {
        self.from = self.from.min(at);
        self.to = self.to.max(at + 1);
    }

    fn range(self) -> std::ops::Range<usize> {
        self.from.min(self.to)..self.to
    }
}

#[cfg(test)]
mod tests {
    use super::super::joint::Joint;
    use super::*;

    fn cut(board: &Board, axis: usize, a: &Dense, b: &Dense) -> Dense {
        let mut own = Joint::new(board, false);
        if axis == 0 {
            own.beside(a.half(), b.half());
        } else {
            own.behind(a.half(), b.half());
        }
        own.close()
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

    /// Both ways of closing agree where a curve is its own mirror image.
    #[test]
    fn mirrored_curves_are_closed_as_others_are() {
        let board = Board::new(1, 0, (40, 40));
        let mut random = crate::random::Random::new(5);
        for _ in 0..500 {
            let mut side = || 1 + random.below(16) as i64;
            let mut curve = || {
                let mut curve = Dense::empty(&board);
                for _ in 0..3 {
                    let (w, d) = (side(), side());
                    curve.mark(w, d);
                    curve.mark(d, w);
                }
                curve.close();
                curve
            };
            let (a, b) = (curve(), curve());
            let joint = |mirrored| {
                let mut joint = Joint::new(&board, mirrored);
                joint.put(a.half(), b.half());
                joint.close()
            };
            assert!(a.is_mirrored() && b.is_mirrored());
            let (one, other) = (joint(true), joint(false));
            assert_eq!((&one.depth, &one.width, one.ends), (&other.depth, &other.width, other.ends));
        }
    }

    #[test]
    fn what_reaches_beyond_the_board_is_left_out() {
        let board = Board::new(1, 0, (8, 8));
        let x = cut(&board, 0, &turnable(&board, 5, 5), &turnable(&board, 5, 5));
        assert!(x.ends.is_empty() && points(&x.depth, 9).is_empty());
    }
}

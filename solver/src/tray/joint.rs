//! Curves of regions that are cut in two, from the curves of both.

use super::dense::{self, Board, Dense, Ends, Span};

/// A curve to be joined with another.
#[derive(Clone, Copy)]
pub(super) struct Half<'a> {
    pub(super) depth: &'a [i16],
    pub(super) width: &'a [i16],
    pub(super) ends: Ends,
}

impl Dense {
    pub(super) fn half(&self) -> Half<'_> {
        Half { depth: &self.depth, width: &self.width, ends: self.ends }
    }

    /// Whether it is its own mirror image, as that of compartments that turn is on a square board.
    pub(super) fn is_mirrored(&self) -> bool {
        self.depth == self.width
    }
}

/// The curve of a region over all cuts that are put into it.
pub(super) struct Joint {
    curve: Dense,
    /// Where something is marked.
    columns: Span,
    rows: Span,
    mirrored: bool,
}

impl Joint {
    /// `mirrored`: all that is put into it is its own mirror image, so that one kind of cut tells the other.
    pub(super) fn new(board: &Board, mirrored: bool) -> Joint {
        Joint { curve: Dense::empty(board), columns: Span::EMPTY, rows: Span::EMPTY, mirrored }
    }

    /// Both cuts that part the region so.
    pub(super) fn put(&mut self, a: Half, b: Half) {
        self.behind(a, b);
        if !self.mirrored {
            self.beside(a, b);
        }
    }

    /// One behind the other.
    pub(super) fn behind(&mut self, a: Half, b: Half) {
        if a.ends.is_empty() || b.ends.is_empty() {
            return;
        }
        let (from, to) = (a.ends.w_least.max(b.ends.w_least), a.ends.w_most.max(b.ends.w_most));
        join(&mut self.curve.depth, a.depth, b.depth, &mut self.columns, from, to);
    }

    /// Side by side.
    pub(super) fn beside(&mut self, a: Half, b: Half) {
        if a.ends.is_empty() || b.ends.is_empty() {
            return;
        }
        let (from, to) = (a.ends.d_least.max(b.ends.d_least), a.ends.d_most.max(b.ends.d_most));
        join(&mut self.curve.width, a.width, b.width, &mut self.rows, from, to);
    }

    /// The curve of all that was put in.
    pub(super) fn close(mut self) -> Dense {
        let Dense { depth, width, ends } = &mut self.curve;
        if self.mirrored {
            *ends = dense::close_mirrored(depth, self.columns);
            width.copy_from_slice(depth);
        } else {
            *ends = dense::close(depth, width, self.columns, self.rows);
        }
        self.curve
    }
}

/// `into[i] = min(into[i], a[i] + b[i])` from one place through another: where the sum can still change.
#[inline]
fn join(into: &mut [i16], a: &[i16], b: &[i16], span: &mut Span, from: i16, to: i16) {
    let range = from as usize..=to as usize;
    let (Some(into), Some(a), Some(b)) = (into.get_mut(range.clone()), a.get(range.clone()), b.get(range))
    else {
        return;
    };
    for ((o, &x), &y) in into.iter_mut().zip(a).zip(b) {
        *o = (*o).min(x + y);
    }
    span.reach(from as usize);
    span.reach(to as usize);
}

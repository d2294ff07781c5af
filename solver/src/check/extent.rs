//! Upright cuboids in whole nanometres: what every rule of geometry here is told in.

use crate::place::{Point, Size};

/// A cuboid from its least to its greatest corner; axes 0 width, 1 depth, 2 height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Extent {
    pub(super) lo: [i64; 3],
    pub(super) hi: [i64; 3],
}

impl Extent {
    pub(super) fn new(at: Point, size: Size) -> Extent {
        let lo = [at.x.nm(), at.y.nm(), at.z.nm()];
        Extent { lo, hi: [lo[0] + size.w.nm(), lo[1] + size.d.nm(), lo[2] + size.h.nm()] }
    }

    pub(super) fn len(&self, axis: usize) -> i64 {
        self.hi[axis] - self.lo[axis]
    }

    /// Seen from above, in nm².
    pub(super) fn footprint(&self) -> i128 {
        i128::from(self.len(0)) * i128::from(self.len(1))
    }

    /// In nm³.
    pub(super) fn volume(&self) -> i128 {
        self.footprint() * i128::from(self.len(2))
    }

    /// Whether the two share more than a face along this axis.
    pub(super) fn meets(&self, o: &Extent, axis: usize) -> bool {
        self.lo[axis].max(o.lo[axis]) < self.hi[axis].min(o.hi[axis])
    }

    /// Whether the outlines seen from above share area.
    pub(super) fn over(&self, o: &Extent) -> bool {
        self.meets(o, 0) && self.meets(o, 1)
    }

    /// Whether `self` lies in `o`, faces included.
    pub(super) fn within(&self, o: &Extent) -> bool {
        (0..3).all(|axis| o.lo[axis] <= self.lo[axis] && self.hi[axis] <= o.hi[axis])
    }

    /// The free way between two outlines along the axis on which they lie farther apart; negative where
    /// they overlap on both.
    pub(super) fn gap(&self, o: &Extent) -> i64 {
        let along = |axis: usize| (o.lo[axis] - self.hi[axis]).max(self.lo[axis] - o.hi[axis]);
        along(0).max(along(1))
    }
}

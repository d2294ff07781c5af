//! Sums of depths that a column can be filled to.

/// Sums of depths as bits, to 255.
#[derive(Clone, Copy)]
pub(super) struct Sums(u128, u128);

impl Sums {
    pub(super) const NONE: Sums = Sums(1, 0);

    pub(super) fn with(self, d: i32) -> Sums {
        let Sums(lo, hi) = self;
        match d {
            0 => self,
            1..=127 => Sums(lo | lo << d, hi | hi << d | lo >> (128 - d)),
            128 => Sums(lo, hi | lo),
            _ => Sums(lo, hi | lo.checked_shl(d as u32 - 128).unwrap_or(0)),
        }
    }

    pub(super) fn or(self, o: Sums) -> Sums {
        Sums(self.0 | o.0, self.1 | o.1)
    }

    /// Up to which sum there is every one.
    pub(super) fn full(self) -> i32 {
        let Sums(lo, hi) = self;
        if lo == u128::MAX { 127 + hi.trailing_ones() as i32 } else { lo.trailing_ones() as i32 - 1 }
    }

    /// The greatest sum up to `d` (0..=255).
    pub(super) fn most(self, d: i32) -> i32 {
        let Sums(lo, hi) = self;
        if d >= 128 {
            let part = hi & (u128::MAX >> (255 - d));
            if part != 0 {
                return 255 - part.leading_zeros() as i32;
            }
            return 127 - lo.leading_zeros() as i32;
        }
        127 - (lo & (u128::MAX >> (127 - d))).leading_zeros() as i32
    }
}

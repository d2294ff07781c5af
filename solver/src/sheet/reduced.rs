//! The problem as the search sees it: whole units, spacing folded into the sizes, equal pieces counted once.
//!
//! A piece grows by the spacing to its right and behind it, and so does what lies within the margins of a sheet; then
//! pieces may touch. Every place that matters is a sum of piece sizes, so all is divided by their common divisor, and the
//! sheet is rounded down to it.

use super::{Piece, Rules, SheetSize};
use crate::length::Length;

/// More sheets than this are never looked at; see [`Problem::costs`].
pub(super) const MOST_SHEETS: usize = 4095;

/// Equal pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    pub(super) w: i64,
    pub(super) d: i64,
    /// May lie turned, and that makes a difference.
    pub(super) turns: bool,
    /// Which pieces are of this kind.
    pub(super) pieces: Vec<usize>,
}

impl Kind {
    pub(super) fn area(&self) -> i128 {
        i128::from(self.w) * i128::from(self.d)
    }

    /// Width and depth as it lies.
    pub(super) fn lying(&self, turned: bool) -> (i64, i64) {
        if turned { (self.d, self.w) } else { (self.w, self.d) }
    }

    /// Whether it lies in such a rectangle, in one way or the other.
    pub(super) fn fits(&self, w: i64, d: i64) -> bool {
        (self.w <= w && self.d <= d) || (self.turns && self.d <= w && self.w <= d)
    }
}

/// What is within the margins of a sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Size {
    pub(super) w: i64,
    pub(super) d: i64,
    /// By cost first, then by number: see [`Problem::costs`].
    pub(super) cost: i128,
    /// At most this many.
    pub(super) limit: usize,
    /// Which of the sizes given.
    pub(super) index: usize,
}

impl Size {
    pub(super) fn area(&self) -> i128 {
        i128::from(self.w) * i128::from(self.d)
    }
}

/// A kind of piece in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    pub(super) kind: usize,
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) turned: bool,
}

/// The whole problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Problem {
    pub(super) kinds: Vec<Kind>,
    pub(super) sizes: Vec<Size>,
    pub(super) straight: bool,
    /// Length of one unit.
    pub(super) unit: i64,
    pub(super) margin: Length,
}

impl Problem {
    /// Reduces what was checked before: positive sizes, at least one piece. Sheets that hold no piece are left out.
    pub(super) fn new(pieces: &[Piece], sizes: &[SheetSize], rules: &Rules) -> Problem {
        let grown = |l: Length| l.nm() + rules.spacing.nm();
        let unit = pieces.iter().fold(0, |unit, p| gcd(gcd(unit, grown(p.w)), grown(p.d))).max(1);
        let mut kinds: Vec<Kind> = Vec::new();
        let mut order: Vec<usize> = (0..pieces.len()).collect();
        let dims = |p: &Piece| {
            let (w, d) = (grown(p.w) / unit, grown(p.d) / unit);
            if p.turns { (w.max(d), w.min(d), w != d) } else { (w, d, false) }
        };
        let area = |p: &Piece| i128::from(p.w.nm()) * i128::from(p.d.nm());
        order.sort_by_key(|&i| (std::cmp::Reverse(area(&pieces[i])), dims(&pieces[i]), i));
        for i in order {
            let (w, d, turns) = dims(&pieces[i]);
            match kinds.last_mut() {
                Some(k) if (k.w, k.d, k.turns) == (w, d, turns) => k.pieces.push(i),
                _ => kinds.push(Kind { w, d, turns, pieces: vec![i] }),
            }
        }
        let costs = costs(sizes);
        let inner = |l: Length| (l.nm() - 2 * rules.margin.nm() + rules.spacing.nm()).max(0) / unit;
        let sizes = sizes
            .iter()
            .enumerate()
            .map(|(index, s)| Size {
                w: inner(s.w),
                d: inner(s.d),
                cost: costs[index] * (MOST_SHEETS as i128 + 1) + 1,
                limit: s.most.unwrap_or(MOST_SHEETS).min(MOST_SHEETS),
                index,
            })
            .filter(|s| s.limit > 0 && kinds.iter().any(|k| k.fits(s.w, s.d)))
            .collect();
        Problem { kinds, sizes, straight: rules.straight, unit, margin: rules.margin }
    }

    /// The cost that the maker pays, from the sum that the search works with (each sheet's cost times 4096, and one).
    pub(super) fn paid(sum: i128) -> i128 {
        sum.div_euclid(MOST_SHEETS as i128 + 1)
    }

    /// How many pieces of each kind.
    pub(super) fn demand(&self) -> Vec<usize> {
        self.kinds.iter().map(|k| k.pieces.len()).collect()
    }

    /// Length of so many units.
    pub(super) fn length(&self, units: i64) -> Length {
        Length::from_nm(units * self.unit)
    }
}

/// What one of each size costs: hundredths where every size has a price, else mm², begun ones counted.
pub(super) fn costs(sizes: &[SheetSize]) -> Vec<i128> {
    const NM2_PER_MM2: i128 = 1_000_000_000_000;
    let area = |s: &SheetSize| -(-(s.w * s.d).nm2()).div_euclid(NM2_PER_MM2);
    match sizes.iter().map(|s| s.price_hundredths).collect::<Option<Vec<i64>>>() {
        Some(prices) => prices.into_iter().map(i128::from).collect(),
        None => sizes.iter().map(area).collect(),
    }
}

fn gcd(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

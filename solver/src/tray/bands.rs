//! Proportions of an outline for which a search looks for the least area.

use super::dense::Dense;

/// Outlines of about one proportion: width over depth in thousandths.
#[derive(Clone, Copy, Debug)]
pub(super) struct Band(i64, i64);

impl Band {
    /// From square to narrow, deeper than wide left out: for trays that may be turned.
    pub(super) const HALF: &[Band] =
        &[Band(900, 1_300), Band(1_300, 2_000), Band(2_000, 3_500), Band(3_500, 9_000)];

    /// From narrow and deep to narrow and wide.
    pub(super) const ALL: &[Band] = &[
        Band(900, 1_300),
        Band(1_300, 2_000),
        Band(2_000, 3_500),
        Band(3_500, 9_000),
        Band(500, 769),
        Band(286, 500),
        Band(111, 286),
        Band(769, 900),
    ];

    /// Area of an outline, more where its proportion lies outside the band.
    pub(super) fn cost_of(self, w: i64, d: i64) -> i64 {
        let area = w * d;
        let ratio = w * 1_000 / d.max(1);
        if ratio < self.0 {
            area.saturating_mul(self.0) / ratio.max(1)
        } else if ratio > self.1 {
            area.saturating_mul(ratio) / self.1
        } else {
            area
        }
    }

    /// The least of a curve's points, times 1000 to tell near ones apart; a huge number for none.
    pub(super) fn cost(self, curve: &Dense) -> i64 {
        curve
            .points()
            .into_iter()
            .map(|(w, d)| self.cost_of(w, d).saturating_mul(1_000))
            .min()
            .unwrap_or(i64::MAX / 4)
    }
}

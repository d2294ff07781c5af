//! Progressive filling: the max-min fair way of sharing room out in whole steps.
//!
//! All grow together in proportion to their shares; who is blocked stops, the others go on (Bertsekas and
//! Gallager, Data Networks, 1987, §6.5.2, from memory).

/// Parts of a grid step in which the common level is counted, so that shares below one step still count.
const LEVEL_PARTS: i128 = 1000;
/// Shares are thousandths.
const SHARE_PARTS: i128 = 1000;
/// A larger share is taken for this, so that products stay small.
const MOST_SHARE: i64 = 1_000_000;

/// How much each grows; `fits` must hold for no growth at all, fail for growth beyond `most`, and never hold for
/// more where it failed for less.
///
/// Whole steps leave remainders; they go to those who stand first.
pub(crate) fn fill(shares: &[i64], most: i64, fits: &dyn Fn(&[i64]) -> bool) -> Vec<i64> {
    let mut growth = vec![0i64; shares.len()];
    let mut growing: Vec<usize> = (0..shares.len()).filter(|&i| shares[i] > 0).collect();
    let due = |i: usize, level: i128| -> i64 {
        let due = level * i128::from(shares[i].min(MOST_SHARE)) / (LEVEL_PARTS * SHARE_PARTS);
        i64::try_from(due).unwrap_or(i64::MAX).min(most.saturating_add(1))
    };
    let mut level = 0i128;
    while !growing.is_empty() {
        let at = |level: i128, growth: &[i64]| {
            let mut next = growth.to_vec();
            for &i in &growing {
                next[i] = next[i].max(due(i, level));
            }
            next
        };
        let mut beyond = (i128::from(most) + 2) * LEVEL_PARTS * SHARE_PARTS;
        while beyond - level > 1 {
            let middle = level + (beyond - level) / 2;
            if fits(&at(middle, &growth)) {
                level = middle;
            } else {
                beyond = middle;
            }
        }
        growth = at(level, &growth);
        // At the next level they do not all fit: those first in line get their step, at least one is stopped.
        level += 1;
        growing.retain(|&i| {
            if due(i, level) <= growth[i] {
                return true;
            }
            growth[i] += 1;
            let goes = fits(&growth);
            if !goes {
                growth[i] -= 1;
            }
            goes
        });
    }
    growth
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_and_stops() {
        // One room of 10 for all three, and the second may grow by 2 only.
        let fits = |g: &[i64]| g.iter().sum::<i64>() <= 10 && g[1] <= 2;
        assert_eq!(fill(&[1000, 1000, 1000], 10, &fits), vec![4, 2, 4]);
        assert_eq!(fill(&[1000, 0, 2000], 10, &fits), vec![3, 0, 7]);
        assert_eq!(fill(&[1, 0, 1], 10, &fits), vec![5, 0, 5]);
        assert_eq!(fill(&[], 10, &|_| true), Vec::<i64>::new());
    }
}

//! When more time is hardly worth it: nothing much better was found for as long as it took to come so far.

/// Nodes that are always spent.
const LEAST: u64 = 1_700_000;
/// Nodes that are spent while so much of the value is unproven (one part in so many): there may be much to gain.
const LEAST_OPEN: u64 = 2_100_000;
const OPEN: i64 = 14;
/// The part of the value by which a plan must be better to count: one in so many.
const MATTERS: i64 = 250;

/// Watches a search.
#[derive(Debug, Default)]
pub(super) struct Patience {
    /// Value that the next one is measured against.
    value: Option<i64>,
    /// Nodes spent when it was found.
    since: u64,
}

impl Patience {
    /// Takes note of the best value and the bound so far; says at how many nodes the search may end unless something better
    /// turns up, or `None` while there is no plan.
    pub(super) fn end(&mut self, value: Option<i64>, bound: Option<i64>, nodes: u64) -> Option<u64> {
        let value = value?;
        if self.value.is_none_or(|v| value < v - v / MATTERS) {
            (self.value, self.since) = (Some(value), nodes);
        }
        let open = bound.is_some_and(|b| value - b > value / OPEN);
        Some(self.since.saturating_mul(2).max(if open { LEAST_OPEN } else { LEAST }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trifles_do_not_prolong_the_search() {
        let mut patience = Patience::default();
        assert_eq!(patience.end(None, Some(950_000), 5_000_000), None);
        assert_eq!(patience.end(Some(1_000_000), Some(950_000), 100_000), Some(LEAST));
        assert_eq!(patience.end(Some(990_000), Some(950_000), 1_000_000), Some(2_000_000));
        assert_eq!(patience.end(Some(989_000), Some(950_000), 1_400_000), Some(2_000_000));
        assert_eq!(patience.end(Some(989_000), Some(900_000), 1_400_000), Some(LEAST_OPEN));
        // Many trifles add up.
        assert_eq!(patience.end(Some(985_000), Some(950_000), 1_500_000), Some(3_000_000));
    }
}

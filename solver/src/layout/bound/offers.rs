//! What the outlines of a tray offer at each height.

use super::super::instance::{Option3, TrayItem};

/// Area of an outline, and the same with play to its right and behind it.
pub(super) type Area = (i64, i64);

/// Outlines by the least height they need.
#[derive(Debug, Default)]
pub(super) struct Offers {
    /// Ascending by height.
    levels: Vec<Level>,
}

#[derive(Debug)]
struct Level {
    height: i64,
    /// Outlines of this height that none of a lower one makes needless.
    new: Vec<Area>,
    /// Of all up to this height, those that no other makes needless; the area ascending, that with play descending.
    all: Vec<Area>,
}

impl Offers {
    pub(super) fn new(tray: &TrayItem, between: i64) -> Offers {
        let mut options: Vec<&Option3> = tray.options.iter().collect();
        options.sort_unstable_by_key(|o| o.h);
        let mut levels: Vec<Level> = Vec::new();
        for group in options.chunk_by(|a, b| a.h == b.h) {
            let own = group.iter().map(|o| (o.w * o.d, (o.w + between) * (o.d + between)));
            let before = levels.last().map_or(&[][..], |l| &l.all);
            let mut all: Vec<(Area, bool)> =
                before.iter().map(|a| (*a, false)).chain(own.map(|a| (a, true))).collect();
            all.sort_unstable();
            let mut least = i64::MAX;
            all.retain(|(a, _)| {
                let keep = a.1 < least;
                least = least.min(a.1);
                keep
            });
            let new: Vec<Area> = all.iter().filter(|a| a.1).map(|a| a.0).collect();
            if !new.is_empty() {
                let all = all.into_iter().map(|a| a.0).collect();
                levels.push(Level { height: group.first().map_or(0, |o| o.h), new, all });
            }
        }
        Offers { levels }
    }

    /// Those of a height of exactly this.
    pub(super) fn at(&self, height: i64) -> &[Area] {
        let upto = self.levels.partition_point(|l| l.height <= height);
        upto.checked_sub(1).and_then(|l| self.levels.get(l)).map_or(&[], |l| &l.all)
    }

    /// Those that come with heights above `low` up to `high`, each with the least height at which it is to be had.
    pub(super) fn between(&self, low: i64, high: i64) -> impl Iterator<Item = (i64, &[Area])> {
        let from = self.levels.partition_point(|l| l.height <= low);
        let upto = self.levels.partition_point(|l| l.height <= high);
        let levels = self.levels.get(from..upto.max(from)).unwrap_or(&[]);
        levels.iter().map(|l| (l.height, l.new.as_slice()))
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::model::tests::tray;
    use super::*;

    #[test]
    fn what_is_larger_and_higher_is_not_offered() {
        let offers = Offers::new(&tray("t", &[(4, 5, 3), (2, 9, 3), (3, 5, 6), (4, 4, 7), (5, 5, 8)], 1), 1);
        // 4 × 5 takes more area than 2 × 9, but less together with play of 1.
        assert_eq!(offers.at(2), []);
        assert_eq!(offers.at(5), [(18, 30)]);
        assert_eq!(offers.at(9), [(15, 24)]);
        let told: Vec<_> = offers.between(2, 8).collect();
        assert_eq!(told, [(3, &[(18, 30)][..]), (6, &[(15, 24)][..])]);
    }
}

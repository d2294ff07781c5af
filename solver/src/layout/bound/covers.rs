//! What lifts cost a tray at least, where the area that bodies above leave free has a price.
//!
//! Trays that end at the same height lie apart, and so do the bodies of one layer above them: what these leave free of the
//! trays, and what they take themselves, is together no more than the floor. With a price on that area, each tray is
//! either covered, by one body a lift, or pays for being free.

use super::super::instance::{Access, Instance, Option3};
use super::relax::PARTS;

/// What the price of lifts needs to know of an instance.
#[derive(Debug)]
pub(super) struct Covers {
    weights: Vec<i64>,
    /// Area of each body's largest outline with the body, descending.
    largest: Vec<(i64, usize)>,
    pub(super) floor: i64,
}

impl Covers {
    /// `None` where lifts cost nothing.
    pub(super) fn new(instance: &Instance) -> Option<Covers> {
        if instance.access != Access::Lifts || instance.trays.iter().all(|t| t.weight == 0) {
            return None;
        }
        let most = |options: &[Option3]| options.iter().map(|o| o.w * o.d).max().unwrap_or(0);
        let trays = instance.trays.iter().map(|t| most(&t.options));
        let all = trays.chain(instance.kept.iter().map(|k| most(&k.turns)));
        let mut largest: Vec<(i64, usize)> = all.enumerate().map(|(b, area)| (area, b)).collect();
        largest.retain(|l| l.0 > 0);
        largest.sort_unstable_by_key(|l| std::cmp::Reverse(*l));
        let weights: Vec<i64> = instance.trays.iter().map(|t| t.weight).collect();
        Some(Covers { weights, largest, floor: instance.width * instance.depth })
    }

    pub(super) fn weighs(&self, tray: usize) -> bool {
        self.weights.get(tray).is_some_and(|w| *w > 0)
    }

    /// Least cost, in [`PARTS`], of a tray of this area under one layer of bodies, and what of it is free then, where free
    /// area has this price.
    pub(super) fn least(&self, tray: usize, area: i64, price: i64) -> (i64, i64) {
        let weight = self.weights.get(tray).copied().unwrap_or(0) * PARTS;
        let mut best = (price * area, area);
        let (mut left, mut cost) = (area, 0);
        for (most, _) in self.largest.iter().filter(|l| l.1 != tray) {
            left -= most;
            cost += weight;
            let free = left.max(0);
            best = best.min((cost + price * free, free));
            if left <= 0 || cost >= best.0 {
                break;
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::model::tests::{plain, tray};
    use super::*;

    #[test]
    fn a_tray_is_covered_or_pays_for_being_free() {
        let mut instance = plain(20, 10, 10, 2);
        instance.access = Access::Lifts;
        for (w, d) in [(10, 10), (6, 10), (5, 10)] {
            instance.trays.push(tray("t", &[(w, d, 4)], 1));
        }
        instance.trays[0].weight = 30;
        let covers = Covers::new(&instance).unwrap();
        let least = |price| covers.least(0, 100, price * PARTS);
        assert_eq!(least(0), (0, 100));
        // Two bodies cover it whole; one of 60 leaves 40.
        assert_eq!(least(2), (60 * PARTS, 0));
        assert_eq!(covers.least(0, 100, PARTS / 2), (50 * PARTS, 40)); // 30 + 40 / 2 is as much as 100 / 2
        assert_eq!(covers.least(0, 65, PARTS), ((30 + 5) * PARTS, 5));
        assert!(!covers.weighs(1) && covers.least(1, 60, PARTS) == (0, 0));
    }
}

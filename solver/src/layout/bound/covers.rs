//! What lifts cost a tray at least, where area that bodies above leave free has a price.
//!
//! Trays that end at the same height lie apart, and so do the bodies of one layer above them: what these leave free of the
//! trays, and what they take themselves, is together no more than the floor. And over each point of the floor there is one
//! body that lies under nothing, one that lies under one other, and so on: what lies under at most `d` bodies is together no
//! more than `d + 1` floors. With prices on these areas, each tray lies under bodies, each of which is a lift, or pays for
//! lying free.

use super::super::instance::{Access, Instance, Option3};
use super::relax::PARTS;

/// More lifts than this of one tray count as one more.
const MOST: usize = 12;

/// What the price of lifts needs to know of an instance.
#[derive(Debug)]
pub(super) struct Covers {
    weights: Vec<i64>,
    /// Area of each body's largest outline with the body, descending.
    largest: Vec<(i64, usize)>,
    pub(super) floor: i64,
    /// So many more bodies than layers may lie over one point: kept items stand on top of the last layer.
    pub(super) on_top: usize,
}

/// Prices of area over one tray.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sky<'p> {
    /// Left free by the bodies of each layer above.
    pub(super) free: &'p [i64],
    /// Under at most so many bodies.
    pub(super) deep: &'p [i64],
    /// Numbers of `deep`, dearest first.
    pub(super) order: &'p [usize],
    /// No more bodies than this can lie over one point.
    pub(super) most: usize,
}

/// One body more in a layer above, and what it saves.
#[derive(Clone, Copy, Debug, Default)]
struct Cover {
    saved: i64,
    layer: usize,
    area: i64,
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
        let floor = instance.width * instance.depth;
        Some(Covers { weights, largest, floor, on_top: usize::from(!instance.kept.is_empty()) })
    }

    /// Least cost, in [`PARTS`], of a body of this area under such a sky.
    pub(super) fn least(&self, body: usize, area: i64, sky: &Sky) -> i64 {
        self.best(body, area, sky).0
    }

    /// Adds what of it is free then, by layers above and by depth.
    pub(super) fn take(&self, body: usize, area: i64, sky: &Sky, free: &mut [i64], deep: &mut [i64]) {
        let (_, count, covers) = self.best(body, area, sky);
        let weighs = self.weight(body) > 0;
        if weighs {
            free.iter_mut().for_each(|f| *f += area);
            for c in covers[..count].iter().filter(|c| c.area > 0) {
                free[c.layer] -= c.area;
            }
        }
        deep.iter_mut().for_each(|d| *d += area);
        let mut left = self.spread(body, area, count);
        for &d in sky.order {
            if d < sky.most && (d < count || !weighs) {
                let here = if weighs { left.min(area) } else { area };
                deep[d] -= here;
                left -= here;
            }
        }
    }

    fn weight(&self, body: usize) -> i64 {
        self.weights.get(body).copied().unwrap_or(0)
    }

    /// What so many bodies cover at most, counted as often as it is covered.
    fn spread(&self, body: usize, area: i64, count: usize) -> i64 {
        self.others(body).take(count).map(|l| l.min(area)).sum()
    }

    fn others(&self, body: usize) -> impl Iterator<Item = i64> {
        self.largest.iter().filter(move |l| l.1 != body).map(|l| l.0)
    }

    /// Least cost, and the number of bodies over it then with what they cover; for bodies without weight these do not count.
    fn best(&self, body: usize, area: i64, sky: &Sky) -> (i64, usize, [Cover; MOST]) {
        let mut covers = [Cover::default(); MOST];
        let weight = self.weight(body).saturating_mul(PARTS);
        if weight == 0 {
            let free: i64 = sky.deep.get(sky.most..).unwrap_or(&[]).iter().sum();
            return (area * free, 0, covers);
        }
        // Bodies of each layer, the largest first, by what they save.
        let mut found = 0;
        for (layer, price) in sky.free.iter().enumerate().filter(|p| *p.1 > 0) {
            let mut left = area;
            for l in self.others(body) {
                let cover = Cover { saved: price * l.min(left), layer, area: l.min(left) };
                let at = covers[..found].partition_point(|c| c.saved >= cover.saved);
                if at == MOST {
                    break;
                }
                found = (found + 1).min(MOST);
                covers[at..found].rotate_right(1);
                covers[at] = cover;
                left -= l;
                if left <= 0 {
                    break;
                }
            }
        }
        let all = area * (sky.free.iter().sum::<i64>() + sky.deep.iter().sum::<i64>());
        let (mut best, mut count) = (all, 0);
        let (mut lifts, mut rest, mut spread) = (0, all, 0);
        let mut others = self.others(body);
        for k in 1..=MOST {
            lifts += weight;
            if lifts >= best {
                return (best, count, covers);
            }
            rest -= covers[k - 1].saved;
            spread += others.next().unwrap_or(0).min(area);
            let (mut left, mut credit) = (spread, 0);
            for &d in sky.order.iter().filter(|d| **d < k.min(sky.most)) {
                credit += sky.deep[d] * left.min(area);
                left -= left.min(area);
            }
            if lifts + rest - credit < best {
                (best, count) = (lifts + rest - credit, k);
            }
        }
        (best.min(lifts + weight), count, covers)
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::model::tests::{plain, tray};
    use super::*;

    fn covers() -> Covers {
        let mut instance = plain(20, 10, 10, 2);
        instance.access = Access::Lifts;
        for (w, d) in [(10, 10), (6, 10), (5, 10)] {
            instance.trays.push(tray("t", &[(w, d, 4)], 1));
        }
        instance.trays[0].weight = 30;
        Covers::new(&instance).unwrap()
    }

    #[test]
    fn a_tray_is_covered_or_pays_for_being_free() {
        let covers = covers();
        let least = |tray, area, price| {
            let sky = Sky { free: &[price], deep: &[], order: &[], most: 1 };
            let mut free = [0];
            covers.take(tray, area, &sky, &mut free, &mut []);
            (covers.least(tray, area, &sky), free[0])
        };
        assert_eq!(least(0, 100, 0), (0, 100));
        // Two bodies cover it whole; one of 60 leaves 40.
        assert_eq!(least(0, 100, 2 * PARTS), (60 * PARTS, 0));
        assert_eq!(least(0, 100, PARTS / 2), (50 * PARTS, 100)); // as much as 30 + 40 / 2
        assert_eq!(least(0, 65, PARTS), ((30 + 5) * PARTS, 5));
        assert_eq!(least(1, 60, PARTS), (0, 0));
    }

    #[test]
    fn what_lies_deep_pays_by_depth() {
        let covers = covers();
        let least = |tray, area, deep: [i64; 2], order, most| {
            let deep = deep.map(|d| d * PARTS);
            let sky = Sky { free: &[0, 0], deep: &deep, order, most };
            let (mut free, mut taken) = ([0; 2], [0; 2]);
            covers.take(tray, area, &sky, &mut free, &mut taken);
            (covers.least(tray, area, &sky), taken)
        };
        // Under one body of 60 it is free of the first price, not of the second.
        assert_eq!(least(0, 20, [3, 1], &[0, 1], 2), ((30 + 20) * PARTS, [0, 20]));
        // Two of 60 and 50 lie one upon the other over all of it.
        assert_eq!(least(0, 50, [2, 2], &[0, 1], 2), (60 * PARTS, [0, 0]));
        assert_eq!(least(0, 50, [1, 3], &[1, 0], 1), ((30 + 150) * PARTS, [0, 50])); // one layer above
        assert_eq!(least(0, 50, [1, 3], &[1, 0], 0), (200 * PARTS, [50, 50]));
        // What weighs nothing lies as deep as it can.
        assert_eq!(least(1, 50, [2, 1], &[0, 1], 1), (50 * PARTS, [0, 50]));
    }
}

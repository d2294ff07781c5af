//! Lifts that no places avoid, by what is decided so far.

use super::super::over::{needs, saved};
use super::{MOST_BODIES, OVER, Relate, State};

impl Relate<'_> {
    /// Cost of lifts at least: of what lies over each other by decision, and of what more it takes to cover trays for which
    /// the bodies of a layer above leave too little room beside them.
    pub(super) fn lifts(&self, state: &State) -> i64 {
        let mut over = [0u32; MOST_BODIES];
        for (pair, relations) in self.pairs.iter().zip(&state.relations) {
            if *relations == OVER {
                over[pair.first] |= 1 << pair.second;
            }
        }
        let mut lifts = 0;
        // From the top down, so that what lies over others is complete.
        for &i in &self.order {
            let direct = over[i];
            let above = (0..self.items.len()).filter(|j| direct >> j & 1 == 1);
            over[i] = above.fold(direct, |all, j| all | over[j]);
            lifts += self.items[i].weight * i64::from(over[i].count_ones());
        }
        lifts + self.covers(state, &over)
    }

    /// What has to be covered beyond what lies over it already. Trays that end at one height share what the bodies of a
    /// layer leave free.
    fn covers(&self, state: &State, over: &[u32; MOST_BODIES]) -> i64 {
        let (mut sum, mut steps, mut open) = (0, Vec::new(), Vec::new());
        for &(after, layer) in &self.decks {
            let at = |i: &usize| self.items[*i].layers;
            let through = |i: &usize| at(i).0 == layer || (at(i).0 < after && at(i).1 > layer);
            let taken: i64 = (0..self.items.len()).filter(through).map(|i| self.area(state, i)).sum();
            let mut free = self.floor[0] * self.floor[1] - taken;
            steps.clear();
            for i in (0..self.items.len()).filter(|i| at(i).1 == after && self.items[*i].weight > 0) {
                let mut left = self.area(state, i);
                open.clear();
                for (pair, relations) in self.pairs.iter().zip(&state.relations) {
                    let upper = pair.second;
                    if pair.first != i || self.items[upper].layers.0 != layer || relations & OVER == 0 {
                        continue;
                    }
                    let cover = self.overlap(state, i, upper);
                    if over[i] >> upper & 1 == 1 { left -= cover } else { open.push(cover) }
                }
                if left > 0 {
                    open.sort_unstable_by_key(|a| -a);
                    let weight = self.items[i].weight;
                    sum += weight * needs(left, &open, weight, &mut free, &mut steps);
                }
            }
            if free < 0 {
                // What nothing may cover finds no room beside.
                return i64::MAX / 4;
            }
            sum -= saved(&mut steps, free);
        }
        sum
    }

    /// Least area of the outlines that are left.
    fn area(&self, state: &State, item: usize) -> i64 {
        let cheapest = self.runs[state.run[item]].cheapest;
        self.items[item].shapes.get(cheapest).map_or(0, |s| s.option.w * s.option.d)
    }

    /// Area at most in which two lie over each other, made as large as they may be.
    fn overlap(&self, state: &State, lower: usize, upper: usize) -> i64 {
        let side = |a: usize| {
            let (one, other) = (self.runs[state.run[lower]].most[a], self.runs[state.run[upper]].most[a]);
            let past = |i: usize, j: usize, side: i64| state.high[i][a] + side - state.low[j][a];
            one.min(other).min(past(upper, lower, other)).min(past(lower, upper, one)).max(0)
        };
        side(0) * side(1)
    }
}

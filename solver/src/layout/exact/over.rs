//! Lifts that no packing of an assignment avoids.
//!
//! Trays that end at the same layer lie apart. Above them, in one layer, a tray is covered by its share of what that
//! layer's bodies leave free and by bodies, each of which is a lift. How many it needs falls with its share; the shares
//! together are no more than what is free: a knapsack, whose most bounds the lifts from below. No body is counted twice:
//! each belongs to the layer of its bottom.
//!
//! And by depth: over each point of the floor one body lies under nothing, one under one other, and so on. Trays that need
//! at most `d` lifts lie under at most `d` bodies anywhere, so that they take no more than `d + 1` floors together: a
//! knapsack for each `d`, each of which tells how many trays need one lift more.

use super::super::bound::relax::Choice;
use super::super::instance::{Access, Instance, Option3};

/// What the bound needs to know of an instance.
pub(super) struct Over {
    floor: i64,
    weights: Vec<i64>,
    /// Per body, trays first: area of its largest outline.
    most: Vec<i64>,
    /// The same, descending.
    largest: Vec<i64>,
    /// So many more bodies than layers may lie over one point: kept items stand on top of the last layer.
    on_top: usize,
}

/// Area to be free so that weight is saved.
#[derive(Clone, Copy)]
pub(super) struct Step {
    area: i64,
    weight: i64,
}

impl Over {
    /// `None` where lifts cost nothing.
    pub(super) fn new(instance: &Instance) -> Option<Over> {
        if instance.access != Access::Lifts || instance.trays.iter().all(|t| t.weight == 0) {
            return None;
        }
        let most = |options: &[Option3]| options.iter().map(|o| o.w * o.d).max().unwrap_or(0);
        let trays = instance.trays.iter().map(|t| most(&t.options));
        let most: Vec<i64> = trays.chain(instance.kept.iter().map(|k| most(&k.turns))).collect();
        let mut largest = most.clone();
        largest.sort_unstable_by_key(|a| -a);
        let weights = instance.trays.iter().map(|t| t.weight).collect();
        let (floor, on_top) = (instance.width * instance.depth, usize::from(!instance.kept.is_empty()));
        Some(Over { floor, weights, most, largest, on_top })
    }

    /// Cost of lifts at least, by what lies in the layers and cover items aside. `all`: no body is still to come.
    pub(super) fn least(&self, layers: usize, bodies: &[(usize, Choice)], all: bool) -> i64 {
        self.by_layers(layers, bodies, all).max(self.by_depth(layers, bodies))
    }

    fn by_depth(&self, layers: usize, bodies: &[(usize, Choice)]) -> i64 {
        let mut sum = 0;
        let mut steps: Vec<Step> = Vec::with_capacity(bodies.len());
        for depth in 0..layers {
            steps.clear();
            let mut free = self.floor * (depth as i64 + 1);
            let mut weight = 0;
            for (b, c) in bodies {
                let area = area(self.weights.len(), *b, c);
                if layers.saturating_sub(c.after) + self.on_top <= depth {
                    free -= area;
                } else if self.weight(*b) > 0 {
                    weight += self.weight(*b);
                    steps.push(Step { area, weight: self.weight(*b) });
                }
            }
            if steps.is_empty() {
                break;
            }
            sum += weight - saved(&mut steps, free);
        }
        sum
    }

    fn by_layers(&self, layers: usize, bodies: &[(usize, Choice)], all: bool) -> i64 {
        let mut sum = 0;
        let mut steps: Vec<Step> = Vec::new();
        let mut own: Vec<i64> = Vec::new();
        for after in 1..=layers {
            let under = bodies.iter().filter(|(b, c)| c.after == after && self.weight(*b) > 0);
            if under.clone().next().is_none() {
                continue;
            }
            for layer in after..=layers {
                let mut free = self.floor;
                own.clear();
                for (b, c) in bodies {
                    let through = c.first < after && c.after > layer;
                    if c.first == layer || through {
                        free -= area(self.weights.len(), *b, c);
                    }
                    if c.first == layer {
                        own.push(self.most.get(*b).copied().unwrap_or(0));
                    }
                }
                if own.is_empty() {
                    continue;
                }
                own.sort_unstable_by_key(|a| -a);
                // While bodies are still to come, any may be among those above.
                let covers: &[i64] = if all { &own } else { &self.largest };
                steps.clear();
                for (b, c) in under.clone() {
                    let (area, weight) = (area(self.weights.len(), *b, c), self.weight(*b));
                    sum += weight * needs(area, covers, weight, &mut free, &mut steps);
                }
                sum -= saved(&mut steps, free);
            }
        }
        sum
    }

    fn weight(&self, body: usize) -> i64 {
        self.weights.get(body).copied().unwrap_or(0)
    }
}

/// Least area of a body's outline at its choice.
fn area(trays: usize, body: usize, c: &Choice) -> i64 {
    if body < trays { c.cost / c.height.max(1) } else { c.least_wide }
}

/// How many bodies cover an area when nothing is free; the steps to fewer. What even all of them leave is taken from what
/// is free.
pub(super) fn needs(area: i64, covers: &[i64], weight: i64, free: &mut i64, steps: &mut Vec<Step>) -> i64 {
    let (mut left, mut count) = (area, 0);
    for &c in covers.iter().take_while(|c| **c > 0) {
        if left <= 0 {
            break;
        }
        // The last one that is needed covers only what is left: to do without it takes no more.
        steps.push(Step { area: left.min(c), weight });
        left -= c;
        count += 1;
    }
    *free -= left.max(0);
    count
}

/// States of a knapsack before its bound has to do.
const KNAPSACK: u32 = 300;

/// Weight saved at most with so much free area.
pub(super) fn saved(steps: &mut [Step], free: i64) -> i64 {
    let cross = |s: &Step, o: &Step| i128::from(s.weight) * i128::from(o.area);
    steps.sort_by(|a, b| cross(b, a).cmp(&cross(a, b)));
    let free = free.max(0);
    let (mut best, mut states) = (0, 0);
    fill(steps, free, 0, &mut best, &mut states);
    if states > KNAPSACK { part(steps, free) } else { best }
}

/// Weight of these steps, best ones first, with a part of the one that is too large, rounded up.
fn part(steps: &[Step], free: i64) -> i64 {
    let (mut left, mut sum) = (free, 0);
    for s in steps {
        if s.area > left {
            let part = i128::from(s.weight) * i128::from(left) + i128::from(s.area) - 1;
            return sum + (part / i128::from(s.area.max(1))) as i64;
        }
        left -= s.area;
        sum += s.weight;
    }
    sum
}

/// Depth first over taking a step or not.
fn fill(steps: &[Step], left: i64, sum: i64, best: &mut i64, states: &mut u32) {
    *best = sum.max(*best);
    *states += 1;
    if *states > KNAPSACK || sum + part(steps, left) <= *best {
        return;
    }
    let Some((s, rest)) = steps.split_first() else { return };
    if s.area <= left {
        fill(rest, left - s.area, sum + s.weight, best, states);
    }
    fill(rest, left, sum, best, states);
}

#[cfg(test)]
mod tests {
    use super::super::super::lifts::weighted;
    use super::super::super::model::tests::thrown;
    use super::*;
    use crate::random::Random;

    #[test]
    fn no_layout_has_fewer_lifts_than_the_bound() {
        let mut random = Random::new(29);
        // How often it says something, and how often all that there is to say.
        let (mut sharp, mut tight) = (0, 0);
        for case in 0..20_000 {
            let (instance, layout, bodies) = thrown(&mut random);
            let Some(over) = Over::new(&instance) else { continue };
            let own = weighted(&instance, &layout);
            let least = over.least(layout.heights.len(), &bodies, true);
            assert!(least <= own, "case {case}: {least} > {own} in {layout:?} of {instance:?}");
            sharp += i64::from(least > 0);
            tight += i64::from(least > 0 && least == own);
            // Part of the bodies says no more than all of them.
            for k in 0..bodies.len() {
                let part = over.least(layout.heights.len(), &bodies[..k], false);
                assert!(part <= own, "case {case}, {k} bodies: {part} > {own}");
            }
        }
        assert!(sharp > 400 && tight > 20, "{sharp} {tight}");
    }

    #[test]
    fn what_is_free_saves_lifts_by_weight() {
        let mut free = 50;
        let mut steps = Vec::new();
        // Two trays of 100 under bodies of 60, 60 and 30: two lifts each where nothing is free.
        for weight in [3, 2] {
            assert_eq!(needs(100, &[60, 60, 30], weight, &mut free, &mut steps), 2);
        }
        // 40 free make one do for the first tray; what is left is too little for the second.
        assert_eq!(saved(&mut steps, free), 3);
        assert_eq!(part(&steps, free), 3 + 1);
        assert_eq!(saved(&mut steps, 0), 0);
        assert_eq!(saved(&mut steps, 80), 5);
        // Even all of them leave some of a large tray to what is free.
        assert_eq!(needs(200, &[60, 60, 30], 1, &mut free, &mut steps), 3);
        assert_eq!(free, 0);
    }
}

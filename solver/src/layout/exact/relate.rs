//! What a complete assignment costs at least where all its bodies are placed at once: over the relations between them.
//!
//! Bodies that share a layer lie beside each other or one behind the other; of two in different layers the upper one lies
//! beside or behind the lower one as well, or over it, which is a lift. The search decides relations pair by pair and
//! narrows outlines; sides of outlines add up along chains of relations, and a chain longer than the floor refutes
//! (the relative placement of Hadjiconstantinou & Christofides 1995 and of disjunctive scheduling). Bearing and blocked
//! places are left aside, so that what it finds is a bound and no plan. For few bodies.

mod decide;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use super::super::decode::gap;
use super::super::instance::{Access, HeldAt, Instance};
use super::layer::{least_area, outlines};
use super::leaf::Leaf;
use crate::stop::Stop;

/// With more bodies there are too many relations: what looking at them takes is missing elsewhere.
const MOST_BODIES: usize = 8;
const MOST_PAIRS: usize = MOST_BODIES * (MOST_BODIES - 1) / 2;

/// Where the second of a pair lies as seen from the first, as bits: right of it, left of it, behind it, before it, over it.
type Relations = u8;
const RIGHT: Relations = 1;
const LEFT: Relations = 2;
const BEHIND: Relations = 4;
const BEFORE: Relations = 8;
const OVER: Relations = 16;
const APART: Relations = RIGHT | LEFT | BEHIND | BEFORE;

/// An outline, and what it costs beyond the cheapest.
#[derive(Clone, Copy)]
struct Outline {
    sides: [i64; 2],
    extra: i64,
}

struct Item {
    /// By width; each deeper than the next.
    outlines: Vec<Outline>,
    /// Gap to the sides.
    side: i64,
    at: Option<[i64; 2]>,
    weight: i64,
}

struct Pair {
    /// The lower one, where the pair may lie over each other.
    first: usize,
    second: usize,
    gap: i64,
}

/// What is decided so far. Of as many items and pairs as there are, the rest is not looked at.
#[derive(Clone, Copy)]
struct State {
    relations: [Relations; MOST_PAIRS],
    /// Per item: its outlines that are left, from one up to but without another.
    left: [(usize, usize); MOST_BODIES],
}

/// What is asked of an assignment.
#[derive(Clone, Copy)]
pub(super) struct Ask<'a> {
    pub(super) instance: &'a Instance,
    pub(super) leaf: &'a Leaf,
    /// Lifts of cover items that nothing avoids.
    pub(super) forced: i64,
    /// Only what costs at most this is looked for.
    pub(super) cutoff: i64,
    pub(super) nodes: u64,
    pub(super) stop: &'a Stop,
}

/// What came of a search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Related {
    /// No layout of this assignment costs less than this.
    AtLeast(i64),
    /// The nodes ended first.
    Open,
}

/// Layer heights, and per body its layers and height.
type Key = (Vec<i64>, Vec<(usize, usize, usize, i64)>);

/// What is known of assignments: what they cost at least, and whether the nodes of a search ended before that was the least.
#[derive(Default)]
pub(super) struct Known(BTreeMap<Key, (i64, u64)>);

impl Known {
    /// What the assignment costs at least.
    pub(super) fn least(&mut self, ask: &Ask) -> i64 {
        let (leaf, cutoff) = (ask.leaf, ask.cutoff);
        if leaf.bodies.len() > MOST_BODIES {
            return leaf.least;
        }
        let mut bodies: Vec<_> = leaf.bodies.iter().map(|(b, c)| (*b, c.first, c.after, c.height)).collect();
        bodies.sort_unstable();
        let known = self.0.entry((leaf.heights.clone(), bodies)).or_insert((leaf.least, 0));
        // The least of all is found again at every cutoff above it.
        if known.0 > cutoff || known.1 >= ask.nodes {
            return known.0;
        }
        match related(ask) {
            Related::AtLeast(least) => {
                known.0 = known.0.max(least);
                if least <= cutoff {
                    known.1 = u64::MAX;
                }
            }
            Related::Open if ask.stop.cut() => {}
            Related::Open => known.1 = ask.nodes,
        }
        known.0
    }
}

struct Relate<'a> {
    floor: [i64; 2],
    /// In the order in which they are decided.
    items: Vec<Item>,
    pairs: Vec<Pair>,
    /// Items by bottom, the highest first.
    order: Vec<usize>,
    /// Cost without lifts and extra area.
    base: i64,
    /// Only what costs less is looked for.
    below: i64,
    stop: &'a Stop,
    nodes: u64,
}

/// The least cost of a layout of the assignment.
fn related(ask: &Ask) -> Related {
    let Some((mut relate, state)) = Relate::new(ask) else { return Related::Open };
    if relate.go(state, true) { Related::AtLeast(relate.below.max(ask.leaf.least)) } else { Related::Open }
}

impl<'a> Relate<'a> {
    fn new(ask: &Ask<'a>) -> Option<(Relate<'a>, State)> {
        let Ask { instance, leaf, forced, cutoff, nodes, stop } = *ask;
        let n = instance.trays.len();
        let slack = cutoff - leaf.least;
        if leaf.bodies.len() > MOST_BODIES || slack < 0 {
            return None;
        }
        let mut bodies = leaf.bodies.clone();
        bodies.sort_by_key(|(b, c)| (-least_area(instance, *b, c), *b));
        let total = |to: usize| leaf.heights.iter().take(to).sum::<i64>();
        let ends: Vec<(i64, i64)> = bodies
            .iter()
            .map(|(b, c)| {
                let (bottom, top) = (total(c.first), total(c.after));
                (bottom, if *b < n { top } else { top.max(bottom + c.height) })
            })
            .collect();
        let mut items = Vec::with_capacity(bodies.len());
        for (b, c) in &bodies {
            let least = least_area(instance, *b, c);
            let mut all: Vec<Outline> = outlines(instance, *b, c)
                .map(|(_, o)| Outline { sides: [o.w, o.d], extra: (o.w * o.d - least) * c.height })
                .filter(|o| o.extra <= slack)
                .collect();
            all.sort_by_key(|o| o.sides);
            // Another one that is no wider and no deeper does all the same.
            let mut kept: Vec<Outline> = Vec::with_capacity(all.len());
            for o in all {
                if kept.last().is_none_or(|k| o.sides[1] < k.sides[1]) {
                    kept.push(o);
                }
            }
            if kept.is_empty() {
                return None;
            }
            let held = if *b < n { instance.trays[*b].held } else { instance.kept[*b - n].held };
            items.push(Item {
                outlines: kept,
                side: if *b < n { instance.side } else { 0 },
                at: match held {
                    HeldAt::Point(x, y, _) => Some([x, y]),
                    _ => None,
                },
                weight: if *b < n && instance.access == Access::Lifts {
                    instance.trays[*b].weight
                } else {
                    0
                },
            });
        }
        let lifts = items.iter().any(|i| i.weight > 0);
        let mut pairs = Vec::new();
        let mut relations = [0; MOST_PAIRS];
        for second in 0..bodies.len() {
            for first in 0..second {
                let ((a, ca), (b, cb)) = (bodies[first], bodies[second]);
                if ca.first < cb.after && cb.first < ca.after {
                    relations[pairs.len()] = APART;
                    pairs.push(Pair { first, second, gap: gap(instance, a >= n, b >= n) });
                } else if lifts && ends[second].0 >= ends[first].1 {
                    relations[pairs.len()] = APART | OVER;
                    pairs.push(Pair { first, second, gap: 0 });
                } else if lifts && ends[first].0 >= ends[second].1 {
                    relations[pairs.len()] = APART | OVER;
                    pairs.push(Pair { first: second, second: first, gap: 0 });
                }
            }
        }
        let mut order: Vec<usize> = (0..items.len()).collect();
        order.sort_by_key(|&i| (-ends[i].0, i));
        let mut left = [(0, 0); MOST_BODIES];
        items.iter().zip(&mut left).for_each(|(i, left)| *left = (0, i.outlines.len()));
        let base = leaf.bodies.iter().map(|(_, c)| c.cost).sum::<i64>() + forced;
        let floor = [instance.width, instance.depth];
        let relate = Relate { floor, items, pairs, order, base, below: cutoff + 1, stop, nodes };
        Some((relate, State { relations, left }))
    }
}

//! What a complete assignment costs at least where all its bodies are placed at once: over the relations between them.
//!
//! Bodies that share a layer lie beside each other or one behind the other; of two in different layers the upper one lies
//! beside or behind the lower one as well, or over it, which is a lift. The search decides relations pair by pair and
//! narrows outlines; sides of outlines add up along chains of relations, and a chain longer than the floor refutes
//! (the relative placement of Hadjiconstantinou & Christofides 1995 and of disjunctive scheduling). Where every relation is
//! decided, places are sought at which all that stands above the floor is borne; where nothing could be borne however trays
//! are divided, and made larger than need be as far as that costs no more than is looked for, other relations are looked at.
//! Blocked places are left aside. For few bodies.

mod bear;
mod decide;
mod lifts;
mod narrow;
mod runs;
#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use super::super::bound::relax::Choice;
use super::super::decode::gap;
use super::super::instance::{Access, HeldAt, Instance, Layout, Option3};
use super::layer::{least_area, outlines};
use super::leaf::Leaf;
use crate::stop::Stop;
use runs::Runs;

/// With more bodies there are too many relations.
const MOST_BODIES: usize = 12;
/// With more than these, a node takes as long as so many of a packing, and only a part of the nodes is used: what looking at
/// so many relations takes is missing elsewhere.
const FEW_BODIES: usize = 8;
const MANY_NODES: u64 = 5;
const MANY_PART: u64 = 16;
/// They are looked at where packings have this many nodes.
const MANY_FROM: u64 = 320_000;
/// So many times the nodes of a packing are used.
const MORE: u64 = 2;
/// Part of them for the places of one set of relations, counted without that.
const PLACES_PART: u64 = 5;
const MOST_PAIRS: usize = MOST_BODIES * (MOST_BODIES - 1) / 2;

/// Where the second of a pair lies as seen from the first, as bits: right of it, left of it, behind it, before it, over it.
type Relations = u8;
const RIGHT: Relations = 1;
const LEFT: Relations = 2;
const BEHIND: Relations = 4;
const BEFORE: Relations = 8;
const OVER: Relations = 16;
const APART: Relations = RIGHT | LEFT | BEHIND | BEFORE;

/// One outline of an item.
#[derive(Clone, Copy)]
struct Shape {
    /// Its number among the options or turns.
    choice: usize,
    option: Option3,
    /// What it costs beyond the cheapest.
    extra: i64,
}

struct Item {
    body: usize,
    /// By width.
    shapes: Vec<Shape>,
    /// Gap to the sides.
    side: i64,
    at: Option<[i64; 2]>,
    weight: i64,
    /// Trays may be made larger than need be, as long as that costs no more than this at this height.
    grows: bool,
    slack: i64,
    height: i64,
    /// It stands above the floor and has to be borne.
    hangs: bool,
    /// First layer, and the one after the last.
    layers: (usize, usize),
    /// What ends where it begins and carries: items, and the pair where there is one.
    carriers: Vec<(usize, Option<usize>)>,
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
    /// Per item: the number of the run of outlines that is left.
    run: [usize; MOST_BODIES],
    /// Least and greatest places along width and depth.
    low: [[i64; 2]; MOST_BODIES],
    high: [[i64; 2]; MOST_BODIES],
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
#[derive(Debug)]
pub(super) struct Answer {
    related: Related,
    /// The cheapest layout met in which everything is borne.
    pub(super) met: Option<Layout>,
    /// Nodes spent, as the stop counts them.
    pub(super) nodes: u64,
    /// The clock or a caller ended it.
    cut: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Related {
    /// No layout of this assignment costs less than this.
    AtLeast(i64, Doubt),
    /// The nodes ended first.
    Open,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Doubt {
    /// More nodes would tell no more.
    None,
    /// Places of some relations were looked for with too few nodes.
    Places,
}

/// Layer heights, and per body its layers and height.
type Key = (Vec<i64>, Vec<(usize, usize, usize, i64)>);

/// What is known of assignments: what they cost at least, and the nodes with which no more could be told.
#[derive(Default)]
pub(super) struct Known(BTreeMap<Key, (i64, u64)>);

impl Known {
    /// What the assignment costs at least, and whether asking with so many nodes may tell that it costs more than a cutoff.
    pub(super) fn least(&self, leaf: &Leaf, cutoff: i64, nodes: u64) -> (i64, bool) {
        let (least, asked) = self.0.get(&key(leaf)).copied().unwrap_or((leaf.least, 0));
        let most = if nodes < MANY_FROM { FEW_BODIES } else { MOST_BODIES };
        (least, leaf.bodies.len() <= most && least <= cutoff && asked < nodes)
    }

    /// Keeps an answer.
    pub(super) fn note(&mut self, ask: &Ask, answer: &Answer) {
        let known = self.0.entry(key(ask.leaf)).or_insert((ask.leaf.least, 0));
        match answer.related {
            Related::AtLeast(least, doubt) => {
                known.0 = known.0.max(least);
                if least <= ask.cutoff {
                    // The least of all is found again at every cutoff above it.
                    known.1 = if doubt == Doubt::None { u64::MAX } else { ask.nodes };
                }
            }
            Related::Open if answer.cut => {}
            Related::Open => known.1 = ask.nodes,
        }
    }
}

fn key(leaf: &Leaf) -> Key {
    let mut bodies: Vec<_> = leaf.bodies.iter().map(|(b, c)| (*b, c.first, c.after, c.height)).collect();
    bodies.sort_unstable();
    (leaf.heights.clone(), bodies)
}

struct Relate<'a> {
    instance: &'a Instance,
    leaf: &'a Leaf,
    floor: [i64; 2],
    /// In the order in which they are decided.
    items: Vec<Item>,
    pairs: Vec<Pair>,
    /// Items by bottom, the highest first.
    order: Vec<usize>,
    /// Where trays that a lift counts for end, each with every layer above in which something begins.
    decks: Vec<(usize, usize)>,
    /// Runs of outlines met so far.
    runs: Runs,
    /// Cost without lifts and extra area.
    base: i64,
    /// Only what costs less is looked for.
    below: i64,
    stop: Stop,
    nodes: u64,
    /// What the stop counts for each of them.
    each: u64,
    /// Nodes for the places of one set of relations, and what is left of them.
    most_places: u64,
    places: u64,
    /// Some relations would have needed more.
    doubt: Doubt,
    /// The cheapest layout met in which everything is borne.
    met: Option<Layout>,
}

impl Ask<'_> {
    /// The least cost of a layout of the assignment, and the cheapest one met.
    pub(super) fn answer(&self) -> Answer {
        let Some((mut relate, state)) = Relate::new(self) else {
            return Answer { related: Related::Open, met: None, nodes: 0, cut: false };
        };
        let related = if relate.go(state, true) {
            Related::AtLeast(relate.below.max(self.leaf.least), relate.doubt)
        } else {
            Related::Open
        };
        Answer { related, met: relate.met, nodes: relate.stop.spent(), cut: relate.stop.cut() }
    }
}

impl<'a> Relate<'a> {
    fn new(ask: &Ask<'a>) -> Option<(Relate<'a>, State)> {
        let Ask { instance, leaf, forced, cutoff, nodes, stop } = *ask;
        let n = instance.trays.len();
        let (nodes, each) =
            if leaf.bodies.len() > FEW_BODIES { (nodes / MANY_PART, MANY_NODES) } else { (nodes, 1) };
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
        let bearing = instance.rims.is_some();
        let mut items = Vec::with_capacity(bodies.len());
        for (b, c) in &bodies {
            let shapes = shapes(instance, (*b, c), slack);
            if shapes.is_empty() {
                return None;
            }
            let held = if *b < n { instance.trays[*b].held } else { instance.kept[*b - n].held };
            items.push(Item {
                body: *b,
                shapes,
                grows: *b < n,
                slack,
                height: c.height,
                hangs: bearing && c.first > 0,
                layers: (c.first, c.after),
                carriers: Vec::new(),
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
        let (pairs, relations) = pairs(instance, &bodies, &items, &ends);
        for upper in (0..items.len()).filter(|&i| bearing && bodies[i].1.first > 0) {
            let carries = |&lower: &usize| {
                let (b, c) = &bodies[lower];
                let (bottom, end) = ends[lower];
                let top = if *b < n { end } else { bottom + c.height };
                let carries = *b >= n || instance.trays[*b].carries(end - bottom);
                lower != upper && carries && top == ends[upper].0
            };
            let pair = |lower| pairs.iter().position(|p| p.first == lower && p.second == upper);
            let all = (0..items.len()).filter(carries).map(|lower| (lower, pair(lower)));
            items[upper].carriers = all.collect();
        }
        let mut order: Vec<usize> = (0..items.len()).collect();
        order.sort_by_key(|&i| (-ends[i].0, i));
        let ends = items.iter().filter(|i| i.weight > 0).map(|i| i.layers.1);
        let begins = |after: usize| items.iter().map(|i| i.layers.0).filter(move |first| *first >= after);
        let decks: BTreeSet<(usize, usize)> =
            ends.flat_map(|after| begins(after).map(move |first| (after, first))).collect();
        let base = leaf.bodies.iter().map(|(_, c)| c.cost).sum::<i64>() + forced;
        let mut relate = Relate {
            instance,
            leaf,
            floor: [instance.width, instance.depth],
            items,
            pairs,
            order,
            decks: decks.into_iter().collect(),
            runs: Runs::default(),
            base,
            below: cutoff + 1,
            stop: stop.share(u64::MAX),
            nodes: nodes.saturating_mul(MORE),
            each,
            most_places: (nodes / PLACES_PART).max(1),
            places: 0,
            doubt: Doubt::None,
            met: None,
        };
        let (low, high) = ([[0; 2]; MOST_BODIES], [[i64::MAX; 2]; MOST_BODIES]);
        let mut state = State { relations, run: [0; MOST_BODIES], low, high };
        for item in 0..relate.items.len() {
            state.run[item] = relate.run(item, 0, relate.items[item].shapes.len());
        }
        Some((relate, state))
    }
}

/// Outlines that cost no more than the slack beyond the cheapest.
fn shapes(instance: &Instance, (body, choice): (usize, &Choice), slack: i64) -> Vec<Shape> {
    let least = least_area(instance, body, choice);
    let mut shapes: Vec<Shape> = outlines(instance, body, choice)
        .map(|(number, o)| Shape { choice: number, option: *o, extra: (o.w * o.d - least) * choice.height })
        .filter(|o| o.extra <= slack)
        .collect();
    shapes.sort_by_key(|o| (o.option.w, o.option.d, o.choice));
    if instance.rims.is_none() {
        // Another one that is no wider and no deeper does all the same; with bearing it may rest where that one hangs.
        let mut least = i64::MAX;
        shapes.retain(|s| {
            let less = s.option.d < least;
            least = least.min(s.option.d);
            less
        });
    }
    shapes
}

/// Pairs that share a layer, and those of which one may be a lift of the other; what each may be to the other.
fn pairs(
    instance: &Instance,
    bodies: &[(usize, Choice)],
    items: &[Item],
    ends: &[(i64, i64)],
) -> (Vec<Pair>, [Relations; MOST_PAIRS]) {
    let n = instance.trays.len();
    // What is under a body without weight counts with it: lifts pass through.
    let weighs = |i: usize| {
        let under = |&j: &usize| j == i || ends[j].1 <= ends[i].0;
        (0..items.len()).filter(under).any(|j| items[j].weight > 0)
    };
    let (mut pairs, mut relations) = (Vec::new(), [0; MOST_PAIRS]);
    for second in 0..bodies.len() {
        for first in 0..second {
            let ((a, ca), (b, cb)) = (bodies[first], bodies[second]);
            let (may, pair) = if ca.first < cb.after && cb.first < ca.after {
                (APART, Pair { first, second, gap: gap(instance, a >= n, b >= n) })
            } else if weighs(first) && ends[second].0 >= ends[first].1 {
                (APART | OVER, Pair { first, second, gap: 0 })
            } else if weighs(second) && ends[first].0 >= ends[second].1 {
                (APART | OVER, Pair { first: second, second: first, gap: 0 })
            } else {
                continue;
            };
            relations[pairs.len()] = may;
            pairs.push(pair);
        }
    }
    (pairs, relations)
}

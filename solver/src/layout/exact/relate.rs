//! What a complete assignment costs at least where all its bodies are placed at once: over the relations between them.
//!
//! Bodies that share a layer lie beside each other or one behind the other; of two in different layers the upper one lies
//! beside or behind the lower one as well, or over it, which is a lift. The search decides relations pair by pair and
//! narrows outlines; sides of outlines add up along chains of relations, and a chain longer than the floor refutes
//! (the relative placement of Hadjiconstantinou & Christofides 1995 and of disjunctive scheduling). Bearing and blocked
//! places are left aside, so that what it finds is a bound and no plan. For few bodies.

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

/// Least and greatest coordinates of one item along an axis: of its near side, and of its far side.
#[derive(Clone, Copy, Default)]
struct Window {
    near: i64,
    far: i64,
}

/// What came of a search.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Related {
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
    /// What an assignment costs at least; looked for up to the cutoff.
    pub(super) fn least(
        &mut self,
        instance: &Instance,
        leaf: &Leaf,
        forced: i64,
        cutoff: i64,
        nodes: u64,
        stop: &Stop,
    ) -> i64 {
        if leaf.bodies.len() > MOST_BODIES {
            return leaf.least;
        }
        let mut bodies: Vec<_> = leaf.bodies.iter().map(|(b, c)| (*b, c.first, c.after, c.height)).collect();
        bodies.sort_unstable();
        let known = self.0.entry((leaf.heights.clone(), bodies)).or_insert((leaf.least, 0));
        // The least of all is found again at every cutoff above it.
        if known.0 > cutoff || known.1 >= nodes {
            return known.0;
        }
        match related(instance, leaf, forced, cutoff, nodes, stop) {
            Related::AtLeast(least) => {
                known.0 = known.0.max(least);
                if least <= cutoff {
                    known.1 = u64::MAX;
                }
            }
            Related::Open if stop.cut() => {}
            Related::Open => known.1 = nodes,
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

/// The least cost of a layout of this assignment, looked for up to the cutoff.
pub(super) fn related(
    instance: &Instance,
    leaf: &Leaf,
    forced: i64,
    cutoff: i64,
    nodes: u64,
    stop: &Stop,
) -> Related {
    let Some((mut relate, state)) = Relate::new(instance, leaf, forced, cutoff, nodes, stop) else {
        return Related::Open;
    };
    if relate.go(state, true) { Related::AtLeast(relate.below.max(leaf.least)) } else { Related::Open }
}

impl<'a> Relate<'a> {
    fn new(
        instance: &Instance,
        leaf: &Leaf,
        forced: i64,
        cutoff: i64,
        nodes: u64,
        stop: &'a Stop,
    ) -> Option<(Relate<'a>, State)> {
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

    /// Whether everything below was looked at.
    fn go(&mut self, mut state: State, first: bool) -> bool {
        if self.nodes == 0 || self.stop.spend(1) {
            return false;
        }
        self.nodes -= 1;
        if !self.narrow(&mut state) {
            return true;
        }
        let cost = self.cost(&state);
        if cost >= self.below {
            return true;
        }
        match self.choose(&state, first) {
            Some(children) => children.into_iter().all(|child| self.go(child, false)),
            None => {
                // Everything is decided.
                self.below = cost;
                true
            }
        }
    }

    /// The next decision, item by item: first roughly its outline, then its relations to those before it.
    fn choose(&self, state: &State, first: bool) -> Option<Vec<State>> {
        for item in 0..self.items.len() {
            if self.is_wide(item, state.left[item]) {
                return Some(self.halves(state, item));
            }
            let open = |p: &usize| {
                let pair = &self.pairs[*p];
                pair.first.max(pair.second) == item && state.relations[*p].count_ones() > 1
            };
            let next = (0..self.pairs.len()).filter(open);
            let Some(pair) = next.min_by_key(|&p| state.relations[p].count_ones()) else { continue };
            let mut own = state.relations[pair];
            if first && self.items.iter().all(|i| i.at.is_none()) {
                // The floor mirrored.
                own &= !(LEFT | BEFORE);
            }
            let bits = (0..5).map(|i| 1 << i).filter(|bit| own & bit != 0);
            let with = |bit: Relations| {
                let mut child = *state;
                child.relations[pair] = bit;
                child
            };
            return Some(bits.map(with).collect());
        }
        let open = (0..self.items.len()).filter(|&i| state.left[i].1 - state.left[i].0 > 1);
        let item = open.max_by_key(|&i| state.left[i].1 - state.left[i].0)?;
        Some(self.halves(state, item))
    }

    /// Outlines so different that their least sides say little.
    fn is_wide(&self, item: usize, (from, to): (usize, usize)) -> bool {
        let of = |i: usize| self.items[item].outlines[i].sides[0];
        to - from > 1 && of(to - 1) * 2 > of(from) * 3
    }

    fn halves(&self, state: &State, item: usize) -> Vec<State> {
        let (from, to) = state.left[item];
        let middle = (from + to) / 2;
        [(from, middle), (middle, to)]
            .map(|part| {
                let mut child = *state;
                child.left[item] = part;
                child
            })
            .into()
    }

    /// Drops relations and outlines that go nowhere; `false` where nothing is left.
    fn narrow(&self, state: &mut State) -> bool {
        loop {
            let mut changed = false;
            let mut sides = [[0; 2]; MOST_BODIES];
            for (i, (own, &(from, to))) in self.items.iter().zip(&state.left).enumerate() {
                sides[i] = [own.outlines[from].sides[0], own.outlines[to - 1].sides[1]];
            }
            let mut windows = [[Window::default(); MOST_BODIES]; 2];
            if !(0..2).all(|axis| self.windows(state, &sides, axis, &mut windows[axis])) {
                return false;
            }
            for (item, own) in self.items.iter().enumerate() {
                let fits =
                    |o: &Outline| (0..2).all(|a| windows[a][item].near + o.sides[a] <= windows[a][item].far);
                let (mut from, mut to) = state.left[item];
                while from < to && !fits(&own.outlines[from]) {
                    from += 1;
                }
                while from < to && !fits(&own.outlines[to - 1]) {
                    to -= 1;
                }
                if from == to {
                    return false;
                }
                changed |= state.left[item] != (from, to);
                state.left[item] = (from, to);
            }
            for (pair, relations) in self.pairs.iter().zip(&mut state.relations) {
                if relations.count_ones() < 2 {
                    continue;
                }
                let room = |axis: usize, a: usize, b: usize| {
                    let latest = self.latest(b, axis, windows[axis][b].far, sides[b][axis]);
                    windows[axis][a].near + sides[a][axis] + pair.gap <= latest
                };
                let (a, b) = (pair.first, pair.second);
                let gone = [(RIGHT, 0, a, b), (LEFT, 0, b, a), (BEHIND, 1, a, b), (BEFORE, 1, b, a)]
                    .into_iter()
                    .filter(|&(_, axis, a, b)| !room(axis, a, b))
                    .fold(0, |all, (bit, ..)| all | bit);
                let now = *relations & !gone;
                if now == 0 {
                    return false;
                }
                changed |= now != *relations;
                *relations = now;
            }
            if !changed {
                return true;
            }
        }
    }

    /// Latest near side.
    fn latest(&self, item: usize, axis: usize, far: i64, side: i64) -> i64 {
        self.items[item].at.map_or(far - side, |at| at[axis].min(far - side))
    }

    /// Windows along an axis by the chains of decided relations; `false` where one is too short.
    fn windows(
        &self,
        state: &State,
        sides: &[[i64; 2]],
        axis: usize,
        windows: &mut [Window; MOST_BODIES],
    ) -> bool {
        let (forth, back) = if axis == 0 { (RIGHT, LEFT) } else { (BEHIND, BEFORE) };
        for (w, i) in windows.iter_mut().zip(&self.items) {
            *w = Window { near: i.at.map_or(i.side, |at| at[axis]), far: self.floor[axis] - i.side };
        }
        let mut chains = [(0, 0, 0); MOST_PAIRS];
        let mut count = 0;
        for (pair, relations) in self.pairs.iter().zip(&state.relations) {
            let chain = match *relations {
                r if r == forth => (pair.first, pair.second, pair.gap),
                r if r == back => (pair.second, pair.first, pair.gap),
                _ => continue,
            };
            chains[count] = chain;
            count += 1;
        }
        // A ring of relations grows until it is longer than the floor.
        loop {
            let mut changed = false;
            for &(a, b, gap) in &chains[..count] {
                let near = windows[a].near + sides[a][axis] + gap;
                let far = self.latest(b, axis, windows[b].far, sides[b][axis]) - gap;
                changed |= near > windows[b].near || far < windows[a].far;
                windows[b].near = windows[b].near.max(near);
                windows[a].far = windows[a].far.min(far);
            }
            let short = |i: usize| {
                let w = windows[i];
                w.near > self.latest(i, axis, w.far, sides[i][axis])
            };
            if (0..self.items.len()).any(short) {
                return false;
            }
            if !changed {
                return true;
            }
        }
    }

    /// Cost at least: cheapest outlines that are left, and lifts of what must lie over each other.
    fn cost(&self, state: &State) -> i64 {
        let extra = |(item, &(from, to)): (&Item, &(usize, usize))| {
            item.outlines[from..to].iter().map(|o| o.extra).min().unwrap_or(0)
        };
        let extra: i64 = self.items.iter().zip(&state.left).map(extra).sum();
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
        self.base + extra + lifts
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::bound::relax::Choice;
    use super::super::super::instance::{KeptPlace, Layout, TrayPlace};
    use super::super::super::model::tests::{plain, tray};
    use super::*;
    use crate::random::Random;

    /// The assignment of a layout.
    fn leaf(instance: &Instance, layout: &Layout) -> Leaf {
        let mut bodies = Vec::new();
        for (b, p) in layout.trays.iter().enumerate() {
            let (first, after) = (p.layer, p.layer + p.span);
            let height = layout.heights[first..after].iter().sum();
            let mut c = Choice { first, after, height, cost: 0, priced: 0, lifted: 0, least_wide: 0 };
            c.cost = least_area(instance, b, &c) * height;
            bodies.push((b, c));
        }
        Leaf::new(instance, &layout.heights, bodies, None, 0)
    }

    /// Small trays in two layers of a small box against trying every place.
    #[test]
    fn the_least_cost_is_that_of_trying_everything() {
        let mut random = Random::new(3);
        let (mut dear, mut none) = (0, 0);
        for _ in 0..400 {
            let mut n = |from: i64, to: i64| from + random.below((to - from + 1) as usize) as i64;
            let mut instance = plain(n(4, 6), n(3, 4), 2, 2);
            instance.access = Access::Lifts;
            instance.between = n(0, 1);
            for _ in 0..n(3, 4) {
                let all = [(n(1, 4), n(1, 3), 1), (n(1, 3), n(1, 4), 1)];
                let mut item = tray("reeds", &all[..n(1, 2) as usize], 1);
                (item.kind, item.weight) = (instance.trays.len(), n(0, 3));
                instance.trays.push(item);
            }
            let trays: Vec<TrayPlace> = (0..instance.trays.len())
                .map(|_| TrayPlace { layer: n(0, 1) as usize, span: 1, option: 0, x: 0, y: 0 })
                .collect();
            let start = Layout { heights: vec![1, 1], trays, kept: Vec::<KeptPlace>::new() };
            let own = leaf(&instance, &start);
            let least = least_of_all(&instance, &mut start.clone(), 0);
            let cutoff = 1_000;
            let found = related(&instance, &own, 0, cutoff, u64::MAX, &Stop::never());
            let wanted = least.map_or(cutoff + 1, |(value, _)| value);
            assert_eq!(found, Related::AtLeast(wanted), "{instance:?} {start:?}");
            dear += usize::from(least.is_some_and(|(_, access)| access > 0));
            none += usize::from(least.is_none());
            // Too few nodes say nothing.
            let few = related(&instance, &own, 0, cutoff, 0, &Stop::never());
            assert_eq!(few, Related::Open);
        }
        assert!(dear > 20 && none > 20, "{dear} {none}");
    }

    /// The least value over every place, and its lifts.
    fn least_of_all(instance: &Instance, layout: &mut Layout, tray: usize) -> Option<(i64, i64)> {
        if tray == instance.trays.len() {
            instance.feasible(layout).ok()?;
            let cost = instance.cost(layout);
            return Some((cost.value(), cost.access));
        }
        let mut best: Option<(i64, i64)> = None;
        for option in 0..instance.trays[tray].options.len() {
            for x in 0..instance.width {
                for y in 0..instance.depth {
                    let place = &mut layout.trays[tray];
                    (place.option, place.x, place.y) = (option, x, y);
                    let o = instance.trays[tray].options[option];
                    let new = instance.tray_rect(tray, &layout.trays[tray]);
                    let clear = |t: usize| {
                        let p = &layout.trays[t];
                        p.layer != layout.trays[tray].layer
                            || !instance.tray_rect(t, p).nearer(&new, instance.between)
                    };
                    if x + o.w > instance.width || y + o.d > instance.depth || !(0..tray).all(clear) {
                        continue;
                    }
                    if let Some(own) = least_of_all(instance, layout, tray + 1)
                        && best.is_none_or(|b| own.0 < b.0)
                    {
                        best = Some(own);
                    }
                }
            }
        }
        best
    }
}

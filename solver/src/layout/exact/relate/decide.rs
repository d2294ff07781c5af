//! The search: relations pair by pair, outlines by halves, narrowed by how far chains of relations reach.

use super::{
    BEFORE, BEHIND, Item, LEFT, MOST_BODIES, MOST_PAIRS, OVER, Outline, RIGHT, Relate, Relations, State,
};

/// Least and greatest coordinates of one item along an axis: of its near side, and of its far side.
#[derive(Clone, Copy, Default)]
struct Window {
    near: i64,
    far: i64,
}

impl Relate<'_> {
    /// Whether everything below was looked at.
    pub(super) fn go(&mut self, mut state: State, first: bool) -> bool {
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

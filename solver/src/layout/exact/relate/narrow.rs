//! Drops relations, outlines and places that go nowhere.

use super::{BEFORE, BEHIND, LEFT, MOST_PAIRS, OVER, RIGHT, Relate, State};

/// The second begins so far behind the end of the first.
type Chain = (usize, usize, i64);

impl Relate<'_> {
    /// `false` where nothing is left.
    pub(super) fn narrow(&mut self, state: &mut State) -> bool {
        loop {
            if !(0..2).all(|axis| self.windows(state, axis)) {
                return false;
            }
            let Some(outlines) = self.outlines(state) else { return false };
            let Some(relations) = self.relations(state) else { return false };
            let Some(carriers) = self.only_carriers(state) else { return false };
            if !outlines && !relations && !carriers {
                // The dearest look comes last.
                return (0..self.items.len()).all(|i| !self.items[i].hangs || self.may_rest(state, i));
            }
        }
    }

    /// Places along an axis by the chains of decided relations; `false` where one is too short.
    pub(super) fn windows(&self, state: &mut State, axis: usize) -> bool {
        for (i, item) in self.items.iter().enumerate() {
            let far = self.floor[axis] - item.side - self.side(state, i, axis);
            let (near, far) =
                item.at.map_or((item.side, far), |at| (at[axis].max(item.side), far.min(at[axis])));
            state.low[i][axis] = state.low[i][axis].max(near);
            state.high[i][axis] = state.high[i][axis].min(far);
        }
        let (chains, count) = self.chains(state, axis);
        // A ring of relations grows until it is longer than the floor.
        loop {
            let mut changed = false;
            for &(a, b, gap) in &chains[..count] {
                let step = self.side(state, a, axis) + gap;
                let (low, high) = (state.low[a][axis] + step, state.high[b][axis] - step);
                changed |= low > state.low[b][axis] || high < state.high[a][axis];
                state.low[b][axis] = state.low[b][axis].max(low);
                state.high[a][axis] = state.high[a][axis].min(high);
            }
            if (0..self.items.len()).any(|i| state.low[i][axis] > state.high[i][axis]) {
                return false;
            }
            if !changed {
                return true;
            }
        }
    }

    fn chains(&self, state: &State, axis: usize) -> ([Chain; MOST_PAIRS], usize) {
        let (forth, back) = if axis == 0 { (RIGHT, LEFT) } else { (BEHIND, BEFORE) };
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
        (chains, count)
    }

    /// Least side of an item's outlines that are left.
    pub(super) fn side(&self, state: &State, item: usize, axis: usize) -> i64 {
        self.runs[state.run[item]].sides[axis].0
    }

    /// Outlines at the ends of runs that are too wide, too deep or too dear; whether there were any.
    fn outlines(&mut self, state: &mut State) -> Option<bool> {
        let mut most = [[0; 2]; super::MOST_BODIES];
        for (i, (item, most)) in self.items.iter().zip(&mut most).enumerate() {
            *most = [0, 1].map(|a| self.floor[a] - item.side - state.low[i][a]);
        }
        for axis in [0, 1] {
            let (chains, count) = self.chains(state, axis);
            for &(a, b, gap) in &chains[..count] {
                most[a][axis] = most[a][axis].min(state.high[b][axis] - gap - state.low[a][axis]);
            }
        }
        let mut changed = false;
        for (i, most) in most.iter().enumerate().take(self.items.len()) {
            let run = &self.runs[state.run[i]];
            let slack = self.below - self.base;
            let fits = |s: usize| {
                let shape = &self.items[i].shapes[s];
                shape.option.w <= most[0] && shape.option.d <= most[1] && shape.extra < slack
            };
            let (mut from, mut to) = (run.from, run.to);
            while from < to && !fits(from) {
                from += 1;
            }
            while from < to && !fits(to - 1) {
                to -= 1;
            }
            if from == to {
                return None;
            }
            if (from, to) != (run.from, run.to) {
                state.run[i] = self.run(i, from, to);
                changed = true;
            }
        }
        Some(changed)
    }

    /// Relations for which there is no room; whether there were any.
    fn relations(&self, state: &mut State) -> Option<bool> {
        let mut changed = false;
        for (p, pair) in self.pairs.iter().enumerate() {
            let relations = state.relations[p];
            if relations.count_ones() < 2 {
                continue;
            }
            let room = |axis: usize, a: usize, b: usize| {
                state.low[a][axis] + self.side(state, a, axis) + pair.gap <= state.high[b][axis]
            };
            let (a, b) = (pair.first, pair.second);
            let gone = [(RIGHT, 0, a, b), (LEFT, 0, b, a), (BEHIND, 1, a, b), (BEFORE, 1, b, a)]
                .into_iter()
                .filter(|&(_, axis, a, b)| !room(axis, a, b))
                .fold(0, |all, (bit, ..)| all | bit);
            let now = relations & !gone;
            if now == 0 {
                return None;
            }
            changed |= now != relations;
            state.relations[p] = now;
        }
        Some(changed)
    }

    /// What only one body may carry lies over it; whether that is news.
    fn only_carriers(&self, state: &mut State) -> Option<bool> {
        let mut changed = false;
        for item in (0..self.items.len()).filter(|i| self.items[*i].hangs) {
            let ((carrier, pair), more) = {
                let mut carriers = self.carriers(state, item);
                (carriers.next()?, carriers.next().is_some())
            };
            if more {
                continue;
            }
            if let Some(pair) = pair.filter(|p| state.relations[*p] != OVER) {
                state.relations[pair] = OVER;
                changed = true;
            }
            changed |= self.centred(state, item, carrier)?;
        }
        Some(changed)
    }

    /// What rests on one body only has its middle over it, whether at its corners or along half of its edges; true sides may
    /// be less than a step below those of the grid.
    fn centred(&self, state: &mut State, upper: usize, lower: usize) -> Option<bool> {
        let mut changed = false;
        for axis in 0..2 {
            let run = &self.runs[state.run[upper]];
            let (least, most) = (run.sides[axis].0, run.most[axis]);
            let reach = self.runs[state.run[lower]].most[axis];
            let (u, l) = (
                (state.low[upper][axis], state.high[upper][axis]),
                (state.low[lower][axis], state.high[lower][axis]),
            );
            let (before, after) = (most / 2 + 1, reach - least / 2 + 1);
            let upper_now = (u.0.max(l.0 - before), u.1.min(l.1 + after));
            let lower_now = (l.0.max(u.0 - after), l.1.min(u.1 + before));
            if upper_now.0 > upper_now.1 || lower_now.0 > lower_now.1 {
                return None;
            }
            changed |= (upper_now, lower_now) != (u, l);
            (state.low[upper][axis], state.high[upper][axis]) = upper_now;
            (state.low[lower][axis], state.high[lower][axis]) = lower_now;
        }
        Some(changed)
    }
}

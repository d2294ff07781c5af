//! The search: relations pair by pair, then outlines and places by halves.

use super::{BEFORE, Doubt, Item, LEFT, MOST_BODIES, Relate, Relations, State};

impl Relate<'_> {
    /// Whether everything below was looked at.
    pub(super) fn go(&mut self, mut state: State, first: bool) -> bool {
        if self.spent() {
            return false;
        }
        if !self.narrow(&mut state) {
            return true;
        }
        let cost = self.cost(&state);
        if cost >= self.below {
            return true;
        }
        if let Some(children) = self.choose(&state, first) {
            return children.into_iter().all(|child| self.go(child, false));
        }
        self.places = self.most_places;
        if !self.place(state) {
            // What was not looked at may cost as little.
            (self.below, self.doubt) = (self.below.min(cost), Doubt::Places);
        }
        true
    }

    fn spent(&mut self) -> bool {
        if self.nodes == 0 || self.stop.spend(self.each) {
            return true;
        }
        self.nodes -= 1;
        false
    }

    /// The next decision, item by item: first roughly its outline, then its relations to those before it.
    fn choose(&mut self, state: &State, first: bool) -> Option<Vec<State>> {
        for item in 0..self.items.len() {
            if self.is_wide(state, item) {
                return Some(self.outline_halves(state, item).into());
            }
            let open = |p: &usize| {
                let pair = &self.pairs[*p];
                pair.first.max(pair.second) == item && state.relations[*p].count_ones() > 1
            };
            let next = (0..self.pairs.len()).filter(open);
            let Some(pair) = next.min_by_key(|&p| state.relations[p].count_ones()) else { continue };
            let mut own = state.relations[pair];
            if first && self.instance.rims.is_none() && self.items.iter().all(|i| i.at.is_none()) {
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
        None
    }

    /// Outlines so different that their least sides say little.
    fn is_wide(&self, state: &State, item: usize) -> bool {
        let run = &self.runs[state.run[item]];
        run.to - run.from > 1 && run.sides[0].1 * 2 > run.sides[0].0 * 3
    }

    /// The half with the cheapest outline, and the other one.
    fn outline_halves(&mut self, state: &State, item: usize) -> [State; 2] {
        let run = &self.runs[state.run[item]];
        let (from, to, cheapest) = (run.from, run.to, run.cheapest);
        let middle = from.midpoint(to);
        let mut halves = [(from, middle), (middle, to)];
        if cheapest >= middle {
            halves.reverse();
        }
        halves.map(|(from, to)| {
            let mut child = *state;
            child.run[item] = self.run(item, from, to);
            child
        })
    }

    /// Outlines and places where every relation is decided; whether everything was looked at.
    fn place(&mut self, mut state: State) -> bool {
        if self.places == 0 || self.spent() {
            return false;
        }
        self.places -= 1;
        if !self.narrow(&mut state) {
            return true;
        }
        let cost = self.cost(&state);
        if cost >= self.below {
            return true;
        }
        // The cheapest outlines, where there is room for them.
        let mut point = state;
        for item in 0..self.items.len() {
            let cheapest = self.runs[state.run[item]].cheapest;
            point.run[item] = self.run(item, cheapest, cheapest + 1);
        }
        let mut failing = None;
        if (0..2).all(|axis| self.windows(&mut point, axis)) {
            let hangs = |i: &usize| self.items[*i].hangs;
            for places in [point.high, point.low] {
                let fails = |i: &usize| hangs(i) && !self.rests(&point, *i, &places);
                failing = (0..self.items.len()).find(fails);
                if failing.is_none() {
                    self.take(&point, &places, cost);
                    return true;
                }
            }
        }
        let Some(halves) = self.halves(&state, failing) else {
            if failing.is_some() {
                // Made larger, it may rest.
                self.below = cost;
            }
            return true;
        };
        halves.into_iter().all(|half| self.place(half))
    }

    /// The largest uncertainty cut in two: of what fails and what may carry it, or of every outline where the cheapest do
    /// not fit together.
    fn halves(&mut self, state: &State, failing: Option<usize>) -> Option<[State; 2]> {
        let mut near: Vec<usize> = match failing {
            Some(failing) => self.carriers(state, failing).map(|c| c.0).collect(),
            None => (0..self.items.len()).collect(),
        };
        near.extend(failing);
        // How wide, which item, and along which axis where it is about places.
        let mut widest: (i64, usize, Option<usize>) = (0, 0, None);
        for &i in &near {
            let run = &self.runs[state.run[i]];
            for axis in 0..2 {
                let (least, most) = run.sides[axis];
                // Outlines that differ in nothing but their insides, too.
                let outlines = if run.to - run.from > 1 { (2 * (most - least)).max(1) } else { 0 };
                let places = failing.map_or(0, |_| state.high[i][axis] - state.low[i][axis]);
                if outlines > widest.0 {
                    widest = (outlines, i, None);
                }
                if places > widest.0 {
                    widest = (places, i, Some(axis));
                }
            }
        }
        match widest {
            (0, ..) => None,
            (_, item, None) => Some(self.outline_halves(state, item)),
            (wide, item, Some(axis)) => {
                let middle = state.low[item][axis] + wide / 2;
                let (mut one, mut other) = (*state, *state);
                (one.high[item][axis], other.low[item][axis]) = (middle, middle + 1);
                Some([one, other])
            }
        }
    }

    /// Cost at least: cheapest outlines that are left, and lifts of what must lie over each other.
    fn cost(&self, state: &State) -> i64 {
        let extra = |(_, &run): (&Item, &usize)| self.runs[run].extra;
        let extra: i64 = self.items.iter().zip(&state.run).map(extra).sum();
        self.base + extra + self.lifts(state)
    }

    /// The cheapest so far: every item in the only outline of its run, at these places.
    fn take(&mut self, state: &State, at: &[[i64; 2]; MOST_BODIES], cost: i64) {
        let mut spots = vec![(usize::MAX, 0, 0); self.leaf.bodies.len()];
        for (i, item) in self.items.iter().enumerate() {
            let choice = item.shapes[self.runs[state.run[i]].cheapest].choice;
            let place = self.leaf.bodies.iter().position(|(b, _)| *b == item.body);
            if let Some(spot) = place.and_then(|p| spots.get_mut(p)) {
                *spot = (choice, at[i][0], at[i][1]);
            }
        }
        (self.below, self.met) = (cost, Some(self.leaf.layout(self.instance, &spots)));
    }
}

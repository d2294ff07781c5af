//! Depth first over assignments of bodies to the layers of a profile.

use super::super::bound::Bounded;
use super::super::bound::relax::{Choice, PARTS};
use super::super::instance::{Instance, Layout};
use super::super::stand::Stand;
use super::layer::Layers;
use super::leaf::Leaf;
use super::over::Over;
use super::relate::Known;
use crate::stop::Stop;

/// One pass under way.
pub(super) struct Walk<'a, 'b> {
    pub(super) instance: &'a Instance,
    pub(super) truth: &'a Instance,
    pub(super) layers: &'b mut Layers,
    pub(super) related: &'b mut Known,
    pub(super) forced: i64,
    pub(super) heights: &'b [i64],
    pub(super) over: Option<&'b Over>,
    pub(super) stop: &'b Stop,
    pub(super) pack_nodes: u64,
    /// Some packing ended undecided.
    pub(super) undecided: bool,
    pub(super) cutoff: i64,
    pub(super) best: Option<(Layout, i64)>,
    /// The least cost that something undecided could have.
    pub(super) doubt: i64,
    pub(super) stopped: bool,
    pub(super) joint_tries: usize,
    /// Plans of `truth` that cost as much are known already.
    pub(super) known: i64,
    pub(super) stand: Stand<'a>,
    /// Nodes of setting bodies down.
    pub(super) stood: u64,
    /// Assignments whose layers may still be packed one after another.
    pub(super) packings: usize,
    /// Complete assignments whose layers are still to be packed.
    pub(super) leaves: Vec<Leaf>,
    /// So many wait for each other, so that their layers can be packed side by side; the first ones do not.
    pub(super) batch: usize,
}

/// One profile under way.
struct Profile<'p> {
    heights: &'p [i64],
    /// Per place in the order of branching: the body and its choices, cheapest first.
    bodies: Vec<(usize, Vec<Choice>)>,
    /// The bodies that have been given a place, with it.
    given: Vec<(usize, Choice)>,
    /// Least priced cost of all bodies from this place on, less what the priced areas are worth: lifts aside, and with them.
    rest: Vec<(i64, i64)>,
    room: Vec<i64>,
    used: Vec<i64>,
    forced: i64,
}

impl Walk<'_, '_> {
    /// Every assignment of this profile within the cutoff.
    pub(super) fn profile(
        &mut self,
        profile: &Bounded,
        choices: Vec<Vec<Choice>>,
        worth: (i64, i64),
        room: Vec<i64>,
        forced: i64,
    ) {
        let mut bodies: Vec<(usize, Vec<Choice>)> = choices.into_iter().enumerate().collect();
        for (_, c) in &mut bodies {
            c.sort_by_key(|c| (c.lifted, c.first, c.after));
        }
        // Bodies for which another layer costs most come first; copies stay together for the symmetry rule.
        let regret = |c: &[Choice]| match c {
            [a, b, ..] => b.lifted - a.lifted,
            _ => i64::MAX,
        };
        let group = |b: usize| self.kind(b);
        bodies.sort_by(|a, b| {
            regret(&b.1).cmp(&regret(&a.1)).then_with(|| group(a.0).cmp(&group(b.0))).then(a.0.cmp(&b.0))
        });
        let mut rest = vec![(-worth.0, -worth.1); bodies.len() + 1];
        for (i, (_, c)) in bodies.iter().enumerate().rev() {
            let least = |price: fn(&Choice) -> i64| c.iter().map(price).min().unwrap_or(0);
            rest[i] = (rest[i + 1].0 + least(|c| c.priced), rest[i + 1].1 + least(|c| c.lifted));
        }
        let layers = profile.heights.len();
        let mut p = Profile {
            heights: &profile.heights,
            given: Vec::with_capacity(bodies.len()),
            bodies,
            rest,
            room,
            used: vec![0; layers],
            forced,
        };
        self.assign(&mut p, (0, 0));
    }

    /// Bodies with the same number are interchangeable.
    fn kind(&self, body: usize) -> (bool, usize) {
        match body.checked_sub(self.instance.trays.len()) {
            None => (false, self.instance.trays[body].kind),
            Some(k) => (true, self.instance.kept[k].kind),
        }
    }

    fn assign(&mut self, p: &mut Profile, priced: (i64, i64)) {
        if self.stop.spend(1) {
            self.stopped = true;
        }
        if self.stopped {
            return;
        }
        let place = p.given.len();
        // Rounded up: costs are whole numbers.
        let least = |priced: i64, rest: i64| -(-(priced + rest)).div_euclid(PARTS) + p.forced;
        if least(priced.1, p.rest[place].1) > self.cutoff {
            return;
        }
        let least = least(priced.0, p.rest[place].0);
        if least > self.cutoff {
            return;
        }
        let lifts = |o: &Over| o.least(p.heights.len(), &p.given, false);
        if place > 1 && least + self.over.map_or(0, lifts) > self.cutoff {
            return;
        }
        if place == p.bodies.len() {
            self.complete(p);
            return;
        }
        let (body, kind) = (p.bodies[place].0, self.kind(p.bodies[place].0));
        let twin = place
            .checked_sub(1)
            .filter(|&b| self.kind(p.bodies[b].0) == kind && self.alike(p.bodies[b].0, body));
        for i in 0..p.bodies[place].1.len() {
            let c = p.bodies[place].1[i];
            if twin.is_some_and(|t| (p.given[t].1.first, p.given[t].1.after) > (c.first, c.after)) {
                continue;
            }
            if (c.first..c.after).any(|l| p.used[l] + c.least_wide > p.room[l]) {
                continue;
            }
            for u in &mut p.used[c.first..c.after] {
                *u += c.least_wide;
            }
            p.given.push((body, c));
            self.assign(p, (priced.0 + c.priced, priced.1 + c.lifted));
            p.given.pop();
            for u in &mut p.used[c.first..c.after] {
                *u -= c.least_wide;
            }
            if self.stopped {
                return;
            }
        }
    }

    /// Copies held at different places are not interchangeable.
    fn alike(&self, a: usize, b: usize) -> bool {
        let n = self.instance.trays.len();
        let held =
            |b: usize| if b < n { self.instance.trays[b].held } else { self.instance.kept[b - n].held };
        held(a) == held(b)
    }

    /// A complete assignment waits until there are enough of them.
    fn complete(&mut self, p: &Profile) {
        let leaf = Leaf::new(self.instance, p.heights, p.given.clone(), self.over, p.forced);
        if leaf.least > self.cutoff {
            return;
        }
        self.leaves.push(leaf);
        if self.leaves.len() >= self.batch {
            self.decide();
        }
    }
}

//! The exact side: which body lies in which layer, and whether each layer can be packed.
//!
//! Passes under a rising cutoff. In a pass, every profile whose bound is within the cutoff is searched depth
//! first over assignments of bodies to layers, bounded by the profile's multipliers; each complete assignment
//! leaves some slack to the cutoff, and each of its layers must be packed with outlines whose areas stay within
//! that slack. A pass that ends without a plan and without a doubt proves that no plan costs less than the cutoff.
//!
//! Doubts are kept, not hidden: a layer that could not be decided in time, bodies that couple layers (spans, tall kept
//! items) whose joint packing was not found, and plans that cost more in lifts than the assignment alone would
//! need. The bound then stops at the least cost that such an assignment could have.

mod layer;

use super::anneal::run;
use super::bound::relax::{Choice, PARTS};
use super::bound::{Bounded, Profiles};
use super::decode::drafted;
use super::heights::candidates;
use super::instance::{Access, HeldAt, Instance, KeptPlace, Layout, TrayPlace};
use super::lifts::{covers_over, forced};
use super::mirror;
use super::repair::repair;
use crate::stop::Stop;
use layer::{Fit, Layers, Places, Question, least_area};

/// Steps of the short annealing that tries to place an assignment whose layers are coupled.
const JOINT_STEPS: u64 = 4_000;
/// Nodes that one packing may take at first.
const FIRST_PACK_NODES: u64 = 20_000;
/// Tries of repairing bearing where a packing leaves bodies without.
const REPAIRS: u64 = 3;
/// Most of these tries in one pass.
const JOINT_TRIES: usize = 12;

/// What came of a pass.
#[derive(Clone, Debug)]
pub struct Pass {
    /// The best plan that was met, with its true value (which may lie above the cutoff).
    pub best: Option<(Layout, i64)>,
    /// No plan costs less than this (by the price of the problem searched).
    pub bound: i64,
    /// The least price met: the cutoff that is left, and one.
    pub met: i64,
    /// The stop ended it.
    pub stopped: bool,
    /// Some packing was not decided with the nodes it had: the next pass gives more.
    pub undecided: bool,
}

/// State that passes share: profiles already bounded, layers already decided.
pub struct Exact<'a> {
    instance: &'a Instance,
    /// The problem that plans answer to: the same with kept items free where this one holds them.
    truth: &'a Instance,
    profiles: Profiles<'a>,
    layers: Layers,
    heights: Vec<i64>,
    forced: i64,
    /// Only profiles in which kept items can carry what stands above them.
    carrying: bool,
    /// Nodes that one packing may take; raised when passes end in doubt.
    pack_nodes: u64,
}

impl<'a> Exact<'a> {
    /// Ready for passes.
    pub fn new(instance: &'a Instance) -> Exact<'a> {
        Exact::within(instance, instance)
    }

    /// Searches an easier problem (kept items held at places, lifts without weight) for plans of `truth`; its bounds hold
    /// for that problem only.
    pub fn within(instance: &'a Instance, truth: &'a Instance) -> Exact<'a> {
        let carrying = !std::ptr::eq(instance, truth) && truth.rims.is_some();
        let heights = candidates(instance);
        let profiles = Profiles::new(instance, &heights);
        let forced = if instance.access == Access::Lifts { forced(instance) } else { 0 };
        Exact {
            instance,
            truth,
            profiles,
            layers: Layers::default(),
            heights,
            forced,
            carrying,
            pack_nodes: FIRST_PACK_NODES,
        }
    }

    /// The profile of this rank, for starts of other engines.
    pub fn profile(&mut self, rank: usize) -> Option<&Bounded> {
        self.profiles.get(rank)
    }

    /// Whether candidate heights had to be thinned.
    pub fn thinned(&self) -> bool {
        self.profiles.thinned()
    }

    /// No plan costs more than this.
    pub fn ceiling(&self) -> i64 {
        let bodies =
            (self.instance.trays.len() + self.instance.kept.len() + self.instance.cover.len()) as i64;
        let lifts: i64 = match self.instance.access {
            Access::Lifts => self.instance.trays.iter().map(|t| t.weight * bodies).sum(),
            Access::LayerIndex | Access::LayersAbove => 0,
        };
        self.profiles.ceiling().saturating_add(lifts)
    }

    /// The bound before any pass; `None`: there is no plan.
    pub fn area_bound(&mut self) -> Option<i64> {
        let forced = self.forced;
        self.profiles.get(0).map(|b| b.bound + forced)
    }

    /// Searches everything that could cost at most `cutoff`.
    pub fn pass(&mut self, cutoff: i64, stop: &Stop) -> Pass {
        let mut pass = Walk {
            instance: self.instance,
            truth: self.truth,
            layers: &mut self.layers,
            heights: &self.heights,
            stop,
            pack_nodes: self.pack_nodes,
            undecided: false,
            cutoff,
            best: None,
            doubt: i64::MAX,
            stopped: false,
            joint_tries: 0,
        };
        let mut rank = 0;
        while let Some(profile) = self.profiles.get(rank).cloned() {
            rank += 1;
            if profile.bound + self.forced > pass.cutoff {
                break;
            }
            if self.carrying && !carries(self.instance, &profile.heights) {
                continue;
            }
            if profile.coarse {
                pass.doubt = pass.doubt.min(profile.bound + self.forced);
                continue;
            }
            let Some(table) = self.profiles.table(profile.heights.len()) else { continue };
            let bodies = self.instance.trays.len() + self.instance.kept.len();
            let choices: Vec<Vec<Choice>> =
                (0..bodies).map(|b| table.choices(&profile.heights, &profile.multipliers, b)).collect();
            if choices.iter().any(Vec::is_empty) {
                continue;
            }
            let priced_room: i64 = profile.multipliers.iter().zip(&table.room).map(|(m, r)| m * r).sum();
            let room = table.room.clone();
            pass.profile(&profile, choices, priced_room, room, self.forced);
            if pass.stopped {
                break;
            }
        }
        let undecided = pass.undecided;
        // Every plan taken lowered the cutoff below its own price.
        let bound = if pass.stopped { i64::MIN } else { pass.doubt.min(pass.cutoff.saturating_add(1)) };
        let met = pass.cutoff.saturating_add(1);
        let pass = Pass { best: pass.best, met, bound, stopped: pass.stopped, undecided };
        if undecided && !pass.stopped {
            self.pack_nodes = self.pack_nodes.saturating_mul(4);
        }
        pass
    }
}

/// Whether every held kept item ends at the top of a layer, or has no layer above it.
fn carries(instance: &Instance, heights: &[i64]) -> bool {
    instance.kept.iter().filter(|k| matches!(k.held, HeldAt::Point(_, _, 0))).all(|k| {
        let h = k.turns.first().map_or(0, |o| o.h);
        let (_, after, top) = instance.kept_reach(heights, 0, h);
        after == heights.len() || top == h
    })
}

/// One pass under way.
struct Walk<'a, 'b> {
    instance: &'a Instance,
    truth: &'a Instance,
    layers: &'b mut Layers,
    heights: &'b [i64],
    stop: &'b Stop,
    pack_nodes: u64,
    /// Some packing ended undecided.
    undecided: bool,
    cutoff: i64,
    best: Option<(Layout, i64)>,
    /// The least cost that something undecided could have.
    doubt: i64,
    stopped: bool,
    joint_tries: usize,
}

/// One profile under way.
struct Profile<'p> {
    heights: &'p [i64],
    /// Per place in the order of branching: the body and its choices, cheapest first.
    bodies: Vec<(usize, Vec<Choice>)>,
    /// Least priced cost of all bodies from this place on, less the priced room.
    rest: Vec<i64>,
    room: Vec<i64>,
    used: Vec<i64>,
    chosen: Vec<Choice>,
    forced: i64,
}

impl Walk<'_, '_> {
    fn profile(
        &mut self,
        profile: &Bounded,
        choices: Vec<Vec<Choice>>,
        priced_room: i64,
        room: Vec<i64>,
        forced: i64,
    ) {
        let mut bodies: Vec<(usize, Vec<Choice>)> = choices.into_iter().enumerate().collect();
        for (_, c) in &mut bodies {
            c.sort_by_key(|c| (c.priced, c.first, c.after));
        }
        // Bodies for which another layer costs most come first; copies stay together for the symmetry rule.
        let regret = |c: &[Choice]| match c {
            [a, b, ..] => b.priced - a.priced,
            _ => i64::MAX,
        };
        let group = |b: usize| self.kind(b);
        bodies.sort_by(|a, b| {
            regret(&b.1).cmp(&regret(&a.1)).then_with(|| group(a.0).cmp(&group(b.0))).then(a.0.cmp(&b.0))
        });
        let mut rest = vec![-priced_room; bodies.len() + 1];
        for (i, (_, c)) in bodies.iter().enumerate().rev() {
            rest[i] = rest[i + 1] + c.iter().map(|c| c.priced).min().unwrap_or(0);
        }
        let layers = profile.heights.len();
        let mut p = Profile {
            heights: &profile.heights,
            bodies,
            rest,
            room,
            used: vec![0; layers],
            chosen: Vec::new(),
            forced,
        };
        self.assign(&mut p, 0);
    }

    /// Bodies with the same number are interchangeable.
    fn kind(&self, body: usize) -> (bool, usize) {
        match body.checked_sub(self.instance.trays.len()) {
            None => (false, self.instance.trays[body].kind),
            Some(k) => (true, self.instance.kept[k].kind),
        }
    }

    fn assign(&mut self, p: &mut Profile, priced: i64) {
        if self.stop.spend(1) {
            self.stopped = true;
        }
        if self.stopped {
            return;
        }
        let place = p.chosen.len();
        // Rounded up: costs are whole numbers.
        let least = -(-(priced + p.rest[place])).div_euclid(PARTS) + p.forced;
        if least > self.cutoff {
            return;
        }
        if place == p.bodies.len() {
            self.leaf(p);
            return;
        }
        let (body, kind) = (p.bodies[place].0, self.kind(p.bodies[place].0));
        let twin = place
            .checked_sub(1)
            .filter(|&b| self.kind(p.bodies[b].0) == kind && self.alike(p.bodies[b].0, body));
        for i in 0..p.bodies[place].1.len() {
            let c = p.bodies[place].1[i];
            if twin.is_some_and(|t| (p.chosen[t].first, p.chosen[t].after) > (c.first, c.after)) {
                continue;
            }
            if (c.first..c.after).any(|l| p.used[l] + c.least_wide > p.room[l]) {
                continue;
            }
            for u in &mut p.used[c.first..c.after] {
                *u += c.least_wide;
            }
            p.chosen.push(c);
            self.assign(p, priced + c.priced);
            p.chosen.pop();
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

    /// A complete assignment: can every layer be packed within the slack?
    fn leaf(&mut self, p: &Profile) {
        let claimed: i64 = p.chosen.iter().map(|c| c.cost).sum();
        let lifts = self.least_lifts(p).max(p.forced);
        let least = claimed + lifts;
        if least > self.cutoff {
            return;
        }
        let layers = p.heights.len();
        let mut members: Vec<Vec<(usize, usize)>> = vec![Vec::new(); layers];
        for (i, c) in p.chosen.iter().enumerate() {
            members[c.first..c.after].iter_mut().for_each(|m| m.push((p.bodies[i].0, i)));
        }
        members.iter_mut().for_each(|m| m.sort_unstable());
        let bodies: Vec<Vec<(usize, Choice)>> =
            members.iter().map(|m| m.iter().map(|&(b, i)| (b, p.chosen[i])).collect()).collect();
        // More than one layer, or none (on the top of the last one).
        let couples =
            |b: usize, c: &Choice| c.after - c.first != 1 && !(c.after > c.first && self.settled(b));
        if p.bodies.iter().zip(&p.chosen).any(|((b, _), c)| couples(*b, c)) {
            let slack = Some(self.cutoff - least);
            for (l, members) in bodies.iter().enumerate() {
                match self.ask(l, members, i64::MAX / 4, slack) {
                    Fit::Impossible => return,
                    Fit::Unknown => return self.doubted(least),
                    Fit::Found(..) => {}
                }
            }
            return self.joint(p, least);
        }
        let area: Vec<i64> =
            bodies.iter().map(|m| m.iter().map(|(b, c)| least_area(self.instance, *b, c)).sum()).collect();
        // Per layer: the best packing so far, and whether it is known to be the best.
        let mut best: Vec<(i64, Places, bool)> = Vec::with_capacity(layers);
        for l in 0..layers {
            match self.ask(l, &bodies[l], area[l] + (self.cutoff - least) / p.heights[l], None) {
                Fit::Impossible => return,
                Fit::Unknown => return self.doubted(least),
                Fit::Found(found, places) => best.push((found, places, found == area[l])),
            }
        }
        loop {
            let over: i64 = (0..layers).map(|l| (best[l].0 - area[l]) * p.heights[l]).sum();
            if least + over <= self.cutoff {
                let mut spots = vec![(0, 0, 0); p.bodies.len()];
                for (m, (_, places, _)) in members.iter().zip(&best) {
                    for (&(_, i), place) in m.iter().zip(places) {
                        spots[i] = *place;
                    }
                }
                let layout = self.layout(p, &spots);
                if !self.offer(layout, least + over) {
                    return;
                }
                continue;
            }
            // Too dear together: the layer that costs most beyond its least is asked for less.
            let open =
                (0..layers).filter(|&l| !best[l].2).max_by_key(|&l| (best[l].0 - area[l]) * p.heights[l]);
            let Some(l) = open else { return };
            match self.ask(l, &bodies[l], best[l].0 - 1, None) {
                Fit::Impossible => best[l].2 = true,
                Fit::Unknown => return self.doubted(least),
                Fit::Found(found, places) => best[l] = (found, places, found == area[l]),
            }
        }
    }

    /// Whether place and outline of a body are given, so that it does not couple the layers it reaches into.
    fn settled(&self, body: usize) -> bool {
        match body.checked_sub(self.instance.trays.len()).and_then(|k| self.instance.kept.get(k)) {
            Some(k) => matches!(k.held, HeldAt::Point(..)) && k.turns.len() == 1,
            None => false,
        }
    }

    fn ask(&mut self, layer: usize, bodies: &[(usize, Choice)], budget: i64, slack: Option<i64>) -> Fit {
        self.layers.fit(
            &Question { instance: self.instance, layer, bodies, budget, slack },
            self.pack_nodes,
            self.stop,
        )
    }

    fn doubted(&mut self, least: i64) {
        self.undecided = true;
        self.stopped |= self.stop.now();
        self.doubt = self.doubt.min(least);
    }

    /// Takes a plan, turned about in the ways that cost nothing; what it costs beyond `least` is a doubt. Says whether it
    /// cost no more than that.
    fn offer(&mut self, layout: Layout, least: i64) -> bool {
        let turned = mirror::best(self.truth, &layout).or_else(|| {
            let repaired = (0..REPAIRS).find_map(|seed| repair(self.truth, &layout, seed))?;
            mirror::best(self.truth, &repaired)
        });
        let Some((layout, value)) = turned else {
            // Nothing rests as it lies: a short annealing looks for places near by.
            self.doubt = self.doubt.min(least);
            self.anneal(&layout);
            return false;
        };
        let own = self.take(layout, value);
        if own > least {
            self.doubt = self.doubt.min(least);
        }
        own <= least
    }

    /// Keeps a plan, and searches for better ones only: better by this problem's own price, which may leave lifts out.
    fn take(&mut self, layout: Layout, value: i64) -> i64 {
        let own = self.instance.cost(&layout).value();
        if own <= self.cutoff {
            self.cutoff = own - 1;
        }
        if self.best.as_ref().is_none_or(|b| value < b.1) {
            self.best = Some((layout, value));
        }
        own
    }

    /// Layers that share bodies are placed together by a short annealing from this assignment.
    fn joint(&mut self, p: &Profile, least: i64) {
        self.doubt = self.doubt.min(least);
        let spots = vec![(usize::MAX, 0, 0); p.bodies.len()];
        let layout = self.layout(p, &spots);
        self.anneal(&layout);
    }

    /// A short annealing from a layout.
    fn anneal(&mut self, layout: &Layout) {
        if self.joint_tries >= JOINT_TRIES {
            return;
        }
        self.joint_tries += 1;
        let draft = drafted(self.instance, layout);
        let (best, _) = run(self.instance, self.heights, draft, 1, JOINT_STEPS, self.stop);
        if let Some((layout, value)) = best.and_then(|b| mirror::best(self.truth, &b.layout)) {
            self.take(layout, value);
        }
    }

    /// The layout of an assignment; spots are (option or turn, x, y), an option of `usize::MAX` means the one of least
    /// area.
    fn layout(&self, p: &Profile, spots: &[(usize, i64, i64)]) -> Layout {
        let n = self.instance.trays.len();
        let mut layout = Layout {
            heights: p.heights.to_vec(),
            trays: vec![TrayPlace { layer: 0, span: 1, option: 0, x: 0, y: 0 }; n],
            kept: vec![KeptPlace { layer: 0, turn: 0, x: 0, y: 0 }; self.instance.kept.len()],
        };
        for (((body, _), c), &(option, x, y)) in p.bodies.iter().zip(&p.chosen).zip(spots) {
            let least = |options: &[super::instance::Option3], fits: &dyn Fn(i64) -> bool| {
                let all = options.iter().enumerate().filter(|(_, o)| fits(o.h));
                all.min_by_key(|(_, o)| o.w * o.d).map_or(0, |(i, _)| i)
            };
            if *body < n {
                let own = &self.instance.trays[*body].options;
                let option = if option == usize::MAX { least(own, &|h| h <= c.height) } else { option };
                layout.trays[*body] = TrayPlace { layer: c.first, span: c.after - c.first, option, x, y };
            } else {
                let own = &self.instance.kept[*body - n].turns;
                let turn = if option == usize::MAX { least(own, &|h| h == c.height) } else { option };
                layout.kept[*body - n] = KeptPlace { layer: c.first, turn, x, y };
            }
        }
        layout
    }

    /// Lifts that no packing of this assignment avoids: a tray larger than what a layer above leaves free lies under
    /// at least one of its bodies.
    fn least_lifts(&self, p: &Profile) -> i64 {
        if self.instance.access != Access::Lifts {
            return 0;
        }
        let n = self.instance.trays.len();
        let room = self.instance.width * self.instance.depth;
        let mut free = vec![room; p.heights.len()];
        let mut largest = vec![0i64; p.heights.len()];
        let mut count = vec![0i64; p.heights.len()];
        for (_, c) in p.bodies.iter().zip(&p.chosen) {
            // Only bodies of one layer: one that reaches through several may be the same lift twice.
            if c.after - c.first == 1 && c.height > 0 {
                let area = c.cost / c.height;
                free[c.first] -= area;
                largest[c.first] = largest[c.first].max(area);
                count[c.first] += 1;
            }
        }
        let mut sum = 0;
        for ((body, _), c) in p.bodies.iter().zip(&p.chosen) {
            let Some(tray) = self.instance.trays.get(*body).filter(|t| *body < n && t.weight > 0) else {
                continue;
            };
            let area = c.cost / c.height.max(1);
            let above = (c.after..p.heights.len()).filter(|&l| count[l] > 0 && area > free[l]).count() as i64;
            sum += tray.weight * (above + covers_over(self.instance, tray));
        }
        sum
    }
}

//! Complete assignments: which of their layers to pack next, and what the answers mean.

use rayon::prelude::*;

use super::super::bound::relax::Choice;
use super::super::instance::{HeldAt, Instance, KeptPlace, Layout, Option3, TrayPlace};
use super::layer::{Layers, Place, Places, Question, State, UnderWay, least_area};
use super::over::Over;
use super::relate::Ask;
use super::walk::Walk;

/// Most complete assignments that wait for each other.
const BATCH: usize = 8;
/// Nodes of a packing when those of the slice have ended.
const LAST_NODES: u64 = 20_000;

/// Every body has a layer.
pub(super) struct Leaf {
    pub(super) heights: Vec<i64>,
    /// The bodies in the order of branching, and what was chosen for each.
    pub(super) bodies: Vec<(usize, Choice)>,
    /// Per layer: ascending places in `bodies`.
    pub(super) members: Vec<Vec<usize>>,
    /// Per layer: area of the least outlines.
    pub(super) area: Vec<i64>,
    /// What it costs at least, from claims and lifts alone.
    pub(super) least: i64,
    /// Some body reaches through several layers, or stands on the top of the last one.
    coupled: bool,
    /// A packing of its layers was no plan at its price.
    failed: bool,
}

/// What is to be done next about an assignment.
enum Step {
    /// It costs more than the cutoff.
    Dead,
    /// Nothing more can be decided with the nodes at hand; it costs at least this.
    Doubt(i64),
    /// Every layer is packed: (option or turn, x, y) per body, and the price; and what other packings cost at least.
    Plan(Places, i64, i64),
    /// Every layer can be packed for itself, but they share bodies.
    Joint,
    /// This has to be known first.
    Ask(Question),
}

/// What an assignment needs to know.
enum Need {
    /// How one of its layers is packed.
    Packing(Question),
    /// What all its bodies cost together.
    Relations,
}

impl Leaf {
    pub(super) fn new(
        instance: &Instance,
        heights: &[i64],
        bodies: Vec<(usize, Choice)>,
        over: Option<&Over>,
        forced: i64,
    ) -> Leaf {
        let mut members: Vec<Vec<usize>> = vec![Vec::new(); heights.len()];
        for (i, (_, c)) in bodies.iter().enumerate() {
            members[c.first..c.after].iter_mut().for_each(|m| m.push(i));
        }
        members.iter_mut().for_each(|m| m.sort_unstable_by_key(|i| bodies[*i].0));
        let least = |m: &Vec<usize>| m.iter().map(|&i| least_area(instance, bodies[i].0, &bodies[i].1)).sum();
        let area = members.iter().map(least).collect();
        // More than one layer, or none (on the top of the last one).
        let couples =
            |b: usize, c: &Choice| c.after - c.first != 1 && !(c.after > c.first && settled(instance, b));
        let coupled = bodies.iter().any(|(b, c)| couples(*b, c));
        let claimed: i64 = bodies.iter().map(|(_, c)| c.cost).sum();
        let lifts = over.map_or(0, |o| o.least(heights.len(), &bodies, true)) + forced;
        Leaf {
            heights: heights.to_vec(),
            bodies,
            members,
            area,
            least: claimed + lifts,
            coupled,
            failed: false,
        }
    }

    pub(super) fn question(&self, layer: usize, budget: i64, slack: Option<i64>) -> Question {
        let bodies = self.members[layer].iter().map(|&i| self.bodies[i]).collect();
        Question { layer, bodies, budget, slack }
    }

    fn step(&self, instance: &Instance, layers: &Layers, cutoff: i64, nodes: u64) -> Step {
        if self.least > cutoff {
            return Step::Dead;
        }
        if self.coupled {
            return self.coupled_step(instance, layers, cutoff, nodes);
        }
        let states: Vec<State> = (0..self.heights.len())
            .map(|l| layers.state(instance, &self.question(l, self.area[l], None)))
            .collect();
        let over = |l: usize, area: i64| (area - self.area[l]) * self.heights[l];
        let low = |l: usize| states[l].least.max(self.area[l]);
        let least: i64 = self.least + (0..states.len()).map(|l| over(l, low(l))).sum::<i64>();
        if least > cutoff {
            return Step::Dead;
        }
        let budget = |l: usize| low(l) + (cutoff - least) / self.heights[l].max(1);
        let missing = |l: &usize| states[*l].found.is_none_or(|(area, _)| area > budget(*l));
        let mut open: Vec<usize> = (0..states.len()).filter(missing).collect();
        if open.is_empty() {
            let area = |l: usize| states[l].found.map_or(0, |f| f.0);
            let price = self.least + (0..states.len()).map(|l| over(l, area(l))).sum::<i64>();
            if price <= cutoff {
                let mut spots = vec![(0, 0, 0); self.bodies.len()];
                for (members, state) in self.members.iter().zip(&states) {
                    let places = state.found.map_or(&[][..], |f| f.1);
                    for (&i, place) in members.iter().zip(places) {
                        spots[i] = *place;
                    }
                }
                return Step::Plan(spots, price, least);
            }
            // Too dear together: less is asked of the layer that may save most, as much less as would do.
            let mut open: Vec<usize> = (0..states.len()).filter(|&l| area(l) > low(l)).collect();
            open.sort_by_key(|&l| -(area(l) - low(l)) * self.heights[l]);
            for l in open {
                let enough = area(l) - (price - cutoff + self.heights[l] - 1) / self.heights[l].max(1);
                let ask = enough.max((low(l) + area(l)) / 2).min(area(l) - 1);
                if states[l].open(ask, nodes) {
                    return Step::Ask(self.question(l, ask, None));
                }
            }
            return Step::Doubt(least);
        }
        // The fullest layer is the first to be refuted.
        open.sort_by_key(|&l| -self.area[l]);
        match open.into_iter().find(|&l| states[l].open(budget(l), nodes)) {
            Some(l) => Step::Ask(self.question(l, budget(l), None)),
            None => Step::Doubt(least),
        }
    }

    /// Layers that share bodies: each must be packable for itself.
    fn coupled_step(&self, instance: &Instance, layers: &Layers, cutoff: i64, nodes: u64) -> Step {
        let budget = i64::MAX / 4;
        let mut doubt = false;
        for l in 0..self.heights.len() {
            let question = self.question(l, budget, Some(cutoff - self.least));
            let state = layers.state(instance, &question);
            if state.least > budget {
                return Step::Dead;
            }
            if state.found.is_none() {
                if state.open(budget, nodes) {
                    return Step::Ask(question);
                }
                doubt = true;
            }
        }
        if doubt { Step::Doubt(self.least) } else { Step::Joint }
    }

    /// The layout of an assignment; spots are (option or turn, x, y), an option of `usize::MAX` means the one of least
    /// area.
    pub(super) fn layout(&self, instance: &Instance, spots: &[Place]) -> Layout {
        let n = instance.trays.len();
        let mut layout = Layout {
            heights: self.heights.clone(),
            trays: vec![TrayPlace { layer: 0, span: 1, option: 0, x: 0, y: 0 }; n],
            kept: vec![KeptPlace { layer: 0, turn: 0, x: 0, y: 0 }; instance.kept.len()],
        };
        for ((body, c), &(option, x, y)) in self.bodies.iter().zip(spots) {
            let least = |options: &[Option3], fits: &dyn Fn(i64) -> bool| {
                let all = options.iter().enumerate().filter(|(_, o)| fits(o.h));
                all.min_by_key(|(_, o)| o.w * o.d).map_or(0, |(i, _)| i)
            };
            if *body < n {
                let own = &instance.trays[*body].options;
                let option = if option == usize::MAX { least(own, &|h| h <= c.height) } else { option };
                layout.trays[*body] = TrayPlace { layer: c.first, span: c.after - c.first, option, x, y };
            } else {
                let own = &instance.kept[*body - n].turns;
                let turn = if option == usize::MAX { least(own, &|h| h == c.height) } else { option };
                layout.kept[*body - n] = KeptPlace { layer: c.first, turn, x, y };
            }
        }
        layout
    }
}

/// Whether place and outline of a body are given, so that it does not couple the layers it reaches into.
fn settled(instance: &Instance, body: usize) -> bool {
    match body.checked_sub(instance.trays.len()).and_then(|k| instance.kept.get(k)) {
        Some(k) => matches!(k.held, HeldAt::Point(..)) && k.turns.len() == 1,
        None => false,
    }
}

impl Walk<'_, '_> {
    /// Packs layers of the waiting assignments side by side until every one of them is refuted, planned or doubtful.
    ///
    /// Each wave asks one question an assignment; answers are noted in a fixed order, so that the number of threads
    /// changes nothing.
    pub(super) fn decide(&mut self) {
        let mut waiting = std::mem::take(&mut self.leaves);
        self.batch = (self.batch * 2).min(BATCH);
        while !waiting.is_empty() && !self.stop.is_raised() && !self.stop.late() {
            // What a slice has gathered when its nodes end is still looked at, though not for long.
            let nodes = if self.stopped { self.pack_nodes.min(LAST_NODES) } else { self.pack_nodes };
            let mut asked: Vec<(Question, Option<Box<UnderWay>>)> = Vec::new();
            let mut related: Vec<usize> = Vec::new();
            let mut rest: Vec<Leaf> = Vec::with_capacity(waiting.len());
            for mut leaf in waiting {
                match self.advance(&mut leaf, nodes) {
                    Some(Need::Packing(question)) => {
                        rest.push(leaf);
                        if !asked.iter().any(|(q, _)| q.same(&question, self.instance)) {
                            let under_way = self.layers.take(self.instance, &question, nodes);
                            asked.push((question, under_way));
                        }
                    }
                    Some(Need::Relations) => {
                        related.push(rest.len());
                        rest.push(leaf);
                    }
                    None => {}
                }
            }
            waiting = rest;
            let Walk { instance, forced, cutoff, stop, .. } = *self;
            let ask = |i: &usize| Ask { instance, leaf: &waiting[*i], forced, cutoff, nodes, stop };
            let asks: Vec<Ask> = related.iter().map(ask).collect();
            let (answers, relations) = rayon::join(
                || {
                    let answer = |(q, under_way): (Question, _)| {
                        let answer = q.answer(instance, under_way, nodes, stop);
                        (q, answer)
                    };
                    asked.into_par_iter().map(answer).collect::<Vec<_>>()
                },
                || asks.par_iter().map(Ask::answer).collect::<Vec<_>>(),
            );
            for (ask, answer) in asks.iter().zip(&relations) {
                self.stop.spend(answer.nodes);
                self.related.note(ask, answer);
            }
            for (question, answer) in answers {
                self.stop.spend(answer.nodes);
                self.layers.note(instance, &question, nodes, answer);
            }
            relations.into_iter().filter_map(|a| a.met).for_each(|layout| self.meet(&layout));
            self.stopped |= self.stop.now();
        }
        // What the clock left over was not looked at.
        self.stopped |= !waiting.is_empty();
    }

    /// Goes on with an assignment until it needs an answer.
    fn advance(&mut self, leaf: &mut Leaf, nodes: u64) -> Option<Need> {
        loop {
            match leaf.step(self.instance, self.layers, self.cutoff, nodes) {
                Step::Ask(question) => return Some(Need::Packing(question)),
                Step::Dead => return None,
                Step::Joint => {
                    let (least, open) = self.related.least(leaf, self.cutoff, nodes);
                    if open {
                        return Some(Need::Relations);
                    }
                    self.undecided |= self.related.least(leaf, self.cutoff, u64::MAX).1;
                    self.joint(leaf, least);
                    return None;
                }
                Step::Doubt(least) => {
                    self.undecided = true;
                    self.doubt = self.doubt.min(least);
                    return None;
                }
                Step::Plan(spots, price, least) => {
                    let layout = leaf.layout(self.instance, &spots);
                    if !leaf.failed && self.offer(layout, price) {
                        continue;
                    }
                    // It may cost more in lifts than its layers tell.
                    leaf.failed = true;
                    let (related, open) = self.related.least(leaf, self.cutoff, nodes);
                    if open {
                        return Some(Need::Relations);
                    }
                    self.undecided |= self.related.least(leaf, self.cutoff, u64::MAX).1;
                    self.doubt = self.doubt.min(least.max(related));
                    return None;
                }
            }
        }
    }
}

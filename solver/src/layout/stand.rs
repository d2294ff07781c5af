//! Places for the bodies of an assignment: set down one after another from the floor up, where something bears them and
//! few lifts come of it.
//!
//! Depth first, the most promising places first: each body may take the second best place or a later one only as long as
//! the ranks of all together stay small (limited discrepancies, Harvey and Ginsberg 1995). Restarts disturb order and
//! ranking. Whatever stands below a body stands before it, so that bearing and lifts are known at once.

mod lines;
mod offers;
mod parts;

use super::bearing::unborne;
use super::decode::Footing;
use super::instance::{Access, Instance, KeptPlace, Layout, TrayPlace};
use super::menu::Menu;
use super::pack::Rect;
use crate::random::Random;
use crate::stop::Stop;
use lines::Lines;
use offers::Offer;
use parts::{Part, Seat};
pub(crate) use parts::{Role, roles};

/// Most bodies; with more of them nothing is looked for.
const MOST: usize = 256;
/// Outlines of a body that are tried at a node.
const OUTLINES: usize = 4;
/// Bodies made ready that a node counts for.
const READY: u64 = 4;
/// Places a node counts for.
const PLACES: u64 = 8;
/// Places whose bearing is tried for a body, until enough bear it.
const BEARINGS: usize = 48;
/// Nodes of one restart.
const RESTART: u64 = 600;
/// What disturbs the ranking is so small a part of the box.
const NOISE_PART: i64 = 3_000;

/// How long to look, and for what.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Aim {
    /// Layouts that cost more are of no use.
    pub cutoff: i64,
    /// Most nodes.
    pub nodes: u64,
    /// The first layout will do.
    pub first: bool,
}

/// Which of those that stand lie under a body.
type Under = [u64; MOST / 64];

/// A body that stands.
struct Standing {
    rect: Rect,
    from: usize,
    to: usize,
    kept: bool,
    top: i64,
    weight: i64,
    choice: usize,
    under: Under,
}

/// Buffers and what is remembered from one search to the next.
pub(crate) struct Stand<'a> {
    instance: &'a Instance,
    menu: Menu,
    footing: Footing,
    heights: Vec<i64>,
    parts: Vec<Part>,
    /// Least claims from each part on.
    rest: Vec<i64>,
    /// Least area with play from each part on, by layer.
    wanted: Vec<Vec<i64>>,
    used: Vec<i64>,
    standing: Vec<Standing>,
    offers: Vec<Vec<Offer>>,
    lines: Lines,
    aim: Aim,
    /// Places looked at.
    looked: u64,
    /// What may end the search between restarts, and whether its clock or flag has.
    stop: Stop,
    cut: bool,
    best: Option<(Layout, i64)>,
    random: Random,
    /// What disturbs the ranking, and what open sides count.
    noise: i64,
    open: i64,
}

impl<'a> Stand<'a> {
    /// Ready for searches.
    pub(crate) fn new(instance: &'a Instance) -> Stand<'a> {
        Stand {
            instance,
            menu: Menu::default(),
            footing: Footing::default(),
            heights: Vec::new(),
            parts: Vec::new(),
            rest: Vec::new(),
            wanted: Vec::new(),
            used: Vec::new(),
            standing: Vec::new(),
            offers: Vec::new(),
            lines: Lines::default(),
            aim: Aim { cutoff: 0, nodes: 0, first: false },
            looked: 0,
            stop: Stop::never(),
            cut: false,
            best: None,
            random: Random::new(0),
            noise: 0,
            open: 0,
        }
    }

    /// The best valid layout met in which every body has its role, and its value. Nodes are counted by `stop`, whose clock
    /// and flag end it.
    pub(crate) fn seek(
        &mut self,
        heights: &[i64],
        roles: &[Role],
        aim: Aim,
        seed: u64,
        stop: &Stop,
    ) -> Option<(Layout, i64)> {
        // Getting ready takes time, too.
        stop.spend(1 + roles.len() as u64 / READY);
        if roles.len() > MOST || !self.prepare(heights, roles, aim.cutoff) {
            return None;
        }
        (self.aim, self.looked, self.best, self.random) = (aim, 0, None, Random::new(seed));
        (self.stop, self.cut) = (stop.clone(), false);
        let noise = self.instance.width * self.instance.depth * heights.iter().sum::<i64>() / NOISE_PART;
        let mut counted = 0;
        for restart in 0.. {
            self.noise = [0, 1, 2, 4][restart % 4] * noise;
            self.open = [2, 1, 4, 0, 8][restart % 5];
            self.arrange(restart > 0);
            let most = (self.looked + RESTART * PLACES).min(aim.nodes * PLACES);
            let before = self.looked;
            self.footing.clear(self.instance, &self.heights);
            self.standing.clear();
            self.used.fill(0);
            self.set(0, 0, 1 + restart % 3, most);
            if self.looked == before {
                self.looked += PLACES;
            }
            let nodes = self.looked / PLACES;
            let ended = stop.spend(nodes - counted);
            counted = nodes;
            let done = self.best.is_some() && aim.first;
            if done || ended || self.cut || nodes >= aim.nodes {
                break;
            }
        }
        self.best.take()
    }

    /// Sets down the bodies from this one on, as long as few do without their best places.
    fn set(&mut self, at: usize, cost: i64, left: usize, most: u64) {
        if at == self.parts.len() {
            self.finish(cost);
            return;
        }
        let mut offers = std::mem::take(&mut self.offers[at]);
        offers.clear();
        self.offer(at, cost, &mut offers);
        offers.sort_unstable_by_key(|o| (o.score, o.seat, o.y, o.x));
        let (mut rank, mut tests) = (0, 0);
        for o in &offers {
            if rank > left || self.looked >= most || tests >= BEARINGS || self.cut {
                break;
            }
            let (body, rest) = (self.parts[at].body, self.rest[at + 1]);
            if cost + o.cost + rest > self.aim.cutoff {
                continue;
            }
            let (from, to, weight) = (self.parts[at].from, self.parts[at].to, self.parts[at].weight);
            let Some(Seat { taken, top, .. }) = self.parts[at].seats.get(o.seat).copied() else { continue };
            if from > 0 {
                tests += 1;
                self.looked += 2;
                if !self.footing.bears(self.instance, body, &taken, (o.x, o.y)) {
                    continue;
                }
            }
            let rect = Rect { x: o.x, y: o.y, w: taken.size.w, d: taken.size.d };
            let under = self.under(&rect, self.parts[at].bottom);
            let (kept, choice) = (taken.kept, taken.choice);
            let put = self.footing.put(self.instance, body, &taken, rect);
            self.standing.push(Standing { rect, from, to, kept, top, weight, choice, under });
            let wide = self.wide(&taken.size);
            self.used.iter_mut().take(to).skip(from).for_each(|u| *u += wide);
            self.set(at + 1, cost + o.cost, left - rank, most);
            self.used.iter_mut().take(to).skip(from).for_each(|u| *u -= wide);
            self.standing.pop();
            self.footing.undo(put);
            rank += 1;
            if self.best.is_some() && self.aim.first {
                break;
            }
        }
        self.offers[at] = offers;
    }

    /// Everything stands: a layout, if it keeps every rule and the cutoff.
    fn finish(&mut self, cost: i64) {
        let n = self.instance.trays.len();
        let mut layout = Layout {
            heights: self.heights.clone(),
            trays: vec![TrayPlace { layer: 0, span: 1, option: 0, x: 0, y: 0 }; n],
            kept: vec![KeptPlace { layer: 0, turn: 0, x: 0, y: 0 }; self.instance.kept.len()],
        };
        for (p, s) in self.parts.iter().zip(&self.standing) {
            let (Rect { x, y, .. }, layer) = (s.rect, p.from);
            match p.body.checked_sub(n) {
                None => {
                    let span = p.to - p.from;
                    layout.trays[p.body] = TrayPlace { layer, span, option: s.choice, x, y };
                }
                Some(k) => layout.kept[k] = KeptPlace { layer, turn: s.choice, x, y },
            }
        }
        let moved = |p: &Part, s: &Standing| p.now != Some((s.choice, s.rect.x, s.rect.y));
        if !self.parts.iter().zip(&self.standing).any(|(p, s)| moved(p, s)) {
            return;
        }
        let value = self.instance.cost(&layout).value();
        let known = self.instance.access == Access::Lifts && self.instance.cover.is_empty();
        debug_assert!(!known || cost == value, "claims and lifts add up to {cost}, not {value}");
        if value <= self.aim.cutoff
            && self.instance.feasible(&layout).is_ok()
            && unborne(self.instance, &layout) == 0
        {
            self.aim.cutoff = value - 1;
            self.best = Some((layout, value));
        }
    }
}

#[cfg(test)]
mod tests;

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

mod joint;
mod layer;
mod leaf;
mod offer;
mod over;
mod relate;
mod walk;

use super::bound::relax::Choice;
use super::bound::{Next, Profiles};
use super::heights::candidates;
use super::instance::{Access, HeldAt, Instance, Layout};
use super::lifts::forced;
use super::stand::Stand;
use crate::stop::Stop;
use layer::Layers;
use over::Over;
use relate::Known;
use walk::Walk;

/// Nodes that one packing may take at first.
const FIRST_PACK_NODES: u64 = 20_000;
/// Most assignments in one pass whose layers are packed one after another.
const JOINT_PACKINGS: usize = 12;
/// How many times more when that does not do.
const DEEPER: u64 = 4;

/// What came of a pass.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let stop = traywright::stop::Stop::nodes(100_000);
/// # use traywright::layout::exact::Exact;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
/// // Both trays beside each other, or one over the other, claim 120.
/// let pass = Exact::new(&instance).pass(200, &stop);
/// assert_eq!((pass.bound, pass.met, pass.stopped), (120, 120, false));
/// let (layout, value) = pass.best.unwrap();
/// assert_eq!(instance.cost(&layout).value(), value);
/// ```
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
    /// Some packing was not decided with the nodes it had (`Exact::deepen` gives more).
    pub undecided: bool,
}

/// State that passes share: profiles already bounded, layers already decided.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # let stop = traywright::stop::Stop::nodes(100_000);
/// # use traywright::layout::exact::Exact;
/// // Five trays of which four fill the box: nothing up to the whole of it is a plan.
/// let trays = (0..5).map(|kind| tray(kind, (4, 5, 3))).collect();
/// let instance = Instance { trays, ..empty };
/// let pass = Exact::new(&instance).pass(8 * 5 * 6, &stop);
/// assert!(pass.best.is_none() && pass.bound > 8 * 5 * 6);
/// ```
pub struct Exact<'a> {
    instance: &'a Instance,
    /// The problem that plans answer to: the same with kept items free where this one holds them.
    truth: &'a Instance,
    profiles: Profiles<'a>,
    layers: Layers,
    /// What assignments cost at least by the relations of their bodies.
    related: Known,
    heights: Vec<i64>,
    forced: i64,
    /// Where lifts cost something: those that no packing avoids.
    over: Option<Over>,
    /// Only profiles in which kept items can carry what stands above them.
    carrying: bool,
    /// Nodes that one packing may take.
    pack_nodes: u64,
    /// Layers that share bodies are packed one after another: for first plans.
    pub(crate) seeking: bool,
    /// Plans of `truth` that cost as much are known already.
    pub(crate) known: i64,
}

impl<'a> Exact<'a> {
    /// Ready for passes.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # let stop = traywright::stop::Stop::nodes(100_000);
    /// # use traywright::layout::exact::Exact;
    /// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
    /// let mut exact = Exact::new(&instance);
    /// let values: Vec<_> = [100, 150].map(|c| exact.pass(c, &stop).best.map(|b| b.1)).into();
    /// assert_eq!(values, [None, Some(120)]);
    /// ```
    pub fn new(instance: &'a Instance) -> Exact<'a> {
        Exact::within(instance, instance)
    }

    /// Searches an easier problem (kept items held at places, lifts without weight) for plans of `truth`; its bounds hold
    /// for that problem only.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
    /// # let stop = traywright::stop::Stop::nodes(100_000);
    /// # use traywright::layout::{exact::Exact, patterns::around};
    /// let item = |kind| TrayItem { weight: 1, ..tray(kind, (8, 5, 3)) };
    /// let instance = Instance { trays: vec![item(0), item(1)], ..empty };
    /// let plan = Layout { heights: vec![3, 3], trays: vec![at(0, 0), at(1, 0)], kept: vec![] };
    /// // Around a plan a layer above counts as three lifts; plans are told at their true value.
    /// let near = around(&instance, &plan);
    /// let (layout, value) = Exact::within(&near, &instance).pass(250, &stop).best.unwrap();
    /// assert_eq!((near.cost(&layout).value(), value), (240 + 3, 240 + 1));
    /// ```
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
            related: Known::default(),
            heights,
            forced,
            over: Over::new(instance),
            carrying,
            pack_nodes: FIRST_PACK_NODES,
            seeking: false,
            known: i64::MAX,
        }
    }

    /// Likely profiles, for starts of other engines.
    pub(crate) fn likely(&mut self, count: usize) -> Vec<Vec<i64>> {
        self.profiles.likely(count)
    }

    /// No plan costs more than this.
    pub(crate) fn ceiling(&self) -> i64 {
        let covers = self.instance.cover.len() as i64;
        let lifts: i64 = match self.instance.access {
            Access::Lifts => self.instance.trays.iter().map(|t| t.weight * covers).sum(),
            Access::LayerIndex | Access::LayersAbove => 0,
        };
        self.profiles.ceiling().saturating_add(lifts)
    }

    /// The bound before any pass; `None`: there is no plan.
    pub(crate) fn area_bound(&self) -> Option<i64> {
        self.profiles.least().map(|b| b + self.forced)
    }

    /// Searches everything that could cost at most `cutoff`.
    ///
    /// ```
    /// # use traywright::layout::instance::*;
    /// # let tray = |kind, (w, d, h)| TrayItem {
    /// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
    /// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
    /// # };
    /// # let empty = Instance {
    /// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
    /// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
    /// #     access: Access::Lifts, blocked: vec![], rims: None,
    /// # };
    /// # let stop = traywright::stop::Stop::nodes(100_000);
    /// # use traywright::layout::exact::Exact;
    /// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
    /// let mut exact = Exact::new(&instance);
    /// let (low, high) = (exact.pass(119, &stop), exact.pass(120, &stop));
    /// assert!(low.best.is_none() && low.bound == 120); // nothing costs as little as the cutoff
    /// assert_eq!(high.best.map(|(_, value)| value), Some(120));
    /// ```
    pub fn pass(&mut self, cutoff: i64, stop: &Stop) -> Pass {
        let mut pass = Walk {
            instance: self.instance,
            truth: self.truth,
            layers: &mut self.layers,
            related: &mut self.related,
            forced: self.forced,
            heights: &self.heights,
            over: self.over.as_ref(),
            stop,
            pack_nodes: self.pack_nodes,
            undecided: false,
            cutoff,
            best: None,
            doubt: i64::MAX,
            stopped: false,
            joint_tries: 0,
            known: self.known,
            stand: Stand::new(self.truth),
            stood: 0,
            packings: if self.seeking { JOINT_PACKINGS } else { 0 },
            leaves: Vec::new(),
            batch: 1,
        };
        let mut beyond = None;
        for rank in 0.. {
            let profile = match self.profiles.next(rank, pass.cutoff - self.forced, stop) {
                Next::Profile(profile) => profile,
                Next::Beyond => break,
                Next::Stopped => {
                    // What was looked at so far stands, though only so far.
                    beyond = self.profiles.bound().map(|b| b + self.forced);
                    pass.stopped = true;
                    break;
                }
            };
            if self.carrying && !carries(self.instance, &profile.heights) {
                continue;
            }
            if profile.coarse {
                pass.doubt = pass.doubt.min(profile.bound + self.forced);
                continue;
            }
            let relaxation = self.profiles.relaxation();
            let bodies = self.instance.trays.len() + self.instance.kept.len();
            let choices: Vec<Vec<Choice>> = (0..bodies)
                .map(|b| relaxation.choices(&profile.heights, &profile.flat, &profile.prices, b))
                .collect();
            if choices.iter().any(Vec::is_empty) {
                continue;
            }
            let worth = (relaxation.worth(&profile.flat), relaxation.worth(&profile.prices));
            let room = relaxation.room.clone();
            pass.profile(&profile, choices, worth, room, self.forced);
            if pass.stopped {
                break;
            }
        }
        pass.decide();
        let undecided = pass.undecided;
        // Every plan taken lowered the cutoff below its own price.
        let searched = match beyond {
            Some(_) if stop.is_raised() || stop.late() => i64::MIN,
            Some(beyond) => beyond,
            None if pass.stopped => i64::MIN,
            None => i64::MAX,
        };
        let bound = searched.min(pass.doubt).min(pass.cutoff.saturating_add(1));
        let met = pass.cutoff.saturating_add(1);
        Pass { best: pass.best, met, bound, stopped: pass.stopped, undecided }
    }

    /// Gives every packing more nodes from now on.
    pub(crate) fn deepen(&mut self) {
        self.pack_nodes = self.pack_nodes.saturating_mul(DEEPER);
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

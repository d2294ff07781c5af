//! Plans that the exact side meets: turned about, repaired or set down anew where bodies hang, and taken.

use super::super::anneal::{Manner, Moves, run};
use super::super::decode::{Draft, drafted};
use super::super::instance::Layout;
use super::super::mirror;
use super::super::repair::repair;
use super::super::stand::{Aim, roles};
use super::leaf::Leaf;
use super::walk::Walk;

/// Steps of the short annealing that tries to place an assignment whose layers are coupled.
const JOINT_STEPS: u64 = 4_000;
/// Tries of repairing bearing where a packing leaves bodies without.
const REPAIRS: u64 = 3;
/// Nodes for setting down the bodies of an assignment, and for going on where that did.
const STAND_NODES: u64 = 600;
const STAND_MORE: u64 = 2_000;
/// In a pass at most so many nodes go into that, and such a part of all.
const STAND_LEAST: u64 = 2_000;
const STAND_PART: u64 = 4;
/// Most short annealings in one pass.
const JOINT_TRIES: usize = 12;

impl Walk<'_, '_> {
    /// Takes a plan, turned about in the ways that cost nothing. Says whether it cost no more than this price.
    pub(super) fn offer(&mut self, layout: Layout, price: i64) -> bool {
        let turned = mirror::best(self.truth, &layout).or_else(|| {
            let repaired = (0..REPAIRS).find_map(|seed| repair(self.truth, &layout, seed))?;
            mirror::best(self.truth, &repaired)
        });
        let Some((layout, value)) = turned else {
            // Nothing rests as it lies: the bodies are set down anew, or a short annealing looks for places near by.
            if self.stand(&layout).is_none() {
                self.anneal(&layout);
            }
            return false;
        };
        let mut own = self.take(layout.clone(), value);
        if own > price {
            own = self.stand(&layout).map_or(own, |o| o.min(own));
        }
        own <= price
    }

    /// Takes a layout that relations led to, where it is a plan.
    pub(super) fn meet(&mut self, layout: &Layout) {
        if let Some((layout, value)) = mirror::best(self.truth, layout) {
            self.take(layout, value);
        }
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

    /// Layers that share bodies are placed together: set down from the floor up, by a short annealing from this assignment
    /// where that finds nothing, and packed one after another.
    pub(super) fn joint(&mut self, leaf: &Leaf, least: i64) {
        if least > self.cutoff {
            return;
        }
        self.doubt = self.doubt.min(least);
        let spots = vec![(usize::MAX, 0, 0); leaf.bodies.len()];
        let layout = leaf.layout(self.instance, &spots);
        if self.stand(&layout).is_none() {
            self.anneal(&layout);
        }
        if least > self.cutoff || self.packings == 0 {
            return;
        }
        self.packings -= 1;
        let Some(packed) = leaf.jointly(self.instance, self.cutoff, self.pack_nodes, self.stop) else {
            return;
        };
        let found = mirror::best(self.truth, &packed).or_else(|| {
            let draft = Draft { borne: true, ..drafted(self.instance, &packed) };
            let (best, _) = run(
                self.instance,
                self.heights,
                draft,
                Manner { moves: Moves::Places, ..Manner::STRICT },
                1,
                JOINT_STEPS,
                self.stop,
            );
            mirror::best(self.truth, &best?.layout)
        });
        if let Some((layout, value)) = found {
            self.take(layout, value);
        }
    }

    /// Sets down the bodies of an assignment anew, whatever the layout's places; the price of what was met, if anything: a
    /// plan that costs less than any known, even where it costs more than the cutoff.
    fn stand(&mut self, layout: &Layout) -> Option<i64> {
        if self.stood > self.stop.spent() / STAND_PART + STAND_LEAST || self.stop.now() {
            return None;
        }
        let mut roles = roles(self.truth, layout);
        roles.iter_mut().for_each(|r| (r.stays, r.now) = (false, None));
        let before = self.stop.spent();
        let mut met: Option<(Layout, i64)> = None;
        // Where there is a place for everything, a better one may follow.
        for (seed, nodes) in [STAND_NODES, STAND_MORE].into_iter().enumerate() {
            let best = met.as_ref().or(self.best.as_ref()).map_or(i64::MAX, |b| b.1);
            // No value comes near the greatest number, so that there is room for sums.
            let cutoff = best.min(self.known).min(i64::MAX / 4) - 1;
            let aim = Aim { cutoff, nodes, first: false };
            let found = self.stand.seek(&layout.heights, &roles, aim, seed as u64, self.stop);
            met = found.or(met);
            if met.is_none() {
                break;
            }
        }
        self.stood += self.stop.spent() - before;
        let (layout, value) = met?;
        if self.instance.feasible(&layout).is_ok() {
            return Some(self.take(layout, value));
        }
        // A plan, though none of the problem searched: kept items stand elsewhere.
        self.best = Some((layout, value));
        None
    }

    /// A short annealing from a layout.
    fn anneal(&mut self, layout: &Layout) {
        if self.joint_tries >= JOINT_TRIES {
            return;
        }
        self.joint_tries += 1;
        let draft = drafted(self.instance, layout);
        let (best, _) = run(self.instance, self.heights, draft, Manner::STRICT, 1, JOINT_STEPS, self.stop);
        if let Some((layout, value)) = best.and_then(|b| mirror::best(self.truth, &b.layout)) {
            self.take(layout, value);
        }
    }
}

//! Plans that the exact side meets: turned about, repaired where bodies hang, and taken.

use super::super::anneal::{Manner, Moves, run};
use super::super::decode::{Draft, drafted};
use super::super::instance::Layout;
use super::super::mirror;
use super::super::repair::repair;
use super::leaf::Leaf;
use super::walk::Walk;

/// Steps of the short annealing that tries to place an assignment whose layers are coupled.
const JOINT_STEPS: u64 = 4_000;
/// Tries of repairing bearing where a packing leaves bodies without.
const REPAIRS: u64 = 3;
/// Most short annealings in one pass.
const JOINT_TRIES: usize = 12;

impl Walk<'_, '_> {
    /// Takes a plan, turned about in the ways that cost nothing; what it costs beyond `least` is a doubt. Says whether it
    /// cost no more than that.
    pub(super) fn offer(&mut self, layout: Layout, least: i64) -> bool {
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

    /// Layers that share bodies are placed together: by a short annealing from this assignment, and packed one after
    /// another.
    pub(super) fn joint(&mut self, leaf: &Leaf) {
        self.doubt = self.doubt.min(leaf.least);
        let spots = vec![(usize::MAX, 0, 0); leaf.bodies.len()];
        let layout = leaf.layout(self.instance, &spots);
        self.anneal(&layout);
        if leaf.least > self.cutoff || self.packings == 0 {
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

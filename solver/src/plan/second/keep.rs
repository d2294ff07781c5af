//! How much can stay, found by trying: everything at once, else all but what makes rows too long, else halves of it, until
//! what is left out cannot stay.

use crate::layout::pack::Rect;

use super::rows::{Stood, too_many};
use super::trial::{Bench, Heights, Kept, Stay, Stays};

/// Nodes of one trial: it ends with the first plan.
const TRIAL: u64 = 60_000;
/// Trials end when they have spent so many times the nodes of the search itself.
const TRIALS: u64 = 1;

impl Bench<'_> {
    /// As many of these trays as can stay, those that come first before all others; the first `firm` groups are not given up
    /// for others. Kept items stay where they are unless that is in the way of a tray.
    pub(super) fn most(&mut self, groups: &[Vec<usize>], firm: usize) -> Option<Kept> {
        let mut wanted = vec![Stay::No; self.built.instance.trays.len()];
        wanted.extend(self.old.kept.iter().map(|k| if k.is_some() { Stay::Place } else { Stay::No }));
        let mut best = None;
        // In most second versions nearly all can stay: one trial tells.
        let all: Vec<usize> = groups.concat();
        if all.is_empty() {
            return None;
        }
        let mut whole = wanted.clone();
        all.iter().for_each(|&b| whole[b] = Stay::Place);
        if let Some(kept) = self.holding(&whole) {
            return Some(self.pulled_back(kept));
        }
        let firm = groups.iter().take(firm).map(Vec::len).sum();
        let out = self.out_of_rows(&all, firm);
        if !out.is_empty() {
            out.iter().for_each(|&b| whole[b] = Stay::No);
            if let Some(kept) = self.holding(&whole) {
                return Some(self.pulled_back(kept));
            }
        }
        for group in groups {
            self.extend(group, all.len() > group.len(), &mut wanted, &mut best);
        }
        best.map(|kept| self.pulled_back(kept))
    }

    /// Those of these trays that stand in rows for which the box is too short now, one of each row; none of the first ones.
    fn out_of_rows(&self, trays: &[usize], firm: usize) -> Vec<usize> {
        let instance = &self.built.instance;
        let stood = |&b: &usize| -> Option<(usize, Stood)> {
            let old = self.old.trays.get(b)?.as_ref().ok()?;
            let (x, y) = old.at?;
            Some((b, (Rect { x, y, w: old.outline.w, d: old.outline.d }, old.layer, old.layer + old.span)))
        };
        let (bodies, places): (Vec<usize>, Vec<Stood>) = trays.iter().filter_map(stood).unzip();
        let firm = trays.iter().take(firm).filter_map(stood).count();
        let room = |length: i64| length - 2 * instance.side;
        let out = too_many(&places, firm, (room(instance.width), room(instance.depth)), instance.between);
        out.into_iter().filter_map(|i| bodies.get(i).copied()).collect()
    }

    /// The same plan searched for longer.
    pub(super) fn polished(&mut self, kept: Kept, nodes: u64) -> Kept {
        let again = self.trial(&kept.stays, &kept.heights, nodes, true);
        again.filter(|k| k.cost.value() <= kept.cost.value()).unwrap_or(kept)
    }

    fn extend(&mut self, group: &[usize], untried: bool, wanted: &mut Stays, best: &mut Option<Kept>) {
        if group.is_empty() || self.spent > self.options.nodes.saturating_mul(TRIALS) {
            return;
        }
        if untried {
            let mut more = wanted.clone();
            group.iter().for_each(|&b| more[b] = Stay::Place);
            if let Some(kept) = self.holding(&more) {
                (*wanted, *best) = (more, Some(kept));
                return;
            }
        }
        if group.len() > 1 {
            let (a, b) = group.split_at(group.len() / 2);
            self.extend(a, true, wanted, best);
            self.extend(b, true, wanted, best);
        }
    }

    /// A plan in which these bodies stay: in their places, else where layers below them may grow, else with their
    /// pieces wherever there is room in their layer.
    fn holding(&mut self, wanted: &Stays) -> Option<Kept> {
        let nodes = TRIAL.min(self.options.nodes);
        let all = self.old.heights.clone();
        let own: Heights = (0..all.len()).map(|l| all[l].filter(|_| self.stands_in(wanted, l))).collect();
        let placed = self.lowered(wanted, &all);
        if let Some(kept) = self.trial(&placed, &all, nodes, false) {
            return Some(kept);
        }
        if own != all {
            let placed = self.lowered(wanted, &own);
            if let Some(kept) = self.trial(&placed, &own, nodes, false) {
                return Some(kept);
            }
        }
        let pieces: Stays = wanted.iter().map(|s| (*s).min(Stay::Pieces)).collect();
        // With nothing in its place any more there is nothing else to try.
        self.trial(&pieces, &own, nodes, false)
    }

    /// Whether one of these trays stands in a layer.
    fn stands_in(&self, wanted: &Stays, l: usize) -> bool {
        self.old.trays.iter().zip(wanted).any(|(old, stay)| {
            *stay > Stay::No && old.as_ref().is_ok_and(|o| (o.layer..o.layer + o.span).contains(&l))
        })
    }

    /// The same, with less asked of bodies that have no old place or stand on a layer of open height.
    fn lowered(&self, wanted: &Stays, heights: &Heights) -> Stays {
        let n = self.built.instance.trays.len();
        let known =
            |layer: usize| heights.get(..layer).is_some_and(|below| below.iter().all(Option::is_some));
        let lowered = wanted.iter().enumerate().map(|(b, stay)| {
            let layer = match b.checked_sub(n) {
                None => self
                    .old
                    .trays
                    .get(b)
                    .and_then(|o| o.as_ref().ok())
                    .filter(|o| o.at.is_some())
                    .map(|o| o.layer),
                Some(k) => self.old.kept.get(k).copied().flatten().map(|o| o.layer),
            };
            if layer.is_some_and(known) { *stay } else { (*stay).min(Stay::Pieces) }
        });
        lowered.collect()
    }

    /// Bodies that keep their pieces only, put back into their places as far as that goes, layers staying as they are.
    fn pulled_back(&mut self, kept: Kept) -> Kept {
        let heights: Heights = kept.layout.heights.iter().map(|h| Some(*h)).collect();
        let wanted = kept.stays.iter().map(|s| if *s == Stay::Pieces { Stay::Place } else { *s }).collect();
        let possible = self.lowered(&wanted, &heights);
        let moved: Vec<usize> = (0..kept.stays.len()).filter(|&b| possible[b] > kept.stays[b]).collect();
        let mut best = kept;
        self.pull(&moved, &heights, &mut best);
        best
    }

    fn pull(&mut self, group: &[usize], heights: &Heights, best: &mut Kept) {
        if group.is_empty() || self.spent > self.options.nodes.saturating_mul(TRIALS) {
            return;
        }
        let mut more = best.stays.clone();
        group.iter().for_each(|&b| more[b] = Stay::Place);
        let nodes = TRIAL.min(self.options.nodes);
        if let Some(kept) = self.trial(&more, heights, nodes, false) {
            *best = kept;
        } else if group.len() > 1 {
            let (a, b) = group.split_at(group.len() / 2);
            self.pull(a, heights, best);
            self.pull(b, heights, best);
        }
    }
}

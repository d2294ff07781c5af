//! Heights that a layer of an optimal layout can have: the values of the model's height choice.

use std::collections::BTreeSet;

use crate::layout::instance::{HeldAt, Instance};

/// Longest chain of needs that is followed; enough for four layers, in which no simple chain is longer.
const MOST_CHAIN: usize = 4;

/// Candidate heights, and whether some optimal layout is sure to have no others.
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
/// # use traywright::layout::{heights, model::{build, Candidates}};
/// // Trays that are 3 and 5 high: an empty layer is as low as can be.
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 5))], ..empty };
/// let complete = build(&instance).unwrap().complete;
/// let all = Candidates { heights: heights::candidates(&instance), complete };
/// assert_eq!(all, Candidates { heights: vec![1, 3, 5], complete: true });
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidates {
    /// Ascending, in grid steps.
    pub heights: Vec<i64>,
    /// Whether they are complete. Always so up to four layers, and beyond where no body can reach through
    /// two layers and nothing is held at a point.
    pub complete: bool,
}

/// Every outer height that a layer needs to be tried with.
///
/// Once it is chosen which body goes into which layers, layer heights only meet conditions on sums of neighbouring
/// layers: at least the height of a tray or kept item that reaches through them, exactly the height at which something
/// is held, within the rules. Bottoms of layers are then potentials, and cheapest ones follow from a tree
/// of conditions met exactly (Ahuja, Magnanti and Orlin, Network Flows, 1993, §11, from memory): each layer's
/// height is a signed sum along a chain of conditions, and all these chains are listed here. In the
/// usual job without spans this leaves the distinct least heights, kept heights and ends of rules.
pub(crate) fn candidate_heights(instance: &Instance) -> Candidates {
    let layers = instance.most_layers;
    let height = instance.height;
    // What may bind a run of 1, 2, … neighbouring layers.
    let mut runs: Vec<BTreeSet<i64>> = vec![BTreeSet::new(); layers + 1];
    let mut prefix = BTreeSet::new();
    for t in &instance.trays {
        for run in runs.iter_mut().take(t.span + 1).skip(1) {
            run.extend(t.options.iter().map(|o| o.h));
        }
        prefix.extend(held(t.held));
    }
    for k in &instance.kept {
        for run in runs.iter_mut().skip(1) {
            run.extend(k.turns.iter().map(|o| o.h));
        }
        prefix.extend(held(k.held));
        // A kept item must end below the lid: the layers under it may be no higher than this.
        prefix.extend(k.turns.iter().map(|o| height - o.h));
    }
    if let Some(single) = runs.get_mut(1) {
        // An empty layer is as low as it may be.
        single.insert(1);
        single.extend(instance.height_rules.iter().flat_map(|r| [r.0, r.1]));
    }
    for set in runs.iter_mut().chain([&mut prefix]) {
        set.retain(|h| (1..=height).contains(h));
    }
    let chained = !prefix.is_empty() || runs.iter().skip(2).any(|r| !r.is_empty());
    let mut search = Chains { height, runs, prefix, been: vec![false; layers + 1], found: BTreeSet::new() };
    for l in 0..layers {
        search.follow(l, l + 1, &BTreeSet::from([0]), 0);
    }
    Candidates { heights: search.found.into_iter().collect(), complete: layers <= MOST_CHAIN || !chained }
}

fn held(h: HeldAt) -> Option<i64> {
    if let HeldAt::Point(_, _, z) = h { Some(z) } else { None }
}

struct Chains {
    height: i64,
    runs: Vec<BTreeSet<i64>>,
    prefix: BTreeSet<i64>,
    been: Vec<bool>,
    found: BTreeSet<i64>,
}

impl Chains {
    /// Goes on from boundary `at`, which lies at one of `sums` above the boundary where the chain began.
    fn follow(&mut self, at: usize, goal: usize, sums: &BTreeSet<i64>, steps: usize) {
        if at == goal {
            self.found.extend(sums.iter().filter(|s| (1..=self.height).contains(*s)));
            return;
        }
        if steps == MOST_CHAIN || sums.is_empty() {
            return;
        }
        self.been[at] = true;
        for next in (0..self.been.len()).filter(|n| *n != at) {
            if self.been[next] {
                continue;
            }
            let (low, sign) = (at.min(next), if next > at { 1 } else { -1 });
            let none = BTreeSet::new();
            let run = self.runs.get(at.abs_diff(next)).unwrap_or(&none);
            let prefix = if low == 0 { &self.prefix } else { &none };
            let mut reached = BTreeSet::new();
            for v in run.union(prefix) {
                let all = sums.iter().map(|s| s + sign * v);
                reached.extend(all.filter(|s| (-self.height..=self.height).contains(s)));
            }
            self.follow(next, goal, &reached, steps + 1);
        }
        self.been[at] = false;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::model::tests::{kept, plain, tray};

    #[test]
    fn least_heights_alone_where_nothing_spans() {
        let mut instance = plain(10, 10, 20, 3);
        instance.trays = vec![tray("a", &[(3, 3, 4), (2, 3, 7)], 1), tray("b", &[(3, 3, 5)], 1)];
        instance.height_rules = vec![(6, 9)];
        let c = candidate_heights(&instance);
        assert_eq!((c.heights, c.complete), (vec![1, 4, 5, 6, 7, 9], true));
    }

    #[test]
    fn spans_and_kept_items_add_differences() {
        let mut instance = plain(10, 10, 20, 2);
        instance.trays = vec![tray("a", &[(3, 3, 4)], 1), tray("b", &[(3, 3, 11)], 2)];
        let c = candidate_heights(&instance);
        assert_eq!((c.heights, c.complete), (vec![1, 4, 7, 10, 11], true));
        instance.kept = vec![kept("k", &[(2, 2, 9)])];
        assert!([2, 5, 8].iter().all(|h| candidate_heights(&instance).heights.contains(h)));
    }
}

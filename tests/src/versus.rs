//! The search against other ways to the same answer: what tests in the suite and the long runs of the bench share.
//!
//! Every case has a seed of its own, so that one that disagrees can be had again by itself.

use traywright::layout::bearing::unborne;
use traywright::layout::heights::{candidates, complete};
use traywright::layout::instance::{Instance, Layout};
use traywright::layout::model::{self, ModelOutcome, ModelState};
use traywright::layout::search::{Found, search};
use traywright::random::Random;
use traywright::stop::Stop;

use crate::tiny::{LARGE, Most, SMALL, TINY, instance, least_value, with_rims};

/// Most places tried for one problem by trying everything.
pub const STEPS: usize = 300_000;
/// Nodes of the search for one problem.
pub const NODES: u64 = 30_000;
/// Nodes of the general solver for one model.
const MODEL_NODES: u64 = 20_000;

/// What another way says of a problem.
#[derive(Clone, Copy, Debug, Default)]
struct Truth {
    /// No layout costs less.
    least: Option<i64>,
    /// One of those that the search's claim is about costs this much.
    reached: Option<i64>,
    /// There is no layout.
    none: bool,
}

/// What came of a comparison.
#[derive(Clone, Default, Debug)]
pub struct Tally {
    /// Problems compared.
    pub cases: usize,
    /// The search proved its layout to be the best.
    pub proven: usize,
    /// The search's layout is the best, proven or not.
    pub optimal: usize,
    /// The search says that there is no layout.
    pub none: usize,
    /// There is a layout, and the search found none.
    pub missed: usize,
    /// The general solver came to no end.
    pub open: usize,
    /// Disagreements, with the problem.
    pub told: Vec<String>,
}

impl Tally {
    /// Both together.
    #[must_use]
    pub fn and(mut self, other: Tally) -> Tally {
        self.cases += other.cases;
        self.proven += other.proven;
        self.optimal += other.optimal;
        self.none += other.none;
        self.missed += other.missed;
        self.open += other.open;
        self.told.extend(other.told);
        self
    }

    /// Panics with the first disagreements, where there are any.
    ///
    /// # Panics
    /// See above.
    pub fn agree(&self) {
        let told = self.told.iter().take(3).cloned().collect::<Vec<_>>().join("\n\n");
        assert!(self.told.is_empty(), "{} disagreements\n{told}", self.told.len());
    }

    /// Holds what the search found against the truth.
    fn judge(&mut self, case: &str, i: &Instance, found: &Found, truth: &Truth) {
        self.cases += 1;
        let value = found.layout.as_ref().map(|(_, c)| c.value());
        let mut tell = |what: &str| {
            let sums = format!("least {:?}, reached {:?}", truth.least, truth.reached);
            self.told.push(format!("{case}: {what}; {sums}; {found:?}\n{i:?}"));
        };
        if let Some((layout, cost)) = &found.layout {
            faults(i, layout).iter().for_each(|f| tell(f));
            if i.cost(layout) != *cost {
                tell("a value that is not the layout's");
            }
            if found.bound.is_none_or(|b| b > cost.value()) {
                tell("a bound above the value");
            }
            if truth.none {
                tell("a layout where there is none");
            }
            if truth.least.is_some_and(|l| l > cost.value()) {
                tell("a value below the least");
            }
        }
        if found.bound.is_none() && truth.reached.is_some() {
            tell("said to be impossible");
        }
        if found.bound.zip(truth.reached).is_some_and(|(b, r)| b > r) {
            tell("a bound above what was reached");
        }
        self.proven += usize::from(value.is_some() && value == found.bound);
        self.optimal += usize::from(value.is_some() && value == truth.least);
        self.none += usize::from(found.bound.is_none());
        self.missed += usize::from(value.is_none() && truth.reached.is_some());
    }
}

/// Rules that a layout breaks.
fn faults(i: &Instance, layout: &Layout) -> Vec<String> {
    let mut out: Vec<String> =
        i.feasible(layout).err().map(|rule| format!("an invalid layout ({rule})")).into_iter().collect();
    if unborne(i, layout) > 0 {
        out.push("something hangs".into());
    }
    out
}

/// The problem of one case of a run.
pub fn case(seed: u64, case: usize, most: Most, rims: bool) -> Instance {
    let mut random = Random::new(seed.wrapping_mul(1_000_003).wrapping_add(case as u64));
    let plain = instance(&mut random, most);
    if rims { with_rims(plain) } else { plain }
}

/// What the search says of a problem.
pub fn found(i: &Instance, nodes: u64) -> Found {
    search(i, 1, nodes, &Stop::never(), &mut |_, _| {})
}

/// Tiny problems, the search and (where bearing does not count) the model against trying everything.
pub fn everything(seed: u64, cases: std::ops::Range<usize>, rims: bool) -> Tally {
    let mut tally = Tally::default();
    for number in cases {
        let i = case(seed, number, TINY, rims);
        let Some(least) = least_value(&i, &|_| true, STEPS) else { continue };
        // A claim is about the heights that are tried; where these are not all, others may do better.
        let tried = candidates(&i);
        let reached = match complete(&i, &tried) {
            true => Some(least),
            false => least_value(&i, &|h| tried.contains(&h), STEPS),
        };
        let Some(reached) = reached else { continue };
        let name = format!("seed {seed} case {number}");
        tally.judge(&name, &i, &found(&i, NODES), &Truth { least, reached, none: least.is_none() });
        if !rims {
            let outcome = model::solve(&i, None, &Stop::nodes(MODEL_NODES));
            tally.open += usize::from(!ended(&outcome));
            if let Some(what) = model_is_wrong(&i, &outcome, least) {
                tally.told.push(format!("{name}: the model: {what}; least {least:?}; {outcome:?}\n{i:?}"));
            }
        }
    }
    tally
}

fn ended(outcome: &ModelOutcome) -> bool {
    matches!(outcome.state, ModelState::Optimal | ModelState::NoLayout)
}

/// What is wrong with the general solver's answer, given the least value of any layout.
fn model_is_wrong(i: &Instance, outcome: &ModelOutcome, least: Option<i64>) -> Option<String> {
    let value = outcome.layout.as_ref().map(|l| i.cost(l).value());
    if let Some(rule) = outcome.layout.as_ref().and_then(|l| i.feasible(l).err()) {
        return Some(format!("an invalid layout ({rule})"));
    }
    let complete = model::build(i).is_ok_and(|m| m.complete);
    match (value, least) {
        (Some(_), None) => return Some("a layout where there is none".into()),
        (Some(v), Some(l)) if v < l => return Some("a value below the least".into()),
        _ => {}
    }
    if !complete {
        return None;
    }
    match (outcome.state, least) {
        (ModelState::NoLayout, Some(_)) => Some("said to be impossible".into()),
        (ModelState::Optimal, least) if value != least => Some("not the least value".into()),
        (_, Some(l)) if outcome.bound.is_some_and(|b| b > l) => Some("a bound above the least".into()),
        _ => None,
    }
}

/// Small problems, the search against the model; the model leaves bearing out, so these have none.
pub fn model(seed: u64, cases: std::ops::Range<usize>) -> Tally {
    let mut tally = Tally::default();
    for number in cases {
        let i = case(seed, number, SMALL, false);
        let outcome = model::solve(&i, None, &Stop::nodes(MODEL_NODES));
        let reached = outcome.layout.as_ref().map(|l| i.cost(l).value());
        let sure = model::build(&i).is_ok_and(|m| m.complete);
        // The layout of the model counts against a claim where its heights were tried.
        let tried = candidates(&i);
        let all = complete(&i, &tried)
            || outcome.layout.as_ref().is_some_and(|l| l.heights.iter().all(|h| tried.contains(h)));
        let truth = Truth {
            least: outcome.bound.filter(|_| sure),
            reached: reached.filter(|_| all),
            none: outcome.state == ModelState::NoLayout && sure,
        };
        tally.open += usize::from(!ended(&outcome));
        tally.judge(&format!("seed {seed} case {number}"), &i, &found(&i, NODES), &truth);
    }
    tally
}

/// Larger problems, for which nothing else has the truth: a bound never above the value, nothing that is printed ever worse
/// later, and a longer run never contradicts a shorter one.
pub fn nothing_worse(seed: u64, cases: std::ops::Range<usize>) -> Tally {
    let mut tally = Tally::default();
    for number in cases {
        let i = case(seed, number, LARGE, number % 2 == 0);
        let mut told: Vec<(Option<i64>, Option<i64>)> = Vec::new();
        let long = search(&i, 1, 4 * NODES, &Stop::never(), &mut |v, b| told.push((v, b)));
        let short = found(&i, NODES);
        let other = search(&i, 2, NODES, &Stop::never(), &mut |_, _| {});
        let reached =
            [&short, &other].into_iter().filter_map(|f| f.layout.as_ref().map(|l| l.1.value())).min();
        let bounds = [&short, &other].into_iter().filter_map(|f| f.bound).max();
        let truth =
            Truth { least: bounds, reached, none: [&short, &other].into_iter().any(|f| f.bound.is_none()) };
        let name = format!("seed {seed} case {number}");
        tally.judge(&name, &i, &long, &truth);
        let worse = told.windows(2).any(|w| {
            let ((v, b), (w, c)) = (w[0], w[1]);
            w.unwrap_or(i64::MAX) > v.unwrap_or(i64::MAX) || b.unwrap_or(i64::MAX) > c.unwrap_or(i64::MAX)
        });
        if worse {
            tally.told.push(format!("{name}: what is printed becomes worse: {told:?}\n{i:?}"));
        }
    }
    tally
}

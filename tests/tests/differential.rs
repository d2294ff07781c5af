//! The search against other ways to the same answer: trying everything, and the mixed-integer model.

use traywright::layout::bearing::unborne;
use traywright::layout::heights::{candidates, complete};
use traywright::layout::instance::Instance;
use traywright::layout::model::{self, ModelState};
use traywright::layout::search::{Found, search};
use traywright::random::Random;
use traywright::stop::Stop;
use traywright_tests::tiny::{SMALL, TINY, instance, least_value, with_rims};

/// What another way says of an instance.
struct Truth {
    /// No layout costs less.
    least: Option<i64>,
    /// One of those that the search's claim is about costs this much.
    reached: Option<i64>,
    /// There is no layout.
    none: bool,
}

/// What came of a comparison.
#[derive(Default, Debug)]
struct Tally {
    cases: usize,
    proven: usize,
    optimal: usize,
    none: usize,
    /// There is a layout, and the search found none.
    missed: usize,
    told: Vec<String>,
}

impl Tally {
    /// Holds what the search found against the truth; disagreements are told with the instance.
    fn judge(&mut self, case: usize, i: &Instance, found: &Found, truth: &Truth) {
        self.cases += 1;
        let value = found.layout.as_ref().map(|(_, c)| c.value());
        let mut tell = |what: &str| {
            let sums = format!("least {:?}, reached {:?}", truth.least, truth.reached);
            self.told.push(format!("case {case}: {what}; {sums}; {found:?}\n{i:?}"));
        };
        if let Some((layout, cost)) = &found.layout {
            if let Err(rule) = i.feasible(layout) {
                tell(&format!("an invalid layout ({rule})"));
            }
            if i.cost(layout) != *cost {
                tell("a value that is not the layout's");
            }
            if unborne(i, layout) > 0 {
                tell("something hangs");
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

    fn agree(&self) {
        let told = self.told.iter().take(3).cloned().collect::<Vec<_>>().join("\n\n");
        assert!(self.told.is_empty(), "{} disagreements\n{told}", self.told.len());
    }
}

/// Most places tried for one problem.
const STEPS: usize = 300_000;

/// Cases times the number in the environment variable `MORE`, for long runs by hand.
fn more(cases: usize) -> usize {
    cases * std::env::var("MORE").ok().and_then(|m| m.parse().ok()).unwrap_or(1)
}

fn found(i: &Instance, nodes: u64) -> Found {
    search(i, 1, nodes, &Stop::never(), &mut |_, _| {})
}

fn against_everything(seed: u64, cases: usize, rims: bool) -> Tally {
    let mut random = Random::new(seed);
    let mut tally = Tally::default();
    for case in 0..more(cases) {
        let plain = instance(&mut random, TINY);
        let i = if rims { with_rims(plain) } else { plain };
        let Some(least) = least_value(&i, &|_| true, STEPS) else { continue };
        // A claim is about the heights that are tried; where these are not all, others may do better.
        let tried = candidates(&i);
        let reached = match complete(&i, &tried) {
            true => Some(least),
            false => least_value(&i, &|h| tried.contains(&h), STEPS),
        };
        let Some(reached) = reached else { continue };
        tally.judge(case, &i, &found(&i, 30_000), &Truth { least, reached, none: least.is_none() });
    }
    println!(
        "{} cases, {} proven, {} optimal, {} impossible, {} missed",
        tally.cases, tally.proven, tally.optimal, tally.none, tally.missed
    );
    tally
}

#[test]
fn tiny_problems_against_trying_everything() {
    let tally = against_everything(11, 300, false);
    tally.agree();
    assert!(tally.proven > 170 && tally.none > 40 && tally.missed * 50 < tally.cases, "{tally:?}");
}

#[test]
fn tiny_problems_that_must_bear_against_trying_everything() {
    let tally = against_everything(12, 200, true);
    tally.agree();
    assert!(tally.proven > 80 && tally.none > 25 && tally.missed * 20 < tally.cases, "{tally:?}");
}

/// The model leaves bearing out, so these have none.
#[test]
fn small_problems_against_the_model() {
    let mut random = Random::new(13);
    let mut tally = Tally::default();
    let mut open = 0;
    for case in 0..more(120) {
        let i = instance(&mut random, SMALL);
        let outcome = model::solve(&i, None, &Stop::nodes(20_000));
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
        open += usize::from(!matches!(outcome.state, ModelState::Optimal | ModelState::NoLayout));
        tally.judge(case, &i, &found(&i, 30_000), &truth);
    }
    println!(
        "{} cases, {} open, {} proven, {} optimal, {} impossible, {} missed",
        tally.cases, open, tally.proven, tally.optimal, tally.none, tally.missed
    );
    tally.agree();
    assert!(open * 20 < tally.cases, "{open} left open by the model");
    assert!(tally.proven > 45 && tally.none > 25 && tally.missed * 50 < tally.cases, "{tally:?}");
}

//! The search against other ways to the same answer: trying everything, and the mixed-integer model.

use traywright::layout::bearing::unborne;
use traywright::layout::heights::{candidates, complete};
use traywright::layout::instance::{Access, HeldAt, Instance, Option3};
use traywright::layout::model::{self, ModelState};
use traywright::layout::pack::Rect;
use traywright::layout::search::{Found, search};
use traywright::random::Random;
use traywright::stop::Stop;
use traywright_tests::bare::{bricks, empty, tray};
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

/// Met among random problems: the room that a blocked place takes was counted over the sides of the box too.
#[test]
fn a_blocked_place_takes_no_room_outside_the_box() {
    let mut i = empty(3, 4, 4, 2);
    i.access = Access::LayerIndex;
    i.height_rules = vec![(1, 4), (1, 3)];
    i.blocked = vec![(0, Rect { x: 2, y: 0, w: 2, d: 2 })];
    i.trays = vec![tray(0, (1, 3, 3)), tray(1, (2, 3, 1))];
    i.trays[0].options = [(1, 3, 3), (3, 1, 3), (3, 3, 3)].map(|(w, d, h)| Option3 { w, d, h }).to_vec();
    i.trays[0].span = 2;
    i.trays[1].weight = 2;
    assert_eq!(least_value(&i, &|_| true, STEPS), Some(Some(15)));
    let found = found(&i, 30_000);
    assert_eq!((found.layout.map(|(_, c)| c.value()), found.bound), (Some(15), Some(15)));
}

/// Met among random problems: what is held at a point may need a layer below it that no body is as high as.
#[test]
fn a_layer_below_what_is_held_has_the_height_it_needs() {
    let mut i = empty(5, 5, 5, 2);
    i.trays = vec![tray(0, (1, 4, 1)), tray(1, (2, 3, 2))];
    i.trays[0].held = HeldAt::Layer(0);
    i.trays[1].held = HeldAt::Point(1, 1, 3);
    let found = found(&i, 30_000);
    let value = 4 * 3 + 2 * 3 * 2;
    assert_eq!((found.layout.map(|(_, c)| c.value()), found.bound), (Some(value), Some(value)));
}

/// Met among random problems: a kept item may stand on the top of the last layer.
#[test]
fn a_kept_item_stands_on_the_last_layer() {
    let mut i = empty(4, 4, 5, 1);
    i.trays = vec![tray(0, (4, 4, 2))];
    i.kept = bricks(0, 1, [3, 3, 3]);
    let found = found(&i, 30_000);
    let (layout, cost) = found.layout.expect("a layout");
    assert_eq!((layout.kept[0].layer, cost.value()), (1, 16 * 2 + 27));
    assert!(found.bound.is_some_and(|b| b <= cost.value()));
    // Held in a second layer it is not there: there is but one.
    i.kept[0].held = HeldAt::Layer(1);
    let held = search(&i, 1, 30_000, &Stop::never(), &mut |_, _| {});
    assert!(held.layout.is_none() && held.bound.is_none());
}

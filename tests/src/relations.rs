//! Relations between answers (metamorphic properties): a brief and a changed one, of which it is known beforehand how their
//! answers compare.
//!
//! They hold for proven claims over exact curves and all heights. Over candidate heights, which all trays of a job share, another
//! tray may change what is tried for the first; how often a relation is broken there is counted, not asserted.

use std::collections::BTreeMap;

use traywright::plan::{Claim, ClaimState, Options, solve};
use traywright::random::Random;

use crate::wild::{Brief, Contents, Part, Wild, brief};

/// What a job came to.
#[derive(Clone, Debug)]
struct Answer {
    claim: Claim,
    /// What trays and kept items claim with the price of lifts, and its bound, nm³: waste and what is held.
    value: Option<(i128, i128)>,
    text: String,
}

impl Answer {
    /// Proven within the class of all arrangements.
    fn exact(&self) -> bool {
        self.claim.curves == "exact" && self.claim.heights == "all"
    }

    fn proven(&self) -> bool {
        self.claim.state == ClaimState::Proven
    }

    fn impossible(&self) -> bool {
        self.claim.state == ClaimState::Impossible
    }
}

/// `None` for a brief that is refused.
fn answer(brief: &Brief, scale: i64, nodes: u64) -> Option<Answer> {
    let job = brief.job(scale).ok()?;
    let mut options = Options::default();
    options.nodes = nodes;
    let outcome = solve(&job, &options, &mut |_| {});
    let value = outcome.plan.as_ref().map(|p| {
        let v = &p.tight.volumes_mm3;
        let held = v.contents.nm3() + v.kept.nm3();
        (p.objective_mm3.value.nm3() + held, p.objective_mm3.bound.nm3() + held)
    });
    Some(Answer { claim: outcome.claim, value, text: brief.text(scale) })
}

/// How often a relation was looked at, and how often it was broken.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Count {
    /// Pairs of proven answers of the exact class.
    pub exact: usize,
    /// Broken there: a fault.
    pub broken: Vec<String>,
    /// Pairs over candidate heights or searched curves.
    pub candidates: usize,
    /// Broken there.
    pub candidates_broken: usize,
}

/// By the name of the relation.
pub type Counts = BTreeMap<&'static str, Count>;

fn note(counts: &mut Counts, name: &'static str, a: &Answer, b: &Answer, holds: bool) {
    let count = counts.entry(name).or_default();
    if a.exact() && b.exact() {
        count.exact += 1;
        if !holds {
            let told = format!("{:?} {:?}\nbecomes {:?} {:?}", a.claim, a.value, b.claim, b.value);
            count.broken.push(format!("{name}: {told}\n{}\n{}", a.text, b.text));
        }
    } else {
        count.candidates += 1;
        count.candidates_broken += usize::from(!holds);
    }
}

/// The greater job claims no less, as far as both are proven: each value is held against the other's bound.
fn no_less(counts: &mut Counts, name: &'static str, less: &Answer, more: &Answer) {
    if let (Some((_, bound)), Some((value, _))) = (less.value, more.value) {
        note(counts, name, less, more, bound <= value);
    }
    if less.impossible() {
        note(counts, name, less, more, more.value.is_none());
    }
}

fn equal(counts: &mut Counts, name: &'static str, a: &Answer, b: &Answer, times: i128) {
    match (a.value, b.value) {
        (Some(x), Some(y)) if a.proven() && b.proven() => note(counts, name, a, b, x.0 * times == y.0),
        // Proven on one side only: what is proven must still not be contradicted.
        (Some(x), Some(y)) => note(counts, name, a, b, x.1 * times <= y.0 && y.1 <= x.0 * times),
        _ if a.impossible() || b.impossible() => {
            note(counts, name, a, b, a.value.is_none() && b.value.is_none())
        }
        _ => {}
    }
}

/// Nodes for one job.
const NODES: u64 = 40_000;

/// Every relation on random briefs of these cases.
pub fn relations(seed: u64, cases: std::ops::Range<usize>, wild: Wild) -> Counts {
    let mut counts = Counts::new();
    for case in cases {
        let mut random = Random::new(seed.wrapping_mul(1_000_003).wrapping_add(case as u64));
        let first = brief(&mut random, wild);
        let Some(a) = answer(&first, 1, NODES) else { continue };
        all(&mut counts, &first, &a, &mut random);
    }
    counts
}

fn all(counts: &mut Counts, first: &Brief, a: &Answer, random: &mut Random) {
    let solved = |change: &dyn Fn(&mut Brief)| {
        let mut changed = first.clone();
        change(&mut changed);
        answer(&changed, 1, NODES)
    };
    // What is poured in has a least height of 5 mm, which no brief doubles.
    let poured = first.trays.iter().flat_map(|t| &t.parts).any(|p| matches!(p.contents, Contents::Loose(_)));
    if let Some(b) = answer(first, 2, NODES).filter(|_| !poured) {
        equal(counts, "all lengths doubled", a, &b, 8);
    }
    if let Some(b) = solved(&|b| b.interior.swap(0, 1)) {
        equal(counts, "box turned", a, &b, 1);
    }
    let order = random.child();
    let shuffled = solved(&|b| {
        let mut random = order.clone();
        random.shuffle(&mut b.trays);
        b.trays.iter_mut().for_each(|t| random.shuffle(&mut t.parts));
        random.shuffle(&mut b.kept);
    });
    if let Some(b) = shuffled {
        equal(counts, "entries in another order", a, &b, 1);
    }
    let tray = random.below(first.trays.len());
    let more = solved(&|b| {
        let contents = Contents::Solid([80, 60, 50], 1, false, false);
        b.trays[tray].parts.push(Part { name: "one more".into(), contents });
    });
    if let Some(b) = more {
        no_less(counts, "a part added", a, &b);
    }
    if first.trays[tray].parts.len() > 1 {
        let part = random.below(first.trays[tray].parts.len());
        if let Some(b) = solved(&|b| drop(b.trays[tray].parts.remove(part))) {
            no_less(counts, "a part removed", &b, a);
        }
    }
    if let Some(b) = solved(&|b| b.thickness = b.thickness.map(|t| (t - 5).max(5))) {
        no_less(counts, "thinner stock", &b, a);
    }
    if let Some(b) = solved(&|b| b.clearance = [0, 0]) {
        no_less(counts, "clearance loosened", &b, a);
    }
    // A higher box makes each lift dearer, so only whether it can be solved is compared where lifts count.
    if let Some(mut b) = solved(&|b| b.interior[2] += 50) {
        if first.access && b.value.is_some() {
            b.value = Some((i128::MIN, i128::MIN));
        }
        no_less(counts, "lid raised", &b, a);
    }
}

/// Both together.
#[must_use]
pub fn merged(mut a: Counts, b: Counts) -> Counts {
    for (name, count) in b {
        let own = a.entry(name).or_default();
        own.exact += count.exact;
        own.broken.extend(count.broken);
        own.candidates += count.candidates;
        own.candidates_broken += count.candidates_broken;
    }
    a
}

/// What is wrong with a whole random job, from the brief to the checker; empty where all is well, `None` for a brief that is refused.
pub fn whole(seed: u64, case: usize, wild: Wild, nodes: u64) -> Option<Vec<String>> {
    let mut random = Random::new(seed.wrapping_mul(1_000_003).wrapping_add(case as u64));
    let brief = brief(&mut random, wild);
    let job = brief.job(1).ok()?;
    let mut options = Options::default();
    options.nodes = nodes;
    let mut told: Vec<(Option<f64>, Option<f64>)> = Vec::new();
    let outcome = solve(&job, &options, &mut |p| told.push((p.value_ml, p.bound_ml)));
    let mut faults = Vec::new();
    if outcome.input_at_fault {
        return None;
    }
    // A code of the checker among the reasons: the search made a plan that is none.
    faults.extend(
        outcome.reasons.iter().filter(|f| f.code.starts_with('C') || f.code == "P004").map(|f| f.to_string()),
    );
    if let Some(plan) = &outcome.plan {
        faults.extend(traywright::check::check(&job, plan).iter().map(|f| format!("checked again: {f}")));
        let o = &plan.objective_mm3;
        if o.bound > o.value {
            faults.push("a bound above the value".into());
        }
    }
    let arranging: Vec<_> = told.into_iter().filter(|t| t.1.is_some()).collect();
    for w in arranging.windows(2) {
        let ((v, b), (x, c)) = (w[0], w[1]);
        if v.is_some_and(|v| x.is_none_or(|x| x > v)) || b > c {
            faults.push(format!("what is printed becomes worse: {w:?}"));
        }
    }
    Some(faults.into_iter().map(|f| format!("seed {seed} case {case}: {f}\n{}", brief.text(1))).collect())
}

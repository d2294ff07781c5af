//! Damaged plans: every number moved, words, lists and switches changed, bodies exchanged. Each one is refused by
//! the reader or by the checker, or is a plan that is still true.
//!
//! Still true is only what [`freedom`] lists, with the reason why; where that depends on the place of a body, a
//! few lines of geometry here, which know nothing of the checker, decide whether it is, and the checker must
//! agree in both directions.

use std::collections::BTreeSet;

use serde_json::Value;
use traywright::check::check;
use traywright::job::{Job, Kept, Turn};
use traywright::place::{Point, Size};
use traywright::plan::{Arrangement, Body, Options, Plan, solve};
use traywright::random::Random;
use traywright_tests::mutate::{self, Path, Step, shown};
use traywright_tests::sample;

/// What the damage at a path may be, besides wrong.
#[derive(Debug, PartialEq, Eq)]
enum Freedom {
    /// Nothing: it must be refused.
    None,
    /// Free: whatever a plan says here, it says nothing that a job decides.
    Free,
    /// A body without a fixed place: true as long as the geometry allows.
    Place,
    /// A matter of geometry that is not worked out again here; `check_rules.rs` has its cases.
    Open,
}

/// The only things in a plan that may change by themselves and leave it true.
fn freedom(whole: &Value, path: &Path, old: &Value, new: &Value) -> Freedom {
    let text = shown(path);
    let keys: Vec<&str> = text.split('/').collect();
    let word = new.as_str().unwrap_or("");
    match keys.as_slice() {
        // How the search was run, and what it called its bound, follows from no job.
        ["seed" | "nodes"] => Freedom::Free,
        ["claim", "bound_by"] if !word.is_empty() => Freedom::Free,
        // A plan cannot show how it was searched: only that a class is named.
        ["claim", "curves"] if ["exact", "searched"].contains(&word) => Freedom::Free,
        ["claim", "heights"] if ["all", "candidates"].contains(&word) => Freedom::Free,
        // Nor that nothing is below its bound. The gap goes with it, so it has the room of the gap's rounding, and
        // without a gap none.
        ["objective_mm3", "bound"] if whole["claim"]["state"] == "gap" && mutate::near(old, new) => {
            Freedom::Free
        }
        // What is remarked beside a plan is no part of it; only codes must be known.
        ["findings"] | ["findings", _, "text"] => Freedom::Free,
        // Lists without a meaning in their order; nothing in them is lost or doubled.
        [.., "kept" | "cover" | "compartments" | "dividers" | "lifts"]
            if old.is_array() && same_items(old, new) =>
        {
            Freedom::Free
        }
        // The program's choice where the brief leaves it open; a ribbon is always possible.
        [.., "grip"] if word == "ribbon" => Freedom::Free,
        // Poured contents know no turn, nor does a need as wide as deep; flat piles may lie either way.
        [.., "turn"] => {
            match beside(whole, path, "standing").and_then(|v| v.as_str().map(String::from)).as_deref() {
                Some("poured") => Freedom::Free,
                Some("flat") if beside(whole, path, "piles") != Some("".into()) => Freedom::Open,
                _ if square(beside(whole, path, "need")) => Freedom::Open,
                _ => Freedom::None,
            }
        }
        // Bodies that stand freely, and which way round a body stands that may be turned.
        [_, "kept" | "cover", _, "at" | "size", ..] => Freedom::Place,
        // Notches instead of a ribbon, where what is poured in behind them stays below.
        [.., "grip"] if word == "notch" => Freedom::Open,
        _ => Freedom::None,
    }
}

/// The value of a key beside the one at this path.
fn beside(whole: &Value, path: &Path, key: &str) -> Option<Value> {
    let mut at = path.clone();
    at.pop();
    at.push(Step::Key(key.into()));
    mutate::at(&mut whole.clone(), &at).cloned()
}

/// Whether a need is as wide as it is deep.
fn square(need: Option<Value>) -> bool {
    need.is_some_and(|n| n["size"][0] == n["size"][1])
}

fn same_items(a: &Value, b: &Value) -> bool {
    let sorted = |v: &Value| {
        let mut all: Vec<String> = v.as_array().into_iter().flatten().map(Value::to_string).collect();
        all.sort();
        all
    };
    sorted(a) == sorted(b)
}

/// Whether kept and cover items may stand as they do in `new`, all else being as in the valid plan `old`.
fn stands(job: &Job, old: &Plan, new: &Plan) -> bool {
    [(&old.tight, &new.tight), (&old.settled, &new.settled)]
        .into_iter()
        .all(|(old, new)| arranged(job, old, new))
}

fn arranged(job: &Job, old: &Arrangement, new: &Arrangement) -> bool {
    let inside = job.container.interior;
    let between = job.container.between.nm();
    let side = |s: Size| [s.w.nm(), s.d.nm(), s.h.nm()];
    let edge = |p: Point| [p.x.nm(), p.y.nm(), p.z.nm()];
    let kept = new.kept.iter().map(|b| (b.at, b.size, 0));
    let trays = new.trays.iter().map(|t| (t.at, t.size, between));
    let cover = new.cover.iter().map(|b| (b.at, b.size, 0));
    let all: Vec<(Point, Size, i64)> = kept.chain(cover).chain(trays).collect();
    let in_box = all.iter().all(|(p, s, _)| {
        let (p, s) = (edge(*p), side(*s));
        p.iter().all(|v| *v >= 0) && p[0] + s[0] <= inside.w.nm() && p[1] + s[1] <= inside.d.nm()
    });
    let apart = |(p, s, g): &(Point, Size, i64), (q, t, h): &(Point, Size, i64)| {
        let (p, s, q, t) = (edge(*p), side(*s), edge(*q), side(*t));
        let gap =
            |axis: usize, gap: i64| p[axis] + s[axis] + gap <= q[axis] || q[axis] + t[axis] + gap <= p[axis];
        gap(2, 0) || gap(0, *g.max(h)) || gap(1, *g.max(h))
    };
    let clear = (0..all.len()).all(|i| (0..i).all(|j| apart(&all[i], &all[j])));
    // Heights, tops and outlines over trays stay: then neither account nor lifts can change.
    let same = |old: &Body, new: &Body| {
        let (a, b) = (side(old.size), side(new.size));
        let item: Option<&Kept> = job.kept.iter().find(|k| k.name == new.name);
        let held = item.is_some_and(|k| k.held.is_some()) && old.at != new.at;
        let turned = item.is_none_or(|k| k.turn != Turn::None) && a == [b[1], b[0], b[2]];
        (a == b || turned) && old.at.z == new.at.z && !held
    };
    let over = |a: &Arrangement| -> Vec<BTreeSet<usize>> {
        let covers = |b: &Body, (q, r): (Point, Size)| {
            let (p, s, q, r) = (edge(b.at), side(b.size), edge(q), side(r));
            (0..2).all(|x| p[x].max(q[x]) < (p[x] + s[x]).min(q[x] + r[x]))
        };
        let trays = a.trays.iter().map(|t| (t.at, t.size));
        let under: Vec<(Point, Size)> = trays.chain(a.cover.iter().map(|b| (b.at, b.size))).collect();
        under.into_iter().map(|u| (0..a.cover.len()).filter(|i| covers(&a.cover[*i], u)).collect()).collect()
    };
    let pairs = old.kept.iter().zip(&new.kept).chain(old.cover.iter().zip(&new.cover));
    in_box && clear && pairs.into_iter().all(|(a, b)| same(a, b)) && over(old) == over(new)
}

/// Whether a kept item stands on something or carries something.
fn carried(plan: &Plan) -> bool {
    [&plan.tight, &plan.settled].into_iter().any(|a| {
        let bottoms: BTreeSet<i64> =
            a.trays.iter().map(|t| t.at.z.nm()).chain(a.kept.iter().map(|k| k.at.z.nm())).collect();
        a.kept.iter().any(|k| k.at.z.nm() > 0 || bottoms.contains(&(k.at.z + k.size.h).nm()))
    })
}

/// What came of one damage.
#[derive(Default, Debug)]
struct Tally {
    unread: usize,
    caught: usize,
    still_true: usize,
}

impl Tally {
    fn sum(&self) -> usize {
        self.unread + self.caught + self.still_true
    }
}

struct Bench {
    job: Job,
    plan: Plan,
    whole: Value,
    tally: Tally,
}

impl Bench {
    fn new(job: Job, plan: Plan) -> Bench {
        let whole = serde_json::to_value(&plan).unwrap();
        Bench { job, plan, whole, tally: Tally::default() }
    }

    /// Puts `new` at a path and sees that it is refused, unless the plan is still true.
    fn damage(&mut self, path: &Path, old: &Value, new: Value) {
        let mut whole = self.whole.clone();
        *mutate::at(&mut whole, path).unwrap() = new.clone();
        let Ok(plan) = serde_json::from_value::<Plan>(whole) else {
            self.tally.unread += 1;
            return;
        };
        if plan == self.plan {
            return;
        }
        let findings = check(&self.job, &plan);
        let freedom = freedom(&self.whole, path, old, &new);
        let caught = !findings.is_empty();
        if caught {
            self.tally.caught += 1;
        } else {
            self.tally.still_true += 1;
        }
        let told = || findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
        match freedom {
            Freedom::None => assert!(caught, "{} = {new} passes, was {old}", shown(path)),
            // Whether a body still bears another is not worked out here.
            Freedom::Place if carried(&self.plan) => {}
            Freedom::Place => {
                let fine = stands(&self.job, &self.plan, &plan);
                assert_eq!(!caught, fine, "{} = {new}, was {old}: {}", shown(path), told());
            }
            Freedom::Open => {}
            Freedom::Free => assert!(!caught, "{} = {new}, was {old}: {}", shown(path), told()),
        }
    }
}

#[test]
fn every_number_moved_is_refused_or_leaves_a_true_plan() {
    let mut bench = Bench::new(sample::job(), sample::plan());
    for (path, value) in mutate::all(&bench.whole) {
        for new in mutate::numbers(&path, &value) {
            bench.damage(&path, &value, new);
        }
    }
    println!("{:?}", bench.tally);
    assert!(bench.tally.sum() > 2_000 && bench.tally.still_true < 100, "{:?}", bench.tally);
}

#[test]
fn words_lists_and_switches_changed_are_refused_or_leave_a_true_plan() {
    let mut bench = Bench::new(sample::job(), sample::plan());
    let mut random = Random::new(7);
    let every = mutate::all(&bench.whole);
    let words: Vec<String> = every.iter().filter_map(|(_, v)| v.as_str().map(String::from)).collect();
    for _ in 0..6 {
        for (path, value) in every.iter().filter(|(path, _)| !path.is_empty()) {
            for new in mutate::others(value, &words, &mut random) {
                bench.damage(path, value, new);
            }
        }
    }
    println!("{:?}", bench.tally);
    assert!(bench.tally.sum() > 1_000 && bench.tally.caught > 500, "{:?}", bench.tally);
}

/// Two things of one kind exchange their places, or any two values of one kind.
#[test]
fn exchanged_values_are_refused_or_leave_a_true_plan() {
    let mut bench = Bench::new(sample::job(), sample::plan());
    let mut random = Random::new(11);
    let every = mutate::all(&bench.whole);
    let last = |path: &Path| match path.last() {
        Some(Step::Key(k)) => k.clone(),
        _ => String::new(),
    };
    for _ in 0..1_500 {
        let (path, value) = &every[random.below(every.len())];
        let alike: Vec<&(Path, Value)> = every
            .iter()
            .filter(|(p, v)| !last(p).is_empty() && last(p) == last(path) && v != value)
            .collect();
        let Some((_, other)) = alike.get(random.below(alike.len())) else { continue };
        bench.damage(path, value, other.clone());
    }
    println!("{:?}", bench.tally);
    assert!(bench.tally.sum() > 500, "{:?}", bench.tally);
}

/// The program's own plans, damaged at random.
#[test]
fn damage_to_plans_of_scenarios_is_refused_or_leaves_a_true_plan() {
    let mut random = Random::new(23);
    let mut plans = 0;
    for name in
        ["easy/lantern", "easy/tides", "medium/drawer", "medium/ferry", "medium/fishwives", "medium/moored"]
    {
        let file = format!("{}/../scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let job = traywright::job::load(std::path::Path::new(&file), &[]).unwrap();
        let mut options = Options::default();
        options.nodes = 100_000;
        // Whether there is a plan within so few nodes is a matter for other tests.
        let Some(plan) = solve(&job, &options, &mut |_| {}).plan else { continue };
        plans += 1;
        let told: Vec<String> = check(&job, &plan).iter().map(ToString::to_string).collect();
        assert!(told.is_empty(), "{name}: {}", told.join("\n"));
        let mut bench = Bench::new(job, plan);
        let every = mutate::all(&bench.whole);
        let words: Vec<String> = every.iter().filter_map(|(_, v)| v.as_str().map(String::from)).collect();
        while bench.tally.sum() < 300 {
            let (path, value) = &every[random.below(every.len())];
            let mut all = mutate::numbers(path, value);
            all.extend(mutate::others(value, &words, &mut random));
            if !path.is_empty() && !all.is_empty() {
                let new = all.swap_remove(random.below(all.len()));
                bench.damage(path, value, new);
            }
        }
        println!("{name}: {:?} {}", bench.tally, bench.plan.tight != bench.plan.settled);
    }
    assert!(plans >= 4, "only {plans} scenarios were solved");
}

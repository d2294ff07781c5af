//! Damaged plans: every number moved, words, lists and switches changed, bodies exchanged. Each one is refused by
//! the reader or by the checker, or is a plan that is still true.
//!
//! Still true is only what [`freedom`] lists, with the reason why; where that depends on the place of a body, a
//! few lines of geometry here, which know nothing of the checker, decide whether it is, and the checker must
//! agree in both directions.

use std::collections::BTreeSet;

use serde_json::Value;
use traywright::check::check;
use traywright::job::{Job, Kept};
use traywright::place::{Point, Size};
use traywright::plan::{Arrangement, Body, PlacedTray, Plan};
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
        // Nor that nothing is below its bound. The gap goes with it, so it has the room of the gap's rounding.
        ["objective_mm3", "bound"] if mutate::near(old, new) => Freedom::Free,
        // Lists without a meaning in their order; nothing in them is lost or doubled.
        [.., "kept" | "cover" | "compartments" | "dividers" | "lifts"]
            if old.is_array() && same_items(old, new) =>
        {
            Freedom::Free
        }
        // The program's choice where the brief leaves it open; a ribbon is always possible.
        [.., "grip"] if word == "ribbon" => Freedom::Free,
        // Poured contents know no turn.
        [.., "turn"] if beside(whole, path, "standing") == Some("poured".into()) => Freedom::Free,
        // Bodies that stand freely, and which way round a body stands that may be turned.
        [_, "kept" | "cover", _, "at" | "size", ..] => Freedom::Place,
        // Fingers reach through notches where what is poured in behind them stays below, see `open`.
        [.., "grip"] if word == "notch" && open(&text) => Freedom::Free,
        _ => Freedom::None,
    }
}

/// The bridge's notches would open over the fare discs in the tight plan (108.6 ml on 92 × 41 mm are 28.8 mm
/// high under a notch that ends 20 mm over the floor), not in the settled one, where the discs have 97 × 80 mm.
fn open(path: &str) -> bool {
    path == "settled/trays/1/grip"
}

/// The word beside a value.
fn beside(whole: &Value, path: &Path, key: &str) -> Option<String> {
    let mut at = path.clone();
    at.pop();
    at.push(Step::Key(key.into()));
    Some(mutate::at(&mut whole.clone(), &at)?.as_str()?.to_string())
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
        a[2] == b[2] && (a == b || a == [b[1], b[0], b[2]]) && old.at.z == new.at.z && !held
    };
    let over = |a: &Arrangement| -> Vec<BTreeSet<usize>> {
        let covers = |b: &Body, t: &PlacedTray| {
            let (p, s, q, r) = (edge(b.at), side(b.size), edge(t.at), side(t.size));
            (0..2).all(|x| p[x].max(q[x]) < (p[x] + s[x]).min(q[x] + r[x]))
        };
        a.trays.iter().map(|t| (0..a.cover.len()).filter(|i| covers(&a.cover[*i], t)).collect()).collect()
    };
    let pairs = old.kept.iter().zip(&new.kept).chain(old.cover.iter().zip(&new.cover));
    in_box && clear && pairs.into_iter().all(|(a, b)| same(a, b)) && over(old) == over(new)
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
            Freedom::Place => {
                let fine = stands(&self.job, &self.plan, &plan);
                assert_eq!(!caught, fine, "{} = {new}, was {old}: {}", shown(path), told());
            }
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

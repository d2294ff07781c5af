//! Second versions: what can stay stays, with the same pieces and in its place, and every plan passes the checker.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;

use proptest::prelude::*;
use rayon::ThreadPoolBuilder;
use traywright::check::check;
use traywright::draw::{differences_html, differences_json, differences_svg, differences_text};
use traywright::job::{Job, load};
use traywright::panel::{TrayPanels, panels, trays};
use traywright::plan::{Fate, Options, PlacedTray, Plan, Second, second, solve};
use traywright::shop::{Became, Differences, From, choices, differences};
use traywright_tests::scenarios::folder;

fn options(nodes: u64) -> Options {
    let mut options = Options::default();
    options.nodes = nodes;
    options
}

fn job(brief: &str, changes: &[(&str, &str)]) -> Job {
    let changes: Vec<_> = changes.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
    load(&folder().join(brief), &changes).unwrap_or_else(|f| panic!("{brief} {changes:?}: {f:#?}"))
}

/// The plan of a scenario as it stands; each is made once, whatever test asks first.
fn plan(job: &Job) -> Plan {
    static MADE: Mutex<BTreeMap<String, Plan>> = Mutex::new(BTreeMap::new());
    let make = || solve(job, &Options::default(), &mut |_| {}).plan.unwrap();
    MADE.lock().unwrap().entry(job.title.clone()).or_insert_with(make).clone()
}

fn fates(it: &Second, fate: Fate) -> BTreeSet<&str> {
    it.fates.iter().filter(|f| f.fate == fate).map(|f| f.tray.as_str()).collect()
}

fn of<'a>(plan: &'a Plan, new: &PlacedTray) -> Option<&'a PlacedTray> {
    plan.settled.trays.iter().find(|t| t.name == new.name && t.copy == new.copy)
}

/// A second version that passes the checker. Every tray that is said to stay is the same to the nanometre, and unless what
/// it holds has changed, so are its panels.
fn made(old_job: &Job, old: &Plan, new_job: &Job, nodes: u64) -> (Second, Differences) {
    let it = second(new_job, old, &[], &options(nodes), &mut |_| {}).unwrap();
    let new = it.outcome.plan.as_ref().unwrap();
    assert_eq!(check(new_job, new), []);
    let told = differences((old_job, old), (new_job, new)).unwrap();
    let (was, is) = (panels(old_job, old).unwrap(), panels(new_job, new).unwrap());
    for (fate, tray) in it.fates.iter().zip(&new.settled.trays) {
        if !matches!(fate.fate, Fate::Stays | Fate::Moves) {
            continue;
        }
        let before = of(old, tray).unwrap();
        assert_eq!(before.size, tray.size, "{}", fate.tray);
        assert_eq!(before.moved(tray.at).dividers, tray.dividers, "{}", fate.tray);
        assert_eq!(fate.fate == Fate::Stays, before.at == tray.at, "{}", fate.tray);
        let change = told.trays.iter().find(|t| t.tray == fate.tray).unwrap();
        let holds = |job: &Job| format!("{:?}", job.trays.iter().find(|t| t.name == tray.name));
        if holds(old_job) != holds(new_job) {
            continue;
        }
        // The report works by shapes; here panel is held against panel.
        let own = |job: &Job, plan: &Plan, all: &[TrayPanels]| {
            let index =
                trays(job, plan).iter().position(|m| (&m.tray.name, m.tray.copy) == (&tray.name, tray.copy));
            let made = all.iter().find(|t| t.placed.contains(&index.unwrap())).unwrap();
            made.panels.clone()
        };
        assert_eq!(own(old_job, old, &was), own(new_job, new, &is), "{}", fate.tray);
        assert!(matches!(change.became, Became::Stays | Became::Moves), "{}: {:?}", fate.tray, change.became);
        assert!(change.panels.iter().all(|p| p.from != From::Cut), "{} is cut again", fate.tray);
    }
    (it, told)
}

#[test]
fn without_any_change_everything_stays_and_nothing_is_cut() {
    for brief in ["easy/tides.toml", "easy/lantern.toml", "medium/ferry.toml"] {
        let job = job(brief, &[]);
        let old = plan(&job);
        let (it, told) = made(&job, &old, &job, 20_000);
        assert_eq!(fates(&it, Fate::Stays).len(), old.settled.trays.len(), "{brief}: {:?}", it.fates);
        let new = it.outcome.plan.as_ref().unwrap();
        assert_eq!(new.settled.trays, old.settled.trays, "{brief}");
        assert_eq!(new.settled.kept, old.settled.kept, "{brief}");
        assert!(told.is_nothing() && told.left_over.is_empty(), "{brief}: {}", differences_text(&told));
        assert!(differences_text(&told).contains("Nothing"), "{brief}");
    }
}

#[test]
fn a_dry_fit_changes_what_it_must_and_nothing_else() {
    let first = job("medium/ferry.toml", &[]);
    let old = plan(&first);
    let every = old.settled.trays.len();

    // A millimetre more of a deck goes into the slack of its compartment.
    let thicker = job("medium/ferry.toml", &[("part.weather cards.stack.height", "28")]);
    let (it, told) = made(&first, &old, &thicker, 40_000);
    assert_eq!(fates(&it, Fate::Stays).len(), every, "{:?}", it.fates);
    assert!(told.to_cut().all(|(t, _)| t.tray == "decks"), "notches for fingers at most");

    // What is poured in no longer fits: its tray alone is made again, in the same hole.
    let fuller = job("medium/ferry.toml", &[("part.mail sacks.loose.volume", "84 ml")]);
    let (it, told) = made(&first, &old, &fuller, 40_000);
    assert_eq!(fates(&it, Fate::Afresh), BTreeSet::from(["cargo"]), "{:?}", it.fates);
    assert_eq!(fates(&it, Fate::Stays).len(), every - 1);
    assert!(it.fates.iter().any(|f| f.why.contains("\"mail sacks\" does not fit")), "{:?}", it.fates);
    assert!(told.to_cut().count() > 0 && told.to_cut().all(|(t, _)| t.tray == "cargo"));
    assert!(told.trays.iter().flat_map(|t| &t.rooms).any(|r| r.part == "mail sacks"));

    // Dividers that must be lower are cut again, or nothing but what meets them: in the top layer, where no tray
    // rests on them.
    let lower = job("medium/ferry.toml", &[("tray.quay.divider_height", "20")]);
    let (it, told) = made(&first, &old, &lower, 40_000);
    assert_eq!(fates(&it, Fate::Altered), BTreeSet::from(["quay"]), "{:?}", it.fates);
    assert_eq!(fates(&it, Fate::Stays).len(), every - 1);
    assert!(told.to_cut().count() > 0 && told.to_cut().all(|(t, _)| t.tray == "quay"));
    let quay = told.trays.iter().find(|t| t.tray == "quay").unwrap();
    assert!(quay.panels.iter().any(|p| p.from != From::Cut), "outer panels stay: {quay:#?}");

    // The box is 0.4 mm shallower than measured: where trays fill its depth, one of each row is made again. How many rows are
    // that full depends on the plan: in this one a few are, in others none, or seven trays are made again.
    let mut other = Options::default();
    other.seed = 5;
    let old = solve(&first, &other, &mut |_| {}).plan.unwrap();
    let shallower = job("medium/ferry.toml", &[("box.interior", "[300, 229.6, 90]")]);
    let (it, told) = made(&first, &old, &shallower, 400_000);
    assert!((1..=3).contains(&fates(&it, Fate::Afresh).len()), "{:?}", it.fates);
    assert_ne!(told.interior.0, told.interior.1);
}

#[test]
fn a_tray_that_goes_and_one_that_comes_are_told() {
    let first = job("medium/ferry.toml", &[]);
    let mut second_job = first.clone();
    let old = plan(&first);
    // The purse is sold; its parts go with it.
    second_job.trays.retain(|t| t.name != "purse");
    let mut tray = first.trays.iter().find(|t| t.name == "captain").unwrap().clone();
    (tray.name, tray.count) = ("mate".into(), 1);
    tray.parts.iter_mut().for_each(|p| p.name = format!("mate's {}", p.name));
    second_job.trays.push(tray);
    let (it, told) = made(&first, &old, &second_job, 60_000);
    assert_eq!(fates(&it, Fate::Stays).len(), old.settled.trays.len() - 1, "{:?}", it.fates);
    let became = |b| told.trays.iter().filter(|t| t.became == b).map(|t| t.tray.as_str()).collect::<Vec<_>>();
    assert_eq!(became(Became::Added), ["mate"]);
    assert_eq!(became(Became::Gone), ["purse", "purse › purser's tray"]);
    assert!(!told.left_over.is_empty() && told.left_over.iter().all(|l| l.tray.starts_with("purse")));
}

#[test]
fn a_tray_under_another_name_needs_no_cutting() {
    let first = job("easy/tides.toml", &[]);
    let old = plan(&first);
    let (mut renamed, mut new) = (first.clone(), old.clone());
    renamed.trays.iter_mut().for_each(|t| t.name = format!("{}s", t.name));
    for a in [&mut new.tight, &mut new.settled] {
        a.trays.iter_mut().for_each(|t| t.name = format!("{}s", t.name));
    }
    // Free parts make trays of their own names; either way not one panel is new.
    let told = differences((&first, &old), (&renamed, &new)).unwrap();
    assert_eq!(told.to_cut().count(), 0, "{}", differences_text(&told));
    assert!(told.left_over.is_empty());
    let all: Vec<_> = told.trays.iter().flat_map(|t| &t.panels).collect();
    // The tray's name stands on its front wall.
    let called: Vec<_> = all.iter().filter(|p| matches!(p.from, From::Relabelled { .. })).collect();
    assert!(
        called.len() >= 2 && called.iter().all(|p| p.name == "front wall"),
        "{}",
        differences_text(&told)
    );
}

#[test]
fn trays_that_must_stay_stay_or_there_is_no_plan() {
    let first = job("medium/ferry.toml", &[]);
    let old = plan(&first);
    let fuller = job("medium/ferry.toml", &[("part.mail sacks.loose.volume", "84 ml")]);
    let hold = |names: &[&str]| {
        let names: Vec<String> = names.iter().map(|n| (*n).to_owned()).collect();
        second(&fuller, &old, &names, &options(20_000), &mut |_| {})
    };
    let kept = hold(&["decks", "quay"]).unwrap();
    assert!(kept.outcome.plan.is_some());
    let lost = hold(&["cargo"]).unwrap();
    assert!(lost.outcome.plan.is_none());
    assert_eq!(lost.outcome.reasons[0].code, "P062");
    assert!(lost.outcome.reasons[0].cause.contains("mail sacks"), "{:?}", lost.outcome.reasons);
    let unknown = hold(&["dekcs"]).unwrap_err();
    assert_eq!((unknown[0].code, unknown[0].remedy.as_str()), ("P061", "Did you mean \"decks\"?"));
    let other = plan(&job("easy/tides.toml", &[]));
    assert_eq!(second(&fuller, &other, &[], &options(20_000), &mut |_| {}).unwrap_err()[0].code, "P060");
}

/// What a run of everything writes.
fn files(nodes: u64) -> Vec<String> {
    let first = job("medium/ferry.toml", &[]);
    let old = plan(&first);
    let smaller = job("medium/ferry.toml", &[("box.interior", "[299, 229.6, 90]")]);
    let (it, told) = made(&first, &old, &smaller, nodes);
    let chosen = choices(&first, 3, &options(nodes), &mut |_| {});
    let mut out = vec![
        it.outcome.plan.as_ref().unwrap().to_json(),
        format!("{:?}", it.fates),
        differences_text(&told),
        differences_json(&told),
        differences_svg(&told),
        differences_html(&told, it.outcome.plan.as_ref().map(|p| (p, it.free))),
        chosen.text(),
        chosen.json(),
    ];
    out.extend(chosen.plans.iter().map(|c| c.plan.to_json()));
    out
}

#[test]
fn threads_change_nothing() {
    let on = |threads: usize| {
        ThreadPoolBuilder::new().num_threads(threads).build().unwrap().install(|| files(8_000))
    };
    let first = on(1);
    for threads in [2, 8] {
        assert!(on(threads) == first, "{threads} threads");
    }
}

#[test]
fn choices_differ_in_what_is_seen_and_pass_the_checker() {
    for (brief, nodes) in
        [("medium/ferry.toml", 60_000), ("easy/tides.toml", 20_000), ("easy/lantern.toml", 20_000)]
    {
        let job = job(brief, &[]);
        let found = choices(&job, 3, &options(nodes), &mut |_| {});
        assert!(!found.plans.is_empty() && found.plans.len() <= 3, "{brief}");
        assert_eq!(found.shortfall().is_some(), found.plans.len() < 3, "{brief}");
        assert!(found.plans.windows(2).all(|w| w[0].value() <= w[1].value()), "{brief}");
        let looks: BTreeSet<_> = found.plans.iter().map(|c| (c.layers.clone(), c.panels)).collect();
        assert_eq!(looks.len(), found.plans.len(), "{brief}: two look alike");
        for choice in &found.plans {
            assert_eq!(check(&job, &choice.plan), [], "{brief}");
        }
        let json: serde_json::Value = serde_json::from_str(&found.json()).unwrap();
        assert_eq!(json["plans"].as_array().map(Vec::len), Some(found.plans.len()));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 6, ..ProptestConfig::default() })]

    /// Whatever is measured anew: the plan passes, and what is said to stay has the same panels.
    #[test]
    fn what_stays_is_the_same(
        which in 0usize..4,
        shell in 30i64..70,
        less in (0i64..30, 0i64..30),
    ) {
        let first = job("easy/tides.toml", &[]);
        let old = plan(&first);
        let inside = first.container.interior;
        let room = format!(
            "[{}, {}, {}]",
            inside.w.to_mm_f64() - less.0 as f64 / 10.0,
            inside.d.to_mm_f64() - less.1 as f64 / 10.0,
            inside.h.to_mm_f64()
        );
        let volume = format!("{shell} ml");
        let changes: Vec<(&str, &str)> = match which {
            0 => vec![("box.interior", &room)],
            1 => vec![("part.shells.loose.volume", &volume)],
            2 => vec![("box.interior", &room), ("part.shells.loose.volume", &volume)],
            _ => vec![("box.lid_room", "0.5")],
        };
        let changes: Vec<_> = changes.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        if let Ok(new) = load(&folder().join("easy/tides.toml"), &changes) {
            let it = second(&new, &old, &[], &options(10_000), &mut |_| {}).unwrap();
            if it.outcome.plan.is_some() {
                made(&first, &old, &new, 10_000);
            }
        }
    }
}

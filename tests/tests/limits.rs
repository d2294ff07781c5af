//! Limits: no time at all, boxes of ten metres, bodies held where they cannot be.

use std::time::Duration;

use traywright::brief::Format;
use traywright::check::check;
use traywright::job;
use traywright::plan::{ClaimState, Options, solve};
use traywright::stop::Stop;
use traywright_tests::scenarios;

/// No nodes, no time, and neither: a plan, or "none found yet" with a bound; never "impossible" for a job that has a plan.
#[test]
fn without_a_budget_there_is_a_bound_and_a_plan_or_none_yet() {
    for (name, brief) in scenarios::briefs(&["easy", "medium"]) {
        let job = scenarios::job(&brief);
        let mut usual = Options::default();
        usual.nodes = 60_000;
        let has_plan = solve(&job, &usual, &mut |_| {}).plan.is_some();
        for (nodes, stop) in [
            (0, Stop::never()),
            (usual.nodes, Stop::within(Duration::ZERO)),
            (0, Stop::within(Duration::ZERO)),
        ] {
            let mut options = Options::default();
            (options.nodes, options.stop) = (nodes, stop);
            let outcome = solve(&job, &options, &mut |_| {});
            match &outcome.plan {
                Some(plan) => {
                    assert!(check(&job, plan).is_empty(), "{name}");
                    assert!(plan.objective_mm3.bound <= plan.objective_mm3.value, "{name}");
                }
                None => {
                    let told: Vec<String> = outcome.reasons.iter().map(|f| f.to_string()).collect();
                    assert!(!told.is_empty(), "{name}");
                    if has_plan {
                        assert_eq!(outcome.claim.state, ClaimState::NoneFound, "{name}: {told:?}");
                        assert!(told[0].contains("none found yet"), "{name}: {told:?}");
                        assert!(told[0].contains("wastes at least"), "{name}: {told:?}");
                        assert!(outcome.stats.iter().any(|(what, _)| what == "bound_ml"), "{name}");
                    }
                }
            }
        }
    }
}

/// A box of ten metres, with lifts counted together with waste and before it: sums and products stay in their numbers (a debug build
/// would panic); steps that are too fine for it are refused.
#[test]
fn boxes_of_ten_metres_do_not_overflow() {
    let brief = |more: &str| {
        format!(
            "title = \"shed\"\n[box]\ninterior = [10000, 10000, 10000]\n[stock]\nname = \"birch plywood\"\nthickness = 18\n\
             {more}\n[[kept]]\nname = \"crate\"\nsize = [900, 800, 700]\ncount = 2\nturn = \"any\"\n\
             [[cover]]\nname = \"sail\"\nsize = [9900, 9900, 10]\n\
             [[tray]]\nname = \"hold\"\nuse = \"always\"\n[[tray.part]]\nname = \"grain\"\nloose = {{ volume = \"900 l\" }}\n\
             [[tray.part]]\nname = \"casks\"\nsolid = {{ size = [300, 300, 400], count = 12, pile = true }}\n\
             [[tray]]\nname = \"deck\"\nuse = \"setup\"\ncount = 3\n[[tray.part]]\nname = \"planks\"\n\
             stack = {{ face = [3000, 300], count = 40, each = 25 }}\n"
        )
    };
    let read = |more: &str| job::read(&brief(more), "shed.toml", Format::Toml, None, &[]);
    for more in [
        "",
        "[search]\ngrid = \"2 mm\"",
        "[wishes]\naccess = { always = 100.0, setup = 0.0001, order = \"first\" }",
        "[wishes]\naccess = { always = 100.0, setup = 100.0, seldom = 100.0 }",
    ] {
        let job = read(more).unwrap_or_else(|findings| panic!("{more}: {findings:#?}"));
        let mut options = Options::default();
        options.nodes = 20_000;
        let outcome = solve(&job, &options, &mut |_| {});
        let plan = outcome.plan.unwrap_or_else(|| panic!("{more}: {:#?}", outcome.reasons));
        assert!(check(&job, &plan).is_empty(), "{more}");
        assert!(plan.objective_mm3.value.nm3() > 0 && plan.objective_mm3.bound <= plan.objective_mm3.value);
        assert!(!traywright::draw::summary(&job, &plan).is_empty());
    }
    for grid in ["0.1 mm", "0.01 mm", "0.00001 mm"] {
        let findings = read(&format!("[search]\ngrid = \"{grid}\"")).map(|_| ()).unwrap_err();
        assert!(findings.iter().any(|f| f.code == "J013"), "{grid}: {findings:#?}");
    }
}

const HEAD: &str =
    "[box]\ninterior = [200, 150, 80]\nlid_room = 0\n[stock]\nname = \"birch plywood\"\nthickness = 3\n";

fn tray(name: &str, held: &str) -> String {
    format!(
        "[[tray]]\nname = \"{name}\"\nheld = {held}\n[[tray.part]]\nname = \"{name} reeds\"\nsolid = {{ size = [30, 20, 10], count = 1 }}\n"
    )
}

#[track_caller]
fn contradicts(rest: &str, code: &str, names: &[&str]) {
    let brief = format!("{HEAD}{rest}");
    let findings =
        job::read(&brief, "held.toml", Format::Toml, None, &[]).map(|_| ()).expect_err("held so, it goes in");
    let told = findings.iter().find(|f| f.code == code).unwrap_or_else(|| panic!("{findings:#?}"));
    for name in names {
        assert!(told.cause.contains(name), "{name} is not named: {told}");
    }
    assert!(told.place.bytes.is_some(), "it points at no place: {told}");
}

#[test]
fn bodies_held_against_each_other_are_named() {
    let carton =
        "[[kept]]\nname = \"crew carton\"\nsize = [60, 50, 40]\nturn = \"none\"\nheld = { at = [0, 0, 0] }\n";
    let all = |parts: &[&str]| parts.concat();
    let (a, b) = (tray("masts", "{ at = [1, 1, 0] }"), tray("sails", "{ at = [3, 3, 0] }"));
    contradicts(&all(&[&a, &b]), "J016", &["masts", "sails"]);
    contradicts(&all(&[carton, &a]), "J016", &["masts", "crew carton"]);
    contradicts(&tray("masts", "{ at = [196, 1, 0] }"), "J015", &["masts"]);
    // Three bottoms above the floor are four layers.
    let (low, high) = (tray("masts", "{ at = [1, 1, 20] }"), tray("sails", "{ at = [100, 1, 40] }"));
    contradicts(&all(&["[layers]\nmost = 2\n", &low, &high]), "J015", &["masts", "sails", "3 layers"]);
    contradicts(
        &all(&["[layers]\nmost = 2\nheights = [\"40 mm\", \"open\"]\n", &low]),
        "J015",
        &["masts", "layer 1"],
    );
    contradicts(&all(&["[layers]\nmost = 2\n", &tray("masts", "{ layer = 3 }")]), "J015", &["layer 3"]);
    // What goes together is taken: beside each other, and a carton on top of the last layer.
    let brief = format!(
        "{HEAD}[layers]\nmost = 2\nheights = [\"20 mm\", \"open\"]\n{low}{}{}",
        tray("sails", "{ at = [100, 1, 0] }"),
        carton.replace("[0, 0, 0]", "[0, 90, 40]")
    );
    let read = job::read(&brief, "held.toml", Format::Toml, None, &[]);
    assert!(read.is_ok(), "{:#?}", read.err());
}

//! `plan --from`, `--corrections`, `differ` and `plan --choices`.

use std::fs;

use serde_json::Value;

use crate::room::{Room, Run, scenario, words};

/// A room with a first plan of the tide box in `first/`.
fn planned() -> Room {
    let room = Room::new();
    room.run(words!["plan", scenario("easy/tides.toml"), "--out", "first"]).ends(0);
    room
}

fn second(room: &Room, more: &[&str]) -> Run {
    let brief = scenario("easy/tides.toml");
    let mut words: Vec<std::ffi::OsString> =
        words!["plan", brief, "--from", "first/tides.plan.json"].to_vec();
    words.extend(more.iter().map(std::ffi::OsString::from));
    room.run(&words)
}

#[test]
fn a_second_version_without_changes_cuts_nothing() {
    let room = planned();
    let run = second(&room, &["--out", "second"]).ends(0);
    assert!(run.out.contains("Nothing: every tray stays where it is, and no panel is cut."), "{}", run.out);
    let plan =
        |dir: &str| -> Value { serde_json::from_str(&room.read(&format!("{dir}/tides.plan.json"))).unwrap() };
    assert_eq!(plan("first")["settled"]["trays"], plan("second")["settled"]["trays"]);
    let told: Value = serde_json::from_str(&room.read("second/tides.differences.json")).unwrap();
    assert_eq!((&told["cut"], &told["format"]), (&Value::from(0), &Value::from("traywright-differences")));
    room.run(words!["check", scenario("easy/tides.toml"), "second/tides.plan.json"]).ends(0);
}

#[test]
fn a_dry_fit_comes_with_differences_in_every_form() {
    let room = planned();
    let fit = scenario("shop/dry-fit.toml");
    let fit = fit.to_str().unwrap();
    let run = second(&room, &["--corrections", fit, "--out", "second"]).ends(0);
    assert!(run.out.contains("Cut again: ") && run.out.contains("\nWhy\n"), "{}", run.out);
    assert!(
        run.out.contains("With nothing kept") || run.out.contains("A plan with nothing kept"),
        "{}",
        run.out
    );
    for ending in ["html", "svg", "json"] {
        assert!(room.names("second").contains(&format!("tides.differences.{ending}")));
    }
    // The new plan answers the brief with its corrections, and without them it does not.
    let brief = scenario("easy/tides.toml");
    room.run(words!["check", brief, "second/tides.plan.json", "--corrections", fit]).ends(0);
    room.run(words!["check", brief, "second/tides.plan.json"]).ends(1);

    let told: Value = serde_json::from_str(&room.read("second/tides.differences.json")).unwrap();
    let panels: Vec<&Value> =
        told["trays"].as_array().unwrap().iter().flat_map(|t| t["panels"].as_array().unwrap()).collect();
    let cut = panels.iter().filter(|p| p["from"] == "cut").count();
    assert_eq!(told["cut"], cut);
    assert!(cut > 0 && cut < panels.len(), "{cut} of {}", panels.len());

    let words = words![
        "differ",
        brief,
        "first/tides.plan.json",
        "second/tides.plan.json",
        "--corrections",
        fit,
        "--json",
        "d.json",
        "--svg",
        "d.svg",
        "--html",
        "d.html"
    ];
    let differ = room.run(words).ends(0);
    assert_eq!(differ.err, "");
    assert!(run.out.contains(&differ.out), "{}\n{}", run.out, differ.out);
    assert_eq!(room.read("d.json"), room.read("second/tides.differences.json"));
    assert_eq!(room.read("d.svg"), room.read("second/tides.differences.svg"));
    assert!(room.read("d.html").contains("Panels to cut again"));
}

#[test]
fn corrections_may_be_named_in_the_brief() {
    let room = Room::new();
    let brief = fs::read_to_string(scenario("easy/tides.toml")).unwrap();
    room.write("tides.toml", &brief.replacen("[box]", "corrections = \"fit.toml\"\n\n[box]", 1));
    fs::copy(scenario("shop/dry-fit.toml"), room.path("fit.toml")).unwrap();
    let run = room.run(&["plan", "tides.toml", "--json"]).ends(0);
    let plan: Value = serde_json::from_str(&run.out).unwrap();
    assert!(
        plan["settled"]["trays"][0]["dividers"][0]["size"][2].to_string().starts_with("18"),
        "{}",
        run.out
    );
    room.write("fit.toml", "[[part]]\nname = \"tide card\"\nstack.height = 3\n");
    let run = room.run(&["plan", "tides.toml", "--short"]).ends(3);
    assert!(
        run.err.starts_with("fit.toml:1:") && run.err.contains("Did you mean \"tide cards\"?"),
        "{}",
        run.err
    );
}

#[test]
fn bad_input_ends_with_3_and_writes_nothing() {
    let room = planned();
    room.write("half.json", "{ \"format\": \"traywright-plan\"");
    room.write("twice.toml", "[[part]]\nname = \"shells\"\nloose.volume = \"50 ml\"\n[[part]]\nname = \"shells\"\nloose.volume = \"60 ml\"\n");
    room.write("unknown.toml", "[[tray]]\nname = \"shoer\"\ndivider_height = 10\n");
    room.write("broken.toml", "[box\n");
    let brief = scenario("easy/tides.toml");
    let plan =
        |from: &str| room.run(words!["plan", brief, "--from", from, "--out", "new", "--short"]).ends(3).err;
    assert!(plan("half.json").contains("P050"));
    assert!(plan("none.json").contains("cannot read"));
    room.run(words!["plan", scenario("medium/ferry.toml"), "--out", "other", "--nodes", "20000"]).ends(0);
    assert!(plan("other/ferry.plan.json").contains("P060"));
    for (file, code) in
        [("twice.toml", "B033"), ("unknown.toml", "B032"), ("broken.toml", "B004"), ("none.toml", "B001")]
    {
        let run = second(&room, &["--corrections", file, "--out", "new", "--short"]).ends(3);
        assert!(run.err.contains(code), "{file}: {}", run.err);
    }
    let run = second(&room, &["--hold", "shor", "--out", "new"]).ends(3);
    assert!(run.err.contains("P061") && run.err.contains("\"shore\""), "{}", run.err);
    for words in
        [&["--hold", "shore"][..], &["--choices", "1"], &["--choices", "13"], &["--choices", "3", "--json"]]
    {
        let mut all: Vec<std::ffi::OsString> = words!["plan", brief].to_vec();
        all.extend(words.iter().map(std::ffi::OsString::from));
        room.run(&all).ends(3);
    }
    assert!(room.names("new").is_empty());
    // Differences of plans that do not belong together.
    room.run(words!["differ", brief, "half.json", "first/tides.plan.json"]).ends(3);
    room.run(words!["differ", brief, "first/tides.plan.json", "none.json"]).ends(3);
}

#[test]
fn an_older_plan_is_never_overwritten() {
    let room = planned();
    let before = room.read("first/tides.plan.json");
    let run = second(&room, &["--out", "first"]).ends(3);
    assert!(run.err.contains("would be overwritten"), "{}", run.err);
    assert_eq!(room.read("first/tides.plan.json"), before);
    // Printed only, it overwrites nothing.
    second(&room, &["--json"]).ends(0);
}

#[test]
fn a_tray_that_must_stay_and_cannot_ends_with_2() {
    let room = planned();
    let run = second(&room, &["--hold", "shore", "--set", "part.shells.loose.volume=60 ml", "--out", "new"])
        .ends(2);
    assert!(run.err.contains("P062") && run.err.contains("shells"), "{}", run.err);
    // It is not the brief that is at fault.
    assert!(run.err.contains("without --hold there is a plan") && !run.err.contains("advise"), "{}", run.err);
    assert!(room.names("new").is_empty());
}

#[test]
fn another_state_of_the_brief_is_noted() {
    let room = Room::new();
    fs::copy(scenario("easy/tides.toml"), room.path("tides.toml")).unwrap();
    room.run(&["plan", "tides.toml", "--out", "first"]).ends(0);
    fs::rename(room.path("tides.toml"), room.path("then.toml")).unwrap();
    let brief = room.read("then.toml").replace("count = 72", "count = 74");
    room.write("tides.toml", &brief);
    let words = ["plan", "tides.toml", "--from", "first/tides.plan.json", "--out", "second", "--short"];
    let run = room.run(&words).ends(0);
    assert!(run.err.contains("P063"), "{}", run.err);
    let run = room.run(&[&words[..], &["--old-brief", "then.toml"]].concat()).ends(0);
    assert!(!run.err.contains("P063"), "{}", run.err);
}

#[test]
fn choices_stand_side_by_side_and_pass_the_checker() {
    let room = Room::new();
    let brief = scenario("medium/ferry.toml");
    let run = room.run(words!["plan", brief, "--choices", "3", "--nodes", "60000", "--out", "."]).ends(0);
    assert!(run.out.contains("1  The best plan") && run.out.contains("more than the best"), "{}", run.out);
    assert!(run.out.lines().all(|l| l.chars().count() <= 120), "{}", run.out);
    let told: Value = serde_json::from_str(&room.read("ferry.choices.json")).unwrap();
    let plans = told["plans"].as_array().unwrap();
    assert_eq!(plans.len(), 3, "{told}");
    for k in 2..=3 {
        let file = format!("ferry.choice-{k}.plan.json");
        room.run(words!["check", brief, file]).ends(0);
        let plan: Value = serde_json::from_str(&room.read(&file)).unwrap();
        assert_eq!(plan["objective_mm3"], plans[k - 1]["objective_mm3"]);
    }
    let page = room.read("ferry.choices.html");
    assert!(page.contains("What each costs") && page.contains("Plan 3, layer 1"));

    // A later run without choices takes the others away.
    room.run(words!["plan", brief, "--nodes", "6000", "--out", "."]).ends(0);
    assert!(room.names("").iter().all(|n| !n.contains("choice")), "{:?}", room.names(""));
}

#[test]
fn a_brief_with_little_choice_says_so() {
    let room = Room::new();
    let run = room.run(words![
        "plan",
        scenario("easy/tides.toml"),
        "--choices",
        "5",
        "--nodes",
        "20000",
        "--out",
        "."
    ]);
    let run = run.ends(0);
    assert!(run.out.contains("5 plans were asked for"), "{}", run.out);
}

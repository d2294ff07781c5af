//! `tolerance`.

use serde_json::Value;

use crate::room::{Room, scenario, words};

#[test]
fn how_sure_the_fit_is_is_told_in_words_csv_and_json() {
    let room = Room::new();
    let brief = scenario("medium/ferry.toml");
    room.run(words!["plan", brief, "--out", "out", "--nodes", "20000"]).ends(0);
    let report = |more: &[&str]| {
        let mut words =
            vec!["tolerance".into(), brief.clone().into_os_string(), "out/ferry.plan.json".into()];
        words.extend(["--csv", "out/t.csv", "--json", "out/t.json"].map(std::ffi::OsString::from));
        words.extend(more.iter().map(std::ffi::OsString::from));
        room.run(&words).ends(0).out
    };
    let text = report(&[]);
    for said in [
        "boxes made by chance",
        "The greatest risk: ",
        "to be 99.0 % sure in width and depth",
        "common practice, no source",
    ] {
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        assert!(flat.contains(&said.to_lowercase()), "{said} in\n{text}");
    }
    assert!(text.lines().all(|l| l.chars().count() <= 100), "{text}");
    assert_eq!(text, report(&[]), "the same seed says the same");
    // Rough cuts, so that some boxes do not go together and chance shows.
    let rough = ["--assume", "cutting=1 mm"];
    assert_ne!(report(&rough), report(&[&rough[..], &["--assume", "seed=2"]].concat()));
    report(&[]);
    let json: Value = serde_json::from_str(&room.read("out/t.json")).unwrap();
    let chains = json["chains"].as_array().unwrap();
    assert_eq!(room.read("out/t.csv").lines().count(), chains.len() + 1);
    let directions = ["width", "depth", "height"];
    assert!(directions.iter().all(|d| chains.iter().any(|c| c["direction"] == *d)), "{chains:?}");
    let chance = |json: &Value| json["chance"].as_f64().unwrap();
    assert!(chains.iter().all(|c| chance(&json) <= chance(c)));
    report(&["--assume", "cutting=2 mm"]);
    let worse: Value = serde_json::from_str(&room.read("out/t.json")).unwrap();
    assert!(chance(&worse) < chance(&json));
    let page = room.read("out/ferry.html");
    assert!(page.contains("How sure the fit is"), "the report has a section of it");
}

#[test]
fn what_cannot_be_assumed_or_does_not_keep_the_rules_is_refused() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    room.run(words!["plan", brief, "--out", "out"]).ends(0);
    let run = room.run(words![
        "tolerance",
        brief,
        "out/tides.plan.json",
        "--assume",
        "luck=1",
        "--assume",
        "cutting=red"
    ]);
    let run = run.ends(3);
    assert!(run.err.contains("luck") && run.err.contains("movement"), "{}", run.err);
    assert!(run.err.contains("--assume cutting=red"), "all faults at once: {}", run.err);
    room.run(words!["tolerance", brief, "out/none.plan.json"]).ends(3);
    let other = scenario("easy/lantern.toml");
    room.run(words!["tolerance", other, "out/tides.plan.json"]).ends(1);
}

use std::fs;

use crate::room::{Room, scenario, words};

const FILES: [&str; 4] = ["tides.exploded.svg", "tides.html", "tides.layer-1.svg", "tides.plan.json"];

#[test]
fn a_budget_below_nothing_is_told_as_such() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    for flag in ["--budget", "--nodes"] {
        let run = room.run(words!["plan", brief, flag, "-1"]);
        assert!(run.code != 0 && run.err.contains("`-1` is less than nothing"), "{}", run.err);
    }
}

#[test]
fn a_plan_comes_with_report_pictures_and_summary() {
    let room = Room::new();
    let run = room.run(words!["plan", scenario("easy/tides.toml"), "--out", "new/out"]).ends(0);
    assert!(run.out.starts_with("Tides of Oddlewick\n"), "{}", run.out);
    assert_eq!(run.err, "");
    assert_eq!(room.names("new/out"), FILES);
    assert!(room.read("new/out/tides.html").contains("tides.toml"));
}

#[test]
fn files_stand_beside_the_brief_unless_told_otherwise() {
    let room = Room::new();
    fs::copy(scenario("easy/tides.toml"), room.path("tides.toml")).unwrap();
    room.run(&["plan", "tides.toml"]).ends(0);
    assert_eq!(room.names(""), [&FILES[..], &["tides.toml"]].concat());
}

#[test]
fn pictures_of_an_older_plan_do_not_stay() {
    let room = Room::new();
    room.write("tides.layer-2.svg", "old");
    room.write("tides.layer-3.svg", "old");
    room.write("tides.html", "old");
    room.run(words!["plan", scenario("easy/tides.toml"), "--out", "."]).ends(0);
    assert_eq!(room.names(""), FILES);
    assert_ne!(room.read("tides.html"), "old");
}

#[test]
fn json_goes_to_stdout_alone() {
    let room = Room::new();
    let run = room.run(words!["plan", scenario("easy/tides.toml"), "--json"]).ends(0);
    let plan: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!(plan["format"], "traywright-plan");
    assert_eq!(plan["claim"]["state"], "proven");
    assert!(room.names("").is_empty());

    let both = room.run(words!["plan", scenario("easy/tides.toml"), "--json", "--out", "."]).ends(0);
    assert_eq!(both.out, run.out);
    assert_eq!(room.read("tides.plan.json"), run.out);
}

#[test]
fn the_same_seed_and_nodes_give_the_same_bytes_on_any_number_of_threads() {
    let room = Room::new();
    let plan = |threads: &str| {
        let brief = scenario("medium/ferry.toml");
        let words = words!["plan", brief, "--json", "--nodes", "50000", "--seed", "7", "--threads", threads];
        room.run(words).ends(0).out
    };
    let alone = plan("1");
    assert!(alone.contains("\"seed\": 7"));
    assert!(alone == plan("2") && alone == plan("5"), "threads change the plan");
}

#[test]
fn figures_of_the_search_go_to_a_file_of_their_own() {
    let room = Room::new();
    room.run(words!["plan", scenario("easy/tides.toml"), "--json", "--stats", "stats.json"]).ends(0);
    let stats: serde_json::Value = serde_json::from_str(&room.read("stats.json")).unwrap();
    let seconds: f64 = stats["seconds"].as_str().unwrap().parse().unwrap();
    assert!(seconds >= 0.0);
    assert!(stats["nodes"].is_string());
}

#[test]
fn a_claim_can_be_required() {
    let room = Room::new();
    let plan = |brief: &str, wanted: &str| {
        let words = words!["plan", scenario(brief), "--out", ".", "--nodes", "20000", "--require", wanted];
        room.run(words)
    };
    plan("easy/tides.toml", "proven").ends(0);
    plan("medium/ferry.toml", "100%").ends(0);
    let run = plan("medium/ferry.toml", "proven").ends(1);
    assert!(run.out.starts_with("Oddlewick crossing\n"), "the plan is there all the same");
    assert!(room.names("").contains(&"ferry.plan.json".to_owned()));
}

#[test]
fn keys_can_be_set() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    let run = room.run(words![
        "plan",
        brief,
        "--json",
        "--set",
        "title=Low tide",
        "--set",
        "stock.thickness=1.5 mm"
    ]);
    let plan: serde_json::Value = serde_json::from_str(&run.ends(0).out).unwrap();
    assert_eq!(plan["title"], "Low tide");
    assert_eq!(plan["settled"]["trays"][0]["wall"].to_string(), "1.5");

    let run = room.run(words!["plan", brief, "--set", "stock.thicknes=1.5 mm"]).ends(3);
    assert!(run.err.contains("did you mean") || run.err.contains("thickness"), "{}", run.err);
}

#[test]
fn no_plan_ends_with_2_and_reasons() {
    let room = Room::new();
    let run =
        room.run(words!["plan", scenario("easy/too-full.toml"), "--out", "out", "--nodes", "20000"]).ends(2);
    assert!(run.err.contains("[P00"), "{}", run.err);
    assert!(run.out.starts_with("no plan"), "{}", run.out);
    assert!(room.names("").is_empty(), "nothing is written");

    let run = room.run(words!["plan", scenario("easy/too-full.toml"), "--json", "--nodes", "20000"]).ends(2);
    let none: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert!(none["claim"]["state"].is_string());
    assert!(!none["reasons"].as_array().unwrap().is_empty());
}

#[test]
fn faults_of_the_brief_end_with_3_all_at_once_and_nothing_written() {
    let room = Room::new();
    let brief = "[box]\ninterior = [100, 100, -40]\n\n[stock]\nthicknes = 3\n";
    room.write("bad.toml", brief);
    let run = room.run(&["plan", "bad.toml", "--out", "out"]).ends(3);
    assert_eq!(run.out, "");
    for line in ["2 | interior = [100, 100, -40]", "5 | thicknes = 3"] {
        assert!(run.err.contains(line), "{line} is not shown in\n{}", run.err);
    }
    assert_eq!(room.names(""), ["bad.toml"]);

    let run = room.run(&["plan", "bad.toml", "--short"]).ends(3);
    let places: Vec<&str> = run.err.lines().filter_map(|l| l.split_once(": ").map(|(p, _)| p)).collect();
    assert!(places.contains(&"bad.toml:5:1"), "{}", run.err);
    assert!(places.iter().any(|p| p.starts_with("bad.toml:2:")), "{}", run.err);
    assert_eq!(places.len(), run.err.lines().count(), "one line each:\n{}", run.err);
}

#[test]
fn a_place_that_cannot_be_written_ends_with_3_and_leaves_nothing() {
    let room = Room::new();
    room.write("file", "");
    fs::create_dir(room.path("tides.html")).unwrap();
    for out in ["file", "."] {
        let run = room.run(words!["plan", scenario("easy/tides.toml"), "--out", out]).ends(3);
        assert!(run.err.starts_with("error: cannot "), "{}", run.err);
        assert_eq!(room.names(""), ["file", "tides.html"]);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_failure() {
    let room = Room::new();
    let mut command = room.command();
    command.args(words!["plan", scenario("easy/tides.toml"), "--json"]).stdout(std::process::Stdio::piped());
    let mut child = command.spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn the_placement_model_can_be_written_down() {
    let room = Room::new();
    room.run(words!["model", scenario("easy/tides.toml"), "--out", "tides.mps"]).ends(0);
    let model = room.read("tides.mps");
    for section in ["NAME", "ROWS", "COLUMNS", "RHS", "BOUNDS", "ENDATA"] {
        assert!(model.lines().any(|l| l.starts_with(section)), "no {section}");
    }
    room.run(words!["model", "none.toml", "--out", "none.mps"]).ends(3);
    assert_eq!(room.names(""), ["tides.mps"]);
}

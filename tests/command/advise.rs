use serde_json::Value;

use crate::room::{Room, scenario, words};

fn rows(json: &str) -> Vec<Value> {
    serde_json::from_str(json).unwrap()
}

/// The flags that a row writes, as words.
fn flags(set: &str) -> Vec<String> {
    let all = set.split("--set ").filter(|s| !s.is_empty());
    all.flat_map(|s| ["--set".to_owned(), s.trim().trim_matches('\'').to_owned()]).collect()
}

#[test]
fn every_change_that_is_told_gives_a_plan() {
    let room = Room::new();
    let brief = scenario("easy/too-low.toml");
    let run = room.run(words!["advise", &brief, "--csv", "out/low.csv"]).ends(0);
    assert!(run.out.starts_with("Low water: it does not fit, and that is proven"), "{}", run.out);
    assert!(run.out.contains("box higher: 46 mm (was 42 mm)"), "{}", run.out);
    assert!(run.out.contains("--set 'box.interior.height=46'"), "{}", run.out);
    assert!(run.out.lines().all(|l| l.chars().count() <= 140), "{}", run.out);

    let json = room.run(words!["advise", &brief, "--json"]).ends(0).out;
    let rows = rows(&json);
    assert_eq!(room.read("out/low.csv").lines().count(), rows.len() + 1);
    assert!(!rows.is_empty());
    for row in rows {
        let mut words = vec!["plan".to_owned(), brief.display().to_string(), "--json".to_owned()];
        words.extend(flags(row["set"].as_str().unwrap()));
        room.run(&words).ends(0);
    }
}

#[test]
fn advice_does_not_depend_on_threads() {
    let room = Room::new();
    let ask = |threads: &str| {
        let brief = scenario("easy/too-full.toml");
        room.run(words!["advise", brief, "--json", "--nodes", "3000", "--threads", threads]).ends(0).out
    };
    let alone = ask("1");
    assert_eq!(alone, ask("3"));
    let grow = |threads: &str| {
        let brief = scenario("medium/moored.toml");
        room.run(words!["grow", brief, "--json", "--nodes", "3000", "--threads", threads]).ends(0).out
    };
    assert_eq!(grow("1"), grow("3"));
}

#[test]
fn advice_ends_with_2_where_nothing_helps_and_3_where_the_brief_is_at_fault() {
    let room = Room::new();
    room.write(
        "hopeless.toml",
        "box = { interior = [60, 60, 20], clearance = 0.5 }\nstock = { name = \"greyboard\", thickness = 2 }\n\
         [[tray]]\nname = \"shore\"\npart = [{ name = \"shells\", loose.volume = \"4 l\" }]\n",
    );
    let run = room.run(&["advise", "hopeless.toml"]);
    // Less of it helps: there is always a box for a thimble.
    assert!(run.code == 0 && run.out.contains("less of it"), "{run:?}");
    room.write(
        "huge.toml",
        "box = { interior = [60, 60, 20], clearance = 0.5 }\nstock = { name = \"greyboard\", thickness = 2 }\n\
         kept = [{ name = \"anchor\", size = [300, 200, 100] }]\n\
         [[tray]]\nname = \"shore\"\npart = [{ name = \"oar\", solid.size = [500, 90, 80] }]\n",
    );
    let run = room.run(&["advise", "huge.toml", "--json"]).ends(2);
    assert_eq!(run.out, "[]\n");
    room.write("bad.toml", "[box]\ninterior = [100, 100, -40]\n");
    let run = room.run(&["advise", "bad.toml", "--csv", "bad.csv"]).ends(3);
    assert!(run.err.contains("[B"), "{}", run.err);
    room.run(&["advise", "none.toml"]).ends(3);
    room.write("file", "");
    room.run(words!["advise", scenario("easy/too-low.toml"), "--csv", "file/x.csv"]).ends(3);
}

#[test]
fn no_plan_points_to_advice() {
    let room = Room::new();
    let run = room.run(words!["plan", scenario("easy/too-low.toml"), "--out", "out"]).ends(2);
    assert!(run.err.contains("traywright advise"), "{}", run.err);
    let run = room.run(words!["grow", scenario("easy/too-low.toml")]).ends(2);
    assert!(run.err.contains("traywright advise"), "{}", run.err);
    assert_eq!(run.out, "");
}

#[test]
fn a_plan_grows_as_far_as_it_is_said_to() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    room.run(words!["plan", &brief, "--out", "out"]).ends(0);
    let run = room.run(words!["grow", &brief, "out/tides.plan.json", "--csv", "out/more.csv"]).ends(0);
    assert!(run.out.starts_with("Tides of Oddlewick: room to grow\n"), "{}", run.out);
    assert!(run.out.lines().all(|l| l.chars().count() <= 140), "{}", run.out);
    // Without a plan the same one is made.
    let json = room.run(words!["grow", &brief, "--json"]).ends(0).out;
    let rows = rows(&json);
    assert_eq!(room.read("out/more.csv").lines().count(), rows.len() + 1);
    assert_eq!(rows[0]["part"], "whole inventory");
    let parts: Vec<&str> = rows[1..].iter().map(|r| r["part"].as_str().unwrap()).collect();
    assert_eq!(parts, ["shells", "gulls", "tide discs", "tide cards"]);
    for row in rows.iter().filter(|r| r["more"].as_i64().unwrap() > 0) {
        let mut words = vec!["plan".to_owned(), brief.display().to_string(), "--json".to_owned()];
        words.extend(flags(row["set"].as_str().unwrap()));
        room.run(&words).ends(0);
    }
}

#[test]
fn plans_that_are_none_or_another_briefs_are_told() {
    let room = Room::new();
    room.run(words!["plan", scenario("easy/tides.toml"), "--out", "."]).ends(0);
    room.run(words!["grow", scenario("easy/lantern.toml"), "tides.plan.json"]).ends(1);
    room.write("half.plan.json", "{");
    room.run(words!["grow", scenario("easy/tides.toml"), "half.plan.json"]).ends(3);
    room.run(words!["grow", scenario("easy/tides.toml"), "none.plan.json"]).ends(3);
    room.run(words!["grow", "none.toml"]).ends(3);
}

use crate::room::{Room, scenario, words};

fn planned() -> Room {
    let room = Room::new();
    room.run(words!["plan", scenario("easy/tides.toml"), "--out", "."]).ends(0);
    room
}

#[test]
fn a_fresh_plan_holds() {
    let room = planned();
    let run = room.run(words!["check", scenario("easy/tides.toml"), "tides.plan.json"]).ends(0);
    assert_eq!(run.out, "tides.plan.json: every rule holds\n");
}

#[test]
fn a_plan_that_was_edited_ends_with_1() {
    let room = planned();
    let mut plan: serde_json::Value = serde_json::from_str(&room.read("tides.plan.json")).unwrap();
    plan["settled"]["trays"][0]["at"][0] = serde_json::json!(40);
    room.write("moved.plan.json", &plan.to_string());
    let run = room.run(words!["check", scenario("easy/tides.toml"), "moved.plan.json"]).ends(1);
    assert!(run.err.contains("fault[C"), "{}", run.err);
    assert_eq!(run.out, "");
}

#[test]
fn a_plan_of_another_brief_ends_with_1() {
    let room = planned();
    room.run(words!["check", scenario("easy/lantern.toml"), "tides.plan.json"]).ends(1);
    let set = words!["check", scenario("easy/tides.toml"), "tides.plan.json", "--set", "box.lid_room=1"];
    room.run(set).ends(1);
}

#[test]
fn a_file_that_is_no_plan_ends_with_3() {
    let room = planned();
    room.write("half.json", &room.read("tides.plan.json")[..500]);
    room.write("other.json", "{}");
    room.write("newer.json", &room.read("tides.plan.json").replacen("\"version\": 1", "\"version\": 2", 1));
    for (file, what) in
        [("half.json", "P050"), ("other.json", "P050"), ("newer.json", "P051"), ("none.json", "cannot read")]
    {
        let run = room.run(words!["check", scenario("easy/tides.toml"), file]).ends(3);
        assert!(run.err.contains(what), "{file}: {}", run.err);
    }
}

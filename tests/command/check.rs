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
    assert_eq!(run.out, "tides.plan.json: every rule holds; 12 panels on 1 sheet\n");
}

#[test]
fn a_plan_that_cannot_be_cut_is_told() {
    let room = Room::new();
    room.write(
        "mast.toml",
        "box.interior = [100, 80, 90]\nstock = { name = \"birch plywood\", thickness = 3, sheets = [[150, 60]] }\n\
         [[part]]\nname = \"mast\"\nsolid = { size = [55, 30, 75], turn = \"none\" }\n",
    );
    room.run(&["plan", "mast.toml"]).ends(0);
    let run = room.run(&["check", "mast.toml", "mast.plan.json"]).ends(1);
    assert_eq!(run.out, "mast.plan.json: every rule holds, but it cannot be cut\n");
    let cut = room.run(&["cut", "mast.toml", "mast.plan.json", "--out", "cut"]).ends(3);
    assert!(!run.err.is_empty() && run.err == cut.err, "{}\n{}", run.err, cut.err);
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

use crate::room::{Room, words};

#[test]
fn a_starter_brief_is_ready_to_plan() {
    let room = Room::new();
    room.run(&["start", "mine.toml"]).ends(0);
    assert!(room.read("mine.toml").starts_with('#'), "it begins with a remark");
    room.run(&["plan", "mine.toml"]).ends(0);
    assert!(room.names("").contains(&"mine.html".to_owned()));
}

#[test]
fn a_starter_spreadsheet_fits_a_brief() {
    let room = Room::new();
    room.run(&["start", "parts.csv"]).ends(0);
    let brief = "inventory = \"parts.csv\"\nbox.interior = [320, 240, 120]\n\
                 stock = { name = \"greyboard\", thickness = 2 }\n";
    room.write("brief.toml", brief);
    room.run(&["plan", "brief.toml", "--json", "--nodes", "20000"]).ends(0);
}

#[test]
fn nothing_is_overwritten() {
    let room = Room::new();
    for name in ["mine.toml", "mine.csv"] {
        room.write(name, "mine");
        let run = room.run(&["start", name]).ends(3);
        assert!(run.err.contains(name), "{}", run.err);
        assert_eq!(room.read(name), "mine");
    }
}

#[test]
fn other_endings_are_refused() {
    let room = Room::new();
    for name in ["mine", "mine.txt", "mine.toml/x.toml"] {
        room.run(words!["start", name]).ends(3);
    }
    assert!(room.names("").is_empty());
}

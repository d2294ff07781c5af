//! Input that no maker would write on purpose: refused or handled, never a panic and never a hang.

use std::fmt::Write as _;
use std::fs;

use crate::room::{Room, words};

const HEAD: &str = "box.interior = [300, 200, 90]\nstock = { name = \"greyboard\", thickness = 2 }\n";

#[track_caller]
fn refused(room: &Room, file: &str) {
    let run = room.run(words!["plan", file, "--out", "out", "--nodes", "20000"]).ends(3);
    assert_eq!(run.out, "");
    assert!(run.err.len() < 2_000_000, "{} bytes of findings", run.err.len());
    assert!(room.names("out").is_empty());
}

#[test]
fn files_that_are_no_briefs() {
    let room = Room::new();
    fs::create_dir(room.path("dir.toml")).unwrap();
    room.write("empty.toml", "");
    fs::write(room.path("bytes.toml"), [0xff, 0xfe, 0x00, 0x80]).unwrap();
    room.write("long.toml", &format!("title = \"{}\"\n", "x".repeat(3_000_000)));
    room.write("brackets.json", &"[".repeat(1_000_000));
    room.write("brackets.toml", &format!("title = {}", "[".repeat(1_000_000)));
    fs::File::create(room.path("huge.toml")).unwrap().set_len(50_000_000).unwrap();
    for file in [
        "none.toml",
        "dir.toml",
        "empty.toml",
        "bytes.toml",
        "long.toml",
        "brackets.json",
        "brackets.toml",
        "huge.toml",
    ] {
        refused(&room, file);
    }
}

#[test]
fn ten_thousand_parts() {
    let room = Room::new();
    let mut brief = HEAD.to_owned();
    for i in 0..10_000 {
        write!(brief, "[[part]]\nname = \"part {i}\"\nloose = {{ volume = \"3 ml\" }}\n").unwrap();
    }
    room.write("many.toml", &brief);
    refused(&room, "many.toml");
}

#[test]
fn trays_in_trays_in_trays() {
    let room = Room::new();
    let mut brief = format!("{HEAD}[[tray]]\nname = \"outer\"\n");
    let mut path = "tray.part".to_owned();
    for i in 0..100 {
        write!(brief, "[[{path}]]\nname = \"nest {i}\"\n[{path}.tray]\n").unwrap();
        path += ".tray.part";
    }
    write!(brief, "[[{path}]]\nname = \"salt\"\nloose = {{ volume = \"3 ml\" }}\n").unwrap();
    room.write("deep.toml", &brief);
    refused(&room, "deep.toml");
}

#[test]
fn parts_larger_than_the_box() {
    let room = Room::new();
    for (name, part) in [
        ("solid.toml", "solid = { size = [400, 20, 20] }"),
        ("loose.toml", "loose = { volume = \"900 l\" }"),
        ("stack.toml", "stack = { face = [500, 500], height = 500 }"),
    ] {
        room.write(name, &format!("{HEAD}[[tray]]\nname = \"t\"\n[[tray.part]]\nname = \"p\"\n{part}\n"));
        let run = room.run(words!["plan", name, "--out", "out", "--nodes", "20000"]);
        assert!(run.code == 2 || run.code == 3, "{name}: {run:?}");
        assert!(!run.err.contains("panicked"), "{}", run.err);
        assert!(room.names("out").is_empty());
    }
}

#[test]
fn a_brief_about_nothing() {
    let room = Room::new();
    room.write("nothing.toml", HEAD);
    let run = room.run(&["plan", "nothing.toml", "--out", "out"]);
    assert!((0..=3).contains(&run.code) && !run.err.contains("panicked"), "{run:?}");
}

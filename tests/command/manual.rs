//! Help, version, schema, completions and man pages.

use crate::room::{Room, root};

const COMMANDS: [&str; 17] = [
    "start",
    "plan",
    "check",
    "cut",
    "differ",
    "coupon",
    "schema",
    "tolerance",
    "quote",
    "advise",
    "grow",
    "compare",
    "batch",
    "join",
    "model",
    "completions",
    "man",
];

#[test]
fn help_and_version_end_with_0_and_wrong_words_with_3() {
    let room = Room::new();
    let version = room.run(&["--version"]).ends(0);
    assert_eq!(version.out, format!("traywright {}\n", env!("CARGO_PKG_VERSION")));
    for words in [&["--help"][..], &["help", "plan"], &["plan", "--help"]] {
        let run = room.run(words).ends(0);
        assert!(run.out.contains("Usage: traywright"), "{}", run.out);
    }
    for words in [
        &[][..],
        &["plann"],
        &["plan"],
        &["plan", "a.toml", "--nodes", "many"],
        &["plan", "a.toml", "--budget", "-1s"],
        &["plan", "a.toml", "--require", "best"],
        &["plan", "a.toml", "--set", "unit"],
        &["plan", "a.toml", "--threads", "0"],
    ] {
        let run = room.run(words).ends(3);
        assert_eq!(run.out, "");
        assert!(!run.err.is_empty());
    }
}

#[test]
fn exit_codes_are_told_in_help_and_manual() {
    let room = Room::new();
    let help = room.run(&["--help"]).ends(0).out;
    let manual = std::fs::read_to_string(root().join("docs/exit-codes.md")).unwrap();
    for code in 0..=3 {
        assert!(help.contains(&format!("\n  {code}  ")), "{help}");
        assert!(manual.contains(&format!("\n| {code} | ")), "{manual}");
    }
}

#[test]
fn every_command_is_in_help_completions_and_man_pages() {
    let room = Room::new();
    let help = room.run(&["--help"]).ends(0).out;
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let text = room.run(&["completions", shell]).ends(0).out;
        for command in COMMANDS {
            assert!(text.contains(command), "{command} is missing for {shell}");
        }
    }
    room.run(&["man", "pages"]).ends(0);
    let mut pages = vec!["traywright.1".to_owned()];
    for command in COMMANDS {
        assert!(help.contains(&format!("\n  {command}  ")), "{command} is missing in\n{help}");
        pages.push(format!("traywright-{command}.1"));
    }
    pages.sort();
    let mut written = room.names("pages");
    written.retain(|name| name != "traywright-help.1");
    assert_eq!(written, pages);
    assert!(room.read("pages/traywright.1").contains("Exit codes"));
    assert!(room.read("pages/traywright-plan.1").contains("budget"));
}

#[test]
fn the_schema_is_json() {
    let room = Room::new();
    let schema: serde_json::Value = serde_json::from_str(&room.run(&["schema"]).ends(0).out).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    assert!(schema["properties"]["box"].is_object());
}

//! Every command in the README does what the README says.

use std::path::Path;
use std::process::Command;

use crate::room::{Room, root};

/// Commands that build or test everything; what they promise is what runs this test.
const WHOLE: &str = "cargo test --workspace";
/// How the README starts the program without installing it.
const CARGO_RUN: &str = "cargo run --release -p traywright-cli -- ";

/// A fenced block: the word after the fence, and its lines.
struct Block {
    kind: String,
    text: String,
}

fn blocks(text: &str) -> Vec<Block> {
    let mut blocks = Vec::new();
    let mut open: Option<Block> = None;
    for line in text.lines() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(kind), None) => open = Some(Block { kind: kind.trim().to_owned(), text: String::new() }),
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (None, Some(block)) => block.text += &format!("{line}\n"),
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    blocks
}

/// Runs one line of a shell block in a copy of the scenarios; the output, and whether there was one.
fn run(line: &str, room: &Room) -> Option<String> {
    let words = line.strip_prefix(CARGO_RUN).or_else(|| line.strip_prefix("traywright "));
    let Some(words) = words else {
        assert_eq!(line, WHOLE, "a command that this test cannot run");
        return None;
    };
    let done = Command::new("sh")
        .args(["-c", &format!("\"$0\" {words}"), env!("CARGO_BIN_EXE_traywright")])
        .current_dir(room.path(""))
        .output()
        .unwrap();
    let text = String::from_utf8(done.stdout).unwrap();
    assert!(done.status.success(), "{line}\n{text}{}", String::from_utf8_lossy(&done.stderr));
    Some(text)
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target)
        } else {
            drop(std::fs::copy(entry.path(), target))
        }
    }
}

/// Runs all `sh` blocks of a page in order; a `text` block right after one is what it prints, a `toml` block is a
/// brief with a plan, a picture is one that a command of the page drew. `UPDATE_README=1` rewrites outputs and
/// pictures instead of holding the page against them.
fn holds(page: &str) {
    let update = std::env::var_os("UPDATE_README").is_some();
    let room = Room::new();
    copy(&root().join("scenarios"), &room.path("scenarios"));
    let text = std::fs::read_to_string(root().join(page)).unwrap();
    let (mut printed, mut commands, mut updated) = (String::new(), 0, text.clone());
    for block in blocks(&text) {
        match block.kind.as_str() {
            "sh" => {
                printed.clear();
                for line in block.text.lines().filter(|l| !l.trim().is_empty() && !l.starts_with('#')) {
                    printed += &run(line, &room).unwrap_or_default();
                    commands += 1;
                }
            }
            "text" if update => {
                let (old, new) = (format!("```text\n{}```", block.text), format!("```text\n{printed}```"));
                updated = updated.replacen(&old, &new, 1);
            }
            "text" => assert_eq!(printed, block.text, "{page} shows another output"),
            "toml" => {
                room.write("page.toml", &block.text);
                room.run(&["plan", "page.toml"]).ends(0);
            }
            _ => {}
        }
    }
    assert!(commands > 0, "no command in {page}");
    if update {
        std::fs::write(root().join(page), updated).unwrap();
    }
    for link in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
        let target = root().join(page).parent().unwrap().join(link.split('#').next().unwrap_or(""));
        if link.ends_with(".svg") {
            let drawn = room.path("out").join(target.file_name().unwrap());
            if update {
                std::fs::copy(&drawn, &target).unwrap();
            }
            let same = std::fs::read(&drawn).unwrap() == std::fs::read(&target).unwrap();
            assert!(same, "{link} is not what the commands of {page} draw");
        } else {
            assert!(
                link.starts_with("http") || target.exists(),
                "{page} points to {link}, which is not there"
            );
        }
    }
}

#[test]
fn the_readme_holds() {
    holds("README.md");
}

#[test]
fn the_manual_holds() {
    for page in
        ["docs/shop.md", "docs/exit-codes.md", "docs/brief.md", "docs/cutting.md", "docs/second-version.md"]
    {
        holds(page);
    }
}

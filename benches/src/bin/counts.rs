//! Instructions of three fixed jobs, for comparison between commits where clocks are too noisy: `counts [FOLDER]`.
//!
//! Counted by callgrind (valgrind, <https://valgrind.org>, from the system's packages), with one thread and a node
//! budget, so that two runs of one build differ by a few thousandths of a percent at most. Build the command first
//! (`cargo build --release -p traywright-cli`); a folder given is where the plan for cutting goes.

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};

use traywright_tests::scenarios;

fn main() -> ExitCode {
    let Some(command) = traywright_benches::command() else {
        eprintln!("build it first: cargo build --release -p traywright-cli");
        return ExitCode::from(3);
    };
    let temporary = std::env::temp_dir().join(format!("traywright-counts-{}", std::process::id()));
    let out = std::env::args().nth(1).map_or_else(|| temporary.clone(), PathBuf::from);
    let briefs = scenarios::briefs(&["easy", "medium"]);
    let find = |name: &str| briefs.iter().find(|(n, _)| n.ends_with(name)).map(|(_, path)| path.clone());
    let (Some(easy), Some(usual)) = (find("lantern"), find("ferry")) else {
        eprintln!("the scenarios easy/lantern and medium/ferry are not there");
        return ExitCode::from(3);
    };
    let made = out.join("usual");
    let plan = made.join("ferry.plan.json");
    let jobs: [(&str, Vec<PathBuf>); 3] = [
        ("plan easy/lantern, 20 000 nodes", words(&easy, "plan", 20_000, &out.join("easy"))),
        ("plan medium/ferry, 50 000 nodes", words(&usual, "plan", 50_000, &made)),
        ("cut medium/ferry", vec!["cut".into(), usual.clone(), plan, "--out".into(), out.join("cut")]),
    ];
    println!("{:34} {:>16}", "job", "instructions");
    for (name, words) in jobs {
        match count(&command, &words) {
            Ok(n) => println!("{name:34} {n:>16}"),
            Err(why) => {
                println!("{name:34} {:>16}", "not counted");
                eprintln!("{why}");
                return ExitCode::FAILURE;
            }
        }
    }
    // What cannot be removed is left for the system to clear.
    let _ = std::fs::remove_dir_all(&temporary);
    ExitCode::SUCCESS
}

fn words(brief: &Path, verb: &str, nodes: u64, out: &Path) -> Vec<PathBuf> {
    let nodes = nodes.to_string();
    vec![verb.into(), brief.into(), "--nodes".into(), nodes.into(), "--out".into(), out.into()]
}

/// Instructions that the command takes.
fn count(command: &Path, words: &[PathBuf]) -> Result<u64, String> {
    let done = Command::new("valgrind")
        .args(["--tool=callgrind", "--callgrind-out-file=/dev/null"])
        .arg(command)
        .args(words)
        .env("RAYON_NUM_THREADS", "1")
        .output()
        .map_err(|e| format!("valgrind: {e}; install it from the system's packages"))?;
    let text = String::from_utf8_lossy(&done.stderr);
    let collected = text.lines().find_map(|l| l.split_once("Collected : ")).map(|(_, n)| n.trim());
    match collected.and_then(|n| n.parse().ok()) {
        Some(n) if done.status.success() => Ok(n),
        _ => Err(text.lines().rev().take(4).collect::<Vec<_>>().join("; ")),
    }
}

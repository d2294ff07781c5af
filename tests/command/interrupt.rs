//! Ctrl-C, on a terminal of its own (`script`, which every Debian has).
#![cfg(target_os = "linux")]

use std::io::{Read, Write};
use std::process::{Command, Stdio};

use crate::room::{Room, scenario};

#[test]
fn ctrl_c_ends_the_search_and_writes_the_best_plan_so_far() {
    let room = Room::new();
    // A shell that stays between would end by the signal itself, whatever the program does.
    let line = format!(
        "exec {} plan {} --out out --nodes 1000000000000 --budget 10m",
        env!("CARGO_BIN_EXE_traywright"),
        scenario("medium/ferry.toml").display()
    );
    let mut child = Command::new("script")
        .args(["-q", "-e", "-c", &line, "/dev/null"])
        .current_dir(room.path(""))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let (mut keys, mut screen) = (child.stdin.take().unwrap(), child.stdout.take().unwrap());
    let (mut shown, mut buffer, mut pressed) = (String::new(), [0; 4096], false);
    while let Ok(n @ 1..) = screen.read(&mut buffer) {
        shown += &String::from_utf8_lossy(&buffer[..n]);
        if !pressed && shown.contains("best so far") {
            keys.write_all(b"\x03").unwrap();
            keys.flush().unwrap();
            pressed = true;
        }
    }
    assert!(pressed, "no progress was shown:\n{shown}");
    assert_eq!(child.wait().unwrap().code(), Some(0), "{shown}");
    assert!(room.names("out").contains(&"ferry.plan.json".to_owned()), "{shown}");
    assert!(shown.contains("Oddlewick crossing"), "the summary is printed:\n{shown}");
}

/// Sends SIGINT to a process.
fn interrupt(child: &std::process::Child) {
    // A builtin of every shell; it fails where the process has ended, which is as good.
    let line = format!("kill -INT {}", child.id());
    Command::new("sh").args(["-c", &line]).stderr(Stdio::null()).status().unwrap();
}

/// Everything in a folder by name.
fn contents(room: &Room, dir: &str) -> Vec<(String, String)> {
    room.names(dir).into_iter().map(|n| (room.read(&format!("{dir}/{n}")), n)).map(|(t, n)| (n, t)).collect()
}

/// Runs a command again and again, interrupts it at moments spread over the time that it takes, some seldom ones in a row, and
/// hands the folder to `look` with the exit code.
fn at_many_moments(room: &Room, words: &[std::ffi::OsString], times: u32, look: &dyn Fn(&str, i32)) {
    let watch = traywright::stop::Watch::start();
    room.run(&[words, &["whole".into()]].concat());
    let whole = watch.elapsed();
    for moment in 0..times {
        let dir = format!("out-{moment}");
        let mut child =
            room.command().args(words).arg(&dir).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        // The last moments, when files are written, are looked at more closely.
        let part = f64::from(moment) / f64::from(times);
        std::thread::sleep(whole.mul_f64(1.1 * part.powf(0.5)));
        interrupt(&child);
        let code = child.wait().unwrap().code().unwrap_or(-2);
        let names = room.names(&dir);
        assert!(names.iter().all(|n| !n.starts_with('.')), "half written, {names:?}");
        look(&dir, code);
    }
}

#[test]
fn interrupted_at_any_moment_a_plan_is_whole_or_not_there() {
    let room = Room::new();
    let brief = scenario("medium/ferry.toml");
    let words = crate::room::words!["plan", brief, "--nodes", "6000", "--out"].to_vec();
    at_many_moments(&room, &words, 12, &|dir, code| {
        let names = room.names(dir);
        // Before it listens it ends by the signal itself.
        assert!([0, 2, 130, -2].contains(&code), "{code} {names:?}");
        if names.is_empty() {
            assert_ne!(code, 0);
            return;
        }
        let plan = format!("{dir}/ferry.plan.json");
        room.run(crate::room::words!["check", brief, plan]).ends(0);
        for name in names.iter().filter(|n| n.ends_with("html") || n.ends_with("svg")) {
            let text = room.read(&format!("{dir}/{name}"));
            assert!(text.trim_end().ends_with("</html>") || text.trim_end().ends_with("</svg>"), "{name}");
        }
        assert!(names.iter().any(|n| n == "ferry.html") && names.iter().any(|n| n == "ferry.exploded.svg"));
    });
}

#[test]
fn interrupted_at_any_moment_cut_files_are_all_there_or_none() {
    let room = Room::new();
    let brief = scenario("easy/lantern.toml");
    room.run(crate::room::words!["plan", brief, "--out", ".", "--nodes", "20000"]).ends(0);
    let words = crate::room::words!["cut", brief, "lantern.plan.json", "--out"].to_vec();
    at_many_moments(&room, &words, 16, &|dir, code| {
        assert!([0, 130, -2].contains(&code), "{code}");
        let files = contents(&room, dir);
        assert!(files.is_empty() || files == contents(&room, "whole"), "{:?}", room.names(dir));
        assert!(code != 0 || !files.is_empty());
    });
}

#[test]
fn interrupted_at_any_moment_a_batch_goes_on_where_it_was() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    let list: String = (0..12).map(|i| format!("job-{i},{}\n", brief.display())).collect();
    room.write("jobs.csv", &format!("id,brief\n{list}"));
    let words =
        crate::room::words!["batch", "jobs.csv", "--nodes", "1500", "--threads", "2", "--out"].to_vec();
    at_many_moments(&room, &words, 8, &|dir, code| {
        let names = room.names(dir);
        assert!([0, 2, 3, 130, -2].contains(&code), "{code} {names:?}");
        for name in names.iter().filter(|n| n.ends_with(".plan.json")) {
            room.run(crate::room::words!["check", brief, format!("{dir}/{name}")]).ends(0);
        }
        let journal = names.iter().any(|n| n == "journal.jsonl");
        assert!(!journal || room.read(&format!("{dir}/journal.jsonl")).ends_with('\n'));
        let again: &[std::ffi::OsString] = if journal { &["--resume".into()] } else { &[] };
        room.run(&[&words[..], &[dir.into()], again].concat()).ends(0);
        assert_eq!(room.read(&format!("{dir}/results.csv")), room.read("whole/results.csv"));
    });
}

//! Disks that are full or cannot be written, for every command that writes: told, and nothing half done.
#![cfg(target_os = "linux")]

use std::ffi::OsString;
use std::fs;
use std::process::{Command, Stdio};

use crate::room::{Room, Run, scenario, words};

/// A room with a plan, and every command that writes files, each writing into `DIR`.
fn commands(room: &Room) -> Vec<(&'static str, Vec<OsString>)> {
    let (brief, shop) = (scenario("easy/tides.toml"), scenario("shop"));
    room.run(words!["plan", brief, "--out", "given", "--nodes", "20000"]).ends(0);
    room.write("few.csv", &format!("id,brief\none,{}\n", brief.display()));
    let plan = "given/tides.plan.json";
    let rates = shop.join("rates.toml");
    let list = shop.join("stocks.csv");
    vec![
        (
            "plan",
            words!["plan", brief, "--nodes", "20000", "--out", "DIR", "--stats", "DIR/stats.json"].to_vec(),
        ),
        ("cut", words!["cut", brief, plan, "--out", "DIR"].to_vec()),
        (
            "quote",
            words!["quote", brief, plan, "--rates", rates, "--out", "DIR", "--json", "DIR/q.json"].to_vec(),
        ),
        (
            "compare",
            words![
                "compare",
                brief,
                "--stock",
                list,
                "--nodes",
                "500",
                "--html",
                "DIR/c.html",
                "--csv",
                "DIR/c.csv",
                "--json",
                "DIR/c.json"
            ]
            .to_vec(),
        ),
        ("coupon", words!["coupon", brief, "--out", "DIR"].to_vec()),
        ("model", words!["model", brief, "--out", "DIR/m.mps"].to_vec()),
        ("start", words!["start", "DIR/s.toml"].to_vec()),
        ("batch", words!["batch", "few.csv", "--nodes", "2000", "--out", "DIR"].to_vec()),
    ]
}

/// The words with another folder for `DIR`.
fn into(words: &[OsString], dir: &str) -> Vec<OsString> {
    words.iter().map(|w| OsString::from(w.to_string_lossy().replace("DIR", dir))).collect()
}

/// Runs with no file larger than so many KiB, which stands for a disk that is full; the signal is ignored, so that writing
/// fails as it does there.
fn limited(room: &Room, kib: u64, words: &[OsString]) -> Run {
    let mut command = Command::new("bash");
    command.args(["-c", &format!("trap '' XFSZ; ulimit -f {kib}; exec \"$0\" \"$@\"")]);
    command.arg(env!("CARGO_BIN_EXE_traywright")).args(words);
    Run::from(command.current_dir(room.path("")).stdin(Stdio::null()).output().unwrap())
}

#[test]
fn a_full_disk_leaves_what_was_there() {
    let room = Room::new();
    for (name, words) in commands(&room) {
        let whole = format!("whole-{name}");
        fs::create_dir_all(room.path(&whole)).unwrap();
        room.run(&into(&words, &whole)).ends(0);
        let largest =
            room.names(&whole).iter().map(|n| room.read(&format!("{whole}/{n}")).len()).max().unwrap();
        let mut failed = 0;
        for kib in [0, 1, 2, 4, 8, 16, 32, 64] {
            if kib * 1024 >= largest as u64 {
                break;
            }
            let dir = format!("{name}-{kib}");
            fs::create_dir_all(room.path(&dir)).unwrap();
            if name != "start" && name != "model" {
                room.write(&format!("{dir}/tides.html"), "old");
                room.write(&format!("{dir}/tides.cut.csv"), "old");
                room.write(&format!("{dir}/c.csv"), "old");
            }
            let before = room.names(&dir);
            let run = limited(&room, kib, &into(&words, &dir)).ends(3);
            assert!(run.err.contains("cannot write"), "{name} with {kib} KiB: {}", run.err);
            failed += 1;
            if name == "batch" {
                // Its journal says what is finished; nothing else of this run is there, and nothing hidden.
                let names = room.names(&dir);
                assert!(names.iter().all(|n| !n.starts_with('.') && !n.starts_with("one.")), "{names:?}");
                continue;
            }
            assert_eq!(room.names(&dir), before, "{name} with {kib} KiB");
            assert!(
                before.iter().all(|n| room.read(&format!("{dir}/{n}")) == "old"),
                "{name} with {kib} KiB"
            );
        }
        assert!(failed > 0, "{name} was never short of room");
    }
}

/// A folder in which not even root can make a file.
#[test]
fn a_disk_that_cannot_be_written_is_told() {
    let room = Room::new();
    for (name, words) in commands(&room) {
        let run = room.run(&into(&words, "/proc/traywright")).ends(3);
        assert!(run.err.contains("cannot "), "{name}: {}", run.err);
        // A file where a folder should be.
        let run = room.run(&into(&words, "few.csv/x")).ends(3);
        assert!(run.err.contains("cannot "), "{name}: {}", run.err);
        assert_eq!(room.read("few.csv").lines().count(), 2);
    }
}

/// Results that cannot be printed are told, not lost without a word.
#[test]
fn a_full_stdout_is_told() {
    let room = Room::new();
    for (name, words) in commands(&room).into_iter().filter(|(name, _)| *name != "start" && *name != "model")
    {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let done = room.command().args(into(&words, "out")).stdout(full).output().unwrap();
        let run = Run::from(done).ends(3);
        assert!(run.err.contains("No space left"), "{name}: {}", run.err);
    }
}

/// The largest brief that is read, with little memory and a second to spend: ends in an orderly way.
#[test]
fn the_largest_brief_within_a_limit_of_memory() {
    let room = Room::new();
    let mut brief = String::from(
        "box.interior = [3000, 2000, 600]\nstock = { name = \"greyboard\", thickness = 2 }\nlayers.most = 6\n",
    );
    for t in 0..200 {
        brief += &format!("[[tray]]\nname = \"tray {t}\"\nuse = \"setup\"\n");
        for p in 0..10 {
            brief += &format!(
                "[[tray.part]]\nname = \"part {t}.{p}\"\nsolid = {{ size = [{}, {}, {}], count = 2 }}\n",
                10 + (t * 7 + p) % 23,
                12 + (t + p * 5) % 19,
                8 + (t * 3 + p) % 13
            );
        }
    }
    room.write("large.toml", &brief);
    let mut command = Command::new("bash");
    // Address space, of which a program takes more than it uses.
    command.args(["-c", "ulimit -v 3000000; exec \"$0\" \"$@\""]).arg(env!("CARGO_BIN_EXE_traywright"));
    command.args(["plan", "large.toml", "--budget", "1s", "--threads", "2", "--out", "out"]);
    let run = Run::from(command.current_dir(room.path("")).stdin(Stdio::null()).output().unwrap());
    assert!(run.code == 0 || run.code == 2, "{run:?}");
    assert!(!run.err.contains("panicked") && !run.err.contains("allocation"), "{}", run.err);
}

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

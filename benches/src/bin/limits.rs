//! Limits kept: every scenario with a second to spend, its whole run by the clock and its peak memory:
//! `limits [RUNS] [SECONDS]`; build the command first (`cargo build --release -p traywright-cli`).
//!
//! The exit code is 1 where the median of a scenario is more than a fifth of the time over, or memory above 300 MB.

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};

use traywright::stop::Watch;
use traywright_tests::scenarios;

/// What a run may take beyond its budget, in parts of it.
const OVER: f64 = 0.2;
/// Peak memory that a run may take, MB.
const MOST_MB: f64 = 300.0;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1).map(|w| w.parse::<f64>());
    let (Ok(runs), Ok(seconds)) = (words.next().unwrap_or(Ok(5.0)), words.next().unwrap_or(Ok(1.0))) else {
        eprintln!("limits [RUNS] [SECONDS]");
        return ExitCode::from(3);
    };
    let Some(command) = traywright_benches::command() else {
        eprintln!("build it first: cargo build --release -p traywright-cli");
        return ExitCode::from(3);
    };
    let out = std::env::temp_dir().join(format!("traywright-limits-{}", std::process::id()));
    let mut over = 0;
    println!("{:22} {:>9} {:>9} {:>9} {:>8}", "scenario", "median s", "least s", "most s", "peak MB");
    for (name, brief) in scenarios::briefs(&["easy", "medium", "hard"]) {
        let mut times: Vec<f64> = Vec::new();
        let mut memory: f64 = 0.0;
        for _ in 0..(runs as usize).max(1) {
            let Some((time, mb)) = run(&command, &brief, seconds, &out) else {
                eprintln!("{name}: it cannot be run");
                return ExitCode::from(3);
            };
            times.push(time);
            memory = memory.max(mb);
        }
        times.sort_by(f64::total_cmp);
        let median = times[times.len() / 2];
        let late = median > seconds * (1.0 + OVER) || memory > MOST_MB;
        over += usize::from(late);
        println!(
            "{name:22} {median:>9.3} {:>9.3} {:>9.3} {memory:>8.1}{}",
            times.first().unwrap_or(&0.0),
            times.last().unwrap_or(&0.0),
            if late { "  OVER" } else { "" }
        );
    }
    // What cannot be removed is left for the system to clear.
    let _ = std::fs::remove_dir_all(&out);
    ExitCode::from(u8::from(over > 0))
}

/// Seconds of one run of the command, and its peak memory in MB where the system tells it.
fn run(command: &Path, brief: &PathBuf, seconds: f64, out: &Path) -> Option<(f64, f64)> {
    let watch = Watch::start();
    let mut child = Command::new(command)
        .arg("plan")
        .arg(brief)
        .args(["--budget", &format!("{seconds}s"), "--out"])
        .arg(out)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .ok()?;
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0.0;
    loop {
        if child.try_wait().ok()?.is_some() {
            return Some((watch.elapsed().as_secs_f64(), peak));
        }
        // The high-water mark, as long as the process is there to be asked.
        let text = std::fs::read_to_string(&status).unwrap_or_default();
        let mark = text
            .lines()
            .find_map(|l| l.strip_prefix("VmHWM:")?.trim().strip_suffix("kB")?.trim().parse().ok());
        peak = mark.map_or(peak, |kb: f64| kb / 1000.0);
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
}

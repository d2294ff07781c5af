//! Bent input for every reader: `fuzz [SECONDS a target] [SEED] [MOST executions a target]`. Prints executions, how many were taken
//! and writes every text that panics into `target/fuzz/`; the exit code is 1 where one did.
//!
//! A target that has had its most leaves its time to those after it.

use std::process::ExitCode;
use std::time::Duration;

use traywright::stop::Watch;
use traywright_tests::fuzz::{Fuzz, TARGETS};

/// Executions between two looks at the clock.
const PART: u64 = 100;
/// Executions of a target after which it ends, unless another number is given.
const MOST: u64 = 10_000_000;

fn main() -> ExitCode {
    let words: Result<Vec<u64>, _> = std::env::args().skip(1).map(|w| w.parse::<u64>()).collect();
    let Ok(words) = words else {
        eprintln!("fuzz [SECONDS] [SEED] [MOST]: whole numbers");
        return ExitCode::from(3);
    };
    let word = |i: usize, otherwise: u64| words.get(i).copied().unwrap_or(otherwise);
    let (seconds, seed, most) = (word(0, 10), word(1, 2), word(2, MOST));
    // A panic is counted and its text kept; hundreds of messages between the rows help nobody.
    std::panic::set_hook(Box::new(|_| ()));
    let fuzz = Fuzz::new();
    let mut crashes = 0;
    let mut left = Duration::from_secs(seconds) * TARGETS.len() as u32;
    println!(
        "{:10} {:>11} {:>9} {:>8} {:>8} {:>9}",
        "target", "executions", "taken", "crashes", "a second", "seconds"
    );
    for (i, target) in TARGETS.into_iter().enumerate() {
        let share = left / (TARGETS.len() - i) as u32;
        let watch = Watch::start();
        let (mut done, mut taken, mut crashed) = (0, 0, Vec::new());
        while watch.elapsed() < share && done < most {
            let part = PART.min(most - done);
            let (ok, bad) = fuzz.run(target, seed, done..done + part);
            done += part;
            taken += ok;
            crashed.extend(bad);
        }
        let spent = watch.elapsed();
        left = left.saturating_sub(spent);
        let rate = done as f64 / spent.as_secs_f64().max(1e-9);
        println!(
            "{:10} {done:>11} {taken:>9} {:>8} {rate:>8.0} {:>9.1}",
            format!("{target:?}"),
            crashed.len(),
            spent.as_secs_f64()
        );
        for (i, text) in crashed.iter().enumerate().take(20) {
            let path = format!("target/fuzz/{target:?}-{i}.txt");
            let written = std::fs::create_dir_all("target/fuzz").and_then(|()| std::fs::write(&path, text));
            println!("{path}: {}", written.map_or_else(|e| e.to_string(), |()| "written".into()));
        }
        crashes += crashed.len();
    }
    ExitCode::from(u8::from(crashes > 0))
}

//! Bent input for every reader: `fuzz [SECONDS a target] [SEED]`. Prints executions, how many were taken, and every text that
//! panics into `target/fuzz/`; the exit code is 1 where one did.

use std::process::ExitCode;

use traywright::stop::Watch;
use traywright_tests::fuzz::{Fuzz, TARGETS};

/// Executions between two looks at the clock.
const PART: u64 = 200;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1).map(|w| w.parse::<u64>());
    let (seconds, seed) = match (words.next().unwrap_or(Ok(10)), words.next().unwrap_or(Ok(2))) {
        (Ok(seconds), Ok(seed)) => (seconds, seed),
        _ => {
            eprintln!("fuzz [SECONDS] [SEED]: two whole numbers");
            return ExitCode::from(3);
        }
    };
    let fuzz = Fuzz::new();
    let mut crashes = 0;
    println!("{:10} {:>11} {:>9} {:>8} {:>8}", "target", "executions", "taken", "crashes", "a second");
    for target in TARGETS {
        let watch = Watch::start();
        let (mut done, mut taken, mut crashed) = (0, 0, Vec::new());
        while watch.elapsed().as_secs() < seconds {
            let (ok, bad) = fuzz.run(target, seed, done..done + PART);
            done += PART;
            taken += ok;
            crashed.extend(bad);
        }
        let rate = done as f64 / watch.elapsed().as_secs_f64().max(1e-9);
        println!("{:10} {done:>11} {taken:>9} {:>8} {rate:>8.0}", format!("{target:?}"), crashed.len());
        for (i, text) in crashed.iter().enumerate().take(20) {
            let path = format!("target/fuzz/{target:?}-{i}.txt");
            let written = std::fs::create_dir_all("target/fuzz").and_then(|()| std::fs::write(&path, text));
            println!("{path}: {}", written.map_or_else(|e| e.to_string(), |()| "written".into()));
        }
        crashes += crashed.len();
    }
    ExitCode::from(u8::from(crashes > 0))
}

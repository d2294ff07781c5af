//! Long runs of the differential tests: `differential [COUNT] [SEED]`; one row a kind, disagreements in full.
//!
//! The exit code is 1 where anything disagrees: such a case is reduced and kept as a test.

use std::process::ExitCode;

use traywright::stop::Watch;
use traywright_tests::versus::{Tally, everything, model, nothing_worse};

/// Cases between two looks at the results.
const PART: usize = 100;

type Kind = (&'static str, usize, fn(u64, std::ops::Range<usize>) -> Tally);

/// What is compared, and one in how many cases.
const KINDS: [Kind; 4] = [
    ("tiny, everything tried", 1, |seed, cases| everything(seed, cases, false)),
    ("tiny with bearing, everything tried", 1, |seed, cases| everything(seed, cases, true)),
    ("small, the model", 4, model),
    ("large, the search alone", 20, nothing_worse),
];

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1).map(|w| w.parse::<u64>());
    let (count, seed) = match (words.next().unwrap_or(Ok(1000)), words.next().unwrap_or(Ok(1))) {
        (Ok(count), Ok(seed)) => (count as usize, seed),
        _ => {
            eprintln!("differential [COUNT] [SEED]: two whole numbers");
            return ExitCode::from(3);
        }
    };
    println!(
        "{:36} {:>7} {:>7} {:>8} {:>7} {:>7} {:>6} {:>9} {:>8}",
        "kind", "cases", "proven", "optimal", "none", "missed", "open", "disagree", "seconds"
    );
    let mut disagreements = 0;
    for (name, one_in, run) in KINDS {
        let watch = Watch::start();
        let mut tally = Tally::default();
        let cases = count.div_ceil(one_in);
        for from in (0..cases).step_by(PART) {
            let part = run(seed, from..(from + PART).min(cases));
            part.told.iter().for_each(|told| println!("DISAGREEMENT {told}\n"));
            tally = tally.and(part);
        }
        disagreements += tally.told.len();
        println!(
            "{name:36} {:>7} {:>7} {:>8} {:>7} {:>7} {:>6} {:>9} {:>8.1}",
            tally.cases,
            tally.proven,
            tally.optimal,
            tally.none,
            tally.missed,
            tally.open,
            tally.told.len(),
            watch.elapsed().as_secs_f64()
        );
    }
    ExitCode::from(u8::from(disagreements > 0))
}

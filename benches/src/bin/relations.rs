//! Long runs of the relations between answers and of whole random jobs: `relations [COUNT] [SEED]`; one row a relation.
//!
//! The exit code is 1 where a relation is broken on exact claims or a job comes to a plan that is none.

use std::process::ExitCode;

use traywright_tests::relations::{Counts, merged, relations, whole};
use traywright_tests::wild::Wild;

/// Nodes for one whole job.
const NODES: u64 = 12_000;

fn main() -> ExitCode {
    let mut words = std::env::args().skip(1).map(|w| w.parse::<u64>());
    let (count, seed) = match (words.next().unwrap_or(Ok(200)), words.next().unwrap_or(Ok(1))) {
        (Ok(count), Ok(seed)) => (count as usize, seed),
        _ => {
            eprintln!("relations [COUNT] [SEED]: two whole numbers");
            return ExitCode::from(3);
        }
    };
    let plain = Wild { trays: 3, parts: 3, loose: false, off_grid: false, everything: false };
    let mut wrong = 0;
    println!(
        "{:28} {:26} {:>7} {:>7} {:>11} {:>7}",
        "jobs", "relation", "exact", "broken", "candidates", "broken"
    );
    for (jobs, wild) in [
        ("solids and stacks", plain),
        ("spans, lids, covers", Wild { trays: 2, everything: true, ..plain }),
        ("poured too", Wild { loose: true, ..plain }),
    ] {
        let counts =
            (0..count).fold(Counts::new(), |all, case| merged(all, relations(seed, case..case + 1, wild)));
        for (name, count) in &counts {
            count.broken.iter().for_each(|told| println!("BROKEN {told}\n"));
            wrong += count.broken.len();
            let (exact, broken) = (count.exact, count.broken.len());
            println!(
                "{jobs:28} {name:26} {exact:>7} {broken:>7} {:>11} {:>7}",
                count.candidates, count.candidates_broken
            );
        }
    }
    println!("{:28} {:>7} {:>7} {:>7}", "whole jobs", "cases", "refused", "faults");
    for (jobs, off_grid) in [("on the grid", false), ("off the grid", true)] {
        let wild = Wild { trays: 4, parts: 4, loose: true, off_grid, everything: true };
        let (mut refused, mut faults) = (0, 0);
        for case in 0..2 * count {
            match whole(seed, case, wild, NODES) {
                None => refused += 1,
                Some(told) => {
                    told.iter().for_each(|t| println!("FAULT {t}\n"));
                    faults += told.len();
                }
            }
        }
        wrong += faults;
        println!("{jobs:28} {:>7} {refused:>7} {faults:>7}", 2 * count);
    }
    ExitCode::from(u8::from(wrong > 0))
}

//! Relations between answers on proven claims: doubled, turned, shuffled, with more and with less. Long runs are the bench
//! `relations`.

use traywright_tests::relations::{Counts, relations, whole};
use traywright_tests::wild::Wild;

fn hold(counts: &Counts, least: usize) {
    for (name, count) in counts {
        println!(
            "{name}: {} exact, {} of {} candidates broken",
            count.exact, count.candidates_broken, count.candidates
        );
        assert!(count.broken.is_empty(), "{} broken, the first:\n{}", count.broken.len(), count.broken[0]);
        assert!(count.exact >= least, "{name}: only {} looked at", count.exact);
    }
    assert!(counts.len() >= 7, "only {} relations", counts.len());
}

#[test]
fn solids_and_stacks() {
    let wild = Wild { trays: 3, parts: 3, loose: false, off_grid: false, everything: false };
    hold(&relations(1, 0..24, wild), 5);
}

#[test]
fn spans_lids_and_covers() {
    let wild = Wild { trays: 2, parts: 2, loose: false, off_grid: false, everything: true };
    hold(&relations(2, 0..16, wild), 2);
}

/// Met among random jobs: the price of a lift was rounded down in the search and exact in the plan, so that a plan with more
/// lifts got a bound that was two cubic millimetres too high, above what the turned box proved.
#[test]
fn a_box_turned_with_cover_items() {
    let wild = Wild { trays: 2, parts: 3, loose: false, off_grid: false, everything: true };
    hold(&relations(9, 54..55, wild), 1);
}

/// From the brief to the checker: no plan that is none, no bound above a value, nothing worse later.
#[test]
fn whole_random_jobs() {
    let (mut met, mut faults) = (0, Vec::new());
    for (seed, everything, off_grid) in [(3, true, false), (4, true, true)] {
        let wild = Wild { trays: 4, parts: 4, loose: true, off_grid, everything };
        for case in 0..30 {
            if let Some(told) = whole(seed, case, wild, 8_000) {
                met += 1;
                faults.extend(told);
            }
        }
    }
    assert!(faults.is_empty(), "{} faults, the first:\n{}", faults.len(), faults[0]);
    assert!(met > 20, "{met}");
}

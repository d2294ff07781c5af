//! A short round of bent input for every reader, always the same; the bench `fuzz` runs as long as one likes.

use traywright_tests::fuzz::{Fuzz, TARGETS, Target};

/// Executions of each target: some seconds together.
fn executions(target: Target) -> u64 {
    match target {
        Target::Lengths => 60_000,
        Target::Json | Target::Jobs | Target::Inventory => 4_000,
        Target::Stocks | Target::Plan => 2_000,
        Target::Toml => 1_500,
    }
}

#[test]
fn nothing_panics() {
    let fuzz = Fuzz::new();
    for target in TARGETS {
        let (taken, crashed) = fuzz.run(target, 1, 0..executions(target));
        println!("{target:?}: {taken} of {} taken", executions(target));
        assert!(crashed.is_empty(), "{target:?}: {} texts panic, the first:\n{}", crashed.len(), crashed[0]);
        // A mutator whose texts are all refused at the door would test nothing.
        assert!(taken > 0, "{target:?}: none was taken");
    }
}

/// Seeds as they are must be taken: with them a mutator begins.
#[test]
fn a_seed_that_is_not_bent_is_taken() {
    let fuzz = Fuzz::new();
    assert!(fuzz.feed(Target::Plan, traywright_tests::sample::PLAN));
    assert!(fuzz.feed(Target::Toml, traywright_tests::sample::BRIEF));
    assert!(fuzz.feed(Target::Lengths, "2 1/2 in"));
    assert!(!fuzz.feed(Target::Plan, "{}"));
}

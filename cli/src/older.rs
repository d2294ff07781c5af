//! An older plan of a brief, and the brief as it was then.

use std::path::Path;

use traywright::finding::Finding;
use traywright::job::{Job, load};
use traywright::plan::Plan;
use traywright::shop::another_state;

use crate::files::read;
use crate::search::Changes;

/// An older plan with the job that it was made from.
pub(crate) struct Older {
    pub(crate) plan: Plan,
    pub(crate) job: Job,
    /// Told where it is not certain that the job is the one it was made from.
    pub(crate) doubt: Option<Finding>,
}

/// Reads an older plan. Its job is that of `old_brief` where that is given; else the brief as it is, as it is without
/// corrections, or with all changes: whichever the plan was made from.
///
/// # Errors
/// A plan that cannot be read from disk; within, what is wrong with its text or with the old brief.
pub(crate) fn older(
    brief: &Path,
    old_brief: Option<&Path>,
    changes: &Changes,
    old: &Path,
) -> anyhow::Result<Result<Older, Vec<Finding>>> {
    let plan = match Plan::from_json(&old.to_string_lossy(), &read(old)?) {
        Ok(plan) => plan,
        Err(finding) => return Ok(Err(vec![finding])),
    };
    let without = [("corrections".to_owned(), String::new())];
    let mut jobs = match old_brief {
        Some(old_brief) => vec![load(old_brief, &[])],
        None => {
            vec![load(brief, &without), load(brief, &[]), load(brief, &changes.set()), changes.job(brief)]
        }
    };
    let made_from =
        |job: &Result<Job, Vec<Finding>>| job.as_ref().is_ok_and(|j| j.digest == plan.brief_sha256);
    if let Some(at) = jobs.iter().position(made_from)
        && let Ok(job) = jobs.swap_remove(at)
    {
        return Ok(Ok(Older { plan, job, doubt: None }));
    }
    // The first that can be read at all: corrections are what has most likely changed since.
    let mut faults = Vec::new();
    for job in jobs {
        match job {
            Ok(job) => {
                let doubt = Some(another_state(&old.display().to_string()));
                return Ok(Ok(Older { plan, job, doubt }));
            }
            Err(findings) => faults = findings,
        }
    }
    Ok(Err(faults))
}

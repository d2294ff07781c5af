//! A brief and a plan of it, as most commands after `plan` begin.

use std::path::Path;

use traywright::job::Job;
use traywright::plan::Plan;

use crate::console::Console;
use crate::files::read;
use crate::search::Changes;

/// Reads both; `None` where the input is at fault, which has then been told.
///
/// # Errors
/// The plan cannot be read from disk.
pub(crate) fn brief_and_plan(
    brief: &Path,
    plan: &Path,
    changes: &Changes,
    console: &Console,
) -> anyhow::Result<Option<(Job, Plan)>> {
    let job = match changes.job(brief) {
        Ok(job) => job,
        Err(findings) => {
            console.findings(&findings);
            return Ok(None);
        }
    };
    match Plan::from_json(&plan.to_string_lossy(), &read(plan)?) {
        Ok(plan) => Ok(Some((job, plan))),
        Err(finding) => {
            console.findings(&[finding]);
            Ok(None)
        }
    }
}

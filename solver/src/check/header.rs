//! What stands at the head of a plan file: that it is one, and that it answers this brief.

use super::Report;
use crate::finding::index;
use crate::job::Job;
use crate::plan::Plan;

pub(super) fn check(job: &Job, plan: &Plan, report: &mut Report) {
    if plan.format != "traywright-plan" || plan.version != 1 {
        let cause = format!("format \"{}\" version {} is not read", plan.format, plan.version);
        report.fault("C003", "format", cause);
    }
    if plan.title != job.title {
        let cause = format!("it is titled \"{}\", the brief \"{}\"", plan.title, job.title);
        report.fault("C004", "title", cause);
    }
    if plan.brief_sha256 != job.digest {
        report.fault(
            "C004",
            "brief_sha256",
            "the brief has another digest than the one the plan was made from",
        );
    }
    if plan.claim.grid_mm != job.grid {
        let cause = format!("its step is {}, the brief's {}", plan.claim.grid_mm, job.grid);
        report.fault("C005", "claim › grid_mm", cause);
    }
    for note in &plan.findings {
        if index::find(&note.code).is_none() {
            report.fault("C006", "findings", format!("there is no finding \"{}\"", note.code));
        }
    }
}

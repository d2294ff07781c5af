//! The independent checker: is this plan a true answer to this job?
//!
//! It works from the job and the plan alone and shares no code with the rooms that make plans
//! ([`crate::need`], [`crate::tray`], [`crate::layout`]): what they round, bound or search is worked out
//! here again from its definition. One file a family of rules; both arrangements, tight and settled,
//! are held against the same rules.
//!
//! A plan may come from anywhere. Numbers beyond 20 m are refused first (`sane.rs`); within that, whole
//! nanometres and their products stay far inside the integers used.

mod access;
mod account;
mod bearing;
mod bodies;
mod claim;
mod compartments;
mod cover;
mod cuts;
mod extent;
mod grips;
mod header;
mod inventory;
mod layers;
mod mass;
mod needs;
mod sane;
mod side;
mod slack;
mod sunk;
mod view;

use std::collections::BTreeSet;

use crate::finding::Finding;
use crate::job::Job;
use crate::plan::Plan;
use view::View;

/// Findings beyond this many tell nothing new.
const MOST_FINDINGS: usize = 200;

/// Everything that is wrong with a plan for this job; empty when all is well. Never panics.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{check::check, length::Length};
/// assert!(check(&job, &plan).is_empty());
/// let mut other = plan.clone();
/// other.settled.trays[0].at.x += Length::from_nm(1); // its compartments stay behind
/// assert!(!check(&job, &other).is_empty());
/// ```
pub fn check(job: &Job, plan: &Plan) -> Vec<Finding> {
    let mut report = Report::default();
    sane::check(job, plan, &mut report);
    if !report.findings.is_empty() {
        return report.findings;
    }
    header::check(job, plan, &mut report);
    claim::check(plan, &mut report);
    let left: BTreeSet<&str> = plan.left_out.iter().map(String::as_str).collect();
    let made = [&plan.tight, &plan.settled].map(|a| view::made_trays(job, a));
    let [tight, settled] = [("tight", &plan.tight, &made[0]), ("settled", &plan.settled, &made[1])]
        .map(|(name, a, made)| View::new(job, name, a, made, &left));
    inventory::left_out(job, plan, &mut report);
    for view in [&tight, &settled] {
        inventory::check(view, &mut report);
        layers::check(view, &mut report);
        cover::check(view, &mut report);
        sunk::check(view, &mut report);
        bodies::check(view, &mut report);
        compartments::check(view, &mut report);
        needs::check(view, &mut report);
        slack::check(view, &mut report);
        bearing::check(view, &mut report);
        grips::check(view, &mut report);
        side::check(view, &mut report);
        mass::check(view, &mut report);
        account::check(view, &mut report);
    }
    inventory::alike(&tight, &settled, &mut report);
    access::check(&tight, &settled, plan, &mut report);
    report.findings
}

/// What [`check`] finds, for whoever only wants to go on with the plan: where it was made from another brief, or another state
/// of this one, that is the one thing to say, with how many rules it breaks today.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let read = |brief: &str| job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let job = read(brief);
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::check::{check, refusal};
/// assert!(refusal(&job, &plan).is_empty());
/// // The sheet was measured again since.
/// let since = read(&brief.replace("thickness = 3", "thickness = 3.2"));
/// assert!(check(&since, &plan).len() > 2);
/// let told = refusal(&since, &plan);
/// assert_eq!((told.len(), told[0].code), (1, "C004"));
/// ```
pub fn refusal(job: &Job, plan: &Plan) -> Vec<Finding> {
    let faults = check(job, plan);
    if plan.brief_sha256 == job.digest || faults.is_empty() {
        return faults;
    }
    // Beside what its head says.
    let broken = faults.iter().filter(|f| f.code != "C004").count();
    let count = match broken {
        0 => return Vec::new(),
        1 => "1 rule of the brief as it is now is broken".to_owned(),
        n if faults.len() >= MOST_FINDINGS => {
            format!("at least {n} rules of the brief as it is now are broken")
        }
        n => format!("{n} rules of the brief as it is now are broken"),
    };
    let cause =
        format!("the plan was made from another brief, or from this one before it was changed: {count}");
    let remedy = "Plan again (`traywright plan BRIEF`), or give the brief as it was, with the --set and --corrections that the \
                  plan was made with; `traywright check` lists every broken rule.";
    vec![Finding::listed("C004", cause).remedied(remedy)]
}

/// That a plan was made for another state of the brief, where it breaks no rule of the brief as it is now: a remark, a price or
/// the width of a cut may have changed since, or something else that this plan suits as well.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "box.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let read = |brief: &str| job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&read(brief), &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::check::{earlier, refusal};
/// assert!(earlier(&read(brief), &plan).is_none());
/// let measured = read(&brief.replace("thickness = 3", "thickness = 3, cut_width = 0.17"));
/// assert!(refusal(&measured, &plan).is_empty());
/// assert_eq!(earlier(&measured, &plan).unwrap().code, "C007");
/// ```
pub fn earlier(job: &Job, plan: &Plan) -> Option<Finding> {
    let other = plan.brief_sha256 != job.digest || plan.title != job.title;
    let cause =
        "the plan was made for another state of this brief; it breaks no rule of the brief as it is now";
    other.then(|| Finding::listed("C007", cause))
}

/// Whether the numbers of a plan can be reckoned with at all: what [`check`] finds out before anything else.
pub(crate) fn reckonable(job: &Job, plan: &Plan) -> Vec<Finding> {
    let mut report = Report::default();
    sane::check(job, plan, &mut report);
    report.findings
}

/// Findings as they come in.
#[derive(Default)]
struct Report {
    findings: Vec<Finding>,
}

impl Report {
    /// A fault of this kind at this path; what to do about it stands in the index of findings.
    fn fault(&mut self, code: &'static str, path: &str, cause: impl Into<String>) {
        if self.findings.len() < MOST_FINDINGS {
            self.findings.push(Finding::listed(code, cause).about(path));
        }
    }
}

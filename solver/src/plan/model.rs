//! The placement problem of a job, written down for other solvers.

use super::Options;
use super::solve::choose_grouping;
use crate::finding::Finding;
use crate::job::Job;
use crate::layout::build::Sinking;
use crate::layout::model;

/// The mixed-integer model of where trays and kept items go, in free-format MPS; `docs/model.md` explains its names.
///
/// Cover items that may sink lie over the top layer here. Shapes of trays are worked out before it, and free parts share the trays that a short search likes best.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let text = plan::mps(&job, &options).unwrap();
/// assert!(text.contains(" E one-choice:mail\n") && text.ends_with("ENDATA\n"));
/// ```
///
/// # Errors
/// What makes the job impossible without any search, or `P052` where the model would be too large to be of use.
pub fn mps(job: &Job, options: &Options) -> Result<String, Vec<Finding>> {
    let (_, built) = choose_grouping(job, options, &Sinking::default()).map_err(|(findings, _)| findings)?;
    model::mps(&built.instance).map_err(|too_large| vec![Finding::listed("P052", too_large.to_string())])
}

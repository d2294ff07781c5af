//! Many jobs at once: one brief on every stock of a list, and lists of boxes and briefs.
//!
//! Every job is solved for itself with the same seed, the same nodes and a clock of its own. A job that fails
//! becomes a line with its finding and never ends the run; results stand in the order of the input and do not
//! depend on the number of threads.

mod advice;
mod amount;
mod answer;
mod batch;
mod boxes;
mod choices;
mod compare;
mod cost;
mod differences;
mod each;
mod grow;
mod jobs;
mod list;
mod summary;
mod table;
mod taken;
mod tries;
mod written;

pub use advice::{Advice, Advised, Smaller, advise};
pub use answer::Answer;
pub use batch::{
    Batch, BatchRow, FileMark, Header, Joined, Journal, JournalLine, Keeper, Portion, join, results, times,
};
pub use boxes::{BoxRow, load_boxes, read_boxes};
pub use choices::{Choice, Choices, Difference, choices};
pub use compare::{Compared, Comparison, Variant, compare};
pub use cost::{
    Bought, Break, Costing, Figures, MaterialBy, MaterialFigures, Money, Offer, Profit, Rates, Term, cost,
    costing_html, load_rates, quote_html, quote_json, quote_text, read_rates,
};
pub use differences::{
    Became, BodyChange, Differences, From, LeftOver, PanelChange, PlanFigures, RoomChange, TrayChange,
    another_state, differences,
};
pub use grow::{Grown, Growth, Room, grow};
pub use jobs::{Catalogue, JobLine, load_jobs, read_jobs};
pub use summary::{summary_html, summary_text};
pub use table::{Cell, Table};
pub use taken::Taken;
pub use tries::TRY_NODES;

use std::time::Duration;

use crate::job::Job;
use crate::plan::{Options, solve};

/// What every job of a run may spend.
///
/// ```
/// # use traywright::{brief::Format, job::Source, plan::Options};
/// use traywright::shop::{Answer, Effort, advise};
/// # let brief = r#"box.interior = [100, 70, 15]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// let mut effort = Effort { options: Options::default(), budget: None };
/// effort.options.nodes = 2_000;
/// let answer = |effort| advise(&source, &[], &effort, &|_| {}).unwrap().brief;
/// assert_eq!(answer(effort.clone()).word(), "does not fit");
/// // A raised flag ends every job before its turn, whatever it may spend.
/// effort.options.stop.raise();
/// assert!(matches!(answer(effort), Answer::NotRun));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Effort {
    /// Seed, nodes and the caller's flag.
    pub options: Options,
    /// The longest time for one job, as a backstop.
    pub budget: Option<Duration>,
}

impl Effort {
    /// Solves one job with a fresh count of nodes and a fresh clock.
    fn solve(&self, job: Job) -> Answer {
        let mut options = self.options.clone();
        options.stop = options.stop.share(u64::MAX);
        if let Some(budget) = self.budget {
            options.stop = options.stop.and_within(budget);
        }
        let outcome = solve(&job, &options, &mut |_| {});
        match outcome.plan {
            Some(plan) => Answer::Plan { job: Box::new(job), plan: Box::new(plan) },
            None => Answer::NoPlan { claim: outcome.claim, reasons: outcome.reasons },
        }
    }
}

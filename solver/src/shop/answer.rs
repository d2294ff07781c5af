//! What came of one job, and how it stands in a row of a table.

use super::table::Cell;
use crate::finding::Finding;
use crate::job::Job;
use crate::length::Volume;
use crate::plan::{Arrangement, Claim, ClaimState, Compartment, PlacedTray, Plan};

/// What came of one job.
///
/// ```
/// # use traywright::{brief::Format, job::Source, plan::ClaimState};
/// # use traywright::shop::{Answer, Effort, advise};
/// # let brief = r#"box.interior = [100, 70, 15]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// // Cards of 16 mm in a box of 15 mm.
/// let advice = advise(&source, &[], &effort, &|_| {}).unwrap();
/// let Answer::NoPlan { claim, reasons } = advice.brief else { panic!() };
/// assert!(claim.state == ClaimState::Impossible && !reasons.is_empty());
/// // Each change that is told was answered by a plan.
/// assert!(!advice.singles.is_empty());
/// ```
#[derive(Clone, Debug)]
pub enum Answer {
    /// A plan that has passed the checker.
    Plan {
        /// The job it answers; pictures need both.
        job: Box<Job>,
        /// The plan.
        plan: Box<Plan>,
    },
    /// No plan.
    NoPlan {
        /// What is proven.
        claim: Claim,
        /// Why there is none.
        reasons: Vec<Finding>,
    },
    /// The input is at fault.
    Fault(Vec<Finding>),
    /// The run was ended before this job's turn.
    NotRun,
}

/// Columns that [`Answer::cells`] fills.
pub(super) const COLUMNS: [&str; 23] = [
    "result",
    "claim",
    "gap_percent",
    "value_ml",
    "bound_ml",
    "wasted_ml",
    "access_ml",
    "interior_ml",
    "contents_ml",
    "kept_ml",
    "cover_ml",
    "stock_ml",
    "voids_ml",
    "slack_ml",
    "overhead_ml",
    "spare_ml",
    "layers",
    "trays",
    "tightest",
    "tightest_percent",
    "more",
    "more_of",
    "finding",
];

/// Columns that fit on a screen beside a name.
pub(super) const SHORT: [&str; 8] = [
    "result",
    "gap_percent",
    "wasted_ml",
    "stock_ml",
    "slack_ml",
    "spare_ml",
    "tightest",
    "tightest_percent",
];

impl Answer {
    /// In one word or two, for tables.
    ///
    /// ```
    /// use traywright::{length::Length, plan::{Claim, ClaimState}, shop::Answer};
    /// let none = |claim| Answer::NoPlan { claim, reasons: Vec::new() };
    /// let claim = Claim::none_found(Length::um(100));
    /// let proven = Claim { state: ClaimState::Impossible, ..claim.clone() };
    /// assert_eq!([none(claim).word(), none(proven).word()], ["none found", "does not fit"]);
    /// ```
    pub fn word(&self) -> &'static str {
        match self {
            Answer::Plan { .. } => "fits",
            Answer::NoPlan { claim, .. } if claim.state == ClaimState::Impossible => "does not fit",
            Answer::NoPlan { .. } => "none found",
            Answer::Fault(_) => "fault",
            Answer::NotRun => "not run",
        }
    }

    /// Whether a longer search might answer otherwise.
    pub(super) fn is_open(&self) -> bool {
        matches!(self, Answer::NoPlan { claim, .. } if claim.state != ClaimState::Impossible)
    }

    /// What is wrong, or why there is no plan; the findings of a plan are in the plan.
    ///
    /// ```
    /// use traywright::{finding::Finding, shop::Answer};
    /// let fault = Answer::Fault(vec![Finding::listed("B007", "`widht` is not a key of the box")]);
    /// assert_eq!(fault.findings()[0].code, "B007");
    /// assert!(Answer::NotRun.findings().is_empty());
    /// ```
    pub fn findings(&self) -> &[Finding] {
        match self {
            Answer::NoPlan { reasons, .. } => reasons,
            Answer::Fault(findings) => findings,
            Answer::Plan { .. } | Answer::NotRun => &[],
        }
    }

    /// One cell for each of [`COLUMNS`].
    pub(super) fn cells(&self) -> Vec<Cell> {
        let mut cells = vec![Cell::text(self.word())];
        match self {
            Answer::Plan { plan, .. } => plan_cells(plan, &mut cells),
            Answer::NoPlan { claim, .. } => cells.push(Cell::text(state(claim.state))),
            Answer::Fault(_) | Answer::NotRun => {}
        }
        cells.resize(COLUMNS.len() - 1, Cell::Empty);
        cells.push(match self.findings().iter().max_by_key(|f| f.severity) {
            Some(finding) => Cell::text(finding.to_string()),
            None => Cell::Empty,
        });
        cells
    }
}

fn plan_cells(plan: &Plan, cells: &mut Vec<Cell>) {
    let ml = |volume: Volume| Cell::number(volume.show_ml().trim_end_matches(" ml"));
    let (objective, volumes) = (&plan.objective_mm3, &plan.tight.volumes_mm3);
    cells.push(Cell::text(state(plan.claim.state)));
    cells.push(plan.claim.gap.map_or(Cell::Empty, |gap| Cell::number(format!("{:.1}", gap * 100.0))));
    cells.extend([objective.value, objective.bound, objective.wasted, objective.access].map(ml));
    let v = volumes;
    cells.extend(
        [v.interior, v.contents, v.kept, v.cover, v.stock, v.voids, v.slack, v.overhead, v.spare].map(ml),
    );
    cells.push(Cell::number(plan.settled.layers.len().to_string()));
    cells.push(Cell::number(plan.settled.trays.len().to_string()));
    if let Some(tightest) = tightest(&plan.settled) {
        cells.push(Cell::text(&tightest.part));
        cells.push(Cell::number(format!("{:.1}", tightest.slack.percent)));
        cells.push(Cell::number(tightest.slack.more.to_string()));
        cells.push(Cell::text(&tightest.slack.more_of));
    }
}

fn state(state: ClaimState) -> &'static str {
    match state {
        ClaimState::Proven => "proven",
        ClaimState::Gap => "gap",
        ClaimState::Unproven => "unproven",
        ClaimState::Impossible => "impossible",
        ClaimState::NoneFound => "none-found",
    }
}

/// The compartment with the least share of slack, nested trays' included; the first one among equals.
fn tightest(arrangement: &Arrangement) -> Option<&Compartment> {
    fn look<'a>(tray: &'a PlacedTray, best: &mut Option<&'a Compartment>) {
        for compartment in &tray.compartments {
            match &compartment.tray {
                Some(inner) => look(inner, best),
                None if best.is_none_or(|b| compartment.slack.percent < b.slack.percent) => {
                    *best = Some(compartment);
                }
                None => {}
            }
        }
    }
    let mut best = None;
    arrangement.trays.iter().for_each(|tray| look(tray, &mut best));
    best
}

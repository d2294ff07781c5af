//! Many jobs in one run.

use std::path::Path;
use std::time::Duration;

use super::answer::COLUMNS;
use super::each::each;
use super::table::{Cell, Table};
use super::{Answer, Effort, JobLine};
use crate::finding::Finding;
use crate::job;
use crate::stop::Watch;

/// One job of a run and what came of it.
#[derive(Clone, Debug)]
pub struct BatchRow {
    /// Identifier of the job.
    pub id: String,
    /// The brief as the list names it.
    pub brief: String,
    /// What is wrong, or why there is no plan.
    pub findings: Vec<Finding>,
    /// Whether there is a plan.
    pub fits: bool,
    /// Whether the input was at fault.
    pub fault: bool,
    /// How long it took; kept apart from results, which are the same every time.
    pub time: Duration,
    cells: Vec<Cell>,
}

/// Runs every job of a list. Briefs are found beside the list (`dir`); `stocks` is a stock list for all of them.
///
/// `done` gets every answer as soon as it is there (so that nobody has to keep all plans in memory) and says
/// what went wrong with it, if anything did: a plan that cannot be written is a fault of its job alone.
pub fn batch(
    jobs: &[JobLine],
    dir: &Path,
    stocks: Option<&Path>,
    effort: &Effort,
    done: &(dyn Fn(&JobLine, &Answer) -> Result<(), String> + Sync),
) -> Vec<BatchRow> {
    // A stock list is named from the brief's side, so its path must not depend on where one stands.
    let stocks = stocks.map(|path| std::path::absolute(path).unwrap_or_else(|_| path.to_owned()));
    each(jobs, |line| {
        let watch = Watch::start();
        let mut answer = run(line, dir, stocks.as_deref(), effort);
        if let Err(cause) = done(line, &answer) {
            let finding = Finding::listed("S060", cause);
            answer = Answer::Fault(vec![finding.about(format!("job \"{}\"", line.id))]);
        }
        BatchRow {
            id: line.id.clone(),
            brief: line.brief.clone(),
            findings: answer.findings().to_vec(),
            fits: matches!(answer, Answer::Plan { .. }),
            fault: matches!(answer, Answer::Fault(_)),
            time: watch.elapsed(),
            cells: answer.cells(),
        }
    })
}

fn run(line: &JobLine, dir: &Path, stocks: Option<&Path>, effort: &Effort) -> Answer {
    if !line.findings.is_empty() {
        return Answer::Fault(line.findings.clone());
    }
    if effort.options.stop.is_raised() {
        return Answer::NotRun;
    }
    let list = stocks.map(|path| ("stock_list".to_owned(), path.display().to_string()));
    let changes: Vec<(String, String)> = list.into_iter().chain(line.changes.iter().cloned()).collect();
    match job::load(&dir.join(&line.brief), &changes) {
        Ok(job) => effort.solve(job),
        Err(findings) => Answer::Fault(findings),
    }
}

/// All results, one row a job in the order of the list; the same every time.
pub fn results(rows: &[BatchRow]) -> Table {
    let row =
        |r: &BatchRow| [Cell::text(&r.id), Cell::text(&r.brief)].into_iter().chain(r.cells.clone()).collect();
    Table {
        columns: ["id", "brief"].into_iter().chain(COLUMNS).collect(),
        rows: rows.iter().map(row).collect(),
    }
}

/// How long every job took, in the order of the list.
pub fn times(rows: &[BatchRow]) -> Table {
    let row = |r: &BatchRow| vec![Cell::text(&r.id), Cell::number(format!("{:.3}", r.time.as_secs_f64()))];
    Table { columns: vec!["id", "seconds"], rows: rows.iter().map(row).collect() }
}

use std::path::{Path, PathBuf};

use anyhow::ensure;
use clap::Args;
use traywright::shop::{self, Answer, JobLine};

use super::plan::plan_files;
use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::search::Search;

/// Run a list of boxes and briefs
///
/// Writes ID.plan.json, ID.html and pictures for every job as soon as it is solved, and at the end results.csv
/// and results.jsonl with one line a job in the order of the list; times stand apart in times.csv. A job that
/// fails is a line with its finding. Ends with the gravest code of all jobs. Ctrl-C ends the running jobs with
/// their best plans; those that have not begun stand as "not run".
#[derive(Args)]
pub(crate) struct Batch {
    /// Job list: CSV with id, brief, box or interior.width .depth .height, stock, set.KEY; or JSON lines (.jsonl)
    jobs: PathBuf,
    /// Directory to write into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Stock list (TOML or CSV) in which `stock` of a job is looked up
    #[arg(long, value_name = "LIST")]
    stock: Option<PathBuf>,
    /// Box list (CSV with id, width, depth, height) in which `box` of a job is looked up
    #[arg(long, value_name = "LIST")]
    boxes: Option<PathBuf>,
    #[command(flatten)]
    search: Search,
}

impl Batch {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let boxes = self.boxes.as_deref().map_or(Ok(Vec::new()), shop::load_boxes);
        let lists = boxes.and_then(|boxes| shop::load_jobs(&self.jobs, &boxes));
        let stocks = self.stock.as_deref().map_or(Ok(Vec::new()), traywright::job::load_list);
        let jobs = match (lists, stocks) {
            (Ok(jobs), Ok(_)) => jobs,
            (jobs, stocks) => {
                console.findings(&jobs.err().into_iter().chain(stocks.err()).flatten().collect::<Vec<_>>());
                return Ok(Exit::InputAtFault);
            }
        };
        std::fs::create_dir_all(&self.out)?;
        ensure!(self.out.is_dir(), "{} is no directory", self.out.display());
        let effort = self.search.effort()?;
        let line = console.counter("jobs");
        let dir = self.jobs.parent().unwrap_or(Path::new(""));
        let rows = shop::batch(&jobs, dir, self.stock.as_deref(), &effort, &|job, answer| {
            line.count(&job.id);
            self.write(job, answer).map_err(|e| format!("{e:#}"))
        });
        drop(line);
        let results = shop::results(&rows);
        let mut files = FileSet::default();
        files.add(self.out.join("results.csv"), results.csv());
        files.add(self.out.join("results.jsonl"), results.json_lines());
        files.add(self.out.join("times.csv"), shop::times(&rows).csv());
        files.write()?;
        let fitting = rows.iter().filter(|r| r.fits).count();
        let faults = rows.iter().filter(|r| r.fault).count();
        console.result(&format!(
            "{} jobs: {fitting} with a plan, {} without, {faults} at fault; see {}\n",
            rows.len(),
            rows.len() - fitting - faults,
            self.out.join("results.csv").display()
        ))?;
        Ok(match (fitting == rows.len(), faults) {
            (true, _) => Exit::Done,
            (false, 0) => Exit::NoPlan,
            (false, _) => Exit::InputAtFault,
        })
    }

    /// Each job's files are there as soon as it is solved, so that a run that is cut short has not been for nothing.
    fn write(&self, job: &JobLine, answer: &Answer) -> anyhow::Result<()> {
        let mut files = FileSet::default();
        if let Answer::Plan { job: read, plan } = answer {
            plan_files(&mut files, &self.out, &job.id, Path::new(&job.brief), read, plan);
        }
        files.write()
    }
}

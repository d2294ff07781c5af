use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};
use traywright::shop::{self, Answer, BatchRow, Catalogue, FileMark, JobLine, JournalLine, Keeper, Portion};
use traywright::stop::Stop;

use super::plan::plan_files;
use crate::console::{Console, Counter};
use crate::exit::Exit;
use crate::files::FileSet;
use crate::folder::{Folder, Refused, is_final};
use crate::search::Search;

/// Run a list of boxes, briefs and stocks
///
/// Every job that ends leaves ID.plan.json, ID.html and pictures, and then a line in journal.jsonl, so that a run
/// that is killed loses nothing that was finished; --resume goes on with it. At the end stand results.csv and
/// results.jsonl with one line a job in the order of the list, and summary.txt and summary.html with the smallest
/// box for each brief; times stand apart in times.csv. A job that fails is a line with its finding. Ends with the
/// gravest code of all jobs. Ctrl-C ends the running jobs with their best plans; those that have not begun stand
/// as "not run".
#[derive(Args)]
pub(crate) struct Batch {
    /// Job list: CSV with id, brief, box or interior.width .depth .height, stock, set.KEY; or JSON lines (.jsonl)
    jobs: PathBuf,
    /// Directory to write into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Stock list (TOML or CSV) in which `stock` of a job is looked up; `*` is every stock of it
    #[arg(long, value_name = "LIST")]
    stock: Option<PathBuf>,
    /// Box list (CSV with id, width, depth, height, price) in which `box` of a job is looked up; `*` is every box
    #[arg(long, value_name = "LIST")]
    boxes: Option<PathBuf>,
    /// Go on with the run in the directory: jobs that are done and have not changed are skipped
    #[arg(long)]
    resume: bool,
    /// Run only every N-th job, beginning with the K-th; `traywright join` puts portions together
    #[arg(long, value_name = "K/N", default_value_t = Portion::ALL)]
    portion: Portion,
    /// Which files to write for each job
    #[arg(long, value_name = "WHICH", value_enum, default_value_t = Files::All)]
    files: Files,
    #[command(flatten)]
    search: Search,
}

/// What a job leaves beside its line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Files {
    /// Plan, report and pictures
    All,
    /// The plan alone
    Plans,
    /// Nothing but its line
    None,
}

impl Batch {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let (jobs, stocks) = match self.lists() {
            Ok(lists) => lists,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let effort = self.search.effort()?;
        let batch = shop::Batch {
            jobs: &jobs,
            dir: self.jobs.parent().unwrap_or(Path::new("")),
            stocks: stocks.as_ref().map(|(name, text)| (name.as_str(), text.as_str())),
            effort: &effort,
            portion: self.portion,
            also: match self.files {
                Files::All => "all files",
                Files::Plans => "plans",
                Files::None => "no files",
            },
        };
        let (folder, known, spent) = match Folder::begin(&self.out, &batch, self.resume) {
            Ok(ready) => ready,
            Err(Refused::Error(error)) => return Err(error),
            Err(Refused::Finding(finding)) => {
                console.findings(&[finding]);
                return Ok(Exit::InputAtFault);
            }
        };
        let all = batch.mine().count();
        if self.resume {
            console.note(&format!("{} of {all} jobs are done already", known.len()));
        }
        let keep = Keep {
            folder: &folder,
            out: &self.out,
            files: self.files,
            line: console.counter("jobs", known.len(), all),
            stop: &effort.options.stop,
        };
        let mut rows = batch.run(&known, &keep);
        drop(keep);
        folder.finish(&batch, &mut rows, &spent)?;
        told(console, &self.out, &rows)
    }

    /// The job list, and name and text of the stock list.
    #[expect(clippy::type_complexity, reason = "two lists, read once")]
    fn lists(&self) -> Result<(Vec<JobLine>, Option<(String, String)>), Vec<traywright::finding::Finding>> {
        let boxes = self.boxes.as_deref().map_or(Ok(Vec::new()), shop::load_boxes);
        let stocks = self.stock.as_deref().map_or(Ok(Vec::new()), traywright::job::load_list);
        let (boxes, stocks) = match (boxes, stocks) {
            (Ok(boxes), Ok(stocks)) => (boxes, stocks),
            (boxes, stocks) => {
                return Err(boxes.err().into_iter().chain(stocks.err()).flatten().collect());
            }
        };
        let catalogue = Catalogue { boxes, stocks: stocks.into_iter().map(|row| row.id).collect() };
        let jobs = shop::load_jobs(&self.jobs, &catalogue)?;
        let text = self.stock.as_deref().map(traywright::job::read_list_text).transpose()?;
        Ok((jobs, text))
    }
}

/// Says how it went, and ends with the gravest of all jobs.
pub(super) fn told(console: &Console, dir: &Path, rows: &[BatchRow]) -> anyhow::Result<Exit> {
    let fitting = rows.iter().filter(|r| r.fits()).count();
    let faults = rows.iter().filter(|r| r.fault()).count();
    let skipped = rows.iter().filter(|r| r.get("result") == "not run").count();
    let not_run = if skipped > 0 { format!(", {skipped} not run") } else { String::new() };
    console.result(&format!(
        "{}: {fitting} with a plan, {} without, {faults} at fault{not_run}; see {}\n",
        match rows.len() {
            1 => "1 job".to_owned(),
            n => format!("{n} jobs"),
        },
        rows.len() - fitting - faults - skipped,
        dir.join("summary.txt").display()
    ))?;
    Ok(match (fitting == rows.len(), faults) {
        (true, _) => Exit::Done,
        (false, 0) => Exit::NoPlan,
        (false, _) => Exit::InputAtFault,
    })
}

/// Keeps what comes of each job as soon as it is there.
struct Keep<'a> {
    folder: &'a Folder,
    out: &'a Path,
    files: Files,
    line: Counter,
    stop: &'a Stop,
}

impl Keeper for Keep<'_> {
    fn files(&self, job: &JobLine, answer: &Answer) -> Result<Vec<FileMark>, String> {
        let mut files = FileSet::default();
        match answer {
            Answer::Plan { job: read, plan } => match self.files {
                Files::All => plan_files(&mut files, self.out, &job.id, Path::new(&job.brief), read, plan),
                Files::Plans => files.add(self.out.join(format!("{}.plan.json", job.id)), plan.to_json()),
                Files::None => {}
            },
            // A plan of an earlier run would contradict this line.
            _ => {
                let at = |ending: &str| self.out.join(format!("{}.{ending}", job.id));
                let layers = (1..).map(|k| at(&format!("layer-{k}.svg"))).take_while(|p| p.exists());
                ["plan.json", "html", "exploded.svg"]
                    .map(at)
                    .into_iter()
                    .chain(layers)
                    .for_each(|p| files.remove(p));
            }
        }
        let marks = files.marks();
        files.write().map(|()| marks).map_err(|error| {
            let cause = format!("{error:#}");
            if is_final(&error) {
                self.folder.give_up(error);
                self.stop.raise();
            }
            cause
        })
    }

    fn line(&self, line: &JournalLine, row: &BatchRow) {
        if self.folder.add(line, row) {
            self.line.count(&line.id);
        } else {
            self.stop.raise();
        }
    }
}

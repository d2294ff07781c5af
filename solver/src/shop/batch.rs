//! Many jobs in one run.

mod join;
mod journal;
mod row;

pub use join::{Joined, join};
pub use journal::{FileMark, Header, Journal, JournalLine, Portion};
pub use row::{BatchRow, results, times};

use std::collections::BTreeMap;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::each::each;
use super::taken::Taken;
use super::{Answer, Effort, JobLine};
use crate::finding::Finding;
use crate::job::Source;
use crate::stop::Watch;

/// Nodes for laying out the sheets of each stock: enough for a price, not for a proof.
const SHEET_NODES: u64 = 4_000;

/// A list of jobs with what it is solved from and how.
///
/// ```
/// # use std::{path::Path, sync::Mutex};
/// # use traywright::shop::*;
/// # struct Kept(Mutex<Vec<JournalLine>>);
/// # impl Keeper for Kept {
/// #     fn files(&self, _: &JobLine, _: &Answer) -> Result<Vec<FileMark>, String> {
/// #         Ok(Vec::new())
/// #     }
/// #     fn line(&self, line: &JournalLine, _: &BatchRow) {
/// #         self.0.lock().unwrap().push(line.clone());
/// #     }
/// # }
/// let jobs = "id,brief\nlow,tides.toml\nodd,no-such.toml\n";
/// let jobs = read_jobs("jobs.csv", jobs, &Catalogue::default()).unwrap();
/// # let (dir, effort) = (Path::new("../scenarios/easy"), &Effort::default());
/// # let (portion, also) = (Portion::ALL, "");
/// # let batch = Batch { jobs: &jobs, dir, stocks: None, effort, portion, also };
/// let rows = Batch { portion: "2/2".parse().unwrap(), ..batch }.run(&[], &Kept(Mutex::default()));
/// // Only the second job is of this portion, and it has its place in the whole list.
/// assert_eq!((rows.len(), rows[0].position, rows[0].id.as_str()), (1, 1, "odd"));
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Batch<'a> {
    /// The whole list, whatever portion of it is run.
    pub jobs: &'a [JobLine],
    /// Where briefs are found.
    pub dir: &'a Path,
    /// Name and text of a stock list for all jobs.
    pub stocks: Option<(&'a str, &'a str)>,
    /// What every job may spend.
    pub effort: &'a Effort,
    /// Which jobs of the list are run.
    pub portion: Portion,
    /// What else a result depends on, such as which files are kept.
    pub also: &'a str,
}

/// Who keeps the results; called from any thread.
///
/// ```
/// use std::{path::Path, sync::Mutex};
/// use traywright::shop::*;
/// /// Keeps no files, and the identifiers of finished jobs in memory.
/// struct Ids(Mutex<Vec<String>>);
/// impl Keeper for Ids {
///     fn files(&self, _: &JobLine, _: &Answer) -> Result<Vec<FileMark>, String> {
///         Ok(Vec::new())
///     }
///     fn line(&self, line: &JournalLine, row: &BatchRow) {
///         self.0.lock().unwrap().push(format!("{} {}", line.id, row.get("result")));
///     }
/// }
/// # let list = "id,brief\nodd,no-such.toml\n";
/// # let jobs = read_jobs("jobs.csv", list, &Catalogue::default()).unwrap();
/// # let (dir, effort) = (Path::new("../scenarios/easy"), &Effort::default());
/// # let (portion, also) = (Portion::ALL, "");
/// # let batch = Batch { jobs: &jobs, dir, stocks: None, effort, portion, also };
/// let ids = Ids(Mutex::default());
/// batch.run(&[], &ids);
/// assert_eq!(ids.0.into_inner().unwrap(), ["odd fault"]);
/// ```
pub trait Keeper: Sync {
    /// Writes the files of a job. What goes wrong is a fault of that job alone.
    ///
    /// # Errors
    /// Why a file cannot be written.
    fn files(&self, job: &JobLine, answer: &Answer) -> Result<Vec<FileMark>, String>;

    /// Takes the line of a finished job, after its files. Jobs cut short by the caller's flag have no line.
    fn line(&self, line: &JournalLine, row: &BatchRow);
}

impl Batch<'_> {
    /// Jobs of this portion with their places in the list.
    ///
    /// ```
    /// # use std::path::Path;
    /// # use traywright::shop::*;
    /// let jobs = "id,brief\na,ferry.toml\nb,ferry.toml\nc,ferry.toml\n";
    /// let jobs = read_jobs("jobs.csv", jobs, &Catalogue::default()).unwrap();
    /// # let (dir, effort) = (Path::new("../scenarios/easy"), &Effort::default());
    /// # let (portion, also) = (Portion::ALL, "");
    /// # let batch = Batch { jobs: &jobs, dir, stocks: None, effort, portion, also };
    /// let first = Batch { portion: "1/2".parse().unwrap(), ..batch };
    /// let mine: Vec<_> = first.mine().map(|(place, job)| (place, job.id.as_str())).collect();
    /// assert_eq!(mine, [(0, "a"), (2, "c")]);
    /// ```
    pub fn mine(&self) -> impl Iterator<Item = (usize, &JobLine)> {
        self.jobs.iter().enumerate().filter(|(i, _)| self.portion.holds(*i))
    }

    /// The head of the journal of this run.
    ///
    /// ```
    /// # use std::path::Path;
    /// # use traywright::shop::*;
    /// # let jobs = "id,brief\na,ferry.toml\nb,ferry.toml\n";
    /// # let jobs = read_jobs("jobs.csv", jobs, &Catalogue::default()).unwrap();
    /// # let (dir, effort) = (Path::new("../scenarios/easy"), &Effort::default());
    /// # let (portion, also) = (Portion::ALL, "");
    /// # let batch = Batch { jobs: &jobs, dir, stocks: None, effort, portion, also };
    /// let whole = batch.header(true);
    /// let half = Batch { portion: "1/2".parse().unwrap(), ..batch }.header(false);
    /// // A portion knows the whole list.
    /// assert_eq!((half.jobs, half.list == whole.list, half.whole), (2, true, false));
    /// assert_ne!(Batch { jobs: &jobs[..1], ..batch }.header(true).list, whole.list);
    /// ```
    pub fn header(&self, whole: bool) -> Header {
        let mut hash = Hash::default();
        for job in self.jobs {
            hash.line(job);
        }
        Header {
            format: Header::FORMAT.to_owned(),
            version: Header::VERSION,
            jobs: self.jobs.len(),
            list: hash.hex(),
            effort: self.effort_words(),
            portion: self.portion,
            whole,
        }
    }

    /// Lines of an earlier run that answer jobs of this one as they stand today, with their places in the list
    /// made new. `there` says whether a file is still what it was.
    ///
    /// ```
    /// # use std::{path::Path, sync::Mutex};
    /// # use traywright::shop::*;
    /// # struct Kept(Mutex<Vec<JournalLine>>);
    /// # impl Keeper for Kept {
    /// #     fn files(&self, _: &JobLine, _: &Answer) -> Result<Vec<FileMark>, String> {
    /// #         Ok(Vec::new())
    /// #     }
    /// #     fn line(&self, line: &JournalLine, _: &BatchRow) {
    /// #         self.0.lock().unwrap().push(line.clone());
    /// #     }
    /// # }
    /// # let list = "id,brief\nodd,no-such.toml\n";
    /// # let jobs = read_jobs("jobs.csv", list, &Catalogue::default()).unwrap();
    /// # let (dir, effort) = (Path::new("../scenarios/easy"), &Effort::default());
    /// # let (portion, also) = (Portion::ALL, "");
    /// # let batch = Batch { jobs: &jobs, dir, stocks: None, effort, portion, also };
    /// let kept = Kept(Mutex::default());
    /// batch.run(&[], &kept);
    /// let earlier = kept.0.into_inner().unwrap();
    /// assert_eq!(batch.still_good(&earlier, &|_| true), earlier);
    /// // With other files kept, say, every job is run again.
    /// assert!(Batch { also: "cut lists", ..batch }.still_good(&earlier, &|_| true).is_empty());
    /// ```
    pub fn still_good(&self, earlier: &[JournalLine], there: &dyn Fn(&FileMark) -> bool) -> Vec<JournalLine> {
        let lines: BTreeMap<&str, &JournalLine> = earlier.iter().map(|l| (l.id.as_str(), l)).collect();
        self.mine()
            .filter_map(|(position, job)| {
                let line = lines.get(job.id.as_str())?;
                let same = line.input == self.input(job).0 && line.files.iter().all(there);
                same.then(|| JournalLine { job: position, ..(*line).clone() })
            })
            .collect()
    }

    /// Solves every job of the portion that `known` does not answer, and gives back all rows of the portion in the
    /// order of the list.
    ///
    /// ```
    /// # use std::{path::Path, sync::Mutex};
    /// # use traywright::shop::*;
    /// # struct Kept(Mutex<Vec<JournalLine>>);
    /// # impl Keeper for Kept {
    /// #     fn files(&self, _: &JobLine, _: &Answer) -> Result<Vec<FileMark>, String> {
    /// #         Ok(Vec::new())
    /// #     }
    /// #     fn line(&self, line: &JournalLine, _: &BatchRow) {
    /// #         self.0.lock().unwrap().push(line.clone());
    /// #     }
    /// # }
    /// let jobs = "id,brief\nlow,tides.toml\nodd,no-such.toml\n";
    /// let jobs = read_jobs("jobs.csv", jobs, &Catalogue::default()).unwrap();
    /// # let (dir, effort) = (Path::new("../scenarios/easy"), &Effort::default());
    /// # let (portion, also) = (Portion::ALL, "");
    /// # let batch = Batch { jobs: &jobs, dir, stocks: None, effort, portion, also };
    /// let (first, second) = (Kept(Mutex::default()), Kept(Mutex::default()));
    /// let rows = batch.run(&[], &first);
    /// assert!(rows[0].fits() && rows[1].fault());
    /// let mut known = first.0.into_inner().unwrap();
    /// known.retain(|line| line.id == "low");
    /// batch.run(&known, &second); // solves the other one alone
    /// assert_eq!(second.0.into_inner().unwrap()[0].id, "odd");
    /// ```
    pub fn run(&self, known: &[JournalLine], keeper: &dyn Keeper) -> Vec<BatchRow> {
        let mut rows: Vec<BatchRow> = known.iter().map(BatchRow::of_line).collect();
        let done: Vec<usize> = rows.iter().map(|r| r.position).collect();
        let todo: Vec<(usize, &JobLine)> =
            self.mine().filter(|(i, _)| done.binary_search(i).is_err()).collect();
        rows.extend(each(&todo, |&(position, job)| self.one(position, job, keeper)));
        rows.sort_by_key(|r| r.position);
        rows
    }

    fn one(&self, position: usize, line: &JobLine, keeper: &dyn Keeper) -> BatchRow {
        let watch = Watch::start();
        if self.effort.options.stop.is_raised() {
            return BatchRow::new(position, line, None, &Answer::NotRun, None, None);
        }
        let (input, source) = self.input(line);
        let job = source.and_then(|source| source.read(&line.changes));
        let facts = job.as_ref().ok().map(row::Facts::of);
        let mut answer = match job {
            Ok(job) => self.effort.solve(job),
            Err(findings) => Answer::Fault(findings),
        };
        let cut_short = self.effort.options.stop.is_raised();
        let files = keeper.files(line, &answer).unwrap_or_else(|cause| {
            let finding = Finding::listed("S060", cause);
            answer = Answer::Fault(vec![finding.about(format!("job \"{}\"", line.id))]);
            Vec::new()
        });
        let unwritten = answer.findings().iter().any(|f| f.code == "S060");
        let taken = Taken::of(&answer, SHEET_NODES);
        let row = BatchRow::new(position, line, facts, &answer, taken.as_ref(), Some(watch.elapsed()));
        if !cut_short && !unwritten {
            keeper.line(&row.line(input, files), &row);
        }
        row
    }

    /// What the answer to a job depends on, as a digest, and the job's brief where it can be read.
    fn input(&self, line: &JobLine) -> (String, Result<Source, Vec<Finding>>) {
        let mut hash = Hash::default();
        hash.text(&self.effort_words());
        hash.text(self.also);
        hash.line(line);
        let mut source = if line.findings.is_empty() {
            Source::load(&self.dir.join(&line.brief), &line.changes)
        } else {
            Err(line.findings.clone())
        };
        if let (Ok(source), Some((name, text))) = (&mut source, self.stocks) {
            source.stock_list = Some((name.to_owned(), text.to_owned()));
        }
        match &source {
            Ok(source) => hash.text(&source.digest(&line.changes)),
            Err(findings) => findings.iter().for_each(|f| hash.text(&f.to_string())),
        }
        (hash.hex(), source)
    }

    fn effort_words(&self) -> String {
        let budget =
            self.effort.budget.map_or_else(|| "none".to_owned(), |b| format!("{} ms", b.as_millis()));
        format!(
            "traywright {}, seed {}, {} nodes, at most {budget}, sheets by {SHEET_NODES} nodes",
            env!("CARGO_PKG_VERSION"),
            self.effort.options.seed,
            self.effort.options.nodes
        )
    }
}

/// A digest of texts that cannot run into each other.
#[derive(Default)]
struct Hash(Sha256);

impl Hash {
    fn text(&mut self, text: &str) {
        self.0.update((text.len() as u64).to_le_bytes());
        self.0.update(text.as_bytes());
    }

    fn line(&mut self, job: &JobLine) {
        self.text(&job.id);
        self.text(&job.brief);
        for optional in [&job.box_id, &job.box_price, &job.stock] {
            self.text(optional.as_deref().unwrap_or("\0"));
        }
        for (key, value) in &job.changes {
            self.text(key);
            self.text(value);
        }
        for finding in &job.findings {
            self.text(&finding.to_string());
        }
    }

    fn hex(self) -> String {
        self.0.finalize().iter().map(|b| format!("{b:02x}")).collect()
    }
}

//! The folder of a run over many jobs: its journal, its times, its results.

use std::collections::BTreeMap;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard};
use std::time::Duration;

use anyhow::{Context, anyhow};
use traywright::finding::Finding;
use traywright::shop::{self, Batch, BatchRow, FileMark, Header, Journal, JournalLine};

use crate::files::{FileSet, clear_half_written, make_folder};
use crate::interrupt;

const JOURNAL: &str = "journal.jsonl";
const TIMES: &str = "times.csv";
const TIMES_HEADING: &str = "id,seconds\n";
const RESULTS: [&str; 4] = ["results.csv", "results.jsonl", "summary.txt", "summary.html"];

/// A folder that is being filled.
pub(crate) struct Folder {
    dir: PathBuf,
    open: Mutex<Open>,
}

struct Open {
    journal: File,
    times: File,
    trouble: Option<anyhow::Error>,
}

/// Why a folder cannot be used: something about the input, or about the disk.
pub(crate) enum Refused {
    Finding(Finding),
    Error(anyhow::Error),
}

impl From<anyhow::Error> for Refused {
    fn from(error: anyhow::Error) -> Refused {
        Refused::Error(error)
    }
}

/// How long jobs took, by their identifiers.
pub(crate) type Times = BTreeMap<String, Duration>;

impl Folder {
    /// Makes the folder ready for a run and gives back what an earlier run has already answered. An older run that
    /// is finished is replaced; one that is not is only gone on with (`resume`).
    pub(crate) fn begin(
        dir: &Path,
        batch: &Batch<'_>,
        resume: bool,
    ) -> Result<(Folder, Vec<JournalLine>, Times), Refused> {
        make_folder(dir)?;
        if resume {
            clear_half_written(dir).with_context(|| format!("cannot tidy {}", dir.display()))?;
        }
        let path = dir.join(JOURNAL);
        let there = path.try_exists().with_context(|| format!("cannot look at {}", path.display()))?;
        let earlier = if there { Some(journal(dir)?) } else { None };
        let mut known = Vec::new();
        let mut spent = Times::new();
        match earlier {
            Some(earlier) if resume => {
                known = batch.still_good(&earlier.lines, &|mark| is_as_marked(dir, mark));
                spent = times(dir);
                spent.retain(|id, _| known.iter().any(|line| line.id == *id));
            }
            Some(earlier) => {
                if let Some(finding) = earlier.unfinished(&path.display().to_string()) {
                    return Err(Refused::Finding(finding));
                }
            }
            None => {}
        }
        let mut files = FileSet::default();
        files.add(&path, Journal::text(&batch.header(false), &known));
        let seconds = spent.iter().map(|(id, time)| time_line(id, *time));
        files.add(
            dir.join(TIMES),
            std::iter::once(TIMES_HEADING.to_owned()).chain(seconds).collect::<String>(),
        );
        // A folder with results looks finished.
        RESULTS.iter().map(|name| dir.join(name)).filter(|p| p.exists()).for_each(|p| files.remove(p));
        files.write()?;
        let append = |name: &str| -> anyhow::Result<File> {
            let path = dir.join(name);
            let file = OpenOptions::new().append(true).open(&path);
            file.with_context(|| format!("cannot write {}", path.display()))
        };
        let open = Open { journal: append(JOURNAL)?, times: append(TIMES)?, trouble: None };
        Ok((Folder { dir: dir.to_owned(), open: Mutex::new(open) }, known, spent))
    }

    /// Adds the line of a finished job; `false` where the disk takes no more, which [`Folder::trouble`] tells of.
    pub(crate) fn add(&self, line: &JournalLine, row: &BatchRow) -> bool {
        let mut open = self.locked();
        if open.trouble.is_some() {
            return false;
        }
        let _whole = interrupt::writing();
        let time = row.time.map_or_else(String::new, |time| time_line(&line.id, time));
        let done = whole_or_not(&mut open.times, &time)
            .and_then(|()| whole_or_not(&mut open.journal, &line.text()))
            .and_then(|()| open.journal.sync_data());
        if let Err(error) = done {
            let what = format!("cannot write {}", self.dir.join(JOURNAL).display());
            open.trouble = Some(anyhow!(error).context(what));
            return false;
        }
        true
    }

    /// Takes note that nothing more can be written.
    pub(crate) fn give_up(&self, error: anyhow::Error) {
        self.locked().trouble.get_or_insert(error);
    }

    /// Writes results, times and the finished journal, all of them or none.
    pub(crate) fn finish(
        self,
        batch: &Batch<'_>,
        rows: &mut [BatchRow],
        spent: &Times,
    ) -> anyhow::Result<()> {
        let open = self.open.into_inner().unwrap_or_else(|poisoned| poisoned.into_inner());
        if let Some(trouble) = open.trouble {
            return Err(trouble.context("the run was ended; what is finished is kept, go on with --resume"));
        }
        drop((open.journal, open.times));
        for row in rows.iter_mut().filter(|row| row.time.is_none()) {
            row.time = spent.get(&row.id).copied();
        }
        let path = self.dir.join(JOURNAL);
        let lines = read_journal(&path)?.map_err(|finding| anyhow!("{finding}"))?.lines;
        let header = batch.header(lines.len() == batch.mine().count());
        let mut files = FileSet::default();
        add_results(&mut files, &self.dir, &header, &lines, rows);
        files.write()
    }

    fn locked(&self) -> MutexGuard<'_, Open> {
        // A thread that died in here has left whole lines or none.
        self.open.lock().unwrap_or_else(|poisoned| poisoned.into_inner())
    }
}

/// The journal of a folder.
pub(crate) fn journal(dir: &Path) -> Result<Journal, Refused> {
    read_journal(&dir.join(JOURNAL))?.map_err(Refused::Finding)
}

/// A last line may end in half a letter, so what is no text is passed over.
fn read_journal(path: &Path) -> anyhow::Result<Result<Journal, Finding>> {
    let bytes = fs::read(path).with_context(|| format!("cannot read {}", path.display()))?;
    Ok(Journal::read(&path.display().to_string(), &String::from_utf8_lossy(&bytes)))
}

/// Adds everything that a finished run leaves beside the files of its jobs.
pub(crate) fn add_results(
    files: &mut FileSet,
    dir: &Path,
    header: &Header,
    lines: &[JournalLine],
    rows: &[BatchRow],
) {
    let results = shop::results(rows);
    files.add(dir.join("results.csv"), results.csv());
    files.add(dir.join("results.jsonl"), results.json_lines());
    files.add(dir.join("summary.txt"), shop::summary_text(rows));
    files.add(dir.join("summary.html"), shop::summary_html(rows));
    files.add(dir.join(TIMES), shop::times(rows).csv());
    files.add(dir.join(JOURNAL), Journal::text(header, lines));
}

/// Times as they were noted; of a job that was run twice, the later one.
pub(crate) fn times(dir: &Path) -> Times {
    let bytes = fs::read(dir.join(TIMES)).unwrap_or_default();
    let text = String::from_utf8_lossy(&bytes);
    let lines = text.split_inclusive('\n').filter(|l| l.ends_with('\n')).skip(1);
    let pair = |line: &str| {
        let (id, seconds) = line.trim_end().rsplit_once(',')?;
        let seconds = seconds.parse().ok()?;
        Some((id.to_owned(), Duration::try_from_secs_f64(seconds).ok()?))
    };
    lines.filter_map(pair).collect()
}

/// Identifiers hold neither commas nor quotes.
fn time_line(id: &str, time: Duration) -> String {
    format!("{id},{:.3}\n", time.as_secs_f64())
}

/// Whether a file is still what a job left.
fn is_as_marked(dir: &Path, mark: &FileMark) -> bool {
    fs::read(dir.join(&mark.name)).is_ok_and(|bytes| FileMark::of(mark.name.as_str(), &bytes) == *mark)
}

/// Appends a text, or leaves the file as long as it was.
fn whole_or_not(file: &mut File, text: &str) -> io::Result<()> {
    let before = file.metadata()?.len();
    file.write_all(text.as_bytes()).inspect_err(|_| {
        // Where even this fails, half a line is left at the end, and readers pass over it.
        let _ = file.set_len(before);
    })
}

/// Whether an error means that nothing more can be written into the folder.
pub(crate) fn is_final(error: &anyhow::Error) -> bool {
    error.chain().filter_map(|cause| cause.downcast_ref::<io::Error>()).any(|e| {
        matches!(
            e.kind(),
            ErrorKind::StorageFull
                | ErrorKind::QuotaExceeded
                | ErrorKind::FileTooLarge
                | ErrorKind::ReadOnlyFilesystem
                | ErrorKind::PermissionDenied
        )
    })
}

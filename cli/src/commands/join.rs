use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, ensure};
use clap::Args;
use traywright::finding::{Finding, Place};
use traywright::shop::{self, FileMark, JournalLine};

use super::batch::told;
use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::folder::{Refused, Times, add_results, journal, times};

/// Put the portions of a run together
///
/// Takes the directories that `batch --portion K/N` has written, every portion once, and writes what one undivided
/// run would have written. Ends with the gravest code of all jobs, as `batch` does.
#[derive(Args)]
pub(crate) struct Join {
    /// Directories of all portions
    #[arg(required = true, value_name = "PORTION")]
    portions: Vec<PathBuf>,
    /// Directory to make; it must not be there yet, or be empty
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
}

impl Join {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let mut portions = Vec::new();
        let mut findings = Vec::new();
        for dir in &self.portions {
            match journal(dir) {
                Ok(read) => portions.push((dir.display().to_string(), read)),
                Err(Refused::Finding(finding)) => findings.push(finding),
                Err(Refused::Error(error)) => return Err(error),
            }
        }
        let joined = if findings.is_empty() { shop::join(&portions) } else { Err(findings) };
        let mut joined = match joined {
            Ok(joined) => joined,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut spent = Times::new();
        self.portions.iter().for_each(|dir| spent.extend(times(dir)));
        for row in &mut joined.rows {
            row.time = spent.get(&row.id).copied();
        }
        let empty = match fs::read_dir(&self.out) {
            Ok(mut entries) => entries.next().is_none(),
            Err(_) => !self.out.exists(),
        };
        ensure!(empty, "{} is there already and not empty", self.out.display());
        let name = self.out.file_name().context("the directory to make has no name")?.to_string_lossy();
        let aside = self.out.with_file_name(format!(".{name}.{}.new", std::process::id()));
        let made = self.fill(&aside, &joined);
        let done = match made {
            Ok(spoiled) if spoiled.is_empty() => {
                // Where an empty directory of that name is there, it makes room.
                let _ = fs::remove_dir(&self.out);
                fs::rename(&aside, &self.out)
                    .with_context(|| format!("cannot make {}", self.out.display()))
                    .map(|()| Vec::new())
            }
            other => other,
        };
        match done {
            Ok(spoiled) if spoiled.is_empty() => told(console, &self.out, &joined.rows),
            other => {
                // What is left aside belongs to nobody.
                let _ = fs::remove_dir_all(&aside);
                console.findings(&other?);
                Ok(Exit::InputAtFault)
            }
        }
    }

    /// Writes everything into a directory aside; gives back files of portions that are not what their run wrote.
    fn fill(&self, aside: &Path, joined: &shop::Joined) -> anyhow::Result<Vec<Finding>> {
        fs::create_dir_all(aside).with_context(|| format!("cannot make {}", aside.display()))?;
        let mut spoiled = Vec::new();
        for (portion, line) in &joined.lines {
            let Some(dir) = self.portions.get(*portion) else { continue };
            for mark in &line.files {
                let from = dir.join(&mark.name);
                match fs::read(&from) {
                    Ok(bytes) if FileMark::of(mark.name.as_str(), &bytes) == *mark => {
                        let to = aside.join(&mark.name);
                        fs::write(&to, bytes).with_context(|| format!("cannot write {}", to.display()))?;
                    }
                    _ => {
                        let cause = format!("job \"{}\": this file is not what its run wrote", line.id);
                        let place = Place { file: from.display().to_string(), ..Place::default() };
                        spoiled.push(Finding::listed("S064", cause).at(place));
                    }
                }
            }
        }
        let lines: Vec<JournalLine> = joined.lines.iter().map(|(_, line)| line.clone()).collect();
        let mut files = FileSet::default();
        add_results(&mut files, aside, &joined.header, &lines, &joined.rows);
        files.write()?;
        Ok(spoiled)
    }
}

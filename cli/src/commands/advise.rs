use std::path::PathBuf;

use clap::Args;
use traywright::job::Source;
use traywright::shop;

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::search::{Changes, Search};

/// Say why a brief does not fit: the smallest changes that give it a plan
///
/// Tries one change after another (a higher or wider box, thinner stock or clearance, other ways of standing, another
/// layer, a part or kept item less, a tray split in two …), each in the smallest step that makes the brief fit, and
/// pairs of them where none does alone. Every change that is told was verified by a plan that passes the checker, and
/// stands there as --set would write it. --nodes counts for each plan that is sought, --budget for all together.
/// Ends with code 0 where a change helps or the brief fits as it is, with 2 where nothing was found.
#[derive(Args)]
pub(crate) struct Advise {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Print all changes as JSON instead of the text
    #[arg(long)]
    json: bool,
    /// Write all changes as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    search: Search,
}

impl Advise {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let effort = self.search.tries()?;
        let changes = self.changes.list(&self.brief);
        let line = console.counter("changes", 0, 0);
        let advice = Source::load(&self.brief, &changes)
            .and_then(|source| shop::advise(&source, &changes, &effort, &|change| line.count(change)));
        drop(line);
        let advice = match advice {
            Ok(advice) => advice,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut files = FileSet::default();
        if let Some(path) = &self.csv {
            files.add(path, advice.table().csv());
        }
        files.write()?;
        console.result(&if self.json { advice.table().json() } else { advice.text() })?;
        Ok(if advice.is_helpful() { Exit::Done } else { Exit::NoPlan })
    }
}

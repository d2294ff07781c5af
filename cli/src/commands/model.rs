use std::path::PathBuf;

use clap::Args;

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::search::{Changes, Search};

/// Write the placement problem of a brief as a mixed-integer model (free-format MPS) for other solvers
#[derive(Args)]
pub(crate) struct Model {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// File to write
    #[arg(long, value_name = "FILE.mps")]
    out: PathBuf,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    search: Search,
}

impl Model {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let job = match self.changes.job(&self.brief) {
            Ok(job) => job,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let text = match traywright::plan::mps(&job, &self.search.options()?) {
            Ok(text) => text,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::NoPlan);
            }
        };
        let mut files = FileSet::default();
        files.add(&self.out, text);
        files.write()?;
        Ok(Exit::Done)
    }
}

use std::path::PathBuf;

use clap::Args;
use traywright::{draw, shop};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::older::older;
use crate::opened::brief_and_plan;
use crate::search::Changes;

/// Tell in what a plan differs from an older one: what moved, grew and shrank, and which panels must be cut again
#[derive(Args)]
pub(crate) struct Differ {
    /// Brief of the new plan (TOML or JSON)
    brief: PathBuf,
    /// Older plan file
    old: PathBuf,
    /// New plan file
    new: PathBuf,
    /// Brief of the older plan [default: the same brief, without corrections where the plan was made so]
    #[arg(long, value_name = "BRIEF")]
    old_brief: Option<PathBuf>,
    /// Write everything as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    /// Draw both plans side by side
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Write a page with the picture and the panels to cut again
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    #[command(flatten)]
    changes: Changes,
}

impl Differ {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let Some((job, plan)) = brief_and_plan(&self.brief, &self.new, &self.changes, console)? else {
            return Ok(Exit::InputAtFault);
        };
        let old = older(&self.brief, self.old_brief.as_deref(), &self.changes, &self.old)?;
        let told = old.and_then(|old| {
            console.findings(old.doubt.as_slice());
            shop::differences((&old.job, &old.plan), (&job, &plan))
        });
        let told = match told {
            Ok(told) => told,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut files = FileSet::default();
        if let Some(path) = &self.json {
            files.add(path, draw::differences_json(&told));
        }
        if let Some(path) = &self.svg {
            files.add(path, draw::differences_svg(&told));
        }
        if let Some(path) = &self.html {
            files.add(path, draw::differences_html(&told, None));
        }
        files.write()?;
        console.result(&draw::differences_text(&told))?;
        Ok(Exit::Done)
    }
}

use std::path::PathBuf;

use clap::Args;
use traywright::job::Source;
use traywright::plan::Plan;
use traywright::shop::{self, Room};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::{FileSet, read};
use crate::search::{Changes, Search};

/// Say how much more of each part, and of all together, a box still takes
///
/// Every part grows by itself, everything else unchanged: first as far as the plan takes it as it stands, then with new
/// plans. Then all parts grow together, in percent. Every amount that is told was verified by the checker; beside it
/// stands what came of one step more. --nodes counts for each plan that is sought, --budget for all together.
#[derive(Args)]
pub(crate) struct Grow {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Plan file (STEM.plan.json) to begin with [default: one is made as `plan` makes it]
    plan: Option<PathBuf>,
    /// Print everything as JSON instead of the text
    #[arg(long)]
    json: bool,
    /// Write everything as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    search: Search,
}

impl Grow {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let effort = self.search.tries()?;
        let plan = match &self.plan {
            None => None,
            Some(path) => match Plan::from_json(&path.to_string_lossy(), &read(path)?) {
                Ok(plan) => Some(plan),
                Err(finding) => {
                    console.findings(&[finding]);
                    return Ok(Exit::InputAtFault);
                }
            },
        };
        let changes = self.changes.list(&self.brief);
        let line = console.counter("parts", 0, 0);
        let room = Source::load(&self.brief, &changes)
            .and_then(|source| shop::grow(&source, &changes, plan, &effort, &|part| line.count(part)));
        drop(line);
        let growth = match room {
            Ok(Room::Grows(growth)) => growth,
            Ok(Room::NoPlan(answer)) => {
                console.findings(answer.findings());
                console.note(&super::advise_hint(&self.brief));
                return Ok(Exit::NoPlan);
            }
            Ok(Room::Broken(faults)) => {
                console.findings(&faults);
                return Ok(Exit::NotReached);
            }
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut files = FileSet::default();
        if let Some(path) = &self.csv {
            files.add(path, growth.table().csv());
        }
        files.write()?;
        console.result(&if self.json { growth.table().json() } else { growth.text() })?;
        Ok(Exit::Done)
    }
}

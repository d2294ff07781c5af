use std::path::PathBuf;

use clap::Args;

use crate::console::Console;
use crate::exit::Exit;
use crate::opened::brief_and_plan;
use crate::search::Changes;

/// Check a plan against its brief, by code that shares nothing with the search
#[derive(Args)]
pub(crate) struct Check {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Plan file (STEM.plan.json)
    plan: PathBuf,
    #[command(flatten)]
    changes: Changes,
}

impl Check {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let Some((job, plan)) = brief_and_plan(&self.brief, &self.plan, &self.changes, console)? else {
            return Ok(Exit::InputAtFault);
        };
        let findings = traywright::check::check(&job, &plan);
        if findings.is_empty() {
            console.result(&format!("{}: every rule holds\n", self.plan.display()))?;
            return Ok(Exit::Done);
        }
        console.findings(&findings);
        Ok(Exit::NotReached)
    }
}

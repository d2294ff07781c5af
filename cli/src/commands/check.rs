use std::path::PathBuf;

use clap::Args;
use traywright::plan::Plan;

use crate::console::Console;
use crate::exit::Exit;
use crate::files::read;
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
        let job = match traywright::job::load(&self.brief, &self.changes.changes) {
            Ok(job) => job,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let plan = match Plan::from_json(&self.plan.to_string_lossy(), &read(&self.plan)?) {
            Ok(plan) => plan,
            Err(finding) => {
                console.findings(&[finding]);
                return Ok(Exit::InputAtFault);
            }
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

use std::path::PathBuf;

use clap::Args;
use traywright::sheet::NODES;
use traywright::shop::Figures;

use crate::console::Console;
use crate::exit::Exit;
use crate::opened::brief_and_plan;
use crate::search::Changes;

/// Check a plan against its brief, by code that shares nothing with the search
///
/// Where every rule holds, its panels are made and laid out on sheets as `cut` would, so that a plan that cannot be cut is
/// told too.
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
        if !findings.is_empty() {
            console.findings(&findings);
            return Ok(Exit::NotReached);
        }
        let name = self.plan.display();
        match Figures::of_plan(&job, &plan, NODES) {
            Ok(figures) => {
                let sheets: i64 = figures.materials.iter().flat_map(|m| &m.sheets).map(|s| s.count).sum();
                let (panels, sheets) = (count(figures.panels, "panel"), count(sheets, "sheet"));
                console.result(&format!("{name}: every rule holds; {panels} on {sheets}\n"))?;
                Ok(Exit::Done)
            }
            Err(findings) => {
                console.result(&format!("{name}: every rule holds, but it cannot be cut\n"))?;
                console.findings(&findings);
                Ok(Exit::NotReached)
            }
        }
    }
}

fn count(n: i64, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

use std::path::PathBuf;

use clap::Args;
use traywright::draw::{tolerance_csv, tolerance_json, tolerance_text};
use traywright::tolerance::{Assumptions, tolerance};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::opened::brief_and_plan;
use crate::search::{Changes, change};

/// Say how sure it is that a plan will go into the box
///
/// Follows every chain of trays and items across the box, in each direction and layer: the play as planned, what is
/// left of it in the worst case and by the root of the sum of squares, and the chance that it goes in, found by
/// making many boxes by chance from what sheets, cuts, moisture and the box may be off. Names the greatest risk and
/// the clearance that would be sure enough.
#[derive(Args)]
pub(crate) struct Tolerance {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Plan file (STEM.plan.json)
    plan: PathBuf,
    /// Assume something else: thickness, floor, cutting, box or kept (± a length), movement (percent), spread
    /// (uniform or normal), level (the wanted chance, percent), trials, seed
    #[arg(long = "assume", value_name = "KEY=VALUE", value_parser = change)]
    assume: Vec<(String, String)>,
    /// Write all chains as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write everything, each deviation of each chain too, as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    #[command(flatten)]
    changes: Changes,
}

impl Tolerance {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let Some((job, plan)) = brief_and_plan(&self.brief, &self.plan, &self.changes, console)? else {
            return Ok(Exit::InputAtFault);
        };
        // Chains of a plan that does not keep the rules would mean nothing.
        let faults = traywright::check::refusal(&job, &plan);
        if !faults.is_empty() {
            console.findings(&faults);
            return Ok(Exit::NotReached);
        }
        console.findings(&traywright::check::earlier(&job, &plan).into_iter().collect::<Vec<_>>());
        let mut assumed = Assumptions::of(&job);
        let faults: Vec<String> = self
            .assume
            .iter()
            .filter_map(|(key, value)| {
                let fault = assumed.set(key, value).err()?;
                Some(format!("--assume {key}={value}: {fault}"))
            })
            .collect();
        anyhow::ensure!(faults.is_empty(), "{}", faults.join("\n"));
        let found = tolerance(&job, &plan, &assumed);
        let mut files = FileSet::default();
        if let Some(path) = &self.csv {
            files.add(path, tolerance_csv(&found));
        }
        if let Some(path) = &self.json {
            files.add(path, tolerance_json(&found, &plan.title));
        }
        files.write()?;
        console.result(&tolerance_text(&found, &plan.title))?;
        Ok(Exit::Done)
    }
}

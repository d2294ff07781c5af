use std::path::PathBuf;

use anyhow::Context;
use clap::Args;
use traywright::plan::Plan;
use traywright::shop::{self, Figures, Offer};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::{FileSet, read};
use crate::search::Changes;

/// Reckon what a plan costs to make, and write a quote and a costing
///
/// Writes STEM.quote.html for the customer and STEM.costing.html for the shop, STEM being the brief's name, and prints
/// what every order costs. Panels are laid out on sheets as `cut` does; times and material come from there, money from
/// the file of rates.
#[derive(Args)]
pub(crate) struct Quote {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Plan file (STEM.plan.json)
    plan: PathBuf,
    /// Rates of the shop (TOML)
    #[arg(long, value_name = "FILE")]
    rates: PathBuf,
    /// Directory to write into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// How many inserts are ordered; several times for several prices [default: 1 and every price break]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(i64).range(1..=1_000_000))]
    quantity: Vec<i64>,
    /// Whom the quote is for
    #[arg(long, value_name = "NAME", default_value = "")]
    customer: String,
    /// Write every term of every order as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    #[command(flatten)]
    changes: Changes,
}

impl Quote {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let job = self.changes.job(&self.brief);
        let (job, rates) = match (job, shop::load_rates(&self.rates)) {
            (Ok(job), Ok(rates)) => (job, rates),
            (job, rates) => {
                console.findings(&job.err().into_iter().chain(rates.err()).flatten().collect::<Vec<_>>());
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
        let faults = traywright::check::refusal(&job, &plan);
        if !faults.is_empty() {
            console.findings(&faults);
            return Ok(Exit::NotReached);
        }
        console.findings(&traywright::check::earlier(&job, &plan).into_iter().collect::<Vec<_>>());
        let mut quantities = self.quantity.clone();
        if quantities.is_empty() {
            quantities.push(1);
            quantities.extend(rates.breaks.iter().map(|b| b.from).filter(|n| *n > 1));
        }
        quantities.sort_unstable();
        quantities.dedup();
        let figures = Figures::of_plan(&job, &plan, traywright::sheet::NODES);
        let offer = figures.and_then(|figures| {
            let costings = quantities.iter().map(|n| shop::cost(&figures, &rates, *n));
            let costings = costings.collect::<Result<Vec<_>, _>>()?;
            Ok(Offer::of_plan(&job, &plan, self.customer.clone(), figures, rates, costings))
        });
        let offer = match offer {
            Ok(offer) => offer,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let stem = self.brief.file_stem().context("the brief has no name")?.to_string_lossy();
        let mut files = FileSet::default();
        files.add(self.out.join(format!("{stem}.quote.html")), shop::quote_html(&offer));
        files.add(self.out.join(format!("{stem}.costing.html")), shop::costing_html(&offer));
        if let Some(path) = &self.json {
            files.add(path, shop::quote_json(&offer));
        }
        files.write()?;
        console.result(&shop::quote_text(&offer))?;
        Ok(Exit::Done)
    }
}

use std::path::PathBuf;

use clap::Args;
use traywright::finding::Severity;
use traywright::shop::{self, Variant};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::search::{Changes, Search};

/// Solve a brief afresh for every stock of a list, each with the same effort
///
/// Prints a table: fits or not, what is proven, where the room goes, the tightest compartment. Ends with code 0
/// where at least one stock fits, with 2 where none does.
#[derive(Args)]
pub(crate) struct Compare {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Stock list (TOML or CSV)
    #[arg(long, value_name = "LIST")]
    stock: PathBuf,
    /// Try this on every stock too: KEY=VALUE of the brief, several with `;` between, or clearance=…, layers=…, unsleeved
    #[arg(long = "with", value_name = "VARIANT", value_parser = Variant::read)]
    variants: Vec<Variant>,
    /// Write a page with plots of waste, spare room and price against thickness
    #[arg(long, value_name = "FILE")]
    html: Option<PathBuf>,
    /// Write the whole table as CSV
    #[arg(long, value_name = "FILE")]
    csv: Option<PathBuf>,
    /// Write the whole table as JSON
    #[arg(long, value_name = "FILE")]
    json: Option<PathBuf>,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    search: Search,
}

impl Compare {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let effort = self.search.effort()?;
        let stocks = traywright::job::load_list(&self.stock).map_or(0, |list| list.len());
        let line = console.counter("rows", 0, stocks * (1 + self.variants.len()));
        let changes = self.changes.list(&self.brief);
        let comparison =
            shop::compare(&self.brief, &self.stock, &changes, &self.variants, &effort, &|stock| {
                line.count(stock)
            });
        drop(line);
        let comparison = match comparison {
            Ok(comparison) => comparison,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut files = FileSet::default();
        if let Some(path) = &self.csv {
            files.add(path, comparison.table().csv());
        }
        if let Some(path) = &self.json {
            files.add(path, comparison.table().json());
        }
        if let Some(path) = &self.html {
            files.add(path, comparison.html());
        }
        files.write()?;
        console.result(&comparison.short_table().text())?;
        let fits = comparison.rows.iter().any(|row| matches!(row.answer, shop::Answer::Plan { .. }));
        for row in &comparison.rows {
            for finding in row.answer.findings().iter().filter(|f| f.severity > Severity::Note) {
                console.note(&format!("{}: {finding}", row.stock.id));
            }
        }
        Ok(if fits { Exit::Done } else { Exit::NoPlan })
    }
}

use std::path::PathBuf;

use anyhow::bail;
use clap::Args;
use traywright::brief::{Starter, starter};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::write_fresh;

/// Write a starting point: a commented brief (.toml) or a spreadsheet of parts (.csv)
///
/// A file that is already there is never overwritten.
#[derive(Args)]
pub(crate) struct Start {
    /// File to write, ending in .toml or .csv
    file: PathBuf,
}

impl Start {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let which = match self.file.extension().and_then(|e| e.to_str()) {
            Some("toml") => Starter::Brief,
            Some("csv") => Starter::Spreadsheet,
            _ => bail!("{} ends neither in .toml (a brief) nor in .csv (a spreadsheet)", self.file.display()),
        };
        write_fresh(&self.file, starter(which))?;
        console.note(&format!("wrote {}", self.file.display()));
        Ok(Exit::Done)
    }
}

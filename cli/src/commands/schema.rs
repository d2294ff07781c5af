use clap::Args;

use crate::console::Console;
use crate::exit::Exit;

/// Print the JSON Schema of briefs, for editors that complete and check keys
#[derive(Args)]
pub(crate) struct Schema {}

impl Schema {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        console.result(&format!("{:#}\n", traywright::brief::schema()))?;
        Ok(Exit::Done)
    }
}

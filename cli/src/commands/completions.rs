use clap::{Args, CommandFactory};
use clap_complete::Shell;

use crate::console::Console;
use crate::exit::Exit;

/// Print completions for a shell
#[derive(Args)]
pub(crate) struct Completions {
    /// Shell to complete in
    shell: Shell,
}

impl Completions {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let mut text = Vec::new();
        clap_complete::generate(self.shell, &mut crate::Arguments::command(), "traywright", &mut text);
        console.result(&String::from_utf8_lossy(&text))?;
        Ok(Exit::Done)
    }
}

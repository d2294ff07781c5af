use std::path::PathBuf;

use clap::{Args, CommandFactory};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;

/// Write man pages, one a command
#[derive(Args)]
pub(crate) struct Man {
    /// Directory to write into
    dir: PathBuf,
}

impl Man {
    pub(crate) fn run(&self, _: &Console) -> anyhow::Result<Exit> {
        let mut command = crate::Arguments::command();
        command.build();
        let mut pages = FileSet::default();
        for page in std::iter::once(&command).chain(command.get_subcommands()) {
            let name = page.get_display_name().unwrap_or(page.get_name());
            let mut text = Vec::new();
            clap_mangen::Man::new(page.clone().name(name.to_owned())).render(&mut text)?;
            pages.add(self.dir.join(format!("{name}.1")), text);
        }
        pages.write()?;
        Ok(Exit::Done)
    }
}

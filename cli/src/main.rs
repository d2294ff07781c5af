//! The `traywright` command: arguments in, one library call, an exit code out.

mod commands;
mod console;
mod exit;
mod files;
mod folder;
mod interrupt;
mod older;
mod opened;
mod search;

use std::process::ExitCode;

use clap::Parser;

use commands::Command;
use console::Console;
use exit::Exit;

/// Computes box inserts cut from sheet stock: trays in layers, trays divided into compartments, with a
/// claim of how good the arrangement is and the room that every compartment has to spare.
#[derive(Parser)]
#[command(name = "traywright", version, after_long_help = exit::TABLE, max_term_width = 100)]
struct Arguments {
    /// Tell every finding in one line, without the lines of the file it points into
    #[arg(long, global = true)]
    short: bool,
    #[command(subcommand)]
    command: Command,
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Printing fails where the reader has gone away; there is nobody left to tell.
            let _ = error.print();
            return if error.use_stderr() { Exit::InputAtFault } else { Exit::Done }.into();
        }
    };
    let console = Console::new(arguments.short);
    match interrupt::listen().and_then(|()| arguments.command.run(&console)) {
        Ok(exit) => exit.into(),
        Err(error) => {
            console.error(&error);
            Exit::InputAtFault.into()
        }
    }
}

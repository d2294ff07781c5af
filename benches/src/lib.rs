//! What the benches share: layout cases, and runs of the search watched by the clock.

use std::path::PathBuf;

pub mod case;
pub mod chart;
pub mod full;
pub mod grown;
pub mod models;
pub mod watched;

/// The command of the same build, beside the bench; `None` where it was not built.
pub fn command() -> Option<PathBuf> {
    std::env::current_exe().ok().map(|me| me.with_file_name("traywright")).filter(|c| c.exists())
}

//! What the exit code says; this is the contract with scripts.

use std::process::ExitCode;

/// Shown under `--help` and in the man page.
pub(crate) const TABLE: &str = "\
Exit codes:
  0  the command did what was asked
  1  a claim asked for with --require was not reached, or `check` found a fault
  2  no plan (the reasons are given)
  3  the input is at fault, or a file could not be read or written; nothing was written
130  ended by Ctrl-C where nothing is searched, or by a second one; no file is half written";

/// How a command ended.
///
/// In the order in which a run over many jobs lets one outweigh another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Exit {
    /// What was asked for is done.
    Done = 0,
    /// A plan is there, but the claim asked for is not; or `check` found a fault.
    NotReached = 1,
    /// There is no plan.
    NoPlan = 2,
    /// The input is at fault.
    InputAtFault = 3,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        ExitCode::from(exit as u8)
    }
}

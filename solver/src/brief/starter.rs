//! Starting points for a maker: a commented brief and a spreadsheet.

/// Which starting point.
///
/// ```
/// use traywright::brief::{Starter, starter};
/// assert!(starter(Starter::Brief).starts_with("# "));
/// let first = starter(Starter::Spreadsheet).lines().next().unwrap();
/// assert!(first.starts_with("name;tray;use;")); // the columns
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Starter {
    /// A commented brief in TOML.
    Brief,
    /// An inventory as a spreadsheet (CSV), one row a part.
    Spreadsheet,
}

/// The text of a starting point: small, invented and ready to plan.
///
/// ```
/// use traywright::{brief::{Format, Starter, starter}, job};
/// let brief = "inventory = \"parts.csv\"\nbox.interior = [240, 180, 60]\n\
///     stock = { name = \"birch plywood\", thickness = 3 }\n";
/// let parts = ("parts.csv", starter(Starter::Spreadsheet));
/// let job = job::read(brief, "b.toml", Format::Toml, Some(parts), &[]).unwrap();
/// assert_eq!((job.trays.len(), job.free.len()), (2, 1));
/// ```
pub fn starter(which: Starter) -> &'static str {
    match which {
        Starter::Brief => include_str!("starter.toml"),
        Starter::Spreadsheet => include_str!("starter.csv"),
    }
}

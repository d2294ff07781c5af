//! Starting points for a maker: a commented brief and a spreadsheet.

/// Which starting point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Starter {
    /// A commented brief in TOML.
    Brief,
    /// An inventory as a spreadsheet (CSV), one row a part.
    Spreadsheet,
}

/// The text of a starting point: small, invented and ready to plan.
pub fn starter(which: Starter) -> &'static str {
    match which {
        Starter::Brief => include_str!("starter.toml"),
        Starter::Spreadsheet => include_str!("starter.csv"),
    }
}

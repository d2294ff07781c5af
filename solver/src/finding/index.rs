//! Every kind of finding, once: the source of the index page `docs/findings.md`.

use super::Severity;

/// One kind of finding.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Its code; never changes meaning.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What it means, in a short phrase.
    pub title: &'static str,
    /// What to do, in a sentence.
    pub remedy: &'static str,
    /// A brief (TOML) that brings it about, where a brief alone can.
    pub snippet: Option<&'static str>,
}

/// All kinds, in the order of their codes.
///
/// Each room keeps its entries under its own heading, so that two people adding codes do not meet.
pub const INDEX: &[Entry] = &[
    // B: reading a brief
    // J: building a job
    // N: needs
    // T: trays
    Entry {
        code: "T001",
        severity: Severity::Fault,
        title: "a tray with all its parts is larger than the box",
        remedy: "Split it into two trays, allow more ways of standing, or use thinner stock.",
        snippet: None,
    },
    Entry {
        code: "T002",
        severity: Severity::Fault,
        title: "a tray of fixed size is too small for its parts",
        remedy: "Make the tray larger, leave its size open, or move a part to another tray.",
        snippet: None,
    },
    // L: layout
    // P: plan
    // C: checker
    // S: stock and shop (S001 to S049 stock, from S050 shop)
    // D: drawing
];

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
pub const INDEX: &[Entry] = &[];

//! Findings: what is wrong or worth knowing, numbered, with place, cause and remedy.

pub mod index;

use std::fmt;

use serde::{Deserialize, Serialize};

/// How bad a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; nothing is wrong.
    Note,
    /// Probably not what was meant; the work goes on.
    Warning,
    /// The work cannot go on.
    Fault,
}

/// Where a finding points: a file, the bytes in it, and the key's path.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Place {
    /// Name of the file as the caller gave it.
    pub file: String,
    /// Byte range in that file, where known.
    pub bytes: Option<std::ops::Range<usize>>,
    /// 1-based line and column, where known.
    pub line_column: Option<(usize, usize)>,
    /// Path of the key in words, such as `tray "decks" › part "weather cards" › stack.count`.
    pub path: String,
}

/// One finding. `code` is unique to a kind of finding and listed in the index of findings (`docs/findings.md`).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// Such as `B012`: a letter for the room it comes from and a number that never changes its meaning.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// Where.
    pub place: Place,
    /// What is wrong, in one sentence, quoting the offending value.
    pub cause: String,
    /// What to do about it, in one sentence.
    pub remedy: String,
}

impl Finding {
    /// A finding without a place in a file.
    pub fn new(
        code: &'static str,
        severity: Severity,
        cause: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Finding { code, severity, place: Place::default(), cause: cause.into(), remedy: remedy.into() }
    }

    /// A finding of the index: its severity and its usual remedy come from there.
    ///
    /// ```
    /// use traywright::finding::{Finding, Severity};
    /// let f = Finding::listed("B007", "`widht` is not a key of the box");
    /// assert_eq!(f.severity, Severity::Fault);
    /// ```
    pub fn listed(code: &'static str, cause: impl Into<String>) -> Self {
        let (severity, remedy) = match index::find(code) {
            Some(entry) => (entry.severity, entry.remedy),
            None => (Severity::Fault, ""),
        };
        Finding::new(code, severity, cause, remedy)
    }

    /// The same finding, at this place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// The same finding with a remedy that says more than the usual one.
    #[must_use]
    pub fn remedied(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }

    /// The same finding, about this path of keys.
    #[must_use]
    pub fn about(mut self, path: impl Into<String>) -> Self {
        self.place.path = path.into();
        self
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.file.is_empty() {
            write!(f, "{}:", self.place.file)?;
            if let Some((line, column)) = self.place.line_column {
                write!(f, "{line}:{column}:")?;
            }
            write!(f, " ")?;
        }
        write!(f, "{} {}", self.code, self.cause)?;
        if !self.place.path.is_empty() {
            write!(f, " [{}]", self.place.path)?;
        }
        write!(f, " — {}", self.remedy)
    }
}

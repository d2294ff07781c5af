//! Findings: what is wrong or worth knowing, numbered, with place, cause and remedy.

pub mod index;

use std::fmt;

use serde::{Deserialize, Serialize};

/// How bad a finding is.
///
/// ```
/// use traywright::finding::Severity;
/// let worst = [Severity::Note, Severity::Fault, Severity::Warning].into_iter().max();
/// assert_eq!(worst, Some(Severity::Fault));
/// assert!(Severity::Note < Severity::Warning);
/// assert_eq!(serde_json::to_string(&Severity::Note).unwrap(), "\"note\"");
/// ```
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
///
/// ```
/// use traywright::{brief::Format, job};
/// let brief = "box.interior = [160, 120, 60]\nbox.lid_rom = 2\n\
///     stock = { name = \"greyboard\", thickness = 2 }\n";
/// let findings = job::read(brief, "quay.toml", Format::Toml, None, &[]).unwrap_err();
/// let place = &findings[0].place;
/// assert_eq!((&*place.file, place.line_column), ("quay.toml", Some((2, 5))));
/// assert_eq!(&brief[place.bytes.clone().unwrap()], "lid_rom");
/// ```
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
///
/// ```
/// use traywright::{brief::Format, finding::Severity, job};
/// let brief = "box.interior = [160, 120, 60]\nbox.lid_rom = 2\n\
///     stock = { name = \"greyboard\", thickness = 2 }\n";
/// let findings = job::read(brief, "quay.toml", Format::Toml, None, &[]).unwrap_err();
/// assert_eq!((findings[0].code, findings[0].severity), ("B007", Severity::Fault));
/// assert!(findings[0].to_string().starts_with("quay.toml:2:5: B007 "));
/// assert!(findings[0].remedy.contains("lid_room"));
/// ```
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
    ///
    /// ```
    /// use traywright::finding::{Finding, Severity};
    /// let f = Finding::new("S003", Severity::Fault, "no stock is called \"slate\"", "Add it.");
    /// assert_eq!(f.to_string(), "S003 no stock is called \"slate\" — Add it.");
    /// ```
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
    ///
    /// ```
    /// use traywright::finding::{Finding, Place};
    /// let file = "quay.toml".into();
    /// let place = Place { file, line_column: Some((2, 5)), ..Place::default() };
    /// let f = Finding::listed("B007", "`lid_rom` is not a key of the box").at(place);
    /// assert!(f.to_string().starts_with("quay.toml:2:5: B007 `lid_rom`"));
    /// ```
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// The same finding with a remedy that says more than the usual one.
    ///
    /// ```
    /// use traywright::finding::Finding;
    /// let usual = Finding::listed("B007", "`lid_rom` is not a key of the box");
    /// let f = usual.clone().remedied("Did you mean `lid_room`?");
    /// assert!(f.to_string().ends_with(" — Did you mean `lid_room`?"));
    /// assert_eq!((f.code, f.severity, &f.cause), (usual.code, usual.severity, &usual.cause));
    /// ```
    #[must_use]
    pub fn remedied(mut self, remedy: impl Into<String>) -> Self {
        self.remedy = remedy.into();
        self
    }

    /// The same finding, about this path of keys.
    ///
    /// ```
    /// use traywright::finding::Finding;
    /// let f = Finding::listed("J001", "the name is taken").about("tray \"cargo\" › name");
    /// assert!(f.to_string().starts_with("J001 the name is taken [tray \"cargo\" › name] — "));
    /// ```
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

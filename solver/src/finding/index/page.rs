//! The page `docs/findings.md`, written from the index.

use std::fmt::Write;

use super::{Entry, all};
use crate::finding::Severity;

/// Rooms by the letters of their codes.
const ROOMS: &[(char, &str)] = &[
    ('B', "Reading a brief"),
    ('J', "Building the job"),
    ('N', "Needs of parts"),
    ('T', "Trays"),
    ('L', "Layout"),
    ('P', "Plan"),
    ('K', "Panels"),
    ('H', "Sheets"),
    ('C', "Checker"),
    ('S', "Stock and shop"),
    ('D', "Drawings"),
];

/// The index of findings as a page in Markdown: every code with its meaning, its remedy and, where a file alone
/// brings it about, the shortest file that does.
///
/// ```
/// let page = traywright::finding::index::page();
/// assert!(page.contains("\n### B005\n\nfault: **a decimal comma**. "));
/// assert!(page.find("## B: Reading a brief") < page.find("## C: Checker"));
/// ```
pub fn page() -> String {
    let mut out = String::from(
        "# Findings\n\n\
         Everything that Traywright may say about a brief, a job or a plan has a code. A **fault** stops the work, a \
         **warning** doubts what was written, a **note** tells what was chosen. Codes never change their meaning.\n\n\
         This page is written by the program from its own index; a test keeps it current and runs every example.\n",
    );
    for (letter, room) in ROOMS {
        let mut entries: Vec<&Entry> = all().filter(|e| e.code.starts_with(*letter)).collect();
        entries.sort_by_key(|e| e.code);
        if entries.is_empty() {
            continue;
        }
        let _ = write!(out, "\n## {letter}: {room}\n");
        for entry in entries {
            write_entry(&mut out, entry);
        }
    }
    out
}

fn write_entry(out: &mut String, entry: &Entry) {
    let severity = match entry.severity {
        Severity::Fault => "fault",
        Severity::Warning => "warning",
        Severity::Note => "note",
    };
    let _ = write!(out, "\n### {}\n\n{severity}: **{}**. {}\n", entry.code, entry.title, entry.remedy);
    if let Some(snippet) = entry.snippet {
        let language = if super::is_inventory(entry) { "csv" } else { "toml" };
        let _ = write!(out, "\n```{language}\n{}\n```\n", snippet.trim_end());
    }
}

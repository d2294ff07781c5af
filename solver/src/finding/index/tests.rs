//! The index held against the code, the page and its own examples.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use super::*;
use crate::brief::Format;
use crate::finding::Finding;
use crate::job::{self, Contents, Job, Part, Tray};

/// A brief to which an inventory from a snippet belongs.
const AROUND: &str = concat!("inventory = \"parts.csv\"\n", interior!(), stock!());

#[test]
fn codes_are_well_formed_and_differ() {
    let mut seen = BTreeSet::new();
    for entry in all() {
        assert!(seen.insert(entry.code), "{} is there twice", entry.code);
        let (letter, number) = entry.code.split_at(1);
        assert!("BJNTLPKHCSD".contains(letter) && number.len() == 3, "{}", entry.code);
        assert!(number.bytes().all(|b| b.is_ascii_digit()), "{}", entry.code);
        assert!(!entry.title.is_empty() && !entry.title.ends_with('.'), "{}", entry.code);
        assert!(entry.remedy.ends_with('.'), "{}", entry.code);
    }
}

/// Every code that the sources write is in the index, and every entry is written somewhere.
#[test]
fn the_index_and_the_sources_agree() {
    let mut written: BTreeMap<String, String> = BTreeMap::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut |path, text| {
        let name = path.to_string_lossy().replace('\\', "/");
        if name.contains("/finding/index") || name.contains("tests") {
            return;
        }
        let text = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or("");
        for quoted in text.split('"') {
            let mut chars = quoted.chars();
            let letter = chars.next().is_some_and(|c| "BJNTLPKHCSD".contains(c));
            if letter && quoted.len() == 4 && chars.all(|c| c.is_ascii_digit()) {
                written.insert(quoted.to_owned(), name.clone());
            }
        }
    });
    let listed: BTreeSet<&str> = all().map(|e| e.code).collect();
    let missing: Vec<_> = written.iter().filter(|(code, _)| !listed.contains(code.as_str())).collect();
    assert!(missing.is_empty(), "no entry in the index for {missing:?}");
    let idle: Vec<_> = listed.iter().filter(|code| !written.contains_key(**code)).collect();
    assert!(idle.is_empty(), "no source writes {idle:?}");
}

fn walk(dir: &Path, each: &mut dyn FnMut(&Path, &str)) {
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            walk(&path, each);
        } else if path.extension().is_some_and(|e| e == "rs") {
            each(&path, &fs::read_to_string(&path).unwrap());
        }
    }
}

/// `UPDATE_FINDINGS=1 cargo test -p traywright the_page_is_current` writes the page anew.
#[test]
fn the_page_is_current() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/findings.md");
    if std::env::var_os("UPDATE_FINDINGS").is_some() {
        fs::write(&path, page()).unwrap();
    }
    let there = fs::read_to_string(&path).unwrap_or_default().replace("\r\n", "\n");
    assert!(
        there == page(),
        "docs/findings.md is not what the index says; run\n    UPDATE_FINDINGS=1 cargo test -p traywright the_page_is_current"
    );
}

fn read(entry: &Entry, snippet: &str) -> Result<Job, Vec<Finding>> {
    if is_inventory(entry) {
        return job::read(AROUND, "brief.toml", Format::Toml, Some(("parts.csv", snippet)), &[]);
    }
    job::read(snippet, "brief.toml", Format::Toml, None, &[])
}

fn of_tray(tray: &Tray, into: &mut Vec<Finding>) {
    tray.parts.iter().for_each(|p| of_part(p, into));
}

fn of_part(part: &Part, into: &mut Vec<Finding>) {
    into.extend(crate::need::findings(part));
    if let Contents::Tray(tray) = &part.contents {
        of_tray(tray, into);
    }
}

/// What the rooms behind the job say, as far as `code` asks for it.
fn later(job: &Job, code: &str) -> Vec<Finding> {
    let mut all = Vec::new();
    job.trays.iter().for_each(|t| of_tray(t, &mut all));
    job.free.iter().for_each(|f| of_part(&f.part, &mut all));
    if !all.iter().any(|f| f.code == code) {
        let options = crate::plan::Options { nodes: 20_000, ..Default::default() };
        let outcome = crate::plan::solve(job, &options, &mut |_| {});
        all.extend(outcome.reasons);
        all.extend(
            outcome
                .plan
                .into_iter()
                .flat_map(|p| p.findings)
                .map(|f| Finding::listed(super::find(&f.code).map_or("", |e| e.code), f.text)),
        );
    }
    all
}

/// Every snippet brings its own finding about, and as what the index says it is.
#[test]
fn every_snippet_does_what_it_says() {
    let mut wrong = Vec::new();
    for entry in all() {
        let Some(snippet) = entry.snippet else { continue };
        let found = match read(entry, snippet) {
            Ok(job) if job.findings.iter().any(|f| f.code == entry.code) => job.findings,
            Ok(job) => later(&job, entry.code),
            Err(findings) => findings,
        };
        match found.iter().find(|f| f.code == entry.code) {
            Some(f) if f.severity == entry.severity => {}
            Some(f) => {
                wrong.push(format!("{}: {:?} instead of {:?}", entry.code, f.severity, entry.severity))
            }
            None => {
                let all: Vec<String> = found.iter().map(ToString::to_string).collect();
                wrong.push(format!("{}: not among {all:#?}", entry.code));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Examples of the brief's own rooms show one fault each, and no other.
#[test]
fn snippets_of_briefs_have_one_fault_only() {
    for entry in brief::BRIEF.iter().chain(super::job::JOB) {
        let Some(snippet) = entry.snippet else { continue };
        let findings = read(entry, snippet).map_or_else(|f| f, |job| job.findings);
        let others: Vec<&Finding> =
            findings.iter().filter(|f| f.code != entry.code && f.severity != Severity::Note).collect();
        assert!(others.is_empty(), "{}: {others:#?}", entry.code);
        let here: Vec<_> = findings.iter().filter(|f| f.code == entry.code).collect();
        assert!(here.iter().all(|f| f.place.line_column.is_some()), "{} has no place", entry.code);
    }
}

//! The scenarios of the project: their paths and their jobs.

use std::path::{Path, PathBuf};

use traywright::job::{self, Job};

/// The folder of all scenarios.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios")
}

/// Every brief of these folders, sorted, the name being `medium/ferry`.
pub fn briefs(tiers: &[&str]) -> Vec<(String, PathBuf)> {
    let mut all = Vec::new();
    for tier in tiers {
        let entries = std::fs::read_dir(folder().join(tier)).map(|e| e.flatten().collect::<Vec<_>>());
        for entry in entries.unwrap_or_default() {
            let path = entry.path();
            if path.extension().is_some_and(|e| e == "toml") {
                let stem = path.file_stem().unwrap_or_default().to_string_lossy();
                all.push((format!("{tier}/{stem}"), path));
            }
        }
    }
    all.sort();
    all
}

/// The job of a brief.
///
/// # Panics
/// Where the brief has a fault: scenarios have none.
pub fn job(path: &Path) -> Job {
    match job::load(path, &[]) {
        Ok(job) => job,
        Err(findings) => panic!("{}: {findings:#?}", path.display()),
    }
}

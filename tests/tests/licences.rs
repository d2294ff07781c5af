//! Everything that is built in may be passed on under the terms of this project.
#![expect(clippy::tests_outside_test_module, reason = "an integration test is all test")]

use std::collections::BTreeSet;
use std::process::Command;

/// Licences whose code may be built in (permissive ones only).
const ALLOWED: [&str; 10] = [
    "0BSD",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "BSL-1.0",
    "ISC",
    "MIT",
    "Unicode-3.0",
    "Zlib",
];

/// Whether an SPDX expression can be met with allowed licences alone.
fn is_met(expression: &str) -> bool {
    let text = expression.replace('(', " ( ").replace(')', " ) ").replace('/', " OR ");
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut rest = words.as_slice();
    either(&mut rest) && rest.is_empty()
}

fn either(rest: &mut &[&str]) -> bool {
    let mut met = both(rest);
    while rest.first() == Some(&"OR") {
        *rest = &rest[1..];
        met |= both(rest);
    }
    met
}

fn both(rest: &mut &[&str]) -> bool {
    let mut met = one(rest);
    while rest.first() == Some(&"AND") {
        *rest = &rest[1..];
        met &= one(rest);
    }
    met
}

fn one(rest: &mut &[&str]) -> bool {
    let Some((first, after)) = rest.split_first() else { return false };
    *rest = after;
    if *first == "(" {
        let met = either(rest);
        *rest = rest.strip_prefix(&[")"]).unwrap_or(rest);
        return met;
    }
    let mut name = (*first).to_owned();
    if rest.first() == Some(&"WITH") {
        name += &format!(" WITH {}", rest.get(1).unwrap_or(&""));
        *rest = rest.get(2..).unwrap_or_default();
    }
    ALLOWED.contains(&name.as_str())
}

#[test]
fn expressions_are_read() {
    for met in
        ["MIT", "MIT OR Apache-2.0", "MIT/Apache-2.0", "GPL-3.0 OR MIT", "(MIT OR GPL-2.0) AND Unicode-3.0"]
    {
        assert!(is_met(met), "{met}");
    }
    for unmet in ["", "GPL-3.0", "MIT AND GPL-3.0", "MIT)", "(MIT OR Apache-2.0) AND MPL-2.0"] {
        assert!(!is_met(unmet), "{unmet}");
    }
}

/// What cargo says of everything that is built here.
fn packages() -> Vec<serde_json::Value> {
    let cargo = |args: &[&str]| {
        let done =
            Command::new(env!("CARGO")).args(args).current_dir(env!("CARGO_MANIFEST_DIR")).output().unwrap();
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
        String::from_utf8(done.stdout).unwrap()
    };
    let version = cargo(&["-vV"]);
    let host = version.lines().find_map(|l| l.strip_prefix("host: ")).unwrap();
    // Only what this platform builds is on disk; `--offline` keeps the test from asking for the rest.
    let text = cargo(&["metadata", "--format-version=1", "--locked", "--offline", "--filter-platform", host]);
    let metadata: serde_json::Value = serde_json::from_str(&text).unwrap();
    let built: BTreeSet<&str> =
        metadata["resolve"]["nodes"].as_array().unwrap().iter().filter_map(|n| n["id"].as_str()).collect();
    let packages: Vec<_> = metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|p| p["id"].as_str().is_some_and(|id| built.contains(id)))
        .cloned()
        .collect();
    assert!(packages.len() > 50, "only {} packages: the list is not what is built", packages.len());
    packages
}

#[test]
fn every_dependency_has_an_allowed_licence() {
    let packages = packages();
    let refused: Vec<String> = packages
        .iter()
        .filter(|p| !p["license"].as_str().is_some_and(is_met))
        .map(|p| format!("{} {}: {}", p["name"], p["version"], p["license"]))
        .collect();
    assert!(refused.is_empty(), "not allowed:\n{}", refused.join("\n"));
}

/// "1.88" as 1 and 88.
fn version(text: &str) -> Vec<u32> {
    text.split('.').chain(["0", "0"]).take(3).filter_map(|n| n.parse().ok()).collect()
}

/// The Rust that the manifest states is enough for everything that is built; `tests/outside/oldest.py` builds with it.
#[test]
fn no_dependency_needs_a_newer_rust() {
    let packages = packages();
    let own = packages.iter().find(|p| p["name"] == "traywright").unwrap()["rust_version"].as_str().unwrap();
    let newer: Vec<String> = packages
        .iter()
        .filter(|p| p["rust_version"].as_str().is_some_and(|v| version(v) > version(own)))
        .map(|p| format!("{} {}: {}", p["name"], p["version"], p["rust_version"]))
        .collect();
    assert!(newer.is_empty(), "need more than {own}:\n{}", newer.join("\n"));
}

/// Everything comes from the one registry and is held to a checksum; nothing of ours has features that could be left unbuilt.
#[test]
fn everything_locked_has_a_checksum() {
    let lock = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.lock")).unwrap();
    let (mut ours, mut others) = (0, 0);
    for package in lock.split("[[package]]").skip(1) {
        let name = package.lines().find_map(|l| l.strip_prefix("name = ")).unwrap();
        let source = package.lines().find_map(|l| l.strip_prefix("source = "));
        match source {
            None => {
                assert!(name.starts_with("\"traywright"), "{name} comes from nowhere");
                ours += 1;
            }
            Some(source) => {
                assert_eq!(source, "\"registry+https://github.com/rust-lang/crates.io-index\"", "{name}");
                assert!(package.contains("checksum = "), "{name} has no checksum");
                others += 1;
            }
        }
    }
    assert!(ours == 4 && others > 50, "{ours} and {others}");
    for package in packages().iter().filter(|p| p["source"].is_null()) {
        assert_eq!(package["features"].as_object().map(|f| f.len()), Some(0), "{}", package["name"]);
    }
}

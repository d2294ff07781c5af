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

#[test]
fn every_dependency_has_an_allowed_licence() {
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
        .collect();
    assert!(packages.len() > 50, "only {} packages: the list is not what is built", packages.len());
    let refused: Vec<String> = packages
        .iter()
        .filter(|p| !p["license"].as_str().is_some_and(is_met))
        .map(|p| format!("{} {}: {}", p["name"], p["version"], p["license"]))
        .collect();
    assert!(refused.is_empty(), "not allowed:\n{}", refused.join("\n"));
}

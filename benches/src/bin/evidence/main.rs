//! Writes docs/evidence.md from real runs: `evidence [SECONDS of bent input a target] [CASES] > docs/evidence.md`.
//!
//! What is told of published checks is their tests' own words, and what a run of them printed.

use std::process::Command;

use traywright::stop::Watch;
use traywright_tests::fuzz::{Fuzz, TARGETS};
use traywright_tests::relations::{Counts, merged, relations, whole};
use traywright_tests::versus::{Tally, everything, model, nothing_worse};
use traywright_tests::wild::Wild;

/// Seed of all runs; the suite's own rounds have others.
const SEED: u64 = 2026;
/// A file of tests: its package, its target, the module it is in within that, and its text.
struct Tests {
    package: &'static str,
    target: &'static [&'static str],
    module: &'static str,
    text: &'static str,
}

/// Text of a file of the workspace.
macro_rules! file {
    ($path:literal) => {
        include_str!(concat!("../../../../", $path))
    };
}

const fn suite(target: &'static [&'static str], text: &'static str) -> Tests {
    Tests { package: "traywright-tests", target, module: "", text }
}

const fn command(module: &'static str, text: &'static str) -> Tests {
    Tests { package: "traywright-cli", target: &["--test", "command"], module, text }
}

/// Published checks.
const PUBLISHED: [Tests; 2] = [
    suite(&["--test", "published_packing"], file!("tests/tests/published_packing.rs")),
    suite(&["--test", "published_jobs"], file!("tests/tests/published_jobs.rs")),
];
/// Faults of disks, of solvers and of people, and limits.
const FAULTS: [Tests; 6] = [
    command("faults::", file!("tests/command/faults.rs")),
    command("interrupt::", file!("tests/command/interrupt.rs")),
    command("hostile::", file!("tests/command/hostile.rs")),
    suite(&["--test", "limits"], file!("tests/tests/limits.rs")),
    Tests {
        package: "traywright",
        target: &["--lib"],
        module: "layout::model::run::tests::",
        text: file!("solver/src/layout/model/run.rs"),
    },
    Tests {
        package: "traywright",
        target: &["--lib"],
        module: "sheet::prices::tests::",
        text: file!("solver/src/sheet/prices.rs"),
    },
];
/// The same bytes again; who may call what, and what is built in.
const BUILT: [Tests; 3] = [
    suite(&["--test", "determinism"], file!("tests/tests/determinism.rs")),
    suite(&["--test", "public_api"], file!("tests/tests/public_api.rs")),
    suite(&["--test", "licences"], file!("tests/tests/licences.rs")),
];

fn main() {
    let mut words = std::env::args().skip(1).map(|w| w.parse::<usize>().unwrap_or(0));
    let (seconds, cases) = (words.next().unwrap_or(20), words.next().unwrap_or(2_000));
    println!(
        "# Evidence\n\nWritten by `cargo run --release -p traywright-benches --bin evidence -- {seconds} {cases} > docs/evidence.md`; \
         every figure is of that one run, with seed {SEED}.\n"
    );
    differential(cases);
    related(cases / 10);
    bent(seconds as u64);
    println!("## Published checks\n");
    tests("source and what is known", &PUBLISHED);
    println!("## Faults and limits\n");
    tests("what is done to it", &FAULTS);
    println!("## Determinism, public items, dependencies\n");
    tests("what is looked at", &BUILT);
    println!("{}", include_str!("rest.md"));
}

fn differential(cases: usize) {
    println!(
        "## Against other ways to the same answer\n\nRandom small placement problems with spans, low trays, lids, held and turned items, blocked \
         places, stacked cover items and rules for heights. *Missed*: there is a layout and the search, with a small budget, found \
         none and did not claim otherwise. *Open*: the general solver came to no end.\n\n\
         | problems | held against | cases | proven | impossible | missed | open | disagreements |\n\
         | --- | --- | ---: | ---: | ---: | ---: | ---: | ---: |"
    );
    let row = |what: &str, against: &str, t: &Tally| {
        let wrong = t.told.len();
        println!(
            "| {what} | {against} | {} | {} | {} | {} | {} | {wrong} |",
            t.cases, t.proven, t.none, t.missed, t.open
        );
        t.told.iter().for_each(|told| eprintln!("DISAGREEMENT {told}"));
    };
    row("tiny", "trying everything, and the written model", &everything(SEED, 0..cases, false));
    row("tiny, bearing counts", "trying everything", &everything(SEED, 0..cases, true));
    row("small", "the written model through microlp", &model(SEED, 0..cases / 20));
    row("larger", "shorter runs and other seeds of itself", &nothing_worse(SEED, 0..cases / 20));
    println!();
}

fn related(cases: usize) {
    println!(
        "## Relations between answers\n\nRandom briefs and changed ones. Over all heights and exact curves a broken relation is a fault; over candidate \
         heights (poured contents) the trays of a job share what is tried, so that relations may break there: counted, not \
         asserted.\n\n| relation | looked at, exact | broken | looked at, candidates | broken |\n| --- | ---: | ---: | ---: | ---: |"
    );
    let plain = Wild { trays: 3, parts: 3, loose: false, off_grid: false, everything: false };
    let mut counts = Counts::new();
    for wild in [plain, Wild { trays: 2, everything: true, ..plain }, Wild { loose: true, ..plain }] {
        counts = merged(counts, relations(SEED, 0..cases, wild));
    }
    for (name, c) in &counts {
        let (broken, candidates) = (c.broken.len(), c.candidates);
        println!("| {name} | {} | {broken} | {candidates} | {} |", c.exact, c.candidates_broken);
        c.broken.iter().for_each(|told| eprintln!("BROKEN {told}"));
    }
    println!(
        "\nWhole random jobs, from the brief to the checker:\n\n| jobs | cases | refused | faults |\n| --- | ---: | ---: | ---: |"
    );
    for (name, off_grid) in [("on the grid", false), ("off the grid", true)] {
        let wild = Wild { trays: 4, parts: 4, loose: true, off_grid, everything: true };
        let told: Vec<_> = (0..2 * cases).map(|case| whole(SEED, case, wild, 12_000)).collect();
        let faults = told.iter().flatten().map(Vec::len).sum::<usize>();
        told.iter().flatten().flatten().for_each(|t| eprintln!("FAULT {t}"));
        println!("| {name} | {} | {} | {faults} |", 2 * cases, told.iter().filter(|t| t.is_none()).count());
    }
    println!();
}

fn bent(seconds: u64) {
    println!(
        "## Bent input\n\nTexts of the scenarios bent in one to eight places, fed to every reader; plans go on through the checker and all drawings.\n\n\
         | reader | executions | taken | panics |\n| --- | ---: | ---: | ---: |"
    );
    let fuzz = Fuzz::new();
    for target in TARGETS {
        let watch = Watch::start();
        let (mut done, mut taken, mut crashed) = (0, 0, 0);
        while watch.elapsed().as_secs() < seconds {
            let (ok, bad) = fuzz.run(target, SEED, done..done + 200);
            done += 200;
            taken += ok;
            crashed += bad.len();
            bad.iter().for_each(|text| eprintln!("PANIC {target:?} {text:?}"));
        }
        println!("| {target:?} | {done} | {taken} | {crashed} |");
    }
    println!();
}

/// Tests by the words above each, and what came of it when they were run just now.
fn tests(words: &str, files: &[Tests]) {
    println!("| test | {words} | outcome |\n| --- | --- | --- |");
    for file in files {
        let run = Command::new(std::env::var("CARGO").unwrap_or_else(|_| "cargo".into()))
            .args(["test", "--quiet", "--package", file.package])
            .args(file.target)
            .args(["--", "--format=pretty", file.module])
            .output();
        let printed = run.map(|r| String::from_utf8_lossy(&r.stdout).into_owned()).unwrap_or_default();
        let (mut words, mut test): (Vec<&str>, bool) = (Vec::new(), false);
        for line in file.text.lines().map(str::trim_start) {
            if let Some(doc) = line.strip_prefix("/// ") {
                words.push(doc);
            } else if line == "#[test]" {
                test = true;
            } else if let (Some(rest), true) = (line.strip_prefix("fn "), test) {
                let name = rest.split('(').next().unwrap_or_default();
                let said = format!("test {}{name} ... ", file.module);
                let told = printed.lines().find_map(|l| l.strip_prefix(&said)).unwrap_or("not run");
                let told = told.split(',').next().unwrap_or(told);
                let (name, words) = (name.replace('_', " "), words.join(" ").replace('|', "/"));
                println!("| {name} | {words} | {told} |");
                test = false;
            } else if line.starts_with("#[") {
                continue;
            }
            if !line.starts_with("///") && line != "#[test]" {
                words.clear();
            }
        }
    }
    println!();
}

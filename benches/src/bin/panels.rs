//! Panels and their proof: every tray of every scenario, and random trays in every joint, also with something sunk
//! into them.
//!
//! `cargo run --release -p traywright-benches --bin panels -- [random trays, default 500] [first seed, default 1]`

use std::path::{Path, PathBuf};

use traywright::job::Job;
use traywright::panel::{panels, prove};
use traywright::plan::{Options, Plan, solve};
use traywright::stop::Watch;
use traywright_tests::random_tray::{random_sunk, random_tray};

/// What came of some trays.
#[derive(Default)]
struct Sum {
    trays: usize,
    proven: usize,
    panels: usize,
    slots: usize,
    seconds: f64,
}

impl Sum {
    fn take(&mut self, name: &str, job: &Job, plan: &Plan) {
        let watch = Watch::start();
        match panels(job, plan) {
            Ok(all) => {
                for made in &all {
                    self.trays += made.copies;
                    match prove(job, plan, made) {
                        Ok(proof) => {
                            self.proven += made.copies;
                            self.panels += proof.panels * made.copies;
                            self.slots += proof.slots * made.copies;
                        }
                        Err(findings) => findings.iter().take(3).for_each(|f| println!("  {name}: {f}")),
                    }
                }
            }
            Err(findings) => {
                self.trays += traywright::panel::trays(job, plan).len();
                findings.iter().take(3).for_each(|f| println!("  {name}: {f}"));
            }
        }
        self.seconds += watch.elapsed().as_secs_f64();
    }

    fn print(&self, name: &str) {
        println!(
            "{name:24} {:5} trays {:5} proven ({:5.1} %) {:7} panels {:7} slots {:8.3} s",
            self.trays,
            self.proven,
            100.0 * self.proven as f64 / self.trays.max(1) as f64,
            self.panels,
            self.slots,
            self.seconds
        );
    }
}

fn briefs() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let mut all: Vec<PathBuf> = ["easy", "medium", "hard"]
        .iter()
        .filter_map(|tier| std::fs::read_dir(root.join(tier)).ok())
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    all.sort();
    all
}

fn main() {
    let mut numbers = std::env::args().skip(1).map(|n| n.parse().unwrap_or(1));
    let (count, first): (u64, u64) = (numbers.next().unwrap_or(500), numbers.next().unwrap_or(1));
    for brief in briefs() {
        let name = brief.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let job = match traywright::job::load(&brief, &[]) {
            Ok(job) => job,
            Err(findings) => {
                println!("{name}: {}", findings[0]);
                continue;
            }
        };
        let mut options = Options::default();
        options.nodes = 50_000;
        match solve(&job, &options, &mut |_| {}).plan {
            Some(plan) => {
                let mut sum = Sum::default();
                sum.take(&name, &job, &plan);
                sum.print(&name);
            }
            None => println!("{name:24} no plan"),
        }
    }
    let mut sum = Sum::default();
    for seed in first..first + count {
        let (job, plan) = random_tray(seed, 30);
        sum.take(&format!("seed {seed}"), &job, &plan);
    }
    sum.print("random trays");
    let mut sum = Sum::default();
    for seed in first..first + count {
        if let Some((job, plan)) = random_sunk(seed, 30) {
            sum.take(&format!("sunk {seed}"), &job, &plan);
        }
    }
    sum.print("random trays, sunk into");
}

//! Writes placement models as MPS files, and what we claim of them beside them, into the folder named by the first argument:
//! three chosen jobs and, of each kind, as many random ones as the second says (the third is their seed).
//! `tests/outside/highs.py` solves them again.

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use serde_json::{Value, json};
use traywright::layout::build::build as built;
use traywright::layout::instance::Instance;
use traywright::layout::model::{build, mps};
use traywright::plan::{self, Options};
use traywright::random::Random;
use traywright_tests::model_jobs::jobs;
use traywright_tests::tiny::SMALL;
use traywright_tests::versus::{case, found};
use traywright_tests::wild::{Wild, brief};

/// Nodes for our own claim.
const NODES: u64 = 200_000;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |i: usize, otherwise: u64| words.get(i).and_then(|w| w.parse().ok()).unwrap_or(otherwise);
    let Some(folder) = words.first() else {
        eprintln!("give the folder to write into, and how many random models of each kind");
        return ExitCode::FAILURE;
    };
    match write(Path::new(folder), number(1, 0), number(2, 1)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("{e}");
            ExitCode::FAILURE
        }
    }
}

fn write(folder: &Path, count: u64, seed: u64) -> Result<(), Box<dyn Error>> {
    std::fs::create_dir_all(folder)?;
    let mut all = Vec::new();
    for (name, instance) in jobs() {
        all.push(one(folder, name, &instance, None)?);
    }
    for number in 0..count {
        let instance = case(seed, number as usize, SMALL, false);
        all.push(one(folder, &format!("problem-{number}"), &instance, None)?);
    }
    // Whole briefs, from which `traywright model` writes the same; one layer, since the model leaves bearing out.
    let wild = Wild { trays: 3, parts: 3, loose: false, off_grid: false, everything: true };
    let (mut written, mut number) = (0, 0);
    while written < count {
        let mut random = Random::new(seed.wrapping_mul(7_777_777).wrapping_add(number));
        number += 1;
        let mut wild = brief(&mut random, wild);
        wild.layers = 1;
        let Ok(job) = wild.job(1) else { continue };
        let Ok(built) = built(&job, &job.trays) else { continue };
        let Ok(text) = plan::mps(&job, &Options::default()) else { continue };
        let instance = Instance { rims: None, ..built.instance };
        all.push(one(folder, &format!("brief-{written}"), &instance, Some(text))?);
        written += 1;
    }
    std::fs::write(folder.join("optima.json"), serde_json::to_string_pretty(&all)?)?;
    Ok(())
}

/// Writes one model, and gives back what we claim: value and bound in cubed grid steps, `null` for a bound where we say that
/// there is no layout.
fn one(
    folder: &Path,
    name: &str,
    instance: &Instance,
    text: Option<String>,
) -> Result<Value, Box<dyn Error>> {
    let model = build(instance)?;
    let found = found(instance, NODES);
    let value = found.layout.map(|(_, cost)| cost.value());
    std::fs::write(folder.join(format!("{name}.mps")), text.map_or_else(|| mps(instance), Ok)?)?;
    Ok(json!({
        "name": name,
        "value": value,
        "bound": found.bound,
        "unit": model.unit,
        "complete": model.complete,
    }))
}

//! Writes the placement models of the three small jobs as MPS files, and our optima beside them, into the folder
//! named by the first argument. `tests/outside/highs.py` solves them again.

use std::path::PathBuf;
use std::process::ExitCode;

use traywright::layout::model::{ModelState, build, mps, solve};
use traywright::stop::Stop;
use traywright_tests::model_jobs::jobs;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1).map(PathBuf::from) else {
        eprintln!("give the folder to write into");
        return ExitCode::FAILURE;
    };
    match write(&folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("{e}");
            ExitCode::FAILURE
        }
    }
}

fn write(folder: &std::path::Path) -> Result<(), Box<dyn std::error::Error>> {
    std::fs::create_dir_all(folder)?;
    let mut optima = Vec::new();
    for (name, instance) in jobs() {
        let model = build(&instance)?;
        let outcome = solve(&instance, None, &Stop::never());
        println!(
            "{name}: {} columns, {} of them binary, {} rows, {} nodes, bound {:?}",
            model.columns.len(),
            model.binaries(),
            model.rows.len(),
            outcome.nodes,
            outcome.bound
        );
        let (ModelState::Optimal, Some(layout)) = (outcome.state, &outcome.layout) else {
            return Err(format!("{name}: {:?} {}", outcome.state, outcome.note).into());
        };
        let value = instance.cost(layout).value();
        std::fs::write(folder.join(format!("{name}.mps")), mps(&instance)?)?;
        optima.push(serde_json::json!({ "name": name, "value": value, "unit": model.unit }));
    }
    std::fs::write(folder.join("optima.json"), serde_json::to_string_pretty(&optima)?)?;
    Ok(())
}

//! The layout cases under the full model: value, bound and gap after 1 s and 10 s, and how the marks are met.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use traywright::layout::bearing::unborne;
use traywright_benches::case::{Case, read_cases};
use traywright_benches::full::full_model;
use traywright_benches::models::write_models;
use traywright_benches::watched::{Run, decimals, or_dash};

/// Runs the placement search on layout cases with spans, kept and held bodies, bearing and lifts by overlap.
#[derive(Parser)]
struct Args {
    /// Folder of the layout cases; never part of this project
    folder: Option<PathBuf>,
    /// Only cases whose name contains this
    #[arg(long, default_value = "")]
    cases: String,
    /// Time for one case
    #[arg(long, default_value_t = 10.0)]
    seconds: f64,
    /// Thickness of the walls that carry, in mm
    #[arg(long, default_value_t = 3)]
    wall: i64,
    /// Seed of what is drawn: kept items and held trays
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Write the models (without bearing, which they cannot say) as MPS files into this folder, and measure nothing
    #[arg(long)]
    mps: Option<PathBuf>,
}

struct Row {
    name: String,
    trays: usize,
    run: Run,
    wrong: bool,
}

fn main() -> ExitCode {
    let args = Args::parse();
    let Some(folder) = &args.folder else {
        println!("no folder of layout cases given: nothing measured");
        return ExitCode::SUCCESS;
    };
    match work(&args, folder) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(e) => {
            println!("{e}: nothing measured");
            ExitCode::FAILURE
        }
    }
}

/// Whether no answer was wrong.
fn work(args: &Args, folder: &Path) -> Result<bool, String> {
    let cases = read_cases(folder, &args.cases)?;
    if let Some(out) = &args.mps {
        let full = |case: &Case| full_model(case, args.wall, args.seed);
        let models = cases.iter().map(|case| (case.name.as_str(), full(case)));
        return write_models(models, out).map(|()| true);
    }
    println!(
        "{:16} {:>8} | {:>12} {:>12} {:>8} | {:>12} {:>12} {:>8}",
        "case", "first s", "value at 1 s", "bound", "gap %", "at the end", "bound", "gap %"
    );
    let rows: Vec<Row> = cases.iter().map(|case| measure(case, args)).collect();
    summary(&rows, args.seconds);
    Ok(rows.iter().all(|r| !r.wrong))
}

fn measure(case: &Case, args: &Args) -> Row {
    let instance = full_model(case, args.wall, args.seed);
    let run = Run::of(&instance, args.seconds);
    let end = run.end();
    let fault = run.found.layout.as_ref().and_then(|(layout, cost)| {
        let standing = unborne(&instance, layout);
        match instance.feasible(layout) {
            Err(rule) => Some(rule),
            Ok(()) if standing > 0 => Some(format!("{standing} bodies stand on nothing")),
            Ok(()) if end.bound.is_none_or(|b| b > cost.value()) => Some("bound above value".into()),
            Ok(()) => None,
        }
    });
    let one = run.by(1.0).filter(|_| args.seconds >= 1.0 || run.proof().is_some());
    println!(
        "{:16} {:>8} | {:>12} {:>12} {:>8} | {:>12} {:>12} {:>8}{}",
        case.name,
        decimals(run.first(), 3),
        or_dash(one.and_then(|m| m.value)),
        one.map_or("-".into(), |m| m.bound.map_or("no plan".into(), |b| b.to_string())),
        decimals(one.and_then(|m| m.gap()), 3),
        or_dash(end.value),
        end.bound.map_or("no plan".into(), |b| b.to_string()),
        decimals(end.gap(), 3),
        fault.as_ref().map_or(String::new(), |f| format!("  WRONG: {f}")),
    );
    Row { name: case.name.clone(), trays: case.trays.len(), run, wrong: fault.is_some() }
}

fn summary(rows: &[Row], seconds: f64) {
    println!();
    for (from, to, most) in [(0, 16, 0.5), (17, 24, 2.0)] {
        let of: Vec<&Row> =
            rows.iter().filter(|r| (from..=to).contains(&r.trays) && r.run.end().bound.is_some()).collect();
        let gaps: Vec<f64> = of.iter().filter_map(|r| r.run.end().gap()).collect();
        let met = gaps.iter().filter(|g| **g <= most).count();
        let worst = gaps.iter().copied().reduce(f64::max);
        if !of.is_empty() {
            println!(
                "gap at most {most} % after {seconds} s, {from} to {to} trays: {met} of {} (mark: all); worst {} %, without a plan {}",
                of.len(),
                decimals(worst, 3),
                of.len() - gaps.len(),
            );
        }
    }
    let none: Vec<&str> =
        rows.iter().filter(|r| r.run.end().bound.is_none()).map(|r| r.name.as_str()).collect();
    if !none.is_empty() {
        println!("proven to have no plan: {}", none.join(", "));
    }
}

//! Layout cases: time to first plan, value over time, bound and proof, and how the marks are met.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use traywright_benches::case::{Case, read_cases};
use traywright_benches::models::write_models;
use traywright_benches::watched::{Run, decimals, or_dash};

/// Runs the placement search on layout cases and prints a table.
#[derive(Parser)]
struct Args {
    /// Folder of the cases (`n08_tight_s1.json` …); never part of this project
    folder: Option<PathBuf>,
    /// Only cases whose name contains this
    #[arg(long, default_value = "")]
    cases: String,
    /// Time for one case
    #[arg(long, default_value_t = 10.0)]
    seconds: f64,
    /// Also write every report of every run to this file
    #[arg(long)]
    json: Option<PathBuf>,
    /// Write the models as MPS files into this folder, and measure nothing
    #[arg(long)]
    mps: Option<PathBuf>,
}

/// At these times the value is told.
const TIMES: [f64; 3] = [0.1, 1.0, 10.0];

struct Row {
    name: String,
    trays: usize,
    run: Run,
    /// A layout that breaks a rule, or a value that is not its own.
    wrong: Option<String>,
}

fn main() -> ExitCode {
    let args = Args::parse();
    let Some(folder) = &args.folder else {
        println!("no folder of layout cases given: nothing measured");
        return ExitCode::SUCCESS;
    };
    match work(&args, folder) {
        Ok(right) if right => ExitCode::SUCCESS,
        Ok(_) => ExitCode::FAILURE,
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
        let models = cases.iter().map(|case| (case.name.as_str(), case.instance()));
        return write_models(models, out).map(|()| true);
    }
    print!("{:16} {:>8}", "case", "first s");
    for t in TIMES {
        print!(" {:>12}", format!("at {t} s"));
    }
    println!(" {:>12} {:>12} {:>8} {:>8}", "end", "bound", "gap %", "proof s");
    let rows: Vec<Row> = cases.iter().map(|case| measure(case, args.seconds)).collect();
    summary(&rows, args.seconds);
    if let Some(file) = &args.json {
        std::fs::write(file, reports(&rows)).map_err(|e| format!("{}: {e}", file.display()))?;
    }
    Ok(rows.iter().all(|r| r.wrong.is_none()))
}

fn measure(case: &Case, seconds: f64) -> Row {
    let instance = case.instance();
    let run = Run::of(&instance, seconds);
    let end = run.end();
    let wrong = run.found.layout.as_ref().and_then(|(layout, cost)| match case.value(&instance, layout) {
        Ok(own) if own == cost.value() && end.bound.is_some_and(|b| b <= own) => None,
        Ok(own) => Some(format!("the layout's value is {own}, bound {:?}", end.bound)),
        Err(rule) => Some(rule),
    });
    print!("{:16} {:>8}", case.name, decimals(run.first(), 3));
    for t in TIMES {
        let then = run.by(t).filter(|_| t <= seconds || run.proof().is_some_and(|p| p <= t));
        print!(" {:>12}", or_dash(then.and_then(|m| m.value)));
    }
    println!(
        " {:>12} {:>12} {:>8} {:>8}{}",
        or_dash(end.value),
        end.bound.map_or("no plan".into(), |b| b.to_string()),
        decimals(end.gap(), 4),
        decimals(run.proof(), 3),
        wrong.as_ref().map_or(String::new(), |w| format!("  WRONG: {w}"))
    );
    Row { name: case.name.clone(), trays: case.trays.len(), run, wrong }
}

/// One line for each mark; a case counts for the mark of its number of trays.
fn summary(rows: &[Row], seconds: f64) {
    println!();
    let said = |what: &str, mark: &str, met: usize, all: usize| {
        if all > 0 {
            println!("{what}: {met} of {all} (mark: {mark})");
        }
    };
    let none = |r: &&Row| r.run.end().bound.is_none();
    for (from, to, within) in [(0, 12, 0.1), (13, 24, 0.3)] {
        let of: Vec<&Row> =
            rows.iter().filter(|r| (from..=to).contains(&r.trays)).filter(|r| !none(r)).collect();
        let met = of.iter().filter(|r| r.run.first().is_some_and(|t| t <= within)).count();
        said(&format!("first plan within {within} s, {from} to {to} trays"), "all", met, of.len());
    }
    let mut open: Vec<&Row> = Vec::new();
    for (from, to, within, mark) in
        [(0, 12, 1.0, "all"), (13, 16, 3.0, "all"), (17, 24, 10.0, "three quarters")]
    {
        let of: Vec<&Row> = rows.iter().filter(|r| (from..=to).contains(&r.trays)).collect();
        let (met, not): (Vec<&Row>, Vec<&Row>) =
            of.iter().partition(|r| r.run.proof().is_some_and(|t| t <= within));
        said(&format!("proven within {within} s, {from} to {to} trays"), mark, met.len(), of.len());
        open.extend(not);
    }
    let worst = |r: &Row| r.run.end().gap().unwrap_or(100.0);
    open.sort_by(|a, b| worst(b).total_cmp(&worst(a)));
    for row in &open {
        let end = row.run.end();
        let proof = row.run.proof().map_or(String::new(), |p| format!(", proven after {p:.2} s"));
        println!(
            "  late or open: {} gap {} % after {:.1} s{proof}",
            row.name,
            decimals(end.gap(), 4),
            end.seconds
        );
    }
    open.retain(|r| r.run.proof().is_none());
    let small = open.iter().filter(|r| worst(r) <= 0.1).count();
    said("of those never proven, within 0.1 %", "all but one, that one within 1 %", small, open.len());
    let of: Vec<&Row> = rows.iter().filter(none).collect();
    let met = of.iter().filter(|r| r.run.proof().is_some_and(|t| t <= 0.5)).count();
    said("no plan exists, proven within 0.5 s", "all", met, of.len());
    let silent: Vec<&str> =
        rows.iter().filter(|r| r.run.end().value.is_none() && !none(r)).map(|r| r.name.as_str()).collect();
    if !silent.is_empty() {
        println!("neither a plan nor a proof that there is none: {}", silent.join(", "));
    }
    println!(
        "time for one case: {seconds} s; wrong answers: {}",
        rows.iter().filter(|r| r.wrong.is_some()).count()
    );
}

fn reports(rows: &[Row]) -> String {
    let all: Vec<serde_json::Value> = rows
        .iter()
        .map(|r| {
            let moments: Vec<_> = r.run.moments.iter().map(|m| (m.seconds, m.value, m.bound)).collect();
            serde_json::json!({ "case": r.name, "trays": r.trays, "moments": moments, "wrong": r.wrong })
        })
        .collect();
    format!("{:#}\n", serde_json::Value::Array(all))
}

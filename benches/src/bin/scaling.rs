//! Growth of time, gap and memory with trays, parts and layers, on briefs drawn from a seed.
//!
//! Every case is solved by the call that a maker's brief goes through, in a process of its own, so that its peak
//! memory is its own. A table is printed; `scaling.csv` and `scaling.svg` are written into the folder of `--out`.

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::time::Duration;

use clap::Parser;
use traywright::job::Job;
use traywright::layout::build::build;
use traywright::layout::instance::{Access, Instance};
use traywright::layout::search::search;
use traywright::length::Volume;
use traywright::plan::{Options, solve};
use traywright::stop::{Stop, Watch};

use traywright_benches::chart::{Line, Panel, charts};
use traywright_benches::grown::{Scale, job};
use traywright_benches::watched::decimals;

/// Solves briefs of growing size and tells how time, gap and memory grow.
#[derive(Parser)]
struct Args {
    /// Time for one case, from its reading to its plan
    #[arg(long, default_value_t = 10.0)]
    seconds: f64,
    /// Where the table (CSV) and the plot (SVG) go
    #[arg(long, default_value = "target/scaling")]
    out: PathBuf,
    /// Only series whose name begins with this: trays, parts, layers
    #[arg(long, default_value = "")]
    series: String,
    /// Only cases of at most so many trays and five times as many parts
    #[arg(long, default_value_t = 100)]
    most: usize,
    /// Seed of the briefs
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Access by the number of layers above and no bearing, as the layout cases have it, instead of lifts and rims; values
    /// are what trays claim and access together then
    #[arg(long)]
    simple: bool,
    /// Solve one case in this process and print its row: trays, parts, layers
    #[arg(long, num_args = 3, hide = true)]
    one: Option<Vec<usize>>,
}

/// What is told of a case.
#[derive(Clone, Debug, Default, serde::Serialize, serde::Deserialize)]
struct Row {
    trays: usize,
    parts: usize,
    layers: usize,
    /// Outlines of all trays, measured by themselves before the case is solved.
    sizing_s: f64,
    /// Until the first bound, sizing included.
    bound_s: Option<f64>,
    first_s: Option<f64>,
    /// With settling and the checker.
    total_s: f64,
    value_ml: Option<f64>,
    bound_ml: Option<f64>,
    /// Of the value, as the search told it.
    gap: Option<f64>,
    /// Of the plan, by its claim.
    plan_gap: Option<f64>,
    state: String,
    peak_mb: Option<f64>,
}

/// What grows in a series, and its cases.
struct Series {
    name: &'static str,
    of: fn(&Row) -> usize,
    cases: Vec<Scale>,
}

fn series() -> Vec<Series> {
    let scale = |trays, parts, layers| Scale { trays, parts, layers };
    vec![
        Series {
            name: "trays (5 parts each, 5 layers)",
            of: |r| r.trays,
            cases: [5, 10, 20, 40, 60, 80, 100].map(|n| scale(n, 5 * n, 5)).into(),
        },
        Series {
            name: "parts (10 trays, 3 layers)",
            of: |r| r.parts,
            cases: [10, 30, 60, 100, 200, 300, 500].map(|n| scale(10, n, 3)).into(),
        },
        Series {
            name: "layers (24 trays, 96 parts)",
            of: |r| r.layers,
            cases: (1..=6).map(|n| scale(24, 96, n)).collect(),
        },
    ]
}

fn main() -> ExitCode {
    let args = Args::parse();
    let done = match args.one.as_deref() {
        Some(&[trays, parts, layers]) => one(Scale { trays, parts, layers }, &args),
        _ => all(&args),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(e) => {
            eprintln!("{e}");
            ExitCode::FAILURE
        }
    }
}

fn one(scale: Scale, args: &Args) -> Result<(), String> {
    let job = job(scale, args.seed)?;
    if args.simple {
        return simple(scale, args, &job);
    }
    let watch = Watch::start();
    // What is found here is dropped: solving starts anew, its time is that of the whole.
    let sized = build(&job, &job.trays).is_ok();
    let sizing_s = watch.elapsed().as_secs_f64();
    if !sized {
        return Err("a tray has no outline in the box".into());
    }
    let watch = Watch::start();
    let at = || watch.elapsed().as_secs_f64();
    let mut options = Options::default();
    options.nodes = u64::MAX / 2;
    options.stop = Stop::within(Duration::from_secs_f64(args.seconds));
    let mut row =
        Row { sizing_s, trays: scale.trays, parts: scale.parts, layers: scale.layers, ..Row::default() };
    let outcome = solve(&job, &options, &mut |p| {
        if p.bound_ml.is_some() {
            row.bound_s.get_or_insert_with(at);
            row.bound_ml = p.bound_ml;
        }
        if p.value_ml.is_some() {
            row.first_s.get_or_insert_with(at);
            row.value_ml = p.value_ml;
        }
    });
    row.total_s = at();
    row.gap = row.value_ml.zip(row.bound_ml).map(|(v, b)| 100.0 * (1.0 - b / v).max(0.0));
    row.plan_gap = outcome.claim.gap.map(|g| 100.0 * g);
    row.state = format!("{:?}", outcome.claim.state).to_lowercase();
    row.peak_mb = peak_mb();
    println!("{}", serde_json::to_string(&row).map_err(|e| e.to_string())?);
    Ok(())
}

/// The placement alone, without rims, where each layer above a tray costs as much as a lift.
fn simple(scale: Scale, args: &Args, job: &Job) -> Result<(), String> {
    let watch = Watch::start();
    let at = || watch.elapsed().as_secs_f64();
    let built = build(job, &job.trays).map_err(|_| "a tray has no outline in the box")?;
    let mut row = Row { trays: scale.trays, parts: scale.parts, layers: scale.layers, ..Row::default() };
    row.sizing_s = at();
    let instance = Instance { rims: None, access: Access::LayersAbove, ..built.instance };
    let stop = Stop::within(Duration::from_secs_f64((args.seconds - at()).max(0.0)));
    let volume = |v: i64| Volume::from_nm3(i128::from(v) * i128::from(job.grid.nm()).pow(3)).to_ml_f64();
    let found = search(&instance, 1, u64::MAX / 2, &stop, &mut |value, bound| {
        if let Some(bound) = bound {
            row.bound_s.get_or_insert_with(at);
            row.bound_ml = Some(volume(bound));
        }
        if value.is_some() {
            row.first_s.get_or_insert_with(at);
        }
    });
    row.total_s = at();
    row.value_ml = found.layout.map(|(_, cost)| volume(cost.value()));
    row.gap = row.value_ml.zip(row.bound_ml).map(|(v, b)| 100.0 * (1.0 - b / v).max(0.0));
    row.state = found.bound_by.into();
    row.peak_mb = peak_mb();
    println!("{}", serde_json::to_string(&row).map_err(|e| e.to_string())?);
    Ok(())
}

/// The greatest memory that this process has held so far; Linux tells it.
fn peak_mb() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:"))?;
    let kib: f64 = line.trim().trim_end_matches("kB").trim().parse().ok()?;
    Some(kib * 1024.0 / 1e6)
}

fn all(args: &Args) -> Result<(), String> {
    std::fs::create_dir_all(&args.out).map_err(|e| format!("{}: {e}", args.out.display()))?;
    let mut csv = String::from(
        "series,trays,parts,layers,sizing_s,bound_s,first_s,total_s,value_ml,bound_ml,gap_percent,plan_gap_percent,state,peak_mb\n",
    );
    let mut panels = [Vec::new(), Vec::new(), Vec::new()];
    for series in series().into_iter().filter(|s| s.name.starts_with(&args.series)) {
        println!("\nby {}, {} s a case", series.name, args.seconds);
        println!(
            "{:>5} {:>5} {:>6} {:>8} {:>8} {:>8} {:>8} {:>10} {:>10} {:>7} {:>10} {:>8}  state",
            "trays",
            "parts",
            "layers",
            "sizing s",
            "bound s",
            "first s",
            "total s",
            "value ml",
            "bound ml",
            "gap %",
            "plan gap %",
            "peak MB"
        );
        let mut rows = Vec::new();
        for scale in series.cases.iter().filter(|s| s.trays <= args.most && s.parts <= 5 * args.most) {
            let row = child(*scale, args)?;
            println!(
                "{:>5} {:>5} {:>6} {:>8.3} {:>8} {:>8} {:>8.2} {:>10} {:>10} {:>7} {:>10} {:>8}  {}",
                row.trays,
                row.parts,
                row.layers,
                row.sizing_s,
                decimals(row.bound_s, 3),
                decimals(row.first_s, 3),
                row.total_s,
                decimals(row.value_ml, 1),
                decimals(row.bound_ml, 1),
                decimals(row.gap, 3),
                decimals(row.plan_gap, 3),
                decimals(row.peak_mb, 0),
                row.state
            );
            csv += &cells(series.name, &row);
            rows.push(row);
        }
        for (kind, panel) in panels.iter_mut().zip(drawn(&series, &rows)) {
            kind.push(panel);
        }
    }
    let columns = panels[0].len();
    write(&args.out.join("scaling.csv"), &csv)?;
    write(&args.out.join("scaling.svg"), &charts(&panels.concat(), columns))?;
    println!("\nwritten: scaling.csv and scaling.svg in {}", args.out.display());
    Ok(())
}

fn write(file: &Path, text: &str) -> Result<(), String> {
    std::fs::write(file, text).map_err(|e| format!("{}: {e}", file.display()))
}

/// Solves a case in a process of its own.
fn child(scale: Scale, args: &Args) -> Result<Row, String> {
    let me = std::env::current_exe().map_err(|e| e.to_string())?;
    let numbers = [scale.trays, scale.parts, scale.layers].map(|n| n.to_string());
    let done = Command::new(me)
        .args(["--seconds", &args.seconds.to_string(), "--seed", &args.seed.to_string()])
        .args(args.simple.then_some("--simple"))
        .arg("--one")
        .args(numbers)
        .output()
        .map_err(|e| e.to_string())?;
    serde_json::from_slice(&done.stdout)
        .map_err(|e| format!("{scale:?}: {e}: {}", String::from_utf8_lossy(&done.stderr)))
}

fn cells(series: &str, r: &Row) -> String {
    let n = |v: Option<f64>| v.map_or(String::new(), |v| format!("{v:.4}"));
    format!(
        "\"{series}\",{},{},{},{:.4},{},{},{:.4},{},{},{},{},\"{}\",{}\n",
        r.trays,
        r.parts,
        r.layers,
        r.sizing_s,
        n(r.bound_s),
        n(r.first_s),
        r.total_s,
        n(r.value_ml),
        n(r.bound_ml),
        n(r.gap),
        n(r.plan_gap),
        r.state.replace('"', "'"),
        n(r.peak_mb)
    )
}

/// Time, gap and memory of one series.
fn drawn(series: &Series, rows: &[Row]) -> [Panel; 3] {
    let line = |name: &str, of: fn(&Row) -> Option<f64>| Line {
        name: name.into(),
        points: rows.iter().filter_map(|r| Some(((series.of)(r) as f64, of(r)?))).collect(),
    };
    let x = series.name.split_whitespace().next().unwrap_or_default();
    let panel = |what: &str, y: &str, mark, lines| Panel {
        title: format!("{what} by {}", series.name),
        x: format!("number of {x}"),
        y: y.into(),
        mark,
        lines,
    };
    [
        panel(
            "Time",
            "seconds",
            None,
            vec![
                line("sizing alone", |r| Some(r.sizing_s)),
                line("first bound", |r| r.bound_s),
                line("first plan", |r| r.first_s),
            ],
        ),
        panel("Gap", "percent", Some(1.0), vec![line("at the end", |r| r.gap)]),
        panel("Peak memory", "MB", Some(300.0), vec![line("whole process", |r| r.peak_mb)]),
    ]
}

//! Every scenario: time to the first plan, whole time, value, bound, gap and peak memory; and how fast the command starts.
//!
//! Each scenario runs in a process of its own, so that its peak memory is its own. Arguments are passed on as
//! `--nodes N` and `--seed N`; without them the defaults of the command are measured.

use std::path::{Path, PathBuf};
use std::process::Command;

use traywright::draw::{ReportExtra, exploded_svg, layer_svg, report_html};
use traywright::plan::{ClaimState, Options, Outcome, solve};
use traywright::stop::Watch;

/// Runs of `--version` of which the median is told.
const STARTS: usize = 21;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.split_first() {
        Some((flag, rest)) if flag == "--one" => one(rest),
        _ => all(&words),
    }
}

/// Runs one scenario and prints its row.
fn one(words: &[String]) {
    let Some((brief, flags)) = words.split_first() else { return };
    let mut options = Options::default();
    for pair in flags.chunks(2) {
        match (pair.first().map(String::as_str), pair.get(1).and_then(|n| n.parse().ok())) {
            (Some("--nodes"), Some(n)) => options.nodes = n,
            (Some("--seed"), Some(n)) => options.seed = n,
            _ => eprintln!("{pair:?} is neither --nodes N nor --seed N"),
        }
    }
    let watch = Watch::start();
    let job = match traywright::job::load(Path::new(brief), &[]) {
        Ok(job) => job,
        Err(findings) => return println!("{} findings, the first: {}", findings.len(), findings[0]),
    };
    let mut first = None;
    let outcome = solve(&job, &options, &mut |progress| {
        if progress.value_ml.is_some() && first.is_none() {
            first = Some(watch.elapsed());
        }
    });
    let solved = watch.elapsed();
    if let Some(plan) = &outcome.plan {
        let mut size =
            report_html(&job, plan, &ReportExtra::default()).len() + exploded_svg(&job, plan).len();
        size += (1..=plan.settled.layers.len()).map(|k| layer_svg(&job, plan, k).len()).sum::<usize>();
        assert!(size > 0);
    }
    let whole = watch.elapsed();
    let seconds =
        |d: Option<std::time::Duration>| d.map_or("–".into(), |d| format!("{:.2}", d.as_secs_f64()));
    println!(
        "{:>9} {:>9} {:>9} {} {:>8}",
        seconds(first),
        seconds(Some(solved)),
        seconds(Some(whole)),
        quality(&outcome),
        peak_memory()
    );
}

/// Value, bound, gap and what the plan claims of the box.
fn quality(outcome: &Outcome) -> String {
    let Some(plan) = &outcome.plan else {
        let state = match outcome.claim.state {
            ClaimState::Impossible => "impossible",
            _ => "none found",
        };
        return format!("{:>10} {:>10} {state:>8} {:>8}", "–", "–", "–");
    };
    let ml = |v: traywright::length::Volume| v.to_ml_f64();
    let v = &plan.tight.volumes_mm3;
    let claimed = 100.0 * (1.0 - ml(v.spare) / ml(v.interior));
    let gap = match plan.claim.state {
        ClaimState::Proven => "proven".to_owned(),
        _ => plan.claim.gap.map_or("–".to_owned(), |gap| format!("{:.1} %", gap * 100.0)),
    };
    let objective = &plan.objective_mm3;
    format!("{:>10.1} {:>10.1} {gap:>8} {claimed:>6.1} %", ml(objective.value), ml(objective.bound))
}

/// Peak resident memory of this process in MB, where the system tells it.
fn peak_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kb =
        status.lines().find_map(|l| l.strip_prefix("VmHWM:")?.trim().strip_suffix("kB")?.trim().parse().ok());
    kb.map_or("–".into(), |kb: u64| format!("{:.1}", kb as f64 / 1000.0))
}

fn all(flags: &[String]) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut briefs: Vec<PathBuf> = ["easy", "medium", "hard"]
        .iter()
        .filter_map(|tier| std::fs::read_dir(root.join("scenarios").join(tier)).ok())
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    briefs.sort();
    let Ok(myself) = std::env::current_exe() else { return eprintln!("this program cannot find itself") };
    println!(
        "{:22} {:>9} {:>9} {:>9} {:>10} {:>10} {:>8} {:>8} {:>8}",
        "scenario", "first s", "solved s", "drawn s", "value ml", "bound ml", "gap", "claimed", "peak MB"
    );
    for brief in &briefs {
        let name = brief.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let done = Command::new(&myself).arg("--one").arg(brief).args(flags).output();
        match done {
            Ok(done) => {
                eprint!("{}", String::from_utf8_lossy(&done.stderr));
                print!("{name:22} {}", String::from_utf8_lossy(&done.stdout));
            }
            Err(error) => println!("{name:22} {error}"),
        }
    }
    let command = myself.with_file_name("traywright");
    let mut times: Vec<_> = (0..STARTS)
        .filter_map(|_| {
            let watch = Watch::start();
            let done = Command::new(&command).arg("--version").output().ok()?;
            done.status.success().then(|| watch.elapsed())
        })
        .collect();
    times.sort();
    match times.get(STARTS / 2) {
        Some(median) => {
            println!("traywright --version: {:.1} ms (median of {STARTS})", median.as_secs_f64() * 1e3)
        }
        None => println!("traywright --version: build it first (cargo build --release -p traywright-cli)"),
    }
}

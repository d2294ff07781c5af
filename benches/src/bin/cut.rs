//! From the plan to files: panels, proof, sheets and all files of every scenario, beyond planning.
//!
//! `cargo run --release -p traywright-benches --bin cut -- [nodes of planning, default 100000]`
//!
//! Each scenario runs in a process of its own. Peak memory is told before cutting and after, since planning needs some
//! too. What it must reach: the hard scenario within 10 s.

use std::path::{Path, PathBuf};
use std::process::Command;

use traywright::cut::Options;
use traywright::draw::cut;
use traywright::panel::{panels, prove};
use traywright::plan::solve;
use traywright::stop::Watch;

/// What the hard scenario must not exceed, in seconds.
const MARK: f64 = 10.0;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.split_first() {
        Some((flag, rest)) if flag == "--one" => one(rest),
        _ => all(&words),
    }
}

/// Runs one scenario and prints its row.
fn one(words: &[String]) {
    let Some((brief, rest)) = words.split_first() else { return };
    let mut options = traywright::plan::Options::default();
    options.nodes = rest.first().and_then(|n| n.parse().ok()).unwrap_or(100_000);
    let job = match traywright::job::load(Path::new(brief), &[]) {
        Ok(job) => job,
        Err(findings) => return println!("{}", findings[0]),
    };
    let Some(plan) = solve(&job, &options, &mut |_| {}).plan else { return println!("no plan") };
    let before = peak_memory();
    let watch = Watch::start();
    let made = match panels(&job, &plan) {
        Ok(made) => made,
        Err(findings) => return println!("{}", findings[0]),
    };
    let panelled = watch.elapsed().as_secs_f64();
    let proven = made.iter().filter(|tray| prove(&job, &plan, tray).is_ok()).count();
    let proof = watch.elapsed().as_secs_f64() - panelled;
    // Everything once more, as the command does it.
    let watch = Watch::start();
    let mut wanted = Options::default();
    (wanted.engrave, wanted.pattern) = (true, true);
    let files = match cut(&job, &plan, "bench", &wanted) {
        Ok(files) => files,
        Err(findings) => return println!("{}", findings[0]),
    };
    let whole = watch.elapsed().as_secs_f64();
    let sheets: usize = files.job.lots.iter().map(|l| l.sheets.len()).sum();
    let size: usize = files.files.iter().map(|f| f.text.len()).sum();
    let least = files.job.lots.iter().all(|l| l.plan.cost == l.plan.bound);
    println!(
        "{:>5} {:>7} {panelled:>8.3} {proof:>8.3} {whole:>8.3} {sheets:>7} {:>7} {:>6} {:>7} {before:>8} {:>8}{}",
        made.iter().map(|t| t.copies).sum::<usize>(),
        files.job.lots.iter().map(|l| l.items.len()).sum::<usize>(),
        if least { "yes" } else { "no" },
        files.files.len(),
        size / 1000,
        peak_memory(),
        if proven < made.len() {
            "  UNPROVEN"
        } else if whole > MARK {
            "  TOO SLOW"
        } else {
            ""
        },
    );
}

/// Peak resident memory of this process in MB, where the system tells it.
fn peak_memory() -> String {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let kb =
        status.lines().find_map(|l| l.strip_prefix("VmHWM:")?.trim().strip_suffix("kB")?.trim().parse().ok());
    kb.map_or("–".into(), |kb: u64| format!("{:.1}", kb as f64 / 1000.0))
}

fn all(words: &[String]) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios");
    let mut briefs: Vec<PathBuf> = ["easy", "medium", "hard"]
        .iter()
        .filter_map(|tier| std::fs::read_dir(root.join(tier)).ok())
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.extension().is_some_and(|e| e == "toml"))
        .collect();
    briefs.sort();
    let Ok(myself) = std::env::current_exe() else { return eprintln!("this program cannot find itself") };
    println!(
        "{:14} {:>5} {:>7} {:>8} {:>8} {:>8} {:>7} {:>7} {:>6} {:>7} {:>8} {:>8}",
        "scenario",
        "trays",
        "panels",
        "panels s",
        "proof s",
        "all s",
        "sheets",
        "proven",
        "files",
        "kB",
        "plan MB",
        "cut MB"
    );
    for brief in &briefs {
        let name = brief.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        match Command::new(&myself).arg("--one").arg(brief).args(words).output() {
            Ok(done) => {
                eprint!("{}", String::from_utf8_lossy(&done.stderr));
                print!("{name:14} {}", String::from_utf8_lossy(&done.stdout));
            }
            Err(error) => println!("{name:14} {error}"),
        }
    }
}

//! A batch of many boxes over the usual scenario: speed-up of two threads over one, memory over the run, and a comparison
//! over the stocks of the shop's list. Run `cargo build --release -p traywright-cli` first.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use clap::Parser;
use traywright::stop::Watch;

#[derive(Parser)]
struct Arguments {
    /// Jobs of the list
    #[arg(long, default_value_t = 1000)]
    jobs: usize,
    /// Nodes of each job; the default is about 0.2 s of the usual scenario
    #[arg(long, default_value_t = 2_500)]
    nodes: u64,
    /// The command; beside this one unless named
    #[arg(long)]
    command: Option<PathBuf>,
}

fn main() -> std::io::Result<()> {
    let arguments = Arguments::parse();
    let own = std::env::current_exe()?;
    let beside = own.parent().unwrap_or(Path::new("")).join("traywright");
    let command = arguments.command.unwrap_or(beside);
    let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios").canonicalize()?;
    let dir = std::env::temp_dir().join(format!("traywright-bench-batch-{}", std::process::id()));
    std::fs::create_dir_all(&dir)?;
    let ferry = scenarios.join("medium/ferry.toml");
    let rows: String = (0..arguments.jobs)
        .map(|i| {
            format!("{},{},{},{}\n", ferry.display(), 300 + i % 10, 230 + i / 10 % 10, 90 + i / 100 % 10)
        })
        .collect();
    let heading = "brief,interior.width,interior.depth,interior.height\n";
    std::fs::write(dir.join("jobs.csv"), heading.to_owned() + &rows)?;
    let mut seconds = Vec::new();
    for threads in ["1", "2"] {
        let mut child = Command::new(&command)
            .args(["batch", "jobs.csv", "--threads", threads, "--files", "plans", "--out", threads])
            .args(["--nodes", &arguments.nodes.to_string()])
            .current_dir(&dir)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()?;
        let watch = Watch::start();
        let mut memory = Vec::new();
        while child.try_wait()?.is_none() {
            memory.extend(resident_kib(child.id()));
            std::thread::sleep(Duration::from_millis(100));
        }
        let took = watch.elapsed().as_secs_f64();
        seconds.push(took);
        // The first tenth fills the allocator; what counts is growth from then on.
        let part = |from: usize, to: usize| {
            memory
                .get(memory.len() * from / 10..memory.len() * to / 10)
                .and_then(|m| m.iter().max())
                .copied()
                .unwrap_or(0)
        };
        println!(
            "{threads} threads: {took:.1} s, {:.3} s a job; most resident memory {} KiB in the second tenth, {} KiB in the last",
            took / arguments.jobs as f64,
            part(1, 2),
            part(9, 10)
        );
    }
    if let [one, two] = seconds[..] {
        println!("two threads are {:.2} times as fast as one (mark: 1.8)", one / two);
    }
    let watch = Watch::start();
    Command::new(&command)
        .arg("compare")
        .arg(&ferry)
        .arg("--stock")
        .arg(scenarios.join("shop/stocks.toml"))
        .args(["--budget", "2s"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()?;
    println!("compare over the shop's 8 stocks: {:.1} s (mark: 10)", watch.elapsed().as_secs_f64());
    std::fs::remove_dir_all(&dir)
}

/// Resident memory of a process, on Linux.
fn resident_kib(pid: u32) -> Option<u64> {
    let status = std::fs::read_to_string(format!("/proc/{pid}/status")).ok()?;
    status.lines().find_map(|l| l.strip_prefix("VmRSS:"))?.trim().trim_end_matches(" kB").parse().ok()
}

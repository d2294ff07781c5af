//! Published bin-packing instances as pieces on sheets: ours beside the best known numbers. Give the folder that holds the
//! files `2bp_class*.json`.

use std::path::PathBuf;
use std::time::Duration;

use clap::Parser;
use traywright::length::Length;
use traywright::sheet::{NODES, Piece, Rules, SheetSize, lay_out, verify};
use traywright::stop::{Stop, Watch};

/// Sheets needed for the published instances, beside the best known numbers.
#[derive(Parser)]
struct Args {
    /// Folder with `2bp_class*.json`.
    folder: Option<PathBuf>,
    /// Only instances whose name contains this.
    #[arg(long, default_value = "")]
    cases: String,
    /// Nodes of one case.
    #[arg(long, default_value_t = NODES)]
    nodes: u64,
    /// Seconds of one case, as a backstop.
    #[arg(long, default_value_t = 0.95)]
    seconds: f64,
    /// Also writes every result to this file, as JSON.
    #[arg(long)]
    json: Option<PathBuf>,
    /// One line for every case.
    #[arg(long)]
    each: bool,
}

#[derive(serde::Deserialize)]
struct File {
    cls: u32,
    instances: Vec<Case>,
}

#[derive(serde::Deserialize)]
struct Case {
    name: String,
    bin: (i64, i64),
    items: Vec<(i64, i64)>,
    best_known_bins: Best,
}

#[derive(serde::Deserialize)]
struct Best {
    oriented: usize,
    rotated: usize,
    guillotine3_oriented: usize,
    guillotine3_rotated: usize,
}

/// One way of laying out: its name, whether pieces turn, whether cuts are straight, and what is known.
type Mode = (&'static str, bool, bool, fn(&Best) -> usize);

const MODES: [Mode; 4] = [
    ("fixed", false, false, |b| b.oriented),
    ("turning", true, false, |b| b.rotated),
    ("fixed, straight cuts", false, true, |b| b.guillotine3_oriented),
    ("turning, straight cuts", true, true, |b| b.guillotine3_rotated),
];

/// One case in one mode, for scripts.
#[derive(serde::Serialize)]
struct Outcome<'a> {
    case: &'a str,
    mode: &'a str,
    ours: usize,
    best: usize,
    bound: usize,
    seconds: f64,
}

#[derive(Default)]
struct Sum {
    cases: usize,
    ours: usize,
    best: usize,
    bound: usize,
    proven: usize,
    seconds: f64,
    slowest: f64,
}

impl Sum {
    fn add(&mut self, o: &Sum) {
        self.cases += o.cases;
        self.ours += o.ours;
        self.best += o.best;
        self.bound += o.bound;
        self.proven += o.proven;
        self.seconds += o.seconds;
        self.slowest = self.slowest.max(o.slowest);
    }

    fn print(&self, name: &str) {
        let over = 100.0 * (self.ours as f64 / self.best as f64 - 1.0);
        let mean = self.seconds / self.cases as f64;
        println!(
            "| {name} | {} | {} | {} | {over:+.2} % | {} | {} | {mean:.2} s | {:.2} s |",
            self.cases, self.ours, self.best, self.bound, self.proven, self.slowest
        );
    }
}

fn main() -> std::process::ExitCode {
    let args = Args::parse();
    let Some(folder) = &args.folder else {
        println!("no folder of published sets given: nothing measured");
        return std::process::ExitCode::SUCCESS;
    };
    let mut files: Vec<File> = Vec::new();
    for class in 1..=10 {
        let path = folder.join(format!("2bp_class{class:02}.json"));
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        match serde_json::from_str(&text) {
            Ok(file) => files.push(file),
            Err(e) => println!("{}: {e}: nothing measured", path.display()),
        }
    }
    if files.is_empty() {
        println!("{}: no 2bp_class*.json: nothing measured", folder.display());
        return std::process::ExitCode::SUCCESS;
    }
    println!("| set | cases | ours | best known | over | bound | proven | mean | slowest |");
    println!("| --- | --- | --- | --- | --- | --- | --- | --- | --- |");
    let mut wrong = 0;
    let mut results: Vec<Outcome> = Vec::new();
    for (name, turns, straight, known) in MODES {
        let mut total = Sum::default();
        for file in &files {
            let mut sum = Sum::default();
            for case in file.instances.iter().filter(|c| c.name.contains(&args.cases)) {
                match measure(case, turns, straight, &args) {
                    Ok((ours, bound, seconds)) => {
                        let best = known(&case.best_known_bins);
                        if args.each {
                            println!(
                                "{} {name}: {ours} sheets, best known {best}, bound {bound}, {seconds:.3} s",
                                case.name
                            );
                        }
                        results.push(Outcome { case: &case.name, mode: name, ours, best, bound, seconds });
                        let proven = usize::from(ours == bound);
                        sum.add(&Sum { cases: 1, ours, best, bound, proven, seconds, slowest: seconds });
                    }
                    Err(text) => {
                        wrong += 1;
                        println!("{} {name}: WRONG: {text}", case.name);
                    }
                }
            }
            if sum.cases > 0 {
                sum.print(&format!("class {}, {name}", file.cls));
                total.add(&sum);
            }
        }
        if total.cases > 0 {
            total.print(&format!("all, {name}"));
        }
    }
    if let Some(path) = &args.json {
        let text = serde_json::to_string_pretty(&results).unwrap_or_default();
        if let Err(e) = std::fs::write(path, text) {
            println!("{}: {e}", path.display());
            wrong += 1;
        }
    }
    std::process::ExitCode::from(u8::from(wrong > 0))
}

/// Sheets, bound and seconds.
fn measure(case: &Case, turns: bool, straight: bool, args: &Args) -> Result<(usize, usize, f64), String> {
    let mm = Length::mm;
    let piece = |(i, &(w, d)): (usize, &(i64, i64))| Piece { name: i.to_string(), w: mm(w), d: mm(d), turns };
    let pieces: Vec<Piece> = case.items.iter().enumerate().map(piece).collect();
    let sizes = [SheetSize { w: mm(case.bin.0), d: mm(case.bin.1), price_hundredths: Some(1), most: None }];
    let rules = Rules { margin: Length::ZERO, spacing: Length::ZERO, straight };
    let watch = Watch::start();
    let stop = Stop::nodes(args.nodes).and_within(Duration::from_secs_f64(args.seconds));
    let plan = lay_out(&pieces, &sizes, &rules, &stop);
    let seconds = watch.elapsed().as_secs_f64();
    let text = |f: Vec<traywright::finding::Finding>| {
        f.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    };
    let plan = plan.map_err(text)?;
    let wrong = verify(&pieces, &sizes, &rules, &plan);
    if !wrong.is_empty() {
        return Err(text(wrong));
    }
    Ok((plan.sheets.len(), usize::try_from(plan.bound).unwrap_or(0), seconds))
}

//! The same brief, seed and nodes give the same bytes: plan, report, pictures, summary, comparisons and batches, again and
//! again and on any number of threads. `tests/outside/builds.py` holds debug and release builds against each other.

use std::path::Path;

use rayon::ThreadPoolBuilder;
use traywright::draw::{ReportExtra, exploded_svg, layer_svg, report_html, summary};
use traywright::plan::{Options, mps, solve};
use traywright::shop::{
    self, Answer, Batch, BatchRow, Catalogue, Effort, FileMark, JobLine, JournalLine, Keeper, Portion,
};
use traywright_tests::scenarios::{briefs, folder, job};

fn options(nodes: u64, seed: u64) -> Options {
    let mut options = Options::default();
    (options.nodes, options.seed) = (nodes, seed);
    options
}

/// Runs on a pool of so many threads.
fn on<T: Send>(threads: usize, run: impl FnOnce() -> T + Send) -> T {
    ThreadPoolBuilder::new().num_threads(threads).build().unwrap().install(run)
}

/// Everything that `plan` writes, and what a caller is told on the way.
fn written(brief: &Path, nodes: u64, seed: u64) -> Vec<(String, String)> {
    let job = job(brief);
    let mut told = String::new();
    let outcome = solve(&job, &options(nodes, seed), &mut |p| told.push_str(&format!("{p:?}\n")));
    let mut files = vec![
        ("progress".to_owned(), told),
        ("claim".to_owned(), format!("{:?}", outcome.claim)),
        ("reasons".to_owned(), format!("{:?}", outcome.reasons)),
        ("stats".to_owned(), format!("{:?}", outcome.stats)),
        ("model".to_owned(), format!("{:?}", mps(&job, &options(nodes / 10, seed)))),
    ];
    if let Some(plan) = &outcome.plan {
        files.push(("plan".into(), plan.to_json()));
        files.push(("report".into(), report_html(&job, plan, &ReportExtra::default())));
        files.push(("exploded".into(), exploded_svg(&job, plan)));
        files.push(("summary".into(), summary(&job, plan)));
        let layers = 1..=plan.settled.layers.len();
        files.extend(layers.map(|k| (format!("layer {k}"), layer_svg(&job, plan, k))));
    }
    files
}

fn same(what: &str, first: &[(String, String)], again: &[(String, String)]) {
    assert_eq!(first.len(), again.len(), "{what}");
    for ((name, a), (_, b)) in first.iter().zip(again) {
        let line = a.lines().zip(b.lines()).enumerate().find(|(_, (a, b))| a != b);
        assert!(a == b, "{what}: {name} differs: {line:?}");
    }
}

/// Holds the files of each brief against those of a run on one thread.
fn hold(tiers: &[&str], nodes: u64, threads: &[usize], repeats: usize) {
    let mut plans = 0;
    for (name, brief) in briefs(tiers) {
        let first = on(1, || written(&brief, nodes, 1));
        plans += usize::from(first.iter().any(|f| f.0 == "plan"));
        for again in 0..repeats {
            for &n in threads {
                let files = on(n, || written(&brief, nodes, 1));
                same(&format!("{name}, run {again} on {n} threads"), &first, &files);
            }
        }
    }
    assert!(plans > 0);
}

#[test]
fn easy_scenarios_are_the_same_on_any_number_of_threads() {
    hold(&["easy"], 30_000, &[1, 2, 8], 1);
}

#[test]
fn usual_scenarios_are_the_same_on_any_number_of_threads() {
    hold(&["medium"], 12_000, &[8], 1);
}

/// A check that could not fail would be none: another seed is seen.
#[test]
fn another_seed_is_another_run() {
    let brief = folder().join("medium/ferry.toml");
    let (a, b) = (written(&brief, 6_000, 1), written(&brief, 6_000, 2));
    assert!(a.iter().zip(&b).any(|(a, b)| a != b));
}

/// Keeps plans and lines of a batch as they come.
#[derive(Default)]
struct Plans(std::sync::Mutex<Vec<(String, String)>>);

impl Keeper for Plans {
    fn files(&self, job: &JobLine, answer: &Answer) -> Result<Vec<FileMark>, String> {
        let Answer::Plan { plan, .. } = answer else { return Ok(Vec::new()) };
        let text = plan.to_json();
        let mark = FileMark::of(format!("{}.plan.json", job.id), text.as_bytes());
        self.0.lock().unwrap().push((job.id.clone(), text));
        Ok(vec![mark])
    }

    fn line(&self, line: &JournalLine, row: &BatchRow) {
        self.0.lock().unwrap().push((format!("{} line", row.id), line.text()));
    }
}

/// Tables of a comparison and of a batch, and every plan within.
fn tables(nodes: u64) -> Vec<(String, String)> {
    let effort = Effort { options: options(nodes, 1), budget: None };
    let (shop, easy) = (folder().join("shop"), folder().join("easy/tides.toml"));
    let comparison = shop::compare(&easy, &shop.join("stocks.toml"), &[], &[], &effort, &|_| {}).unwrap();
    let mut files = vec![
        ("compare.csv".to_owned(), comparison.table().csv()),
        ("compare.json".to_owned(), comparison.table().json()),
        ("compare.txt".to_owned(), comparison.short_table().text()),
    ];
    let shelf = Catalogue { boxes: shop::load_boxes(&shop.join("boxes.csv")).unwrap(), stocks: Vec::new() };
    let mut jobs = shop::load_jobs(&shop.join("jobs.csv"), &shelf).unwrap();
    jobs.truncate(9);
    let batch =
        Batch { jobs: &jobs, dir: &shop, stocks: None, effort: &effort, portion: Portion::ALL, also: "" };
    let plans = Plans::default();
    let rows = batch.run(&[], &plans);
    files.push(("results.csv".into(), shop::results(&rows).csv()));
    files.push(("results.jsonl".into(), shop::results(&rows).json_lines()));
    files.push(("summary.txt".into(), shop::summary_text(&rows)));
    files.push(("summary.html".into(), shop::summary_html(&rows)));
    // In the order of finishing; that alone may differ.
    let mut plans = plans.0.into_inner().unwrap();
    plans.sort();
    files.extend(plans);
    files
}

#[test]
fn comparisons_and_batches_are_the_same_on_any_number_of_threads() {
    let first = on(1, || tables(2_500));
    assert!(first.len() > 8, "{} files", first.len());
    for threads in [2, 8] {
        same(&format!("{threads} threads"), &first, &on(threads, || tables(2_500)));
    }
}

/// The long form, some minutes in a release build: `cargo test --release --test determinism -- --ignored`.
#[test]
#[ignore = "long: twenty runs of every scenario, by hand"]
fn twenty_runs_are_the_same() {
    hold(&["easy", "medium", "hard"], 20_000, &[1, 2, 8], 20);
    let first = on(1, || tables(20_000));
    for again in 0..20 {
        for threads in [1, 2, 8] {
            same(&format!("run {again} on {threads} threads"), &first, &on(threads, || tables(20_000)));
        }
    }
}

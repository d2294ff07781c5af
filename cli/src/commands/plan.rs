use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::Args;
use traywright::draw::{self, ReportExtra};
use traywright::finding::{Finding, Severity};
use traywright::job::Job;
use traywright::plan::{self, Claim, ClaimState, Outcome};
use traywright::tolerance::{Assumptions, tolerance};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::search::{Changes, Search};

/// Compute the best plan for a brief and write it with its report and pictures
///
/// Writes STEM.plan.json, STEM.html, STEM.layer-K.svg and STEM.exploded.svg, STEM being the brief's name, and
/// prints a summary. Ctrl-C ends the search and the best plan so far is written.
#[derive(Args)]
pub(crate) struct Plan {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Directory to write into [default: beside the brief]
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print the plan on stdout instead of a summary; no files are written unless --out is given
    #[arg(long)]
    json: bool,
    /// Write times and figures of the search into a file (JSON)
    #[arg(long, value_name = "FILE")]
    stats: Option<PathBuf>,
    /// End with code 1 unless the plan is proven to be the best, or within so many percent of the best
    #[arg(long, value_name = "proven|GAP%", value_parser = requirement)]
    require: Option<Requirement>,
    #[command(flatten)]
    changes: Changes,
    #[command(flatten)]
    search: Search,
}

/// What `--require` asks for: the greatest gap, as a share.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Requirement(f64);

fn requirement(text: &str) -> Result<Requirement, String> {
    if text == "proven" {
        return Ok(Requirement(0.0));
    }
    let percent: Option<f64> = text.strip_suffix('%').and_then(|n| n.trim().parse().ok());
    match percent {
        Some(p) if (0.0..=100.0).contains(&p) => Ok(Requirement(p / 100.0)),
        _ => Err("write `proven` or a gap in percent, such as 5%".to_owned()),
    }
}

impl Requirement {
    fn is_reached(self, claim: &Claim) -> bool {
        match claim.state {
            ClaimState::Proven => true,
            ClaimState::Gap => claim.gap.is_some_and(|gap| gap <= self.0),
            ClaimState::Unproven | ClaimState::Impossible | ClaimState::NoneFound => false,
        }
    }
}

impl Plan {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let job = match traywright::job::load(&self.brief, &self.changes.changes) {
            Ok(job) => job,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let warnings: Vec<Finding> =
            job.findings.iter().filter(|f| f.severity > Severity::Note).cloned().collect();
        console.findings(&warnings);
        let options = self.search.options()?;
        let watch = traywright::stop::Watch::start();
        let mut line = console.progress();
        let outcome = plan::solve(&job, &options, &mut |progress| line.show(progress));
        drop(line);
        let stats = stats(&outcome, watch.elapsed().as_secs_f64());
        console.findings(&outcome.reasons);
        if outcome.plan.is_none() && !outcome.input_at_fault {
            console.note(&super::advise_hint(&self.brief));
        }
        self.write(&job, &outcome, &stats)?;
        console.result(&self.result(&job, &outcome)?)?;
        Ok(match (&outcome.plan, self.require) {
            (None, _) if outcome.input_at_fault => Exit::InputAtFault,
            (None, _) => Exit::NoPlan,
            (Some(_), Some(wanted)) if !wanted.is_reached(&outcome.claim) => Exit::NotReached,
            (Some(_), _) => Exit::Done,
        })
    }

    /// What stands on stdout.
    fn result(&self, job: &Job, outcome: &Outcome) -> anyhow::Result<String> {
        Ok(match (&outcome.plan, self.json) {
            (Some(plan), true) => plan.to_json(),
            (Some(plan), false) => draw::summary(job, plan),
            (None, true) => {
                let reasons: Vec<String> = outcome.reasons.iter().map(ToString::to_string).collect();
                let none = serde_json::json!({ "claim": outcome.claim, "reasons": reasons });
                format!("{none:#}\n")
            }
            (None, false) => format!("no plan for {}\n", self.brief.display()),
        })
    }

    fn write(&self, job: &Job, outcome: &Outcome, stats: &str) -> anyhow::Result<()> {
        let mut files = FileSet::default();
        if let Some(path) = &self.stats {
            files.add(path, stats);
        }
        if let Some(plan) = &outcome.plan
            && (!self.json || self.out.is_some())
        {
            let stem = self.brief.file_stem().context("the brief has no name")?.to_string_lossy();
            let beside = self.brief.parent().unwrap_or(Path::new(""));
            plan_files(&mut files, self.out.as_deref().unwrap_or(beside), &stem, &self.brief, job, plan);
        }
        files.write()
    }
}

/// All files of a plan together, so that no picture of an older plan stays beside a newer one.
pub(super) fn plan_files(
    files: &mut FileSet,
    dir: &Path,
    stem: &str,
    brief: &Path,
    job: &Job,
    plan: &plan::Plan,
) {
    let mut extra = ReportExtra::default();
    extra.brief = brief.display().to_string();
    extra.tolerance = Some(tolerance(job, plan, &Assumptions::of(job)));
    let at = |ending: &str| dir.join(format!("{stem}.{ending}"));
    files.add(at("plan.json"), plan.to_json());
    files.add(at("html"), draw::report_html(job, plan, &extra));
    files.add(at("exploded.svg"), draw::exploded_svg(job, plan));
    let layers = plan.settled.layers.len();
    for k in 1..=layers {
        files.add(at(&format!("layer-{k}.svg")), draw::layer_svg(job, plan, k));
    }
    let older = (layers + 1..).map(|k| at(&format!("layer-{k}.svg"))).take_while(|p| p.exists());
    older.for_each(|path| files.remove(path));
}

fn stats(outcome: &Outcome, seconds: f64) -> String {
    let mut all = serde_json::Map::new();
    all.insert("seconds".into(), format!("{seconds:.3}").into());
    for (name, value) in &outcome.stats {
        all.insert(name.clone(), value.as_str().into());
    }
    format!("{:#}\n", serde_json::Value::Object(all))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn requirements() {
        assert_eq!(requirement("proven"), Ok(Requirement(0.0)));
        assert_eq!(requirement("5%"), Ok(Requirement(0.05)));
        for text in ["5", "", "%", "-1%", "101%", "nan%", "best"] {
            assert!(requirement(text).is_err(), "{text}");
        }
    }
}

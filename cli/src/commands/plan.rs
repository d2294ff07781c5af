use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::Args;
use traywright::draw::{self, ReportExtra};
use traywright::finding::{Finding, Severity};
use traywright::job::Job;
use traywright::panel;
use traywright::plan::{self, Claim, ClaimState, Fate, FromScratch, Outcome, Second, TrayFate};
use traywright::shop::{self, Became, Choices, Differences};
use traywright::tolerance::{Assumptions, tolerance};

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::older::{Older, older};
use crate::search::{Changes, Search};

/// Plans that anybody compares at once.
const MOST_CHOICES: usize = 12;

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
    /// Plan a second version: keep what this older plan left standing, and tell what differs from it
    ///
    /// Beside the plan stand STEM.differences.html, .svg and .json with the panels that must be cut again.
    #[arg(long, value_name = "OLD")]
    from: Option<PathBuf>,
    /// With --from, this tray must stay as it is (say it again for another one)
    #[arg(long, value_name = "TRAY", requires = "from")]
    hold: Vec<String>,
    /// With --from, the brief of the older plan [default: the same brief, without corrections where the plan was made so]
    #[arg(long, value_name = "BRIEF", requires = "from")]
    old_brief: Option<PathBuf>,
    /// Find so many plans that differ in what is seen: trays in other layers, more or fewer layers, fewer panels
    ///
    /// Beside the best plan stand STEM.choice-2.plan.json and so on, and STEM.choices.html and .json with all of them
    /// side by side.
    #[arg(long, value_name = "N", conflicts_with_all = ["from", "json"], value_parser = clap::value_parser!(u8).range(2..=MOST_CHOICES as i64))]
    choices: Option<u8>,
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
        let job = match self.changes.job(&self.brief) {
            Ok(job) => job,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let warnings: Vec<Finding> =
            job.findings.iter().filter(|f| f.severity > Severity::Note).cloned().collect();
        console.findings(&warnings);
        let older = match self.older()? {
            None => None,
            Some(Ok(older)) => Some(older),
            Some(Err(findings)) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let options = self.search.options()?;
        let watch = traywright::stop::Watch::start();
        let mut line = console.progress();
        if let Some(count) = self.choices {
            let found =
                shop::choices(&job, usize::from(count), &options, &mut |progress| line.show(progress));
            drop(line);
            return self.chosen(console, &job, &found, watch.elapsed().as_secs_f64());
        }
        let mut fits_afresh = false;
        let (outcome, second) = match &older {
            None => (plan::solve(&job, &options, &mut |progress| line.show(progress)), None),
            Some(older) => {
                let second = plan::second(&job, &older.plan, &self.hold, &options, &mut |progress| {
                    line.show(progress)
                });
                drop(line);
                match second {
                    Ok(mut second) => {
                        line = console.progress();
                        fits_afresh = second.free.is_some();
                        let told = Told::of(&job, older, &second, console);
                        second.outcome.stats.extend(second_stats(&second));
                        (second.outcome, told)
                    }
                    Err(findings) => {
                        console.findings(&findings);
                        return Ok(Exit::InputAtFault);
                    }
                }
            }
        };
        drop(line);
        let stats = stats(&outcome, watch.elapsed().as_secs_f64());
        console.findings(&outcome.reasons);
        if outcome.plan.is_none() && !outcome.input_at_fault {
            // What keeps it from fitting is what must stay, which no change of the brief mends.
            match fits_afresh {
                true => console.note("without --hold there is a plan"),
                false => console.note(&super::advise_hint(&self.brief)),
            }
        }
        self.write(&job, &outcome, &stats, second.as_ref())?;
        console.result(&self.result(&job, &outcome, second.as_ref())?)?;
        Ok(self.exit(&outcome))
    }

    fn exit(&self, outcome: &Outcome) -> Exit {
        match (&outcome.plan, self.require) {
            (None, _) if outcome.input_at_fault => Exit::InputAtFault,
            (None, _) => Exit::NoPlan,
            (Some(_), Some(wanted)) if !wanted.is_reached(&outcome.claim) => Exit::NotReached,
            (Some(_), _) => Exit::Done,
        }
    }

    /// Writes and tells the plans to choose from.
    fn chosen(&self, console: &Console, job: &Job, found: &Choices, seconds: f64) -> anyhow::Result<Exit> {
        let outcome = &found.outcome;
        console.findings(&outcome.reasons);
        let mut files = FileSet::default();
        if let Some(path) = &self.stats {
            files.add(path, stats(outcome, seconds));
        }
        let mut text = format!("no plan for {}\n", self.brief.display());
        if let Some(plan) = &outcome.plan {
            plan_files(&mut files, self.dir(), &self.stem()?, &self.brief, job, plan);
            self.older_pages(&mut files, false, found.plans.len())?;
            for (i, choice) in found.plans.iter().enumerate().skip(1) {
                files.add(self.beside(&format!("choice-{}.plan.json", i + 1))?, choice.plan.to_json());
            }
            files.add(self.beside("choices.html")?, draw::choices_html(job, found));
            files.add(self.beside("choices.json")?, found.json());
            text = format!("{}\n{}", draw::summary(job, plan), found.text());
        }
        files.write()?;
        console.result(&text)?;
        Ok(self.exit(outcome))
    }

    /// The path of a file that belongs to the plan.
    fn beside(&self, ending: &str) -> anyhow::Result<PathBuf> {
        Ok(self.dir().join(format!("{}.{ending}", self.stem()?)))
    }

    /// Takes away what earlier runs told beside their plan and this one does not: differences, and choices beyond so many.
    fn older_pages(&self, files: &mut FileSet, differences: bool, choices: usize) -> anyhow::Result<()> {
        let mut all: Vec<String> = Vec::new();
        if !differences {
            all.extend(["html", "svg", "json"].map(|e| format!("differences.{e}")));
        }
        if choices == 0 {
            all.extend(["html", "json"].map(|e| format!("choices.{e}")));
        }
        all.extend((choices.max(1) + 1..=MOST_CHOICES).map(|k| format!("choice-{k}.plan.json")));
        for ending in all {
            let path = self.beside(&ending)?;
            if path.exists() {
                files.remove(path);
            }
        }
        Ok(())
    }

    /// The older plan, where one is given. It is never overwritten: what was cut goes by it.
    fn older(&self) -> anyhow::Result<Option<Result<Older, Vec<Finding>>>> {
        let Some(from) = &self.from else { return Ok(None) };
        let target = self.dir().join(format!("{}.plan.json", self.stem()?));
        if self.writes() && same_file(from, &target) {
            anyhow::bail!(
                "{} is the older plan and would be overwritten: give another folder with --out",
                from.display()
            );
        }
        older(&self.brief, self.old_brief.as_deref(), &self.changes, from).map(Some)
    }

    fn dir(&self) -> &Path {
        self.out.as_deref().unwrap_or(self.brief.parent().unwrap_or(Path::new("")))
    }

    fn stem(&self) -> anyhow::Result<String> {
        Ok(self.brief.file_stem().context("the brief has no name")?.to_string_lossy().into_owned())
    }

    /// Whether files are written.
    fn writes(&self) -> bool {
        !self.json || self.out.is_some()
    }

    /// What stands on stdout.
    fn result(&self, job: &Job, outcome: &Outcome, second: Option<&Told>) -> anyhow::Result<String> {
        Ok(match (&outcome.plan, self.json) {
            (Some(plan), true) => plan.to_json(),
            (Some(plan), false) => match second {
                None => draw::summary(job, plan),
                Some(told) => format!("{}\n{}", draw::summary(job, plan), told.text(plan)),
            },
            (None, true) => {
                let reasons: Vec<String> = outcome.reasons.iter().map(ToString::to_string).collect();
                let none = serde_json::json!({ "claim": outcome.claim, "reasons": reasons });
                format!("{none:#}\n")
            }
            (None, false) => format!("no plan for {}\n", self.brief.display()),
        })
    }

    fn write(&self, job: &Job, outcome: &Outcome, stats: &str, second: Option<&Told>) -> anyhow::Result<()> {
        let mut files = FileSet::default();
        if let Some(path) = &self.stats {
            files.add(path, stats);
        }
        if let Some(plan) = &outcome.plan
            && self.writes()
        {
            let stem = self.stem()?;
            plan_files(&mut files, self.dir(), &stem, &self.brief, job, plan);
            self.older_pages(&mut files, second.is_some(), 0)?;
            if let Some(told) = second {
                files.add(
                    self.beside("differences.html")?,
                    draw::differences_html(&told.differences, Some((plan, told.free))),
                );
                files.add(self.beside("differences.svg")?, draw::differences_svg(&told.differences));
                files.add(self.beside("differences.json")?, draw::differences_json(&told.differences));
            }
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
    extra.findings = panel::notes(job, plan);
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

/// What a second version tells beside its plan.
struct Told {
    differences: Differences,
    /// What a plan counts in which nothing is kept.
    free: Option<FromScratch>,
    fates: Vec<TrayFate>,
}

impl Told {
    fn of(job: &Job, older: &Older, second: &Second, console: &Console) -> Option<Told> {
        let plan = second.outcome.plan.as_ref()?;
        console.findings(older.doubt.as_slice());
        match shop::differences((&older.job, &older.plan), (job, plan)) {
            Ok(differences) => Some(Told { differences, free: second.free, fates: second.fates.clone() }),
            Err(findings) => {
                // The plan stands all the same.
                console.findings(&findings);
                None
            }
        }
    }

    fn text(&self, plan: &plan::Plan) -> String {
        let mut out = draw::differences_text(&self.differences);
        let altered =
            |name: &str| self.differences.trays.iter().any(|t| t.tray == name && t.became == Became::Altered);
        let mut whys = String::new();
        for f in &self.fates {
            if !f.why.is_empty() {
                whys += &format!("    {}: {}\n", f.tray, f.why);
            } else if altered(&f.tray) {
                whys += &format!(
                    "    {}: notches for fingers go by what it holds, joints by the stock and its fit\n",
                    f.tray
                );
            }
        }
        if !whys.is_empty() {
            out += &format!("\nWhy\n{whys}");
        }
        out + "\n" + &draw::free_text(plan, self.free)
    }
}

fn second_stats(second: &Second) -> Vec<(String, String)> {
    let stay = second.fates.iter().filter(|f| matches!(f.fate, Fate::Stays | Fate::Moves)).count();
    let mut out = vec![("trays kept".to_owned(), format!("{stay} of {}", second.fates.len()))];
    if let Some(free) = second.free {
        out.push(("value with nothing kept, mm3".to_owned(), free.value.decimal()));
    }
    out
}

/// Whether two paths are one file that is there.
fn same_file(a: &Path, b: &Path) -> bool {
    matches!((a.canonicalize(), b.canonicalize()), (Ok(a), Ok(b)) if a == b)
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

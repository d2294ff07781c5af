//! Flags of every command that searches, and what they are built into.

use std::path::{Path, PathBuf};
use std::time::Duration;

use anyhow::Context;
use clap::Args;
use traywright::finding::Finding;
use traywright::job::Job;
use traywright::plan::Options;
use traywright::shop::{Effort, TRY_NODES};
use traywright::stop::Stop;

use crate::interrupt;

/// The clock as backstop where no time is asked for.
const BACKSTOP: Duration = Duration::from_secs(60);

/// How long and how to search.
#[derive(Args)]
#[command(next_help_heading = "Search")]
pub(crate) struct Search {
    /// Search that long, such as 10s, 2m or 500ms, unless the best plan is proven sooner
    ///
    /// Without it the search ends when more time is hardly worth it, and gives the same plan every time; one that
    /// ends by the clock does not.
    // With hyphens, so that `--budget -1` is told what is wrong with a time below nothing.
    #[arg(long, value_name = "TIME", value_parser = time, allow_hyphen_values = true)]
    budget: Option<Duration>,
    /// Search that many nodes (steps); with them and a seed the plan is the same to the byte
    #[arg(long, value_name = "N", value_parser = nodes, allow_hyphen_values = true)]
    nodes: Option<u64>,
    /// Seed of every random choice
    #[arg(long, value_name = "N", default_value_t = Options::default().seed)]
    seed: u64,
    /// Threads to work on; the plan does not depend on it [default: one for every core]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=512))]
    threads: Option<u16>,
}

/// Changes to a brief.
#[derive(Args)]
pub(crate) struct Changes {
    /// Set a key of the brief for this run, such as stock.thickness="4 mm" or "part.fare cards.stack.count=90"; KEY= takes it out, part.NAME= a whole part
    #[arg(long = "set", value_name = "KEY=VALUE", value_parser = change)]
    changes: Vec<(String, String)>,
    /// Lay measures corrected on a dry fit over the brief: a file with the keys of a brief (TOML)
    #[arg(long, value_name = "FILE")]
    corrections: Option<PathBuf>,
}

impl Changes {
    /// All of them, for a brief that lies there.
    pub(crate) fn list(&self, brief: &Path) -> Vec<(String, String)> {
        let mut list = Vec::new();
        if let Some(file) = &self.corrections {
            // A brief names files beside itself, a command line from where it is run.
            let beside = brief.parent().is_none_or(|dir| dir.as_os_str().is_empty());
            let file = if beside {
                file.clone()
            } else {
                std::path::absolute(file).unwrap_or_else(|_| file.clone())
            };
            list.push(("corrections".to_owned(), file.to_string_lossy().into_owned()));
        }
        list.extend(self.changes.iter().cloned());
        list
    }

    /// The job of a brief with all changes.
    pub(crate) fn job(&self, brief: &Path) -> Result<Job, Vec<Finding>> {
        traywright::job::load(brief, &self.list(brief))
    }

    /// What is set, without corrections.
    pub(crate) fn set(&self) -> Vec<(String, String)> {
        self.changes.clone()
    }
}

impl Search {
    /// Builds the options of one search; from here on Ctrl-C ends the search instead of the program.
    pub(crate) fn options(&self) -> anyhow::Result<Options> {
        let mut options = self.flagged()?;
        options.stop = options.stop.and_within(self.budget.unwrap_or(BACKSTOP));
        Ok(options)
    }

    /// Builds what every job of a run may spend; the clock begins anew for each.
    pub(crate) fn effort(&self) -> anyhow::Result<Effort> {
        Ok(Effort { options: self.flagged()?, budget: Some(self.budget.unwrap_or(BACKSTOP)) })
    }

    /// Builds what the many short searches of one question may spend: nodes count for each, the clock for all.
    pub(crate) fn tries(&self) -> anyhow::Result<Effort> {
        let mut options = self.flagged()?;
        options.nodes = self.nodes.unwrap_or(TRY_NODES);
        Ok(Effort { options, budget: Some(self.budget.unwrap_or(BACKSTOP)) })
    }

    fn flagged(&self) -> anyhow::Result<Options> {
        if let Some(n) = self.threads {
            rayon::ThreadPoolBuilder::new()
                .num_threads(usize::from(n))
                .build_global()
                .with_context(|| format!("cannot start {n} threads"))?;
        }
        let mut options = Options::default();
        options.seed = self.seed;
        options.patient = self.nodes.is_some() || self.budget.is_some();
        options.nodes = match (self.nodes, self.budget) {
            (Some(nodes), _) => nodes,
            (None, Some(_)) => Stop::UNCOUNTED,
            (None, None) => options.nodes,
        };
        options.stop = Stop::never().with_flag(interrupt::flag());
        Ok(options)
    }
}

/// Reads a time such as `10s`, `2m`, `1.5h`, `500ms`; a bare number is seconds.
fn time(text: &str) -> Result<Duration, String> {
    let text = text.trim();
    if text.starts_with('-') {
        return Err(no_less(text, "a time, such as 10s or 2m"));
    }
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let seconds = match text.get(digits.len()..).unwrap_or_default() {
        "ms" => 0.001,
        "" | "s" => 1.0,
        "m" | "min" => 60.0,
        "h" => 3600.0,
        unit => return Err(format!("`{unit}` is no unit of time; use ms, s, m or h")),
    };
    let number: f64 = digits.trim().parse().map_err(|_| format!("`{digits}` is no number"))?;
    Duration::try_from_secs_f64(number * seconds).map_err(|_| format!("`{text}` is no span of time"))
}

/// Reads a count of nodes.
fn nodes(text: &str) -> Result<u64, String> {
    let text = text.trim();
    if text.starts_with('-') {
        return Err(no_less(text, "a count of nodes, such as 100000"));
    }
    text.parse().map_err(|_| format!("`{text}` is no count of nodes; write a whole number, such as 100000"))
}

/// What is wrong with a value that begins with a hyphen: it is below nothing, or another flag stands in its place.
fn no_less(text: &str, wanted: &str) -> String {
    if text.starts_with("-") && text.chars().nth(1).is_some_and(|c| c.is_ascii_digit() || c == '.') {
        format!("`{text}` is less than nothing; write {wanted}")
    } else {
        format!("`{text}` stands where {wanted}, is wanted")
    }
}

/// Splits `key=value` at the first equals sign.
pub(crate) fn change(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((key, value)) if !key.trim().is_empty() => Ok((key.trim().to_owned(), value.trim().to_owned())),
        _ => Err("a change is KEY=VALUE, such as stock.thickness=\"4 mm\"".to_owned()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_in_every_unit() {
        for (text, ms) in
            [("10s", 10_000), ("10", 10_000), ("1.5 m", 90_000), ("500ms", 500), ("1h", 3_600_000)]
        {
            assert_eq!(time(text), Ok(Duration::from_millis(ms)), "{text}");
        }
        for text in ["", "s", "-1s", "10 fortnights", "nan", "inf", "1e400s"] {
            assert!(time(text).is_err(), "{text}");
        }
    }

    #[test]
    fn values_below_nothing_are_told_as_such() {
        assert_eq!(time("-1"), Err("`-1` is less than nothing; write a time, such as 10s or 2m".into()));
        assert!(time("-1.5s").unwrap_err().contains("less than nothing"));
        assert!(time("--json").unwrap_err().contains("stands where a time"));
        assert!(nodes("-1").unwrap_err().contains("less than nothing"));
        assert!(nodes("many").unwrap_err().contains("a whole number"));
        assert_eq!(nodes("20"), Ok(20));
    }

    #[test]
    fn changes_split_at_the_first_equals_sign() {
        assert_eq!(change("a.b = c=d"), Ok(("a.b".into(), "c=d".into())));
        assert!(change("ab").is_err());
        assert!(change(" =c").is_err());
    }
}

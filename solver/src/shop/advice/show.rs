//! Advice for a screen and as a table.

use super::{Advice, Advised};
use crate::draw::wrapped;
use crate::job::Millionths;
use crate::plan::ClaimState;
use crate::shop::Answer;
use crate::shop::table::{Cell, Table};
use crate::shop::written::flags;

/// Changes that a screen shows; files have all.
const SHOWN: usize = 12;

/// Millionths as percent with one decimal, rounded up so that no change looks like none.
fn percent(size: Millionths) -> String {
    let tenths = (size + 999) / 1000;
    format!("{}.{}", tenths / 10, tenths % 10)
}

impl Advised {
    /// In words: "box higher: 54.5 mm (was 50 mm)".
    pub fn words(&self) -> String {
        let one = |i: usize| {
            let (kind, about) = self.what.get(i)?;
            let (from, to) = (self.from.get(i)?, self.to.get(i)?);
            // The box and the sheet are but one; parts, trays and layers are many.
            let named = about.contains('"') || about.starts_with("layer ");
            let head = match (named, kind == to || to == "left out") {
                (true, true) => format!("{about} {to}"),
                (true, false) => format!("{about}, {kind}: {to}"),
                (false, _) => format!("{kind}: {to}"),
            };
            Some(format!("{head} (was {from})"))
        };
        (0..self.what.len()).filter_map(one).collect::<Vec<_>>().join(", and ")
    }
}

impl Advice {
    /// Whether anything was found that makes it fit, or it fits as it is.
    pub fn is_helpful(&self) -> bool {
        matches!(self.brief, Answer::Plan { .. }) || !self.singles.is_empty() || !self.pairs.is_empty()
    }

    /// What is known about the brief as it is.
    fn verdict(&self) -> &'static str {
        match &self.brief {
            Answer::Plan { .. } => "it fits as it is; `grow` says how much more goes in",
            Answer::NoPlan { claim, .. } if claim.state == ClaimState::Impossible => {
                "it does not fit, and that is proven for every arrangement of the kind that is looked at"
            }
            Answer::NoPlan { .. } => "no plan was found; it is not proven that there is none",
            Answer::Fault(_) => "it asks for more than there is room for:",
            Answer::NotRun if self.interrupted => "it was interrupted before a plan was looked for",
            Answer::NotRun => "there was no time to look for a plan",
        }
    }

    /// For a screen.
    pub fn text(&self) -> String {
        let title = if self.title.is_empty() { "The brief" } else { &self.title };
        let mut out = format!("{title}: {}\n", self.verdict());
        for finding in self.brief.findings() {
            out += &wrapped(&format!("{} {}", finding.code, finding.cause), "  ");
        }
        if matches!(self.brief, Answer::Plan { .. } | Answer::NotRun) {
            return out;
        }
        let (list, head) = match (self.singles.is_empty(), self.pairs.is_empty()) {
            (false, _) => (&self.singles, "Each of these changes alone makes it fit, the smallest first:"),
            (true, false) => (
                &self.pairs,
                "No single change was found that makes it fit; these pairs do, the smallest first:",
            ),
            (true, true) => {
                (&self.singles, "No single change and no pair of changes was found that makes it fit.")
            }
        };
        out += &format!("\n{head}\n");
        for it in list.iter().take(SHOWN) {
            out += &format!("\n{:>6} %  {}\n", percent(it.size), it.words());
            if let Some(smaller) = &it.smaller {
                out += &format!("          one step less, {}: {}\n", smaller.to, smaller.word);
            }
            out += &format!("          {}\n", flags(&it.changes));
        }
        if list.len() > SHOWN {
            out += &format!("\nand {} more; --csv FILE and --json FILE have all.\n", list.len() - SHOWN);
        }
        if !list.is_empty() {
            out += "\nPercent of what is changed: of the side, the thickness, the clearance; for parts and items, of all that\n\
                    goes into the box. Every change was verified by a plan that has passed the checker.\n";
        }
        out += &match self.tries {
            1 => "1 plan was sought.".to_owned(),
            n => format!("{n} plans were sought."),
        };
        if self.cut_short && self.interrupted {
            out += " It was interrupted before all of them: run it again to its end for the rest.";
        } else if self.cut_short {
            out += " The time was over before all of them: --budget gives more.";
        }
        out.push('\n');
        out
    }

    /// One row a change or pair.
    pub fn table(&self) -> Table {
        let joined = |texts: &[String]| Cell::text(texts.join(" + "));
        let row = |it: &Advised| {
            let kinds: Vec<String> = it.what.iter().map(|(kind, _)| kind.clone()).collect();
            let about: Vec<String> = it.what.iter().map(|(_, about)| about.clone()).collect();
            let (smaller, word) = match &it.smaller {
                Some(smaller) => (Cell::text(&smaller.to), Cell::text(smaller.word)),
                None => (Cell::Empty, Cell::Empty),
            };
            vec![
                Cell::number(percent(it.size)),
                joined(&kinds),
                joined(&about),
                joined(&it.from),
                joined(&it.to),
                smaller,
                word,
                Cell::number(it.plan.settled.layers.len().to_string()),
                Cell::number(it.plan.settled.trays.len().to_string()),
                Cell::text(flags(&it.changes)),
            ]
        };
        Table {
            columns: vec![
                "size_percent",
                "change",
                "about",
                "from",
                "to",
                "one_step_less",
                "one_step_less_result",
                "layers",
                "trays",
                "set",
            ],
            rows: self.singles.iter().chain(&self.pairs).map(row).collect(),
        }
    }
}

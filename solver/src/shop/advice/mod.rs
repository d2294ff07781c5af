//! Why it does not fit: the smallest changes to a brief that give it a plan, each verified by one.

mod bodies;
mod least;
mod moves;
mod show;

use super::each::each;
use super::tries::Tries;
use super::written::Change;
use super::{Answer, Effort};
use crate::finding::Finding;
use crate::job::{Millionths, Source};
use crate::plan::Plan;
use least::{Least, least, least_pair, pair_fits};
use moves::{Move, moves};

/// One change, or two together, with which the brief fits.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, advise}};
/// # let brief = r#"box.interior = [100, 70, 15]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// // Cards of 16 mm on a floor of 2 mm, in a box of 15 mm.
/// let higher = &advise(&source, &[], &effort, &|_| {}).unwrap().singles[0];
/// assert_eq!(higher.words(), "box higher: 18 mm (was 15 mm)");
/// assert_eq!(higher.changes, [("box.interior.height".into(), "18".into())]);
/// assert_eq!(higher.size, 200_000); // 3 mm of 15 mm are a fifth
/// ```
#[derive(Clone, Debug)]
pub struct Advised {
    /// What each does, such as "box higher", with what it is about: the box, a part, a tray.
    pub what: Vec<(String, String)>,
    /// What it was, for each.
    pub from: Vec<String>,
    /// What it becomes, for each.
    pub to: Vec<String>,
    /// Changes to the brief, those of the caller first: with them `plan` has the plan that was found.
    pub changes: Vec<Change>,
    /// How much of what it changes is changed, in millionths, the sum of both for a pair: of a side of the box, of a
    /// thickness or clearance, and for what concerns parts and items, of all contents, kept and cover items.
    pub size: Millionths,
    /// What came of the next smaller step (of the last change of a pair); `None` where there is none but the brief
    /// without the change.
    pub smaller: Option<Smaller>,
    /// The plan that was found; it has passed the checker.
    pub plan: Plan,
}

/// What came of a step that is one smaller.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, advise}};
/// # let brief = r#"box.interior = [100, 70, 15]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// let higher = &advise(&source, &[], &effort, &|_| {}).unwrap().singles[0];
/// let smaller = higher.smaller.as_ref().unwrap();
/// // Of 18 mm, which fit, the next step below is half a millimetre less.
/// assert_eq!((smaller.to.as_str(), smaller.word), ("17.5 mm", "does not fit"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Smaller {
    /// What it would have come to.
    pub to: String,
    /// The changes that were tried, as in [`Advised::changes`].
    pub changes: Vec<Change>,
    /// `does not fit` (proven), `none found`, `fault` (the brief cannot be meant so), `not run` (no time was left).
    pub word: &'static str,
}

/// Why a brief has no plan, and what would give it one.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, advise}};
/// # let brief = r#"box.interior = [100, 70, 15]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// let advice = advise(&source, &[], &effort, &|_| {}).unwrap();
/// assert_eq!((advice.brief.word(), advice.cut_short), ("does not fit", false));
/// let kinds: Vec<&str> = advice.singles.iter().map(|it| it.what[0].0.as_str()).collect();
/// assert_eq!(kinds, ["box higher", "less of it"]);
/// assert!(advice.pairs.is_empty()); // only looked for where no single change does
/// ```
#[derive(Clone, Debug)]
pub struct Advice {
    /// Title of the brief.
    pub title: String,
    /// What came of the brief as it is: a plan, where it fits after all.
    pub brief: Answer,
    /// Single changes that make it fit, the smallest first.
    pub singles: Vec<Advised>,
    /// Where no single change does: pairs, the smallest first.
    pub pairs: Vec<Advised>,
    /// How many plans were sought.
    pub tries: usize,
    /// The clock or the caller ended it before everything was tried.
    pub cut_short: bool,
    /// It was the caller, not the clock.
    pub interrupted: bool,
}

/// A brief as it is gets so many times the nodes of a try.
const BRIEF_NODES: u64 = 200;
/// Pairs that are made small, and those that are told.
const MOST_PAIRS: usize = 12;
const TOLD_PAIRS: usize = 3;

/// Looks for the smallest changes that make a brief fit.
///
/// Nodes and seed of the effort count for every try, its stop and budget for all together. `done` hears of every
/// change that is finished. Results do not depend on the number of threads, as long as the clock ends nothing.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Answer, Effort, advise}};
/// # let brief = r#"box.interior = [100, 70, 15]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// let advice = advise(&source, &[], &effort, &|_| {}).unwrap();
/// let change = advice.singles[0].changes.clone();
/// assert_eq!(change[0], ("box.interior.height".into(), "18".into()));
/// // With that change it fits, and there is nothing more to advise.
/// let mended = advise(&source, &change, &effort, &|_| {}).unwrap();
/// assert!(matches!(mended.brief, Answer::Plan { .. }) && mended.singles.is_empty());
/// ```
///
/// # Errors
/// The faults of the brief, unless they only say that something is too large for the box or the stock too thick.
pub fn advise(
    source: &Source,
    changes: &[Change],
    effort: &Effort,
    done: &(dyn Fn(&str) + Sync),
) -> Result<Advice, Vec<Finding>> {
    let (job, too_large) = source.read_unfitting(changes)?;
    let mut options = effort.options.clone();
    if let Some(budget) = effort.budget {
        options.stop = options.stop.and_within(budget);
    }
    let tries = Tries::new(source, changes, &options);
    let brief = if too_large.is_empty() {
        tries.ask_with(&[], |o| o.nodes = o.nodes.saturating_mul(BRIEF_NODES))
    } else {
        Answer::Fault(too_large.clone())
    };
    let title = job.title.clone();
    let mut advice = Advice {
        title,
        brief,
        singles: Vec::new(),
        pairs: Vec::new(),
        tries: 0,
        cut_short: false,
        interrupted: false,
    };
    match &advice.brief {
        Answer::Fault(findings) if too_large.is_empty() => return Err(findings.clone()),
        Answer::Plan { .. } => {}
        _ => {
            let (all, closed) = open_ones(&tries, moves(&job, source));
            let found = each(&all, |it| {
                let found = least(&tries, it, it.steps, &[]);
                done(it.kind);
                found
            });
            let singles = all.iter().zip(found).filter_map(|(it, l)| advised(vec![(it, l?)]));
            advice.singles = smallest_of_each(singles.collect());
            if advice.singles.is_empty() {
                // Together with another change one may help that is too little by itself.
                let all: Vec<Move> = all.into_iter().chain(closed).collect();
                advice.pairs = pairs(&tries, &all, done);
            }
            advice.cut_short = tries.is_over();
        }
    }
    advice.tries = tries.count();
    advice.interrupted = options.stop.is_raised();
    Ok(advice)
}

/// Parts the moves into those that may help and those that cannot: not even taking out whole what they change does.
fn open_ones(tries: &Tries, all: Vec<Move>) -> (Vec<Move>, Vec<Move>) {
    let (mut open, mut closed) = (all, Vec::new());
    for depth in 0.. {
        let mut gates: Vec<String> = open.iter().filter_map(|m| m.gates.get(depth).cloned()).collect();
        gates.sort_unstable();
        gates.dedup();
        if gates.is_empty() {
            break;
        }
        let shut =
            each(&gates, |gate| matches!(tries.ask(&[(gate.clone(), String::new())]), Answer::NoPlan { .. }));
        let passes =
            |it: &Move| it.gates.get(depth).is_none_or(|g| gates.binary_search(g).is_ok_and(|i| !shut[i]));
        let (pass, stay): (Vec<Move>, Vec<Move>) = open.into_iter().partition(passes);
        open = pass;
        closed.extend(stay);
    }
    (open, closed)
}

/// The best pairs of moves that are worth pairing.
fn pairs(tries: &Tries, all: &[Move], done: &(dyn Fn(&str) + Sync)) -> Vec<Advised> {
    let paired: Vec<&Move> = all.iter().filter(|m| m.pairs).collect();
    let mut both: Vec<(&Move, &Move)> = Vec::new();
    for (i, a) in paired.iter().enumerate() {
        both.extend(paired[i + 1..].iter().filter(|b| b.about != a.about).map(|b| (*a, *b)));
    }
    let fits = each(&both, |pair| {
        let fits = pair_fits(tries, *pair);
        done(pair.0.kind);
        fits
    });
    let mut fitting: Vec<_> = both.into_iter().zip(fits).filter(|(_, fits)| *fits).map(|(p, _)| p).collect();
    // Those that could be smallest first: by what one step of each comes to, then by all of them.
    fitting
        .sort_by_key(|(a, b)| (a.step(a.steps).size + b.step(b.steps).size, a.step(1).size + b.step(1).size));
    fitting.truncate(MOST_PAIRS);
    let found = each(&fitting, |pair| {
        let found = least_pair(tries, *pair);
        done(pair.0.kind);
        found
    });
    let told = fitting.iter().zip(found).filter_map(|((a, b), found)| {
        let (first, second) = found?;
        advised(vec![(*a, first), (*b, second)])
    });
    let mut told: Vec<Advised> = told.collect();
    told.sort_by_key(|it| it.size);
    told.truncate(TOLD_PAIRS);
    told
}

/// Steps of one move or two, the last with the plan of all.
fn advised(steps: Vec<(&Move, Least)>) -> Option<Advised> {
    let size = steps.iter().map(|(_, l)| l.step.size).sum();
    let what = steps.iter().map(|(it, _)| (it.kind.to_owned(), it.about.clone())).collect();
    let from = steps.iter().map(|(_, l)| l.step.from.clone()).collect();
    let to = steps.iter().map(|(_, l)| l.step.to.clone()).collect();
    let Least { plan, changes, smaller, .. } = steps.into_iter().next_back()?.1;
    Some(Advised { what, from, to, changes, size, smaller, plan })
}

/// Ordered by size, and of like changes about one thing (a tray split in several ways) only the smallest.
fn smallest_of_each(mut all: Vec<Advised>) -> Vec<Advised> {
    all.sort_by_key(|it| it.size);
    let mut kept: Vec<Advised> = Vec::new();
    for it in all {
        if !kept.iter().any(|k| k.what == it.what) {
            kept.push(it);
        }
    }
    kept
}

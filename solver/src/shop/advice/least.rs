//! The smallest step of a move, or the smallest steps of two, that make a brief fit.

use super::Smaller;
use super::moves::{Move, Step};
use crate::plan::Plan;
use crate::shop::Answer;
use crate::shop::tries::Tries;
use crate::shop::written::Change;

/// A step that made the brief fit.
pub(super) struct Least {
    /// Which step it is, from 1.
    pub(super) number: usize,
    pub(super) step: Step,
    /// All changes of the brief that the plan answers.
    pub(super) changes: Vec<Change>,
    pub(super) plan: Plan,
    /// What came of one step less; `None` where that is the brief as it is.
    pub(super) smaller: Option<Smaller>,
}

/// The smallest step of a move, of `most` steps at most, that makes the brief fit together with `also`.
///
/// The largest step is tried first; for sides of the box then one in the middle of the way and the largest once more with
/// more nodes: a search may fail in a larger box where it finds a plan in a smaller one. What lies between the largest step that failed and the smallest that fitted is halved until
/// they are neighbours; the one that failed is then sought once more with more nodes.
pub(super) fn least(tries: &Tries, it: &Move, most: usize, also: &[Change]) -> Option<Least> {
    let mut probes = vec![(most, false)];
    if it.kind.starts_with("box") {
        probes.extend([(most / 4, false), (most, true)]);
    }
    if it.kind == "less of it" {
        // A brief whose only part is left out is none.
        probes.push((most - 1, false));
    }
    let found = |(k, again): (usize, bool)| fit(tries, it, k, also, again);
    let mut best = probes.into_iter().filter(|(k, _)| *k > 0).find_map(found)?;
    // Steps that failed, the largest last, with what came of them and whether a longer search might find more.
    let mut failed: Vec<(usize, Smaller, bool)> = Vec::new();
    loop {
        let low = failed.last().map_or(0, |f| f.0);
        let open = failed.last().is_some_and(|f| f.2);
        let (k, again) = match best.number - low {
            1 if open => (low, true),
            1 => break,
            gap => (low + gap / 2, false),
        };
        if again {
            failed.pop();
        }
        let Asked { step, changes, answer } = ask(tries, it, k, also, again);
        match answer {
            Answer::Plan { plan, .. } => {
                best = Least { number: k, step, changes, plan: *plan, smaller: None };
            }
            other => {
                let open = other.is_open() && !again;
                failed.push((k, Smaller { to: step.to, changes, word: other.word() }, open));
            }
        }
    }
    best.smaller = failed.pop().map(|f| f.1);
    Some(best)
}

fn fit(tries: &Tries, it: &Move, k: usize, also: &[Change], again: bool) -> Option<Least> {
    let Asked { step, changes, answer } = ask(tries, it, k, also, again);
    match answer {
        Answer::Plan { plan, .. } => Some(Least { number: k, step, changes, plan: *plan, smaller: None }),
        _ => None,
    }
}

/// A step that was tried.
struct Asked {
    step: Step,
    changes: Vec<Change>,
    answer: Answer,
}

fn ask(tries: &Tries, it: &Move, k: usize, also: &[Change], again: bool) -> Asked {
    let step = it.step(k);
    let changes: Vec<Change> = also.iter().chain(&step.changes).cloned().collect();
    let answer = if again { tries.ask_again(&changes) } else { tries.ask(&changes) };
    Asked { step, changes: tries.all(&changes), answer }
}

/// Whether two moves at their largest steps make the brief fit.
pub(super) fn pair_fits(tries: &Tries, (a, b): (&Move, &Move)) -> bool {
    matches!(ask(tries, a, a.steps, &b.step(b.steps).changes, false).answer, Answer::Plan { .. })
}

/// Small steps of two moves that together make the brief fit: both made smaller alike, then each as far as the other
/// lets it.
pub(super) fn least_pair(tries: &Tries, (a, b): (&Move, &Move)) -> Option<(Least, Least)> {
    // Sixteenths of both ways.
    const PARTS: usize = 16;
    let at = |it: &Move, t: usize| (it.steps * t).div_ceil(PARTS);
    let fits = |t: usize| {
        matches!(ask(tries, a, at(a, t), &b.step(at(b, t)).changes, false).answer, Answer::Plan { .. })
    };
    let (mut failed, mut good) = (0, PARTS);
    while good - failed > 1 {
        let middle = failed + (good - failed) / 2;
        if fits(middle) { good = middle } else { failed = middle }
    }
    let first = least(tries, a, at(a, good), &b.step(at(b, good)).changes)?;
    let second = least(tries, b, at(b, good), &first.step.changes)?;
    Some((first, second))
}

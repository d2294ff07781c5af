//! What about a brief can be changed so that more goes in, in steps from the smallest to the largest.
//!
//! Every move only ever takes a demand away or gives room, so that a larger step never asks for more than a smaller one.

mod less;
mod room;
mod standing;

use super::bodies::{self, Shares, seats};
use crate::job::{Job, Millionths, Source};
use crate::length::Length;
use crate::shop::written::Change;

/// One thing that can be changed, by more or less.
pub(super) struct Move {
    /// What kind of change it is, such as "box higher".
    pub(super) kind: &'static str,
    /// What it changes; two moves about one thing make no pair.
    pub(super) about: String,
    /// So many steps there are, from 1.
    pub(super) steps: usize,
    /// Whether it is worth trying together with another.
    pub(super) pairs: bool,
    /// Keys that, taken out one after the other, make more room than the whole move: where one of them makes not room
    /// enough, the move need not be tried.
    pub(super) gates: Vec<String>,
    at: Box<dyn Fn(i64) -> Step + Send + Sync>,
}

/// One step of a move.
#[derive(Clone, Debug, Default)]
pub(super) struct Step {
    /// What it does to the brief.
    pub(super) changes: Vec<Change>,
    /// What it comes to, for reading: "54.5 mm".
    pub(super) to: String,
    /// What it was.
    pub(super) from: String,
    /// How much of what it changes is changed, in millionths; changes are ordered by it.
    pub(super) size: Millionths,
}

impl Move {
    fn new(
        kind: &'static str,
        about: impl Into<String>,
        steps: i64,
        at: impl Fn(i64) -> Step + Send + Sync + 'static,
    ) -> Option<Move> {
        let steps = usize::try_from(steps).ok().filter(|s| *s > 0)?;
        Some(Move { kind, about: about.into(), steps, pairs: false, gates: Vec::new(), at: Box::new(at) })
    }

    /// One that is done or not.
    fn once(
        kind: &'static str,
        about: impl Into<String>,
        changes: Vec<Change>,
        (from, to): (impl Into<String>, impl Into<String>),
        size: Millionths,
    ) -> Option<Move> {
        let step = Step { changes, to: to.into(), from: from.into(), size };
        Move::new(kind, about, 1, move |_| step.clone())
    }

    fn paired(mut self) -> Move {
        self.pairs = true;
        self
    }

    fn behind(mut self, gates: Vec<String>) -> Move {
        self.gates = gates;
        self
    }

    /// The step of that number, from 1.
    pub(super) fn step(&self, k: usize) -> Step {
        (self.at)(i64::try_from(k).unwrap_or(i64::MAX))
    }
}

/// `part` of `whole` in millionths.
fn share(part: Length, whole: Length) -> Millionths {
    let millionths = i128::from(part.nm()) * 1_000_000 / i128::from(whole.nm().max(1));
    i64::try_from(millionths).unwrap_or(i64::MAX)
}

fn key(kind: &str, name: &str, keys: &str) -> String {
    format!("{kind}.{name}.{keys}")
}

/// Everything that can be changed about this job, in a fixed order.
pub(super) fn moves(job: &Job, source: &Source) -> Vec<Move> {
    let shares = Shares::of(job);
    let seats = seats(job);
    let mut all = Vec::new();
    all.extend(room::sides(job));
    all.extend(room::lid_room(job));
    all.extend(room::stocks(job, source));
    all.extend(room::sheets(job, source));
    all.extend(room::clearance(job));
    all.extend(standing::sleeves(&seats, &shares));
    all.extend(seats.iter().flat_map(|seat| standing::standing(seat, &shares)));
    all.extend(room::layers(job));
    all.extend(standing::held(job, &shares));
    all.extend(room::wishes(job));
    all.extend(less::kept(job, &shares));
    all.extend(less::less(job, &seats, &shares));
    all.extend(less::counts(job, &shares));
    all.extend(less::splits(job, &shares));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;

    const BRIEF: &str = r#"
unit = "mm"
box = { interior = [180, [120, 121], 50], lid_room = 1, clearance = { between = 0.6, side = 0.4 } }
stock = { name = "birch plywood", thickness = 3, process = "laser", sheets = [[150, 120, 2.50], [100, 100]] }
layers = { most = 2, heights = ["20 mm", { least = 20, most = 30 }] }
kept = [{ name = "carton", size = [40, 40, 40], count = 2 }]
cover = [{ name = "chart", size = [100, 100, 2] }]

[[tray]]
name = "quay"
count = 2
part = [{ name = "salt", loose.volume = "20 ml" }, { name = "gulls", solid = { size = [9, 9, 9], count = 4 } }]

[[tray]]
name = "decks"
held = { layer = 1 }
part = [{ name = "tides", stack = { face = [63, 88], count = 50, each = 0.3, sleeve = { film = 0.1, face = [66, 91] } } }]
"#;

    fn source() -> Source {
        Source {
            name: "quay.toml".into(),
            text: BRIEF.into(),
            format: Format::Toml,
            inventory: None,
            stock_list: None,
            corrections: None,
        }
    }

    #[test]
    fn every_step_of_every_move_is_a_brief_that_reads() {
        let source = source();
        let job = source.read(&[]).unwrap();
        let all = moves(&job, &source);
        for it in &all {
            for k in [1, it.steps.div_ceil(2), it.steps] {
                let step = it.step(k);
                let read = source.read(&step.changes);
                assert!(read.is_ok(), "{} {}: {:?}\n{:#?}", it.kind, it.about, step, read.err());
                assert!(step.size > 0 && step.size <= 1_000_000, "{} {}: {step:?}", it.kind, it.about);
                assert_ne!(step.from, step.to, "{} {}", it.kind, it.about);
            }
        }
        let kinds: std::collections::BTreeSet<&str> = all.iter().map(|m| m.kind).collect();
        for kind in [
            "box higher",
            "box wider",
            "box deeper",
            "less room under the lid",
            "thinner stock",
            "thinner clearance",
            "larger sheets",
            "unsleeved",
            "leaning",
            "more piles",
            "one more layer",
            "of open height",
            "one layer fewer",
            "set free",
            "left out",
            "less of it",
            "fewer trays",
            "split in two",
        ] {
            assert!(kinds.contains(kind), "{kind} is missing in {kinds:?}");
        }
    }

    #[test]
    fn larger_steps_are_larger_changes() {
        let source = source();
        let job = source.read(&[]).unwrap();
        for it in moves(&job, &source) {
            let sizes: Vec<Millionths> = (1..=it.steps).map(|k| it.step(k).size).collect();
            assert!(sizes.is_sorted(), "{} {}: {sizes:?}", it.kind, it.about);
        }
    }

    #[test]
    fn readings_of_the_box_keep_their_spread() {
        let source = source();
        let job = source.read(&[]).unwrap();
        let step = moves(&job, &source)[2].step(3);
        assert_eq!(step.changes, [("box.interior.depth".to_owned(), "[121.5, 122.5]".to_owned())]);
        assert_eq!((step.from.as_str(), step.to.as_str()), ("120 mm", "121.5 mm"));
    }
}

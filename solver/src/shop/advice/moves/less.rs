//! Moves that ask for less, or for the same in more trays.

use super::bodies::{Seat, Shares};
use super::{Move, Step, key};
use crate::job::{Job, Kept, Millionths, Part, Tray};
use crate::shop::amount::Amount;
use crate::shop::written::list;

/// Steps into which a long way is divided at most.
const MOST_STEPS: i64 = 400;

/// Kept and cover items left out.
pub(super) fn kept(job: &Job, shares: &Shares) -> Vec<Move> {
    let one = |item: &Kept| {
        let (name, count) = (item.name.clone(), i64::try_from(item.count).unwrap_or(1));
        let whole = shares.kept(item);
        let about = format!("kept item \"{name}\"");
        Move::new("left out", about, count, move |k| Step {
            changes: if k < count {
                vec![(key("kept", &name, "count"), (count - k).to_string())]
            } else {
                vec![(format!("kept.{name}"), String::new())]
            },
            to: if k < count { format!("{} of them", count - k) } else { "left out".to_owned() },
            from: if count > 1 { format!("{count} of them") } else { "kept".to_owned() },
            size: (whole * k / count).max(1),
        })
        .map(Move::paired)
    };
    let mut all: Vec<Option<Move>> = job.kept.iter().map(one).collect();
    for item in &job.cover {
        let changes = vec![(format!("cover.{}", item.name), String::new())];
        let about = format!("cover item \"{}\"", item.name);
        let made = Move::once("left out", about, changes, ("kept", "left out"), shares.cover(item));
        all.push(made.map(Move::paired));
    }
    all.into_iter().flatten().collect()
}

/// Less of a part, and at last none.
pub(super) fn less(job: &Job, seats: &[Seat], shares: &Shares) -> Vec<Move> {
    // Pairs with the largest parts only: what a small one leaves is soon told.
    const PAIRED: usize = 3;
    let mut largest: Vec<Millionths> = seats.iter().map(|s| shares.seat(s)).collect();
    largest.sort_unstable_by_key(|s| -s);
    let large = largest.get(PAIRED - 1).copied().unwrap_or(0);
    let mut all = Vec::new();
    for seat in seats {
        let Some(out) = seat.removal.clone() else { continue };
        let about = format!("part \"{}\"", seat.name());
        let whole = shares.seat(seat);
        let taken = |from: String| Step {
            changes: vec![(out.clone(), String::new())],
            to: "left out".to_owned(),
            from,
            size: whole,
        };
        let made = match Amount::of(seat.part, job.unit) {
            None => {
                let step = taken("a small tray with its parts".to_owned());
                Move::new("left out", about, 1, move |_| step.clone())
            }
            Some(amount) => {
                let last = taken(amount.show(0));
                let all = amount.steps();
                let steps = all.min(MOST_STEPS);
                Move::new("less of it", about, steps, move |k| {
                    let by =
                        i64::try_from(i128::from(k) * i128::from(all) / i128::from(steps)).unwrap_or(all);
                    if by >= all {
                        return last.clone();
                    }
                    Step {
                        changes: amount.changes(-by),
                        to: amount.show(-by),
                        from: amount.show(0),
                        size: i64::try_from(i128::from(whole) * i128::from(by) / i128::from(all))
                            .unwrap_or(whole)
                            .max(1),
                    }
                })
            }
        };
        all.extend(made.map(|mut made| {
            made.pairs = whole >= large;
            made.behind(seat.gates())
        }));
    }
    all
}

/// Fewer of trays that are alike.
pub(super) fn counts(job: &Job, shares: &Shares) -> Vec<Move> {
    let one = |tray: &Tray| {
        let (name, count) = (tray.name.clone(), i64::try_from(tray.count).unwrap_or(1));
        let whole = shares.tray(tray);
        Move::new("fewer trays", format!("tray \"{name}\""), count - 1, move |k| Step {
            changes: vec![(key("tray", &name, "count"), (count - k).to_string())],
            to: (count - k).to_string(),
            from: count.to_string(),
            size: (whole * k / count).max(1),
        })
        .map(|made| made.behind(vec![format!("tray.{}", tray.name)]))
    };
    job.trays.iter().filter_map(one).collect()
}

/// Splits of one tray that are tried.
const MOST_SPLITS: usize = 8;

/// A tray split in two: parts in the order of the height they need, or of their volume, cut at every place.
pub(super) fn splits(job: &Job, shares: &Shares) -> Vec<Move> {
    let mut all = Vec::new();
    for tray in job.trays.iter().filter(|t| t.parts.len() > 1) {
        let mut ways: Vec<Vec<&str>> = Vec::new();
        for by_height in [true, false] {
            let mut order: Vec<_> = tray.parts.iter().collect();
            order.sort_by_key(|p| if by_height { Shares::height(p).nm().into() } else { Shares::volume(p) });
            for at in 1..order.len() {
                let (low, high) = order.split_at(at);
                let volume = |parts: &[&Part]| parts.iter().map(|p| Shares::volume(p)).sum::<i128>();
                let moved = if volume(high) < volume(low) { high } else { low };
                let mut names: Vec<&str> = moved.iter().map(|p| p.name.as_str()).collect();
                names.sort_unstable();
                if !ways.contains(&names) {
                    ways.push(names);
                }
            }
        }
        // Those that share the contents most evenly serve best.
        let share_of = |names: &[&str]| -> Millionths {
            let parts = tray.parts.iter().filter(|p| names.contains(&p.name.as_str()));
            shares.of_volume(parts.map(Shares::volume).sum::<i128>() * tray.count as i128)
        };
        ways.sort_by_key(|names| (-share_of(names), names.clone()));
        for names in ways.into_iter().take(MOST_SPLITS) {
            let changes = vec![(key("tray", &tray.name, "split"), list(&names))];
            let about = format!("tray \"{}\"", tray.name);
            let to = format!("two, one of them for {}", names.join(", "));
            let made = Move::once("split in two", about, changes, ("one tray", to), share_of(&names));
            all.extend(made.map(|made| made.behind(vec![format!("tray.{}", tray.name)])));
        }
    }
    all
}

//! Moves of how things stand: sleeves, ways of standing, what is held or fixed.

use super::bodies::{Seat, Shares};
use super::{Move, Step, key};
use crate::job::{Face, Held, Job, Stand, Turn};
use crate::shop::written::list;

/// Cards that lean further than this lie rather than stand (our choice, no source), in degrees.
const LEAST_LEAN: i64 = 45;
/// Piles beyond the present ones.
const MORE_PILES: i64 = 4;

/// Cards out of their sleeves: each part by itself, and all of them.
pub(super) fn sleeves(seats: &[Seat], shares: &Shares) -> Vec<Move> {
    let sleeved: Vec<&Seat> =
        seats.iter().filter(|s| s.stack().is_some_and(|s| s.sleeve.is_some())).collect();
    let mut all: Vec<Move> = sleeved
        .iter()
        .filter_map(|seat| {
            let changes = vec![(key("part", seat.name(), "stack.sleeve"), String::new())];
            let about = format!("part \"{}\"", seat.name());
            let made = Move::once("unsleeved", about, changes, ("sleeved", "unsleeved"), shares.seat(seat))?;
            Some(made.behind(seat.gates()))
        })
        .collect();
    let share = sleeved.iter().map(|s| shares.seat(s)).sum();
    if sleeved.len() > 1 {
        let changes =
            sleeved.iter().map(|s| (key("part", s.name(), "stack.sleeve"), String::new())).collect();
        all.extend(Move::once("unsleeved", "all cards", changes, ("sleeved", "unsleeved"), share));
    }
    if let Some(last) = all.pop() {
        all.push(last.paired());
    }
    all
}

/// Other ways of standing for one part.
pub(super) fn standing(seat: &Seat, shares: &Shares) -> Vec<Move> {
    ways(seat, shares).into_iter().flatten().map(|made| made.behind(seat.gates())).collect()
}

fn ways(seat: &Seat, shares: &Shares) -> Vec<Option<Move>> {
    let (name, size) = (seat.name().to_owned(), shares.seat(seat));
    let about = format!("part \"{name}\"");
    let mut all = Vec::new();
    if let Some(solid) = seat.solid() {
        if solid.turn != Turn::Any {
            let changes = vec![(key("part", &name, "solid.turn"), "any".to_owned())];
            all.push(Move::once("turned any way", &about, changes, ("upright", "on any face"), size));
        }
        if !solid.pile && solid.count > 1 {
            let changes = vec![(key("part", &name, "solid.pile"), "true".to_owned())];
            all.push(Move::once("piled up", &about, changes, ("side by side", "one on another too"), size));
        }
    }
    let Some(stack) = seat.stack() else { return all };
    let words = |stands: &[Stand]| stands.iter().map(|s| word(*s)).collect::<Vec<_>>();
    let stand = |kind: &'static str, more: &[Stand]| {
        let mut stands = stack.stand.clone();
        let before = stands.len();
        stands.extend(more.iter().filter(|s| !stack.stand.contains(s)));
        if stands.len() == before {
            return None;
        }
        let changes = vec![(key("part", &name, "stack.stand"), list(words(&stands)))];
        let (from, to) = (words(&stack.stand).join(", "), words(&stands).join(", "));
        Move::once(kind, &about, changes, (from, to), size)
    };
    let rectangle = matches!(stack.sleeve.map_or(stack.face, |s| s.face), Face::Rectangle(..));
    if rectangle {
        all.push(stand("more ways of standing", &[Stand::Flat, Stand::LongEdge, Stand::ShortEdge]));
        all.push(stand("leaning", &[Stand::Lean]));
        if stack.stand.contains(&Stand::Lean) {
            let (least, about) = (stack.least_lean, about.clone());
            let path = key("part", &name, "stack.least_lean");
            all.push(Move::new("leaning further", about, least - LEAST_LEAN, move |k| Step {
                changes: vec![(path.clone(), (least - k).to_string())],
                to: format!("{}°", least - k),
                from: format!("{least}°"),
                size: (size * k / (least - LEAST_LEAN).max(1)).max(1),
            }));
        }
    } else {
        all.push(stand("more ways of standing", &[Stand::Flat, Stand::Roll]));
    }
    let piles = stack.piles;
    let most = stack.count.unwrap_or(1).clamp(1, 100);
    let path = key("part", &name, "stack.piles");
    let plural = |n: i64| if n == 1 { "1 pile".to_owned() } else { format!("up to {n} piles") };
    all.push(Move::new("more piles", about, (most - piles).min(MORE_PILES), move |k| Step {
        changes: vec![(path.clone(), (piles + k).to_string())],
        to: plural(piles + k),
        from: plural(piles),
        size: (size * k / MORE_PILES).max(1),
    }));
    all
}

fn word(stand: Stand) -> &'static str {
    match stand {
        Stand::Flat => "flat",
        Stand::LongEdge => "long-edge",
        Stand::ShortEdge => "short-edge",
        Stand::Roll => "roll",
        Stand::Lean => "lean",
    }
}

/// Trays and kept items set free that the maker holds, trays whose size is fixed left open, trays that may reach higher.
pub(super) fn held(job: &Job, shares: &Shares) -> Vec<Move> {
    let place = |held: Held| match held {
        Held::Layer(l) => format!("held in layer {}", l + 1),
        Held::At(_) => "held at its place".to_owned(),
    };
    let mut all = Vec::new();
    for tray in &job.trays {
        let mut own = Vec::new();
        let (about, size) = (format!("tray \"{}\"", tray.name), shares.tray(tray));
        let out = |keys: &str| vec![(key("tray", &tray.name, keys), String::new())];
        if let Some(held) = tray.held {
            own.push(Move::once("set free", &about, out("held"), (place(held), "anywhere"), size));
        }
        if let Some(fixed) = tray.size {
            let [w, d, h] = [fixed.w, fixed.d, fixed.h].map(|l| l.show_number(job.unit));
            let from = format!("{w} × {d} × {h} {}", job.unit.name());
            own.push(Move::once("size left open", &about, out("size"), (from, "open"), size));
        }
        if tray.divider_height.is_none() && tray.span < 2 && job.layers.most > 1 && tray.held.is_none() {
            let changes = vec![(key("tray", &tray.name, "span"), "2".to_owned())];
            own.push(Move::once(
                "through two layers",
                &about,
                changes,
                ("in one layer", "through two"),
                size,
            ));
        }
        let gate = format!("tray.{}", tray.name);
        all.extend(own.into_iter().flatten().map(|made| made.behind(vec![gate.clone()])));
    }
    for item in &job.kept {
        let mut own = Vec::new();
        let (about, size) = (format!("kept item \"{}\"", item.name), shares.kept(item));
        if let Some(held) = item.held {
            let changes = vec![(key("kept", &item.name, "held"), String::new())];
            own.push(Move::once("set free", &about, changes, (place(held), "anywhere"), size));
        }
        if item.turn != Turn::Any {
            let changes = vec![(key("kept", &item.name, "turn"), "any".to_owned())];
            let from = if item.turn == Turn::None { "as given" } else { "upright" };
            own.push(Move::once("turned any way", about, changes, (from, "on any face"), size));
        }
        let gate = format!("kept.{}", item.name);
        all.extend(own.into_iter().flatten().map(|made| made.behind(vec![gate.clone()])));
    }
    all.extend(all_free(job, shares));
    all
}

/// Everything that is held set free at once, where that is more than one thing: each may be in the way by itself.
fn all_free(job: &Job, shares: &Shares) -> Option<Move> {
    let trays = job.trays.iter().filter(|t| t.held.is_some());
    let trays = trays.map(|t| (key("tray", &t.name, "held"), &t.name, shares.tray(t)));
    let kept = job.kept.iter().filter(|k| k.held.is_some());
    let kept = kept.map(|k| (key("kept", &k.name, "held"), &k.name, shares.kept(k)));
    let held: Vec<_> = trays.chain(kept).collect();
    if held.len() < 2 {
        return None;
    }
    let changes = held.iter().map(|(key, ..)| (key.clone(), String::new())).collect();
    let names: Vec<String> = held.iter().map(|(_, name, _)| format!("\"{name}\"")).collect();
    let size = held.iter().map(|(.., size)| *size).sum::<i64>().min(1_000_000);
    Move::once("all set free", names.join(" and "), changes, ("held", "anywhere"), size).map(Move::paired)
}

//! Relative positions: of two things that must keep apart, one ends before the other begins.

use super::build::Draft;
use super::choices::Choice;
use super::{Sense, Side, Thing};
use crate::layout::instance::{Access, HeldAt, Instance};
use crate::layout::pack::Rect;

/// Whether outlines of bodies in different layers matter too, because lifts cost something.
pub(super) fn lifts_count(instance: &Instance) -> bool {
    instance.access == Access::Lifts && instance.trays.iter().any(|t| t.weight > 0)
}

/// Begin and end of a thing along one axis, in grid steps: least and greatest values.
#[derive(Clone, Copy)]
struct Range {
    begin: (i64, i64),
    end: (i64, i64),
}

/// Adds relative positions for every pair that can meet.
pub(super) fn add(draft: &mut Draft<'_>) {
    let instance = draft.instance;
    let across = lifts_count(instance);
    let layers = draft.layers();
    let n = draft.bodies.len();
    for b in 0..n {
        for a in 0..b {
            let gap = if draft.bodies[a].kept && draft.bodies[b].kept { 0 } else { instance.between };
            let meet: Vec<usize> = (0..=layers)
                .filter(|&l| {
                    draft.within(a, l, 1.0).next().is_some() && draft.within(b, l, 1.0).next().is_some()
                })
                .collect();
            if meet.is_empty() && !across {
                continue;
            }
            let pair = format!("{}:{}", draft.names[a], draft.names[b]);
            // One layer asks for play; to be apart from above it is enough not to overlap.
            let near = (across && gap > 0 && !meet.is_empty())
                .then(|| draft.real(format!("near:{pair}"), (0.0, 1.0), 0.0));
            let gap = if meet.is_empty() { 0 } else { gap };
            let sides = four(draft, Thing::Body(a), Thing::Body(b), gap, near);
            for l in meet {
                let mut terms: Vec<_> = draft.within(a, l, 1.0).chain(draft.within(b, l, 1.0)).collect();
                match near {
                    Some(near) => terms.push((near, -1.0)),
                    None => terms.extend(sides.iter().map(|s| (*s, -1.0))),
                }
                draft.row(format!("apart:{pair}:L{}", l + 1), terms, Sense::AtMost, 1.0);
            }
            if let Some(near) = near {
                let mut terms: Vec<_> = sides.iter().map(|s| (*s, -1.0)).collect();
                terms.push((near, 1.0));
                draft.row(format!("apart:{pair}"), terms, Sense::AtMost, 0.0);
            }
        }
    }
    for a in 0..instance.trays.len() {
        for (k, (l, _)) in instance.blocked.iter().enumerate() {
            let mut terms: Vec<_> = draft.within(a, *l, 1.0).collect();
            if *l < layers && !terms.is_empty() {
                let sides = four(draft, Thing::Body(a), Thing::Blocked(k), 0, None);
                terms.extend(sides.iter().map(|s| (*s, -1.0)));
                draft.row(format!("off-blocked-{}:{}", k + 1, draft.names[a]), terms, Sense::AtMost, 0.0);
            }
        }
    }
    if across {
        for a in 0..n {
            for c in 0..instance.cover.len() {
                four(draft, Thing::Body(a), Thing::Cover(c), 0, None);
            }
        }
    }
}

/// The relative positions of two things that are possible at all; their columns.
fn four(draft: &mut Draft<'_>, a: Thing, b: Thing, gap: i64, near: Option<usize>) -> Vec<usize> {
    let mut columns = Vec::new();
    for along_width in [true, false] {
        for (first, second) in [(a, b), (b, a)] {
            columns.extend(side(draft, (first, second), along_width, gap, near));
        }
    }
    columns
}

/// `end of first + play ≤ begin of second + M · (1 − side)`, M as small as the ranges of both allow.
fn side(
    draft: &mut Draft<'_>,
    (first, second): (Thing, Thing),
    along_width: bool,
    gap: i64,
    near: Option<usize>,
) -> Option<usize> {
    let (f, s) = (range(draft, first, along_width)?, range(draft, second, along_width)?);
    let least_gap = if near.is_some() { 0 } else { gap };
    if f.end.0 + least_gap > s.begin.1 {
        return None;
    }
    let word = if along_width { "left" } else { "front" };
    let name = format!("{word}:{}:{}", label(draft, first), label(draft, second));
    let column = draft.binary(name.clone(), 0.0);
    let part = |v: i64| v as f64 / draft.length;
    let big = part(f.end.1 + gap - s.begin.0);
    let mut terms = vec![(column, big)];
    let mut right = big;
    match near {
        Some(near) => terms.push((near, part(gap))),
        None => right -= part(gap),
    }
    match first {
        Thing::Body(b) => {
            terms.push((corner(draft, b, along_width), 1.0));
            terms.extend(draft.extent(b, along_width));
        }
        _ => right -= part(f.end.0),
    }
    match second {
        Thing::Body(b) => terms.push((corner(draft, b, along_width), -1.0)),
        _ => right += part(s.begin.0),
    }
    draft.row(format!("if-{name}"), terms, Sense::AtMost, right);
    draft.parts.sides.push(Side { first, second, along_width, column });
    Some(column)
}

fn corner(draft: &Draft<'_>, body: usize, along_width: bool) -> usize {
    let (x, y) = draft.parts.corners[body];
    if along_width { x } else { y }
}

fn label(draft: &Draft<'_>, thing: Thing) -> String {
    match thing {
        Thing::Body(b) => draft.names[b].clone(),
        Thing::Cover(c) => draft.names[draft.bodies.len() + c].clone(),
        Thing::Blocked(k) => format!("blocked-{}", k + 1),
    }
}

/// The rectangle of a cover item or a blocked place.
pub(super) fn fixed(instance: &Instance, thing: Thing) -> Option<Rect> {
    match thing {
        Thing::Body(_) => None,
        Thing::Cover(c) => instance.cover.get(c).map(|c| c.rect),
        Thing::Blocked(k) => instance.blocked.get(k).map(|b| b.1),
    }
}

/// `None` for a body that has no choice.
fn range(draft: &Draft<'_>, thing: Thing, along_width: bool) -> Option<Range> {
    let instance = draft.instance;
    let whole = if along_width { instance.width } else { instance.depth };
    if let Some(r) = fixed(instance, thing) {
        let (at, size) = if along_width { (r.x, r.w) } else { (r.y, r.d) };
        return Some(Range { begin: (at, at), end: (at + size, at + size) });
    }
    let Thing::Body(b) = thing else { return None };
    let size = |c: &Choice| if along_width { c.size.w } else { c.size.d };
    let least = draft.parts.choices[b].iter().map(|(c, _)| size(c)).min()?;
    let most = draft.parts.choices[b].iter().map(|(c, _)| size(c)).max()?;
    let side = draft.bodies[b].side;
    Some(match draft.bodies[b].held {
        HeldAt::Point(x, y, _) => {
            let at = if along_width { x } else { y };
            Range { begin: (at, at), end: (at + least, at + most) }
        }
        _ => Range { begin: (side, whole - side - least), end: (side + least, whole - side) },
    })
}

/// Bodies that can stand for each other are put in order: by first layer, within a layer by their left edge.
pub(super) fn alike(draft: &mut Draft<'_>) {
    let across = lifts_count(draft.instance);
    for b in 0..draft.bodies.len() {
        let Some(last) = (0..b).rev().find(|&a| interchangeable(draft.instance, a, b)) else { continue };
        let by_layer = |body: usize, sign: f64| {
            let choices = draft.parts.choices[body].iter();
            choices.filter(|(c, _)| c.layer > 0).map(move |(c, column)| (*column, sign * c.layer as f64))
        };
        let terms = by_layer(last, 1.0).chain(by_layer(b, -1.0)).collect();
        let name = format!("in-order:{}:{}", draft.names[last], draft.names[b]);
        draft.row(name, terms, Sense::AtMost, 0.0);
        for a in (0..b).filter(|&a| interchangeable(draft.instance, a, b)) {
            let wrong = draft
                .parts
                .sides
                .iter()
                .find(|s| s.along_width && s.first == Thing::Body(b) && s.second == Thing::Body(a))
                .map(|s| s.column);
            let Some(wrong) = wrong else { continue };
            let single =
                |body: usize| draft.parts.choices[body].iter().all(|(c, _)| c.after(0) == c.layer + 1);
            if !across && single(a) && single(b) {
                // They only meet in one and the same first layer.
                draft.columns[wrong].most = 0.0;
                continue;
            }
            for l in 0..=draft.layers() {
                let first = |body| draft.chosen(body, 1.0, |c| c.layer == l);
                let mut terms: Vec<_> = first(a).chain(first(b)).collect();
                if !terms.is_empty() {
                    terms.push((wrong, 1.0));
                    let name = format!("in-order:{}:{}:L{}", draft.names[a], draft.names[b], l + 1);
                    draft.row(name, terms, Sense::AtMost, 2.0);
                }
            }
        }
    }
}

/// Whether two bodies (trays, then kept items) may change places without any difference.
pub(super) fn interchangeable(instance: &Instance, a: usize, b: usize) -> bool {
    let n = instance.trays.len();
    if let (Some(a), Some(b)) = (instance.trays.get(a), instance.trays.get(b)) {
        return a.kind == b.kind
            && a.options == b.options
            && (a.span, a.weight, a.held) == (b.span, b.weight, b.held)
            && !matches!(a.held, HeldAt::Point(..));
    }
    let kept = |i: usize| i.checked_sub(n).and_then(|k| instance.kept.get(k));
    if let (Some(a), Some(b)) = (kept(a), kept(b)) {
        return a.kind == b.kind
            && a.turns == b.turns
            && a.held == b.held
            && !matches!(a.held, HeldAt::Point(..));
    }
    false
}

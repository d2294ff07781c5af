//! Lifts: what overlaps from above must come out first, and what lies over that too.

use super::build::Draft;
use super::pairs::lifts_count;
use super::{Sense, Thing};

/// Adds `over` (one lies over the other) and, for trays with a weight, `lift` (its transitive closure).
///
/// Both are real numbers from 0 to 1: whole choices and sides force them up to 0 or 1, the objective holds them down.
pub(super) fn add(draft: &mut Draft<'_>) {
    if !lifts_count(draft.instance) {
        return;
    }
    let (n, covers) = (draft.bodies.len(), draft.instance.cover.len());
    let all = n + covers;
    // over[a][b]: b lies over a, directly.
    let mut over: Vec<Vec<Option<usize>>> = Vec::with_capacity(n);
    for a in 0..n {
        over.push((0..all).map(|b| if a == b { None } else { self::over(draft, a, b) }).collect());
    }
    for a in 0..n {
        if draft.bodies[a].weight == 0 {
            continue;
        }
        let cost = draft.bodies[a].weight as f64 / draft.volume;
        let lift: Vec<Option<usize>> = (0..all)
            .map(|c| {
                let some = c != a && over.iter().any(|row| row[c].is_some());
                some.then(|| {
                    draft.real(format!("lift:{}:{}", draft.names[a], draft.names[c]), (0.0, 1.0), cost)
                })
            })
            .collect();
        for c in 0..all {
            let Some(column) = lift[c] else { continue };
            let name = format!("{}:{}", draft.names[a], draft.names[c]);
            if let Some(direct) = over[a][c] {
                draft.row(format!("lift:{name}"), vec![(direct, 1.0), (column, -1.0)], Sense::AtMost, 0.0);
            }
            if c >= n {
                // What lies over a cover item that must come out.
                let covers = &draft.instance.cover;
                for (b, _) in covers.iter().enumerate().filter(|(_, below)| covers[c - n].lies_over(below)) {
                    if let Some(first) = lift[n + b] {
                        let terms = vec![(first, 1.0), (column, -1.0)];
                        draft.row(
                            format!("lift:{name}:by:{}", draft.names[n + b]),
                            terms,
                            Sense::AtMost,
                            0.0,
                        );
                    }
                }
            }
            for b in (0..n).filter(|&b| b != a && b != c) {
                if let (Some(first), Some(then)) = (lift[b], over[b][c]) {
                    let terms = vec![(first, 1.0), (then, 1.0), (column, -1.0)];
                    draft.row(format!("lift:{name}:by:{}", draft.names[b]), terms, Sense::AtMost, 1.0);
                }
            }
        }
    }
}

/// `b` (a body, or a cover item beyond the bodies) over `a`: higher and not beside it.
fn over(draft: &mut Draft<'_>, a: usize, b: usize) -> Option<usize> {
    let n = draft.bodies.len();
    let layers = draft.layers();
    let (this, other) = (Thing::Body(a), if b < n { Thing::Body(b) } else { Thing::Cover(b - n) });
    let pair =
        |s: &&super::Side| (s.first, s.second) == (this, other) || (s.first, s.second) == (other, this);
    let beside: Vec<_> = draft.parts.sides.iter().filter(pair).map(|s| (s.column, -1.0)).collect();
    let name = format!("over:{}:{}", draft.names[a], draft.names[b]);
    if b >= n {
        let column = draft.real(name.clone(), (0.0, 1.0), 0.0);
        let mut terms = beside;
        terms.push((column, -1.0));
        draft.row(name, terms, Sense::AtMost, -1.0);
        return Some(column);
    }
    let mut column = None;
    for m in 1..=layers {
        let below: Vec<_> = draft.chosen(a, 1.0, |c| c.after(layers) <= m).collect();
        let above: Vec<_> = draft.chosen(b, 1.0, |c| c.layer >= m).collect();
        if below.is_empty() || above.is_empty() {
            continue;
        }
        let over = *column.get_or_insert_with(|| draft.real(name.clone(), (0.0, 1.0), 0.0));
        let terms = below.into_iter().chain(above).chain(beside.iter().copied()).chain([(over, -1.0)]);
        draft.row(format!("{name}:L{}", m + 1), terms.collect(), Sense::AtMost, 1.0);
    }
    column
}

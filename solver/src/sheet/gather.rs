//! What is free, in one large piece: as little as possible on one sheet, and that at one end of it.

use super::cuts::{self, area};
use super::reduced::{Problem, Size};
use super::search::{State, moved, settle};
use crate::layout::pack::Rect;
use crate::stop::Stop;

/// Nodes that gathering may take beyond those of the search.
pub(super) const NODES: u64 = 150_000;
/// Nodes without success after which a sheet is not emptied further.
const PATIENCE: u64 = 15_000;
/// The same for one width or depth of the end that is to be used.
const STRIP_PATIENCE: u64 = 1_500;

/// The same sheets with a larger rectangle free on one of them, where that is found.
pub(super) fn gather(problem: &Problem, state: State, stop: &Stop) -> State {
    let mut best = State { sheets: state.sheets, left: Vec::new() };
    best.sheets.retain(|f| !f.spots.is_empty());
    let mut most = free(problem, &best);
    let mut tried: Vec<usize> = Vec::new();
    let used = |state: &State, s: usize| -> i128 {
        state.sheets[s].spots.iter().map(|p| problem.kinds[p.kind].area()).sum()
    };
    let mut order: Vec<usize> = (0..best.sheets.len()).collect();
    order.sort_by_key(|&s| used(&best, s) - problem.sizes[best.sheets[s].size].area());
    let start = best.clone();
    for s in order {
        let size = start.sheets[s].size;
        if tried.contains(&size) || stop.now() {
            continue;
        }
        tried.push(size);
        let mut rest = start.clone();
        let emptied = rest.sheets.remove(s);
        rest.left = emptied.spots.iter().map(|p| p.kind).collect();
        let mut counts = rest.counts(problem);
        counts.truncate(problem.sizes.len());
        let rest = settle(problem, moved(problem, &rest, &counts), 77, PATIENCE, stop);
        let Some(end) = strip(problem, size, &rest.left, stop) else { continue };
        let mut this = State { sheets: rest.sheets, left: Vec::new() };
        this.sheets.push(end.sheets.into_iter().next().unwrap_or_else(|| emptied.clone()));
        let now = free(problem, &this);
        if now > most {
            most = now;
            best = this;
        }
    }
    best
}

/// Pieces on one sheet of a size, using as little of its width, or of its depth, as is found.
fn strip(problem: &Problem, size: usize, pieces: &[usize], stop: &Stop) -> Option<State> {
    let whole = &problem.sizes[size];
    let mut best: Option<(i128, State)> = None;
    for across in [false, true] {
        let side = if across { whole.d } else { whole.w };
        let other = if across { whole.w } else { whole.d };
        let need: i128 = pieces.iter().map(|&k| problem.kinds[k].area()).sum();
        let mut low = i64::try_from(need / i128::from(other.max(1))).unwrap_or(0);
        let mut high = side;
        let mut held = None;
        while low <= high && !(held.is_some() && stop.now()) {
            // The whole side first: without it there is nothing to improve.
            let at = if held.is_none() { high } else { low + (high - low) / 2 };
            let (w, d) = if across { (whole.w, at) } else { (at, whole.d) };
            match on(problem, Size { w, d, ..whole.clone() }, size, pieces, stop) {
                Some(state) => {
                    let reach = reach(problem, &state, across);
                    held = Some((reach, state));
                    high = reach.min(at) - 1;
                }
                None if held.is_none() => break,
                None => low = at + 1,
            }
        }
        if let Some((reach, state)) = held {
            let over = i128::from(side - reach) * i128::from(other);
            if best.as_ref().is_none_or(|b| over > b.0) {
                best = Some((over, state));
            }
        }
    }
    best.map(|b| b.1)
}

fn on(problem: &Problem, end: Size, size: usize, pieces: &[usize], stop: &Stop) -> Option<State> {
    let narrow = Problem { sizes: vec![end], ..problem.clone() };
    let empty = super::search::Filled { size: 0, spots: Vec::new() };
    let start = State { sheets: vec![empty], left: pieces.to_vec() };
    let mut state = settle(&narrow, start, 7, STRIP_PATIENCE, stop);
    state.sheets.iter_mut().for_each(|f| f.size = size);
    state.left.is_empty().then_some(state)
}

fn reach(problem: &Problem, state: &State, across: bool) -> i64 {
    let far = |s: &super::reduced::Spot| {
        let (w, d) = problem.kinds[s.kind].lying(s.turned);
        if across { s.y + d } else { s.x + w }
    };
    state.sheets.iter().flat_map(|f| &f.spots).map(far).max().unwrap_or(0)
}

/// The largest rectangle free on any sheet.
fn free(problem: &Problem, state: &State) -> i128 {
    let each = |f: &super::search::Filled| {
        let size = &problem.sizes[f.size];
        let rects: Vec<Rect> = f
            .spots
            .iter()
            .map(|s| {
                let (w, d) = problem.kinds[s.kind].lying(s.turned);
                Rect { x: s.x, y: s.y, w, d }
            })
            .collect();
        let whole = Rect { x: 0, y: 0, w: size.w, d: size.d };
        if problem.straight {
            cuts::cuts(whole, &rects, 0).and_then(|c| c.1).map_or(0, |r| area(&r))
        } else {
            cuts::largest_free(whole, &rects, 0).map_or(0, |r| area(&r))
        }
    };
    state.sheets.iter().map(each).max().unwrap_or(0)
}

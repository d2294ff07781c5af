//! Conservative scales (Fekete & Schepers, Math. Oper. Res. 29 (2004) 353): other lengths for the pieces under which no row of
//! pieces that fits a sheet becomes longer than a length known for that sheet. Then the products of both directions
//! act like areas: what a sheet can take of them is the product of its two lengths.

use super::reduced::{Kind, Problem};

/// Scaled lengths in one direction.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Scale {
    /// Per kind: of its width, and of its depth for where it lies turned.
    pub(super) of: Vec<(i64, i64)>,
    /// Per size: the longest row that fits.
    pub(super) caps: Vec<i64>,
}

/// Which way a scale measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    Width,
    Depth,
}

/// Rows of pieces are summed on a grid of at most so many steps; pieces are rounded down to it.
const STEPS: i64 = 2_000;
/// Steps of all knapsacks together for one direction: about a tenth of a second.
const WORK: i64 = 40_000_000;
/// Most thresholds tried.
const THRESHOLDS: i64 = 40;

/// All scales for one direction.
pub(super) fn scales(problem: &Problem, way: Way) -> Vec<Scale> {
    let side = |s: &super::reduced::Size| if way == Way::Width { s.w } else { s.d };
    let mut sides: Vec<i64> = problem.sizes.iter().map(side).collect();
    sides.sort_unstable();
    sides.dedup();
    let mut dims: Vec<i64> = Vec::new();
    for k in &problem.kinds {
        dims.push(if way == Way::Width { k.w } else { k.d });
        if k.turns {
            dims.push(if way == Way::Width { k.d } else { k.w });
        }
    }
    dims.sort_unstable();
    dims.dedup();
    let pieces: i64 = problem.kinds.iter().map(|k| k.pieces.len() as i64).sum();
    let each = (pieces * STEPS * sides.len() as i64).max(1);
    let most = (WORK / each).clamp(4, 400);
    let mut out: Vec<Scale> = Vec::new();
    let mut add = |f: &dyn Fn(i64) -> i64, whole: i64| {
        if (out.len() as i64) < most {
            let scale = Scale {
                of: problem.kinds.iter().map(|k| both(k, way, f)).collect(),
                caps: problem.sizes.iter().map(|s| cap(problem, way, f, side(s), whole)).collect(),
            };
            if !out.contains(&scale) {
                out.push(scale);
            }
        }
    };
    add(&|x| x, i64::MAX);
    for &whole in sides.iter().rev() {
        for k in 1..=4 {
            add(&|x| stepped(x, whole, k), whole);
        }
    }
    for &whole in sides.iter().rev() {
        let small: Vec<i64> = dims.iter().copied().filter(|&d| 2 * d <= whole).collect();
        let stride = (small.len() as i64 / THRESHOLDS).max(0) as usize + 1;
        for &least in small.iter().step_by(stride) {
            add(&|x| lifted(x, whole, least), whole);
            add(&|x| counted(x, whole, least), whole);
        }
        add(&|x| lifted(x, whole, (whole / 2).max(1)), whole);
        for k in 5..=9 {
            add(&|x| stepped(x, whole, k), whole);
        }
    }
    out
}

fn both(k: &Kind, way: Way, f: &dyn Fn(i64) -> i64) -> (i64, i64) {
    match way {
        Way::Width => (f(k.w), f(k.d)),
        Way::Depth => (f(k.d), f(k.w)),
    }
}

/// u^(k): just over the j-th part of k + 1 counts as the j-th part of k.
fn stepped(x: i64, whole: i64, k: i64) -> i64 {
    if (k + 1) * x % whole == 0 { x * k } else { (k + 1) * x / whole * whole }
}

/// U^(ε): what leaves less than the threshold free counts as whole, what is smaller than it as nothing.
fn lifted(x: i64, whole: i64, least: i64) -> i64 {
    if x > whole - least {
        whole
    } else if x < least {
        0
    } else {
        x
    }
}

/// φ^(ε): small ones count by number, large ones by what they leave free of it.
fn counted(x: i64, whole: i64, least: i64) -> i64 {
    let most = whole / least;
    if 2 * x > whole {
        most - ((whole - x) / least).min(most)
    } else if x >= least {
        1
    } else {
        0
    }
}

/// The longest row of pieces within `side` under a scale. Every scale here is superadditive up to its `whole`, so the scaled
/// side itself is a bound there; a knapsack over the pieces, each used once, is another.
fn cap(problem: &Problem, way: Way, f: &dyn Fn(i64) -> i64, side: i64, whole: i64) -> i64 {
    let by_side = if side <= whole { f(side) } else { i64::MAX };
    by_side.min(row(problem, way, f, side))
}

fn row(problem: &Problem, way: Way, f: &dyn Fn(i64) -> i64, side: i64) -> i64 {
    let step = side / STEPS + 1;
    let room = (side / step) as usize;
    let mut best = vec![0i64; room + 1];
    let mut beyond = 0;
    for k in &problem.kinds {
        let (along, across) = if way == Way::Width { (k.w, k.d) } else { (k.d, k.w) };
        let mut ways = vec![(along, f(along))];
        if k.turns {
            ways.push((across, f(across)));
        }
        ways.retain(|&(x, v)| x <= side && v > 0);
        let Some(least) = ways.iter().map(|w| w.0 / step).min() else { continue };
        if least == 0 {
            // Too thin for the grid: as if all of them found room anywhere.
            let most = ways.iter().map(|w| w.1).max().unwrap_or(0);
            beyond += most * k.pieces.len() as i64;
            continue;
        }
        for _ in 0..(k.pieces.len() as i64).min(room as i64 / least) {
            for at in (least as usize..=room).rev() {
                for &(x, v) in &ways {
                    let x = (x / step) as usize;
                    if x <= at {
                        best[at] = best[at].max(best[at - x] + v);
                    }
                }
            }
        }
    }
    best[room] + beyond
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn functions_as_published() {
        // Fekete & Schepers: u^(1) of a half is a half, of more is the whole, of less nothing.
        assert_eq!([4, 5, 6, 10].map(|x| stepped(x, 10, 1)), [0, 5, 10, 10]);
        assert_eq!([2, 3, 7, 8].map(|x| lifted(x, 10, 3)), [0, 3, 7, 10]);
        assert_eq!([2, 3, 5, 6, 8].map(|x| counted(x, 10, 3)), [0, 1, 1, 2, 3]);
    }
}

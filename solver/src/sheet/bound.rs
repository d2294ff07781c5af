//! What no choice of sheets can undercut: rows of needs and capacities, and the cheapest sheets that satisfy them all.

use super::reduced::Problem;
use super::scales::{Scale, Way, scales};

/// Sheets with these capacities must together have what the pieces need.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) caps: Vec<i128>,
    pub(super) need: i128,
}

/// Most rows kept where several sizes are to be chosen from.
const MOST_ROWS: usize = 24;
/// Choices looked at before a weaker bound must do.
const MOST_CHOICES: u64 = 400_000;
/// Needs are cut down to so many bits, so that products with costs stay exact.
const BITS: u32 = 56;

/// All rows that are worth keeping, the plain area first.
pub(super) fn rows(problem: &Problem) -> Vec<Row> {
    let (across, along) = (scales(problem, Way::Width), scales(problem, Way::Depth));
    let everyone = vec![true; problem.kinds.len()];
    let mut ranked: Vec<(f64, Row)> = Vec::new();
    for (i, f) in across.iter().enumerate() {
        for (j, g) in along.iter().enumerate() {
            let row = product(problem, f, g, &everyone);
            let first = i + j == 0;
            let rank = if first { f64::INFINITY } else { strength(problem, &row) };
            ranked.push((rank, row));
            if ranked.len() >= 4 * MOST_ROWS {
                thin(&mut ranked);
            }
        }
    }
    thin(&mut ranked);
    let mut out: Vec<Row> = ranked.into_iter().map(|r| r.1).collect();
    out.extend(apart(problem));
    // Pieces that only some sizes can hold need enough of these.
    let mut masks: Vec<Vec<bool>> = Vec::new();
    for k in &problem.kinds {
        let mask: Vec<bool> = problem.sizes.iter().map(|s| k.fits(s.w, s.d)).collect();
        if mask.contains(&false) && !masks.contains(&mask) {
            masks.push(mask);
        }
    }
    if let (Some(f), Some(g)) = (across.first(), along.first()) {
        for mask in masks {
            let only = |k: &super::reduced::Kind| {
                problem.sizes.iter().zip(&mask).all(|(s, &held)| held || !k.fits(s.w, s.d))
            };
            let chosen: Vec<bool> = problem.kinds.iter().map(only).collect();
            let mut row = product(problem, f, g, &chosen);
            for (cap, held) in row.caps.iter_mut().zip(&mask) {
                *cap *= i128::from(*held);
            }
            out.push(row);
        }
    }
    out
}

fn thin(ranked: &mut Vec<(f64, Row)>) {
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    ranked.dedup_by(|a, b| a.1 == b.1);
    ranked.truncate(MOST_ROWS);
}

/// How much a row alone asks for; only to rank them.
fn strength(problem: &Problem, row: &Row) -> f64 {
    let each = |(s, &cap): (&super::reduced::Size, &i128)| s.cost as f64 / (cap as f64).max(1e-9);
    row.need as f64 * problem.sizes.iter().zip(&row.caps).map(each).fold(f64::INFINITY, f64::min)
}

fn product(problem: &Problem, f: &Scale, g: &Scale, chosen: &[bool]) -> Row {
    let wide = |a: i64, b: i64| i128::from(a) * i128::from(b);
    let mut need = 0;
    for (i, k) in problem.kinds.iter().enumerate().filter(|(i, _)| chosen[*i]) {
        let held = |w: i64, d: i64| problem.sizes.iter().any(|s| w <= s.w && d <= s.d);
        let mut least = i128::MAX;
        if held(k.w, k.d) {
            least = wide(f.of[i].0, g.of[i].0);
        }
        if k.turns && held(k.d, k.w) {
            least = least.min(wide(f.of[i].1, g.of[i].1));
        }
        // One that no sheet holds is a fault found before; it must not count here.
        if least < i128::MAX {
            need += least * k.pieces.len() as i128;
        }
    }
    let mut caps: Vec<i128> = f.caps.iter().zip(&g.caps).map(|(&a, &b)| wide(a, b)).collect();
    let bits = 128 - need.leading_zeros();
    if bits > BITS {
        let shift = bits - BITS;
        need >>= shift;
        caps.iter_mut().for_each(|c| *c = (*c >> shift) + 1);
    }
    Row { caps, need }
}

/// Pieces no two of which share a sheet need a sheet each: the most found, taking large ones first.
fn apart(problem: &Problem) -> Vec<Row> {
    let together = |a: &super::reduced::Kind, b: &super::reduced::Kind| {
        let ways = |k: &super::reduced::Kind| {
            let mut w = vec![(k.w, k.d)];
            if k.turns {
                w.push((k.d, k.w));
            }
            w
        };
        problem.sizes.iter().any(|s| {
            ways(a).iter().any(|&(aw, ad)| {
                ways(b).iter().any(|&(bw, bd)| {
                    aw.max(bw) <= s.w && ad.max(bd) <= s.d && (aw + bw <= s.w || ad + bd <= s.d)
                })
            })
        })
    };
    let mut chosen: Vec<usize> = Vec::new();
    let mut order: Vec<usize> = (0..problem.kinds.len()).collect();
    order.sort_by_key(|&k| std::cmp::Reverse(problem.kinds[k].w.min(problem.kinds[k].d)));
    let mut count = 0;
    for k in order {
        let kind = &problem.kinds[k];
        if chosen.iter().all(|&o| !together(&problem.kinds[o], kind)) {
            count += if together(kind, kind) { 1 } else { kind.pieces.len() };
            chosen.push(k);
        }
    }
    vec![Row { caps: vec![1; problem.sizes.len()], need: count as i128 }]
}

/// The least cost of sheets that satisfy every row; `None`: the sheets there are do not.
pub(super) fn cheapest(problem: &Problem, rows: &[Row]) -> Option<i128> {
    let mut walk =
        Walk { problem, rows, chosen: vec![0; problem.sizes.len()], best: None, looks: 0, found: None };
    let mut left: Vec<i128> = rows.iter().map(|r| r.need).collect();
    walk.dive(0, 0, &mut left);
    if walk.looks > MOST_CHOICES {
        return Some(walk.least(0, &rows.iter().map(|r| r.need).collect::<Vec<_>>()));
    }
    walk.best
}

/// Every choice of sheets that satisfies the rows and costs less than `below`, cheapest first; `None` where there are more
/// than `most`.
pub(super) fn choices(problem: &Problem, rows: &[Row], below: i128, most: usize) -> Option<Vec<Vec<usize>>> {
    let found = Some((Vec::new(), most));
    let chosen = vec![0; problem.sizes.len()];
    let mut walk = Walk { problem, rows, chosen, best: Some(below), looks: 0, found };
    let mut left: Vec<i128> = rows.iter().map(|r| r.need).collect();
    walk.dive(0, 0, &mut left);
    let (mut all, most) = walk.found.take()?;
    if walk.looks > MOST_CHOICES || all.len() > most {
        return None;
    }
    let cost = |c: &Vec<usize>| c.iter().zip(&problem.sizes).map(|(&n, s)| s.cost * n as i128).sum::<i128>();
    all.sort_by_key(|c| (cost(c), std::cmp::Reverse(c.clone())));
    Some(all)
}

struct Walk<'a> {
    problem: &'a Problem,
    rows: &'a [Row],
    chosen: Vec<usize>,
    best: Option<i128>,
    looks: u64,
    /// Where all choices below `best` are wanted: these, and how many at most.
    found: Option<(Vec<Vec<usize>>, usize)>,
}

impl Walk<'_> {
    /// No further sheets of the sizes from `size` on that satisfy what is left cost less.
    fn least(&self, size: usize, left: &[i128]) -> i128 {
        let mut most = 0;
        for (row, &need) in self.rows.iter().zip(left) {
            if need <= 0 {
                continue;
            }
            let mut least: Option<i128> = None;
            for (s, &cap) in self.problem.sizes.iter().zip(&row.caps).skip(size) {
                if cap > 0 {
                    let this = (need * s.cost + cap - 1).div_euclid(cap);
                    least = Some(least.map_or(this, |l| l.min(this)));
                }
            }
            most = most.max(least.unwrap_or(i128::MAX / 4));
        }
        most
    }

    fn dive(&mut self, size: usize, cost: i128, left: &mut Vec<i128>) {
        self.looks += 1;
        let full = self.found.as_ref().is_some_and(|(f, most)| f.len() > *most);
        if self.looks > MOST_CHOICES || full {
            return;
        }
        let least = cost.saturating_add(self.least(size, left));
        if self.best.is_some_and(|b| least >= b) || least >= i128::MAX / 4 {
            return;
        }
        if size == self.problem.sizes.len() {
            match &mut self.found {
                Some((found, _)) => found.push(self.chosen.clone()),
                None => self.best = Some(cost),
            }
            return;
        }
        let (price, limit) = (self.problem.sizes[size].cost, self.problem.sizes[size].limit);
        let before = left.clone();
        let mut counts: Vec<usize> = (0..=self.enough(size, &before).min(limit)).collect();
        if self.found.is_some() {
            // More than enough may still be cheap enough.
            let best = self.best.unwrap_or(0);
            let mut n = counts.len();
            while n <= limit && cost + price * n as i128 <= best {
                counts.push(n);
                n += 1;
            }
        }
        for n in counts.into_iter().rev() {
            for ((l, b), row) in left.iter_mut().zip(&before).zip(self.rows) {
                *l = b - row.caps[size] * n as i128;
            }
            self.chosen[size] = n;
            self.dive(size + 1, cost + price * n as i128, left);
        }
        self.chosen[size] = 0;
        left.clone_from(&before);
    }

    /// So many of this size satisfy every row that they can.
    fn enough(&self, size: usize, left: &[i128]) -> usize {
        let mut most = 0;
        for (row, &need) in self.rows.iter().zip(left) {
            if need > 0 && row.caps[size] > 0 {
                most = most.max((need + row.caps[size] - 1) / row.caps[size]);
            }
        }
        usize::try_from(most).unwrap_or(usize::MAX)
    }
}

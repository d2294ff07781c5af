//! Rows for straight cuts: prices of pieces under which no sheet yields more than a known sum, whatever is cut from it.
//!
//! Good prices come from the linear program over what sheets can yield (Gilmore & Gomory, Oper. Res. 13 (1965)), which is built
//! up by asking, at the prices so far, for the most valuable cutting of each size. Prices are rounded to whole numbers, and
//! each row stands by itself: a linear program that is wrong makes a weaker row, never a false one.

use microlp::{ComparisonOp, OptimizationDirection, Problem as Program};

use super::bound::Row;
use super::knapsack::Item;
use super::raster::Raster;
use super::reduced::Problem;
use crate::stop::Stop;

/// Places in one direction: finer makes better rows and takes longer, by the third power.
const PLACES: usize = 80;
/// Programs solved at most.
const ROUNDS: usize = 12;
/// Nodes that one raster counts as.
const NODES: u64 = 2_000;
/// A dearest sheet costs so much in the whole prices.
const SCALE: f64 = 1e9;
/// With more kinds or sizes than this the rows of areas must do.
const MOST_KINDS: usize = 150;
const MOST_SIZES: usize = 6;

/// Rows at the prices met, the best ones last.
pub(super) fn rows(problem: &Problem, stop: &Stop) -> Vec<Row> {
    rows_by(&solve, problem, stop)
}

/// What finds new prices for yields met so far; tests ask one that fails.
type Pricing<'a> = &'a dyn Fn(&Problem, &[f64], &[(usize, Vec<usize>)]) -> Option<Vec<f64>>;

fn rows_by(pricing: Pricing, problem: &Problem, stop: &Stop) -> Vec<Row> {
    let mut rows = Vec::new();
    if problem.kinds.len() > MOST_KINDS || problem.sizes.len() > MOST_SIZES {
        return rows;
    }
    let dearest = problem.sizes.iter().map(|s| s.cost).max().unwrap_or(1) as f64;
    let cost: Vec<f64> = problem.sizes.iter().map(|s| s.cost as f64 / dearest).collect();
    // Prices by area first, as dear as the sheet that is dearest for its area.
    let worth =
        problem.sizes.iter().zip(&cost).map(|(s, c)| c / s.area() as f64).fold(f64::INFINITY, f64::min);
    let mut prices: Vec<f64> = problem.kinds.iter().map(|k| k.area() as f64 * worth).collect();
    let mut yields: Vec<(usize, Vec<usize>)> = Vec::new();
    for round in 0..ROUNDS {
        let values: Vec<i64> = prices.iter().map(|p| (p.clamp(0.0, 1.0) * SCALE) as i64).collect();
        let items: Vec<Item> = problem
            .kinds
            .iter()
            .zip(&values)
            .map(|(k, &value)| Item { w: k.w, d: k.d, turns: k.turns, value, count: k.pieces.len() })
            .collect();
        let need = items.iter().map(|i| i128::from(i.value) * i.count as i128).sum();
        let mut caps = Vec::new();
        let mut new = false;
        for (s, size) in problem.sizes.iter().enumerate() {
            let raster = Raster::of(size.w, size.d, &items, PLACES);
            caps.push(i128::from(raster.most()));
            let counts = raster.counts(&items);
            if raster.most() as f64 > cost[s] * SCALE * (1.0 + 1e-6) && !yields.contains(&(s, counts.clone()))
            {
                yields.push((s, counts));
                new = true;
            }
            stop.spend(NODES);
        }
        rows.push(Row { caps, need });
        if round + 1 == ROUNDS || !new || stop.now() {
            break;
        }
        let Some(next) = pricing(problem, &cost, &yields) else { break };
        if next.len() != prices.len() {
            break;
        }
        prices = next;
    }
    rows
}

/// The highest prices for all pieces together under which no yield met so far is worth more than its sheet.
fn solve(problem: &Problem, cost: &[f64], yields: &[(usize, Vec<usize>)]) -> Option<Vec<f64>> {
    let mut program = Program::new(OptimizationDirection::Maximize);
    let prices: Vec<_> =
        problem.kinds.iter().map(|k| program.add_var(k.pieces.len() as f64, (0.0, 1.0))).collect();
    // Sheets of which there are only so many are worth more than they cost.
    let more: Vec<_> = problem
        .sizes
        .iter()
        .map(|s| {
            let most = if s.limit < super::reduced::MOST_SHEETS { f64::INFINITY } else { 0.0 };
            program.add_var(-(s.limit as f64), (0.0, most))
        })
        .collect();
    for (size, counts) in yields {
        let mut terms: Vec<_> =
            prices.iter().zip(counts).filter(|(_, n)| **n > 0).map(|(v, &n)| (*v, n as f64)).collect();
        terms.push((more[*size], -1.0));
        program.add_constraint(terms, ComparisonOp::Le, cost[*size]);
    }
    let solution = program.solve().ok()?.into_solution().ok()?;
    Some(prices.iter().map(|v| solution.var_value(*v)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;
    use crate::sheet::bound::cheapest;
    use crate::sheet::lay::lay_out;
    use crate::sheet::{Piece, Rules, SheetSize};

    /// Prices that no program would give, from one that fails numerically: rows of them are weak, never false.
    #[test]
    fn wrong_prices_make_no_false_bound() {
        let mm = Length::mm;
        let sizes = [(45, 30), (25, 25), (60, 20), (35, 35), (15, 50)];
        let pieces: Vec<Piece> = (0..15)
            .map(|i| sizes[i % 5])
            .map(|(w, d)| Piece { name: String::new(), w: mm(w), d: mm(d), turns: true })
            .collect();
        let sheets = [SheetSize { w: mm(100), d: mm(80), price_hundredths: None, most: None }];
        let rules = Rules { margin: mm(0), spacing: mm(0), straight: true };
        let plan = lay_out(&pieces, &sheets, &rules, &Stop::never()).unwrap();
        let problem = Problem::new(&pieces, &sheets, &rules);
        let enough = plan.sheets.len() as i128 * problem.sizes[0].cost;
        let n = problem.kinds.len();
        let constant = |v: f64| move |_: &Problem, _: &[f64], _: &[(usize, Vec<usize>)]| Some(vec![v; n]);
        for v in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0, 1e300, 0.3] {
            let rows = rows_by(&constant(v), &problem, &Stop::never());
            assert!(cheapest(&problem, &rows).is_some_and(|least| least <= enough), "{v}");
        }
        for wrong in [None, Some(Vec::new()), Some(vec![1.0; n + 3])] {
            let rows = rows_by(&|_, _, _| wrong.clone(), &problem, &Stop::never());
            assert_eq!(rows.len(), 1, "prices by area alone");
            assert!(cheapest(&problem, &rows).is_some_and(|least| least <= enough));
        }
    }
}

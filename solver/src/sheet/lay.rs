//! From pieces to sheets: faults of the question, bounds, search, proof, offcut, check.

use std::collections::BTreeMap;

use super::bound::{self, Row};
use super::cuts;
use super::exact::prove;
use super::gather::{NODES as GATHER_NODES, gather};
use super::prices;
use super::reduced::{MOST_SHEETS, Problem, costs};
use super::search::{State, construct, moved, settle};
use super::{Piece, Placed, Rules, SheetLayout, SheetPlan, SheetSize, ask, verify};
use crate::finding::Finding;
use crate::layout::pack::Rect;
use crate::length::Length;
use crate::stop::Stop;

/// Nodes (pieces placed on trial, more on crowded sheets) that suit most jobs: about a second.
pub const NODES: u64 = 2_500_000;

/// Nodes of the first round, before a proof is tried.
const FIRST_NODES: u64 = 100_000;
/// Nodes of a proof; one for every sharing out looked at, more for every sheet packed.
const PROOF_NODES: u64 = 400_000;
/// Even without any other limit a search ends after so many nodes.
const MOST_NODES: u64 = 200_000_000;
/// Part of the time, where there is a clock, that is left to the search; the rest gathers what is free.
const SEARCH_PART: f64 = 0.85;

/// Nodes without a better state after which a first round gives up on a choice of sheets; doubled each round.
const PATIENCE: u64 = 20_000;
/// Choices of sheets tried in one round.
const MOST_TARGETS: usize = 12;
/// Choices of sheets listed at most; where there are more, those near the best are taken.
const MOST_CHOICES: usize = 600;

/// Lays pieces out on the cheapest choice of sheets that is found, with a bound below which none can cost; among equal
/// costs on fewer sheets, and then with a large piece left over. Nodes of the stop are pieces placed on trial;
/// [`NODES`] suit most jobs. The same nodes give the same plan.
///
/// Errors are findings H001 to H010: sizes that cannot be, pieces that no sheet holds, too few sheets.
///
/// ```
/// use traywright::length::Length;
/// use traywright::sheet::{NODES, Piece, Rules, SheetSize, lay_out};
/// use traywright::stop::Stop;
/// let mm = Length::mm;
/// let piece = |w, d| Piece { name: "floor".into(), w: mm(w), d: mm(d), turns: true };
/// let size = SheetSize { w: mm(300), d: mm(200), price_hundredths: Some(450), most: None };
/// let rules = Rules { margin: mm(5), spacing: mm(2), straight: false };
/// let pieces = [piece(190, 144), piece(190, 144), piece(190, 144)];
/// let plan = lay_out(&pieces, &[size], &rules, &Stop::nodes(NODES)).unwrap();
/// // Two lie side by side, turned: 144 + 2 + 144 = 290 between the margins.
/// assert_eq!((plan.sheets.len(), plan.cost, plan.bound), (2, 900, 900));
/// ```
pub fn lay_out(
    pieces: &[Piece],
    sizes: &[SheetSize],
    rules: &Rules,
    stop: &Stop,
) -> Result<SheetPlan, Vec<Finding>> {
    let faults = ask::faults(pieces, sizes, rules);
    if !faults.is_empty() {
        return Err(faults);
    }
    let problem = Problem::new(pieces, sizes, rules);
    let by_price = sizes.iter().all(|s| s.price_hundredths.is_some());
    let mut plan = SheetPlan {
        sheets: Vec::new(),
        cost: 0,
        bound: 0,
        by_price,
        used: pieces.iter().map(|p| p.w * p.d).sum(),
        bought: crate::length::Area::ZERO,
    };
    if pieces.is_empty() {
        return Ok(plan);
    }
    let mut rows = bound::rows(&problem);
    let Some(mut least) = bound::cheapest(&problem, &rows) else { return Err(vec![ask::too_few(sizes)]) };
    let mut best = construct(&problem, stop);
    if !best.left.is_empty() {
        best = all_sheets(&problem, best, stop);
        if !best.left.is_empty() {
            return Err(vec![ask::not_found(best.left.len())]);
        }
    }
    // A first round, a proof where the job is small, and the rest of the search.
    let search = stop.part(SEARCH_PART);
    best = improve(&problem, &rows, best, least, FIRST_NODES, &search);
    if problem.straight && best.cost(&problem) > least {
        rows.extend(prices::rows(&problem, &search));
        least = bound::cheapest(&problem, &rows).map_or(least, |l| l.max(least));
    }
    if best.cost(&problem) > least {
        let slice = search.share(PROOF_NODES);
        let proof = prove(&problem, &rows, best.cost(&problem), least, &slice);
        search.spend(slice.spent().min(PROOF_NODES));
        least = proof.least;
        best = proof.better.unwrap_or(best);
    }
    best = improve(&problem, &rows, best, least, MOST_NODES, &search);
    let best = gather(&problem, best, &stop.share(GATHER_NODES));
    let price = costs(sizes);
    plan.sheets = best
        .sheets
        .iter()
        .filter(|f| !f.spots.is_empty())
        .map(|f| SheetLayout {
            size: problem.sizes[f.size].index,
            placed: Vec::new(),
            cuts: Vec::new(),
            offcut: None,
        })
        .collect();
    name_pieces(&problem, &best, &mut plan);
    for sheet in &mut plan.sheets {
        plan.cost += price[sheet.size];
        plan.bought += sizes[sheet.size].w * sizes[sheet.size].d;
        finish(pieces, &sizes[sheet.size], rules, sheet);
    }
    plan.bound = Problem::paid(least.min(best.cost(&problem)));
    let wrong = verify(pieces, sizes, rules, &plan);
    if wrong.is_empty() { Ok(plan) } else { Err(wrong) }
}

/// Which piece of its kind lies where, in the order of sheets.
fn name_pieces(problem: &Problem, best: &State, plan: &mut SheetPlan) {
    let mut next = vec![0; problem.kinds.len()];
    for (filled, sheet) in best.sheets.iter().filter(|f| !f.spots.is_empty()).zip(&mut plan.sheets) {
        let mut spots = filled.spots.clone();
        spots.sort_by_key(|s| (s.y, s.x));
        for s in spots {
            let piece = problem.kinds[s.kind].pieces[next[s.kind]];
            next[s.kind] += 1;
            let at = |units| problem.margin + problem.length(units);
            sheet.placed.push(Placed { piece, x: at(s.x), y: at(s.y), turned: s.turned });
        }
    }
}

/// Cuts and offcut, in exact lengths.
fn finish(pieces: &[Piece], size: &SheetSize, rules: &Rules, sheet: &mut SheetLayout) {
    // A kind counts the longer side as its width where it may turn; the piece itself may be given the other way round.
    for p in &mut sheet.placed {
        let piece = &pieces[p.piece];
        if piece.turns && piece.w < piece.d {
            p.turned = !p.turned;
        }
    }
    let spans: Vec<Rect> = sheet
        .placed
        .iter()
        .map(|p| {
            let piece = &pieces[p.piece];
            let (w, d) = if p.turned { (piece.d, piece.w) } else { (piece.w, piece.d) };
            Rect { x: p.x.nm(), y: p.y.nm(), w: w.nm(), d: d.nm() }
        })
        .collect();
    let whole = Rect { x: 0, y: 0, w: size.w.nm(), d: size.d.nm() };
    let spacing = rules.spacing.nm();
    let off = if rules.straight {
        match cuts::cuts(whole, &spans, spacing) {
            Some((cuts, off)) => {
                sheet.cuts = cuts;
                off
            }
            None => None,
        }
    } else {
        cuts::largest_free(whole, &spans, spacing)
    };
    let nm = Length::from_nm;
    sheet.offcut = off.map(|r| (nm(r.x), nm(r.y), nm(r.w), nm(r.d)));
}

/// Where building sheet by sheet used up all sheets: all of them at once.
fn all_sheets(problem: &Problem, state: State, stop: &Stop) -> State {
    let pieces: usize = problem.demand().iter().sum();
    let counts: Vec<usize> = problem.sizes.iter().map(|s| s.limit.min(pieces).min(MOST_SHEETS)).collect();
    let start = moved(problem, &state, &counts);
    settle(problem, start, 0, PATIENCE * 10, stop)
}

/// Tries cheaper and cheaper choices of sheets, with at most so many nodes.
fn improve(problem: &Problem, rows: &[Row], mut best: State, least: i128, most: u64, stop: &Stop) -> State {
    let before = stop.spent();
    let over = || stop.now() || stop.spent() - before > most;
    let mut cost = best.cost(problem);
    let mut patience = PATIENCE;
    let mut seed = 1;
    let mut tried: BTreeMap<Vec<usize>, State> = BTreeMap::new();
    'rounds: while cost > least && !over() {
        let targets = targets(problem, rows, &best, cost);
        if targets.is_empty() {
            break;
        }
        for counts in targets {
            seed += 1;
            // Every other time it goes on from where it gave up.
            let start = match tried.remove(&counts) {
                Some(state) if seed % 2 == 0 => state,
                _ => moved(problem, &best, &counts),
            };
            let state = settle(problem, start, seed, patience, stop);
            if state.left.is_empty() {
                best = state;
                cost = best.cost(problem);
                continue 'rounds;
            }
            tried.insert(counts, state);
            if over() {
                break 'rounds;
            }
        }
        patience *= 2;
    }
    best
}

/// Cheaper choices of sheets that no row forbids, those with most room first.
fn targets(problem: &Problem, rows: &[Row], best: &State, cost: i128) -> Vec<Vec<usize>> {
    let mut all = match bound::choices(problem, rows, cost, MOST_CHOICES) {
        Some(all) => all,
        None => neighbours(problem, rows, &best.counts(problem), cost),
    };
    let area =
        |c: &Vec<usize>| c.iter().zip(&problem.sizes).map(|(&n, s)| s.area() * n as i128).sum::<i128>();
    all.sort_by_key(|c| (std::cmp::Reverse(area(c)), c.clone()));
    all.truncate(MOST_TARGETS);
    all
}

/// One or two sheets replaced by none, one or two others, where that is cheaper.
fn neighbours(problem: &Problem, rows: &[Row], counts: &[usize], below: i128) -> Vec<Vec<usize>> {
    let n = problem.sizes.len();
    let none = n;
    let mut out: Vec<Vec<usize>> = Vec::new();
    let step = |c: &mut Vec<usize>, size: usize, up: bool| {
        if size == none {
            return true;
        }
        if up {
            c[size] += 1;
            c[size] <= problem.sizes[size].limit
        } else {
            c[size] > 0 && {
                c[size] -= 1;
                true
            }
        }
    };
    for a in 0..n {
        for b in a..=n {
            for x in 0..=n {
                for y in x..=n {
                    let mut c = counts.to_vec();
                    let fits = step(&mut c, a, false)
                        && step(&mut c, b, false)
                        && step(&mut c, x, true)
                        && step(&mut c, y, true);
                    let cost: i128 = c.iter().zip(&problem.sizes).map(|(&n, s)| s.cost * n as i128).sum();
                    let enough = |r: &Row| {
                        c.iter().zip(&r.caps).map(|(&n, cap)| n as i128 * cap).sum::<i128>() >= r.need
                    };
                    if fits && cost < below && rows.iter().all(enough) {
                        out.push(c);
                    }
                }
            }
        }
    }
    out.sort();
    out.dedup();
    out
}

//! Getting all pieces onto given sheets: what does not fit waits outside, and sheets are filled again and again, so that less
//! and less has to wait.

use super::exact::items;
use super::floor::{Chance, Floor, Rule};
use super::knapsack::{Cutting, best_sheet};
use super::reduced::{Problem, Spot};
use super::strips::fill_strips;
use crate::random::Random;
use crate::stop::Stop;

/// A sheet with what lies on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Filled {
    pub(super) size: usize,
    pub(super) spots: Vec<Spot>,
}

/// Sheets, and the kinds of the pieces that found no room.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub(super) struct State {
    pub(super) sheets: Vec<Filled>,
    pub(super) left: Vec<usize>,
}

impl State {
    /// Cost of all sheets that hold something.
    pub(super) fn cost(&self, problem: &Problem) -> i128 {
        self.sheets.iter().filter(|s| !s.spots.is_empty()).map(|s| problem.sizes[s.size].cost).sum()
    }

    /// How many sheets of each size hold something.
    pub(super) fn counts(&self, problem: &Problem) -> Vec<usize> {
        let mut counts = vec![0; problem.sizes.len()];
        self.sheets.iter().filter(|s| !s.spots.is_empty()).for_each(|s| counts[s.size] += 1);
        counts
    }

    fn waiting(&self, problem: &Problem) -> i128 {
        self.left.iter().map(|&k| problem.kinds[k].area()).sum()
    }
}

/// Pieces that are tried again at once beside those of the sheets chosen.
const MOST_WAITING: usize = 24;
/// On sheets with more pieces than this, often only a window is emptied.
const MANY: usize = 6;

/// Sorts kinds by one of several sizes, largest first, each blurred by up to `blur`.
fn order(problem: &Problem, pool: &mut [usize], by: usize, blur: f64, random: &mut Random) {
    let mut keyed: Vec<(f64, usize)> = pool
        .iter()
        .map(|&k| {
            let kind = &problem.kinds[k];
            let (w, d) = (kind.w as f64, kind.d as f64);
            let key = match by {
                0 => w * d,
                1 => w.max(d),
                2 => w.min(d),
                3 => w + d,
                4 => w,
                _ => d,
            };
            (key * (1.0 + blur * random.unit()), k)
        })
        .collect();
    keyed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    for (p, (_, k)) in pool.iter_mut().zip(keyed) {
        *p = k;
    }
}

/// Puts the pieces one by one where they go best; those that find no room are returned.
fn place(problem: &Problem, floors: &mut [Floor], pool: &[usize], rule: Rule, first: bool) -> Vec<usize> {
    let mut left = Vec::new();
    let mut no_room: Vec<usize> = Vec::new();
    for &k in pool {
        if no_room.contains(&k) {
            left.push(k);
            continue;
        }
        let kind = &problem.kinds[k];
        let mut best: Option<(Chance, usize)> = None;
        for (f, floor) in floors.iter_mut().enumerate() {
            if let Some(chance) = floor.best(kind, rule) {
                if best.is_none_or(|(b, _)| chance < b) {
                    best = Some((chance, f));
                }
                if first {
                    break;
                }
            }
        }
        match best {
            Some((chance, f)) => floors[f].put(k, kind, chance),
            None => {
                no_room.push(k);
                left.push(k);
            }
        }
    }
    left
}

/// Whether one of the kind is still there; takes it away.
fn taken(counts: &mut [usize], kind: usize) -> bool {
    let there = counts[kind] > 0;
    counts[kind] -= usize::from(there);
    there
}

/// Fills an empty sheet strip by strip.
fn fill_floor(problem: &Problem, floor: &mut Floor, counts: &mut [usize], random: &mut Random) {
    let (w, d) = floor.sides();
    for spot in fill_strips(problem, w, d, counts, random) {
        floor.put_spot(spot, &problem.kinds[spot.kind]);
    }
}

/// Fills free places instead: at the foremost corner goes the piece that fits it best, among those large enough to matter.
fn fill_corners(problem: &Problem, floors: &mut [Floor], pool: &[usize], random: &mut Random) -> Vec<usize> {
    let mut counts = vec![0usize; problem.kinds.len()];
    pool.iter().for_each(|&k| counts[k] += 1);
    let mut kinds: Vec<usize> = (0..counts.len()).filter(|&k| counts[k] > 0).collect();
    // Drawn once for the whole filling, so that it has a taste of its own.
    let power: f64 = [0.5, 1.0, 2.0][random.below(3)];
    let exact: f64 = [1.2, 2.0, 4.0][random.below(3)];
    let along = random.below(2) == 0;
    for floor in floors.iter_mut() {
        let worth: Vec<f64> = problem
            .kinds
            .iter()
            .map(|k| (k.area() as f64).powf(power) * (0.6 + 0.4 * random.unit()))
            .collect();
        let mut dead: Vec<(i64, i64)> = Vec::new();
        while let Some(corner) = floor.corner(&dead, along) {
            let mut chances: Vec<(f64, usize, Chance)> = Vec::new();
            for &k in &kinds {
                floor.at_corner(&problem.kinds[k], corner, |chance, fits| {
                    chances.push((worth[k] * exact.powi(fits), k, chance));
                });
            }
            chances.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
            match chances.iter().find(|c| floor.allows(&problem.kinds[c.1], c.2)) {
                Some(&(_, k, chance)) => {
                    floor.put(k, &problem.kinds[k], chance);
                    counts[k] -= 1;
                    if counts[k] == 0 {
                        kinds.retain(|&o| o != k);
                    }
                }
                None => dead.push(corner),
            }
            if kinds.is_empty() {
                break;
            }
        }
    }
    kinds.iter().flat_map(|&k| std::iter::repeat_n(k, counts[k])).collect()
}

/// Fillings by strips tried for a sheet while building.
const STRIP_TRIES: usize = 6;

/// Fills sheet after sheet, each with the size and the order that use it best for its cost; the last one is the cheapest that
/// takes all the rest. Repeated with different rules; the cheapest of all is returned.
pub(super) fn construct(problem: &Problem, stop: &Stop) -> State {
    let mut best: Option<(bool, i128, State)> = None;
    let mut random = Random::new(1);
    for by in 0..4 {
        for rule in Rule::ALL {
            let state = construct_once(problem, by, rule, &mut random, stop);
            let key = (!state.left.is_empty(), state.cost(problem));
            if best.as_ref().is_none_or(|b| key < (b.0, b.1)) {
                best = Some((key.0, key.1, state));
            }
            if stop.now() {
                break;
            }
        }
    }
    if problem.straight && problem.kinds.len() <= MOST_KINDS {
        let state = cut_best(problem, stop);
        let key = (!state.left.is_empty(), state.cost(problem));
        if best.as_ref().is_none_or(|b| key < (b.0, b.1)) {
            best = Some((key.0, key.1, state));
        }
    }
    best.map(|b| b.2).unwrap_or_default()
}

/// Nodes for the best cutting of one sheet while building, and for all of them.
const CUT_NODES: u64 = 10_000;
const ALL_CUT_NODES: u64 = 100_000;
/// With more kinds than this the best cutting of a sheet is out of reach.
const MOST_KINDS: usize = 24;

/// Sheet by sheet the cutting of most area for its cost, exact as far as its nodes go.
fn cut_best(problem: &Problem, stop: &Stop) -> State {
    let mut counts = problem.demand();
    let mut used = vec![0; problem.sizes.len()];
    let mut state = State::default();
    let before = stop.spent();
    while counts.iter().any(|&n| n > 0) && stop.spent() - before < ALL_CUT_NODES && !stop.now() {
        let (items, kinds) = items(problem, &counts);
        let all: i64 = items.iter().map(|i| i.value * i.count as i64).sum();
        // Whether it takes all, its price, what it takes.
        let mut best: Option<(bool, i128, Cutting, usize)> = None;
        for (s, size) in problem.sizes.iter().enumerate().filter(|(s, size)| used[*s] < size.limit) {
            let slice = stop.share(CUT_NODES);
            let cutting = best_sheet(size.w, size.d, &items, 0, &slice);
            stop.spend(slice.spent().min(CUT_NODES));
            let whole = cutting.value == all;
            let better = best.as_ref().is_none_or(|b| match (whole, b.0) {
                (true, true) => size.cost < b.1,
                (false, false) => size.cost as f64 * (b.2.value as f64) < b.1 as f64 * cutting.value as f64,
                (whole, _) => whole,
            });
            if cutting.value > 0 && better {
                best = Some((whole, size.cost, cutting, s));
            }
        }
        let Some((_, _, cutting, s)) = best else { break };
        let spots: Vec<Spot> =
            cutting.spots.into_iter().map(|spot| Spot { kind: kinds[spot.kind], ..spot }).collect();
        spots.iter().for_each(|spot| counts[spot.kind] -= 1);
        used[s] += 1;
        state.sheets.push(Filled { size: s, spots });
    }
    state.left = counts.iter().enumerate().flat_map(|(k, &n)| std::iter::repeat_n(k, n)).collect();
    state
}

fn construct_once(problem: &Problem, by: usize, rule: Rule, random: &mut Random, stop: &Stop) -> State {
    let mut pool: Vec<usize> = Vec::new();
    for (k, kind) in problem.kinds.iter().enumerate() {
        pool.extend(std::iter::repeat_n(k, kind.pieces.len()));
    }
    order(problem, &mut pool, by, 0.0, random);
    let mut state = State::default();
    let mut used = vec![0; problem.sizes.len()];
    while !pool.is_empty() {
        // Whole or not, price for what is taken: kept exact by cross multiplication.
        let mut best: Option<(bool, i128, i128, Floor, usize, Vec<usize>)> = None;
        for (s, size) in problem.sizes.iter().enumerate().filter(|(s, size)| used[*s] < size.limit) {
            stop.spend(pool.len() as u64);
            let mut floors = [Floor::new(size.w, size.d, problem.straight)];
            let mut left = place(problem, &mut floors, &pool, rule, false);
            let [mut floor] = floors;
            for _ in 0..if problem.straight { STRIP_TRIES } else { 0 } {
                let mut counts = vec![0usize; problem.kinds.len()];
                pool.iter().for_each(|&k| counts[k] += 1);
                let mut strips = Floor::new(size.w, size.d, true);
                fill_floor(problem, &mut strips, &mut counts, random);
                if strips.used() > floor.used() {
                    floor = strips;
                    left = pool.iter().copied().filter(|&k| taken(&mut counts, k)).collect();
                }
            }
            if floor.spots.is_empty() {
                continue;
            }
            let (whole, taken) = (left.is_empty(), floor.used());
            let better = best.as_ref().is_none_or(|b| match (whole, b.0) {
                (true, true) => size.cost < b.1,
                (false, false) => size.cost as f64 * (b.2 as f64) < b.1 as f64 * taken as f64,
                (whole, _) => whole,
            });
            if better {
                best = Some((whole, size.cost, taken, floor, s, left));
            }
        }
        let Some((_, _, _, floor, s, left)) = best else { break };
        used[s] += 1;
        state.sheets.push(Filled { size: s, spots: floor.spots });
        pool = left;
    }
    state.left = pool;
    state
}

/// The same pieces on other sheets: sheets of sizes that remain keep theirs, fullest first; the rest waits.
pub(super) fn moved(problem: &Problem, from: &State, counts: &[usize]) -> State {
    let used = |f: &Filled| f.spots.iter().map(|s| problem.kinds[s.kind].area()).sum::<i128>();
    let mut sheets: Vec<&Filled> = from.sheets.iter().collect();
    sheets.sort_by_key(|f| std::cmp::Reverse(used(f)));
    let mut room = counts.to_vec();
    let mut to = State { sheets: Vec::new(), left: from.left.clone() };
    for f in sheets {
        if room[f.size] > 0 {
            room[f.size] -= 1;
            to.sheets.push(f.clone());
        } else {
            to.left.extend(f.spots.iter().map(|s| s.kind));
        }
    }
    for (size, &n) in room.iter().enumerate() {
        to.sheets.extend((0..n).map(|_| Filled { size, spots: Vec::new() }));
    }
    to
}

/// Tries to get what waits onto the sheets, until nothing waits, the stop ends it, or `patience` nodes brought nothing. The
/// state with the least area waiting is returned.
pub(super) fn settle(problem: &Problem, start: State, seed: u64, patience: u64, stop: &Stop) -> State {
    let mut random = Random::new(seed);
    let mut now = start;
    let mut best = now.clone();
    if now.sheets.is_empty() {
        return best;
    }
    let pieces: usize = problem.kinds.iter().map(|k| k.pieces.len()).sum();
    let mean: f64 =
        problem.kinds.iter().map(|k| k.area() as f64 * k.pieces.len() as f64).sum::<f64>() / pieces as f64;
    let mut best_waiting = best.waiting(problem);
    let mut waiting = best_waiting;
    let mut idle = 0;
    while best_waiting > 0 && idle < patience {
        let step = Step::draw(problem, &now, &mut random);
        let (floors, left) = step.fill(problem, &now, &mut random);
        idle += step.tried as u64 + 1;
        let after: i128 = left.iter().map(|&k| problem.kinds[k].area()).sum();
        let heat = mean * 0.15 * (1.0 - idle as f64 / patience as f64).max(0.0);
        let worse = (after - waiting) as f64;
        if worse <= 0.0 || (heat > 0.0 && random.unit() < (-worse / heat).exp()) {
            for (&s, floor) in step.sheets.iter().zip(floors) {
                now.sheets[s].spots = floor.spots;
            }
            now.left = left;
            waiting = after;
            if waiting < best_waiting {
                best_waiting = waiting;
                best = now.clone();
                idle = 0;
            }
        }
        if stop.spend(step.work(&now)) {
            break;
        }
    }
    best
}

/// What one step empties.
struct Step {
    sheets: Vec<usize>,
    /// Spots of each that stay.
    stay: Vec<Vec<Spot>>,
    pool: Vec<usize>,
    /// Waiting pieces that are not tried this time.
    rest: Vec<usize>,
    tried: usize,
}

impl Step {
    fn draw(problem: &Problem, now: &State, random: &mut Random) -> Step {
        let all = now.sheets.len();
        let many = match random.below(20) {
            0..=7 => 1,
            8..=15 => 2,
            16..=18 => 3,
            _ => 4,
        }
        .min(all);
        let mut sheets: Vec<usize> = Vec::with_capacity(many);
        while sheets.len() < many {
            let s = random.below(all);
            if !sheets.contains(&s) {
                sheets.push(s);
            }
        }
        let mut waiting = now.left.clone();
        random.shuffle(&mut waiting);
        let rest = waiting.split_off(waiting.len().min(MOST_WAITING));
        let mut pool = waiting;
        let mut stay = Vec::with_capacity(many);
        for &s in &sheets {
            let filled = &now.sheets[s];
            let size = &problem.sizes[filled.size];
            let mut kept = Vec::new();
            if filled.spots.len() > MANY && random.below(3) > 0 {
                // A window of a third to nine tenths of each side.
                let part = |whole: i64, random: &mut Random| {
                    let span = (whole as f64 * (0.3 + 0.6 * random.unit())) as i64;
                    let from =
                        ((whole - span) as f64 * random.unit() * 1.2 - 0.1 * (whole - span) as f64) as i64;
                    (from, from + span)
                };
                let (x0, x1) = part(size.w, random);
                let (y0, y1) = part(size.d, random);
                for spot in &filled.spots {
                    let (w, d) = problem.kinds[spot.kind].lying(spot.turned);
                    if spot.x < x1 && spot.x + w > x0 && spot.y < y1 && spot.y + d > y0 {
                        pool.push(spot.kind);
                    } else {
                        kept.push(*spot);
                    }
                }
            } else {
                pool.extend(filled.spots.iter().map(|s| s.kind));
            }
            stay.push(kept);
        }
        let tried = pool.len() + stay.iter().map(Vec::len).sum::<usize>();
        Step { sheets, stay, pool, rest, tried }
    }

    /// Nodes that a filling counts as: the more lie on a sheet, the more places each piece looks at.
    fn work(&self, now: &State) -> u64 {
        let on = |&s: &usize| (now.sheets[s].spots.len() + self.pool.len() / self.sheets.len()) as u64;
        self.sheets.iter().map(on).map(|n| 1 + n + n * n / 16).sum()
    }

    fn fill(&self, problem: &Problem, now: &State, random: &mut Random) -> (Vec<Floor>, Vec<usize>) {
        let mut floors: Vec<Floor> = Vec::with_capacity(self.sheets.len());
        for (&s, stay) in self.sheets.iter().zip(&self.stay) {
            let size = &problem.sizes[now.sheets[s].size];
            let mut floor = Floor::new(size.w, size.d, problem.straight);
            for spot in stay {
                floor.put_spot(*spot, &problem.kinds[spot.kind]);
            }
            floors.push(floor);
        }
        let mut pool = self.pool.clone();
        let by = [0, 0, 0, 1, 2, 3, 4, 5][random.below(8)];
        let blur = [0.0, 0.2, 0.5, 1.0][random.below(4)];
        order(problem, &mut pool, by, blur, random);
        let rule = Rule::ALL[random.below(Rule::ALL.len())];
        let first = random.below(2) == 0;
        let corners = self.tried > MANY * self.sheets.len() && random.below(2) == 0;
        let empty = self.stay.iter().all(Vec::is_empty);
        let mut left = if problem.straight && empty && (corners || random.below(2) == 0) {
            let mut counts = vec![0usize; problem.kinds.len()];
            pool.iter().for_each(|&k| counts[k] += 1);
            for floor in &mut floors {
                fill_floor(problem, floor, &mut counts, random);
            }
            let rest: Vec<usize> = pool.into_iter().filter(|&k| taken(&mut counts, k)).collect();
            place(problem, &mut floors, &rest, rule, first)
        } else if corners {
            fill_corners(problem, &mut floors, &pool, random)
        } else {
            place(problem, &mut floors, &pool, rule, first)
        };
        left.extend_from_slice(&self.rest);
        (floors, left)
    }
}

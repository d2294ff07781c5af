//! Quick packing: corner-filling constructions in several orders, then a short climb over order and outlines.

use std::ops::Deref;

use super::field::{Field, Shadow, Shape};
use super::slice::Slice;
use super::{Floor, MOST_PIECES, Piece, Spot};
use crate::random::Random;
use crate::stop::Stop;

/// Tries `tries` constructions (a few microseconds each at a dozen pieces) and returns the first that places
/// every piece. Same arguments, same answer. `None` says nothing about whether a packing exists.
///
/// ```
/// use traywright::layout::pack::{Floor, Piece, pack_quick};
/// let floor = Floor { w: 5, d: 2, between: 1, ..Floor::default() };
/// let piece = Piece { shapes: vec![(2, 2)], ..Piece::default() };
/// assert_eq!(pack_quick(&floor, &[piece.clone(), piece], 1, 0).map(|s| s[1].x), Some(3));
/// ```
pub fn pack_quick(floor: &Floor, pieces: &[Piece], tries: usize, seed: u64) -> Option<Vec<Spot>> {
    let stop = Stop::never();
    attempt(&Field::new(floor, pieces)?, tries, seed, &Slice::new(&stop, u64::MAX))
}

#[derive(Clone)]
struct Draft {
    order: Vec<usize>,
    /// Per body, which of its outlines.
    choice: Vec<usize>,
    /// Fill from the front (else from the left).
    front: bool,
}

/// Constructions, each from the best before it; it can be left and gone on with.
pub(super) struct Climb<F> {
    field: F,
    /// Most area of all outlines together.
    budget: i64,
    random: Random,
    room: Room,
    best: Option<(i64, Draft)>,
    tried: usize,
}

impl<F: Deref<Target = Field>> Climb<F> {
    /// At the start.
    pub(super) fn new(field: F, budget: i64, seed: u64) -> Climb<F> {
        Climb { field, budget, random: Random::new(seed), room: Room::default(), best: None, tried: 0 }
    }

    /// Starts anew.
    pub(super) fn restart(&mut self, budget: i64, seed: u64) {
        (self.budget, self.random, self.best, self.tried) = (budget, Random::new(seed), None, 0);
    }

    /// Asks for so much less from now on.
    pub(super) fn tighten(&mut self, by: i64) {
        self.budget -= by;
        // What had everything, and was not too large, may be so now.
        if let Some((missing @ 0, draft)) = &mut self.best {
            *missing = (outlines(&self.field, draft) - self.budget).max(0);
        }
    }

    /// Goes on until everything is placed or `ends`, asked before each construction, says so.
    pub(super) fn go(&mut self, ends: &mut dyn FnMut() -> bool) -> Option<Vec<Spot>> {
        if self.field.bodies.iter().any(|b| b.shapes.is_empty()) {
            return None;
        }
        while !ends() {
            let draft = match &self.best {
                Some((_, d)) if self.tried >= PLAIN.len() => moved(&self.field, d, &mut self.random),
                _ => plain(&self.field, PLAIN[self.tried % PLAIN.len()]),
            };
            self.tried += 1;
            let mut missing = self.room.build(&self.field, &draft);
            if missing == 0 {
                missing = (outlines(&self.field, &draft) - self.budget).max(0);
                if missing == 0 {
                    self.best = Some((0, draft));
                    return Some(self.field.spots(&self.room.placed));
                }
            }
            if self.best.as_ref().is_none_or(|(least, _)| missing <= *least) {
                self.best = Some((missing, draft));
            }
        }
        None
    }
}

/// At most so many constructions; ends early with the slice, which counts one node for each.
pub(super) fn attempt(field: &Field, tries: usize, seed: u64, slice: &Slice) -> Option<Vec<Spot>> {
    // A construction is cubic in the number of pieces; beyond a few hundred only the plain orders are tried.
    let tries = if field.bodies.len() > MOST_PIECES { tries.min(2) } else { tries };
    let mut left = tries;
    Climb::new(field, field.budget, seed).go(&mut || {
        let Some(less) = left.checked_sub(1) else { return true };
        left = less;
        slice.spend()
    })
}

#[derive(Clone, Copy)]
enum By {
    Area,
    Longest,
    Width,
    Depth,
}

/// The orders tried first, and whether each fills from the front.
const PLAIN: [(By, bool); 6] = [
    (By::Area, true),
    (By::Longest, true),
    (By::Width, true),
    (By::Area, false),
    (By::Depth, true),
    (By::Depth, false),
];

/// Every body in its outline of least area, the largest first by the given measure.
fn plain(field: &Field, (by, front): (By, bool)) -> Draft {
    let choice: Vec<usize> = field
        .bodies
        .iter()
        .map(|b| {
            let least = |(_, s): &(usize, &Shape)| (s.area(), s.w.max(s.d));
            b.shapes.iter().enumerate().min_by_key(least).map_or(0, |(i, _)| i)
        })
        .collect();
    let mut order: Vec<usize> = (0..field.bodies.len()).collect();
    order.sort_by_key(|&i| {
        let Some(s) = chosen(field, &choice, i) else { return 0 };
        -match by {
            By::Area => s.area(),
            By::Longest => s.w.max(s.d),
            By::Width => s.w,
            By::Depth => s.d,
        }
    });
    Draft { order, choice, front }
}

fn chosen(field: &Field, choice: &[usize], body: usize) -> Option<Shape> {
    field.bodies.get(body)?.shapes.get(*choice.get(body)?).copied()
}

/// Area of the chosen outlines together, gaps not counted.
fn outlines(field: &Field, draft: &Draft) -> i64 {
    if field.budget == i64::MAX {
        return 0;
    }
    let shape =
        |i: usize| chosen(field, &draft.choice, i).map_or(0, |s| field.outline(field.bodies[i].class, s));
    (0..field.bodies.len()).map(shape).sum()
}

/// The draft after one or two random moves.
fn moved(field: &Field, draft: &Draft, random: &mut Random) -> Draft {
    let mut d = draft.clone();
    let n = d.order.len();
    for _ in 0..=random.below(2) {
        match random.below(8) {
            0 => d.front = !d.front,
            1..=3 => {
                let body = random.below(n);
                let shapes = field.bodies.get(body).map_or(0, |b| b.shapes.len());
                if let Some(c) = d.choice.get_mut(body) {
                    *c = random.below(shapes);
                }
            }
            4 | 5 => d.order.swap(random.below(n), random.below(n)),
            _ => {
                let (from, to) = (random.below(n), random.below(n));
                let (a, b) = (from.min(to), from.max(to));
                if let Some(run) = d.order.get_mut(a..=b) {
                    run.rotate_right(1);
                }
            }
        }
    }
    d
}

#[derive(Default)]
struct Room {
    placed: Vec<(usize, Shape, i64, i64)>,
    shadows: [Vec<Shadow>; 2],
    xs: Vec<i64>,
    ys: Vec<i64>,
}

impl Room {
    /// Places what it can, and returns the area of the rest.
    fn build(&mut self, field: &Field, draft: &Draft) -> i64 {
        self.placed.clear();
        self.shadows[0].clone_from(&field.blocked);
        self.shadows[1].clear();
        let mut missing = 0;
        // Held bodies first: everything else makes room for them.
        for held in [true, false] {
            for &i in &draft.order {
                let Some(body) = field.bodies.get(i) else { continue };
                if body.at.is_some() != held {
                    continue;
                }
                let Some(s) = chosen(field, &draft.choice, i) else { continue };
                let place = match body.at {
                    Some((x, y)) => self.clear(body.class, x, y, s).then_some((x, y)),
                    None => self.first(field, body.class, s, draft.front),
                };
                match place {
                    Some((x, y)) => {
                        self.placed.push((i, s, x, y));
                        let [t, k] = field.shadows(body.class, x, y, s);
                        self.shadows[0].push(t);
                        self.shadows[1].push(k);
                    }
                    None => missing += s.area(),
                }
            }
        }
        missing
    }

    fn clear(&self, class: usize, x: i64, y: i64, s: Shape) -> bool {
        !self.shadows[class].iter().any(|o| o.hit(x, y, s))
    }

    /// The first free place, row by row from the front (or column by column from the left).
    fn first(&mut self, field: &Field, class: usize, s: Shape, front: bool) -> Option<(i64, i64)> {
        let f = field.frames[class];
        let shadows = &self.shadows[class];
        self.xs.clear();
        self.ys.clear();
        self.xs.push(f.x0);
        self.ys.push(f.y0);
        for o in shadows {
            if o.x1 > f.x0 && o.x1 + s.w <= f.x1 {
                self.xs.push(o.x1);
            }
            if o.y1 > f.y0 && o.y1 + s.d <= f.y1 {
                self.ys.push(o.y1);
            }
        }
        self.xs.sort_unstable();
        self.xs.dedup();
        self.ys.sort_unstable();
        self.ys.dedup();
        let (outer, inner) = if front { (&self.ys, &self.xs) } else { (&self.xs, &self.ys) };
        for &a in outer {
            let mut from = i64::MIN;
            for &b in inner {
                if b < from {
                    continue;
                }
                let (x, y) = if front { (b, a) } else { (a, b) };
                match shadows.iter().find(|o| o.hit(x, y, s)) {
                    None => return Some((x, y)),
                    Some(o) => from = if front { o.x1 } else { o.y1 },
                }
            }
        }
        None
    }
}

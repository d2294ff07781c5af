//! Where a next piece can go.

use std::ops::Deref;

use super::super::field::{Field, KEPT, Shape, TRAY};
use super::super::stairs::{Notch, Stairs, notches, shadowed, under};
use super::{Corners, Kind, Level, Move, Share, in_quarter};

/// What one piece of a kind may take.
struct Terms<'k> {
    number: usize,
    kind: &'k Kind,
    most: Share,
    /// Area that it may take from all others, its own with it.
    within: i64,
    /// It must stand in the left front quarter.
    quarter: bool,
}

impl<F: Deref<Target = Field>> Corners<F> {
    /// All places where a next piece can go, when so much is to spare and `tight` of the area.
    pub(super) fn moves(&self, level: &mut Level, spare: Share, tight: i64) {
        let region = self.region();
        let in_quarter = self.placed.iter().any(|p| p.in_quarter);
        for class in [TRAY, KEPT].into_iter().filter(|c| self.needed[*c]) {
            let all = self.kinds.iter().zip(&level.least).enumerate();
            let terms =
                all.filter(|(_, (k, _))| k.left > 0 && k.class == class).map(|(number, (kind, least))| {
                    Terms {
                        number,
                        kind,
                        most: Share { area: least.area + tight, price: least.price + spare.price },
                        // What a move wastes may be part of what rows waste anyway: it is held against all that is spare.
                        within: if region == class { least.area + spare.area } else { i64::MAX },
                        quarter: kind.quarter && kind.left == 1 && !in_quarter,
                    }
                });
            for terms in terms {
                if self.free_of_obstacles {
                    self.in_notches(&terms, &level.stairs[class], &mut level.moves);
                } else {
                    self.touching(&terms, &level.stairs[class], &mut level.moves);
                }
            }
        }
        level.moves.sort_by_key(|m| (m.x, m.y, -m.shape.area()));
    }

    /// Places at inner corners.
    fn in_notches(&self, terms: &Terms, stairs: &Stairs, moves: &mut Vec<Move>) {
        let f = self.frames[terms.kind.class];
        for Notch { x, y, right, back } in notches(stairs, f) {
            let run = self.run(x);
            for (shape, price) in terms.kind.within(f.x1 - x, f.y1 - y, terms.most) {
                // What lies within its notch takes no more than its own area.
                let reaches_over = x + shape.w > right || y + shape.d > back;
                if (!reaches_over || self.shadowed(terms.kind.class, stairs, (x, y), shape) <= terms.within)
                    && self.allowed(terms, shape, (x, y), run)
                {
                    moves.push(Move { kind: terms.number, shape, price, x, y });
                }
            }
        }
    }

    /// Places among obstacles that touch something on the left and something in front.
    fn touching(&self, terms: &Terms, stairs: &Stairs, moves: &mut Vec<Move>) {
        let class = terms.kind.class;
        let f = self.frames[class];
        let obstacles = &self.obstacles[class];
        let mut xs: Vec<i64> = vec![f.x0];
        let mut ys: Vec<i64> = vec![f.y0];
        xs.extend(stairs.iter().map(|p| p.0).chain(obstacles.iter().map(|o| o.x1)));
        ys.extend(stairs.iter().map(|p| p.1).chain(obstacles.iter().map(|o| o.y1)));
        for v in [&mut xs, &mut ys] {
            v.sort_unstable();
            v.dedup();
        }
        let open = |x, y, s: Shape| !under(stairs, x, y) && !obstacles.iter().any(|o| o.hit(x, y, s));
        for &x in xs.iter().filter(|x| **x >= f.x0 && **x < f.x1) {
            let run = self.run(x);
            for &y in ys.iter().filter(|y| **y >= f.y0 && **y < f.y1) {
                if under(stairs, x, y) {
                    continue;
                }
                for (shape, price) in terms.kind.within(f.x1 - x, f.y1 - y, terms.most) {
                    if open(x, y, shape)
                        && (x == f.x0 || !open(x - 1, y, shape))
                        && (y == f.y0 || !open(x, y - 1, shape))
                        && self.shadowed(class, stairs, (x, y), shape) <= terms.within
                        && self.allowed(terms, shape, (x, y), run)
                    {
                        moves.push(Move { kind: terms.number, shape, price, x, y });
                    }
                }
            }
        }
    }

    /// Whether placing this now is the first order by left edges, and the quarter rule holds.
    fn allowed(&self, terms: &Terms, s: Shape, (x, y): (i64, i64), run: Option<usize>) -> bool {
        let Kind { class, .. } = *terms.kind;
        (!terms.quarter || in_quarter(self.frames[class], s, x, y)) && self.follows(class, s, (x, y), run)
    }

    /// The last pieces placed, from the last one on that stands further right than this: something that comes now must be
    /// related to one of them.
    pub(super) fn run(&self, x: i64) -> Option<usize> {
        self.placed.iter().rposition(|p| p.x > x)
    }

    /// Whether one of these last pieces is related to this one.
    pub(super) fn follows(&self, class: usize, s: Shape, (x, y): (i64, i64), run: Option<usize>) -> bool {
        let Some(run) = run.and_then(|from| self.placed.get(from..)) else { return true };
        run.iter().any(|p| {
            let o = &p.shadows[class];
            o.x0 < x + s.w && o.y0 < y + s.d
        })
    }

    /// The area that is lost to all others when a piece is placed, its own with it.
    fn shadowed(&self, class: usize, stairs: &Stairs, (x, y): (i64, i64), s: Shape) -> i64 {
        let f = self.frames[class];
        let (x, y) = (x + s.w, y + s.d);
        let taken = self.taken[class].iter().map(|o| shadowed(stairs, f.part(o), x.min(o.x1), y.min(o.y1)));
        shadowed(stairs, f, x, y) - taken.sum::<i64>()
    }
}

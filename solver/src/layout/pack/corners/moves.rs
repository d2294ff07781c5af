//! Where a next piece can go.

use std::ops::Deref;

use super::super::field::{Field, KEPT, Shape, TRAY};
use super::super::stairs::{Notch, Stairs, notches, reach, shadowed, under};
use super::alive::{Alive, Choice};
use super::{Corners, Level, Move, Share, in_quarter};

/// What all pieces of one class may take.
struct Terms<'l> {
    class: usize,
    alive: &'l Alive,
    /// By kind: what one piece takes at least.
    least: &'l [Share],
    /// Area that is to spare, where what is lost to this class is lost to all.
    spare: i64,
    /// A piece stands in the left front quarter.
    in_quarter: bool,
}

impl<F: Deref<Target = Field>> Corners<F> {
    /// All places where a next piece can go, when so much is to spare.
    pub(super) fn moves(&self, level: &mut Level, spare: Share) {
        let region = self.region();
        let in_quarter = self.placed.iter().any(|p| p.in_quarter);
        let Level { stairs, moves, least, alive, .. } = level;
        for class in [TRAY, KEPT].into_iter().filter(|c| self.needed[*c]) {
            let terms = Terms {
                class,
                alive: &alive[class],
                least,
                // What a move wastes may be part of what rows waste anyway: it is held against all that is spare.
                spare: if region == class { spare.area } else { i64::MAX / 2 },
                in_quarter,
            };
            if self.free_of_obstacles {
                self.in_notches(&terms, &stairs[class], moves);
            } else {
                self.touching(&terms, &stairs[class], moves);
            }
        }
        moves.sort_by_key(|m| (m.x, m.y, -m.shape.area()));
    }

    /// Places at inner corners.
    fn in_notches(&self, terms: &Terms, stairs: &Stairs, moves: &mut Vec<Move>) {
        let f = self.frames[terms.class];
        for Notch { x, y, right, back, before } in notches(stairs, f) {
            let run = self.run(x);
            let reach = reach(stairs, f, before, terms.spare);
            for c in self.choices.within(terms.alive, (reach.0 - x, reach.1 - y)) {
                // What lies within its notch takes no more than its own area.
                let reaches_over = x + c.shape.w > right || y + c.shape.d > back;
                if (!reaches_over || self.affords(terms, c, stairs, (x, y)))
                    && self.allowed(terms, c, (x, y), run)
                {
                    moves.push(Move { kind: c.kind, shape: c.shape, price: c.share.price, x, y });
                }
            }
        }
    }

    /// Places among obstacles that touch something on the left and something in front.
    fn touching(&self, terms: &Terms, stairs: &Stairs, moves: &mut Vec<Move>) {
        let class = terms.class;
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
        let free = |x, y, s: Shape| !obstacles.iter().any(|o| o.hit(x, y, s));
        for &x in xs.iter().filter(|x| **x >= f.x0 && **x < f.x1) {
            let run = self.run(x);
            for &y in ys.iter().filter(|y| **y >= f.y0 && **y < f.y1) {
                if under(stairs, x, y) {
                    continue;
                }
                // What is there already at the corner is there for all outlines; else only an obstacle that ends here can be.
                let left = x == f.x0 || under(stairs, x - 1, y);
                let front = y == f.y0 || under(stairs, x, y - 1);
                if (!left && obstacles.iter().all(|o| o.x1 != x))
                    || (!front && obstacles.iter().all(|o| o.y1 != y))
                {
                    continue;
                }
                for c in self.choices.within(terms.alive, (f.x1 - x, f.y1 - y)) {
                    if free(x, y, c.shape)
                        && (left || !free(x - 1, y, c.shape))
                        && (front || !free(x, y - 1, c.shape))
                        && self.affords(terms, c, stairs, (x, y))
                        && self.allowed(terms, c, (x, y), run)
                    {
                        moves.push(Move { kind: c.kind, shape: c.shape, price: c.share.price, x, y });
                    }
                }
            }
        }
    }

    /// Whether what it takes from all others, its own area with it, is to spare.
    fn affords(&self, terms: &Terms, c: &Choice, stairs: &Stairs, at: (i64, i64)) -> bool {
        let least = terms.least.get(c.kind).map_or(0, |l| l.area);
        self.shadowed(terms.class, stairs, at, c.shape) <= least + terms.spare
    }

    /// Whether placing this now is the first order by left edges, and the quarter rule holds.
    fn allowed(&self, terms: &Terms, c: &Choice, (x, y): (i64, i64), run: Option<usize>) -> bool {
        let last = self.kinds.get(c.kind).is_some_and(|k| k.quarter && k.left == 1);
        let quarter = last && !terms.in_quarter;
        (!quarter || in_quarter(self.frames[terms.class], c.shape, x, y))
            && self.follows(terms.class, c.shape, (x, y), run)
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

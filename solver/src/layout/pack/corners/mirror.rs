//! Rectangles of placed pieces that could be mirrored.
//!
//! Of all packings only one with the least *weight* has to be met: the sum of the pieces' coordinates, each times the
//! weight of its kind. Where placed pieces fill a rectangle into which nothing else can come any more, they can be
//! mirrored within it; if that weighs less, no packing that goes on from here is the one of least weight. Only where all
//! pieces are of one class: others see rectangles of different sizes.

use std::ops::Deref;

use super::super::field::{Field, Shadow};
use super::super::stairs::Stairs;
use super::{BOTH, Corners, Placed, in_quarter};

impl<F: Deref<Target = Field>> Corners<F> {
    /// Whether pieces that fill a rectangle with the last one could be mirrored within it so that all weighs less.
    pub(super) fn mirrors(&self, stairs: &Stairs) -> bool {
        let Some((last, others)) = self.placed.split_last() else { return false };
        !self.needed[BOTH]
            && others.iter().any(|p| self.closed(p, last, stairs).is_some_and(|r| self.lighter(&r)))
    }

    /// The least rectangle around two pieces that cuts no other, if it is all under the stairs and free of obstacles.
    fn closed(&self, a: &Placed, b: &Placed, stairs: &Stairs) -> Option<Shadow> {
        let under = |r: &Shadow| stairs.iter().any(|p| p.0 >= r.x1 && p.1 >= r.y1);
        let mut r = around(&a.reach(), &b.reach());
        let mut k = 0;
        while under(&r) {
            let Some(p) = self.placed.get(k) else {
                let free = |o: &Shadow| !overlap(o, &r);
                return self.obstacles[self.field.bodies.get(a.body)?.class].iter().all(free).then_some(r);
            };
            let p = p.reach();
            k += 1;
            if overlap(&p, &r) && !inside(&p, &r) {
                r = around(&r, &p);
                k = 0;
            }
        }
        None
    }

    /// Whether what is in this rectangle weighs less when it is mirrored, and stands in the quarter where it must.
    fn lighter(&self, r: &Shadow) -> bool {
        let pieces = || self.placed.iter().filter(|p| inside(&p.reach(), r));
        let weighs_less = |moved: fn(&Shadow, &Shadow) -> i64| {
            // Kinds come the largest first: those weigh most, and the search tries them first.
            let weight = |p: &Placed| (self.kinds.len() - p.kind) as i64;
            let by = |p: &Placed| moved(&p.reach(), r);
            pieces().map(|p| weight(p) * by(p)).sum::<i64>() < 0
        };
        let stays = |moved: fn(&Shadow, &Shadow) -> i64, along: (i64, i64)| {
            pieces().filter(|p| p.in_quarter).all(|p| {
                let by = moved(&p.reach(), r);
                let class = self.field.bodies.get(p.body).map_or(0, |b| b.class);
                in_quarter(self.frames[class], p.shape, p.x + along.0 * by, p.y + along.1 * by)
            })
        };
        let across: fn(&Shadow, &Shadow) -> i64 = |p, r| r.x0 + r.x1 - p.x1 - p.x0;
        let along: fn(&Shadow, &Shadow) -> i64 = |p, r| r.y0 + r.y1 - p.y1 - p.y0;
        (weighs_less(across) && stays(across, (1, 0))) || (weighs_less(along) && stays(along, (0, 1)))
    }
}

impl Placed {
    fn reach(&self) -> Shadow {
        Shadow { x0: self.x, y0: self.y, x1: self.x + self.shape.w, y1: self.y + self.shape.d }
    }
}

fn around(a: &Shadow, b: &Shadow) -> Shadow {
    Shadow { x0: a.x0.min(b.x0), y0: a.y0.min(b.y0), x1: a.x1.max(b.x1), y1: a.y1.max(b.y1) }
}

fn overlap(a: &Shadow, b: &Shadow) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

fn inside(p: &Shadow, r: &Shadow) -> bool {
    r.x0 <= p.x0 && p.x1 <= r.x1 && r.y0 <= p.y0 && p.y1 <= r.y1
}

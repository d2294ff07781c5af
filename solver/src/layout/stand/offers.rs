//! Places that a body may take among those that stand, each with its claim and its lifts.

use super::super::decode::gap;
use super::super::instance::Option3;
use super::super::pack::Rect;
use super::parts::Part;
use super::{MOST, OUTLINES, Stand, Under};

/// A place that a body may take.
#[derive(Clone, Copy)]
pub(super) struct Offer {
    pub(super) score: i64,
    pub(super) seat: usize,
    pub(super) x: i64,
    pub(super) y: i64,
    /// Claim and lifts.
    pub(super) cost: i64,
}

impl Stand<'_> {
    pub(super) fn wide(&self, size: &Option3) -> i64 {
        (size.w + self.instance.between) * (size.d + self.instance.between)
    }

    /// Free places of a body that keep within the cutoff.
    pub(super) fn offer(&mut self, at: usize, cost: i64, offers: &mut Vec<Offer>) {
        let part = &self.parts[at];
        let (c, s) = (self.instance.between, self.instance.side);
        let room = (self.instance.width - 2 * s + c).max(0) * (self.instance.depth - 2 * s + c).max(0);
        // Kept items may stand closer than play has it.
        let all_trays = self.instance.kept.is_empty();
        let mut lines = std::mem::take(&mut self.lines);
        let mut noise = self.random.child();
        let (from, to, seats) = (part.from, part.to, part.seats.len());
        let tried = seats.min(OUTLINES);
        let first = if seats > tried { self.random.below(seats) } else { 0 };
        for n in 0..tried {
            // What of an outline bears others may have to be worked out first, which takes long.
            self.cut |= from > 0 && self.stop.cut();
            if self.cut {
                break;
            }
            let seat_at = (first + n * seats.div_ceil(tried)) % seats;
            let seat = self.parts[at].seats[seat_at];
            let wide = self.wide(&seat.taken.size);
            let full = |l: usize| self.used[l] + wide + self.wanted[at + 1][l] > room;
            if all_trays && (from..to.min(self.heights.len())).any(full) {
                continue;
            }
            let budget = self.aim.cutoff - cost - seat.claim - self.rest[at + 1];
            if budget < 0 {
                continue;
            }
            lines.places(self, at, &seat);
            self.looked += lines.places.len() as u64;
            let (size, part) = (seat.taken.size, &self.parts[at]);
            for i in 0..lines.places.len() {
                let (x, y) = lines.places[i];
                let r = Rect { x, y, w: size.w, d: size.d };
                let Some(open) = self.free(&r, part, seat.taken.kept) else { continue };
                let lifts = self.lifts(&r, part);
                if lifts > budget {
                    continue;
                }
                let cost = seat.claim + lifts;
                let open = open * self.open * self.instance.height / 16;
                let score = cost + open + noise.below(self.noise.max(1) as usize) as i64;
                offers.push(Offer { score, seat: seat_at, x, y, cost });
            }
        }
        self.lines = lines;
    }

    /// How much of its edges touches nothing; `None` where something is in the way.
    fn free(&self, r: &Rect, part: &Part, kept: bool) -> Option<i64> {
        let i = self.instance;
        let s = if kept { 0 } else { i.side };
        let (right, back) = (r.x + r.w, r.y + r.d);
        if r.x < s || r.y < s || right + s > i.width || back + s > i.depth {
            return None;
        }
        let mut touched = [r.x == s, right + s == i.width].iter().filter(|t| **t).count() as i64 * r.d
            + [r.y == s, back + s == i.depth].iter().filter(|t| **t).count() as i64 * r.w;
        for o in &self.standing {
            if o.from >= part.to || part.from >= o.to {
                continue;
            }
            let g = gap(i, o.kept, kept);
            if o.rect.nearer(r, g) {
                return None;
            }
            let q = &o.rect;
            if q.x + q.w + g == r.x || right + g == q.x {
                touched += (back.min(q.y + q.d) - r.y.max(q.y)).max(0);
            }
            if q.y + q.d + g == r.y || back + g == q.y {
                touched += (right.min(q.x + q.w) - r.x.max(q.x)).max(0);
            }
        }
        let layers = part.from..part.to;
        if !kept && i.blocked.iter().any(|(l, b)| layers.contains(l) && b.overlaps(r)) {
            return None;
        }
        Some(2 * (r.w + r.d) - touched)
    }

    /// All that must wait for a body here, itself lifted.
    pub(super) fn under(&self, r: &Rect, bottom: i64) -> Under {
        let mut under = [0; MOST / 64];
        for (n, o) in self.standing.iter().enumerate() {
            if o.top <= bottom && o.rect.overlaps(r) {
                under[n / 64] |= 1 << (n % 64);
                under.iter_mut().zip(&o.under).for_each(|(u, o)| *u |= o);
            }
        }
        under
    }

    /// What lifts of it cost, with the cover items right over it.
    fn lifts(&self, r: &Rect, part: &Part) -> i64 {
        let covers = self.instance.cover.iter().filter(|c| c.rect.overlaps(r)).count() as i64;
        let mut sum = if part.weight > 0 { part.weight * covers } else { 0 };
        for (w, mut word) in self.under(r, part.bottom).into_iter().enumerate() {
            while word != 0 {
                let n = 64 * w + word.trailing_zeros() as usize;
                sum += self.standing.get(n).map_or(0, |o| o.weight);
                word &= word - 1;
            }
        }
        sum
    }
}

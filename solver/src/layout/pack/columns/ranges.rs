//! The first two phases: a range of left edges for each item, then one left edge.

use super::sums::Sums;
use super::{Columns, Item, Outcome, Outline};

impl Columns<'_> {
    /// Gives item `k` and those after it an outline and a range of left edges.
    pub(super) fn ranges(&mut self, k: usize) -> Outcome {
        if self.slice.spend() {
            self.resume = k;
            return Outcome::Stopped;
        }
        if k == self.fixed {
            self.sum_after();
            let answer = self.edges(0);
            if matches!(answer, Outcome::Stopped) {
                self.resume = k;
            }
            return answer;
        }
        let start = if k < self.resume { (self.items[k].which, self.items[k].range) } else { (0, 0) };
        let like = if self.items[k].like_before { Some(k - 1) } else { None };
        for which in start.0..self.items[k].choices.len() {
            let Outline { w, d, shape } = self.items[k].choices[which].outline;
            let mut first = if which == start.0 { start.1 } else { 0 };
            if let Some(b) = like.and_then(|b| self.items.get(b)) {
                if which < b.which {
                    continue;
                }
                if which == b.which {
                    first = first.max(b.range);
                }
            }
            self.area += i64::from(w * d);
            for range in first..self.items[k].choices[which].ranges.len() {
                let (lo, hi) = self.items[k].choices[which].ranges[range];
                let core = (hi, lo + w);
                if !self.open(core.0, core.1, d) {
                    continue;
                }
                let item = &mut self.items[k];
                (item.which, item.range, item.w, item.d) = (which, range, w, d);
                (item.lo, item.hi, item.chosen) = (lo, hi, shape);
                self.cover(core.0, core.1, d);
                self.sum_before(k);
                let answer =
                    if self.ranges_waste(k + 1) || self.shut_out(k + 1) || self.loose && self.stuck(0, k + 1)
                    {
                        Outcome::Exhausted
                    } else {
                        self.ranges(k + 1)
                    };
                self.cover(core.0, core.1, -d);
                if !matches!(answer, Outcome::Exhausted) {
                    return answer;
                }
                self.resume = 0;
            }
            self.area -= i64::from(w * d);
        }
        Outcome::Exhausted
    }

    /// Narrows the ranges of item `k` and those after it to one left edge each.
    fn edges(&mut self, k: usize) -> Outcome {
        if self.slice.spend() {
            return Outcome::Stopped;
        }
        if k == self.fixed {
            return self.start_filling();
        }
        let Item { w, d, lo, hi, like_before, which, .. } = self.items[k];
        let mut first = lo;
        if like_before
            && let Some(b) = self.items.get(k - 1)
            && b.which == which
        {
            first = first.max(b.lo);
        }
        let core = (hi, lo + w);
        self.cover(core.0, core.1, -d);
        let mut answer = Outcome::Exhausted;
        let edges = &self.items[k].choices[which].edges;
        let from = edges.partition_point(|x| *x < first);
        let to = edges.partition_point(|x| *x <= hi);
        for n in from..to {
            let x = self.items[k].choices[which].edges[n];
            if !self.open(x, x + w, d) {
                continue;
            }
            (self.items[k].lo, self.items[k].hi) = (x, x);
            self.cover(x, x + w, d);
            let dead =
                self.loose && !self.may_touch(k) || self.stuck(k + 1, self.fixed) || self.edges_waste(k + 1);
            answer = if dead { Outcome::Exhausted } else { self.edges(k + 1) };
            self.cover(x, x + w, -d);
            if !matches!(answer, Outcome::Exhausted) {
                break;
            }
        }
        if matches!(answer, Outcome::Exhausted) {
            (self.items[k].lo, self.items[k].hi) = (lo, hi);
        }
        self.cover(core.0, core.1, d);
        answer
    }

    /// Whether one of the large items from `k` on has no range left.
    fn shut_out(&self, k: usize) -> bool {
        self.items.get(k..self.fixed).unwrap_or(&[]).iter().any(|i| {
            !i.choices.iter().any(|c| c.ranges.iter().any(|r| self.open(r.1, r.0 + c.outline.w, c.outline.d)))
        })
    }

    /// Whether one of the items `from..to`, which have ranges, has no left edge left in it.
    fn stuck(&self, from: usize, to: usize) -> bool {
        self.items.get(from..to).unwrap_or(&[]).iter().any(|i| {
            let (a, b) = (i.hi, i.lo + i.w);
            let open = |x| self.open(x, a, i.d) && self.open(b, x + i.w, i.d);
            !i.choices.get(i.which).is_some_and(|c| {
                let mut edges = c.edges.iter().skip_while(|x| **x < i.lo).take_while(|x| **x <= i.hi);
                edges.any(|x| open(*x))
            })
        })
    }

    /// Whether each of the first `k + 1` items may still touch a side or another item on its left.
    fn may_touch(&self, k: usize) -> bool {
        self.items.iter().take(k + 1).all(|i| {
            i.lo == 0
                || self.least_small <= i.lo
                || self.items.iter().take(self.fixed).any(|j| j.lo + j.w <= i.lo && i.lo <= j.hi + j.w)
        })
    }

    /// Row `k + 1` of `before` from row `k`.
    fn sum_before(&mut self, k: usize) {
        let row = self.room.len();
        let (done, next) = self.before.split_at_mut((k + 1) * row);
        if let (Some(old), Some(new), Some(item)) =
            (done.get(k * row..), next.get_mut(..row), self.items.get(k))
        {
            new.copy_from_slice(old);
            item.flank(new);
        }
    }

    /// All rows of `after`.
    fn sum_after(&mut self) {
        let row = self.room.len();
        for k in (0..self.fixed).rev() {
            let (new, old) = self.after.split_at_mut((k + 1) * row);
            if let (Some(new), Some(old), Some(item)) =
                (new.get_mut(k * row..), old.get(..row), self.items.get(k))
            {
                new.copy_from_slice(old);
                item.flank(new);
            }
        }
    }
}

impl Item {
    /// Adds its depth to the sums of the columns it may cover, but need not.
    fn flank(&self, sums: &mut [Sums]) {
        for (from, to) in
            [(self.lo, self.hi.min(self.lo + self.w)), ((self.lo + self.w).max(self.hi), self.hi + self.w)]
        {
            if let Some(columns) = sums.get_mut(from as usize..to.max(from) as usize) {
                for s in columns {
                    *s = s.or(s.with(self.d));
                }
            }
        }
    }
}

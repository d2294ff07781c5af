//! What the columns must waste, once items have cores.

use super::sums::Sums;
use super::{Columns, Item};

impl Columns<'_> {
    /// Whether the columns must waste more than the floor can spare, once `k` items have ranges.
    pub(super) fn ranges_waste(&mut self, k: usize) -> bool {
        let row = self.room.len();
        let rows = std::mem::take(&mut self.before);
        let wasteful = self.wasteful(k, (0, k), rows.get(k * row..(k + 1) * row).unwrap_or(&[]));
        let wasteful = wasteful || self.loose && self.cramped(&rows, (1..k).map(|j| (j, 0, j)));
        self.before = rows;
        wasteful
    }

    /// The same, once `k` items have one left edge each and the other large ones ranges.
    pub(super) fn edges_waste(&mut self, k: usize) -> bool {
        let row = self.room.len();
        let rows = std::mem::take(&mut self.after);
        let wasteful =
            self.wasteful(self.fixed, (k, self.fixed), rows.get(k * row..(k + 1) * row).unwrap_or(&[]));
        let wasteful =
            wasteful || self.loose && self.cramped(&rows, (k + 1..self.fixed).map(|j| (j, j, self.fixed)));
        self.after = rows;
        wasteful
    }

    /// Whether the columns cannot take what some of the loose items cover outside their cores: rows of sums, and
    /// from which item to which they are.
    fn cramped(&self, rows: &[Sums], parts: impl Iterator<Item = (usize, usize, usize)>) -> bool {
        let row = self.room.len();
        let outside = |i: &Item| i64::from((i.w - (i.lo + i.w - i.hi).max(0)) * i.d);
        parts.into_iter().any(|(j, from, to)| {
            let need: i64 = self.items.get(from..to).unwrap_or(&[]).iter().map(outside).sum();
            let sums = rows.get(j * row..(j + 1) * row).unwrap_or(&[]);
            self.room.iter().zip(sums).map(|(&r, s)| i64::from(s.most(r))).sum::<i64>() < need
        })
    }

    /// Items from `later` on may be anywhere; those of `loose` may fill the columns outside their cores by `sums`.
    fn wasteful(&mut self, later: usize, loose: (usize, usize), sums: &[Sums]) -> bool {
        let total = i64::from(self.width) * i64::from(self.depth);
        let budget = total - self.area - self.tail[later];
        if budget < 0 {
            return true;
        }
        self.supply.fill(0);
        // What the loose items cover outside their cores.
        let mut slack = 0;
        for i in self.items.get(loose.0..loose.1).unwrap_or(&[]) {
            let outside = i64::from((i.w - (i.lo + i.w - i.hi).max(0)) * i.d);
            slack -= outside;
            if let Some(s) = self.supply.get_mut(i.d as usize) {
                *s += outside;
            }
        }
        for i in self.items.get(later..).unwrap_or(&[]) {
            if let Some(s) = self.supply.get_mut(i.flat as usize) {
                *s += i64::from(i.most);
            }
        }
        // Columns ask for what they have left; only pieces no deeper can serve them. Each step carries on what is
        // left over (at least zero: what lacked is wasted).
        for &room in &self.room {
            if let Some(s) = self.supply.get_mut(room as usize) {
                *s -= i64::from(room);
            }
        }
        let (mut carry, mut waste) = (0i64, 0i64);
        for &s in &self.supply {
            carry += s;
            if carry < 0 {
                waste -= carry;
                carry = 0;
            }
        }
        if waste > budget {
            return true;
        }
        let mut spare = budget;
        let full = self.later[later].full();
        for (&room, &own) in self.room.iter().zip(sums) {
            // The columns must take what the loose items cover.
            let most = own.most(room);
            slack += i64::from(most);
            if room <= full || most == room {
                continue;
            }
            let more = self.items.get(later..).unwrap_or(&[]).iter();
            let all = more.fold(own, |s, i| i.choices.iter().fold(s, |t, c| t.or(s.with(c.outline.d))));
            spare -= i64::from(room - all.most(room));
            if spare < 0 {
                return true;
            }
        }
        slack < 0
    }
}

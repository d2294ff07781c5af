//! The last phase: the floor is filled cell by cell from the front.

use super::sums::Sums;
use super::{Columns, Item, Outcome, Outline};

/// What is still to be put.
#[derive(Clone, Copy)]
struct Rest {
    /// So many items.
    left: usize,
    /// Cells that may be wasted.
    spare: i64,
    /// Sums of depths of the small items left.
    sums: Sums,
    /// What the columns must waste, having left more than such sums beside the items with known left edges.
    short: i64,
}

impl Columns<'_> {
    pub(super) fn start_filling(&mut self) -> Outcome {
        self.line.fill((0, true));
        for list in &mut self.by_left {
            list.clear();
        }
        for (k, i) in self.items.iter_mut().enumerate() {
            i.y = -1;
            if k < self.fixed
                && let Some(list) = self.by_left.get_mut(i.lo as usize)
            {
                list.push(k);
            }
        }
        let total = i64::from(self.width) * i64::from(self.depth);
        let spare = total - self.area - self.tail[self.fixed];
        let rest = self.rest(self.items.len(), spare);
        if rest.short > spare { Outcome::Exhausted } else { self.filling(rest) }
    }

    /// Fills the first cell of the front line: with an item whose left edge is there, with a small item, or with
    /// waste. Every packing is met: the first cell is either wasted or in an item that starts in it.
    fn filling(&mut self, rest: Rest) -> Outcome {
        if self.slice.spend() {
            return Outcome::Stopped;
        }
        let spare = rest.spare;
        if rest.left == 0 {
            return Outcome::Found;
        }
        let Some((x, &(y, on_piece))) = self.line.iter().enumerate().min_by_key(|(_, l)| l.0) else {
            return Outcome::Exhausted;
        };
        if self.gap_wastes_more_than(x, y, spare) {
            return Outcome::Exhausted;
        }
        let mut before: Option<(i32, i32)> = None;
        for n in 0..self.by_left.get(x).map_or(0, Vec::len) {
            let k = self.by_left[x][n];
            let Item { w, d, y: placed, quarter, .. } = self.items[k];
            if placed >= 0 || (quarter && 2 * y + d > self.depth) {
                continue;
            }
            // Items of one size are one item, but for the one that must stand in a quarter.
            if !quarter && before.replace((w, d)) == Some((w, d)) {
                continue;
            }
            let answer = self.stand(k, x, y, (w, d), rest);
            if !matches!(answer, Outcome::Exhausted) {
                return answer;
            }
        }
        for k in self.fixed..self.items.len() {
            let alike = self.items[k].like_before && k > self.fixed && self.items[k - 1].y < 0;
            if self.items[k].y >= 0 || alike {
                continue;
            }
            for which in 0..self.items[k].choices.len() {
                let Outline { w, d, shape } = self.items[k].choices[which].outline;
                let spare = spare - i64::from(w * d - self.items[k].least);
                if spare < 0 || !self.open(x as i32, x as i32 + w, d) {
                    continue;
                }
                (self.items[k].which, self.items[k].chosen) = (which, shape);
                self.items[k].lo = x as i32;
                self.cover(x as i32, x as i32 + w, d);
                let answer = self.stand(k, x, y, (w, d), Rest { spare, ..rest });
                self.cover(x as i32, x as i32 + w, -d);
                if !matches!(answer, Outcome::Exhausted) {
                    return answer;
                }
            }
        }
        let room = self.room[x];
        if room == 0 || spare == 0 {
            return Outcome::Exhausted;
        }
        let waste = |room: i32| i64::from(room - rest.sums.most(room));
        let rest = Rest { spare: spare - 1, short: rest.short - waste(room) + waste(room - 1), ..rest };
        if rest.short > rest.spare {
            return Outcome::Exhausted;
        }
        self.room[x] = room - 1;
        self.line[x] = (y + 1, false);
        let answer = self.filling(rest);
        self.line[x] = (y, on_piece);
        self.room[x] = room;
        answer
    }

    /// Puts item `k` on the front line at `x` where the line is level and a piece (or the front) carries it.
    fn stand(&mut self, k: usize, x: usize, y: i32, (w, d): (i32, i32), rest: Rest) -> Outcome {
        let Some(base) = self.line.get_mut(x..x + w as usize) else { return Outcome::Exhausted };
        let level = base.iter().all(|l| l.0 == y) && (y == 0 || base.iter().any(|l| l.1));
        let item = &self.items[k];
        let idle = item.choices.get(item.which).is_some_and(|c| c.front.get(y as usize) == Some(&true));
        if !level || y + d > self.depth || idle {
            return Outcome::Exhausted;
        }
        let kept = self.saved.len();
        self.saved.extend_from_slice(base);
        base.fill((y + d, true));
        self.items[k].y = y;
        // A large item changes nothing of what the columns have left.
        let left = rest.left - 1;
        let rest = if k < self.fixed { Rest { left, ..rest } } else { self.rest(left, rest.spare) };
        let answer = if rest.short > rest.spare { Outcome::Exhausted } else { self.filling(rest) };
        if matches!(answer, Outcome::Exhausted) {
            self.items[k].y = -1;
            if let Some(base) = self.line.get_mut(x..x + w as usize) {
                base.copy_from_slice(self.saved.get(kept..).unwrap_or(&[]));
            }
        }
        self.saved.truncate(kept);
        answer
    }

    /// Whether the level stretch at `x`, between its walls, can only be filled by small items too few for it.
    fn gap_wastes_more_than(&self, x: usize, y: i32, spare: i64) -> bool {
        let width = self.line.iter().skip(x).take_while(|l| l.0 == y).count();
        let end = x + width;
        let left = x.checked_sub(1).and_then(|l| self.line.get(l)).map_or(self.depth, |l| l.0);
        let right = self.line.get(end).map_or(self.depth, |l| l.0);
        let starts = (x..end).any(|c| {
            self.by_left.get(c).is_some_and(|l| {
                l.iter().any(|&k| self.items[k].y < 0 && c + self.items[k].w as usize <= end)
            })
        });
        if starts {
            return false;
        }
        let room = width as i64 * i64::from(left.min(right) - y);
        if room <= spare {
            return false;
        }
        let fill: i64 = self
            .items
            .iter()
            .skip(self.fixed)
            .filter(|i| i.y < 0)
            .map(|i| {
                let fits = i.choices.iter().map(|c| c.outline).filter(|o| o.w as usize <= width);
                i64::from(fits.map(|o| o.w * o.d).max().unwrap_or(0))
            })
            .sum();
        room - fill > spare
    }

    /// What is left with the small items that stand already.
    fn rest(&self, left: usize, spare: i64) -> Rest {
        let small = self.items.iter().skip(self.fixed).filter(|i| i.y < 0);
        let sums = small.fold(Sums::NONE, |s, i| i.choices.iter().fold(s, |t, c| t.or(s.with(c.outline.d))));
        let short = self.room.iter().map(|&room| i64::from(room - sums.most(room))).sum();
        Rest { left, spare, sums, short }
    }
}

//! Complete search that settles every left edge before any front edge ("absolute placement", after Huang &
//! Korf, J. Artif. Intell. Res. 46, 2013). Strong for many pieces of few outlines on a floor of few steps.
//!
//! First each piece gets an outline and a short range of left edges, the largest first, so that the columns it
//! covers wherever it ends up in the range (its *core*) are known; then each range is narrowed to one left edge;
//! then the floor is filled cell by cell from the front. A state is dropped where the columns must waste more
//! than the floor can spare: a column's remainder is a sum of depths of pieces that may still cover it,
//! and short remainders can only be filled by shallow pieces (Korf, ICAPS 2003).
//!
//! Only packings of least coordinate sum are looked for, in which each piece touches a side or another piece
//! on its left and in front; the largest single piece stands in the left front quarter, by mirroring the floor first.

use super::Packed;
use super::field::{Body, Field, KEPT, Shape, TRAY};
use super::slice::Slice;

/// Depth in steps that the sets of sums can hold.
const MOST_DEPTH: i64 = 255;
/// Waste is filled cell by cell, one recursion each; with more room than this other searches are better anyway.
const MOST_SPARE: i64 = 1000;
const MOST_PIECES: usize = 64;
const MOST_SHAPES: usize = 2;
/// Ranges of left edges are this share of the width (in hundredths): Huang & Korf's best value.
const RANGE: i32 = 35;
/// The smallest items, of at most this share of the area (in hundredths), get no left edge before the filling:
/// there are too many ways to choose it, and the columns refuse too few of them.
const SMALL: i64 = 1;

/// Whether the field is one for this search: one class, no obstacles, small, few outlines, little to spare.
pub(super) fn suits(field: &Field) -> bool {
    let Some(first) = field.bodies.first() else { return false };
    let f = field.frames[first.class];
    let (w, d) = (f.x1 - f.x0, f.y1 - f.y0);
    let least = |b: &Body| b.shapes.iter().map(|s| s.area()).min().unwrap_or(0);
    field.bodies.len() <= MOST_PIECES
        && w.max(d) <= MOST_DEPTH
        && (field.blocked.is_empty() || first.class == KEPT)
        && field
            .bodies
            .iter()
            .all(|b| b.class == first.class && b.at.is_none() && (1..=MOST_SHAPES).contains(&b.shapes.len()))
        && w * d - field.bodies.iter().map(least).sum::<i64>() <= MOST_SPARE
}

/// Decides a field for which [`suits`] holds.
pub(super) fn search(field: &Field, slice: &Slice) -> Packed {
    let class = field.bodies.first().map_or(TRAY, |b| b.class);
    let f = field.frames[class];
    let (w, d) = (f.x1 - f.x0, f.y1 - f.y0);
    // Columns run along the longer side: there are fewer of them then.
    let turned = w > d;
    let mut search = Columns::new(field, if turned { (d, w) } else { (w, d) }, turned, slice);
    match search.ranges(0) {
        Outcome::Found => {
            let placed: Vec<_> = search
                .items
                .iter()
                .map(|item| {
                    let (x, y) = (i64::from(item.lo), i64::from(item.y));
                    let (x, y) = if turned { (y, x) } else { (x, y) };
                    (item.body, item.chosen, x + f.x0, y + f.y0)
                })
                .collect();
            Packed::Found(field.spots(&placed))
        }
        Outcome::Exhausted => Packed::Impossible,
        Outcome::Stopped => Packed::Unknown,
    }
}

enum Outcome {
    Found,
    Exhausted,
    Stopped,
}

/// An outline across the columns.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Outline {
    w: i32,
    d: i32,
    shape: Shape,
}

struct Item {
    body: usize,
    outlines: Vec<Outline>,
    /// Alike with the item before it.
    like_before: bool,
    /// The one that stands in the left front quarter.
    quarter: bool,
    /// Area of the smallest outline.
    least: i32,
    /// Chosen outline; its sizes; range of left edges; front edge.
    which: usize,
    w: i32,
    d: i32,
    lo: i32,
    hi: i32,
    y: i32,
    chosen: Shape,
}

/// Sums of depths as bits, to [`MOST_DEPTH`].
#[derive(Clone, Copy)]
struct Sums(u128, u128);

impl Sums {
    const NONE: Sums = Sums(1, 0);

    fn with(self, d: i32) -> Sums {
        let Sums(lo, hi) = self;
        match d {
            0 => self,
            1..=127 => Sums(lo | lo << d, hi | hi << d | lo >> (128 - d)),
            128 => Sums(lo, hi | lo),
            _ => Sums(lo, hi | lo.checked_shl(d as u32 - 128).unwrap_or(0)),
        }
    }

    fn or(self, o: Sums) -> Sums {
        Sums(self.0 | o.0, self.1 | o.1)
    }

    /// The greatest sum up to `d` (0..=255).
    fn most(self, d: i32) -> i32 {
        let Sums(lo, hi) = self;
        if d >= 128 {
            let part = hi & (u128::MAX >> (255 - d));
            if part != 0 {
                return 255 - part.leading_zeros() as i32;
            }
            return 127 - lo.leading_zeros() as i32;
        }
        127 - (lo & (u128::MAX >> (127 - d))).leading_zeros() as i32
    }
}

struct Columns<'a> {
    slice: &'a Slice<'a>,
    width: i32,
    depth: i32,
    items: Vec<Item>,
    /// What each column has left beside the cores, in steps.
    room: Vec<i32>,
    /// Sums of depths that items from this one on can add to.
    later: Vec<Sums>,
    /// Area of the items from this one on, at least.
    tail: Vec<i64>,
    area: i64,
    /// So many items, the largest, get left edges before the filling.
    fixed: usize,
    /// Least width of the others.
    least_small: i32,
    /// Per item: what the columns can take of it outside its core, given the items before it; scratch.
    gains: Vec<i64>,
    /// Per depth: area of pieces no deeper; scratch for the second bound.
    supply: Vec<i64>,
    /// Front line of the filling, and whether a piece (not waste) ends there.
    line: Vec<(i32, bool)>,
    /// Items by left edge, for the filling.
    by_left: Vec<Vec<usize>>,
}

impl<'a> Columns<'a> {
    fn new(field: &Field, (width, depth): (i64, i64), turned: bool, slice: &'a Slice<'a>) -> Columns<'a> {
        let mut items: Vec<Item> = field
            .bodies
            .iter()
            .enumerate()
            .map(|(body, b)| {
                let mut outlines: Vec<Outline> = b
                    .shapes
                    .iter()
                    .map(|&shape| {
                        let (w, d) = if turned { (shape.d, shape.w) } else { (shape.w, shape.d) };
                        Outline { w: w as i32, d: d as i32, shape }
                    })
                    .collect();
                outlines.sort_by_key(|o| (o.w, o.d));
                let outlines_least = outlines.iter().map(|o| o.w * o.d).min().unwrap_or(0);
                let chosen = outlines.first().map_or(Shape { w: 0, d: 0, index: 0 }, |o| o.shape);
                Item {
                    body,
                    outlines,
                    like_before: false,
                    quarter: false,
                    least: outlines_least,
                    which: 0,
                    w: 0,
                    d: 0,
                    lo: 0,
                    hi: 0,
                    y: 0,
                    chosen,
                }
            })
            .collect();
        let size = |i: &Item| i.outlines.iter().map(|o| (o.w * o.d, o.w.max(o.d))).min().unwrap_or((0, 0));
        let sizes = |i: &Item| i.outlines.iter().map(|o| (o.w, o.d)).collect::<Vec<_>>();
        items.sort_by_cached_key(|i| (std::cmp::Reverse(size(i)), sizes(i)));
        for k in 1..items.len() {
            if let Some([a, b]) = items.get_mut(k - 1..=k) {
                b.like_before = sizes(a) == sizes(b);
            }
        }
        let single = (0..items.len())
            .find(|&k| !items[k].like_before && !items.get(k + 1).is_some_and(|i| i.like_before));
        if let Some(i) = single.and_then(|k| items.get_mut(k)) {
            i.quarter = true;
        }
        let mut later = vec![Sums::NONE; items.len() + 1];
        let mut tail = vec![0; items.len() + 1];
        for (k, item) in items.iter().enumerate().rev() {
            let next = later[k + 1];
            later[k] = item.outlines.iter().fold(next, |s, o| s.or(next.with(o.d)));
            tail[k] = tail[k + 1] + i64::from(size(item).0);
        }
        let fixed = (1..=items.len()).find(|&k| tail[k] * 100 <= tail[0] * SMALL).unwrap_or(items.len());
        let small = items.iter().skip(fixed).flat_map(|i| i.outlines.iter().map(|o| o.w));
        let least_small = small.min().unwrap_or(i32::MAX);
        Columns {
            fixed,
            least_small,
            slice,
            width: width as i32,
            depth: depth as i32,
            room: vec![depth as i32; width.max(0) as usize],
            gains: vec![0; items.len()],
            supply: vec![0; depth.max(0) as usize + 1],
            line: vec![(0, true); width.max(0) as usize],
            by_left: vec![Vec::new(); width.max(0) as usize],
            area: 0,
            items,
            later,
            tail,
        }
    }

    fn cover(&mut self, from: i32, to: i32, d: i32) {
        if from < to
            && let Some(columns) = self.room.get_mut(from as usize..to as usize)
        {
            for c in columns {
                *c -= d;
            }
        }
    }

    /// Whether columns `from..to` can take another `d`.
    fn open(&self, from: i32, to: i32, d: i32) -> bool {
        from >= to || self.room.get(from as usize..to as usize).is_some_and(|c| c.iter().all(|c| *c >= d))
    }

    /// Gives item `k` and those after it an outline and a range of left edges.
    fn ranges(&mut self, k: usize) -> Outcome {
        if self.slice.spend() {
            return Outcome::Stopped;
        }
        if k == self.fixed {
            return self.edges(0);
        }
        let like = if self.items[k].like_before { Some(k - 1) } else { None };
        for which in 0..self.items[k].outlines.len() {
            let Outline { w, d, shape } = self.items[k].outlines[which];
            let most = if self.items[k].quarter { (self.width - w) / 2 } else { self.width - w };
            let step = (w * RANGE / 100).max(1);
            let mut lo = 0;
            if let Some(b) = like.and_then(|b| self.items.get(b)) {
                if which < b.which {
                    continue;
                }
                if which == b.which {
                    lo = b.lo;
                }
            }
            self.area += i64::from(w * d);
            while lo <= most {
                let hi = (lo + step - 1).min(most);
                let core = (hi, lo + w);
                if self.open(core.0, core.1, d) {
                    let item = &mut self.items[k];
                    (item.which, item.w, item.d, item.lo, item.hi, item.chosen) =
                        (which, w, d, lo, hi, shape);
                    self.cover(core.0, core.1, d);
                    let answer = if self.wasteful(k + 1) { Outcome::Exhausted } else { self.ranges(k + 1) };
                    self.cover(core.0, core.1, -d);
                    if !matches!(answer, Outcome::Exhausted) {
                        return answer;
                    }
                }
                lo = hi + 1;
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
        for x in first..=hi {
            if !self.open(x, x + w, d) {
                continue;
            }
            (self.items[k].lo, self.items[k].hi) = (x, x);
            self.cover(x, x + w, d);
            let dead = !self.may_touch(k) || self.wasteful(self.fixed);
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

    /// Whether each of the first `k + 1` items may still touch a side or another item on its left.
    fn may_touch(&self, k: usize) -> bool {
        self.items.iter().take(k + 1).all(|i| {
            i.lo == 0
                || self.least_small <= i.lo
                || self.items.iter().take(self.fixed).any(|j| j.lo + j.w <= i.lo && i.lo <= j.hi + j.w)
        })
    }

    /// Whether the columns must waste more than the floor can spare, once `k` items have ranges.
    fn wasteful(&mut self, k: usize) -> bool {
        let total = i64::from(self.width) * i64::from(self.depth);
        let budget = total - self.area - self.tail[k];
        if budget < 0 {
            return true;
        }
        let mut spare = budget;
        self.gains.fill(0);
        for (x, &room) in self.room.iter().enumerate() {
            if room == 0 {
                continue;
            }
            let x = x as i32;
            let mut all = self.later[k];
            let mut own = Sums::NONE;
            let full = all.most(room) == room;
            let mut most = 0;
            for (i, gain) in self.items.iter().take(k).zip(&mut self.gains) {
                let may = i.lo <= x && x < i.hi + i.w;
                let core = i.hi <= x && x < i.lo + i.w;
                if may && !core && i.d <= room {
                    own = own.with(i.d);
                    let now = own.most(room);
                    *gain += i64::from(now - most);
                    most = now;
                    if !full {
                        all = all.with(i.d);
                    }
                }
            }
            spare -= i64::from(room - all.most(room));
            if spare < 0 {
                return true;
            }
        }
        // What the first items cover outside their cores cannot be more than the columns can take of them.
        let mut slack = 0;
        for (i, gain) in self.items.iter().take(k).zip(&self.gains) {
            let core = (i.lo + i.w - i.hi).max(0);
            slack += gain - i64::from((i.w - core) * i.d);
            if slack < 0 {
                return true;
            }
        }
        self.supply.fill(0);
        for (n, i) in self.items.iter().enumerate() {
            if n < k {
                let core = (i.lo + i.w - i.hi).max(0);
                if let Some(s) = self.supply.get_mut(i.d as usize) {
                    *s += i64::from((i.w - core) * i.d);
                }
            } else {
                let d = i.outlines.iter().map(|o| o.d).min().unwrap_or(0);
                let area = i.outlines.iter().map(|o| o.w * o.d).max().unwrap_or(0);
                if let Some(s) = self.supply.get_mut(d as usize) {
                    *s += i64::from(area);
                }
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
        waste > budget
    }

    fn start_filling(&mut self) -> Outcome {
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
        self.filling(self.items.len(), spare)
    }

    /// Fills the first cell of the front line: with an item whose left edge is there, with a small item, or with
    /// waste. Every packing is met: the first cell is either wasted or in an item that starts in it.
    fn filling(&mut self, left: usize, spare: i64) -> Outcome {
        if self.slice.spend() {
            return Outcome::Stopped;
        }
        if left == 0 {
            return Outcome::Found;
        }
        let Some((x, &(y, on_piece))) = self.line.iter().enumerate().min_by_key(|(_, l)| l.0) else {
            return Outcome::Exhausted;
        };
        if self.columns_waste_more_than(spare) || self.gap_wastes_more_than(x, y, spare) {
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
            let answer = self.stand(k, x, y, (w, d), (left, spare));
            if !matches!(answer, Outcome::Exhausted) {
                return answer;
            }
        }
        for k in self.fixed..self.items.len() {
            let alike = self.items[k].like_before && k > self.fixed && self.items[k - 1].y < 0;
            if self.items[k].y >= 0 || alike {
                continue;
            }
            for which in 0..self.items[k].outlines.len() {
                let Outline { w, d, shape } = self.items[k].outlines[which];
                let spare = spare - i64::from(w * d - self.items[k].least);
                if spare < 0 || !self.open(x as i32, x as i32 + w, d) {
                    continue;
                }
                self.items[k].chosen = shape;
                self.items[k].lo = x as i32;
                self.cover(x as i32, x as i32 + w, d);
                let answer = self.stand(k, x, y, (w, d), (left, spare));
                self.cover(x as i32, x as i32 + w, -d);
                if !matches!(answer, Outcome::Exhausted) {
                    return answer;
                }
            }
        }
        if self.room[x] == 0 || spare == 0 {
            return Outcome::Exhausted;
        }
        self.room[x] -= 1;
        self.line[x] = (y + 1, false);
        let answer = self.filling(left, spare - 1);
        self.line[x] = (y, on_piece);
        self.room[x] += 1;
        answer
    }

    /// Puts item `k` on the front line at `x` where the line is level and a piece (or the front) carries it.
    fn stand(
        &mut self,
        k: usize,
        x: usize,
        y: i32,
        (w, d): (i32, i32),
        (left, spare): (usize, i64),
    ) -> Outcome {
        let Some(base) = self.line.get_mut(x..x + w as usize) else { return Outcome::Exhausted };
        let level = base.iter().all(|l| l.0 == y) && (y == 0 || base.iter().any(|l| l.1));
        if !level || y + d > self.depth {
            return Outcome::Exhausted;
        }
        let old: Vec<(i32, bool)> = base.to_vec();
        base.fill((y + d, true));
        self.items[k].y = y;
        let answer = self.filling(left - 1, spare);
        if matches!(answer, Outcome::Exhausted) {
            self.items[k].y = -1;
            if let Some(base) = self.line.get_mut(x..x + w as usize) {
                base.copy_from_slice(&old);
            }
        }
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
                let fits = i.outlines.iter().filter(|o| o.w as usize <= width);
                i64::from(fits.map(|o| o.w * o.d).max().unwrap_or(0))
            })
            .sum();
        room - fill > spare
    }

    /// Whether what the columns have left beside items with known left edges is no sum of what remains.
    fn columns_waste_more_than(&self, spare: i64) -> bool {
        let remaining = self.items.iter().skip(self.fixed).filter(|i| i.y < 0);
        let sums = remaining.fold(Sums::NONE, |s, i| i.outlines.iter().fold(s, |t, o| t.or(s.with(o.d))));
        let mut left = spare;
        self.room.iter().any(|&room| {
            left -= i64::from(room - sums.most(room));
            left < 0
        })
    }
}

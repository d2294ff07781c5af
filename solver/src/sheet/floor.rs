//! One sheet being filled: the largest free rectangles, and where a piece goes best.
//!
//! Where only straight cuts are possible, a place counts only if all pieces can still be parted by cuts from edge to edge.

use super::reduced::{Kind, Spot};
use crate::layout::pack::Rect;

/// By what the place of a piece is chosen; the least value wins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rule {
    /// Least room left over along the nearer side (Jylänki 2010, best short side fit).
    ShortSide,
    /// Least area of the free rectangle left over (best area fit).
    Area,
    /// Least far edge along the depth.
    Front,
    /// Least far edge along the width.
    Left,
    /// Longest edges in touch with pieces or the sheet's edges.
    Touch,
}

impl Rule {
    pub(super) const ALL: [Rule; 5] = [Rule::ShortSide, Rule::Area, Rule::Front, Rule::Left, Rule::Touch];
}

/// A place that was found: its value (less is better), where, and how the piece lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Chance {
    value: (i128, i128),
    x: i64,
    y: i64,
    turned: bool,
}

/// A sheet with pieces on it.
#[derive(Clone, Debug)]
pub(super) struct Floor {
    w: i64,
    d: i64,
    straight: bool,
    free: Vec<Rect>,
    taken: Vec<Rect>,
    pub(super) spots: Vec<Spot>,
    scratch: Vec<Rect>,
    chances: Vec<Chance>,
}

impl Floor {
    /// An empty one.
    pub(super) fn new(w: i64, d: i64, straight: bool) -> Floor {
        Floor {
            w,
            d,
            straight,
            free: vec![Rect { x: 0, y: 0, w, d }],
            taken: Vec::new(),
            spots: Vec::new(),
            scratch: Vec::new(),
            chances: Vec::new(),
        }
    }

    /// Width and depth.
    pub(super) fn sides(&self) -> (i64, i64) {
        (self.w, self.d)
    }

    /// The best place for a piece.
    pub(super) fn best(&mut self, kind: &Kind, rule: Rule) -> Option<Chance> {
        let mut chances = std::mem::take(&mut self.chances);
        chances.clear();
        let ways: &[bool] = if kind.turns { &[false, true] } else { &[false] };
        for f in &self.free {
            for &turned in ways {
                let (w, d) = kind.lying(turned);
                if w <= f.w && d <= f.d {
                    chances.push(Chance { value: self.value(f, w, d, rule), x: f.x, y: f.y, turned });
                }
            }
        }
        let mut found = chances.iter().min().copied();
        if self.straight && self.taken.len() >= 3 {
            chances.sort_unstable();
            chances.dedup_by_key(|c| (c.x, c.y, c.turned));
            found = chances.iter().copied().find(|&c| self.allows(kind, c));
        }
        self.chances = chances;
        found
    }

    /// The foremost corner of free rectangles (the leftmost, where `along`) that is not dead.
    pub(super) fn corner(&self, dead: &[(i64, i64)], along: bool) -> Option<(i64, i64)> {
        let key = |&(x, y): &(i64, i64)| if along { (x, y) } else { (y, x) };
        self.free.iter().map(|f| (f.x, f.y)).filter(|c| !dead.contains(c)).min_by_key(key)
    }

    /// Calls for every way a piece lies in a free rectangle at a corner, with how many sides of that it fills.
    pub(super) fn at_corner(&self, kind: &Kind, corner: (i64, i64), mut each: impl FnMut(Chance, i32)) {
        let ways: &[bool] = if kind.turns { &[false, true] } else { &[false] };
        for f in self.free.iter().filter(|f| (f.x, f.y) == corner) {
            for &turned in ways {
                let (w, d) = kind.lying(turned);
                if w <= f.w && d <= f.d {
                    let fits = i32::from(w == f.w) + i32::from(d == f.d);
                    each(Chance { value: (0, 0), x: f.x, y: f.y, turned }, fits);
                }
            }
        }
    }

    /// Whether the pieces can still be parted with one more at this place.
    pub(super) fn allows(&mut self, kind: &Kind, at: Chance) -> bool {
        if !self.straight || self.taken.len() < 3 {
            return true;
        }
        let (w, d) = kind.lying(at.turned);
        self.scratch.clear();
        self.scratch.extend_from_slice(&self.taken);
        self.scratch.push(Rect { x: at.x, y: at.y, w, d });
        separable(&mut self.scratch)
    }

    fn value(&self, f: &Rect, w: i64, d: i64, rule: Rule) -> (i128, i128) {
        let (over_w, over_d) = (f.w - w, f.d - d);
        let wide = i128::from;
        match rule {
            Rule::ShortSide => (wide(over_w.min(over_d)), wide(over_w.max(over_d))),
            Rule::Area => (wide(f.w) * wide(f.d), wide(over_w.min(over_d))),
            Rule::Front => (wide(f.y + d), wide(f.x)),
            Rule::Left => (wide(f.x + w), wide(f.y)),
            Rule::Touch => (-wide(self.touching(&Rect { x: f.x, y: f.y, w, d })), wide(f.y + d)),
        }
    }

    fn touching(&self, r: &Rect) -> i64 {
        let mut sum = 0;
        sum += if r.x == 0 { r.d } else { 0 } + if r.x + r.w == self.w { r.d } else { 0 };
        sum += if r.y == 0 { r.w } else { 0 } + if r.y + r.d == self.d { r.w } else { 0 };
        for t in &self.taken {
            if t.x == r.x + r.w || r.x == t.x + t.w {
                sum += ((t.y + t.d).min(r.y + r.d) - t.y.max(r.y)).max(0);
            }
            if t.y == r.y + r.d || r.y == t.y + t.d {
                sum += ((t.x + t.w).min(r.x + r.w) - t.x.max(r.x)).max(0);
            }
        }
        sum
    }

    /// Puts a piece where [`Floor::best`] said.
    pub(super) fn put(&mut self, index: usize, kind: &Kind, at: Chance) {
        self.put_spot(Spot { kind: index, x: at.x, y: at.y, turned: at.turned }, kind);
    }

    /// Puts a piece at a place that is known to be free.
    pub(super) fn put_spot(&mut self, spot: Spot, kind: &Kind) {
        let (w, d) = kind.lying(spot.turned);
        let r = Rect { x: spot.x, y: spot.y, w, d };
        self.spots.push(spot);
        self.taken.push(r);
        let mut cut = std::mem::take(&mut self.scratch);
        cut.clear();
        self.free.retain(|f| {
            let hit = f.overlaps(&r);
            if hit {
                split(f, &r, &mut cut);
            }
            !hit
        });
        // Rectangles that were not hit hold no new one that is larger; new ones may lie in them or in each other.
        let old = self.free.len();
        'new: for (i, c) in cut.iter().enumerate() {
            for (j, o) in cut.iter().enumerate() {
                if i != j && inside(c, o) && !(j > i && c == o) {
                    continue 'new;
                }
            }
            if !self.free[..old].iter().any(|o| inside(c, o)) {
                self.free.push(*c);
            }
        }
        self.scratch = cut;
    }

    /// Area of the pieces.
    pub(super) fn used(&self) -> i128 {
        self.taken.iter().map(|t| i128::from(t.w) * i128::from(t.d)).sum()
    }
}

/// What remains of a free rectangle beside a piece: up to four that overlap.
fn split(f: &Rect, r: &Rect, out: &mut Vec<Rect>) {
    if r.x > f.x {
        out.push(Rect { w: r.x - f.x, ..*f });
    }
    if r.x + r.w < f.x + f.w {
        out.push(Rect { x: r.x + r.w, w: f.x + f.w - r.x - r.w, ..*f });
    }
    if r.y > f.y {
        out.push(Rect { d: r.y - f.y, ..*f });
    }
    if r.y + r.d < f.y + f.d {
        out.push(Rect { y: r.y + r.d, d: f.y + f.d - r.y - r.d, ..*f });
    }
}

fn inside(a: &Rect, b: &Rect) -> bool {
    a.x >= b.x && a.y >= b.y && a.x + a.w <= b.x + b.w && a.y + a.d <= b.y + b.d
}

/// Whether cuts from edge to edge part all of these. Any cut that parts some may be made first: what remains on its sides
/// can be parted if all could. Three or fewer always can.
pub(super) fn separable(all: &mut [Rect]) -> bool {
    if all.len() <= 3 {
        return true;
    }
    all.sort_unstable_by_key(|r| r.x);
    let mut reach = i64::MIN;
    for i in 0..all.len() {
        if i > 0 && all[i].x >= reach {
            let (a, b) = all.split_at_mut(i);
            return separable(a) && separable(b);
        }
        reach = reach.max(all[i].x + all[i].w);
    }
    all.sort_unstable_by_key(|r| r.y);
    reach = i64::MIN;
    for i in 0..all.len() {
        if i > 0 && all[i].y >= reach {
            let (a, b) = all.split_at_mut(i);
            return separable(a) && separable(b);
        }
        reach = reach.max(all[i].y + all[i].d);
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ```text
    /// AAB
    /// D.B     no cut from edge to edge misses all four
    /// DCC
    /// ```
    #[test]
    fn a_pinwheel_cannot_be_cut_straight() {
        let r = |x, y, w, d| Rect { x, y, w, d };
        let mut wheel = [r(0, 2, 2, 1), r(2, 1, 1, 2), r(1, 0, 2, 1), r(0, 0, 1, 2)];
        assert!(!separable(&mut wheel));
        assert!(separable(&mut wheel[..3]));
    }

    #[test]
    fn free_rectangles_are_the_largest_ones() {
        let mut floor = Floor::new(10, 10, false);
        let kind = Kind { w: 4, d: 3, turns: false, pieces: vec![0] };
        let at = floor.best(&kind, Rule::Front).unwrap();
        floor.put(0, &kind, at);
        let mut free = floor.free.clone();
        free.sort();
        assert_eq!(free, [Rect { x: 0, y: 3, w: 10, d: 7 }, Rect { x: 4, y: 0, w: 6, d: 10 }]);
        assert_eq!(floor.used(), 12);
    }
}

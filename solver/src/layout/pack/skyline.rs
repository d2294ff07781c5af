//! Packing by the lowest gap: what fits a gap best goes there next.
//!
//! The top of what is placed is a line of segments. The lowest segment takes the outline that fits it best: as wide as
//! it, as deep as a wall beside it, else the first in an order (scores after Leung, Zhang, Sim, EJOR 215 (2011), from
//! memory). A climb changes the order.

use crate::random::Random;

/// Width and depth.
pub(crate) type Outline = (i64, i64);

/// A stretch of the front of what is still free.
#[derive(Clone, Copy, Debug)]
struct Segment {
    x: i64,
    y: i64,
    w: i64,
}

/// Where a piece stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Stand {
    /// Index of the piece.
    pub(crate) piece: usize,
    /// Index of its outline.
    pub(crate) outline: usize,
    pub(crate) x: i64,
    pub(crate) y: i64,
}

/// A strip being filled.
#[derive(Clone, Debug, Default)]
pub(crate) struct Strip {
    segments: Vec<Segment>,
    /// What has found no place, in order.
    pub(crate) left: Vec<usize>,
    pub(crate) placed: Vec<Stand>,
    /// Depth of what is placed.
    pub(crate) depth: i64,
}

/// How well an outline fits a gap; the greater, the better.
fn score(width_fits: bool, depth: i64, walls: (i64, i64)) -> u8 {
    match (width_fits, depth == walls.0 || depth == walls.1) {
        (true, true) => 4,
        (true, false) if depth < walls.0.max(walls.1) => 3,
        (true, false) => 2,
        (false, true) => 1,
        (false, false) => 0,
    }
}

impl Strip {
    /// Fills a strip of this width and at most this depth in an order, until nothing more goes in or, of that area,
    /// more than `spare` is lost.
    pub(crate) fn fill(
        &mut self,
        (w, most): (i64, i64),
        pieces: &[Vec<Outline>],
        order: &[usize],
        spare: i64,
    ) {
        self.segments.clear();
        self.segments.push(Segment { x: 0, y: 0, w });
        self.left.clear();
        self.left.extend_from_slice(order);
        self.placed.clear();
        self.depth = 0;
        let mut spare = spare;
        while !self.left.is_empty() {
            let lowest = self.segments.iter().copied().enumerate().min_by_key(|(_, s)| (s.y, s.x));
            let Some((i, low)) = lowest.filter(|(_, s)| s.y < most) else { return };
            let wall = |s: Option<&Segment>| s.map_or(i64::MAX, |s| s.y - low.y);
            let walls =
                (wall(i.checked_sub(1).and_then(|i| self.segments.get(i))), wall(self.segments.get(i + 1)));
            match self.best_fit(low, most - low.y, walls, pieces) {
                Some((at, outline)) => self.put(i, at, outline, walls, pieces),
                None => {
                    // Nothing fits: the gap is lost up to the lower wall.
                    let up = walls.0.min(walls.1).min(most - low.y);
                    spare = spare.saturating_sub(up.saturating_mul(low.w));
                    if spare < 0 {
                        return;
                    }
                    if let Some(s) = self.segments.get_mut(i) {
                        s.y += up;
                    }
                    self.join(i);
                }
            }
        }
    }

    /// Index in `left` and outline of what fits a gap best.
    fn best_fit(
        &self,
        low: Segment,
        deep: i64,
        walls: (i64, i64),
        pieces: &[Vec<Outline>],
    ) -> Option<(usize, usize)> {
        let mut best: Option<(u8, usize, usize)> = None;
        for (at, &p) in self.left.iter().enumerate() {
            for (k, &(w, d)) in pieces.get(p).map_or(&[][..], Vec::as_slice).iter().enumerate() {
                if w > low.w || d > deep {
                    continue;
                }
                let score = score(w == low.w, d, walls);
                if best.is_none_or(|b| score > b.0) {
                    best = Some((score, at, k));
                    if score == 4 {
                        return Some((at, k));
                    }
                }
            }
        }
        best.map(|(_, at, k)| (at, k))
    }

    /// Puts a piece into gap `i`: beside the wall that it is as deep as, else beside the deeper one (the box has the deepest).
    fn put(&mut self, i: usize, at: usize, outline: usize, walls: (i64, i64), pieces: &[Vec<Outline>]) {
        let piece = self.left.remove(at);
        let (Some(&(w, d)), Some(&low)) =
            (pieces.get(piece).and_then(|p| p.get(outline)), self.segments.get(i))
        else {
            return;
        };
        let right = d != walls.0 && (d == walls.1 || walls.1 > walls.0);
        let x = if right { low.x + low.w - w } else { low.x };
        self.placed.push(Stand { piece, outline, x, y: low.y });
        self.depth = self.depth.max(low.y + d);
        let own = Segment { x, y: low.y + d, w };
        let rest = Segment { x: if right { low.x } else { low.x + w }, y: low.y, w: low.w - w };
        let with = match (rest.w > 0, right) {
            (false, _) => vec![own],
            (true, true) => vec![rest, own],
            (true, false) => vec![own, rest],
        };
        let new = if right { i + with.len() - 1 } else { i };
        self.segments.splice(i..=i, with);
        self.join(new);
    }

    /// Makes one segment of a segment and those beside it on the same level.
    fn join(&mut self, i: usize) {
        let level = |at: usize, all: &[Segment]| all.get(at).map(|s| s.y);
        if level(i, &self.segments) == level(i + 1, &self.segments) && i + 1 < self.segments.len() {
            let next = self.segments.remove(i + 1);
            if let Some(s) = self.segments.get_mut(i) {
                s.w += next.w;
            }
        }
        if i > 0 && level(i, &self.segments) == level(i - 1, &self.segments) {
            let own = self.segments.remove(i);
            if let Some(s) = self.segments.get_mut(i - 1) {
                s.w += own.w;
            }
        }
    }
}

/// Orders to begin with: by area, by the longer side, by both sides together, each by the greatest outline.
pub(crate) fn orders(pieces: &[Vec<Outline>]) -> [Vec<usize>; 3] {
    let keys: [fn(&Outline) -> i64; 3] = [|s| s.0 * s.1, |s| s.0.max(s.1), |s| s.0 + s.1];
    keys.map(|key| {
        let mut order: Vec<usize> = (0..pieces.len()).collect();
        order.sort_by_key(|&p| (std::cmp::Reverse(pieces.get(p).and_then(|s| s.iter().map(key).max())), p));
        order
    })
}

/// Changes an order a little: two places change, or one goes to the front or back of a run.
pub(crate) fn disturb(order: &mut [usize], random: &mut Random) {
    let n = order.len();
    if n < 2 {
        return;
    }
    let (a, b) = (random.below(n), random.below(n));
    let run = a.min(b)..=a.max(b);
    match random.below(3) {
        0 => order.swap(a, b),
        1 => order.get_mut(run).unwrap_or_default().rotate_left(1),
        _ => order.get_mut(run).unwrap_or_default().rotate_right(1),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_placed_lies_inside_and_apart() {
        let mut random = Random::new(5);
        for _ in 0..300 {
            let n = 1 + random.below(12);
            let mut side = |most: usize| 1 + random.below(most) as i64;
            let pieces: Vec<Vec<Outline>> =
                (0..n).map(|_| (side(7), side(5))).map(|(w, d)| vec![(w, d), (d, w)]).collect();
            let (w, most) = (3 + side(12), 2 + side(12));
            let mut strip = Strip::default();
            let mut order = orders(&pieces)[0].clone();
            disturb(&mut order, &mut random);
            strip.fill((w, most), &pieces, &order, i64::MAX);
            assert_eq!(strip.placed.len() + strip.left.len(), n);
            let rects: Vec<[i64; 4]> = strip
                .placed
                .iter()
                .map(|s| {
                    let (w, d) = pieces[s.piece][s.outline];
                    [s.x, s.y, s.x + w, s.y + d]
                })
                .collect();
            for (i, a) in rects.iter().enumerate() {
                assert!(a[0] >= 0 && a[1] >= 0 && a[2] <= w && a[3] <= most.min(strip.depth), "{a:?}");
                for b in &rects[..i] {
                    assert!(a[0] >= b[2] || b[0] >= a[2] || a[1] >= b[3] || b[1] >= a[3], "{a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn exact_fits_come_first() {
        // 6 wide: a 2 × 3 stands already, so the gap of 4 × 3 takes the 4 × 3 and not the first in the order.
        let pieces = vec![vec![(2, 3)], vec![(3, 2)], vec![(4, 3)]];
        let mut strip = Strip::default();
        strip.fill((6, 3), &pieces, &[0, 1, 2], i64::MAX);
        assert_eq!(strip.left, [1]);
        assert_eq!(strip.placed.last(), Some(&Stand { piece: 2, outline: 0, x: 2, y: 0 }));
    }
}

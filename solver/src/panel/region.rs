//! A flat piece as rectangles put on and cut off one after the other, and the rims of what is left.

use super::shape::Spot;
use crate::length::Length;

/// A rectangle from its least to its greatest corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rect {
    pub(super) x0: Length,
    pub(super) y0: Length,
    pub(super) x1: Length,
    pub(super) y1: Length,
}

impl Rect {
    pub(super) fn new(x: (Length, Length), y: (Length, Length)) -> Rect {
        Rect { x0: x.0, y0: y.0, x1: x.1, y1: y.1 }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.x0 >= self.x1 || self.y0 >= self.y1
    }

    /// The same, moved and then, where asked for, mirrored about x = 0.
    pub(super) fn moved(&self, x: Length, y: Length, mirrored: bool) -> Rect {
        let (x0, x1) = (self.x0 + x, self.x1 + x);
        let (x0, x1) = if mirrored { (-x1, -x0) } else { (x0, x1) };
        Rect { x0, x1, y0: self.y0 + y, y1: self.y1 + y }
    }
}

/// Rectangles in the order in which they are put on (`true`) or cut off.
#[derive(Clone, Debug, Default)]
pub(super) struct Region {
    steps: Vec<(Rect, bool)>,
}

/// A closed line of straight edges: its corners, each being the end of one edge.
pub(super) type Corners = Vec<Spot>;

impl Region {
    pub(super) fn add(&mut self, rect: Rect) {
        if !rect.is_empty() {
            self.steps.push((rect, true));
        }
    }

    pub(super) fn cut(&mut self, rect: Rect) {
        if !rect.is_empty() {
            self.steps.push((rect, false));
        }
    }

    /// The rectangle around everything that was put on.
    pub(super) fn around(&self) -> Option<Rect> {
        let on = || self.steps.iter().filter(|(_, on)| *on).map(|(r, _)| *r);
        Some(Rect {
            x0: on().map(|r| r.x0).min()?,
            y0: on().map(|r| r.y0).min()?,
            x1: on().map(|r| r.x1).max()?,
            y1: on().map(|r| r.y1).max()?,
        })
    }

    pub(super) fn moved(&self, x: Length, y: Length, mirrored: bool) -> Region {
        Region { steps: self.steps.iter().map(|(r, on)| (r.moved(x, y, mirrored), *on)).collect() }
    }

    pub(super) fn cells(&self) -> Cells {
        let mut xs: Vec<Length> = self.steps.iter().flat_map(|(r, _)| [r.x0, r.x1]).collect();
        let mut ys: Vec<Length> = self.steps.iter().flat_map(|(r, _)| [r.y0, r.y1]).collect();
        for all in [&mut xs, &mut ys] {
            all.sort_unstable();
            all.dedup();
        }
        let (nx, ny) = (xs.len().saturating_sub(1), ys.len().saturating_sub(1));
        let mut full = vec![vec![false; nx]; ny];
        let at = |all: &[Length], v: Length| all.partition_point(|&a| a < v);
        for (r, on) in &self.steps {
            let (from, to) = (at(&xs, r.x0), at(&xs, r.x1));
            for row in &mut full[at(&ys, r.y0)..at(&ys, r.y1)] {
                row[from..to].fill(*on);
            }
        }
        Cells { xs, ys, full }
    }
}

/// A region on the grid of its own coordinates.
pub(super) struct Cells {
    xs: Vec<Length>,
    ys: Vec<Length>,
    /// By row, then column.
    full: Vec<Vec<bool>>,
}

impl Cells {
    fn on(&self, i: isize, j: isize) -> bool {
        let (Ok(i), Ok(j)) = (usize::try_from(i), usize::try_from(j)) else { return false };
        self.full.get(j).and_then(|row| row.get(i)).copied().unwrap_or(false)
    }

    /// The shortest straight stretch of material along either axis, and the middle of it: what a bridge is left with.
    pub(super) fn thinnest(&self) -> Option<(Length, Spot)> {
        let mut least: Option<(Length, Spot)> = None;
        let mut run = |length: Length, at: Spot| {
            if least.is_none_or(|(l, _)| length < l) {
                least = Some((length, at));
            }
        };
        let (nx, ny) = (self.xs.len().saturating_sub(1), self.ys.len().saturating_sub(1));
        for j in 0..ny {
            let y = (self.ys[j] + self.ys[j + 1]) / 2;
            for (from, to) in runs(nx, |i| self.full[j][i]) {
                let (a, b) = (self.xs[from], self.xs[to]);
                run(b - a, Spot { x: (a + b) / 2, y });
            }
        }
        for i in 0..nx {
            let x = (self.xs[i] + self.xs[i + 1]) / 2;
            for (from, to) in runs(ny, |j| self.full[j][i]) {
                let (a, b) = (self.ys[from], self.ys[to]);
                run(b - a, Spot { x, y: (a + b) / 2 });
            }
        }
        least
    }

    /// The material within a rectangle, as rectangles that do not overlap: as high as it goes, then as wide.
    pub(super) fn within(&self, rect: Rect) -> Vec<Rect> {
        let mut out: Vec<Rect> = Vec::new();
        let mut last: Vec<Rect> = Vec::new();
        for i in 0..self.xs.len().saturating_sub(1) {
            let (x0, x1) = (self.xs[i].max(rect.x0), self.xs[i + 1].min(rect.x1));
            let column = runs(self.full.len(), |j| self.full[j][i]).into_iter().map(|(from, to)| Rect {
                x0,
                x1,
                y0: self.ys[from].max(rect.y0),
                y1: self.ys[to].min(rect.y1),
            });
            let column: Vec<Rect> = column.filter(|r| !r.is_empty()).collect();
            let goes_on = column.len() == last.len()
                && !column.is_empty()
                && column.iter().zip(&last).all(|(c, l)| (c.y0, c.y1) == (l.y0, l.y1) && l.x1 == c.x0);
            if goes_on {
                let from = out.len() - last.len();
                out[from..].iter_mut().for_each(|r| r.x1 = x1);
                last.iter_mut().for_each(|r| r.x1 = x1);
            } else if !column.is_empty() {
                out.extend(&column);
                last = column;
            } else {
                last.clear();
            }
        }
        out
    }

    /// Closed rims with the material on their left: outlines run counterclockwise, holes clockwise. Rims that touch
    /// in a corner are told apart.
    pub(super) fn rims(&self) -> Vec<Corners> {
        let (w, h) = (self.xs.len() as isize, self.ys.len() as isize);
        // Of every grid corner, whether an edge leaves it to the right, up, left, down, not yet walked.
        let steps: [(isize, isize); 4] = [(1, 0), (0, 1), (-1, 0), (0, -1)];
        let leaves = |i: isize, j: isize, d: usize| match d {
            0 => self.on(i, j) && !self.on(i, j - 1),
            1 => self.on(i - 1, j) && !self.on(i, j),
            2 => self.on(i - 1, j - 1) && !self.on(i - 1, j),
            _ => self.on(i, j - 1) && !self.on(i - 1, j - 1),
        };
        let mut walked = vec![[false; 4]; (w * h).max(0) as usize];
        let index = |i: isize, j: isize| (j * w + i) as usize;
        let spot = |i: isize, j: isize| Spot { x: self.xs[i as usize], y: self.ys[j as usize] };
        let mut rims = Vec::new();
        for (i0, j0) in (0..h).flat_map(|j| (0..w).map(move |i| (i, j))) {
            for d0 in 0..4 {
                if !leaves(i0, j0, d0) || walked[index(i0, j0)][d0] {
                    continue;
                }
                let (mut i, mut j, mut d) = (i0, j0, d0);
                let mut corners = Vec::new();
                while !walked[index(i, j)][d] {
                    walked[index(i, j)][d] = true;
                    i += steps[d].0;
                    j += steps[d].1;
                    // Left first: where material touches in a corner only, the rim stays with its own.
                    let next = [d + 1, d, d + 3].map(|n| n % 4).into_iter().find(|&n| leaves(i, j, n));
                    let Some(next) = next else { break };
                    if next != d {
                        corners.push(spot(i, j));
                    }
                    d = next;
                }
                rims.push(corners);
            }
        }
        rims
    }
}

/// Stretches of `true`, as ranges.
fn runs(n: usize, on: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut from = None;
    for i in 0..=n {
        match (i < n && on(i), from) {
            (true, None) => from = Some(i),
            (false, Some(start)) => {
                out.push((start, i));
                from = None;
            }
            _ => {}
        }
    }
    out
}

/// Twice the area within a rim: positive for outlines, negative for holes; nm².
pub(super) fn twice_area(corners: &[Spot]) -> i128 {
    let last = corners.last().into_iter().chain(corners);
    last.zip(corners)
        .map(|(a, b)| {
            i128::from(a.x.nm()) * i128::from(b.y.nm()) - i128::from(b.x.nm()) * i128::from(a.y.nm())
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x0: i64, y0: i64, x1: i64, y1: i64) -> Rect {
        let mm = Length::mm;
        Rect { x0: mm(x0), y0: mm(y0), x1: mm(x1), y1: mm(y1) }
    }

    /// ```text
    ///  #########
    ///  ##  #####
    ///  ##  #####
    ///  #####
    /// ```
    #[test]
    fn rims_of_a_plate_with_a_hole_and_a_notch() {
        let mut region = Region::default();
        region.add(rect(0, 0, 9, 4));
        region.cut(rect(2, 1, 4, 3));
        region.cut(rect(5, 0, 9, 1));
        let mut rims = region.cells().rims();
        rims.sort_by_key(|r| r.len());
        let areas: Vec<i128> = rims.iter().map(|r| twice_area(r) / 2 / 10i128.pow(12)).collect();
        assert_eq!(areas, [-4, 32]);
        assert_eq!(rims.iter().map(Vec::len).collect::<Vec<_>>(), [4, 6]);
        // Between the hole and the lower rim.
        assert_eq!(region.cells().thinnest().map(|t| t.0), Some(Length::mm(1)));
    }

    #[test]
    fn what_lies_within_a_rectangle_comes_in_parts_that_do_not_overlap() {
        let mut region = Region::default();
        region.add(rect(0, 0, 9, 4));
        region.cut(rect(2, 1, 4, 4));
        let parts = region.cells().within(rect(1, 2, 7, 6));
        assert_eq!(parts, [rect(1, 2, 2, 4), rect(4, 2, 7, 4)]);
        assert_eq!(region.cells().within(rect(2, 2, 4, 3)), []);
    }

    #[test]
    fn what_touches_in_a_corner_falls_apart() {
        let mut region = Region::default();
        region.add(rect(0, 0, 2, 2));
        region.add(rect(2, 2, 4, 4));
        let rims = region.cells().rims();
        assert_eq!(rims.len(), 2);
        assert!(rims.iter().all(|r| r.len() == 4 && twice_area(r) > 0));
    }
}

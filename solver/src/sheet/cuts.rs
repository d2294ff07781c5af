//! The sequence of cuts from edge to edge that frees every piece, and the largest rectangle that is left over.

use super::SheetCut;
use crate::layout::pack::Rect;
use crate::length::Length;

/// Cuts in the order they are made, and the largest empty rectangle that they leave; `None` where straight cuts cannot part
/// the pieces.
///
/// What is free beyond all pieces of a part is cut off first, the largest strip before the others; then the part is cut in two.
pub(super) fn cuts(sheet: Rect, pieces: &[Rect], spacing: i64) -> Option<(Vec<SheetCut>, Option<Rect>)> {
    let mut work = Work { spacing, cuts: Vec::new(), offcut: None };
    work.part(sheet, pieces.to_vec()).then_some((work.cuts, work.offcut))
}

struct Work {
    spacing: i64,
    cuts: Vec<SheetCut>,
    offcut: Option<Rect>,
}

/// A cut and what lies on its two sides (negative sizes: nothing).
struct Halves {
    cut: SheetCut,
    low: Rect,
    high: Rect,
}

impl Work {
    fn part(&mut self, mut region: Rect, pieces: Vec<Rect>) -> bool {
        let Some(around) = hull(&pieces) else {
            if area(&region) > self.offcut.as_ref().map_or(0, area) {
                self.offcut = Some(region);
            }
            return true;
        };
        while region != around {
            let s = self.spacing;
            let mut strips = Vec::new();
            if around.x > region.x {
                strips.push((self.upright(&region, around.x - s), false));
            }
            if around.x + around.w < region.x + region.w {
                strips.push((self.upright(&region, around.x + around.w), true));
            }
            if around.y > region.y {
                strips.push((self.level(&region, around.y - s), false));
            }
            if around.y + around.d < region.y + region.d {
                strips.push((self.level(&region, around.y + around.d), true));
            }
            let waste = |(h, high): &(Halves, bool)| area(if *high { &h.high } else { &h.low });
            let Some((halves, high)) =
                strips.into_iter().reduce(|a, b| if waste(&b) > waste(&a) { b } else { a })
            else {
                return false;
            };
            self.cuts.push(halves.cut);
            let (kept, off) = if high { (halves.low, halves.high) } else { (halves.high, halves.low) };
            if off.w > 0 && off.d > 0 && !self.part(off, Vec::new()) {
                return false;
            }
            region = kept;
        }
        if pieces.len() == 1 {
            return true;
        }
        let Some(halves) = self.between(&region, &pieces) else { return false };
        self.cuts.push(halves.cut);
        let (low, high): (Vec<Rect>, Vec<Rect>) =
            pieces.into_iter().partition(|p| p.x < halves.high.x || p.y < halves.high.y);
        self.part(halves.low, low) && self.part(halves.high, high)
    }

    /// The cut between two pieces that leaves the largest strip to be cut off next; among equal ones the most even.
    fn between(&self, region: &Rect, pieces: &[Rect]) -> Option<Halves> {
        let mut best: Option<((i128, i64), Halves)> = None;
        for along in [true, false] {
            let near = |p: &Rect| if along { p.x } else { p.y };
            let far = |p: &Rect| if along { p.x + p.w } else { p.y + p.d };
            let mut sorted = pieces.to_vec();
            sorted.sort_by_key(|p| (near(p), far(p)));
            let mut reach = i64::MIN;
            for i in 0..sorted.len() {
                if i > 0 && near(&sorted[i]) >= reach.saturating_add(self.spacing) {
                    let halves = if along { self.upright(region, reach) } else { self.level(region, reach) };
                    let spare = |side: &Rect, on: &[Rect]| hull(on).map_or(0, |h| strip(side, &h));
                    let value = spare(&halves.low, &sorted[..i]).max(spare(&halves.high, &sorted[i..]));
                    let even = -(2 * i as i64 - sorted.len() as i64).abs();
                    if best.as_ref().is_none_or(|b| (value, even) > b.0) {
                        best = Some(((value, even), halves));
                    }
                }
                reach = reach.max(far(&sorted[i]));
            }
        }
        best.map(|b| b.1)
    }

    /// A cut along the depth whose removed band begins at `from`.
    fn upright(&self, r: &Rect, from: i64) -> Halves {
        let x = Length::from_nm(from + self.spacing / 2);
        let cut = SheetCut { from: (x, Length::from_nm(r.y)), to: (x, Length::from_nm(r.y + r.d)) };
        let to = from + self.spacing;
        Halves { cut, low: Rect { w: from - r.x, ..*r }, high: Rect { x: to, w: r.x + r.w - to, ..*r } }
    }

    /// The same along the width.
    fn level(&self, r: &Rect, from: i64) -> Halves {
        let y = Length::from_nm(from + self.spacing / 2);
        let cut = SheetCut { from: (Length::from_nm(r.x), y), to: (Length::from_nm(r.x + r.w), y) };
        let to = from + self.spacing;
        Halves { cut, low: Rect { d: from - r.y, ..*r }, high: Rect { y: to, d: r.y + r.d - to, ..*r } }
    }
}

/// The largest strip of a part beside what is on it.
fn strip(side: &Rect, h: &Rect) -> i128 {
    let wide = |a: i64, b: i64| i128::from(a) * i128::from(b);
    wide((h.x - side.x).max(side.x + side.w - h.x - h.w), side.d)
        .max(wide((h.y - side.y).max(side.y + side.d - h.y - h.d), side.w))
}

fn hull(all: &[Rect]) -> Option<Rect> {
    let x = all.iter().map(|r| r.x).min()?;
    let y = all.iter().map(|r| r.y).min()?;
    let w = all.iter().map(|r| r.x + r.w).max()? - x;
    let d = all.iter().map(|r| r.y + r.d).max()? - y;
    Some(Rect { x, y, w, d })
}

pub(super) fn area(r: &Rect) -> i128 {
    if r.w <= 0 || r.d <= 0 { 0 } else { i128::from(r.w) * i128::from(r.d) }
}

/// The largest rectangle of the sheet that keeps the spacing to every piece, wherever it lies.
pub(super) fn largest_free(sheet: Rect, pieces: &[Rect], spacing: i64) -> Option<Rect> {
    let mut free = vec![sheet];
    for p in pieces {
        let (x, y) = (p.x - spacing, p.y - spacing);
        let (right, back) = (p.x + p.w + spacing, p.y + p.d + spacing);
        let block = Rect { x, y, w: right - x, d: back - y };
        let mut next: Vec<Rect> = Vec::with_capacity(free.len() + 4);
        for f in &free {
            if !f.overlaps(&block) {
                next.push(*f);
                continue;
            }
            let parts = [
                Rect { w: x - f.x, ..*f },
                Rect { x: right, w: f.x + f.w - right, ..*f },
                Rect { d: y - f.y, ..*f },
                Rect { y: back, d: f.y + f.d - back, ..*f },
            ];
            next.extend(parts.into_iter().filter(|r| r.w > 0 && r.d > 0));
        }
        next.sort_unstable();
        next.dedup();
        let holds =
            |o: &Rect, r: &Rect| o.x <= r.x && o.y <= r.y && o.x + o.w >= r.x + r.w && o.y + o.d >= r.y + r.d;
        free = next.iter().filter(|r| !next.iter().any(|o| o != *r && holds(o, r))).copied().collect();
    }
    free.into_iter().max_by_key(|r| (area(r), std::cmp::Reverse((r.x, r.y))))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_pieces_are_parted() {
        let r = |x, y, w, d| Rect { x, y, w, d };
        let sheet = r(0, 0, 10, 10);
        let pieces = [r(0, 0, 5, 9), r(5, 0, 4, 2), r(5, 2, 3, 7), r(9, 0, 1, 5)];
        let (cuts, off) = cuts(sheet, &pieces, 0).unwrap();
        // The strip behind the two short ones, the end of the sheet, then between the pieces.
        assert_eq!((cuts.len(), off), (6, Some(r(0, 9, 10, 1))));
    }
}

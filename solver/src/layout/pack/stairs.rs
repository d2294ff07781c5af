//! The staircase of what is placed: its far corners and inner corners.

use super::field::Frame;

/// Far corners of what is placed, none behind and right of another, from left to right.
pub(super) type Stairs = Vec<(i64, i64)>;

/// Whether a place lies left of and in front of some far corner.
pub(super) fn under(stairs: &Stairs, x: i64, y: i64) -> bool {
    stairs.iter().any(|p| x < p.0 && y < p.1)
}

/// A notch of the staircase: its inner corner, the right end of its front, the back end of its left side.
#[derive(Clone, Copy)]
pub(super) struct Notch {
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) right: i64,
    pub(super) back: i64,
    /// Far corners before it.
    pub(super) before: usize,
}

/// The notch before this far corner, or the one after the last.
fn notch(stairs: &Stairs, f: Frame, k: usize) -> Notch {
    let before = k.checked_sub(1).and_then(|k| stairs.get(k));
    let after = stairs.get(k);
    Notch {
        x: before.map_or(f.x0, |p| p.0),
        y: after.map_or(f.y0, |p| p.1),
        right: after.map_or(f.x1, |p| p.0),
        back: before.map_or(f.y1, |p| p.1),
        before: k,
    }
}

/// How far to the right and how far back something in this notch may reach, so that what it covers in front of the notches to
/// the right, or left of those behind, is no more than this area.
pub(super) fn reach(stairs: &Stairs, f: Frame, k: usize, area: i64) -> (i64, i64) {
    let n = notch(stairs, f, k);
    let front = (k + 1..=stairs.len()).map(|j| notch(stairs, f, j)).map(|s| (n.y - s.y.max(f.y0), s.right));
    let behind = (0..k).rev().map(|j| notch(stairs, f, j)).map(|s| (n.x - s.x.max(f.x0), s.back));
    (along(n.right, front, area), along(n.back, behind, area))
}

/// How far this area reaches over strips one after the other: how much every step along takes of each, and where it ends.
fn along(mut at: i64, strips: impl Iterator<Item = (i64, i64)>, mut area: i64) -> i64 {
    for (across, end) in strips {
        let whole = across * (end - at);
        if whole > area {
            return at + area / across;
        }
        (at, area) = (end, area - whole);
    }
    at
}

/// Notches with room behind and to the right, from left to right.
pub(super) fn notches(stairs: &Stairs, f: Frame) -> impl Iterator<Item = Notch> + Clone + '_ {
    let all = (0..=stairs.len()).map(move |k| notch(stairs, f, k));
    all.filter(move |n| n.x < f.x1 && n.y < f.y1)
}

/// Adds a far corner, and drops those it covers.
pub(super) fn insert(stairs: &mut Stairs, x: i64, y: i64, f: Frame) {
    if x <= f.x0 || y <= f.y0 || stairs.iter().any(|p| p.0 >= x && p.1 >= y) {
        return;
    }
    stairs.retain(|p| p.0 > x || p.1 > y);
    let at = stairs.partition_point(|p| p.0 < x);
    stairs.insert(at, (x, y));
}

/// The area of this part of the floor left of and in front of a far corner that is not so yet.
pub(super) fn shadowed(stairs: &Stairs, f: Frame, x: i64, y: i64) -> i64 {
    let (mut area, mut from) = (0, f.x0);
    for (right, back) in stairs.iter().copied().chain([(f.x1, f.y0)]) {
        let (to, back) = (right.min(x), back.max(f.y0));
        if to > from && y > back {
            area += (to - from) * (y - back);
        }
        from = from.max(to);
    }
    area
}

/// Fills every notch in which nothing can start, by its corner and its right end: a piece that started in it would fit
/// at its corner too. The area that is lost so; `None`, the rest not filled, where that is more than `most`.
pub(super) fn fill(stairs: &mut Stairs, f: Frame, most: i64, starts: impl Fn(Notch) -> bool) -> Option<i64> {
    let (mut k, mut lost) = (0, 0);
    while k <= stairs.len() && !stairs.is_empty() {
        let n = notch(stairs, f, k);
        if n.x >= f.x1 || n.y >= f.y1 || starts(n) {
            k += 1;
            continue;
        }
        lost += (n.right - n.x) * (n.back - n.y);
        if lost > most {
            return None;
        }
        if k < stairs.len() {
            stairs.remove(k);
        }
        if k > 0 {
            stairs[k - 1] = (n.right, n.back);
        } else {
            stairs.insert(0, (n.right, n.back));
        }
        // The neighbours' notches keep their corners, and the left one is wider now.
        k = k.saturating_sub(1);
    }
    Some(lost)
}

#[cfg(test)]
mod tests {
    use super::super::field::Field;
    use super::super::{Floor, Piece};
    use super::*;

    #[test]
    fn what_is_shadowed_is_what_the_staircase_gains() {
        let piece = Piece { shapes: vec![(1, 1)], ..Piece::default() };
        let f = Field::new(&Floor { w: 20, d: 20, ..Floor::default() }, &[piece]).unwrap().frames[0];
        let under = |stairs: &Stairs| -> i64 {
            let mut from = 0;
            let mut sum = 0;
            for &(x, y) in stairs {
                sum += (x - from) * y;
                from = x;
            }
            sum
        };
        for (x, y) in (1..=20).flat_map(|x| (1..=20).map(move |y| (x, y))) {
            let mut stairs = vec![(3, 15), (8, 9), (14, 2)];
            let (gain, before) = (shadowed(&stairs, f, x, y), under(&stairs));
            insert(&mut stairs, x, y, f);
            assert_eq!(gain, under(&stairs) - before, "{x} {y}");
        }
    }

    #[test]
    fn what_reaches_over_a_notch_covers_no_more_than_it_may() {
        let piece = Piece { shapes: vec![(1, 1)], ..Piece::default() };
        let f = Field::new(&Floor { w: 20, d: 20, ..Floor::default() }, &[piece]).unwrap().frames[0];
        for stairs in [vec![(3, 15), (8, 9), (14, 2)], vec![(5, 20), (20, 4)], vec![(4, 7)], vec![]] {
            for (n, area) in notches(&stairs, f).flat_map(|n| (0..=200).map(move |area| (n, area))) {
                // The last place where what is to the right and in front, or behind and to the left, is within the area.
                let right = (n.right..=f.x1).rfind(|x| shadowed(&stairs, f, *x, n.y) <= area);
                let back = (n.back..=f.y1).rfind(|y| shadowed(&stairs, f, n.x, *y) <= area);
                assert_eq!(
                    reach(&stairs, f, n.before, area),
                    (right.unwrap(), back.unwrap()),
                    "{stairs:?} {area}"
                );
            }
        }
    }

    #[test]
    fn what_is_lost_is_what_the_staircase_gains() {
        let piece = Piece { shapes: vec![(1, 1)], ..Piece::default() };
        let f = Field::new(&Floor { w: 20, d: 20, ..Floor::default() }, &[piece]).unwrap().frames[0];
        let free = |stairs: &Stairs| shadowed(stairs, f, f.x1, f.y1);
        for least in 1..=20 {
            // Only notches of this width are of use.
            let starts = |n: Notch| f.x1 - n.x >= least;
            let before = vec![(3, 15), (8, 9), (14, 2)];
            let mut stairs = before.clone();
            let lost = fill(&mut stairs, f, i64::MAX, starts).unwrap();
            assert_eq!(lost, free(&before) - free(&stairs), "{least}");
            assert_eq!(fill(&mut before.clone(), f, lost, starts), Some(lost));
            assert!(lost == 0 || fill(&mut before.clone(), f, lost - 1, starts).is_none());
        }
    }
}

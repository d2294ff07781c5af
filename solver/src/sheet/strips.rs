//! Filling an empty sheet by straight cuts from the outset: a piece goes into the corner of a free part, two cuts part it from
//! what is beside it and what is behind it, and so on.

use super::reduced::{Problem, Spot};
use crate::layout::pack::Rect;
use crate::random::Random;

/// Takes pieces from `counts` as long as any fits, by a taste drawn once for the sheet.
pub(super) fn fill_strips(
    problem: &Problem,
    w: i64,
    d: i64,
    counts: &mut [usize],
    random: &mut Random,
) -> Vec<Spot> {
    let power: f64 = [0.5, 1.0, 2.0][random.below(3)];
    let exact: f64 = [1.2, 2.0, 4.0][random.below(3)];
    let split = random.below(4);
    let mut kinds: Vec<usize> = (0..counts.len()).filter(|&k| counts[k] > 0).collect();
    let worth: Vec<f64> =
        problem.kinds.iter().map(|k| (k.area() as f64).powf(power) * (0.6 + 0.4 * random.unit())).collect();
    let mut spots = Vec::new();
    let mut open = vec![Rect { x: 0, y: 0, w, d }];
    while let Some(free) = open.pop() {
        let mut best: Option<(f64, usize, bool)> = None;
        for &k in &kinds {
            let kind = &problem.kinds[k];
            for turned in [false, true].into_iter().take(1 + usize::from(kind.turns)) {
                let (w, d) = kind.lying(turned);
                if w > free.w || d > free.d {
                    continue;
                }
                let value = worth[k] * exact.powi(i32::from(w == free.w) + i32::from(d == free.d));
                if best.is_none_or(|b| value > b.0) {
                    best = Some((value, k, turned));
                }
            }
        }
        let Some((_, k, turned)) = best else { continue };
        counts[k] -= 1;
        if counts[k] == 0 {
            kinds.retain(|&o| o != k);
        }
        spots.push(Spot { kind: k, x: free.x, y: free.y, turned });
        let (w, d) = problem.kinds[k].lying(turned);
        let (over_w, over_d) = (free.w - w, free.d - d);
        // Whether the first cut runs along the width: then what is beside the piece is no deeper than it.
        let along = match split {
            0 => over_w < over_d,
            1 => i128::from(over_w) * i128::from(d) < i128::from(over_d) * i128::from(w),
            2 => true,
            _ => false,
        };
        let beside = Rect { x: free.x + w, w: over_w, d: if along { d } else { free.d }, ..free };
        let behind = Rect { y: free.y + d, d: over_d, w: if along { free.w } else { w }, ..free };
        // The strip with the piece is filled before the rest.
        let (rest, strip) = if along { (behind, beside) } else { (beside, behind) };
        open.extend([rest, strip].into_iter().filter(|r| r.w > 0 && r.d > 0));
    }
    spots
}

#[cfg(test)]
mod tests {
    use super::super::floor::separable;
    use super::super::{Piece, Rules, SheetSize};
    use super::*;
    use crate::length::Length;

    #[test]
    fn fillings_are_separable_and_keep_counts() {
        let mm = Length::mm;
        let piece = |i: i64| Piece {
            name: String::new(),
            w: mm(11 + i * 7 % 23),
            d: mm(9 + i * 5 % 17),
            turns: i % 2 == 0,
        };
        let pieces: Vec<Piece> = (0..40).map(piece).collect();
        let size = SheetSize { w: mm(100), d: mm(80), price_hundredths: None, most: None };
        let rules = Rules { margin: mm(0), spacing: mm(0), straight: true };
        let problem = Problem::new(&pieces, &[size], &rules);
        let mut random = Random::new(5);
        for _ in 0..20 {
            let mut counts = problem.demand();
            let spots = fill_strips(&problem, 100, 80, &mut counts, &mut random);
            assert!(spots.len() > 8);
            assert_eq!(spots.len() + counts.iter().sum::<usize>(), 40);
            let rect = |s: &Spot| {
                let (w, d) = problem.kinds[s.kind].lying(s.turned);
                Rect { x: s.x, y: s.y, w, d }
            };
            let mut rects: Vec<Rect> = spots.iter().map(rect).collect();
            let apart = |(i, a): (usize, &Rect)| rects[..i].iter().all(|b| !a.overlaps(b));
            assert!(rects.iter().enumerate().all(apart));
            assert!(rects.iter().all(|r| r.x + r.w <= 100 && r.y + r.d <= 80));
            assert!(separable(&mut rects));
        }
    }
}

//! Trays that stand in a row for which the box is too short now.

use crate::layout::pack::Rect;

/// A tray where it stood: outline, first layer and the one after its last.
pub(super) type Stood = (Rect, usize, usize);

/// Which of these to do without, so that no row of neighbours is longer than the floor of `room`: few of them, and rather
/// later ones than earlier ones; none of the first `firm` ones. Neighbours in a layer keep their order along the axis along
/// which they lie further apart.
pub(super) fn too_many(trays: &[Stood], firm: usize, room: (i64, i64), gap: i64) -> Vec<usize> {
    let mut out: Vec<usize> = Vec::new();
    loop {
        let over = strained(trays, &out, room, gap).into_iter().filter(|t| *t >= firm);
        let left = |&t: &usize| {
            let without: Vec<usize> = out.iter().copied().chain([t]).collect();
            (strained(trays, &without, room, gap).len(), std::cmp::Reverse(t))
        };
        let Some(worst) = over.min_by_key(left) else { break };
        out.push(worst);
    }
    out.sort_unstable();
    out
}

/// Trays in rows that are too long.
fn strained(trays: &[Stood], out: &[usize], room: (i64, i64), gap: i64) -> Vec<usize> {
    let left: Vec<usize> = (0..trays.len()).filter(|t| !out.contains(t)).collect();
    let mut over: Vec<usize> = Vec::new();
    for across in [true, false] {
        let span = |t: usize| {
            let r = &trays[t].0;
            if across { (r.x, r.w) } else { (r.y, r.d) }
        };
        let length = if across { room.0 } else { room.1 };
        let follows = |a: usize, b: usize| along(&trays[a], &trays[b]) == Some((across, true));
        let (before, after) = (longest(&left, &span, &follows, gap), {
            let back = |a: usize, b: usize| follows(b, a);
            let mirrored = |t: usize| (-span(t).0 - span(t).1, span(t).1);
            longest(&left, &mirrored, &back, gap)
        });
        let through = before.iter().zip(&after).zip(&left).map(|((b, a), &t)| (b + a - span(t).1, t));
        over.extend(through.filter(|(whole, _)| *whole > length).map(|(_, t)| t));
    }
    over.sort_unstable();
    over.dedup();
    over
}

/// Of each tray, the length of the longest row that ends with it.
fn longest(
    trays: &[usize],
    span: &dyn Fn(usize) -> (i64, i64),
    follows: &dyn Fn(usize, usize) -> bool,
    gap: i64,
) -> Vec<i64> {
    let mut order: Vec<usize> = (0..trays.len()).collect();
    order.sort_by_key(|&i| (span(trays[i]).0, trays[i]));
    let mut ends = vec![0; trays.len()];
    for (k, &i) in order.iter().enumerate() {
        let own = span(trays[i]).1;
        let before = order[..k].iter().filter(|&&j| follows(trays[j], trays[i])).map(|&j| ends[j] + gap);
        ends[i] = own + before.max().unwrap_or(0);
    }
    ends
}

/// Whether two trays of a layer lie beside each other (else one behind the other), and whether the first comes first.
fn along(a: &Stood, b: &Stood) -> Option<(bool, bool)> {
    if a.1 >= b.2 || b.1 >= a.2 {
        return None;
    }
    let apart = |a: i64, long_a: i64, b: i64, long_b: i64| (b - a - long_a).max(a - b - long_b);
    let (p, q) = (&a.0, &b.0);
    let across = apart(p.x, p.w, q.x, q.w) > apart(p.y, p.d, q.y, q.d);
    Some((across, if across { p.x < q.x } else { p.y < q.y }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_of_each_row_that_is_too_long_is_left_out() {
        let at = |x, y, w, d, layer| (Rect { x, y, w, d }, layer, layer + 1);
        // Two rows behind each other over a floor of 20 × 10; across there is room.
        let trays = [at(0, 0, 8, 5, 0), at(0, 5, 8, 5, 0), at(10, 0, 8, 10, 0), at(0, 0, 8, 10, 1)];
        assert_eq!(too_many(&trays, 0, (20, 10), 0), [0; 0]);
        // One step is missing: a tray as deep as the floor, too, and only one of the row of two.
        assert_eq!(too_many(&trays, 0, (20, 9), 0), [1, 2, 3]);
        // Too narrow for the two beside each other: the one that both rows share.
        assert_eq!(too_many(&trays[..3], 0, (15, 10), 0), [2]);
        assert_eq!(too_many(&trays[..3], 0, (20, 10), 1), [1]);
        // What must stay is not given up, even where a row stays too long.
        assert_eq!(too_many(&trays, 2, (20, 9), 0), [2, 3]);
        assert_eq!(too_many(&trays[..3], 3, (15, 10), 0), [0; 0]);
    }
}

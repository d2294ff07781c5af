//! Choosing a few well-spread outlines out of many.

use crate::layout::instance::Option3;

/// At most `count` of these, evenly by index, first and last included.
pub(super) fn spread<T: Copy>(all: Vec<T>, count: usize) -> Vec<T> {
    if all.len() <= count {
        return all;
    }
    let last = all.len() - 1;
    let steps = count.saturating_sub(1).max(1);
    (0..=steps).filter_map(|i| all.get(i * last / steps).copied()).collect()
}

/// About `count` outlines of one curve: least area, squarest, both ends, and the least area in each
/// of even steps of proportion. Where trays turn, each is taken with its turned one.
pub(super) fn well_spread(curve: &[Option3], count: usize, turns: bool) -> Vec<Option3> {
    if curve.len() <= count {
        return curve.to_vec();
    }
    let pool: Vec<Option3> = if turns {
        curve.iter().copied().filter(|o| o.w >= o.d || !has(curve, o.d, o.w)).collect()
    } else {
        curve.to_vec()
    };
    let area = |o: &Option3| (o.w.saturating_mul(o.d), o.w);
    let lean = |o: &Option3| log2(o.w) - log2(o.d);
    let mut chosen: Vec<Option3> = Vec::new();
    chosen.extend(pool.iter().copied().min_by_key(area));
    chosen.extend(pool.iter().copied().min_by_key(|o| (o.w.max(o.d), o.w)));
    chosen.extend(pool.first());
    chosen.extend(pool.last());
    let bins = (if turns { count / 2 } else { count }).saturating_sub(chosen.len()).max(1) as i64;
    if let (Some(first), Some(last)) = (pool.first(), pool.last()) {
        let (from, width) = (lean(first), (lean(last) - lean(first)).max(1));
        for bin in 0..bins {
            let inside = |o: &&Option3| (lean(o) - from) * bins / width == bin;
            chosen.extend(pool.iter().filter(inside).copied().min_by_key(area));
        }
    }
    if turns {
        let turned: Vec<Option3> = chosen
            .iter()
            .filter(|o| has(curve, o.d, o.w))
            .map(|o| Option3 { w: o.d, d: o.w, h: o.h })
            .collect();
        chosen.extend(turned);
    }
    chosen.sort_unstable();
    chosen.dedup();
    chosen
}

/// Whether a curve holds this very outline; widths ascend.
fn has(curve: &[Option3], w: i64, d: i64) -> bool {
    curve.binary_search_by_key(&w, |o| o.w).ok().and_then(|i| curve.get(i)).is_some_and(|o| o.d == d)
}

/// Logarithm to base 2 in 1/256, in whole numbers: squaring doubles the logarithm.
fn log2(n: i64) -> i64 {
    let Some(whole) = n.checked_ilog2() else { return 0 };
    // Mantissa in [2^30, 2^31).
    let mut x = if whole <= 30 { (n as u64) << (30 - whole) } else { (n as u64) >> (whole - 30) };
    let mut out = i64::from(whole);
    for _ in 0..8 {
        x = (x * x) >> 30;
        out *= 2;
        if x >> 31 != 0 {
            x >>= 1;
            out += 1;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn logarithms_are_right_to_a_step() {
        assert_eq!(log2(1), 0);
        assert_eq!(log2(1024), 2560);
        for n in [3, 10, 77, 1000, 123_456_789, 1 << 40] {
            let exact = ((n as f64).log2() * 256.0).floor() as i64;
            assert!((log2(n) - exact).abs() <= 1, "{n}");
        }
    }

    #[test]
    fn samples_keep_ends_and_least_area() {
        let curve: Vec<Option3> = (20..=500).map(|w| Option3 { w, d: 10_000 / w + 3, h: 9 }).collect();
        let some = well_spread(&curve, 12, false);
        let least = curve.iter().map(|o| o.w * o.d).min().unwrap();
        assert!(some.contains(&curve[0]) && some.contains(&curve[480]) && some.len() <= 14);
        assert!(some.iter().any(|o| o.w * o.d == least));
        assert_eq!(spread((0..100).collect(), 4), [0, 33, 66, 99]);
    }
}

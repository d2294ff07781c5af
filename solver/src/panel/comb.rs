//! How an edge is divided into fingers, and where along it tabs go.
//!
//! Common practice, without a published source (one published example: 1/4 in stock with fingers 1/2 in wide):
//! fingers are as deep as the mating panel is thick, 2 to 3 times that wide (1 to 4 times is usable), never less than
//! twice at a corner, and an odd number of them makes both ends alike. A row of many fingers adds up what each is off,
//! so there are as few as that allows.

use crate::length::Length;

/// No feature is narrower: details below 1 mm are fragile (from two shops' published rules).
pub(super) const LEAST: Length = Length::mm(1);

/// Tabs stand no farther apart than so many thicknesses (our choice, no source).
const PITCH: i64 = 20;

/// Bounds of the fingers along `from..to` for panels of thickness `t` (the thicker of the two): the fewest odd number,
/// three or more, that are no wider than 10/3 t; then all are between 2 t and 10/3 t. Two bounds, no joint, where the
/// edge is shorter than 6 t. Mirrored, the bounds are the same.
pub(super) fn fingers(from: Length, to: Length, t: Length) -> Vec<Length> {
    let (length, t) = ((to - from).nm(), t.max(LEAST / 2).nm());
    if length < 6 * t {
        return vec![from, to];
    }
    let mut n = (3 * length + 10 * t - 1) / (10 * t);
    n += 1 - n % 2;
    let n = n.max(3);
    let bound = |i: i64| match 2 * i < n {
        true => from + Length::from_nm(length * i / n),
        false => to - Length::from_nm(length * (n - i) / n),
    };
    (0..=n).map(bound).collect()
}

/// The second, fourth … finger: those of the panel that does not own the ends.
pub(super) fn even(bounds: &[Length]) -> Vec<(Length, Length)> {
    bounds.windows(2).skip(1).step_by(2).filter_map(|w| Some((*w.first()?, *w.get(1)?))).collect()
}

/// Tabs along `from..to` for panels of thickness `t` (the thicker of the two): one in the middle of every stretch of
/// at most 20 t, a third of the stretch wide, but at most 5 t. So a tab is at least `t` wide, with as much beside it.
/// None where the edge is shorter than 3 t.
pub(super) fn tabs(from: Length, to: Length, t: Length) -> Vec<(Length, Length)> {
    let (length, t) = ((to - from).nm(), t.max(LEAST).nm());
    if length < 3 * t {
        return Vec::new();
    }
    let n = (length + PITCH * t - 1) / (PITCH * t);
    let width = (length / n / 3).clamp(t, 5 * t);
    (0..n)
        .map(|i| {
            let start = from + Length::from_nm((length * (2 * i + 1) / n - width) / 2);
            (start, start + Length::from_nm(width))
        })
        .collect()
}

/// Tabs at a corner of the tray, which keep twice the thickness at both ends; bounds as of [`fingers`].
pub(super) fn corner_tabs(from: Length, to: Length, t: Length) -> Vec<Length> {
    let mut bounds = vec![from];
    if (to - from) >= t.max(LEAST) * 6 {
        bounds.extend(tabs(from, to, t).into_iter().flat_map(|(a, b)| [a, b]));
    }
    bounds.push(to);
    bounds
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fingers_keep_their_width_on_every_edge() {
        for t in [1_500, 2_000, 3_000, 3_175, 6_000].map(Length::um) {
            for length in (1..2_000).map(|i| Length::um(317 * i)) {
                let bounds = fingers(Length::mm(7), Length::mm(7) + length, t);
                assert_eq!((bounds.len() - 1) % 2, 1);
                assert_eq!((bounds[0], bounds[bounds.len() - 1]), (Length::mm(7), Length::mm(7) + length));
                if length < t * 6 {
                    assert_eq!(bounds.len(), 2, "{length}");
                    continue;
                }
                for w in bounds.windows(2) {
                    // The bounds are whole nanometres.
                    let width = w[1] - w[0] + Length::from_nm(1);
                    assert!(
                        width >= t * 2 && (width - Length::from_nm(2)) * 3 <= t * 10,
                        "{t} {length} {width}"
                    );
                }
                let turned: Vec<Length> = bounds.iter().rev().map(|&b| Length::mm(14) + length - b).collect();
                assert_eq!(bounds, turned);
            }
        }
    }

    #[test]
    fn tabs_leave_as_much_beside_them() {
        for t in [1_500, 3_000, 6_000].map(Length::um) {
            for length in (1..2_000).map(|i| Length::um(317 * i)) {
                let tabs = tabs(Length::ZERO, length, t);
                assert_eq!(tabs.is_empty(), length < t * 3);
                let mut free = Length::ZERO;
                for &(a, b) in &tabs {
                    assert!(
                        a - free >= t - Length::from_nm(1) && b - a >= t && b - a <= t * 5,
                        "{t} {length}"
                    );
                    free = b;
                }
                assert!(length - free >= t || tabs.is_empty());
                let corner = corner_tabs(Length::ZERO, length, t);
                assert!(corner.len() == 2 || corner[1] >= t * 2 - Length::from_nm(1), "{length} {corner:?}");
            }
        }
    }
}

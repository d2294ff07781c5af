//! The slab of cover items: large flat things directly under the lid room, side by side or one on another.

use crate::job::Cover;
use crate::length::Length;
use crate::place::{Cuboid, Point, Size};

/// Most cover items for which every way of sharing levels is tried; more lie one on another in pairs at most.
const MOST_SHARED: usize = 8;

/// Cover items in their places, z counted from the underside of the slab.
///
/// ```
/// # use traywright::{job::Cover, layout::slab::slab, length::Length, place::Size};
/// # let mm = Length::mm;
/// # let item = |name: &str, w, d, h| {
/// #     Cover { name: name.into(), size: Size { w: mm(w), d: mm(d), h: mm(h) }, sink: false }
/// # };
/// // The chart is larger than the board, so that the board lies on it.
/// let items = [item("board", 200, 190, 6), item("chart", 290, 200, 4)];
/// let slab = slab(&items, mm(300), mm(200)).unwrap();
/// assert_eq!(slab.height, mm(10));
/// assert_eq!((slab.places[0].at.z, slab.places[1].at.z), (mm(4), mm(0)));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Slab {
    /// Its height: the sum of its levels.
    pub height: Length,
    /// In the order of the job's cover items.
    pub places: Vec<Cuboid>,
}

/// The least slab that holds these items in a box of this width and depth; `None` where one does not fit at all.
///
/// Levels lie one on another; within a level items stand side by side in one row along the width or the depth,
/// each turned as it fits. Larger items take the lower levels, centred, so that they rest on what lies below.
///
/// ```
/// use traywright::{job::Cover, layout::slab::slab, length::Length, place::Size};
/// let item = |name: &str, w, d, h| Cover { name: name.into(), size: Size { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) }, sink: false };
/// // Two half-width boards share one level, the map takes another.
/// let s = slab(&[item("a", 150, 200, 4), item("map", 290, 220, 10), item("b", 140, 200, 5)], Length::mm(300), Length::mm(230)).unwrap();
/// assert_eq!(s.height, Length::mm(15));
/// ```
pub fn slab(items: &[Cover], width: Length, depth: Length) -> Option<Slab> {
    // Seen from its longer side, so that turning the box turns the slab and changes nothing else.
    if width < depth {
        let mut slab = laid(items, depth, width)?;
        slab.places.iter_mut().for_each(|c| *c = turned(*c));
        return Some(slab);
    }
    laid(items, width, depth)
}

/// No slab of these items is lower: by the highest one, and by those of which no two go side by side.
pub(crate) fn least_slab(items: &[Cover], width: Length, depth: Length) -> Length {
    let highest = items.iter().map(|c| c.size.h).max().unwrap_or_default();
    // Longer than half of either side whichever way they lie.
    let large = |c: &&Cover| {
        let side = c.size.w.min(c.size.d);
        side * 2 > width && side * 2 > depth
    };
    let stacked: Length = items.iter().filter(large).map(|c| c.size.h).sum();
    highest.max(stacked)
}

fn turned(c: Cuboid) -> Cuboid {
    Cuboid { at: Point { x: c.at.y, y: c.at.x, z: c.at.z }, size: c.size.turned() }
}

fn laid(items: &[Cover], width: Length, depth: Length) -> Option<Slab> {
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_key(|&i| (std::cmp::Reverse(items[i].size.footprint()), i));
    let mut best: Option<(Length, Vec<Vec<usize>>)> = None;
    if items.len() <= MOST_SHARED {
        let mut levels = Vec::new();
        share(items, &order, 0, (width, depth), &mut levels, &mut best);
    } else {
        let mut levels: Vec<Vec<usize>> = Vec::new();
        for &i in &order {
            let fits = levels
                .iter_mut()
                .find(|l| l.len() < 2 && row(items, &[l.as_slice(), &[i]].concat(), width, depth).is_some());
            match fits {
                Some(level) => level.push(i),
                None => levels.push(vec![i]),
            }
        }
        if levels.iter().all(|l| row(items, l, width, depth).is_some()) {
            best = Some((thickness(items, &levels), levels));
        }
    }
    let (height, levels) = best?;
    let mut places = vec![Cuboid::default(); items.len()];
    let mut z = Length::ZERO;
    for level in &levels {
        for (i, at) in row(items, level, width, depth)? {
            places[i] = Cuboid { at: Point { z, ..at.at }, size: at.size };
        }
        z += level.iter().map(|&i| items[i].size.h).max().unwrap_or_default();
    }
    Some(Slab { height, places })
}

fn thickness(items: &[Cover], levels: &[Vec<usize>]) -> Length {
    levels.iter().map(|l| l.iter().map(|&i| items[i].size.h).max().unwrap_or_default()).sum()
}

/// Tries every way of sharing levels, larger items first.
fn share(
    items: &[Cover],
    order: &[usize],
    next: usize,
    (width, depth): (Length, Length),
    levels: &mut Vec<Vec<usize>>,
    best: &mut Option<(Length, Vec<Vec<usize>>)>,
) {
    let height = thickness(items, levels);
    if best.as_ref().is_some_and(|b| b.0 <= height) {
        return;
    }
    let Some(&item) = order.get(next) else {
        *best = Some((height, levels.clone()));
        return;
    };
    for l in 0..levels.len() {
        levels[l].push(item);
        if row(items, &levels[l], width, depth).is_some() {
            share(items, order, next + 1, (width, depth), levels, best);
        }
        levels[l].pop();
    }
    if row(items, &[item], width, depth).is_some() {
        levels.push(vec![item]);
        share(items, order, next + 1, (width, depth), levels, best);
        levels.pop();
    }
}

/// The items of one level in one row, centred; `None` where they do not fit.
fn row(items: &[Cover], level: &[usize], width: Length, depth: Length) -> Option<Vec<(usize, Cuboid)>> {
    along(items, level, width, depth).or_else(|| {
        let across = along(items, level, depth, width)?;
        Some(across.into_iter().map(|(i, c)| (i, turned(c))).collect())
    })
}

/// A row along the first direction; each item takes as little of it as the second direction allows.
fn along(items: &[Cover], level: &[usize], width: Length, depth: Length) -> Option<Vec<(usize, Cuboid)>> {
    let mut sizes: Vec<(usize, Size)> = Vec::with_capacity(level.len());
    for &i in level {
        let s = items[i].size;
        let narrow = [s, s.turned()].into_iter().filter(|s| s.d <= depth).min_by_key(|s| s.w)?;
        sizes.push((i, narrow));
    }
    let total: Length = sizes.iter().map(|(_, s)| s.w).sum();
    if total > width {
        return None;
    }
    let mut x = (width - total) / 2;
    let mut out = Vec::with_capacity(sizes.len());
    for (i, size) in sizes {
        out.push((i, Cuboid { at: Point { x, y: (depth - size.d) / 2, z: Length::ZERO }, size }));
        x += size.w;
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn item(w: i64, d: i64, h: i64) -> Cover {
        let size = Size { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) };
        Cover { name: format!("{w}"), size, sink: false }
    }

    #[test]
    fn an_item_larger_than_the_box_has_no_slab() {
        assert_eq!(slab(&[item(310, 100, 3)], Length::mm(300), Length::mm(200)), None);
        assert!(slab(&[item(190, 300, 3)], Length::mm(300), Length::mm(200)).is_some());
        assert_eq!(slab(&[], Length::mm(300), Length::mm(200)), Some(Slab::default()));
    }

    /// Met among random jobs: lifts, and with them the best plan, changed with the side from which the box was seen.
    #[test]
    fn turning_the_box_turns_the_slab() {
        let items = [item(39, 65, 3), item(60, 20, 2), item(25, 70, 4)];
        for (w, d) in [(69, 89), (89, 69), (70, 70), (140, 72)] {
            let [one, other] =
                [(w, d), (d, w)].map(|(w, d)| slab(&items, Length::mm(w), Length::mm(d)).unwrap());
            assert_eq!(one.height, other.height);
            let turned: Vec<Cuboid> = other.places.into_iter().map(turned).collect();
            assert!(w == d || one.places == turned, "{w} x {d}");
        }
    }

    #[test]
    fn places_stay_inside_and_apart() {
        let items = [item(100, 90, 3), item(95, 80, 4), item(90, 190, 2), item(280, 190, 8), item(20, 20, 1)];
        let s = slab(&items, Length::mm(300), Length::mm(200)).unwrap();
        // The 100, 95, 90 and … row: 280 mm board alone; 90×190 + 100×90 + 95×80 in one row leave 15 mm, so
        // the small one lies in the board's level.
        assert_eq!(s.height, Length::mm(12));
        for (i, a) in s.places.iter().enumerate() {
            assert!(a.at.x >= Length::ZERO && a.far().x <= Length::mm(300) && a.far().z <= s.height);
            for b in &s.places[..i] {
                let apart =
                    a.far().x <= b.at.x || b.far().x <= a.at.x || a.far().y <= b.at.y || b.far().y <= a.at.y;
                assert!(apart || a.far().z <= b.at.z || b.far().z <= a.at.z);
            }
        }
    }
}

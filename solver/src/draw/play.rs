//! How far what stands in a layer can slide in it, from side to side and from front to back.

use super::scene::{Item, Scene};

/// The most that one body of a layer can slide along width and along depth, and its name, in millimetres.
pub(super) struct Play {
    /// Along the width.
    pub(super) width: (f64, String),
    /// Along the depth.
    pub(super) depth: (f64, String),
}

/// Less than this is no overlap of two bodies but rounding, millimetres.
const TOUCH: f64 = 1e-6;

/// How a body lies: from where to where along width and depth, and in which layers.
struct Lying<'a> {
    sides: [(f64, f64); 2],
    layers: &'a [usize],
}

/// The greatest play of a layer (from 1); `None` where nothing stands in it. A body pushes on what stands in its way until
/// everything lies against a side of the box: what it may slide is what is left of the longest row that it stands in, in
/// whatever layers that row stands.
pub(super) fn of_layer(scene: &Scene<'_>, layer: usize) -> Option<Play> {
    let all: Vec<&Item> = scene.items.iter().filter(|i| !i.layers.is_empty()).collect();
    let sides = |i: &Item| [(i.block.x0, i.block.x1), (i.block.y0, i.block.y1)];
    let lying: Vec<Lying> = all.iter().map(|i| Lying { sides: sides(i), layers: i.layers }).collect();
    let room = [scene.interior.w(), scene.interior.d()];
    let most = |axis: usize| {
        let slides = slides(&lying, axis, room[axis]);
        let here = (0..all.len()).filter(|&i| all[i].layers.contains(&layer));
        let at = here.max_by(|&a, &b| slides[a].total_cmp(&slides[b]).then(b.cmp(&a)))?;
        Some((slides[at], all[at].name.clone()))
    };
    Some(Play { width: most(0)?, depth: most(1)? })
}

/// What each body may slide along an axis.
fn slides(all: &[Lying<'_>], axis: usize, room: f64) -> Vec<f64> {
    let other = 1 - axis;
    let meet = |a: usize, b: usize| {
        let ((a0, a1), (b0, b1)) = (all[a].sides[other], all[b].sides[other]);
        a0.max(b0) + TOUCH < a1.min(b1) && all[a].layers.iter().any(|l| all[b].layers.contains(l))
    };
    let length = |i: usize| all[i].sides[axis].1 - all[i].sides[axis].0;
    let mut order: Vec<usize> = (0..all.len()).collect();
    order.sort_by(|&a, &b| all[a].sides[axis].0.total_cmp(&all[b].sides[axis].0).then(a.cmp(&b)));
    // The longest row on either side of each body.
    let row = |order: &[usize]| {
        let mut before = vec![0.0_f64; all.len()];
        for (k, &i) in order.iter().enumerate() {
            let reach = order.iter().take(k).filter(|&&j| meet(i, j)).map(|&j| before[j] + length(j));
            before[i] = reach.fold(0.0, f64::max);
        }
        before
    };
    let low = row(&order);
    order.reverse();
    let high = row(&order);
    (0..all.len()).map(|i| (room - low[i] - length(i) - high[i]).max(0.0)).collect()
}

#[cfg(test)]
mod tests {
    use super::{Lying, slides};

    #[test]
    fn a_body_slides_by_what_its_longest_row_leaves() {
        // Seen from above in a box 100 wide: A and B in one row, C behind A alone, D behind both.
        let [a, b] = [[(0.0, 40.0), (0.0, 20.0)], [(45.0, 90.0), (0.0, 20.0)]];
        let [c, d] = [[(10.0, 40.0), (25.0, 40.0)], [(0.0, 98.0), (45.0, 60.0)]];
        let of = |all: &[_], axis, room| {
            let lying: Vec<Lying> = all.iter().map(|s| Lying { sides: *s, layers: &[1] }).collect();
            slides(&lying, axis, room)
        };
        assert_eq!(of(&[a, b], 0, 100.0), [15.0, 15.0]);
        assert_eq!(of(&[a, b, c, d], 0, 100.0), [15.0, 15.0, 70.0, 2.0]);
        // From front to back: A, C and D are a row of 50 in 65; B and D one of 35.
        assert_eq!(of(&[a, b, c, d], 1, 65.0), [15.0, 30.0, 15.0, 15.0]);
        assert!(of(&[], 0, 9.0).is_empty());
    }

    #[test]
    fn what_reaches_through_two_layers_stands_in_the_rows_of_both() {
        let at = |from, to| [(from, to), (0.0, 20.0)];
        let both = Lying { sides: at(0.0, 30.0), layers: &[1, 2] };
        let below = Lying { sides: at(30.0, 98.0), layers: &[1] };
        let above = Lying { sides: at(40.0, 50.0), layers: &[2] };
        assert_eq!(slides(&[both, below, above], 0, 100.0), [2.0, 2.0, 60.0]);
    }
}

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

/// The greatest play of a layer (from 1); `None` where nothing stands in it. A body pushes on what stands in its way until
/// everything lies against a side of the box: what it may slide is what is left of the longest row that it stands in.
pub(super) fn of_layer(scene: &Scene<'_>, layer: usize) -> Option<Play> {
    let all: Vec<&Item> = scene.in_layer(layer).collect();
    let sides: Vec<[(f64, f64); 2]> =
        all.iter().map(|i| [(i.block.x0, i.block.x1), (i.block.y0, i.block.y1)]).collect();
    let room = [scene.interior.w(), scene.interior.d()];
    let most = |axis: usize| {
        let slides = slides(&sides, axis, room[axis]);
        let at = (0..all.len()).max_by(|&a, &b| slides[a].total_cmp(&slides[b]).then(b.cmp(&a)))?;
        Some((slides[at], all[at].name.clone()))
    };
    Some(Play { width: most(0)?, depth: most(1)? })
}

/// What each body may slide along an axis.
fn slides(sides: &[[(f64, f64); 2]], axis: usize, room: f64) -> Vec<f64> {
    let other = 1 - axis;
    let meet = |a: usize, b: usize| {
        let ((a0, a1), (b0, b1)) = (sides[a][other], sides[b][other]);
        a0.max(b0) + TOUCH < a1.min(b1)
    };
    let length = |i: usize| sides[i][axis].1 - sides[i][axis].0;
    let mut order: Vec<usize> = (0..sides.len()).collect();
    order.sort_by(|&a, &b| sides[a][axis].0.total_cmp(&sides[b][axis].0).then(a.cmp(&b)));
    // The longest row on either side of each body.
    let row = |order: &[usize]| {
        let mut before = vec![0.0_f64; sides.len()];
        for (k, &i) in order.iter().enumerate() {
            let reach = order.iter().take(k).filter(|&&j| meet(i, j)).map(|&j| before[j] + length(j));
            before[i] = reach.fold(0.0, f64::max);
        }
        before
    };
    let low = row(&order);
    order.reverse();
    let high = row(&order);
    (0..sides.len()).map(|i| (room - low[i] - length(i) - high[i]).max(0.0)).collect()
}

#[cfg(test)]
mod tests {
    use super::slides;

    #[test]
    fn a_body_slides_by_what_its_longest_row_leaves() {
        // Seen from above in a box 100 wide: A and B in one row, C behind A alone, D behind both.
        let [a, b] = [[(0.0, 40.0), (0.0, 20.0)], [(45.0, 90.0), (0.0, 20.0)]];
        let [c, d] = [[(10.0, 40.0), (25.0, 40.0)], [(0.0, 98.0), (45.0, 60.0)]];
        let of = |all: &[_], axis, room| slides(all, axis, room);
        assert_eq!(of(&[a, b], 0, 100.0), [15.0, 15.0]);
        assert_eq!(of(&[a, b, c, d], 0, 100.0), [15.0, 15.0, 70.0, 2.0]);
        // From front to back: A, C and D are a row of 50 in 65; B and D one of 35.
        assert_eq!(of(&[a, b, c, d], 1, 65.0), [15.0, 30.0, 15.0, 15.0]);
        assert!(of(&[], 0, 9.0).is_empty());
    }
}

//! Isometric projection and the convex polygons it makes.

use super::scene::Block;

/// A point on paper.
pub(super) type Spot = (f64, f64);

/// cos 30°.
pub(super) const COS30: f64 = 0.866_025_403_784_438_6;

/// Seen from the front, the right and above: x runs down to the right, y up to the right, z up. Lengths
/// along all three keep the same scale, which is what makes it isometric.
#[derive(Clone, Copy, Debug)]
pub(super) struct View {
    /// Paper millimetres for one of the box.
    pub(super) scale: f64,
    /// Where the box's origin falls on paper.
    pub(super) origin: Spot,
}

impl View {
    pub(super) fn spot(&self, x: f64, y: f64, z: f64) -> Spot {
        (self.origin.0 + (x + y) * COS30 * self.scale, self.origin.1 + ((x - y) * 0.5 - z) * self.scale)
    }

    /// Top face.
    pub(super) fn top(&self, b: &Block) -> [Spot; 4] {
        self.level(b, b.z1)
    }

    /// The outline at any height.
    pub(super) fn level(&self, b: &Block, z: f64) -> [Spot; 4] {
        [
            self.spot(b.x0, b.y0, z),
            self.spot(b.x1, b.y0, z),
            self.spot(b.x1, b.y1, z),
            self.spot(b.x0, b.y1, z),
        ]
    }

    /// An upright face across the depth `y`: the front where it is `y0`.
    pub(super) fn across(&self, b: &Block, y: f64) -> [Spot; 4] {
        [
            self.spot(b.x0, y, b.z0),
            self.spot(b.x1, y, b.z0),
            self.spot(b.x1, y, b.z1),
            self.spot(b.x0, y, b.z1),
        ]
    }

    /// An upright face along the depth at `x`: the right side where it is `x1`.
    pub(super) fn along(&self, b: &Block, x: f64) -> [Spot; 4] {
        [
            self.spot(x, b.y0, b.z0),
            self.spot(x, b.y1, b.z0),
            self.spot(x, b.y1, b.z1),
            self.spot(x, b.y0, b.z1),
        ]
    }
}

/// Twice the signed area of a triangle.
fn side(a: Spot, b: Spot, p: Spot) -> f64 {
    (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0)
}

/// Twice the signed area of a polygon.
fn turn(polygon: &[Spot]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    polygon.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum()
}

/// Whether a convex polygon holds a point.
pub(super) fn holds(polygon: &[Spot], p: Spot) -> bool {
    let sign = turn(polygon);
    let next = polygon.iter().cycle().skip(1);
    polygon.len() > 2 && polygon.iter().zip(next).all(|(a, b)| side(*a, *b, p) * sign >= 0.0)
}

/// What of a convex polygon lies in another convex one (Sutherland and Hodgman, CACM 17, 1974).
pub(super) fn common(subject: &[Spot], clip: &[Spot]) -> Vec<Spot> {
    let sign = turn(clip);
    let mut out = subject.to_vec();
    for (a, b) in clip.iter().zip(clip.iter().cycle().skip(1)) {
        let inside = |p: Spot| side(*a, *b, p) * sign >= 0.0;
        let mut next: Vec<Spot> = Vec::with_capacity(out.len() + 1);
        for (p, q) in out.iter().zip(out.iter().cycle().skip(1)) {
            let (sp, sq) = (side(*a, *b, *p), side(*a, *b, *q));
            if inside(*p) {
                next.push(*p);
            }
            if inside(*p) != inside(*q) && sp != sq {
                let t = sp / (sp - sq);
                next.push((p.0 + (q.0 - p.0) * t, p.1 + (q.1 - p.1) * t));
            }
        }
        out = next;
    }
    out
}

/// Whether `a` must be drawn before `b`, which may hide it: it lies behind, to the left, or below.
///
/// Bodies that do not overlap in space but do on paper agree on the answer along every axis that
/// separates them, so one separating axis is enough.
fn before(a: &Block, b: &Block) -> bool {
    let far = a.y0 >= b.y1 || a.x1 <= b.x0 || a.z1 <= b.z0;
    let near = b.y0 >= a.y1 || b.x1 <= a.x0 || b.z1 <= a.z0;
    far && !near
}

/// An order of drawing in which nothing is painted over by what lies behind it.
pub(super) fn painting_order(blocks: &[Block]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..blocks.len()).collect();
    left.sort_by(|&a, &b| match (blocks.get(a), blocks.get(b)) {
        (Some(a), Some(b)) => a.z0.total_cmp(&b.z0).then(b.y0.total_cmp(&a.y0)).then(a.x0.total_cmp(&b.x0)),
        _ => std::cmp::Ordering::Equal,
    });
    // Beyond this, a rough order must do: drawing is not the place for a long computation.
    if left.len() > 400 {
        return left;
    }
    let mut out = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let free = |i: usize| {
            let Some(b) = blocks.get(i) else { return true };
            left.iter().filter(|&&j| j != i).filter_map(|&j| blocks.get(j)).all(|o| !before(o, b))
        };
        // A ring of bodies each before the next does not occur in one layer; should it, any may go first.
        let k = left.iter().position(|&i| free(i)).unwrap_or(0);
        out.push(left.remove(k));
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polygons_are_cut_to_what_they_share() {
        let square = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)];
        let other = [(1.0, 1.0), (3.0, 1.0), (3.0, 3.0), (1.0, 3.0)];
        let both = common(&square, &other);
        assert!((turn(&both).abs() - 2.0).abs() < 1e-12);
        let away = [(5.0, 5.0), (6.0, 5.0), (6.0, 6.0), (5.0, 6.0)];
        assert!(common(&square, &away).len() < 3);
        assert!(holds(&square, (1.0, 1.0)) && !holds(&square, (3.0, 1.0)));
    }

    #[test]
    fn what_lies_behind_is_drawn_first() {
        let at = |x: f64, y: f64| Block { x0: x, y0: y, z0: 0.0, x1: x + 1.0, y1: y + 1.0, z1: 1.0 };
        let order = painting_order(&[at(1.0, 0.0), at(0.0, 0.0), at(1.0, 1.0), at(0.0, 1.0)]);
        let place = |i: usize| order.iter().position(|&k| k == i).unwrap();
        assert!(place(3) < place(1) && place(3) < place(2) && place(1) < place(0) && place(2) < place(0));
    }
}

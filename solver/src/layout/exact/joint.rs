//! Layers that share bodies, packed one after another: what the first ones have placed stays for the others.

use std::collections::BTreeMap;

use super::super::instance::{Instance, Layout};
use super::super::pack::{Floor, Packed, Piece, Rect, pack_within};
use super::layer::{Place, terms};
use super::leaf::Leaf;
use crate::stop::Stop;

/// Where shared bodies stand before anything is packed.
#[derive(Clone, Copy)]
enum Start {
    /// Where the fullest layer has them.
    Anywhere,
    /// Side by side along the front, or along the left side.
    Front,
    Left,
    /// One in each corner.
    Corners,
}

impl Leaf {
    /// A layout in which every layer is packed; `None` where none was found with so many nodes a packing. What it takes is
    /// counted by `stop`, whose clock and flag end it. It may leave bodies without bearing.
    pub(super) fn jointly(
        &self,
        instance: &Instance,
        cutoff: i64,
        nodes: u64,
        stop: &Stop,
    ) -> Option<Layout> {
        // What stands on the top of the last layer belongs to none.
        if self.bodies.iter().any(|(_, c)| c.after == c.first) {
            return None;
        }
        let slack = (cutoff - self.least).max(0);
        let starts = [Start::Anywhere, Start::Front, Start::Left, Start::Corners];
        let found = starts.into_iter().find_map(|s| self.packed(instance, s, slack, nodes, stop));
        Some(self.layout(instance, &found?))
    }

    fn packed(
        &self,
        instance: &Instance,
        start: Start,
        slack: i64,
        nodes: u64,
        stop: &Stop,
    ) -> Option<Vec<Place>> {
        let mut placed: BTreeMap<usize, (Place, Rect)> = BTreeMap::new();
        let mut layers: Vec<usize> = (0..self.heights.len()).collect();
        layers.sort_by_key(|&l| (-self.area[l], l));
        for (turn, l) in layers.into_iter().enumerate() {
            let question = self.question(l, i64::MAX / 4, Some(slack));
            let (floor, mut pieces, mut options) = terms(instance, &question);
            if turn == 0 {
                self.begin(start, &floor, &mut placed, instance, slack);
            }
            for ((&i, piece), options) in self.members[l].iter().zip(&mut pieces).zip(&mut options) {
                if let Some(((option, x, y), r)) = placed.get(&i) {
                    *options = vec![*option];
                    *piece = Piece { shapes: vec![(r.w, r.d)], kept: piece.kept, at: Some((*x, *y)) };
                }
            }
            // Least outlines first; then whatever the cutoff leaves.
            let least = |p: &Piece| p.shapes.iter().map(|s| s.0 * s.1).min().unwrap_or(0);
            let area: i64 = pieces.iter().map(least).sum();
            let budgets = [area, area + slack / self.heights[l].max(1)];
            let spots = budgets.into_iter().find_map(|budget| {
                let share = stop.share(nodes);
                let packed = pack_within(&floor, &pieces, budget, &share);
                stop.spend(share.spent());
                match packed {
                    Packed::Found(spots) => Some(spots),
                    Packed::Impossible | Packed::Unknown => None,
                }
            })?;
            for (n, &i) in self.members[l].iter().enumerate() {
                let spot = spots.get(n)?;
                let (w, d) = *pieces.get(n)?.shapes.get(spot.shape)?;
                let option = *options.get(n)?.get(spot.shape)?;
                placed.insert(i, ((option, spot.x, spot.y), Rect { x: spot.x, y: spot.y, w, d }));
            }
        }
        (0..self.bodies.len()).map(|i| placed.get(&i).map(|p| p.0)).collect()
    }

    /// Places the shared bodies, as far as they go there.
    fn begin(
        &self,
        start: Start,
        floor: &Floor,
        placed: &mut BTreeMap<usize, (Place, Rect)>,
        instance: &Instance,
        slack: i64,
    ) {
        let (mut along, mut corner) = (None, 0);
        for l in 0..self.heights.len() {
            let question = self.question(l, i64::MAX / 4, Some(slack));
            let (_, pieces, options) = terms(instance, &question);
            for (n, &i) in self.members[l].iter().enumerate() {
                let (_, c) = &self.bodies[i];
                if c.after - c.first < 2 || placed.contains_key(&i) || pieces[n].at.is_some() {
                    continue;
                }
                let shapes = pieces[n].shapes.iter().zip(&options[n]);
                // Lying along the side at which it stands.
                let better = |s: &(i64, i64)| match start {
                    Start::Left => (s.0 * s.1, s.0),
                    _ => (s.0 * s.1, s.1),
                };
                let Some((&(w, d), &option)) = shapes.min_by_key(|(s, _)| better(s)) else { continue };
                let side = if pieces[n].kept { 0 } else { floor.side };
                let at = along.unwrap_or(side);
                let (x, y) = match start {
                    Start::Anywhere => return,
                    Start::Front => (at, side),
                    Start::Left => (side, at),
                    Start::Corners => {
                        corner += 1;
                        let far = |whole: i64, len: i64| whole - side - len;
                        let x = if corner % 2 == 1 { side } else { far(floor.w, w) };
                        (x, if corner <= 2 { side } else { far(floor.d, d) })
                    }
                };
                let r = Rect { x, y, w, d };
                let inside = x + w + side <= floor.w && y + d + side <= floor.d;
                if inside && placed.values().all(|(_, o)| !o.nearer(&r, floor.between)) {
                    placed.insert(i, ((option, x, y), r));
                    let end = if matches!(start, Start::Left) { y + d } else { x + w };
                    along = Some(end + floor.between);
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::model::tests::{kept, plain, tray};
    use super::super::Exact;
    use crate::stop::Stop;

    /// A carton through both layers, and in each layer trays that fill the floor around it.
    #[test]
    fn layers_that_share_a_carton_are_packed_around_it() {
        let mut instance = plain(10, 10, 10, 2);
        for _ in 0..2 {
            instance.trays.push(tray("long", &[(10, 6, 5), (6, 10, 5)], 1));
            instance.trays.push(tray("short", &[(7, 4, 5), (4, 7, 5)], 1));
        }
        instance.trays.iter_mut().enumerate().for_each(|(i, t)| t.kind = i % 2);
        instance.kept.push(kept("carton", &[(3, 4, 10), (4, 3, 10)]));
        let mut exact = Exact::new(&instance);
        exact.seeking = true;
        let pass = exact.pass(10 * 10 * 10, &Stop::never());
        let (layout, value) = pass.best.unwrap();
        assert_eq!((instance.feasible(&layout), value), (Ok(()), 10 * 10 * 10));
    }
}

//! Where walls and dividers of a tray are lowered for something that sinks into it.

use super::dividers::Lowered;
use super::region::Rect;
use super::shell::{Measures, Side};
use super::trays::Made;
use crate::length::Length;

type Range = (Length, Length);

/// A part of a tray, seen from above, in which no wall or divider reaches higher.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Zone {
    pub(super) x: Range,
    pub(super) y: Range,
    /// Height up to which stock is left.
    pub(super) z: Length,
}

impl Zone {
    fn over(&self, x: Range, y: Range) -> bool {
        overlap(self.x, x) && overlap(self.y, y)
    }

    /// What it takes of an upright board: along it, and from its height up to `top`.
    pub(super) fn on(&self, along_width: bool, faces: Range, top: Length) -> Option<Rect> {
        let (along, across) = if along_width { (self.x, self.y) } else { (self.y, self.x) };
        (overlap(across, faces) && self.z < top).then(|| Rect::new(along, (self.z, top)))
    }
}

fn overlap(a: Range, b: Range) -> bool {
    a.0 < b.1 && b.0 < a.1
}

/// An upright board seen from above: its faces, and how far it runs.
#[derive(Clone, Copy)]
struct Plank {
    faces: Range,
    along: Range,
}

/// All zones of a tray. Their edges are moved outwards where they would lie within the thickness of a wall or divider,
/// or leave a stub beside one that is not twice as long as the boards are thick; so that a corner, a crossing or the
/// meeting of two boards is lowered on the whole or not at all. Zones that would leave a stub between them become one.
pub(super) fn zones(made: &Made, m: &Measures) -> Vec<Zone> {
    let (tray, zero) = (made.tray, Length::ZERO);
    // Across the width, and across the depth.
    let mut planks = [
        vec![
            Plank { faces: (zero, m.wall), along: (zero, m.d) },
            Plank { faces: (m.w - m.wall, m.w), along: (zero, m.d) },
        ],
        vec![
            Plank { faces: (zero, m.wall), along: (zero, m.w) },
            Plank { faces: (m.d - m.wall, m.d), along: (zero, m.w) },
        ],
    ];
    let mut thick = m.wall;
    for d in &tray.dividers {
        let (x, y) = (d.at.x - tray.at.x, d.at.y - tray.at.y);
        let (x, y) = ((x, x + d.size.w), (y, y + d.size.d));
        let along_width = d.size.w >= d.size.d;
        thick = thick.max(d.size.w.min(d.size.d));
        let plank = if along_width { Plank { faces: y, along: x } } else { Plank { faces: x, along: y } };
        planks[usize::from(along_width)].push(plank);
    }
    let margin = thick * 2;
    let mut zones: Vec<Zone> = made
        .recesses
        .iter()
        .map(|r| Zone { x: (r.at.x, r.far().x), y: (r.at.y, r.far().y), z: r.at.z })
        .collect();
    // Edges only move outwards, to one of finitely many faces.
    loop {
        let before = zones.clone();
        for zone in &mut zones {
            for (axis, planks) in planks.iter().enumerate() {
                let (own, other) = if axis == 0 { (zone.x, zone.y) } else { (zone.y, zone.x) };
                let mut moved = own;
                // One that only ends at the edge of the zone goes into what is lowered there.
                let met = |p: &&Plank| p.along.0 <= other.1 && other.0 <= p.along.1;
                for p in planks.iter().filter(met) {
                    if p.faces.0 < moved.0 && moved.0 < p.faces.1 + margin {
                        moved.0 = p.faces.0;
                    }
                    if p.faces.0 - margin < moved.1 && moved.1 < p.faces.1 {
                        moved.1 = p.faces.1;
                    }
                }
                if axis == 0 { zone.x = moved } else { zone.y = moved }
            }
        }
        let wide = |r: Range| (r.0 - margin, r.1 + margin);
        let near = (0..zones.len())
            .flat_map(|j| (0..j).map(move |i| (i, j)))
            .find(|&(i, j)| zones[i].over(wide(zones[j].x), wide(zones[j].y)));
        if let Some((i, j)) = near {
            let (a, b) = (zones[i], zones.remove(j));
            let both = |a: Range, b: Range| (a.0.min(b.0), a.1.max(b.1));
            zones[i] = Zone { x: both(a.x, b.x), y: both(a.y, b.y), z: a.z.min(b.z) };
        }
        if zones == before {
            return zones;
        }
    }
}

/// Height up to which stock is left at a place, where it would else reach up to `top`.
pub(super) fn top_at(zones: &[Zone], x: Range, y: Range, top: Length) -> Length {
    zones.iter().filter(|z| z.over(x, y)).map(|z| z.z).fold(top, Length::min)
}

/// The same as stretches of walls.
pub(super) fn lowered(zones: &[Zone], m: &Measures) -> Vec<Lowered> {
    let mut out = Vec::new();
    for side in Side::ALL {
        let far = if side.along_width() { m.d } else { m.w };
        let faces = match side {
            Side::Front | Side::Left => (Length::ZERO, m.wall),
            Side::Back | Side::Right => (far - m.wall, far),
        };
        for zone in zones {
            if let Some(r) = zone.on(side.along_width(), faces, m.top) {
                out.push((side, (r.x0, r.x1), zone.z));
            }
        }
    }
    out
}

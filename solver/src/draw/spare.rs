//! Spare room in words and numbers: beside the bodies of each layer, and the largest free block.

use super::scene::{Block, Scene};
use crate::job::Job;

/// Spare room of one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LayerSpare {
    /// Beside its bodies, over its whole height, ml.
    pub(super) ml: f64,
    /// Share of the layer, percent.
    pub(super) percent: f64,
}

/// What a layer (from 1) has to spare beside its bodies, clearances included.
pub(super) fn of_layer(scene: &Scene<'_>, layer: usize) -> LayerSpare {
    let area = scene.interior.w() * scene.interior.d();
    let height = scene.layer(layer).map_or(0.0, |l| l.1);
    let taken: f64 = scene.in_layer(layer).map(|i| i.block.w() * i.block.d()).sum();
    let free = (area - taken).max(0.0);
    LayerSpare { ml: free * height / 1e3, percent: if area > 0.0 { 100.0 * free / area } else { 0.0 } }
}

/// With more bodies than this the search for the largest block would take longer than drawing.
const MOST_BODIES: usize = 80;

/// The largest block between the bodies and under the lid room; `None` where there is none.
///
/// Exact for upright blocks: some largest one touches a body or the box on every side, so only the
/// planes of bodies need to be tried.
pub(super) fn largest_block(job: &Job, scene: &Scene<'_>) -> Option<Block> {
    let bodies: Vec<Block> = scene.items.iter().filter(|i| i.inside.is_none()).map(|i| i.block).collect();
    if bodies.len() > MOST_BODIES {
        return None;
    }
    let room = Block { z1: scene.interior.z1 - job.container.lid_room.to_mm_f64(), ..scene.interior };
    let planes = planes(bodies.iter().flat_map(|b| [b.z0, b.z1]), room.z0, room.z1);
    let mut best: Option<(f64, Block)> = None;
    for (k, &z0) in planes.iter().enumerate() {
        for &z1 in planes.iter().skip(k + 1) {
            let h = z1 - z0;
            if best.is_some_and(|b| b.0 >= h * room.w() * room.d()) {
                continue;
            }
            let here: Vec<&Block> = bodies.iter().filter(|b| b.z0 < z1 && b.z1 > z0).collect();
            for found in free_rectangles(&here, &room) {
                let block = Block { z0, z1, ..found };
                let volume = block.w() * block.d() * h;
                if volume > best.map_or(0.0, |b| b.0) {
                    best = Some((volume, block));
                }
            }
        }
    }
    best.map(|b| b.1)
}

/// The planes of bodies within a range, and its ends, ascending, each once.
fn planes(all: impl Iterator<Item = f64>, from: f64, to: f64) -> Vec<f64> {
    let mut p: Vec<f64> = all.filter(|v| *v > from && *v < to).chain([from, to]).collect();
    p.sort_by(f64::total_cmp);
    p.dedup();
    p
}

/// For every pair of sides along x, the largest free stretch along y.
fn free_rectangles<'a>(bodies: &'a [&'a Block], room: &'a Block) -> impl Iterator<Item = Block> + 'a {
    let lefts = planes(bodies.iter().map(|b| b.x1), room.x0, room.x1);
    let rights = planes(bodies.iter().map(|b| b.x0), room.x0, room.x1);
    lefts.into_iter().flat_map(move |x0| {
        let rights: Vec<f64> = rights.iter().copied().filter(|&x| x > x0).collect();
        rights.into_iter().filter_map(move |x1| {
            let mut between: Vec<(f64, f64)> =
                bodies.iter().filter(|b| b.x0 < x1 && b.x1 > x0).map(|b| (b.y0, b.y1)).collect();
            between.sort_by(|a, b| a.0.total_cmp(&b.0));
            let (mut from, mut best) = (room.y0, (0.0, 0.0, 0.0));
            for (y0, y1) in between.into_iter().chain([(room.y1, room.y1)]) {
                if y0 - from > best.0 {
                    best = (y0 - from, from, y0);
                }
                from = from.max(y1);
            }
            (best.0 > 0.0).then_some(Block { x0, x1, y0: best.1, y1: best.2, z0: 0.0, z1: 0.0 })
        })
    })
}

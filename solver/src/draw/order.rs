//! In which order a box is packed.

use super::scene::{Item, Scene};

/// Bodies from the floor up; within a height from the back left, so that nothing is reached over.
/// Unpacking is the same backwards.
pub(super) fn packing<'s, 'a>(scene: &'s Scene<'a>) -> Vec<&'s Item<'a>> {
    let mut all: Vec<&Item<'a>> = scene.items.iter().filter(|i| i.inside.is_none()).collect();
    all.sort_by(|a, b| {
        let (p, q) = (&a.block, &b.block);
        p.z0.total_cmp(&q.z0).then(q.y1.total_cmp(&p.y1)).then(p.x0.total_cmp(&q.x0))
    });
    all
}

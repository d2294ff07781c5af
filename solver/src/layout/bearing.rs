//! Bearing: what stands above the floor must rest on rims, dividers, lids or kept items.

use super::instance::{Instance, Layout, Option3};
use super::pack::Rect;

/// Whether a body with this outline rests on these bearing places.
///
/// It rests if each of its four corner zones (a quarter of its width by a quarter of its depth) meets a
/// bearing place, or if along two opposite edges the outer quarter strip meets bearing places that cover at
/// least half of the edge in projection. Common practice for a rigid floor, no source. The unit of length
/// does not matter.
///
/// ```
/// use traywright::layout::{bearing::rests, pack::Rect};
/// let body = Rect { x: 0, y: 0, w: 40, d: 40 };
/// let rim = |x, y, w, d| Rect { x, y, w, d };
/// assert!(rests(&body, &[rim(0, 0, 3, 40), rim(37, 0, 3, 40)])); // two walls under opposite edges
/// assert!(!rests(&body, &[rim(18, 0, 3, 40)])); // one wall under the middle
/// ```
pub fn rests(body: &Rect, places: &[Rect]) -> bool {
    let (qw, qd) = (body.w / 4, body.d / 4);
    let (left, right) = (body.x, body.x + body.w - qw);
    let (front, back) = (body.y, body.y + body.d - qd);
    let zone = |x, y, w, d| Rect { x, y, w, d };
    let met = |z: Rect| z.w > 0 && z.d > 0 && places.iter().any(|p| p.overlaps(&z));
    if [left, right].iter().all(|&x| [front, back].iter().all(|&y| met(zone(x, y, qw, qd)))) {
        return true;
    }
    let along_depth = |x| {
        let strip = zone(x, body.y, qw, body.d);
        2 * covered(
            places
                .iter()
                .filter(|p| p.overlaps(&strip))
                .map(|p| (p.y.max(body.y), (p.y + p.d).min(body.y + body.d))),
        ) >= body.d
    };
    let along_width = |y| {
        let strip = zone(body.x, y, body.w, qd);
        2 * covered(
            places
                .iter()
                .filter(|p| p.overlaps(&strip))
                .map(|p| (p.x.max(body.x), (p.x + p.w).min(body.x + body.w))),
        ) >= body.w
    };
    (qw > 0 && along_depth(left) && along_depth(right)) || (qd > 0 && along_width(front) && along_width(back))
}

/// Length of the union of these intervals.
fn covered(intervals: impl Iterator<Item = (i64, i64)>) -> i64 {
    let mut all: Vec<_> = intervals.collect();
    all.sort_unstable();
    let (mut sum, mut end) = (0, i64::MIN);
    for (a, b) in all {
        let a = a.max(end);
        if b > a {
            sum += b - a;
            end = b;
        }
    }
    sum
}

/// How many bodies of a layout stand on nothing; 0 where bearing is not asked for.
pub fn unborne(instance: &Instance, layout: &Layout) -> usize {
    let Some(rims) = &instance.rims else { return 0 };
    // (top, bearing places) of everything that carries.
    let mut carriers: Vec<(i64, Vec<Rect>)> = Vec::new();
    let mut standing: Vec<(i64, Rect)> = Vec::new();
    for (i, (p, t)) in layout.trays.iter().zip(&instance.trays).enumerate() {
        let r = instance.tray_rect(i, p);
        standing.push((layout.bottom(p.layer), r));
        if t.low {
            continue;
        }
        let top = layout.bottom(p.layer + p.span);
        let places = if t.lid {
            vec![r]
        } else {
            let o = t.options.get(p.option).copied().unwrap_or(Option3 { w: 0, d: 0, h: 0 });
            (rims.0)(i, o).iter().map(|s| Rect { x: r.x + s.x, y: r.y + s.y, ..*s }).collect()
        };
        carriers.push((top, places));
    }
    for (k, p) in layout.kept.iter().enumerate() {
        let r = instance.kept_rect(k, p);
        let bottom = layout.bottom(p.layer);
        standing.push((bottom, r));
        let h = instance.kept[k].turns.get(p.turn).map_or(0, |o| o.h);
        carriers.push((bottom + h, vec![r]));
    }
    standing
        .iter()
        .filter(|(bottom, r)| {
            *bottom > 0 && {
                let places: Vec<Rect> = carriers
                    .iter()
                    .filter(|(top, _)| top == bottom)
                    .flat_map(|(_, all)| all.iter().copied().filter(|p| p.overlaps(r)))
                    .collect();
                !rests(r, &places)
            }
        })
        .count()
}

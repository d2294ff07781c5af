//! Names on a panel: where there is room for a line of letters, clear of slots, notches and edges.

use super::ring::{bounds, flat};
use super::stroke::{mark_strokes, strokes_of, width_of};
use crate::length::Length;
use crate::panel::{Panel, Ring, Role, Spot};

/// Heights of letters that are tried, the first that finds room wins.
const HEIGHTS: [i64; 3] = [5, 4, 3];
/// Least distance of letters from whatever is cut.
const CLEAR: Length = Length::mm(2);
/// Places tried along and across a panel.
const PLACES: i64 = 16;

/// The strokes of all names on a panel: its own marks, and its label, on a front wall after the tray's name.
pub(super) fn names(panel: &Panel, tray: &str, label: &str) -> Vec<Vec<Spot>> {
    let mut out: Vec<Vec<Spot>> = panel.marks.iter().flat_map(mark_strokes).collect();
    let whole = format!("{tray} {label}");
    let texts: &[&str] =
        if panel.role == Role::Front && panel.marks.is_empty() { &[&whole, label] } else { &[label] };
    for text in texts {
        for height in HEIGHTS.map(Length::mm) {
            let width = width_of(text, height);
            if let Some(middle) = room(panel, width + CLEAR * 2, height + CLEAR * 2) {
                out.extend(strokes_of(text, middle, height, width));
                return out;
            }
        }
    }
    out
}

/// The middle of a free rectangle of this size within a panel, as near to the panel's middle as the places allow.
fn room(panel: &Panel, w: Length, d: Length) -> Option<Spot> {
    let (least, most) = bounds(&panel.outline);
    let (wide, deep) = (most.x - least.x - w, most.y - least.y - d);
    if wide < Length::ZERO || deep < Length::ZERO {
        return None;
    }
    let outline = flat(&panel.outline, 4);
    let mut lines: Vec<(Spot, Spot)> = pairs(&outline);
    let inner = panel.openings.iter().map(|o| &o.ring).chain(panel.recesses.iter().map(|r| &r.ring));
    for ring in inner {
        lines.extend(pairs(&flat(ring, 4)));
    }
    for mark in &panel.marks {
        let (x, y) = (mark.middle.x - mark.most / 2, mark.middle.y - mark.height / 2);
        lines.extend(pairs(&flat(&Ring::rectangle(x, y, mark.most, mark.height), 1)));
    }
    let mut places: Vec<(i64, i64)> = (0..=PLACES).flat_map(|i| (0..=PLACES).map(move |k| (i, k))).collect();
    places.sort_by_key(|(i, k)| ((2 * i - PLACES).abs() + (2 * k - PLACES).abs(), *i, *k));
    places.into_iter().find_map(|(i, k)| {
        let a = Spot { x: least.x + wide * i / PLACES, y: least.y + deep * k / PLACES };
        let b = Spot { x: a.x + w, y: a.y + d };
        let middle = Spot { x: a.x + w / 2, y: a.y + d / 2 };
        let free = lines.iter().all(|(p, q)| misses(*p, *q, a, b)) && holds(&outline, middle);
        free.then_some(middle)
    })
}

fn pairs(points: &[Spot]) -> Vec<(Spot, Spot)> {
    points.iter().copied().zip(points.iter().copied().cycle().skip(1)).collect()
}

/// Whether a line's bounds stay outside of a rectangle; for lines that run aslant this asks for more than is needed.
fn misses(p: Spot, q: Spot, a: Spot, b: Spot) -> bool {
    p.x.max(q.x) <= a.x || p.x.min(q.x) >= b.x || p.y.max(q.y) <= a.y || p.y.min(q.y) >= b.y
}

/// Whether a point lies in a polygon.
fn holds(ring: &[Spot], p: Spot) -> bool {
    let mut within = false;
    for (a, b) in pairs(ring) {
        if (a.y > p.y) != (b.y > p.y) {
            let side = super::ring::cross(b - a, p - a);
            if (side > 0) == (b.y > a.y) {
                within = !within;
            }
        }
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cut::ring::bounds as of;
    use crate::panel::{Edge, Ring};

    #[test]
    fn names_keep_clear_of_everything_that_is_cut() {
        for panel in crate::cut::tests::tray().panels {
            let strokes = names(&panel, "sacks", "A-B");
            assert!(!strokes.is_empty(), "{}", panel.letter);
            let inner = panel.openings.iter().map(|o| of(&o.ring));
            let holes: Vec<(Spot, Spot)> = inner.collect();
            let (least, most) = of(&panel.outline);
            for stroke in strokes {
                let edges = stroke.iter().map(|p| Edge::Line(*p)).collect();
                let (a, b) = of(&Ring { edges });
                assert!(a.x > least.x && a.y > least.y && b.x < most.x && b.y < most.y);
                assert!(holes.iter().all(|(h, i)| b.x < h.x || a.x > i.x || b.y < h.y || a.y > i.y));
            }
        }
    }

    #[test]
    fn a_panel_without_room_has_no_name() {
        let mut panel = crate::cut::tests::tray().panels.remove(2);
        panel.outline = Ring::rectangle(Length::ZERO, Length::ZERO, Length::mm(12), Length::mm(6));
        assert!(names(&panel, "sacks", "A-C").is_empty());
    }
}

//! Kept items, cover items, and what is held where.

use super::{Builder, MOST_BODIES};
use crate::brief::keys::BriefKeys;
use crate::brief::reader::{At, Field};
use crate::brief::shape::HeldKeys;
use crate::brief::sources::Spot;
use crate::job::{Cover, Held, Kept, Turn};
use crate::length::Length;
use crate::place::{Cuboid, Point, Size};

/// The room that a body takes at its corner however it may be turned: the least of each side over its turns.
pub(super) fn surely_taken(size: Size, turn: Turn) -> Size {
    let least = size.w.min(size.d);
    match turn {
        Turn::None => size,
        Turn::Upright => Size { w: least, d: least, h: size.h },
        Turn::Any => {
            let least = least.min(size.h);
            Size { w: least, d: least, h: least }
        }
    }
}

/// Whether a body fits into a room in one of its turns.
pub(super) fn fits_turned(body: Size, turn: Turn, room: Size) -> bool {
    let fits = |s: Size| s.w <= room.w && s.d <= room.d && s.h <= room.h;
    match turn {
        Turn::None => fits(body),
        Turn::Upright => fits(body) || fits(body.turned()),
        Turn::Any => {
            let (mut a, mut b) = ([body.w, body.d, body.h], [room.w, room.d, room.h]);
            a.sort_unstable();
            b.sort_unstable();
            a.iter().zip(b).all(|(a, b)| *a <= b)
        }
    }
}

pub(super) fn overlap(a: &Cuboid, b: &Cuboid) -> bool {
    let apart = |a0: Length, a1: Length, b0: Length, b1: Length| a1 <= b0 || b1 <= a0;
    let (fa, fb) = (a.far(), b.far());
    !(apart(a.at.x, fa.x, b.at.x, fb.x)
        || apart(a.at.y, fa.y, b.at.y, fb.y)
        || apart(a.at.z, fa.z, b.at.z, fb.z))
}

impl Builder<'_, '_> {
    pub(super) fn kept(&mut self, keys: &BriefKeys) -> Vec<Kept> {
        let mut all = Vec::new();
        let mut places: Vec<(String, Cuboid)> = Vec::new();
        let mut bodies = 0;
        for keys in keys.kept.value().into_iter().flatten() {
            let Some(name) = keys.name.get() else { continue };
            self.name(&name.value.0, "kept item", &name.spot);
            let Some(size) = keys.size.get() else { continue };
            let turn = keys.turn.copied().unwrap_or(Turn::Upright);
            let count = keys.count.copied().map_or(1, |c| usize::try_from(c.0).unwrap_or(1));
            bodies += count;
            if bodies > MOST_BODIES {
                // Told once, at the end.
                continue;
            }
            let held = self.held(&keys.held, count);
            let body = size.value.size();
            if let Some(room) = self.interior
                && !fits_turned(body, turn, room)
            {
                let cause = format!("\"{}\" does not go into the box in any of its turns", name.value.0);
                self.report("J017", &size.spot, cause);
            }
            if let (Some(Held::At(at)), Some(spot)) = (held, keys.held.get().map(|h| h.spot.clone())) {
                let taken = Cuboid { at, size: surely_taken(body, turn) };
                self.held_place(&name.value.0, &taken, &places, &spot);
                places.push((name.value.0.clone(), taken));
            }
            let mass = keys.mass.copied().map(|m| m.0);
            all.push(Kept { name: name.value.0.clone(), size: body, count, turn, held, mass });
        }
        bodies = bodies.saturating_add(keys.cover.value().map_or(0, Vec::len));
        if bodies > MOST_BODIES {
            let cause = format!("{bodies} kept and cover items are more than {MOST_BODIES}");
            self.report("J018", &keys.spot.clone(), cause);
        }
        all
    }

    pub(super) fn cover(&mut self, keys: &BriefKeys) -> Vec<Cover> {
        let mut all = Vec::new();
        for keys in keys.cover.value().into_iter().flatten() {
            let Some(name) = keys.name.get() else { continue };
            self.name(&name.value.0, "cover item", &name.spot);
            let Some(size) = keys.size.get() else { continue };
            let body = size.value.size();
            if let Some(room) = self.interior
                && !fits_turned(body, Turn::Upright, room)
            {
                let cause = format!("\"{}\" does not lie flat in the box", name.value.0);
                self.report("J017", &size.spot, cause);
            }
            let sink = keys.sink.copied().unwrap_or(false);
            all.push(Cover { name: name.value.0.clone(), size: body, sink });
        }
        all
    }

    /// Where a body must stay.
    pub(super) fn held(&mut self, field: &Field<HeldKeys>, count: usize) -> Option<Held> {
        let At { value: keys, spot } = field.get()?;
        if keys.at.is_bad() || keys.layer.is_bad() {
            return None;
        }
        let held = match (keys.at.get(), keys.layer.get()) {
            (Some(at), None) => Held::At(at.value.0),
            (None, Some(layer)) => {
                let layer = usize::try_from(layer.value.0).unwrap_or(1);
                if layer > self.most_layers {
                    let cause =
                        format!("layer {layer} is asked for, but there are at most {}", self.most_layers);
                    self.report("J015", spot, cause);
                }
                Held::Layer(layer.saturating_sub(1))
            }
            _ => {
                self.report("J015", spot, "a body is held either `at` a place or in a `layer`");
                return None;
            }
        };
        if count > 1 && matches!(held, Held::At(_)) {
            self.report("J015", spot, format!("{count} bodies cannot all stay at one place"));
        }
        Some(held)
    }

    /// A held place must lie in the box and be nobody else's.
    fn held_place(&mut self, name: &str, taken: &Cuboid, others: &[(String, Cuboid)], spot: &Spot) {
        if let Some(room) = self.interior {
            let Point { x, y, z } = taken.far();
            if x > room.w || y > room.d || z > room.h {
                self.report("J015", spot, format!("\"{name}\" would reach beyond the box"));
            }
        }
        if let Some((other, _)) = others.iter().find(|(_, o)| overlap(o, taken)) {
            self.report("J016", spot, format!("\"{name}\" and \"{other}\" are held at the same place"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(w: i64, d: i64, h: i64) -> Size {
        Size { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) }
    }

    #[test]
    fn turns_are_respected() {
        let room = size(100, 50, 20);
        assert!(fits_turned(size(50, 100, 20), Turn::Upright, room));
        assert!(!fits_turned(size(50, 100, 20), Turn::None, room));
        assert!(!fits_turned(size(20, 50, 100), Turn::Upright, room));
        assert!(fits_turned(size(20, 50, 100), Turn::Any, room));
        assert!(!fits_turned(size(51, 51, 10), Turn::Any, room));
    }

    #[test]
    fn touching_is_not_overlapping() {
        let at = |x: i64| Point { x: Length::mm(x), ..Point::default() };
        let a = Cuboid { at: at(0), size: size(10, 10, 10) };
        assert!(!overlap(&a, &Cuboid { at: at(10), size: size(5, 5, 5) }));
        assert!(overlap(&a, &Cuboid { at: at(9), size: size(5, 5, 5) }));
    }
}

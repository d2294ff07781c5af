//! What is held where must go together: no two bodies in one place, and no more bottoms of layers than there are layers.

use std::collections::BTreeMap;

use super::Builder;
use super::bodies::{overlap, surely_taken};
use crate::brief::keys::BriefKeys;
use crate::brief::sources::Spot;
use crate::job::{HeightRule, Held, Kept, LayerRules, Tray};
use crate::length::Length;
use crate::place::{Cuboid, Point, Size};

/// A body that is held at a place.
struct Holding {
    name: String,
    is_tray: bool,
    /// What it takes however it is turned.
    taken: Cuboid,
    spot: Spot,
}

impl Builder<'_, '_> {
    /// Trays against everything else that is held at a place; kept items among themselves were looked at before.
    pub(super) fn held_together(
        &mut self,
        keys: &BriefKeys,
        (kept, trays): (&[Kept], &[&Tray]),
        layers: &LayerRules,
        grid: Length,
    ) {
        let mut all: Vec<Holding> = Vec::new();
        for keys in keys.kept.value().into_iter().flatten() {
            let Some(name) = keys.name.get() else { continue };
            let item = kept.iter().find(|k| k.name == name.value.0);
            if let (Some(item), Some(held)) = (item, keys.held.get())
                && let Some(Held::At(at)) = item.held
            {
                let taken = Cuboid { at, size: surely_taken(item.size, item.turn) };
                all.push(Holding { name: item.name.clone(), is_tray: false, taken, spot: held.spot.clone() });
            }
        }
        for keys in keys.tray.value().into_iter().flatten() {
            let Some(name) = keys.name.get() else { continue };
            let tray = trays.iter().find(|t| t.name == name.value.0);
            if let (Some(tray), Some(held)) = (tray, keys.held.get())
                && let Some(Held::At(at)) = tray.held
            {
                let taken = Cuboid { at, size: self.least_size(tray) };
                self.held_tray(&tray.name, &taken, &all, &held.spot);
                all.push(Holding { name: tray.name.clone(), is_tray: true, taken, spot: held.spot.clone() });
            }
        }
        self.held_bottoms(&all, layers.most);
        self.held_between(&all, &layers.heights, grid);
    }

    /// What a tray takes at least, whichever way round.
    fn least_size(&self, tray: &Tray) -> Size {
        let walls = self.wall.unwrap_or_default() * 2;
        let least = Size { w: walls, d: walls, h: self.floor.unwrap_or_default() };
        tray.size.map_or(least, |s| Size { w: s.w.min(s.d), d: s.w.min(s.d), h: s.h })
    }

    fn held_tray(&mut self, name: &str, taken: &Cuboid, others: &[Holding], spot: &Spot) {
        if let Some(room) = self.interior {
            let Point { x, y, z } = taken.far();
            if x > room.w || y > room.d || z > room.h {
                self.report("J015", spot, format!("\"{name}\" would reach beyond the box"));
            }
        }
        if let Some(other) = others.iter().find(|o| overlap(&o.taken, taken)) {
            let cause = format!("\"{name}\" and \"{}\" are held at the same place", other.name);
            self.report("J016", spot, cause);
        }
    }

    /// Every height at which something is held is the bottom of a layer; a kept item may also stand on the last one.
    fn held_bottoms(&mut self, all: &[Holding], most: usize) {
        let mut bottoms: BTreeMap<Length, &Holding> = BTreeMap::new();
        for holding in all.iter().filter(|h| h.taken.at.z > Length::ZERO) {
            let first = bottoms.entry(holding.taken.at.z).or_insert(holding);
            if holding.is_tray && !first.is_tray {
                *first = holding;
            }
        }
        let on_top = bottoms.last_key_value().is_some_and(|(_, h)| !h.is_tray);
        let needed = bottoms.len() + usize::from(!on_top);
        if bottoms.is_empty() || needed <= most {
            return;
        }
        let told: Vec<String> =
            bottoms.iter().map(|(z, h)| format!("\"{}\" at a height of {z}", h.name)).collect();
        let layers = if most == 1 { "layer" } else { "layers" };
        let cause = format!(
            "{} are held, which takes {needed} layers; at most {most} {layers} may be",
            told.join(", ")
        );
        if let Some((_, last)) = bottoms.last_key_value() {
            self.report("J015", &last.spot, cause);
        }
    }

    /// Between layers of fixed heights nothing can be held.
    fn held_between(&mut self, all: &[Holding], heights: &[HeightRule], grid: Length) {
        let mut bottom = Length::ZERO;
        for (l, rule) in heights.iter().enumerate() {
            let HeightRule::Fixed(height) = rule else { return };
            let top = bottom + *height;
            // Fixed heights off the grid are searched a step lower.
            let within =
                |h: &&Holding| h.taken.at.z > bottom + grid && h.taken.at.z < top - grid * (l as i64 + 2);
            if let Some(holding) = all.iter().find(within) {
                let cause = format!(
                    "\"{}\" is held at a height of {}, but layer {} reaches from {bottom} to {top}",
                    holding.name,
                    holding.taken.at.z,
                    l + 1
                );
                self.report("J015", &holding.spot, cause);
            }
            bottom = top;
        }
    }
}

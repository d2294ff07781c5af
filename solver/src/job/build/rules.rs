//! Layers and wishes.

use super::Builder;
use crate::brief::keys::{BriefKeys, Spare};
use crate::brief::reader::At;
use crate::brief::shape::HeightEntry;
use crate::job::{AccessOrder, HeightRule, LayerRules, Wishes, defaults};
use crate::length::Length;

impl Builder<'_, '_> {
    pub(super) fn layers(&mut self, keys: &BriefKeys) -> LayerRules {
        let layers = keys.layers.value();
        let most = layers.and_then(|l| l.most.copied()).map(|m| m.0);
        let heights = layers.and_then(|l| l.heights.get());
        let entries = heights.map_or(&[][..], |at| at.value.as_slice());
        // More heights than the default number of layers simply mean that many layers.
        let most = most.map_or(defaults::MOST_LAYERS.max(entries.len()), |m| usize::try_from(m).unwrap_or(1));
        self.most_layers = most;
        if let Some(at) = heights {
            self.heights_agree(at, most);
        }
        let rule = |entry: &HeightEntry| match entry {
            HeightEntry::Open => HeightRule::Open,
            HeightEntry::Fixed(height) => HeightRule::Fixed(*height),
            HeightEntry::Range(range) => match (range.least.copied(), range.most.copied()) {
                (Some(least), Some(most)) => HeightRule::Range(least.0, most.0),
                _ => HeightRule::Open,
            },
        };
        LayerRules { most, heights: entries.iter().map(rule).collect() }
    }

    fn heights_agree(&mut self, at: &At<Vec<HeightEntry>>, most: usize) {
        let entries = &at.value;
        if entries.len() > most {
            let cause = format!(
                "there are {} heights for at most {most} {}",
                entries.len(),
                if most == 1 { "layer" } else { "layers" }
            );
            self.report("J014", &at.spot, cause);
        }
        let mut fixed = Length::ZERO;
        for entry in entries {
            match entry {
                HeightEntry::Range(range) => {
                    if let (Some(least), Some(most)) = (range.least.copied(), range.most.copied())
                        && least.0 > most.0
                    {
                        let cause = format!("the least height {} is above the most, {}", least.0, most.0);
                        self.report("J014", &range.spot, cause);
                    }
                }
                HeightEntry::Fixed(height) => fixed += *height,
                HeightEntry::Open => {}
            }
        }
        if let Some(room) = self.interior
            && fixed > room.h
        {
            let cause =
                format!("layers of fixed height come to {fixed}, more than the {} of the box", room.h);
            self.report("J014", &at.spot, cause);
        }
    }

    pub(super) fn wishes(&mut self, keys: &BriefKeys) -> Wishes {
        let wishes = keys.wishes.value();
        let access = wishes.and_then(|w| w.access.value());
        let largest = wishes.and_then(|w| w.largest_tray.get());
        let largest_tray = largest.map(|at| (at.value.0[0].0, at.value.0[1].0));
        if let (Some(at), Some(wall), Some((w, d))) = (largest, self.wall, largest_tray)
            && w.min(d) <= wall * 2
        {
            let cause = format!("a tray of {w} by {d} has no room between two walls of {wall}");
            self.report("J030", &at.spot, cause);
        }
        let weight = |said: Option<i64>, usual: i64| said.unwrap_or(usual);
        Wishes {
            access_always: weight(
                access.and_then(|a| a.always.copied()).map(|p| p.0),
                defaults::ACCESS_ALWAYS,
            ),
            access_setup: weight(access.and_then(|a| a.setup.copied()).map(|p| p.0), defaults::ACCESS_SETUP),
            access_seldom: weight(
                access.and_then(|a| a.seldom.copied()).map(|p| p.0),
                defaults::ACCESS_SELDOM,
            ),
            access_order: access.and_then(|a| a.order.copied()).unwrap_or(AccessOrder::Together),
            tidy: weight(wishes.and_then(|w| w.tidy.copied()).map(|p| p.0), defaults::TIDY),
            spare_one_piece: wishes.and_then(|w| w.spare.copied()) == Some(Spare::OnePiece),
            largest_tray,
            most_mass: wishes.and_then(|w| w.most_mass.copied()).map(|m| m.0),
        }
    }
}

//! Trays, and parts without one.

use super::bodies::fits_turned;
use super::{Builder, MOST_TRAYS};
use crate::brief::keys::{FreePartKeys, PartKeys, TrayKeys};
use crate::brief::sources::Spot;
use crate::finding::Finding;
use crate::job::{Contents, FreePart, Part, Tray, Turn, defaults};
use crate::length::Length;
use crate::place::Size;

impl Builder<'_, '_> {
    /// A tray; `within` is the name of the part that a nested tray makes up.
    pub(super) fn tray(&mut self, keys: &TrayKeys, within: Option<&str>) -> Option<Tray> {
        let name = match (keys.name.get(), within) {
            (Some(name), Some(part)) if name.value.0 == part => part.to_owned(),
            (Some(name), _) => {
                self.name(&name.value.0, "tray", &name.spot);
                name.value.0.clone()
            }
            (None, Some(part)) => part.to_owned(),
            (None, None) => {
                if keys.name.is_absent() {
                    let cause = "`name` is missing in the table of tray";
                    self.reader.report_with("B008", keys.spot.span, &keys.spot.path, cause, "Name the tray.");
                }
                return None;
            }
        };
        let count = keys.count.copied().map_or(1, |c| usize::try_from(c.0).unwrap_or(1));
        self.trays += count;
        if self.trays > MOST_TRAYS {
            // Told once, at the end.
            return None;
        }
        let held = self.held(&keys.held, count);
        let size = keys.size.get().map(|s| s.value.size());
        if let (Some(size), Some(at)) = (size, keys.size.get()) {
            self.fixed_size(&name, size, &at.spot);
        }
        let divider_height = keys.divider_height.copied().map(|m| m.0);
        if let (Some(height), Some(at)) = (divider_height, keys.divider_height.get()) {
            let most = size.map(|s| s.h).or(self.interior.map(|r| r.h));
            if most.is_some_and(|most| height + self.floor.unwrap_or(Length::ZERO) > most) {
                self.report(
                    "J011",
                    &at.spot,
                    format!("dividers of {height} are higher than \"{name}\" can be"),
                );
            }
        }
        let lid = match keys.lid.copied() {
            Some(said) => said,
            None if self.on_side && within.is_none() => {
                let cause = format!("\"{name}\" gets a lid, as the box is kept on its side");
                let place = self.reader.sources.place(keys.spot.span, &keys.spot.path);
                self.note(Finding::listed("J041", cause).at(place));
                true
            }
            None => false,
        };
        let given = keys.part.value();
        if keys.part.is_absent() || given.is_some_and(Vec::is_empty) && !self.reader.findings.any_fault() {
            self.report("J020", &keys.spot, format!("the tray \"{name}\" has no part"));
        }
        let parts: Vec<Option<Part>> = given.into_iter().flatten().map(|p| self.part(p)).collect();
        Some(Tray {
            name,
            usage: Self::usage(&keys.usage),
            count,
            lid,
            grip: keys.grip.copied(),
            span: keys.span.copied().map_or(1, |s| usize::try_from(s.0).unwrap_or(1)),
            spare_share: keys.spare_share.copied().map_or(defaults::SPARE_SHARE, |s| s.0),
            low: keys.low.copied().unwrap_or(false),
            held,
            size,
            joint: keys.joint.copied(),
            divider_height,
            parts: parts.into_iter().collect::<Option<_>>()?,
        })
    }

    /// A size fixed by the maker must leave room between its walls and go into the box.
    fn fixed_size(&mut self, name: &str, size: Size, spot: &Spot) {
        if let (Some(wall), Some(floor)) = (self.wall, self.floor)
            && (size.w.min(size.d) <= wall * 2 || size.h <= floor)
        {
            let cause = format!("walls of {wall} and a floor of {floor} leave no room in \"{name}\"");
            self.report("J011", spot, cause);
        }
        if let Some(room) = self.interior
            && !fits_turned(size, Turn::Upright, room)
        {
            self.report("J017", spot, format!("\"{name}\" is larger than the box"));
        }
    }

    pub(super) fn free_part(&mut self, keys: &FreePartKeys) -> Option<FreePart> {
        let part = self.part(&keys.part())?;
        Some(FreePart { part, usage: Self::usage(&keys.usage) })
    }

    pub(super) fn part(&mut self, keys: &PartKeys) -> Option<Part> {
        self.parts += 1;
        if self.parts > super::MOST_PARTS {
            // Told once, at the end.
            return None;
        }
        let name = keys.name.get()?;
        self.name(&name.value.0, "part", &name.spot);
        let contents = self.contents(keys, &name.value.0)?;
        let mass = self.mass(keys, &contents);
        Some(Part { name: name.value.0.clone(), contents, mass })
    }

    /// Mass of all pieces, from that of one.
    fn mass(&mut self, keys: &PartKeys, contents: &Contents) -> Option<i64> {
        let at = keys.mass.get()?;
        let pieces = match contents {
            Contents::Loose(loose) => loose.count,
            Contents::Solid(solid) => Some(solid.count),
            Contents::Stack(stack) => stack.count.or_else(|| {
                let film = stack.sleeve.map_or(Length::ZERO, |s| s.film * 2);
                Some(stack.height?.steps_up(stack.each? + film))
            }),
            Contents::Tray(_) => None,
        };
        if pieces.is_none() {
            let cause = format!(
                "{} a piece cannot be counted, as the number of pieces is not known",
                mass_text(at.value.0)
            );
            self.note(
                Finding::listed("J026", cause).at(self.reader.sources.place(at.spot.span, &at.spot.path)),
            );
        }
        Some(at.value.0.saturating_mul(pieces?))
    }
}

/// A mass in grams as decimal text.
fn mass_text(milligrams: i64) -> String {
    let (grams, rest) = (milligrams / 1000, milligrams % 1000);
    let decimals = format!("{rest:03}");
    let decimals = decimals.trim_end_matches('0');
    if decimals.is_empty() { format!("{grams} g") } else { format!("{grams}.{decimals} g") }
}

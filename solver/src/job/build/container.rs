//! The box: interior, lid room, clearances.

use super::Builder;
use crate::brief::keys::{BriefKeys, Stored};
use crate::brief::reader::At;
use crate::brief::shape::{Clearance, Readings, Triple};
use crate::brief::sources::Spot;
use crate::finding::Finding;
use crate::job::material::material;
use crate::job::{Container, Stock, defaults};
use crate::length::Length;
use crate::place::Size;

impl Builder<'_, '_> {
    pub(super) fn container(&mut self, keys: &BriefKeys, stock: Option<&Stock>) -> Option<Container> {
        let keys = &keys.container.get()?.value;
        self.on_side = keys.stored.copied() == Some(Stored::Side);
        let readings = keys.interior.get()?;
        let Triple([w, d, h]) = readings.value;
        let interior = Size { w: w.least, d: d.least, h: h.least };
        let spread = Size { w: w.greatest - w.least, d: d.greatest - d.least, h: h.greatest - h.least };
        self.interior = Some(interior);
        self.readings_agree(readings);
        let lid_room = keys.lid_room.copied().map_or(Length::ZERO, |p| p.0);
        if let Some(at) = keys.lid_room.get()
            && lid_room >= interior.h
        {
            let cause = format!("{lid_room} under the lid leave nothing of the height {}", interior.h);
            self.report("J012", &at.spot, cause);
        }
        let stock = stock?;
        let by_stock = default_clearance(stock, interior);
        let said = keys.clearance.value();
        let (between, side) = match said {
            Some(Clearance::Both(play)) => (*play, *play),
            Some(Clearance::Each(each)) => (
                each.between.copied().map_or(by_stock.0, |p| p.0),
                each.side.copied().map_or(by_stock.1, |p| p.0),
            ),
            None => by_stock,
        };
        let whole = matches!(said, Some(Clearance::Both(_)))
            || matches!(said, Some(Clearance::Each(e)) if !e.between.is_absent() && !e.side.is_absent());
        if !whole && !keys.clearance.is_bad() {
            let cause = format!(
                "clearance {between} between trays and {side} at the sides of the box, by what \"{}\" and a box of this size ask for",
                stock.name
            );
            self.note(
                Finding::listed("J040", cause).at(self.reader.sources.place(keys.spot.span, "box.clearance")),
            );
        }
        let spot = keys.clearance.get().map_or(&keys.spot, |at| &at.spot).clone();
        self.room_beside_walls(interior, lid_room, side, stock, &spot);
        Some(Container { interior, spread, lid_room, between, side, on_side: self.on_side })
    }

    /// Readings of one side that lie far apart are more likely a slip than a crooked box.
    fn readings_agree(&mut self, at: &At<Triple<Readings>>) {
        for (name, r) in ["width", "depth", "height"].iter().zip(at.value.0) {
            // A twentieth: a box that crooked does not close (common practice, no source).
            if r.greatest - r.least > r.greatest / 20 {
                let cause = format!("the readings of the {name} lie between {} and {}", r.least, r.greatest);
                self.note(
                    Finding::listed("J027", cause).at(self.reader.sources.place(at.spot.span, &at.spot.path)),
                );
            }
        }
    }

    fn room_beside_walls(
        &mut self,
        inside: Size,
        lid_room: Length,
        side: Length,
        stock: &Stock,
        spot: &Spot,
    ) {
        let least_side = inside.w.min(inside.d);
        if side * 2 >= least_side {
            let cause = format!("a clearance of {side} at both sides leaves nothing of {least_side}");
            self.report("J012", spot, cause);
        } else if side * 2 + stock.thickness * 2 >= least_side {
            let cause = format!("two walls of {} leave no room in a box {least_side} wide", stock.thickness);
            self.report("J010", spot, cause);
        }
        if let Some(floor) = self.floor
            && lid_room < inside.h
            && floor >= inside.h - lid_room
        {
            let cause = format!("a floor of {floor} leaves no room in a box {} high", inside.h - lid_room);
            self.report("J010", spot, cause);
        }
    }

    /// The step of the search.
    pub(super) fn grid(&mut self, keys: &BriefKeys) -> Length {
        let said = keys.search.value().and_then(|s| s.grid.get());
        let cubes = |grid: Length| self.interior.map_or(0, |room| cubes(room, grid));
        let usual =
            if cubes(defaults::GRID) > defaults::MOST_CUBES { defaults::COARSE_GRID } else { defaults::GRID };
        let grid = said.map_or(usual, |at| at.value.0);
        let cubes = cubes(grid);
        if let (Some(room), Some(at)) = (self.interior, said) {
            let steps = room.w.max(room.d).max(room.h).steps_up(grid);
            if steps > defaults::MOST_STEPS {
                let cause = format!("a step of {grid} makes {steps} steps along the box");
                self.report("J013", &at.spot, cause);
            } else if cubes > defaults::MOST_CUBES {
                let cause = format!(
                    "a step of {grid} makes {cubes} cubes of the box, more than {}",
                    defaults::MOST_CUBES
                );
                self.report("J013", &at.spot, cause);
            } else if grid > room.w.min(room.d).min(room.h) / 10 {
                let cause = format!("a step of {grid} is too coarse for a box of this size");
                self.report("J013", &at.spot, cause);
            }
        }
        grid
    }
}

/// Lengths that limit something, with what they limit: sums of lengths, so many of each.
pub(super) type Limited = (Vec<Length>, Vec<Vec<(Length, i64)>>);

/// A finer step where the usual one would keep out what fits exactly: something as high as a layer or the box, or as wide as
/// the box, which is no whole number of steps (31.75 mm, say). Bodies are rounded up and what they stand in down. Of the
/// steps that keep out the least, the coarsest.
pub(super) fn finer(usual: Length, room: Size, axes: &[Limited]) -> Length {
    let kept_out = |step: Length| {
        let exact = |limit: Length, sum: &[(Length, i64)]| {
            let whole = sum.iter().fold(Length::ZERO, |all, (body, n)| all + *body * *n);
            let steps: i64 = sum.iter().map(|(body, n)| body.steps_up(step) * n).sum();
            whole <= limit && steps > limit.steps_down(step)
        };
        let of = |(limits, bodies): &Limited| -> usize {
            limits.iter().map(|limit| bodies.iter().filter(|sum| exact(*limit, sum)).count()).sum()
        };
        axes.iter().map(of).sum::<usize>()
    };
    let steps = (0..=defaults::MOST_HALVINGS).map(|k| usual / (1 << k));
    let fair = |step: &Length| {
        *step == usual
            || (cubes(room, *step) <= defaults::MOST_CUBES
                && room.w.max(room.d).max(room.h).steps_up(*step) <= defaults::MOST_STEPS)
    };
    steps.filter(fair).min_by_key(|step| kept_out(*step)).unwrap_or(usual)
}

/// Cubes of this side in a box.
fn cubes(room: Size, grid: Length) -> i128 {
    [room.w, room.d, room.h].into_iter().map(|side| i128::from(side.steps_down(grid))).product()
}

/// Clearance between trays and at the sides, by the spread of the stock and the size of the box.
fn default_clearance(stock: &Stock, interior: Size) -> (Length, Length) {
    let material = material(&stock.name);
    let spread = stock.spread.unwrap_or_else(|| defaults::thickness_spread(material, stock.thickness));
    defaults::clearance(material, spread, interior.w.max(interior.d))
}

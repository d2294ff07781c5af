//! Mass of a tray with its contents at an outline, as far as densities and masses are known.

use super::instance::Option3;
use crate::job::{Contents, Job, Milligrams, Stock, Tray};
use crate::tray::TrayNeeds;

/// An upper value of the mass of a tray at this outline and its least height, in milligrams: every divider is counted
/// as long as the tray's longer side. Parts and stocks of unknown mass count nothing.
pub(crate) fn most_mass(job: &Job, tray: &Tray, needs: &TrayNeeds, o: Option3) -> Milligrams {
    let g = job.grid;
    let (w, d) = (g * o.w, g * o.d);
    let clear = g * o.h - needs.base;
    let inner = (w - needs.wall * 2) * (d - needs.wall * 2);
    let density = |own: &Option<Stock>| i128::from(own.as_ref().unwrap_or(&job.stock).density.unwrap_or(0));
    let walls = ((w * d - inner) * clear).nm3() * density(&None);
    let floors = (w * d * needs.base).nm3() * density(&job.floor_stock);
    let cuts = dividers(tray) as i64;
    let partitions =
        (w.max(d) * clear * needs.divider_exact).nm3() * i128::from(cuts) * density(&job.divider_stock);
    // kg/m³ is mg/cm³, and 1 cm³ is 1e21 nm³.
    let wood = (walls + floors + partitions) / 10i128.pow(21) + 1;
    i64::try_from(wood).unwrap_or(i64::MAX / 2).saturating_add(contents(tray))
}

/// Dividers (and walls of nested trays, counted as dividers) of a tray.
fn dividers(tray: &Tray) -> usize {
    let nested = tray.parts.iter().map(|p| match &p.contents {
        Contents::Tray(own) => 4 + dividers(own),
        _ => 0,
    });
    tray.parts.len().saturating_sub(1) + nested.sum::<usize>()
}

fn contents(tray: &Tray) -> Milligrams {
    tray.parts
        .iter()
        .map(|p| match &p.contents {
            Contents::Tray(own) => contents(own),
            _ => p.mass.unwrap_or(0),
        })
        .fold(0, i64::saturating_add)
}

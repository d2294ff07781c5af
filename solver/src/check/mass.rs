//! Mass: no carried tray is heavier than is wanted, as far as masses are known.

use super::Report;
use super::extent::Extent;
use super::view::{Placed, View};
use crate::job::Stock;

/// kg/m³ times nm³ to mg: 1 kg/m³ is 1 mg/cm³, and 1 cm³ is 1e21 nm³.
const PER_MG: i128 = 10i128.pow(21);

pub(super) fn check(view: &View, report: &mut Report) {
    let Some(most) = view.job.wishes.most_mass else { return };
    for (i, own) in view.a.trays.iter().enumerate() {
        let all = || view.trays.iter().enumerate().filter(|(_, t)| t.within == i);
        let Some(path) = all().next().map(|(_, t)| &t.path) else { continue };
        // In mg times 1e21, so that nothing is rounded.
        let mut sum: i128 = all().map(|(_, t)| stock(view, t)).fold(0, i128::saturating_add);
        for (index, _) in all() {
            for room in view.rooms.iter().filter(|r| r.tray == index) {
                let mass = i128::from(room.part.mass.unwrap_or(0));
                sum = sum.saturating_add(mass.saturating_mul(PER_MG));
            }
        }
        if sum > i128::from(most).saturating_mul(PER_MG) {
            let cause = format!(
                "\"{}\" with its contents is at least {} g, wanted are {} g at most",
                own.name,
                sum / PER_MG / 1000,
                most / 1000
            );
            report.fault("C059", path, cause);
        }
    }
}

fn stock(view: &View, t: &Placed) -> i128 {
    let job = view.job;
    let density = |stock: &Stock| i128::from(stock.density.unwrap_or(0));
    let (e, wall) = (&t.extent, t.tray.wall.nm());
    let flat = t.tray.floor.nm() + t.tray.lid.nm();
    let inner = i128::from((e.len(0) - 2 * wall).max(0)) * i128::from((e.len(1) - 2 * wall).max(0));
    let walls = (e.footprint() - inner) * i128::from((e.len(2) - flat).max(0));
    let floors = e.footprint() * i128::from(flat);
    let dividers: i128 = t.tray.dividers.iter().map(|d| Extent::new(d.at, d.size).volume()).sum();
    let of = |own: &Option<Stock>, volume: i128| {
        volume.saturating_mul(density(own.as_ref().unwrap_or(&job.stock)))
    };
    of(&None, walls)
        .saturating_add(of(&job.floor_stock, floors))
        .saturating_add(of(&job.divider_stock, dividers))
}

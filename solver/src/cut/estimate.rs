//! What cutting takes: length, beginnings, time with every term, material, mass, price.
//!
//! time = length / speed + beginnings × time of one + sheets × set-up (common practice, no source); moves between lines are
//! not counted. Planning figures: before a stock's own speed is measured they may be 20 % off (common practice, no source).

use super::ring::{area_mm2, edge_mm};
use super::{CutJob, Lot, Operation, Path};
use crate::panel::{Edge, Spot};

/// Length and beginnings of one operation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Which.
    pub operation: Operation,
    /// Lines that begin anew.
    pub lines: usize,
    /// Their length, mm.
    pub length_mm: f64,
}

/// What cutting one lot takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// By operation, those that occur.
    pub shares: Vec<Share>,
    /// Sum of the lengths, mm.
    pub length_mm: f64,
    /// Sum of the beginnings.
    pub lines: usize,
    /// Sheets.
    pub sheets: usize,
    /// length / speed, s.
    pub cutting_s: f64,
    /// beginnings × time of one, s.
    pub pierces_s: f64,
    /// sheets × set-up, s.
    pub setup_s: f64,
    /// Area of the finished panels, mm².
    pub panels_mm2: f64,
    /// Area of all sheets, mm².
    pub bought_mm2: f64,
    /// Mass of the panels in milligrams, where the stock's density is known.
    pub mass_mg: Option<i64>,
    /// Price of the sheets in hundredths, where all have one.
    pub price_hundredths: Option<i64>,
}

impl Estimate {
    /// All terms together, s.
    pub fn total_s(&self) -> f64 {
        self.cutting_s + self.pierces_s + self.setup_s
    }

    /// Panels as a share of what is bought, percent.
    pub fn yield_percent(&self) -> f64 {
        if self.bought_mm2 > 0.0 { 100.0 * self.panels_mm2 / self.bought_mm2 } else { 0.0 }
    }
}

/// What cutting a lot takes.
pub fn estimate(job: &CutJob, lot: &Lot) -> Estimate {
    let straight = lot.sheets.iter().any(|s| !s.cuts.is_empty());
    let mut shares = Vec::new();
    for operation in Operation::ALL {
        let mut share = Share { operation, lines: 0, length_mm: 0.0 };
        for line in lot.sheets.iter().flat_map(|s| s.of(operation)) {
            let length = match (&line.path, operation) {
                // Edge-to-edge cuts have parted the panel already; what is left are notches in its rim.
                (Path::Closed(ring), Operation::Outline) if straight => {
                    let bounds = line.path.bounds();
                    ring.spans().filter(|s| !on_bounds(*s, bounds)).map(|(from, e)| edge_mm(from, e)).sum()
                }
                (path, _) => path.length_mm(),
            };
            if length > 0.0 {
                share.lines += 1;
                share.length_mm += length;
            }
        }
        if share.lines > 0 {
            shares.push(share);
        }
    }
    let length_mm: f64 = shares.iter().map(|s| s.length_mm).sum();
    let lines: usize = shares.iter().map(|s| s.lines).sum();
    let stock = &lot.stock;
    let (mut panels_mm2, mut solid_mm3) = (0.0, 0.0);
    for item in &lot.items {
        let Some(panel) = job.trays.get(item.tray).and_then(|t| t.panels.get(item.panel)) else { continue };
        let holes: f64 = panel.openings.iter().map(|o| area_mm2(&o.ring)).sum();
        let face = area_mm2(&panel.outline) - holes;
        let recessed: f64 = panel.recesses.iter().map(|r| area_mm2(&r.ring) * r.depth.to_mm_f64()).sum();
        panels_mm2 += face;
        solid_mm3 += face * panel.thickness.to_mm_f64() - recessed;
    }
    let prices: Option<i64> =
        lot.plan.sheets.iter().map(|s| lot.sizes.get(s.size).and_then(|z| z.price_hundredths)).sum();
    Estimate {
        cutting_s: length_mm * 1e3 / stock.cutting.um_a_second.max(1) as f64,
        pierces_s: lines as f64 * stock.cutting.pierce_ms as f64 / 1e3,
        setup_s: lot.sheets.len() as f64 * stock.cutting.setup_ms as f64 / 1e3,
        shares,
        length_mm,
        lines,
        sheets: lot.sheets.len(),
        panels_mm2,
        bought_mm2: lot.plan.bought.nm2() as f64 / 1e12,
        // kg/m³ is mg/cm³.
        mass_mg: stock.density.map(|rho| (solid_mm3 / 1e3 * rho as f64).round() as i64),
        price_hundredths: prices,
    }
}

/// Whether a straight edge lies on the rectangle around its ring.
fn on_bounds((from, edge): (Spot, Edge), (least, most): (Spot, Spot)) -> bool {
    let Edge::Line(to) = edge else { return false };
    (from.x == to.x && (from.x == least.x || from.x == most.x))
        || (from.y == to.y && (from.y == least.y || from.y == most.y))
}

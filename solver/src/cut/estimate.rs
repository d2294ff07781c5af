//! What cutting takes: length, beginnings, time with every term, material, mass, price.
//!
//! time = length / speed + beginnings × time of one + sheets × set-up (common practice, no source); moves between lines are
//! not counted. Planning figures: before a stock's own speed is measured they may be 20 % off (common practice, no source).

use super::ring::{area_mm2, edge_mm};
use super::{CutJob, Lot, Operation, Path};
use crate::panel::{Edge, Spot};

/// Length and beginnings of one operation.
///
/// ```
/// # use traywright::{brief::Format, cut, job, panel, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
/// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
/// use traywright::cut::{Operation, estimate};
/// let it = estimate(&made, &made.lots[0]);
/// assert_eq!((it.shares[0].operation, it.shares[0].lines), (Operation::Outline, 5));
/// assert_eq!(it.shares.iter().map(|s| s.length_mm).sum::<f64>(), it.length_mm);
/// ```
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
///
/// ```
/// # use traywright::{brief::Format, cut, job, panel, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
/// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
/// let it = traywright::cut::estimate(&made, &made.lots[0]);
/// assert_eq!((it.lines, it.sheets), (5, 1));
/// assert_eq!((it.pierces_s, it.setup_s), (5.0 * 0.5, 300.0));
/// assert_eq!(it.price_hundredths, None); // the usual sheets have no price
/// ```
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
    ///
    /// ```
    /// # use traywright::{brief::Format, cut, job, panel, plan};
    /// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
    /// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
    /// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
    /// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
    /// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
    /// let it = traywright::cut::estimate(&made, &made.lots[0]);
    /// // Nearly two metres of cuts at 15 mm/s, half a second a line, five minutes a sheet.
    /// assert!((it.total_s() - (it.length_mm / 15.0 + 2.5 + 300.0)).abs() < 1e-6);
    /// ```
    pub fn total_s(&self) -> f64 {
        self.cutting_s + self.pierces_s + self.setup_s
    }

    /// Panels as a share of what is bought, percent.
    ///
    /// ```
    /// # use traywright::{brief::Format, cut, job, panel, plan};
    /// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
    /// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
    /// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
    /// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
    /// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
    /// let mut it = traywright::cut::estimate(&made, &made.lots[0]);
    /// (it.panels_mm2, it.bought_mm2) = (60_000.0, 240_000.0);
    /// assert_eq!(it.yield_percent(), 25.0);
    /// it.bought_mm2 = 0.0;
    /// assert_eq!(it.yield_percent(), 0.0);
    /// ```
    pub fn yield_percent(&self) -> f64 {
        if self.bought_mm2 > 0.0 { 100.0 * self.panels_mm2 / self.bought_mm2 } else { 0.0 }
    }
}

/// What cutting a lot takes.
///
/// ```
/// # use traywright::{brief::Format, cut, job, panel, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// # let (trays, marks) = (panel::panels(&job, &plan).unwrap(), vec![vec!["A".to_owned()]]);
/// # let made = cut::lay_out(&job, trays, marks, &cut::Options::default()).unwrap();
/// let it = traywright::cut::estimate(&made, &made.lots[0]);
/// assert_eq!(it.bought_mm2, 600.0 * 400.0);
/// // 660 kg/m³, 3 mm thick: 1.98 mg a square millimetre.
/// assert!((it.mass_mg.unwrap() as f64 - it.panels_mm2 * 1.98).abs() <= 1.0);
/// ```
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

//! What cutting a plan takes: panels, sheets, mass, time and money.

use super::Answer;
use super::cost::made;
use super::table::Cell;
use crate::cut::{Estimate, estimate};

/// What cutting a plan takes, all stocks together.
///
/// ```
/// use traywright::shop::{Answer, Cell, Compared, Comparison, Taken};
/// # use traywright::job::read_list;
/// # let list = "id,name,thickness\nbirch-3,birch plywood,3 mm\n";
/// # let stock = read_list("stocks.csv", list).unwrap().remove(0);
/// let taken = Some(Taken { cut_m: 3.761, minutes: 9.33, mass_g: None, ..Taken::default() });
/// let row = Compared { stock, variant: "".into(), answer: Answer::NotRun, taken };
/// let table = Comparison { title: "Pilot".into(), rows: vec![row] }.table();
/// let told = table.pick(&["cut_m", "cut_minutes", "mass_g"]);
/// assert_eq!(told.rows[0], [Cell::number("3.76"), Cell::number("9.3"), Cell::Empty]);
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Taken {
    /// Panels to cut.
    pub panels: usize,
    /// Sheets to buy.
    pub sheets: usize,
    /// Panels as a share of the sheets, percent.
    pub yield_percent: f64,
    /// Mass of all trays in grams, where all densities are known.
    pub mass_g: Option<f64>,
    /// Length of all cuts, m.
    pub cut_m: f64,
    /// Time to cut, minutes.
    pub minutes: f64,
    /// Price of the sheets in hundredths, where all have one.
    pub price_hundredths: Option<i64>,
}

/// Columns of what cutting takes.
pub(super) const TAKEN: [&str; 7] =
    ["panels", "sheets", "yield_percent", "mass_g", "cut_m", "cut_minutes", "sheet_price"];

impl Taken {
    /// What cutting takes, where there is a plan that can be cut; sheets are laid out with so many nodes a stock.
    pub(super) fn of(answer: &Answer, nodes: u64) -> Option<Taken> {
        let Answer::Plan { job, plan } = answer else { return None };
        let made = made(job, plan, nodes).ok()?;
        let lots: Vec<Estimate> = made.lots.iter().map(|lot| estimate(&made, lot)).collect();
        let sum = |of: fn(&Estimate) -> f64| lots.iter().map(of).sum::<f64>();
        let (used, bought) = (sum(|e| e.panels_mm2), sum(|e| e.bought_mm2));
        let mass: Option<i64> = lots.iter().map(|e| e.mass_mg).sum();
        Some(Taken {
            panels: made.lots.iter().map(|lot| lot.items.len()).sum(),
            sheets: lots.iter().map(|e| e.sheets).sum(),
            yield_percent: if bought > 0.0 { 100.0 * used / bought } else { 0.0 },
            mass_g: mass.map(|mg| mg as f64 / 1000.0),
            cut_m: sum(|e| e.length_mm) / 1000.0,
            minutes: sum(Estimate::total_s) / 60.0,
            price_hundredths: lots.iter().map(|e| e.price_hundredths).sum(),
        })
    }

    /// One cell for each of [`TAKEN`].
    pub(super) fn cells(taken: Option<&Taken>) -> Vec<Cell> {
        let Some(t) = taken else { return vec![Cell::Empty; TAKEN.len()] };
        let number = |value: f64, places: usize| Cell::number(format!("{value:.places$}"));
        vec![
            Cell::number(t.panels.to_string()),
            Cell::number(t.sheets.to_string()),
            number(t.yield_percent, 1),
            t.mass_g.map_or(Cell::Empty, |g| number(g, 0)),
            number(t.cut_m, 2),
            number(t.minutes, 1),
            t.price_hundredths.map_or(Cell::Empty, |p| Cell::number(format!("{}.{:02}", p / 100, p % 100))),
        ]
    }
}

//! What one box takes, from its panels on their sheets.

use super::{Bought, Figures, MaterialFigures, Money};
use crate::cut::{CutJob, Options, estimate, lay_out};
use crate::finding::Finding;
use crate::job::Job;
use crate::panel::panels;
use crate::plan::Plan;

/// Panels of a checked plan on sheets of their stocks.
///
/// # Errors
/// Trays that cannot be made, and panels that no sheet holds.
pub(in crate::shop) fn made(job: &Job, plan: &Plan, nodes: u64) -> Result<CutJob, Vec<Finding>> {
    let trays = panels(job, plan)?;
    let marks = trays.iter().map(|t| vec![String::new(); t.placed.len()]).collect();
    lay_out(job, trays, marks, &Options { nodes, ..Options::default() })
}

impl Figures {
    /// What the box of a checked plan takes; `nodes` is spent on laying out the sheets of each stock.
    ///
    /// # Errors
    /// Trays that cannot be made, and panels that no sheet holds.
    pub fn of_plan(job: &Job, plan: &Plan, nodes: u64) -> Result<Figures, Vec<Finding>> {
        Ok(Figures::of_cut(&made(job, plan, nodes)?))
    }

    /// What a box takes whose panels are laid out already.
    pub fn of_cut(made: &CutJob) -> Figures {
        // Planning figures: a thousandth of a second or a millimetre is far below what they are sure to.
        let whole = |value: f64| value.round() as i64;
        let materials = made
            .lots
            .iter()
            .map(|lot| {
                let taken = estimate(made, lot);
                let of_size = |i: usize| lot.plan.sheets.iter().filter(|s| s.size == i).count() as i64;
                let sheets = lot.sizes.iter().enumerate().map(|(i, size)| Bought {
                    size: format!("{} × {} mm", size.w.decimal(), size.d.decimal()),
                    count: of_size(i),
                    price: size.price_hundredths.map(Money::hundredths),
                    area_mm2: whole((size.w * size.d).nm2() as f64 / 1e12),
                });
                MaterialFigures {
                    stock: lot.stock.id.clone(),
                    name: format!("{} {} mm", lot.stock.name, lot.stock.thickness.decimal()),
                    sheets: sheets.filter(|s| s.count > 0).collect(),
                    used_mm2: whole(taken.panels_mm2),
                    cut_mm: whole(taken.length_mm),
                    cutting_ms: whole(taken.cutting_s * 1e3),
                    pierces_ms: whole(taken.pierces_s * 1e3),
                    setup_ms: whole(taken.setup_s * 1e3),
                }
            })
            .collect();
        let copies = |t: &crate::panel::TrayPanels| t.copies as i64;
        Figures {
            materials,
            trays: made.trays.iter().map(copies).sum(),
            panels: made.trays.iter().map(|t| copies(t) * t.panels.len() as i64).sum(),
        }
    }
}

//! The model in free-format MPS, which every solver of mixed-integer programs reads.

use std::fmt::Write as _;

use super::{Model, Sense, TooLarge, build};
use crate::layout::instance::Instance;

/// Writes the placement model of an instance down; the same instance gives the same bytes.
///
/// Numbers are written so that reading them back gives exactly the same values. The objective is in parts of
/// the box's volume; a comment in the head says how many cubed grid steps that is.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::model::mps;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// let text = mps(&instance).unwrap();
/// assert!(text.contains("\n E one-choice:tray_0\n") && text.ends_with("ENDATA\n"));
/// assert!(text.contains("* One of the objective is 240 cubed grid steps."));
/// ```
///
/// # Errors
/// [`TooLarge`].
pub fn mps(instance: &Instance) -> Result<String, TooLarge> {
    Ok(write(&build(instance)?))
}

fn write(model: &Model) -> String {
    let mut by_column: Vec<Vec<(usize, f64)>> = vec![Vec::new(); model.columns.len()];
    for (r, row) in model.rows.iter().enumerate() {
        for &(c, v) in &row.terms {
            if let Some(terms) = by_column.get_mut(c) {
                terms.push((r, v));
            }
        }
    }
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = lines(model, &by_column, &mut out);
    out
}

fn lines(model: &Model, by_column: &[Vec<(usize, f64)>], out: &mut String) -> std::fmt::Result {
    writeln!(out, "* Placement model: minimise claimed volume and access cost, in parts of the box.")?;
    writeln!(out, "* One of the objective is {} cubed grid steps.", model.unit)?;
    writeln!(out, "NAME placement\nROWS\n N cost")?;
    for row in &model.rows {
        let sense = match row.sense {
            Sense::AtMost => 'L',
            Sense::AtLeast => 'G',
            Sense::Equal => 'E',
        };
        writeln!(out, " {sense} {}", row.name)?;
    }
    writeln!(out, "COLUMNS")?;
    let mut whole = false;
    let mut markers = 0;
    for (column, terms) in model.columns.iter().zip(by_column) {
        if column.binary != whole {
            whole = column.binary;
            markers += 1;
            let mark = if whole { "INTORG" } else { "INTEND" };
            writeln!(out, " marker-{markers} 'MARKER' '{mark}'")?;
        }
        // A column without any entry would not exist for the reader.
        if column.cost != 0.0 || terms.is_empty() {
            writeln!(out, " {} cost {}", column.name, column.cost)?;
        }
        for &(r, v) in terms {
            if let Some(row) = model.rows.get(r) {
                writeln!(out, " {} {} {v}", column.name, row.name)?;
            }
        }
    }
    if whole {
        writeln!(out, " marker-{} 'MARKER' 'INTEND'", markers + 1)?;
    }
    writeln!(out, "RHS")?;
    for row in model.rows.iter().filter(|r| r.right != 0.0) {
        writeln!(out, " rhs {} {}", row.name, row.right)?;
    }
    writeln!(out, "BOUNDS")?;
    for c in &model.columns {
        if c.least == c.most {
            writeln!(out, " FX bound {} {}", c.name, c.least)?;
        } else {
            if c.least != 0.0 {
                writeln!(out, " LO bound {} {}", c.name, c.least)?;
            }
            writeln!(out, " UP bound {} {}", c.name, c.most)?;
        }
    }
    writeln!(out, "ENDATA")
}

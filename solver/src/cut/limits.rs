//! What no sheet can be cut for, whatever lies on it; and what is worth knowing about a stock before cutting.

use crate::finding::Finding;
use crate::job::{Process, Stock};
use crate::length::{Length, Unit};

/// No blade is wider; beyond this a cut width is a slip of the unit (common practice, no source).
const WIDEST: Length = Length::mm(10);

/// A fit of half a millimetre was far too much in the published trials (facts D13).
const LOOSEST: Length = Length::um(500);

/// Faults and notes of one stock.
pub(super) fn of_stock(stock: &Stock, unit: Unit) -> Vec<Finding> {
    let mut found = Vec::new();
    let about = format!("stock \"{}\"", stock.name);
    let mut say = |code, cause: String| found.push(Finding::listed(code, cause).about(about.clone()));
    let show = |l: Length| l.show(unit);
    let too_wide = match stock.process {
        Process::Laser => stock.cut_width >= stock.thickness,
        // A blade may well be wider than a thin sheet is thick.
        Process::Knife | Process::Saw => stock.cut_width > WIDEST,
    };
    if too_wide {
        let cause = format!(
            "the cut is {} wide, full width, and the sheet only {} thick",
            show(stock.cut_width),
            show(stock.thickness)
        );
        say("D001", cause);
    }
    for (joint, fit) in [("finger", stock.fit.finger), ("tab", stock.fit.tab), ("halved", stock.fit.halved)] {
        let size = if fit < Length::ZERO { -fit } else { fit };
        if size > LOOSEST {
            say(
                "D002",
                format!("slots of {joint} joints differ by {} from the sheet's thickness", show(fit)),
            );
        }
    }
    for sheet in &stock.sheets {
        let least = sheet.size.w.min(sheet.size.d);
        if stock.margin * 2 >= least {
            let cause = format!(
                "a sheet of {} × {} has nothing within margins of {}",
                show(sheet.size.w),
                show(sheet.size.d),
                show(stock.margin)
            );
            say("D003", cause);
        }
    }
    if stock.sheets_assumed {
        let sizes: Vec<String> = stock
            .sheets
            .iter()
            .map(|s| format!("{} × {}", s.size.w.show_number(unit), show(s.size.d)))
            .collect();
        say("D004", format!("sheets of {} are taken", sizes.join(" and ")));
    }
    found
}

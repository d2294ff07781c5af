//! D: lines to cut, and the files that hold them.

use super::Entry;
use crate::finding::Severity;

pub(super) const CUT: &[Entry] = &[
    Entry {
        code: "D001",
        severity: Severity::Fault,
        title: "a cut as wide as the sheet is thick",
        remedy: "Look at `cut_width` (the full width that a cut removes, not the half of it) and at `thickness`, and their units; a test coupon measures both.",
        snippet: None,
    },
    Entry {
        code: "D002",
        severity: Severity::Warning,
        title: "a fit far from the sheet's thickness",
        remedy: "Write `easy`, `push` or `press`, or a fit measured on a test coupon; half a millimetre is already far too much.",
        snippet: None,
    },
    Entry {
        code: "D003",
        severity: Severity::Fault,
        title: "a stock's sheet smaller than its margins",
        remedy: "Name larger `sheets`, or a smaller `margin`.",
        snippet: None,
    },
    Entry {
        code: "D004",
        severity: Severity::Note,
        title: "sheets that are only supposed",
        remedy: "Name the `sheets` of the stock that you can get, with their prices.",
        snippet: None,
    },
    Entry {
        code: "D005",
        severity: Severity::Fault,
        title: "a line that the cut would swallow",
        remedy: "Check `cut_width`, the full width that a cut removes; cut the stock by another process, or take a joint without slots (`butt`).",
        snippet: None,
    },
    Entry {
        code: "D006",
        severity: Severity::Fault,
        title: "a file that does not hold what was drawn",
        remedy: "Run it again; where it comes back, report it with its brief.",
        snippet: None,
    },
];

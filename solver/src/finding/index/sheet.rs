//! H: pieces on sheets.

use super::Entry;
use crate::finding::Severity;

const fn fault(code: &'static str, title: &'static str, remedy: &'static str) -> Entry {
    Entry { code, severity: Severity::Fault, title, remedy, snippet: None }
}

/// A fault of a layout that only the program or an edit by hand can have brought about.
const fn unsound(code: &'static str, title: &'static str) -> Entry {
    fault(
        code,
        title,
        "Lay the pieces out again; a layout that nobody edited should be reported with its brief.",
    )
}

pub(super) const SHEET: &[Entry] = &[
    fault("H001", "a piece that cannot be", "Give both sides of a piece, above nothing and at most 10 m."),
    fault("H002", "a sheet that cannot be", "Give both sides of a sheet, above nothing and at most 10 m."),
    fault("H003", "a sheet smaller than its margins", "Take a larger sheet or a smaller margin."),
    fault("H004", "a price that cannot be", "Give a price from 0 to 100 million, or none for any size."),
    fault("H005", "a margin or spacing that cannot be", "Give a length from 0 to 10 m."),
    fault(
        "H006",
        "more pieces or sizes of sheets than are laid out",
        "At most 4095 pieces and 40 sizes; split the job.",
    ),
    fault("H007", "there is no sheet", "Say what sheets of the stock can be had."),
    fault(
        "H008",
        "a piece larger than every sheet",
        "Take a larger sheet, a smaller margin, or a smaller tray.",
    ),
    fault("H009", "too few sheets, proven", "Get more sheets, or larger ones."),
    fault("H010", "no layout found on the sheets there are", "Get one more sheet, or allow more time."),
    unsound("H020", "a sheet of a size that there is not, or not so often"),
    unsound("H021", "a piece that lies on no sheet, or on more than one"),
    unsound("H022", "a piece turned against the grain"),
    unsound("H023", "a piece in the margin of a sheet"),
    unsound("H024", "pieces closer than the spacing"),
    unsound("H025", "a cut that does not go from edge to edge"),
    unsound("H026", "cuts that do not free every piece"),
    unsound("H027", "an offcut that is not free"),
    unsound("H028", "cost, bound or areas that do not add up"),
];

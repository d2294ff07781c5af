//! Every kind of finding, once: the source of the index page `docs/findings.md`.

/// Lines that most snippets share.
macro_rules! interior {
    () => {
        "box.interior = [310, 240, 70]\n"
    };
}
macro_rules! stock {
    () => {
        "stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n"
    };
}
macro_rules! sacks {
    () => {
        "part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" } }]\n"
    };
}

mod brief;
mod checker;
mod cut;
mod job;
mod page;
mod panel;
mod sheet;

pub use page::page;

use super::Severity;

/// One kind of finding.
///
/// ```
/// use traywright::{brief::Format, finding::index, job};
/// let entry = index::find("B005").unwrap();
/// let brief = entry.snippet.unwrap();
/// let findings = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap_err();
/// let found = findings.iter().find(|f| f.code == entry.code).unwrap();
/// assert_eq!(found.severity, entry.severity);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Its code; never changes meaning.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
    /// What it means, in a short phrase.
    pub title: &'static str,
    /// What to do, in a sentence.
    pub remedy: &'static str,
    /// A brief (TOML) that brings it about, where a brief alone can.
    pub snippet: Option<&'static str>,
}

/// A brief with one part of these lines.
macro_rules! with_part {
    ($lines:literal) => {
        Some(concat!(
            "[box]\ninterior = [160, 120, 60]\n\n",
            "[stock]\nname = \"greyboard\"\nthickness = 2\nprocess = \"knife\"\n\n",
            "[[tray]]\nname = \"shore\"\n\n",
            "[[tray.part]]\nname = \"shells\"\n",
            $lines,
            "\n",
        ))
    };
}

/// Entries of the rooms behind the job; those of brief, job and checker are in files of their own. [`all`] has every one.
///
/// Each room keeps its entries under its own heading, so that two people adding codes do not meet.
pub const INDEX: &[Entry] = &[
    // N: needs
    Entry {
        code: "N001",
        severity: Severity::Fault,
        title: "contents without a known size",
        remedy: "Measure: pour loose pieces into a measuring cup (`volume`), hold a rule against a stack (`height`).",
        // A brief meets J005 or J006 before it.
        snippet: None,
    },
    Entry {
        code: "N002",
        severity: Severity::Fault,
        title: "no way of standing suits the face",
        remedy: "Allow `flat`, or a way that suits: edges need a rectangle, a roll a disc or hexagon, leaning a rectangle of known thickness.",
        snippet: with_part!("stack = { face = [48, 48], height = 41, stand = [\"lean\"] }"),
    },
    Entry {
        code: "N003",
        severity: Severity::Fault,
        title: "a number beyond what is taken",
        remedy: "Correct the number or its unit.",
        snippet: with_part!("solid = { size = [1, 1, 1], count = 20000 }"),
    },
    Entry {
        code: "N004",
        severity: Severity::Note,
        title: "a bulk volume that is an estimate",
        remedy: "Pour the pieces into a measuring cup and give `volume`.",
        snippet: with_part!("loose = { count = 60, form = \"disc\", piece = [22, 22, 4] }"),
    },
    Entry {
        code: "N005",
        severity: Severity::Note,
        title: "a stack height that is an estimate",
        remedy: "Measure the height of the whole stack and give `height`.",
        snippet: with_part!("stack = { face = [63.5, 88.9], count = 54, each = 0.3 }"),
    },
    Entry {
        code: "N006",
        severity: Severity::Warning,
        title: "a measured volume that disagrees with count and piece",
        remedy: "Check volume, count and piece; the measured volume is used.",
        snippet: with_part!(
            "loose = { volume = \"900 ml\", count = 100, form = \"cube\", piece = [16, 16, 16] }"
        ),
    },
    Entry {
        code: "N007",
        severity: Severity::Warning,
        title: "a measured volume less than the pieces themselves",
        remedy: "Check volume, count and piece: one of the three or its unit is wrong.",
        snippet: with_part!(
            "loose = { volume = \"400 ml\", count = 100, form = \"cube\", piece = [16, 16, 16] }"
        ),
    },
    Entry {
        code: "N008",
        severity: Severity::Warning,
        title: "a form whose packing nobody has published",
        remedy: "Pour the pieces into a measuring cup and give `volume`, or name their `form`.",
        snippet: with_part!("loose = { count = 12, form = \"odd\", piece = [20, 12, 30] }"),
    },
    Entry {
        code: "N009",
        severity: Severity::Note,
        title: "pieces flatter than published formulas cover",
        remedy: "Pour the pieces into a measuring cup and give `volume`.",
        snippet: with_part!("loose = { count = 40, form = \"disc\", piece = [24.26, 24.26, 1.75] }"),
    },
    Entry {
        code: "N010",
        severity: Severity::Warning,
        title: "so few pieces that walls loosen their packing",
        remedy: "Pour the pieces into the smallest box that takes them, and give its volume.",
        snippet: with_part!("loose = { count = 6, form = \"cube\", piece = [16, 16, 16] }"),
    },
    Entry {
        code: "N011",
        severity: Severity::Warning,
        title: "an unlikely thickness of a piece",
        remedy: "Check the number, its unit, and whether sleeves are in it.",
        snippet: with_part!("stack = { face = [63.5, 88.9], count = 54, each = \"0.03 mm\" }"),
    },
    Entry {
        code: "N012",
        severity: Severity::Warning,
        title: "a stack height that disagrees with count and thickness",
        remedy: "Check height, count and each; the height is used, and with a sleeve it is that of the sleeved stack.",
        snippet: with_part!("stack = { face = [63.5, 88.9], count = 54, each = 0.3, height = 27 }"),
    },
    Entry {
        code: "N013",
        severity: Severity::Warning,
        title: "wanted spare room that cannot be counted",
        remedy: "Give the room as a volume, or what one piece takes.",
        snippet: with_part!("stack = { face = [48, 48], height = 41 }\nspare_room = 4"),
    },
    Entry {
        code: "N014",
        severity: Severity::Warning,
        title: "a bulk volume of hardly a drop",
        remedy: "Write the unit, such as `38 ml`: a bare number is in the brief's unit, cubed.",
        snippet: with_part!("loose = { volume = 38 }"),
    },
    // T: trays
    Entry {
        code: "T001",
        severity: Severity::Fault,
        title: "a tray with all its parts is larger than the box",
        remedy: "Split it into two trays, allow more ways of standing, or use thinner stock.",
        snippet: None,
    },
    Entry {
        code: "T002",
        severity: Severity::Fault,
        title: "a tray of fixed size is too small for its parts",
        remedy: "Make the tray larger, leave its size open, or move a part to another tray.",
        snippet: None,
    },
    // L: layout
    Entry {
        code: "L001",
        severity: Severity::Fault,
        title: "a cover item wider or deeper than the box",
        remedy: "Leave it out, or choose a larger box.",
        // A brief meets J017 before it.
        snippet: None,
    },
    Entry {
        code: "L002",
        severity: Severity::Fault,
        title: "lid room and cover items leave no height for trays",
        remedy: "Take a cover item out, or choose a higher box.",
        snippet: None,
    },
    Entry {
        code: "L003",
        severity: Severity::Fault,
        title: "a tray that cannot hold its parts within the box",
        remedy: "Move a part to another tray, allow another way of standing, or choose a larger box.",
        snippet: None,
    },
    Entry {
        code: "L004",
        severity: Severity::Fault,
        title: "a kept item that does not go into the box in any allowed turn",
        remedy: "Allow it to be turned, leave it out, or choose a larger box.",
        // A brief meets J017 before it.
        snippet: None,
    },
    // P: plan
    Entry {
        code: "P002",
        severity: Severity::Fault,
        title: "proven: no arrangement of this kind holds everything",
        remedy: "Let go of what is held, allow more ways of standing, thinner stock, less clearance or another layer, or leave a part out.",
        snippet: None,
    },
    Entry {
        code: "P003",
        severity: Severity::Fault,
        title: "no arrangement was found",
        remedy: "Let go of what is held, allow more ways of standing, thinner stock, less clearance or another layer, leave a part out, or give the search more time.",
        snippet: None,
    },
    Entry {
        code: "P004",
        severity: Severity::Fault,
        title: "a tray could not be divided at the outline chosen for it",
        remedy: "This is a fault of the program: please report it with the brief.",
        snippet: None,
    },
    Entry {
        code: "P010",
        severity: Severity::Note,
        title: "a wanted notch gives way to a ribbon",
        remedy: "Put stacked or solid parts at the tray's ends, or accept the ribbon.",
        snippet: None,
    },
    Entry {
        code: "P011",
        severity: Severity::Note,
        title: "a plan from a search that was cut short",
        remedy: "Let it run to its end, or give it a longer `--budget`: a better plan may be found, and more be proven.",
        snippet: None,
    },
    Entry {
        code: "P050",
        severity: Severity::Fault,
        title: "a file is no whole plan file",
        remedy: "Give the file that `plan` wrote, unchanged, or plan again.",
        snippet: None,
    },
    Entry {
        code: "P051",
        severity: Severity::Fault,
        title: "a plan file is of another format or version",
        remedy: "Plan again with this program.",
        snippet: None,
    },
    Entry {
        code: "P060",
        severity: Severity::Fault,
        title: "an old plan that holds nothing of the brief",
        remedy: "Give the plan that was made from this brief or from an earlier state of it.",
        snippet: None,
    },
    Entry {
        code: "P061",
        severity: Severity::Fault,
        title: "a tray that must stay and is not in the old plan",
        remedy: "Write the tray's name as the old plan has it.",
        snippet: None,
    },
    Entry {
        code: "P062",
        severity: Severity::Fault,
        title: "a tray that must stay and cannot",
        remedy: "Let it go, or change what stands in its way.",
        snippet: None,
    },
    Entry {
        code: "P063",
        severity: Severity::Note,
        title: "an older plan that was made from another state of the brief",
        remedy: "Give the brief as it was then (`--old-brief`), so that old panels are worked out as they were cut.",
        snippet: None,
    },
    Entry {
        code: "P052",
        severity: Severity::Fault,
        title: "a model that would be too large",
        remedy: "Fix layer heights or hold trays, so that there is less to choose, or take a coarser `search.grid`.",
        snippet: None,
    },
    // S: stock and shop (S001 to S049 stock, from S050 shop)
    Entry {
        code: "S001",
        severity: Severity::Fault,
        title: "a stock that a laser must not cut",
        remedy: "Cut it by knife or saw (`process`), or take plywood, MDF, acrylic or board; what the machine's maker says comes first.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"white PVC sheet\", thickness = 3, process = \"laser\" }\n",
            sacks!()
        )),
    },
    Entry {
        code: "S002",
        severity: Severity::Warning,
        title: "a stock that is on no list for lasers",
        remedy: "Ask its maker what it is and whether a laser may cut it, before you do; what the machine's maker says comes first.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"PETG sheet\", thickness = 2, process = \"laser\" }\n",
            sacks!()
        )),
    },
    Entry {
        code: "S003",
        severity: Severity::Fault,
        title: "an unknown stock",
        remedy: "Write an identifier of the stock list, or a table with name and thickness.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"birch plywood\", thickness = 3, floor = \"greyboard-2\" }\n",
            sacks!()
        )),
    },
    Entry {
        code: "S004",
        severity: Severity::Fault,
        title: "a stock list is not named",
        remedy: "Name the file of the stock list in `stock_list`, or write the stock as a table.",
        snippet: Some(concat!(interior!(), "stock = \"birch-3\"\n", sacks!())),
    },
    Entry {
        code: "S005",
        severity: Severity::Fault,
        title: "two stocks with one identifier",
        remedy: "Change one of them.",
        snippet: None,
    },
    Entry {
        code: "S006",
        severity: Severity::Fault,
        title: "an empty stock list",
        remedy: "Write at least one stock with id, name and thickness.",
        snippet: None,
    },
    Entry {
        code: "S051",
        severity: Severity::Fault,
        title: "a list breaks off, or a line of it is malformed",
        remedy: "Give every row as many cells as the heading has columns, and close every quote; in JSON lines, one object a line.",
        snippet: None,
    },
    Entry {
        code: "S052",
        severity: Severity::Fault,
        title: "a list has a column or key that means nothing",
        remedy: "Use the columns that the finding names.",
        snippet: None,
    },
    Entry {
        code: "S053",
        severity: Severity::Fault,
        title: "a list has too many rows",
        remedy: "Split it.",
        snippet: None,
    },
    Entry {
        code: "S054",
        severity: Severity::Fault,
        title: "a list is empty",
        remedy: "Give it at least one row.",
        snippet: None,
    },
    Entry {
        code: "S055",
        severity: Severity::Fault,
        title: "an id stands twice in a list",
        remedy: "Give every row an id of its own.",
        snippet: None,
    },
    Entry {
        code: "S056",
        severity: Severity::Fault,
        title: "a row lacks what it needs",
        remedy: "Fill the empty cells of this row.",
        snippet: None,
    },
    Entry {
        code: "S057",
        severity: Severity::Fault,
        title: "an id cannot name files",
        remedy: "Use letters, digits, -, _ and points, at most 100.",
        snippet: None,
    },
    Entry {
        code: "S058",
        severity: Severity::Fault,
        title: "a job names a box that is not in the box list",
        remedy: "Give a box list that holds it.",
        snippet: None,
    },
    Entry {
        code: "S059",
        severity: Severity::Fault,
        title: "a job gives a part of an interior only, or two interiors",
        remedy: "Give width, depth and height, or a box, or none of them.",
        snippet: None,
    },
    Entry {
        code: "S060",
        severity: Severity::Fault,
        title: "the plan of a job cannot be written",
        remedy: "Make room or ask for rights, and run it again.",
        snippet: None,
    },
    Entry {
        code: "S061",
        severity: Severity::Fault,
        title: "a job asks for everything of a list that is not given",
        remedy: "Give the box list (`--boxes`) or the stock list (`--stock`).",
        snippet: None,
    },
    Entry {
        code: "S062",
        severity: Severity::Fault,
        title: "a file is no journal of a run",
        remedy: "Name a folder that `batch` has written with this version of the program.",
        snippet: None,
    },
    Entry {
        code: "S063",
        severity: Severity::Fault,
        title: "portions that do not belong together",
        remedy: "Give each portion of one run once, all with the same list, seed, nodes and program.",
        snippet: None,
    },
    Entry {
        code: "S064",
        severity: Severity::Fault,
        title: "a portion of a run is missing or unfinished",
        remedy: "Run it with --resume until it is finished.",
        snippet: None,
    },
    Entry {
        code: "S065",
        severity: Severity::Fault,
        title: "an unfinished run lies in the folder",
        remedy: "Go on with it (`--resume`), or take another folder.",
        snippet: None,
    },
    // S070, a file of rates that cannot be read, is told by B's findings now and not used again.
    Entry {
        code: "S071",
        severity: Severity::Fault,
        title: "a rate that cannot be",
        remedy: "Correct the value; give either `margin` (a share of the price) or `mark_up` (a share of the cost).",
        snippet: None,
    },
    Entry {
        code: "S072",
        severity: Severity::Fault,
        title: "a stock without a price",
        remedy: "Give its sheets a price in the stock list, or a price for a square metre in the rates.",
        snippet: None,
    },
    Entry {
        code: "S073",
        severity: Severity::Fault,
        title: "an order of a size that cannot be",
        remedy: "Ask for one box to a million.",
        snippet: None,
    },
];

/// All entries, room by room in the order in which data flows.
///
/// ```
/// use traywright::finding::index::{INDEX, all};
/// assert_eq!(all().filter(|e| e.code == "B005").count(), 1);
/// assert!(INDEX.iter().all(|e| e.code != "B005") && INDEX.len() < all().count());
/// ```
pub fn all() -> impl Iterator<Item = &'static Entry> {
    brief::BRIEF
        .iter()
        .chain(job::JOB)
        .chain(INDEX)
        .chain(panel::PANEL)
        .chain(sheet::SHEET)
        .chain(cut::CUT)
        .chain(checker::CHECKER)
}

/// The entry of a code.
///
/// ```
/// assert_eq!(traywright::finding::index::find("B005").unwrap().title, "a decimal comma");
/// ```
pub fn find(code: &str) -> Option<&'static Entry> {
    all().find(|entry| entry.code == code)
}

/// Whether an entry's snippet is an inventory rather than a brief: those of B020 to B025 are about spreadsheets.
///
/// ```
/// use traywright::finding::index::{find, is_inventory};
/// let told = |code| is_inventory(find(code).unwrap());
/// assert!(told("B020") && !told("B005"));
/// ```
pub fn is_inventory(entry: &Entry) -> bool {
    ("B020".."B026").contains(&entry.code)
}

#[cfg(test)]
mod tests;

//! Every kind of finding, once: the source of the index page `docs/findings.md`.

use super::Severity;

/// One kind of finding.
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

/// All kinds, in the order of their codes.
///
/// Each room keeps its entries under its own heading, so that two people adding codes do not meet.
pub const INDEX: &[Entry] = &[
    // B: reading a brief
    // J: building a job
    // N: needs
    Entry {
        code: "N001",
        severity: Severity::Fault,
        title: "contents without a known size",
        remedy: "Measure: pour loose pieces into a measuring cup (`volume`), hold a rule against a stack (`height`).",
        snippet: with_part!("loose = { count = 40 }"),
    },
    Entry {
        code: "N002",
        severity: Severity::Fault,
        title: "no way of standing suits the face",
        remedy: "Allow `flat`, or a way that suits: edges and leaning need a rectangle, a roll needs a disc or hexagon.",
        snippet: with_part!("stack = { face = { disc = 22 }, height = 40, stand = [\"long-edge\"] }"),
    },
    Entry {
        code: "N003",
        severity: Severity::Fault,
        title: "a number beyond what is taken",
        remedy: "Correct the number or its unit.",
        snippet: None,
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
        remedy: "Pour the pieces into a measuring cup and give `volume`.",
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
    Entry {
        code: "N015",
        severity: Severity::Fault,
        title: "a sleeve smaller than its piece",
        remedy: "Give the outer face of the sleeve.",
        snippet: with_part!(
            "stack = { face = [63.5, 88.9], height = 27, sleeve = { film = 0.1, face = [60, 91] } }"
        ),
    },
    Entry {
        code: "N016",
        severity: Severity::Warning,
        title: "a piece thicker than its face is wide",
        remedy: "Check face and thickness; bodies as thick as that are better given as `solid`.",
        snippet: with_part!("stack = { face = [20, 30], count = 2, each = 24 }"),
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
    // P: plan
    // C: checker
    // S: stock and shop (S001 to S049 stock, from S050 shop)
    // D: drawing
];

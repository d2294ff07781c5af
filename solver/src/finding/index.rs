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

/// All kinds, in the order of their codes.
///
/// Each room keeps its entries under its own heading, so that two people adding codes do not meet.
pub const INDEX: &[Entry] = &[
    // B: reading a brief
    Entry {
        code: "B001",
        severity: Severity::Fault,
        title: "a file cannot be read",
        remedy: "Check the name and that the file is there; names in a brief are looked up beside it.",
        snippet: None,
    },
    Entry {
        code: "B002",
        severity: Severity::Fault,
        title: "a file is too large",
        remedy: "A brief, an inventory and a stock list may have 8 MiB each; split the job.",
        snippet: None,
    },
    Entry {
        code: "B003",
        severity: Severity::Fault,
        title: "a file is not text",
        remedy: "Save it as plain text in UTF-8.",
        snippet: None,
    },
    Entry {
        code: "B004",
        severity: Severity::Fault,
        title: "the text is not TOML (or JSON)",
        remedy: "Mend the line: a key, an equals sign and a value; texts in quotes, lists in square brackets.",
        snippet: Some("box.interior = [310, 240, 70\n"),
    },
    Entry {
        code: "B005",
        severity: Severity::Fault,
        title: "a decimal comma",
        remedy: "Write a point in decimals: 2.5, not 2,5.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"birch plywood\", thickness = \"2,5 mm\" }\n",
            sacks!()
        )),
    },
    Entry {
        code: "B006",
        severity: Severity::Fault,
        title: "too deep in one another",
        remedy: "Lists and tables may lie 80 deep, trays 4 deep in one another; write it flatter.",
        snippet: Some(concat!(
            "a = ",
            "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
            "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
            "]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]",
            "]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]",
            "\n"
        )),
    },
    Entry {
        code: "B007",
        severity: Severity::Fault,
        title: "an unknown key",
        remedy: "Look at its spelling; the keys of every table are in the schema.",
        snippet: Some(concat!("box.intrior = [310, 240, 70]\n", stock!(), sacks!())),
    },
    Entry {
        code: "B008",
        severity: Severity::Fault,
        title: "a key is missing",
        remedy: "Add it.",
        snippet: Some(concat!(stock!(), sacks!())),
    },
    Entry {
        code: "B009",
        severity: Severity::Fault,
        title: "another kind of value is wanted",
        remedy: "Write the value in the form that is named.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", loose = { count = true } }]\n"
        )),
    },
    Entry {
        code: "B010",
        severity: Severity::Fault,
        title: "an unknown word",
        remedy: "Write one of the known words.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", use = \"alway\", loose = { volume = \"40 ml\" } }]\n"
        )),
    },
    Entry {
        code: "B011",
        severity: Severity::Fault,
        title: "not a length",
        remedy: "Write a number, or a number with a unit: 63.5 mm, 6.35 cm, 2 1/2 in.",
        snippet: Some(concat!("box.interior = [\"310 furlongs\", 240, 70]\n", stock!(), sacks!())),
    },
    Entry {
        code: "B012",
        severity: Severity::Fault,
        title: "negative, or nothing",
        remedy: "Measure again; the value must be above the bound that is named.",
        snippet: Some(concat!("box.interior = [-310, 240, 70]\n", stock!(), sacks!())),
    },
    Entry {
        code: "B013",
        severity: Severity::Fault,
        title: "greater than makes sense",
        remedy: "Look at the unit: no length is over 10 m, no volume over 1000 l, no count over a million.",
        snippet: Some(concat!("unit = \"in\"\n", "box.interior = [3100, 240, 70]\n", stock!(), sacks!())),
    },
    Entry {
        code: "B014",
        severity: Severity::Fault,
        title: "a list has too many or too few entries",
        remedy: "Write as many entries as are asked for.",
        snippet: Some(concat!("box.interior = [310, 240]\n", stock!(), sacks!())),
    },
    Entry {
        code: "B015",
        severity: Severity::Fault,
        title: "a key is written twice",
        remedy: "Keep one of the two.",
        snippet: Some(concat!("title = \"one\"\n", "title = \"two\"\n")),
    },
    Entry {
        code: "B016",
        severity: Severity::Fault,
        title: "not a volume",
        remedy: "Write a number with a unit: 45 ml, 2.75 in3, 1 1/2 fl oz.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", loose = { volume = \"40 spoons\" } }]\n"
        )),
    },
    Entry {
        code: "B017",
        severity: Severity::Fault,
        title: "not a mass",
        remedy: "Write a number with a unit: 4 g, 0.9 kg, 2 oz, 1 lb.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", mass = \"4 stone\", loose = { volume = \"40 ml\" } }]\n"
        )),
    },
    Entry {
        code: "B018",
        severity: Severity::Fault,
        title: "not a number",
        remedy: "Write a plain number, whole where a count is meant.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", solid = { size = [20, 20, 20], count = 2.5 } }]\n"
        )),
    },
    Entry {
        code: "B019",
        severity: Severity::Note,
        title: "more findings are left out",
        remedy: "Mend those that are listed and read the brief again.",
        snippet: None,
    },
    Entry {
        code: "B020",
        severity: Severity::Fault,
        title: "an unknown column",
        remedy: "Name the column as the key is named in a brief, dotted for what is inside (stack.height); begin it with # to keep it as a remark.",
        snippet: Some(concat!("name;colour;loose.volume\n", "mail sacks;grey;40 ml\n")),
    },
    Entry {
        code: "B021",
        severity: Severity::Fault,
        title: "a column is there twice",
        remedy: "Keep one of the two.",
        snippet: Some(concat!("name;loose.volume;loose.volume\n", "mail sacks;40 ml;40 ml\n")),
    },
    Entry {
        code: "B022",
        severity: Severity::Fault,
        title: "a quoted cell is not closed",
        remedy: "Close the quote, or take it out; a quote within quotes is doubled.",
        snippet: Some(concat!("name;loose.volume\n", "\"mail sacks;40 ml\n")),
    },
    Entry {
        code: "B023",
        severity: Severity::Fault,
        title: "a row has more cells than the heading",
        remedy: "Put cells that hold the separator in quotes.",
        snippet: Some(concat!("name;loose.volume\n", "mail sacks;40 ml;spare\n")),
    },
    Entry {
        code: "B024",
        severity: Severity::Fault,
        title: "a spreadsheet without a heading",
        remedy: "Write the names of the columns into the first row.",
        snippet: Some("\n"),
    },
    Entry {
        code: "B025",
        severity: Severity::Fault,
        title: "a row contradicts its tray",
        remedy: "A tray has one use; give the part to another tray or let the cell empty.",
        snippet: Some(concat!(
            "name;tray;use;loose.volume\n",
            "mail sacks;cargo;always;40 ml\n",
            "rope;cargo;seldom;40 ml\n"
        )),
    },
    Entry {
        code: "B028",
        severity: Severity::Fault,
        title: "not one whole face",
        remedy: "Write [width, depth], { disc = diameter } or { hexagon = width over flats }, one of them.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"quay tiles\", stack = { face = { disc = 20, hexagon = 48 }, height = 41 } }]\n"
        )),
    },
    Entry {
        code: "B029",
        severity: Severity::Fault,
        title: "a text that cannot be a name",
        remedy: "Write a text of 1 to 200 letters in one line.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"\", loose = { volume = \"40 ml\" } }]\n"
        )),
    },
    Entry {
        code: "B030",
        severity: Severity::Fault,
        title: "a change that reaches nothing",
        remedy: "Write keys with points between them, and the name after part, tray, kept or cover: part.mail sacks.loose.volume.",
        snippet: None,
    },
    Entry {
        code: "B031",
        severity: Severity::Fault,
        title: "a named file is not there",
        remedy: "Read the brief from its file, or hand the text of the other file over along with it.",
        snippet: Some(concat!("inventory = \"oddlewick.csv\"\n", interior!(), stock!(), sacks!())),
    },
    // J: building a job
    Entry {
        code: "J001",
        severity: Severity::Fault,
        title: "a name is there twice",
        remedy: "Names of parts, trays, kept and cover items must differ; change one of them.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [\n",
            "  { name = \"mail sacks\", loose = { volume = \"40 ml\" } },\n",
            "  { name = \"mail sacks\", loose = { volume = \"20 ml\" } },\n",
            "]\n"
        )),
    },
    Entry {
        code: "J003",
        severity: Severity::Fault,
        title: "a part without contents",
        remedy: "Add `loose`, `stack`, `solid` or `tray` to it.",
        snippet: Some(concat!(interior!(), stock!(), "part = [{ name = \"mail sacks\" }]\n")),
    },
    Entry {
        code: "J004",
        severity: Severity::Fault,
        title: "a part with several contents",
        remedy: "Keep one of `loose`, `stack`, `solid` and `tray`, or make several parts of it.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" }, solid = { size = [20, 20, 20] } }]\n"
        )),
    },
    Entry {
        code: "J005",
        severity: Severity::Fault,
        title: "loose pieces without a size",
        remedy: "Measure them in a cup and write `volume`, or write `count` and `piece`.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", loose = { count = 30 } }]\n"
        )),
    },
    Entry {
        code: "J006",
        severity: Severity::Fault,
        title: "a stack without a size",
        remedy: "Measure the stack and write `height`, or write `count` and `each`.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"weather cards\", stack = { face = [63.5, 88.9], count = 54 } }]\n"
        )),
    },
    Entry {
        code: "J007",
        severity: Severity::Fault,
        title: "thicker than its face is wide",
        remedy: "Look at the unit and at which measure is the thickness; a block is `solid`.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"weather cards\", stack = { face = [63.5, 88.9], count = 2, each = 70 } }]\n"
        )),
    },
    Entry {
        code: "J008",
        severity: Severity::Fault,
        title: "a sleeve smaller than what it holds",
        remedy: "Measure the outside of the sleeve.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"weather cards\", stack = { face = [63.5, 88.9], height = 20, sleeve = { film = 0.1, face = [60, 91] } } }]\n"
        )),
    },
    Entry {
        code: "J009",
        severity: Severity::Fault,
        title: "a way of standing that the face does not allow",
        remedy: "Take it out of `stand`: discs and hexagons roll, rectangles stand on edges and lean.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"weather cards\", stack = { face = [63.5, 88.9], height = 20, stand = [\"roll\"] } }]\n"
        )),
    },
    Entry {
        code: "J010",
        severity: Severity::Fault,
        title: "the sheet is too thick for the box",
        remedy: "Look at the unit of the thickness, or take thinner sheet.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"birch plywood\", thickness = 130 }\n",
            sacks!()
        )),
    },
    Entry {
        code: "J011",
        severity: Severity::Fault,
        title: "a fixed size that leaves no room",
        remedy: "Make the tray larger or the sheet thinner.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "tray = [{ name = \"cargo\", size = [6, 60, 40], part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" } }] }]\n"
        )),
    },
    Entry {
        code: "J012",
        severity: Severity::Fault,
        title: "no room is left in the box",
        remedy: "Make the clearance or the room under the lid smaller.",
        snippet: Some(concat!("box = { interior = [310, 240, 70], lid_room = 70 }\n", stock!(), sacks!())),
    },
    Entry {
        code: "J013",
        severity: Severity::Fault,
        title: "a step of the search that does not suit the box",
        remedy: "Leave `search.grid` out; 0.1 mm serves nearly every box.",
        snippet: Some(concat!(interior!(), stock!(), sacks!(), "search.grid = \"0.00001 mm\"\n")),
    },
    Entry {
        code: "J014",
        severity: Severity::Fault,
        title: "layers contradict each other",
        remedy: "Change `layers.heights` or `layers.most`.",
        snippet: Some(concat!(interior!(), stock!(), sacks!(), "layers.heights = [\"40 mm\", \"40 mm\"]\n")),
    },
    Entry {
        code: "J015",
        severity: Severity::Fault,
        title: "a body cannot be held there",
        remedy: "Hold it at one place inside the box, or in a layer that there is.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            sacks!(),
            "kept = [{ name = \"crew carton\", size = [90, 70, 50], held = { at = [250, 0, 0] } }]\n"
        )),
    },
    Entry {
        code: "J016",
        severity: Severity::Fault,
        title: "two bodies are held at one place",
        remedy: "Move one of them.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            sacks!(),
            "kept = [\n",
            "  { name = \"crew carton\", size = [90, 70, 50], held = { at = [0, 0, 0] } },\n",
            "  { name = \"mate carton\", size = [90, 70, 50], held = { at = [20, 20, 0] } },\n",
            "]\n"
        )),
    },
    Entry {
        code: "J017",
        severity: Severity::Fault,
        title: "larger than the box",
        remedy: "Measure again, look at the unit, allow more turns, or leave it out.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            sacks!(),
            "kept = [{ name = \"mast\", size = [20, 20, 400] }]\n"
        )),
    },
    Entry {
        code: "J018",
        severity: Severity::Fault,
        title: "too many of something",
        remedy: "At most 2000 parts, 200 trays, 200 kept and cover items and 1000 stocks are read; put like pieces into one part, or split the job.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            sacks!(),
            "kept = [\n",
            "  { name = \"crew cartons\", size = [9, 7, 5], count = 100 },\n",
            "  { name = \"mate cartons\", size = [9, 7, 5], count = 100 },\n",
            "  { name = \"cook cartons\", size = [9, 7, 5], count = 100 },\n",
            "]\n"
        )),
    },
    Entry {
        code: "J020",
        severity: Severity::Fault,
        title: "a tray without a part",
        remedy: "Give it parts, or take it out.",
        snippet: Some(concat!(interior!(), stock!(), sacks!(), "tray = [{ name = \"cargo\" }]\n")),
    },
    Entry {
        code: "J021",
        severity: Severity::Fault,
        title: "nothing to plan",
        remedy: "Add a tray with parts, or a part.",
        snippet: Some(concat!(interior!(), stock!())),
    },
    Entry {
        code: "J022",
        severity: Severity::Fault,
        title: "wanted spare room that cannot be sized",
        remedy: "Write a count of pieces; only loose pieces may have a volume (\"5 ml\"), and a tray within a tray has room by its own parts.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"deckhands\", solid = { size = [20, 20, 34] }, spare_room = \"5 ml\" }]\n"
        )),
    },
    Entry {
        code: "J023",
        severity: Severity::Fault,
        title: "packing fractions the wrong way round",
        remedy: "Write the smaller fraction first.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"fare discs\", loose = { count = 60, form = \"disc\", piece = [22, 22, 2], packing = [0.64, 0.42] } }]\n"
        )),
    },
    Entry {
        code: "J025",
        severity: Severity::Fault,
        title: "the thickness spreads by more than itself",
        remedy: "Write the greatest less the least thickness that you measured.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"birch plywood\", thickness = 3, thickness_spread = 3.2, process = \"laser\" }\n",
            sacks!()
        )),
    },
    Entry {
        code: "J026",
        severity: Severity::Warning,
        title: "a mass that cannot be counted",
        remedy: "Write `count`, so that the mass of a piece can be multiplied; until then the part counts as having none.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" }, mass = \"2 g\" }]\n"
        )),
    },
    Entry {
        code: "J027",
        severity: Severity::Warning,
        title: "readings far apart",
        remedy: "Measure again; the least reading is used.",
        snippet: Some(concat!("box.interior = [[310, 250], 240, 70]\n", stock!(), sacks!())),
    },
    Entry {
        code: "J030",
        severity: Severity::Fault,
        title: "the largest tray is smaller than its walls",
        remedy: "Make `wishes.largest_tray` larger, or leave it out.",
        snippet: Some(concat!(interior!(), stock!(), sacks!(), "wishes.largest_tray = [5, 5]\n")),
    },
    Entry {
        code: "J031",
        severity: Severity::Warning,
        title: "an unusual film",
        remedy: "Measure the film of one side of a sleeve; look at the unit.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"weather cards\", stack = { face = [63.5, 88.9], height = 20, sleeve = { film = 0.9, face = [66, 91] } } }]\n"
        )),
    },
    Entry {
        code: "J032",
        severity: Severity::Warning,
        title: "an unusual width of cut",
        remedy: "Write the full width that the cut removes, not half of it.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"birch plywood\", thickness = 3, process = \"laser\", cut_width = 1.2 }\n",
            sacks!()
        )),
    },
    Entry {
        code: "J034",
        severity: Severity::Fault,
        title: "more than a box could ever hold",
        remedy: "Look at the count and at the unit.",
        snippet: Some(concat!(
            interior!(),
            stock!(),
            "part = [{ name = \"mail sacks\", loose = { count = 1000000, piece = [20, 20, 20] } }]\n"
        )),
    },
    Entry {
        code: "J040",
        severity: Severity::Note,
        title: "clearance was chosen",
        remedy: "Write `box.clearance` where you know better; more of it lifts more easily, less of it rattles less.",
        snippet: Some(concat!(interior!(), stock!(), sacks!())),
    },
    Entry {
        code: "J041",
        severity: Severity::Note,
        title: "lids were added",
        remedy: "Write `lid = false` for a tray that needs none.",
        snippet: Some(concat!(
            "box = { interior = [310, 240, 70], stored = \"side\" }\n",
            stock!(),
            "tray = [{ name = \"cargo\", part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" } }] }]\n"
        )),
    },
    Entry {
        code: "J042",
        severity: Severity::Note,
        title: "the way of cutting was chosen",
        remedy: "Write `stock.process` where it is another.",
        snippet: Some(concat!(
            interior!(),
            "stock = { name = \"birch plywood\", thickness = 3 }\n",
            sacks!()
        )),
    },
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
        remedy: "Allow `flat`, or a way that suits: edges and leaning need a rectangle, a roll needs a disc or hexagon.",
        snippet: with_part!("stack = { face = [63.5, 88.9], height = 20, stand = [\"lean\"] }"),
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
        // A brief meets J008 before it.
        snippet: None,
    },
    Entry {
        code: "N016",
        severity: Severity::Warning,
        title: "a piece thicker than its face is wide",
        remedy: "Check face and thickness; bodies as thick as that are better given as `solid`.",
        // A brief meets J007 before it.
        snippet: None,
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
        title: "a plastic that is on no list for lasers",
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
    // D: drawing
];

/// The entry of a code.
///
/// ```
/// assert_eq!(traywright::finding::index::find("B005").unwrap().title, "a decimal comma");
/// ```
pub fn find(code: &str) -> Option<&'static Entry> {
    INDEX.iter().find(|entry| entry.code == code)
}

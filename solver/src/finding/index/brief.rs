//! B: reading a brief, a spreadsheet, a stock list.

use super::Entry;
use crate::finding::Severity;

pub(super) const BRIEF: &[Entry] = &[
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
        snippet: Some(concat!(
            "unit = \"in\"\n",
            "box.interior = [3100, 240, 70]\n",
            "stock = { name = \"birch plywood\", thickness = \"3 mm\", process = \"laser\" }\n",
            sacks!()
        )),
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
        severity: Severity::Warning,
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
    Entry {
        code: "B032",
        severity: Severity::Fault,
        title: "a correction of something that the brief does not have",
        remedy: "Give the name of the part, tray, kept or cover item as the brief has it; new things go into the brief itself.",
        snippet: None,
    },
    Entry {
        code: "B033",
        severity: Severity::Fault,
        title: "the same thing corrected twice",
        remedy: "Put both corrections into one table.",
        snippet: None,
    },
    Entry {
        code: "B034",
        severity: Severity::Fault,
        title: "a correction that contradicts the brief",
        remedy: "Correct the measure that counts, or change the brief itself.",
        snippet: None,
    },
    Entry {
        code: "B035",
        severity: Severity::Fault,
        title: "a correction by so much that cannot be added",
        remedy: "Write what was measured instead of what it is more or less.",
        snippet: None,
    },
];

//! J: building a job, everything held against everything else.

use super::Entry;
use crate::finding::Severity;

pub(super) const JOB: &[Entry] = &[
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
            "box.interior = [24, 240, 70]\n",
            "stock = { name = \"birch plywood\", thickness = 12 }\n",
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
    Entry {
        code: "J043",
        severity: Severity::Warning,
        title: "an unusually thick sheet",
        remedy: "Look at the unit: a bare number is in the brief's `unit`; write it out, such as `thickness = \"3 mm\"`.",
        snippet: Some(concat!(
            "unit = \"cm\"\n",
            "box.interior = [31, 24, 7]\n",
            "stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n",
            sacks!()
        )),
    },
];

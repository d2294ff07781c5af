//! One sheet as DXF of version AC1015 (R2000), in millimetres: a layer an operation, closed lines as light polylines
//! whose arcs are bulges. What independent readers ask for is there: handles, tables, both layouts and their objects.

use std::fmt::Write;

use super::sheet_svg::dashes;
use crate::cut::{CutSheet, Line, Operation, Path};
use crate::job::{Colour, Colours};
use crate::length::Length;
use crate::panel::{Edge, Ring, Spot};

/// Layer of an operation.
pub(super) fn layer(operation: Operation) -> &'static str {
    match operation {
        Operation::Engrave => "NAMES",
        Operation::Recess => "RECESSES",
        Operation::RecessBelow => "RECESSES_FROM_BELOW",
        Operation::Opening => "OPENINGS",
        Operation::EdgeCut => "EDGE_TO_EDGE",
        Operation::Outline => "OUTLINES",
    }
}

/// Layer of the sheet's own edge, which is not plotted.
pub(super) const SHEET_EDGE: &str = "NOT_CUT_SHEET_EDGE";

/// Handles that are fixed because others refer to them; entities count on from the last.
mod handle {
    pub(super) const BLOCK_RECORDS: u32 = 0x1;
    pub(super) const LAYERS: u32 = 0x2;
    pub(super) const STYLES: u32 = 0x3;
    pub(super) const LINES: u32 = 0x5;
    pub(super) const VIEWS: u32 = 0x6;
    pub(super) const UCS: u32 = 0x7;
    pub(super) const PORTS: u32 = 0x8;
    pub(super) const APPS: u32 = 0x9;
    pub(super) const DIMENSIONS: u32 = 0xA;
    pub(super) const ROOT: u32 = 0xC;
    pub(super) const GROUPS: u32 = 0xD;
    pub(super) const PLOT_STYLES: u32 = 0xE;
    pub(super) const PLOT_STYLE: u32 = 0xF;
    pub(super) const LAYOUTS: u32 = 0x1A;
    pub(super) const PAPER: u32 = 0x1B;
    pub(super) const PAPER_LAYOUT: u32 = 0x1E;
    pub(super) const MODEL: u32 = 0x1F;
    pub(super) const MODEL_LAYOUT: u32 = 0x22;
    pub(super) const FIRST_FREE: u32 = 0x30;
}

/// Text being written: group codes and values, two lines each.
struct Writer {
    out: String,
    next: u32,
}

impl Writer {
    fn put(&mut self, code: i32, value: impl std::fmt::Display) {
        let _ = write!(self.out, "{code:>3}\n{value}\n");
    }

    fn all(&mut self, pairs: &[(i32, &str)]) {
        pairs.iter().for_each(|(code, value)| self.put(*code, value));
    }

    fn hand(&mut self, code: i32, handle: u32) {
        self.put(code, format_args!("{handle:X}"));
    }

    fn fresh(&mut self) -> u32 {
        self.next += 1;
        self.next - 1
    }

    fn section(&mut self, name: &str, inner: impl FnOnce(&mut Writer)) {
        self.all(&[(0, "SECTION"), (2, name)]);
        inner(self);
        self.put(0, "ENDSEC");
    }

    /// A table with its entries.
    fn table(&mut self, name: &str, own: u32, count: usize, inner: impl FnOnce(&mut Writer)) {
        self.all(&[(0, "TABLE"), (2, name)]);
        self.hand(5, own);
        self.put(330, 0);
        self.put(100, "AcDbSymbolTable");
        self.put(70, count);
        inner(self);
        self.put(0, "ENDTAB");
    }

    /// The head of an entry of a table.
    fn entry(&mut self, kind: &str, own: u32, table: u32, class: &str) {
        self.put(0, kind);
        // Styles of dimensions alone have their handle under another code.
        self.hand(if kind == "DIMSTYLE" { 105 } else { 5 }, own);
        self.hand(330, table);
        self.put(100, "AcDbSymbolTableRecord");
        self.put(100, class);
    }
}

/// The file of one sheet.
pub(super) fn dxf(sheet: &CutSheet, colours: &Colours) -> String {
    let mut w = Writer { out: String::new(), next: handle::FIRST_FREE };
    let operations: Vec<Operation> =
        Operation::ALL.into_iter().filter(|o| sheet.of(*o).next().is_some()).collect();
    // The highest handle stands in the header, so everything else is written first.
    w.section("CLASSES", |_| {});
    w.section("TABLES", |w| tables(w, sheet, &operations, colours));
    w.section("BLOCKS", blocks);
    w.section("ENTITIES", |w| {
        polyline(w, SHEET_EDGE, &edge_of(sheet), true);
        sheet.lines.iter().for_each(|line| entity(w, line));
    });
    w.section("OBJECTS", objects);
    w.put(0, "EOF");
    let body = std::mem::take(&mut w.out);
    let next = w.next;
    w.section("HEADER", |w| header(w, sheet, next));
    w.out + &body
}

fn header(w: &mut Writer, sheet: &CutSheet, next: u32) {
    w.all(&[(9, "$ACADVER"), (1, "AC1015"), (9, "$DWGCODEPAGE"), (3, "ANSI_1252")]);
    w.put(9, "$HANDSEED");
    w.hand(5, next);
    // 4: millimetres; 1: metric; 2: decimal numbers.
    w.all(&[(9, "$INSUNITS"), (70, "4"), (9, "$MEASUREMENT"), (70, "1"), (9, "$LUNITS"), (70, "2")]);
    for (name, x, y) in [
        ("$EXTMIN", Length::ZERO, Length::ZERO),
        ("$EXTMAX", sheet.w, sheet.d),
        ("$LIMMIN", Length::ZERO, Length::ZERO),
        ("$LIMMAX", sheet.w, sheet.d),
    ] {
        w.put(9, name);
        w.put(10, x.decimal());
        w.put(20, y.decimal());
        if name.starts_with("$EXT") {
            w.put(30, 0);
        }
    }
    w.all(&[(9, "$CLAYER"), (8, "0"), (9, "$CELTYPE"), (6, "ByLayer"), (9, "$LTSCALE"), (40, "1.0")]);
}

fn tables(w: &mut Writer, sheet: &CutSheet, operations: &[Operation], colours: &Colours) {
    w.table("VPORT", handle::PORTS, 1, |w| {
        let own = w.fresh();
        w.entry("VPORT", own, handle::PORTS, "AcDbViewportTableRecord");
        w.all(&[(2, "*ACTIVE"), (70, "0"), (10, "0.0"), (20, "0.0"), (11, "1.0"), (21, "1.0")]);
        w.put(12, (sheet.w / 2).decimal());
        w.put(22, (sheet.d / 2).decimal());
        w.all(&[(13, "0.0"), (23, "0.0"), (14, "10.0"), (24, "10.0"), (15, "10.0"), (25, "10.0")]);
        w.all(&[(16, "0.0"), (26, "0.0"), (36, "1.0"), (17, "0.0"), (27, "0.0"), (37, "0.0")]);
        w.put(40, sheet.d.decimal());
        w.all(&[(41, "1.5"), (42, "50.0"), (43, "0.0"), (44, "0.0"), (50, "0.0"), (51, "0.0")]);
        w.all(&[(71, "0"), (72, "100"), (73, "1"), (74, "3"), (75, "0"), (76, "0"), (77, "0"), (78, "0")]);
    });
    w.table("LTYPE", handle::LINES, 3 + operations.len(), |w| {
        for name in ["ByBlock", "ByLayer", "Continuous"] {
            line_type(w, name, "", &[]);
        }
        for o in operations.iter().filter(|o| !dashes(**o).is_empty()) {
            line_type(w, layer(*o), o.about(), dashes(*o));
        }
    });
    w.table("LAYER", handle::LAYERS, 2 + operations.len(), |w| {
        layer_entry(w, "0", "Continuous", Colour::Black, true);
        layer_entry(w, SHEET_EDGE, "Continuous", Colour::Black, false);
        for o in operations {
            let line = if dashes(*o).is_empty() { "Continuous" } else { layer(*o) };
            layer_entry(w, layer(*o), line, o.colour(colours), true);
        }
    });
    w.table("STYLE", handle::STYLES, 1, |w| {
        let own = w.fresh();
        w.entry("STYLE", own, handle::STYLES, "AcDbTextStyleTableRecord");
        w.all(&[(2, "Standard"), (70, "0"), (40, "0.0"), (41, "1.0"), (50, "0.0"), (71, "0"), (42, "2.5")]);
        w.all(&[(3, "txt"), (4, "")]);
    });
    w.table("VIEW", handle::VIEWS, 0, |_| {});
    w.table("UCS", handle::UCS, 0, |_| {});
    w.table("APPID", handle::APPS, 1, |w| {
        let own = w.fresh();
        w.entry("APPID", own, handle::APPS, "AcDbRegAppTableRecord");
        w.all(&[(2, "ACAD"), (70, "0")]);
    });
    w.all(&[(0, "TABLE"), (2, "DIMSTYLE")]);
    w.hand(5, handle::DIMENSIONS);
    w.all(&[(330, "0"), (100, "AcDbSymbolTable"), (70, "1"), (100, "AcDbDimStyleTable")]);
    let own = w.fresh();
    w.entry("DIMSTYLE", own, handle::DIMENSIONS, "AcDbDimStyleTableRecord");
    w.all(&[(2, "Standard"), (70, "0"), (0, "ENDTAB")]);
    w.table("BLOCK_RECORD", handle::BLOCK_RECORDS, 2, |w| {
        for (name, own, layout) in [
            ("*Model_Space", handle::MODEL, handle::MODEL_LAYOUT),
            ("*Paper_Space", handle::PAPER, handle::PAPER_LAYOUT),
        ] {
            w.entry("BLOCK_RECORD", own, handle::BLOCK_RECORDS, "AcDbBlockTableRecord");
            w.put(2, name);
            w.hand(340, layout);
        }
    });
}

fn line_type(w: &mut Writer, name: &str, about: &str, dashes: &[f64]) {
    let own = w.fresh();
    w.entry("LTYPE", own, handle::LINES, "AcDbLinetypeTableRecord");
    w.all(&[(2, name), (70, "0"), (3, about), (72, "65")]);
    w.put(73, dashes.len());
    w.put(40, format_args!("{:.1}", dashes.iter().sum::<f64>()));
    for (i, dash) in dashes.iter().enumerate() {
        // Gaps are negative.
        w.put(49, format_args!("{:.1}", if i % 2 == 0 { *dash } else { -dash }));
        w.put(74, 0);
    }
}

fn layer_entry(w: &mut Writer, name: &str, line: &str, colour: Colour, plotted: bool) {
    let own = w.fresh();
    w.entry("LAYER", own, handle::LAYERS, "AcDbLayerTableRecord");
    w.all(&[(2, name), (70, "0")]);
    w.put(62, colour.index());
    w.all(&[(6, line), (290, if plotted { "1" } else { "0" }), (370, "-3")]);
    w.hand(390, handle::PLOT_STYLE);
}

fn blocks(w: &mut Writer) {
    for (name, owner, paper) in
        [("*Model_Space", handle::MODEL, false), ("*Paper_Space", handle::PAPER, true)]
    {
        for (kind, class) in [("BLOCK", "AcDbBlockBegin"), ("ENDBLK", "AcDbBlockEnd")] {
            w.put(0, kind);
            let own = w.fresh();
            w.hand(5, own);
            w.hand(330, owner);
            w.put(100, "AcDbEntity");
            if paper {
                w.put(67, 1);
            }
            w.all(&[(8, "0"), (100, class)]);
            if kind == "BLOCK" {
                w.all(&[(2, name), (70, "0"), (10, "0.0"), (20, "0.0"), (30, "0.0"), (3, name), (1, "")]);
            }
        }
    }
}

fn edge_of(sheet: &CutSheet) -> Vec<(Spot, f64)> {
    let ring = Ring::rectangle(Length::ZERO, Length::ZERO, sheet.w, sheet.d);
    vertices(&ring)
}

/// Corners of a ring with the bulge of the edge that begins there: the tangent of a quarter of its angle, positive where
/// it turns to the left.
fn vertices(ring: &Ring) -> Vec<(Spot, f64)> {
    ring.spans()
        .map(|(from, edge)| match edge {
            Edge::Line(_) => (from, 0.0),
            Edge::Arc { to, centre, clockwise } => {
                let size = bulge(from, to, centre, clockwise);
                (from, if clockwise { -size } else { size })
            }
        })
        .collect()
}

/// Height of an arc over half its chord. Square roots only, which are the same on every machine.
fn bulge(from: Spot, to: Spot, centre: Spot, clockwise: bool) -> f64 {
    let half = (crate::cut::ring::dot(to - from, to - from) as f64).sqrt() / 2.0;
    let r = crate::cut::ring::radius(from, centre) as f64;
    let rest = (r * r - half * half).max(0.0).sqrt();
    let turns = crate::cut::ring::cross(from - centre, to - centre);
    let long = if clockwise { turns > 0 } else { turns < 0 };
    let height = if long { r + rest } else { r - rest };
    if half > 0.0 { height / half } else { 0.0 }
}

fn entity(w: &mut Writer, line: &Line) {
    let layer = layer(line.operation);
    match &line.path {
        Path::Closed(ring) => polyline(w, layer, &vertices(ring), true),
        Path::Open(points) => {
            let points: Vec<(Spot, f64)> = points.iter().map(|p| (*p, 0.0)).collect();
            polyline(w, layer, &points, false);
        }
    }
}

fn polyline(w: &mut Writer, layer: &str, points: &[(Spot, f64)], closed: bool) {
    w.put(0, "LWPOLYLINE");
    let own = w.fresh();
    w.hand(5, own);
    w.hand(330, handle::MODEL);
    w.all(&[(100, "AcDbEntity"), (8, layer), (100, "AcDbPolyline")]);
    w.put(90, points.len());
    w.put(70, i32::from(closed));
    w.put(43, "0.0");
    for (at, bulge) in points {
        w.put(10, at.x.decimal());
        w.put(20, at.y.decimal());
        if *bulge != 0.0 {
            w.put(42, format_args!("{bulge:.12}"));
        }
    }
}

fn dictionary(w: &mut Writer, own: u32, owner: u32, entries: &[(&str, u32)]) {
    w.put(0, "DICTIONARY");
    w.hand(5, own);
    if owner != 0 {
        w.all(&[(102, "{ACAD_REACTORS")]);
        w.hand(330, owner);
        w.put(102, "}");
    }
    w.hand(330, owner);
    w.all(&[(100, "AcDbDictionary"), (281, "1")]);
    for (name, handle) in entries {
        w.put(3, name);
        w.hand(350, *handle);
    }
}

fn objects(w: &mut Writer) {
    dictionary(
        w,
        handle::ROOT,
        0,
        &[
            ("ACAD_GROUP", handle::GROUPS),
            ("ACAD_LAYOUT", handle::LAYOUTS),
            ("ACAD_PLOTSTYLENAME", handle::PLOT_STYLES),
        ],
    );
    dictionary(w, handle::GROUPS, handle::ROOT, &[]);
    dictionary(
        w,
        handle::LAYOUTS,
        handle::ROOT,
        &[("Model", handle::MODEL_LAYOUT), ("Layout1", handle::PAPER_LAYOUT)],
    );
    w.put(0, "ACDBDICTIONARYWDFLT");
    w.hand(5, handle::PLOT_STYLES);
    w.put(102, "{ACAD_REACTORS");
    w.hand(330, handle::ROOT);
    w.put(102, "}");
    w.hand(330, handle::ROOT);
    w.all(&[(100, "AcDbDictionary"), (281, "1"), (3, "Normal")]);
    w.hand(350, handle::PLOT_STYLE);
    w.put(100, "AcDbDictionaryWithDefault");
    w.hand(340, handle::PLOT_STYLE);
    w.put(0, "ACDBPLACEHOLDER");
    w.hand(5, handle::PLOT_STYLE);
    w.put(102, "{ACAD_REACTORS");
    w.hand(330, handle::PLOT_STYLES);
    w.put(102, "}");
    w.hand(330, handle::PLOT_STYLES);
    layout(w, "Model", handle::MODEL_LAYOUT, handle::MODEL, 0, "1024");
    layout(w, "Layout1", handle::PAPER_LAYOUT, handle::PAPER, 1, "0");
}

fn layout(w: &mut Writer, name: &str, own: u32, block: u32, order: u32, flags: &str) {
    w.put(0, "LAYOUT");
    w.hand(5, own);
    w.put(102, "{ACAD_REACTORS");
    w.hand(330, handle::LAYOUTS);
    w.put(102, "}");
    w.hand(330, handle::LAYOUTS);
    w.all(&[(100, "AcDbPlotSettings"), (1, ""), (2, "none_device"), (4, ""), (6, "")]);
    for code in 40..=49 {
        w.put(code, "0.0");
    }
    // Scale 1 : 1, millimetres.
    w.all(&[(140, "0.0"), (141, "0.0"), (142, "1.0"), (143, "1.0")]);
    w.put(70, flags);
    w.all(&[(72, "1"), (73, "0"), (74, "5"), (7, ""), (75, "16"), (147, "1.0"), (148, "0.0"), (149, "0.0")]);
    w.all(&[(100, "AcDbLayout"), (1, name), (70, "1")]);
    w.put(71, order);
    w.all(&[(10, "0.0"), (20, "0.0"), (11, "420.0"), (21, "297.0"), (12, "0.0"), (22, "0.0"), (32, "0.0")]);
    w.all(&[(14, "1e+20"), (24, "1e+20"), (34, "1e+20"), (15, "-1e+20"), (25, "-1e+20"), (35, "-1e+20")]);
    w.all(&[(146, "0.0"), (13, "0.0"), (23, "0.0"), (33, "0.0"), (16, "1.0"), (26, "0.0"), (36, "0.0")]);
    w.all(&[(17, "0.0"), (27, "1.0"), (37, "0.0"), (76, "0")]);
    w.hand(330, block);
}

//! The legend as part of a picture: columns beside the drawing.

use super::badge;
use super::label::{LINE, RISE, wrap_hard};
use super::layer::dash;
use super::legend::{Entry, Group, Symbol};
use super::palette::{EDGE, INK, Look, SOFT};
use super::svg::{Anchor, Area, Ink, Svg};

/// Width of one column.
const COLUMN: f64 = 74.0;
/// Between columns.
const GAP: f64 = 7.0;
/// Where text begins in a column.
const INDENT: f64 = 11.0;
/// Size of names and notes.
const NAME: f64 = 3.0;
/// Size of notes.
const NOTE: f64 = 2.6;
/// Size of headings.
const HEAD: f64 = 3.2;

/// One thing in a column with its height.
enum Row<'a> {
    Head(&'a str),
    Entry(&'a Entry, Vec<String>, Vec<String>),
}

impl Row<'_> {
    fn height(&self) -> f64 {
        match self {
            Row::Head(_) => HEAD * LINE + 3.4,
            Row::Entry(e, names, notes) => {
                let least = match &e.symbol {
                    Symbol::Mark(m, _) | Symbol::Dash(_, m) => badge::extent(m).1,
                    Symbol::Swatch(_) | Symbol::Number(_) => 0.0,
                };
                (names.len() as f64 * NAME * LINE + notes.len() as f64 * NOTE * LINE).max(least) + 1.1
            }
        }
    }
}

/// A drawn legend.
pub(super) struct Columns {
    pub(super) inner: Svg,
    pub(super) w: f64,
    pub(super) h: f64,
}

/// Sets groups in columns at least `tall` high, their left top corner at `x`, `y`.
pub(super) fn draw(groups: &[Group], (x, y): (f64, f64), tall: f64) -> Columns {
    let mut rows = Vec::new();
    for g in groups {
        rows.push(Row::Head(&g.heading));
        for e in &g.entries {
            let room = COLUMN - INDENT;
            let notes = if e.note.is_empty() { Vec::new() } else { wrap_hard(&e.note, NOTE, room, false) };
            rows.push(Row::Entry(e, wrap_hard(&e.name, NAME, room, false), notes));
        }
    }
    let total: f64 = rows.iter().map(Row::height).sum();
    // Three columns at most: a longer list grows downwards.
    let tall = tall.max(total / 3.0 + 20.0);
    let mut svg = Svg::new();
    let (mut column, mut at, mut deepest) = (0usize, 0.0f64, 0.0f64);
    for (k, row) in rows.iter().enumerate() {
        // A heading does not stand alone at the foot of a column.
        let with_next = match (row, rows.get(k + 1)) {
            (Row::Head(_), Some(next)) => row.height() + next.height(),
            _ => row.height(),
        };
        if at > 0.0 && at + with_next > tall {
            (column, at) = (column + 1, 0.0);
        }
        let left = x + column as f64 * (COLUMN + GAP);
        draw_row(&mut svg, row, left, y + at);
        at += row.height();
        deepest = deepest.max(at);
    }
    let columns = if rows.is_empty() { 0.0 } else { column as f64 + 1.0 };
    Columns { inner: svg, w: columns * (COLUMN + GAP) - GAP * columns.min(1.0), h: deepest }
}

fn draw_row(svg: &mut Svg, row: &Row<'_>, x: f64, y: f64) {
    match row {
        Row::Head(text) => {
            let ink = Ink { size: HEAD, fill: INK, bold: true };
            let room = Area::new(x, y + 1.6, COLUMN, HEAD * LINE);
            svg.text((x, room.y + HEAD * RISE), Anchor::Start, ink, room, text);
            let under = room.bottom() + 0.5;
            svg.line((x, under), (x + COLUMN, under), "stroke=\"#999\" stroke-width=\"0.15\"");
        }
        Row::Entry(e, names, notes) => {
            symbol(svg, &e.symbol, x, y, names.len() + notes.len() > 1);
            let mut at = y;
            // A lone line stands level with the middle of its mark.
            if let (Symbol::Mark(m, _) | Symbol::Dash(_, m), 1, 0) = (&e.symbol, names.len(), notes.len()) {
                at += (badge::extent(m).1 - NAME * LINE) / 2.0;
            }
            let all = names.iter().map(|l| (l, NAME, INK)).chain(notes.iter().map(|l| (l, NOTE, SOFT)));
            for (line, size, fill) in all {
                let room = Area::new(x + INDENT, at, COLUMN - INDENT, size * LINE);
                let ink = Ink { size, fill, bold: false };
                svg.text((room.x, at + size * RISE), Anchor::Start, ink, room, line);
                at += size * LINE;
            }
        }
    }
}

fn symbol(svg: &mut Svg, symbol: &Symbol, x: f64, y: f64, tall: bool) {
    match symbol {
        Symbol::Swatch(look) => swatch(svg, *look, Area::new(x, y + 0.3, 8.5, NAME)),
        Symbol::Mark(mark, look) => {
            let (w, h) = badge::extent(mark);
            badge::draw(svg, Area::new(x, y + if tall { 0.2 } else { 0.0 }, w.min(INDENT), h), mark, *look);
        }
        Symbol::Dash(k, mark) => {
            let (w, h) = badge::extent(mark);
            badge::draw(svg, Area::new(x, y, w, h), mark, Look::Cover);
            let hue = Look::Cover.style().hue;
            let style = format!("stroke=\"{hue}\" stroke-width=\"0.5\" stroke-dasharray=\"{}\"", dash(*k));
            let under = y + h + 0.7;
            svg.line((x, under), (x + 8.5, under), &style);
        }
        Symbol::Number(n) => {
            let ink = Ink { size: NAME, fill: INK, bold: false };
            let room = Area::new(x, y, INDENT - 1.0, NAME * LINE);
            svg.text((x, y + NAME * RISE), Anchor::Start, ink, room, &format!("{n}."));
        }
    }
}

/// A sample of a look: a piece of wall with a compartment in it.
pub(super) fn swatch(svg: &mut Svg, look: Look, a: Area) {
    let style = look.style();
    let edge = format!("stroke=\"{EDGE}\" stroke-width=\"0.18\"");
    svg.rect(a, &format!("fill=\"{}\" {edge}", style.wall));
    if matches!(look, Look::Tray(_)) {
        let inner = Area::new(a.x + 1.2, a.y + 1.0, a.w - 4.0, a.h - 2.0);
        svg.rect(inner, &format!("fill=\"{}\" stroke=\"{EDGE}\" stroke-width=\"0.12\"", style.ground));
    }
}

//! From the brief's tables to a [`Job`]: everything checked against everything else, all findings at once.

mod bodies;
mod container;
mod contents;
mod held;
mod rules;
mod trays;

use std::collections::BTreeMap;

use super::stock::{self, StockRow};
use super::{FreePart, Job, Stock, defaults};
use crate::brief::keys::{BriefKeys, StockEntry};
use crate::brief::reader::{Field, Reader};
use crate::brief::sources::Spot;
use crate::finding::Finding;
use crate::job::{Container, Cover, HeightRule, Kept, LayerRules, Turn, Use};
use crate::length::Length;
use crate::place::Size;

/// What a brief without a title is called wherever it is shown.
const UNTITLED: &str = "untitled insert";

/// Parts of a job.
pub const MOST_PARTS: usize = 2_000;
/// Trays of a job, each of a tray's `count` counted.
pub const MOST_TRAYS: usize = 200;
/// Kept and cover items of a job, each of an item's `count` counted.
pub const MOST_BODIES: usize = 200;

/// What building needs along the way.
struct Builder<'r, 's> {
    reader: &'r mut Reader<'s>,
    /// Names so far, with what bears each and in which line.
    names: BTreeMap<String, (&'static str, usize)>,
    /// Inside of the box, where it is known.
    interior: Option<Size>,
    /// The box is kept on edge.
    on_side: bool,
    /// Thickness of walls and of floors, where known.
    wall: Option<Length>,
    floor: Option<Length>,
    /// The most layers.
    most_layers: usize,
    parts: usize,
    trays: usize,
}

impl Builder<'_, '_> {
    fn report(&mut self, code: &'static str, spot: &Spot, cause: impl Into<String>) {
        self.reader.report(code, spot.span, &spot.path, cause);
    }

    fn note(&mut self, finding: Finding) {
        self.reader.findings.push(finding);
    }

    /// Takes a name; one that is taken already is a finding.
    fn name(&mut self, name: &str, what: &'static str, spot: &Spot) {
        let line = self.reader.sources.line(spot.span);
        if let Some((other, first)) = self.names.get(name) {
            let cause = format!("\"{name}\" is already the name of a {other} (line {first})");
            self.report("J001", spot, cause);
        } else {
            self.names.insert(name.to_owned(), (what, line));
        }
    }

    /// Says so where a length cannot lie in the box in any direction, not even from corner to corner.
    fn within_diagonal(&mut self, longest: Length, what: &str, spot: &Spot) {
        let Some(room) = self.interior else { return };
        let diagonal = room.w * room.w + room.d * room.d + room.h * room.h;
        if longest * longest > diagonal {
            self.report(
                "J017",
                spot,
                format!("{what} is {longest} long, which is more than any direction of the box"),
            );
        }
    }
}

/// Builds the job. `None` means that findings say why not; a job beside faults is of no use.
pub(super) fn job(keys: &BriefKeys, list: Option<&[StockRow]>, reader: &mut Reader<'_>) -> Option<Job> {
    let unit = keys.unit.copied().unwrap_or_default();
    let stocks = stocks(keys, list, reader);
    let mut b = Builder {
        reader,
        names: BTreeMap::new(),
        interior: None,
        on_side: false,
        wall: stocks.as_ref().map(|s| s.0.thickness),
        floor: stocks.as_ref().map(|s| s.1.thickness),
        most_layers: defaults::MOST_LAYERS,
        parts: 0,
        trays: 0,
    };
    let container = b.container(keys, stocks.as_ref().map(|s| &s.0));
    let layers = b.layers(keys);
    let wishes = b.wishes(keys);
    let grid = b.grid(keys);
    let kept = b.kept(keys);
    let cover = b.cover(keys);
    let trays: Vec<_> = keys.tray.value().into_iter().flatten().map(|t| b.tray(t, None)).collect();
    let free: Vec<_> = keys.part.value().into_iter().flatten().map(|p| b.free_part(p)).collect();
    let standing: Vec<_> = trays.iter().flatten().collect();
    let said = keys.search.value().is_some_and(|s| s.grid.get().is_some());
    let grid = match &container {
        Some(c) if !said => {
            let limited = limited(c, &layers, &kept, &cover, standing.iter().filter_map(|t| t.size));
            container::finer(grid, c.interior, &limited)
        }
        _ => grid,
    };
    b.held_together(keys, (&kept, &standing), &layers, grid);
    b.numbers(keys);
    let (stock, floor_stock, divider_stock) = stocks?;
    let other = |s: Stock| (s.id != stock.id).then_some(s);
    Some(Job {
        title: keys.title.value().map_or_else(|| UNTITLED.to_owned(), |t| t.0.clone()),
        unit,
        digest: String::new(),
        grid,
        container: container?,
        floor: floor_stock.thickness,
        divider: divider_stock.thickness,
        floor_stock: other(floor_stock),
        divider_stock: other(divider_stock),
        stock,
        layers,
        wishes,
        kept,
        cover,
        trays: trays.into_iter().collect::<Option<_>>()?,
        free: free.into_iter().collect::<Option<Vec<FreePart>>>()?,
        sold: keys.sold.copied().unwrap_or(false),
        for_children: keys.for_children.copied().unwrap_or(false),
        findings: Vec::new(),
    })
}

/// What is given that must go into what is given: upwards, and along the sides of the box.
fn limited(
    c: &Container,
    layers: &LayerRules,
    kept: &[Kept],
    cover: &[Cover],
    trays: impl Iterator<Item = Size> + Clone,
) -> Vec<container::Limited> {
    let tops = layers.heights.iter().filter_map(|rule| match *rule {
        HeightRule::Open => None,
        HeightRule::Fixed(top) | HeightRule::Range(_, top) => Some(top),
    });
    let inside = c.interior;
    let under_lid = inside.h - c.lid_room;
    let covers = cover.iter().fold(Length::ZERO, |sum, c| sum + c.size.h);
    let any = |k: &&Kept| k.turn == Turn::Any;
    let upright =
        kept.iter().flat_map(|k| if any(&k) { vec![k.size.w, k.size.d, k.size.h] } else { vec![k.size.h] });
    let one = |length: Length| vec![(length, 1)];
    let high: Vec<_> = upright.chain(trays.clone().map(|t| t.h)).map(one).collect();
    // Trays of one height stand one upon the other, too.
    let piles = trays.clone().flat_map(|t| (2..=layers.most as i64).map(move |n| vec![(t.h, n)]));
    let under = (vec![under_lid, under_lid - covers], high.iter().cloned().chain(piles).collect());
    let lying = kept.iter().flat_map(|k| [k.size.w, k.size.d]);
    let turned = kept.iter().filter(any).map(|k| k.size.h);
    let beside = trays.flat_map(|t| [t.w, t.d]).map(|side| vec![(side, 1), (c.side, 2)]);
    let along = (vec![inside.w, inside.d], lying.chain(turned).map(one).chain(beside).collect());
    vec![(tops.collect(), high), under, along]
}

/// Stocks of walls, floors and dividers.
fn stocks(
    keys: &BriefKeys,
    list: Option<&[StockRow]>,
    reader: &mut Reader<'_>,
) -> Option<(Stock, Stock, Stock)> {
    let entry = keys.stock.get()?;
    let of_id = |id: &str| list.unwrap_or_default().iter().find(|row| row.id == id);
    match &entry.value {
        StockEntry::Id(id) => {
            let Some(row) = of_id(id) else {
                if list.is_none() {
                    let cause = format!("\"{id}\" names a stock, but the brief names no stock list");
                    reader.report("S004", entry.spot.span, &entry.spot.path, cause);
                } else {
                    stock::unknown_id(id, &entry.spot, reader);
                }
                return None;
            };
            row.findings.iter().for_each(|f| reader.findings.push(f.clone()));
            Some((row.stock.clone(), row.floor.clone(), row.divider.clone()))
        }
        StockEntry::Table(table) => {
            let mut notes = Vec::new();
            let walls = stock::stock(table, reader, &mut notes)?;
            notes.into_iter().for_each(|f| reader.findings.push(f));
            let found = |id: &str| of_id(id).map(|row| row.stock.clone());
            let floor = stock::other(&table.floor, &walls, found, reader);
            let divider = stock::other(&table.divider, &walls, found, reader);
            Some((walls, floor?, divider?))
        }
    }
}

impl Builder<'_, '_> {
    /// How soon a tray or a free part is needed, where the brief does not say.
    fn usage(field: &Field<Use>) -> Use {
        field.copied().unwrap_or(Use::Setup)
    }

    /// Something must be planned, and not too much of it.
    fn numbers(&mut self, keys: &BriefKeys) {
        let bad = keys.tray.is_bad() || keys.part.is_bad();
        let whole = keys.spot.clone();
        if self.parts == 0 && !bad && !self.reader.findings.any_fault() {
            self.report("J021", &whole, "the brief has no part to make room for");
        }
        if self.parts > MOST_PARTS {
            self.report("J018", &whole, format!("{} parts are more than {MOST_PARTS}", self.parts));
        }
        if self.trays > MOST_TRAYS {
            self.report("J018", &whole, format!("{} trays are more than {MOST_TRAYS}", self.trays));
        }
    }
}

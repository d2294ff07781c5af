//! A plan as the pictures see it: bodies with marks, millimetres as floating numbers.

use std::collections::BTreeMap;

use super::palette::Look;
use super::svg::plain;
use super::words::Units;
use crate::job::Job;
use crate::place::{Point, Size};
use crate::plan::{Arrangement, PlacedTray, Plan};

/// Nested trays are drawn to this depth; no box has room for more.
const DEEPEST: usize = 8;

/// A body's extent in millimetres, box coordinates.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(super) struct Block {
    pub(super) x0: f64,
    pub(super) y0: f64,
    pub(super) z0: f64,
    pub(super) x1: f64,
    pub(super) y1: f64,
    pub(super) z1: f64,
}

impl Block {
    /// From a place and a size; negative sizes count as none.
    pub(super) fn new(at: Point, size: Size) -> Block {
        let (x0, y0, z0) = (at.x.to_mm_f64(), at.y.to_mm_f64(), at.z.to_mm_f64());
        let side = |v: crate::length::Length| v.to_mm_f64().max(0.0);
        Block { x0, y0, z0, x1: x0 + side(size.w), y1: y0 + side(size.d), z1: z0 + side(size.h) }
    }
    pub(super) fn w(&self) -> f64 {
        self.x1 - self.x0
    }
    pub(super) fn d(&self) -> f64 {
        self.y1 - self.y0
    }
    pub(super) fn h(&self) -> f64 {
        self.z1 - self.z0
    }
}

/// A tray, kept item or cover item.
#[derive(Clone, Debug)]
pub(super) struct Item<'a> {
    /// Letter by which all pictures and lists know it.
    pub(super) mark: String,
    /// Its name, with the number of its copy where there are several.
    pub(super) name: String,
    /// How it looks.
    pub(super) look: Look,
    /// Where it is.
    pub(super) block: Block,
    /// Its outer size, exact.
    pub(super) size: Size,
    /// Layers from 1; empty for cover items and nested trays.
    pub(super) layers: &'a [usize],
    /// The tray itself.
    pub(super) tray: Option<&'a PlacedTray>,
    /// Mark of the tray it lives in.
    pub(super) inside: Option<String>,
}

/// Everything to be drawn.
#[derive(Clone, Debug)]
pub(super) struct Scene<'a> {
    pub(super) units: Units,
    /// The interior.
    pub(super) interior: Block,
    /// Its exact size.
    pub(super) size: Size,
    /// What is drawn.
    pub(super) plan: &'a Arrangement,
    /// Trays, each followed by those nested in it; kept items; cover items.
    pub(super) items: Vec<Item<'a>>,
}

/// The n-th mark: A to Z without I and O (which read as 1 and 0), then AA, AB, …
pub(crate) fn mark(n: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
    let mut n = n;
    let mut out = Vec::new();
    loop {
        out.push(LETTERS.get(n % LETTERS.len()).copied().map_or('?', char::from));
        if n < LETTERS.len() {
            break;
        }
        n = n / LETTERS.len() - 1;
    }
    out.iter().rev().collect()
}

impl<'a> Scene<'a> {
    /// The settled plan.
    pub(super) fn new(job: &Job, plan: &'a Plan) -> Scene<'a> {
        let a = &plan.settled;
        let size = job.container.interior;
        let mut scene = Scene {
            units: Units(job.unit),
            interior: Block::new(Point::default(), size),
            size,
            plan: a,
            items: Vec::new(),
        };
        let mut copies: BTreeMap<&str, usize> = BTreeMap::new();
        let all = a.trays.iter().map(|t| t.name.as_str());
        for name in all.chain(a.kept.iter().chain(&a.cover).map(|b| b.name.as_str())) {
            *copies.entry(name).or_default() += 1;
        }
        let full = |name: &str, copy: usize| {
            let shown = plain(name);
            if copies.get(name).is_some_and(|&n| n > 1) { format!("{shown} #{copy}") } else { shown }
        };
        for tray in &a.trays {
            scene.add_tray(tray, full(&tray.name, tray.copy), None, 0);
        }
        for (list, look) in [(&a.kept, Look::Kept), (&a.cover, Look::Cover)] {
            for body in list {
                scene.items.push(Item {
                    mark: mark(scene.items.len()),
                    name: full(&body.name, body.copy),
                    look,
                    block: Block::new(body.at, body.size),
                    size: body.size,
                    layers: &body.layers,
                    tray: None,
                    inside: None,
                });
            }
        }
        scene
    }

    fn add_tray(&mut self, tray: &'a PlacedTray, name: String, inside: Option<String>, depth: usize) {
        let own = mark(self.items.len());
        self.items.push(Item {
            mark: own.clone(),
            name,
            look: Look::Tray(tray.usage),
            block: Block::new(tray.at, tray.size),
            size: tray.size,
            layers: &tray.layers,
            tray: Some(tray),
            inside,
        });
        if depth < DEEPEST {
            for nested in tray.compartments.iter().filter_map(|c| c.tray.as_deref()) {
                self.add_tray(nested, plain(&nested.name), Some(own.clone()), depth + 1);
            }
        }
    }

    /// The item of this very tray.
    pub(super) fn item_of(&self, tray: &PlacedTray) -> Option<&Item<'a>> {
        self.items.iter().find(|i| i.tray.is_some_and(|t| std::ptr::eq(t, tray)))
    }

    /// Bodies that reach into a layer (from 1).
    pub(super) fn in_layer(&self, layer: usize) -> impl Iterator<Item = &Item<'a>> {
        self.items.iter().filter(move |i| i.layers.contains(&layer))
    }

    /// Items that live in the tray with this mark, at any depth.
    pub(super) fn nested_in(&self, mark: &str) -> Vec<&Item<'a>> {
        let mut all: Vec<&Item<'a>> = Vec::new();
        for i in &self.items {
            let own = |m: &str| m == mark || all.iter().any(|a| a.mark == m);
            if i.inside.as_deref().is_some_and(own) {
                all.push(i);
            }
        }
        all
    }

    /// Cover items.
    pub(super) fn cover(&self) -> impl Iterator<Item = &Item<'a>> {
        self.items.iter().filter(|i| i.look == Look::Cover)
    }

    /// Whether a cover item lies in recesses of the trays under it.
    pub(super) fn sunk(&self, item: &Item<'_>) -> bool {
        let top = (1..=self.plan.layers.len())
            .filter_map(|l| self.layer(l))
            .map(|(b, h)| b + h)
            .fold(0.0, f64::max);
        // Half a nanometre beyond the rounding of the picture's numbers.
        item.look == Look::Cover && item.block.z1 < top + 0.5e-6
    }

    /// Bottom and height of a layer (from 1) in millimetres.
    pub(super) fn layer(&self, layer: usize) -> Option<(f64, f64)> {
        let l = self.plan.layers.get(layer.checked_sub(1)?)?;
        Some((l.bottom.to_mm_f64(), l.height.to_mm_f64()))
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn marks_never_read_as_digits_and_never_repeat() {
        let all: Vec<String> = (0..700).map(super::mark).collect();
        assert_eq!((all[0].as_str(), all[23].as_str(), all[24].as_str()), ("A", "Z", "AA"));
        assert!(all.iter().all(|m| !m.contains(['I', 'O'])));
        let unique: std::collections::BTreeSet<&String> = all.iter().collect();
        assert_eq!(unique.len(), all.len());
    }
}

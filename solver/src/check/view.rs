//! One arrangement beside the rules of the job that it must keep.

use std::collections::{BTreeMap, BTreeSet};

use super::extent::Extent;
use crate::job::{Contents, Job, Part, Tray, Use};
use crate::plan::{Arrangement, Body, Compartment, PlacedTray};

/// An arrangement with everything that is looked up again and again.
pub(super) struct View<'a> {
    pub(super) job: &'a Job,
    /// `tight` or `settled`.
    pub(super) name: &'static str,
    pub(super) a: &'a Arrangement,
    /// Names that the plan leaves out.
    pub(super) left: &'a BTreeSet<&'a str>,
    /// Trays and nested trays whose rules are known, each after the one it lives in.
    pub(super) trays: Vec<Placed<'a>>,
    /// Compartments whose part is known.
    pub(super) rooms: Vec<Room<'a>>,
    /// Underside of the slab of cover items, or of the lid room where there are none.
    pub(super) ceiling: i64,
    /// Cover items that lie below the top of the layers.
    pub(super) sunk: Vec<Sunk<'a>>,
}

/// A cover item in a recess of the trays under it.
pub(super) struct Sunk<'a> {
    pub(super) body: &'a Body,
    pub(super) item: Extent,
    /// The same with its play around it.
    pub(super) recess: Extent,
}

/// A tray and what the job says of it.
pub(super) struct Placed<'a> {
    pub(super) rule: &'a Tray,
    pub(super) tray: &'a PlacedTray,
    pub(super) extent: Extent,
    /// Stands in the box itself, not in a compartment.
    pub(super) outer: bool,
    /// Index of the outer tray that it is or lives in.
    pub(super) within: usize,
    pub(super) path: String,
}

/// A compartment and its part.
pub(super) struct Room<'a> {
    pub(super) part: &'a Part,
    pub(super) c: &'a Compartment,
    pub(super) extent: Extent,
    /// Index of its tray in [`View::trays`].
    pub(super) tray: usize,
    pub(super) path: String,
}

impl<'a> View<'a> {
    pub(super) fn new(
        job: &'a Job,
        name: &'static str,
        a: &'a Arrangement,
        made: &'a [Tray],
        left: &'a BTreeSet<&'a str>,
    ) -> View<'a> {
        let rules: BTreeMap<&str, &Tray> =
            made.iter().chain(&job.trays).map(|t| (t.name.as_str(), t)).collect();
        let lid = job.container.interior.h.nm() - job.container.lid_room.nm();
        let top = a.layers.iter().map(|l| l.bottom.nm() + l.height.nm()).fold(0, i64::max);
        let (sunk, lying): (Vec<&Body>, Vec<&Body>) =
            a.cover.iter().partition(|c| c.at.z.nm() + c.size.h.nm() <= top);
        let ceiling = lying.iter().map(|c| c.at.z.nm()).fold(lid, i64::min);
        let play = job.container.between.nm();
        let sunk = sunk.into_iter().map(|body| {
            let item = Extent::new(body.at, body.size);
            let mut recess = item;
            for axis in [0, 1] {
                recess.lo[axis] -= play;
                recess.hi[axis] += play;
            }
            Sunk { body, item, recess }
        });
        let sunk = sunk.collect();
        let mut view = View { job, name, a, left, trays: Vec::new(), rooms: Vec::new(), ceiling, sunk };
        for (i, tray) in a.trays.iter().enumerate() {
            if let Some(rule) = rules.get(tray.name.as_str()) {
                let path = format!("{name} › {}", titled("tray", &tray.name, tray.copy, rule.count));
                view.add(rule, tray, true, i, path);
            }
        }
        view
    }

    fn add(&mut self, rule: &'a Tray, tray: &'a PlacedTray, outer: bool, within: usize, path: String) {
        let index = self.trays.len();
        let parts: BTreeMap<&str, &Part> = rule.parts.iter().map(|p| (p.name.as_str(), p)).collect();
        let mut nested = Vec::new();
        for c in &tray.compartments {
            let Some(part) = parts.get(c.part.as_str()) else { continue };
            let path = format!("{path} › compartment \"{}\"", c.part);
            if let (Contents::Tray(rule), Some(tray)) = (&part.contents, &c.tray) {
                nested.push((rule, tray, path.clone()));
            }
            self.rooms.push(Room { part, c, extent: Extent::new(c.at, c.size), tray: index, path });
        }
        self.trays.push(Placed { rule, tray, extent: Extent::new(tray.at, tray.size), outer, within, path });
        for (rule, tray, path) in nested {
            self.add(rule, tray, false, within, path);
        }
    }

    /// Trays that stand in the box itself.
    pub(super) fn outer(&self) -> impl Iterator<Item = &Placed<'a>> {
        self.trays.iter().filter(|t| t.outer)
    }

    /// Path of a kept or cover item.
    pub(super) fn body_path(&self, what: &str, b: &Body) -> String {
        format!("{} › {}", self.name, titled(what, &b.name, b.copy, 2))
    }

    /// z of the top of the last of these layers, counted from 1; `None` where there is none.
    pub(super) fn top(&self, layers: &[usize]) -> Option<i64> {
        let last = self.a.layers.get(layers.iter().max()?.checked_sub(1)?)?;
        Some(last.bottom.nm() + last.height.nm())
    }

    /// z of the top of all layers.
    pub(super) fn layers_top(&self) -> i64 {
        self.a.layers.iter().map(|l| l.bottom.nm() + l.height.nm()).fold(0, i64::max)
    }

    /// How high a body may reach, seen from above here: to the underside of what is sunk over any of it.
    pub(super) fn below_sunk(&self, e: &Extent) -> i64 {
        self.sunk.iter().filter(|s| s.recess.over(e)).map(|s| s.item.lo[2]).fold(i64::MAX, i64::min)
    }

    /// The inside of the box.
    pub(super) fn interior(&self) -> Extent {
        Extent::new(crate::place::Point::default(), self.job.container.interior)
    }
}

fn titled(what: &str, name: &str, copy: usize, count: usize) -> String {
    if count > 1 { format!("{what} \"{name}\" #{copy}") } else { format!("{what} \"{name}\"") }
}

/// Rules for the trays that a plan made for parts without one: those that the job does not name and that
/// hold at least one such part. They are ordinary trays of that part's use.
pub(super) fn made_trays(job: &Job, a: &Arrangement) -> Vec<Tray> {
    let named: BTreeSet<&str> = job.trays.iter().map(|t| t.name.as_str()).collect();
    let free: BTreeMap<&str, (&Part, Use)> =
        job.free.iter().map(|f| (f.part.name.as_str(), (&f.part, f.usage))).collect();
    let mut made = Vec::new();
    for tray in a.trays.iter().filter(|t| !named.contains(t.name.as_str())) {
        let parts: Vec<(&Part, Use)> =
            tray.compartments.iter().filter_map(|c| free.get(c.part.as_str()).copied()).collect();
        let Some(usage) = parts.first().map(|(_, usage)| *usage) else { continue };
        made.push(Tray {
            name: tray.name.clone(),
            usage,
            count: 1,
            lid: false,
            grip: None,
            span: 1,
            spare_share: 1000,
            low: false,
            held: None,
            size: None,
            joint: None,
            divider_height: None,
            parts: parts.into_iter().filter(|(_, u)| *u == usage).map(|(p, _)| p.clone()).collect(),
        });
    }
    made
}

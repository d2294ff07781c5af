//! Whether numbers can be reckoned with at all; nothing else is looked at where they cannot.

use super::Report;
use crate::job::Job;
use crate::length::Length;
use crate::place::{Point, Size};
use crate::plan::{Arrangement, PlacedTray, Plan};

/// No coordinate and no side may be beyond this: sums of them fit `i64`, products of three `i128`.
const FARTHEST: Length = Length::mm(20_000);
/// Nested trays deeper than this are nobody's box.
const DEEPEST: usize = 100;
/// Bodies, compartments and dividers of one arrangement; comparing each with each stays quick.
const MOST_THINGS: usize = 20_000;

pub(super) fn check(job: &Job, plan: &Plan, report: &mut Report) {
    let c = &job.container;
    let lengths = [c.lid_room, c.between, c.side, job.floor, job.divider, job.stock.thickness];
    if !size(c.interior) || !lengths.into_iter().all(side) || job.grid <= Length::ZERO || !side(job.grid) {
        report.fault("C001", "job", "the box, its clearances or its stock have sizes below 0 or beyond 20 m");
    }
    for (name, a) in [("tight", &plan.tight), ("settled", &plan.settled)] {
        let mut seen = Seen { things: 0, report };
        seen.arrangement(name, a);
    }
}

struct Seen<'a> {
    things: usize,
    report: &'a mut Report,
}

impl Seen<'_> {
    fn arrangement(&mut self, name: &str, a: &Arrangement) {
        self.things = a.layers.len() + a.kept.len() + a.cover.len();
        if !a.layers.iter().all(|l| side(l.bottom) && side(l.height)) {
            self.absurd(&format!("{name} › layers"));
        }
        for b in a.kept.iter().chain(&a.cover) {
            if !point(b.at) || !size(b.size) {
                self.absurd(&format!("{name} › \"{}\"", b.name));
            }
        }
        for t in &a.trays {
            self.tray(&format!("{name} › tray \"{}\"", t.name), t, 0);
        }
        if self.things > MOST_THINGS {
            self.report.fault(
                "C002",
                name,
                format!("it has {} bodies, compartments and dividers", self.things),
            );
        }
    }

    fn tray(&mut self, path: &str, t: &PlacedTray, depth: usize) {
        self.things = self.things.saturating_add(1 + t.compartments.len() + t.dividers.len());
        if depth > DEEPEST || self.things > MOST_THINGS {
            if depth > DEEPEST {
                self.report.fault("C002", path, "trays are nested more than 100 deep");
            }
            return;
        }
        if !point(t.at) || !size(t.size) || ![t.wall, t.floor, t.lid].into_iter().all(side) {
            self.absurd(path);
        }
        if !t.dividers.iter().all(|d| point(d.at) && size(d.size)) {
            self.absurd(&format!("{path} › dividers"));
        }
        for c in &t.compartments {
            let path = format!("{path} › compartment \"{}\"", c.part);
            let s = &c.slack;
            let need = c.need.size.is_none_or(size) && c.need.least.is_none_or(|l| l.into_iter().all(side));
            if !point(c.at) || !size(c.size) || !need || ![s.width, s.depth, s.height].into_iter().all(side) {
                self.absurd(&path);
            }
            if let Some(inner) = &c.tray {
                self.tray(&path, inner, depth + 1);
            }
        }
    }

    fn absurd(&mut self, path: &str) {
        self.report.fault("C001", path, "a length is below 0 or beyond 20 m");
    }
}

fn side(l: Length) -> bool {
    (Length::ZERO..=FARTHEST).contains(&l)
}

fn size(s: Size) -> bool {
    [s.w, s.d, s.h].into_iter().all(side)
}

fn point(p: Point) -> bool {
    [p.x, p.y, p.z].into_iter().all(side)
}

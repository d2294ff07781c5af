//! Needs: does what a compartment is said to hold, standing as it is said to stand, really go into it?
//!
//! Each kind of contents lists, from the definition of its way of standing, the least rooms that a plan may
//! claim for it. Everything is exact; products saturate, and what saturates goes into no room.

mod loose;
mod sine;
mod solid;
mod stack;

use super::Report;
use super::view::{Room, View};
use crate::job::{Contents, Job};
use crate::place::Size;
use crate::plan::{Compartment, NeedKind, PlacedNeed};

/// The least room of one way of standing, as it stands in its compartment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Least {
    /// Along x, along y, up; and whether contents run on along a row whose length depends on its height.
    Block { sides: [i128; 3], row: bool },
    /// `w·d·u ≥ volume`, neither side less than `side`, the longer not less than `long`, `u ≥ height`.
    Poured { volume: i128, side: i128, long: i128, height: i128 },
}

impl Least {
    /// Whether a clear room goes round it.
    pub(super) fn goes_into(&self, room: [i128; 3]) -> bool {
        match *self {
            Least::Block { sides, .. } => sides.iter().zip(room).all(|(need, have)| *need <= have),
            Least::Poured { volume, side, long, height } => {
                let [w, d, u] = room;
                u >= height && w.min(d) >= side && w.max(d) >= long && w * d * u >= volume
            }
        }
    }

    /// Its own volume in nm³.
    pub(super) fn volume(&self) -> i128 {
        match *self {
            Least::Block { sides: [w, d, h], .. } => mul(mul(w, d), h),
            Least::Poured { volume, .. } => volume,
        }
    }

    /// The same after a quarter turn about the vertical.
    fn turned(self, turn: bool) -> Least {
        match self {
            Least::Block { sides: [w, d, h], row } if turn => Least::Block { sides: [d, w, h], row },
            other => other,
        }
    }
}

/// What a plan chose among the ways of standing that a part has.
pub(super) struct Chosen {
    /// Its least room.
    pub(super) least: Least,
    /// Which of the ways with the same words it is.
    index: usize,
}

impl Chosen {
    /// Whether `more` pieces (in the part's own terms) beyond those wanted still go into the room, standing alike.
    pub(super) fn with_more(&self, room: &Room, more: i128) -> bool {
        let clear = clear(room.c);
        match &room.part.contents {
            Contents::Loose(l) => loose::least(l, more).is_some_and(|least| least.goes_into(clear)),
            Contents::Stack(s) => {
                let ways = stack::ways(s, room.c, more).unwrap_or_default();
                ways.get(self.index).is_some_and(|least| least.goes_into(clear))
            }
            Contents::Solid(s) => solid::holds(s, room.c, self.index) >= solid::held(s).saturating_add(more),
            Contents::Tray(_) => more <= 0,
        }
    }
}

/// A compartment's clear room in nm.
pub(super) fn clear(c: &Compartment) -> [i128; 3] {
    [c.size.w, c.size.d, c.size.h].map(|l| i128::from(l.nm()))
}

/// In which terms slack is told.
pub(super) fn terms(room: &Room) -> &'static str {
    match &room.part.contents {
        Contents::Loose(l) => loose::terms(l),
        Contents::Stack(s) => stack::terms(s),
        Contents::Solid(_) => "bodies",
        Contents::Tray(_) => "trays",
    }
}

/// The contents' own volume in nm³; none for a nested tray, whose parts tell.
pub(super) fn contents(room: &Room) -> Option<i128> {
    match &room.part.contents {
        Contents::Loose(l) => loose::bulk(l),
        Contents::Stack(s) => stack::volume(s),
        Contents::Solid(s) => Some(solid::volume(s)),
        Contents::Tray(_) => Some(0),
    }
}

/// Thickness of the thinnest piece in nm; `None` where nothing is known of it.
pub(super) fn thinnest(room: &Room) -> Option<i64> {
    match &room.part.contents {
        Contents::Loose(l) => l.piece.map(|p| p.w.min(p.d).min(p.h).nm()),
        Contents::Stack(s) => stack::one(s),
        Contents::Solid(s) => Some(s.size.w.min(s.size.d).min(s.size.h).nm()),
        Contents::Tray(_) => room.c.tray.as_ref().map(|t| t.size.w.min(t.size.d).min(t.size.h).nm()),
    }
}

/// What the plan chose for a compartment; the error is the code of what is wrong with it, and its cause.
pub(super) fn chosen(job: &Job, room: &Room) -> Result<Chosen, (&'static str, String)> {
    let (c, none) = (room.c, |e: &str| ("C070", e.to_string()));
    let ways = match &room.part.contents {
        Contents::Loose(l) => {
            plain(c, "poured")?;
            vec![loose::least(l, 0).ok_or_else(|| none("neither its volume nor its pieces are known"))?]
        }
        Contents::Stack(s) => stack::ways(s, c, 0).map_err(|e| none(&e))?,
        Contents::Solid(s) => solid::ways(s, c).map_err(|e| none(&e))?,
        Contents::Tray(_) => {
            plain(c, "tray")?;
            vec![nested(job, c).ok_or_else(|| none("the nested tray is missing"))?]
        }
    };
    let index = ways
        .iter()
        .position(|least| told(least, c))
        .ok_or_else(|| ("C071", format!("no way of standing so needs {}", in_words(&c.need))))?;
    Ok(Chosen { least: ways[index], index })
}

/// What a plan says that a compartment needs.
fn in_words(need: &PlacedNeed) -> String {
    match (need.size, need.area_mm2, need.least) {
        (Some(Size { w, d, h }), _, _) => format!("{w} × {d} × {h}"),
        (None, Some(area), Some([side, long])) => {
            format!("{} mm² with sides of at least {side} and {long}", area.nm2() / 1_000_000_000_000)
        }
        _ => "what it says".to_owned(),
    }
}

/// Words of a way of standing without piles, rows or lean.
fn plain(c: &Compartment, standing: &str) -> Result<(), (&'static str, String)> {
    let turned = standing == "tray" && c.turn;
    if c.standing != standing || !c.piles.is_empty() || c.lean_deg != 90 || turned {
        let cause = format!("it stands \"{}\" \"{}\", lean {}", c.standing, c.piles, c.lean_deg);
        return Err(("C070", cause));
    }
    Ok(())
}

/// A nested tray with its ease: the clearance between trays in total on each axis, which a plan may round up to
/// the grid.
fn nested(job: &Job, c: &Compartment) -> Option<Least> {
    let tray = c.tray.as_ref()?;
    let between = job.container.between;
    let rounded = job.grid * between.steps_up(job.grid);
    let size = |ease: crate::length::Length| {
        [tray.size.w + ease, tray.size.d + ease, tray.size.h].map(|l| i128::from(l.nm()))
    };
    let told = [between, rounded]
        .into_iter()
        .map(size)
        .find(|sides| told(&Least::Block { sides: *sides, row: false }, c));
    Some(Least::Block { sides: told.unwrap_or(size(between)), row: false })
}

/// Whether the need in the plan says just this.
fn told(least: &Least, c: &Compartment) -> bool {
    let need = &c.need;
    match *least {
        Least::Block { sides, row } => {
            let kind = if row { NeedKind::Row } else { NeedKind::Fixed };
            let size = need.size.map(|s| [s.w, s.d, s.h].map(|l| i128::from(l.nm())));
            need.kind == kind && size == Some(sides) && need.area_mm2.is_none() && need.least.is_none()
        }
        Least::Poured { volume, side, long, .. } => {
            let height = i128::from(c.size.h.nm()).max(1);
            let least = need.least.map(|l| l.map(|l| i128::from(l.nm())));
            need.kind == NeedKind::Soft
                && need.size.is_none()
                && need.area_mm2.map(|a| a.nm2()) == Some(div_up(volume, height))
                && least == Some([side, long])
        }
    }
}

pub(super) fn check(view: &View, report: &mut Report) {
    for room in &view.rooms {
        match chosen(view.job, room) {
            Err((code, cause)) => report.fault(code, &room.path, cause),
            Ok(chosen) if !chosen.least.goes_into(clear(room.c)) => {
                let Size { w, d, h } = room.c.size;
                let cause = format!("its contents do not go into {w} × {d} × {h}");
                report.fault("C072", &room.path, cause);
            }
            Ok(_) => {}
        }
    }
}

/// A product that stays at the greatest number rather than overflow.
fn mul(a: i128, b: i128) -> i128 {
    a.saturating_mul(b)
}

/// `a / b` rounded up; `b` is taken as at least 1.
fn div_up(a: i128, b: i128) -> i128 {
    let b = b.max(1);
    a.div_euclid(b).saturating_add(i128::from(a.rem_euclid(b) != 0))
}

/// "3 piles" as 3, nothing as 1; `None` for any other words.
fn several(words: &str, what: &str) -> Option<i128> {
    if words.is_empty() {
        return Some(1);
    }
    let count: i64 = words.strip_suffix(what)?.strip_suffix(' ')?.parse().ok()?;
    // Only the one way of writing it.
    (count > 1 && words == format!("{count} {what}")).then_some(i128::from(count))
}

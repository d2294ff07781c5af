//! Parts where they stand in a brief, and which share of everything they are.

use crate::job::{Contents, Cover, Job, Kept, Millionths, Part, Solid, Stack, Tray};
use crate::length::Length;
use crate::need;

/// A part with its place in the brief.
pub(super) struct Seat<'a> {
    /// The part.
    pub(super) part: &'a Part,
    /// So many trays hold it.
    pub(super) copies: usize,
    /// The key that takes it out when nothing is set: its own, or that of the tray whose only part it is; `None` where
    /// the outer part says the same.
    pub(super) removal: Option<String>,
    /// The tray of the box that it is in; empty for a part without one.
    tray: &'a str,
}

impl Seat<'_> {
    /// Keys that, taken out, make more room than any change of the part alone: its tray's, then its own.
    pub(super) fn gates(&self) -> Vec<String> {
        let tray = (!self.tray.is_empty()).then(|| format!("tray.{}", self.tray));
        let mut gates: Vec<String> = tray.into_iter().chain(self.removal.clone()).collect();
        gates.dedup();
        gates
    }

    pub(super) fn name(&self) -> &str {
        &self.part.name
    }

    pub(super) fn stack(&self) -> Option<&Stack> {
        match &self.part.contents {
            Contents::Stack(stack) => Some(stack),
            _ => None,
        }
    }

    pub(super) fn solid(&self) -> Option<&Solid> {
        match &self.part.contents {
            Contents::Solid(solid) => Some(solid),
            _ => None,
        }
    }
}

/// All parts in the order of the brief, those of small trays after the tray.
pub(super) fn seats(job: &Job) -> Vec<Seat<'_>> {
    fn walk<'a>(
        parts: &'a [Part],
        copies: usize,
        tray: &'a str,
        outer: Option<String>,
        into: &mut Vec<Seat<'a>>,
    ) {
        for part in parts {
            let alone = parts.len() == 1;
            let removal = if alone { outer.clone() } else { Some(format!("part.{}", part.name)) };
            into.push(Seat { part, copies, removal, tray });
            if let Contents::Tray(own) = &part.contents {
                walk(&own.parts, copies, tray, None, into);
            }
        }
    }
    let mut all = Vec::new();
    for tray in &job.trays {
        walk(&tray.parts, tray.count, &tray.name, Some(format!("tray.{}", tray.name)), &mut all);
    }
    for free in &job.free {
        let own = Some(format!("part.{}", free.part.name));
        walk(std::slice::from_ref(&free.part), 1, "", own, &mut all);
    }
    all
}

/// How large everything in the box is by itself.
pub(super) struct Shares {
    whole: i128,
}

impl Shares {
    pub(super) fn of(job: &Job) -> Shares {
        let trays: i128 = job.trays.iter().map(of_tray).sum();
        let free: i128 = job.free.iter().map(|f| Shares::volume(&f.part)).sum();
        let kept: i128 = job.kept.iter().map(of_kept).sum();
        let cover: i128 = job.cover.iter().map(|c| c.size.volume().nm3()).sum();
        Shares { whole: (trays + free + kept + cover).max(1) }
    }

    /// Volume of a part's contents in nm³, those of a small tray's parts together.
    pub(super) fn volume(part: &Part) -> i128 {
        match &part.contents {
            Contents::Tray(own) => own.parts.iter().map(Shares::volume).sum(),
            _ => need::of(part).contents.nm3(),
        }
    }

    /// The least height a part needs in any way of standing.
    pub(super) fn height(part: &Part) -> Length {
        match &part.contents {
            Contents::Tray(own) => own.parts.iter().map(Shares::height).max().unwrap_or_default(),
            _ => {
                let need = need::of(part);
                need.alternatives.iter().map(|a| a.space.least_height()).min().unwrap_or_default()
            }
        }
    }

    /// A volume as a share of all contents, kept and cover items; one millionth at least.
    pub(super) fn of_volume(&self, nm3: i128) -> Millionths {
        // Halved until the product cannot overflow; a share needs no more digits.
        let (mut part, mut whole) = (nm3, self.whole);
        while part > i128::MAX / 1_000_000 {
            (part, whole) = (part / 2, (whole / 2).max(1));
        }
        i64::try_from(part * 1_000_000 / whole).unwrap_or(1_000_000).clamp(1, 1_000_000)
    }

    pub(super) fn seat(&self, seat: &Seat) -> Millionths {
        self.of_volume(Shares::volume(seat.part) * seat.copies as i128)
    }

    pub(super) fn tray(&self, tray: &Tray) -> Millionths {
        self.of_volume(of_tray(tray))
    }

    pub(super) fn kept(&self, item: &Kept) -> Millionths {
        self.of_volume(of_kept(item))
    }

    pub(super) fn cover(&self, item: &Cover) -> Millionths {
        self.of_volume(item.size.volume().nm3())
    }
}

fn of_tray(tray: &Tray) -> i128 {
    tray.parts.iter().map(Shares::volume).sum::<i128>() * tray.count as i128
}

fn of_kept(item: &Kept) -> i128 {
    item.size.volume().nm3() * item.count as i128
}

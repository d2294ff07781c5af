//! From places in grid steps to an arrangement in exact lengths.

use super::sink::Sunk;
use super::slack::{spare_sides, tenths_of_ml, tenths_of_percent};
use super::{
    Arrangement, Body, Compartment, Divider, Layer, NeedKind, PlacedNeed, PlacedTray, Slack, Volumes,
};
use crate::job::{Grip, HeightRule, Job, Stand, Tray};
use crate::layout::build::{Built, kept_size, tray_size};
use crate::layout::instance::{KeptPlace, Layout};
use crate::layout::settle::Settled;
use crate::length::Length;
use crate::need::{Alternative, Need, Space, Standing, more};
use crate::place::{Cuboid, Point, Size};
use crate::tray::{PartNeed, Placed, TrayNeeds, place, slice};

/// Where bodies stand and how large trays are, in grid steps.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Places {
    /// Layer heights from the floor up.
    pub heights: Vec<i64>,
    /// Per tray: x, y, outer width and depth.
    pub trays: Vec<(i64, i64, i64, i64)>,
    /// Per kept item: x, y.
    pub kept: Vec<(i64, i64)>,
    /// Per tray: itself where it is there already, wherever it stood. A list that is too short says no for the rest.
    pub made: Vec<Option<PlacedTray>>,
}

impl Places {
    /// As the search left them.
    pub(crate) fn tight(built: &Built, layout: &Layout) -> Places {
        let rect = |(i, p)| built.instance.tray_rect(i, p);
        Places {
            heights: layout.heights.clone(),
            trays: layout.trays.iter().enumerate().map(rect).map(|r| (r.x, r.y, r.w, r.d)).collect(),
            kept: layout.kept.iter().map(|p| (p.x, p.y)).collect(),
            made: Vec::new(),
        }
    }

    /// With the spare room shared out.
    pub(crate) fn settled(settled: &Settled) -> Places {
        Places {
            heights: settled.heights.clone(),
            trays: settled.trays.iter().map(|t| (t.x, t.y, t.w, t.d)).collect(),
            kept: settled.kept.clone(),
            made: Vec::new(),
        }
    }
}

/// The arrangement of everything, in exact lengths, its account still open; compartments end below what is sunk into
/// them, trays that lie wholly under it too. `None` where a tray cannot be cut up at its outline (which a valid layout
/// rules out).
pub(crate) fn arrange(
    job: &Job,
    trays: &[Tray],
    built: &Built,
    layout: &Layout,
    places: &Places,
    sunk: &[Sunk],
) -> Option<Arrangement> {
    let g = job.grid;
    let mut layers = Vec::with_capacity(places.heights.len());
    let mut bottom = Length::ZERO;
    for (l, steps) in places.heights.iter().enumerate() {
        let height = match job.layers.heights.get(l) {
            Some(HeightRule::Fixed(h)) => *h,
            _ => g * *steps,
        };
        layers.push(Layer { bottom, height });
        bottom += height;
    }
    let mut placed_trays = Vec::with_capacity(layout.trays.len());
    for (i, (p, &(x, y, w, d))) in layout.trays.iter().zip(&places.trays).enumerate() {
        let (kind, copy) = built.trays[i];
        let tray = &trays[kind];
        let needs = &built.needs[kind];
        let option = built.instance.trays[i].options.get(p.option)?;
        let reached = layers.get(p.layer..p.layer + p.span)?;
        let full: Length = reached.iter().map(|l| l.height).sum();
        let h = match tray.size {
            Some(size) => size.h.min(full),
            None if tray.low => (g * option.h).min(full),
            None => full,
        };
        let mut size = tray_size(tray.size, *option, Size { w: g * w, d: g * d, h }, g);
        let at = Point { x: g * x, y: g * y, z: reached.first()?.bottom };
        if let Some(made) = places.made.get(i).and_then(Option::as_ref) {
            let mut made = made.moved(at);
            if !tray.low && tray.size.is_none() && made.size.h != full {
                return None;
            }
            made.copy = copy;
            made.layers = (p.layer + 1..=p.layer + p.span).collect();
            placed_trays.push(made);
            continue;
        }
        let under = |s: &&Sunk| s.contains(at, size);
        let over = sunk.iter().find(under).map(|s| at.z + size.h - s.body.at.z);
        size.h -= over.unwrap_or_default().max(Length::ZERO);
        let clear = option.h - needs.base_steps();
        let cut = slice(needs, clear, option.w - needs.walls(), option.d - needs.walls())?;
        let inner = Cuboid {
            at: Point { x: at.x + needs.wall, y: at.y + needs.wall, z: at.z + needs.floor },
            size: Size { w: size.w - needs.wall * 2, d: size.d - needs.wall * 2, h: size.h - needs.base },
        };
        let placed = place(needs, &cut, inner)?;
        let mut out = tray_of(tray, needs, &placed, Cuboid { at, size }, sunk)?;
        out.copy = copy;
        out.layers = (p.layer + 1..=p.layer + p.span).collect();
        placed_trays.push(out);
    }
    let kept = layout
        .kept
        .iter()
        .zip(&places.kept)
        .enumerate()
        .filter_map(|(k, (p, at))| kept_body(job, built, places, k, p, *at, &layers));
    let top = job.container.interior.h - job.container.lid_room - built.slab.height;
    let cover = job.cover.iter().enumerate().filter_map(|(i, c)| {
        let body = |at: Point, size: Size| {
            Some(Body { name: c.name.clone(), copy: 1, at, size, layers: Vec::new() })
        };
        match built.lying.iter().position(|&l| l == i).and_then(|k| built.slab.places.get(k)) {
            Some(place) => body(Point { z: top + place.at.z, ..place.at }, place.size),
            None => sunk.iter().find(|s| s.item == i).and_then(|s| body(s.body.at, s.body.size)),
        }
    });
    Some(Arrangement {
        volumes_mm3: Volumes::default(),
        kept: kept.collect(),
        cover: cover.collect(),
        trays: placed_trays,
        layers,
    })
}

fn kept_body(
    job: &Job,
    built: &Built,
    places: &Places,
    k: usize,
    p: &KeptPlace,
    at: (i64, i64),
    layers: &[Layer],
) -> Option<Body> {
    let g = job.grid;
    let (kind, copy) = built.kept[k];
    let item = &job.kept[kind];
    let turn = built.instance.kept[k].turns.get(p.turn)?;
    let size = kept_size(item, *turn, g)?;
    let (first, after, _) = built.instance.kept_reach(&places.heights, p.layer, turn.h);
    let top = layers.last().map_or(Length::ZERO, |l| l.bottom + l.height);
    let z = layers.get(p.layer).map_or(top, |l| l.bottom);
    Some(Body {
        name: item.name.clone(),
        copy,
        at: Point { x: g * at.0, y: g * at.1, z },
        size,
        layers: (first + 1..=after).collect(),
    })
}

fn tray_of(
    tray: &Tray,
    needs: &TrayNeeds,
    placed: &Placed,
    outer: Cuboid,
    sunk: &[Sunk],
) -> Option<PlacedTray> {
    let mut compartments = Vec::with_capacity(placed.compartments.len());
    for room in &placed.compartments {
        let part = tray.parts.get(room.part)?;
        let inner = match (&part.contents, needs.parts.get(room.part)?) {
            (crate::job::Contents::Tray(own), PartNeed::Tray(own_needs, _)) => {
                let nested = room.tray.as_ref()?;
                Some(Box::new(tray_of(own, own_needs, &nested.placed, nested.outer, &[])?))
            }
            _ => None,
        };
        let top = sunk.iter().filter(|s| s.over(room.at, room.size)).map(|s| s.body.at.z).min();
        let h = top.map_or(room.size.h, |z| room.size.h.min(z - room.at.z));
        let clear = Cuboid { at: room.at, size: Size { h, ..room.size } };
        compartments.push(match needs.parts.get(room.part)? {
            PartNeed::Room(need) => {
                let alternative = need.alternatives.get(room.alternative)?;
                compartment(&part.name, need, alternative, clear, room.turned)
            }
            PartNeed::Tray(..) => nested_compartment(&part.name, clear, room.turned, inner),
        });
    }
    Some(PlacedTray {
        name: tray.name.clone(),
        copy: 1,
        usage: tray.usage,
        layers: Vec::new(),
        at: outer.at,
        size: outer.size,
        wall: needs.wall,
        floor: needs.floor,
        lid: needs.base - needs.floor,
        grip: tray.grip.unwrap_or(Grip::Notch),
        compartments,
        dividers: placed.dividers.iter().map(|c| Divider { at: c.at, size: c.size }).collect(),
    })
}

/// A compartment of a clear room whose part stands so.
pub(super) fn compartment(
    name: &str,
    need: &Need,
    a: &Alternative,
    room: Cuboid,
    turned: bool,
) -> Compartment {
    let spare = spare_sides(&a.space, room.size, turned);
    let beyond = room.size.volume() - a.space.volume();
    let (standing, lean, piles) = words(a);
    let placed = match a.space {
        Space::Fixed { w, d, h } => {
            let size = Size { w, d, h };
            let row = matches!(a.standing, Standing::Stacked(s, _) if s != Stand::Flat);
            PlacedNeed {
                kind: if row { NeedKind::Row } else { NeedKind::Fixed },
                size: Some(if turned { size.turned() } else { size }),
                area_mm2: None,
                least: None,
            }
        }
        Space::Soft { volume, side, long, .. } => PlacedNeed {
            kind: NeedKind::Soft,
            size: None,
            area_mm2: Some(volume.over_up(room.size.h)),
            least: Some([side, long]),
        },
    };
    Compartment {
        part: name.to_string(),
        at: room.at,
        size: room.size,
        need: placed,
        standing: standing.to_string(),
        turn: turned,
        piles,
        lean_deg: lean,
        slack: Slack {
            width: spare.w,
            depth: spare.d,
            height: spare.h,
            volume_ml: tenths_of_ml(beyond),
            percent: tenths_of_percent(beyond, room.size.volume()),
            more: more(need, a, room.size.w, room.size.d, room.size.h, turned),
            more_of: need.more.of.clone(),
        },
        tray: None,
    }
}

/// The compartment of a tray that lies in another one.
pub(super) fn nested_compartment(
    name: &str,
    room: Cuboid,
    turned: bool,
    tray: Option<Box<PlacedTray>>,
) -> Compartment {
    Compartment {
        part: name.to_string(),
        at: room.at,
        size: room.size,
        need: PlacedNeed { kind: NeedKind::Fixed, size: Some(room.size), area_mm2: None, least: None },
        standing: "tray".into(),
        turn: turned,
        piles: String::new(),
        lean_deg: 90,
        slack: Slack {
            width: Length::ZERO,
            depth: Length::ZERO,
            height: Length::ZERO,
            volume_ml: 0.0,
            percent: 0.0,
            more: 0,
            more_of: "trays".into(),
        },
        tray,
    }
}

/// Standing, lean angle, and piles in words.
pub(super) fn words(a: &Alternative) -> (&'static str, i64, String) {
    let piles = |what: &str| if a.piles > 1 { format!("{} {what}", a.piles) } else { String::new() };
    match a.standing {
        Standing::Poured => ("poured", 90, String::new()),
        Standing::Tray => ("tray", 90, String::new()),
        Standing::Block(x, y, z) => ("block", 90, format!("{x} × {y} × {z}")),
        Standing::Stacked(stand, lean) => match stand {
            Stand::Flat => ("flat", 90, piles("piles")),
            Stand::LongEdge => ("long-edge", 90, piles("rows")),
            Stand::ShortEdge => ("short-edge", 90, piles("rows")),
            Stand::Roll => ("roll", 90, piles("rows")),
            Stand::Lean => ("lean", lean, piles("rows")),
        },
    }
}

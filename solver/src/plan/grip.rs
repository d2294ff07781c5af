//! Grips: notches where they open above the fill line, else a ribbon; a note where the maker wanted notches.

use super::account::Held;
use super::{Arrangement, Compartment, PlacedTray};
use crate::finding::{Finding, Severity};
use crate::job::{Contents, Grip, Tray};
use crate::length::Length;

/// Width of a grip notch: the 95th-percentile thumb of DIN 33402-2 (from memory) passes.
pub const NOTCH_WIDTH: Length = Length::mm(25);
/// Depth of a grip notch: fingertip recess of MIL-STD-1472 (from memory).
pub const NOTCH_DEPTH: Length = Length::mm(13);
/// Least wall left beside a notch, so that no corner is weakened (common practice, no source).
pub const NOTCH_SHOULDER: Length = Length::mm(10);

/// Sets the grip of every tray; says where a wanted notch had to give way to a ribbon.
pub fn choose_grips(
    trays: &[Tray],
    kinds: &[usize],
    arrangement: &mut Arrangement,
    held: &dyn Fn(&Compartment) -> Held,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (placed, kind) in arrangement.trays.iter_mut().zip(kinds) {
        if let Some(tray) = trays.get(*kind) {
            choose(tray, placed, held, &mut findings);
        }
    }
    findings.dedup();
    findings
}

fn choose(
    tray: &Tray,
    placed: &mut PlacedTray,
    held: &dyn Fn(&Compartment) -> Held,
    findings: &mut Vec<Finding>,
) {
    placed.grip = match tray.grip {
        Some(grip @ (Grip::Ribbon | Grip::None)) => grip,
        _ if notches(placed, held) => Grip::Notch,
        wanted => {
            if wanted == Some(Grip::Notch) {
                findings.push(
                    Finding::new(
                        "P010",
                        Severity::Note,
                        "no two opposite walls can take a notch that stays above what is poured in behind it, so the tray gets a ribbon",
                        "put stacked or solid parts at its ends, or accept the ribbon",
                    )
                    .about(format!("tray \"{}\"", tray.name)),
                );
            }
            Grip::Ribbon
        }
    };
    for c in &mut placed.compartments {
        let own = tray.parts.iter().find(|p| p.name == c.part).map(|p| &p.contents);
        if let (Some(Contents::Tray(own)), Some(inner)) = (own, c.tray.as_deref_mut()) {
            choose(own, inner, held, findings);
        }
    }
}

/// Whether two opposite walls can each take a notch in their middle that stays above what is poured in behind it.
pub fn notches(tray: &PlacedTray, held: &dyn Fn(&Compartment) -> Held) -> bool {
    if tray.size.h - tray.floor - tray.lid <= NOTCH_DEPTH {
        return false;
    }
    let least = NOTCH_WIDTH + NOTCH_SHOULDER * 2;
    let (x, y) = (tray.at.x + tray.size.w / 2, tray.at.y + tray.size.d / 2);
    let half = NOTCH_WIDTH / 2;
    let near = Length::um(1) + tray.wall;
    let open = |c: &Compartment, side: usize| match side {
        0 => c.at.x <= tray.at.x + near && c.at.y < y + half && c.at.y + c.size.d > y - half,
        1 => {
            c.at.x + c.size.w >= tray.at.x + tray.size.w - near
                && c.at.y < y + half
                && c.at.y + c.size.d > y - half
        }
        2 => c.at.y <= tray.at.y + near && c.at.x < x + half && c.at.x + c.size.w > x - half,
        _ => {
            c.at.y + c.size.d >= tray.at.y + tray.size.d - near
                && c.at.x < x + half
                && c.at.x + c.size.w > x - half
        }
    };
    let serves = |side: usize| {
        tray.compartments.iter().filter(|c| c.standing == "poured" && open(c, side)).all(|c| {
            // Fill height: bulk over the compartment's floor.
            let contents = held(c).contents;
            let room = c.size.footprint() * (c.size.h - NOTCH_DEPTH);
            contents <= room
        })
    };
    (tray.size.d >= least && serves(0) && serves(1)) || (tray.size.w >= least && serves(2) && serves(3))
}

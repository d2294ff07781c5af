//! Grips: notches for the fingers in two opposite walls, where nothing spills through them.

use super::Report;
use super::needs;
use super::view::{Placed, Room, View};
use crate::job::{Contents, Grip};

/// A notch admits a large thumb: breadth 25 mm, DIN 33402-2 (facts D23, from memory).
const WIDTH: i64 = 25_000_000;
/// Finger tips reach 13 mm deep, MIL-STD-1472 (facts D24, from memory).
const DEPTH: i64 = 13_000_000;

pub(super) fn check(view: &View, report: &mut Report) {
    for (i, placed) in view.trays.iter().enumerate().filter(|(_, p)| p.tray.grip == Grip::Notch) {
        let rooms: Vec<&Room> = view.rooms.iter().filter(|r| r.tray == i).collect();
        let clear = placed.extent.len(2) - placed.tray.floor.nm() - placed.tray.lid.nm();
        let walls = [0, 1]
            .into_iter()
            .any(|axis| wide(placed, axis) && (0..2).all(|end| dry(placed, axis, end, &rooms)));
        if clear <= DEPTH {
            report.fault("C110", &placed.path, "its walls are too low for a notch 13 mm deep");
        } else if !walls {
            let cause = "no two opposite walls take a notch 25 mm wide in their middle above what is poured in behind it";
            report.fault("C110", &placed.path, cause);
        }
    }
}

/// Whether the two walls across this axis are long enough.
fn wide(placed: &Placed, axis: usize) -> bool {
    placed.extent.len(1 - axis) - 2 * placed.tray.wall.nm() >= WIDTH
}

/// Whether everything poured in behind the middle of a wall stays below the notch.
fn dry(placed: &Placed, axis: usize, end: usize, rooms: &[&Room]) -> bool {
    let (e, along, wall) = (&placed.extent, 1 - axis, placed.tray.wall.nm());
    let (twice, half) = (e.lo[along] + e.hi[along], WIDTH);
    rooms.iter().filter(|r| matches!(r.part.contents, Contents::Loose(_))).all(|r| {
        let behind = match end {
            0 => r.extent.lo[axis] == e.lo[axis] + wall,
            _ => r.extent.hi[axis] == e.hi[axis] - wall,
        };
        let opens = 2 * r.extent.lo[along] < twice + half && 2 * r.extent.hi[along] > twice - half;
        let below = r.extent.footprint() * i128::from(r.extent.len(2) - DEPTH);
        !(behind && opens) || needs::contents(r).is_some_and(|bulk| bulk <= below)
    })
}

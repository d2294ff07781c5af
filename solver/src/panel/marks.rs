//! Names that may be engraved: the tray's on its front wall, the parts' on the floor of their compartments.

use super::Mark;
use super::shape::Spot;
use super::shell::{Measures, Shell};
use super::trays::Made;
use crate::length::Length;

/// Height of letters on a wall, and on a floor (our choice, no source).
const ON_WALL: Length = Length::mm(8);
const ON_FLOOR: Length = Length::mm(6);
/// Smaller letters are not read.
const LEAST: Length = Length::mm(2);
/// Kept free at both ends of a line.
const MARGIN: Length = Length::mm(2);

/// Adds the marks of a tray.
pub(super) fn marks(made: &Made, m: &Measures, shell: &mut Shell) {
    let tray = made.tray;
    for c in &tray.compartments {
        let height = ON_FLOOR.min(c.size.d / 3);
        let most = c.size.w - MARGIN * 2;
        if height >= LEAST && most >= height * 2 {
            let middle = Spot { x: c.at.x - tray.at.x + c.size.w / 2, y: c.at.y - tray.at.y + c.size.d / 2 };
            shell.floor.marks.push(Mark { text: c.part.clone(), middle, height, most });
        }
    }
    // On the front wall, between what is cut there: dividers stand at the ends of the compartments behind it.
    let behind = tray.compartments.iter().filter(|c| c.at.y - tray.at.y == m.wall);
    let Some(widest) = behind.max_by_key(|c| (c.size.w, -c.at.x)) else { return };
    let (from, to) = (widest.at.x - tray.at.x, widest.at.x - tray.at.x + widest.size.w);
    let over = shell.front.notches.iter().filter(|(r, _)| r.x0 < to && from < r.x1).map(|(r, _)| r.y0);
    let top = over.min().unwrap_or(m.top);
    let height = ON_WALL.min((top - m.floor) / 3);
    let most = to - from - MARGIN * 2;
    if height >= LEAST && most >= height * 2 {
        let middle = Spot { x: (from + to) / 2, y: (m.floor + top) / 2 };
        shell.front.marks.push(Mark { text: tray.name.clone(), middle, height, most });
    }
}

//! Marks: a letter in a small plate whose shape says the use, so that grey prints read the same.

use super::label::{LINE, RISE, width};
use super::palette::{INK, KEPT, Look};
use super::svg::{Anchor, Area, Ink, Svg, num};
use crate::job::Use;

/// Size of the letter.
const LETTER: f64 = 2.9;

/// Width and height of the plate of a mark.
pub(super) fn extent(mark: &str) -> (f64, f64) {
    let h = LETTER * LINE + 0.7;
    ((width(mark, LETTER, true) + 1.9).max(h), h)
}

/// The plate of a mark around a middle.
pub(super) fn around((x, y): (f64, f64), mark: &str) -> Area {
    let (w, h) = extent(mark);
    Area::new(x - w / 2.0, y - h / 2.0, w, h)
}

/// Draws a mark: round for `always`, square for `setup`, with cut corners for `seldom`; grey for kept
/// items, dashed for cover items.
pub(super) fn draw(svg: &mut Svg, plate: Area, mark: &str, look: Look) {
    let hue = look.style().hue;
    let a = plate.inset(0.25);
    let edge = format!("fill=\"#fff\" stroke=\"{hue}\" stroke-width=\"0.5\"");
    match look {
        Look::Tray(Use::Always) => svg.rect(a, &format!("rx=\"{}\" {edge}", num(a.h / 2.0))),
        Look::Tray(Use::Setup) => svg.rect(a, &edge),
        Look::Tray(Use::Seldom) => {
            let c = a.h * 0.29;
            let (l, t, r, b) = (a.x, a.y, a.right(), a.bottom());
            let corners = [
                (l + c, t),
                (r - c, t),
                (r, t + c),
                (r, b - c),
                (r - c, b),
                (l + c, b),
                (l, b - c),
                (l, t + c),
            ];
            svg.polygon(&corners, &edge);
        }
        Look::Kept => svg.rect(a, &format!("fill=\"{KEPT}\" stroke=\"{hue}\" stroke-width=\"0.35\"")),
        Look::Cover => svg.rect(a, &format!("{edge} stroke-dasharray=\"1 0.6\"")),
    }
    let (x, y) = plate.middle();
    let ink = Ink { size: LETTER, fill: INK, bold: true };
    svg.text((x, y - LETTER * LINE / 2.0 + LETTER * RISE), Anchor::Middle, ink, plate, mark);
}

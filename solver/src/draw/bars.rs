//! A list of lying bars: a name, a bar, a note behind it.

use super::label::{LINE, RISE, width, wrap_hard};
use super::palette::{EDGE, GREEN, INK, SOFT};
use super::svg::{Anchor, Area, Ink, Svg};

/// One bar.
#[derive(Clone, Debug)]
pub(crate) struct Bar {
    /// Left of it.
    pub(crate) name: String,
    /// Its length, in any unit that all bars share.
    pub(crate) value: f64,
    /// Right of it.
    pub(crate) note: String,
    /// Full where so, else hollow and striped.
    pub(crate) full: bool,
    /// Names and notes in bold.
    pub(crate) bold: bool,
}

const SIZE: f64 = 2.8;

/// Draws the bars into `wide` millimetres; gives back elements, width and height.
pub(crate) fn bars(bars: &[Bar], wide: f64) -> (String, f64, f64) {
    let mut svg = Svg::new();
    let most = bars.iter().map(|b| b.value).fold(0.0, f64::max);
    let names = bars.iter().map(|b| width(&b.name, SIZE, b.bold)).fold(0.0, f64::max).min(wide * 0.3);
    let notes = bars.iter().map(|b| width(&b.note, SIZE, b.bold)).fold(0.0, f64::max).min(wide * 0.38);
    let long = wide - names - notes - 4.0;
    let mut y = 0.5;
    for bar in bars {
        let lines = |text: &str, room: f64| wrap_hard(text, SIZE, room.max(8.0) + 0.01, bar.bold);
        let (name, note) = (lines(&bar.name, names), lines(&bar.note, notes));
        let height = name.len().max(note.len()).max(1) as f64 * SIZE * LINE + 1.0;
        let length = if most > 0.0 { long * bar.value.max(0.0) / most } else { 0.0 };
        let area = Area::new(names + 2.0, y + 0.5, length, (height - 1.0).min(3.6));
        let edge = format!("stroke=\"{EDGE}\" stroke-width=\"0.2\"");
        if bar.full {
            svg.rect(area, &format!("fill=\"{GREEN}\" {edge}"));
        } else {
            svg.rect(area, &format!("fill=\"url(#tw-stripe)\" {edge}"));
        }
        let ink = Ink { size: SIZE, fill: if bar.full { INK } else { SOFT }, bold: bar.bold };
        for (x, texts) in [(0.0, &name), (area.right() + 1.5, &note)] {
            for (i, text) in texts.iter().enumerate() {
                let top = y + i as f64 * SIZE * LINE;
                let room = Area::new(x, top, width(text, SIZE, bar.bold), SIZE * LINE);
                svg.text((x, top + SIZE * RISE), Anchor::Start, ink, room, text);
            }
        }
        y += height;
    }
    (svg.into_inner(), wide, y + 0.5)
}

//! The volume account as a picture: one stacked bar, lying for paper and standing for narrow screens.

use super::callout::spread;
use super::label::{LEAST, LINE, RISE, fit, width};
use super::palette::{EDGE, GREEN, INK, PURPLE, SKY, SOFT, VERMILLION, YELLOW};
use super::svg::{Anchor, Area, Ink, Svg};
use super::words;
use crate::length::Volume;
use crate::plan::Volumes;

/// One term of the account.
pub(super) struct Term {
    pub(super) name: &'static str,
    pub(super) what: &'static str,
    pub(super) volume: Volume,
    pub(super) wasted: bool,
    fill: &'static str,
    pattern: Option<&'static str>,
}

/// All terms in the order of the account; they add up to the interior.
pub(super) fn terms(v: &Volumes) -> [Term; 8] {
    let term = |name, what, volume, wasted, fill, pattern| Term { name, what, volume, wasted, fill, pattern };
    [
        term("contents", "the parts themselves", v.contents, false, SKY, None),
        term("kept", "items that stay as they are", v.kept, false, "#b8b8b8", None),
        term("cover", "what lies over the top layer", v.cover, false, PURPLE, None),
        term("stock", "floors, walls and dividers", v.stock, true, VERMILLION, Some("tw-stripe")),
        term(
            "voids",
            "air between and around pieces: packing, ease, fingers",
            v.voids,
            true,
            YELLOW,
            Some("tw-dots"),
        ),
        term("slack", "room in compartments beyond need", v.slack, true, GREEN, Some("tw-cross")),
        term(
            "overhead",
            "room above kept items and low trays",
            v.overhead,
            true,
            "#7a7a7a",
            Some("tw-stripe"),
        ),
        term("spare", "free room beside and above all bodies", v.spare, false, "#ffffff", None),
    ]
}

impl Term {
    /// Paints its part of the bar.
    pub(super) fn paint(&self, svg: &mut Svg, a: Area) {
        let edge = format!("stroke=\"{EDGE}\" stroke-width=\"0.2\"");
        svg.rect(a, &format!("fill=\"{}\" {edge}", self.fill));
        if let Some(p) = self.pattern {
            svg.rect(a, &format!("fill=\"url(#{p})\" {edge}"));
        }
    }
}

/// Where each term lies along a bar of this length; negative terms take nothing.
fn stretches(terms: &[Term], long: f64) -> Vec<(f64, f64)> {
    let size = |t: &Term| t.volume.to_ml_f64().max(0.0);
    let total: f64 = terms.iter().map(size).sum();
    let mut at = 0.0;
    let mut out = Vec::with_capacity(terms.len());
    for t in terms {
        let take = if total > 0.0 { size(t) / total * long } else { 0.0 };
        out.push((at, take));
        at += take;
    }
    out
}

fn caption(t: &Term, v: &Volumes) -> String {
    format!("{} {}", t.name, words::percent_words(t.volume, v.interior))
}

/// A drawn bar: elements, width, height.
pub(super) type Bar = (String, f64, f64);

/// The bar lying, 178 mm long: it fits between the margins of A4 and Letter.
pub(super) fn lying(v: &Volumes) -> Bar {
    const LONG: f64 = 176.0;
    const THICK: f64 = 13.0;
    let terms = terms(v);
    let mut svg = Svg::new();
    let (x0, y0) = (1.0, 6.0);
    let ink = Ink { size: 2.6, fill: INK, bold: false };
    let mut below: Vec<(f64, f64, String)> = Vec::new();
    let stretches = stretches(&terms, LONG);
    for (t, &(at, take)) in terms.iter().zip(&stretches) {
        let a = Area::new(x0 + at, y0, take, THICK);
        if take > 0.0 {
            t.paint(&mut svg, a);
        }
        let text = caption(t, v);
        let inside = a.inset(0.8);
        // Only plain grounds carry text: letters on a pattern are hard to read.
        match fit(t.name, &words::percent_words(t.volume, v.interior), (inside.w, inside.h), 3.2) {
            Some(f) if t.pattern.is_none() && !f.turned => f.draw(&mut svg, inside),
            _ => below.push((at + take / 2.0, width(&text, ink.size, false) + 2.0, text)),
        }
    }
    bracket(&mut svg, &terms, &stretches, v, (x0, y0));
    let wanted: Vec<(f64, f64)> = below.iter().map(|(c, w, _)| (c - w / 2.0, *w)).collect();
    let y = y0 + THICK + 4.5;
    for ((centre, w, text), at) in below.iter().zip(spread(&wanted, LONG)) {
        let middle = x0 + at + w / 2.0;
        let pen = format!("stroke=\"{EDGE}\" stroke-width=\"0.16\"");
        svg.line((x0 + centre, y0 + THICK), (middle, y), &pen);
        let room = Area::new(x0 + at, y + 0.2, *w, ink.size * LINE);
        svg.text((middle, room.y + ink.size * RISE), Anchor::Middle, ink, room, text);
    }
    let full = wanted.iter().map(|w| w.1).sum::<f64>().max(LONG);
    (svg.into_inner(), full + 2.0, y + ink.size * LINE + 1.0)
}

/// Over the wasted terms: how much they are together.
fn bracket(svg: &mut Svg, terms: &[Term], stretches: &[(f64, f64)], v: &Volumes, (x0, y0): (f64, f64)) {
    let wasted: Vec<(f64, f64)> =
        terms.iter().zip(stretches).filter(|(t, _)| t.wasted).map(|(_, s)| *s).collect();
    let (Some(first), Some(last)) = (wasted.first(), wasted.last()) else { return };
    let (a, b) = (x0 + first.0, x0 + last.0 + last.1);
    let pen = format!("stroke=\"{EDGE}\" stroke-width=\"0.25\"");
    svg.line((a, y0 - 1.4), (b, y0 - 1.4), &pen);
    svg.line((a, y0 - 1.4), (a, y0 - 0.5), &pen);
    svg.line((b, y0 - 1.4), (b, y0 - 0.5), &pen);
    let text = format!("wasted {}", words::percent_words(v.wasted, v.interior));
    let ink = Ink { size: 2.8, fill: INK, bold: true };
    let w = width(&text, ink.size, true);
    let left = ((a + b - w) / 2.0).clamp(x0, (x0 + 176.0 - w).max(x0));
    let room = Area::new(left, y0 - 2.0 - ink.size * LINE, w, ink.size * LINE);
    svg.text((left, room.y + ink.size * RISE), Anchor::Start, ink, room, &text);
}

/// The bar standing, 84 mm wide with its labels: it fits a phone.
pub(super) fn standing(v: &Volumes) -> Bar {
    const LONG: f64 = 92.0;
    let terms = terms(v);
    let mut svg = Svg::new();
    let (x0, y0, thick) = (1.0, 1.0, 22.0);
    let row = 3.0 * LINE;
    let stretches = stretches(&terms, LONG);
    let wanted: Vec<(f64, f64)> =
        stretches.iter().map(|(at, take)| (at + take / 2.0 - row / 2.0, row)).collect();
    for ((t, &(at, take)), y) in terms.iter().zip(&stretches).zip(spread(&wanted, LONG)) {
        if take > 0.0 {
            t.paint(&mut svg, Area::new(x0, y0 + at, thick, take));
        }
        let middle = y0 + y + row / 2.0;
        let pen = format!("stroke=\"{EDGE}\" stroke-width=\"0.16\"");
        svg.line((x0 + thick, y0 + at + take / 2.0), (x0 + thick + 5.0, middle), &pen);
        let text = format!("{} · {} ml", caption(t, v), words::ml(t.volume));
        let ink = Ink { size: LEAST.max(2.8), fill: if t.wasted { INK } else { SOFT }, bold: false };
        let left = x0 + thick + 6.0;
        let room = Area::new(left, y0 + y, width(&text, ink.size, false), row);
        svg.text((left, y0 + y + ink.size * RISE + 0.1), Anchor::Start, ink, room, &text);
    }
    let tall = LONG.max(row * terms.len() as f64);
    let widest = terms
        .iter()
        .map(|t| width(&format!("{} · {} ml", caption(t, v), words::ml(t.volume)), 2.8, false))
        .fold(56.0, f64::max);
    (svg.into_inner(), x0 + thick + 7.0 + widest, tall + 2.0)
}

//! Every layer before and now, side by side; what has become of each tray by colour, pattern and word.

use super::{ALL, word};
use crate::draw::label::{LINE, RISE, fit, width, wrap_hard};
use crate::draw::palette::{BLUE, DEFS, EDGE, GREEN, INK, KEPT, SOFT, VERMILLION, YELLOW};
use crate::draw::svg::{Anchor, Area, Ink, Svg, document, num, plain};
use crate::draw::words::{Units, count};
use crate::place::Cuboid;
use crate::shop::{Became, Differences};

/// White around the picture, between its two columns, and over each layer for a heading.
const MARGIN: f64 = 8.0;
const GAP: f64 = 10.0;
const HEAD: f64 = 6.0;
/// Room beside the boxes for half of their outlines.
const RIM: f64 = 0.4;
/// Width of one box on paper at most, and height.
const WIDEST: f64 = 82.0;
const TALLEST: f64 = 90.0;

/// Fill and pattern over it.
fn look(became: Became) -> (&'static str, Option<&'static str>) {
    match became {
        Became::Stays => ("#f1f1f1", None),
        Became::Moves => ("#d3e9f7", Some("tw-dots")),
        Became::Altered => (YELLOW, None),
        Became::Afresh => ("#f3c9ad", Some("tw-stripe")),
        Became::Added => ("#bfe5d9", Some("tw-cross")),
        Became::Gone => ("#fff", Some("tw-cross")),
    }
}

fn edge(became: Became) -> &'static str {
    match became {
        Became::Stays => "#767676",
        Became::Moves => BLUE,
        Became::Altered => EDGE,
        Became::Afresh => VERMILLION,
        Became::Added => GREEN,
        Became::Gone => SOFT,
    }
}

/// The picture as an SVG file.
///
/// At the left the old plan, at the right the new one, layer by layer from the top down, both to one scale that is said.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let solved = |changes: &[(String, String)]| {
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let (old, new) = (solved(&[]), solved(&[("box.interior".into(), "[120, 90, 50]".into())]));
/// # let it = shop::differences((&old.0, &old.1), (&new.0, &new.1)).unwrap();
/// let picture = traywright::draw::differences_svg(&it);
/// assert!(picture.starts_with("<svg "));
/// assert!(picture.contains("<title>Quay: before and now</title>"));
/// ```
pub fn differences_svg(it: &Differences) -> String {
    let (inner, w, h) = drawn(it, WIDEST);
    let title = format!("{}: before and now", plain(&it.title));
    let about = format!("Sizes: width × depth × height, {}.", Units(it.unit).sign());
    let mut svg = Svg::new();
    let mut y = MARGIN;
    for (text, size, bold, fill) in [(&title, 5.2, true, INK), (&about, 3.2, false, SOFT)] {
        for line in wrap_hard(text, size, w, bold) {
            let ink = Ink { size, fill, bold };
            let room = Area::new(MARGIN, y, width(&line, size, bold), size * LINE);
            svg.text((MARGIN, y + size * RISE), Anchor::Start, ink, room, &line);
            y += size * LINE;
        }
        y += 1.0;
    }
    y += 2.0;
    svg.raw(&format!("<g transform=\"translate({} {})\">\n{inner}</g>\n", num(MARGIN), num(y)));
    let (wide, tall) = (w + 2.0 * MARGIN, y + h + MARGIN);
    let ground = format!("<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>\n", num(wide), num(tall));
    document(wide, tall, &title, &about, DEFS, &format!("{ground}{}", svg.into_inner()))
}

/// Elements, width and height of the drawing alone; each box at most so wide.
pub(super) fn drawn(it: &Differences, widest: f64) -> (String, f64, f64) {
    let mm = |s: crate::place::Size| (s.w.to_mm_f64(), s.d.to_mm_f64());
    let (a, b) = (mm(it.interior.0), mm(it.interior.1));
    let (w, d) = (a.0.max(b.0).max(1.0), a.1.max(b.1).max(1.0));
    let scale = (widest / w).min(TALLEST / d);
    let (wide, deep) = (w * scale, d * scale);
    let layers = it.heights.0.len().max(it.heights.1.len());
    let mut svg = Svg::new();
    let mut y = 0.0;
    for layer in (1..=layers).rev() {
        for now in [false, true] {
            let x = RIM + if now { wide + GAP } else { 0.0 };
            let heights = if now { &it.heights.1 } else { &it.heights.0 };
            let size = if now { b } else { a };
            heading(&mut svg, it, (x, y), wide, layer, now);
            if layer > heights.len() {
                continue;
            }
            let frame = Area::new(x, y + HEAD, size.0 * scale, size.1 * scale);
            svg.rect(frame, &format!("fill=\"#fff\" stroke=\"{EDGE}\" stroke-width=\"0.5\""));
            bodies(&mut svg, it, frame, scale, layer, now);
        }
        y += HEAD + deep + 4.0;
    }
    let (tall, legend) = legend(it, 2.0 * wide + GAP);
    svg.raw(&format!("<g transform=\"translate(0 {})\">\n{legend}</g>\n", num(y)));
    (svg.into_inner(), 2.0 * (wide + RIM) + GAP, y + tall)
}

fn heading(svg: &mut Svg, it: &Differences, (x, y): (f64, f64), wide: f64, layer: usize, now: bool) {
    let u = Units(it.unit);
    let heights = if now { &it.heights.1 } else { &it.heights.0 };
    let when = if now { "now" } else { "before" };
    let ink = Ink { size: 3.2, fill: INK, bold: now };
    let text = match heights.get(layer - 1) {
        Some(h) => {
            let whole = format!("Layer {layer} {when}, {} high", u.with_sign(*h));
            // Where there is no room for the height, it stands with every tray.
            let fits = width(&whole, ink.size, now) <= wide;
            if fits { whole } else { format!("Layer {layer} {when}") }
        }
        None => format!("No layer {layer} {when}"),
    };
    svg.text((x, y + 3.6), Anchor::Start, ink, Area::new(x, y, wide, HEAD), &text);
}

/// Everything that stands in a layer, seen from above: the front of the box below.
fn bodies(svg: &mut Svg, it: &Differences, frame: Area, scale: f64, layer: usize, now: bool) {
    let u = Units(it.unit);
    let area = |c: Cuboid| {
        let (w, d) = (c.size.w.to_mm_f64() * scale, c.size.d.to_mm_f64() * scale);
        Area::new(frame.x + c.at.x.to_mm_f64() * scale, frame.bottom() - c.at.y.to_mm_f64() * scale - d, w, d)
    };
    let (low, high) = span(if now { &it.heights.1 } else { &it.heights.0 }, layer);
    for body in &it.bodies {
        let Some(c) = (if now { body.new } else { body.old }) else { continue };
        let (bottom, top) = (c.at.z.to_mm_f64(), (c.at.z + c.size.h).to_mm_f64());
        // What lies over the layers is in none of them.
        if bottom + 1e-6 >= high || top <= low + 1e-6 {
            continue;
        }
        let a = area(c);
        svg.rect(a, &format!("fill=\"{KEPT}\" stroke=\"{}\" stroke-width=\"0.3\"", edge(body.became)));
        named(svg, a, &plain(&body.name), if body.became == Became::Moves && now { "moved" } else { "" });
    }
    for tray in it.trays.iter().filter(|t| !t.nested) {
        let (here, layers) = if now { (tray.new, &tray.new_layers) } else { (tray.old, &tray.old_layers) };
        let Some(c) = here.filter(|_| layers.contains(&layer)) else { continue };
        let a = area(c);
        // Before, everything is pale but what goes away: colours tell of the new plan.
        let became = if now || tray.became == Became::Gone { tray.became } else { Became::Stays };
        let (fill, pattern) = look(became);
        svg.rect(a, &format!("fill=\"{fill}\" stroke=\"{}\" stroke-width=\"0.6\"", edge(became)));
        if let Some(pattern) = pattern {
            svg.rect(a, &format!("fill=\"url(#{pattern})\" fill-opacity=\"0.35\""));
        }
        if now
            && let Some(old) = tray.old.filter(|o| o.at != c.at || o.size != c.size)
            && tray.old_layers == tray.new_layers
        {
            svg.rect(
                area(old),
                &format!("fill=\"none\" stroke=\"{INK}\" stroke-width=\"0.25\" stroke-dasharray=\"1.2 0.8\""),
            );
        }
        named(svg, a, &plain(&tray.tray), &u.size(c.size));
    }
}

/// Bottom and top of a layer in millimetres.
fn span(heights: &[crate::length::Length], layer: usize) -> (f64, f64) {
    let sum = |n: usize| heights.iter().take(n).map(|h| h.to_mm_f64()).sum::<f64>();
    (sum(layer.saturating_sub(1)), sum(layer))
}

/// A name and a size in a room, on a plate that keeps patterns away from the letters; the name alone where both are too
/// much.
fn named(svg: &mut Svg, a: Area, name: &str, size: &str) {
    let room = (a.w - 1.6, a.h - 1.6);
    let label = fit(name, size, room, 3.4).or_else(|| fit(name, "", room, 3.4));
    if let Some(label) = label {
        let taken = label.taken(a);
        let plate = Area::new(taken.x - 0.5, taken.y - 0.2, taken.w + 1.0, taken.h + 0.4);
        svg.rect(plate, "fill=\"#fff\" fill-opacity=\"0.82\"");
        label.draw(svg, a);
    }
}

/// What the colours mean, with how many trays each; its height and its elements.
fn legend(it: &Differences, wide: f64) -> (f64, String) {
    const SIZE: f64 = 3.0;
    let mut svg = Svg::new();
    let (mut x, mut y) = (0.0, 0.0);
    let outer = || it.trays.iter().filter(|t| !t.nested);
    let mut entries: Vec<(Became, String)> = Vec::new();
    for became in ALL {
        let n = outer().filter(|t| t.became == became).count();
        if n > 0 {
            entries.push((became, format!("{}: {}", word(became), count(n, "tray"))));
        }
    }
    for (became, text) in entries {
        let long = 9.0 + width(&text, SIZE, false) + 5.0;
        if x > 0.0 && x + long > wide {
            (x, y) = (0.0, y + SIZE * LINE + 1.6);
        }
        let swatch = Area::new(x + 0.2, y + 0.2, 7.0, 3.6);
        let (fill, pattern) = look(became);
        svg.rect(swatch, &format!("fill=\"{fill}\" stroke=\"{}\" stroke-width=\"0.5\"", edge(became)));
        if let Some(pattern) = pattern {
            svg.rect(swatch, &format!("fill=\"url(#{pattern})\" fill-opacity=\"0.35\""));
        }
        let ink = Ink { size: SIZE, fill: INK, bold: false };
        let room = Area::new(x + 9.0, y, width(&text, SIZE, false), SIZE * LINE);
        svg.text((x + 9.0, y + 0.2 + SIZE * RISE), Anchor::Start, ink, room, &text);
        x += long;
    }
    y += SIZE * LINE + 2.0;
    let note = "Dashed: where a tray of the same layer was. Grey without pattern, darker: kept items. The front of the box is below.";
    for line in wrap_hard(note, 2.8, wide, false) {
        let ink = Ink { size: 2.8, fill: SOFT, bold: false };
        let room = Area::new(0.0, y, width(&line, 2.8, false), 2.8 * LINE);
        svg.text((0.0, y + 2.8 * RISE), Anchor::Start, ink, room, &line);
        y += 2.8 * LINE;
    }
    (y, svg.into_inner())
}

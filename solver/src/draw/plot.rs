//! Points over one axis, each named in a column beside the picture.

use super::callout::spread;
use super::label::{LINE, RISE, width, wrap_hard};
use super::palette::{BLUE, EDGE, INK, SOFT};
use super::svg::{Anchor, Area, Ink, Svg, num};
use super::words::trimmed;

/// One point.
#[derive(Clone, Debug)]
pub(crate) struct Dot {
    /// What it is.
    pub(crate) name: String,
    /// Along the axis.
    pub(crate) x: f64,
    /// Above it.
    pub(crate) y: f64,
    /// Full where so, else hollow.
    pub(crate) full: bool,
}

const SIZE: f64 = 2.6;
const ROW: f64 = SIZE * LINE + 0.5;

/// Draws points into `wide` millimetres; `what` says what is above the axis, `along` what lies along it. Gives back
/// elements, width and height.
pub(crate) fn plot(what: &str, along: &str, dots: &[Dot], wide: f64) -> (String, f64, f64) {
    let mut svg = Svg::new();
    let ink = Ink { size: SIZE, fill: SOFT, bold: false };
    let write = |svg: &mut Svg, (x, y): (f64, f64), anchor: Anchor, ink: Ink<'_>, text: &str| {
        let w = width(text, SIZE, ink.bold);
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - w / 2.0,
            Anchor::End => x - w,
        };
        svg.text((x, y + SIZE * RISE), anchor, ink, Area::new(left, y, w, SIZE * LINE), text);
    };
    let most = dots.iter().map(|d| d.y).fold(0.0, f64::max);
    let top_text = trimmed(most, if most < 10.0 { 2 } else { 0 });
    let left = width(&top_text, SIZE, false).max(width("0", SIZE, false)) + 1.5;
    let names = (dots.iter().map(|d| width(&d.name, SIZE, false)).fold(0.0, f64::max)).min(wide * 0.42);
    let named: Vec<Vec<String>> =
        dots.iter().map(|d| wrap_hard(&d.name, SIZE, names.max(8.0) + 0.01, false)).collect();
    let tall = named.iter().map(|l| l.len() as f64 * ROW).sum::<f64>().max(34.0);
    let frame = Area::new(left, SIZE * LINE + 1.5, wide - left - names - 9.0, tall);
    write(&mut svg, (0.0, 0.0), Anchor::Start, Ink { fill: INK, bold: true, ..ink }, what);
    let pen = format!("stroke=\"{EDGE}\" stroke-width=\"0.25\"");
    svg.line((frame.x, frame.y), (frame.x, frame.bottom()), &pen);
    svg.line((frame.x, frame.bottom()), (frame.right(), frame.bottom()), &pen);
    let up = |y: f64| frame.bottom() - if most > 0.0 { y / most * (frame.h - 2.0) } else { 0.0 };
    write(&mut svg, (frame.x - 1.0, up(most) - SIZE * LINE / 2.0), Anchor::End, ink, &top_text);
    write(&mut svg, (frame.x - 1.0, frame.bottom() - SIZE * LINE), Anchor::End, ink, "0");
    let (lo, hi) = dots.iter().fold((f64::MAX, f64::MIN), |(lo, hi), d| (lo.min(d.x), hi.max(d.x)));
    let over = |x: f64| frame.x + 3.0 + if hi > lo { (x - lo) / (hi - lo) * (frame.w - 6.0) } else { 0.0 };
    let mut ticks: Vec<f64> = dots.iter().map(|d| d.x).collect();
    ticks.sort_by(f64::total_cmp);
    ticks.dedup();
    let mut free = f64::MIN;
    for x in ticks {
        let text = trimmed(x, 2);
        let half = width(&text, SIZE, false) / 2.0;
        svg.line((over(x), frame.bottom()), (over(x), frame.bottom() + 1.0), &pen);
        if over(x) - half > free {
            write(&mut svg, (over(x), frame.bottom() + 1.2), Anchor::Middle, ink, &text);
            free = over(x) + half + 1.0;
        }
    }
    let y = frame.bottom() + 1.2 + SIZE * LINE;
    write(&mut svg, (frame.x, y), Anchor::Start, ink, along);
    let mut order: Vec<usize> = (0..dots.len()).collect();
    order.sort_by(|&a, &b| match (dots.get(a), dots.get(b)) {
        (Some(a), Some(b)) => b.y.total_cmp(&a.y).then(a.x.total_cmp(&b.x)),
        _ => std::cmp::Ordering::Equal,
    });
    let of = |i: usize| Some((dots.get(i)?, named.get(i)?));
    let wanted: Vec<(f64, f64)> = order
        .iter()
        .filter_map(|&i| of(i))
        .map(|(d, lines)| (up(d.y) - frame.y - ROW / 2.0, lines.len() as f64 * ROW))
        .collect();
    let column = frame.right() + 7.0;
    for ((dot, lines), at) in order.iter().filter_map(|&i| of(i)).zip(spread(&wanted, tall)) {
        let (x, y) = (over(dot.x), up(dot.y));
        let text = frame.y + at;
        let thin = format!("stroke=\"{EDGE}\" stroke-width=\"0.12\"");
        svg.line((x + 1.3, y), (column - 1.0, text + ROW / 2.0), &thin);
        let fill = if dot.full { BLUE } else { "#fff" };
        svg.circle((x, y), 1.3, &format!("fill=\"{fill}\" stroke=\"{BLUE}\" stroke-width=\"{}\"", num(0.3)));
        for (k, line) in lines.iter().enumerate() {
            write(&mut svg, (column, text + k as f64 * ROW), Anchor::Start, Ink { fill: INK, ..ink }, line);
        }
    }
    (svg.into_inner(), wide, y + SIZE * LINE + 1.0)
}

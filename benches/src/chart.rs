//! Line charts as SVG: both axes start at zero and are linear, so that growth looks as it is.

use std::fmt::Write as _;

/// One line of a panel.
#[derive(Clone, Debug)]
pub struct Line {
    /// For the key.
    pub name: String,
    /// Points, x ascending.
    pub points: Vec<(f64, f64)>,
}

/// One chart.
#[derive(Clone, Debug)]
pub struct Panel {
    /// Above it.
    pub title: String,
    /// What runs along x, with its unit.
    pub x: String,
    /// What runs along y, with its unit.
    pub y: String,
    /// The lines, four at most told apart.
    pub lines: Vec<Line>,
    /// A level to be kept to, drawn as a dashed line where it lies within the axis.
    pub mark: Option<f64>,
}

const WIDTH: f64 = 340.0;
const HEIGHT: f64 = 230.0;
/// Room left, right, above and below the axes.
const MARGIN: (f64, f64, f64, f64) = (52.0, 14.0, 44.0, 38.0);
/// Told apart in grey too: lightness differs, and so do the marks.
const COLOURS: [&str; 4] = ["#1b4965", "#c8553d", "#5a9367", "#8f6fae"];

/// Panels side by side in rows of `columns`.
pub fn charts(panels: &[Panel], columns: usize) -> String {
    let columns = columns.max(1);
    let rows = panels.len().div_ceil(columns);
    let (w, h) = (WIDTH * columns as f64, HEIGHT * rows as f64);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"Helvetica, Arial, sans-serif\" font-size=\"11\" fill=\"#222\">\n\
         <rect width=\"{w}\" height=\"{h}\" fill=\"white\"/>\n"
    );
    for (i, panel) in panels.iter().enumerate() {
        let (x, y) = ((i % columns) as f64 * WIDTH, (i / columns) as f64 * HEIGHT);
        let _ = write!(out, "<g transform=\"translate({x} {y})\">\n{}</g>\n", drawn(panel));
    }
    out + "</svg>\n"
}

fn drawn(panel: &Panel) -> String {
    let (left, right, top, bottom) = MARGIN;
    let (w, h) = (WIDTH - left - right, HEIGHT - top - bottom);
    let all = || panel.lines.iter().flat_map(|l| l.points.iter());
    let (x_step, x_end) = axis(all().map(|p| p.0).fold(0.0, f64::max));
    let (y_step, y_end) = axis(all().map(|p| p.1).fold(0.0, f64::max));
    let place = |(x, y): (f64, f64)| (left + w * x / x_end, top + h - h * y / y_end);
    let mut out = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(out, "<text x=\"{left}\" y=\"16\" font-weight=\"700\">{}</text>", escaped(&panel.title));
    let mut at = 0.0;
    while at <= y_end * 1.0001 {
        let (_, y) = place((0.0, at));
        let _ = writeln!(
            out,
            "<path d=\"M{left} {y:.1}H{:.1}\" stroke=\"#ddd\"/><text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{}</text>",
            left + w,
            left - 5.0,
            y + 4.0,
            short(at)
        );
        at += y_step;
    }
    let mut at = 0.0;
    while at <= x_end * 1.0001 {
        let (x, _) = place((at, 0.0));
        let _ = writeln!(
            out,
            "<path d=\"M{x:.1} {:.1}v4\" stroke=\"#222\"/><text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>",
            top + h,
            top + h + 16.0,
            short(at)
        );
        at += x_step;
    }
    let _ = writeln!(
        out,
        "<path d=\"M{left} {top}V{:.1}H{:.1}\" fill=\"none\" stroke=\"#222\"/>\
         <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{}</text>\
         <text transform=\"translate(12 {:.1}) rotate(-90)\" text-anchor=\"middle\">{}</text>",
        top + h,
        left + w,
        left + w / 2.0,
        top + h + 31.0,
        escaped(&panel.x),
        top + h / 2.0,
        escaped(&panel.y)
    );
    if let Some(mark) = panel.mark.filter(|m| *m <= y_end) {
        let (_, y) = place((0.0, mark));
        let _ = writeln!(out, "<path d=\"M{left} {y:.1}h{w:.1}\" stroke=\"#222\" stroke-dasharray=\"5 3\"/>");
    }
    let mut key = left;
    for (line, colour) in panel.lines.iter().zip(COLOURS.iter().cycle()) {
        let points: Vec<(f64, f64)> = line.points.iter().map(|p| place(*p)).collect();
        let path: Vec<String> = points.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
        let _ = writeln!(
            out,
            "<polyline points=\"{}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"1.5\"/>",
            path.join(" ")
        );
        for (x, y) in points {
            let _ = writeln!(out, "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"2.6\" fill=\"{colour}\"/>");
        }
        let _ = writeln!(
            out,
            "<circle cx=\"{:.1}\" cy=\"28\" r=\"3.2\" fill=\"{colour}\"/><text x=\"{:.1}\" y=\"32\">{}</text>",
            key + 4.0,
            key + 11.0,
            escaped(&line.name)
        );
        key += 22.0 + 6.0 * line.name.chars().count() as f64;
    }
    out
}

/// Distance of ticks and end of an axis that reaches `most`: ticks at 1, 2 or 5 times a power of ten.
fn axis(most: f64) -> (f64, f64) {
    if !(most > 0.0 && most.is_finite()) {
        return (1.0, 1.0);
    }
    let power = 10f64.powf((most / 5.0).log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|m| m * power).into_iter().find(|s| most / s <= 5.0).unwrap_or(most);
    (step, (most / step).ceil() * step)
}

fn short(v: f64) -> String {
    let text = format!("{v:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

#[cfg(test)]
mod tests {
    use super::axis;

    #[test]
    fn axes_reach_what_they_show() {
        assert_eq!(axis(97.0), (20.0, 100.0));
        assert_eq!(axis(0.034), (0.01, 0.04));
        assert_eq!(axis(0.0), (1.0, 1.0));
    }
}

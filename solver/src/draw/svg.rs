//! Writing SVG: escaped text, numbers of fixed precision, the few elements that the pictures use.

use super::label;

/// Characters that XML allows; everything else (and what reorders text) would break a picture or hide a name.
fn allowed(c: char) -> bool {
    let control = c < ' ' || ('\u{7f}'..='\u{9f}').contains(&c);
    let reorders = matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    !control && !reorders && !matches!(c, '\u{fffe}' | '\u{ffff}')
}

/// Longer names are cut: nothing is readable beyond.
const LONGEST: usize = 160;

/// A name on one line: white space becomes single blanks, characters that cannot be drawn are dropped.
pub(crate) fn plain(text: &str) -> String {
    let mut out = one_line(text);
    if let Some((end, _)) = out.char_indices().nth(LONGEST) {
        out.truncate(end);
        out.push('…');
    }
    out
}

/// A text on one line, whole.
pub(super) fn one_line(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        let word: String = word.chars().filter(|&c| allowed(c)).collect();
        if word.is_empty() {
            continue;
        }
        if !out.is_empty() {
            out.push(' ');
        }
        out.push_str(&word);
    }
    out
}

/// Text safe inside elements and double-quoted attributes of both HTML and SVG.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\n' | '\t' => out.push(' '),
            c if allowed(c) => out.push(c),
            _ => {}
        }
    }
    out
}

/// Pictures end here, so that a hostile plan cannot write endless digits.
const FARTHEST: f64 = 1e8;

/// A number with at most two decimals (0.01 mm on paper), the same bytes on every machine.
pub(super) fn num(v: f64) -> String {
    let v = if v.is_finite() { v.clamp(-FARTHEST, FARTHEST) } else { 0.0 };
    let mut s = format!("{v:.2}");
    while s.ends_with('0') {
        s.pop();
    }
    if s.ends_with('.') {
        s.pop();
    }
    if s == "-0" { "0".into() } else { s }
}

/// A rectangle on paper, millimetres, y down.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub(super) struct Area {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) w: f64,
    pub(super) h: f64,
}

impl Area {
    pub(super) fn new(x: f64, y: f64, w: f64, h: f64) -> Area {
        Area { x, y, w: w.max(0.0), h: h.max(0.0) }
    }
    pub(super) fn right(&self) -> f64 {
        self.x + self.w
    }
    pub(super) fn bottom(&self) -> f64 {
        self.y + self.h
    }
    pub(super) fn middle(&self) -> (f64, f64) {
        (self.x + self.w / 2.0, self.y + self.h / 2.0)
    }
    /// Smaller by `by` on all sides.
    pub(super) fn inset(&self, by: f64) -> Area {
        Area::new(self.x + by, self.y + by, self.w - 2.0 * by, self.h - 2.0 * by)
    }
    pub(super) fn overlaps(&self, o: &Area) -> bool {
        self.x < o.right() && o.x < self.right() && self.y < o.bottom() && o.y < self.bottom()
    }
}

/// Where a text stands relative to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ink<'a> {
    pub(super) size: f64,
    pub(super) fill: &'a str,
    pub(super) bold: bool,
}

/// A picture being written.
#[derive(Clone, Debug, Default)]
pub(super) struct Svg {
    out: String,
}

impl Svg {
    pub(super) fn new() -> Svg {
        Svg::default()
    }

    /// Anything already written as SVG.
    pub(super) fn raw(&mut self, text: &str) {
        self.out.push_str(text);
    }

    /// A rectangle; `style` holds further attributes.
    pub(super) fn rect(&mut self, a: Area, style: &str) {
        let (x, y, w, h) = (num(a.x), num(a.y), num(a.w), num(a.h));
        self.out.push_str(&format!("<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" {style}/>\n"));
    }

    /// A frame: everything of `outer` that is not in `inner`.
    pub(super) fn frame(&mut self, outer: Area, inner: Area, style: &str) {
        let corner = |a: Area| {
            format!("M{} {}H{}V{}H{}Z", num(a.x), num(a.y), num(a.right()), num(a.bottom()), num(a.x))
        };
        self.out.push_str(&format!(
            "<path fill-rule=\"evenodd\" d=\"{}{}\" {style}/>\n",
            corner(outer),
            corner(inner)
        ));
    }

    /// A straight line.
    pub(super) fn line(&mut self, from: (f64, f64), to: (f64, f64), style: &str) {
        let (a, b, c, d) = (num(from.0), num(from.1), num(to.0), num(to.1));
        self.out.push_str(&format!("<line x1=\"{a}\" y1=\"{b}\" x2=\"{c}\" y2=\"{d}\" {style}/>\n"));
    }

    /// A closed polygon.
    pub(super) fn polygon(&mut self, points: &[(f64, f64)], style: &str) {
        let p: Vec<String> = points.iter().map(|p| format!("{},{}", num(p.0), num(p.1))).collect();
        self.out.push_str(&format!("<polygon points=\"{}\" {style}/>\n", p.join(" ")));
    }

    /// A circle.
    pub(super) fn circle(&mut self, (x, y): (f64, f64), r: f64, style: &str) {
        let (x, y, r) = (num(x), num(y), num(r.max(0.0)));
        self.out.push_str(&format!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\" {style}/>\n"));
    }

    /// One line of text with its baseline at `at`. `room` is where it must stay; checks read it back.
    pub(super) fn text(&mut self, at: (f64, f64), anchor: Anchor, ink: Ink<'_>, room: Area, text: &str) {
        self.text_turned(at, anchor, ink, room, text, false);
    }

    /// The same, read from below upwards where `turned`.
    pub(super) fn text_turned(
        &mut self,
        at: (f64, f64),
        anchor: Anchor,
        ink: Ink<'_>,
        room: Area,
        text: &str,
        turned: bool,
    ) {
        let (x, y) = (num(at.0), num(at.1));
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let bold = if ink.bold { " font-weight=\"700\"" } else { "" };
        let turn = if turned { format!(" transform=\"rotate(-90 {x} {y})\"") } else { String::new() };
        // A script that the width table does not know is pressed into the room that was counted for it.
        let press = if label::known(text) {
            String::new()
        } else {
            format!(
                " textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"",
                num(label::width(text, ink.size, ink.bold))
            )
        };
        let (rx, ry, rw, rh) = (num(room.x), num(room.y), num(room.w), num(room.h));
        self.out.push_str(&format!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{}\"{anchor}{bold}{turn}{press} data-box=\"{rx} {ry} {rw} {rh}\">{}</text>\n",
            num(ink.size),
            ink.fill,
            escape(text)
        ));
    }

    /// What has been written so far, without an outer element.
    pub(super) fn into_inner(self) -> String {
        self.out
    }
}

/// Fonts that are on the usual systems; the width table is an upper bound for all of them.
pub(super) const FONTS: &str = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif";

/// A whole picture of `w` × `h` millimetres, its user unit one millimetre.
pub(super) fn document(w: f64, h: f64, title: &str, description: &str, defs: &str, inner: &str) -> String {
    let (w, h) = (num(w), num(h));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" \
         font-family=\"{FONTS}\" role=\"img\">\n<title>{}</title>\n<desc>{}</desc>\n{defs}{inner}</svg>\n",
        escape(title),
        escape(description)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_out_of_a_picture() {
        assert_eq!(escape("a<b>&\"c'\u{0}\u{202e}d"), "a&lt;b&gt;&amp;&quot;c&#39;d");
        assert_eq!(plain("  two\n\twords\u{7} \u{1} "), "two words");
    }

    #[test]
    fn numbers_are_short_and_finite() {
        assert_eq!(num(1.0), "1");
        assert_eq!(num(-0.001), "0");
        assert_eq!(num(2.5), "2.5");
        assert_eq!(num(f64::NAN), "0");
        assert_eq!(num(f64::INFINITY), "0");
        assert_eq!(num(-1e300), "-100000000");
    }
}

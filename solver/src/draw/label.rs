//! Fitting labels into their rooms: how wide a text can be at most, wrapping on words, turning.

use super::palette::{INK, SOFT};
use super::svg::{Anchor, Area, Ink, Svg};

/// Least size of text on paper: 7 pt = 7 × 25.4 / 72 mm, rounded up.
pub(super) const LEAST: f64 = 2.47;

/// Height of a line in em: no usual sans-serif face is taller (DejaVu Sans 0.928 + 0.236).
pub(super) const LINE: f64 = 1.2;

/// From the top of a line to its baseline, em.
pub(super) const RISE: f64 = 0.945;

/// Widths of U+0020 to U+007E in thousandths of an em, regular: the greatest of DejaVu Sans 2.37 and
/// Liberation Sans 2.1 (whose widths are those of Arial and Helvetica), read from the fonts' `hmtx` tables.
const REGULAR: [u16; 95] = [
    318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, 637, 637, 637, 637, 637,
    637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 557, 1016, 685, 687, 723, 771, 667, 611, 778, 752, 295,
    500, 667, 558, 863, 749, 788, 667, 788, 723, 667, 611, 732, 685, 989, 686, 667, 686, 391, 337, 391, 838,
    557, 500, 613, 635, 550, 635, 616, 353, 635, 634, 278, 278, 580, 278, 975, 634, 612, 635, 635, 412, 521,
    393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838,
];

/// The same in bold.
const BOLD: [u16; 95] = [
    349, 457, 521, 838, 696, 1002, 873, 307, 458, 458, 523, 838, 380, 416, 380, 366, 696, 696, 696, 696, 696,
    696, 696, 696, 696, 696, 400, 400, 838, 838, 838, 611, 1000, 774, 763, 734, 831, 684, 684, 821, 837, 373,
    557, 775, 638, 996, 837, 851, 733, 851, 771, 721, 683, 813, 774, 1104, 771, 725, 726, 458, 366, 458, 838,
    557, 500, 675, 716, 593, 716, 679, 436, 716, 712, 343, 343, 666, 343, 1042, 712, 688, 716, 716, 494, 596,
    479, 712, 652, 924, 646, 652, 583, 712, 366, 712, 838,
];

/// Upper bound of one character's width in thousandths of an em; the flag says that it is only an estimate.
fn character(c: char, bold: bool) -> (u16, bool) {
    let code = u32::from(c);
    if (0x20..=0x7e).contains(&code) {
        let table = if bold { &BOLD } else { &REGULAR };
        return (table.get((code - 0x20) as usize).copied().unwrap_or(1020), false);
    }
    // Latin with accents (U+00C0 to U+017F): the greatest width of the group in both faces.
    let (width, sure) = match c {
        '\u{300}'..='\u{36f}' => (0, true),
        'æ' | 'Æ' | 'œ' | 'Œ' | 'Ŵ' => (1170, true),
        'ŵ' | 'ŉ' | 'Ħ' | 'ħ' => (990, true),
        '\u{c0}'..='\u{17f}' if c.is_uppercase() => (860, true),
        '×' | '÷' => (840, true),
        '\u{c0}'..='\u{17f}' => (720, true),
        '½' | '¼' | '¾' => (1040, true),
        '·' | '‘' | '’' | '‚' => (385, true),
        '–' => (560, true),
        '°' => (505, true),
        '…' | '—' => (1005, true),
        '“' | '”' | '„' => (565, true),
        '\u{a0}' => (349, true),
        // Greek and Cyrillic alphabets in common use, as their Latin neighbours: greatest width of a group.
        'Щ' | 'щ' | 'Ш' | 'ш' | 'Ж' | 'Ю' | 'Љ' | 'Њ' => (1330, true),
        'Ы' | 'М' | 'Ф' | 'Ъ' | 'Ц' | 'Μ' | 'ж' | 'ф' | 'ю' | 'ы' | 'љ' | 'њ' => (1040, true),
        '\u{391}'..='\u{3ab}' | '\u{400}'..='\u{42f}' | 'ω' | 'ώ' | 'м' | 'д' => (895, true),
        '\u{3ac}'..='\u{3ce}' => (800, true),
        '\u{430}'..='\u{45f}' => (755, true),
        // Only guessed, and pressed to fit: Hebrew and Arabic, Asian scripts (one em), all that is left.
        '\u{590}'..='\u{6ff}' => (690, false),
        _ if (0x2e80..0xfb00).contains(&code) => (1000, false),
        _ if code >= 0x1f000 => (1250, false),
        _ => (1050, false),
    };
    (width, !sure)
}

/// Whether every character's width is known from the table.
pub(super) fn known(text: &str) -> bool {
    !text.chars().any(|c| character(c, false).1)
}

/// Screens round the advance of small letters to their pixels; a fiftieth more covers it.
const ROUNDING: f64 = 1.02;

/// The greatest width of a text, in the unit of `size`.
pub(super) fn width(text: &str, size: f64, bold: bool) -> f64 {
    text.chars().map(|c| f64::from(character(c, bold).0)).sum::<f64>() * size * ROUNDING / 1000.0
}

/// Pieces between which a line may break: blanks (dropped), and after hyphens and strokes (kept).
fn pieces(text: &str) -> Vec<(String, bool)> {
    let mut out = Vec::new();
    for word in text.split(' ').filter(|w| !w.is_empty()) {
        let mut rest = word;
        let mut first = true;
        while let Some(i) = rest.find(['-', '/', '_', ',', ';']).filter(|&i| i > 0 && i + 1 < rest.len()) {
            let (a, b) = rest.split_at(i + 1);
            out.push((a.to_string(), first));
            (rest, first) = (b, false);
        }
        out.push((rest.to_string(), first));
    }
    out
}

/// Lines of at most `room` width, broken between words only; `None` where a word is wider.
pub(super) fn wrap(text: &str, size: f64, room: f64, bold: bool) -> Option<Vec<String>> {
    let pieces = pieces(text);
    let fill = |room: f64| -> Option<Vec<String>> {
        let mut lines: Vec<String> = Vec::new();
        for (piece, blank) in &pieces {
            if let Some(last) = lines.last_mut() {
                let joined = if *blank { format!("{last} {piece}") } else { format!("{last}{piece}") };
                if width(&joined, size, bold) <= room {
                    *last = joined;
                    continue;
                }
            }
            if width(piece, size, bold) > room {
                return None;
            }
            lines.push(piece.clone());
        }
        Some(lines)
    };
    let widest = fill(room)?;
    if widest.len() < 2 {
        return Some(widest);
    }
    // As many lines, but even: the narrowest room that does not ask for one more.
    for tenth in 5..10 {
        if let Some(even) = fill(room * f64::from(tenth) / 10.0).filter(|l| l.len() == widest.len()) {
            return Some(even);
        }
    }
    Some(widest)
}

/// Lines for lists: like [`wrap`], but a word wider than the room is cut.
pub(super) fn wrap_hard(text: &str, size: f64, room: f64, bold: bool) -> Vec<String> {
    if let Some(lines) = wrap(text, size, room, bold) {
        return lines;
    }
    let mut lines = vec![String::new()];
    for c in text.chars() {
        let full = lines.last().is_some_and(|l| {
            !l.is_empty() && width(l, size, bold) + width(c.encode_utf8(&mut [0; 4]), size, bold) > room
        });
        if full {
            lines.push(String::new());
        }
        if let Some(last) = lines.last_mut() {
            last.push(c);
        }
    }
    lines.iter().map(|l| l.trim().to_string()).filter(|l| !l.is_empty()).collect()
}

/// A label that fits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fit {
    /// Size of the name, mm on paper.
    pub(super) size: f64,
    /// Read from below upwards.
    pub(super) turned: bool,
    /// Lines with their size; the flag marks the smaller second text.
    lines: Vec<(String, f64, bool)>,
}

/// Steps of a label's size.
const STEP: f64 = 0.16;

/// A turned label must be this much larger than a level one to be worth turning one's head.
const WORTH_TURNING: f64 = 1.5;

/// The largest label of a name and a second text (sizes) that fits a room of `w` × `h`.
pub(super) fn fit(name: &str, second: &str, (w, h): (f64, f64), most: f64) -> Option<Fit> {
    let level = fit_level(name, second, (w, h), most);
    if level.as_ref().is_some_and(|l| l.size * WORTH_TURNING >= most) {
        return level;
    }
    let turned = fit_level(name, second, (h, w), most).map(|f| Fit { turned: true, ..f });
    match (level, turned) {
        (Some(l), Some(t)) if t.size > l.size * WORTH_TURNING => Some(t),
        (Some(l), _) => Some(l),
        (None, t) => t,
    }
}

fn fit_level(name: &str, second: &str, (w, h): (f64, f64), most: f64) -> Option<Fit> {
    let steps = ((most - LEAST) / STEP).ceil().max(0.0) as usize;
    for k in (0..=steps).rev() {
        let size = (LEAST + STEP * k as f64).min(most.max(LEAST));
        let small = (size * 0.8).max(LEAST);
        let (Some(names), Some(seconds)) = (wrap(name, size, w, false), wrap(second, small, w, false)) else {
            continue;
        };
        if (names.len() as f64 * size + seconds.len() as f64 * small) * LINE <= h {
            let mut lines: Vec<_> = names.into_iter().map(|l| (l, size, false)).collect();
            lines.extend(seconds.into_iter().map(|l| (l, small, true)));
            return Some(Fit { size, turned: false, lines });
        }
    }
    None
}

impl Fit {
    /// The rectangle that the letters take in the middle of a room.
    pub(super) fn taken(&self, room: Area) -> Area {
        let long = self.lines.iter().map(|(t, size, _)| width(t, *size, false)).fold(0.0, f64::max);
        let tall: f64 = self.lines.iter().map(|l| l.1 * LINE).sum();
        let (w, h) = if self.turned { (tall, long) } else { (long, tall) };
        let (cx, cy) = room.middle();
        Area::new(cx - w / 2.0, cy - h / 2.0, w, h)
    }

    /// Writes the label into the middle of its room.
    pub(super) fn draw(&self, svg: &mut Svg, room: Area) {
        let (cx, cy) = room.middle();
        let total: f64 = self.lines.iter().map(|l| l.1 * LINE).sum();
        let mut along = -total / 2.0;
        for (text, size, is_second) in &self.lines {
            let ink = Ink { size: *size, fill: if *is_second { SOFT } else { INK }, bold: false };
            let base = along + size * RISE;
            let at = if self.turned { (cx + base, cy) } else { (cx, cy + base) };
            svg.text_turned(at, Anchor::Middle, ink, room, text, self.turned);
            along += size * LINE;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn widths_are_those_of_the_wider_face() {
        // DejaVu Sans advances at 1000 units: n 634, i 278, m 975 (hmtx table of version 2.37, rounded up).
        assert!((width("nim", 1.0, false) / ROUNDING - 1.887).abs() < 1e-9);
        assert!(known("Würfel ½ × 3") && !known("灯台"));
        assert_eq!(width("e\u{301}", 1.0, false), width("e", 1.0, false));
    }

    #[test]
    fn lines_break_between_words_and_never_inside() {
        assert_eq!(wrap("mail sacks", 1.0, 20.0, false).unwrap(), ["mail sacks"]);
        assert_eq!(wrap("mail sacks", 1.0, 3.5, false).unwrap(), ["mail", "sacks"]);
        assert_eq!(wrap("odds-and-ends", 1.0, 3.2, false).unwrap(), ["odds-", "and-", "ends"]);
        assert_eq!(wrap("lighthouse", 1.0, 3.0, false), None);
        assert!(wrap_hard("lighthouse", 1.0, 3.0, false).iter().all(|l| width(l, 1.0, false) <= 3.0));
    }

    #[test]
    fn a_tall_narrow_room_turns_its_label() {
        let f = fit("harbour dues", "20 × 80 × 30", (9.0, 60.0), 4.0).unwrap();
        assert!(f.turned && f.size >= LEAST);
        assert!(!fit("harbour dues", "", (60.0, 9.0), 4.0).unwrap().turned);
        assert_eq!(fit("harbour dues", "", (3.0, 3.0), 4.0), None);
        assert!(fit("x", "", (-1.0, f64::NAN), 4.0).is_none());
    }
}

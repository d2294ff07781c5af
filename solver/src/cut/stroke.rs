//! Letters of single strokes, for names that are engraved: no font is needed to draw them anywhere.

use crate::length::Length;
use crate::panel::{Mark, Spot};

/// Width of a letter and the step to the next, in sixths of its height.
const STEP: i64 = 6;
const WIDE: i64 = 4;

/// Lower letters cannot be read in burnt wood (common practice, no source).
const LEAST: Length = Length::mm(2);

/// The strokes of a character on a grid 4 wide and 6 high: points of two digits, x and y, strokes parted by commas.
fn strokes(c: char) -> Option<&'static str> {
    Some(match c {
        ' ' => "",
        'A' => "00 26 40,12 32",
        'B' => "00 06 36 45 44 33 03,33 42 41 30 00",
        'C' => "45 36 16 05 01 10 30 41",
        'D' => "00 06 26 44 42 20 00",
        'E' => "46 06 00 40,03 33",
        'F' => "46 06 00,03 33",
        'G' => "45 36 16 05 01 10 30 41 43 23",
        'H' => "00 06,40 46,03 43",
        'I' => "16 36,26 20,10 30",
        'J' => "46 41 30 10 01",
        'K' => "00 06,46 02,13 40",
        'L' => "06 00 40",
        'M' => "00 06 23 46 40",
        'N' => "00 06 40 46",
        'O' => "16 05 01 10 30 41 45 36 16",
        'P' => "00 06 36 45 44 33 03",
        'Q' => "16 05 01 10 30 41 45 36 16,22 40",
        'R' => "00 06 36 45 44 33 03,23 40",
        'S' => "45 36 16 05 04 13 33 42 41 30 10 01",
        'T' => "06 46,26 20",
        'U' => "06 01 10 30 41 46",
        'V' => "06 20 46",
        'W' => "06 10 23 30 46",
        'X' => "00 46,06 40",
        'Y' => "06 23 46,23 20",
        'Z' => "06 46 00 40",
        '0' => "16 05 01 10 30 41 45 36 16,11 35",
        '1' => "04 26 20,10 30",
        '2' => "05 16 36 45 44 00 40",
        '3' => "05 16 36 45 44 33 23,33 42 41 30 10 01",
        '4' => "30 36 02 42",
        '5' => "46 06 03 33 42 41 30 10 01",
        '6' => "45 36 16 05 01 10 30 41 42 33 13 02",
        '7' => "06 46 10",
        '8' => "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
        '9' => "01 10 30 41 45 36 16 05 04 13 33 44",
        '-' => "13 33",
        '+' => "03 43,21 25",
        '.' => "20 21",
        ',' => "21 10",
        '\'' => "26 24",
        '#' => "10 16,30 36,02 42,04 44",
        '/' => "00 46",
        '&' => "40 05 16 25 02 01 10 20 42",
        '(' => "36 24 22 30",
        ')' => "16 24 22 10",
        ':' => "24 24,21 21",
        _ => return None,
    })
}

/// A capital without its accent, or nothing where no stroke letter stands for it.
fn plain(c: char) -> impl Iterator<Item = char> {
    let folded: Vec<char> = match c {
        'ß' => vec!['S', 'S'],
        'Æ' | 'æ' => vec!['A', 'E'],
        'Œ' | 'œ' => vec!['O', 'E'],
        '’' | '‘' => vec!['\''],
        '–' | '—' | '·' => vec!['-'],
        '›' => vec!['/'],
        c => c
            .to_uppercase()
            .map(|c| match c {
                'À'..='Å' | 'Ā' | 'Ă' | 'Ą' => 'A',
                'Ç' | 'Ć' | 'Č' => 'C',
                'È'..='Ë' | 'Ē' | 'Ę' | 'Ě' => 'E',
                'Ì'..='Ï' | 'Ī' => 'I',
                'Ñ' | 'Ń' | 'Ň' => 'N',
                'Ò'..='Ö' | 'Ø' | 'Ō' | 'Ő' => 'O',
                'Ù'..='Ü' | 'Ū' | 'Ů' | 'Ű' => 'U',
                'Ý' | 'Ÿ' => 'Y',
                'Ś' | 'Š' | 'Ş' => 'S',
                'Ź' | 'Ż' | 'Ž' => 'Z',
                'Ł' => 'L',
                other => other,
            })
            .collect(),
    };
    folded.into_iter()
}

/// The strokes of a line of text: its middle, and the height of its letters, lowered so that it is no longer than
/// `most`. Characters without strokes are left out; nothing at all where letters would be too low to read.
///
/// ```
/// use traywright::cut::stroke::strokes_of;
/// use traywright::length::Length;
/// use traywright::panel::Spot;
/// let middle = Spot { x: Length::mm(50), y: Length::mm(10) };
/// let lines = strokes_of("fog", middle, Length::mm(6), Length::mm(100));
/// // F, O and G: two strokes and one and one; 16 sixths of the height wide.
/// assert_eq!(lines.len(), 4);
/// assert_eq!(lines[0][1], Spot { x: Length::mm(42), y: Length::mm(13) });
/// ```
pub fn strokes_of(text: &str, middle: Spot, height: Length, most: Length) -> Vec<Vec<Spot>> {
    let letters: Vec<&str> = text.chars().flat_map(plain).filter_map(strokes).collect();
    let count = letters.len() as i64;
    if letters.iter().all(|l| l.is_empty()) {
        return Vec::new();
    }
    let across = count * STEP - (STEP - WIDE);
    let height = height.min(most * 6 / across);
    if height < LEAST {
        return Vec::new();
    }
    let unit = height / 6;
    let left = middle - Spot { x: unit * across / 2, y: unit * 3 };
    let mut out = Vec::new();
    for (k, letter) in (0..).zip(&letters) {
        for stroke in letter.split(',').filter(|s| !s.is_empty()) {
            let points = stroke.split(' ').filter_map(|p| {
                let n: i64 = p.parse().ok()?;
                Some(left + Spot { x: unit * (n / 10 + k * STEP), y: unit * (n % 10) })
            });
            out.push(points.collect());
        }
    }
    out
}

/// How long a line of text is whose letters have this height.
pub(crate) fn width_of(text: &str, height: Length) -> Length {
    let count = text.chars().flat_map(plain).filter_map(strokes).count() as i64;
    // Rounded up, so that the letters keep their height within it.
    height / 6 * (count * STEP - (STEP - WIDE)).max(0) + Length::um(1)
}

/// The strokes of a panel's mark.
pub(crate) fn mark_strokes(mark: &Mark) -> Vec<Vec<Spot>> {
    strokes_of(&mark.text, mark.middle, mark.height, mark.most)
}

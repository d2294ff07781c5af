//! Lengths and volumes as people read them: rounded where a maker could not measure the rest.
//!
//! Files carry exact decimals ([`Length::decimal`]); this is for reports and messages.

use super::{Length, Unit, Volume};

impl Length {
    /// For reading, with its unit: mm to 0.01 and cm to 0.001 with trailing zeros dropped; inches as
    /// a fraction where the length is a whole number of 64ths, else to 0.001.
    ///
    /// ```
    /// use traywright::length::{Length, Unit};
    /// assert_eq!(Length::um(63_500).show(Unit::Millimetre), "63.5 mm");
    /// assert_eq!(Length::um(63_500).show(Unit::Inch), "2 1/2 in");
    /// assert_eq!(Length::mm(3).show(Unit::Inch), "0.118 in");
    /// ```
    pub fn show(self, unit: Unit) -> String {
        format!("{} {}", self.show_number(unit), unit.name())
    }

    /// The same without the unit, for tables that name it once.
    pub fn show_number(self, unit: Unit) -> String {
        let nm = i128::from(self.nm());
        match unit {
            Unit::Millimetre => trimmed(fixed(nm, 10_000, 2)),
            Unit::Centimetre => trimmed(fixed(nm, 10_000, 3)),
            Unit::Inch => inches(nm).unwrap_or_else(|| fixed(nm, unit.nm() / 1000, 3)),
        }
    }
}

impl Volume {
    /// For reading: millilitres with one decimal, halves away from zero.
    ///
    /// ```
    /// use traywright::length::{Unit, parse_volume};
    /// let jigger = parse_volume("1 1/2 fl oz", Unit::Inch).unwrap();
    /// assert_eq!(jigger.show_ml(), "44.4 ml");
    /// ```
    pub fn show_ml(self) -> String {
        format!("{} ml", fixed(self.nm3(), 10i128.pow(20), 1))
    }
}

/// `value / step` to the nearest whole number (halves away from zero), written with `places` decimals.
fn fixed(value: i128, step: i128, places: usize) -> String {
    let (size, step) = (value.unsigned_abs(), step.unsigned_abs());
    let steps = size / step + u128::from(size % step >= step - size % step);
    let digits = format!("{steps:0width$}", width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let sign = if value < 0 && steps > 0 { "-" } else { "" };
    format!("{sign}{whole}.{part}")
}

fn trimmed(text: String) -> String {
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A whole number of 64ths as a mixed number in lowest terms.
fn inches(nm: i128) -> Option<String> {
    let sixty_fourth = Unit::Inch.nm() / 64;
    if nm % sixty_fourth != 0 {
        return None;
    }
    let count = (nm / sixty_fourth).unsigned_abs();
    let sign = if nm < 0 { "-" } else { "" };
    let (whole, mut over, mut under) = (count / 64, count % 64, 64);
    while over % 2 == 0 && under > 1 {
        (over, under) = (over / 2, under / 2);
    }
    Some(match (whole, over) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}{over}/{under}"),
        _ => format!("{sign}{whole} {over}/{under}"),
    })
}

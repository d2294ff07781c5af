//! Decimal numbers as they were written, kept exact.

/// Digits beyond this are refused: no measure needs them, and they would only cost time.
const MOST_DIGITS: usize = 60;

/// Whether a digit, a comma and a digit follow each other anywhere.
pub(crate) fn has_decimal_comma(text: &str) -> bool {
    text.as_bytes().windows(3).any(|w| matches!(w, [a, b',', c] if a.is_ascii_digit() && c.is_ascii_digit()))
}

/// Why a text is no plain decimal number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NotPlain {
    /// It is no number at all.
    NoNumber,
    /// It is infinite, or "not a number".
    NotFinite,
    /// It has more digits than any measure needs.
    TooLong,
}

/// Writes a number out in plain decimals: an exponent is resolved, a plus sign dropped.
///
/// ```text
/// 1.5e2 -> 150      +3 -> 3      .5 -> 0.5
/// ```
pub(crate) fn plain(text: &str) -> Result<String, NotPlain> {
    let text = text.trim();
    let (sign, rest) = match text.as_bytes().first() {
        Some(b'-') => ("-", text.get(1..).unwrap_or("")),
        Some(b'+') => ("", text.get(1..).unwrap_or("")),
        _ => ("", text),
    };
    if matches!(rest.to_ascii_lowercase().as_str(), "inf" | "nan" | "infinity") {
        return Err(NotPlain::NotFinite);
    }
    let (mantissa, exponent) = match rest.split_once(['e', 'E']) {
        Some((m, e)) => (m, e.parse::<i64>().map_err(|_| NotPlain::NoNumber)?),
        None => (rest, 0),
    };
    let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let digits = format!("{whole}{part}");
    if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
        return Err(NotPlain::NoNumber);
    }
    if digits.len() > MOST_DIGITS || exponent.unsigned_abs() > MOST_DIGITS as u64 {
        return Err(NotPlain::TooLong);
    }
    // Where the point stands among the digits, which may be before the first or after the last of them.
    let point = i64::try_from(whole.len()).unwrap_or(0) + exponent;
    let (whole, part) = if point <= 0 {
        (String::new(), format!("{}{digits}", "0".repeat(point.unsigned_abs() as usize)))
    } else if point as usize >= digits.len() {
        let zeros = point as usize - digits.len();
        (format!("{digits}{}", "0".repeat(zeros)), String::new())
    } else {
        let (a, b) = digits.split_at(point as usize);
        (a.to_owned(), b.to_owned())
    };
    let whole = whole.trim_start_matches('0');
    let part = part.trim_end_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    Ok(if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") })
}

/// A number times ten to the power of `places`, rounded to the nearest whole number (halves away from zero).
pub(crate) fn fixed(text: &str, places: usize) -> Result<i128, NotPlain> {
    let plain = plain(text)?;
    let (negative, digits) = plain.strip_prefix('-').map_or((false, plain.as_str()), |d| (true, d));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let mut value: i128 = 0;
    let push = |value: i128, d: u8| value.checked_mul(10)?.checked_add(i128::from(d - b'0'));
    for d in whole.bytes().chain(part.bytes().chain(std::iter::repeat(b'0')).take(places)) {
        value = push(value, d).ok_or(NotPlain::TooLong)?;
    }
    if part.as_bytes().get(places).is_some_and(|d| *d >= b'5') {
        value += 1;
    }
    Ok(if negative { -value } else { value })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exponents_are_written_out() {
        for (from, to) in [
            ("1.5e2", "150"),
            ("+3", "3"),
            (".5", "0.5"),
            ("25e-3", "0.025"),
            ("1.25e1", "12.5"),
            ("-0.30", "-0.3"),
            ("007", "7"),
            ("0", "0"),
        ] {
            assert_eq!(plain(from).as_deref(), Ok(to), "{from}");
        }
        assert_eq!(plain("inf"), Err(NotPlain::NotFinite));
        assert_eq!(plain("-nan"), Err(NotPlain::NotFinite));
        assert_eq!(plain("1e99999999"), Err(NotPlain::TooLong));
        for no in ["", "-", "e5", "1.2.3", "12a", "1e", "--1", "0x10"] {
            assert_eq!(plain(no), Err(NotPlain::NoNumber), "{no}");
        }
    }

    #[test]
    fn fixed_rounds_to_nearest() {
        assert_eq!(fixed("0.9", 3), Ok(900));
        assert_eq!(fixed("0.9125", 3), Ok(913));
        assert_eq!(fixed("-1.5", 0), Ok(-2));
        assert_eq!(fixed("12", 2), Ok(1200));
    }

    #[test]
    fn decimal_commas_are_seen() {
        assert!(has_decimal_comma("2,5 mm"));
        assert!(!has_decimal_comma("2, 5"));
        assert!(!has_decimal_comma("a,b"));
    }
}

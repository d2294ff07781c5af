//! Numbers as people write them, as exact fractions.

use super::LengthError;

/// Digits that one decimal number may have; more are no measurement, and arithmetic stays exact.
const MOST_DIGITS: usize = 28;
/// Digits of a fraction's numerator and denominator.
const MOST_FRACTION_DIGITS: usize = 6;
/// Largest power of ten written as an exponent.
const MOST_EXPONENT: u32 = 9;

/// A number as written: `over / under`, never negative, `under` positive.
pub(super) struct Number {
    over: i128,
    under: i128,
}

impl Number {
    /// Splits a text into its number and its unit (lower case, single spaces, `3` for cubed).
    pub(super) fn read(text: &str, example: &'static str) -> Result<(Number, String), LengthError> {
        let whole_text = text.trim();
        let quoted = || short(whole_text);
        let no_number = || LengthError::NotANumber { text: quoted(), example };
        if whole_text.is_empty() {
            return Err(LengthError::Empty { example });
        }
        let unsigned = whole_text.trim_start_matches(['+', '-', '−']);
        let word = unsigned.to_lowercase();
        if word.starts_with("nan") || word.starts_with("inf") || word.starts_with('∞') {
            return Err(LengthError::NotFinite(quoted()));
        }
        if whole_text.starts_with(['-', '−']) {
            return Err(LengthError::Negative(quoted()));
        }
        let mut scan = Scan(whole_text.strip_prefix('+').unwrap_or(whole_text));

        let whole = scan.digits();
        let decimals = if scan.eat('.') { Some(scan.digits()) } else { None };
        if scan.0.starts_with(',') {
            return Err(LengthError::DecimalComma { text: quoted(), hint: short(&point(whole_text)) });
        }
        if whole.len() + decimals.map_or(0, str::len) > MOST_DIGITS {
            return Err(LengthError::TooManyDigits(quoted()));
        }
        let fraction = |over: &str, under: &str| -> Result<Number, LengthError> {
            if over.len().max(under.len()) > MOST_FRACTION_DIGITS {
                return Err(LengthError::TooManyDigits(quoted()));
            }
            match (over.parse(), under.parse()) {
                (Ok(_), Ok(0)) => Err(LengthError::ZeroDenominator(quoted())),
                (Ok(over), Ok(under)) => Ok(Number { over, under }),
                _ => Err(no_number()),
            }
        };
        let number = if let Some(decimals) = decimals {
            scan.decimal(whole, decimals).ok_or_else(no_number)?
        } else if scan.slash() {
            fraction(whole, scan.digits())?
        } else if whole.is_empty() {
            scan.sign_of_fraction().ok_or_else(no_number)?
        } else if let Some(part) = scan.second_part() {
            let part = match part {
                Part::Sign(part) => part,
                Part::Written(over, under) => fraction(over, under)?,
            };
            let whole: i128 = whole.parse().map_err(|_| no_number())?;
            if part.over >= part.under {
                return Err(LengthError::MixedNumber(quoted()));
            }
            // 28 digits times 6 digits stay inside i128.
            Number { over: whole * part.under + part.over, under: part.under }
        } else {
            scan.decimal(whole, "").ok_or_else(no_number)?
        };
        let unit = scan.0.trim_start();
        if unit.starts_with(|c: char| c.is_ascii_digit() || "./⁄½¼¾⅓⅔⅛⅜⅝⅞".contains(c)) {
            // A decimal before a fraction, or two numbers side by side.
            return Err(if decimals.is_some() && unit.contains(['/', '½', '¼', '¾']) {
                LengthError::MixedNumber(quoted())
            } else {
                no_number()
            });
        }
        if unit.starts_with(',') {
            return Err(LengthError::DecimalComma { text: quoted(), hint: short(&point(whole_text)) });
        }
        Ok((number, unit_name(unit)))
    }

    /// This many times `unit`, to the nearest whole number (halves upwards); `None` beyond `i128`.
    pub(super) fn times(&self, unit: i128) -> Option<i128> {
        let shared = gcd(self.under, unit);
        let (unit, under) = (unit / shared, self.under / shared);
        let over = self.over.checked_mul(unit)?;
        let (quotient, rest) = (over / under, over % under);
        Some(if rest >= under - rest { quotient + 1 } else { quotient })
    }
}

/// The fraction behind a whole number.
enum Part<'a> {
    /// One sign, such as ½.
    Sign(Number),
    /// Over, under.
    Written(&'a str, &'a str),
}

/// What is left of a text.
#[derive(Clone, Copy)]
struct Scan<'a>(&'a str);

impl<'a> Scan<'a> {
    fn digits(&mut self) -> &'a str {
        let end = self.0.find(|c: char| !c.is_ascii_digit()).unwrap_or(self.0.len());
        let (digits, rest) = self.0.split_at(end);
        self.0 = rest;
        digits
    }

    fn eat(&mut self, c: char) -> bool {
        match self.0.strip_prefix(c) {
            Some(rest) => {
                self.0 = rest;
                true
            }
            None => false,
        }
    }

    fn slash(&mut self) -> bool {
        self.eat('/') || self.eat('⁄')
    }

    /// The rest of a decimal number: its exponent, if it has one.
    fn decimal(&mut self, whole: &str, decimals: &str) -> Option<Number> {
        if whole.is_empty() && decimals.is_empty() {
            return None;
        }
        let digits: i128 = format!("{whole}{decimals}").parse().ok()?;
        let under = 10i128.pow(u32::try_from(decimals.len()).ok()?);
        let mut ahead = *self;
        if ahead.eat('e') || ahead.eat('E') {
            let down = ahead.eat('-');
            if !down {
                ahead.eat('+');
            }
            let exponent = ahead.digits();
            if !exponent.is_empty() {
                *self = ahead;
                let power = 10i128.pow(exponent.parse().ok().filter(|e| *e <= MOST_EXPONENT)?);
                return Some(if down {
                    Number { over: digits, under: under * power }
                } else {
                    Number { over: digits * power, under }
                });
            }
        }
        Some(Number { over: digits, under })
    }

    /// A fraction behind a whole number: after spaces, a hyphen, or as a sign at once.
    fn second_part(&mut self) -> Option<Part<'a>> {
        let mut ahead = Scan(self.0.trim_start());
        if ahead.eat('-') {
            ahead.0 = ahead.0.trim_start();
        }
        if let Some(sign) = ahead.sign_of_fraction() {
            *self = ahead;
            return Some(Part::Sign(sign));
        }
        let over = ahead.digits();
        if over.is_empty() || !ahead.slash() {
            return None;
        }
        let under = ahead.digits();
        *self = ahead;
        Some(Part::Written(over, under))
    }

    fn sign_of_fraction(&mut self) -> Option<Number> {
        let (over, under) = match self.0.chars().next()? {
            '½' => (1, 2),
            '¼' => (1, 4),
            '¾' => (3, 4),
            '⅓' => (1, 3),
            '⅔' => (2, 3),
            '⅛' => (1, 8),
            '⅜' => (3, 8),
            '⅝' => (5, 8),
            '⅞' => (7, 8),
            _ => return None,
        };
        let mut chars = self.0.chars();
        chars.next();
        self.0 = chars.as_str();
        Some(Number { over, under })
    }
}

/// Lower case, single spaces, no points of abbreviation, `3` for any way of writing cubed.
fn unit_name(unit: &str) -> String {
    let plain = unit.to_lowercase().replace('.', "").replace("^3", "3").replace('³', "3");
    short(&plain.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The comma as a point: the hint for a decimal comma.
fn point(text: &str) -> String {
    text.replacen(',', ".", 1)
}

/// Enough of a text to recognise it by.
pub(super) fn short(text: &str) -> String {
    const SHOWN: usize = 40;
    let text = text.trim();
    if text.chars().count() <= SHOWN {
        text.to_owned()
    } else {
        text.chars().take(SHOWN).chain(['…']).collect()
    }
}

fn gcd(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.max(1)
}

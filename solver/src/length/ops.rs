//! Arithmetic, printing and serde of the exact quantities.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Area, Length, Volume};

macro_rules! linear {
    ($t:ident, $n:ty) => {
        impl Add for $t {
            type Output = $t;
            fn add(self, o: $t) -> $t {
                $t(self.0 + o.0)
            }
        }
        impl Sub for $t {
            type Output = $t;
            fn sub(self, o: $t) -> $t {
                $t(self.0 - o.0)
            }
        }
        impl AddAssign for $t {
            fn add_assign(&mut self, o: $t) {
                self.0 += o.0;
            }
        }
        impl SubAssign for $t {
            fn sub_assign(&mut self, o: $t) {
                self.0 -= o.0;
            }
        }
        impl Neg for $t {
            type Output = $t;
            fn neg(self) -> $t {
                $t(-self.0)
            }
        }
        impl Mul<i64> for $t {
            type Output = $t;
            fn mul(self, k: i64) -> $t {
                $t(self.0 * <$n>::from(k))
            }
        }
        impl Div<i64> for $t {
            type Output = $t;
            fn div(self, k: i64) -> $t {
                $t(self.0 / <$n>::from(k))
            }
        }
        impl Sum for $t {
            fn sum<I: Iterator<Item = $t>>(iter: I) -> $t {
                $t(iter.map(|v| v.0).sum())
            }
        }
    };
}
linear!(Length, i64);
linear!(Area, i128);
linear!(Volume, i128);

impl Mul for Length {
    type Output = Area;
    fn mul(self, o: Length) -> Area {
        Area(i128::from(self.0) * i128::from(o.0))
    }
}
impl Mul<Length> for Area {
    type Output = Volume;
    fn mul(self, o: Length) -> Volume {
        Volume(self.0 * i128::from(o.0))
    }
}

/// A decimal number with `places` implied decimals, trailing zeros dropped.
fn decimal(value: i128, places: usize) -> String {
    let sign = if value < 0 { "-" } else { "" };
    let digits = format!("{:0width$}", value.unsigned_abs(), width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let part = part.trim_end_matches('0');
    if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
}

/// The inverse of [`decimal`]; plain decimals with an optional exponent, never more than `places` decimals.
fn undecimal(text: &str, places: usize) -> Option<i128> {
    let (mantissa, exponent) = match text.find(['e', 'E']) {
        Some(i) => (&text[..i], text[i + 1..].parse::<i32>().ok()?),
        None => (text, 0),
    };
    let (negative, mantissa) = match mantissa.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, mantissa),
    };
    let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
    let shift =
        i32::try_from(places).ok()?.checked_add(exponent)?.checked_sub(i32::try_from(part.len()).ok()?)?;
    let mut value: i128 = 0;
    for c in whole.chars().chain(part.chars()) {
        value = value.checked_mul(10)?.checked_add(i128::from(c.to_digit(10)?))?;
    }
    if shift >= 0 {
        if value != 0 {
            value = value.checked_mul(10i128.checked_pow(shift.unsigned_abs())?)?;
        }
    } else {
        let p = 10i128.checked_pow(shift.unsigned_abs())?;
        if value % p != 0 {
            return None;
        }
        value /= p;
    }
    Some(if negative { -value } else { value })
}

macro_rules! as_decimal {
    ($t:ident, $n:ty, $places:expr, $unit:expr) => {
        impl $t {
            /// The number in millimetres (squared, cubed) as an exact decimal text without a unit.
            pub fn decimal(self) -> String {
                decimal(i128::from(self.0), $places)
            }

            /// Reads what [`Self::decimal`] writes; `None` where the text is not exact at this resolution.
            pub fn from_decimal(text: &str) -> Option<$t> {
                undecimal(text, $places).and_then(|v| <$n>::try_from(v).ok()).map($t)
            }
        }
        impl fmt::Display for $t {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", self.decimal(), $unit)
            }
        }
        impl fmt::Debug for $t {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                fmt::Display::fmt(self, f)
            }
        }
        impl Serialize for $t {
            fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                let number: serde_json::Number = self.decimal().parse().map_err(serde::ser::Error::custom)?;
                number.serialize(s)
            }
        }
        impl<'de> Deserialize<'de> for $t {
            fn deserialize<D: Deserializer<'de>>(d: D) -> Result<$t, D::Error> {
                let number = serde_json::Number::deserialize(d)?;
                $t::from_decimal(&number.to_string()).ok_or_else(|| {
                    D::Error::custom(format!("{number} is not an exact decimal number in {}", $unit))
                })
            }
        }
    };
}
as_decimal!(Length, i64, 6, "mm");
as_decimal!(Area, i128, 12, "mm2");
as_decimal!(Volume, i128, 18, "mm3");

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_keeps_every_nanometre() {
        let all = [Length::from_nm(2_381_250), Length::from_nm(-1), Length::mm(310)];
        let text = serde_json::to_string(&all).unwrap();
        assert_eq!(text, "[2.38125,-0.000001,310]");
        assert_eq!(serde_json::from_str::<[Length; 3]>(&text).unwrap(), all);
        let v = Volume::from_nm3(10i128.pow(18) * 7_737_600 + 1);
        assert_eq!(serde_json::from_str::<Volume>(&serde_json::to_string(&v).unwrap()).unwrap(), v);
        assert!(serde_json::from_str::<Length>("0.0000001").is_err());
        assert_eq!(Length::from_decimal("1e2"), Some(Length::mm(100)));
        assert_eq!(Length::from_decimal("1e999999999"), None);
    }
}

//! Exact money.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Sub};

/// An amount in millionths of the shop's currency, whatever that is called.
///
/// ```
/// use traywright::shop::Money;
/// let third = Money::parse("10").unwrap().ratio(1, 3);
/// // Two places are shown, six are kept.
/// assert_eq!(third.to_string(), "3.33");
/// assert_eq!(Some(third), Money::parse("3.333333"));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(i128);

const UNIT: i128 = 1_000_000;

impl Money {
    /// Nothing.
    pub const ZERO: Money = Money(0);

    /// From hundredths.
    ///
    /// ```
    /// use traywright::shop::Money;
    /// assert_eq!(Money::hundredths(1_250), Money::parse("12.5").unwrap());
    /// assert_eq!(Money::hundredths(-5).to_string(), "-0.05");
    /// ```
    pub const fn hundredths(n: i64) -> Money {
        Money(n as i128 * 10_000)
    }

    /// Reads a decimal number with at most six places, from nothing to a thousand million.
    ///
    /// ```
    /// use traywright::shop::Money;
    /// assert_eq!(Money::parse("3.20"), Some(Money::hundredths(320)));
    /// assert_eq!(Money::parse("-1"), None);
    /// ```
    pub fn parse(text: &str) -> Option<Money> {
        let (whole, part) = text.trim().split_once('.').unwrap_or((text.trim(), ""));
        let digits = |t: &str| t.chars().all(|c| c.is_ascii_digit());
        if whole.is_empty() || whole.len() > 9 || part.len() > 6 || !digits(whole) || !digits(part) {
            return None;
        }
        let part: i128 = format!("{part:0<6}").parse().ok()?;
        Some(Money(whole.parse::<i128>().ok()? * UNIT + part))
    }

    /// The count of millionths.
    pub(super) fn millionths(self) -> i64 {
        i64::try_from(self.0).unwrap_or(i64::MAX)
    }

    /// `self × over / under`, rounded to the nearest millionth; `under` of nothing gives nothing.
    ///
    /// ```
    /// use traywright::shop::Money;
    /// let two = Money::hundredths(200);
    /// assert_eq!(Some(two.ratio(1, 3)), Money::parse("0.666667"));
    /// assert_eq!(two.ratio(1, 0), Money::ZERO);
    /// ```
    pub fn ratio(self, over: i64, under: i64) -> Money {
        let (over, under) = (i128::from(over), i128::from(under));
        if under == 0 {
            return Money::ZERO;
        }
        let product = self.0.saturating_mul(over);
        Money((product.saturating_mul(2).saturating_add(under)).div_euclid(2 * under))
    }

    /// Divided by a count, rounded up.
    ///
    /// ```
    /// use traywright::shop::Money;
    /// let ten = Money::hundredths(1_000);
    /// assert_eq!(Some(ten.over_up(3)), Money::parse("3.333334"));
    /// assert_eq!(ten.over_up(0), ten); // fewer than one count as one
    /// ```
    pub fn over_up(self, n: i64) -> Money {
        Money(-((-self.0).div_euclid(i128::from(n.max(1)))))
    }

    /// Rounded up to whole steps; a step of nothing leaves it as it is.
    ///
    /// ```
    /// use traywright::shop::Money;
    /// let price = Money::hundredths(701);
    /// assert_eq!(price.rounded_up(Money::hundredths(5)), Money::hundredths(705));
    /// assert_eq!(price.rounded_up(Money::hundredths(1)), price);
    /// assert_eq!(price.rounded_up(Money::ZERO), price);
    /// ```
    pub fn rounded_up(self, step: Money) -> Money {
        if step.0 <= 0 { self } else { Money(-((-self.0).div_euclid(step.0)) * step.0) }
    }

    /// As a percentage of another amount.
    ///
    /// ```
    /// use traywright::shop::Money;
    /// assert_eq!(Money::hundredths(300).percent_of(Money::hundredths(1_200)), 25.0);
    /// assert_eq!(Money::hundredths(300).percent_of(Money::ZERO), 0.0);
    /// ```
    pub fn percent_of(self, whole: Money) -> f64 {
        if whole.0 == 0 { 0.0 } else { self.0 as f64 * 100.0 / whole.0 as f64 }
    }
}

impl Add for Money {
    type Output = Money;
    fn add(self, other: Money) -> Money {
        Money(self.0.saturating_add(other.0))
    }
}

impl Sub for Money {
    type Output = Money;
    fn sub(self, other: Money) -> Money {
        Money(self.0.saturating_sub(other.0))
    }
}

impl Mul<i64> for Money {
    type Output = Money;
    fn mul(self, n: i64) -> Money {
        Money(self.0.saturating_mul(i128::from(n)))
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Money>>(all: I) -> Money {
        all.fold(Money::ZERO, Add::add)
    }
}

impl fmt::Display for Money {
    /// Two decimals, halves away from nothing.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hundredths = (self.0.unsigned_abs() + 5_000) / 10_000;
        let sign = if self.0 < 0 && hundredths > 0 { "-" } else { "" };
        write!(f, "{sign}{}.{:02}", hundredths / 100, hundredths % 100)
    }
}

//! Why a text is refused.

/// Why a text is not a length or a volume.
///
/// ```
/// use traywright::length::{LengthError, Unit, parse_length};
/// let read = |text| parse_length(text, Unit::Millimetre).unwrap_err();
/// assert_eq!(read("-3"), LengthError::Negative("-3".into()));
/// assert_eq!(read("3/0 in"), LengthError::ZeroDenominator("3/0 in".into()));
/// assert!(matches!(read("45 ml"), LengthError::WrongKind { wanted: "a length", .. }));
/// assert!(read("63,5").to_string().contains("63.5")); // says how to write it
/// ```
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum LengthError {
    /// Nothing was written.
    #[error("nothing is written here; write a number with its unit, such as {example}")]
    Empty {
        /// How it could look.
        example: &'static str,
    },
    /// No number stands at the beginning, or two stand side by side.
    #[error("`{text}` is not a number; write a decimal or a fraction with its unit, such as {example}")]
    NotANumber {
        /// What was written.
        text: String,
        /// How it could look.
        example: &'static str,
    },
    /// `nan`, `inf`.
    #[error("`{0}` is not a finite number")]
    NotFinite(String),
    /// Less than nothing.
    #[error("`{0}` is negative; lengths and volumes count from zero up")]
    Negative(String),
    /// A comma within the number.
    #[error(
        "`{text}` has a comma; decimals are written with a point and thousands without any mark: `{hint}`"
    )]
    DecimalComma {
        /// What was written.
        text: String,
        /// The same with a point.
        hint: String,
    },
    /// A fraction over zero.
    #[error("`{0}` divides by zero")]
    ZeroDenominator(String),
    /// A whole number with a fraction that is not below one, or a decimal with a fraction.
    #[error("`{0}` is no mixed number; write a whole number and a fraction below one, such as 2 1/2")]
    MixedNumber(String),
    /// More digits than anyone can measure.
    #[error("`{0}` has more digits than a measurement can have")]
    TooManyDigits(String),
    /// Beyond [`LONGEST`](super::LONGEST) or [`LARGEST`](super::LARGEST).
    #[error("`{text}` is beyond {most}, the most that is taken")]
    TooLarge {
        /// What was written.
        text: String,
        /// The limit in words.
        most: &'static str,
    },
    /// No unit of this kind.
    #[error("`{unit}` is not a unit that is known here; write {known}")]
    UnknownUnit {
        /// What stood behind the number.
        unit: String,
        /// What may stand there.
        known: &'static str,
    },
    /// A volume where a length is wanted, or the other way round.
    #[error("`{unit}` measures {is}, but {wanted} is wanted here; write {known}")]
    WrongKind {
        /// What stood behind the number.
        unit: String,
        /// What that measures.
        is: &'static str,
        /// What is wanted.
        wanted: &'static str,
        /// What may stand there.
        known: &'static str,
    },
}

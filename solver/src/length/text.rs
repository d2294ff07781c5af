//! Lengths and volumes as people write them.
//!
//! A number is a decimal (`63.5`), a fraction (`3/32`, `½`) or a whole number with a fraction
//! (`2 1/2`, `2-1/2`, `2½`); a unit may follow. The value is worked out as an exact fraction and
//! becomes whole nanometres (cubed) only at the end: what is not whole there, such as 1/3 in, goes to
//! the nearest, halves upwards. All units are whole numbers of nm or nm³, so metric texts and
//! fractions down to 1/64 in (1/32 mil) lose nothing.
//!
//! Sources: 1 in = 25.4 mm and 1 mil = 25.4 µm exactly, 16 CFR 500.19; 1 US gal = 231 in³ and 1 US
//! fl oz = 1/128 of it, NIST Handbook 44 App. C; 1 British fl oz = 28.4130625 ml, the same;
//! cup = 8 fl oz, tablespoon = 1/2 fl oz, teaspoon = 1/6 fl oz (US kitchen measures).

use super::number::{Number, short};
use super::{Length, LengthError, Volume};

/// What a bare number means.
///
/// ```
/// use traywright::length::{Length, Unit, parse_length};
/// assert_eq!(parse_length("2.5", Unit::Centimetre), Ok(Length::mm(25)));
/// assert_eq!(parse_length("2.5", Unit::Inch), Ok(Length::um(63_500)));
/// assert_eq!(parse_length("2.5", Unit::default()), Ok(Length::um(2_500)));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Unit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Centimetres.
    Centimetre,
    /// Inches of exactly 25.4 mm.
    Inch,
}

impl Unit {
    /// As a brief writes it and as it stands behind a number: `mm`, `cm` or `in`.
    ///
    /// ```
    /// use traywright::length::{Length, Unit};
    /// assert_eq!(Unit::Inch.name(), "in");
    /// assert!(Length::mm(20).show(Unit::Centimetre).ends_with(Unit::Centimetre.name()));
    /// ```
    pub const fn name(self) -> &'static str {
        match self {
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Inch => "in",
        }
    }

    /// The unit of that name; `None` where it is none of the three.
    ///
    /// ```
    /// use traywright::length::Unit;
    /// assert_eq!(Unit::from_name("in"), Some(Unit::Inch));
    /// assert_eq!(Unit::from_name("furlong"), None);
    /// ```
    pub fn from_name(name: &str) -> Option<Unit> {
        [Unit::Millimetre, Unit::Centimetre, Unit::Inch].into_iter().find(|u| u.name() == name)
    }

    /// One of it in nanometres.
    pub(super) const fn nm(self) -> i128 {
        match self {
            Unit::Millimetre => MM,
            Unit::Centimetre => 10 * MM,
            Unit::Inch => INCH,
        }
    }
}

/// Nothing that is cut or stored here is longer: 100 m. Keeps every volume far inside `i128`.
pub const LONGEST: Length = Length::mm(100_000);
/// Nothing that is stored here is larger: 1 m³ (1000 l).
pub const LARGEST: Volume = Volume::from_nm3(10i128.pow(27));

const MM: i128 = 1_000_000;
const INCH: i128 = 25_400_000;
const ML: i128 = 10i128.pow(21);
const CUBIC_INCH: i128 = INCH * INCH * INCH;
/// 231 in³ / 128 = 29.5735295625 ml: a whole number of nm³, and so are its half and its sixth.
const US_FL_OZ: i128 = CUBIC_INCH * 231 / 128;
const BRITISH_FL_OZ: i128 = 284_130_625 * 10i128.pow(14);

const LENGTH_UNITS: &str = "mm, cm, m, µm, in, ft or mil";
const VOLUME_UNITS: &str = "ml, cl, l, cm3, mm3, in3, fl oz, imp fl oz, cup, tbsp or tsp";

/// Reads a length; a text without a unit is in `bare`.
///
/// ```
/// use traywright::length::{Length, Unit, parse_length};
/// let read = |text| parse_length(text, Unit::Inch);
/// assert_eq!(read("63.5 mm"), Ok(Length::um(63_500)));
/// assert_eq!(read("6.35 cm"), read("2 1/2 in"));
/// assert_eq!(read("3/32\""), Ok(Length::inch_64ths(6)));
/// assert_eq!(read("2-1/2"), Ok(Length::um(63_500)));
/// assert!(read("63,5 mm").unwrap_err().to_string().contains("63.5 mm"));
/// ```
///
/// # Errors
/// [`LengthError`] says what is wrong and how to write it.
pub fn parse_length(text: &str, bare: Unit) -> Result<Length, LengthError> {
    let (number, unit) = Number::read(text, "63.5 mm or 2 1/2 in")?;
    let nm = match unit.as_str() {
        "" => bare.nm(),
        other => length_unit(other).ok_or_else(|| match volume_unit(other) {
            Some(_) => LengthError::WrongKind {
                unit: unit.clone(),
                is: "a volume",
                wanted: "a length",
                known: LENGTH_UNITS,
            },
            None => LengthError::UnknownUnit { unit: unit.clone(), known: LENGTH_UNITS },
        })?,
    };
    number
        .times(nm)
        .and_then(|v| i64::try_from(v).ok())
        .map(Length)
        .filter(|l| *l <= LONGEST)
        .ok_or_else(|| LengthError::TooLarge { text: short(text), most: "100 m" })
}

/// Reads a volume; a text without a unit is in cubed `bare`. `fl oz` is the US one; the British one
/// is taken only by name (`imp fl oz`, `British fl oz`): they differ by 4 %.
///
/// ```
/// use traywright::length::{Unit, Volume, parse_volume};
/// let read = |text| parse_volume(text, Unit::Millimetre).unwrap();
/// assert_eq!(read("45 ml"), read("45000"));
/// assert_eq!(read("128 fl oz"), read("231 in3")); // one US gallon
/// assert_eq!(read("1 cup"), read("16 tbsp"));
/// ```
///
/// # Errors
/// [`LengthError`] says what is wrong and how to write it.
pub fn parse_volume(text: &str, bare: Unit) -> Result<Volume, LengthError> {
    let (number, unit) = Number::read(text, "45 ml or 1 1/2 fl oz")?;
    let nm3 = match unit.as_str() {
        "" => bare.nm().pow(3),
        other => volume_unit(other).ok_or_else(|| match length_unit(other) {
            Some(_) => LengthError::WrongKind {
                unit: unit.clone(),
                is: "a length",
                wanted: "a volume",
                known: VOLUME_UNITS,
            },
            None => LengthError::UnknownUnit { unit: unit.clone(), known: VOLUME_UNITS },
        })?,
    };
    number
        .times(nm3)
        .map(Volume)
        .filter(|v| *v <= LARGEST)
        .ok_or_else(|| LengthError::TooLarge { text: short(text), most: "1000 l" })
}

/// Nanometres in a unit of length.
fn length_unit(name: &str) -> Option<i128> {
    Some(match name {
        "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => MM,
        "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => 10 * MM,
        "m" | "metre" | "metres" | "meter" | "meters" => 1000 * MM,
        // Both the micro sign and the Greek letter are on keyboards.
        "µm" | "μm" | "um" | "micron" | "microns" => MM / 1000,
        "in" | "inch" | "inches" | "\"" | "″" | "”" => INCH,
        "ft" | "foot" | "feet" => 12 * INCH,
        "mil" | "mils" | "thou" => INCH / 1000,
        _ => return None,
    })
}

/// Cubic nanometres in a unit of volume.
fn volume_unit(name: &str) -> Option<i128> {
    Some(match name {
        "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters" | "cm3" | "cc" | "cu cm" => ML,
        "cl" | "centilitre" | "centilitres" | "centiliter" | "centiliters" => 10 * ML,
        "dl" | "decilitre" | "decilitres" | "deciliter" | "deciliters" => 100 * ML,
        "l" | "litre" | "litres" | "liter" | "liters" | "dm3" => 1000 * ML,
        "mm3" | "cu mm" => ML / 1000,
        "in3" | "cu in" => CUBIC_INCH,
        "fl oz" | "floz" | "us fl oz" => US_FL_OZ,
        "imp fl oz" | "imperial fl oz" | "british fl oz" | "uk fl oz" => BRITISH_FL_OZ,
        "cup" | "cups" | "us cup" | "us cups" => 8 * US_FL_OZ,
        "tbsp" | "tablespoon" | "tablespoons" => US_FL_OZ / 2,
        "tsp" | "teaspoon" | "teaspoons" => US_FL_OZ / 6,
        _ => return None,
    })
}

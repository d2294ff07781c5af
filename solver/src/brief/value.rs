//! Single values: texts, numbers, lengths, volumes, masses and words.

use super::form::{Form, Read};
use super::number::{NotPlain, fixed, has_decimal_comma, plain};
use super::reader::{Path, Reader};
use super::suggest::suggest;
use super::tree::{Node, Value};
use crate::job::{Milligrams, Millionths};
use crate::length::{Length, LengthError, Volume, parse_length, parse_volume};

/// No length in a job is greater: beyond it a slip of the unit is far likelier than a box of that size.
pub(crate) const LONGEST: Length = Length::mm(10_000);

/// No mass in a job is greater than a tonne.
const MOST_MASS: i64 = 1_000_000_000;

/// Characters of a name or title.
const LONGEST_TEXT: usize = 200;

/// A text that is not empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Words(pub(crate) String);

impl Read for Words {
    fn form() -> Form {
        Form::Text
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let text = match &node.value {
            Value::Text(text) => text.trim(),
            // A cell or a change is not quoted, so that a part called 7 looks like a number.
            Value::Number(text) if reader.sources.is_bare(node.span) => text,
            _ => {
                reader.wrong_kind(node, path, "a text");
                return None;
            }
        };
        let count = text.chars().count();
        if count == 0 || count > LONGEST_TEXT || text.chars().any(char::is_control) {
            let cause = match count {
                0 => "an empty text names nothing".to_owned(),
                n if n > LONGEST_TEXT => {
                    format!("a text of {n} characters is too long (at most {LONGEST_TEXT})")
                }
                _ => "the text holds line breaks or other control characters".to_owned(),
            };
            reader.report("B029", node.span, path.text(), cause);
            return None;
        }
        Some(Words(text.to_owned()))
    }
}

impl Read for bool {
    fn form() -> Form {
        Form::Truth
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match &node.value {
            Value::Truth(b) => Some(*b),
            Value::Text(t) if reader.sources.is_bare(node.span) => match t.to_lowercase().as_str() {
                "true" | "yes" => Some(true),
                "false" | "no" => Some(false),
                _ => {
                    reader.wrong_kind(node, path, "yes or no");
                    None
                }
            },
            _ => {
                reader.wrong_kind(node, path, "true or false");
                None
            }
        }
    }
}

/// What a number or a quantity was written as; a decimal comma is a finding.
pub(crate) fn written(node: &Node, path: &Path, reader: &mut Reader<'_>, wanted: &str) -> Option<String> {
    let text = match &node.value {
        Value::Text(text) | Value::Number(text) => text.trim(),
        _ => {
            reader.wrong_kind(node, path, wanted);
            return None;
        }
    };
    if has_decimal_comma(text) {
        let cause = format!("`{}` has a decimal comma", crate::brief::clip(text));
        reader.report("B005", node.span, path.text(), cause);
        return None;
    }
    Some(text.to_owned())
}

/// The number written here, in units of 10^-`places`; `wanted` says what it should be.
fn number(node: &Node, path: &Path, reader: &mut Reader<'_>, places: usize, wanted: &str) -> Option<i128> {
    if matches!(node.value, Value::Text(_)) && !reader.sources.is_bare(node.span) {
        let hint = written(node, path, reader, wanted)?;
        let quoted = plain(&hint).is_ok();
        let cause = format!("`{}` is a text, but {wanted} is wanted", crate::brief::clip(&hint));
        if quoted {
            reader.report_with("B009", node.span, path.text(), cause, "Write it without quotes.");
        } else {
            reader.report("B009", node.span, path.text(), cause);
        }
        return None;
    }
    let text = written(node, path, reader, wanted)?;
    match fixed(&text, places) {
        Ok(value) => Some(value),
        Err(why) => {
            let cause = match why {
                NotPlain::NotFinite => format!("`{text}` is not a finite number"),
                NotPlain::TooLong => {
                    format!("`{}` has more digits than any measure needs", crate::brief::clip(&text))
                }
                NotPlain::NoNumber => {
                    format!("`{}` is not a number; {wanted} is wanted", crate::brief::clip(&text))
                }
            };
            reader.report("B018", node.span, path.text(), cause);
            None
        }
    }
}

/// A whole number within bounds, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Whole<const LEAST: i64, const MOST: i64>(pub(crate) i64);

impl<const LEAST: i64, const MOST: i64> Read for Whole<LEAST, MOST> {
    fn form() -> Form {
        Form::Whole(LEAST, MOST)
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let thousandths = number(node, path, reader, 3, "a whole number")?;
        let quote = crate::brief::clip(reader.sources.quote(node.span)).to_owned();
        if thousandths % 1000 != 0 {
            let cause = format!("`{quote}` is not a whole number");
            reader.report("B018", node.span, path.text(), cause);
            return None;
        }
        let value = thousandths / 1000;
        within(value, LEAST.into(), MOST.into(), || (LEAST.to_string(), MOST.to_string()), node, path, reader)
            .and_then(|v| i64::try_from(v).ok())
            .map(Whole)
    }
}

/// Reports a number outside its bounds: too small is B012, too great B013.
fn within(
    value: i128,
    least: i128,
    most: i128,
    bounds: impl Fn() -> (String, String),
    node: &Node,
    path: &Path,
    reader: &mut Reader<'_>,
) -> Option<i128> {
    if (least..=most).contains(&value) {
        return Some(value);
    }
    let quote = crate::brief::clip(reader.sources.quote(node.span)).to_owned();
    let (low, high) = bounds();
    let (code, cause) = if value < least {
        ("B012", format!("{quote} is less than {low}, the least that makes sense here"))
    } else {
        ("B013", format!("{quote} is more than {high}, the most that is allowed here"))
    };
    reader.report(code, node.span, path.text(), cause);
    None
}

/// A decimal number in thousandths, within bounds in thousandths, both included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Thousandths<const LEAST: i64, const MOST: i64>(pub(crate) i64);

fn thousandths_text(n: i64) -> &'static str {
    match n {
        0 => "0",
        1 => "0.001",
        10 => "0.01",
        1000 => "1",
        _ => "1000",
    }
}

impl<const LEAST: i64, const MOST: i64> Read for Thousandths<LEAST, MOST> {
    fn form() -> Form {
        Form::Number(thousandths_text(LEAST), thousandths_text(MOST))
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let value = number(node, path, reader, 3, "a number")?;
        let bounds = || (thousandths_text(LEAST).to_owned(), thousandths_text(MOST).to_owned());
        within(value, LEAST.into(), MOST.into(), bounds, node, path, reader)
            .and_then(|v| i64::try_from(v).ok())
            .map(Thousandths)
    }
}

/// A share of the box in percent, kept in millionths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Percent(pub(crate) Millionths);

impl Read for Percent {
    fn form() -> Form {
        Form::Number("0", "100")
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        // A percent is 10 000 millionths, so that four decimals of it are exact.
        let value = number(node, path, reader, 4, "a number of percent")?;
        within(value, 0, 1_000_000, || ("0".into(), "100".into()), node, path, reader)
            .and_then(|v| i64::try_from(v).ok())
            .map(Percent)
    }
}

/// A price in hundredths of whatever currency the maker thinks in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Price(pub(crate) i64);

impl Read for Price {
    fn form() -> Form {
        Form::Number("0", "1000000")
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let value = number(node, path, reader, 2, "a price")?;
        within(value, 0, 100_000_000, || ("0".into(), "1000000".into()), node, path, reader)
            .and_then(|v| i64::try_from(v).ok())
            .map(Price)
    }
}

/// Any length, of either sign.
fn any_length(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Length> {
    let text = written(node, path, reader, "a length")?;
    // A number may have an exponent and a sign, a text may have a sign before its number.
    let text = match (&node.value, plain(&text)) {
        (_, Ok(plain)) => plain,
        (Value::Number(_), Err(NotPlain::NotFinite)) => {
            reader.report("B018", node.span, path.text(), format!("`{text}` is not a finite number"));
            return None;
        }
        _ => text,
    };
    let (negative, size) = text.strip_prefix(['-', '−']).map_or((false, text.as_str()), |rest| (true, rest));
    match parse_length(size.trim(), reader.unit) {
        Ok(length) if length <= LONGEST => Some(if negative { -length } else { length }),
        // What is read at all goes further than what a job may hold: only the latter concerns a maker.
        Ok(_) | Err(LengthError::TooLarge { .. }) => {
            let cause = format!("{} is more than 10 m", crate::brief::clip(&text));
            reader.report("B013", node.span, path.text(), cause);
            None
        }
        Err(why) => {
            let cause = format!("`{}` is not a length: {why}", crate::brief::clip(&text));
            reader.report("B011", node.span, path.text(), cause);
            None
        }
    }
}

fn at_least(
    length: Length,
    least: Length,
    node: &Node,
    path: &Path,
    reader: &mut Reader<'_>,
) -> Option<Length> {
    if length >= least {
        return Some(length);
    }
    let quote = crate::brief::clip(reader.sources.quote(node.span)).to_owned();
    let cause = if length < Length::ZERO {
        format!("{quote} is negative")
    } else {
        format!("{quote} is nothing; a length above zero is wanted")
    };
    reader.report("B012", node.span, path.text(), cause);
    None
}

macro_rules! length_within {
    ($(#[doc = $doc:literal])+ $name:ident from $least:expr) => {
        $(#[doc = $doc])+
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub(crate) struct $name(pub(crate) Length);

        impl Read for $name {
            fn form() -> Form {
                Form::Length
            }

            fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
                let length = any_length(node, path, reader)?;
                at_least(length, $least, node, path, reader).map($name)
            }
        }
    };
}
length_within!(
    /// A length above zero.
    Measure from Length::from_nm(1)
);
length_within!(
    /// A length that may be zero.
    Play from Length::ZERO
);
length_within!(
    /// A length of either sign.
    Signed from -LONGEST
);

impl Read for Volume {
    fn form() -> Form {
        Form::Volume
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let text = written(node, path, reader, "a volume")?;
        // A bare number is in the brief's unit, cubed; an exponent is resolved first.
        let text = plain(&text).unwrap_or(text);
        match parse_volume(&text, reader.unit) {
            Err(LengthError::TooLarge { .. }) => {
                let cause = format!("{} is more than 1000 litres", crate::brief::clip(&text));
                reader.report("B013", node.span, path.text(), cause);
                None
            }
            Ok(volume) if volume > Volume::ZERO => Some(volume),
            Ok(_) => {
                let cause = format!("{} is no volume above zero", crate::brief::clip(&text));
                reader.report("B012", node.span, path.text(), cause);
                None
            }
            Err(why) => {
                let code = if text.starts_with('-') { "B012" } else { "B016" };
                let cause = format!("`{}` is not a volume: {why}", crate::brief::clip(&text));
                reader.report(code, node.span, path.text(), cause);
                None
            }
        }
    }
}

/// A mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Mass(pub(crate) Milligrams);

impl Read for Mass {
    fn form() -> Form {
        Form::Mass
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let text = written(node, path, reader, "a mass")?;
        let unit = text.trim_start_matches(|c: char| !c.is_ascii_alphabetic());
        let size = text.get(..text.len() - unit.len()).unwrap_or("").trim();
        // Nanograms of one unit. 1 lb = 453.592 37 g exactly, 1 oz = 1/16 lb (international
        // avoirdupois pound of 1959; from memory).
        let nanograms: i128 = match unit.trim() {
            "mg" => 1_000_000,
            "g" => 1_000_000_000,
            "kg" => 1_000_000_000_000,
            "oz" => 28_349_523_125,
            "lb" => 453_592_370_000,
            _ => 0,
        };
        let value = fixed(size, 9).ok().filter(|_| nanograms > 0);
        let Some(product) = value.and_then(|v| v.checked_mul(nanograms)) else {
            let cause = format!("`{}` is not a mass", crate::brief::clip(&text));
            reader.report("B017", node.span, path.text(), cause);
            return None;
        };
        // Rounded up to whole milligrams, so that a mass is never told too small.
        let milligrams = -(-product).div_euclid(10i128.pow(15));
        within(milligrams, 1, MOST_MASS.into(), || ("1 mg".into(), "1000 kg".into()), node, path, reader)
            .and_then(|v| i64::try_from(v).ok())
            .map(Mass)
    }
}

/// The word that stands here.
pub(crate) fn word<'n>(node: &'n Node, path: &Path, reader: &mut Reader<'_>, what: &str) -> Option<&'n str> {
    match &node.value {
        Value::Text(text) => Some(text.trim()),
        _ => {
            reader.wrong_kind(node, path, what);
            None
        }
    }
}

/// Says which words are known.
pub(crate) fn unknown_word(
    word: &str,
    known: &[&str],
    node: &Node,
    path: &Path,
    reader: &mut Reader<'_>,
    what: &str,
) {
    let all: Vec<String> = known.iter().map(|w| format!("\"{w}\"")).collect();
    let choices = format!("Write one of {}.", all.join(", "));
    let remedy = match suggest(word, known.iter().copied()) {
        Some(near) => format!("Did you mean \"{near}\"? {choices}"),
        None => choices,
    };
    let cause = format!("\"{}\" is not {what}", crate::brief::clip(word));
    reader.report_with("B010", node.span, path.text(), cause, remedy);
}

//! Values as a change to a brief writes them, and changes as a command line does.

use crate::job::{HeightRule, Job};
use crate::length::{Length, Unit, Volume};

/// A key of the brief and what it is set to; nothing takes it out.
pub(super) type Change = (String, String);

/// A length as it stands in a brief of this unit: a bare number where it is exact in so many decimals, else a text.
pub(super) fn length(of: Length, unit: Unit) -> String {
    let one = match unit {
        Unit::Millimetre => 1_000_000,
        Unit::Centimetre => 10_000_000,
        Unit::Inch => 25_400_000,
    };
    let millionths = i128::from(of.nm()) * 1_000_000;
    if millionths < 0 || millionths % one != 0 {
        return format!("\"{} mm\"", of.decimal());
    }
    decimal(millionths / one, 6)
}

/// A volume in millilitres, rounded up to a cubic millimetre.
pub(super) fn volume(of: Volume) -> String {
    let cubic_mm = -(-of.nm3()).div_euclid(10i128.pow(18));
    format!("\"{} ml\"", decimal(cubic_mm, 3))
}

/// A number of 10^-places as a decimal without needless zeros.
fn decimal(value: i128, places: u32) -> String {
    let unit = 10i128.pow(places);
    let (whole, part) = (value / unit, value % unit);
    let text = format!("{whole}.{part:0width$}", width = places as usize);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Texts as a list of TOML.
pub(super) fn list<S: AsRef<str>>(texts: impl IntoIterator<Item = S>) -> String {
    let all: Vec<String> = texts.into_iter().map(|t| quoted(t.as_ref())).collect();
    format!("[{}]", all.join(", "))
}

/// A text in quotes, as TOML and JSON both read it.
fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// A side of the box, of this name, so much larger; a list of readings keeps its spread.
pub(super) fn side(job: &Job, name: &str, more: Length) -> Change {
    let (least, spread) = (job.container.interior, job.container.spread);
    let (least, spread) = match name {
        "width" => (least.w, spread.w),
        "depth" => (least.d, spread.d),
        _ => (least.h, spread.h),
    };
    let low = length(least + more, job.unit);
    let value = if spread > Length::ZERO {
        format!("[{low}, {}]", length(least + spread + more, job.unit))
    } else {
        low
    };
    (format!("box.interior.{name}"), value)
}

/// Rules of layer heights.
pub(super) fn heights(rules: &[HeightRule], unit: Unit) -> Change {
    let one = |rule: &HeightRule| match *rule {
        HeightRule::Open => "\"open\"".to_owned(),
        HeightRule::Fixed(h) => length(h, unit),
        HeightRule::Range(least, most) => {
            format!("{{ least = {}, most = {} }}", length(least, unit), length(most, unit))
        }
    };
    let all: Vec<String> = rules.iter().map(one).collect();
    let value = if all.is_empty() { String::new() } else { format!("[{}]", all.join(", ")) };
    ("layers.heights".to_owned(), value)
}

/// Changes as flags of a command line, in quotes that a shell takes off.
///
/// ```text
/// --set 'part.fare cards.stack.count=90'
/// ```
pub(super) fn flags(changes: &[Change]) -> String {
    let one = |(key, value): &Change| format!("--set '{}'", format!("{key}={value}").replace('\'', "'\\''"));
    changes.iter().map(one).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::{parse_length, parse_volume};

    #[test]
    fn lengths_and_volumes_read_back_as_they_were() {
        let sixty_fourths = Length::inch_64ths(171);
        for (of, unit, text) in [
            (Length::um(54_500), Unit::Millimetre, "54.5"),
            (Length::um(54_500), Unit::Centimetre, "5.45"),
            (sixty_fourths, Unit::Inch, "2.671875"),
            (Length::mm(3), Unit::Inch, "\"3 mm\""),
            (Length::ZERO, Unit::Inch, "0"),
        ] {
            assert_eq!(length(of, unit), text);
            assert_eq!(parse_length(text.trim_matches('"'), unit), Ok(of));
        }
        let bulk = Volume::from_nm3(46 * 10i128.pow(21) + 1);
        assert_eq!(volume(bulk), "\"46.001 ml\"");
        assert!(parse_volume("46.001 ml", Unit::Inch).is_ok_and(|v| v >= bulk));
    }

    #[test]
    fn a_shell_takes_the_quotes_off() {
        let changes = [("part.fisher's cards.stack.count".to_owned(), "3".to_owned())];
        assert_eq!(flags(&changes), "--set 'part.fisher'\\''s cards.stack.count=3'");
    }
}

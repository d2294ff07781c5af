//! Sines of whole degrees as whole billionths, rounded to the safe side.
//!
//! Worked out with 18 decimals by the addition theorem, one degree at a time from sin 1° and cos 1°; the
//! error stays below 1e-15, and the only sines of whole degrees here that are whole billionths are those
//! of 0°, 30° and 90° (Niven's theorem).

/// 1 as it is counted here.
pub(super) const BILLION: i128 = 1_000_000_000;

const SCALE: i128 = BILLION * BILLION;
const SIN_1: i128 = 17_452_406_437_283_513;
const COS_1: i128 = 999_847_695_156_391_239;
/// Far above the error of ninety steps, far below a billionth.
const ERROR: i128 = 100_000;

/// Sine with 18 decimals, nearly.
fn sine(degrees: i64) -> i128 {
    let (mut s, mut c) = (0, SCALE);
    for _ in 0..degrees.clamp(0, 90) {
        (s, c) = ((s * COS_1 + c * SIN_1) / SCALE, (c * COS_1 - s * SIN_1) / SCALE);
    }
    s
}

fn exact(degrees: i64) -> Option<i128> {
    match degrees {
        i64::MIN..=0 => Some(0),
        30 => Some(BILLION / 2),
        90.. => Some(BILLION),
        _ => None,
    }
}

pub(super) fn sine_down(degrees: i64) -> i128 {
    exact(degrees).unwrap_or_else(|| (sine(degrees) - ERROR) / BILLION)
}

pub(super) fn sine_up(degrees: i64) -> i128 {
    exact(degrees).unwrap_or_else(|| (sine(degrees) + ERROR) / BILLION + 1)
}

pub(super) fn cosine_up(degrees: i64) -> i128 {
    sine_up(90 - degrees.clamp(0, 90))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roundings_enclose_each_sine_by_one_billionth() {
        for degrees in 1..90 {
            let (down, up) = (sine_down(degrees), sine_up(degrees));
            assert_eq!(up - down, i128::from(degrees != 30));
            let sine = (degrees as f64).to_radians().sin() * 1e9;
            assert!(down as f64 - 1e-3 <= sine && sine <= up as f64 + 1e-3);
            let (c_down, c_up) = (sine_down(90 - degrees), cosine_up(degrees));
            assert!(down * down + c_down * c_down <= SCALE && up * up + c_up * c_up >= SCALE);
        }
    }
}

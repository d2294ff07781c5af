//! Sines and cosines of whole degrees as whole billionths, rounded to the side that is asked for.

/// 1 as the table counts it.
pub(super) const ONE: i128 = 1_000_000_000;

/// ⌊10⁹ · sin θ⌋ for θ = 0°, 1°, … 90°, worked out with fifty decimals; exact at 0°, 30° and 90°
/// only (Niven's theorem: no other whole degree of these has a rational sine).
#[rustfmt::skip]
const SINES: [i64; 91] = [
    0, 17_452_406, 34_899_496, 52_335_956, 69_756_473, 87_155_742, 104_528_463, 121_869_343,
    139_173_100, 156_434_465, 173_648_177, 190_808_995, 207_911_690, 224_951_054, 241_921_895, 258_819_045,
    275_637_355, 292_371_704, 309_016_994, 325_568_154, 342_020_143, 358_367_949, 374_606_593, 390_731_128,
    406_736_643, 422_618_261, 438_371_146, 453_990_499, 469_471_562, 484_809_620, 500_000_000, 515_038_074,
    529_919_264, 544_639_035, 559_192_903, 573_576_436, 587_785_252, 601_815_023, 615_661_475, 629_320_391,
    642_787_609, 656_059_028, 669_130_606, 681_998_360, 694_658_370, 707_106_781, 719_339_800, 731_353_701,
    743_144_825, 754_709_580, 766_044_443, 777_145_961, 788_010_753, 798_635_510, 809_016_994, 819_152_044,
    829_037_572, 838_670_567, 848_048_096, 857_167_300, 866_025_403, 874_619_707, 882_947_592, 891_006_524,
    898_794_046, 906_307_787, 913_545_457, 920_504_853, 927_183_854, 933_580_426, 939_692_620, 945_518_575,
    951_056_516, 956_304_755, 961_261_695, 965_925_826, 970_295_726, 974_370_064, 978_147_600, 981_627_183,
    984_807_753, 987_688_340, 990_268_068, 992_546_151, 994_521_895, 996_194_698, 997_564_050, 998_629_534,
    999_390_827, 999_847_695, 1_000_000_000,
];

/// Sine of an angle in whole degrees, rounded down; angles beyond 0…90 count as the nearer end.
pub(super) fn sin_down(degrees: i64) -> i128 {
    let index = usize::try_from(degrees.clamp(0, 90)).unwrap_or(0);
    SINES.get(index).map_or(0, |s| i128::from(*s))
}

/// Sine of an angle in whole degrees, rounded up.
pub(super) fn sin_up(degrees: i64) -> i128 {
    let exact = matches!(degrees.clamp(0, 90), 0 | 30 | 90);
    sin_down(degrees) + i128::from(!exact)
}

/// Cosine of an angle in whole degrees, rounded up.
pub(super) fn cos_up(degrees: i64) -> i128 {
    sin_up(90 - degrees.clamp(0, 90))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sine_lies_between_its_two_roundings() {
        for degrees in 0..=90 {
            let sine = (degrees as f64).to_radians().sin() * 1e9;
            assert!(sin_down(degrees) as f64 <= sine + 1e-3 && sine - 1e-3 <= sin_up(degrees) as f64);
            assert!(sin_up(degrees) - sin_down(degrees) <= 1);
            // sin² + cos² = 1 must be enclosed, in whole numbers.
            let (s, c) = (sin_down(degrees), sin_down(90 - degrees));
            assert!(s * s + c * c <= ONE * ONE);
            let (s, c) = (sin_up(degrees), cos_up(degrees));
            assert!(s * s + c * c >= ONE * ONE);
        }
        assert_eq!((sin_up(30), sin_up(90), cos_up(60), cos_up(90)), (ONE / 2, ONE, ONE / 2, 0));
    }
}

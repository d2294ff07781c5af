//! Check values and round trips of the exact quantities.

use proptest::prelude::*;

use super::*;

fn mm(text: &str) -> Length {
    parse_length(text, Unit::Millimetre).unwrap()
}

fn ml(text: &str) -> Volume {
    parse_volume(text, Unit::Millimetre).unwrap()
}

/// 1 ml = 1e21 nm³, so that eleven decimals of a millilitre are exact here.
fn exact_ml(units_of_1e_minus_11_ml: i128) -> Volume {
    Volume::from_nm3(units_of_1e_minus_11_ml * 10i128.pow(10))
}

#[test]
fn lengths_as_people_write_them() {
    for text in
        ["63.5 mm", "63.5mm", "6.35 cm", "2 1/2 in", "2-1/2\"", "2½ inches", "0.0635 m", " 63500 µm ", "63.5"]
    {
        assert_eq!(mm(text), Length::um(63_500), "{text}");
    }
    for text in ["2 1/2", "2-1/2", "2.5", "5/2", "2½", "2 ½"] {
        assert_eq!(parse_length(text, Unit::Inch), Ok(Length::um(63_500)), "{text}");
    }
    assert_eq!(parse_length("2.5", Unit::Centimetre), Ok(Length::mm(25)));
    assert_eq!(mm("1e2"), Length::mm(100));
    assert_eq!(mm("2.5E-1 mm"), Length::um(250));
    assert_eq!(mm("+.5"), Length::um(500));
    assert_eq!(mm("4 ft"), mm("1219.2 mm"));
    assert_eq!(mm("0"), Length::ZERO);
}

#[test]
fn inch_and_mil_are_exact() {
    // 16 CFR 500.19: 1 in = 25.4 mm, 1 mil = 25.4 µm, 1 in² = 6.4516 cm² exactly (facts B24).
    assert_eq!(mm("1 in"), Length::um(25_400));
    assert_eq!(mm("1 mil").nm(), 25_400);
    assert_eq!(mm("1 in") * mm("1 in"), Area::from_nm2(645_160_000_000_000));
    // The same, rounded there: 1 in³ = 16.3871 cm³, 1 US fl oz = 29.5735 ml, 1 US gal = 3.78541 l.
    assert_eq!(ml("1 in3").nm3() / 10i128.pow(17), 163_870);
    assert_eq!(ml("1 fl oz").nm3() / 10i128.pow(17), 295_735);
    assert_eq!(ml("128 fl oz").nm3() / 10i128.pow(19), 378_541);
}

#[test]
fn kitchen_measures_are_exact() {
    // NIST Handbook 44 App. C sect. 4, exact values (facts B25).
    assert_eq!(ml("1 in3"), exact_ml(1_638_706_400_000));
    assert_eq!(ml("128 fl oz"), ml("231 in3"));
    assert_eq!(ml("231 in3"), exact_ml(378_541_178_400_000));
    assert_eq!(ml("1 fl oz"), exact_ml(2_957_352_956_250));
    assert_eq!(ml("1 fl. oz."), ml("1.8046875 in3"));
    assert_eq!(ml("1 imp fl oz"), exact_ml(2_841_306_250_000));
    assert_eq!(ml("1 British fl oz"), ml("28.4130625 ml"));
    // facts B26 (computed from B25): a 1½ fl oz scoop.
    assert_eq!(ml("1 1/2 fl oz"), exact_ml(4_436_029_434_375));
    // facts §2, worked stacks: a box of 12 × 12 × 3 in is 7079.211648 ml (computed).
    assert_eq!(mm("12 in") * mm("12 in") * mm("3 in"), exact_ml(707_921_164_800_000));
    // US kitchen measures: common practice, no source.
    assert_eq!(ml("1 cup"), ml("8 fl oz"));
    assert_eq!(ml("2 tbsp"), ml("1 fl oz"));
    assert_eq!(ml("3 tsp"), ml("1 tbsp"));
    assert_eq!(ml("45 ml"), ml("45 cm3"));
    assert_eq!(ml("45 cm³"), ml("45000 mm^3"));
    assert_eq!(ml("0.045 l"), ml("45000"));
    assert_eq!(parse_volume("2.75", Unit::Inch), Ok(ml("2.75 in3")));
    assert_eq!(parse_volume("45", Unit::Centimetre), Ok(ml("45 ml")));
}

#[test]
fn fractions_of_an_inch_are_not_a_vendors_sizes() {
    // facts C11 (computed).
    assert_eq!(mm("3/32 in").nm(), 2_381_250);
    // facts X5: a plywood chart maps 5/16 in to 9 mm, 3/8 to 12 and 1/2 to 15; true 7.94, 9.53, 12.70.
    assert_eq!(mm("5/16 in").show(Unit::Millimetre), "7.94 mm");
    assert_eq!(mm("3/8 in").show(Unit::Millimetre), "9.53 mm");
    assert_eq!(mm("1/2 in").show(Unit::Millimetre), "12.7 mm");
    assert_eq!(mm("1/8 in").nm(), 3_175_000);
}

#[test]
fn a_standards_own_rounding_is_kept() {
    // ISO/IEC 7810 as reported (facts B5, B6): 53.98 mm and 2.125 in stand side by side there, and the
    // standard warns not to reconvert; each text keeps its own value and its own way of being shown.
    assert_ne!(mm("53.98 mm"), mm("2.125 in"));
    assert_eq!(mm("2.125 in").nm(), 53_975_000);
    assert_eq!(mm("53.98 mm").show(Unit::Millimetre), "53.98 mm");
    assert_eq!(mm(&mm("53.98 mm").decimal()), mm("53.98 mm"));
    assert_eq!(mm("2 1/8 in").show(Unit::Inch), "2 1/8 in");
}

#[test]
fn playing_card_points_are_mils() {
    // facts B12 (computed): 12 pt = 0.3048 mm, 14 pt = 0.3556 mm; a point of caliper is a mil.
    assert_eq!(mm("12 mil"), mm("0.3048 mm"));
    assert_eq!(mm("14 mil"), mm("0.3556 mm"));
    // US Mint, Coin Specifications (facts B9): 0.955 in stands beside 24.26 mm.
    assert_eq!(mm("0.955 in").show(Unit::Millimetre), "24.26 mm");
}

#[test]
fn what_is_not_whole_goes_to_the_nearest() {
    assert_eq!(mm("1/3 in").nm(), 8_466_667); // 8 466 666.67
    assert_eq!(mm("0.0000005 mm").nm(), 1); // a half, upwards
    assert_eq!(mm("0.0000004 mm").nm(), 0);
}

#[test]
fn refusals_say_why() {
    let length = |text: &str| parse_length(text, Unit::Millimetre).unwrap_err();
    let volume = |text: &str| parse_volume(text, Unit::Millimetre).unwrap_err();
    type Is = fn(&LengthError) -> bool;
    let kinds: Vec<(&str, Is)> = vec![
        ("", |e| matches!(e, LengthError::Empty { .. })),
        ("   ", |e| matches!(e, LengthError::Empty { .. })),
        ("wide", |e| matches!(e, LengthError::NotANumber { .. })),
        ("2 1 in", |e| matches!(e, LengthError::NotANumber { .. })),
        ("1.2.3", |e| matches!(e, LengthError::NotANumber { .. })),
        (".", |e| matches!(e, LengthError::NotANumber { .. })),
        ("1/", |e| matches!(e, LengthError::NotANumber { .. })),
        ("1e99", |e| matches!(e, LengthError::NotANumber { .. })),
        ("nan", |e| matches!(e, LengthError::NotFinite(_))),
        ("-inf mm", |e| matches!(e, LengthError::NotFinite(_))),
        ("-3 mm", |e| matches!(e, LengthError::Negative(_))),
        ("63,5 mm", |e| matches!(e, LengthError::DecimalComma { .. })),
        ("1.234,5", |e| matches!(e, LengthError::DecimalComma { .. })),
        (",5", |e| matches!(e, LengthError::DecimalComma { .. })),
        ("1/0 in", |e| matches!(e, LengthError::ZeroDenominator(_))),
        ("2 3/2 in", |e| matches!(e, LengthError::MixedNumber(_))),
        ("2.5 1/2 in", |e| matches!(e, LengthError::MixedNumber(_))),
        ("12345678901234567890123456789", |e| matches!(e, LengthError::TooManyDigits(_))),
        ("1/1234567", |e| matches!(e, LengthError::TooManyDigits(_))),
        ("100.001 m", |e| matches!(e, LengthError::TooLarge { .. })),
        ("9999999999999999999999999999 m", |e| matches!(e, LengthError::TooLarge { .. })),
        ("3 furlongs", |e| matches!(e, LengthError::UnknownUnit { .. })),
        ("45 ml", |e| matches!(e, LengthError::WrongKind { .. })),
    ];
    for (text, is) in kinds {
        assert!(is(&length(text)), "{text}: {:?}", length(text));
        assert!(!length(text).to_string().is_empty());
    }
    assert!(matches!(volume("3 oz"), LengthError::UnknownUnit { .. }));
    assert!(matches!(volume("45 mm"), LengthError::WrongKind { .. }));
    assert!(matches!(volume("1000.1 l"), LengthError::TooLarge { .. }));
    assert_eq!(
        length("63,5 mm").to_string(),
        "`63,5 mm` has a comma; decimals are written with a point and thousands without any mark: `63.5 mm`"
    );
}

#[test]
fn shown_as_people_read_them() {
    assert_eq!(Length::um(105).show(Unit::Millimetre), "0.11 mm");
    assert_eq!(Length::um(-1_230).show(Unit::Millimetre), "-1.23 mm");
    assert_eq!(Length::from_nm(-4_000).show(Unit::Millimetre), "0 mm");
    assert_eq!(Length::mm(300).show(Unit::Millimetre), "300 mm");
    assert_eq!(Length::um(63_500).show(Unit::Centimetre), "6.35 cm");
    assert_eq!(Length::mm(100).show(Unit::Centimetre), "10 cm");
    assert_eq!(Length::inch_64ths(-1).show(Unit::Inch), "-1/64 in");
    assert_eq!(Length::ZERO.show(Unit::Inch), "0 in");
    assert_eq!(ml("6.3 l").show_ml(), "6300.0 ml");
    assert_eq!(ml("0.05 ml").show_ml(), "0.1 ml");
}

proptest! {
    #[test]
    fn no_text_panics(text in ".{0,60}", number in "[-+0-9./, ½eE⁄\"]{0,40}", unit in "[a-zA-Zµ³^3 \"”]{0,8}") {
        for bare in [Unit::Millimetre, Unit::Centimetre, Unit::Inch] {
            for text in [&text, &number, &format!("{number} {unit}"), &format!("{number}{text}")] {
                if let Ok(length) = parse_length(text, bare) {
                    prop_assert!(Length::ZERO <= length && length <= LONGEST);
                }
                if let Ok(volume) = parse_volume(text, bare) {
                    prop_assert!(Volume::ZERO <= volume && volume <= LARGEST);
                }
            }
        }
    }

    #[test]
    fn every_length_is_read_back_exactly(nm in 0..=LONGEST.nm()) {
        let length = Length::from_nm(nm);
        prop_assert_eq!(mm(&length.decimal()), length);
        prop_assert_eq!(mm(&length.to_string()), length);
    }

    #[test]
    fn every_volume_is_read_back_exactly(nm3 in 0..=LARGEST.nm3()) {
        let volume = Volume::from_nm3(nm3);
        prop_assert_eq!(ml(&volume.to_string()), volume);
    }

    #[test]
    fn what_is_shown_is_read_back(sixty_fourths in 0..250_000i64, hundredths in 0..10_000_000i64) {
        let inches = Length::inch_64ths(sixty_fourths);
        prop_assert_eq!(mm(&inches.show(Unit::Inch)), inches);
        let metric = Length::um(hundredths * 10);
        prop_assert_eq!(mm(&metric.show(Unit::Millimetre)), metric);
        prop_assert_eq!(mm(&metric.show(Unit::Centimetre)), metric);
    }

    #[test]
    fn showing_is_off_by_no_more_than_half_its_last_place(nm in 0..=LONGEST.nm()) {
        let length = Length::from_nm(nm);
        let off = |unit| (mm(&length.show(unit)) - length).nm().abs();
        prop_assert!(off(Unit::Millimetre) <= 5_000);
        prop_assert!(off(Unit::Inch) <= 12_700);
        let volume = length * Length::mm(70) * Length::mm(100);
        if volume <= LARGEST {
            prop_assert!((ml(&volume.show_ml()).nm3() - volume.nm3()).abs() <= 10i128.pow(21) / 20);
        }
    }

    #[test]
    fn a_fraction_is_its_decimal(whole in 0..1000i64, over in 0..64i64) {
        let mixed = mm(&format!("{whole} {over}/64 in"));
        prop_assert_eq!(mixed, Length::inch_64ths(whole * 64 + over));
        prop_assert_eq!(mm(&format!("{whole}-{over}/64\"")), mixed);
    }
}

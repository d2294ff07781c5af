use proptest::prelude::*;

use super::*;
use crate::length::parse_volume;
use crate::need::loose::{bracket, estimate};

fn ml(text: &str) -> Volume {
    parse_volume(text, crate::length::Unit::Millimetre).unwrap()
}

#[test]
fn a_hundred_dice() {
    // facts A24, A25 (computed; packing of cubes from Baker & Kudrolli, Phys. Rev. E 82, 061304, 2010):
    // 409.6 cm³ solid, 758.5 poured, 611.3 shaken.
    let both = estimate(&dice()).unwrap();
    assert_eq!(both.solid, ml("409.6 ml"));
    assert_eq!((both.loosest.show_ml(), both.densest.show_ml()), ("758.5 ml".into(), "611.3 ml".into()));
    let need = of_loose(dice());
    assert!(need.estimate && need.contents == both.loosest);
    // The compartment is full to nine tenths: 758.5 / 0.9 = 842.8 ml.
    assert_eq!(need.alternatives[0].space.volume().show_ml(), "842.8 ml");
    assert_eq!(
        need.alternatives[0].space,
        Space::Soft {
            volume: need.alternatives[0].space.volume(),
            side: Length::mm(20), // a finger is broader than a die
            long: Length::mm(20),
            h: Length::from_nm(17_777_778), // one layer of 16 mm, nine tenths full
        }
    );
}

#[test]
fn a_handful_of_quarters() {
    // facts A26, A27 (computed from the US Mint's 24.26 × 1.75 mm, facts B9): 808.93 mm³ a piece, 32.357 cm³
    // for forty.
    let mut quarters = dice();
    quarters.form = Some(Form::Disc);
    quarters.piece = Some(size(24_260, 24_260, 1_750));
    quarters.count = Some(1);
    let one = estimate(&quarters).unwrap().solid;
    assert!(ml("808.92 mm3") < one && one < ml("808.94 mm3"), "{one}");
    quarters.count = Some(40);
    assert_eq!(estimate(&quarters).unwrap().solid.show_ml(), "32.4 ml");
    let forty = estimate(&quarters).unwrap().solid;
    assert!(ml("32.3565 ml") < forty && forty < ml("32.3575 ml"), "{forty}");
    // facts A29: 1 euro 23.25 × 2.33 (facts B10) is 989.22 mm³.
    quarters.piece = Some(size(23_250, 23_250, 2_330));
    quarters.count = Some(1);
    let one = estimate(&quarters).unwrap().solid;
    assert!(ml("989.21 mm3") < one && one < ml("989.23 mm3"), "{one}");
}

#[test]
fn brackets_are_those_of_their_sources() {
    // facts §1, last line (common practice built on A1 to A20).
    let all = [Form::Cube, Form::Bead, Form::Disc, Form::Peg, Form::Lens].map(bracket);
    assert_eq!(all, [(540, 670), (550, 640), (420, 640), (550, 700), (600, 710)]);
}

#[test]
fn a_measured_volume_beats_count_and_piece() {
    let mut sacks = dice();
    sacks.volume = Some(ml("650 ml"));
    sacks.spare_volume = ml("25 ml");
    let need = of_loose(sacks.clone());
    assert!(!need.estimate);
    assert_eq!(need.contents, ml("650 ml"));
    assert_eq!(need.alternatives[0].space.volume(), ml("750 ml"));
    assert_eq!(need.more.of, "pieces");
    sacks.count = None;
    sacks.piece = None;
    assert_eq!(of_loose(sacks).more.of, "ml");
}

#[test]
fn pegs_may_lie_along_a_narrow_compartment() {
    let mut pegs = dice();
    (pegs.form, pegs.piece) = (Some(Form::Peg), Some(size(60_000, 6_000, 6_000)));
    let Space::Soft { side, long, .. } = of_loose(pegs.clone()).alternatives[0].space else { panic!() };
    assert_eq!((side, long), (Length::mm(20), Length::mm(60)));
    pegs.form = Some(Form::Cube);
    let Space::Soft { side, long, .. } = of_loose(pegs).alternatives[0].space else { panic!() };
    assert_eq!((side, long), (Length::mm(60), Length::mm(60)));
}

#[test]
fn thin_pieces_do_not_make_a_tablet() {
    let mut discs = dice();
    (discs.form, discs.piece) = (Some(Form::Disc), Some(size(22_000, 22_000, 2_000)));
    assert_eq!(of_loose(discs).alternatives[0].space.least_height(), Length::mm(5));
    let mut sacks = dice();
    (sacks.volume, sacks.piece) = (Some(ml("38 ml")), None);
    assert_eq!(of_loose(sacks).alternatives[0].space.least_height(), Length::mm(5));
}

#[test]
fn the_makers_own_packing_comes_first() {
    let mut mine = dice();
    mine.packing = Some((500, 600));
    assert_eq!(estimate(&mine).unwrap().packing, (500, 600));
    assert_eq!(estimate(&mine).unwrap().loosest.show_ml(), "819.2 ml"); // 409.6 / 0.5
    mine.packing = Some((600, 500));
    assert_eq!(estimate(&mine).unwrap().packing, (500, 600)); // whichever way round
}

proptest! {
    #[test]
    fn more_pieces_never_need_less(
        count in 1..2000i64, spare in 0..100i64, level in 100..=1000i64, side in 1_000..60_000i64, packing in 100..1000i64,
        measured in prop::option::of(1..1_000_000i64),
    ) {
        let mut loose = dice();
        loose.count = Some(count);
        loose.volume = measured.map(|v| Volume::from_nm3(i128::from(v) * 10i128.pow(18)));
        loose.spare_count = spare;
        loose.level = level;
        loose.piece = Some(size(side, side / 2, side / 3));
        loose.packing = Some((packing, packing));
        let less = of_loose(loose.clone());
        prop_assert!(less.alternatives[0].space.volume() >= less.contents);
        loose.spare_count += 1;
        prop_assert!(never_smaller(&less, &of_loose(loose.clone())));
        if measured.is_none() {
            loose.count = Some(count + 1);
            prop_assert!(never_smaller(&less, &of_loose(loose)));
        }
    }

    #[test]
    fn a_higher_room_never_asks_for_more_area(volume in 1..1_000_000i64, u in 6_000..200_000i64, up in 0..50_000i64) {
        let mut loose = dice();
        loose.volume = Some(Volume::from_nm3(i128::from(volume) * 10i128.pow(18)));
        loose.piece = None;
        let need = of_loose(loose);
        let (low, high) = (least_area(&need, um(u)).unwrap(), least_area(&need, um(u + up)).unwrap());
        prop_assert!(high <= low);
        // A square of that area, rounded up, holds the contents to the level.
        let side = um(((low.nm2() as f64).sqrt() / 1000.0) as i64 + 1);
        prop_assert!(goes_in(&need, side, side, um(u)));
    }
}

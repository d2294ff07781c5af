//! Numbers that no brief would let through: nothing panics, and what has no need has a fault.

use proptest::prelude::*;

use super::*;
use crate::finding::Severity;
use crate::job::Sleeve;

fn number() -> impl Strategy<Value = i64> {
    prop_oneof![any::<i64>(), -2..5i64, 1..2_000_000i64, Just(1_000_000_000), Just(10_000_000_000)]
}

fn length() -> impl Strategy<Value = Length> {
    number().prop_map(Length::from_nm)
}

fn volume() -> impl Strategy<Value = Volume> {
    prop_oneof![any::<i128>(), 0..10i128.pow(24)].prop_map(Volume::from_nm3)
}

fn cuboid() -> impl Strategy<Value = Size> {
    (length(), length(), length()).prop_map(|(w, d, h)| Size { w, d, h })
}

fn face() -> impl Strategy<Value = Face> {
    prop_oneof![
        (length(), length()).prop_map(|(a, b)| Face::Rectangle(a, b)),
        length().prop_map(Face::Disc),
        length().prop_map(Face::Hexagon),
    ]
}

fn form() -> impl Strategy<Value = Form> {
    prop::sample::select(vec![Form::Cube, Form::Bead, Form::Disc, Form::Peg, Form::Lens, Form::Odd])
}

fn loose() -> impl Strategy<Value = Contents> {
    let known = (prop::option::of(volume()), prop::option::of(number()), prop::option::of(form()));
    let piece = (prop::option::of(cuboid()), prop::option::of((1..1001i64, 1..1001i64)), 0..=1000i64);
    (known, piece, volume(), number(), length()).prop_map(
        |(known, piece, spare_volume, spare_count, finger)| {
            Contents::Loose(Loose {
                volume: known.0,
                count: known.1,
                form: known.2,
                piece: piece.0,
                packing: piece.1,
                level: piece.2,
                spare_volume,
                spare_count,
                finger,
            })
        },
    )
}

fn stack() -> impl Strategy<Value = Contents> {
    let stands = vec![Stand::Flat, Stand::LongEdge, Stand::ShortEdge, Stand::Roll, Stand::Lean];
    let known = (prop::option::of(number()), prop::option::of(length()), prop::option::of(length()));
    let sleeve = prop::option::of((length(), face()).prop_map(|(film, face)| Sleeve { film, face }));
    let counts = (0..70i64, -1..95i64, number(), -1..11_000i64);
    (face(), known, sleeve, prop::sample::subsequence(stands, 0..=5), counts, length(), length()).prop_map(
        |(face, known, sleeve, stand, counts, ease, finger)| {
            Contents::Stack(Stack {
                face,
                count: known.0,
                each: known.1,
                height: known.2,
                sleeve,
                stand,
                piles: counts.0,
                least_lean: counts.1,
                spare_count: counts.2,
                browse: counts.3,
                ease,
                finger,
            })
        },
    )
}

fn solid() -> impl Strategy<Value = Contents> {
    let turn = prop::sample::select(vec![Turn::None, Turn::Upright, Turn::Any]);
    (cuboid(), number(), number(), turn, any::<bool>(), length()).prop_map(
        |(size, count, spare_count, turn, pile, ease)| {
            Contents::Solid(Solid { size, count, spare_count, turn, pile, ease })
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn nothing_panics(
        contents in prop_oneof![loose(), stack(), solid()],
        w in length(), d in length(), u in length(), turned in any::<bool>(),
    ) {
        let part = part(contents);
        let need = of(&part);
        let findings = crate::need::findings(&part);
        let fault = findings.iter().any(|f| f.severity == Severity::Fault);
        prop_assert!(fault || !need.alternatives.is_empty());
        least_area(&need, u);
        for a in &need.alternatives {
            prop_assert!(a.space.volume() >= need.contents);
            prop_assert!(more(&need, a, w, d, u, turned) >= 0);
            if let Space::Fixed { w, d, h } = a.space {
                prop_assert!(more(&need, a, w, d, h, false) >= 0);
            }
        }
        if let Contents::Loose(loose) = &part.contents {
            let _ = crate::need::loose::estimate(loose);
            let _ = porosity::packing_in(loose, w);
        }
    }
}

use proptest::prelude::*;

use super::solid::any_solid;
use super::stack::any_stack;
use super::*;

/// A clear room in which `a` goes in with so much to spare, and how it is turned.
fn room_for(a: &Alternative, extra: (i64, i64, i64), turned: bool) -> (Length, Length, Length) {
    let (w, d, h) = match a.space {
        Space::Fixed { w, d, h } => (w, d, h),
        Space::Soft { volume, side, long, h } => (side, long.max(volume.over_up(h).over_up(side)), h),
    };
    let (w, d, h) = (w + um(extra.0), d + um(extra.1), h + um(extra.2));
    if turned { (d, w, h) } else { (w, d, h) }
}

#[test]
fn cards_discs_figures_and_millilitres() {
    let deck = of_stack(cards());
    let a = &deck.alternatives[0];
    // 20.5 mm hold 68 cards of 0.3 mm; 54 are there.
    assert_eq!(more(&deck, a, Length::mm(64), Length::mm(89), um(20_500), false), 14);
    assert_eq!(more(&deck, a, Length::mm(89), Length::mm(64), um(20_500), true), 14);
    assert_eq!(more(&deck, a, Length::mm(89), Length::mm(64), um(20_500), false), 0); // does not go in

    let bodies = of_solid(figures());
    let a = bodies.alternatives.iter().find(|a| a.standing == Standing::Block(2, 3, 1)).unwrap();
    assert_eq!(more(&bodies, a, um(84_000), um(84_000), um(60_000), false), 3);
    assert_eq!(bodies.more.of, "bodies");

    let mut sacks = dice();
    (sacks.volume, sacks.count, sacks.piece) = (Some(Volume::from_nm3(90 * 10i128.pow(21))), None, None);
    let sacks = of_loose(sacks);
    // 100 ml of clear room are needed; 120 ml hold 108 at nine tenths.
    assert_eq!(
        more(&sacks, &sacks.alternatives[0], Length::mm(40), Length::mm(60), Length::mm(50), false),
        18
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn stacks_to_the_last_piece(
        stack in any_stack(), at in any::<prop::sample::Index>(), turned in any::<bool>(),
        extra in (0..9_000i64, 0..9_000i64, 0..9_000i64),
    ) {
        let need = of_stack(stack.clone());
        let a = at.get(&need.alternatives);
        let (w, d, u) = room_for(a, extra, turned);
        let counted = more(&need, a, w, d, u, turned);
        let Space::Fixed { w: across, .. } = a.space else { panic!() };
        // The need of so many more, in the same standing: every alternative, also those not worth listing.
        let serves = |extra: i64| {
            let mut stack = stack.clone();
            if need.more.of == "mm of stack" {
                stack.height = stack.height.map(|h| h + Length::mm(extra));
            } else {
                stack.spare_count += extra;
            }
            crate::need::stack::need(&stack).unwrap().alternatives.iter().any(|b| {
                let Space::Fixed { w: same, .. } = b.space else { panic!() };
                (a.standing, a.piles, across) == (b.standing, b.piles, same) && b.space.fits(w, d, u, turned)
            })
        };
        prop_assert!(serves(counted), "{} of {:?}", counted, a);
        prop_assert!(!serves(counted + 1), "{} of {:?}", counted, a);
    }

    #[test]
    fn loose_to_the_last_piece(
        count in prop::option::of(1..500i64), volume in prop::option::of(1_000..400_000i64), level in 100..=1000i64,
        spare in (0..20i64, 0..20_000i64), extra in (0..9_000i64, 0..9_000i64, 0..9_000i64), turned in any::<bool>(),
    ) {
        let mm3 = |v: i64| Volume::from_nm3(i128::from(v) * 10i128.pow(18) + 1);
        let mut loose = dice();
        (loose.count, loose.volume, loose.level) = (count.or(volume.is_none().then_some(7)), volume.map(mm3), level);
        (loose.spare_count, loose.spare_volume) = (spare.0, mm3(spare.1));
        if loose.count.is_none() {
            loose.piece = None;
        }
        let need = of_loose(loose.clone());
        let a = &need.alternatives[0];
        let (w, d, u) = room_for(a, extra, turned);
        let counted = more(&need, a, w, d, u, turned);
        let serves = |extra: i64| {
            let mut loose = loose.clone();
            if need.more.of == "ml" {
                loose.spare_volume += Volume::from_nm3(10i128.pow(21)) * extra;
            } else {
                loose.spare_count += extra;
            }
            of_loose(loose).alternatives[0].space.fits(w, d, u, turned)
        };
        prop_assert!(serves(counted));
        prop_assert!(!serves(counted + 1));
    }

    #[test]
    fn solids_to_the_last_body(
        solid in any_solid(), at in any::<prop::sample::Index>(), turned in any::<bool>(),
        extra in (0..30_000i64, 0..30_000i64, 0..30_000i64),
    ) {
        let need = of_solid(solid.clone());
        let a = at.get(&need.alternatives);
        let (w, d, u) = room_for(a, extra, turned);
        let counted = more(&need, a, w, d, u, turned);
        let mut fuller = solid.clone();
        fuller.spare_count += counted;
        let fuller = of_solid(fuller);
        prop_assert!(fuller.alternatives.iter().any(|b| b.space.fits(w, d, u, turned) || b.turnable && goes_in(&fuller, w, d, u)));
        // Bodies turned as they stand, laid out one by one: not one more goes in.
        let (Standing::Block(nx, ny, nz), Space::Fixed { w: bw, d: bd, h: bh }) = (a.standing, a.space) else { panic!() };
        let body = [(bw - solid.ease) / nx, (bd - solid.ease) / ny, bh / nz];
        let (w, d) = if turned { (d, w) } else { (w, d) };
        let line = |room: Length, one: Length| (1..).take_while(|&n| one * n <= room).count() as i64;
        let high = if solid.pile { line(u, body[2]) } else { 1 };
        let places = line(w - solid.ease, body[0]) * line(d - solid.ease, body[1]) * high;
        prop_assert_eq!(counted, places - solid.count - solid.spare_count);
    }
}

use proptest::prelude::*;

use super::*;

#[test]
fn figures_stand_or_lie() {
    let need = of_solid(figures());
    assert_eq!(need.contents, figures().size.volume() * 6);
    let mut all = rooms(&need);
    all.sort_unstable();
    // Standing 28 × 28 at height 52, in 1 × 6 or 2 × 3; lying 28 × 52 at height 28, six side by side in
    // three shapes. Of blocks alike but for a turn one is listed.
    let standing: Vec<_> = all.iter().filter(|r| r.2 == um(52_000)).map(|r| (r.0, r.1)).collect();
    assert_eq!(standing, [(um(28_000), um(168_000)), (um(56_000), um(84_000))]);
    let lying: Vec<_> = all.iter().filter(|r| r.2 == um(28_000)).collect();
    assert_eq!(lying.len(), 4); // 28 × 312, 56 × 156, 84 × 104, 168 × 52
}

#[test]
fn as_given_means_not_turned() {
    let mut fixed = figures();
    fixed.turn = Turn::None;
    fixed.ease = Length::mm(1);
    let need = of_solid(fixed);
    assert!(need.alternatives.iter().all(|a| !a.turnable));
    assert!(
        goes_in(&need, um(29_000), um(169_000), um(52_000))
            && goes_in(&need, um(169_000), um(29_000), um(52_000))
    );
    assert!(!goes_in(&need, um(29_000), um(168_999), um(52_000)));
}

#[test]
fn many_bodies_are_quick_and_few() {
    let mut many = figures();
    (many.count, many.pile) = (500, true);
    let need = of_solid(many);
    // Both sides and the height could be 500 each; only where a row is saved is a block worth listing.
    assert!((50..2_000).contains(&need.alternatives.len()), "{}", need.alternatives.len());
}

pub(super) fn any_solid() -> impl Strategy<Value = Solid> {
    let sizes = (2..9i64, 2..9i64, 2..9i64).prop_map(|(w, d, h)| size(w * 1000, d * 1000, h * 1000));
    let turn = prop_oneof![Just(Turn::None), Just(Turn::Upright), Just(Turn::Any)];
    (sizes, 1..14i64, 0..4i64, turn, any::<bool>(), 0..3i64).prop_map(
        |(size, count, spare_count, turn, pile, ease)| Solid {
            size,
            count,
            spare_count,
            turn,
            pile,
            ease: Length::mm(ease),
        },
    )
}

/// Does any block of bodies that all stand alike go in? Tried one by one.
fn by_hand(solid: &Solid, w: i64, d: i64, u: i64) -> bool {
    let [a, b, c] = [solid.size.w, solid.size.d, solid.size.h].map(|l| l.nm() / 1_000_000);
    let ways: &[(i64, i64, i64)] = match solid.turn {
        Turn::None => &[(a, b, c)],
        Turn::Upright => &[(a, b, c), (b, a, c)],
        Turn::Any => &[(a, b, c), (b, a, c), (a, c, b), (c, a, b), (b, c, a), (c, b, a)],
    };
    let ease = solid.ease.nm() / 1_000_000;
    ways.iter().any(|&(bw, bd, bh)| {
        let high = if solid.pile { u / bh } else { i64::from(u >= bh) };
        let line = |room: i64, body: i64| (room - ease).max(0) / body;
        line(w, bw) * line(d, bd) * high >= solid.count + solid.spare_count
    })
}

proptest! {
    #[test]
    fn a_room_serves_exactly_where_some_block_goes_in(solid in any_solid(), w in 1..60i64, d in 1..60i64, u in 1..40i64) {
        let need = of_solid(solid.clone());
        prop_assert_eq!(goes_in(&need, Length::mm(w), Length::mm(d), Length::mm(u)), by_hand(&solid, w, d, u));
    }

    #[test]
    fn more_bodies_never_need_less(solid in any_solid()) {
        let less = of_solid(solid.clone());
        let mut more = solid;
        more.count += 1;
        prop_assert!(never_smaller(&less, &of_solid(more)));
        for a in &less.alternatives {
            prop_assert!(a.space.volume() >= less.contents);
        }
    }
}

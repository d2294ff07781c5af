use proptest::prelude::*;

use super::*;
use crate::job::Sleeve;

fn flat_height(stack: Stack) -> Length {
    of_stack(stack).alternatives[0].space.least_height()
}

#[test]
fn worked_stacks_of_cards() {
    // facts §2, worked stacks (computed): 54 cards bare, and with films of 0.10 or 0.04 mm.
    for (each, bare, sleeved) in [(280, 15_120, 25_920), (300, 16_200, 27_000), (320, 17_280, 28_080)] {
        let mut stack = cards();
        stack.each = Some(um(each));
        assert_eq!(flat_height(stack.clone()), um(bare));
        stack.sleeve = Some(Sleeve { film: um(100), face: Face::Rectangle(um(66_000), um(91_000)) });
        assert_eq!(flat_height(stack.clone()), um(sleeved));
        assert_eq!(of_stack(stack).more.of, "sleeved pieces");
    }
    let mut thin = cards();
    thin.sleeve = Some(Sleeve { film: um(40), face: Face::Rectangle(um(66_000), um(91_000)) });
    assert_eq!(flat_height(thin.clone()), um(20_520));
    assert_eq!(rooms(&of_stack(thin)), [(um(66_000), um(91_000), um(20_520))]);
    // Sleeving at 0.1 mm a film multiplies a stack of 0.30 mm by 5/3 (the same place).
    assert_eq!(um(16_200) * 5, um(27_000) * 3);
}

#[test]
fn forty_quarters_in_a_column() {
    // US Mint, Coin Specifications (facts B9) and facts A27 (computed): 70.0 mm, 41.198 cm³.
    let mut coins = cards();
    coins.face = Face::Disc(um(24_260));
    (coins.count, coins.each) = (Some(40), Some(um(1_750)));
    let need = of_stack(coins);
    assert_eq!(rooms(&need), [(um(24_260), um(24_260), Length::mm(70))]);
    assert_eq!((um(24_260) * um(24_260) * Length::mm(70)).decimal(), "41198.332"); // mm³
    let share = need.contents.to_ml_f64();
    assert!((share - 32.357).abs() < 5e-4, "{share}");
}

#[test]
fn coins_of_two_currencies() {
    // US Mint, Coin Specifications (facts B9); Council Regulation (EU) 729/2014 as reported (facts B10):
    // diameter × thickness in hundredths of a mm. Twenty in a roll lie D × 20 t at height D.
    let coins = [
        (1905, 152),
        (2121, 195),
        (1791, 135),
        (2426, 175),
        (3061, 215),
        (2649, 200),
        (1625, 167),
        (1875, 167),
        (2125, 167),
        (1975, 193),
        (2225, 214),
        (2425, 238),
        (2325, 233),
        (2575, 220),
    ];
    for (across, thick) in coins {
        let mut roll = cards();
        roll.face = Face::Disc(um(across * 10));
        (roll.count, roll.each) = (Some(20), Some(um(thick * 10)));
        roll.stand = vec![Stand::Roll];
        let need = of_stack(roll);
        assert_eq!(rooms(&need), [(um(across * 10), um(thick * 200), um(across * 10))]);
        assert_eq!(need.alternatives[0].standing, Standing::Stacked(Stand::Roll, 90));
    }
}

#[test]
fn a_measured_height_beats_count_times_each_and_scales() {
    let mut deck = cards();
    deck.height = Some(um(17_000));
    assert_eq!(flat_height(deck.clone()), um(17_000));
    assert!(!of_stack(deck.clone()).estimate && of_stack(cards()).estimate);
    deck.spare_count = 27;
    assert_eq!(flat_height(deck.clone()), um(25_500));
    assert_eq!(of_stack(deck.clone()).contents, um(63_500) * um(88_900) * um(17_000));
    // The count is found from the height where it is not given: 17.0 / 0.3 is nearest to 57 pieces.
    deck.count = None;
    assert_eq!(flat_height(deck), Length::from_nm((17_000_000i64 * 84 + 56) / 57));
}

#[test]
fn only_a_height_makes_one_pile() {
    let mut tiles = cards();
    tiles.face = Face::Hexagon(Length::mm(48));
    (tiles.count, tiles.each, tiles.height) = (None, None, Some(Length::mm(41)));
    tiles.piles = 3;
    let need = of_stack(tiles);
    // 48 · 2/√3 = 55.42562584…, rounded up to a nanometre.
    assert_eq!(rooms(&need), [(Length::mm(48), Length::from_nm(55_425_626), Length::mm(41))]);
    assert_eq!(need.more.of, "mm of stack");
}

#[test]
fn a_row_stands_on_either_edge() {
    let mut row = cards();
    row.stand = vec![Stand::LongEdge, Stand::ShortEdge];
    (row.ease, row.browse) = (Length::mm(1), 100);
    let length = um(17_820); // 16.2 · 1.1
    assert_eq!(rooms(&of_stack(row)), [(um(89_900), length, um(63_500)), (um(64_500), length, um(88_900))]);
}

#[test]
fn hexagons_roll_on_a_flat_or_a_corner() {
    let mut tiles = cards();
    tiles.face = Face::Hexagon(Length::mm(30));
    (tiles.count, tiles.each) = (Some(10), Some(Length::mm(2)));
    tiles.stand = vec![Stand::Roll];
    let corners = Length::from_nm(34_641_017); // 30 · 2/√3 = 34.6410161…
    assert_eq!(
        rooms(&of_stack(tiles)),
        [(corners, Length::mm(20), Length::mm(30)), (Length::mm(30), Length::mm(20), corners)]
    );
}

#[test]
fn finger_room_lies_beside_a_flat_pile() {
    let mut deck = cards();
    deck.finger = Length::mm(22);
    assert_eq!(
        rooms(&of_stack(deck.clone())),
        [(um(85_500), um(88_900), um(16_200)), (um(63_500), um(110_900), um(16_200))]
    );
    // Of three piles in a line each must be reached: the finger room runs along all of them.
    deck.piles = 3;
    let three: Vec<_> = of_stack(deck).alternatives.into_iter().filter(|a| a.piles == 3).collect();
    let expected = [
        Space::Fixed { w: um(85_500), d: um(266_700), h: um(5_400) },
        Space::Fixed { w: um(190_500), d: um(110_900), h: um(5_400) },
    ];
    assert_eq!(three.iter().map(|a| a.space).collect::<Vec<_>>(), expected);
}

/// Outline of `n` leaning pieces, worked out from the corners of every one: width along the row and
/// height, in mm.
fn outline(n: i64, edge: f64, thick: f64, degrees: i64) -> (f64, f64) {
    let (sine, cosine) = (degrees as f64).to_radians().sin_cos();
    let (mut from, mut to, mut top) = (f64::MAX, f64::MIN, f64::MIN);
    for i in 0..n {
        // Faces touch: along the floor, neighbours are t / sin θ apart.
        let foot = i as f64 * thick / sine;
        for (along, up) in [
            (0.0, 0.0),
            (edge * cosine, edge * sine),
            (-thick * sine, thick * cosine),
            (edge * cosine - thick * sine, edge * sine + thick * cosine),
        ] {
            (from, to, top) = (from.min(foot + along), to.max(foot + along), top.max(up));
        }
    }
    (to - from, top)
}

#[test]
fn leaning_holds_the_true_outline() {
    for count in [1, 2, 7, 54, 300] {
        let mut deck = cards();
        (deck.count, deck.least_lean) = (Some(count), 20);
        deck.stand = vec![Stand::Lean];
        let need = crate::need::stack::need(&deck).unwrap();
        assert_eq!(need.alternatives.len(), 71 * 2);
        for a in &need.alternatives {
            let Standing::Stacked(Stand::Lean, degrees) = a.standing else { panic!() };
            let Space::Fixed { w, d, h } = a.space else { panic!() };
            let edge = if w == um(88_900) { 63.5 } else { 88.9 };
            let (length, height) = outline(count, edge, 0.3, degrees);
            assert!((0.0..1e-4).contains(&(h.to_mm_f64() - height + 1e-9)), "{degrees}");
            // The row is a safe upper value: one piece's t / sin θ − t · sin θ too long, and no more.
            let surplus =
                0.3 / (degrees as f64).to_radians().sin() - 0.3 * (degrees as f64).to_radians().sin();
            assert!((0.0..surplus + 1e-4).contains(&(d.to_mm_f64() - length + 1e-9)), "{degrees}");
        }
    }
}

#[test]
fn leaning_asks_a_longer_row_for_a_lower_room() {
    let mut deck = cards();
    deck.stand = vec![Stand::LongEdge, Stand::ShortEdge, Stand::Lean];
    let need = of_stack(deck);
    let mut on_long: Vec<_> = rooms(&need).into_iter().filter(|r| r.0 == um(88_900)).collect();
    on_long.sort_by_key(|r| r.2);
    assert!(on_long.len() > 20);
    assert!(on_long.windows(2).all(|p| p[0].1 > p[1].1));
    // Upright is told as standing on the edge, not as leaning at 90°.
    assert!(need.alternatives.iter().any(|a| a.standing == Standing::Stacked(Stand::LongEdge, 90)));
    assert!(!need.alternatives.iter().any(|a| a.standing == Standing::Stacked(Stand::Lean, 90)));
}

pub(super) fn any_stack() -> impl Strategy<Value = Stack> {
    let face = prop_oneof![
        (5_000..120_000i64, 5_000..120_000i64).prop_map(|(a, b)| Face::Rectangle(um(a), um(b))),
        (5_000..60_000i64).prop_map(|d| Face::Disc(um(d))),
        (5_000..60_000i64).prop_map(|f| Face::Hexagon(um(f))),
    ];
    let known = prop_oneof![
        (1..300i64, 1..4_000_000i64).prop_map(|(n, each)| (Some(n), Some(each), None)),
        (1..300i64, 1_000_000..90_000_000i64).prop_map(|(n, height)| (Some(n), None, Some(height))),
        (1..4_000_000i64, 1_000_000..90_000_000i64).prop_map(|(each, height)| (
            None,
            Some(each),
            Some(height)
        )),
        (1_000_000..90_000_000i64).prop_map(|height| (None, None, Some(height))),
    ];
    let rest = (1..6i64, 1..=90i64, 0..40i64, 0..3_000i64, 0..300i64, prop_oneof![Just(0), Just(22_000i64)]);
    (face, known, rest, prop::option::of(20..150i64)).prop_map(|(face, known, rest, film)| {
        let (piles, least_lean, spare_count, ease, browse, finger) = rest;
        let wider = match face {
            Face::Rectangle(a, b) => Face::Rectangle(a + um(2_500), b + um(2_500)),
            Face::Disc(d) => Face::Rectangle(d + um(2_500), d + um(2_500)),
            Face::Hexagon(f) => Face::Hexagon(f + um(2_500)),
        };
        Stack {
            face,
            count: known.0,
            each: known.1.map(Length::from_nm),
            height: known.2.map(Length::from_nm),
            sleeve: film.map(|film| Sleeve { film: um(film), face: wider }),
            stand: vec![Stand::Flat, Stand::LongEdge, Stand::ShortEdge, Stand::Roll, Stand::Lean],
            piles,
            least_lean,
            spare_count,
            ease: um(ease),
            browse,
            finger: um(finger),
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn more_pieces_never_need_less(stack in any_stack()) {
        let less = of_stack(stack.clone());
        prop_assert!(!less.alternatives.is_empty());
        let mut more = stack.clone();
        more.spare_count += 1;
        prop_assert!(never_smaller(&less, &of_stack(more)));
        if stack.height.is_none() {
            let mut more = stack.clone();
            more.count = stack.count.map(|n| n + 1);
            prop_assert!(never_smaller(&less, &of_stack(more)));
        }
    }

    #[test]
    fn a_need_holds_its_contents(stack in any_stack()) {
        let need = of_stack(stack);
        for a in &need.alternatives {
            prop_assert!(a.space.volume() >= need.contents, "{:?}", a);
        }
    }

    #[test]
    fn a_higher_room_never_asks_for_more_area(stack in any_stack(), u in 1_000..150_000i64, up in 0..50_000i64) {
        let need = of_stack(stack);
        if let Some(low) = least_area(&need, um(u)) {
            prop_assert!(least_area(&need, um(u + up)).is_some_and(|high| high <= low));
        }
    }

    #[test]
    fn nothing_listed_is_dominated(stack in any_stack()) {
        let need = of_stack(stack);
        for (i, a) in need.alternatives.iter().enumerate() {
            let Space::Fixed { w, d, h } = a.space else { continue };
            let mut others = need.clone();
            others.alternatives.remove(i);
            prop_assert!(!goes_in(&others, w, d, h), "{:?}", a);
        }
    }

    #[test]
    fn piles_and_rows_hold_every_piece(stack in any_stack()) {
        // The same formulas once more, piece by piece, with nothing shared: k piles of at most m pieces.
        let need = of_stack(stack.clone());
        let MoreStep::Piece(p) = need.more.step else { panic!() };
        for a in &need.alternatives {
            let (Space::Fixed { d, h, .. }, Standing::Stacked(stand, degrees)) = (a.space, a.standing) else { panic!() };
            let in_one = p.held.div_euclid(a.piles) + i64::from(p.held % a.piles > 0);
            let thick = p.height.to_mm_f64() * in_one as f64 / p.of as f64;
            if stand == Stand::Flat {
                prop_assert!((0.0..1e-5).contains(&(h.to_mm_f64() - thick + 1e-9)));
            } else {
                let sine = (degrees as f64).to_radians().sin();
                let row = thick * (1.0 + stack.browse as f64 / 1000.0) / sine;
                prop_assert!(d.to_mm_f64() + 1e-9 >= row, "{} {}", d, row);
            }
        }
    }
}

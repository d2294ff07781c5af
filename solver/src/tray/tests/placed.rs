//! Placed trays fill their room exactly and meet every need.

use super::*;
use crate::place::{Cuboid, Point, Size};
use proptest::prelude::*;

/// Panics unless compartments and dividers fill `room` exactly, without overlap.
fn assert_fills(placed: &Placed, room: Cuboid, full: bool) {
    let bodies: Vec<Cuboid> = placed
        .compartments
        .iter()
        .map(|c| Cuboid { at: c.at, size: c.size })
        .chain(placed.dividers.iter().copied())
        .collect();
    for (i, a) in bodies.iter().enumerate() {
        let (far, end) = (a.far(), room.far());
        assert!(a.at.x >= room.at.x && a.at.y >= room.at.y && a.at.z == room.at.z);
        assert!(far.x <= end.x && far.y <= end.y && far.z <= end.z);
        for b in &bodies[..i] {
            let apart =
                a.far().x <= b.at.x || b.far().x <= a.at.x || a.far().y <= b.at.y || b.far().y <= a.at.y;
            assert!(apart, "{a:?} {b:?}");
        }
    }
    if full {
        let area: crate::length::Area = bodies.iter().map(|b| b.size.footprint()).sum();
        assert_eq!(area, room.size.footprint());
    }
}

fn assert_needs_met(tray: &TrayNeeds, placed: &Placed) {
    let mut parts: Vec<usize> = placed.compartments.iter().map(|c| c.part).collect();
    parts.sort_unstable();
    assert_eq!(parts, (0..tray.parts.len()).collect::<Vec<_>>());
    for c in &placed.compartments {
        match (&tray.parts[c.part], &c.tray) {
            (PartNeed::Room(need), None) => {
                let space = &need.alternatives[c.alternative].space;
                assert!(space.fits(c.size.w, c.size.d, c.size.h, c.turned), "{c:?}");
            }
            (PartNeed::Tray(inner, ease), Some(nested)) => {
                assert_eq!(c.size.w - nested.outer.size.w, inner.grid * *ease);
                assert_eq!(nested.outer.size.h, c.size.h);
                assert_eq!(nested.outer.size.d - nested.inner.size.d, inner.wall * 2);
                assert_fills(&nested.placed, nested.inner, true);
                assert_needs_met(inner, &nested.placed);
            }
            other => panic!("{other:?}"),
        }
    }
}

fn random_tray(seed: u64, grid: Length) -> TrayNeeds {
    let mut random = Random::new(seed);
    let n = 1 + random.below(5);
    let mut parts: Vec<PartNeed> = (0..n).map(|_| random_part(&mut random)).collect();
    if random.below(3) == 0 {
        let inner = TrayNeeds {
            parts: (0..1 + random.below(2)).map(|_| random_part(&mut random)).collect(),
            wall: Length::um(1_300),
            floor: Length::um(400),
            base: Length::um(400),
            divider: Length::um(700).steps_up(grid),
            divider_exact: Length::um(700),
            ..TrayNeeds::plain(grid, 60_000_000 / grid.nm())
        };
        parts.push(PartNeed::Tray(Box::new(inner), 1));
    }
    TrayNeeds {
        parts,
        divider: Length::um(1_100).steps_up(grid),
        divider_exact: Length::um(1_100),
        ..TrayNeeds::plain(grid, 60_000_000 / grid.nm())
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 160, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn placed_trays_fill_exactly_and_meet_needs(
        seed in any::<u64>(), um in prop::sample::select(vec![250i64, 500, 1_000]),
        u in 4i64..9, pick in 0usize..50, more in (0i64..9_000_000, 0i64..9_000_000, 0i64..900_000),
    ) {
        let grid = Length::um(um);
        let tray = random_tray(seed, grid);
        let u = Length::mm(u).steps_up(grid);
        let curve = curve(&tray, u, (tray.reach, tray.reach), Effort::Usual);
        prop_assume!(!curve.points.is_empty());
        let (w, d) = curve.points[pick % curve.points.len()];
        let slice = slice(&tray, u, w, d).expect("a point of the curve has a slice");
        let inner = Cuboid {
            at: Point { x: Length::from_nm(7), y: Length::mm(3), z: Length::mm(1) },
            size: Size {
                w: grid * w + Length::from_nm(more.0),
                d: grid * d + Length::from_nm(more.1),
                h: grid * u + Length::from_nm(more.2),
            },
        };
        let placed = place(&tray, &slice, inner).expect("a slice fits into the room it was taken for");
        assert_fills(&placed, inner, true);
        assert_needs_met(&tray, &placed);
        for divider in &placed.dividers {
            prop_assert!(divider.size.w == tray.divider_exact || divider.size.d == tray.divider_exact);
            prop_assert_eq!(divider.size.h, inner.size.h);
        }
    }
}

#[test]
fn spare_room_is_shared_in_proportion_and_what_binds_does_not_hold_back_the_rest() {
    // Side by side: A (20), and B (30) over C (10) where C's width is not what binds.
    let mut tray = tray(blocks(&[(20, 50), (30, 20), (10, 20)], false), 0, 300);
    tray.divider_height = Some(Length::um(500));
    let slice = slice(&tray, 1, 50, 50).unwrap();
    let inner = Cuboid {
        at: Point::default(),
        size: Size { w: Length::mm(75), d: Length::mm(60), h: Length::mm(1) },
    };
    let placed = place(&tray, &slice, inner).unwrap();
    assert_fills(&placed, inner, true);
    let width = |part: usize| placed.compartments.iter().find(|c| c.part == part).unwrap().size.w;
    assert_eq!([width(0), width(1), width(2)], [Length::mm(30), Length::mm(45), Length::mm(45)]);
    assert!(placed.dividers.iter().all(|d| d.size.h == Length::um(500)));
}

#[test]
fn a_slice_of_another_tray_is_refused() {
    let small = tray(blocks(&[(5, 5), (5, 5)], false), 0, 100);
    let large = tray(blocks(&[(9, 9), (9, 9)], false), 0, 100);
    let slice = slice(&small, 1, 10, 5).unwrap();
    let inner =
        Cuboid { at: Point::default(), size: Size { w: Length::mm(10), d: Length::mm(5), h: Length::mm(1) } };
    assert!(place(&small, &slice, inner).is_some());
    assert!(place(&large, &slice, inner).is_none());
    let none = tray(Vec::new(), 0, 100);
    assert!(place(&none, &slice, inner).is_none());
}

//! Whole trays: options, refinement, search beyond what can be walked.

use super::*;
use crate::layout::instance::Option3;

/// As many different poured parts as asked for, and a few decks.
fn mixed(n: usize, seed: u64) -> Vec<PartNeed> {
    let mut random = Random::new(seed);
    (0..n)
        .map(|i| {
            if i % 4 == 3 {
                let (w, d) = (30 + random.below(40) as i64, 40 + random.below(50) as i64);
                room(vec![fixed(w, d, 12 + random.below(20) as i64, true), fixed(d, 10 + i as i64, w, true)])
            } else {
                room(vec![soft(15_000 + random.below(60_000) as i64, 18, 20 + random.below(20) as i64, 5)])
            }
        })
        .collect()
}

fn walled(parts: Vec<PartNeed>) -> TrayNeeds {
    TrayNeeds { wall: Length::mm(3), floor: Length::mm(2), base: Length::mm(2), ..tray(parts, 2, 380) }
}

const LIMITS: OptionLimits = OptionLimits { most_w: 380, most_d: 310, least_h: 10, most_h: 120, count: 150 };

#[test]
fn options_hold_are_sorted_and_undominated() {
    for (n, seed) in [(1, 1), (3, 2), (6, 3)] {
        let tray = walled(mixed(n, seed));
        let options = options(&tray, &LIMITS);
        assert!(options.exact && !options.heights_complete && options.findings.is_empty());
        let list = &options.list;
        assert!(list.len() > 30 && list.len() < 260, "{}", list.len());
        assert!(list.is_sorted_by_key(|o| (o.h, o.w, o.d)));
        for o in list {
            assert!(
                o.w <= LIMITS.most_w && o.d <= LIMITS.most_d && o.h <= LIMITS.most_h && o.h >= LIMITS.least_h
            );
            let inside = slice(&tray, o.h - 2, o.w - 6, o.d - 6);
            assert!(inside.is_some(), "{o:?}");
            let dominated = list.iter().any(|p| p != o && p.w <= o.w && p.d <= o.d && p.h <= o.h);
            assert!(!dominated, "{o:?}");
            assert!(area_bound(&tray, o.h - 2) <= o.w * o.d);
            assert!(list.contains(&Option3 { w: o.d, d: o.w, h: o.h }) || o.w > LIMITS.most_d, "{o:?}");
        }
    }
}

#[test]
fn fixed_needs_change_at_their_own_heights_only() {
    let tray = walled(vec![room(vec![fixed(60, 40, 20, true), fixed(60, 10, 45, true)])]);
    let options = options(&tray, &LIMITS);
    assert!(options.heights_complete && options.all_points);
    let heights: Vec<i64> = options.list.iter().map(|o| o.h).collect();
    assert_eq!(heights, [22, 22, 47, 47]);
}

#[test]
fn refining_finds_the_least_height_and_neighbours() {
    let tray = walled(mixed(4, 9));
    let options = options(&tray, &LIMITS);
    let near = options.list[options.list.len() / 2];
    let refined = refine(&tray, near, &LIMITS);
    let own = refined.iter().find(|o| o.w <= near.w && o.d <= near.d).unwrap();
    assert!(own.h <= near.h);
    let least = least_height(&tray, near.w - 6, near.d - 6).unwrap();
    assert!(refined.contains(&Option3 { h: least + 2, ..near }));
    assert!(slice(&tray, least, near.w - 6, near.d - 6).is_some());
    assert!(slice(&tray, least - 1, near.w - 6, near.d - 6).is_none());
    assert!(refined.len() > 8);
}

#[test]
fn a_fixed_size_is_the_only_option_or_a_finding() {
    let mut tray = walled(vec![room(vec![fixed(60, 40, 20, true)])]);
    let size = |w, d, h| Some(crate::place::Size { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) });
    tray.size = size(70, 50, 30);
    assert_eq!(
        options(&tray, &LIMITS).list,
        [Option3 { w: 50, d: 70, h: 30 }, Option3 { w: 70, d: 50, h: 30 }]
    );
    tray.size = size(65, 50, 30);
    let none = options(&tray, &LIMITS);
    assert!(none.list.is_empty() && none.findings[0].code == "T002");
    tray.size = None;
    let low = OptionLimits { most_h: 15, ..LIMITS };
    assert_eq!(options(&tray, &low).findings[0].code, "T001");
}

/// Searched curves can be sliced, are never above what a walk of all arrangements finds by much,
/// and are the same each time.
#[test]
fn search_comes_close_to_the_walk() {
    let parts = mixed(8, 4);
    let exact = tray(parts.clone(), 2, 380);
    let (u, most) = (30, (380, 310));
    let walked = curve(&exact, u, most, Effort::Usual);
    let found = super::super::frame::Frame::searching(&exact).solve(u, most).unwrap().points();
    let least = |p: &[Shape]| p.iter().map(|(w, d)| w * d).min().unwrap();
    assert!(walked.exact);
    assert!(least(&found) >= least(&walked.points));
    assert!(
        least(&found) * 1000 <= least(&walked.points) * 1010,
        "{} {}",
        least(&found),
        least(&walked.points)
    );
}

#[test]
fn many_different_compartments_are_searched() {
    let tray = walled(mixed(22, 6));
    let curve = curve(&tray, 35, (374, 304), Effort::Usual);
    assert!(!curve.exact && curve.points.len() > 20);
    for &(w, d) in curve.points.iter().skip(3).step_by(60) {
        let slice = slice(&tray, 35, w, d).unwrap();
        let size = |mm: i64| Length::mm(mm);
        let inner = crate::place::Cuboid {
            at: Default::default(),
            size: crate::place::Size { w: size(w), d: size(d), h: size(35) },
        };
        assert_eq!(place(&tray, &slice, inner).unwrap().compartments.len(), 22);
    }
    assert_eq!(curve, super::super::curve(&tray, 35, (374, 304), Effort::Usual));
}

#[test]
fn thirty_of_three_kinds_are_walked() {
    let kinds = [soft(20_000, 20, 20, 5), soft(33_000, 20, 30, 5), fixed(28, 28, 20, true)];
    let parts = (0..30).map(|i| room(vec![kinds[i % 3].clone()])).collect();
    let tray = tray(parts, 2, 380);
    let curve = curve(&tray, 30, (380, 380), Effort::Usual);
    assert!(curve.exact && curve.step == 1);
    let (w, d) = curve.points[curve.points.len() / 2];
    assert!(slice(&tray, 30, w, d).is_some());
}

#[test]
fn odd_input_is_answered_without_a_plan() {
    let none = TrayNeeds::plain(Length::mm(1), 100);
    assert!(curve(&none, 5, (90, 90), Effort::Usual).points.is_empty());
    assert!(options(&none, &LIMITS).list.is_empty());
    let nowhere = tray(vec![room(Vec::new())], 2, 100);
    assert!(curve(&nowhere, 5, (90, 90), Effort::Usual).points.is_empty());
    assert_eq!(least_height(&nowhere, 50, 50), None);
    assert_eq!(area_bound(&nowhere, 5), 0);
    let one = tray(vec![room(vec![fixed(5, 5, 5, true)])], 2, 100);
    assert!(slice(&one, 9, i64::MAX, i64::MAX).is_some());
    assert_eq!(least_height(&one, i64::MAX, 5), Some(5));
    assert!(slice(&one, -3, 50, 50).is_none() && slice(&one, 9, -1, 50).is_none());
    assert!(curve(&one, i64::MAX / 2, (i64::MAX / 2, 9), Effort::Usual).points == [(5, 5)]);
    assert_eq!(options(&one, &OptionLimits { most_h: -4, ..LIMITS }).findings[0].code, "T001");
}

/// Thirteen blocks in one row, worked out in steps of ten: rounding to them keeps nothing out that goes in, and what a
/// search does not find is not told as certain.
#[test]
fn a_tight_row_of_many_is_found_on_a_coarse_step() {
    let tenths = |n: i64| Length::from_nm(n * 100_000);
    let block = |w: i64| Alternative {
        space: Space::Fixed { w: tenths(w), d: tenths(341), h: tenths(100) },
        ..fixed(1, 1, 1, false)
    };
    let parts: Vec<PartNeed> = (0..13).map(|i| room(vec![block(201 + 10 * i)])).collect();
    let whole = 13 * 201 + 10 * 78 + 12 * 20;
    let tray =
        TrayNeeds { parts, divider: 20, divider_exact: Length::mm(2), ..TrayNeeds::plain(tenths(1), whole) };
    let within = |w: i64, d: i64| {
        options(&tray, &OptionLimits { most_w: w, most_d: d, least_h: 1, most_h: 100, count: 150 })
    };
    let found = within(whole, 361);
    assert!(!found.exact && found.step == 10);
    assert_eq!(found.list, [Option3 { w: whole, d: 341, h: 100 }]);
    // One step less: true, but only a search says so where there is some room behind the row.
    let unsure = within(whole - 1, 361);
    assert!(unsure.list.is_empty() && !unsure.certain);
    // By area; and by height.
    assert!(within(whole - 1, 341).certain);
    let low = OptionLimits { most_w: whole, most_d: 361, least_h: 1, most_h: 99, count: 150 };
    assert!(options(&tray, &low).certain);
}

#[test]
fn refining_goes_down_to_the_grid() {
    let mut random = Random::new(8);
    let parts = (0..10)
        .map(|_| {
            let mut um = || Length::um(100 * (150 + random.below(300)) as i64);
            let space = Space::Fixed { w: um(), d: um(), h: Length::mm(9) };
            room(vec![Alternative { standing: Standing::Block(1, 1, 1), piles: 1, space, turnable: true }])
        })
        .collect();
    let tray =
        TrayNeeds { parts, divider: 20, wall: Length::mm(3), ..TrayNeeds::plain(Length::um(100), 3_800) };
    let limits = OptionLimits { most_w: 3_800, most_d: 3_100, least_h: 50, most_h: 900, count: 60 };
    let options = options(&tray, &limits);
    assert!(options.step > 1 && options.exact);
    let near = *options.list.iter().min_by_key(|o| o.w * o.d).unwrap();
    let refined = refine(&tray, near, &limits);
    let best = refined.iter().min_by_key(|o| o.w * o.d).unwrap();
    assert!(best.w * best.d <= near.w * near.d);
    for o in refined.iter().take(3) {
        let (w, d) = (o.w - tray.walls(), o.d - tray.walls());
        assert!(slice(&tray, o.h, w, d).is_some() && slice(&tray, o.h + 5, w + 13, d + 4).is_some());
    }
}

/// A dozen poured compartments on a grid too fine to be walked: what a coarse step takes comes back.
#[test]
fn poured_compartments_share_out_what_rounding_took() {
    let mut random = Random::new(8);
    let parts: Vec<PartNeed> =
        (0..12).map(|_| room(vec![soft(400 + random.below(900) as i64, 12, 15, 1)])).collect();
    let mut t = tray(parts, 0, 15_000);
    t.grid = Length::um(10);
    // In steps of 10 µm: 100 of them high.
    let u = 100;
    let curve = curve(&t, u, (15_000, 15_000), Effort::Usual);
    assert!(curve.step > 4, "{}", curve.step);
    let least = curve.points.iter().map(|(w, d)| w * d).min().unwrap();
    let bound = area_bound(&t, u);
    assert!(least >= bound && least - bound < bound / 2_000, "{least} {bound}");
    for &(w, d) in curve.points.iter().step_by(curve.points.len() / 20) {
        assert!(slice(&t, u, w, d).is_some(), "{w} {d}");
    }
}

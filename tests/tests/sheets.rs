//! Pieces on sheets: whole jobs, properties, and small jobs against trying everything.

use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use proptest::prelude::*;
use traywright::length::Length;
use traywright::sheet::{Piece, Rules, SheetPlan, SheetSize, lay_out, verify};
use traywright::stop::Stop;

fn piece(w: i64, d: i64, turns: bool) -> Piece {
    Piece { name: format!("{w} × {d}"), w: Length::mm(w), d: Length::mm(d), turns }
}

fn size(w: i64, d: i64, price: Option<i64>) -> SheetSize {
    SheetSize { w: Length::mm(w), d: Length::mm(d), price_hundredths: price, most: None }
}

fn rules(margin: i64, spacing: i64, straight: bool) -> Rules {
    Rules { margin: Length::mm(margin), spacing: Length::mm(spacing), straight }
}

fn codes(pieces: &[Piece], sizes: &[SheetSize], rules: &Rules) -> Vec<&'static str> {
    match lay_out(pieces, sizes, rules, &Stop::nodes(10_000)) {
        Ok(_) => Vec::new(),
        Err(found) => found.iter().map(|f| f.code).collect(),
    }
}

/// Bad questions are findings, all at once.
#[test]
fn bad_questions() {
    let good = rules(0, 0, false);
    let (one, sheet) = ([piece(10, 10, true)], [size(100, 50, None)]);
    assert_eq!(codes(&[piece(0, 5, true), piece(5, -1, true)], &sheet, &good), ["H001", "H001"]);
    assert_eq!(codes(&one, &[size(0, 5, Some(-1))], &rules(-1, -1, false)), ["H002", "H004", "H005", "H005"]);
    assert_eq!(codes(&one, &sheet, &rules(25, 0, false)), ["H003"]);
    assert_eq!(codes(&vec![one[0].clone(); 4096], &sheet, &good), ["H006"]);
    assert_eq!(codes(&one, &[], &good), ["H007"]);
    assert_eq!(codes(&[piece(101, 10, true), piece(20, 60, false)], &sheet, &good), ["H008", "H008"]);
    let few = |most| [SheetSize { most: Some(most), ..size(10, 10, None) }];
    assert_eq!(codes(&[piece(8, 8, true), piece(8, 8, true)], &few(1), &good), ["H009"]);
    assert_eq!(codes(&[piece(8, 8, true), piece(8, 8, true)], &few(2), &good), [""; 0]);
    let huge = Length::from_nm(i64::MAX);
    let wild = [Piece { w: huge, d: huge, ..piece(1, 1, true) }];
    let odd = Rules { margin: huge, spacing: huge, straight: true };
    let wide = [SheetSize { w: huge, d: huge, ..size(1, 1, None) }];
    assert!(codes(&wild, &wide, &odd).contains(&"H001"));
}

/// Nothing to lay out, and a stop that was raised before.
#[test]
fn nothing_and_no_time() {
    let plan = lay_out(&[], &[size(5, 5, None)], &rules(0, 0, true), &Stop::never()).unwrap();
    assert_eq!((plan.sheets.len(), plan.cost, plan.bound), (0, 0, 0));
    let raised = Stop::never().with_flag(Arc::new(AtomicBool::new(true)));
    let pieces = vec![piece(40, 30, true); 30];
    let plan = lay_out(&pieces, &[size(100, 100, None)], &rules(5, 1, true), &raised).unwrap();
    assert!(plan.sheets.len() >= 5 && plan.bound <= plan.cost);
}

/// The last piece needs no spacing to the margin, and spacing counts between pieces only.
///
/// ```text
/// |margin|AAA|s|BBB|s|CCC|margin|   10 + 3 × 30 + 2 × 2 + 10 = 114
/// ```
#[test]
fn margins_and_spacing_fit_to_the_nanometre() {
    let pieces = vec![piece(30, 30, false); 3];
    let exact = rules(10, 2, true);
    let plan = |w: Length, rules: &Rules| {
        let sheet = SheetSize { w, ..size(1, 50, None) };
        lay_out(&pieces, &[sheet], rules, &Stop::nodes(20_000)).unwrap()
    };
    assert_eq!(plan(Length::mm(114), &exact).sheets.len(), 1);
    assert_eq!(plan(Length::from_nm(113_999_999), &exact).sheets.len(), 2);
    // Trims of four sides, then two cuts between.
    assert_eq!(plan(Length::mm(114), &exact).sheets[0].cuts.len(), 6);
}

/// Two small sheets at 190 beat one large at 400; one large at 370 beats them.
#[test]
fn the_cheapest_sheets_are_bought() {
    let pieces = [piece(90, 90, true), piece(90, 90, true)];
    let cost = |large| {
        let sizes = [size(200, 100, Some(large)), size(100, 100, Some(190))];
        let plan = lay_out(&pieces, &sizes, &rules(0, 0, false), &Stop::nodes(20_000)).unwrap();
        (plan.cost, plan.bound, plan.sheets.len())
    };
    assert_eq!(cost(400), (380, 380, 2));
    assert_eq!(cost(370), (370, 370, 1));
    // Equal cost: the fewer sheets.
    assert_eq!(cost(380), (380, 380, 1));
}

/// What is free lies at one end in one piece: six of 30 × 20 take 60 × 60 or better, of 200 × 60.
#[test]
fn the_offcut_is_one_large_piece() {
    for straight in [false, true] {
        let pieces = vec![piece(30, 20, true); 6];
        let plan =
            lay_out(&pieces, &[size(200, 60, None)], &rules(0, 0, straight), &Stop::nodes(50_000)).unwrap();
        let (_, _, w, d) = plan.sheets[0].offcut.unwrap();
        assert_eq!((w, d), (Length::mm(140), Length::mm(60)), "straight: {straight}");
    }
}

/// A pinwheel fills a sheet that straight cuts cannot: they need a second one, and that is proven.
///
/// ```text
/// AAAB
/// AAAB      four of 3 × 2 around a hole of 1 × 1 on 5 × 5
/// ```
#[test]
fn a_pinwheel_needs_two_sheets_by_straight_cuts() {
    let pieces = vec![piece(3, 2, true); 4];
    let of = |straight| {
        let plan = lay_out(&pieces, &[size(5, 5, Some(100))], &rules(0, 0, straight), &Stop::nodes(200_000))
            .unwrap();
        (plan.cost, plan.bound)
    };
    assert_eq!(of(false), (100, 100));
    assert_eq!(of(true), (200, 200));
}

/// The same nodes give the same layout.
#[test]
fn repeatable() {
    let pieces: Vec<Piece> = (0..25).map(|i| piece(20 + i * 7 % 50, 15 + i * 11 % 40, i % 3 > 0)).collect();
    let sizes = [size(120, 100, Some(300)), size(90, 70, Some(170))];
    for straight in [false, true] {
        let once = || lay_out(&pieces, &sizes, &rules(3, 2, straight), &Stop::nodes(60_000)).unwrap();
        assert_eq!(once(), once());
    }
}

/// Pieces of 1 to `side`, sizes of `side` or more with prices or without, rules.
fn jobs(side: i64, most: usize) -> impl Strategy<Value = (Vec<Piece>, Vec<SheetSize>, Rules)> {
    let pieces = proptest::collection::vec((1..=side, 1..=side, any::<bool>()), 1..=most);
    let sizes = proptest::collection::vec((0..=side / 2, 0..=side / 2, 1..500i64), 1..=3);
    (pieces, sizes, any::<bool>(), 0..2i64, 0..2i64, any::<bool>()).prop_map(
        move |(pieces, sizes, priced, margin, spacing, straight)| {
            let pieces = pieces.into_iter().map(|(w, d, turns)| piece(w, d, turns)).collect();
            let size = |(w, d, price): (i64, i64, i64)| {
                size(side + 2 * margin + w, side + 2 * margin + d, priced.then_some(price))
            };
            (pieces, sizes.into_iter().map(size).collect(), rules(margin, spacing, straight))
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn every_layout_passes_the_check((pieces, sizes, rules) in jobs(40, 24)) {
        let plan = lay_out(&pieces, &sizes, &rules, &Stop::nodes(5_000)).unwrap();
        prop_assert_eq!(verify(&pieces, &sizes, &rules, &plan), vec![]);
        prop_assert!(plan.bound <= plan.cost);
    }

    #[test]
    fn small_jobs_are_proven_and_agree_with_trying_everything((pieces, sizes, rules) in jobs(4, 5)) {
        let plan = lay_out(&pieces, &sizes, &rules, &Stop::nodes(300_000)).unwrap();
        let least = try_everything(&pieces, &sizes, &rules);
        prop_assert_eq!(plan.cost, least);
        prop_assert_eq!(plan.bound, least);
    }

    #[test]
    fn one_more_piece_never_lowers_the_bound((pieces, sizes, rules) in jobs(7, 7)) {
        let plan = |pieces: &[Piece]| -> SheetPlan {
            lay_out(pieces, &sizes, &rules, &Stop::nodes(300_000)).unwrap()
        };
        let mut before = 0;
        for n in 1..=pieces.len() {
            let bound = plan(&pieces[..n]).bound;
            prop_assert!(bound >= before, "{} after {}", bound, before);
            before = bound;
        }
    }
}

/// The least cost, by every way of sharing pieces out and every place on a grid of millimetres.
fn try_everything(pieces: &[Piece], sizes: &[SheetSize], rules: &Rules) -> i128 {
    let mm = |l: Length| l.nm() / 1_000_000;
    let priced = sizes.iter().all(|s| s.price_hundredths.is_some());
    let cost = |s: &SheetSize| match s.price_hundredths {
        Some(price) if priced => i128::from(price),
        _ => i128::from(mm(s.w) * mm(s.d)),
    };
    let all = (1usize << pieces.len()) - 1;
    let mut single = vec![i128::MAX; all + 1];
    for (set, single) in single.iter_mut().enumerate().skip(1) {
        let chosen: Vec<&Piece> =
            pieces.iter().enumerate().filter(|(i, _)| set >> i & 1 == 1).map(|p| p.1).collect();
        for s in sizes {
            let (w, d) = (mm(s.w - rules.margin * 2), mm(s.d - rules.margin * 2));
            if cost(s) < *single
                && placeable(&chosen, w, d, mm(rules.spacing), rules.straight, &mut Vec::new())
            {
                *single = cost(s);
            }
        }
    }
    let mut least = vec![0i128; all + 1];
    for set in 1..=all {
        let first = set & set.wrapping_neg();
        let mut best = i128::MAX;
        let mut part = set;
        while part > 0 {
            if part & first > 0 && single[part] < i128::MAX {
                best = best.min(single[part] + least[set ^ part]);
            }
            part = (part - 1) & set;
        }
        least[set] = best;
    }
    least[all]
}

type Spot = (i64, i64, i64, i64);

fn placeable(pieces: &[&Piece], w: i64, d: i64, gap: i64, straight: bool, taken: &mut Vec<Spot>) -> bool {
    let Some((piece, rest)) = pieces.split_first() else { return !straight || parted(taken, gap) };
    let (pw, pd) = (piece.w.nm() / 1_000_000, piece.d.nm() / 1_000_000);
    let ways = if piece.turns && pw != pd { vec![(pw, pd), (pd, pw)] } else { vec![(pw, pd)] };
    for (pw, pd) in ways {
        for x in 0..=w - pw {
            for y in 0..=d - pd {
                let near = |t: &Spot| {
                    x < t.0 + t.2 + gap && t.0 < x + pw + gap && y < t.1 + t.3 + gap && t.1 < y + pd + gap
                };
                if taken.iter().any(near) {
                    continue;
                }
                taken.push((x, y, pw, pd));
                if placeable(rest, w, d, gap, straight, taken) {
                    return true;
                }
                taken.pop();
            }
        }
    }
    false
}

/// Whether some sequence of cuts from edge to edge, as wide as the gap, parts them: all cuts tried.
fn parted(all: &[Spot], gap: i64) -> bool {
    if all.len() <= 1 {
        return true;
    }
    for at in 0..40 {
        let sides: (Vec<Spot>, Vec<Spot>) = all.iter().partition(|s| s.0 + s.2 <= at);
        if !sides.0.is_empty()
            && !sides.1.is_empty()
            && sides.1.iter().all(|s| s.0 >= at + gap)
            && parted(&sides.0, gap)
            && parted(&sides.1, gap)
        {
            return true;
        }
        let sides: (Vec<Spot>, Vec<Spot>) = all.iter().partition(|s| s.1 + s.3 <= at);
        if !sides.0.is_empty()
            && !sides.1.is_empty()
            && sides.1.iter().all(|s| s.1 >= at + gap)
            && parted(&sides.0, gap)
            && parted(&sides.1, gap)
        {
            return true;
        }
    }
    false
}

//! Layouts of sheets spoilt one rule at a time: the checker must name each.

use traywright::length::{Area, Length};
use traywright::sheet::{Piece, Rules, SheetPlan, SheetSize, lay_out, verify};
use traywright::stop::Stop;

const MM: fn(i64) -> Length = Length::mm;

fn job(straight: bool) -> (Vec<Piece>, Vec<SheetSize>, Rules) {
    let piece = |(i, (w, d)): (usize, (i64, i64))| Piece {
        name: format!("part {i}"),
        w: MM(w),
        d: MM(d),
        turns: i % 2 == 0,
    };
    let sides = [(120, 80), (60, 80), (90, 30), (40, 70), (110, 50), (30, 30), (70, 20), (100, 90), (80, 60)];
    let pieces = sides.into_iter().enumerate().map(piece).collect();
    let size = |w, d, price, most| SheetSize { w: MM(w), d: MM(d), price_hundredths: Some(price), most };
    let sizes = vec![size(210, 160, 300, Some(1)), size(150, 110, 190, None)];
    (pieces, sizes, Rules { margin: MM(4), spacing: Length::um(1_501), straight })
}

/// Codes that a spoilt layout gets, each once.
fn codes(straight: bool, spoil: impl FnOnce(&mut SheetPlan)) -> Vec<&'static str> {
    let (pieces, sizes, rules) = job(straight);
    let mut plan = lay_out(&pieces, &sizes, &rules, &Stop::nodes(50_000)).unwrap();
    assert_eq!(verify(&pieces, &sizes, &rules, &plan), []);
    assert!(plan.sheets.len() > 1 && plan.sheets[0].placed.len() > 1);
    spoil(&mut plan);
    let mut codes: Vec<_> = verify(&pieces, &sizes, &rules, &plan).iter().map(|f| f.code).collect();
    codes.sort_unstable();
    codes.dedup();
    codes
}

/// The sheet with the most pieces.
fn full(plan: &mut SheetPlan) -> &mut traywright::sheet::SheetLayout {
    plan.sheets.iter_mut().max_by_key(|s| s.placed.len()).unwrap()
}

#[test]
fn places() {
    let on = |spoil: fn(&mut SheetPlan)| codes(false, spoil);
    assert!(on(|p| p.sheets[0].size = 7).contains(&"H020"));
    assert!(on(|p| p.sheets.iter_mut().for_each(|s| s.size = 0)).contains(&"H020"));
    assert!(on(|p| full(p).placed.truncate(1)).contains(&"H021"));
    assert!(on(|p| full(p).placed[0].piece = 99).contains(&"H021"));
    let twice = on(|p| {
        let again = p.sheets[0].placed[0];
        p.sheets[1].placed.push(again);
    });
    assert!(twice.contains(&"H021"));
    let turned = on(|p| {
        let all = p.sheets.iter_mut().flat_map(|s| &mut s.placed);
        all.filter(|q| q.piece % 2 == 1).for_each(|q| q.turned = true);
    });
    assert!(turned.contains(&"H022"));
    assert!(on(|p| full(p).placed[0].x = Length::from_nm(MM(4).nm() - 1)).contains(&"H023"));
    assert!(on(|p| full(p).placed[0].y = Length::from_nm(i64::MAX)).contains(&"H023"));
    assert!(on(|p| full(p).placed[0].y = MM(160)).contains(&"H023"));
}

/// A nanometre less than the spacing is too near.
#[test]
fn spacing() {
    let (pieces, sizes, mut rules) = job(false);
    let plan = lay_out(&pieces, &sizes, &rules, &Stop::nodes(50_000)).unwrap();
    rules.spacing += Length::from_nm(1);
    let found = verify(&pieces, &sizes, &rules, &plan);
    assert!(found.iter().any(|f| f.code == "H024"), "{found:?}");
    assert!(
        codes(false, |p| {
            let s = full(p);
            (s.placed[1].x, s.placed[1].y) = (s.placed[0].x, s.placed[0].y);
        })
        .contains(&"H024")
    );
}

#[test]
fn cuts() {
    let on = |spoil: fn(&mut SheetPlan)| codes(true, spoil);
    assert!(on(|p| full(p).cuts.truncate(2)).contains(&"H026"));
    assert!(on(|p| full(p).cuts.rotate_left(1)).iter().any(|c| ["H025", "H026"].contains(c)));
    assert!(on(|p| full(p).cuts.reverse()).iter().any(|c| ["H025", "H026"].contains(c)));
    let one = Length::from_nm(1);
    let shifted = on(|p| {
        let one = Length::from_nm(1);
        for c in full(p).cuts.iter_mut().take(1) {
            let upright = c.from.0 == c.to.0;
            let by = |at: &mut (Length, Length)| if upright { at.0 += one } else { at.1 += one };
            by(&mut c.from);
            by(&mut c.to);
        }
    });
    assert!(!shifted.is_empty());
    assert!(on(|p| full(p).cuts[0].to = full(p).cuts[0].from).contains(&"H025"));
    assert!(on(|p| full(p).cuts[0].to.0 += Length::mm(1)).contains(&"H025"));
    // Straight cuts are no part of a layout without them; nor are pieces moved after the cuts were listed.
    let (pieces, sizes, rules) = job(true);
    let mut plan = lay_out(&pieces, &sizes, &rules, &Stop::nodes(50_000)).unwrap();
    let free = Rules { straight: false, ..rules.clone() };
    assert!(verify(&pieces, &sizes, &free, &plan).iter().any(|f| f.code == "H025"));
    full(&mut plan).placed[0].x += one;
    assert!(verify(&pieces, &sizes, &rules, &plan).iter().any(|f| f.code == "H026"));
}

#[test]
fn offcuts() {
    for straight in [false, true] {
        let wider = codes(straight, |p| {
            for s in p.sheets.iter_mut().filter(|s| s.offcut.is_some()) {
                s.offcut =
                    s.offcut.map(|(x, y, w, d)| (x - Length::from_nm(1), y, w + Length::from_nm(1), d));
            }
        });
        assert!(wider.contains(&"H027"), "{straight} {wider:?}");
        let none = codes(straight, |p| p.sheets[0].offcut = Some((MM(0), MM(0), MM(0), MM(5))));
        assert!(none.contains(&"H027"));
        let all = codes(straight, |p| p.sheets[0].offcut = Some((MM(0), MM(0), MM(100), MM(100))));
        assert!(all.contains(&"H027"));
    }
    // Free, but not what comes off by the cuts.
    let smaller = codes(true, |p| {
        for s in p.sheets.iter_mut().filter(|s| s.offcut.is_some()) {
            s.offcut = s.offcut.map(|(x, y, w, d)| (x, y, w - Length::from_nm(1), d));
        }
    });
    assert_eq!(smaller, ["H027"]);
}

#[test]
fn sums() {
    let on = |spoil: fn(&mut SheetPlan)| codes(false, spoil);
    assert_eq!(on(|p| p.cost += 1), ["H028"]);
    assert_eq!(on(|p| p.bound = p.cost + 1), ["H028"]);
    assert_eq!(on(|p| p.bound = -1), ["H028"]);
    assert_eq!(on(|p| p.by_price = false), ["H028"]);
    assert_eq!(on(|p| p.used = Area::ZERO), ["H028"]);
    assert_eq!(on(|p| p.bought += Area::from_nm2(1)), ["H028"]);
}

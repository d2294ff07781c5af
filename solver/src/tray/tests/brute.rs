//! Every slicing tree written out, as an oracle that shares nothing with the recursion tested.

use super::*;

/// Rooms of a part at a clear height as a test of each whole (w, d).
fn fits(part: &PartNeed, u: i64, w: i64, d: i64) -> bool {
    let PartNeed::Room(need) = part else { return false };
    need.alternatives.iter().any(|a| {
        let test = |turned| a.space.fits(Length::mm(w), Length::mm(d), Length::mm(u), turned);
        test(false) || (a.turnable && test(true))
    })
}

/// All (w, d) up to `most` that hold the parts, by trying every cut position of every tree.
///
/// `table[set][w][d]`; a set holds if some parting into two holds at some position of a divider.
fn holding(parts: &[PartNeed], u: i64, divider: i64, most: i64) -> Vec<Vec<bool>> {
    let size = most as usize + 1;
    let sets = 1usize << parts.len();
    let mut table = vec![vec![vec![false; size]; size]; sets];
    for set in 1..sets {
        for w in 1..size {
            for d in 1..size {
                table[set][w][d] = if set.count_ones() == 1 {
                    fits(&parts[set.trailing_zeros() as usize], u, w as i64, d as i64)
                } else {
                    (1..set).filter(|a| a & set == *a).any(|a| {
                        let b = set & !a;
                        let at = |len: usize, cut: usize| {
                            len.checked_sub(cut + divider as usize).filter(|&x| x > 0)
                        };
                        (1..w).any(|c| at(w, c).is_some_and(|e| table[a][c][d] && table[b][e][d]))
                            || (1..d).any(|c| at(d, c).is_some_and(|e| table[a][w][c] && table[b][w][e]))
                    })
                };
            }
        }
    }
    table.swap_remove(sets - 1)
}

#[test]
fn curves_agree_with_brute_force_on_random_trays() {
    let mut random = Random::new(11);
    for case in 0..120 {
        let n = 1 + random.below(4);
        let mut parts: Vec<PartNeed> = (0..n).map(|_| random_part(&mut random)).collect();
        if n > 1 && random.below(3) == 0 {
            parts[n - 1] = parts[0].clone();
        }
        let (divider, u, most) = (random.below(3) as i64, 1 + random.below(4) as i64, 16);
        let holds = holding(&parts, u, divider, most);
        let tray = tray(parts, divider, 40);
        let curve = curve(&tray, u, (most, most), Effort::Usual);
        assert!(curve.exact && curve.step == 1, "case {case}");
        for w in 1..=most {
            for d in 1..=most {
                let expected = holds[w as usize][d as usize];
                let by_curve = curve.points.iter().any(|p| p.0 <= w && p.1 <= d);
                assert_eq!(by_curve, expected, "case {case}: {w} × {d} at {u}, {tray:?}");
                assert_eq!(slice(&tray, u, w, d).is_some(), expected, "case {case}: slice {w} × {d}");
                if expected {
                    let bound = area_bound(&tray, u);
                    assert!(bound <= w * d, "case {case}: bound {bound} above {w} × {d}");
                }
            }
        }
    }
}

#[test]
fn least_heights_agree_with_curves() {
    let mut random = Random::new(5);
    for case in 0..60 {
        let parts: Vec<PartNeed> = (0..1 + random.below(3)).map(|_| random_part(&mut random)).collect();
        let tray = tray(parts, 1, 30);
        let (w, d) = (3 + random.below(15) as i64, 3 + random.below(15) as i64);
        let expected = (1..=120).find(|&u| !curve(&tray, u, (w, d), Effort::Usual).points.is_empty());
        assert_eq!(least_height(&tray, w, d), expected, "case {case}: {w} × {d}, {tray:?}");
    }
}

/// On a coarse working step curves are still arrangements, and close to the fine ones.
#[test]
fn coarse_steps_lose_little_and_never_cheat() {
    let mut random = Random::new(3);
    for case in 0..12 {
        let part = |random: &mut Random| {
            let (a, b) = (10_000 + random.below(30_000) as i64, 10_000 + random.below(30_000) as i64);
            let space = Space::Fixed { w: Length::um(a), d: Length::um(b), h: Length::mm(1) };
            let standing = Standing::Block(1, 1, 1);
            room(vec![Alternative { standing, piles: 1, space, turnable: true }])
        };
        let parts: Vec<PartNeed> = (0..5).map(|_| part(&mut random)).collect();
        // The reach decides on the step: 0.1 mm here, and 0.5 mm or more there.
        let fine = TrayNeeds { parts, divider: 20, ..TrayNeeds::plain(Length::um(100), 2_000) };
        let coarse = TrayNeeds { reach: 90_000, ..fine.clone() };
        let of = |t: &TrayNeeds| curve(t, 10, (2_000, 2_000), Effort::Usual);
        let (fine, coarse, tray) = (of(&fine), of(&coarse), coarse);
        assert!(fine.step == 1 && coarse.step >= 5, "{} {}", fine.step, coarse.step);
        let area = |c: &Curve| c.points.iter().map(|(w, d)| w * d).min().unwrap();
        assert!(area(&coarse) >= area(&fine) && area(&coarse) * 100 <= area(&fine) * 103, "case {case}");
        for &(w, d) in &coarse.points {
            assert!(fine.points.iter().any(|p| p.0 <= w && p.1 <= d), "case {case}: {w} × {d}");
            assert!(slice(&tray, 10, w, d).is_some(), "case {case}: {w} × {d} is not found again");
            assert!(slice(&tray, 10, w + 7, d + 3).is_some());
        }
    }
}

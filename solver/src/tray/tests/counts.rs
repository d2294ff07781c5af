//! Published counts and small puzzles.

use super::*;

/// Slicing floorplans with `rooms` rooms as distinct trees: a cut's members are no cuts of its own axis.
fn floorplans(rooms: usize) -> Vec<String> {
    fn build(rooms: usize, axis: usize) -> Vec<String> {
        if rooms == 1 {
            return vec!["r".into()];
        }
        // At least two members along `axis`, each a room or a cut along the other axis.
        fn rows(rooms: usize, axis: usize, members: usize) -> Vec<String> {
            let mut out = Vec::new();
            if members >= 1 {
                out.extend(build(rooms, 1 - axis));
            }
            for first in 1..rooms {
                for head in build(first, 1 - axis) {
                    out.extend(
                        rows(rooms - first, axis, members + 1).iter().map(|tail| format!("{head}{tail}")),
                    );
                }
            }
            out
        }
        let mark = if axis == 0 { ('(', ')') } else { ('[', ']') };
        rows(rooms, axis, 0).into_iter().map(|row| format!("{}{row}{}", mark.0, mark.1)).collect()
    }
    if rooms == 1 { build(1, 0) } else { [build(rooms, 0), build(rooms, 1)].concat() }
}

/// Writes a slice as [`floorplans`] does, chains of one axis flattened.
fn written(slice: &Slice) -> String {
    fn row(slice: &Slice, axis: usize) -> String {
        match (slice, axis) {
            (Slice::Beside(a, b), 0) | (Slice::Behind(a, b), 1) => row(a, axis) + &row(b, axis),
            _ => written(slice),
        }
    }
    match slice {
        Slice::Part { .. } => "r".into(),
        Slice::Beside(..) => format!("({})", row(slice, 0)),
        Slice::Behind(..) => format!("[{}]", row(slice, 1)),
    }
}

/// Facts G11: slicing floorplans are counted by the large Schröder numbers.
#[test]
fn slicing_floorplans_are_counted_by_schroeder_numbers() {
    let counts: Vec<usize> = (1..=6)
        .map(|n| {
            let mut all = floorplans(n);
            all.sort();
            all.dedup();
            all.len()
        })
        .collect();
    assert_eq!(counts, [1, 2, 6, 22, 90, 394]);
}

/// Each of the 22 floorplans of four rooms is found by the search where the sizes ask for it:
/// rooms are given the sizes of that floorplan on a fine raster, and the outline is its own.
#[test]
fn every_floorplan_of_four_rooms_is_found() {
    for plan in floorplans(4) {
        // Powers of two as room sizes let only a few floorplans fill an outline without a gap.
        let (parts, outline) = sizes_of(&plan);
        let tray = tray(blocks(&parts, false), 0, 200);
        let found = slice(&tray, 1, outline.0, outline.1).unwrap_or_else(|| panic!("{plan}"));
        assert_eq!(outline.0 * outline.1, parts.iter().map(|(w, d)| w * d).sum::<i64>(), "{plan}");
        assert_eq!(written(&found).matches('r').count(), 4, "{plan}");
        assert!(slice(&tray, 1, outline.0 - 1, outline.1).is_none());
    }
}

/// Sizes that fill a floorplan: every region is cut into unequal shares of its extent.
fn sizes_of(plan: &str) -> (Vec<(i64, i64)>, (i64, i64)) {
    fn fill(text: &[char], at: &mut usize, (w, d): (i64, i64), out: &mut Vec<(i64, i64)>) {
        let open = text[*at];
        *at += 1;
        if open == 'r' {
            out.push((w, d));
            return;
        }
        let close = if open == '(' { ')' } else { ']' };
        let members = {
            let (mut depth, mut count) = (0, 0);
            for &c in &text[*at..] {
                match c {
                    'r' if depth == 0 => count += 1,
                    '(' | '[' => {
                        count += i64::from(depth == 0);
                        depth += 1;
                    }
                    ')' | ']' => depth -= 1,
                    _ => {}
                }
                if depth < 0 {
                    break;
                }
            }
            count
        };
        // Shares 1 : 2 : 3 … of an extent that 1, 3, 6 and 10 divide three times over.
        let whole = members * (members + 1) / 2;
        for i in 1..=members {
            let size = if open == '(' { (w / whole * i, d) } else { (w, d / whole * i) };
            fill(text, at, size, out);
        }
        assert_eq!(text[*at], close);
        *at += 1;
    }
    let text: Vec<char> = plan.chars().collect();
    let mut out = Vec::new();
    fill(&text, &mut 0, (90, 90), &mut out);
    (out, (90, 90))
}

/// Facts G10: five pieces of a pinwheel fill 3 × 3, but straight cuts fill 7 of 9 at best.
///
/// ```text
/// A A B
/// C E B
/// C D D
/// ```
#[test]
fn a_pinwheel_is_beyond_straight_cuts() {
    let pieces = [(2, 1), (1, 2), (1, 2), (2, 1), (1, 1)];
    let mut best = 0;
    for set in 1..32u32 {
        let chosen: Vec<(i64, i64)> =
            (0..5).filter(|i| set >> i & 1 == 1).map(|i| pieces[i as usize]).collect();
        let area: i64 = chosen.iter().map(|(w, d)| w * d).sum();
        if slice(&tray(blocks(&chosen, false), 0, 9), 1, 3, 3).is_some() {
            best = best.max(area);
        }
    }
    assert_eq!(best, 7);
}

/// Facts G13, all arrangements and not only the one worked out there: 10 × 3 is least (computed here).
#[test]
fn three_turnable_blocks() {
    let tray = tray(blocks(&[(2, 5), (3, 4), (1, 6)], true), 0, 40);
    let curve = curve(&tray, 1, (40, 40), Effort::Usual);
    assert_eq!(curve.points.iter().map(|(w, d)| w * d).min(), Some(30));
    for point in [(5, 11), (6, 6), (8, 5), (9, 4)] {
        assert!(curve.points.iter().any(|p| p.0 <= point.0 && p.1 <= point.1), "{point:?}");
    }
}

#[test]
fn like_compartments_stand_in_straight_rows() {
    // Six of 20 × 30 with dividers of 2 in the outline of 3 × 2.
    let tray = tray(blocks(&[(20, 30); 6], false), 2, 300);
    let found = slice(&tray, 1, 64, 62).unwrap();
    assert!(["([rr][rr][rr])", "[(rrr)(rrr)]"].contains(&written(&found).as_str()), "{}", written(&found));
    assert_eq!(written(&slice(&tray, 1, 130, 30).unwrap()), "(rrrrrr)");
}

//! A layout checked by its rules alone, from the pieces, sizes and rules as given. Shares nothing with the search.

use super::{Piece, Rules, SheetLayout, SheetPlan, SheetSize};
use crate::finding::Finding;
use crate::length::{Area, Length};

/// Left, front, right, back, in nanometres.
type Span = (i64, i64, i64, i64);

/// Everything that is wrong with a plan; empty where it can be made.
///
/// Checked: every piece lies on exactly one sheet, in a way it may; within the margins; with the spacing; the cuts, where
/// only straight ones are possible, go from edge to edge and leave every piece alone and at size; the offcut is free (and
/// comes off by the cuts); sizes exist and are not used up; cost, bound and areas add up.
///
/// ```
/// # use traywright::length::Length;
/// # use traywright::sheet::*;
/// # use traywright::stop::Stop;
/// # let (mm, stop) = (Length::mm, Stop::nodes(20_000));
/// # let size = [SheetSize { w: mm(100), d: mm(50), price_hundredths: None, most: None }];
/// # let wall = [Piece { name: "wall".into(), w: mm(60), d: mm(30), turns: true }];
/// let rules = Rules { margin: mm(5), spacing: mm(2), straight: false };
/// let mut plan = lay_out(&wall, &size, &rules, &stop).unwrap();
/// assert!(verify(&wall, &size, &rules, &plan).is_empty());
/// plan.sheets[0].placed[0].y = mm(4);
/// assert_eq!(verify(&wall, &size, &rules, &plan)[0].code, "H023"); // reaches into the margin
/// ```
pub fn verify(pieces: &[Piece], sizes: &[SheetSize], rules: &Rules, plan: &SheetPlan) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut seen = vec![0usize; pieces.len()];
    let mut used = vec![0usize; sizes.len()];
    for (number, sheet) in plan.sheets.iter().enumerate() {
        let place = format!("sheet {}", number + 1);
        let mut say = |code, cause: String| found.push(Finding::listed(code, cause).about(place.clone()));
        let Some(size) = sizes.get(sheet.size) else {
            say("H020", format!("its size {} is not among the {} given", sheet.size, sizes.len()));
            continue;
        };
        used[sheet.size] += 1;
        let mut spans: Vec<(Span, &str)> = Vec::new();
        for p in &sheet.placed {
            let Some(piece) = pieces.get(p.piece) else {
                say("H021", format!("there is no piece {}", p.piece));
                continue;
            };
            seen[p.piece] += 1;
            if p.turned && !piece.turns {
                say("H022", format!("`{}` lies turned, against the grain", piece.name));
            }
            let (w, d) = if p.turned { (piece.d, piece.w) } else { (piece.w, piece.d) };
            let far = |at: Length, side: Length| at.nm().checked_add(side.nm());
            let (Some(right), Some(back)) = (far(p.x, w), far(p.y, d)) else {
                say("H023", format!("`{}` lies beyond every sheet", piece.name));
                continue;
            };
            let m = rules.margin.nm();
            if p.x.nm() < m || p.y.nm() < m || right > size.w.nm() - m || back > size.d.nm() - m {
                say("H023", format!("`{}` reaches into the margin of {}", piece.name, rules.margin));
            }
            spans.push(((p.x.nm(), p.y.nm(), right, back), &piece.name));
        }
        for (i, (a, name)) in spans.iter().enumerate() {
            for (b, other) in &spans[i + 1..] {
                if nearer(a, b, rules.spacing.nm()) {
                    say("H024", format!("`{name}` and `{other}` are closer than {}", rules.spacing));
                }
            }
        }
        let only: Vec<Span> = spans.iter().map(|s| s.0).collect();
        for (code, cause) in judge(sheet, size, &only, rules) {
            say(code, cause);
        }
    }
    for (piece, n) in pieces.iter().zip(&seen).filter(|(_, n)| **n != 1) {
        found.push(Finding::listed("H021", format!("`{}` lies on {n} sheets", piece.name)));
    }
    for (i, (size, n)) in sizes.iter().zip(&used).enumerate() {
        if size.most.is_some_and(|most| *n > most) {
            found.push(Finding::listed("H020", format!("{n} sheets of size {} are used", i + 1)));
        }
    }
    found.extend(totals(pieces, sizes, plan));
    found
}

/// Whether two come closer than the spacing, along the width and along the depth.
fn nearer(a: &Span, b: &Span, spacing: i64) -> bool {
    a.0 < b.2.saturating_add(spacing)
        && b.0 < a.2.saturating_add(spacing)
        && a.1 < b.3.saturating_add(spacing)
        && b.1 < a.3.saturating_add(spacing)
}

/// Cuts and offcut of one sheet.
fn judge(
    sheet: &SheetLayout,
    size: &SheetSize,
    pieces: &[Span],
    rules: &Rules,
) -> Vec<(&'static str, String)> {
    let mut wrong = Vec::new();
    let whole: Span = (0, 0, size.w.nm(), size.d.nm());
    let mut parts = vec![whole];
    if !rules.straight && !sheet.cuts.is_empty() {
        wrong.push(("H025", "it has straight cuts, though none are asked for".to_owned()));
    }
    if rules.straight {
        for (i, cut) in sheet.cuts.iter().enumerate() {
            match apply(&parts, cut, rules.spacing.nm()) {
                Some(next) => parts = next,
                None => {
                    wrong.push(("H025", format!("cut {} does not go from edge to edge of a part", i + 1)))
                }
            }
        }
        let alone = |p: &&Span| parts.iter().filter(|part| part == p).count() != 1;
        let caught = pieces.iter().filter(alone).count();
        if caught > 0 {
            wrong.push(("H026", format!("the cuts do not free {caught} pieces at their size")));
        }
    }
    if let Some((x, y, w, d)) = sheet.offcut {
        let far = |at: Length, side: Length| at.nm().saturating_add(side.nm());
        let off: Span = (x.nm(), y.nm(), far(x, w), far(y, d));
        let inside = off.0 >= 0 && off.1 >= 0 && off.2 <= whole.2 && off.3 <= whole.3;
        let solid = w > Length::ZERO && d > Length::ZERO;
        if !inside || !solid || pieces.iter().any(|p| nearer(p, &off, rules.spacing.nm())) {
            wrong.push(("H027", "the offcut is not free".to_owned()));
        } else if rules.straight && !parts.contains(&off) {
            wrong.push(("H027", "the cuts do not yield the offcut".to_owned()));
        }
    }
    wrong
}

/// The parts after a cut; `None` where it does not part exactly one of them from edge to edge.
///
/// The cut removes a band as wide as the spacing, with the line in its middle (rounded down to a nanometre).
fn apply(parts: &[Span], cut: &super::SheetCut, spacing: i64) -> Option<Vec<Span>> {
    let ((fx, fy), (tx, ty)) = (cut.from, cut.to);
    let (fx, fy, tx, ty) = (fx.nm(), fy.nm(), tx.nm(), ty.nm());
    let upright = match (fx == tx && fy < ty, fy == ty && fx < tx) {
        (true, _) => true,
        (_, true) => false,
        _ => return None,
    };
    let from = if upright { fx } else { fy }.checked_sub(spacing / 2)?;
    let to = from.checked_add(spacing)?;
    let hit = |p: &Span| {
        let (low, high) = if upright { (p.0, p.2) } else { (p.1, p.3) };
        let whole = if upright { p.1 == fy && p.3 == ty } else { p.0 == fx && p.2 == tx };
        whole && from < high && to > low && (spacing > 0 || from > low)
    };
    let mut hits = parts.iter().enumerate().filter(|(_, p)| hit(p));
    let (index, part) = hits.next()?;
    if hits.next().is_some() {
        return None;
    }
    let (mut low, mut high) = (*part, *part);
    if upright {
        (low.2, high.0) = (from, to);
    } else {
        (low.3, high.1) = (from, to);
    }
    let mut next = parts.to_vec();
    next.swap_remove(index);
    next.extend([low, high].into_iter().filter(|p| p.0 < p.2 && p.1 < p.3));
    Some(next)
}

fn totals(pieces: &[Piece], sizes: &[SheetSize], plan: &SheetPlan) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut say = |cause: String| found.push(Finding::listed("H028", cause));
    let chosen: Vec<&SheetSize> = plan.sheets.iter().filter_map(|s| sizes.get(s.size)).collect();
    let priced = !sizes.is_empty() && sizes.iter().all(|s| s.price_hundredths.is_some());
    if plan.by_price != priced {
        say(format!("cost is {}by price", if plan.by_price { "" } else { "not " }));
    }
    let mut cost = 0i128;
    let (mut bought, mut used) = (Area::ZERO, Area::ZERO);
    for s in &chosen {
        bought += s.w * s.d;
        cost += match s.price_hundredths {
            Some(price) if priced => i128::from(price),
            _ => {
                let nm2 = (s.w * s.d).nm2();
                nm2 / 10i128.pow(12) + i128::from(nm2 % 10i128.pow(12) > 0)
            }
        };
    }
    for p in pieces {
        used += p.w * p.d;
    }
    if plan.cost != cost {
        say(format!("a cost of {} is given and {cost} is the sum", plan.cost));
    }
    if plan.bound > plan.cost || plan.bound < 0 {
        say(format!("a bound of {} beside a cost of {}", plan.bound, plan.cost));
    }
    if plan.used != used || plan.bought != bought {
        say("areas are not the sums of pieces and sheets".to_owned());
    }
    found
}

//! Solid contents: bodies side by side in a block, and one on another where they may be piled.
//!
//! A block of nx × ny × nz bodies w × d × h with ease c takes (nx·w + c) × (ny·d + c) × nz·h. All
//! bodies of a block stand alike.

use super::{Alternative, More, MoreStep, Need, Space, Standing, length};
use crate::job::{Solid, Turn};
use crate::length::Length;
use crate::place::Size;

/// The need.
pub(super) fn need(solid: &Solid) -> Need {
    let held = solid.count + solid.spare_count;
    let mut alternatives = Vec::new();
    for body in ways(solid.size, solid.turn) {
        let most_high = if solid.pile { held } else { 1 };
        for nz in steps(held, most_high) {
            let floor = up(held, nz);
            for nx in steps(floor, floor) {
                let ny = up(floor, nx);
                let side = |n: i64, one: Length| {
                    length(i128::from(n) * i128::from(one.nm()) + i128::from(solid.ease.nm()))
                };
                let (Some(w), Some(d)) = (side(nx, body.w), side(ny, body.d)) else { continue };
                let Some(h) = length(i128::from(nz) * i128::from(body.h.nm())) else { continue };
                alternatives.push(Alternative {
                    standing: Standing::Block(nx, ny, nz),
                    piles: 1,
                    space: Space::Fixed { w, d, h },
                    turnable: solid.turn != Turn::None,
                });
            }
        }
    }
    Need {
        contents: solid.size.volume() * solid.count,
        alternatives,
        estimate: false,
        more: More { of: "bodies".into(), step: MoreStep::Body { held, ease: solid.ease, pile: solid.pile } },
    }
}

/// The allowed ways of a body to stand; turning about the vertical is left to the whole block.
fn ways(size: Size, turn: Turn) -> Vec<Size> {
    let mut ways = vec![size];
    if turn == Turn::Any {
        ways.push(Size { w: size.h, d: size.d, h: size.w });
        ways.push(Size { w: size.w, d: size.h, h: size.d });
    }
    ways
}

/// Every n up to `most` for which ⌈total / n⌉ is less than for n − 1: others only waste room. There
/// are about 2·√total of them, so that blocks of many bodies stay quick.
fn steps(total: i64, most: i64) -> Vec<i64> {
    let mut all = Vec::new();
    let mut n = 1;
    while n <= most.min(total) {
        all.push(n);
        let rows = up(total, n);
        if rows <= 1 {
            break;
        }
        // The least n that needs one row less.
        n = up(total, rows - 1);
    }
    all
}

/// `a / b` rounded up, both positive.
fn up(a: i64, b: i64) -> i64 {
    (a + b - 1) / b
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_where_a_row_is_saved() {
        for total in 1..200 {
            let plain: Vec<i64> =
                (1..=total).filter(|&n| n == 1 || up(total, n) < up(total, n - 1)).collect();
            assert_eq!(steps(total, total), plain);
        }
    }
}

//! Solid bodies: blocks of bodies that all stand alike.

use super::{Least, clear, mul};
use crate::job::{Solid, Turn};
use crate::plan::Compartment;

/// Bodies in the compartment, wanted spare ones included.
pub(super) fn held(s: &Solid) -> i128 {
    i128::from(s.count).saturating_add(i128::from(s.spare_count))
}

/// Bounding volume of all bodies, wanted spare ones not counted, in nm³.
pub(super) fn volume(s: &Solid) -> i128 {
    mul(sides(s).into_iter().fold(1, mul), i128::from(s.count))
}

fn sides(s: &Solid) -> [i128; 3] {
    [s.size.w, s.size.d, s.size.h].map(|l| i128::from(l.nm()))
}

/// How one body may stand; turning about the vertical is left to the whole block.
fn bodies(s: &Solid) -> Vec<[i128; 3]> {
    let [w, d, h] = sides(s);
    match s.turn {
        Turn::None | Turn::Upright => vec![[w, d, h]],
        Turn::Any => vec![[w, d, h], [h, d, w], [w, h, d]],
    }
}

/// The rooms that a block as the compartment tells it may take.
pub(super) fn ways(s: &Solid, c: &Compartment) -> Result<Vec<Least>, String> {
    if c.standing != "block" || c.lean_deg != 90 || (c.turn && s.turn == Turn::None) {
        return Err(format!(
            "solid bodies do not stand \"{}\", lean {}, turn {}",
            c.standing, c.lean_deg, c.turn
        ));
    }
    let block = block(&c.piles).ok_or_else(|| format!("\"{}\" is no block", c.piles))?;
    let [nx, ny, nz] = block;
    if nz > 1 && !s.pile {
        return Err("bodies lie on each other though they may not be piled".into());
    }
    let all = mul(mul(nx, ny), nz);
    let spared = |row: i128| all - all / row >= held(s);
    if all < held(s) || spared(nx) || spared(ny) || spared(nz) {
        return Err(format!(
            "a block of \"{}\" is too small for {} bodies, or a row too large",
            c.piles,
            held(s)
        ));
    }
    let ease = i128::from(s.ease.nm());
    let room = |[w, d, h]: [i128; 3]| [mul(nx, w) + ease, mul(ny, d) + ease, mul(nz, h)];
    let least = bodies(s).into_iter().map(|body| Least::Block { sides: room(body), row: false });
    Ok(least.map(|l| l.turned(c.turn)).collect())
}

/// How many bodies standing as in way `index` a compartment holds.
pub(super) fn holds(s: &Solid, c: &Compartment, index: usize) -> i128 {
    let Some(body) = bodies(s).get(index).copied() else { return 0 };
    let [mut w, mut d, h] = clear(c);
    if c.turn {
        (w, d) = (d, w);
    }
    let ease = i128::from(s.ease.nm());
    let high = if s.pile { h / body[2].max(1) } else { 1 };
    mul(mul((w - ease).max(0) / body[0].max(1), (d - ease).max(0) / body[1].max(1)), high)
}

/// "3 × 2 × 1" as three counts of at least 1, written in the one way.
fn block(words: &str) -> Option<[i128; 3]> {
    let counts: Vec<i64> = words.split(" × ").map(|n| n.parse().ok()).collect::<Option<_>>()?;
    let [x, y, z] = counts.as_slice() else { return None };
    let plain = counts.iter().all(|n| *n >= 1) && words == format!("{x} × {y} × {z}");
    plain.then_some([i128::from(*x), i128::from(*y), i128::from(*z)])
}

//! Curves against brute force, published counts, and properties of placed trays.

mod brute;
mod counts;
mod placed;
mod sets;

use super::*;
use crate::length::{Length, Volume};
use crate::need::{Alternative, Need, Space, Standing};
use crate::random::Random;

/// On a grid of 1 mm.
fn fixed(w: i64, d: i64, h: i64, turnable: bool) -> Alternative {
    let space = Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) };
    Alternative { standing: Standing::Block(1, 1, 1), piles: 1, space, turnable }
}

fn soft(mm3: i64, side: i64, long: i64, h: i64) -> Alternative {
    let volume = Volume::from_nm3(i128::from(mm3) * 10i128.pow(18));
    let space = Space::Soft { volume, side: Length::mm(side), long: Length::mm(long), h: Length::mm(h) };
    Alternative { standing: Standing::Poured, piles: 1, space, turnable: true }
}

fn room(alternatives: Vec<Alternative>) -> PartNeed {
    PartNeed::Room(Need::plain(alternatives))
}

fn blocks(sizes: &[(i64, i64)], turnable: bool) -> Vec<PartNeed> {
    sizes.iter().map(|&(w, d)| room(vec![fixed(w, d, 1, turnable)])).collect()
}

/// A tray of these parts, grid 1 mm, dividers of so many mm.
fn tray(parts: Vec<PartNeed>, divider: i64, reach: i64) -> TrayNeeds {
    TrayNeeds { parts, divider, divider_exact: Length::mm(divider), ..TrayNeeds::plain(Length::mm(1), reach) }
}

/// A small random part: one to three ways of standing, poured or fixed.
fn random_part(random: &mut Random) -> PartNeed {
    let mut n = |from: i64, to: i64| from + random.below((to - from + 1) as usize) as i64;
    let ways = n(1, 3);
    room(
        (0..ways)
            .map(|_| {
                if n(0, 2) == 0 {
                    let side = n(1, 3);
                    soft(n(1, 60), side, side + n(0, 3), n(1, 3))
                } else {
                    let turnable = n(0, 1) == 0;
                    fixed(n(1, 7), n(1, 7), n(1, 4), turnable)
                }
            })
            .collect(),
    )
}

//! Which ways of standing are worth listing.

use std::collections::BTreeMap;

use super::{Alternative, Space};
use crate::length::Length;

/// Drops every fixed room into which another one would go, whichever way they are turned: it can
/// never be the better choice. Of equal rooms the first stays. Order is kept; soft rooms all stay.
///
/// A body that may be turned goes into a room turned or not exactly where its shorter side is no
/// longer than the room's shorter side, and its longer no longer than the longer.
pub(super) fn undominated(alternatives: Vec<Alternative>) -> Vec<Alternative> {
    let mut order: Vec<(Length, Length, Length, usize)> = Vec::new();
    for (index, alternative) in alternatives.iter().enumerate() {
        if let Space::Fixed { w, d, h } = alternative.space {
            let (a, b) = if alternative.turnable { (w.min(d), w.max(d)) } else { (w, d) };
            order.push((a, b, h, index));
        }
    }
    order.sort_unstable();
    // Staircase of what is kept so far: second side ascending, height descending. Whatever comes
    // later has no smaller first side, so it is dominated where a stair is no deeper and no taller.
    let mut stairs: BTreeMap<Length, Length> = BTreeMap::new();
    let mut drop = vec![false; alternatives.len()];
    for (_, side, height, index) in order {
        if stairs.range(..=side).next_back().is_some_and(|(_, least)| *least <= height) {
            if let Some(flag) = drop.get_mut(index) {
                *flag = true;
            }
            continue;
        }
        while let Some((&wider, _)) = stairs.range(side..).next().filter(|(_, h)| **h >= height) {
            stairs.remove(&wider);
        }
        stairs.insert(side, height);
    }
    alternatives.into_iter().zip(drop).filter(|(_, dropped)| !dropped).map(|(a, _)| a).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::need::Standing;

    fn room(w: i64, d: i64, h: i64, turnable: bool) -> Alternative {
        let space = Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) };
        Alternative { standing: Standing::Poured, piles: 1, space, turnable }
    }

    fn goes_into(a: &Alternative, b: &Alternative) -> bool {
        let Space::Fixed { w, d, h } = b.space else { return false };
        a.space.fits(w, d, h, false) || (a.turnable && a.space.fits(w, d, h, true))
    }

    proptest! {
        #[test]
        fn keeps_exactly_what_no_other_goes_into(
            sizes in prop::collection::vec((1..8i64, 1..8i64, 1..8i64), 0..40), turnable in any::<bool>(),
        ) {
            let all: Vec<Alternative> = sizes.iter().map(|&(w, d, h)| room(w, d, h, turnable)).collect();
            let kept: Vec<Alternative> = all
                .iter()
                .enumerate()
                .filter(|&(i, a)| !all.iter().enumerate().any(|(j, b)| {
                    i != j && goes_into(b, a) && (!goes_into(a, b) || j < i)
                }))
                .map(|(_, a)| a.clone())
                .collect();
            prop_assert_eq!(undominated(all), kept);
        }
    }
}

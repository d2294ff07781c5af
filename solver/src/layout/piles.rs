//! Piles: every body stands on the one below it, within one outline from the floor to the top, so that only what is in its
//! own pile must be lifted before it.
//!
//! A plan of piles wastes floor where their bodies differ much in size, but lifts few and bears well. Annealing deals
//! bodies to piles and chooses heights; the outlines of the piles are packed on the floor by their lowest gaps.

mod pile;

use super::anneal::Best;
use super::bearing::unborne;
use super::decode::drafted;
use super::heights::allowed;
use super::instance::{HeldAt, Instance, KeptPlace, Layout, TrayPlace};
use super::pack::skyline::Strip;
use crate::random::Random;
use crate::stop::Stop;
use pile::{Pile, Stock};

/// Steps between looks at the stop.
const LOOK: u64 = 64;

/// What the annealing changes.
#[derive(Clone)]
struct State {
    heights: Vec<i64>,
    /// In the order in which they are packed.
    piles: Vec<Pile>,
}

/// Whether a layout can be made of piles: nothing is held at a point, nothing is blocked.
pub(crate) fn can_pile(instance: &Instance) -> bool {
    let held = instance.trays.iter().map(|t| t.held).chain(instance.kept.iter().map(|k| k.held));
    instance.blocked.is_empty() && !held.into_iter().any(|h| matches!(h, HeldAt::Point(..)))
}

/// The best layout of piles met in so many steps from this profile on; `None` where none keeps every rule. The stop's clock
/// and flag end it sooner.
pub(crate) fn piled(
    instance: &Instance,
    candidates: &[i64],
    profile: &[i64],
    (seed, steps): (u64, u64),
    stop: &Stop,
) -> Option<Best> {
    if !can_pile(instance) || profile.iter().sum::<i64>() > instance.height {
        return None;
    }
    let mut random = Random::new(seed);
    let mut stock = Stock::new(instance);
    let mut strip = Strip::default();
    let mut now = first(&mut stock, profile, &mut random);
    let mut score = weigh(&mut stock, &mut now, &mut strip);
    let mut best: Option<(i64, State)> = None;
    let volume = instance.width as f64 * instance.depth as f64 * instance.height as f64;
    let (hot, cold) = (volume * 4e-3, volume * 2e-6);
    for step in 0..steps {
        if step % LOOK == 0 && stop.now() {
            break;
        }
        let heat = hot * (cold / hot).powf(step as f64 / steps as f64);
        let mut next = now.clone();
        if !change(&mut stock, candidates, &mut next, &mut random) {
            continue;
        }
        let tried = weigh(&mut stock, &mut next, &mut strip);
        let worse = (tried.0 - score.0) as f64;
        if worse <= 0.0 || random.unit() < (-worse / heat).exp() {
            (now, score) = (next, tried);
            if score.1 && best.as_ref().is_none_or(|b| score.0 < b.0) {
                best = Some((score.0, now.clone()));
            }
        }
    }
    let (_, state) = best?;
    let layout = layout(&mut stock, &state, &mut strip)?;
    let keeps = instance.feasible(&layout).is_ok() && unborne(instance, &layout) == 0;
    let (value, draft) = (instance.cost(&layout).value(), drafted(instance, &layout));
    keeps.then_some(Best { value, layout, draft })
}

/// Bodies dealt round, those that are lifted least often first.
fn first(stock: &mut Stock, profile: &[i64], random: &mut Random) -> State {
    let instance = stock.instance;
    let (n, all) = (instance.trays.len(), stock.bodies());
    let mut order: Vec<usize> = (0..all).collect();
    random.shuffle(&mut order);
    order.sort_by_key(|&b| instance.trays.get(b).map_or(0, |t| t.weight));
    let count = n.div_ceil(profile.len().max(1)).max(1);
    let mut bodies: Vec<Vec<usize>> = vec![Vec::new(); count];
    order.iter().filter(|b| **b < n).enumerate().for_each(|(i, b)| bodies[i % count].push(*b));
    bodies.extend(order.iter().filter(|b| **b >= n).map(|b| vec![*b]));
    bodies.retain(|b| !b.is_empty());
    let piles = bodies.into_iter().map(|b| stock.pile(profile, b)).collect();
    State { heights: profile.to_vec(), piles }
}

/// Score of a state, and whether it is a layout that seems to keep every rule.
fn weigh(stock: &mut Stock, state: &mut State, strip: &mut Strip) -> (i64, bool) {
    let instance = stock.instance;
    let volume = instance.width * instance.depth * instance.height;
    let missing: i64 = state.piles.iter().map(|p| p.missing).sum();
    let mut score: i64 = state.piles.iter().map(|p| p.lifts).sum();
    pack(stock, state, strip);
    let State { heights, piles } = state;
    let mut hanging = 0;
    let left = strip.left.iter().map(|&pile| (pile, 0));
    for (pile, outline) in strip.placed.iter().map(|s| (s.piece, s.outline)).chain(left) {
        let Some(pile) = piles.get_mut(pile) else { continue };
        let (claims, hangs) = stock.worth(heights, pile, outline);
        score += claims;
        hanging += hangs;
    }
    for pile in strip.left.iter().filter_map(|&left| piles.get(left)) {
        let least = pile.outlines.first().map_or(0, |o| o.0 * o.1);
        score += least * instance.height + volume / 32;
    }
    // What is missing claims nothing and lies over nothing: it must cost more than it could save.
    score += hanging * (volume / 32) + missing * volume;
    (score, missing == 0 && hanging == 0 && strip.left.is_empty())
}

fn pack(stock: &Stock, state: &State, strip: &mut Strip) {
    let instance = stock.instance;
    let side = |len: i64| len - 2 * instance.side + instance.between;
    let gap = instance.between;
    let pieces: Vec<Vec<(i64, i64)>> =
        state.piles.iter().map(|p| p.outlines.iter().map(|o| (o.0 + gap, o.1 + gap)).collect()).collect();
    let order: Vec<usize> = (0..state.piles.len()).collect();
    strip.fill((side(instance.width), side(instance.depth)), &pieces, &order, i64::MAX);
}

fn layout(stock: &mut Stock, state: &State, strip: &mut Strip) -> Option<Layout> {
    let instance = stock.instance;
    let nothing = TrayPlace { layer: 0, span: 1, option: 0, x: 0, y: 0 };
    let mut out = Layout {
        heights: state.heights.clone(),
        trays: vec![nothing; instance.trays.len()],
        kept: vec![KeptPlace { layer: 0, turn: 0, x: 0, y: 0 }; instance.kept.len()],
    };
    pack(stock, state, strip);
    for stand in &strip.placed {
        let pile = state.piles.get(stand.piece)?;
        let mut chosen = Vec::new();
        stock.filled(&state.heights, pile, *pile.outlines.get(stand.outline)?, Some(&mut chosen));
        let (x, y) = (stand.x + instance.side, stand.y + instance.side);
        for (&(body, first, after), choice) in pile.seats.iter().zip(chosen) {
            match body.checked_sub(out.trays.len()) {
                None => {
                    out.trays[body] = TrayPlace { layer: first, span: after - first, option: choice, x, y }
                }
                Some(k) => out.kept[k] = KeptPlace { layer: first, turn: choice, x, y },
            }
        }
    }
    Some(out)
}

/// Changes a state a little; `false` where the chosen change was not possible.
fn change(stock: &mut Stock, candidates: &[i64], state: &mut State, random: &mut Random) -> bool {
    let count = state.piles.len();
    if count == 0 {
        return false;
    }
    let any = |state: &State, random: &mut Random| {
        let pile = random.below(state.piles.len());
        (pile, random.below(state.piles[pile].bodies.len().max(1)))
    };
    match random.below(16) {
        // Two bodies change places.
        0..=6 => {
            let ((p, i), (q, j)) = (any(state, random), any(state, random));
            if (p, i) == (q, j) {
                return false;
            }
            let (a, b) = (state.piles[p].bodies[i], state.piles[q].bodies[j]);
            let mut bodies = state.piles[p].bodies.clone();
            bodies[i] = b;
            if p == q {
                bodies[j] = a;
            } else {
                let mut other = state.piles[q].bodies.clone();
                other[j] = a;
                state.piles[q] = stock.pile(&state.heights, other);
            }
            state.piles[p] = stock.pile(&state.heights, bodies);
            true
        }
        // One body goes elsewhere, or begins a pile.
        7..=11 => {
            let (p, i) = any(state, random);
            let mut bodies = state.piles[p].bodies.clone();
            let body = bodies.remove(i);
            let q = random.below(count + 1);
            let mut other = match q {
                q if q == p => return false,
                q if q == count => Vec::new(),
                q => state.piles[q].bodies.clone(),
            };
            other.insert(random.below(other.len() + 1), body);
            let other = stock.pile(&state.heights, other);
            state.piles[p] = stock.pile(&state.heights, bodies);
            match state.piles.get_mut(q) {
                Some(pile) => *pile = other,
                None => state.piles.insert(random.below(count + 1), other),
            }
            state.piles.retain(|p| !p.bodies.is_empty());
            true
        }
        12 | 13 if count > 1 => {
            let (p, q) = (random.below(count), random.below(count));
            state.piles.swap(p, q);
            p != q
        }
        _ => reheight(stock, candidates, state, random),
    }
}

/// Another height for one layer, two that change places, one layer more or fewer.
fn reheight(stock: &mut Stock, candidates: &[i64], state: &mut State, random: &mut Random) -> bool {
    let instance = stock.instance;
    let layers = state.heights.len();
    match random.below(8) {
        0 if layers < instance.most_layers => {
            let new = candidates[random.below(candidates.len())];
            state.heights.insert(random.below(layers + 1), new);
        }
        1 if layers > 1 => {
            state.heights.remove(random.below(layers));
        }
        2 if layers > 1 => state.heights.swap(random.below(layers), random.below(layers)),
        _ => {
            let l = random.below(layers);
            let at = candidates.partition_point(|h| *h < state.heights[l]);
            let step = 1 + random.below(3);
            let new = match random.below(3) {
                0 => at.saturating_sub(step),
                1 => at + step,
                _ => random.below(candidates.len()),
            };
            state.heights[l] = candidates[new.min(candidates.len() - 1)];
        }
    }
    // What is too much is taken from other layers, one candidate at a time.
    let layers = state.heights.len();
    for _ in 0..candidates.len() * layers {
        if state.heights.iter().sum::<i64>() <= instance.height {
            break;
        }
        let l = random.below(layers);
        let at = candidates.partition_point(|h| *h < state.heights[l]);
        if let Some(&lower) = at.checked_sub(1).and_then(|at| candidates.get(at)) {
            state.heights[l] = lower;
        }
    }
    let over = state.heights.iter().sum::<i64>() > instance.height;
    if over || state.heights.iter().enumerate().any(|(l, h)| !allowed(instance, l, *h)) {
        return false;
    }
    for p in 0..state.piles.len() {
        let bodies = std::mem::take(&mut state.piles[p].bodies);
        state.piles[p] = stock.pile(&state.heights, bodies);
    }
    true
}

#[cfg(test)]
mod tests {
    use super::super::anneal::tests::drafts;
    use super::super::instance::{Access, Option3, Rims};
    use super::super::model::tests::{kept, plain, tray};
    use super::super::pack::Rect;
    use super::*;

    fn rims() -> Rims {
        let wall = |x, y, w, d| Rect { x, y, w, d };
        Rims::whole(move |_, o: Option3| {
            [wall(0, 0, o.w, 1), wall(0, o.d - 1, o.w, 1), wall(0, 0, 1, o.d), wall(o.w - 1, 0, 1, o.d)]
                .into()
        })
    }

    #[test]
    fn layouts_of_piles_keep_every_rule() {
        let mut met = 0;
        for (instance, _) in drafts() {
            let instance = Instance { rims: Some(rims()), ..instance };
            for profile in [&[4, 4, 3][..], &[6, 6], &[12]] {
                let found = piled(&instance, &[1, 3, 4, 6, 12], profile, (1, 400), &Stop::never());
                let Some(best) = found else { continue };
                assert_eq!(instance.feasible(&best.layout), Ok(()), "{instance:?} {profile:?}");
                assert_eq!(unborne(&instance, &best.layout), 0, "{instance:?} {profile:?}");
                assert_eq!(instance.cost(&best.layout).value(), best.value);
                met += 1;
            }
        }
        assert!(met > 20, "{met}");
    }

    /// Two piles of two trays and a carton: what is lifted often comes to lie on top, on the carton too.
    #[test]
    fn what_is_lifted_often_comes_to_the_top() {
        let mut instance = plain(30, 10, 10, 2);
        (instance.access, instance.rims) = (Access::Lifts, Some(rims()));
        instance.trays = (0..5).map(|_| tray("tray", &[(10, 10, 5)], 1)).collect();
        instance.trays.iter_mut().enumerate().for_each(|(kind, t)| t.kind = kind);
        [0, 2, 3].into_iter().for_each(|t| instance.trays[t].weight = 7);
        instance.kept = vec![kept("carton", &[(10, 10, 5)])];
        let best = piled(&instance, &[5], &[5, 5], (1, 4_000), &Stop::never()).unwrap();
        assert_eq!((best.value, instance.cost(&best.layout).access), (6 * 10 * 10 * 5, 0));
        let layers: Vec<usize> = best.layout.trays.iter().map(|t| t.layer).collect();
        assert_eq!(layers, [1, 0, 1, 1, 0]);
        assert_eq!(best.layout.kept[0].layer, 0);
    }

    /// An outline is wide enough for the widest and deep enough for the deepest, and each takes its least outline within.
    #[test]
    fn a_pile_is_as_large_as_what_it_holds() {
        let mut instance = plain(30, 30, 10, 2);
        instance.trays = vec![
            tray("low", &[(4, 9, 5), (6, 6, 5), (9, 4, 5)], 1),
            tray("wide", &[(5, 8, 5), (8, 5, 5)], 1),
            tray("high", &[(4, 4, 10)], 2),
        ];
        instance.trays.iter_mut().enumerate().for_each(|(kind, t)| (t.kind, t.weight) = (kind, 3));
        let mut stock = Stock::new(&instance);
        let mut pile = stock.pile(&[5, 5], vec![0, 1]);
        assert_eq!(pile.outlines, [(5, 9), (9, 5), (6, 8), (8, 6)]);
        assert_eq!((pile.lifts, pile.missing), (3, 0));
        assert_eq!(stock.worth(&[5, 5], &mut pile, 0), ((36 + 40) * 5, 0));
        // Through both layers, so that nothing else has a place.
        let pile = stock.pile(&[5, 5], vec![2, 0]);
        assert_eq!((pile.seats.as_slice(), pile.missing), (&[(2, 0, 2)][..], 1));
    }

    #[test]
    fn what_is_held_at_a_point_makes_no_piles() {
        let mut instance = plain(10, 10, 10, 2);
        instance.trays = vec![tray("tray", &[(5, 5, 5)], 1)];
        assert!(can_pile(&instance));
        instance.trays[0].held = HeldAt::Point(0, 0, 0);
        assert!(!can_pile(&instance));
        assert!(piled(&instance, &[5], &[5], (1, 10), &Stop::never()).is_none());
    }
}

//! Plans bettered a few bodies at a time: these are taken out, some of them given other layers, and set down anew between
//! all the others, which stay.

use super::super::anneal::Best;
use super::super::decode::drafted;
use super::super::heights::allowed;
use super::super::instance::{Access, HeldAt, Instance, Layout};
use super::super::stand::{Aim, Role, Stand, roles};
use crate::random::Random;
use crate::stop::Stop;

/// Nodes for a step, which takes about as long where bodies are annealed: so many for every three bodies, up to the most. Where
/// neither lifts nor bearing count, annealing does as well, and the exact side has more use of the time.
const NODES_A_STEP: u64 = 2;
const MOST_A_STEP: u64 = 12;
/// Nodes for one change.
const CHANGE: u64 = 400;
/// Most bodies taken out beside those that change their layers.
const OUT: usize = 6;
/// At first a plan may become worse by so small a part of it.
const WORSE_PART: f64 = 300.0;

/// The best plan met from this one on, where it is better; a pure function of plan, seed and steps.
pub(super) fn polish(
    instance: &Instance,
    heights: &[i64],
    start: &Layout,
    seed: u64,
    steps: u64,
    stop: &Stop,
) -> Option<Best> {
    let bodies = (instance.trays.len() + instance.kept.len()) as u64;
    let hard = instance.access == Access::Lifts || instance.rims.is_some();
    let nodes = if hard { steps * (bodies * NODES_A_STEP / 3).clamp(1, MOST_A_STEP) } else { steps };
    let mut random = Random::new(seed);
    let mut stand = Stand::new(instance);
    let mut now = (start.clone(), instance.cost(start).value());
    let mut best: Option<(Layout, i64)> = None;
    let own = stop.share(u64::MAX);
    while own.spent() < nodes && !own.cut() {
        // Seldom by much, and less and less.
        let left = 1.0 - own.spent() as f64 / nodes as f64;
        let part = random.unit();
        let worse = now.1 as f64 / WORSE_PART * left * part * part * part * part;
        let Some((heights, roles)) = change(instance, heights, &now.0, &mut random) else {
            own.spend(1);
            continue;
        };
        let share = CHANGE.min(nodes - own.spent());
        let least = best.as_ref().map_or(i64::MAX, |b| b.1);
        let aim = Aim { cutoff: now.1 + worse as i64, nodes: share, first: true };
        let seed = random.below(usize::MAX) as u64;
        if let Some(next) = stand.seek(&heights, &roles, aim, seed, &own) {
            now = next;
            if now.1 < least.min(instance.cost(start).value()) {
                best = Some(now.clone());
            }
        }
    }
    stop.spend(steps);
    best.map(|(layout, value)| Best { value, draft: drafted(instance, &layout), layout })
}

/// Layer heights and roles with which to go on.
fn change(
    instance: &Instance,
    candidates: &[i64],
    layout: &Layout,
    random: &mut Random,
) -> Option<(Vec<i64>, Vec<Role>)> {
    let (n, layers) = (layout.trays.len(), layout.heights.len());
    if layers == 0 {
        return None;
    }
    let mut heights = layout.heights.clone();
    let mut roles = roles(instance, layout);
    let near = |role: &Role, l: usize| {
        let after = if role.body < n { role.layer + role.span } else { role.layer + 1 };
        (role.layer..after).contains(&l)
    };
    let mut touched: Vec<usize> = Vec::new();
    let mut out = 2 + random.below(OUT - 1);
    match random.below(16) {
        0..=5 => touched.push(random.below(layers)),
        6 | 7 => touched.extend(0..layers),
        8..=10 if n > 0 => {
            let role = roles.get_mut(random.below(n))?;
            let layer = random.below(layers);
            let most = instance.trays.get(role.body)?.span.min(layers - layer);
            let span = 1 + random.below(most);
            if (layer, span) == (role.layer, role.span) || !may(instance, role.body, layer) {
                return None;
            }
            touched.extend(layer..layer + span);
            (role.layer, role.span, role.now, role.stays) = (layer, span, None, false);
        }
        11 | 12 if n > 1 => {
            let (a, b) = (random.below(n), random.below(n));
            let ((la, sa), (lb, sb)) = ((roles[a].layer, roles[a].span), (roles[b].layer, roles[b].span));
            if (la, sa) == (lb, sb)
                || sb > instance.trays[a].span
                || sa > instance.trays[b].span
                || !may(instance, a, lb)
                || !may(instance, b, la)
            {
                return None;
            }
            (roles[a].layer, roles[a].span, roles[a].now, roles[a].stays) = (lb, sb, None, false);
            (roles[b].layer, roles[b].span, roles[b].now, roles[b].stays) = (la, sa, None, false);
            touched.extend([la, lb]);
        }
        13 if layers > 1 => {
            // Two layers change places.
            let (a, b) = (random.below(layers), random.below(layers));
            if a == b || !allowed(instance, a, heights[b]) || !allowed(instance, b, heights[a]) {
                return None;
            }
            heights.swap(a, b);
            for role in roles.iter_mut().filter(|r| r.body < n && r.span == 1) {
                let to = if role.layer == a {
                    b
                } else if role.layer == b {
                    a
                } else {
                    continue;
                };
                if may(instance, role.body, to) {
                    (role.layer, role.stays) = (to, false);
                }
            }
            touched.extend(a.min(b)..layers);
            out = usize::MAX;
        }
        _ => {
            let l = random.below(layers);
            let step = |h: i64, up: bool, random: &mut Random| {
                let at = candidates.partition_point(|c| *c < h);
                let step = 1 + random.below(3);
                candidates.get(if up { at + step } else { at.checked_sub(step)? }).copied()
            };
            let up = random.below(2) == 1;
            heights[l] = step(heights[l], up, random)?;
            touched.push(l);
            // Often another one gives or takes what is over.
            let other = random.below(layers);
            if other != l && random.below(2) == 0 {
                heights[other] = step(heights[other], !up, random)?;
                touched.push(other);
            }
            if heights.iter().sum::<i64>() > instance.height
                || touched.iter().any(|&l| !allowed(instance, l, heights[l]))
            {
                return None;
            }
            out = usize::MAX;
        }
    }
    // Some of those in the layers at hand, in one run from a random one on.
    let at_hand: Vec<usize> =
        (0..roles.len()).filter(|&r| touched.iter().any(|l| near(&roles[r], *l))).collect();
    let mut chosen = at_hand;
    random.shuffle(&mut chosen);
    chosen.iter().take(out).for_each(|&r| roles[r].stays = false);
    Some((heights, roles))
}

fn may(instance: &Instance, tray: usize, layer: usize) -> bool {
    match instance.trays.get(tray).map(|t| t.held) {
        Some(HeldAt::Free) => true,
        Some(HeldAt::Layer(l)) => l == layer,
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::instance::{KeptPlace, TrayPlace};
    use crate::layout::model::tests::{kept, plain, tray};

    /// Two trays over each other, and a carton on which the upper one could stand as well.
    #[test]
    fn a_plan_loses_a_lift() {
        let mut instance = plain(20, 10, 10, 2);
        instance.access = Access::Lifts;
        instance.trays = vec![tray("reeds", &[(10, 10, 5)], 1), tray("knives", &[(10, 10, 5)], 1)];
        instance.trays.iter_mut().enumerate().for_each(|(kind, t)| (t.kind, t.weight) = (kind, 7));
        instance.kept = vec![kept("carton", &[(10, 10, 5)])];
        let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
        let carton = KeptPlace { layer: 0, turn: 0, x: 10, y: 0 };
        let start = Layout { heights: vec![5, 5], trays: vec![at(0, 0), at(1, 0)], kept: vec![carton] };
        assert_eq!(instance.cost(&start).access, 7);
        let polished = |seed| polish(&instance, &[5], &start, seed, 2_000, &Stop::never());
        let best = polished(1).expect("the upper tray only has to move");
        assert_eq!((instance.feasible(&best.layout), best.value), (Ok(()), 3 * 10 * 10 * 5));
        assert_eq!(polished(1).map(|b| b.layout), Some(best.layout));
    }

    /// A plan that cannot be better is left alone, and the nodes end it.
    #[test]
    fn the_best_plan_stays() {
        let mut instance = plain(10, 10, 5, 1);
        instance.trays = vec![tray("reeds", &[(10, 10, 5)], 1)];
        let trays = vec![TrayPlace { layer: 0, span: 1, option: 0, x: 0, y: 0 }];
        let start = Layout { heights: vec![5], trays, kept: vec![] };
        assert!(polish(&instance, &[5], &start, 1, 500, &Stop::never()).is_none());
    }
}

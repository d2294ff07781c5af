//! Simulated annealing over layer heights, layers, outlines, turns and the order of placing.
//!
//! One run is a pure function of instance, seed and steps; runs side by side do not share state, so that the
//! number of threads changes nothing.

use super::bearing::unborne;
use super::decode::{Decoded, Draft, Room, decode_again};
use super::heights::allowed;
use super::instance::{HeldAt, Instance, Layout};
use super::menu::Menu;
use crate::random::Random;
use crate::stop::Stop;

/// Steps between looks at the stop.
const LOOK: u64 = 64;

/// The best valid layout of one run.
#[derive(Clone, Debug)]
pub(crate) struct Best {
    /// Its value.
    pub value: i64,
    /// The layout.
    pub layout: Layout,
    /// The draft it was decoded from.
    pub draft: Draft,
}

/// What a run may change, and how much it minds what hangs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Manner {
    /// What it may change.
    pub moves: Moves,
    /// A body that hangs costs such a part of the box.
    pub hanging: i64,
}

impl Manner {
    /// Everything may change, and layouts in which something hangs are passed through on the way.
    pub(crate) const EASY: Manner = Manner { moves: Moves::All, hanging: 128 };
    /// The same, but what hangs costs twice as much.
    pub(crate) const STRICT: Manner = Manner { hanging: 64, ..Manner::EASY };
}

/// What a run may change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Moves {
    /// Everything.
    All,
    /// Outlines and places: bodies stay in their layers.
    Places,
}

/// What a run ends with: the best valid layout, and the draft of least score, valid or not.
pub(crate) type Run = (Option<Best>, (i64, Draft));

/// One run from a draft: the best valid layout, and the draft of least score, valid or not. `steps` are nodes; the
/// stop's clock and flag end it sooner.
pub(crate) fn run(
    instance: &Instance,
    heights: &[i64],
    start: Draft,
    manner: Manner,
    seed: u64,
    steps: u64,
    stop: &Stop,
) -> Run {
    let mut random = Random::new(seed);
    let mut menu = Menu::default();
    let mut now = start;
    let mut room = Room::default();
    let mut state = weigh(instance, &now, None, (manner, &mut room));
    let mut best: Option<Best> = None;
    keep(instance, &now, &state, &mut best);
    let scale = (instance.width * instance.depth) as f64 * instance.height as f64;
    let (hot, cold) = (scale * 4e-3, scale * 2e-6);
    let mut least = (state.score, now.clone());
    for step in 0..steps {
        if step % LOOK == 0 && stop.now() {
            break;
        }
        let heat = hot * (cold / hot).powf(step as f64 / steps as f64);
        let mut next = now.clone();
        if !change(instance, heights, manner.moves, &mut menu, &mut next, &mut random) {
            continue;
        }
        let tried = weigh(instance, &next, Some((&now, &state.decoded)), (manner, &mut room));
        let worse = (tried.score - state.score) as f64;
        if worse <= 0.0 || random.unit() < (-worse / heat).exp() {
            now = next;
            state = tried;
            keep(instance, &now, &state, &mut best);
            if state.score < least.0 {
                least = (state.score, now.clone());
            }
        }
    }
    stop.spend(steps);
    (best, least)
}

struct Weighed {
    score: i64,
    valid: bool,
    decoded: Decoded,
}

/// Value of a draft; bodies without a place or without bearing cost more than any arrangement could save.
fn weigh(
    instance: &Instance,
    draft: &Draft,
    before: Option<(&Draft, &Decoded)>,
    (manner, room): (Manner, &mut Room),
) -> Weighed {
    let decoded = decode_again(instance, draft, before, room);
    let n = instance.trays.len();
    let mut score = instance.cost(&decoded.layout).value();
    for &b in &decoded.unplaced {
        let volume = if b < n {
            let (layer, span, option) = draft.trays[b];
            let o = instance.trays[b].options.get(option);
            o.map_or(0, |o| o.w * o.d) * draft.heights.iter().skip(layer).take(span).sum::<i64>()
        } else {
            instance.kept[b - n].turns.get(draft.kept[b - n].1).map_or(0, |o| o.w * o.d * o.h)
        };
        score += volume + instance.width * instance.depth * instance.height / 64;
    }
    let hanging = if decoded.unplaced.is_empty() { unborne(instance, &decoded.layout) } else { 0 };
    score += hanging as i64 * (instance.width * instance.depth * instance.height / manner.hanging);
    Weighed { score, valid: decoded.unplaced.is_empty() && hanging == 0, decoded }
}

/// Score of a draft, and the bodies without a place.
pub(crate) fn worth(instance: &Instance, draft: &Draft) -> (i64, Vec<usize>) {
    let weighed = weigh(instance, draft, None, (Manner::STRICT, &mut Room::default()));
    (weighed.score, weighed.decoded.unplaced)
}

fn keep(instance: &Instance, draft: &Draft, state: &Weighed, best: &mut Option<Best>) {
    if !state.valid || best.as_ref().is_some_and(|b| b.value <= state.score) {
        return;
    }
    if instance.feasible(&state.decoded.layout).is_ok() {
        *best = Some(Best { value: state.score, layout: state.decoded.layout.clone(), draft: draft.clone() });
    }
}

/// Changes a draft a little; `false` where the chosen change was not possible.
fn change(
    instance: &Instance,
    heights: &[i64],
    moves: Moves,
    menu: &mut Menu,
    draft: &mut Draft,
    random: &mut Random,
) -> bool {
    let n = instance.trays.len();
    let all = draft.order.len();
    let chosen = match moves {
        Moves::All => random.below(16),
        Moves::Places => [0, 9, 10, 11, 12][random.below(5)],
    };
    match chosen {
        0..=3 if n > 0 => reshape(instance, menu, draft, random),
        4..=6 if n > 0 => {
            let t = random.below(n);
            let layer = random.below(draft.heights.len());
            let span = 1 + random.below(instance.trays[t].span.min(draft.heights.len() - layer).max(1));
            settle_tray(instance, menu, draft, t, layer, span)
        }
        7 | 8 if n > 1 => {
            let (a, b) = (random.below(n), random.below(n));
            let ((la, sa, _), (lb, sb, _)) = (draft.trays[a], draft.trays[b]);
            a != b
                && (la, sa) != (lb, sb)
                && sa <= instance.trays[b].span
                && sb <= instance.trays[a].span
                && settle_tray(instance, menu, draft, a, lb, sb)
                && settle_tray(instance, menu, draft, b, la, sa)
        }
        9..=11 if all > 1 => {
            let (a, b) = (random.below(all), random.below(all));
            draft.order.swap(a, b);
            a != b
        }
        12 if all > 1 => {
            let b = draft.order.remove(random.below(all));
            draft.order.insert(random.below(all), b);
            true
        }
        13 if !draft.kept.is_empty() => {
            let k = random.below(draft.kept.len());
            let item = &instance.kept[k];
            let layer =
                if random.below(2) == 0 { draft.kept[k].0 } else { random.below(draft.heights.len() + 1) };
            let layer = match item.held {
                HeldAt::Layer(l) => l.min(draft.heights.len() - 1),
                HeldAt::Point(..) => draft.kept[k].0,
                HeldAt::Free => layer,
            };
            let turn = random.below(item.turns.len());
            let changed = draft.kept[k] != (layer, turn);
            draft.kept[k] = (layer, turn);
            changed
        }
        _ => reheight(instance, heights, menu, draft, random),
    }
}

/// Another outline for one tray, mostly a neighbour in width.
fn reshape(instance: &Instance, menu: &mut Menu, draft: &mut Draft, random: &mut Random) -> bool {
    let t = random.below(instance.trays.len());
    let (layer, span, option) = draft.trays[t];
    let h = draft.heights.iter().skip(layer).take(span).sum();
    let choice = menu.at(instance, t, h);
    if choice.len() < 2 {
        return false;
    }
    let at = choice.iter().position(|&o| o == option);
    let new = match (at, random.below(3)) {
        (Some(i), 0) => choice[(i + 1).min(choice.len() - 1)],
        (Some(i), 1) => choice[i.saturating_sub(1)],
        _ => choice[random.below(choice.len())],
    };
    draft.trays[t].2 = new;
    new != option
}

/// Puts a tray into these layers with its outline of least area there, or the one it has where that serves.
fn settle_tray(
    instance: &Instance,
    menu: &mut Menu,
    draft: &mut Draft,
    t: usize,
    layer: usize,
    span: usize,
) -> bool {
    match instance.trays[t].held {
        HeldAt::Layer(l) if l != layer => return false,
        HeldAt::Point(..) if layer != draft.trays[t].0 => return false,
        _ => {}
    }
    if layer + span > draft.heights.len() {
        return false;
    }
    let h = draft.heights.iter().skip(layer).take(span).sum();
    let Some(least) = menu.least(instance, t, h) else { return false };
    let old = draft.trays[t];
    let option = if menu.at(instance, t, h).contains(&old.2) && (old.0, old.1) == (layer, span) {
        old.2
    } else {
        least
    };
    draft.trays[t] = (layer, span, option);
    old != draft.trays[t]
}

/// Another height for one layer (room taken from another where needed), or one layer more or fewer.
fn reheight(
    instance: &Instance,
    heights: &[i64],
    menu: &mut Menu,
    draft: &mut Draft,
    random: &mut Random,
) -> bool {
    if heights.is_empty() {
        return false;
    }
    let layers = draft.heights.len();
    let held_point = instance.trays.iter().any(|t| matches!(t.held, HeldAt::Point(..)));
    match random.below(24) {
        0 if layers < instance.most_layers && !held_point => {
            draft.heights.push(heights[random.below(heights.len())])
        }
        1 if layers > 1 && !held_point => {
            draft.heights.pop();
        }
        2 | 3 if layers > 1 => {
            let (a, b) = (random.below(layers), random.below(layers));
            draft.heights.swap(a, b);
            for p in draft.trays.iter_mut().filter(|p| p.1 == 1) {
                p.0 = if p.0 == a {
                    b
                } else if p.0 == b {
                    a
                } else {
                    p.0
                };
            }
        }
        _ => {
            let l = random.below(layers);
            let at = heights.partition_point(|h| *h < draft.heights[l]);
            let step = 1 + random.below(3);
            let new = match random.below(3) {
                0 => at.saturating_sub(step),
                1 => (at + step).min(heights.len() - 1),
                _ => random.below(heights.len()),
            };
            draft.heights[l] = heights[new.min(heights.len() - 1)];
        }
    }
    // Take what is too much from other layers, one candidate at a time.
    for _ in 0..heights.len() * draft.heights.len() {
        let over = draft.heights.iter().sum::<i64>() - instance.height;
        if over <= 0 {
            break;
        }
        let l = random.below(draft.heights.len());
        let at = heights.partition_point(|h| *h < draft.heights[l]);
        if at > 0 {
            draft.heights[l] = heights[at - 1];
        }
    }
    if draft.heights.iter().sum::<i64>() > instance.height
        || draft.heights.iter().enumerate().any(|(l, h)| !allowed(instance, l, *h))
    {
        return false;
    }
    refit(instance, menu, draft, random)
}

/// After heights changed: every tray gets layers that exist and an outline that its height allows.
fn refit(instance: &Instance, menu: &mut Menu, draft: &mut Draft, random: &mut Random) -> bool {
    let layers = draft.heights.len();
    for t in 0..instance.trays.len() {
        let (mut layer, mut span, option) = draft.trays[t];
        if layer >= layers {
            layer = random.below(layers);
        }
        span = span.min(layers - layer);
        let h: i64 = draft.heights.iter().skip(layer).take(span).sum();
        if let Some(least) = menu.least(instance, t, h) {
            let keep = menu.at(instance, t, h).contains(&option);
            draft.trays[t] = (layer, span, if keep { option } else { least });
        } else {
            let fits = (0..layers).find_map(|l| {
                let movable = matches!(instance.trays[t].held, HeldAt::Free);
                (movable || l == layer)
                    .then(|| {
                        (1..=instance.trays[t].span.min(layers - l)).find_map(|s| {
                            let h = draft.heights.iter().skip(l).take(s).sum();
                            menu.least(instance, t, h).map(|o| (l, s, o))
                        })
                    })
                    .flatten()
            });
            let Some(place) = fits else { return false };
            draft.trays[t] = place;
        }
    }
    for k in &mut draft.kept {
        k.0 = k.0.min(layers);
    }
    true
}

/// A first draft for this profile, large trays placed first: each in the layer where it claims least, or `level`, in the
/// one that it leaves the least full.
pub(crate) fn first_draft(instance: &Instance, profile: &[i64], level: bool) -> Option<Draft> {
    let mut menu = Menu::default();
    let layers = profile.len();
    if layers == 0 {
        return None;
    }
    let mut used = vec![0i64; layers];
    let room = instance.width * instance.depth;
    let mut trays = vec![(0, 1, 0); instance.trays.len()];
    let mut by_size: Vec<usize> = (0..instance.trays.len()).collect();
    let least = |t: usize| instance.trays[t].options.iter().map(|o| o.w * o.d * o.h).min().unwrap_or(0);
    by_size.sort_by_key(|&t| (std::cmp::Reverse(least(t)), t));
    for &t in &by_size {
        let item = &instance.trays[t];
        let mut best: Option<(i64, (usize, usize, usize))> = None;
        for layer in 0..layers {
            match item.held {
                HeldAt::Layer(l) if l != layer => continue,
                HeldAt::Point(_, _, z) if z != profile.iter().take(layer).sum::<i64>() => continue,
                _ => {}
            }
            for span in 1..=item.span.min(layers - layer) {
                let h = profile.iter().skip(layer).take(span).sum();
                let Some(o) = menu.least(instance, t, h) else { continue };
                let area = item.options[o].w * item.options[o].d;
                let over: i64 = (layer..layer + span).map(|l| (used[l] + area - room).max(0)).sum();
                let fullest = (layer..layer + span).map(|l| used[l] + area).max().unwrap_or(0);
                let cost = if level { fullest * span as i64 } else { area * h + over * h * 4 };
                if best.is_none_or(|b| cost < b.0) {
                    best = Some((cost, (layer, span, o)));
                }
            }
        }
        let (_, place) = best?;
        for l in &mut used[place.0..place.0 + place.1] {
            *l += instance.trays[t].options[place.2].w * instance.trays[t].options[place.2].d;
        }
        trays[t] = place;
    }
    let kept = instance
        .kept
        .iter()
        .map(|k| match k.held {
            HeldAt::Layer(l) => (l.min(layers - 1), 0),
            HeldAt::Point(_, _, z) => {
                ((0..=layers).find(|&l| profile.iter().take(l).sum::<i64>() == z).unwrap_or(0), 0)
            }
            HeldAt::Free => (0, 0),
        })
        .collect();
    let n = instance.trays.len();
    let order = (n..n + instance.kept.len()).chain(by_size).collect();
    Some(Draft { heights: profile.to_vec(), trays, kept, order, borne: false })
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::layout::instance::{Access, KeptItem, Option3, TrayItem};
    use crate::layout::pack::Rect;

    /// Small problems with spans, kept and held bodies and blocked places, each with a walk of drafts.
    pub(in crate::layout) fn drafts() -> Vec<(Instance, Vec<Draft>)> {
        let mut random = Random::new(11);
        (0..40)
            .filter_map(|case| {
                let instance = problem(case, &mut random);
                let heights = [3, 4, 6];
                let mut draft = first_draft(&instance, &[4, 4, 3], false)?;
                let mut menu = Menu::default();
                let mut walk = vec![draft.clone()];
                for _ in 0..120 {
                    let mut next = draft.clone();
                    if change(&instance, &heights, Moves::All, &mut menu, &mut next, &mut random) {
                        draft = next;
                        walk.push(draft.clone());
                    }
                }
                Some((instance, walk))
            })
            .collect()
    }

    fn problem(case: usize, random: &mut Random) -> Instance {
        let mut size = |n: usize| 1 + random.below(n) as i64;
        let trays = (0..6)
            .map(|kind| {
                let (w, d, h) = (2 + size(5), 2 + size(4), 1 + size(3));
                let options = vec![Option3 { w, d, h }, Option3 { w: d, d: w, h }];
                let held = match (kind, case % 4) {
                    (0, 1) => HeldAt::Layer(1),
                    (1, 2) => HeldAt::Point(1, 1, 0),
                    _ => HeldAt::Free,
                };
                let span = if case.is_multiple_of(2) { size(2) as usize } else { 1 };
                TrayItem {
                    name: kind.to_string(),
                    kind,
                    options,
                    span,
                    low: false,
                    fixed: false,
                    lid: false,
                    held,
                    weight: 1,
                }
            })
            .collect();
        let turns = |w, d, h| vec![Option3 { w, d, h }, Option3 { w: d, d: w, h }];
        let kept = (0..case % 3)
            .map(|kind| KeptItem {
                name: kind.to_string(),
                kind,
                turns: turns(1 + size(3), 2, 3 + size(4)),
                held: HeldAt::Free,
            })
            .collect();
        Instance {
            width: 12,
            depth: 10,
            height: 12,
            between: (case % 2) as i64,
            side: (case / 2 % 2) as i64,
            most_layers: 3,
            height_rules: vec![],
            trays,
            kept,
            cover: vec![],
            access: Access::LayerIndex,
            blocked: if case.is_multiple_of(5) { vec![(0, Rect { x: 3, y: 2, w: 2, d: 2 })] } else { vec![] },
            rims: None,
        }
    }
}

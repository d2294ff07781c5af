//! The model against exhaustive enumeration on tiny random instances.

use super::*;
use crate::layout::bound::relax::Choice;
use crate::layout::instance::{
    Access, CoverPlace, HeldAt, KeptItem, KeptPlace, Layout, Option3, TrayItem, TrayPlace,
};
use crate::layout::pack::Rect;
use crate::random::Random;
use crate::stop::Stop;

pub(crate) fn plain(width: i64, depth: i64, height: i64, most_layers: usize) -> Instance {
    Instance {
        width,
        depth,
        height,
        between: 0,
        side: 0,
        most_layers,
        height_rules: vec![],
        trays: vec![],
        kept: vec![],
        cover: vec![],
        access: Access::LayerIndex,
        blocked: vec![],
        rims: None,
    }
}

pub(crate) fn tray(name: &str, options: &[(i64, i64, i64)], span: usize) -> TrayItem {
    TrayItem {
        name: name.into(),
        kind: 0,
        options: options.iter().map(|&(w, d, h)| Option3 { w, d, h }).collect(),
        span,
        low: false,
        fixed: false,
        lid: false,
        held: HeldAt::Free,
        weight: 0,
    }
}

pub(crate) fn kept(name: &str, turns: &[(i64, i64, i64)]) -> KeptItem {
    let turns = turns.iter().map(|&(w, d, h)| Option3 { w, d, h }).collect();
    KeptItem { name: name.into(), kind: 0, turns, held: HeldAt::Free }
}

/// Rectangles thrown into layers, kept where they are apart in every layer they reach through.
pub(crate) fn thrown(random: &mut Random) -> (Instance, Layout, Vec<(usize, Choice)>) {
    let mut from = |least: usize, most: usize| (least + random.below(most - least + 1)) as i64;
    let layers = from(2, 4) as usize;
    let mut instance = plain(from(8, 16), from(8, 16), 5 * layers as i64, layers);
    instance.access = Access::Lifts;
    let mut layout = Layout { heights: vec![5; layers], trays: vec![], kept: vec![] };
    let mut taken: Vec<Vec<Rect>> = vec![Vec::new(); layers];
    let (mut trays, mut others) = (Vec::new(), Vec::new());
    for n in 0..from(40, 400) {
        let (w, d, span) = (from(1, 12), from(1, 12), 1 + from(0, 5) as usize / 5);
        let first = from(0, layers as i64 as usize - 1) as usize;
        let (x, y) = (from(0, 15), from(0, 15));
        let (r, after) = (Rect { x, y, w, d }, first + span);
        let inside = x + w <= instance.width && y + d <= instance.depth && after <= layers;
        if !inside || taken[first..after].iter().flatten().any(|o| o.overlaps(&r)) {
            continue;
        }
        taken[first..after].iter_mut().for_each(|l| l.push(r));
        let height = 5 * span as i64;
        let (cost, wide) = (w * d * height, w * d);
        let choice = Choice { first, after, height, cost, priced: 0, lifted: 0, least_wide: wide };
        if n % 4 == 3 {
            instance.kept.push(kept("k", &[(w, d, height)]));
            layout.kept.push(KeptPlace { layer: first, turn: 0, x, y });
            others.push(choice);
        } else {
            // Another outline that is not taken: the bound may not count on the one that is.
            let mut new = tray("t", &[(w, d, height), (w + 1, d, height)], span);
            (new.weight, new.kind) = (from(0, 3), instance.trays.len());
            instance.trays.push(new);
            layout.trays.push(TrayPlace { layer: first, span, option: 0, x, y });
            trays.push(choice);
        }
    }
    let bodies = trays.into_iter().chain(others).enumerate().collect();
    (instance, layout, bodies)
}

/// Cases that take more steps than this are passed over by [`brute`].
const MOST_STEPS: usize = 400_000;

/// What is best so far, and the steps left.
struct Tried {
    best: Option<i64>,
    steps: usize,
}

/// Every sequence of layer heights, every choice and every place; the least cost. `None`: too many.
fn brute(instance: &Instance) -> Option<Option<i64>> {
    let mut tried = Tried { best: None, steps: MOST_STEPS };
    profiles(instance, &mut Vec::new(), &mut tried);
    (tried.steps > 0).then_some(tried.best)
}

fn profiles(instance: &Instance, heights: &mut Vec<i64>, tried: &mut Tried) {
    let mut layout = Layout { heights: heights.clone(), trays: vec![], kept: vec![] };
    place(instance, &mut layout, &mut Vec::new(), 0, tried);
    if heights.len() < instance.most_layers {
        let left = instance.height - heights.iter().sum::<i64>();
        for h in 1..=left {
            heights.push(h);
            profiles(instance, heights, tried);
            heights.pop();
        }
    }
}

/// Outline, first layer, layer after the last, is a tray.
type Stood = (Rect, usize, usize, bool);

fn place(instance: &Instance, layout: &mut Layout, stood: &mut Vec<Stood>, claimed: i64, tried: &mut Tried) {
    let (t, k) = (layout.trays.len(), layout.kept.len());
    let least = |shapes: &[Option3]| shapes.iter().map(|o| o.w * o.d * o.h).min().unwrap_or(0);
    let rest: i64 = instance.trays[t..].iter().map(|t| least(&t.options)).sum::<i64>()
        + instance.kept[k..].iter().map(|k| least(&k.turns)).sum::<i64>();
    tried.steps = tried.steps.saturating_sub(1);
    if tried.steps == 0 || tried.best.is_some_and(|b| claimed + rest >= b) {
        return;
    }
    if t == instance.trays.len() && k == instance.kept.len() {
        if instance.feasible(layout).is_ok() {
            let value = instance.cost(layout).value();
            tried.best = Some(tried.best.map_or(value, |b| b.min(value)));
        }
        return;
    }
    let layers = layout.heights.len();
    let is_tray = t < instance.trays.len();
    let shapes = if is_tray { &instance.trays[t].options } else { &instance.kept[k].turns };
    let held = if is_tray { instance.trays[t].held } else { instance.kept[k].held };
    let side = if is_tray { instance.side } else { 0 };
    let spans = if is_tray { instance.trays[t].span } else { 1 };
    for layer in 0..=layers {
        match held {
            HeldAt::Layer(l) if l != layer => continue,
            HeldAt::Point(_, _, z) if z != layout.bottom(layer) => continue,
            _ => {}
        }
        for (shape, o) in shapes.iter().enumerate() {
            for span in 1..=spans {
                let sum: i64 = layout.heights.iter().skip(layer).take(span).sum();
                if is_tray && (layer + span > layers || sum < o.h) {
                    continue;
                }
                let (after, claim) = if is_tray {
                    (layer + span, sum)
                } else {
                    let bottom = layout.bottom(layer);
                    let (_, after, top) = instance.kept_reach(&layout.heights, layer, o.h);
                    let out = bottom + o.h > layout.bottom(layers);
                    (if out { usize::MAX } else { after }, top - bottom)
                };
                for x in side..=instance.width - side - o.w {
                    for y in side..=instance.depth - side - o.d {
                        if matches!(held, HeldAt::Point(px, py, _) if (px, py) != (x, y)) {
                            continue;
                        }
                        let rect = Rect { x, y, w: o.w, d: o.d };
                        let clash = stood.iter().any(|s| {
                            let gap = if is_tray || s.3 { instance.between } else { 0 };
                            layer < s.2 && s.1 < after && s.0.nearer(&rect, gap)
                        });
                        if clash {
                            continue;
                        }
                        stood.push((rect, layer, after, is_tray));
                        let claimed = claimed + o.w * o.d * claim;
                        if is_tray {
                            layout.trays.push(TrayPlace { layer, span, option: shape, x, y });
                            place(instance, layout, stood, claimed, tried);
                            layout.trays.pop();
                        } else {
                            layout.kept.push(KeptPlace { layer, turn: shape, x, y });
                            place(instance, layout, stood, claimed, tried);
                            layout.kept.pop();
                        }
                        stood.pop();
                    }
                }
            }
        }
    }
}

/// A random instance small enough for [`brute`], with a bit of everything.
pub(crate) fn random_instance(random: &mut Random) -> Instance {
    let mut upto = |n: usize| 1 + random.below(n) as i64;
    let mut instance = plain(3 + upto(3), 2 + upto(3), 3 + upto(3), 1 + upto(2) as usize);
    instance.between = (upto(3) - 2).max(0);
    instance.side = (upto(4) - 3).max(0);
    if upto(2) == 1 {
        instance.access = Access::Lifts;
    }
    let held = |upto: &mut dyn FnMut(usize) -> i64| match upto(9) {
        1 => HeldAt::Layer(upto(2) as usize - 1),
        2 => HeldAt::Point(upto(2), upto(2), upto(3) - 1),
        _ => HeldAt::Free,
    };
    let n = 1 + (upto(3) as usize).min(2);
    for i in 0..n {
        let mut options = Vec::new();
        for _ in 0..upto(2) {
            let (w, d, h) = (upto(4), upto(3), upto(3));
            options.extend([(w, d, h), (d, w, h)]);
        }
        let mut t = tray(&format!("t{i}"), &options, upto(2) as usize);
        t.kind = i;
        t.held = held(&mut upto);
        t.weight = (upto(4) - 1) * 2;
        t.options.sort_unstable();
        t.options.dedup();
        instance.trays.push(t);
    }
    if n == 2 && upto(4) == 1 {
        instance.trays[1] = TrayItem { name: "again".into(), ..instance.trays[0].clone() };
    }
    if upto(2) == 1 {
        let (w, d, h) = (upto(3), upto(2), upto(5));
        let mut item = kept("k", &[(w, d, h), (d, w, h), (d, h.min(3), w)]);
        item.held = held(&mut upto);
        instance.kept.push(item);
        if n == 2 && upto(3) == 1 {
            instance.trays.pop();
            instance.kept.push(KeptItem { name: "l".into(), ..instance.kept[0].clone() });
        }
    }
    if upto(4) == 1 {
        let rect = Rect { x: upto(3) - 1, y: 0, w: upto(4), d: upto(4) };
        instance.cover.push(CoverPlace { rect, level: 0 });
    }
    if upto(4) == 1 {
        let r = Rect { x: upto(3) - 1, y: upto(2) - 1, w: upto(2), d: upto(2) };
        instance.blocked.push((upto(2) as usize - 1, r));
    }
    if upto(4) == 1 {
        instance.height_rules = vec![(upto(2), 2 + upto(2)), (1, 1 + upto(3))];
    }
    instance
}

#[test]
fn the_optimum_of_every_tiny_instance() {
    let mut random = Random::new(5);
    let (mut with, mut without, mut failed) = (0, 0, 0);
    let (mut spans, mut lifts, mut high) = (0, 0, 0);
    for case in 0..300 {
        let instance = random_instance(&mut random);
        let Some(truth) = brute(&instance) else { continue };
        let outcome = solve(&instance, None, &Stop::nodes(200_000));
        let say = || format!("case {case}, truth {truth:?}: {outcome:?}\n{instance:?}");
        match outcome.state {
            ModelState::Optimal => {
                let layout = outcome.layout.as_ref().unwrap();
                assert_eq!(Some(instance.cost(layout).value()), truth, "{}", say());
                assert_eq!(outcome.bound, truth, "{}", say());
                assert_eq!(outcome.note, "", "{}", say());
                assert_eq!(outcome.bound, completed(&instance, layout), "{}", say());
                spans += usize::from(layout.trays.iter().any(|t| t.span > 1));
                lifts += usize::from(instance.cost(layout).access > 0);
                high += usize::from(!layout.kept.is_empty() && layout.heights.len() > 1);
                with += 1;
            }
            ModelState::NoLayout => {
                assert_eq!(truth, None, "{}", say());
                without += 1;
            }
            ModelState::Failed => failed += 1,
            other => panic!("{other:?} {}", say()),
        }
        if let (Some(truth), Some(bound)) = (truth, outcome.bound) {
            assert!(bound <= truth, "{}", say());
        }
    }
    assert!(with > 150 && without > 45 && failed < 6, "with {with}, without {without}, failed {failed}");
    assert!(spans > 15 && lifts > 45 && high > 7, "spans {spans}, lifts {lifts}, kept in layers {high}");
}

/// The model's value when all its binaries are those of a layout: the warm start must be one of its solutions.
fn completed(instance: &Instance, layout: &Layout) -> Option<i64> {
    let mut model = build(instance).unwrap();
    for (c, v) in model.values(instance, layout)? {
        (model.columns[c].least, model.columns[c].most) = (v, v);
    }
    let solution = run::translate(&model).0.solve().ok()?.into_solution().ok()?;
    Some((solution.objective() * model.unit as f64).round() as i64)
}

#[test]
fn a_start_is_kept_and_nodes_alone_repeat_to_the_byte() {
    let mut random = Random::new(8);
    for _ in 0..12 {
        let instance = random_instance(&mut random);
        let first = solve(&instance, None, &Stop::nodes(30));
        let again = solve(&instance, None, &Stop::nodes(30));
        assert_eq!(format!("{first:?}"), format!("{again:?}"));
        let Some(layout) = &first.layout else { continue };
        let value = instance.cost(layout).value();
        let kept = solve(&instance, Some(layout), &Stop::nodes(0)).layout.unwrap();
        assert!(instance.cost(&kept).value() <= value);
        // A start that breaks a rule is not taken.
        let mut wrong = layout.clone();
        wrong.heights.push(instance.height);
        let none = solve(&instance, Some(&wrong), &Stop::within(std::time::Duration::ZERO));
        assert_eq!((none.layout, none.state), (None, ModelState::Stopped));
    }
}

#[test]
fn what_is_too_large_is_said() {
    let mut instance = plain(300, 300, 300, 4);
    let options: Vec<_> = (1..200).map(|k| (k, 200 - k, k)).collect();
    instance.trays = (0..30).map(|i| tray(&format!("t{i}"), &options, 1)).collect();
    assert_eq!(build(&instance).err(), Some(TooLarge));
    let outcome = solve(&instance, None, &Stop::never());
    assert_eq!((outcome.state, outcome.bound), (ModelState::TooLarge, None));
    instance.trays.clear();
    assert_eq!(solve(&instance, None, &Stop::never()).bound, Some(0));
}

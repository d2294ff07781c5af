//! Against trying every place.

use super::*;
use crate::layout::bearing::unborne;
use crate::layout::bound::relax::Choice;
use crate::layout::instance::Top;
use crate::layout::instance::{KeptPlace, Layout, Option3, Rims, TrayPlace};
use crate::layout::model::tests::{kept, plain, tray};
use crate::layout::pack::Rect;
use crate::random::Random;
use std::sync::Arc;

/// The assignment of a layout.
fn leaf(instance: &Instance, layout: &Layout) -> Leaf {
    let choice =
        |first, after, height| Choice { first, after, height, cost: 0, priced: 0, lifted: 0, least_wide: 0 };
    let mut bodies = Vec::new();
    for (b, p) in layout.trays.iter().enumerate() {
        let height = layout.heights[p.layer..p.layer + p.span].iter().sum();
        let mut c = choice(p.layer, p.layer + p.span, height);
        c.cost = least_area(instance, b, &c) * height;
        bodies.push((b, c));
    }
    for (k, p) in layout.kept.iter().enumerate() {
        let b = instance.trays.len() + k;
        let height = instance.kept[k].turns[0].h;
        let (first, after, top) = instance.kept_reach(&layout.heights, p.layer, height);
        let mut c = choice(first, after, height);
        c.cost = least_area(instance, b, &c) * (top - layout.bottom(p.layer));
        bodies.push((b, c));
    }
    Leaf::new(instance, &layout.heights, bodies, None, 0)
}

/// The least value over every place, and its lifts.
fn least_of_all(instance: &Instance, layout: &mut Layout, body: usize) -> Option<(i64, i64)> {
    let n = instance.trays.len();
    if body == n + instance.kept.len() {
        instance.feasible(layout).ok().filter(|()| unborne(instance, layout) == 0)?;
        let cost = instance.cost(layout);
        return Some((cost.value(), cost.access));
    }
    let outlines: Vec<Option3> = match body.checked_sub(n) {
        None => instance.trays[body].options.clone(),
        Some(k) => instance.kept[k].turns.clone(),
    };
    let mut best: Option<(i64, i64)> = None;
    for (i, o) in outlines.iter().enumerate() {
        for x in 0..=instance.width - o.w {
            for y in 0..=instance.depth - o.d {
                match body.checked_sub(n) {
                    None => {
                        let place = &mut layout.trays[body];
                        (place.option, place.x, place.y) = (i, x, y);
                    }
                    Some(k) => {
                        let place = &mut layout.kept[k];
                        (place.turn, place.x, place.y) = (i, x, y);
                    }
                }
                if let Some(own) = least_of_all(instance, layout, body + 1)
                    && best.is_none_or(|b| own.0 < b.0)
                {
                    best = Some(own);
                }
            }
        }
    }
    best
}

/// The same with every outline that is larger, too.
fn grown(instance: &Instance) -> Instance {
    let mut out = instance.clone();
    for t in &mut out.trays {
        let holds = |w: i64, d: i64| t.options.iter().any(|o| o.w <= w && o.d <= d);
        let all = (1..=instance.width).flat_map(|w| (1..=instance.depth).map(move |d| (w, d)));
        t.options = all.filter(|(w, d)| holds(*w, *d)).map(|(w, d)| Option3 { w, d, h: 1 }).collect();
    }
    out
}

/// Three or four bodies in three layers of a small box: spans, kept items of one layer and of two, held trays, gaps.
#[test]
fn the_least_cost_is_that_of_trying_everything() {
    let mut random = Random::new(3);
    let (mut dear, mut none, mut through) = (0, 0, 0);
    let (mut borne, mut sharp, mut tight, mut covers) = (0, 0, 0, 0);
    for _ in 0..900 {
        let mut n = |from: i64, to: i64| from + random.below((to - from + 1) as usize) as i64;
        let mut instance = plain(n(3, 5), n(2, 3), 5, 3);
        instance.access = Access::Lifts;
        instance.between = n(0, 1);
        instance.side = i64::from(n(0, 3) == 0);
        let mut start = Layout { heights: vec![1, 1, 1], trays: Vec::new(), kept: Vec::new() };
        for kind in 0..n(2, 3) as usize {
            let all = [(n(1, 4), n(1, 3), 1), (n(1, 3), n(1, 4), 1)];
            let mut item = tray("reeds", &all[..n(1, 2) as usize], 2);
            (item.kind, item.weight) = (kind, n(0, 3) * [1, 8][n(0, 1) as usize]);
            let (layer, span) = [(0, 1), (1, 1), (2, 1), (0, 2), (1, 2)][n(0, 4) as usize];
            if n(0, 7) == 0 {
                item.held = HeldAt::Point(n(0, 2), n(0, 1), layer as i64);
            }
            instance.trays.push(item);
            start.trays.push(TrayPlace { layer, span, option: 0, x: 0, y: 0 });
        }
        if n(0, 1) == 0 {
            let (w, d, h) = (n(1, 3), n(1, 2), n(1, 2));
            instance.kept.push(kept("carton", &[(w, d, h), (d, w, h)]));
            start.kept.push(KeptPlace { layer: n(0, 3) as usize, turn: 0, x: 0, y: 0 });
        }
        if n(0, 1) == 0 {
            // A step is four units, walls are one thick, and trays of kind 1 have a divider off the middle.
            let top = |tray: usize, o: Option3| {
                let (w, d) = (4 * o.w - 1, 4 * o.d);
                let wall = |x, y, w, d| Rect { x, y, w, d };
                let mut places =
                    vec![wall(0, 0, w, 1), wall(0, d - 1, w, 1), wall(0, 0, 1, d), wall(w - 1, 0, 1, d)];
                if tray == 1 {
                    places.push(wall(w / 3, 0, 1, d));
                }
                Top { size: (w, d), places: places.into() }
            };
            instance.rims = Some(Rims { per_step: 4, top: Arc::new(top), kept: Arc::from([]) });
            let last = instance.trays.len() - 1;
            (instance.trays[last].lid, instance.trays[0].low) = (n(0, 3) == 0, n(0, 4) == 0);
        }
        let own = leaf(&instance, &start);
        let least = least_of_all(&instance, &mut start.clone(), 0);
        let (cutoff, stop) = (1_000, Stop::never());
        let ask = Ask { instance: &instance, leaf: &own, forced: 0, cutoff, nodes: u64::MAX, stop: &stop };
        let wanted = least.map_or(cutoff + 1, |(value, _)| value);
        let Answer { related, met, .. } = ask.answer();
        let met = met.map(|l| {
            assert_eq!((instance.feasible(&l), unborne(&instance, &l)), (Ok(()), 0));
            instance.cost(&l).value()
        });
        if instance.rims.is_none() {
            assert_eq!(related, Related::AtLeast(wanted, Doubt::None), "{instance:?} {start:?}");
            assert_eq!(met, least.map(|l| l.0));
            if least.is_some() {
                // No more is looked for than a cutoff leaves: as little as there is, and too little.
                for cutoff in [wanted, wanted - 1].into_iter().filter(|c| *c >= own.least) {
                    let told = Ask { cutoff, ..ask }.answer().related;
                    assert_eq!(told, Related::AtLeast(wanted, Doubt::None), "{instance:?} {start:?}");
                }
            }
        } else {
            // Trays may also be made larger than their outlines.
            let Related::AtLeast(told, Doubt::None) = related else { panic!("{related:?}") };
            let free = Instance { rims: None, ..instance.clone() };
            let unborne = least_of_all(&free, &mut start.clone(), 0).map_or(cutoff + 1, |l| l.0);
            assert!(
                unborne <= told && told <= wanted && met.is_none_or(|m| m >= told),
                "{instance:?} {start:?}"
            );
            if instance.trays.len() == 2 {
                let large = grown(&instance);
                let large = least_of_all(&large, &mut start.clone(), 0).map_or(cutoff + 1, |l| l.0);
                assert!(told <= large, "{told} {large} {instance:?} {start:?}");
                sharp += usize::from(told > unborne);
                tight += usize::from(told == large);
            }
            borne += usize::from(unborne < wanted);
        }
        if let Some((mut relate, mut state)) = Relate::new(&ask).filter(|_| least.is_some())
            && relate.narrow(&mut state)
        {
            let lifts = relate.lifts(&state);
            assert!(relate.base + lifts <= wanted, "{lifts} {instance:?} {start:?}");
            covers += usize::from(lifts > 0);
        }
        // Too few nodes say nothing.
        assert_eq!(Ask { nodes: 0, ..ask }.answer().related, Related::Open);
        dear += usize::from(least.is_some_and(|(_, access)| access > 0));
        none += usize::from(least.is_none());
        through += usize::from(start.trays.iter().any(|t| t.span > 1));
    }
    assert!(dear > 30 && none > 30 && through > 30, "{dear} {none} {through}");
    assert!(borne > 30 && sharp > 10 && tight > 30 && covers > 30, "{borne} {sharp} {tight} {covers}");
}

/// A small tray and one as large as the box in two layers: neither outline rests on the other, but the small one may be made
/// as wide as the box.
#[test]
fn what_may_rest_when_made_larger_is_not_refuted() {
    let mut instance = plain(100, 100, 20, 2);
    let top = |_: usize, o: Option3| {
        let wall = |x, y, w, d| Rect { x, y, w, d };
        let places =
            [wall(0, 0, o.w, 3), wall(0, o.d - 3, o.w, 3), wall(0, 0, 3, o.d), wall(o.w - 3, 0, 3, o.d)];
        Top { size: (o.w, o.d), places: places.into() }
    };
    instance.rims = Some(Rims { per_step: 1, top: Arc::new(top), kept: Arc::from([]) });
    instance.trays = vec![tray("a", &[(100, 100, 10)], 1), tray("b", &[(40, 40, 10)], 1)];
    let at = |layer| TrayPlace { layer, span: 1, option: 0, x: 0, y: 0 };
    let start = Layout { heights: vec![10, 10], trays: vec![at(0), at(1)], kept: vec![] };
    let leaf = leaf(&instance, &start);
    let stop = Stop::never();
    let told = |cutoff| {
        let ask = Ask { instance: &instance, leaf: &leaf, forced: 0, cutoff, nodes: u64::MAX, stop: &stop };
        let Related::AtLeast(told, _) = ask.answer().related else { panic!() };
        told
    };
    // With 40 × 40 for both layers, and with 100 × 40, which rests at both ends.
    let (least, wide) = (10 * (10_000 + 1_600), 10 * (10_000 + 4_000));
    assert_eq!(told(least + 10), least + 11); // so little more does not let it rest
    assert!(told(200_000) <= wide);
}

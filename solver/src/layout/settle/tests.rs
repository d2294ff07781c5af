//! Properties of settling on random feasible layouts, and small cases drawn out.

use super::*;
use crate::layout::decode::{Draft, decode};
use crate::layout::instance::{Access, CoverPlace, KeptItem, Option3, TrayItem};
use crate::random::Random;

fn tray(name: usize, w: i64, d: i64, h: i64) -> TrayItem {
    TrayItem {
        name: format!("t{name}"),
        kind: name,
        options: vec![Option3 { w, d, h }],
        span: 1,
        low: false,
        fixed: false,
        lid: false,
        held: HeldAt::Free,
        weight: 1,
    }
}

fn empty(width: i64, depth: i64, height: i64) -> Instance {
    Instance {
        width,
        depth,
        height,
        between: 1,
        side: 1,
        most_layers: 3,
        height_rules: vec![],
        trays: vec![],
        kept: vec![],
        cover: vec![],
        access: Access::Lifts,
        blocked: vec![],
        rims: None,
    }
}

fn in_order(instance: &Instance, heights: &[i64], layers: &[usize]) -> Layout {
    let draft = Draft {
        heights: heights.to_vec(),
        trays: layers.iter().map(|&l| (l, 1, 0)).collect(),
        kept: instance.kept.iter().map(|_| (0, 0)).collect(),
        order: (0..instance.trays.len() + instance.kept.len()).collect(),
        borne: false,
    };
    let decoded = decode(instance, &draft);
    assert!(decoded.unplaced.is_empty() && instance.feasible(&decoded.layout).is_ok());
    decoded.layout
}

/// The settled layout as one of an instance whose trays have exactly the settled outlines.
fn as_layout(instance: &Instance, layout: &Layout, settled: &Settled) -> (Instance, Layout) {
    let (mut instance, mut layout) = (instance.clone(), layout.clone());
    layout.heights.clone_from(&settled.heights);
    for (i, s) in settled.trays.iter().enumerate() {
        let h = instance.trays[i].options[layout.trays[i].option].h;
        instance.trays[i].options = vec![Option3 { w: s.w, d: s.d, h }];
        let p = &mut layout.trays[i];
        (p.option, p.x, p.y) = (0, s.x, s.y);
    }
    for (p, &(x, y)) in layout.kept.iter_mut().zip(&settled.kept) {
        (p.x, p.y) = (x, y);
    }
    (instance, layout)
}

#[test]
fn two_trays_share_a_row_and_fill_the_depth() {
    //  |aaaabb......|      |aaaaaaa.bbbbb|   play 1 everywhere
    let mut instance = empty(20, 10, 10);
    instance.trays = vec![tray(0, 6, 5, 4), tray(1, 4, 5, 4)];
    let layout = in_order(&instance, &[4], &[0, 0]);
    let s = settle(&instance, &layout, &SettleWishes::usual(&instance));
    // 17 steps of width for 10: 7 to share, the odd one to the first.
    assert_eq!(s.trays[0], SettledTray { x: 1, y: 1, w: 10, d: 8 });
    assert_eq!(s.trays[1], SettledTray { x: 12, y: 1, w: 7, d: 8 });
    assert_eq!(s.heights, vec![10]);
}

#[test]
fn what_cannot_grow_stands_in_the_middle_and_a_footprint_has_its_limit() {
    let mut instance = empty(20, 10, 10);
    instance.trays = vec![tray(0, 6, 4, 4)];
    let layout = in_order(&instance, &[4], &[0]);
    let fixed = SettleWishes { fixed: vec![true], ..SettleWishes::usual(&instance) };
    let s = settle(&instance, &layout, &fixed);
    assert_eq!(s.trays[0], SettledTray { x: 7, y: 3, w: 6, d: 4 });
    // 7 × 9 either way round: the width takes the longer side, the depth what is left of the other.
    let most = SettleWishes { most: Some(vec![(7, 9), (9, 7)]), ..SettleWishes::usual(&instance) };
    let s = settle(&instance, &layout, &most);
    assert_eq!((s.trays[0].w, s.trays[0].d), (9, 7));
}

#[test]
fn what_carries_keeps_its_layer_and_spare_room_gathers() {
    let mut instance = empty(20, 10, 10);
    instance.trays = vec![tray(0, 6, 5, 4), tray(1, 6, 5, 2)];
    instance.kept = vec![KeptItem {
        name: "carton".into(),
        kind: 0,
        turns: vec![Option3 { w: 5, d: 5, h: 4 }],
        held: HeldAt::Free,
    }];
    let mut layout = in_order(&instance, &[4, 2], &[0, 1]);
    layout.trays[1].x = layout.kept[0].x;
    assert_eq!(borne_layers(&instance, &layout), vec![true, false]);
    let no_grow = borne_layers(&instance, &layout);
    let s = settle(&instance, &layout, &SettleWishes { no_grow, ..SettleWishes::usual(&instance) });
    assert_eq!(s.heights, vec![4, 6]);
    let gathered =
        settle(&instance, &layout, &SettleWishes { one_piece: true, ..SettleWishes::usual(&instance) });
    assert_eq!(gathered.heights, vec![4, 2]);
    assert_eq!(gathered.trays[1], SettledTray { x: 1, y: 1, w: 6, d: 5 });
    assert_eq!(gathered.kept[0].0, 8);
}

#[test]
fn pairs_that_must_stay_apart_do() {
    let mut instance = empty(22, 10, 10);
    instance.trays = vec![tray(0, 6, 8, 4), tray(1, 6, 8, 4)];
    let mut layout = in_order(&instance, &[4, 4], &[0, 1]);
    layout.trays[1].x = 15;
    assert_eq!(apart(&instance, &layout), vec![(0, 1)]);
    let keep_apart = apart(&instance, &layout);
    let s = settle(&instance, &layout, &SettleWishes { keep_apart, ..SettleWishes::usual(&instance) });
    assert_eq!((s.trays[0].w, s.trays[1].w), (10, 10));
    let (grown, at) = as_layout(&instance, &layout, &s);
    assert_eq!(grown.cost(&at).access, 0);
}

/// A random instance with a feasible layout that came from placing bodies in random order.
fn random_case(random: &mut Random) -> Option<(Instance, Layout)> {
    let mut instance = empty(30 + random.below(30) as i64, 30 + random.below(30) as i64, 40);
    instance.between = random.below(3) as i64;
    instance.side = random.below(3) as i64;
    let mut side = |least: usize| (least + random.below(14)) as i64;
    instance.trays = (0..7).map(|i| tray(i, side(4), side(4), side(1).min(9))).collect();
    instance.kept = (0..2)
        .map(|k| {
            let turns = vec![Option3 { w: side(2), d: side(2), h: side(2) }];
            KeptItem { name: format!("k{k}"), kind: k, turns, held: HeldAt::Free }
        })
        .collect();
    for t in &mut instance.trays {
        t.weight = random.below(3) as i64;
        t.span = 1 + random.below(2);
    }
    if random.below(3) == 0 {
        instance.cover = vec![CoverPlace { rect: Rect { x: 2, y: 2, w: 9, d: 9 }, level: 0 }];
    }
    if random.below(3) == 0 {
        let (x, y) = (random.below(20) as i64, random.below(20) as i64);
        instance.blocked = vec![(random.below(2), Rect { x, y, w: 6, d: 6 })];
    }
    if random.below(3) == 0 {
        instance.height_rules = vec![(3, 12), (2, 40)];
    }
    let mut order: Vec<usize> = (0..9).collect();
    random.shuffle(&mut order);
    let heights = vec![9 + random.below(3) as i64, 9, 9 + random.below(4) as i64];
    let trays = (0..7)
        .map(|i| {
            let span = 1 + random.below(instance.trays[i].span);
            (random.below(4 - span), span, 0)
        })
        .collect();
    let draft =
        Draft { heights, trays, kept: (0..2).map(|_| (random.below(4), 0)).collect(), order, borne: false };
    let layout = decode(&instance, &draft).layout;
    instance.feasible(&layout).ok()?;
    for (i, p) in layout.trays.iter().enumerate().filter(|_| random.below(8) == 0) {
        instance.trays[i].held = HeldAt::Point(p.x, p.y, layout.bottom(p.layer));
    }
    for (k, p) in layout.kept.iter().enumerate().filter(|_| random.below(8) == 0) {
        instance.kept[k].held = HeldAt::Point(p.x, p.y, layout.bottom(p.layer));
    }
    Some((instance, layout))
}

#[test]
fn every_feasible_layout_settles_feasibly() {
    let mut random = Random::new(11);
    let (mut cases, mut grown) = (0, 0);
    for _ in 0..20_000 {
        let Some((instance, layout)) = random_case(&mut random) else { continue };
        cases += 1;
        let wishes = SettleWishes {
            share: (0..7).map(|_| random.below(4) as i64 * 700).collect(),
            most: (random.below(3) == 0).then(|| vec![(22, 18), (18, 22)]),
            fixed: (0..7).map(|_| random.below(4) == 0).collect(),
            stay: (0..9).map(|_| random.below(6) == 0).collect(),
            height_room: 30 + random.below(12) as i64,
            one_piece: random.below(5) == 0,
            no_grow: borne_layers(&instance, &layout),
            keep_apart: apart(&instance, &layout),
        };
        let settled = settle(&instance, &layout, &wishes);
        assert_eq!(settled, settle(&instance, &layout, &wishes));
        let (bigger, at) = as_layout(&instance, &layout, &settled);
        assert_eq!(bigger.feasible(&at), Ok(()), "{instance:?} {layout:?} {wishes:?} {settled:?}");
        for (i, s) in settled.trays.iter().enumerate() {
            let r = instance.tray_rect(i, &layout.trays[i]);
            assert!(s.w >= r.w && s.d >= r.d);
            let still = wishes.fixed[i] || wishes.one_piece || wishes.share[i] == 0;
            assert!(!still || (s.w, s.d) == (r.w, r.d));
            assert!(!wishes.stay[i] || (s.x, s.y) == (r.x, r.y));
            if let (Some(_), true) = (&wishes.most, (s.w, s.d) != (r.w, r.d)) {
                assert!((s.w <= 22 && s.d <= 18) || (s.w <= 18 && s.d <= 22));
            }
            grown += usize::from(s.w > r.w && s.d > r.d);
        }
        let still = |l: usize| wishes.no_grow[l] || wishes.one_piece;
        for (l, (s, t)) in settled.heights.iter().zip(&layout.heights).enumerate() {
            assert!(s >= t && (!still(l) || s == t));
        }
        // Pairs kept apart add no lift; sliding and growing may lose some.
        assert!(bigger.cost(&at).access <= instance.cost(&layout).access);
        assert_eq!(wishes.keep_apart.iter().find(|&&(a, b)| apart_pair(&bigger, &at, a, b)), None);
    }
    assert!(cases > 400 && grown > 400, "{cases} cases, {grown} trays grown both ways");
}

fn apart_pair(instance: &Instance, layout: &Layout, a: usize, b: usize) -> bool {
    let seen = lifts::seen(instance, layout);
    seen[a].rect.overlaps(&seen[b].rect)
}

#[test]
fn an_infeasible_layout_comes_back_as_it_is() {
    let mut instance = empty(20, 10, 10);
    instance.trays = vec![tray(0, 6, 5, 4), tray(1, 4, 5, 4)];
    let mut layout = in_order(&instance, &[4], &[0, 0]);
    layout.trays[1].x = 2;
    let s = settle(&instance, &layout, &SettleWishes::usual(&instance));
    assert_eq!(s.trays[1], SettledTray { x: 2, y: 1, w: 4, d: 5 });
    layout.trays.push(layout.trays[0]);
    assert_eq!(settle(&instance, &layout, &SettleWishes::usual(&instance)).trays.len(), 2);
}

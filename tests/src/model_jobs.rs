//! Three small placement jobs for which other solvers are asked too.

use traywright::layout::instance::{Access, CoverPlace, HeldAt, Instance, KeptItem, Option3, TrayItem};
use traywright::layout::pack::Rect;

/// A box without bodies, with gaps of 1.
pub fn empty(width: i64, depth: i64, height: i64, most_layers: usize) -> Instance {
    Instance {
        width,
        depth,
        height,
        between: 1,
        side: 1,
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

/// A tray with these outlines, each also turned.
pub fn tray(name: &str, outlines: &[(i64, i64, i64)], weight: i64) -> TrayItem {
    let both = outlines.iter().flat_map(|&(w, d, h)| [Option3 { w, d, h }, Option3 { w: d, d: w, h }]);
    let mut options: Vec<Option3> = both.collect();
    options.sort_unstable();
    options.dedup();
    TrayItem {
        name: name.into(),
        kind: 0,
        options,
        span: 1,
        low: false,
        fixed: false,
        lid: false,
        held: HeldAt::Free,
        weight,
    }
}

/// Each job with the name of its file.
pub fn jobs() -> Vec<(&'static str, Instance)> {
    vec![("layers", layers()), ("spans", spans()), ("lifts", lifts())]
}

/// Penalty by layer, a blocked place, a rule for the first layer.
fn layers() -> Instance {
    let mut i = empty(120, 90, 60, 2);
    i.height_rules = vec![(20, 40)];
    i.blocked = vec![(0, Rect { x: 80, y: 0, w: 40, d: 30 })];
    i.trays = vec![
        tray("mail sacks", &[(70, 50, 22), (60, 40, 30)], 9_000),
        tray("fare discs", &[(50, 40, 18), (40, 34, 26)], 4_000),
        tray("deckhands", &[(80, 45, 28)], 0),
        tray("quay tiles", &[(60, 30, 20)], 1_000),
    ];
    kinds_apart(&mut i);
    i
}

/// Only like trays may be of one kind.
fn kinds_apart(i: &mut Instance) {
    i.trays.iter_mut().enumerate().for_each(|(kind, t)| t.kind = kind);
}

/// A tray through two layers, a kept item that may turn, a tray that is held at a place, one in a layer.
fn spans() -> Instance {
    let mut i = empty(120, 90, 60, 2);
    i.trays = vec![
        tray("masts", &[(40, 30, 48)], 0),
        tray("cargo", &[(60, 50, 24), (55, 40, 31)], 3_000),
        tray("charts", &[(70, 40, 15)], 5_000),
    ];
    kinds_apart(&mut i);
    i.trays[0].span = 2;
    i.trays[1].held = HeldAt::Point(1, 1, 0);
    i.trays[2].held = HeldAt::Layer(1);
    let turns = [(50, 30, 35), (30, 50, 35), (50, 35, 30), (35, 50, 30)];
    let turns = turns.map(|(w, d, h)| Option3 { w, d, h }).to_vec();
    i.kept = vec![KeptItem { name: "crew carton".into(), kind: 0, turns, held: HeldAt::Free }];
    i
}

/// Lifts by overlap: two like trays, one that is always needed, two cover items, one over the other.
fn lifts() -> Instance {
    let mut i = empty(100, 80, 50, 2);
    i.access = Access::Lifts;
    let cover = |x, y, w, d, level| CoverPlace { rect: Rect { x, y, w, d }, level };
    i.cover = vec![cover(10, 10, 60, 60, 0), cover(55, 5, 40, 70, 1)];
    let pair = tray("ferry", &[(48, 36, 20)], 2_000);
    i.trays = vec![
        TrayItem { name: "ferry 1".into(), ..pair.clone() },
        TrayItem { name: "ferry 2".into(), ..pair },
        tray("purse", &[(40, 30, 12), (30, 25, 20)], 20_000),
    ];
    i.trays[2].kind = 1;
    i
}

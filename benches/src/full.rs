//! Layout cases with everything that the placement model knows: spans, kept items, held trays, bearing, lifts.

use traywright::layout::instance::{Access, HeldAt, Instance, KeptItem, Option3, Rims};
use traywright::layout::pack::Rect;
use traywright::random::Random;

use crate::case::Case;

/// Kept items that may stand anywhere, turned or not.
const KEPT: usize = 2;

/// The case as an instance of the full model, grown by what the seed draws:
///
/// - every third tray may reach through two layers;
/// - two kept items stand where the search likes; blocked places are left out for them, and the box is made wider
///   until it is as full as the case asks for;
/// - one tray is held in the first layer from the floor, another in the second;
/// - trays rest on rims of this wall thickness, on kept items or on the floor;
/// - a lift costs what a layer of depth costs in the case.
pub fn full_model(case: &Case, wall: i64, seed: u64) -> Instance {
    let mut random = Random::new(seed);
    let mut instance = Instance { blocked: vec![], access: Access::Lifts, ..case.instance() };
    for tray in instance.trays.iter_mut().step_by(3) {
        tray.span = 2;
    }
    let mut between = |least: i64, most: i64| least + random.below((most - least + 1).max(1) as usize) as i64;
    let mut volume = 0;
    for k in 0..KEPT {
        let (w, d, h) = (
            between(case.w / 8, case.w / 5),
            between(case.d / 8, case.d / 5),
            between(case.h / 4, case.h / 2),
        );
        volume += w * d * h;
        let mut turns = vec![Option3 { w, d, h }, Option3 { w: d, d: w, h }];
        turns.sort_unstable();
        turns.dedup();
        instance.kept.push(KeptItem { name: format!("k{k}"), kind: k, turns, held: HeldAt::Free });
    }
    instance.width += (volume as f64 / case.fill_target / (case.d * case.h) as f64).ceil() as i64;
    let mut order: Vec<usize> = (0..instance.trays.len()).collect();
    random.shuffle(&mut order);
    for (layer, tray) in order.into_iter().take(2.min(case.lmax)).enumerate() {
        instance.trays[tray].held = HeldAt::Layer(layer);
    }
    instance.rims = Some(Rims::whole(move |_, o| ring(o, wall).into()));
    instance
}

/// Four walls around an outline.
fn ring(o: Option3, wall: i64) -> [Rect; 4] {
    [
        Rect { x: 0, y: 0, w: o.w, d: wall },
        Rect { x: 0, y: o.d - wall, w: o.w, d: wall },
        Rect { x: 0, y: 0, w: wall, d: o.d },
        Rect { x: o.w - wall, y: 0, w: wall, d: o.d },
    ]
}

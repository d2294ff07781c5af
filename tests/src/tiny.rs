//! Small random placement problems, and the least value of tiny ones by trying everything.

use std::sync::Arc;

use traywright::layout::bearing::unborne;
use traywright::layout::instance::{
    Access, CoverPlace, HeldAt, Instance, KeptItem, KeptPlace, Layout, Option3, Rims, TrayItem, TrayPlace,
};
use traywright::layout::pack::Rect;
use traywright::random::Random;

/// How large a random problem may be.
#[derive(Clone, Copy, Debug)]
pub struct Most {
    /// Greatest width, depth, height of the box.
    pub sides: [usize; 3],
    /// Layers.
    pub layers: usize,
    /// Trays.
    pub trays: usize,
    /// Kept items.
    pub kept: usize,
    /// Greatest side of a body.
    pub body: usize,
}

/// Small enough for [`least_value`] in most cases.
pub const TINY: Most = Most { sides: [6, 5, 6], layers: 2, trays: 2, kept: 1, body: 4 };

/// For solvers that do not try everything.
pub const SMALL: Most = Most { sides: [9, 8, 8], layers: 3, trays: 4, kept: 2, body: 6 };

/// For the search alone.
pub const LARGE: Most = Most { sides: [40, 34, 24], layers: 3, trays: 10, kept: 4, body: 14 };

/// A number from 1 to `n`.
fn upto(random: &mut Random, n: usize) -> i64 {
    1 + random.below(n) as i64
}

/// True once in `n` times.
fn once_in(random: &mut Random, n: usize) -> bool {
    random.below(n) == 0
}

/// A problem with a bit of everything that a placement problem may hold, bearing apart.
pub fn instance(random: &mut Random, most: Most) -> Instance {
    let [w, d, h] = most.sides.map(|s| (s - s / 2) as i64 + random.below(s / 2 + 1) as i64);
    let mut i = Instance {
        width: w,
        depth: d,
        height: h,
        between: (upto(random, 3) - 2).max(0),
        side: (upto(random, 4) - 3).max(0),
        most_layers: upto(random, most.layers) as usize,
        height_rules: vec![],
        trays: vec![],
        kept: vec![],
        cover: vec![],
        access: if once_in(random, 2) { Access::Lifts } else { Access::LayerIndex },
        blocked: vec![],
        rims: None,
    };
    for t in 0..upto(random, most.trays) as usize {
        let twin = i.trays.last().filter(|_| once_in(random, 5)).cloned();
        let tray = match twin {
            Some(twin) => TrayItem { name: format!("tray {t}"), ..twin },
            None => tray(random, t, most),
        };
        i.trays.push(tray);
    }
    for k in 0..random.below(most.kept + 1) {
        let twin = i.kept.last().filter(|_| once_in(random, 3)).cloned();
        let item = match twin {
            Some(twin) => KeptItem { name: format!("kept {k}"), ..twin },
            None => kept(random, k, most),
        };
        i.kept.push(item);
    }
    // Cover items of one level may overlap here: these are two stacks, and none lies over the other.
    while once_in(random, 3) && i.cover.len() < 3 {
        let (w, d) = (upto(random, most.body), upto(random, most.body));
        let rect = Rect { x: random.below(3) as i64, y: random.below(2) as i64, w, d };
        i.cover.push(CoverPlace { rect, level: random.below(2) });
    }
    // Blocked places may reach over the sides and lie on each other.
    while once_in(random, 4) {
        let rect = Rect {
            x: random.below(5) as i64 - 1,
            y: random.below(4) as i64 - 1,
            w: upto(random, 3),
            d: upto(random, 3),
        };
        i.blocked.push((random.below(2), rect));
        if once_in(random, 8) {
            i.blocked.push((random.below(2), rect));
        }
    }
    if once_in(random, 4) {
        i.height_rules = vec![(upto(random, 2), 2 + upto(random, 2)), (1, 1 + upto(random, 3))];
    }
    i
}

/// The same problem, in which what stands above the floor must rest on rims one step wide, lids or kept items.
pub fn with_rims(instance: Instance) -> Instance {
    let rims = |_: usize, o: Option3| -> Arc<[Rect]> {
        [
            Rect { x: 0, y: 0, w: o.w, d: 1 },
            Rect { x: 0, y: o.d - 1, w: o.w, d: 1 },
            Rect { x: 0, y: 0, w: 1, d: o.d },
            Rect { x: o.w - 1, y: 0, w: 1, d: o.d },
        ]
        .into()
    };
    Instance { rims: Some(Rims::whole(rims)), ..instance }
}

fn held(random: &mut Random) -> HeldAt {
    match random.below(10) {
        0 => HeldAt::Layer(random.below(2)),
        1 => HeldAt::Point(upto(random, 2), upto(random, 2), random.below(4) as i64),
        _ => HeldAt::Free,
    }
}

fn tray(random: &mut Random, kind: usize, most: Most) -> TrayItem {
    let mut options = Vec::new();
    for _ in 0..upto(random, 2) {
        let [w, d, h] = [most.body, most.body - 1, most.body - 1].map(|m| upto(random, m));
        options.extend([Option3 { w, d, h }, Option3 { w: d, d: w, h }]);
    }
    options.sort_unstable();
    options.dedup();
    TrayItem {
        name: format!("tray {kind}"),
        kind,
        options,
        span: upto(random, most.layers) as usize,
        low: once_in(random, 6),
        fixed: once_in(random, 8),
        lid: once_in(random, 4),
        held: held(random),
        weight: random.below(4) as i64 * 2,
    }
}

fn kept(random: &mut Random, kind: usize, most: Most) -> KeptItem {
    let [w, d, h] = [most.body - 1, most.body - 2, most.body + 1].map(|m| upto(random, m));
    let mut turns =
        [(w, d, h), (d, w, h), (w, h.min(most.body as i64), d)].map(|(w, d, h)| Option3 { w, d, h }).to_vec();
    turns.sort_unstable();
    turns.dedup();
    KeptItem { name: format!("kept {kind}"), kind, turns, held: held(random) }
}

/// The least value of a problem, by trying all layers of the heights that are allowed, outlines and places; `Some(None)`
/// where there is no layout, `None` where that takes more than `steps`.
pub fn least_value(instance: &Instance, allowed: &dyn Fn(i64) -> bool, steps: usize) -> Option<Option<i64>> {
    let mut tried = Tried { instance, allowed, best: None, steps };
    tried.heights(&mut Vec::new());
    (tried.steps > 0).then_some(tried.best)
}

struct Tried<'a> {
    instance: &'a Instance,
    allowed: &'a dyn Fn(i64) -> bool,
    best: Option<i64>,
    steps: usize,
}

/// What stands already: outline, bottom, top, whether it is a tray.
type Stood = (Rect, i64, i64, bool);

impl Tried<'_> {
    fn heights(&mut self, heights: &mut Vec<i64>) {
        let layout = Layout { heights: heights.clone(), trays: vec![], kept: vec![] };
        self.body(&mut layout.clone(), &mut Vec::new());
        if heights.len() < self.instance.most_layers {
            for h in (1..=self.instance.height - heights.iter().sum::<i64>()).filter(|h| (self.allowed)(*h)) {
                heights.push(h);
                self.heights(heights);
                heights.pop();
            }
        }
    }

    fn body(&mut self, layout: &mut Layout, stood: &mut Vec<Stood>) {
        self.steps = self.steps.saturating_sub(1);
        let i = self.instance;
        let (t, k) = (layout.trays.len(), layout.kept.len());
        let least = |o: &[Option3]| o.iter().map(|o| o.w * o.d * o.h).min().unwrap_or(0);
        let so_far: i64 = stood.iter().map(|(r, bottom, top, _)| r.w * r.d * (top - bottom)).sum();
        let rest: i64 = i.trays[t..].iter().map(|t| least(&t.options)).sum::<i64>()
            + i.kept[k..].iter().map(|k| least(&k.turns)).sum::<i64>();
        if self.steps == 0 || self.best.is_some_and(|b| so_far + rest >= b) {
            return;
        }
        if t == i.trays.len() && k == i.kept.len() {
            if i.feasible(layout).is_ok() && unborne(i, layout) == 0 {
                let value = i.cost(layout).value();
                self.best = Some(self.best.map_or(value, |b| b.min(value)));
            }
            return;
        }
        let is_tray = t < i.trays.len();
        let (shapes, spans) =
            if is_tray { (&i.trays[t].options, i.trays[t].span) } else { (&i.kept[k].turns, 1) };
        for layer in 0..=layout.heights.len() {
            for (shape, o) in shapes.iter().enumerate() {
                for span in 1..=spans {
                    let bottom = layout.bottom(layer);
                    let top = if is_tray { layout.bottom(layer + span) } else { bottom + o.h };
                    if (is_tray && (layer + span > layout.heights.len() || top - bottom < o.h))
                        || top > i.height
                    {
                        continue;
                    }
                    for x in 0..=i.width - o.w {
                        for y in 0..=i.depth - o.d {
                            let rect = Rect { x, y, w: o.w, d: o.d };
                            // Bodies whose heights overlap share a layer; `feasible` decides the other cases.
                            let clash = stood.iter().any(|s| {
                                let gap = if is_tray || s.3 { i.between } else { 0 };
                                bottom < s.2 && s.1 < top && s.0.nearer(&rect, gap)
                            });
                            if clash {
                                continue;
                            }
                            stood.push((rect, bottom, top, is_tray));
                            if is_tray {
                                layout.trays.push(TrayPlace { layer, span, option: shape, x, y });
                                self.body(layout, stood);
                                layout.trays.pop();
                            } else {
                                layout.kept.push(KeptPlace { layer, turn: shape, x, y });
                                self.body(layout, stood);
                                layout.kept.pop();
                            }
                            stood.pop();
                        }
                    }
                }
            }
        }
    }
}

//! Bottom-left placing of an ordered list of bodies with chosen layers and outlines.

use super::instance::{HeldAt, Instance, KeptPlace, Layout, Option3, TrayPlace};
use super::pack::Rect;

/// One body in the order of placing: trays first, then kept items, as one index range.
pub type BodyId = usize;

/// What a search decides; positions follow from it by [`decode`].
#[derive(Clone, Debug)]
pub struct Draft {
    /// Layer heights from the floor up.
    pub heights: Vec<i64>,
    /// Per tray: first layer, span, option.
    pub trays: Vec<(usize, usize, usize)>,
    /// Per kept item: layer, turn.
    pub kept: Vec<(usize, usize)>,
    /// Order of placing.
    pub order: Vec<BodyId>,
}

/// A decoded draft: the layout, and which bodies found no place (they stand at the origin in it).
#[derive(Clone, Debug)]
pub struct Decoded {
    /// The layout.
    pub layout: Layout,
    /// Bodies without a place.
    pub unplaced: Vec<BodyId>,
}

#[derive(Clone, Copy)]
struct Placed {
    rect: Rect,
    kept: bool,
}

/// A draft that decodes to a layout or to one much like it: what lies front left is placed first, larger bodies before
/// smaller ones.
pub fn drafted(instance: &Instance, layout: &Layout) -> Draft {
    let n = layout.trays.len();
    let rects = layout.trays.iter().enumerate().map(|(i, t)| instance.tray_rect(i, t));
    let rects: Vec<Rect> =
        rects.chain(layout.kept.iter().enumerate().map(|(k, p)| instance.kept_rect(k, p))).collect();
    let mut order: Vec<BodyId> = (0..n + layout.kept.len()).collect();
    order.sort_by_key(|&b| (rects[b].y, rects[b].x, std::cmp::Reverse(rects[b].w * rects[b].d)));
    Draft {
        heights: layout.heights.clone(),
        trays: layout.trays.iter().map(|t| (t.layer, t.span, t.option)).collect(),
        kept: layout.kept.iter().map(|k| (k.layer, k.turn)).collect(),
        order,
    }
}

/// Places every body of a draft in its order, each as far to the front, then to the left, as it goes.
pub fn decode(instance: &Instance, draft: &Draft) -> Decoded {
    let layers = draft.heights.len();
    let mut decks: Vec<Vec<Placed>> = vec![Vec::with_capacity(16); layers + 1];
    let mut blocked: Vec<Vec<Rect>> = vec![Vec::new(); layers + 1];
    for (l, r) in &instance.blocked {
        if let Some(b) = blocked.get_mut(*l) {
            b.push(*r);
        }
    }
    let nt = instance.trays.len();
    let mut layout = Layout {
        heights: draft.heights.clone(),
        trays: draft
            .trays
            .iter()
            .map(|&(layer, span, option)| TrayPlace { layer, span, option, x: 0, y: 0 })
            .collect(),
        kept: draft.kept.iter().map(|&(layer, turn)| KeptPlace { layer, turn, x: 0, y: 0 }).collect(),
    };
    let mut unplaced = Vec::new();
    let is_point = |b: BodyId| {
        let held = if b < nt { instance.trays[b].held } else { instance.kept[b - nt].held };
        matches!(held, HeldAt::Point(..))
    };
    // Bodies held at a point go first: everything else makes room for them.
    let order =
        draft.order.iter().filter(|b| is_point(**b)).chain(draft.order.iter().filter(|b| !is_point(**b)));
    for &b in order {
        let (size, from, to, kept, held) = if b < nt {
            let (layer, span, option) = draft.trays[b];
            let o = instance.trays[b].options.get(option).copied().unwrap_or(Option3 { w: 0, d: 0, h: 0 });
            (o, layer, layer + span, false, instance.trays[b].held)
        } else {
            let (layer, turn) = draft.kept[b - nt];
            let o = instance.kept[b - nt].turns.get(turn).copied().unwrap_or(Option3 { w: 0, d: 0, h: 0 });
            let (first, after, top) = instance.kept_reach(&draft.heights, layer, o.h);
            // What stands out of the top layer meets only others that do: a deck of their own.
            let after = if top > layout.bottom(layers) { layers + 1 } else { after };
            (o, first, after, true, instance.kept[b - nt].held)
        };
        let spot = if size.w == 0 || to > layers + 1 || (!kept && to > layers) {
            None
        } else {
            match held {
                HeldAt::Point(x, y, z) => (z == layout.bottom(from)
                    && free(
                        instance,
                        &decks[from..to],
                        &blocked[from..to],
                        Rect { x, y, w: size.w, d: size.d },
                        kept,
                    ))
                .then_some((x, y)),
                HeldAt::Layer(l) if l != from => None,
                _ => lowest(instance, &decks[from..to], &blocked[from..to], size, kept),
            }
        };
        let Some((x, y)) = spot else {
            unplaced.push(b);
            continue;
        };
        let rect = Rect { x, y, w: size.w, d: size.d };
        for deck in &mut decks[from..to] {
            deck.push(Placed { rect, kept });
        }
        if b < nt {
            layout.trays[b].x = x;
            layout.trays[b].y = y;
        } else {
            layout.kept[b - nt].x = x;
            layout.kept[b - nt].y = y;
        }
    }
    Decoded { layout, unplaced }
}

fn gap(instance: &Instance, a_kept: bool, b_kept: bool) -> i64 {
    if a_kept && b_kept { 0 } else { instance.between }
}

fn free(instance: &Instance, decks: &[Vec<Placed>], blocked: &[Vec<Rect>], r: Rect, kept: bool) -> bool {
    let s = if kept { 0 } else { instance.side };
    r.x >= s
        && r.y >= s
        && r.x + r.w + s <= instance.width
        && r.y + r.d + s <= instance.depth
        && decks.iter().flatten().all(|p| !p.rect.nearer(&r, gap(instance, p.kept, kept)))
        && (kept || blocked.iter().flatten().all(|b| !b.overlaps(&r)))
}

/// The free place with the least y, then the least x, among those that touch something on both sides.
fn lowest(
    instance: &Instance,
    decks: &[Vec<Placed>],
    blocked: &[Vec<Rect>],
    size: Option3,
    kept: bool,
) -> Option<(i64, i64)> {
    let s = if kept { 0 } else { instance.side };
    let (most_x, most_y) = (instance.width - s - size.w, instance.depth - s - size.d);
    if most_x < s || most_y < s {
        return None;
    }
    let mut xs = vec![s];
    let mut ys = vec![s];
    for p in decks.iter().flatten() {
        let g = gap(instance, p.kept, kept);
        xs.push(p.rect.x + p.rect.w + g);
        ys.push(p.rect.y + p.rect.d + g);
    }
    for b in blocked.iter().flatten() {
        xs.push(b.x + b.w);
        ys.push(b.y + b.d);
    }
    xs.retain(|x| (s..=most_x).contains(x));
    ys.retain(|y| (s..=most_y).contains(y));
    xs.sort_unstable();
    xs.dedup();
    ys.sort_unstable();
    ys.dedup();
    for &y in &ys {
        'x: for &x in &xs {
            let r = Rect { x, y, w: size.w, d: size.d };
            for p in decks.iter().flatten() {
                if p.rect.nearer(&r, gap(instance, p.kept, kept)) {
                    continue 'x;
                }
            }
            if kept || blocked.iter().flatten().all(|b| !b.overlaps(&r)) {
                return Some((x, y));
            }
        }
    }
    None
}

//! Bottom-left placing of an ordered list of bodies with chosen layers and outlines.
//!
//! Where bearing is asked for, layers are placed from the floor up, and a body goes to the first place that bears it.

mod footing;

pub(super) use footing::Footing;

use super::instance::{HeldAt, Instance, KeptPlace, Layout, Option3, TrayPlace};
use super::pack::Rect;

/// Free places tried for a body that must be borne, and how many of them its own length is long.
const TRIES: usize = 40;
const STEPS: i64 = 6;

/// One body in the order of placing: trays first, then kept items, as one index range.
pub(crate) type BodyId = usize;

/// What a search decides; positions follow from it by [`decode`].
#[derive(Clone, Debug)]
pub(crate) struct Draft {
    /// Layer heights from the floor up.
    pub heights: Vec<i64>,
    /// Per tray: first layer, span, option.
    pub trays: Vec<(usize, usize, usize)>,
    /// Per kept item: layer, turn.
    pub kept: Vec<(usize, usize)>,
    /// Order of placing.
    pub order: Vec<BodyId>,
    /// Bodies go where something bears them, rather than to the first free place.
    pub borne: bool,
}

/// A decoded draft: the layout, and which bodies found no place (they stand at the origin in it).
#[derive(Clone, Debug)]
pub(crate) struct Decoded {
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
pub(crate) fn drafted(instance: &Instance, layout: &Layout) -> Draft {
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
        borne: false,
    }
}

/// Buffers that decoding one draft after another keeps.
#[derive(Default)]
pub(crate) struct Room {
    /// Per layer, and one for what stands out of the last: what is placed there.
    decks: Vec<Vec<Placed>>,
    blocked: Vec<Vec<Rect>>,
    ys: Vec<i64>,
    /// Per layer: bodies in the order of placing with what was chosen and how far they reach, of the draft before and of
    /// this one.
    before: Vec<Vec<(BodyId, usize, usize, usize)>>,
    now: Vec<Vec<(BodyId, usize, usize, usize)>>,
    /// Layers in which something is to be placed anew.
    fresh: Vec<bool>,
    /// The bodies in the order in which they are placed.
    order: Vec<BodyId>,
    footing: Footing,
}

/// What a body takes up in a draft.
#[derive(Clone, Copy)]
pub(super) struct Taken {
    pub(super) size: Option3,
    /// First deck, and the one after the last.
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) kept: bool,
    pub(super) held: HeldAt,
    pub(super) choice: usize,
}

fn taken(instance: &Instance, draft: &Draft, b: BodyId) -> Taken {
    let none = Option3 { w: 0, d: 0, h: 0 };
    let layers = draft.heights.len();
    match b.checked_sub(instance.trays.len()) {
        None => {
            let (from, span, choice) = draft.trays[b];
            let size = instance.trays[b].options.get(choice).copied().unwrap_or(none);
            Taken { size, from, to: from + span, kept: false, held: instance.trays[b].held, choice }
        }
        Some(k) => {
            let (layer, choice) = draft.kept[k];
            let size = instance.kept[k].turns.get(choice).copied().unwrap_or(none);
            let (from, after, top) = instance.kept_reach(&draft.heights, layer, size.h);
            // What stands out of the top layer meets only others that do: a deck of their own.
            let to = if top > draft.heights.iter().sum() { layers + 1 } else { after };
            Taken { size, from, to, kept: true, held: instance.kept[k].held, choice }
        }
    }
}

/// Places every body of a draft in its order, each as far to the front, then to the left, as it goes.
#[cfg(test)]
pub(crate) fn decode(instance: &Instance, draft: &Draft) -> Decoded {
    decode_again(instance, draft, None, &mut Room::default())
}

/// The same, given a draft much like it with what it decoded to: layers in which nothing changed are not placed again.
pub(crate) fn decode_again(
    instance: &Instance,
    draft: &Draft,
    before: Option<(&Draft, &Decoded)>,
    room: &mut Room,
) -> Decoded {
    let layers = draft.heights.len();
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
    room.clear(instance, &draft.heights);
    room.compare(instance, draft, before.map(|b| b.0));
    let is_point = |b: BodyId| {
        let held = if b < nt { instance.trays[b].held } else { instance.kept[b - nt].held };
        matches!(held, HeldAt::Point(..))
    };
    let mut order = std::mem::take(&mut room.order);
    order.clone_from(&draft.order);
    // Bodies held at a point go first: everything else makes room for them.
    let layer = |b: BodyId| b.checked_sub(nt).map_or_else(|| draft.trays[b].0, |k| draft.kept[k].0);
    let borne = draft.borne && instance.rims.is_some();
    match borne {
        // What is to stand on others comes after them.
        true => order.sort_by_key(|&b| (!is_point(b), layer(b))),
        false => order.sort_by_key(|&b| !is_point(b)),
    }
    for &b in &order {
        let t = taken(instance, draft, b);
        let inside = t.size.w > 0 && t.to <= layers + 1 && (t.kept || t.to <= layers);
        let same = before.filter(|_| inside && !room.fresh[t.from..t.to].contains(&true));
        let spot = match (same, t.held) {
            _ if !inside => None,
            (Some((_, old)), _) => old.spot(nt, b),
            (None, HeldAt::Point(x, y, z)) => {
                let rect = Rect { x, y, w: t.size.w, d: t.size.d };
                let here = z == layout.bottom(t.from)
                    && free(instance, &room.decks[t.from..t.to], &room.blocked[t.from..t.to], rect, t.kept);
                here.then_some((x, y))
            }
            (None, HeldAt::Layer(l)) if l != t.from => None,
            (None, _) => room.lowest(instance, b, &t, borne && t.from > 0),
        };
        let Some((x, y)) = spot else {
            unplaced.push(b);
            continue;
        };
        let placed = Placed { rect: Rect { x, y, w: t.size.w, d: t.size.d }, kept: t.kept };
        for deck in &mut room.decks[t.from..t.to] {
            deck.push(placed);
        }
        if borne {
            room.footing.put(instance, b, &t, placed.rect);
        }
        if b < nt {
            layout.trays[b].x = x;
            layout.trays[b].y = y;
        } else {
            layout.kept[b - nt].x = x;
            layout.kept[b - nt].y = y;
        }
    }
    room.order = order;
    Decoded { layout, unplaced }
}

impl Decoded {
    /// Where a body stands, if it found a place.
    fn spot(&self, trays: usize, b: BodyId) -> Option<(i64, i64)> {
        if self.unplaced.contains(&b) {
            return None;
        }
        match b.checked_sub(trays) {
            None => self.layout.trays.get(b).map(|p| (p.x, p.y)),
            Some(k) => self.layout.kept.get(k).map(|p| (p.x, p.y)),
        }
    }
}

impl Room {
    fn clear(&mut self, instance: &Instance, heights: &[i64]) {
        let layers = heights.len();
        self.footing.clear(instance, heights);
        for lists in [&mut self.before, &mut self.now] {
            lists.resize_with(layers + 1, Vec::new);
            lists.iter_mut().for_each(Vec::clear);
        }
        self.decks.resize_with(layers + 1, Vec::new);
        self.decks.iter_mut().for_each(Vec::clear);
        self.blocked.resize_with(layers + 1, Vec::new);
        self.blocked.iter_mut().for_each(Vec::clear);
        for (l, r) in &instance.blocked {
            if let Some(b) = self.blocked.get_mut(*l) {
                b.push(*r);
            }
        }
        self.fresh.clear();
        self.fresh.resize(layers + 1, false);
    }

    /// Marks the layers in which the two drafts differ, with all that hang together with them.
    fn compare(&mut self, instance: &Instance, draft: &Draft, before: Option<&Draft>) {
        let layers = draft.heights.len();
        let heights_matter =
            !instance.kept.is_empty() || instance.trays.iter().any(|t| matches!(t.held, HeldAt::Point(..)));
        let Some(before) = before.filter(|b| {
            b.borne == draft.borne
                && b.heights.len() == layers
                && (!heights_matter || b.heights == draft.heights)
        }) else {
            self.fresh.fill(true);
            return;
        };
        for (lists, draft) in [(&mut self.before, before), (&mut self.now, draft)] {
            for &b in &draft.order {
                let t = taken(instance, draft, b);
                for list in lists.iter_mut().take(t.to).skip(t.from) {
                    list.push((b, t.choice, t.from, t.to));
                }
            }
        }
        for (l, fresh) in self.fresh.iter_mut().enumerate() {
            *fresh = self.before[l] != self.now[l];
        }
        if draft.borne
            && instance.rims.is_some()
            && let Some(lowest) = self.fresh.iter().position(|f| *f)
        {
            // All above may have to stand elsewhere.
            self.fresh[lowest..].fill(true);
        }
        // What reaches through several layers hands the difference on.
        let mut more = self.fresh.contains(&true);
        while more {
            more = false;
            for &b in &draft.order {
                let t = taken(instance, draft, b);
                let reach = t.from..t.to.min(layers + 1);
                if reach.len() > 1
                    && reach.clone().any(|l| self.fresh[l])
                    && !reach.clone().all(|l| self.fresh[l])
                {
                    self.fresh[reach].fill(true);
                    more = true;
                }
            }
        }
    }

    /// The free place with the least y, then the least x, among those that touch something on both sides; where it must
    /// be borne, the first that is, among some more, or else the first.
    fn lowest(&mut self, instance: &Instance, b: BodyId, t: &Taken, stands: bool) -> Option<(i64, i64)> {
        let s = if t.kept { 0 } else { instance.side };
        let (most_x, most_y) = (instance.width - s - t.size.w, instance.depth - s - t.size.d);
        if most_x < s || most_y < s {
            return None;
        }
        let (decks, blocked) = (&self.decks[t.from..t.to], &self.blocked[t.from..t.to]);
        self.ys.clear();
        self.ys.push(s);
        let backs = decks.iter().flatten().map(|p| p.rect.y + p.rect.d + gap(instance, p.kept, t.kept));
        let blocks = blocked.iter().flatten().map(|b| b.y + b.d);
        self.ys.extend(backs.chain(blocks).filter(|y| (s..=most_y).contains(y)));
        let (step_x, step_y) = ((t.size.w / STEPS).max(1), (t.size.d / STEPS).max(1));
        if stands {
            self.ys.extend((s..=most_y).step_by(step_y as usize));
        }
        self.ys.sort_unstable();
        self.ys.dedup();
        let (mut first, mut tries) = (None, 0);
        for &y in &self.ys {
            let mut x = s;
            while x <= most_x {
                let r = Rect { x, y, w: t.size.w, d: t.size.d };
                let near = |p: &&Placed| p.rect.nearer(&r, gap(instance, p.kept, t.kept));
                // On to the right side of whatever is in the way.
                if let Some(p) = decks.iter().flatten().find(near) {
                    x = p.rect.x + p.rect.w + gap(instance, p.kept, t.kept);
                } else if let Some(b) = blocked.iter().flatten().find(|b| !t.kept && b.overlaps(&r)) {
                    x = b.x + b.w;
                } else if !stands || self.footing.bears(instance, b, t, (x, y)) {
                    return Some((x, y));
                } else {
                    first = first.or(Some((x, y)));
                    tries += 1;
                    if tries == TRIES {
                        return first;
                    }
                    x += step_x;
                }
            }
        }
        first
    }
}

pub(super) fn gap(instance: &Instance, a_kept: bool, b_kept: bool) -> i64 {
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

#[cfg(test)]
mod tests {
    use super::super::anneal::tests::drafts;
    use super::*;

    #[test]
    fn layers_that_did_not_change_are_placed_as_before() {
        for (instance, steps) in drafts() {
            let mut room = Room::default();
            let mut before: Option<(&Draft, Decoded)> = None;
            for draft in &steps {
                let own = before.as_ref().map(|(d, o)| (*d, o));
                let again = decode_again(&instance, draft, own, &mut room);
                let whole = decode(&instance, draft);
                assert_eq!((&again.layout, &again.unplaced), (&whole.layout, &whole.unplaced));
                before = Some((draft, again));
            }
        }
    }

    /// Where every body found a place that bears it, none hangs by the rule itself.
    #[test]
    fn what_the_footing_bears_is_borne() {
        use super::super::bearing::unborne;
        use super::super::instance::{Rims, Top};
        let (mut borne, mut before) = (0, 0);
        for (instance, steps) in drafts() {
            let wall = |x, y, w, d| Rect { x, y, w, d };
            let ring = move |_, o: Option3| {
                let (w, d) = (10 * o.w, 10 * o.d);
                let places = [wall(0, 0, w, 3), wall(0, d - 3, w, 3), wall(0, 0, 3, d), wall(w - 3, 0, 3, d)];
                Top { size: (w, d), places: places.into() }
            };
            let rims = Rims { per_step: 10, top: std::sync::Arc::new(ring), kept: [].into() };
            let instance = Instance { rims: Some(rims), ..instance };
            for draft in &steps {
                let hanging = |borne: bool| {
                    let decoded = decode(&instance, &Draft { borne, ..draft.clone() });
                    decoded.unplaced.is_empty().then(|| unborne(&instance, &decoded.layout))
                };
                if let (Some(with), Some(without)) = (hanging(true), hanging(false)) {
                    borne += usize::from(with == 0);
                    before += usize::from(without == 0);
                }
            }
        }
        assert!(borne > 30 && borne > 2 * before, "{borne} {before}");
    }
}

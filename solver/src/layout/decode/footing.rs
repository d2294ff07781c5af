//! What bodies can stand on while a draft is decoded from the floor up.

use super::super::bearing::rests;
use super::super::instance::{Instance, Option3, Rims, Top};
use super::super::pack::Rect;
use super::{BodyId, Taken};

/// Where layers are borne by what is placed so far.
#[derive(Default)]
pub(in super::super) struct Footing {
    /// Per layer: where its floor is borne, in the units of [`Rims`].
    under: Vec<Vec<Rect>>,
    /// Bottom of each layer, and of what stands on the last.
    bottoms: Vec<i64>,
    /// Tops asked for so far, per tray and option.
    tops: Vec<Vec<Option<Top>>>,
    places: Vec<Rect>,
}

impl Footing {
    /// Nothing is placed yet.
    pub(in super::super) fn clear(&mut self, instance: &Instance, heights: &[i64]) {
        if instance.rims.is_none() {
            return;
        }
        self.under.resize_with(heights.len() + 1, Vec::new);
        self.under.iter_mut().for_each(Vec::clear);
        self.bottoms.clear();
        self.bottoms.push(0);
        self.bottoms.extend(heights.iter().scan(0, |sum, h| {
            *sum += h;
            Some(*sum)
        }));
        self.tops.resize_with(instance.trays.len(), Vec::new);
    }

    /// Whether it is borne at this place.
    pub(in super::super) fn bears(
        &mut self,
        instance: &Instance,
        b: BodyId,
        t: &Taken,
        (x, y): (i64, i64),
    ) -> bool {
        let Some(rims) = &instance.rims else { return true };
        let (w, d) = self.size(rims, b, t);
        let r = Rect { x: rims.per_step * x, y: rims.per_step * y, w, d };
        self.places.clear();
        let under = self.under.get(t.from).map_or(&[][..], Vec::as_slice);
        self.places.extend(under.iter().filter(|p| p.overlaps(&r)));
        rests(&r, &self.places)
    }

    /// A body stands here and bears what comes above it. Returns the layer that it bears and in how many places that was
    /// borne before.
    pub(in super::super) fn put(
        &mut self,
        instance: &Instance,
        b: BodyId,
        t: &Taken,
        at: Rect,
    ) -> Option<(usize, usize)> {
        let rims = instance.rims.as_ref()?;
        let (x, y) = (rims.per_step * at.x, rims.per_step * at.y);
        let Some(k) = b.checked_sub(instance.trays.len()) else {
            let item = &instance.trays[b];
            let bottom = |layer: usize| self.bottoms.get(layer).copied().unwrap_or_default();
            if t.to >= self.under.len() || !item.carries(bottom(t.to) - bottom(t.from)) {
                return None;
            }
            let before = self.under[t.to].len();
            let top = self.top(rims, b, t).clone();
            if item.lid {
                self.under[t.to].push(Rect { x, y, w: top.size.0, d: top.size.1 });
            } else {
                self.under[t.to].extend(top.places.iter().map(|p| Rect { x: x + p.x, y: y + p.y, ..*p }));
            }
            return Some((t.to, before));
        };
        // A kept item bears only where it ends with a layer.
        let top = self.bottoms.get(t.from).map_or(0, |b| b + t.size.h);
        let layer = self.bottoms.iter().position(|b| *b == top)?;
        let (w, d) = kept_size(rims, k, t);
        self.under[layer].push(Rect { x, y, w, d });
        Some((layer, self.under[layer].len() - 1))
    }

    /// What was put last is taken away again.
    pub(in super::super) fn undo(&mut self, put: Option<(usize, usize)>) {
        if let Some(under) = put.and_then(|(layer, _)| self.under.get_mut(layer)) {
            under.truncate(put.map_or(0, |p| p.1));
        }
    }

    /// Where this layer is borne, in the units of [`Rims`].
    pub(in super::super) fn under(&self, layer: usize) -> &[Rect] {
        self.under.get(layer).map_or(&[], Vec::as_slice)
    }

    /// True width and depth of a body.
    pub(in super::super) fn size(&mut self, rims: &Rims, b: BodyId, t: &Taken) -> (i64, i64) {
        match b.checked_sub(self.tops.len()) {
            None => self.top(rims, b, t).size,
            Some(k) => kept_size(rims, k, t),
        }
    }

    fn top(&mut self, rims: &Rims, b: BodyId, t: &Taken) -> &Top {
        let tops = &mut self.tops[b];
        if tops.len() <= t.choice {
            tops.resize(t.choice + 1, None);
        }
        tops[t.choice].get_or_insert_with(|| (rims.top)(b, t.size))
    }
}

/// True width and depth of a kept item.
fn kept_size(rims: &Rims, k: usize, t: &Taken) -> (i64, i64) {
    let Option3 { w, d, .. } = t.size;
    let size = rims.kept.get(k).and_then(|sizes| sizes.get(t.choice));
    size.copied().unwrap_or((rims.per_step * w, rims.per_step * d))
}

//! The relaxation of a range of profiles: every body where it costs least at given prices of area.

use std::collections::BTreeMap;

use itertools::Itertools;

use super::super::instance::{Access, HeldAt, Instance, Option3};
use super::bands::Bands;
use super::covers::{Covers, Sky};
use super::offers::Offers;

/// Prices are counted in these parts of a height step.
pub(crate) const PARTS: i64 = 256;
/// Rounds without gain after which steps become shorter.
const BARREN: usize = 2;

/// One way of putting a body into the layers of a profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Choice {
    /// First layer.
    pub(crate) first: usize,
    /// Layer after the last.
    pub(crate) after: usize,
    /// Least height of what stands there: the tray's layers together, or the kept item's own height.
    pub(crate) height: i64,
    /// Least claim (with the layer's price under [`Access::LayerIndex`]).
    pub(crate) cost: i64,
    /// Least cost with area in layers priced, lifts aside, in [`PARTS`].
    pub(crate) priced: i64,
    /// Least cost with lifts, and with area in layers and free area over trays priced, in [`PARTS`].
    pub(crate) lifted: i64,
    /// Least area with play of any outline.
    pub(crate) least_wide: i64,
}

/// Prices of area, in [`PARTS`].
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Prices {
    /// In each layer.
    pub(super) area: Vec<i64>,
    /// Left free over trays that end below one layer by the bodies of another one above: row by row; empty where lifts cost
    /// nothing or are left aside.
    pub(super) free: Vec<i64>,
    /// Under at most no body, one, and so on; empty likewise.
    pub(super) deep: Vec<i64>,
}

impl Prices {
    /// The same with lifts left aside.
    pub(super) fn flat(&self) -> Prices {
        Prices { area: self.area.clone(), free: Vec::new(), deep: Vec::new() }
    }

    /// Depths, dearest first.
    fn order(&self) -> Vec<usize> {
        (0..self.deep.len()).sorted_by_key(|&d| (-self.deep[d], d)).collect()
    }
}

/// What the bodies offer at each height, and the room for them.
#[derive(Debug)]
pub(crate) struct Relaxation<'a> {
    instance: &'a Instance,
    /// Of each tray, the number of its offers.
    kinds: Vec<usize>,
    offers: Vec<Offers>,
    covers: Option<Covers>,
    /// Room in each layer, with play, less what is blocked there.
    pub(crate) room: Vec<i64>,
}

/// One outline of a body in some layers, within a range of profiles.
struct Way {
    first: usize,
    after: usize,
    /// Height that is sure.
    height: i64,
    /// Claim and price of the layer.
    cost: i64,
    area: i64,
    wide: i64,
}

/// Value of the relaxation, and how much of each priced area is taken.
struct Relaxed {
    value: i64,
    used: Vec<i64>,
    free: Vec<i64>,
    deep: Vec<i64>,
}

/// Prices as the ways of bodies need them.
struct Priced<'p> {
    prices: &'p Prices,
    layers: usize,
    /// Price of a body's own area above trays, by its first layer and the one after its last.
    own: Vec<i64>,
    /// Depths, dearest first.
    order: Vec<usize>,
}

impl<'a> Relaxation<'a> {
    pub(crate) fn new(instance: &'a Instance) -> Relaxation<'a> {
        let mut known = BTreeMap::new();
        let mut offers = Vec::new();
        let kinds = instance.trays.iter().map(|t| {
            *known.entry(t.kind).or_insert_with(|| {
                offers.push(Offers::new(t, instance.between));
                offers.len() - 1
            })
        });
        let kinds = kinds.collect();
        Relaxation { instance, kinds, offers, covers: Covers::new(instance), room: room(instance) }
    }

    /// Every price at nothing.
    pub(super) fn free_of_charge(&self, layers: usize) -> Prices {
        let (free, deep) = self.covers.as_ref().map_or((0, 0), |c| (layers * layers, layers - 1 + c.on_top));
        Prices { area: vec![0; layers], free: vec![0; free], deep: vec![0; deep] }
    }

    /// What the priced areas are worth together.
    pub(crate) fn worth(&self, prices: &Prices) -> i64 {
        let layers: i64 = prices.area.iter().zip(&self.room).map(|(p, r)| p * r).sum();
        let floor = self.covers.as_ref().map_or(0, |c| c.floor);
        let deep: i64 = (1..).zip(&prices.deep).map(|(floors, price)| floors * price).sum();
        layers + (prices.free.iter().sum::<i64>() + deep) * floor
    }

    /// Prices raised where areas are short and lowered where they are not, in so many rounds, and the best bound met.
    ///
    /// Each step goes as far as would close the gap to a bound that is better by one `part`th if that were the shape of
    /// things (Polyak, 1969, from memory), and less far after rounds without gain. `None` where these profiles cannot hold
    /// everything.
    pub(super) fn sharpened(
        &self,
        bands: &Bands,
        from: &Prices,
        (rounds, part): (usize, i64),
    ) -> Option<(i64, Prices)> {
        let mut prices = from.clone();
        let mut best: Option<(i64, Prices)> = None;
        let (mut part, mut barren) = (part, 0);
        let most_price = self.most_price(bands.0.len());
        for _ in 0..rounds {
            let relaxed = self.relaxed(bands, &prices)?;
            // Rounded up: the true value is a whole number.
            let bound = -(-relaxed.value).div_euclid(PARTS);
            if best.as_ref().is_none_or(|b| bound > b.0) {
                best = Some((bound, prices.clone()));
                barren = 0;
            } else {
                barren += 1;
                if barren == BARREN {
                    (part, barren) = (part.saturating_mul(2), 0);
                }
            }
            let most = best.as_ref().map_or(bound, |b| b.0);
            let gap = i128::from(most.abs() / part + 1 + most - bound);
            let floor = self.covers.as_ref().map_or(0, |c| c.floor);
            let layers = prices.area.iter_mut().zip(relaxed.used.iter().zip(&self.room).map(|(u, r)| u - r));
            let free = prices.free.iter_mut().zip(relaxed.free.iter().map(|u| u - floor));
            let deep = prices.deep.iter_mut().zip((1..).zip(&relaxed.deep).map(|(n, u)| u - n * floor));
            let mut moving: Vec<(&mut i64, i128)> = layers
                .chain(free)
                .chain(deep)
                .filter(|(p, over)| **p > 0 || *over > 0)
                .map(|(p, o)| (p, o.into()))
                .collect();
            let norm: i128 = moving.iter().map(|(_, over)| over * over).sum();
            if norm == 0 {
                break;
            }
            for (price, over) in &mut moving {
                let step = gap * i128::from(PARTS) * *over / norm;
                **price =
                    i128::from(**price).saturating_add(step).clamp(0, most_price).try_into().unwrap_or(0);
            }
        }
        best
    }

    /// Beyond this, sums over all bodies and layers might leave 64 bits; any prices are good for a bound.
    fn most_price(&self, layers: usize) -> i128 {
        let floor = i128::from(self.instance.width.max(1)) + i128::from(self.instance.between);
        let floor = floor * (i128::from(self.instance.depth.max(1)) + i128::from(self.instance.between));
        let bodies = (self.instance.trays.len() + self.instance.kept.len() + 1) as i128;
        (1 << 60) / (floor * bodies * ((layers + 2) * (layers + 2)) as i128)
    }

    fn relaxed(&self, bands: &Bands, prices: &Prices) -> Option<Relaxed> {
        let layers = bands.0.len();
        let priced = Priced::new(layers, prices);
        let mut out = Relaxed {
            value: -self.worth(prices),
            used: vec![0; layers],
            free: vec![0; prices.free.len()],
            deep: vec![0; prices.deep.len()],
        };
        for body in 0..self.instance.trays.len() + self.instance.kept.len() {
            let mut best: Option<(i64, Way)> = None;
            self.ways(bands, body, &mut |way| {
                let most = best.as_ref().map_or(i64::MAX, |b| b.0);
                let cost = self.priced(&way, body, &priced, most);
                if cost < most {
                    best = Some((cost, way));
                }
            });
            let (cost, way) = best?;
            out.value += cost;
            out.used.get_mut(way.first..way.after)?.iter_mut().for_each(|u| *u += way.wide);
            self.taken(&way, body, &priced, &mut out);
        }
        Some(out)
    }

    /// Cost of a way at these prices, in [`PARTS`]; from `most` on only that it is no less.
    fn priced(&self, way: &Way, body: usize, priced: &Priced, most: i64) -> i64 {
        let area: i64 = priced.prices.area.get(way.first..way.after).unwrap_or(&[]).iter().sum();
        let sum = way.cost * PARTS + way.wide * area;
        let own = priced.own.get(way.first * (priced.layers + 1) + way.after);
        let (Some(covers), Some(own)) = (&self.covers, own) else { return sum };
        let sum = sum + way.area * own;
        if sum >= most {
            return sum;
        }
        sum + covers.least(body, way.area, &priced.sky(way.after, covers))
    }

    /// Adds what a way takes of the areas above trays.
    fn taken(&self, way: &Way, body: usize, priced: &Priced, out: &mut Relaxed) {
        let Some(covers) = self.covers.as_ref().filter(|_| !priced.own.is_empty()) else { return };
        for (a, m) in above(way.first, way.after) {
            out.free[a * priced.layers + m] += way.area;
        }
        let over = priced.over(way.after);
        covers.take(body, way.area, &priced.sky(way.after, covers), &mut out.free[over], &mut out.deep);
    }

    /// Every way of putting a body (trays first, then kept items) into the layers of a profile, one for each run of layers
    /// (and height, for kept items).
    pub(crate) fn choices(
        &self,
        profile: &[i64],
        flat: &Prices,
        prices: &Prices,
        body: usize,
    ) -> Vec<Choice> {
        let bands = Bands(profile.iter().map(|h| (*h, *h)).collect());
        let layers = profile.len();
        let (lifted, flat) = (Priced::new(layers, prices), Priced::new(layers, flat));
        let mut out: Vec<Choice> = Vec::with_capacity(layers);
        self.ways(&bands, body, &mut |way| {
            let new = Choice {
                first: way.first,
                after: way.after,
                height: way.height,
                cost: way.cost,
                priced: self.priced(&way, body, &flat, i64::MAX),
                lifted: self.priced(&way, body, &lifted, i64::MAX),
                least_wide: way.wide,
            };
            let same = |c: &&mut Choice| (c.first, c.after, c.height) == (new.first, new.after, new.height);
            if let Some(c) = out.iter_mut().rev().find(same) {
                c.cost = c.cost.min(new.cost);
                c.priced = c.priced.min(new.priced);
                c.lifted = c.lifted.min(new.lifted);
                c.least_wide = c.least_wide.min(new.least_wide);
            } else {
                out.push(new);
            }
        });
        out
    }

    fn ways(&self, bands: &Bands, body: usize, visit: &mut impl FnMut(Way)) {
        match body.checked_sub(self.instance.trays.len()) {
            None => self.tray_ways(bands, body, visit),
            Some(k) => self.kept_ways(bands, k, visit),
        }
    }

    fn tray_ways(&self, bands: &Bands, t: usize, visit: &mut impl FnMut(Way)) {
        let item = &self.instance.trays[t];
        let layers = bands.0.len();
        let Some(offers) = self.kinds.get(t).and_then(|k| self.offers.get(*k)) else { return };
        let extra = |first: usize, after: usize| match self.instance.access {
            Access::LayerIndex => item.weight * first as i64,
            Access::LayersAbove => item.weight * (layers - after) as i64,
            Access::Lifts => 0,
        };
        let all = bands.together(0, layers).0;
        for first in 0..layers {
            let bottom = bands.together(0, first);
            let here = match item.held {
                HeldAt::Free => true,
                HeldAt::Layer(l) => l == first,
                HeldAt::Point(_, _, z) => (bottom.0..=bottom.1).contains(&z),
            };
            if !here {
                continue;
            }
            for after in first + 1..=layers.min(first + item.span) {
                let (low, high) = bands.together(first, after);
                let high = high.min(self.instance.height - (all - low));
                let way = |height: i64, &(area, wide): &(i64, i64)| Way {
                    first,
                    after,
                    height: low,
                    cost: area * height + extra(first, after),
                    area,
                    wide,
                };
                offers.at(low).iter().for_each(|o| visit(way(low, o)));
                if low < high {
                    offers.between(low, high).for_each(|(h, new)| new.iter().for_each(|o| visit(way(h, o))));
                }
            }
        }
    }

    fn kept_ways(&self, bands: &Bands, k: usize, visit: &mut impl FnMut(Way)) {
        let item = &self.instance.kept[k];
        let (layers, s) = (bands.0.len(), self.instance.side);
        // One more than there are: on the top of the last one.
        for first in 0..=layers {
            let bottom = bands.together(0, first);
            let here = match item.held {
                HeldAt::Free => true,
                HeldAt::Layer(l) => l == first && l < layers,
                HeldAt::Point(_, _, z) => (bottom.0..=bottom.1).contains(&z),
            };
            for o in item.turns.iter().filter(|o| here && bottom.0 + o.h <= self.instance.height) {
                // The layers that it reaches into however high they are.
                let short = |after: &usize| bands.together(first, *after - 1).1 < o.h || *after == first + 1;
                let after = (first + 1..=layers).take_while(short).last().unwrap_or(first);
                // What of it must lie within the trays' part of the layer, whatever its place.
                let wide = (o.w - 2 * s).max(0) * (o.d - 2 * s).max(0);
                let cost = o.w * o.d * o.h.max(bands.together(first, after).0);
                visit(Way { first, after, height: o.h, cost, area: o.w * o.d, wide });
            }
        }
    }
}

impl<'p> Priced<'p> {
    fn new(layers: usize, prices: &'p Prices) -> Priced<'p> {
        let wide = layers + 1;
        let mut own = Vec::new();
        if !prices.free.is_empty() {
            own.resize(wide * wide, 0);
            for first in 0..layers {
                for after in first + 1..=layers {
                    let pairs = above(first, after).map(|(a, m)| prices.free[a * layers + m]);
                    own[first * wide + after] = pairs.sum();
                }
            }
        }
        Priced { prices, layers, own, order: prices.order() }
    }

    /// Where the prices stand of what the layers above leave free.
    fn over(&self, after: usize) -> std::ops::Range<usize> {
        let row = after.min(self.layers) * self.layers;
        (row + after).min(self.prices.free.len())..(row + self.layers).min(self.prices.free.len())
    }

    fn sky(&self, after: usize, covers: &Covers) -> Sky<'_> {
        let free = self.prices.free.get(self.over(after)).unwrap_or(&[]);
        let most = self.layers.saturating_sub(after) + covers.on_top;
        Sky { free, deep: &self.prices.deep, order: &self.order, most }
    }
}

/// Pairs of a layer below which trays end and one from there on whose bodies lie over these, where a body in these layers
/// takes area: it is one of those bodies, or reaches through.
fn above(first: usize, after: usize) -> impl Iterator<Item = (usize, usize)> {
    let own = (1..=first).map(move |a| (a, first)).filter(move |_| after > first);
    let through = (first + 1..after).flat_map(move |a| (a..after).map(move |m| (a, m)));
    own.chain(through)
}

/// Room in each layer, with play, less what is blocked there.
fn room(instance: &Instance) -> Vec<i64> {
    let (c, s) = (instance.between, instance.side);
    let whole = (instance.width - 2 * s + c).max(0) * (instance.depth - 2 * s + c).max(0);
    let mut taken = vec![0; instance.most_layers];
    for (k, (l, r)) in instance.blocked.iter().enumerate() {
        // Blocked places that overlap each other would be counted twice, so only apart ones count.
        let mut others = instance.blocked.iter().enumerate().filter(|(n, _)| *n != k);
        let apart = !others.any(|(_, (m, o))| l == m && o.overlaps(r));
        // What lies within the sides' play or outside the box is no room anyway.
        let within = |from: i64, extent: i64, whole: i64| (from + extent).min(whole - s) - from.max(s);
        let (w, d) = (within(r.x, r.w, instance.width), within(r.y, r.d, instance.depth));
        if let (Some(v), true) = (taken.get_mut(*l), apart) {
            // Play to the right of a tray may lie over a blocked place: it counts less by that much.
            *v += (w - c).max(0) * (d - c).max(0);
        }
    }
    // Blocked places do not concern kept items, which may take up as much of them as they cover.
    let area = |o: &Option3| o.w * o.d;
    let kept: i64 = instance.kept.iter().map(|k| k.turns.iter().map(area).max().unwrap_or(0)).sum();
    taken.iter().map(|t| whole - (t - kept).max(0)).collect()
}

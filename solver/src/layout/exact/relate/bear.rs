//! Whether what stands above the floor is borne, or may be at places that are left.

use super::super::super::bearing::{covered, rests};
use super::super::super::pack::Rect;
use super::runs::{Reach, Span};
use super::{MOST_BODIES, OVER, Relate, State};

/// What a carrier may bear, as seen from what stands on it.
struct Carrier {
    /// Its sides at most.
    sides: [i64; 2],
    places: Vec<Reach>,
}

impl Relate<'_> {
    /// What may still carry an item, and the pair where there is one.
    pub(super) fn carriers<'s>(
        &'s self,
        state: &'s State,
        item: usize,
    ) -> impl Iterator<Item = (usize, Option<usize>)> + 's {
        let over = |pair: &Option<usize>| pair.is_none_or(|p| state.relations[p] & OVER != 0);
        let touch = move |lower: usize| {
            let side = |i: usize, a: usize| self.runs[state.run[i]].most[a];
            (0..2).all(|a| {
                state.low[lower][a] < state.high[item][a] + side(item, a)
                    && state.low[item][a] < state.high[lower][a] + side(lower, a)
            })
        };
        let all = self.items[item].carriers.iter();
        all.filter(move |(lower, pair)| over(pair) && touch(*lower)).copied()
    }

    /// Whether it rests with every item in the only outline of its run, at these places.
    pub(super) fn rests(&self, state: &State, item: usize, at: &[[i64; 2]; MOST_BODIES]) -> bool {
        let step = self.instance.rims.as_ref().map_or(1, |r| r.per_step);
        let rect = |[x, y]: [i64; 2], [w, d]: [i64; 2]| Rect { x, y, w, d };
        let own = rect(at[item].map(|c| step * c), self.runs[state.run[item]].size.map(|s| s.0));
        let mut places = Vec::new();
        for (c, _) in self.carriers(state, item) {
            let [x, y] = at[c].map(|c| step * c);
            let all = self.runs[state.run[c]].top.iter();
            let moved = all.map(|p| Rect { x: x + p.x, y: y + p.y, ..*p });
            places.extend(moved.filter(|p| p.overlaps(&own)));
        }
        rests(&own, &places)
    }

    /// Whether places within the windows may bear it, each for itself.
    pub(super) fn may_rest(&self, state: &State, item: usize) -> bool {
        let step = self.instance.rims.as_ref().map_or(1, |r| r.per_step);
        let mut carriers: Vec<Carrier> = Vec::with_capacity(self.items[item].carriers.len());
        for (c, _) in self.carriers(state, item) {
            let off = [0, 1].map(|a| {
                let (low, high) =
                    (state.low[c][a] - state.high[item][a], state.high[c][a] - state.low[item][a]);
                (step * low, step * high)
            });
            let moved = |p: &Reach| Reach {
                span: [0, 1].map(|a| (p.span[a].0 + off[a].0, p.span[a].1 + off[a].1)),
                ..*p
            };
            let run = &self.runs[state.run[c]];
            let places = run.places.iter().map(moved).collect();
            carriers.push(Carrier { sides: run.size.map(|s| s.1), places });
        }
        let size = self.runs[state.run[item]].size;
        // The quarters at the near and at the far end, as far as they may reach.
        let zones = size.map(|(least, most)| [(0, most / 4), (least - least / 4, most)]);
        let spans = |axis: usize| spans(&carriers, axis, size, zones[axis]);
        let corner = |x, y| {
            carriers.iter().flat_map(|c| &c.places).any(|p| meets(p.span[0], x) && meets(p.span[1], y))
        };
        let corners = || zones[0].iter().all(|&x| zones[1].iter().all(|&y| corner(x, y)));
        let (wide, deep) = (spans(0), spans(1));
        (wide && deep && corners())
            || (deep && along(&carriers, 0, size, zones[1]))
            || (wide && along(&carriers, 1, size, zones[0]))
    }
}

fn meets(own: Span, zone: Span) -> bool {
    own.0 < zone.1 && zone.0 < own.1 && zone.0 < zone.1
}

/// Whether the near and the far zone of an axis may both be met: by two carriers, or by one that is long enough.
fn spans(carriers: &[Carrier], axis: usize, size: [Span; 2], zones: [Span; 2]) -> bool {
    let whole = (0, size[1 - axis].1);
    let met = |c: &Carrier, zone: Span| {
        c.places.iter().any(|p| meets(p.span[axis], zone) && meets(p.span[1 - axis], whole))
    };
    let all: Vec<(&Carrier, bool, bool)> =
        carriers.iter().map(|c| (c, met(c, zones[0]), met(c, zones[1]))).filter(|c| c.1 || c.2).collect();
    match all[..] {
        // Between the zones lies half of the body or more.
        [(only, near, far)] => near && far && 2 * only.sides[axis] > size[axis].0,
        _ => all.iter().any(|c| c.1) && all.iter().any(|c| c.2),
    }
}

/// Whether half of both edges along an axis may be borne.
fn along(carriers: &[Carrier], axis: usize, size: [Span; 2], zones: [Span; 2]) -> bool {
    let (least, most) = size[axis];
    let across = 1 - axis;
    zones.iter().all(|&zone| {
        let met = |c: &'_ Carrier| -> Vec<(Span, i64)> {
            let met =
                c.places.iter().filter(|p| meets(p.span[across], zone) && meets(p.span[axis], (0, most)));
            met.map(|p| (p.span[axis], p.sides[axis])).collect()
        };
        let met: Vec<(i64, Vec<(Span, i64)>)> = carriers.iter().map(|c| (c.sides[axis], met(c))).collect();
        2 * at_most(&met, most) >= least
    })
}

/// Length of an edge that carriers cover at most: each no more than its own side, with places somewhere within their reach.
fn at_most(carriers: &[(i64, Vec<(Span, i64)>)], edge: i64) -> i64 {
    let within = |(from, to): Span| (from.max(0), to.min(edge));
    let hull = covered(carriers.iter().flat_map(|(_, all)| all).map(|(r, _)| within(*r)));
    let own = |all: &[(Span, i64)]| -> i64 {
        all.iter().map(|(r, side)| (*side).min(within(*r).1 - within(*r).0)).sum()
    };
    hull.min(carriers.iter().map(|(side, all)| own(all).min(*side)).sum())
}

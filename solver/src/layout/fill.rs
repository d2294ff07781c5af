//! Whole layouts for given layer heights: trays dealt to layers by area, each layer packed by its lowest gaps.
//!
//! This is where plans of many trays come from: dealing looks at areas only, and a layer that turns out too
//! full gets less in the next deal.

mod bear;
pub(crate) mod drafts;

use super::heights::allowed;
use super::instance::{Access, HeldAt, Instance, KeptPlace, Layout, TrayPlace};
use super::menu::Menu;
use super::pack::skyline::{Outline, Strip, disturb, orders};
use crate::random::Random;
use crate::stop::Stop;
use bear::bear;

/// Deals, each with less for the layers in which something was left over.
const DEALS: usize = 6;
/// Changes of a deal for each body.
const SWAPS: usize = 60;
/// Orders in which a layer is packed.
const ORDERS: usize = 80;
/// Where claims count most, what hangs over counts such a part.
const HANGS_PART: i128 = 8;
/// And a layer above stands for so many lifts.
const LIFTS_A_LAYER: i64 = 2;
/// Outlines of a tray that are offered in a layer, those of least area.
const OUTLINES: usize = 12;
/// No outline is offered that is so much larger than the least, in percent.
const LARGER: i64 = 8;

/// A body in a layer: outlines with their gap and which option (or turn) each is, that of least area first.
#[derive(Clone, Debug, Default)]
struct Seat {
    outlines: Vec<Outline>,
    choices: Vec<usize>,
    /// Of the least outline with its gap.
    area: i64,
    /// What it claims there, and for lifts.
    cost: i64,
}

/// Body, choice, x and y.
type Seated = (usize, usize, i64, i64);

/// Where bodies may go, by body and layer.
struct Deal<'a> {
    instance: &'a Instance,
    profile: &'a [i64],
    seats: Vec<Vec<Option<Seat>>>,
    /// Floor that bodies and their gaps share.
    floor: (i64, i64),
    wish: Wish,
}

/// What a deal looks for beside layers that are not too full.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wish {
    /// No layer fuller than the one below, so that everything is borne.
    Borne,
    /// The same, and layers filled from the floor up as far as areas go.
    Low,
    /// Few claims and lifts; bearing counts little.
    Claims,
}

/// A layout with these layer heights; `None` where the dealing comes to none, or where something is held at a point or
/// blocks a layer. It may leave something without bearing. The stop's clock and flag end it.
pub(crate) fn filled(
    instance: &Instance,
    profile: &[i64],
    wish: Wish,
    seed: u64,
    stop: &Stop,
) -> Option<Layout> {
    let deal = Deal::new(instance, profile, wish)?;
    let mut random = Random::new(seed);
    let floor = deal.floor.0 * deal.floor.1;
    let mut room: Vec<i64> = vec![floor; profile.len()];
    for _ in 0..DEALS {
        if stop.now() {
            return None;
        }
        let layers = deal.dealt(&room, &mut random)?;
        let packed: Vec<(Vec<Seated>, i64)> =
            (0..profile.len()).map(|l| deal.packed(l, &layers, &mut random, stop)).collect();
        if packed.iter().all(|(_, left)| *left == 0) {
            let mut layout = deal.layout(packed.into_iter().map(|p| p.0).collect());
            bear(instance, &mut layout);
            return Some(layout);
        }
        let mut tightened = false;
        for (l, (_, left)) in packed.iter().enumerate().filter(|(_, p)| p.1 > 0) {
            let used: i64 = (0..layers.len()).filter(|b| layers[*b] == l).map(|b| deal.area(b, l)).sum();
            let less = (used - left / 2).min(room[l] - floor / 100);
            tightened |= less < room[l];
            room[l] = less.max(0);
        }
        if !tightened {
            return None;
        }
    }
    None
}

impl<'a> Deal<'a> {
    fn new(instance: &'a Instance, profile: &'a [i64], wish: Wish) -> Option<Deal<'a>> {
        let held = instance.trays.iter().map(|t| t.held).chain(instance.kept.iter().map(|k| k.held));
        let fair = profile.iter().sum::<i64>() <= instance.height
            && profile.len() <= instance.most_layers
            && profile.iter().enumerate().all(|(l, h)| allowed(instance, l, *h));
        if !fair || !instance.blocked.is_empty() || held.into_iter().any(|h| matches!(h, HeldAt::Point(..))) {
            return None;
        }
        let side = |len: i64| len - 2 * instance.side + instance.between;
        let floor = (side(instance.width), side(instance.depth));
        let mut menu = Menu::default();
        let layers = 0..profile.len();
        let lifts = if wish == Wish::Claims && instance.access == Access::Lifts { LIFTS_A_LAYER } else { 1 };
        let tray =
            |menu: &mut Menu, t: usize, l: usize| seat_of_tray(instance, menu, (profile, lifts), floor, t, l);
        let mut seats: Vec<Vec<Option<Seat>>> = (0..instance.trays.len())
            .map(|t| layers.clone().map(|l| tray(&mut menu, t, l)).collect())
            .collect();
        let kept = |k: usize, l: usize| seat_of_kept(instance, profile, floor, k, l);
        seats.extend((0..instance.kept.len()).map(|k| layers.clone().map(|l| kept(k, l)).collect()));
        Some(Deal { instance, profile, seats, floor, wish })
    }

    fn seat(&self, body: usize, layer: usize) -> Option<&Seat> {
        self.seats.get(body)?.get(layer)?.as_ref()
    }

    fn area(&self, body: usize, layer: usize) -> i64 {
        self.seat(body, layer).map_or(0, |s| s.area)
    }

    /// What a deal with these areas costs beside what bodies claim: layers that are too full, and those fuller than the one
    /// below, over which something would hang.
    fn strain(&self, used: &[i64], room: &[i64]) -> i128 {
        // Areas of many bodies times heights: beyond 64 bits in boxes of ten metres on a fine grid.
        let top = i128::from(self.instance.height);
        let over: i64 = used.iter().zip(room).map(|(u, r)| (u - r).max(0)).sum();
        let hangs: i64 = match self.instance.rims {
            Some(_) => used.windows(2).map(|two| (two[1] - two[0]).max(0)).sum(),
            None => 0,
        };
        let high: i64 = match self.wish {
            Wish::Low => used.iter().zip(0..).map(|(u, l)| u * l).sum(),
            Wish::Borne | Wish::Claims => 0,
        };
        let hangs = i128::from(hangs) / if self.wish == Wish::Claims { HANGS_PART } else { 1 };
        top * (i128::from(over) * 8 + hangs + i128::from(high))
    }

    /// A layer for each body; `None` where one has no place in any.
    fn dealt(&self, room: &[i64], random: &mut Random) -> Option<Vec<usize>> {
        let (n, layers) = (self.seats.len(), self.profile.len());
        let mut order: Vec<usize> = (0..n).collect();
        let largest = |b: usize| (0..layers).map(|l| self.area(b, l)).max().unwrap_or(0);
        order.sort_by_key(|&b| (std::cmp::Reverse(largest(b)), b));
        let mut used = vec![0; layers];
        let mut at = vec![0; n];
        let mut cost = 0i128;
        for b in order {
            let best = (0..layers)
                .filter_map(|l| {
                    let seat = self.seat(b, l)?;
                    let mut used = used.clone();
                    used[l] += seat.area;
                    Some((i128::from(seat.cost) + self.strain(&used, room), l))
                })
                .min()?;
            at[b] = best.1;
            used[best.1] += self.area(b, best.1);
            cost += i128::from(self.seat(b, best.1)?.cost);
        }
        let mut worth = cost + self.strain(&used, room);
        for _ in 0..SWAPS * n {
            let (b, c) = (random.below(n), random.below(n));
            let swaps = random.below(2) == 0;
            let (from, to) = (at[b], if swaps { at[c] } else { random.below(layers) });
            let (Some(old), Some(new)) = (self.seat(b, from), self.seat(b, to)) else { continue };
            if from == to {
                continue;
            }
            let mut now = used.clone();
            now[from] -= old.area;
            now[to] += new.area;
            let mut then = cost + i128::from(new.cost - old.cost);
            if swaps {
                let (Some(old), Some(new)) = (self.seat(c, to), self.seat(c, from)) else { continue };
                now[to] -= old.area;
                now[from] += new.area;
                then += i128::from(new.cost - old.cost);
            }
            let tried = then + self.strain(&now, room);
            if tried <= worth {
                (worth, cost, used) = (tried, then, now);
                at[b] = to;
                if swaps {
                    at[c] = from;
                }
            }
        }
        Some(at)
    }

    /// Body, choice and place of what goes into a layer, and the area of the rest.
    fn packed(&self, l: usize, layers: &[usize], random: &mut Random, stop: &Stop) -> (Vec<Seated>, i64) {
        let bodies: Vec<usize> = (0..layers.len()).filter(|b| layers.get(*b) == Some(&l)).collect();
        let outlines = |b: &usize| self.seat(*b, l).map_or_else(Vec::new, |s| s.outlines.clone());
        let pieces: Vec<Vec<Outline>> = bodies.iter().map(outlines).collect();
        let left = |strip: &Strip| -> i64 { strip.left.iter().map(|&i| self.area(bodies[i], l)).sum() };
        let mut strip = Strip::default();
        let mut best: Option<(i64, Vec<usize>, Strip)> = None;
        let mut tries = orders(&pieces).into_iter();
        for _ in 0..ORDERS {
            let order = tries.next().unwrap_or_else(|| {
                let mut order = best.as_ref().map_or_else(Vec::new, |b| b.1.clone());
                disturb(&mut order, random);
                order
            });
            strip.fill(self.floor, &pieces, &order, i64::MAX);
            let missing = left(&strip);
            if best.as_ref().is_none_or(|b| missing <= b.0) {
                best = Some((missing, order, strip.clone()));
            }
            if missing == 0 || stop.now() {
                break;
            }
        }
        let Some((missing, _, strip)) = best else { return (Vec::new(), 0) };
        let side = self.instance.side;
        let stands = strip.placed.iter().filter_map(|s| {
            let body = *bodies.get(s.piece)?;
            Some((body, *self.seat(body, l)?.choices.get(s.outline)?, s.x + side, s.y + side))
        });
        (stands.collect(), missing)
    }

    fn layout(&self, packed: Vec<Vec<Seated>>) -> Layout {
        let nothing = TrayPlace { layer: 0, span: 1, option: 0, x: 0, y: 0 };
        let mut trays = vec![nothing; self.instance.trays.len()];
        let mut kept = vec![KeptPlace { layer: 0, turn: 0, x: 0, y: 0 }; self.instance.kept.len()];
        for (layer, stands) in packed.into_iter().enumerate() {
            for (body, choice, x, y) in stands {
                match body.checked_sub(trays.len()) {
                    None => trays[body] = TrayPlace { layer, span: 1, option: choice, x, y },
                    Some(k) => kept[k] = KeptPlace { layer, turn: choice, x, y },
                }
            }
        }
        Layout { heights: self.profile.to_vec(), trays, kept }
    }
}

/// Those of some outlines that are worth offering, that of least area first.
fn offered(
    all: impl Iterator<Item = (usize, i64, i64)>,
    (between, floor): (i64, (i64, i64)),
    cost: impl Fn(i64) -> i64,
) -> Option<Seat> {
    let mut all: Vec<(i64, usize, Outline)> = all
        .map(|(choice, w, d)| (w + between, d + between, choice, w * d))
        .filter(|(w, d, ..)| *w <= floor.0 && *d <= floor.1)
        .map(|(w, d, choice, _)| (w * d, choice, (w, d)))
        .collect();
    all.sort_unstable();
    let area = all.first()?.0;
    all.retain(|o| o.0 <= area + area * LARGER / 100);
    all.truncate(OUTLINES);
    Some(Seat {
        outlines: all.iter().map(|o| o.2).collect(),
        choices: all.iter().map(|o| o.1).collect(),
        area,
        cost: cost(area),
    })
}

fn seat_of_tray(
    instance: &Instance,
    menu: &mut Menu,
    (profile, lifts): (&[i64], i64),
    floor: (i64, i64),
    t: usize,
    l: usize,
) -> Option<Seat> {
    let item = instance.trays.get(t)?;
    if matches!(item.held, HeldAt::Layer(held) if held != l) {
        return None;
    }
    let h = *profile.get(l)?;
    let deep = match instance.access {
        Access::LayerIndex => l,
        Access::LayersAbove | Access::Lifts => profile.len() - 1 - l,
    };
    let options = menu.at(instance, t, h).to_vec();
    let outline = |o: usize| item.options.get(o).map(|o3| (o, o3.w, o3.d));
    offered(options.into_iter().filter_map(outline), (instance.between, floor), |area| {
        area * h + item.weight * lifts * deep as i64
    })
}

fn seat_of_kept(instance: &Instance, profile: &[i64], floor: (i64, i64), k: usize, l: usize) -> Option<Seat> {
    let item = instance.kept.get(k)?;
    if matches!(item.held, HeldAt::Layer(held) if held != l) {
        return None;
    }
    let h = *profile.get(l)?;
    let turns = item.turns.iter().enumerate().filter(|(_, o)| o.h <= h).map(|(i, o)| (i, o.w, o.d));
    offered(turns, (instance.between, floor), |area| area * h)
}

#[cfg(test)]
mod tests {
    use super::super::anneal::tests::drafts;
    use super::super::bearing::unborne;
    use super::super::instance::{Option3, Rims, TrayItem};
    use super::super::pack::Rect;
    use super::*;

    #[test]
    fn what_is_dealt_keeps_every_rule() {
        let mut dealt = 0;
        for (instance, _) in drafts() {
            for profile in [&[4, 4, 3][..], &[6, 6], &[12]] {
                for wish in [Wish::Borne, Wish::Low, Wish::Claims] {
                    let Some(layout) = filled(&instance, profile, wish, 1, &Stop::never()) else { continue };
                    assert_eq!(instance.feasible(&layout), Ok(()), "{instance:?} {profile:?}");
                    dealt += 1;
                }
            }
        }
        assert!(dealt > 30, "{dealt}");
    }

    /// Forty trays in two layers over each other, most of the lower floor taken: all of them borne, by walls alone.
    #[test]
    fn trays_are_moved_to_where_something_bears_them() {
        let mut random = Random::new(4);
        let mut side = |least: usize| (least + random.below(8)) as i64;
        let trays = (0..40)
            .map(|kind| {
                let (w, d) = (side(8), side(8));
                let options = vec![Option3 { w, d, h: 5 }, Option3 { w: d, d: w, h: 5 }];
                let held = HeldAt::Free;
                TrayItem {
                    name: kind.to_string(),
                    kind,
                    options,
                    span: 1,
                    low: false,
                    fixed: false,
                    lid: false,
                    held,
                    weight: 1,
                }
            })
            .collect();
        let wall = |x, y, w, d| Rect { x, y, w, d };
        let rims = Rims::whole(move |_, o| {
            [wall(0, 0, o.w, 1), wall(0, o.d - 1, o.w, 1), wall(0, 0, 1, o.d), wall(o.w - 1, 0, 1, o.d)]
                .into()
        });
        let instance = Instance {
            width: 60,
            depth: 60,
            height: 10,
            between: 0,
            side: 0,
            most_layers: 2,
            height_rules: vec![],
            trays,
            kept: vec![],
            cover: vec![],
            access: Access::Lifts,
            blocked: vec![],
            rims: Some(rims),
        };
        let layout = filled(&instance, &[5, 5], Wish::Low, 1, &Stop::never()).unwrap();
        assert_eq!((instance.feasible(&layout), unborne(&instance, &layout)), (Ok(()), 0));
        assert!(layout.trays.iter().any(|t| t.layer == 1));
    }
}

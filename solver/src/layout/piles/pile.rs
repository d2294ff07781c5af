//! One pile: the layers its bodies come to stand in, the outlines it can have, what it claims.

use super::super::bearing::rests;
use super::super::instance::{HeldAt, Instance, Option3, Rims, Top};
use super::super::menu::Menu;
use super::super::pack::Rect;

/// Outlines of a pile that are offered to the packing, those of least area.
const OUTLINES: usize = 8;
/// None is offered that is so much larger than the least, in percent.
const LARGER: i64 = 25;

/// Bodies one on another.
#[derive(Clone, Debug, Default)]
pub(super) struct Pile {
    /// From the floor up.
    pub(super) bodies: Vec<usize>,
    /// Those that have a place: body, first layer, layer after the last.
    pub(super) seats: Vec<(usize, usize, usize)>,
    /// How many have none: too high, or held in another layer.
    pub(super) missing: i64,
    /// What lifts within the pile cost.
    pub(super) lifts: i64,
    /// Width and depth that hold all of them, the least area first.
    pub(super) outlines: Vec<(i64, i64)>,
    /// Claims, and how many bodies nothing bears, by outline as far as asked for.
    worth: Vec<Option<(i64, i64)>>,
}

/// What is known of an instance's bodies.
pub(super) struct Stock<'a> {
    pub(super) instance: &'a Instance,
    menu: Menu,
    /// Per tray and option, asked for so far.
    tops: Vec<Vec<Option<Top>>>,
}

impl<'a> Stock<'a> {
    pub(super) fn new(instance: &'a Instance) -> Stock<'a> {
        Stock { instance, menu: Menu::default(), tops: vec![Vec::new(); instance.trays.len()] }
    }

    pub(super) fn bodies(&self) -> usize {
        self.instance.trays.len() + self.instance.kept.len()
    }

    /// A pile of these bodies in layers of these heights.
    pub(super) fn pile(&mut self, heights: &[i64], bodies: Vec<usize>) -> Pile {
        let mut pile = Pile { bodies, ..Pile::default() };
        let mut first = 0;
        for &body in &pile.bodies {
            match self.seat(heights, body, first) {
                Some(after) => {
                    pile.seats.push((body, first, after));
                    first = after;
                }
                None => pile.missing += 1,
            }
        }
        let count = pile.bodies.len() as i64;
        let weight = |b: &usize| self.instance.trays.get(*b).map_or(0, |t| t.weight);
        pile.lifts = pile.bodies.iter().zip(1..).map(|(b, at): (_, i64)| weight(b) * (count - at)).sum();
        pile.outlines = self.outlines(heights, &pile.seats);
        if pile.outlines.is_empty() && !pile.seats.is_empty() {
            pile.missing += pile.seats.len() as i64;
            pile.seats.clear();
        }
        pile.worth = vec![None; pile.outlines.len()];
        pile
    }

    /// Claims of a pile within one of its outlines, and how many of its bodies nothing bears.
    pub(super) fn worth(&mut self, heights: &[i64], pile: &mut Pile, outline: usize) -> (i64, i64) {
        if let Some(known) = pile.worth.get(outline).copied().flatten() {
            return known;
        }
        let Some(&size) = pile.outlines.get(outline) else { return (0, 0) };
        let new = self.filled(heights, pile, size, None);
        pile.worth[outline] = Some(new);
        new
    }

    /// The layer after the last of a body that begins in this one.
    fn seat(&mut self, heights: &[i64], body: usize, first: usize) -> Option<usize> {
        let held = |held: HeldAt| match held {
            HeldAt::Layer(l) => l == first,
            HeldAt::Free | HeldAt::Point(..) => true,
        };
        match body.checked_sub(self.instance.trays.len()) {
            None => {
                let item = self.instance.trays.get(body).filter(|t| held(t.held))?;
                let (mut h, mut after) = (0, first);
                while after < heights.len().min(first + item.span) {
                    h += heights[after];
                    after += 1;
                    if !self.menu.at(self.instance, body, h).is_empty() {
                        return Some(after);
                    }
                }
                None
            }
            Some(k) => {
                let item = self.instance.kept.get(k).filter(|k| held(k.held))?;
                let o = item.turns.iter().min_by_key(|o| o.h)?;
                let (_, after, _) = self.instance.kept_reach(heights, first, o.h);
                let bottom: i64 = heights.iter().take(first).sum();
                (first < heights.len() && bottom + o.h <= self.instance.height).then_some(after)
            }
        }
    }

    /// Outlines of a body in its seat: choice, width, depth; ascending in width, descending in depth.
    fn shapes(
        &mut self,
        heights: &[i64],
        (body, first, after): (usize, usize, usize),
    ) -> Vec<(usize, i64, i64)> {
        match body.checked_sub(self.instance.trays.len()) {
            None => {
                let h = heights.get(first..after).unwrap_or(&[]).iter().sum();
                let options = &self.instance.trays[body].options;
                let shape = |&o: &usize| (o, options[o].w, options[o].d);
                self.menu.at(self.instance, body, h).iter().map(shape).collect()
            }
            Some(k) => {
                let turns = &self.instance.kept[k].turns;
                let low = turns.iter().map(|o| o.h).min().unwrap_or(0);
                let mut all: Vec<(usize, i64, i64)> = turns
                    .iter()
                    .enumerate()
                    .filter(|(_, o)| o.h == low)
                    .map(|(i, o)| (i, o.w, o.d))
                    .collect();
                all.sort_unstable_by_key(|s| (s.1, s.2));
                all
            }
        }
    }

    fn outlines(&mut self, heights: &[i64], seats: &[(usize, usize, usize)]) -> Vec<(i64, i64)> {
        let all: Vec<Vec<(usize, i64, i64)>> = seats.iter().map(|s| self.shapes(heights, *s)).collect();
        let least = |shapes: &Vec<(usize, i64, i64)>, w: i64| {
            let upto = shapes.partition_point(|s| s.1 <= w);
            upto.checked_sub(1).and_then(|i| shapes.get(i)).map(|s| s.2)
        };
        let (most_w, most_d) =
            (self.instance.width - 2 * self.instance.side, self.instance.depth - 2 * self.instance.side);
        let mut widths: Vec<i64> = all.iter().flatten().map(|s| s.1).filter(|w| *w <= most_w).collect();
        widths.sort_unstable();
        widths.dedup();
        let mut out: Vec<(i64, i64)> = widths
            .into_iter()
            .filter_map(|w| {
                let depths = all.iter().map(|shapes| least(shapes, w));
                Some((w, depths.collect::<Option<Vec<i64>>>()?.into_iter().max()?))
            })
            .filter(|o| o.1 <= most_d)
            .collect();
        out.dedup_by_key(|o| o.1);
        out.sort_unstable_by_key(|o| (o.0 * o.1, *o));
        let most = out.first().map_or(0, |o| o.0 * o.1 * (100 + LARGER) / 100);
        out.retain(|o| o.0 * o.1 <= most);
        out.truncate(OUTLINES);
        out
    }

    /// The same within this width and depth; `chosen` gets the choice of each.
    pub(super) fn filled(
        &mut self,
        heights: &[i64],
        pile: &Pile,
        (w, d): (i64, i64),
        mut chosen: Option<&mut Vec<usize>>,
    ) -> (i64, i64) {
        let (mut claims, mut hanging) = (0, 0);
        let mut below: Vec<Rect> = Vec::new();
        let mut above = 0;
        for &seat in &pile.seats {
            let (body, first, after) = seat;
            let mut shapes = self.shapes(heights, seat);
            shapes.retain(|s| s.1 <= w && s.2 <= d);
            shapes.sort_by_key(|s| s.1 * s.2);
            let bears = |stock: &mut Stock, s: &(usize, i64, i64)| {
                first == 0 || stock.instance.rims.is_none() || {
                    let size = stock.top(body, s).map_or((s.1, s.2), |t| t.size);
                    above == first && rests(&Rect { x: 0, y: 0, w: size.0, d: size.1 }, &below)
                }
            };
            let found = shapes.iter().find(|s| bears(self, s)).copied();
            hanging += i64::from(found.is_none());
            let Some(shape) = found.or(shapes.first().copied()) else {
                hanging += 1;
                continue;
            };
            let bottom: i64 = heights.iter().take(first).sum();
            let top: i64 = heights.iter().take(after).sum();
            let kept = body.checked_sub(self.instance.trays.len());
            let height = kept.and_then(|k| self.instance.kept[k].turns.get(shape.0)).map(|o| o.h);
            claims += shape.1 * shape.2 * (top - bottom).max(height.unwrap_or(0));
            if let Some(chosen) = &mut chosen {
                chosen.push(shape.0);
            }
            below.clear();
            // What ends below the top of its layers, or may, bears nothing.
            let carries = self.instance.trays.get(body).is_none_or(|t| t.carries(top - bottom));
            if carries && height.is_none_or(|h| bottom + h == top) {
                let lid = kept.is_some() || self.instance.trays.get(body).is_some_and(|t| t.lid);
                if let Some(top) = self.top(body, &shape) {
                    let whole = Rect { x: 0, y: 0, w: top.size.0, d: top.size.1 };
                    if lid {
                        below.push(whole);
                    } else {
                        below.extend_from_slice(&top.places);
                    }
                }
            }
            above = after;
        }
        (claims, hanging)
    }

    /// Top of a body with this outline, in the units of [`Rims`].
    fn top(&mut self, body: usize, &(choice, w, d): &(usize, i64, i64)) -> Option<Top> {
        let rims: &Rims = self.instance.rims.as_ref()?;
        match body.checked_sub(self.instance.trays.len()) {
            None => {
                let o: Option3 = *self.instance.trays.get(body)?.options.get(choice)?;
                let tops = self.tops.get_mut(body)?;
                if tops.len() <= choice {
                    tops.resize(choice + 1, None);
                }
                Some(tops.get_mut(choice)?.get_or_insert_with(|| (rims.top)(body, o)).clone())
            }
            Some(k) => {
                let size = rims.kept.get(k).and_then(|sizes| sizes.get(choice)).copied();
                let size = size.unwrap_or((rims.per_step * w, rims.per_step * d));
                Some(Top { size, places: std::sync::Arc::from([]) })
            }
        }
    }
}

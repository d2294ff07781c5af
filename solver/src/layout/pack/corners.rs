//! Complete search over corner points of the staircase of what is placed.
//!
//! **Why it is complete.** Take a packing whose free pieces have the least sum of coordinates. No piece can
//! move left or forward by a step, so each stands at its least coordinate or *touches* something on its left,
//! and likewise in front: a placed piece or an obstacle (blocked rectangle, held piece) at exactly their gap.
//! Say `i → j` when `i` is neither to the right of `j` nor behind it: `x_i < x_j + w_j + g_ij` and
//! `y_i < y_j + d_j + g_ij`. Since every pair is apart along x or y, `i → j` means that `i` is left of `j` or in
//! front of it and `j → i` does not hold. "Left of by the gap" is transitive, and so is "in front of by the
//! gap", because `g_ik ≤ g_ij + g_jk` (if `i` or `k` is a tray, a gap of `between` is in one of the two).
//! `→` has no cycle: in a shortest one, pieces two arcs apart are unrelated, that is, one is left of and behind
//! the other. For `i → j → k` with `i` left of `j` and `j` in front of `k`: if `i` is left of and behind `k`, `k` is
//! in front of `i`, so `j` is in front of `i`, against `i → j`; if `k` is left of `i`, it is left of `j`, against
//! `j → k`. So all arcs have the same direction, say left, and a piece would be left of itself. (In a cycle of
//! three, two arcs of one direction give the third pair that direction, against its own arc.)
//! Place the pieces in an order that `→` allows. Then no piece lies left of and in front of an earlier one's
//! far corner (the staircase rule), and whatever a piece touches is there before it. Obstacles are there
//! from the start and need no place in the order. So a new piece stands, for its class's gaps, at an x that is the
//! least or right of a placed piece or obstacle, at a y likewise, outside the staircase, and touches on both sides:
//! without obstacles, at an inner corner of the staircase.
//!
//! **What is skipped.** Notches of the staircase in which no remaining piece can start any more are filled and their
//! area is lost; outlines that the budget or the area no longer affords, or that fit nowhere any more, do not count
//! (`alive`); a placement that takes more area from the others than is to spare is not followed; of all orders that
//! `→` allows, only the first by left edges is (a piece is not placed after a run of pieces unrelated to it, one of
//! which stands further right); equal pieces are one kind; and without obstacles one chosen kind has a piece in the
//! left front quarter (the floor can be mirrored, after which pushing left and forward keeps it there). And of all
//! packings that meet the quarter rule only the one of least weight is looked for, the sum of coordinates times the
//! weights of their kinds: no piece of it can move either, and no rectangle of it can be mirrored so that it weighs
//! less (`mirror`).
//!
//! A piece no wider than a notch that comes after one further right can never start there in that order: what it would
//! have to follow, so as to be related to something later, would have to reach over the notch's end, and then the notch
//! is no more. So such notches are filled too.

mod alive;
mod kind;
mod mirror;
mod moves;

use std::ops::Deref;

use super::field::{Field, Frame, KEPT, Shadow, Shape, TRAY, disjoint};
use super::slice::Slice;
use super::stairs::{Notch, Stairs, fill, insert, notches, shadowed};
use super::waste::{Sums, wasted};
use super::{Packed, Spot};
use alive::{Alive, Choices};
use kind::{Kind, Share};

/// Decides the field by a complete search.
pub(super) fn search(field: &Field, slice: &Slice) -> Packed {
    let mut answer = Packed::Impossible;
    let spend = &mut || slice.spend();
    let all = holds(field, &mut |held| {
        let mut corners = Corners::new(field, held);
        answer = match corners.go(spend) {
            Outcome::Found => Packed::Found(corners.spots()),
            Outcome::Exhausted => return true,
            Outcome::Stopped => Packed::Unknown,
        };
        false
    });
    if all { Packed::Impossible } else { answer }
}

/// A held piece: body, outline, place.
pub(super) type Held = (usize, Shape, i64, i64);

/// Calls `each` with every combination of outlines of the held pieces until it says no; whether it never did.
pub(super) fn holds(field: &Field, each: &mut dyn FnMut(&[Held]) -> bool) -> bool {
    let held: Vec<usize> = (0..field.bodies.len()).filter(|i| field.bodies[*i].at.is_some()).collect();
    hold(field, &held, &mut Vec::new(), each)
}

fn hold(field: &Field, left: &[usize], held: &mut Vec<Held>, each: &mut dyn FnMut(&[Held]) -> bool) -> bool {
    let Some((&i, rest)) = left.split_first() else { return each(held) };
    let Some(body) = field.bodies.get(i) else { return false };
    let (x, y) = body.at.unwrap_or((0, 0));
    for &s in &body.shapes {
        let clash = held.iter().any(|&(o, t, a, b)| {
            let other = field.bodies.get(o).map_or(TRAY, |b| b.class);
            field.shadows(other, a, b, t)[body.class].hit(x, y, s)
        });
        if clash {
            continue;
        }
        held.push((i, s, x, y));
        let go_on = hold(field, rest, held, each);
        held.pop();
        if !go_on {
            return false;
        }
    }
    true
}

#[derive(Clone, Copy)]
struct Placed {
    kind: usize,
    body: usize,
    shape: Shape,
    price: i64,
    x: i64,
    y: i64,
    shadows: [Shadow; 2],
    in_quarter: bool,
}

/// A next piece and its place.
#[derive(Clone, Copy)]
pub(super) struct Move {
    kind: usize,
    shape: Shape,
    price: i64,
    x: i64,
    y: i64,
}

/// Sums for less and less money: with half of it, a quarter and so on, and none.
const TIERS: u32 = 5;

#[derive(Default)]
struct Level {
    /// For trays, for kept items, and what neither of them can cover.
    stairs: [Stairs; 3],
    moves: Vec<Move>,
    /// The next of them to follow.
    next: usize,
    /// Per kind: what one piece takes at least.
    least: Vec<Share>,
    /// Outlines of trays and of kept items that can still be used.
    alive: [Alive; 2],
    /// The area that remaining pieces can still cover.
    available: i64,
}

/// What every remaining piece could be in the part of the floor in use.
const BOTH: usize = 2;

/// How far a search has come.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Everything is placed.
    Found,
    /// Nothing below the prefix is left to be tried.
    Exhausted,
    /// To be gone on with.
    Stopped,
}

/// The search under one choice of held outlines; it can be left and gone on with.
pub(super) struct Corners<F> {
    field: F,
    kinds: Vec<Kind>,
    choices: Choices,
    frames: [Frame; 3],
    /// Obstacles as trays and as kept items see them.
    obstacles: [Vec<Shadow>; 2],
    /// The area that obstacles take from trays, from kept items, from both, without common parts.
    taken: [Vec<Shadow>; 3],
    free_of_obstacles: bool,
    held: Vec<Held>,
    placed: Vec<Placed>,
    levels: Vec<Level>,
    /// Pieces placed that the search does not take back.
    base: usize,
    /// The state of the pieces placed has its moves.
    entered: bool,
    /// What of the budget is left when every remaining piece takes its cheapest outline; without a budget, no end of it.
    money: i64,
    /// For less and less money: what widths and depths of the outlines in reach add up to, where there is one class of
    /// pieces.
    sums: Vec<(i64, [Sums; 2])>,
    /// Number of the set of remaining pieces, as the sums count them.
    set: usize,
    /// Staircases that are needed: for trays, for kept items, for both.
    needed: [bool; 3],
    /// What obstacles take from that class, axes swapped.
    turned: Vec<Shadow>,
}

impl<F: Deref<Target = Field>> Corners<F> {
    /// At the start, with this choice of held outlines.
    pub(super) fn new(field: F, held: &[Held]) -> Corners<F> {
        let mut kinds: Vec<Kind> = Vec::new();
        for (i, b) in field.bodies.iter().enumerate() {
            if b.at.is_some() {
                continue;
            }
            let same = |k: &&mut Kind| {
                k.class == b.class
                    && k.shapes.len() == b.shapes.len()
                    && k.shapes.iter().zip(&b.shapes).all(|(a, b)| a.w == b.w && a.d == b.d)
            };
            match kinds.iter_mut().find(same) {
                Some(k) => {
                    k.members.push(i);
                    k.left += 1;
                }
                None => {
                    let outlines = b.shapes.iter().map(|s| field.outline(b.class, *s));
                    let cheapest = outlines.clone().min().unwrap_or(0);
                    let prices: Vec<i64> = outlines.map(|o| o - cheapest).collect();
                    kinds.push(Kind {
                        class: b.class,
                        shapes: b.shapes.clone(),
                        prices,
                        members: vec![i],
                        left: 1,
                        stride: 0,
                        cheapest,
                        quarter: false,
                    });
                }
            }
        }
        let least = |k: &Kind| k.shapes.iter().map(|s| s.area()).min().unwrap_or(0);
        kinds.sort_by_key(|k| -least(k));
        let mut stride = 1usize;
        for k in &mut kinds {
            k.stride = stride;
            stride = stride.saturating_mul(k.left + 1);
        }
        let free_of_obstacles = field.blocked.is_empty() && held.is_empty();
        if free_of_obstacles {
            let single = kinds.iter().position(|k| k.left == 1).unwrap_or(0);
            if let Some(k) = kinds.get_mut(single) {
                k.quarter = true;
            }
        }
        let hull = field.hull([true, true]);
        let frames = [field.frames[TRAY], field.frames[KEPT], hull];
        let mut obstacles = [field.blocked.clone(), Vec::new()];
        let mut both = Vec::new();
        for &(i, s, x, y) in held {
            let class = field.bodies.get(i).map_or(TRAY, |b| b.class);
            let [t, k] = field.shadows(class, x, y, s);
            obstacles[TRAY].push(t);
            obstacles[KEPT].push(k);
            both.push(Shadow { x0: x, y0: y, x1: x + s.w, y1: y + s.d });
        }
        let taken = [
            disjoint(&obstacles[TRAY], frames[TRAY]),
            disjoint(&obstacles[KEPT], frames[KEPT]),
            disjoint(&both, hull),
        ];
        let depth = field.bodies.len() - held.len();
        let class = kinds.first().map_or(TRAY, |k| k.class);
        let mut money = field.budget;
        if money < i64::MAX {
            let class = |body: usize| field.bodies.get(body).map_or(TRAY, |b| b.class);
            money -= held.iter().map(|h| field.outline(class(h.0), h.1)).sum::<i64>();
            money -= kinds.iter().map(|k| k.cheapest * k.left as i64).sum::<i64>();
        }
        let f = frames[class];
        let one_class = kinds.iter().all(|k| k.class == class);
        let axis = |length: i64, money: i64, extent: fn(&Shape) -> i64| {
            let reach = |k: &Kind| {
                let all = k.shapes.iter().zip(&k.prices).filter(|(_, price)| **price <= money);
                (all.map(|(s, _)| extent(s)).collect(), k.left)
            };
            Sums::new(length, kinds.iter().map(reach))
        };
        let tier = |t: u32| {
            let money = if t + 1 < TIERS { money >> t } else { 0 };
            Some((money, [axis(f.x1 - f.x0, money, |s| s.w)?, axis(f.y1 - f.y0, money, |s| s.d)?]))
        };
        let tiers = if money == i64::MAX { 1 } else { TIERS };
        let sums = if one_class { (0..tiers).filter_map(tier).collect() } else { Vec::new() };
        let choices = Choices::new(&kinds);
        let classes = [TRAY, KEPT].map(|c| kinds.iter().any(|k| k.class == c));
        Corners {
            money,
            set: kinds.iter().map(|k| k.stride.wrapping_mul(k.left)).fold(0, usize::wrapping_add),
            sums,
            needed: [classes[TRAY], classes[KEPT], classes[TRAY] && classes[KEPT]],
            turned: taken[class].iter().map(|t| Shadow { x0: t.y0, y0: t.x0, x1: t.y1, y1: t.x1 }).collect(),
            field,
            kinds,
            choices,
            frames,
            obstacles,
            taken,
            free_of_obstacles,
            held: held.to_vec(),
            placed: Vec::with_capacity(depth),
            levels: (0..=depth).map(|_| Level::default()).collect(),
            base: 0,
            entered: false,
        }
    }

    /// The moves that can come first, in their order.
    pub(super) fn firsts(&mut self) -> Vec<Move> {
        self.restart(&[]);
        self.enter();
        self.entered = false;
        self.levels.first().map_or_else(Vec::new, |l| l.moves.clone())
    }

    /// Searches what follows these moves, each of which must be one of the moves that can come there.
    pub(super) fn restart(&mut self, prefix: &[Move]) {
        while self.take_back() {}
        for m in prefix {
            self.enter();
            self.place(*m);
        }
        self.base = self.placed.len();
        self.entered = false;
    }

    /// Asks for so much less from now on: what was refuted stays so, and what was found is left behind.
    pub(super) fn tighten(&mut self, by: i64) {
        if self.money < i64::MAX {
            self.money -= by;
        }
    }

    /// Gives back memory that can be filled again.
    pub(super) fn rest(&mut self) {
        self.sums.iter_mut().flat_map(|s| &mut s.1).for_each(Sums::forget);
    }

    /// Goes on until everything is placed or tried, or `ends`, asked once a state, says so.
    pub(super) fn go(&mut self, ends: &mut dyn FnMut() -> bool) -> Outcome {
        loop {
            if !self.entered {
                if ends() {
                    return Outcome::Stopped;
                }
                if self.money >= 0 && self.kinds.iter().all(|k| k.left == 0) {
                    return Outcome::Found;
                }
                self.enter();
            }
            let depth = self.placed.len();
            let Some(level) = self.levels.get_mut(depth) else { return Outcome::Stopped };
            if let Some(&m) = level.moves.get(level.next) {
                level.next += 1;
                self.place(m);
                self.entered = false;
            } else if depth <= self.base {
                return Outcome::Exhausted;
            } else {
                self.take_back();
            }
        }
    }

    /// Where everything stands, when all is placed.
    pub(super) fn spots(&self) -> Vec<Spot> {
        let mut all = self.held.clone();
        // Pieces that are alike may list their outlines differently.
        let own = |p: &Placed| {
            let shapes = self.field.bodies.get(p.body).map_or(&[][..], |b| &b.shapes);
            *shapes.iter().find(|s| s.w == p.shape.w && s.d == p.shape.d).unwrap_or(&p.shape)
        };
        all.extend(self.placed.iter().map(|p| (p.body, own(p), p.x, p.y)));
        self.field.spots(&all)
    }

    /// Lists the moves of this state.
    fn enter(&mut self) {
        self.entered = true;
        let depth = self.placed.len();
        let Some(level) = self.levels.get_mut(depth) else { return };
        let mut level = std::mem::take(level);
        level.moves.clear();
        level.least.clear();
        level.next = 0;
        if self.climb(&mut level)
            && let Some(spare) = self.spare(&mut level)
            && !self.mirrors(&level.stairs[self.region()])
        {
            self.moves(&mut level, spare);
        }
        if let Some(slot) = self.levels.get_mut(depth) {
            *slot = level;
        }
    }

    fn place(&mut self, m: Move) {
        let Some(k) = self.kinds.get_mut(m.kind) else { return };
        k.left -= 1;
        self.set = self.set.wrapping_sub(k.stride);
        let f = self.frames[k.class];
        if self.money < i64::MAX {
            self.money -= m.price;
        }
        self.placed.push(Placed {
            kind: m.kind,
            price: m.price,
            body: k.members.get(k.left).copied().unwrap_or(0),
            shape: m.shape,
            x: m.x,
            y: m.y,
            shadows: self.field.shadows(k.class, m.x, m.y, m.shape),
            in_quarter: k.quarter && in_quarter(f, m.shape, m.x, m.y),
        });
    }

    fn take_back(&mut self) -> bool {
        let Some(p) = self.placed.pop() else { return false };
        if self.money < i64::MAX {
            self.money += p.price;
        }
        if let Some(k) = self.kinds.get_mut(p.kind) {
            k.left += 1;
            self.set = self.set.wrapping_add(k.stride);
        }
        true
    }

    /// The stairs of this state: those of the state before and the piece placed since, then filled; and the outlines that can
    /// still be used. `false` where it is seen at once that the remaining pieces are too large.
    fn climb(&self, level: &mut Level) -> bool {
        level.stairs.iter_mut().for_each(Vec::clear);
        let before =
            self.placed.split_last().and_then(|(last, all)| Some((last, self.levels.get(all.len())?)));
        let classes = [TRAY, KEPT].into_iter().filter(|c| self.needed[*c]);
        let Some((last, before)) = before else {
            classes.for_each(|class| self.choices.of(class, self.money, &mut level.alive[class]));
            level.available = self.available(self.region(), &Vec::new());
            return true;
        };
        let none_left = self.kinds.get(last.kind).filter(|k| k.left == 0).map(|_| last.kind);
        for class in classes {
            self.choices.inherit(&before.alive[class], self.money, none_left, &mut level.alive[class]);
        }
        let region = self.region();
        // Without obstacles and with one class, what is available and what may be lost is known as it is lost.
        let plain = self.free_of_obstacles && region != BOTH && !self.needed[BOTH];
        let mut room = i64::MAX;
        for (c, stairs) in level.stairs.iter_mut().enumerate().filter(|(c, _)| self.needed[*c]) {
            stairs.extend_from_slice(&before.stairs[c]);
            let (x, y) = match last.shadows.get(c) {
                Some(s) => (s.x1, s.y1),
                None => (last.x + last.shape.w, last.y + last.shape.d),
            };
            let f = self.frames[c];
            let (x, y) = (x.min(f.x1), y.min(f.y1));
            if plain {
                level.available = before.available - shadowed(stairs, f, x, y);
                room = level.available - self.needs(before);
            }
            insert(stairs, x, y, f);
            if room < 0 {
                return false;
            }
            if let Some(alive) = level.alive.get(c) {
                let Some(lost) = self.fill(c, alive, stairs, room) else { return false };
                if plain {
                    level.available -= lost;
                }
            }
        }
        if !plain {
            level.available = self.available(region, &level.stairs[region]);
        }
        true
    }

    /// What the remaining pieces leave over; `None`: they are too large. Outlines that take more are not used any more.
    fn spare(&mut self, level: &mut Level) -> Option<Share> {
        let available = level.available;
        // What each took at least in the state before is soon added up.
        let before = self.placed.len().checked_sub(1).and_then(|d| self.levels.get(d));
        let taken = before.map_or(0, |b| self.needs(b));
        if taken > available {
            return None;
        }
        let lost = self.lost(&level.stairs, available - taken)?;
        level.least.resize(self.kinds.len(), Share { area: i64::MAX, price: i64::MAX });
        for class in [TRAY, KEPT].into_iter().filter(|c| self.needed[*c]) {
            let f = self.frames[class];
            let rooms = notches(&level.stairs[class], f).map(|n| (f.x1 - n.x, f.y1 - n.y));
            self.choices.fit(&mut level.alive[class], rooms, &mut level.least);
        }
        if level.least.iter().zip(&self.kinds).any(|(least, k)| k.left > 0 && least.area == i64::MAX) {
            level.least.clear();
            return None;
        }
        let mut spare = Share { area: available, price: self.money };
        for (least, k) in level.least.iter_mut().zip(&self.kinds) {
            if k.left == 0 {
                *least = Share::default();
            }
            spare.area = spare.area.saturating_sub(least.area.saturating_mul(k.left as i64));
            spare.price = spare.price.saturating_sub(least.price.saturating_mul(k.left as i64));
        }
        if spare.area < lost || spare.price < 0 {
            return None;
        }
        let tight = spare.area - lost;
        for alive in &mut level.alive {
            let least = &level.least;
            // What takes more than is to spare is never used from here on.
            self.choices.keep(alive, |c| {
                least.get(c.kind).is_some_and(|l| {
                    c.share.area <= l.area + tight && c.share.price <= l.price.saturating_add(spare.price)
                })
            });
        }
        Some(spare)
    }

    /// What the remaining pieces took at least in some state before.
    fn needs(&self, before: &Level) -> i64 {
        before.least.iter().zip(&self.kinds).map(|(least, k)| least.area * k.left as i64).sum()
    }

    /// What the remaining pieces are placed in.
    fn region(&self) -> usize {
        if !self.needed[BOTH] {
            return if self.needed[TRAY] { TRAY } else { KEPT };
        }
        match [TRAY, KEPT].map(|c| self.kinds.iter().any(|k| k.left > 0 && k.class == c)) {
            [true, true] => BOTH,
            [true, false] => TRAY,
            [false, _] => KEPT,
        }
    }

    /// Fills every notch in which nothing can start. What is narrower than a notch starts there in its turn by left edges,
    /// or never: only what reaches over the notch's end can come after what lies further right.
    /// The area that is lost so, `None` where that is more than `most`.
    fn fill(&self, class: usize, alive: &Alive, stairs: &mut Stairs, most: i64) -> Option<i64> {
        let f = self.frames[class];
        fill(stairs, f, most, |Notch { x, y, right, .. }| {
            let room = (f.x1 - x, f.y1 - y);
            let run = if self.free_of_obstacles { self.run(x) } else { None };
            if run.is_none() {
                return self.choices.any(alive, room, 0);
            }
            let narrow = (room.0.min(right - x), room.1);
            self.choices.any(alive, room, right - x)
                || self.choices.within(alive, narrow).any(|c| self.follows(class, c.shape, (x, y), run))
        })
    }

    /// Area that rows or columns of what is left must waste; `None` where that is more than this.
    fn lost(&mut self, stairs: &[Stairs; 3], most: i64) -> Option<i64> {
        let (money, set) = (self.money, self.set);
        let Some((_, [across, along])) = self.sums.iter_mut().rev().find(|s| s.0 >= money) else {
            return Some(0);
        };
        let Some(class) = self.kinds.first().map(|k| k.class) else { return Some(0) };
        let (f, stairs) = (self.frames[class], &stairs[class]);
        let left = || self.kinds.iter().map(|k| k.left);
        let by_rows = wasted(f, stairs.iter().copied(), &self.taken[class], across.of(set, left));
        if by_rows > most {
            return None;
        }
        let steps = stairs.iter().rev().map(|s| (s.1, s.0));
        let by_columns = wasted(f.turned(), steps, &self.turned, along.of(set, left));
        Some(by_rows.max(by_columns)).filter(|lost| *lost <= most)
    }

    /// The area that remaining pieces can still cover.
    fn available(&self, region: usize, stairs: &Stairs) -> i64 {
        let f = self.frames[region];
        let mut area = (f.x1 - f.x0) * (f.y1 - f.y0);
        let mut x = f.x0;
        for &(px, py) in stairs {
            area -= (px - x) * (py - f.y0);
            x = px;
        }
        for o in &self.taken[region] {
            area -= (o.x1 - o.x0) * (o.y1 - o.y0);
            let mut x = f.x0;
            for &(px, py) in stairs {
                let w = px.min(o.x1) - x.max(o.x0);
                let d = py.min(o.y1) - o.y0;
                if w > 0 && d > 0 {
                    area += w * d;
                }
                x = px;
            }
        }
        area
    }
}

/// Whether the centre of a piece lies in the left front quarter of its frame.
fn in_quarter(f: Frame, s: Shape, x: i64, y: i64) -> bool {
    2 * x + s.w <= f.x0 + f.x1 && 2 * y + s.d <= f.y0 + f.y1
}

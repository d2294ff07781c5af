//! Complete search that settles every left edge before any front edge ("absolute placement", after Huang &
//! Korf, J. Artif. Intell. Res. 46, 2013). Strong for many pieces of few outlines on a floor of few steps.
//!
//! First each piece gets an outline and a short range of left edges, the largest first, so that the columns it
//! covers wherever it ends up in the range (its *core*) are known; then each range is narrowed to one left edge;
//! then the floor is filled cell by cell from the front. A state is dropped where the columns must waste more
//! than the floor can spare: a column's remainder is a sum of depths of pieces that may still cover it,
//! and short remainders can only be filled by shallow pieces (Korf, ICAPS 2003).
//!
//! Only packings are looked for in which no piece leaves a useless gap at a side (see `gaps`), each touches the
//! front or another piece in front of it and, with much to spare, a side or another piece on its left; the largest
//! single piece stands in the left front quarter.

mod filling;
mod gaps;
mod ranges;
mod sums;
mod waste;

use super::Packed;
use super::field::{Body, Field, Frame, KEPT, Shape, TRAY};
use super::slice::Slice;
use sums::Sums;

/// Depth in steps that the sets of sums can hold.
const MOST_DEPTH: i64 = 255;
/// Waste is filled cell by cell, one recursion each; with more room than this other searches are better anyway.
const MOST_SPARE: i64 = 1000;
const MOST_PIECES: usize = 64;
const MOST_SHAPES: usize = 2;
/// Ranges of left edges are this share of the width (in hundredths), with little and with much to spare. In the
/// first case 24 to 33 are about alike and 45 takes ten times the time.
const RANGE: [i32; 2] = [28, 35];
/// The smallest items, of at most this share of the area (in hundredths), get no left edge before the filling:
/// there are too many ways to choose it, and the columns refuse too few of them.
const SMALL: i64 = 1;

/// Share of the floor (in hundredths).
const TIGHT: i64 = 5;

/// Whether the field is one for this search: one class, no obstacles, small, few outlines, little to spare.
pub(super) fn suits(field: &Field) -> bool {
    let Some(first) = field.bodies.first() else { return false };
    let (f, _) = side(field);
    let (w, d) = (f.x1 - f.x0, f.y1 - f.y0);
    field.bodies.len() <= MOST_PIECES
        && w.max(d) <= MOST_DEPTH
        && (field.blocked.is_empty() || first.class == KEPT)
        && field
            .bodies
            .iter()
            .all(|b| b.class == first.class && b.at.is_none() && (1..=MOST_SHAPES).contains(&b.shapes.len()))
        && spare(field) <= MOST_SPARE
}

/// Whether so little is to spare that this search is nearly always the one that refutes.
pub(super) fn excels(field: &Field) -> bool {
    let (f, _) = side(field);
    spare(field) * 100 <= (f.x1 - f.x0) * (f.y1 - f.y0) * TIGHT
}

/// Area of the floor beyond that of the least outlines.
fn spare(field: &Field) -> i64 {
    let (f, _) = side(field);
    let least = |b: &Body| b.shapes.iter().map(|s| s.area()).min().unwrap_or(0);
    (f.x1 - f.x0) * (f.y1 - f.y0) - field.bodies.iter().map(least).sum::<i64>()
}

/// Where all bodies stand, and whether columns run along its width: along the longer side there are fewer of them.
fn side(field: &Field) -> (Frame, bool) {
    let f = field.frames[field.bodies.first().map_or(TRAY, |b| b.class)];
    (f, f.x1 - f.x0 > f.y1 - f.y0)
}

enum Outcome {
    Found,
    Exhausted,
    Stopped,
}

/// An outline across the columns.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Outline {
    w: i32,
    d: i32,
    shape: Shape,
}

/// An outline with the left edges it may have.
struct Choice {
    outline: Outline,
    /// Left edges, ascending.
    edges: Vec<i32>,
    /// The same as ranges of little width.
    ranges: Vec<(i32, i32)>,
    /// Per gap in front: whether no packing needs it.
    front: Vec<bool>,
}

struct Item {
    body: usize,
    choices: Vec<Choice>,
    /// Alike with the item before it.
    like_before: bool,
    /// The one that stands in the left front quarter.
    quarter: bool,
    /// Area of the smallest outline.
    least: i32,
    /// Area of the largest one, and depth of the least deep.
    most: i32,
    flat: i32,
    /// Chosen outline; its sizes; range of left edges; front edge.
    which: usize,
    range: usize,
    w: i32,
    d: i32,
    lo: i32,
    hi: i32,
    y: i32,
    chosen: Shape,
}

/// The search, which goes on where it was when a slice ended.
pub(super) struct Columns<'a> {
    field: &'a Field,
    turned: bool,
    slice: Slice<'a>,
    /// The ranges of so many items are those at which the last slice ended.
    resume: usize,
    width: i32,
    depth: i32,
    items: Vec<Item>,
    /// What each column has left beside the cores, in steps.
    room: Vec<i32>,
    /// Sums of depths that items from this one on can add to.
    later: Vec<Sums>,
    /// Area of the items from this one on, at least.
    tail: Vec<i64>,
    area: i64,
    /// With much to spare, each item touches a side or another on its left, and single items are looked at more
    /// closely. Else useless gaps are barred at the right side too, and states are cheaper.
    loose: bool,
    /// Least width of the items that get no left edge before the filling.
    least_small: i32,
    /// So many items, the largest, get left edges before the filling.
    fixed: usize,
    /// Row by row: sums of depths by which the items before this one can fill the columns outside their cores.
    before: Vec<Sums>,
    /// The same of the items from this one on, once all have ranges.
    after: Vec<Sums>,
    /// Per depth: area of pieces no deeper; scratch.
    supply: Vec<i64>,
    /// Front line of the filling, and whether a piece (not waste) ends there.
    line: Vec<(i32, bool)>,
    /// Stretches of the line as they were, the last on top.
    saved: Vec<(i32, bool)>,
    /// Items by left edge, for the filling.
    by_left: Vec<Vec<usize>>,
}

impl<'a> Columns<'a> {
    /// For a field for which [`suits`] holds.
    pub(super) fn new(field: &'a Field, slice: Slice<'a>) -> Columns<'a> {
        let (frame, turned) = side(field);
        let (w, d) = (frame.x1 - frame.x0, frame.y1 - frame.y0);
        let (width, depth) = if turned { (d, w) } else { (w, d) };
        let mut items: Vec<Item> =
            field.bodies.iter().enumerate().map(|(body, b)| Item::new(body, &b.shapes, turned)).collect();
        items.sort_by_cached_key(|i| {
            let longest = i.choices.iter().map(|c| c.outline.w.max(c.outline.d)).min();
            (std::cmp::Reverse((i.least, longest)), i.sizes())
        });
        for k in 1..items.len() {
            if let Some([a, b]) = items.get_mut(k - 1..=k) {
                b.like_before = a.sizes() == b.sizes();
            }
        }
        let single = (0..items.len())
            .find(|&k| !items[k].like_before && !items.get(k + 1).is_some_and(|i| i.like_before));
        if let Some(i) = single.and_then(|k| items.get_mut(k)) {
            i.quarter = true;
        }
        let loose = !excels(field);
        gaps::bar(&mut items, (width as i32, depth as i32), loose, &slice);
        let mut later = vec![Sums::NONE; items.len() + 1];
        let mut tail = vec![0; items.len() + 1];
        for (k, item) in items.iter().enumerate().rev() {
            let next = later[k + 1];
            later[k] = item.choices.iter().fold(next, |s, c| s.or(next.with(c.outline.d)));
            tail[k] = tail[k + 1] + i64::from(item.least);
        }
        let fixed = (1..=items.len()).find(|&k| tail[k] * 100 <= tail[0] * SMALL).unwrap_or(items.len());
        let small = items.iter().skip(fixed).flat_map(|i| i.choices.iter().map(|c| c.outline.w));
        let columns = width.max(0) as usize;
        Columns {
            field,
            turned,
            slice,
            resume: 0,
            loose,
            least_small: small.min().unwrap_or(i32::MAX),
            width: width as i32,
            depth: depth as i32,
            room: vec![depth as i32; columns],
            before: vec![Sums::NONE; columns * (fixed + 1)],
            after: vec![Sums::NONE; columns * (fixed + 1)],
            supply: vec![0; depth.max(0) as usize + 1],
            line: vec![(0, true); columns],
            saved: Vec::new(),
            by_left: vec![Vec::new(); columns],
            area: 0,
            fixed,
            items,
            later,
            tail,
        }
    }

    /// Goes on, to the end of the slice at most.
    pub(super) fn go(&mut self, slice: Slice<'a>) -> Packed {
        self.slice = slice;
        self.area = 0;
        match self.ranges(0) {
            Outcome::Found => {
                let (frame, _) = side(self.field);
                let spot = |item: &Item| {
                    let (x, y) = (i64::from(item.lo), i64::from(item.y));
                    let (x, y) = if self.turned { (y, x) } else { (x, y) };
                    (item.body, item.chosen, x + frame.x0, y + frame.y0)
                };
                Packed::Found(self.field.spots(&self.items.iter().map(spot).collect::<Vec<_>>()))
            }
            Outcome::Exhausted => Packed::Impossible,
            Outcome::Stopped => Packed::Unknown,
        }
    }

    /// Whether the stop behind the slice has ended everything.
    pub(super) fn over(&self) -> bool {
        self.slice.over()
    }

    fn cover(&mut self, from: i32, to: i32, d: i32) {
        if from < to
            && let Some(columns) = self.room.get_mut(from as usize..to as usize)
        {
            for c in columns {
                *c -= d;
            }
        }
    }

    /// Whether columns `from..to` can take another `d`.
    fn open(&self, from: i32, to: i32, d: i32) -> bool {
        from >= to || self.room.get(from as usize..to as usize).is_some_and(|c| c.iter().all(|c| *c >= d))
    }
}

impl Item {
    fn new(body: usize, shapes: &[Shape], turned: bool) -> Item {
        let mut choices: Vec<Choice> = shapes
            .iter()
            .map(|&shape| {
                let (w, d) = if turned { (shape.d, shape.w) } else { (shape.w, shape.d) };
                let outline = Outline { w: w as i32, d: d as i32, shape };
                Choice { outline, edges: Vec::new(), ranges: Vec::new(), front: Vec::new() }
            })
            .collect();
        choices.sort_by_key(|c| (c.outline.w, c.outline.d));
        Item {
            body,
            like_before: false,
            quarter: false,
            least: choices.iter().map(|c| c.outline.w * c.outline.d).min().unwrap_or(0),
            most: choices.iter().map(|c| c.outline.w * c.outline.d).max().unwrap_or(0),
            flat: choices.iter().map(|c| c.outline.d).min().unwrap_or(0),
            which: 0,
            range: 0,
            w: 0,
            d: 0,
            lo: 0,
            hi: 0,
            y: 0,
            chosen: choices.first().map_or(Shape { w: 0, d: 0, index: 0 }, |c| c.outline.shape),
            choices,
        }
    }

    fn sizes(&self) -> Vec<(i32, i32)> {
        self.choices.iter().map(|c| (c.outline.w, c.outline.d)).collect()
    }
}

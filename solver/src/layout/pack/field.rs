//! The packing problem in one frame of reference, with every gap folded into the rectangles.
//!
//! A tray carries its gap along: its *reach* is its outline plus `between` to the right and behind. A kept
//! item's reach is its outline. Everything placed or blocked is seen by each class of newcomer (tray, kept)
//! as one rectangle, its *shadow*, such that a newcomer's reach may not overlap it:
//! a body `o` at distance `g` or more from a newcomer of class `c` means
//! `x + w + g ≤ o.left` or `o.right + g ≤ x` (or the same in y); with `reach = w + own(c)` this is
//! `x + reach ≤ o.left − g + own(c)` or `o.right + g ≤ x`.

use super::{Floor, Packed, Piece, Rect, Spot};

/// Lengths up to this many steps keep every area and sum far inside `i64`.
const LIMIT: i64 = 1 << 28;

/// Trays and kept items obey different gaps.
pub(super) const TRAY: usize = 0;
pub(super) const KEPT: usize = 1;

/// An outline with its gap, and its index in the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Shape {
    pub(super) w: i64,
    pub(super) d: i64,
    pub(super) index: usize,
}

impl Shape {
    pub(super) fn area(self) -> i64 {
        self.w * self.d
    }
}

/// Left, front, right, back edges of a shadow. May be empty or inverted where gaps differ.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Shadow {
    pub(super) x0: i64,
    pub(super) y0: i64,
    pub(super) x1: i64,
    pub(super) y1: i64,
}

impl Shadow {
    pub(super) fn hit(&self, x: i64, y: i64, s: Shape) -> bool {
        x < self.x1 && y < self.y1 && x + s.w > self.x0 && y + s.d > self.y0
    }
}

/// Where reaches of a class may lie.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) x0: i64,
    pub(super) x1: i64,
    pub(super) y0: i64,
    pub(super) y1: i64,
    /// What a reach adds to an outline.
    own: i64,
}

/// A piece as the searches see it.
#[derive(Clone, Debug)]
pub(super) struct Body {
    pub(super) class: usize,
    pub(super) at: Option<(i64, i64)>,
    /// Undominated outlines that fit their frame, widest last (so deepest first).
    pub(super) shapes: Vec<Shape>,
}

pub(super) struct Field {
    pub(super) frames: [Frame; 2],
    pub(super) bodies: Vec<Body>,
    /// Shadows of blocked rectangles, for trays alone.
    pub(super) blocked: Vec<Shadow>,
    between: i64,
    /// Most area of all outlines together (gaps not counted).
    pub(super) budget: i64,
}

impl Frame {
    /// A part of it.
    pub(super) fn part(self, s: &Shadow) -> Frame {
        Frame { x0: s.x0, x1: s.x1, y0: s.y0, y1: s.y1, ..self }
    }

    /// Axes swapped.
    pub(super) fn turned(self) -> Frame {
        Frame { x0: self.y0, x1: self.y1, y0: self.x0, y1: self.x1, own: self.own }
    }
}

impl Field {
    /// Area of the outline within a reach.
    pub(super) fn outline(&self, class: usize, s: Shape) -> i64 {
        let own = self.frames[class].own;
        (s.w - own) * (s.d - own)
    }

    /// Area of all outlines of a packing (gaps not counted).
    pub(super) fn area(&self, packed: &Packed) -> i64 {
        let Packed::Found(spots) = packed else { return 0 };
        let outline = |(b, spot): (&Body, &Spot)| {
            let shape = b.shapes.iter().find(|s| s.index == spot.shape);
            shape.map_or(0, |s| self.outline(b.class, *s))
        };
        self.bodies.iter().zip(spots).map(outline).sum()
    }

    /// `None` where a length is beyond the limit.
    pub(super) fn new(floor: &Floor, pieces: &[Piece]) -> Option<Field> {
        let ok = |v: i64| (-LIMIT..=LIMIT).contains(&v);
        let (side, between) = (floor.side.max(0), floor.between.max(0));
        let blocked_gap = floor.blocked_gap.max(0);
        if ![floor.w, floor.d, side, between, blocked_gap].into_iter().all(ok)
            || !floor.blocked.iter().all(|r| ok(r.x) && ok(r.y) && ok(r.w) && ok(r.d))
            || !pieces.iter().all(|p| p.at.is_none_or(|(x, y)| ok(x) && ok(y)))
        {
            return None;
        }
        let frame = |side: i64, own: i64| Frame {
            x0: side,
            x1: floor.w - side + own,
            y0: side,
            y1: floor.d - side + own,
            own,
        };
        let frames = [frame(side, between), frame(0, 0)];
        let blocked = floor.blocked.iter().filter(|r| r.w > 0 && r.d > 0);
        let blocked = blocked.map(|r| shadow(*r, blocked_gap, between)).collect();
        let mut field =
            Field { frames, bodies: Vec::with_capacity(pieces.len()), blocked, between, budget: i64::MAX };
        for p in pieces {
            let body = field.body(p);
            field.bodies.push(body);
        }
        Some(field)
    }

    fn body(&self, p: &Piece) -> Body {
        let class = if p.kept { KEPT } else { TRAY };
        let f = self.frames[class];
        let mut shapes: Vec<Shape> = Vec::new();
        for (index, &(w, d)) in p.shapes.iter().enumerate() {
            if w <= 0 || d <= 0 || w > LIMIT || d > LIMIT {
                continue;
            }
            let s = Shape { w: w + f.own, d: d + f.own, index };
            let (x, y) = p.at.unwrap_or((f.x0, f.y0));
            let inside = x >= f.x0 && y >= f.y0 && x + s.w <= f.x1 && y + s.d <= f.y1;
            let clear = p.at.is_none() || class == KEPT || !self.blocked.iter().any(|b| b.hit(x, y, s));
            if inside && clear {
                shapes.push(s);
            }
        }
        // Where an outline can stand, a smaller one can stand with the same least corner.
        shapes.sort_unstable_by_key(|s| (s.w, s.d, s.index));
        let mut least = i64::MAX;
        shapes.retain(|s| {
            let keep = s.d < least;
            least = least.min(s.d);
            keep
        });
        Body { class, at: p.at, shapes }
    }

    /// The same field with its axes swapped.
    pub(super) fn turned(&self) -> Field {
        let shadow = |s: &Shadow| Shadow { x0: s.y0, y0: s.x0, x1: s.y1, y1: s.x1 };
        let body = |b: &Body| {
            // Ascending widths once more: depths descend.
            let turn = |s: &Shape| Shape { w: s.d, d: s.w, index: s.index };
            let shapes = b.shapes.iter().rev().map(turn).collect();
            Body { class: b.class, at: b.at.map(|(x, y)| (y, x)), shapes }
        };
        Field {
            frames: self.frames.map(Frame::turned),
            bodies: self.bodies.iter().map(body).collect(),
            blocked: self.blocked.iter().map(shadow).collect(),
            between: self.between,
            budget: self.budget,
        }
    }

    /// The shadows that a placed reach throws on trays and on kept items.
    pub(super) fn shadows(&self, class: usize, x: i64, y: i64, s: Shape) -> [Shadow; 2] {
        let own = self.frames[class].own;
        let r = Rect { x, y, w: s.w - own, d: s.d - own };
        let gap = if class == KEPT { 0 } else { self.between };
        [shadow(r, self.between, self.between), shadow(r, gap, 0)]
    }

    /// The frame that holds the reaches of these classes.
    pub(super) fn hull(&self, classes: [bool; 2]) -> Frame {
        let [t, k] = self.frames;
        match classes {
            [true, false] => t,
            [false, _] => k,
            [true, true] => Frame {
                x0: t.x0.min(k.x0),
                x1: t.x1.max(k.x1),
                y0: t.y0.min(k.y0),
                y1: t.y1.max(k.y1),
                own: 0,
            },
        }
    }

    /// Places in the order of the pieces.
    pub(super) fn spots(&self, placed: &[(usize, Shape, i64, i64)]) -> Vec<Spot> {
        let mut spots = vec![Spot { shape: 0, x: 0, y: 0 }; self.bodies.len()];
        for &(i, s, x, y) in placed {
            if let Some(spot) = spots.get_mut(i) {
                *spot = Spot { shape: s.index, x, y };
            }
        }
        spots
    }
}

/// What a newcomer whose reach adds `own` to its outline sees of `r` at a distance of `gap`.
fn shadow(r: Rect, gap: i64, own: i64) -> Shadow {
    Shadow { x0: r.x - gap + own, y0: r.y - gap + own, x1: r.x + r.w + gap, y1: r.y + r.d + gap }
}

/// Splits the union of shadows, clipped to a frame, into rectangles without common area.
pub(super) fn disjoint(shadows: &[Shadow], f: Frame) -> Vec<Shadow> {
    let mut out: Vec<Shadow> = Vec::new();
    let mut ys: Vec<i64> = Vec::with_capacity(shadows.len() * 2);
    let clipped: Vec<Shadow> = shadows
        .iter()
        .map(|s| Shadow { x0: s.x0.max(f.x0), y0: s.y0.max(f.y0), x1: s.x1.min(f.x1), y1: s.y1.min(f.y1) })
        .filter(|s| s.x0 < s.x1 && s.y0 < s.y1)
        .collect();
    for s in &clipped {
        ys.extend([s.y0, s.y1]);
    }
    ys.sort_unstable();
    ys.dedup();
    for band in ys.windows(2) {
        let &[y0, y1] = band else { continue };
        let mut spans: Vec<(i64, i64)> =
            clipped.iter().filter(|s| s.y0 <= y0 && s.y1 >= y1).map(|s| (s.x0, s.x1)).collect();
        spans.sort_unstable();
        let mut open: Option<(i64, i64)> = None;
        for (a, b) in spans {
            match open {
                Some((x0, x1)) if a <= x1 => open = Some((x0, x1.max(b))),
                Some((x0, x1)) => {
                    out.push(Shadow { x0, y0, x1, y1 });
                    open = Some((a, b));
                }
                None => open = Some((a, b)),
            }
        }
        if let Some((x0, x1)) = open {
            out.push(Shadow { x0, y0, x1, y1 });
        }
    }
    out
}

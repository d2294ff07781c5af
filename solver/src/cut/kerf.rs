//! The one step that allows for the width of the cut: nominal outlines in, lines to be cut out.
//!
//! A cut along a line removes half of its full width on either side, so every line moves by that half to its waste
//! side: outlines outward, openings inward, the full width a dimension (the worked example of one laser shop:
//! full width 0.2 mm, a line drawn 2.0 × 4.0 gives an opening of 2.2 × 4.2 and a part of 1.8 × 3.8). Where another
//! panel goes in, half of the fit moves the line the other way, so that the finished slot is wider by the whole fit.
//! Straight edges along the axes move exactly; arcs stay arcs with another radius.

use super::ring::{cross, dot, ends, flat, isqrt, radius};
use crate::job::defaults::EASY_FIT;
use crate::job::{Fits, Joint};
use crate::length::Length;
use crate::panel::{Edge, Meets, Panel, Ring, Role, Spot};

/// What the step allows for.
///
/// ```
/// use traywright::{cut::kerf::{Allowance, moved}, job::{Fits, Joint}};
/// use traywright::{length::Length, panel::Ring};
/// let um = Length::um;
/// let it = Allowance { full_width: um(200), fits: Fits::all(um(100)) };
/// // A tab of 10 × 3 mm is drawn larger by half a cut on every side.
/// let tab = Ring::rectangle(um(0), um(0), um(10_000), um(3_000));
/// let drawn = moved(&tab, &[it.full_width / 2; 4]);
/// assert_eq!(drawn, Some(Ring::rectangle(um(-100), um(-100), um(10_200), um(3_200))));
/// assert_eq!(it.fit(Joint::Tab, false), um(100)); // its slot gets this much besides
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Allowance {
    /// Full width that the cut removes, not the half of it.
    pub full_width: Length,
    /// How much wider than the sheet slots become.
    pub fits: Fits,
}

impl Allowance {
    /// How much wider than what goes in it a slot of this joint becomes; glued joints have none, and a lid, which is
    /// lifted off again and again, always an easy one.
    ///
    /// ```
    /// use traywright::{cut::kerf::Allowance, job::{Fits, Joint}, length::Length};
    /// let fits = Fits { tab: Length::um(-50), ..Fits::default() };
    /// let it = Allowance { full_width: Length::um(200), fits };
    /// assert_eq!(it.fit(Joint::Tab, false), Length::um(-50));
    /// assert_eq!(it.fit(Joint::Tab, true), Length::um(150)); // a lid's
    /// assert_eq!(it.fit(Joint::Butt, true), Length::ZERO);
    /// ```
    pub fn fit(&self, joint: Joint, lid: bool) -> Length {
        match joint {
            Joint::Butt | Joint::Rebate => Length::ZERO,
            _ if lid => EASY_FIT,
            Joint::Finger => self.fits.finger,
            Joint::Tab => self.fits.tab,
            Joint::Halved => self.fits.halved,
        }
    }
}

/// The lines of one panel as they are cut, in the panel's own coordinates.
///
/// ```
/// use traywright::cut::{kerf::{CutPanel, moved}, ring::bounds};
/// use traywright::{length::Length, panel::Ring};
/// // A plain floor of 100 × 60 mm by a cut 0.2 mm wide.
/// let um = Length::um;
/// let floor = Ring::rectangle(um(0), um(0), um(100_000), um(60_000));
/// let outline = moved(&floor, &[um(100); 4]).unwrap();
/// let cut = CutPanel { outline, openings: Vec::new(), recesses: Vec::new() };
/// assert_eq!(bounds(&cut.outline).1.x, um(100_100));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutPanel {
    /// Counterclockwise.
    pub outline: Ring,
    /// Clockwise, in the order of [`Panel::openings`].
    pub openings: Vec<Ring>,
    /// Counterclockwise, in the order of [`Panel::recesses`].
    pub recesses: Vec<Ring>,
}

/// Which line of a panel is too small for its cut.
///
/// ```
/// use traywright::cut::{kerf::{Vanished, moved}, ring::carried};
/// use traywright::{length::Length, panel::Ring};
/// // A slot 0.2 mm wide is nothing any more once half a cut has been taken from either side.
/// let [w, d] = [20_000, 200].map(Length::um);
/// let slot = carried(&Ring::rectangle(Length::ZERO, Length::ZERO, w, d), true, |p| p);
/// let by = |half| moved(&slot, &[half; 4]).ok_or(Vanished::Opening(0));
/// assert_eq!(by(Length::um(100)), Err(Vanished::Opening(0)));
/// assert!(by(Length::um(75)).is_ok());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Vanished {
    /// A notch or a corner of the outline.
    Outline,
    /// An opening, by its index.
    Opening(usize),
    /// A recess, by its index.
    Recess(usize),
}

/// The lines to cut for a panel.
///
/// # Errors
/// The first line that is nothing any more once the cut is allowed for: a notch or an opening no wider than the cut.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::cut::{kerf::{Allowance, cut_lines}, ring::bounds};
/// use traywright::{job::Fits, length::Length, panel};
/// let floor = panel::panels(&job, &plan).unwrap().remove(0).panels.remove(0);
/// let it = Allowance { full_width: Length::um(200), fits: Fits::default() };
/// let cut = cut_lines(&floor, &it).unwrap();
/// // Half a cut beyond the outline on either side.
/// assert_eq!(bounds(&cut.outline).1.x, bounds(&floor.outline).1.x + Length::um(100));
/// ```
pub fn cut_lines(panel: &Panel, allowance: &Allowance) -> Result<CutPanel, Vanished> {
    let half = allowance.full_width / 2;
    let fitted = |joint: Joint| half - allowance.fit(joint, panel.role == Role::Lid) / 2;
    let by: Vec<Length> = (0..panel.outline.edges.len())
        .map(|i| panel.fitted.iter().find(|(edge, _)| *edge == i).map_or(half, |(_, joint)| fitted(*joint)))
        .collect();
    let outline = moved(&panel.outline, &by).ok_or(Vanished::Outline)?;
    let mut openings = Vec::with_capacity(panel.openings.len());
    for (i, opening) in panel.openings.iter().enumerate() {
        let by = match opening.meets {
            Meets::Nothing => half,
            Meets::Panel(joint) => fitted(joint),
        };
        let by = vec![by; opening.ring.edges.len()];
        openings.push(moved(&opening.ring, &by).ok_or(Vanished::Opening(i))?);
    }
    let mut recesses = Vec::with_capacity(panel.recesses.len());
    for (i, recess) in panel.recesses.iter().enumerate() {
        // What is taken away lies inside; along the rim nothing may be left standing.
        let by: Vec<Length> = recess
            .ring
            .spans()
            .map(|(from, edge)| if on_rim(&panel.outline, from, edge) { half } else { -half })
            .collect();
        recesses.push(moved(&recess.ring, &by).ok_or(Vanished::Recess(i))?);
    }
    Ok(CutPanel { outline, openings, recesses })
}

/// Whether a straight edge lies on a straight edge of a ring, both in the same direction.
fn on_rim(ring: &Ring, from: Spot, edge: Edge) -> bool {
    let Edge::Line(to) = edge else { return false };
    let way = to - from;
    ring.spans().any(|(a, e)| {
        let Edge::Line(b) = e else { return false };
        let along = b - a;
        cross(along, way) == 0
            && dot(along, way) > 0
            && cross(along, from - a) == 0
            && dot(from - a, along) >= 0
            && dot(b - to, along) >= 0
    })
}

/// One edge after it has moved, not yet joined to its neighbours.
#[derive(Clone, Copy)]
enum Moved {
    /// A straight line through a point.
    Line { at: Spot, way: Spot },
    /// A circle.
    Arc { centre: Spot, radius: i64, clockwise: bool },
}

/// A moved edge with the points and directions that the corners on either side need.
struct Piece {
    moved: Moved,
    /// Where the old ends have gone: to the right of the direction of travel.
    ends: [Spot; 2],
    /// Directions of travel at both ends.
    ways: [Spot; 2],
}

/// A ring whose every edge has moved by its own amount to the right of the direction of travel: outward where it runs
/// counterclockwise. Corners stay corners. `None` where an edge is nothing any more or the ring crosses itself.
///
/// ```
/// use traywright::cut::kerf::moved;
/// use traywright::length::Length;
/// use traywright::panel::Ring;
/// // A part of 2.0 × 4.0 mm by a cut 0.2 mm wide is drawn 2.2 × 4.2.
/// let part = Ring::rectangle(Length::ZERO, Length::ZERO, Length::mm(2), Length::mm(4));
/// let drawn = moved(&part, &[Length::um(100); 4]).unwrap();
/// let at = Length::um(-100);
/// assert_eq!(drawn, Ring::rectangle(at, at, Length::um(2_200), Length::um(4_200)));
/// ```
pub fn moved(ring: &Ring, by: &[Length]) -> Option<Ring> {
    let spans: Vec<(Spot, Edge, i64)> = ring
        .spans()
        .zip(by)
        .filter(|((from, edge), _)| *from != edge.to())
        .map(|((from, edge), by)| (from, edge, by.nm()))
        .collect();
    let pieces: Vec<Piece> =
        spans.iter().map(|(from, edge, by)| piece(*from, *edge, *by)).collect::<Option<_>>()?;
    // Corner i joins piece i to the next: where piece i ends, what lies between, where the next begins.
    let corners: Vec<Vec<Spot>> =
        pieces.iter().zip(pieces.iter().cycle().skip(1)).map(|(a, b)| corner(a, b)).collect::<Option<_>>()?;
    let mut edges = Vec::with_capacity(pieces.len() + 4);
    for (i, ((piece, ends_at), (_, old, _))) in pieces.iter().zip(&corners).zip(&spans).enumerate() {
        let before = corners.get((i + pieces.len() - 1) % pieces.len())?;
        let (from, to) = (*before.last()?, *ends_at.first()?);
        match piece.moved {
            Moved::Line { way, .. } => {
                if dot(to - from, way) <= 0 {
                    return None;
                }
                edges.push(Edge::Line(to));
            }
            Moved::Arc { centre, clockwise, .. } => {
                if turned_round(piece, *old, from, to, centre, clockwise) {
                    return None;
                }
                edges.push(Edge::Arc { to, centre, clockwise });
            }
        }
        edges.extend(ends_at.iter().skip(1).map(|&to| Edge::Line(to)));
    }
    let ring = Ring { edges };
    (!crosses_itself(&ring)).then_some(ring)
}

/// Whether an arc has lost its length: its ends, kept on the circle, have passed each other.
fn turned_round(piece: &Piece, old: Edge, from: Spot, to: Spot, centre: Spot, clockwise: bool) -> bool {
    if from == to {
        return true;
    }
    // Untrimmed ends cannot have passed each other.
    if [from, to] == piece.ends {
        return false;
    }
    let sign = if clockwise { -1 } else { 1 };
    // No old arc is longer than a half: a new one that turns by more has come round the other side.
    let turns = cross(from - centre, to - centre) * sign;
    turns < 0 || (turns == 0 && matches!(old, Edge::Line(_)))
}

fn piece(from: Spot, edge: Edge, by: i64) -> Option<Piece> {
    let [w0, w1] = ends(from, edge);
    let shift = |at: Spot, way: Spot| at + to_the_right(way, by);
    let ends = [shift(from, w0), shift(edge.to(), w1)];
    let moved = match edge {
        Edge::Line(_) => Moved::Line { at: ends[0], way: w0 },
        Edge::Arc { centre, clockwise, .. } => {
            let r = radius(from, centre);
            let radius = if clockwise { r - by } else { r + by };
            if radius <= 0 {
                return None;
            }
            Moved::Arc { centre, radius, clockwise }
        }
    };
    Some(Piece { moved, ends, ways: [w0, w1] })
}

/// A vector of this length to the right of a direction; exact along the axes, else rounded to the nanometre.
fn to_the_right(way: Spot, by: i64) -> Spot {
    let (x, y) = (way.x.nm(), way.y.nm());
    let right = |v: i64, size: i128| {
        let (value, half) = (i128::from(v) * i128::from(by), size / 2);
        Length::from_nm(((value + if value < 0 { -half } else { half }) / size.max(1)) as i64)
    };
    let size = if x == 0 || y == 0 { i128::from(x.abs() + y.abs()) } else { isqrt(dot(way, way)) };
    Spot { x: right(y, size), y: right(-x, size) }
}

/// What lies between two moved edges: the points from where the first ends to where the second begins, which are one
/// and the same at a plain corner. `None` where they do not meet.
fn corner(a: &Piece, b: &Piece) -> Option<Vec<Spot>> {
    let (way_a, way_b) = (a.ways[1], b.ways[0]);
    let (end, start) = (a.ends[1], b.ends[0]);
    let turn = cross(way_a, way_b);
    if turn == 0 {
        if dot(way_a, way_b) < 0 {
            return None;
        }
        // Smooth, or straight on: a step where the two have moved by different amounts.
        return Some(if end == start { vec![end] } else { vec![end, start] });
    }
    // Where the tangents meet. Straight edges are their own tangents; an arc goes on along its tangent where the corner opens.
    let meet = lines_meet(end, way_a, start, way_b)?;
    let opens_a = matches!(a.moved, Moved::Line { .. }) || dot(meet - end, way_a) >= 0;
    let opens_b = matches!(b.moved, Moved::Line { .. }) || dot(start - meet, way_b) >= 0;
    if opens_a && opens_b {
        let mut all = Vec::with_capacity(3);
        if matches!(a.moved, Moved::Arc { .. }) && end != meet {
            all.push(end);
        }
        all.push(meet);
        if matches!(b.moved, Moved::Arc { .. }) && start != meet {
            all.push(start);
        }
        return Some(all);
    }
    curves_meet(a.moved, b.moved, end).map(|at| vec![at])
}

/// The crossing of two lines, rounded to the nanometre; exact where both run along the axes.
fn lines_meet(a: Spot, way_a: Spot, b: Spot, way_b: Spot) -> Option<Spot> {
    let (ax, ay) = (way_a.x.nm(), way_a.y.nm());
    let (bx, by) = (way_b.x.nm(), way_b.y.nm());
    if (ax == 0 && by == 0) || (ay == 0 && bx == 0) {
        return Some(if ax == 0 { Spot { x: a.x, y: b.y } } else { Spot { x: b.x, y: a.y } });
    }
    let under = cross(way_a, way_b);
    if under == 0 {
        return None;
    }
    // Far beyond any panel the corner is so sharp that it has no use.
    let t = cross(b - a, way_b) as f64 / under as f64;
    let at = |from: Length, along: i64| {
        let v = from.nm() as f64 + t * along as f64;
        (v.abs() < 1e11).then(|| Length::from_nm(v.round() as i64))
    };
    Some(Spot { x: at(a.x, ax)?, y: at(a.y, ay)? })
}

/// Where two curves meet nearest to a point, at least one of them a circle.
fn curves_meet(a: Moved, b: Moved, near: Spot) -> Option<Spot> {
    let both = match (a, b) {
        (Moved::Line { .. }, Moved::Line { .. }) => return None,
        (Moved::Line { at, way }, Moved::Arc { centre, radius, .. })
        | (Moved::Arc { centre, radius, .. }, Moved::Line { at, way }) => {
            line_and_circle(at, way, centre, radius)?
        }
        (Moved::Arc { centre: c, radius: r, .. }, Moved::Arc { centre: d, radius: s, .. }) => {
            // The line through both crossings (the radical line) stands upright on the line of centres.
            let way = d - c;
            let size = dot(way, way) as f64;
            let t = (size + (r as f64).powi(2) - (s as f64).powi(2)) / (2.0 * size);
            let step = |v: Length| (v.nm() as f64 * t).round();
            if !t.is_finite() || step(way.x).abs() > 1e11 || step(way.y).abs() > 1e11 {
                return None;
            }
            let at =
                c + Spot { x: Length::from_nm(step(way.x) as i64), y: Length::from_nm(step(way.y) as i64) };
            line_and_circle(at, Spot { x: way.y, y: -way.x }, c, r)?
        }
    };
    both.into_iter().min_by_key(|p| dot(*p - near, *p - near))
}

/// Both crossings of a line with a circle; `None` where it passes by.
fn line_and_circle(at: Spot, way: Spot, centre: Spot, radius: i64) -> Option<[Spot; 2]> {
    let from = at - centre;
    let square = i128::from(radius) * i128::from(radius);
    if way.x == Length::ZERO || way.y == Length::ZERO {
        let off = if way.x == Length::ZERO { from.x } else { from.y };
        let rest = square - i128::from(off.nm()) * i128::from(off.nm());
        if rest < 0 {
            return None;
        }
        let along = Length::from_nm(isqrt(rest) as i64);
        let spot =
            |v: Length| if way.x == Length::ZERO { Spot { x: off, y: v } } else { Spot { x: v, y: off } };
        return Some([centre + spot(along), centre + spot(-along)]);
    }
    let (wx, wy) = (way.x.nm() as f64, way.y.nm() as f64);
    let size = wx.hypot(wy);
    let (ux, uy) = (wx / size, wy / size);
    let (fx, fy) = (from.x.nm() as f64, from.y.nm() as f64);
    let foot = fx * ux + fy * uy;
    let off = fx * uy - fy * ux;
    let rest = square as f64 - off * off;
    if rest < 0.0 || !rest.is_finite() {
        return None;
    }
    let spot = |t: f64| {
        let at = |f: f64, u: f64| Length::from_nm((f + (t - foot) * u).round() as i64);
        centre + Spot { x: at(fx, ux), y: at(fy, uy) }
    };
    Some([spot(rest.sqrt()), spot(-rest.sqrt())])
}

/// Whether two edges that are not neighbours meet; arcs are looked at as chains of chords.
fn crosses_itself(ring: &Ring) -> bool {
    let points = flat(ring, 8);
    let n = points.len();
    let segment = |i: usize| (points.get(i), points.get((i + 1) % n));
    for i in 0..n {
        for j in i + 2..n {
            // The last segment is the neighbour of the first.
            if i == 0 && j == n - 1 {
                continue;
            }
            if let ((Some(a), Some(b)), (Some(c), Some(d))) = (segment(i), segment(j))
                && meet(*a, *b, *c, *d)
            {
                return true;
            }
        }
    }
    false
}

fn meet(a: Spot, b: Spot, c: Spot, d: Spot) -> bool {
    let apart = |a: Length, b: Length, c: Length, d: Length| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return false;
    }
    let side = |a: Spot, b: Spot, p: Spot| cross(b - a, p - a).signum();
    side(a, b, c) * side(a, b, d) <= 0 && side(c, d, a) * side(c, d, b) <= 0
}

#[cfg(test)]
mod tests;

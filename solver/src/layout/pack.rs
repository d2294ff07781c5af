//! Exact packing of one layer: rectangles with alternative outlines, blocked places and gaps.
//!
//! [`pack`] decides, [`pack_quick`] tries, [`cannot_fit`] refutes, [`least_box`] asks for the smallest floor.

mod bounds;
mod columns;
mod corners;
mod descent;
mod field;
mod least;
mod quick;
pub(crate) mod skyline;
mod slice;
mod small;
mod stairs;
mod team;
#[cfg(test)]
mod tests;
mod waste;

pub use bounds::cannot_fit;
pub(crate) use descent::Descent;
pub use least::{LeastBox, least_box};
pub use quick::pack_quick;
pub use small::small_box;

use std::sync::Arc;

use crate::stop::Stop;
use columns::Columns;
use field::Field;
use slice::Slice;
use team::Team;

/// A rectangle in grid steps.
///
/// ```
/// # use traywright::layout::pack::{pack, Floor, Packed, Piece, Rect, Spot};
/// # let stop = traywright::stop::Stop::never();
/// # let piece = [Piece { shapes: vec![(2, 3)], ..Piece::default() }];
/// // On a floor of 3 × 3, all along the left side is blocked.
/// let blocked = vec![Rect { x: 0, y: 0, w: 1, d: 3 }];
/// let floor = Floor { w: 3, d: 3, blocked, ..Floor::default() };
/// assert_eq!(pack(&floor, &piece, &stop), Packed::Found(vec![Spot { shape: 0, x: 1, y: 0 }]));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rect {
    /// Left edge.
    pub x: i64,
    /// Front edge.
    pub y: i64,
    /// Width.
    pub w: i64,
    /// Depth.
    pub d: i64,
}

impl Rect {
    /// Whether the two share area.
    ///
    /// ```
    /// # use traywright::layout::pack::Rect;
    /// let at = |x| Rect { x, y: 0, w: 4, d: 5 };
    /// assert!(at(0).overlaps(&at(3)));
    /// assert!(!at(0).overlaps(&at(4))); // edge to edge
    /// ```
    pub fn overlaps(&self, o: &Rect) -> bool {
        self.x < o.x + o.w && o.x < self.x + self.w && self.y < o.y + o.d && o.y < self.y + self.d
    }

    /// Whether the two come closer than `gap` in both directions.
    ///
    /// ```
    /// # use traywright::layout::pack::Rect;
    /// let at = |x, y| Rect { x, y, w: 4, d: 5 };
    /// // 2 apart along the width.
    /// assert!(at(0, 0).nearer(&at(6, 0), 3) && !at(0, 0).nearer(&at(6, 0), 2));
    /// assert!(!at(0, 0).nearer(&at(6, 8), 3)); // 3 apart along the depth is enough
    /// ```
    pub fn nearer(&self, o: &Rect, gap: i64) -> bool {
        self.x < o.x + o.w + gap
            && o.x < self.x + self.w + gap
            && self.y < o.y + o.d + gap
            && o.y < self.y + self.d + gap
    }
}

/// One body to be placed: a tray or a kept item.
///
/// ```
/// # use traywright::layout::pack::{pack, Floor, Packed, Piece};
/// # let stop = traywright::stop::Stop::never();
/// // As large as the floor: trays keep 1 to the sides, kept items do not.
/// let floor = Floor { w: 3, d: 3, side: 1, ..Floor::default() };
/// let fits = |kept| {
///     let piece = Piece { shapes: vec![(3, 3)], kept, at: None };
///     pack(&floor, &[piece], &stop) != Packed::Impossible
/// };
/// assert!(fits(true) && !fits(false));
/// ```
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Piece {
    /// Alternative outlines (width, depth) in grid steps, turned ones listed too. One without area is
    /// never chosen.
    pub shapes: Vec<(i64, i64)>,
    /// A kept item: no gap to the sides or to other kept items, and blocked places do not concern it.
    pub kept: bool,
    /// Held with its least corner at this place.
    pub at: Option<(i64, i64)>,
}

/// The floor of a layer with its rules, in grid steps. A negative gap counts as 0.
///
/// ```
/// # use traywright::layout::pack::{pack, Floor, Packed, Piece};
/// # let stop = traywright::stop::Stop::never();
/// # let pieces = vec![Piece { shapes: vec![(2, 2)], ..Piece::default() }; 2];
/// // Two trays of 2 × 2 in a row.
/// let fits = |w| {
///     let floor = Floor { w, d: 4, side: 1, between: 1, ..Floor::default() };
///     pack(&floor, &pieces, &stop) != Packed::Impossible
/// };
/// assert!(fits(7) && !fits(6)); // 1 + 2 + 1 + 2 + 1
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Floor {
    /// Width.
    pub w: i64,
    /// Depth.
    pub d: i64,
    /// Least gap between a tray and a side.
    pub side: i64,
    /// Least gap between two trays, or a tray and a kept item: kept along the width or along the depth.
    pub between: i64,
    /// Rectangles in which no tray may stand; they may overlap and reach over the sides.
    pub blocked: Vec<Rect>,
    /// Least gap between a tray and a blocked rectangle.
    pub blocked_gap: i64,
}

/// Where a piece stands.
///
/// ```
/// # use traywright::layout::pack::{pack, Floor, Packed, Piece, Spot};
/// # let stop = traywright::stop::Stop::never();
/// // Only the second outline goes in, and 1 from the sides.
/// let piece = Piece { shapes: vec![(2, 5), (5, 2)], ..Piece::default() };
/// let floor = Floor { w: 7, d: 4, side: 1, ..Floor::default() };
/// let spots = vec![Spot { shape: 1, x: 1, y: 1 }];
/// assert_eq!(pack(&floor, &[piece], &stop), Packed::Found(spots));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Index of the chosen outline.
    pub shape: usize,
    /// Left edge.
    pub x: i64,
    /// Front edge.
    pub y: i64,
}

/// The answer of [`pack`].
///
/// ```
/// # use traywright::layout::pack::{pack, Floor, Packed, Piece};
/// # let stop = traywright::stop::Stop::never();
/// let square = |s| {
///     let piece = Piece { shapes: vec![(s, s)], ..Piece::default() };
///     pack(&Floor { w: s, d: 3, ..Floor::default() }, &[piece], &stop)
/// };
/// assert!(matches!(square(3), Packed::Found(_)));
/// assert_eq!(square(4), Packed::Impossible);
/// assert_eq!(square(1 << 29), Packed::Unknown); // too long to reckon with
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Packed {
    /// A place for every piece, in the order of the pieces.
    Found(Vec<Spot>),
    /// No packing exists: from a complete search or a valid bound.
    Impossible,
    /// Stopped before either was known, or lengths beyond 2^28 steps, or more than 200 pieces.
    Unknown,
}

impl Packed {
    /// The same with axes swapped.
    fn turned(self) -> Packed {
        match self {
            Packed::Found(spots) => {
                Packed::Found(spots.into_iter().map(|s| Spot { x: s.y, y: s.x, ..s }).collect())
            }
            other => other,
        }
    }
}

/// Decides whether all pieces fit on the floor, exactly unless `stop` ends it first. Counts one node of
/// `stop` for every state of its searches.
///
/// ```
/// use traywright::layout::pack::{Floor, Packed, Piece, pack};
/// use traywright::stop::Stop;
/// let floor = Floor { w: 3, d: 3, ..Floor::default() };
/// let piece = |w, d| Piece { shapes: vec![(w, d)], ..Piece::default() };
/// // The pinwheel, which no row of straight cuts yields.
/// let pieces = [piece(2, 1), piece(2, 1), piece(1, 2), piece(1, 2), piece(1, 1)];
/// assert!(matches!(pack(&floor, &pieces, &Stop::never()), Packed::Found(_)));
/// let pieces = [piece(2, 2), piece(2, 2)];
/// assert_eq!(pack(&floor, &pieces, &Stop::never()), Packed::Impossible);
/// ```
pub fn pack(floor: &Floor, pieces: &[Piece], stop: &Stop) -> Packed {
    pack_within(floor, pieces, i64::MAX, stop)
}

/// The same question with a budget: the chosen outlines together may have at most this area, gaps not counted.
///
/// ```
/// use traywright::layout::pack::{Floor, Packed, Piece, pack_within};
/// use traywright::stop::Stop;
/// let floor = Floor { w: 4, d: 4, ..Floor::default() };
/// let piece = Piece { shapes: vec![(1, 5), (2, 3), (3, 2)], ..Piece::default() };
/// let pieces = [piece.clone(), piece];
/// assert!(matches!(pack_within(&floor, &pieces, 12, &Stop::never()), Packed::Found(_)));
/// assert_eq!(pack_within(&floor, &pieces, 11, &Stop::never()), Packed::Impossible);
/// ```
pub fn pack_within(floor: &Floor, pieces: &[Piece], budget: i64, stop: &Stop) -> Packed {
    Descent::new(floor, pieces, budget).map_or(Packed::Unknown, |mut d| d.go(budget, stop))
}

/// How far the searches by turns came.
enum Turns {
    Decided(Packed),
    /// What is left is for a team.
    Team(Team),
}

/// Bounds, constructions and searches by turns.
fn take_turns(field: &Arc<Field>, stop: &Stop) -> Turns {
    use Turns::Decided;
    if bounds::refuted(field) {
        return Decided(Packed::Impossible);
    }
    let first = Slice::new(stop, u64::MAX);
    if let Some(spots) = quick::attempt(field, QUICK_TRIES, 1, &first) {
        return Decided(Packed::Found(spots));
    }
    if field.bodies.len() > MOST_PIECES || first.over() {
        return Decided(Packed::Unknown);
    }
    let both = field.budget == i64::MAX && columns::suits(field);
    let mut columns = None;
    let share = if both && columns::excels(field) { COLUMNS_SHARE } else { 1 };
    let turned = Arc::new(field.turned());
    let mut nodes = FIRST_SLICE;
    for turn in 2.. {
        let slice = Slice::new(stop, nodes);
        let answer = match turn % 2 {
            0 => corners::search(field, &slice),
            _ => corners::search(&turned, &slice).turned(),
        };
        if answer != Packed::Unknown || slice.over() {
            return Decided(answer);
        }
        nodes = nodes.saturating_mul(GROWTH);
        if both {
            let slice = Slice::new(stop, nodes.saturating_mul(share));
            let columns = columns.get_or_insert_with(|| Columns::new(field, Slice::new(stop, 0)));
            let answer = columns.go(slice);
            if answer != Packed::Unknown || columns.over() {
                return Decided(answer);
            }
        }
        let slice = Slice::new(stop, nodes / NODES_PER_TRY);
        if let Some(spots) = quick::attempt(field, usize::MAX, turn, &slice) {
            return Decided(Packed::Found(spots));
        }
        if slice.over() {
            break;
        }
        if !both && nodes > ALONE {
            return match Team::new([Arc::clone(field), turned]) {
                Some(team) => Turns::Team(team),
                None => Decided(corners::search(field, &Slice::new(stop, u64::MAX))),
            };
        }
    }
    Decided(Packed::Unknown)
}

/// Constructions tried before a search starts: about the time of a few hundred nodes.
const QUICK_TRIES: usize = 24;

/// The searches recurse once a piece; more than this have no hope of an exact answer anyway.
const MOST_PIECES: usize = 200;

/// No search is always the best one, and on loose floors constructions find what searches miss: they take
/// turns, each turn longer than the one before and with the axes swapped, so that the best one soon gets its
/// share of all nodes.
const FIRST_SLICE: u64 = 200;
const GROWTH: u64 = 8;
/// So many times the nodes for the absolute placement where it excels.
const COLUMNS_SHARE: u64 = 64;
/// From turns of so many nodes on, both axes are searched side by side.
const ALONE: u64 = 2_000;
/// A construction takes about the time of so many nodes; searches get the greater part.
const NODES_PER_TRY: u64 = 32;

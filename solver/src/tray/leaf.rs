//! One compartment on the grid: every way its part may stand at one clear height.

use super::dense::{Board, Dense};
use super::needs::{PartNeed, TrayNeeds};
use super::{Effort, Shape};
use crate::length::Length;
use crate::need::Space;

/// Every way of standing at one clear height, in the need's own order (preferred first).
#[derive(Clone, Debug)]
pub(super) struct Leaf {
    ways: Vec<Way>,
}

#[derive(Clone, Debug)]
struct Way {
    alternative: usize,
    turned: bool,
    room: Room,
}

/// A room in grid steps.
#[derive(Clone, Debug)]
enum Room {
    Fixed(i64, i64),
    /// `w·d ≥ area`, the shorter side at least `side`, the longer at least `long`.
    Soft {
        area: i64,
        side: i64,
        long: i64,
    },
    /// A nested tray's outlines with their ease, widths ascending.
    Outlines(Vec<Shape>),
}

/// Areas beyond this are treated as endless; products of two sides stay far below it.
const ENDLESS: i64 = i64::MAX / 4;

impl Leaf {
    pub(super) fn new(part: &PartNeed, grid: Length, u: i64, effort: Effort) -> Leaf {
        let mut leaf = Leaf { ways: Vec::new() };
        match part {
            PartNeed::Room(need) => {
                for (alternative, a) in need.alternatives.iter().enumerate() {
                    if a.space.least_height().steps_up(grid) > u {
                        continue;
                    }
                    let (room, turned) = match a.space {
                        Space::Fixed { w, d, .. } => {
                            let (w, d) = (w.steps_up(grid), d.steps_up(grid));
                            (Room::Fixed(w, d), (a.turnable && w != d).then_some(Room::Fixed(d, w)))
                        }
                        Space::Soft { volume, side, long, .. } => {
                            let area = soft_area(volume.nm3(), grid, u);
                            let side = side.steps_up(grid).max(1);
                            (Room::Soft { area, side, long: long.steps_up(grid).max(side) }, None)
                        }
                    };
                    leaf.ways.push(Way { alternative, turned: false, room });
                    leaf.ways.extend(turned.map(|room| Way { alternative, turned: true, room }));
                }
            }
            PartNeed::Tray(inner, ease) => {
                let curve = super::curve(inner, u - inner.base_steps(), (inner.reach, inner.reach), effort);
                let more = inner.walls() + ease.max(&0);
                let outlines: Vec<Shape> = curve.points.iter().map(|&(w, d)| (w + more, d + more)).collect();
                if !outlines.is_empty() {
                    leaf.ways.push(Way { alternative: 0, turned: false, room: Room::Outlines(outlines) });
                }
            }
        }
        leaf
    }

    /// One leaf for each part of a tray; `None` where one of them does not stand at this height.
    pub(super) fn all(tray: &TrayNeeds, kinds: &[Vec<usize>], u: i64, effort: Effort) -> Option<Vec<Leaf>> {
        let mut out = Vec::with_capacity(kinds.len());
        for kind in kinds {
            let leaf = Leaf::new(tray.parts.get(*kind.first()?)?, tray.grid, u, effort);
            if leaf.ways.is_empty() {
                return None;
            }
            out.push(leaf);
        }
        Some(out)
    }

    /// Least extent along `axis` (0 width, 1 depth) where the other extent is `across`.
    pub(super) fn least(&self, axis: usize, across: i64) -> Option<i64> {
        self.ways.iter().filter_map(|way| way.room.least(axis, across)).min()
    }

    /// Whether some way of standing lets width and depth be traded for each other.
    pub(super) fn is_soft(&self) -> bool {
        self.ways.iter().any(|way| matches!(way.room, Room::Soft { .. }))
    }

    /// The first way of standing that fits, as index of the alternative and whether it is turned.
    pub(super) fn pick(&self, w: i64, d: i64) -> Option<(usize, bool)> {
        self.ways
            .iter()
            .find(|way| way.room.least(1, w).is_some_and(|least| least <= d))
            .map(|way| (way.alternative, way.turned))
    }

    /// Its curve on a board.
    pub(super) fn dense(&self, board: &Board) -> Dense {
        let mut curve = Dense::empty(board);
        for way in &self.ways {
            match &way.room {
                Room::Fixed(w, d) => curve.mark(board.up(*w), board.up(*d)),
                Room::Outlines(all) => {
                    for &(w, d) in all {
                        curve.mark(board.up(w), board.up(d));
                    }
                }
                soft @ Room::Soft { side, long, .. } => {
                    // Wider than this changes nothing any more.
                    for column in board.up(*side)..=board.width as i64 {
                        let w = board.clear(column);
                        let Some(d) = soft.least(1, w) else { continue };
                        curve.mark(column, board.up(d));
                        if d <= *side && w >= *long {
                            break;
                        }
                    }
                }
            }
        }
        curve.close();
        curve
    }

    /// A lower bound of `(w + t)·(d + t)` over all ways of standing; 0 for a nested tray, whose
    /// outlines may come from a search.
    pub(super) fn least_area(&self, t: i64) -> i64 {
        self.ways
            .iter()
            .map(|way| match &way.room {
                Room::Fixed(w, d) => (w + t).saturating_mul(d + t),
                Room::Outlines(_) => 0,
                Room::Soft { area, side, long } => {
                    super::bound::grown((*area).max(side.saturating_mul(*long)), side + long, t)
                }
            })
            .min()
            .unwrap_or(0)
    }

    /// Sides for sorting: the shorter and the longer of its squarest room.
    pub(super) fn sides(&self) -> (i64, i64) {
        self.ways
            .iter()
            .map(|way| match &way.room {
                Room::Fixed(w, d) => (*w.min(d), *w.max(d)),
                Room::Outlines(all) => all
                    .iter()
                    .map(|&(w, d)| (w.min(d), w.max(d)))
                    .min_by_key(|&(a, b)| a * b)
                    .unwrap_or((0, 0)),
                Room::Soft { area, side, long } => {
                    let long = super::bound::root_up(*area).max(*long);
                    (side.max(&(area / long.max(1))).to_owned(), long)
                }
            })
            .min_by_key(|&(a, b)| a.saturating_mul(b))
            .unwrap_or((0, 0))
    }
}

impl Room {
    fn least(&self, axis: usize, across: i64) -> Option<i64> {
        match self {
            Room::Fixed(w, d) => {
                let (along, other) = if axis == 0 { (*w, *d) } else { (*d, *w) };
                (across >= other).then_some(along)
            }
            Room::Soft { area, side, long } => {
                if across < *side {
                    return None;
                }
                let mut along = (area / across + i64::from(area % across != 0)).max(*side);
                if across < *long {
                    along = along.max(*long);
                }
                Some(along)
            }
            // Widths ascend and depths descend.
            Room::Outlines(all) if axis == 0 => all.iter().find(|&&(_, d)| d <= across).map(|&(w, _)| w),
            Room::Outlines(all) => all.iter().rev().find(|&&(w, _)| w <= across).map(|&(_, d)| d),
        }
    }
}

/// Least floor area in square grid steps: `w·d·u·grid³ ≥ volume` holds exactly where
/// `w·d ≥ ⌈⌈volume / grid³⌉ / u⌉`, all of these being whole numbers.
fn soft_area(volume: i128, grid: Length, u: i64) -> i64 {
    let cube = i128::from(grid.nm()).pow(3).max(1);
    let steps = -((-volume).div_euclid(cube));
    let area = -((-steps).div_euclid(i128::from(u.max(1))));
    i64::try_from(area).unwrap_or(ENDLESS).clamp(1, ENDLESS)
}

//! What a tray asks for: the needs of its parts and the stock between them, ready for the grid.

use crate::job::{self, Contents, Job};
use crate::length::Length;
use crate::need::{self, Need};
use crate::place::Size;

/// A tray as the search sees it.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// // The outer height is floor, clear height and headroom together, a side two walls more.
/// let tray = TrayNeeds {
///     parts: vec![block(60, 40, 20, false)],
///     wall: Length::mm(3),
///     base: Length::mm(3),
///     headroom: Length::mm(4),
///     ..TrayNeeds::plain(Length::mm(1), 300)
/// };
/// let limits = OptionLimits { most_w: 300, most_d: 200, least_h: 1, most_h: 90, count: 150 };
/// let outer = tray::options(&tray, &limits).list[0];
/// assert_eq!((outer.w, outer.d, outer.h), (60 + 6, 40 + 6, 3 + 20 + 4));
/// ```
#[derive(Clone, Debug)]
pub struct TrayNeeds {
    /// Its name, for findings.
    pub name: String,
    /// One compartment each.
    pub parts: Vec<PartNeed>,
    /// Step of the search; above zero.
    pub grid: Length,
    /// Thickness of a wall.
    pub wall: Length,
    /// Thickness of the floor alone.
    pub floor: Length,
    /// Thickness of floor and lid together; the outer height is this and the clear height.
    pub base: Length,
    /// Kept free between contents and rim, for something that sinks into the tray; usually nothing.
    pub headroom: Length,
    /// Thickness of a divider in grid steps, rounded up.
    pub divider: i64,
    /// Exact thickness of a divider.
    pub divider_exact: Length,
    /// Height of dividers above the floor panel where they are lower than the walls.
    pub divider_height: Option<Length>,
    /// Outer size fixed by the maker.
    pub size: Option<Size>,
    /// Longest inner side that can matter (the box's longer side), grid steps. It decides on the
    /// working step, so that a curve and the slices taken from it later agree.
    pub reach: i64,
}

/// What goes into one compartment.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// // A small tray with walls and floor of 3 mm, and 2 mm of ease in its compartment.
/// let plain = || TrayNeeds::plain(Length::mm(1), 300);
/// let (wall, base) = (Length::mm(3), Length::mm(3));
/// let inner = TrayNeeds { parts: vec![block(30, 40, 5, false)], wall, base, ..plain() };
/// let outer = TrayNeeds { parts: vec![PartNeed::Tray(Box::new(inner), 2)], ..plain() };
/// assert_eq!(tray::least_height(&outer, 30 + 6 + 2, 40 + 6 + 2), Some(5 + 3));
/// assert_eq!(tray::least_height(&outer, 37, 48), None);
/// ```
#[derive(Clone, Debug)]
pub enum PartNeed {
    /// Contents, by their need.
    Room(Need),
    /// A small tray that is lifted out by itself, and its ease in grid steps on each axis in total.
    /// It is as high as its compartment is clear.
    Tray(Box<TrayNeeds>, i64),
}

/// The needs of one tray of a job.
///
/// A nested tray gets the clearance between trays as its ease.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut tray = job.trays[0].clone();
/// // Of 3 mm stock, for a box of 120 × 90 mm on a grid of 1 mm.
/// tray.lid = true;
/// let own = traywright::tray::needs(&job, &tray);
/// assert_eq!((own.floor, own.base), (Length::mm(3), Length::mm(6))); // the lid is as thick
/// assert_eq!((own.wall, own.reach), (Length::mm(3), 120));
/// ```
pub fn needs(job: &Job, tray: &job::Tray) -> TrayNeeds {
    let lid = if tray.lid { job.floor } else { Length::ZERO };
    let interior = job.container.interior;
    TrayNeeds {
        name: tray.name.clone(),
        parts: tray.parts.iter().map(|part| part_need(job, part)).collect(),
        grid: job.grid,
        wall: job.stock.thickness,
        floor: job.floor,
        base: job.floor + lid,
        headroom: Length::ZERO,
        divider: job.divider.steps_up(job.grid),
        divider_exact: job.divider,
        divider_height: tray.divider_height,
        size: tray.size,
        reach: interior.w.max(interior.d).steps_down(job.grid),
    }
}

fn part_need(job: &Job, part: &job::Part) -> PartNeed {
    match &part.contents {
        Contents::Tray(inner) => {
            let ease = job.container.between.steps_up(job.grid);
            PartNeed::Tray(Box::new(needs(job, inner)), ease)
        }
        _ => PartNeed::Room(need::of(part)),
    }
}

impl TrayNeeds {
    /// Grid steps that the two walls add to an inner width or depth.
    ///
    /// ```
    /// # use traywright::{length::Length, tray::TrayNeeds};
    /// let tray = TrayNeeds { wall: Length::um(3_050), ..TrayNeeds::plain(Length::um(100), 3_000) };
    /// assert_eq!(tray.walls(), 61);
    /// ```
    pub fn walls(&self) -> i64 {
        (self.wall * 2).steps_up(self.grid)
    }

    /// Grid steps that floor, lid and [`TrayNeeds::headroom`] add to a clear height.
    pub(crate) fn base_steps(&self) -> i64 {
        (self.base + self.headroom).steps_up(self.grid)
    }

    /// A tray of no thickness and without parts: a start for tests and examples.
    ///
    /// ```
    /// # use traywright::{length::Length, tray::{self, *}};
    /// # use traywright::need::{Alternative, Need, Space, Standing};
    /// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
    /// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
    /// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
    /// # }]));
    /// let tray = TrayNeeds { wall: Length::mm(3), ..TrayNeeds::plain(Length::mm(1), 300) };
    /// assert_eq!((tray.walls(), tray.divider, tray.base), (6, 0, Length::ZERO));
    /// assert!(tray.parts.is_empty());
    /// ```
    pub fn plain(grid: Length, reach: i64) -> TrayNeeds {
        TrayNeeds {
            name: String::new(),
            parts: Vec::new(),
            grid,
            wall: Length::ZERO,
            floor: Length::ZERO,
            base: Length::ZERO,
            headroom: Length::ZERO,
            divider: 0,
            divider_exact: Length::ZERO,
            divider_height: None,
            size: None,
            reach,
        }
    }

    /// Clear heights (grid steps) at which some part gains a way of standing; ascending, no duplicates.
    ///
    /// A tray whose needs are all fixed changes its curve at these heights only.
    pub(crate) fn breakpoints(&self) -> Vec<i64> {
        let mut all: Vec<i64> = self
            .parts
            .iter()
            .flat_map(|part| match part {
                PartNeed::Room(need) => need
                    .alternatives
                    .iter()
                    .map(|a| a.space.least_height().steps_up(self.grid).max(1))
                    .collect::<Vec<_>>(),
                PartNeed::Tray(inner, _) => {
                    let base = inner.base_steps();
                    inner.breakpoints().into_iter().map(|u| u + base).collect()
                }
            })
            .collect();
        all.sort_unstable();
        all.dedup();
        all
    }

    /// The least clear height at which every part stands somehow; `None` for a part that never does.
    pub(crate) fn least_clear(&self) -> Option<i64> {
        let mut least = 1;
        for part in &self.parts {
            let own = match part {
                PartNeed::Room(need) => {
                    need.alternatives.iter().map(|a| a.space.least_height().steps_up(self.grid)).min()?
                }
                PartNeed::Tray(inner, _) => inner.least_clear()? + inner.base_steps(),
            };
            least = least.max(own);
        }
        Some(least)
    }

    /// Whether some part's floor area shrinks as the height grows.
    pub(crate) fn has_soft(&self) -> bool {
        self.parts.iter().any(|part| match part {
            PartNeed::Room(need) => {
                need.alternatives.iter().any(|a| matches!(a.space, need::Space::Soft { .. }))
            }
            PartNeed::Tray(inner, _) => inner.has_soft(),
        })
    }

    /// Whether everything in it may be turned, so that each outline serves both ways round.
    ///
    /// ```
    /// # use traywright::{length::Length, tray::{self, *}};
    /// # use traywright::need::{Alternative, Need, Space, Standing};
    /// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
    /// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
    /// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
    /// # }]));
    /// let holding = |parts| TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
    /// let fixed = block(60, 40, 20, false);
    /// assert!(holding(vec![block(30, 40, 5, true)]).turns());
    /// assert!(!holding(vec![block(30, 40, 5, true), fixed]).turns());
    /// ```
    pub fn turns(&self) -> bool {
        self.parts.iter().all(|part| match part {
            PartNeed::Room(need) => {
                need.alternatives.iter().all(|a| a.turnable || matches!(a.space, need::Space::Soft { .. }))
            }
            PartNeed::Tray(inner, _) => inner.turns(),
        })
    }

    /// Indices of parts with equal needs, grouped; the most numerous groups first.
    pub(super) fn kinds(&self) -> Vec<Vec<usize>> {
        let mut kinds: Vec<Vec<usize>> = Vec::new();
        for (i, part) in self.parts.iter().enumerate() {
            let found = kinds
                .iter_mut()
                .find(|k| k.first().and_then(|&j| self.parts.get(j)).is_some_and(|o| part.like(o)));
            match found {
                Some(kind) => kind.push(i),
                None => kinds.push(vec![i]),
            }
        }
        kinds.sort_by_key(|k| std::cmp::Reverse(k.len()));
        kinds
    }

    fn like(&self, other: &TrayNeeds) -> bool {
        let thickness = |t: &TrayNeeds| (t.grid, t.wall, t.base, t.divider, t.reach, t.size);
        thickness(self) == thickness(other)
            && self.parts.len() == other.parts.len()
            && self.parts.iter().zip(&other.parts).all(|(a, b)| a.like(b))
    }
}

impl PartNeed {
    /// Whether two parts ask for the same room.
    fn like(&self, other: &PartNeed) -> bool {
        match (self, other) {
            (PartNeed::Room(a), PartNeed::Room(b)) => {
                a.alternatives.len() == b.alternatives.len()
                    && a.alternatives
                        .iter()
                        .zip(&b.alternatives)
                        .all(|(x, y)| x.space == y.space && x.turnable == y.turnable)
            }
            (PartNeed::Tray(a, ease), PartNeed::Tray(b, other)) => ease == other && a.like(b),
            _ => false,
        }
    }
}

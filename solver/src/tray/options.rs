//! Outer outlines of a tray with the least outer height each needs, for the placement search.

use rayon::prelude::*;

use super::curve::{curve_of, least_height};
use super::curves::Curves;
use super::frame::Frame;
use super::needs::TrayNeeds;
use super::sample;
use super::{Effort, Shape};
use crate::finding::{Finding, Severity};
use crate::layout::instance::Option3;
use crate::stop::Stop;

/// Between which outer sizes options are wanted, in grid steps.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// # let parts = vec![block(60, 40, 20, false)];
/// # let (wall, base) = (Length::mm(3), Length::mm(3));
/// # let tray = TrayNeeds { parts, wall, base, ..TrayNeeds::plain(Length::mm(1), 300) };
/// // A block of 60 × 40 × 20 in walls and floor of 3: outside 66 × 46 × 23, the limits included.
/// let limits = OptionLimits { most_w: 66, most_d: 46, least_h: 1, most_h: 23, count: 150 };
/// let outlines = |limits| tray::options(&tray, &limits).list.len();
/// assert_eq!(outlines(limits), 1);
/// assert_eq!(outlines(OptionLimits { most_w: 65, ..limits }), 0);
/// assert_eq!(outlines(OptionLimits { most_h: 22, ..limits }), 0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OptionLimits {
    /// Greatest outer width.
    pub most_w: i64,
    /// Greatest outer depth.
    pub most_d: i64,
    /// Least outer height worth listing.
    pub least_h: i64,
    /// Greatest outer height.
    pub most_h: i64,
    /// About how many options at most; 150 is usual.
    pub count: usize,
}

/// The outlines a tray may take.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// # let limits = OptionLimits { most_w: 50, most_d: 50, least_h: 1, most_h: 90, count: 150 };
/// let options = |w| {
///     let parts = vec![block(w, 40, 20, true)];
///     tray::options(&TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) }, &limits)
/// };
/// // Within 50 × 50: both ways round, or nothing and why.
/// assert_eq!((options(45).list.len(), options(45).findings.len()), (2, 0));
/// assert_eq!((options(51).list.len(), options(51).findings.len()), (0, 1));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Sorted by height, width, depth; none dominated by another; turned ones listed too.
    pub list: Vec<Option3>,
    /// Whether every straight-cut arrangement was considered at each height.
    pub exact: bool,
    /// Whether every height at which a curve changes was looked at.
    pub heights_complete: bool,
    /// Whether every Pareto point of those heights is listed, none left out to keep to `count`.
    pub all_points: bool,
    /// Coarsest working step in grid steps; `exact` holds for needs rounded up to it.
    pub step: i64,
    /// Why the list is empty.
    pub findings: Vec<Finding>,
    /// Whether an empty list is certain: from every arrangement on the real grid, or a bound that holds.
    pub certain: bool,
}

/// Rungs of the ladder of heights up to the greatest outer height. Trays with the same limits share
/// the ladder, so that their heights meet in a layer.
const RUNGS: i64 = 24;

/// Most heights that are looked at, and the most where each takes a search.
const MOST_HEIGHTS: usize = 28;
const MOST_SEARCHED: usize = 10;
/// Heights that are looked at even where time is up.
const LEAST_SEARCHED: usize = 3;

fn most_heights(frame: &Frame) -> usize {
    if frame.exact { MOST_HEIGHTS } else { MOST_SEARCHED }
}

/// Outlines at a ladder of heights and at those where a part gains a way of standing.
///
/// A tray whose outer size the maker fixed has that outline only. Where nothing fits, the list is
/// empty and a finding (T001, T002) says why.
///
/// ```
/// # use traywright::{length::Length, tray::{self, OptionLimits, TrayNeeds}};
/// # use traywright::layout::instance::Option3;
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h| tray::PartNeed::Room(Need::plain(vec![
/// #     Alternative { standing: Standing::Block(1, 1, 1), piles: 1, turnable: true,
/// #         space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) } }]));
/// // One block 60 × 40 × 20 in a tray with walls and floor of 3 mm, on a grid of 1 mm.
/// let tray = TrayNeeds {
///     parts: vec![block(60, 40, 20)],
///     wall: Length::mm(3),
///     base: Length::mm(3),
///     ..TrayNeeds::plain(Length::mm(1), 300)
/// };
/// let limits = OptionLimits { most_w: 300, most_d: 200, least_h: 1, most_h: 90, count: 150 };
/// let options = tray::options(&tray, &limits);
/// assert_eq!(options.list, [Option3 { w: 46, d: 66, h: 23 }, Option3 { w: 66, d: 46, h: 23 }]);
/// assert!(options.exact && options.heights_complete && options.all_points);
/// ```
pub fn options(tray: &TrayNeeds, limits: &OptionLimits) -> Options {
    if tray.size.is_some() {
        return fixed(tray, limits);
    }
    let breaks: Vec<i64> = tray.breakpoints().into_iter().map(|u| u + tray.base_steps()).collect();
    let rung = (limits.most_h / RUNGS).max(1);
    let mut heights = breaks.clone();
    if tray.has_soft() {
        // Fine rungs up to half the height, every second one above.
        heights.extend((1..=RUNGS).filter(|i| i * 2 <= RUNGS || i % 2 == 0).map(|i| i * rung));
        heights.push(limits.most_h);
    }
    let mut options = options_at(tray, limits, &heights, &Curves::default(), &Stop::never());
    let wanted = breaks.iter().filter(|&&h| h <= limits.most_h).count();
    options.heights_complete = !tray.has_soft() && wanted <= most_heights(&Frame::new(tray, Effort::Usual));
    options
}

/// The same at chosen outer heights only: those of an incumbent plan's layers, say.
///
/// Heights outside the limits, and those at which some part does not stand, are left out. Never
/// says `heights_complete`. Curves that `known` holds are not walked again; new ones are kept there. Where each
/// curve takes a search, fewer heights are looked at once `stop` has cut.
///
/// Where trays turn, what is chosen for a box is what is chosen for the box turned.
pub(crate) fn options_at(
    tray: &TrayNeeds,
    limits: &OptionLimits,
    heights: &[i64],
    known: &Curves,
    stop: &Stop,
) -> Options {
    let frame = Frame::new(tray, Effort::Usual);
    if frame.turns && tray.size.is_none() && limits.most_w < limits.most_d {
        let across = OptionLimits { most_w: limits.most_d, most_d: limits.most_w, ..*limits };
        let mut options = options_at(tray, &across, heights, known, stop);
        options.list.iter_mut().for_each(|o| *o = o.turned());
        options.list.sort_unstable_by_key(|o| (o.h, o.w, o.d));
        return options;
    }
    let mut options = Options {
        exact: frame.exact_throughout(),
        step: frame.step_throughout(),
        all_points: true,
        ..Options::default()
    };
    if tray.size.is_some() {
        return fixed(tray, limits);
    }
    let base = tray.base_steps();
    let Some(least) = tray.least_clear().map(|u| (u + base).max(limits.least_h)) else {
        options.findings.push(nothing(tray));
        options.certain = true;
        return options;
    };
    let mut heights: Vec<i64> =
        heights.iter().map(|&h| h.max(least)).filter(|&h| h <= limits.most_h).collect();
    heights.sort_unstable();
    heights.dedup();
    let hasty = !frame.exact && stop.cut();
    let most_looked = if hasty { LEAST_SEARCHED } else { most_heights(&frame) };
    if !tray.has_soft() && heights.len() > most_looked {
        // Between two heights at which a part gains a way of standing nothing changes.
        let own = tray.breakpoints();
        heights.dedup_by_key(|h| own.partition_point(|u| u + base <= *h));
    }
    options.all_points = heights.len() <= most_looked;
    let heights = sample::spread(heights, most_looked);
    let walls = tray.walls();
    let most = (limits.most_w - walls, limits.most_d - walls);
    let of_tray = known.of(tray);
    let outer = |points: &[Shape], h: i64| -> Vec<Option3> {
        points.iter().map(|&(w, d)| Option3 { w: w + walls, d: d + walls, h }).collect()
    };
    let mut curves: Vec<Vec<Option3>> = heights
        .par_iter()
        .map(|&h| outer(&of_tray.at(h - base, most, || curve_of(&frame, h - base, most).points), h))
        .collect();
    if let (true, Some(&h)) = (curves.iter().all(Vec::is_empty), heights.last()) {
        let whole = |frame: &Frame| frame.exact_throughout() && frame.step_throughout() == 1;
        options.certain = whole(&frame);
        if let (false, Some(finest)) = (options.certain, Frame::finest(tray)) {
            // Rounding to the working step may be all that keeps it out.
            options.certain = whole(&finest);
            let at = |h: i64| outer(&curve_of(&finest, h - base, most).points, h);
            if !at(h).is_empty() {
                curves = heights.iter().map(|h| at(*h)).collect();
                (options.exact, options.step) = (finest.exact_throughout(), finest.step_throughout());
            }
        }
        options.certain |= too_large(tray, h - base, most);
    }
    options.certain |= heights.is_empty();
    let shapes = limits.count.max(8) / heights.len().clamp(1, 25);
    for curve in undominated(curves) {
        let chosen = sample::well_spread(&curve, shapes.max(4), frame.turns);
        options.all_points &= chosen.len() == curve.len();
        options.list.extend(chosen);
    }
    options.list.sort_unstable_by_key(|o| (o.h, o.w, o.d));
    if options.list.is_empty() {
        options.findings.push(nothing(tray));
    }
    options
}

/// Cells of a walk on the real grid around a chosen outline; about 50 ms.
const REFINE_CELLS: u64 = 300_000_000;

/// Further outlines close to a chosen one: the least height of that outline itself, and at that
/// height and its own the neighbouring shapes, up to a sixth wider or narrower; on the real grid
/// where that is affordable, whatever the working step of the options was.
///
/// ```
/// # use traywright::{length::Length, tray::{self, *}};
/// # use traywright::need::{Alternative, Need, Space, Standing};
/// # let block = |w, d, h, turnable| PartNeed::Room(Need::plain(vec![Alternative {
/// #     standing: Standing::Block(1, 1, 1), piles: 1, turnable,
/// #     space: Space::Fixed { w: Length::mm(w), d: Length::mm(d), h: Length::mm(h) },
/// # }]));
/// # use traywright::layout::instance::Option3;
/// # let parts = vec![block(60, 40, 20, false)];
/// # let tray = TrayNeeds { parts, ..TrayNeeds::plain(Length::mm(1), 300) };
/// let limits = OptionLimits { most_w: 300, most_d: 200, least_h: 1, most_h: 90, count: 150 };
/// // Too wide and too high for a block of 60 × 40 × 20; from 80 it is more than a sixth narrower.
/// let near = |w| tray::refine(&tray, Option3 { w, d: 40, h: 30 }, &limits);
/// assert_eq!(near(64), [Option3 { w: 60, d: 40, h: 20 }]);
/// assert_eq!(near(80), [Option3 { w: 80, d: 40, h: 20 }]);
/// ```
pub fn refine(tray: &TrayNeeds, near: Option3, limits: &OptionLimits) -> Vec<Option3> {
    if tray.size.is_some() {
        return fixed(tray, limits).list;
    }
    let (walls, base) = (tray.walls(), tray.base_steps());
    let side = near.w.max(near.d).saturating_mul(6) / 5 - walls;
    let most = ((limits.most_w - walls).min(side), (limits.most_d - walls).min(side));
    let frame = Frame::finest_within(tray, most, REFINE_CELLS);
    let mut heights = vec![near.h];
    let mut out = Vec::new();
    if let Some(u) = least_height(tray, near.w - walls, near.d - walls) {
        let h = (u + base).max(limits.least_h);
        if h <= near.h {
            out.push(Option3 { h, ..near });
        }
        if h < near.h {
            heights.push(h);
        }
    }
    let curves: Vec<Vec<Option3>> = heights
        .par_iter()
        .map(|&h| {
            let close = |o: &Option3| {
                let within = |a: i64, b: i64| a * 6 >= b * 5 && a * 5 <= b * 6;
                (within(o.w, near.w) && within(o.d, near.d)) || (within(o.w, near.d) && within(o.d, near.w))
            };
            let points = curve_of(&frame, h - base, most).points;
            points.into_iter().map(|(w, d)| Option3 { w: w + walls, d: d + walls, h }).filter(close).collect()
        })
        .collect();
    let each = (limits.count / heights.len()).max(4);
    for curve in curves {
        out.extend(sample::well_spread(&curve, each, frame.turns));
    }
    out.retain(|o| o.w <= limits.most_w && o.d <= limits.most_d && o.h <= limits.most_h);
    let mut kept: Vec<Option3> = Vec::new();
    out.sort_unstable_by_key(|o| (o.h, o.w, o.d));
    for o in out {
        if !kept.iter().any(|k| k.w <= o.w && k.d <= o.d) {
            kept.push(o);
        }
    }
    kept
}

/// Drops outlines that serve at a lower height already; curves come with heights ascending.
fn undominated(curves: Vec<Vec<Option3>>) -> Vec<Vec<Option3>> {
    let mut below: Vec<(i64, i64)> = Vec::new();
    let mut out = Vec::with_capacity(curves.len());
    for curve in curves {
        // `below` is a staircase: widths ascend, depths descend.
        let serves = |o: &Option3| {
            let at = below.partition_point(|&(w, _)| w <= o.w);
            at.checked_sub(1).and_then(|i| below.get(i)).is_some_and(|&(_, d)| d <= o.d)
        };
        let new: Vec<Option3> = curve.into_iter().filter(|o| !serves(o)).collect();
        below.extend(new.iter().map(|o| (o.w, o.d)));
        below = super::frame::pareto(below);
        out.push(new);
    }
    out
}

/// The outline that the maker fixed, both ways round where the contents may be turned.
fn fixed(tray: &TrayNeeds, limits: &OptionLimits) -> Options {
    let frame = Frame::new(tray, Effort::Usual);
    let mut options = Options {
        exact: frame.exact_throughout(),
        heights_complete: true,
        all_points: true,
        step: frame.step_throughout(),
        ..Options::default()
    };
    let Some(size) = tray.size else { return options };
    let inner = |outer: crate::length::Length| (outer - tray.wall * 2).steps_down(tray.grid);
    let u = (size.h - tray.base - tray.headroom).steps_down(tray.grid);
    let (w, d) = (inner(size.w), inner(size.d));
    if super::slice(tray, u, w, d).is_none() {
        let finest = Frame::finest(tray).is_some_and(|f| f.exact_throughout() && f.step_throughout() == 1);
        options.certain = finest || too_large(tray, u, (w, d));
        options.findings.push(
            Finding::new(
                "T002",
                Severity::Fault,
                format!("the compartments do not fit into a tray of {} × {} × {}", size.w, size.d, size.h),
                "Make the tray larger, leave its size open, or move a part to another tray.",
            )
            .about(format!("tray \"{}\" › size", tray.name)),
        );
        return options;
    }
    let up = |len: crate::length::Length| len.steps_up(tray.grid);
    let own = Option3 { w: up(size.w), d: up(size.d), h: up(size.h) };
    options.list.push(own);
    if frame.turns && own.w != own.d {
        options.list.push(Option3 { w: own.d, d: own.w, h: own.h });
    }
    options.list.retain(|o| o.w <= limits.most_w && o.d <= limits.most_d && o.h <= limits.most_h);
    options.list.sort_unstable_by_key(|o| (o.h, o.w, o.d));
    if options.list.is_empty() {
        options.findings.push(nothing(tray));
        options.certain = true;
    }
    options
}

/// Whether no arrangement can go into this inner size, by areas alone.
fn too_large(tray: &TrayNeeds, u: i64, (w, d): Shape) -> bool {
    let t = tray.divider;
    let room = (w + t).max(0).saturating_mul((d + t).max(0));
    super::bound::inner_bound(tray, u).is_none_or(|least| least > room)
}

fn nothing(tray: &TrayNeeds) -> Finding {
    Finding::new(
        "T001",
        Severity::Fault,
        "no outline of this tray that holds all its parts fits into the box",
        "Split it into two trays, allow more ways of standing, or use thinner stock.",
    )
    .about(format!("tray \"{}\"", tray.name))
}

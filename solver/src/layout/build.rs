//! A job as a placement problem: everything onto the grid, rounded so that no answer is too small.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex};

use super::instance::{Access, CoverPlace, HeldAt, Instance, KeptItem, Option3, Rims, Top, TrayItem};
use super::mass::most_mass;
use super::oversize::named;
use super::pack::Rect;
use super::slab::{Slab, least_slab, slab};
use crate::finding::{Finding, Severity};
use crate::job::{AccessOrder, Cover, HeightRule, Held, Job, Kept, Millionths, Tray, Turn, Use, outline};
use crate::length::Length;
use crate::place::{Cuboid, Point, Size};
use crate::stop::Stop;
use crate::tray::{Curves, OptionLimits, TrayNeeds, needs, options_at, place, slice};

/// Rungs of the even part of the ladder of heights, for poured contents.
const RUNGS: i64 = 32;
/// The key that limits trays to what can be cut.
const SHEETS: &str = "stock.sheets";
/// Outlines kept per tray.
const OUTLINES: usize = 150;

/// A placement problem and where its bodies come from.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\ncount = 2\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # use traywright::layout::build::build;
/// // One tray of the job, two alike in the box: copies count from 1, alike ones are one kind.
/// let built = build(&job, &job.trays).unwrap();
/// assert_eq!((built.needs.len(), &built.trays[..]), (1, &[(0, 1), (0, 2)][..]));
/// let [one, two] = &built.instance.trays[..] else { panic!() };
/// assert_eq!((one.name.as_str(), two.kind), ("mail #1", one.kind));
/// ```
#[derive(Clone, Debug)]
pub struct Built {
    /// The problem.
    pub instance: Instance,
    /// Cover items in their slab.
    pub slab: Slab,
    /// Which of the job's cover items these are.
    pub lying: Vec<usize>,
    /// Needs of each tray of the list it was built from.
    pub needs: Vec<Arc<TrayNeeds>>,
    /// Per tray of the instance: index into that list, and the number of the copy from 1.
    pub trays: Vec<(usize, usize)>,
    /// Per kept item of the instance: index into the job's, and the number of the copy from 1.
    pub kept: Vec<(usize, usize)>,
    /// Use of each tray of that list.
    pub uses: Vec<Use>,
    /// Whether every shape curve is exact.
    pub exact: bool,
    /// Whether the candidate heights are all that can matter.
    pub all_heights: bool,
    /// Whether there were too many heights for so many layers.
    pub(crate) thinned: bool,
}

/// What is done about cover items that may sink into the trays under them.
///
/// ```
/// # use traywright::layout::build::Sinking;
/// // Usually everything lies over the top layer, and no tray keeps headroom.
/// let usual = Sinking::default();
/// assert!(!usual.sunk && usual.headroom.first().is_none());
/// ```
#[derive(Clone, Debug, Default)]
pub struct Sinking {
    /// They take no height over the top layer.
    pub sunk: bool,
    /// Kept free under the rim of each tray of the list; what the list is too short for has none.
    pub headroom: Vec<Length>,
}

/// Builds the placement problem of a job with these trays (its own, and those made for free parts), all cover items
/// in the slab.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let read = |changes: &[(String, String)]| {
/// #     job::read(brief, "b.toml", Format::Toml, None, changes).unwrap()
/// # };
/// # use traywright::layout::build::build;
/// let of = |interior: &str| {
///     let job = read(&[("box.interior".into(), interior.into())]);
///     build(&job, &job.trays).map(|b| b.instance.width).map_err(|f| f[0].code)
/// };
/// assert_eq!(of("[120.9, 90, 40]"), Ok(120)); // rounded down to the grid of 1 mm
/// assert_eq!(of("[30, 30, 20]"), Err("T001")); // too small for the tray
/// ```
///
/// # Errors
/// Findings about bodies that cannot be in the box in any way.
pub fn build(job: &Job, trays: &[Tray]) -> Result<Built, Vec<Finding>> {
    build_sinking(job, trays, &Sinking::default(), &Curves::default(), &Stop::never())
}

/// [`build`] with those cover items that may sink left out of the slab, and headroom for them; curves that `known`
/// holds are not walked again, and large trays are sized at fewer heights once `stop` has cut.
///
/// # Errors
/// As of [`build`].
pub(crate) fn build_sinking(
    job: &Job,
    trays: &[Tray],
    sinking: &Sinking,
    known: &Curves,
    stop: &Stop,
) -> Result<Built, Vec<Finding>> {
    let g = job.grid;
    let interior = job.container.interior;
    let mut findings = Vec::new();
    let lying: Vec<usize> = (0..job.cover.len()).filter(|&c| !(sinking.sunk && job.cover[c].sink)).collect();
    let covers_lying: Vec<Cover> = lying.iter().map(|&c| job.cover[c].clone()).collect();
    let slab = slab(&covers_lying, interior.w, interior.d).unwrap_or_else(|| {
        findings.push(Finding::new(
            "L001",
            Severity::Fault,
            "a cover item is wider or deeper than the box",
            "leave it out, or choose a larger box",
        ));
        Slab::default()
    });
    let height = (interior.h - job.container.lid_room - slab.height - rests(job)).steps_down(g);
    if height <= 0 {
        findings.push(Finding::new(
            "L002",
            Severity::Fault,
            format!(
                "lid room and cover items leave no height for trays ({} are {} high)",
                "cover items", slab.height
            ),
            "take a cover item out, or choose a higher box",
        ));
    }
    let (width, depth) = (interior.w.steps_down(g), interior.d.steps_down(g));
    let side = job.container.side.steps_up(g);
    let mut built = Built {
        instance: Instance {
            width,
            depth,
            height,
            between: job.container.between.steps_up(g),
            side,
            most_layers: job.layers.most.max(1),
            height_rules: rules(job, height),
            trays: Vec::new(),
            kept: Vec::new(),
            cover: covers(&slab, g),
            access: Access::Lifts,
            blocked: Vec::new(),
            rims: None,
        },
        slab,
        lying,
        needs: Vec::new(),
        trays: Vec::new(),
        kept: Vec::new(),
        uses: trays.iter().map(|t| t.usage).collect(),
        exact: true,
        all_heights: true,
        thinned: false,
    };
    let headroom = |i: usize| sinking.headroom.get(i).copied().unwrap_or_default();
    let own = |(i, tray): (usize, &Tray)| Arc::new(TrayNeeds { headroom: headroom(i), ..needs(job, tray) });
    built.needs = trays.iter().enumerate().map(own).collect();
    let (ladder, whole) = shared_heights(&built.needs, height, job.layers.most);
    (built.all_heights, built.thinned) = (whole, !whole);
    let wished = job.wishes.largest_tray.map(|(w, d)| ("wishes.largest_tray", vec![(w, d), (d, w)]));
    let on_sheets = outline::on_sheets(job).map(|all| (SHEETS, all));
    let limited: Vec<(&str, Vec<(Length, Length)>)> = wished.into_iter().chain(on_sheets).collect();
    for (i, tray) in trays.iter().enumerate() {
        let own = built.needs[i].clone();
        let limits = OptionLimits {
            most_w: width - 2 * side,
            most_d: depth - 2 * side,
            least_h: 1,
            most_h: height,
            count: OUTLINES,
        };
        let least = own.least_clear().map_or(1, |u| u + own.base_steps());
        let fitting: Vec<i64> = ladder.iter().copied().filter(|h| *h >= least).collect();
        let found = options_at(&own, &limits, &fitting, known, stop);
        let mut list = found.list;
        let mut refused_by = None;
        let sized = |o: &Option3| tray_size(tray.size, *o, Size { w: g * o.w, d: g * o.d, h: g * o.h }, g);
        for (limit, allowed) in &limited {
            let before = list.len();
            list.retain(|o| outline::takes(Some(allowed), sized(o).w, sized(o).d));
            refused_by = refused_by.or(Some(*limit).filter(|_| before > 0 && list.is_empty()));
        }
        if let Some(most) = job.wishes.most_mass {
            let before = list.len();
            list.retain(|o| most_mass(job, tray, &own, *o) <= most);
            // Masses are counted from above: one that was left out may be light enough.
            built.all_heights &= list.len() == before;
            refused_by = refused_by.or(Some("wishes.most_mass").filter(|_| before > 0 && list.is_empty()));
        }
        if let Some(limit) = refused_by {
            findings.push(refused(&tray.name, limit));
        } else if list.is_empty() {
            // Faults of a tray are told as certain ones.
            let faults = found.findings.iter().filter(|f| f.severity == Severity::Fault);
            findings.extend(faults.filter(|_| found.certain).map(|f| named(job, tray, &own, &limits, f)));
            findings.push(Finding::new(
                "L003",
                Severity::Fault,
                format!(
                    "tray \"{}\" cannot hold its parts within the box in any arrangement that was tried",
                    tray.name
                ),
                "move a part to another tray, allow another way of standing, or choose a larger box",
            ));
        }
        // On a coarser step arrangements may be missing that the grid has.
        built.exact &= found.exact && found.step == 1;
        built.all_heights &= found.all_points && !own.has_soft();
        for copy in 1..=tray.count {
            built.instance.trays.push(TrayItem {
                name: copy_name(&tray.name, copy, tray.count),
                kind: i,
                options: list.clone(),
                span: tray.span.max(1),
                low: tray.low,
                fixed: tray.size.is_some(),
                lid: tray.lid,
                held: held(tray.held, g),
                weight: lift_weight(job, tray.usage),
            });
            built.trays.push((i, copy));
        }
    }
    for (k, item) in job.kept.iter().enumerate() {
        let turns = turns(item, &built.instance, g);
        if turns.is_empty() {
            findings.push(Finding::new(
                "L004",
                Severity::Fault,
                format!("kept item \"{}\" does not fit the box in any allowed turn", item.name),
                "allow it to be turned, leave it out, or choose a larger box",
            ));
        }
        for copy in 1..=item.count {
            built.instance.kept.push(KeptItem {
                name: copy_name(&item.name, copy, item.count),
                kind: k,
                turns: turns.clone(),
                held: held(item.held, g),
            });
            built.kept.push((k, copy));
        }
    }
    if findings.is_empty() {
        built.instance.rims = Some(rims(job, trays, &built));
        Ok(built)
    } else {
        Err(findings)
    }
}

/// That a tray would fit the box, but not this limit.
fn refused(tray: &str, limit: &str) -> Finding {
    let (keeps, remedy) = if limit == SHEETS {
        (format!("can be cut from the sheets of `{SHEETS}`"), format!("name a larger sheet in `{SHEETS}`"))
    } else {
        (format!("keeps to the wish `{limit}`"), format!("ask for less with `{limit}`"))
    };
    let cause = format!("tray \"{tray}\" would fit the box, but no arrangement that was tried {keeps}");
    Finding::new("L003", Severity::Fault, cause, format!("{remedy}, or move a part to another tray"))
}

/// Fixed heights that are no whole number of steps are searched a step lower; their rests are kept free.
fn rests(job: &Job) -> Length {
    let rest = |r: &HeightRule| match r {
        HeightRule::Fixed(h) => *h - job.grid * h.steps_down(job.grid),
        HeightRule::Open | HeightRule::Range(..) => Length::ZERO,
    };
    job.layers.heights.iter().map(rest).sum()
}

/// Whether no layers can have more room than they are given: the slab is as low as any, and nothing is kept free.
pub(crate) fn room_is_certain(job: &Job, sinking: &Sinking) -> bool {
    let lying: Vec<Cover> = job.cover.iter().filter(|c| !(sinking.sunk && c.sink)).cloned().collect();
    let Size { w, d, .. } = job.container.interior;
    slab(&lying, w, d).is_some_and(|slab| slab.height <= least_slab(&lying, w, d))
        && rests(job) == Length::ZERO
}

/// Outer heights at which every tray is sized, and whether they are all at which some tray's needs change.
///
/// All trays share one ladder, so that few layer heights make many profiles: where there are more than can be
/// combined for so many layers, those go whose next higher neighbour is relatively nearest.
fn shared_heights(needs: &[Arc<TrayNeeds>], height: i64, layers: usize) -> (Vec<i64>, bool) {
    let mut heights = worth_sizing(needs, height);
    let most = match layers {
        0..=2 => 64,
        3 => 40,
        4 => 20,
        5 => 13,
        _ => 10,
    };
    let whole = heights.len() <= most;
    while heights.len() > most {
        // In millionths of the lower height.
        let gap = |i: &usize| (heights[i + 1] - heights[*i]) * 1_000_000 / heights[*i].max(1);
        let nearest = (0..heights.len() - 1).min_by_key(gap).unwrap_or(0);
        heights.remove(nearest);
    }
    (heights, whole)
}

/// Outer heights up to this one at which some tray's needs change, those of poured parts at even steps; ascending.
pub(crate) fn worth_sizing(needs: &[Arc<TrayNeeds>], height: i64) -> Vec<i64> {
    let breaks = needs.iter().flat_map(|n| n.breakpoints().into_iter().map(|u| u + n.base_steps()));
    let mut all: BTreeSet<i64> = breaks.filter(|h| *h <= height).collect();
    if needs.iter().any(|n| n.has_soft()) {
        let rung = (height / RUNGS).max(1);
        all.extend((1..=RUNGS).map(|i| i * rung).chain([height]));
    }
    all.into_iter().collect()
}

/// A name as lifts tell it: with the number of the copy where there are several.
pub(crate) fn copy_name(name: &str, copy: usize, count: usize) -> String {
    if count > 1 { format!("{name} #{copy}") } else { name.to_string() }
}

/// What one lift costs by the job's wishes, in nm³: a share of the box, rounded down to whole cubed steps of the search, so
/// that what is cheaper on the grid is cheaper in exact lengths too.
pub(crate) fn lift_nm3(job: &Job, usage: Use) -> i128 {
    let step = i128::from(job.grid.nm()).pow(3).max(1);
    let exact = job.container.interior.volume().nm3() * i128::from(share(job, usage)) / 1_000_000;
    exact / step * step
}

fn share(job: &Job, usage: Use) -> Millionths {
    match usage {
        Use::Always => job.wishes.access_always,
        Use::Setup => job.wishes.access_setup,
        Use::Seldom => job.wishes.access_seldom,
    }
}

/// The weight that the search works with: the lift's cost, or with access strictly first or last a multiple that
/// outweighs the whole box, or a trifle that only decides between equals.
pub(crate) fn lift_weight(job: &Job, usage: Use) -> i64 {
    let step = i128::from(job.grid.nm()).pow(3);
    let weight = match job.wishes.access_order {
        AccessOrder::Together => lift_nm3(job, usage) / step,
        AccessOrder::First => {
            let all = [Use::Always, Use::Setup, Use::Seldom].map(|u| share(job, u));
            let least = all.into_iter().filter(|s| *s > 0).min().unwrap_or(1);
            job.container.interior.volume().nm3() / step * i128::from(share(job, usage)) / i128::from(least)
        }
        AccessOrder::Last => {
            i128::from(share(job, usage)).div_euclid(5_000).max(i128::from(share(job, usage) > 0))
        }
    };
    // Access strictly first needs no more than to outweigh the rest; all lifts together stay far from the ends of 64 bits.
    let trays: usize = job.trays.iter().map(|t| t.count).sum::<usize>() + job.free.len();
    let bodies = trays + job.kept.iter().map(|k| k.count).sum::<usize>() + job.cover.len();
    let most = (1i64 << 52) / ((trays.max(1) * bodies.max(1)) as i64);
    i64::try_from(weight).unwrap_or(i64::MAX).min(most.max(1))
}

/// Whether the search counts lifts at less than they are worth, which it does where they would be too large a number.
pub(crate) fn lifts_are_cut(job: &Job) -> bool {
    let step = i128::from(job.grid.nm()).pow(3);
    let cut = |usage| i128::from(lift_weight(job, usage)) < lift_nm3(job, usage) / step;
    [Use::Always, Use::Setup, Use::Seldom].into_iter().any(cut)
}

fn rules(job: &Job, height: i64) -> Vec<(i64, i64)> {
    let g = job.grid;
    job.layers
        .heights
        .iter()
        .map(|r| match *r {
            HeightRule::Open => (1, height),
            HeightRule::Range(least, most) => (least.steps_up(g).max(1), most.steps_down(g)),
            HeightRule::Fixed(h) => (h.steps_down(g), h.steps_down(g)),
        })
        .collect()
}

fn held(held: Option<Held>, g: Length) -> HeldAt {
    match held {
        None => HeldAt::Free,
        Some(Held::Layer(l)) => HeldAt::Layer(l),
        Some(Held::At(p)) => HeldAt::Point(p.x.steps_down(g), p.y.steps_down(g), p.z.steps_down(g)),
    }
}

/// Ways a kept item may stand, rounded up, those that fit the box.
fn turns(item: &Kept, instance: &Instance, g: Length) -> Vec<Option3> {
    let Size { w, d, h } = item.size;
    let all: &[[Length; 3]] = match item.turn {
        Turn::None => &[[w, d, h]],
        Turn::Upright => &[[w, d, h], [d, w, h]],
        Turn::Any => &[[w, d, h], [d, w, h], [w, h, d], [h, w, d], [d, h, w], [h, d, w]],
    };
    let mut out: Vec<Option3> = all
        .iter()
        .map(|[w, d, h]| Option3 { w: w.steps_up(g), d: d.steps_up(g), h: h.steps_up(g) })
        .filter(|o| o.w <= instance.width && o.d <= instance.depth && o.h <= instance.height)
        .collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// Cover items as seen from above, by levels of their slab.
fn covers(slab: &Slab, g: Length) -> Vec<CoverPlace> {
    let levels: BTreeSet<Length> = slab.places.iter().map(|c| c.at.z).collect();
    let level = |z: Length| levels.iter().take_while(|l| **l < z).count();
    slab.places.iter().map(|c| CoverPlace { rect: grid_rect(*c, g), level: level(c.at.z) }).collect()
}

/// The least grid rectangle around an exact outline.
pub(crate) fn grid_rect(c: Cuboid, g: Length) -> Rect {
    let (x, y) = (c.at.x.steps_down(g), c.at.y.steps_down(g));
    Rect { x, y, w: c.far().x.steps_up(g) - x, d: c.far().y.steps_up(g) - y }
}

/// Tops by tray of the list and outline.
type KnownTops = BTreeMap<(usize, Option3), Top>;

/// Rims and full-height dividers of each outline, worked out when first asked for, and true sizes; in nanometres.
fn rims(job: &Job, trays: &[Tray], built: &Built) -> Rims {
    let needs = built.needs.clone();
    let kinds: Vec<usize> = built.trays.iter().map(|(i, _)| *i).collect();
    let fixed: Vec<Option<Size>> = trays.iter().map(|t| t.size).collect();
    let known: Mutex<KnownTops> = Mutex::default();
    let top = move |tray: usize, option: Option3| {
        let key = (kinds[tray], option);
        let seen = known.lock().map(|k| k.get(&key).cloned()).unwrap_or_default();
        seen.unwrap_or_else(|| {
            let top = top(&needs[key.0], fixed[key.0], option);
            if let Ok(mut k) = known.lock() {
                k.insert(key, top.clone());
            }
            top
        })
    };
    let true_size = |k: usize, turn: &Option3| {
        kept_size(&job.kept[built.kept[k].0], *turn, job.grid).map_or((0, 0), |s| (s.w.nm(), s.d.nm()))
    };
    let kept = built.instance.kept.iter().enumerate();
    let kept = kept.map(|(k, item)| item.turns.iter().map(|t| true_size(k, t)).collect()).collect();
    Rims { per_step: job.grid.nm(), top: Arc::new(top), kept }
}

/// The exact size of a kept item in a turn: the first whose steps are those of the turn.
pub(crate) fn kept_size(item: &Kept, turn: Option3, g: Length) -> Option<Size> {
    let Size { w, d, h } = item.size;
    [[w, d, h], [d, w, h], [w, h, d], [h, w, d], [d, h, w], [h, d, w]]
        .into_iter()
        .map(Size::from)
        .find(|s| (s.w.steps_up(g), s.d.steps_up(g), s.h.steps_up(g)) == (turn.w, turn.d, turn.h))
}

/// The outer size of a tray with an outline of the search: its own where it is fixed, either way round.
pub(crate) fn tray_size(fixed: Option<Size>, option: Option3, outer: Size, g: Length) -> Size {
    match fixed {
        // The grid outline covers it.
        Some(fixed) if fixed.w.steps_up(g) == option.w => Size { h: outer.h, ..fixed },
        Some(fixed) => Size { h: outer.h, ..fixed.turned() },
        None => outer,
    }
}

fn top(needs: &TrayNeeds, fixed: Option<Size>, o: Option3) -> Top {
    let (g, t) = (needs.grid, needs.wall);
    let clear = o.h - needs.base_steps();
    let size = tray_size(fixed, o, Size { w: g * o.w, d: g * o.d, h: g * o.h }, g);
    let (w, d, wall) = (size.w.nm(), size.d.nm(), t.nm());
    let mut places = vec![
        Rect { x: 0, y: 0, w, d: wall },
        Rect { x: 0, y: d - wall, w, d: wall },
        Rect { x: 0, y: 0, w: wall, d },
        Rect { x: w - wall, y: 0, w: wall, d },
    ];
    if needs.divider_height.is_none()
        && let Some(cut) = slice(needs, clear, o.w - needs.walls(), o.d - needs.walls())
    {
        let inner = Cuboid {
            at: Point { x: t, y: t, z: needs.floor },
            size: Size { w: size.w - t * 2, d: size.d - t * 2, h: g * clear },
        };
        let dividers = place(needs, &cut, inner).map(|p| p.dividers).unwrap_or_default();
        places.extend(dividers.iter().map(|c| Rect {
            x: c.at.x.nm(),
            y: c.at.y.nm(),
            w: c.size.w.nm(),
            d: c.size.d.nm(),
        }));
    }
    Top { size: (w, d), places: places.into() }
}

//! What rounding to the grid may cost: nothing is called impossible for that alone.

use crate::job::{Contents, HeightRule, Held, Job, Part, Tray};
use crate::length::Length;
use crate::need::{self, Space};

/// The job in a box with room for everything that is rounded up; `None` where nothing is, because every length is a whole
/// number of steps.
///
/// Bodies stand in rows: each tray may lose a step at its two walls and one at each compartment and divider, and a kept item one,
/// so that a box as much larger as all of them together holds the rounded bodies wherever it holds the true ones. Nothing is
/// held at a point there, and layers of a given height may be as much higher as rounding makes what stands in them.
pub(super) fn rounded_down(job: &Job) -> Option<Job> {
    if on_grid(job) {
        return None;
    }
    let trays: i64 = job.trays.iter().map(|t| t.count as i64 * (steps(t) + 1)).sum();
    let free: i64 = job.free.iter().map(|f| part_steps(&f.part) + 3).sum();
    let kept: i64 = job.kept.iter().map(|k| 2 * k.count as i64).sum();
    let nested = job.trays.iter().map(depth).max().unwrap_or(0);
    let layers = job.layers.most.max(1) as i64;
    let wide = job.grid * (trays + free + kept + 3);
    // Of whole heights only those of poured parts are rounded, a step in each layer.
    let (rise, rest) = match heights_on_grid(job) {
        true => (i64::from(all_parts(job).into_iter().any(poured)), 0),
        false => (2 * nested + 4, job.cover.len() as i64 + kept + 2),
    };
    let (rise, high) = (job.grid * rise, job.grid * (layers * rise + rest));
    let mut larger = job.clone();
    for rule in &mut larger.layers.heights {
        *rule = match *rule {
            HeightRule::Open => HeightRule::Open,
            HeightRule::Fixed(h) => HeightRule::Range(h, h + rise),
            HeightRule::Range(least, most) => HeightRule::Range(least, most + rise),
        };
    }
    // At a point that is given, what is rounded up may meet its neighbour.
    let loose = |held: &mut Option<Held>| *held = held.filter(|h| !matches!(h, Held::At(_)));
    larger.trays.iter_mut().for_each(|t| loose(&mut t.held));
    larger.kept.iter_mut().for_each(|k| loose(&mut k.held));
    larger.wishes.largest_tray = job.wishes.largest_tray.map(|(w, d)| (w + wide, d + wide));
    let stocks = [Some(&mut larger.stock), larger.floor_stock.as_mut()];
    for sheet in stocks.into_iter().flatten().flat_map(|s| &mut s.sheets) {
        sheet.size.w += wide;
        sheet.size.d += wide;
    }
    larger.container.interior.w += wide;
    larger.container.interior.d += wide;
    larger.container.interior.h += high;
    Some(larger)
}

/// Whether every length in play is a whole number of steps.
fn on_grid(job: &Job) -> bool {
    let whole = |l: Length| l == job.grid * l.steps_down(job.grid);
    let size = |s: crate::place::Size| [s.w, s.d, s.h].into_iter().all(whole);
    let box_ = &job.container;
    let lengths = [box_.lid_room, box_.between, box_.side, job.stock.thickness, job.floor, job.divider];
    size(box_.interior)
        && lengths.into_iter().all(whole)
        && heights_on_grid(job)
        && job.cover.iter().all(|c| size(c.size))
        && job.kept.iter().all(|k| size(k.size))
        && job
            .trays
            .iter()
            .all(|t| t.size.is_none_or(size) && t.parts.iter().all(|p| part_on_grid(p, &whole)))
        && job.free.iter().all(|f| part_on_grid(&f.part, &whole))
        && job.trays.iter().map(|t| t.held).chain(job.kept.iter().map(|k| k.held)).all(|h| match h {
            Some(Held::At(at)) => [at.x, at.y, at.z].into_iter().all(whole),
            _ => true,
        })
}

/// Whether every height in play is a whole number of steps, but for those that poured parts leave open.
fn heights_on_grid(job: &Job) -> bool {
    let whole = |l: Length| l == job.grid * l.steps_down(job.grid);
    let fixed = |r: &HeightRule| match *r {
        HeightRule::Open => true,
        HeightRule::Fixed(h) => whole(h),
        HeightRule::Range(a, b) => whole(a) && whole(b),
    };
    let heights = |part: &Part| need::of(part).alternatives.iter().all(|a| whole(a.space.least_height()));
    all_parts(job).into_iter().all(heights)
        && [job.container.interior.h, job.container.lid_room, job.floor].into_iter().all(whole)
        && job.layers.heights.iter().all(fixed)
        && job.cover.iter().all(|c| whole(c.size.h))
        && job.kept.iter().all(|k| [k.size.w, k.size.d, k.size.h].into_iter().all(whole))
        && job.trays.iter().all(|t| t.size.is_none_or(|s| whole(s.h)))
}

/// Every part that is no tray itself, nested ones too.
fn all_parts(job: &Job) -> Vec<&Part> {
    let mut open: Vec<&Part> =
        job.trays.iter().flat_map(|t| &t.parts).chain(job.free.iter().map(|f| &f.part)).collect();
    let mut all = Vec::new();
    while let Some(part) = open.pop() {
        match &part.contents {
            Contents::Tray(own) => open.extend(&own.parts),
            _ => all.push(part),
        }
    }
    all
}

fn poured(part: &Part) -> bool {
    need::of(part).alternatives.iter().any(|a| matches!(a.space, Space::Soft { .. }))
}

fn part_on_grid(part: &Part, whole: &impl Fn(Length) -> bool) -> bool {
    match &part.contents {
        Contents::Tray(own) => own.parts.iter().all(|p| part_on_grid(p, whole)),
        _ => need::of(part).alternatives.iter().all(|a| match a.space {
            Space::Fixed { w, d, h } => [w, d, h].into_iter().all(whole),
            // Poured parts take any proportions.
            Space::Soft { .. } => false,
        }),
    }
}

/// Steps that rounding may add to a side of a tray: at its walls, and at each compartment and divider.
fn steps(tray: &Tray) -> i64 {
    2 + tray.parts.iter().map(part_steps).sum::<i64>()
}

fn part_steps(part: &Part) -> i64 {
    match &part.contents {
        Contents::Tray(own) => 3 + steps(own),
        _ => 2,
    }
}

/// How deep trays are nested in this one.
fn depth(tray: &Tray) -> i64 {
    let own = |p: &Part| match &p.contents {
        Contents::Tray(own) => 1 + depth(own),
        _ => 0,
    };
    tray.parts.iter().map(own).max().unwrap_or(0)
}

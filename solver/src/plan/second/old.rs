//! What of the old plan can stay: trays and kept items with their old places in steps of the search.

use super::refit::refit;
use crate::job::{HeightRule, Job, Tray, outline};
use crate::layout::build::Built;
use crate::layout::instance::{HeldAt, Option3};
use crate::length::Length;
use crate::place::Point;
use crate::plan::{PlacedTray, Plan};

/// A tray that is there already.
#[derive(Clone, Debug)]
pub(super) struct OldTray {
    /// With what it holds told afresh.
    pub(super) tray: PlacedTray,
    /// Its outline and height in steps.
    pub(super) outline: Option3,
    /// First layer it stands in, from 0, and layers it reaches through.
    pub(super) layer: usize,
    pub(super) span: usize,
    /// Its old least corner in steps, or the nearest one within the box; `None` where there is none for it.
    pub(super) at: Option<(i64, i64)>,
    /// It cannot be exactly where it was.
    pub(super) off: bool,
}

/// A kept item where it was.
#[derive(Clone, Copy, Debug)]
pub(super) struct OldKept {
    /// Index into its turns.
    pub(super) turn: usize,
    /// Layer whose bottom it stands on, from 0.
    pub(super) layer: usize,
    /// Its old least corner in steps.
    pub(super) at: (i64, i64),
}

/// All that can stay.
#[derive(Clone, Debug)]
pub(super) struct Old {
    /// Old heights of layers in steps; `None` where the layer cannot be so high any more.
    pub(super) heights: Vec<Option<i64>>,
    /// Per tray of the instance.
    pub(super) trays: Vec<Result<OldTray, String>>,
    /// Per kept item of the instance.
    pub(super) kept: Vec<Option<OldKept>>,
}

impl Old {
    pub(super) fn of(job: &Job, trays: &[Tray], built: &Built, plan: &Plan) -> Old {
        let heights: Vec<Option<i64>> =
            plan.settled.layers.iter().enumerate().map(|(l, layer)| height(job, l, layer.height)).collect();
        let old_trays = (0..built.trays.len()).map(|i| tray(job, trays, built, plan, &heights, i)).collect();
        let kept = (0..built.kept.len()).map(|k| kept(job, built, plan, k)).collect();
        Old { heights, trays: old_trays, kept }
    }
}

/// A layer's old height in steps, where it is a whole number of them that the brief still allows.
fn height(job: &Job, l: usize, old: Length) -> Option<i64> {
    let whole = |h: Length| (h.steps_up(job.grid) == h.steps_down(job.grid)).then(|| h.steps_down(job.grid));
    match job.layers.heights.get(l) {
        Some(HeightRule::Fixed(h)) => (*h == old).then(|| h.steps_down(job.grid)),
        Some(HeightRule::Range(least, most)) => whole(old).filter(|_| (*least..=*most).contains(&old)),
        Some(HeightRule::Open) | None => whole(old),
    }
}

fn tray(
    job: &Job,
    trays: &[Tray],
    built: &Built,
    plan: &Plan,
    heights: &[Option<i64>],
    i: usize,
) -> Result<OldTray, String> {
    let g = job.grid;
    let (kind, copy) = built.trays.get(i).copied().unwrap_or_default();
    let (Some(rule), Some(needs), Some(item)) =
        (trays.get(kind), built.needs.get(kind), built.instance.trays.get(i))
    else {
        return Err("it is not known".into());
    };
    let placed = plan.settled.trays.iter().find(|t| t.name == rule.name && t.copy == copy);
    let placed = placed.ok_or("it is new")?;
    let tray = refit(rule, needs, placed)?;
    let layer = placed.layers.first().and_then(|l| l.checked_sub(1)).ok_or("it stood in no layer")?;
    let span = placed.layers.len();
    if span > rule.span {
        return Err("it may not reach through so many layers any more".into());
    }
    let reached = heights.get(layer..layer + span).ok_or("it stood in no layer")?;
    let full: Option<i64> = reached.iter().copied().sum();
    let full = full.ok_or("its layer cannot be as high as it was")?;
    let size = placed.size;
    if !outline::takes(outline::allowed(job).as_deref(), size.w, size.d) {
        return Err("it is larger than trays may be now".into());
    }
    let lower = rule.low || rule.size.is_some();
    if !lower && size.h.steps_down(g) < full {
        return Err("it is lower than its layer, and must reach its top now".into());
    }
    let h = if lower { size.h.steps_up(g) } else { full };
    let outline = Option3 { w: size.w.steps_up(g), d: size.d.steps_up(g), h };
    let corner = corner(g, placed.at);
    let at = corner.and_then(|(x, y)| {
        // As near to its old place as the box allows.
        let (w, d, s) = (built.instance.width, built.instance.depth, built.instance.side);
        let (right, back) = (w - s - outline.w, d - s - outline.d);
        let near = (x.min(right).max(s), y.min(back).max(s));
        (right >= s && back >= s && may_stand(item.held, layer, near)).then_some(near)
    });
    Ok(OldTray { tray, outline, layer, span, at, off: at.is_none() || at != corner })
}

fn kept(job: &Job, built: &Built, plan: &Plan, k: usize) -> Option<OldKept> {
    let g = job.grid;
    let (kind, copy) = *built.kept.get(k)?;
    let (rule, item) = (job.kept.get(kind)?, built.instance.kept.get(k)?);
    let body = plan.settled.kept.iter().find(|b| b.name == rule.name && b.copy == copy)?;
    let (w, d, h) = (body.size.w.steps_up(g), body.size.d.steps_up(g), body.size.h.steps_up(g));
    let turn = item.turns.iter().position(|o| (o.w, o.d, o.h) == (w, d, h))?;
    let layers = &plan.settled.layers;
    let top = layers.last().map(|l| l.bottom + l.height);
    let layer = layers
        .iter()
        .position(|l| l.bottom == body.at.z)
        .or_else(|| (top == Some(body.at.z)).then_some(layers.len()))?;
    let at = corner(g, body.at)?;
    let inside =
        at.0 >= 0 && at.1 >= 0 && at.0 + w <= built.instance.width && at.1 + d <= built.instance.depth;
    (inside && may_stand(item.held, layer, at)).then_some(OldKept { turn, layer, at })
}

/// A corner in whole steps.
fn corner(g: Length, at: Point) -> Option<(i64, i64)> {
    let (x, y) = (at.x.steps_down(g), at.y.steps_down(g));
    (g * x == at.x && g * y == at.y).then_some((x, y))
}

fn may_stand(held: HeldAt, layer: usize, at: (i64, i64)) -> bool {
    match held {
        HeldAt::Free => true,
        HeldAt::Layer(l) => l == layer,
        HeldAt::Point(x, y, _) => (x, y) == at,
    }
}

impl Old {
    /// Nothing is there.
    pub(super) fn none() -> Old {
        Old { heights: Vec::new(), trays: Vec::new(), kept: Vec::new() }
    }

    /// Layers in which something cannot stay, or cannot stay where it was.
    pub(super) fn changed(&self, old: &Plan, name: &dyn Fn(usize) -> Option<(String, usize)>) -> Vec<usize> {
        let mut out = Vec::new();
        for (i, one) in self.trays.iter().enumerate() {
            match one {
                Ok(one) if one.off => out.push(one.layer),
                Ok(_) => {}
                Err(_) => {
                    let was = name(i).and_then(|(name, copy)| {
                        old.settled.trays.iter().find(|t| t.name == name && t.copy == copy)
                    });
                    out.extend(was.into_iter().flat_map(|t| &t.layers).filter_map(|l| l.checked_sub(1)));
                }
            }
        }
        out.sort_unstable();
        out.dedup();
        out
    }
}

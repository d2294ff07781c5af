//! One trial: a placement problem in which some of the old trays and kept items stay, searched and checked.

use std::sync::Arc;

use super::old::{Old, OldTray};
use crate::job::{Job, Tray};
use crate::layout::build::Built;
use crate::layout::instance::{Cost, HeldAt, Layout, Option3, Rims, Top};
use crate::layout::pack::Rect;
use crate::layout::search::{Standing, search_while};
use crate::plan::patience::Patience;
use crate::plan::solve::{Searched, finish};
use crate::plan::{Claim, Options, PlacedTray, Plan};

/// How much of an old body a trial keeps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Stay {
    /// Nothing: it is made and placed afresh.
    No,
    /// Its pieces, in the layer it stood in.
    Pieces,
    /// Its place too.
    Place,
}

/// What a trial keeps: trays first, then kept items (which have no pieces, so that `Pieces` leaves them free).
pub(super) type Stays = Vec<Stay>;

/// What trials work from.
pub(super) struct Bench<'a> {
    pub(super) job: &'a Job,
    pub(super) trays: &'a [Tray],
    pub(super) built: &'a Built,
    pub(super) old: &'a Old,
    pub(super) options: &'a Options,
    /// Nodes that trials have spent.
    pub(super) spent: u64,
}

/// A trial that went well.
#[derive(Clone)]
pub(super) struct Kept {
    pub(super) stays: Stays,
    pub(super) heights: Heights,
    pub(super) built: Built,
    pub(super) made: Vec<Option<PlacedTray>>,
    pub(super) layout: Layout,
    pub(super) cost: Cost,
}

/// Heights that layers must have; open where `None`.
pub(super) type Heights = Vec<Option<i64>>;

impl Bench<'_> {
    /// Searches with so much kept until the first plan that passes the checker, or, being `thorough`, as long as the
    /// best plan is worth it.
    pub(super) fn trial(
        &mut self,
        stays: &Stays,
        heights: &Heights,
        nodes: u64,
        thorough: bool,
    ) -> Option<Kept> {
        if self.options.stop.now() || self.collide(stays) {
            return None;
        }
        let (built, made) = self.restricted(stays, heights)?;
        let stop = self.options.stop.share(nodes);
        let mut patience = Patience::default();
        let mut on = |s: Standing| match thorough {
            false => s.value.is_none(),
            true => {
                s.nodes
                    < patience
                        .end(s.value, s.bound, s.nodes)
                        .filter(|_| !self.options.patient)
                        .unwrap_or(nodes)
            }
        };
        let found = search_while(&built.instance, self.options.seed, nodes, &stop, &mut on);
        self.spent += found.nodes;
        let (layout, cost) = found.layout?;
        let kept = Kept { stays: stays.clone(), heights: heights.clone(), built, made, layout, cost };
        self.plan(&kept, None, &mut Claim::none_found(self.job.grid)).map(|_| kept)
    }

    /// The checked plan of a trial; `bound` holds whatever is kept.
    pub(super) fn plan(&self, kept: &Kept, bound: Option<i64>, claim: &mut Claim) -> Option<Plan> {
        let search = Searched {
            layout: &kept.layout,
            cost: kept.cost,
            bound: bound.filter(|b| *b <= kept.cost.value()),
            sunk: false,
            made: &kept.made,
        };
        let plan = finish(self.job, self.trays, &kept.built, &search, claim, self.options).ok()?;
        // A tray that is kept may have no other pieces than before, whatever settling did.
        let same = kept.made.iter().zip(&plan.settled.trays).all(|(old, new)| {
            old.as_ref().is_none_or(|old| old.size == new.size && old.moved(new.at).dividers == new.dividers)
        });
        same.then_some(plan)
    }

    /// Whether two bodies that should keep their places stand too near each other now.
    fn collide(&self, stays: &Stays) -> bool {
        let instance = &self.built.instance;
        let n = instance.trays.len();
        // (outline, first layer, layer after the last, is a tray)
        let mut bodies: Vec<(Rect, usize, usize, bool)> = Vec::new();
        for (b, _) in stays.iter().enumerate().filter(|(_, s)| **s == Stay::Place) {
            if let Some(Ok(OldTray { outline: o, layer, span, at: Some((x, y)), .. })) = self.old.trays.get(b)
            {
                bodies.push((Rect { x: *x, y: *y, w: o.w, d: o.d }, *layer, layer + span, true));
            } else if let Some(Some(old)) = b.checked_sub(n).and_then(|k| self.old.kept.get(k))
                && let Some(o) = instance.kept[b - n].turns.get(old.turn)
            {
                bodies.push((
                    Rect { x: old.at.0, y: old.at.1, w: o.w, d: o.d },
                    old.layer,
                    old.layer + 1,
                    false,
                ));
            }
        }
        bodies.iter().enumerate().any(|(i, a)| {
            bodies[..i].iter().any(|b| {
                let gap = if a.3 || b.3 { instance.between } else { 0 };
                a.1 < b.2 && b.1 < a.2 && a.0.nearer(&b.0, gap)
            })
        })
    }

    /// The problem with so much kept; `None` where that contradicts itself.
    fn restricted(&self, stays: &Stays, heights: &Heights) -> Option<(Built, Vec<Option<PlacedTray>>)> {
        let mut built = self.built.clone();
        let instance = &mut built.instance;
        let n = instance.trays.len();
        let open = (1, instance.height);
        let rules = heights.len().max(instance.height_rules.len());
        instance.height_rules.resize(rules, open);
        for (rule, height) in instance.height_rules.iter_mut().zip(heights) {
            if let Some(h) = height {
                *rule = (*h, *h);
            }
        }
        let bottom = |layer: usize| heights.get(..layer)?.iter().copied().sum::<Option<i64>>();
        let mut made = vec![None; n];
        let mut tops: Vec<Option<Top>> = vec![None; n];
        let mut turned: Vec<(usize, usize)> = Vec::new();
        for (i, item) in instance.trays.iter_mut().enumerate() {
            let stay = stays.get(i).copied().unwrap_or(Stay::No);
            let Some(old) = self.old.trays.get(i).and_then(|o| o.as_ref().ok()).filter(|_| stay > Stay::No)
            else {
                continue;
            };
            item.options = vec![old.outline];
            // It is no copy like others any more.
            item.kind = n + i;
            item.span = old.span;
            match (stay, old.at, item.held) {
                (Stay::Place, Some((x, y)), _) => item.held = HeldAt::Point(x, y, bottom(old.layer)?),
                (_, _, HeldAt::Free) => item.held = HeldAt::Layer(old.layer),
                _ => {}
            }
            tops[i] = Some(top(&old.tray));
            made[i] = Some(old.tray.clone());
        }
        for (k, item) in instance.kept.iter_mut().enumerate() {
            let place = stays.get(n + k) == Some(&Stay::Place);
            let Some(old) = self.old.kept.get(k).copied().flatten().filter(|_| place) else { continue };
            item.turns = item.turns.get(old.turn).copied().into_iter().collect();
            turned.push((k, old.turn));
            item.kind = self.job.kept.len() + k;
            item.held = HeldAt::Point(old.at.0, old.at.1, bottom(old.layer)?);
        }
        let usual = instance.rims.clone()?;
        let mut kept = usual.kept.to_vec();
        for (k, turn) in turned {
            if let Some(sizes) = kept.get_mut(k) {
                *sizes = sizes.get(turn).copied().into_iter().collect();
            }
        }
        instance.rims = Some(Rims {
            per_step: usual.per_step,
            top: Arc::new(move |tray: usize, outline: Option3| {
                tops.get(tray).cloned().flatten().unwrap_or_else(|| (usual.top)(tray, outline))
            }),
            kept: kept.into(),
        });
        Some((built, made))
    }
}

/// What stands on a tray sees of it, in nanometres.
fn top(t: &PlacedTray) -> Top {
    let (w, d, wall) = (t.size.w.nm(), t.size.d.nm(), t.wall.nm());
    let mut places = vec![
        Rect { x: 0, y: 0, w, d: wall },
        Rect { x: 0, y: d - wall, w, d: wall },
        Rect { x: 0, y: 0, w: wall, d },
        Rect { x: w - wall, y: 0, w: wall, d },
    ];
    let rim = t.size.h - t.floor - t.lid;
    places.extend(t.dividers.iter().filter(|x| x.size.h == rim).map(|x| Rect {
        x: (x.at.x - t.at.x).nm(),
        y: (x.at.y - t.at.y).nm(),
        w: x.size.w.nm(),
        d: x.size.d.nm(),
    }));
    Top { size: (w, d), places: places.into() }
}

//! A bound that holds whatever trays the free parts share.
//!
//! In a tray cut by straight dividers, every compartment made wider and deeper by a divider lies apart from the others
//! within the tray's inside made larger by one too. So a part takes at least that area wherever it lies, and the walls
//! around the largest tray take the least share on top.

use std::sync::Arc;

use super::group::alone;
use crate::job::{FreePart, Job, Use, outline};
use crate::layout::bound::area_bound;
use crate::layout::build::{Built, lift_weight, worth_sizing};
use crate::layout::heights::{candidates, complete};
use crate::layout::instance::{HeldAt, Instance, Option3, TrayItem};
use crate::layout::lifts::{covers_over, forced};
use crate::length::{Area, Length};
use crate::need::{self, Alternative, Space};
use crate::tray::{TrayNeeds, needs};

/// What no plan costs less than, whatever trays the free parts share, in cubed grid steps, `None`: nothing fits; and whether
/// that goes for all layer heights.
///
/// Looked at are those of the problem that was searched, and those that any sharing may ask for.
pub(super) fn unshared_bound(job: &Job, built: &Built) -> (Option<i64>, bool) {
    let (heights, complete) = heights(job, built);
    (bound_at(job, built, &heights), complete)
}

fn bound_at(job: &Job, built: &Built, heights: &[i64]) -> Option<i64> {
    let named = named(job, built);
    // What lies over a named tray may be one of the others, of whatever size: only cover items are sure.
    let trays: Vec<TrayItem> = named.trays.iter().map(|t| TrayItem { weight: 0, ..t.clone() }).collect();
    let rooms = Rooms::new(job, &built.instance);
    let parts: Vec<TrayItem> =
        job.free.iter().enumerate().map(|(i, f)| rooms.item(built.uses.len() + i, f, heights)).collect();
    let apart = area_bound(&Instance { trays: trays.clone(), ..named.clone() }, heights)?;
    let least = |item: &TrayItem| item.options.iter().map(|o| o.w * o.d * o.h).min().unwrap_or(0);
    let apart = apart + parts.iter().map(least).sum::<i64>();
    // Parts of one tray have no play between them.
    let all = trays.into_iter().chain(parts.into_iter().filter(|p| !p.options.is_empty())).collect();
    let together = area_bound(&Instance { trays: all, between: 0, ..named.clone() }, heights)?;
    Some(apart.max(together) + forced(&named) + rooms.forced(&built.instance))
}

/// The problem with the trays that the maker named alone.
fn named(job: &Job, built: &Built) -> Instance {
    let named = built.instance.trays.iter().zip(&built.trays).filter(|(_, (k, _))| *k < job.trays.len());
    Instance { trays: named.map(|(t, _)| t.clone()).collect(), ..built.instance.clone() }
}

/// Heights that a layer may have where any parts share a tray, and whether some optimal plan has no others: those of bodies
/// that may be as high as the tray of any free part, so that differences to what reaches through several layers are there too.
fn heights(job: &Job, built: &Built) -> (Vec<i64>, bool) {
    let alone: Vec<Arc<TrayNeeds>> = alone(job).iter().map(|t| Arc::new(needs(job, t))).collect();
    let worth = worth_sizing(&alone, built.instance.height);
    let free = job.free.iter().enumerate().map(|(i, f)| {
        let options = worth.iter().map(|h| Option3 { w: 1, d: 1, h: *h }).collect();
        body(f, built.uses.len() + i, options)
    });
    let mut any = named(job, built);
    any.trays.extend(free);
    let mut all = candidates(&any);
    all.extend(candidates(&built.instance));
    all.extend(worth);
    all.sort_unstable();
    all.dedup();
    let complete = complete(&any, &all);
    (all, complete)
}

/// A free part as a body with these outlines.
fn body(free: &FreePart, kind: usize, options: Vec<Option3>) -> TrayItem {
    TrayItem {
        name: free.part.name.clone(),
        kind,
        options,
        span: 1,
        low: false,
        fixed: false,
        lid: false,
        held: HeldAt::Free,
        weight: 0,
    }
}

/// What parts take in any tray that they may share.
struct Rooms<'a> {
    job: &'a Job,
    /// Thickness of a divider.
    between: Length,
    /// The largest outlines of a tray, each side with the same less both walls and a divider more.
    largest: Vec<[(Length, Length); 2]>,
    /// Thickness of floor and lid together.
    base: Length,
}

impl Rooms<'_> {
    fn new<'a>(job: &'a Job, instance: &Instance) -> Rooms<'a> {
        let lid = if job.container.on_side { job.floor } else { Length::ZERO };
        let side = |whole: i64| job.grid * (whole - 2 * instance.side).max(0);
        let (w, d) = (side(instance.width), side(instance.depth));
        let between = job.divider.min(job.stock.thickness);
        let with_tiled = |o: Length| (o, (o - job.stock.thickness * 2 + between).max(Length::from_nm(1)));
        let allowed = outline::allowed(job).unwrap_or_else(|| vec![(w, d)]);
        let largest = allowed.iter().map(|&(a, b)| [w.min(a), d.min(b)].map(with_tiled)).collect();
        Rooms { job, between, largest, base: job.floor + lid }
    }

    /// A part as a body of its least area at each of these heights at which it has less than before.
    fn item(&self, kind: usize, free: &FreePart, heights: &[i64]) -> TrayItem {
        let need = need::of(&free.part);
        let mut options: Vec<Option3> = Vec::new();
        for &h in heights {
            let clear = self.job.grid * h - self.base;
            let tile = need.alternatives.iter().filter_map(|a| self.tile(a, clear)).min();
            let Some(steps) = tile.map(|t| self.steps(t)) else { continue };
            if options.last().is_none_or(|o| steps < o.w) {
                options.push(Option3 { w: steps, d: 1, h });
            }
        }
        body(free, kind, options)
    }

    /// Least area of a compartment made wider and deeper by a divider, at a clear height.
    fn tile(&self, a: &Alternative, clear: Length) -> Option<Area> {
        if a.space.least_height() > clear || clear <= Length::ZERO {
            return None;
        }
        let t = self.between;
        Some(match a.space {
            Space::Fixed { w, d, .. } => (w + t) * (d + t),
            Space::Soft { volume, side, long, .. } => {
                // No outline of an area is shorter around than a square.
                let area = volume.over_up(clear).nm2().max((side * side.max(long)).nm2());
                let root = Length::from_nm(i64::try_from(area.isqrt()).unwrap_or(i64::MAX));
                Area::from_nm2(area) + (root * 2 + t) * t
            }
        })
    }

    /// With its share of the walls, in whole squared grid steps.
    fn steps(&self, tile: Area) -> i64 {
        let step = i128::from(self.job.grid.nm());
        let walled = |sides: &[(Length, Length); 2]| {
            // In parts of a thousandth of a millionth, so that the product stays far from the ends of 128 bits.
            sides.iter().fold(tile.nm2(), |nm2, (outer, tiled)| {
                let (outer, tiled) = (i128::from(outer.nm()), i128::from(tiled.nm()));
                nm2 * (outer.max(tiled) * 1_000_000_000 / tiled) / 1_000_000_000
            })
        };
        let least = self.largest.iter().map(walled).min().unwrap_or(0);
        i64::try_from(least / (step * step)).unwrap_or(i64::MAX)
    }

    /// What the lifts of cover items cost over the trays of free parts: each use has at least as many as its parts fill.
    fn forced(&self, instance: &Instance) -> i64 {
        let of = |usage: Use| {
            let parts: Vec<&FreePart> = self.job.free.iter().filter(|f| f.usage == usage).collect();
            let tiles = parts.iter().filter_map(|f| {
                let highest = self.job.grid * instance.height - self.base;
                need::of(&f.part).alternatives.iter().filter_map(|a| self.tile(a, highest)).min()
            });
            let room = self.largest.iter().map(|[w, d]| (w.1 * d.1).nm2()).max().unwrap_or(1);
            let taken: i128 = tiles.map(Area::nm2).sum();
            let trays = i64::try_from(-(-taken).div_euclid(room.max(1))).unwrap_or(1).max(1);
            let over: Vec<i64> = parts.iter().map(|f| self.covers_over(instance, f)).collect();
            // One of them holds the part that most covers lie over wherever it is.
            let (Some(least), Some(most)) = (over.iter().min(), over.iter().max()) else { return 0 };
            lift_weight(self.job, usage) * (most + (trays - 1) * least)
        };
        [Use::Always, Use::Setup, Use::Seldom].into_iter().map(of).sum()
    }

    /// How many cover items lie over a part's tray wherever it stands.
    fn covers_over(&self, instance: &Instance, free: &FreePart) -> i64 {
        let walls = self.job.stock.thickness * 2;
        let outline = |a: &Alternative| {
            let (w, d) = match a.space {
                Space::Fixed { w, d, .. } => (w, d),
                Space::Soft { side, long, .. } => (side, side.max(long)),
            };
            let steps = |side: Length| (side + walls).steps_down(self.job.grid);
            Option3 { w: steps(w), d: steps(d), h: 1 }
        };
        let options: Vec<Option3> = need::of(&free.part).alternatives.iter().map(outline).collect();
        let turned: Vec<Option3> = options.iter().map(|o| o.turned()).collect();
        covers_over(instance, &body(free, 0, [options, turned].concat()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::layout::build::build;
    use crate::layout::search::search_while;
    use crate::length::Volume;
    use crate::plan::group::ways;
    use crate::random::Random;
    use crate::stop::Stop;

    /// Poured parts, stacks and solids without a tray, under a cover that lies over most of the box.
    fn thrown(random: &mut Random) -> Job {
        let mut from = |least: usize, most: usize| least + random.below(most - least + 1);
        let mut brief = format!(
            "title = \"thrown\"\nbox.interior = [{}, {}, {}]\nsearch.grid = 1\nlayers.most = {}\n\
             stock = {{ name = \"birch plywood\", thickness = {} }}\n",
            from(90, 140),
            from(70, 110),
            from(40, 70),
            from(1, 2),
            from(1, 4)
        );
        if from(0, 1) > 0 {
            brief += "[[cover]]\nname = \"chart\"\nsize = [85, 65, 3]\n";
        }
        for part in 0..4 {
            let usage = ["always", "setup"][from(0, 3) / 3];
            let contents = match from(0, 2) {
                0 => format!("loose = {{ volume = \"{} ml\" }}", from(5, 60)),
                1 => format!(
                    "stack = {{ face = [{}, {}], height = {} }}",
                    from(20, 45),
                    from(20, 60),
                    from(5, 30)
                ),
                _ => format!("solid = {{ size = [{}, {}, {}] }}", from(10, 40), from(10, 40), from(10, 30)),
            };
            brief += &format!("[[part]]\nname = \"part {part}\"\nuse = \"{usage}\"\n{contents}\n");
        }
        crate::job::read(&brief, "thrown.toml", Format::Toml, None, &[]).unwrap()
    }

    /// Every way of sharing trays: parts in groups, those of a group of one use.
    fn every_way(job: &Job) -> Vec<Vec<crate::job::Tray>> {
        let lone = alone(job);
        let mut all: Vec<Vec<crate::job::Tray>> = vec![Vec::new()];
        for one in &lone {
            let longer = all.iter().flat_map(|way| {
                let own = way.iter().chain([one]).cloned().collect();
                let with = (0..way.len()).filter(|&t| way[t].usage == one.usage).map(|t| {
                    let mut way = way.clone();
                    way[t].parts.extend(one.parts.clone());
                    way
                });
                with.chain([own]).collect::<Vec<_>>()
            });
            all = longer.collect();
        }
        all
    }

    #[test]
    fn no_sharing_costs_less_than_the_bound() {
        let mut random = Random::new(12);
        let (mut plans, mut near, mut nearest) = (0, 0, 100);
        for case in 0..25 {
            let job = thrown(&mut random);
            let Some(built) = ways(&job).iter().find_map(|way| build(&job, way).ok()) else { continue };
            let bound = unshared_bound(&job, &built).0;
            let contents: Volume = job.free.iter().map(|f| need::of(&f.part).contents).sum();
            let held = i64::try_from(contents.nm3() / i128::from(job.grid.nm()).pow(3)).unwrap();
            let mut least = i64::MAX;
            for way in every_way(&job) {
                let Ok(built) = build(&job, &way) else { continue };
                let found = search_while(&built.instance, 1, 2_000, &Stop::never(), &mut |_| true);
                least = least.min(found.layout.map_or(i64::MAX, |l| l.1.value()));
            }
            if least < i64::MAX {
                let bound = bound.unwrap();
                assert!(bound <= least, "case {case}: {bound} > {least}");
                plans += 1;
                near += usize::from(bound > held && 100 * (least - bound) < 20 * least);
                nearest = nearest.min(100 * (least - bound) / least);
            }
        }
        assert!(plans > 15 && near > 10 && nearest < 10, "{plans} {near} {nearest}");
    }
}

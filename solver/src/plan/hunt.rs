//! The search for a layout, and a second one at finer layer heights where the first had to thin them.
//!
//! So many layers of so many heights make too many profiles, so that the more layers are allowed, the fewer heights are
//! looked at. Plans often need fewer layers than are allowed: with the heights that so few layers leave room for there may be
//! a better one.

use std::cell::Cell;

use super::patience::Patience;
use super::solve::{Options, Progress, SIZING_PART};
use crate::job::{Job, Tray};
use crate::layout::build::{Built, Sinking, build_sinking};
use crate::layout::search::{Found, Standing, search_while};
use crate::length::Volume;
use crate::stop::Stop;

/// Part of nodes and time for the first search where another may follow.
const FIRST: (u64, u64) = (11, 20);
/// The same of the nodes where no budget is to be used up: mostly the search ends before by itself.
const FIRST_OPEN: (u64, u64) = (4, 5);
/// After this part of them no other search is begun: it would only take bounds away.
const LAST: (u64, u64) = (17, 20);
/// With as few layers heights are not thinned more than for one.
const FEW: usize = 2;

/// What every search of an attempt is asked with.
pub(super) struct Hunt<'a> {
    pub(super) job: &'a Job,
    pub(super) trays: &'a [Tray],
    pub(super) sinking: &'a Sinking,
    pub(super) options: &'a Options,
    /// Volume of what the trays hold, which no value counts, in millilitres.
    pub(super) held: f64,
}

impl Hunt<'_> {
    /// The best layout met, and the problem that it solves: the one given, or another of fewer layers with more heights. The
    /// bound holds for all that were searched.
    pub(super) fn go(&self, built: Built, progress: &mut dyn FnMut(&Progress)) -> (Built, Found) {
        let most_layers = built.instance.most_layers;
        let (mut found, mut fewer) = self.round(&built, self.job.layers.most, None, progress);
        let mut chosen = built;
        while let Some(layers) = fewer {
            let Some(built) = self.finer(layers) else { break };
            let (other, then) = self.round(&built, layers, Some(&found), progress);
            fewer = then;
            // None says anything of the other's heights.
            found.bound = found.bound.zip(other.bound).map(|(a, b)| a.min(b)).or(found.bound);
            let exact = chosen.exact && built.exact;
            if keep_better(&mut found, &other) {
                chosen = built;
            }
            (chosen.exact, chosen.all_heights) = (exact, false);
        }
        chosen.instance.most_layers = most_layers;
        (chosen, found)
    }

    /// Searches a problem of at most so many layers after another search; with it the layers of its plan, where fewer than
    /// that leave room for more heights.
    fn round(
        &self,
        built: &Built,
        layers: usize,
        before: Option<&Found>,
        progress: &mut dyn FnMut(&Progress),
    ) -> (Found, Option<usize>) {
        let Options { nodes, stop, enough, .. } = self.options;
        let left = nodes.saturating_sub(before.map_or(0, |b| b.nodes));
        if !built.thinned || layers <= FEW || !self.job.layers.heights.is_empty() || *enough {
            return (self.search(built, left, None, before, progress), None);
        }
        let (part, of) = if self.options.patient { FIRST } else { FIRST_OPEN };
        let share = left / of * part;
        let part = stop.part(FIRST.0 as f64 / FIRST.1 as f64);
        let too_late = stop.part(LAST.0 as f64 / LAST.1 as f64);
        let few = Few {
            layers,
            nodes: share,
            part: &part,
            last: (left / LAST.1 * LAST.0, &too_late),
            passed: Cell::new(false),
        };
        let found = self.search(built, left, Some(&few), before, progress);
        let used = found.layout.as_ref().map_or(layers, |l| l.0.heights.len()).max(1);
        let fewer = used < layers && !few.passed.get() && !stop.now();
        (found, fewer.then_some(used))
    }

    /// The problem of at most so many layers.
    fn finer(&self, layers: usize) -> Option<Built> {
        let mut fewer = self.job.clone();
        fewer.layers.most = layers;
        let sizing = self.options.stop.part(SIZING_PART);
        build_sinking(&fewer, self.trays, self.sinking, &self.options.curves, &sizing).ok()
    }

    /// Searches a problem for so many nodes, or until `few` says that there had better be another; tells the better of this
    /// search and of the one before it.
    fn search(
        &self,
        built: &Built,
        nodes: u64,
        few: Option<&Few>,
        before: Option<&Found>,
        progress: &mut dyn FnMut(&Progress),
    ) -> Found {
        let (job, options, held) = (self.job, self.options, self.held);
        let ml = |v: i64| Volume::from_nm3(i128::from(v) * i128::from(job.grid.nm()).pow(3)).to_ml_f64();
        let known = before.and_then(|b| b.layout.as_ref()).map(|l| l.1.value());
        let below = before.map_or(i64::MAX, |b| b.bound.unwrap_or(i64::MAX));
        let mut patience = Patience::default();
        let mut on = |s: Standing| {
            let end = patience.end(s.value, s.bound, s.nodes).filter(|_| !options.patient);
            let end = end.map_or(nodes, |e| e.min(nodes));
            progress(&Progress {
                phase: "arranging layers",
                value_ml: s.value.into_iter().chain(known).min().map(|v| ml(v) - held),
                bound_ml: s.bound.filter(|_| job.free.is_empty()).map(|b| (ml(b.min(below)) - held).max(0.0)),
                done: (end < u64::MAX).then(|| (s.nodes as f64 / end as f64).min(1.0)),
            });
            let enough = options.enough || few.is_some_and(|few| few.enough(&s));
            s.nodes < end && !(enough && s.value.is_some())
        };
        search_while(&built.instance, options.seed, nodes, &options.stop, &mut on)
    }
}

/// When a search for plans of so many layers ends for one of fewer layers at more heights: it is asked once, while enough is
/// left for the other.
struct Few<'a> {
    layers: usize,
    nodes: u64,
    part: &'a Stop,
    /// Nodes and time after which too little is left.
    last: (u64, &'a Stop),
    /// The answer was no: this search goes on to its end.
    passed: Cell<bool>,
}

impl Few<'_> {
    fn enough(&self, s: &Standing) -> bool {
        let asked = s.value.is_some() && (s.nodes >= self.nodes || self.part.late());
        if asked && !self.passed.get() {
            let too_late = s.nodes >= self.last.0 || self.last.1.late();
            self.passed.set(s.layers >= self.layers || too_late);
        }
        asked && !self.passed.get()
    }
}

/// Takes the other layout where it costs less; nodes add up.
fn keep_better(found: &mut Found, other: &Found) -> bool {
    found.nodes += other.nodes;
    let value = |f: &Found| f.layout.as_ref().map_or(i64::MAX, |l| l.1.value());
    let better = value(other) < value(found);
    if better {
        (found.layout, found.bound_by) = (other.layout.clone(), other.bound_by);
    }
    better
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::layout::build::build;

    /// Poured parts where four layers are allowed.
    fn brief(interior: &str) -> String {
        let mut brief = format!(
            "title = \"poured\"\nbox.interior = {interior}\nlayers.most = 4\n\
             stock = {{ name = \"birch plywood\", thickness = 2 }}\n"
        );
        let trays = [("a", "always", 110), ("b", "setup", 150), ("c", "setup", 90), ("d", "always", 60)];
        for (name, usage, ml) in trays {
            brief += &format!(
                "[[tray]]\nname = \"{name}\"\nuse = \"{usage}\"\n[[tray.part]]\n\
                 name = \"{name} beads\"\nloose = {{ volume = \"{ml} ml\" }}\n"
            );
        }
        brief
    }

    #[test]
    fn fewer_layers_than_allowed_have_more_heights_to_choose_from() {
        let options = Options { nodes: 60_000, patient: true, ..Options::default() };
        let sinking = Sinking::default();
        let value = |f: &Found| f.layout.as_ref().map(|l| (l.1.value(), l.0.heights.len()));
        let (mut better, mut plans) = (0, 0);
        for interior in ["[110, 80, 75]", "[95, 95, 83]", "[140, 90, 61]", "[200, 150, 70]"] {
            let read = |most: &str| {
                let most = [("layers.most".to_string(), most.to_string())];
                crate::job::read(&brief(interior), "poured.toml", Format::Toml, None, &most).unwrap()
            };
            let job = read("4");
            let built = build(&job, &job.trays).unwrap();
            assert!(built.thinned);
            let hunt = Hunt { job: &job, trays: &job.trays, sinking: &sinking, options: &options, held: 0.0 };
            let one = hunt.search(&built, options.nodes / 20 * 11, None, None, &mut |_| {});
            let (chosen, found) = hunt.go(built, &mut |_| {});
            let (Some(first), Some(own)) = (value(&one), value(&found)) else { continue };
            assert!(own.0 <= first.0 && found.bound <= Some(own.0), "{interior}: {own:?} {first:?}");
            assert!(chosen.instance.most_layers == 4 && !chosen.all_heights);
            assert!(chosen.instance.feasible(&found.layout.as_ref().unwrap().0).is_ok());
            // As good as when no more layers are allowed, but for what fewer nodes miss.
            let few = read(&own.1.to_string());
            let few = hunt.search(&build(&few, &few.trays).unwrap(), options.nodes, None, None, &mut |_| {});
            let few = value(&few).unwrap_or(own);
            assert!(own.0 <= few.0 + few.0 / 50, "{interior}: {own:?} {few:?} {first:?}");
            plans += 1;
            better += usize::from(own.0 < first.0);
        }
        assert!(plans > 2 && better > 0, "{plans} {better}");
    }
}

//! Shape curves that are known already: jobs that differ in little share most of their trays.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use super::Shape;
use super::needs::TrayNeeds;

/// So many points are kept at most, some megabytes: beyond that all are forgotten, and the next ones kept.
const MOST_POINTS: usize = 200_000;

/// Curves by tray, clear height and greatest size. Clones share what they know.
///
/// What is known changes no result, only the time it takes; a long run does not keep more and more of it.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let mut again = options.clone();
/// let first = plan::solve(&job, &options, &mut |_| {}).plan;
/// again.curves = options.curves.clone(); // knows what the first job asked for
/// assert_eq!(plan::solve(&job, &again, &mut |_| {}).plan, first);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Curves(Arc<Mutex<Known>>);

/// The tray, clear height and greatest inner width and depth, grid steps.
type Key = (Arc<str>, i64, Shape);

#[derive(Debug, Default)]
struct Known {
    curves: BTreeMap<Key, Arc<[Shape]>>,
    points: usize,
}

/// Curves of one tray.
#[derive(Clone, Debug, Default)]
pub(super) struct OfTray {
    tray: Arc<str>,
    all: Curves,
}

impl Curves {
    /// Those of one tray: what a curve depends on is all in its needs.
    pub(super) fn of(&self, tray: &TrayNeeds) -> OfTray {
        OfTray { tray: format!("{tray:?}").into(), all: self.clone() }
    }
}

impl OfTray {
    /// The points of a curve, walked where they are not known yet.
    pub(super) fn at(&self, u: i64, most: Shape, walk: impl FnOnce() -> Vec<Shape>) -> Arc<[Shape]> {
        let key = (self.tray.clone(), u, most);
        let known = self.all.0.lock().ok().and_then(|all| all.curves.get(&key).cloned());
        known.unwrap_or_else(|| {
            let points: Arc<[Shape]> = walk().into();
            if let Ok(mut all) = self.all.0.lock() {
                if all.points > MOST_POINTS {
                    *all = Known::default();
                }
                // The tray's name counts too: it may be longer than its curves.
                all.points += points.len() + 8;
                all.curves.insert(key, points.clone());
            }
            points
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::length::Length;

    #[test]
    fn a_curve_is_walked_once_for_alike_trays_and_again_for_others() {
        let known = Curves::default();
        let plain = |reach| TrayNeeds::plain(Length::mm(1), reach);
        let walks = std::cell::Cell::new(0);
        let ask = |tray: &TrayNeeds, u| {
            known.of(tray).at(u, (9, 9), || {
                walks.set(walks.get() + 1);
                vec![(u, 5)]
            })
        };
        assert_eq!(ask(&plain(40), 3)[..], [(3, 5)]);
        assert_eq!(ask(&plain(40), 3)[..], [(3, 5)]);
        assert_eq!(walks.get(), 1);
        ask(&plain(41), 3);
        ask(&plain(40), 4);
        assert_eq!(walks.get(), 3);
    }

    #[test]
    fn a_long_run_forgets() {
        let known = Curves::default();
        let tray = known.of(&TrayNeeds::plain(Length::mm(1), 40));
        for u in 0..60_000 {
            tray.at(u, (9, 9), || vec![(u, 5)]);
        }
        let all = known.0.lock().unwrap();
        assert!(all.points <= MOST_POINTS + 9 && all.curves.len() < 30_000, "{}", all.points);
    }
}

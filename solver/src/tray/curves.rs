//! Shape curves that are known already: jobs that differ in little share most of their trays.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use super::Shape;
use super::needs::TrayNeeds;

/// Curves by tray, clear height and greatest size. Clones share what they know.
///
/// What is known changes no result, only the time it takes.
#[derive(Clone, Debug, Default)]
pub struct Curves(Arc<Mutex<BTreeMap<String, OfTray>>>);

/// Clear height and greatest inner width and depth, grid steps.
type Key = (i64, Shape);

/// Curves of one tray.
#[derive(Clone, Debug, Default)]
pub(super) struct OfTray(Arc<Mutex<BTreeMap<Key, Arc<[Shape]>>>>);

impl Curves {
    /// Those of one tray: what a curve depends on is all in its needs.
    pub(super) fn of(&self, tray: &TrayNeeds) -> OfTray {
        let Ok(mut all) = self.0.lock() else { return OfTray::default() };
        all.entry(format!("{tray:?}")).or_default().clone()
    }
}

impl OfTray {
    /// The points of a curve, walked where they are not known yet.
    pub(super) fn at(&self, u: i64, most: Shape, walk: impl FnOnce() -> Vec<Shape>) -> Arc<[Shape]> {
        let known = self.0.lock().ok().and_then(|all| all.get(&(u, most)).cloned());
        known.unwrap_or_else(|| {
            let points: Arc<[Shape]> = walk().into();
            if let Ok(mut all) = self.0.lock() {
                all.insert((u, most), points.clone());
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
}

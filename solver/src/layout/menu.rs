//! Which outlines of a tray are worth trying at a height: none that another one fits inside.

use std::collections::BTreeMap;

use super::instance::Instance;

/// Per tray and height, its non-dominated options, widths ascending; filled when first asked for.
#[derive(Debug, Default)]
pub(crate) struct Menu {
    known: BTreeMap<(usize, i64), Vec<usize>>,
}

impl Menu {
    /// Indices of the options of `tray` that hold everything at outer height `h` and that no other such option
    /// fits inside; trays of one kind share them.
    pub(crate) fn at(&mut self, instance: &Instance, tray: usize, h: i64) -> &[usize] {
        let kind = instance.trays[tray].kind;
        self.known.entry((kind, h)).or_insert_with(|| {
            let options = &instance.trays[tray].options;
            let mut order: Vec<usize> = (0..options.len()).filter(|&o| options[o].h <= h).collect();
            order.sort_by_key(|&o| (options[o].w, options[o].d, options[o].h));
            let mut best = i64::MAX;
            order.retain(|&o| {
                let keep = options[o].d < best;
                best = best.min(options[o].d);
                keep
            });
            order
        })
    }

    /// The option of least area at height `h`.
    pub(crate) fn least(&mut self, instance: &Instance, tray: usize, h: i64) -> Option<usize> {
        let options = &instance.trays[tray].options;
        let area = |o: usize| options.get(o).map_or(i64::MAX, |o| o.w * o.d);
        self.at(instance, tray, h).iter().copied().min_by_key(|&o| (area(o), o))
    }
}

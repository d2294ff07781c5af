//! Candidate heights of layers, and the profiles (heights from the floor up) that can be made of them.

use std::collections::BTreeSet;

use super::instance::{Access, HeldAt, Instance};
use super::model::candidate_heights;

/// Outer heights that a layer is tried with, ascending: all that a layer of an optimal plan can have, where those
/// are not too many ([`complete`] tells), else those of the usual cases.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::heights::candidates;
/// let trays = vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 5))];
/// // As high as one of the trays, or as low as an empty layer can be.
/// assert_eq!(candidates(&Instance { trays, ..empty }), [1, 3, 5]);
/// ```
pub fn candidates(instance: &Instance) -> Vec<i64> {
    let (usual, all) = (usual(instance), candidate_heights(instance).heights);
    if all.len() <= 2 * usual.len() + FEW { all } else { usual }
}

/// Whether some optimal layout is sure to have no other heights than these.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::heights::complete;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3)), tray(1, (4, 5, 3))], ..empty };
/// assert!(complete(&instance, &[1, 2, 3]));
/// assert!(!complete(&instance, &[1, 2])); // some optimal layout has a layer of 3
/// ```
pub fn complete(instance: &Instance, candidates: &[i64]) -> bool {
    let all = candidate_heights(instance);
    all.complete && all.heights.iter().all(|h| candidates.binary_search(h).is_ok())
}

/// So many more heights than the usual ones do not matter.
const FEW: usize = 16;

/// An optimal layer is as high as the highest need of a body that ends in it, so the least heights of all outlines and
/// kept items are enough where no body reaches through several layers; for those that may, differences
/// between their height and another candidate are added once, which does not cover chains of several, nor
/// layers below something that is held at a point.
fn usual(instance: &Instance) -> Vec<i64> {
    let mut all: BTreeSet<i64> = instance.trays.iter().flat_map(|t| t.options.iter().map(|o| o.h)).collect();
    all.extend(instance.kept.iter().flat_map(|k| k.turns.iter().map(|o| o.h)));
    let single: Vec<i64> = all.iter().copied().collect();
    let spanning = instance.trays.iter().filter(|t| t.span > 1).flat_map(|t| t.options.iter().map(|o| o.h));
    let kept = instance.kept.iter().flat_map(|k| k.turns.iter().map(|o| o.h));
    for h in spanning.chain(kept).collect::<BTreeSet<i64>>() {
        all.extend(single.iter().map(|s| h - s).filter(|d| *d > 0));
    }
    for &(least, most) in &instance.height_rules {
        all.insert(least);
        if most < instance.height {
            all.insert(most);
        }
    }
    all.into_iter().filter(|h| *h > 0 && *h <= instance.height).collect()
}

/// Whether layer `l` may be this high.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::heights::allowed;
/// // The lowest layer from 2 to 4 high, those over it as they come.
/// let instance = Instance { height_rules: vec![(2, 4)], ..empty };
/// assert!(allowed(&instance, 0, 2) && allowed(&instance, 0, 4) && allowed(&instance, 1, 5));
/// assert!(!allowed(&instance, 0, 1) && !allowed(&instance, 0, 5));
/// ```
pub fn allowed(instance: &Instance, l: usize, h: i64) -> bool {
    instance.height_rules.get(l).is_none_or(|&(least, most)| h >= least && h <= most)
}

/// At most `count` of the candidates, the least and the greatest kept, the others as evenly spread as they come.
///
/// ```
/// # use traywright::layout::heights::thinned;
/// assert_eq!(thinned(&[1, 2, 3, 10, 20], 3), [1, 10, 20]);
/// assert_eq!(thinned(&[1, 2, 3], 3), [1, 2, 3]);
/// ```
pub fn thinned(candidates: &[i64], count: usize) -> Vec<i64> {
    let (Some(&first), Some(&last)) = (candidates.first(), candidates.last()) else { return Vec::new() };
    if candidates.len() <= count || count < 2 {
        return candidates.to_vec();
    }
    let mut out = vec![first];
    for k in 1..count as i64 - 1 {
        let want = first + (last - first) * k / (count as i64 - 1);
        let at = candidates.partition_point(|h| *h < want).min(candidates.len() - 1);
        if Some(&candidates[at]) > out.last() {
            out.push(candidates[at]);
        }
    }
    if Some(&last) > out.last() {
        out.push(last);
    }
    out
}

/// Whether what bodies claim is the same in whatever order layers of these heights lie.
pub(crate) fn any_order(instance: &Instance) -> bool {
    let by_layer = instance.access != Access::Lifts && instance.trays.iter().any(|t| t.weight != 0);
    let trays = instance.trays.iter().all(|t| t.span == 1 && t.held == HeldAt::Free);
    !by_layer
        && trays
        && instance.kept.is_empty()
        && instance.height_rules.is_empty()
        && instance.blocked.is_empty()
}

/// The profile of so many layers that are about as high as each other and fill the box; `None` where rules forbid it.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::heights::even;
/// let instance = Instance { height: 30, ..empty };
/// assert_eq!(even(&instance, &[4, 9, 11, 25], 3), Some(vec![9, 9, 11]));
/// assert_eq!(even(&instance, &[40], 1), None); // higher than the box
/// ```
pub fn even(instance: &Instance, candidates: &[i64], layers: usize) -> Option<Vec<i64>> {
    let mut left = instance.height;
    let mut out = Vec::with_capacity(layers);
    for l in 0..layers {
        let share = left / (layers - l) as i64;
        let below = candidates.iter().rev().find(|h| **h <= share && allowed(instance, l, **h));
        let h = *below.or_else(|| candidates.iter().find(|h| **h <= left && allowed(instance, l, **h)))?;
        left -= h;
        out.push(h);
    }
    Some(out)
}

#[cfg(test)]
mod tests {
    use super::super::model::tests::plain;
    use super::*;

    #[test]
    fn even_layers_fill_the_box_and_keep_the_rules() {
        let mut instance = plain(10, 10, 30, 3);
        assert_eq!(even(&instance, &[4, 9, 11, 25], 3), Some(vec![9, 9, 11]));
        assert_eq!(even(&instance, &[4, 9, 11, 25], 1), Some(vec![25]));
        assert_eq!(even(&instance, &[40], 1), None);
        instance.height_rules = vec![(11, 11), (0, 30), (0, 30)];
        assert_eq!(even(&instance, &[4, 9, 11, 25], 3), Some(vec![11, 9, 9]));
    }
}

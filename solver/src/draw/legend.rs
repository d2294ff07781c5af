//! What stands beside the drawing of a layer: uses, bodies with their sizes, compartments by number.

use super::layer::Key;
use super::palette::Look;
use super::scene::{Item, Scene};
use super::words;
use crate::job::Use;

/// What an entry begins with.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Symbol {
    /// A sample of a look.
    Swatch(Look),
    /// A body's mark.
    Mark(String, Look),
    /// The outline of the k-th cover item and its mark.
    Dash(usize, String),
    /// A number in the drawing.
    Number(String),
}

/// One entry.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    pub(super) symbol: Symbol,
    pub(super) name: String,
    pub(super) note: String,
}

/// A group of entries under a heading.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Group {
    pub(super) heading: String,
    pub(super) entries: Vec<Entry>,
}

/// `, in layers 1 and 2`, `, in layers 1 to 3`; empty for one.
pub(super) fn through(layers: &[usize]) -> String {
    match (layers.iter().min(), layers.iter().max()) {
        (Some(a), Some(b)) if b > a => {
            let and = if b - a == 1 { "and" } else { "to" };
            format!(", in layers {a} {and} {b}")
        }
        _ => String::new(),
    }
}

fn body(scene: &Scene<'_>, item: &Item<'_>) -> Entry {
    let u = scene.units;
    let mut note = format!("{}{}", u.size(item.size), through(item.layers));
    if let Some(t) = item.tray {
        note.push_str(&format!("; wall\u{a0}{}, floor\u{a0}{}", u.len(t.wall), u.len(t.floor)));
        if t.lid.nm() > 0 {
            note.push_str(&format!(", lid\u{a0}{}", u.len(t.lid)));
        }
        if item.inside.is_none() {
            note.push_str(&format!(", {}", words::grip(t.grip)));
        }
    }
    if let Some(outer) = &item.inside {
        note.push_str(&format!(", lives in {outer}"));
    }
    Entry { symbol: Symbol::Mark(item.mark.clone(), item.look), name: item.name.clone(), note }
}

/// Everything that explains a drawn layer (from 1).
pub(super) fn of_layer(scene: &Scene<'_>, layer: usize, keys: &[Key]) -> Vec<Group> {
    let sign = scene.units.sign();
    let mut trays = Vec::new();
    let mut kept = Vec::new();
    let mut looks = Vec::new();
    for item in scene.in_layer(layer) {
        looks.push(item.look);
        let list = if item.tray.is_some() { &mut trays } else { &mut kept };
        list.push(body(scene, item));
        for nested in scene.nested_in(&item.mark) {
            looks.push(nested.look);
            list.push(body(scene, nested));
        }
    }
    let all = [Look::Tray(Use::Always), Look::Tray(Use::Setup), Look::Tray(Use::Seldom), Look::Kept];
    let uses = all.into_iter().filter(|l| looks.contains(l));
    let uses =
        uses.map(|l| Entry { symbol: Symbol::Swatch(l), name: l.style().word.into(), note: String::new() });
    let top = layer == scene.plan.layers.len();
    let cover = scene.cover().filter(|_| top).enumerate().map(|(k, i)| Entry {
        symbol: Symbol::Dash(k, i.mark.clone()),
        name: i.name.clone(),
        note: format!("{}{}", scene.units.size(i.size), if scene.sunk(i) { ", sunk" } else { "" }),
    });
    let group = |heading: String, entries: Vec<Entry>| Group { heading, entries };
    let mut groups = vec![
        group("Uses".into(), uses.collect()),
        group(format!("Trays, outside, {sign}"), trays),
        group(format!("Kept items, {sign}"), kept),
        group(format!("Lies over this layer, {sign}"), cover.collect()),
    ];
    groups.extend(numbers(scene, keys));
    groups.retain(|g| !g.entries.is_empty());
    groups
}

/// The compartments that a drawing shows by number.
pub(super) fn numbers(scene: &Scene<'_>, keys: &[Key]) -> Vec<Group> {
    if keys.is_empty() {
        return Vec::new();
    }
    let entries = keys.iter().map(|k| Entry {
        symbol: Symbol::Number(k.number.clone()),
        name: k.name.clone(),
        note: k.size.clone(),
    });
    let heading = format!("By number, inside, {}", scene.units.sign());
    vec![Group { heading, entries: entries.collect() }]
}

/// Every body of the box by its mark, for the exploded view.
pub(super) fn of_bodies(scene: &Scene<'_>) -> Vec<Group> {
    let sign = scene.units.sign();
    let mut groups: Vec<Group> = Vec::new();
    let of = |entries: Vec<Entry>, heading: String, groups: &mut Vec<Group>| {
        if !entries.is_empty() {
            groups.push(Group { heading, entries });
        }
    };
    let cover = scene.cover().map(|i| body(scene, i)).collect();
    of(cover, format!("Over the top layer, {sign}"), &mut groups);
    for layer in (1..=scene.plan.layers.len()).rev() {
        let mut entries = Vec::new();
        for item in scene.in_layer(layer).filter(|i| i.layers.iter().min() == Some(&layer)) {
            entries.push(body(scene, item));
            entries.extend(scene.nested_in(&item.mark).into_iter().map(|n| body(scene, n)));
        }
        of(entries, format!("Layer {layer}, {sign}"), &mut groups);
    }
    groups
}

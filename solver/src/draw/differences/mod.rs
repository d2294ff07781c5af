//! The differences between two plans: in words, as JSON, as a picture and as a page.

mod page;
mod picture;
mod text;

pub use page::differences_html;
pub use picture::differences_svg;
pub use text::{differences_json, differences_text, free_text};

use super::svg::plain;
use super::words::Units;
use crate::place::{Cuboid, Size};
use crate::shop::{Became, BodyChange, Differences, From, TrayChange};

/// Words for what has become of something, as heading of those to which it happened.
fn word(became: Became) -> &'static str {
    match became {
        Became::Stays => "stay as they are",
        Became::Moves => "moved, the same pieces",
        Became::Altered => "altered",
        Became::Afresh => "made afresh",
        Became::Added => "new",
        Became::Gone => "gone",
    }
}

/// Everything that can become of something, the least change first.
const ALL: [Became; 6] =
    [Became::Stays, Became::Moves, Became::Altered, Became::Afresh, Became::Added, Became::Gone];

/// By how much a body moved: `3.5 to the right, 2 up`.
fn way(u: Units, old: Cuboid, new: Cuboid) -> String {
    let by = [
        (new.at.x - old.at.x, "to the right", "to the left"),
        (new.at.y - old.at.y, "back", "to the front"),
        (new.at.z - old.at.z, "up", "down"),
    ];
    let told = by.into_iter().filter(|(l, ..)| l.nm() != 0).map(|(l, more, less)| {
        if l.nm() > 0 { format!("{} {more}", u.len(l)) } else { format!("{} {less}", u.len(-l)) }
    });
    told.collect::<Vec<_>>().join(", ")
}

/// `36 × 51 × 40 → 38 × 51 × 40`.
fn grown(u: Units, old: Size, new: Size) -> String {
    if old == new { u.size(new) } else { format!("{} → {}", u.size(old), u.size(new)) }
}

/// What has become of a tray, in a few words; empty where it stays.
fn about(u: Units, tray: &TrayChange) -> String {
    match (tray.became, tray.old, tray.new) {
        (Became::Stays, ..) => String::new(),
        (Became::Moves, Some(old), Some(new)) => way(u, old, new),
        (Became::Altered, Some(old), Some(new)) => {
            let cut = tray.panels.iter().filter(|p| p.from == From::Cut).count();
            let way = way(u, old, new);
            let way = if way.is_empty() { way } else { format!("{way}, ") };
            format!("{way}{cut} of {} panels", tray.panels.len())
        }
        (_, Some(old), Some(new)) => {
            let layers = if tray.old_layers == tray.new_layers {
                String::new()
            } else {
                format!(", layer {} → {}", layers(&tray.old_layers), layers(&tray.new_layers))
            };
            format!("{}{layers}", grown(u, old.size, new.size))
        }
        (_, None, Some(one)) | (_, Some(one), None) => u.size(one.size),
        _ => String::new(),
    }
}

/// What has become of a kept or cover item.
fn body(u: Units, body: &BodyChange) -> String {
    match (body.old, body.new) {
        (Some(a), Some(b)) if a.size == b.size => way(u, a, b),
        (Some(a), Some(b)) if body.became == Became::Moves => {
            let way = way(u, a, b);
            if way.is_empty() { "turned".into() } else { format!("turned, {way}") }
        }
        (Some(a), Some(b)) => grown(u, a.size, b.size),
        _ => word(body.became).to_owned(),
    }
}

fn layers(list: &[usize]) -> String {
    match list {
        [] => "–".into(),
        [one] => one.to_string(),
        [first, .., last] => format!("{first} to {last}"),
    }
}

/// Names as they are shown.
fn shown(name: &str) -> String {
    plain(name)
}

/// `9 of 83 panels`.
fn share(it: &Differences) -> String {
    let (cut, all) = (it.to_cut().count(), it.figures.1.panels);
    if cut == 0 { format!("none of {all} panels") } else { format!("{cut} of {all} panels") }
}

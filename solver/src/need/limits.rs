//! What is too absurd to work with: within these limits no arithmetic here can overflow.

use crate::job::{Contents, Face, Loose, Solid, Stack};
use crate::length::{LARGEST, Length, Volume};
use crate::place::Size;

/// Most pieces that one part may have, spare ones included.
pub const MOST_PIECES: i64 = 1_000_000;
/// Most bodies of a solid part, spare ones included: each may become a row of its own in a block.
pub const MOST_BODIES: i64 = 10_000;
/// Most piles or rows side by side.
pub const MOST_PILES: i64 = 100;
/// Longest side of a piece, and the tallest stack: 10 m.
pub const MOST_SIDE: Length = Length::mm(10_000);

/// What lies beyond the limits, as the key within the part and a cause; `None` where all is well.
pub(super) fn beyond(contents: &Contents) -> Option<(&'static str, String)> {
    match contents {
        Contents::Loose(loose) => of_loose(loose),
        Contents::Stack(stack) => of_stack(stack),
        Contents::Solid(solid) => of_solid(solid),
        Contents::Tray(_) => None,
    }
}

type Beyond = Option<(&'static str, String)>;

/// The same for loose contents.
pub(super) fn of_loose(loose: &Loose) -> Beyond {
    let piece = loose.piece.map_or([None; 3], |p| [p.w, p.d, p.h].map(Some));
    volume("loose.volume", loose.volume, true)
        .or_else(|| volume("spare_room", Some(loose.spare_volume), false))
        .or_else(|| count("loose.count", loose.count, loose.spare_count, MOST_PIECES))
        .or_else(|| piece.into_iter().find_map(|side| length("loose.piece", side, true)))
        .or_else(|| volume("loose.piece", loose.piece.map(Size::volume), true))
        .or_else(|| length("loose.finger", Some(loose.finger), false))
        .or_else(|| share("loose.level", loose.level, 1, 1000))
        .or_else(|| {
            let (loosest, densest) = loose.packing.unwrap_or((1, 1));
            share("loose.packing", loosest, 1, 1000).or_else(|| share("loose.packing", densest, 1, 1000))
        })
}

fn of_stack(stack: &Stack) -> Beyond {
    let sleeve = stack.sleeve.map_or([None; 3], |s| {
        let (a, b) = sides(s.face);
        [Some(a), Some(b), None]
    });
    let (a, b) = sides(stack.face);
    length("stack.face", Some(a), true)
        .or_else(|| length("stack.face", Some(b), true))
        .or_else(|| sleeve.into_iter().find_map(|side| length("stack.sleeve.face", side, true)))
        .or_else(|| length("stack.sleeve.film", stack.sleeve.map(|s| s.film), false))
        .or_else(|| length("stack.each", stack.each, true))
        .or_else(|| length("stack.height", stack.height, true))
        .or_else(|| length("stack.ease", Some(stack.ease), false))
        .or_else(|| length("stack.finger", Some(stack.finger), false))
        .or_else(|| count("stack.count", stack.count, stack.spare_count, MOST_PIECES))
        .or_else(|| share("stack.browse", stack.browse, 0, 10_000))
        .or_else(|| number("stack.piles", stack.piles, 1, MOST_PILES))
        .or_else(|| number("stack.least_lean", stack.least_lean, 1, 90))
}

fn of_solid(solid: &Solid) -> Beyond {
    [solid.size.w, solid.size.d, solid.size.h]
        .into_iter()
        .find_map(|side| length("solid.size", Some(side), true))
        .or_else(|| length("solid.ease", Some(solid.ease), false))
        .or_else(|| count("solid.count", Some(solid.count), solid.spare_count, MOST_BODIES))
}

fn sides(face: Face) -> (Length, Length) {
    match face {
        Face::Rectangle(a, b) => (a, b),
        Face::Disc(across) | Face::Hexagon(across) => (across, across),
    }
}

fn length(key: &'static str, value: Option<Length>, positive: bool) -> Beyond {
    let value = value?;
    if value < Length::ZERO || (positive && value == Length::ZERO) {
        return Some((key, format!("{value} is no length of a thing")));
    }
    (value > MOST_SIDE).then(|| (key, format!("{value} is beyond the most that is taken, {MOST_SIDE}")))
}

fn volume(key: &'static str, value: Option<Volume>, positive: bool) -> Beyond {
    let value = value?;
    if value < Volume::ZERO || (positive && value == Volume::ZERO) {
        return Some((key, format!("{value} is no volume of a thing")));
    }
    (value > LARGEST).then(|| (key, format!("{} is beyond the most that is taken, 1000 l", value.show_ml())))
}

fn count(key: &'static str, value: Option<i64>, spare: i64, most: i64) -> Beyond {
    let value_or_one = value.unwrap_or(1);
    if value_or_one < 1 {
        return Some((key, format!("a count of {value_or_one} leaves nothing to store")));
    }
    number("spare_room", spare, 0, most).or_else(|| number(key, value_or_one.saturating_add(spare), 1, most))
}

fn number(key: &'static str, value: i64, least: i64, most: i64) -> Beyond {
    (value < least || value > most)
        .then(|| (key, format!("{value} is not between {least} and {most}, which is what is taken")))
}

/// Of thousandths.
fn share(key: &'static str, value: i64, least: i64, most: i64) -> Beyond {
    let shown = |v: i64| v as f64 / 1000.0;
    (value < least || value > most).then(|| {
        (
            key,
            format!(
                "{} is not between {} and {}, which is what is taken",
                shown(value),
                shown(least),
                shown(most)
            ),
        )
    })
}

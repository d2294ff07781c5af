//! Check values and properties of needs.

mod findings;
mod loose;
mod more;
mod solid;
mod stack;
mod wild;

use super::*;
use crate::job::{Face, Form, Loose, Part, Solid, Stack, Turn};
use crate::place::Size;

fn um(um: i64) -> Length {
    Length::um(um)
}

fn part(contents: Contents) -> Part {
    Part { name: "probe".into(), contents, mass: None }
}

fn size(w: i64, d: i64, h: i64) -> Size {
    Size { w: um(w), d: um(d), h: um(h) }
}

fn cards() -> Stack {
    Stack {
        face: Face::Rectangle(um(63_500), um(88_900)),
        count: Some(54),
        each: Some(um(300)),
        height: None,
        sleeve: None,
        stand: vec![Stand::Flat],
        piles: 1,
        least_lean: 60,
        spare_count: 0,
        ease: Length::ZERO,
        browse: 0,
        finger: Length::ZERO,
    }
}

fn dice() -> Loose {
    Loose {
        volume: None,
        count: Some(100),
        form: Some(Form::Cube),
        piece: Some(size(16_000, 16_000, 16_000)),
        packing: None,
        level: 900,
        spare_volume: Volume::ZERO,
        spare_count: 0,
        finger: Length::mm(20),
    }
}

fn figures() -> Solid {
    Solid {
        size: size(28_000, 28_000, 52_000),
        count: 6,
        spare_count: 0,
        turn: Turn::Any,
        pile: false,
        ease: Length::ZERO,
    }
}

fn of_stack(stack: Stack) -> Need {
    of(&part(Contents::Stack(stack)))
}

fn of_loose(loose: Loose) -> Need {
    of(&part(Contents::Loose(loose)))
}

fn of_solid(solid: Solid) -> Need {
    of(&part(Contents::Solid(solid)))
}

/// Width, depth and height of every fixed room.
fn rooms(need: &Need) -> Vec<(Length, Length, Length)> {
    let fixed = |a: &Alternative| match a.space {
        Space::Fixed { w, d, h } => Some((w, d, h)),
        Space::Soft { .. } => None,
    };
    need.alternatives.iter().filter_map(fixed).collect()
}

/// Whether anything of a need goes into a room, whichever way round it may be turned.
fn goes_in(need: &Need, w: Length, d: Length, u: Length) -> bool {
    need.alternatives
        .iter()
        .any(|a| a.space.fits(w, d, u, false) || (a.turnable && a.space.fits(w, d, u, true)))
}

/// Every way of standing of `more` is one of `less` with room to spare.
fn never_smaller(less: &Need, more: &Need) -> bool {
    more.alternatives.iter().all(|a| match a.space {
        Space::Fixed { w, d, h } => goes_in(less, w, d, h),
        Space::Soft { volume, side, long, h } => less.alternatives.iter().any(|b| match b.space {
            Space::Soft { volume: v, side: s, long: l, h: least } => {
                v <= volume && s <= side && l <= long && least <= h
            }
            Space::Fixed { .. } => false,
        }),
    })
}

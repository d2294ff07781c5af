//! The volume account of an arrangement, an identity in exact integers:
//! `interior = contents + kept + cover + stock + voids + slack + overhead + spare`.

use super::{Arrangement, Compartment, Layer, PlacedTray, Volumes};
use crate::length::{Length, Volume};
use crate::place::Size;

/// What one compartment holds, for the account.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Held {
    /// The contents alone.
    pub contents: Volume,
    /// What they need, packing and ease included.
    pub need: Volume,
}

/// Closes the account of an arrangement; `held` tells what a compartment holds (for a nested tray, `contents`
/// is not looked at: its own compartments tell).
pub fn account(interior: Size, arrangement: &Arrangement, held: &dyn Fn(&Compartment) -> Held) -> Volumes {
    let mut v = Volumes { interior: interior.volume(), ..Volumes::default() };
    v.kept = arrangement.kept.iter().map(|b| b.size.volume()).sum();
    v.cover = arrangement.cover.iter().map(|b| b.size.volume()).sum();
    for b in &arrangement.kept {
        let over = top(&arrangement.layers, &b.layers) - (b.at.z + b.size.h);
        v.overhead += b.size.footprint() * over.max(Length::ZERO);
    }
    for t in &arrangement.trays {
        let over = top(&arrangement.layers, &t.layers) - (t.at.z + t.size.h);
        v.overhead += t.size.footprint() * over.max(Length::ZERO);
        tray(t, &mut v, held);
    }
    v.wasted = v.stock + v.voids + v.slack + v.overhead;
    v.spare = v.interior - v.contents - v.kept - v.cover - v.wasted;
    v
}

/// Clear room inside a tray: what neither floor, walls, lid nor dividers take.
pub fn air(t: &PlacedTray) -> Volume {
    let inner = (t.size.w - t.wall * 2) * (t.size.d - t.wall * 2) * (t.size.h - t.floor - t.lid);
    inner - t.dividers.iter().map(|d| d.size.volume()).sum()
}

fn tray(t: &PlacedTray, v: &mut Volumes, held: &dyn Fn(&Compartment) -> Held) {
    let air = air(t);
    v.stock += t.size.volume() - air;
    let mut needs = Volume::ZERO;
    for c in &t.compartments {
        let Held { contents, need } = held(c);
        needs += need;
        match &c.tray {
            Some(inner) => {
                v.voids += need - inner.size.volume();
                tray(inner, v, held);
            }
            None => {
                v.contents += contents;
                v.voids += need - contents;
            }
        }
    }
    v.slack += air - needs;
}

/// Top of the last of these layers (counted from 1); 0 for none.
fn top(layers: &[Layer], reached: &[usize]) -> Length {
    reached
        .iter()
        .filter_map(|l| layers.get(l.wrapping_sub(1)))
        .map(|l| l.bottom + l.height)
        .max()
        .unwrap_or_default()
}

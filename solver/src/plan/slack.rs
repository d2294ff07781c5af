//! Room beyond need, told in millimetres, millilitres, percent.

use crate::length::{Length, Volume};
use crate::need::Space;
use crate::place::Size;

/// How far each side of a clear room could shrink, the other two staying, before the need no longer fits.
///
/// For contents that are poured in, the sides trade against each other, so the three numbers cannot be used up
/// together.
///
/// ```
/// use traywright::{length::Length, need::Space, place::Size, plan::slack::spare_sides};
/// let mm = Length::mm;
/// let space = Space::Fixed { w: mm(66), d: mm(91), h: mm(27) };
/// let room = Size { w: mm(93), d: mm(70), h: mm(30) };
/// assert_eq!(spare_sides(&space, room, true), Size { w: mm(2), d: mm(4), h: mm(3) });
/// ```
pub fn spare_sides(space: &Space, room: Size, turned: bool) -> Size {
    match *space {
        Space::Fixed { w, d, h } => {
            let (w, d) = if turned { (d, w) } else { (w, d) };
            Size { w: room.w - w, d: room.d - d, h: room.h - h }
        }
        Space::Soft { volume, side, long, h } => {
            let across = |mine: Length, other: Length| {
                let face = (other * room.h).nm2();
                let by_volume = if face > 0 { ceil_div(volume.nm3(), face) } else { Length::ZERO };
                mine - by_volume.max(side).max(if other >= long { Length::ZERO } else { long })
            };
            let floor = room.footprint().nm2();
            let up = if floor > 0 { ceil_div(volume.nm3(), floor) } else { Length::ZERO };
            Size { w: across(room.w, room.d), d: across(room.d, room.w), h: room.h - up.max(h) }
        }
    }
}

fn ceil_div(volume: i128, area: i128) -> Length {
    Length::from_nm(i64::try_from(-((-volume).div_euclid(area))).unwrap_or(i64::MAX))
}

/// Millilitres rounded down to a tenth (towards minus infinity), as files carry them.
pub(crate) fn tenths_of_ml(volume: Volume) -> f64 {
    volume.nm3().div_euclid(10i128.pow(20)) as f64 / 10.0
}

/// `part` in percent of `whole`, rounded down to a tenth; 0 where there is no whole.
pub(crate) fn tenths_of_percent(part: Volume, whole: Volume) -> f64 {
    if whole.nm3() <= 0 {
        return 0.0;
    }
    // Both are below 1e30 nm³ (boxes to 10 m), so the product stays within i128.
    (part.nm3() * 1000).div_euclid(whole.nm3()) as f64 / 10.0
}

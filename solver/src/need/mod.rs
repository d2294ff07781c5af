//! From contents to the least inner room they require.
//!
//! A [`Need`] lists every way of standing as an [`Alternative`]; each is a function of the clear
//! height under the rim. Everything is exact; a need is never smaller than the contents require.

use crate::job::Stand;
use crate::length::{Area, Length, Volume};

/// What one part needs.
#[derive(Clone, Debug)]
pub struct Need {
    /// Volume of the contents alone: bulk volume of loose parts, face × thickness of stacks,
    /// bounding volume of solids, however they stand; without wanted spare room.
    pub contents: Volume,
    /// Every way of standing; never empty.
    pub alternatives: Vec<Alternative>,
    /// Set where no measured volume or height was given and the size rests on an estimate.
    pub estimate: bool,
    /// In which units slack is told, and how much room one more of them takes.
    pub more: More,
}

/// The part's own terms.
#[derive(Clone, Debug)]
pub struct More {
    /// Such as "sleeved cards", "discs", "figures", "ml".
    pub of: String,
    /// What kind of room one more takes.
    pub step: MoreStep,
}

/// What one more of a part takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoreStep {
    /// Bulk volume of one more piece (loose).
    Volume(Volume),
    /// Thickness of one more piece in its stack, row or pile.
    Thickness(Length),
    /// A whole further body of a block (solids).
    Body,
}

/// One way of standing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alternative {
    /// How the contents stand.
    pub standing: Standing,
    /// Piles or rows side by side (1 is usual).
    pub piles: i64,
    /// The room it takes.
    pub space: Space,
    /// May the room be turned by 90° about the vertical?
    pub turnable: bool,
}

/// How contents stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Poured.
    Poured,
    /// A stack in this way; the lean angle in whole degrees for [`Stand::Lean`], 90 otherwise.
    Stacked(Stand, i64),
    /// A block of nx × ny × nz bodies.
    Block(i64, i64, i64),
    /// A small tray.
    Tray,
}

/// The room that an alternative takes, as a function of the clear height `u`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Space {
    /// Width, depth and height (a row, a pile, a block).
    Fixed {
        /// Along x before turning.
        w: Length,
        /// Along y before turning.
        d: Length,
        /// Least clear height.
        h: Length,
    },
    /// Any w, d with `w·d·u ≥ volume`, `min(w, d) ≥ side`, `max(w, d) ≥ long`, `u ≥ h`.
    Soft {
        /// Contents (with wanted spare room) divided by the level, rounded up.
        volume: Volume,
        /// Neither side may be less.
        side: Length,
        /// The longer side may not be less.
        long: Length,
        /// Least clear height.
        h: Length,
    },
}

impl Space {
    /// Least clear height at which this room can be had at all.
    pub fn least_height(&self) -> Length {
        match *self {
            Space::Fixed { h, .. } | Space::Soft { h, .. } => h,
        }
    }

    /// Whether a clear room of this size serves, turned or not as `turned` says.
    pub fn fits(&self, w: Length, d: Length, u: Length, turned: bool) -> bool {
        let (w, d) = if turned { (d, w) } else { (w, d) };
        match *self {
            Space::Fixed { w: fw, d: fd, h } => w >= fw && d >= fd && u >= h,
            Space::Soft { volume, side, long, h } => {
                u >= h && w.min(d) >= side && w.max(d) >= long && w * d * u >= volume
            }
        }
    }

    /// The volume of the need itself, for the account: what of a compartment is not slack.
    pub fn volume(&self) -> Volume {
        match *self {
            Space::Fixed { w, d, h } => w * d * h,
            Space::Soft { volume, .. } => volume,
        }
    }
}

/// The least area of floor that any alternative takes at clear height `u`; `None` where none stands.
///
/// A bound for searches that do not walk every arrangement.
pub fn least_area(need: &Need, u: Length) -> Option<Area> {
    need.alternatives
        .iter()
        .filter(|a| a.space.least_height() <= u)
        .map(|a| match a.space {
            Space::Fixed { w, d, .. } => w * d,
            Space::Soft { volume, side, long, .. } => volume.over_up(u).max(side * side.max(long)),
        })
        .min()
}

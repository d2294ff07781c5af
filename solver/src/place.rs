//! Points, sizes and upright cuboids in box coordinates.
//!
//! Origin at the left front bottom corner of the interior; x along the width, y along the depth,
//! z up. All lengths are exact.

use serde::{Deserialize, Serialize};

use crate::length::{Area, Length, Volume};

/// A place: `[x, y, z]` in files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(from = "[Length; 3]", into = "[Length; 3]")]
pub struct Point {
    /// Along the width.
    pub x: Length,
    /// Along the depth.
    pub y: Length,
    /// Up.
    pub z: Length,
}

/// An extent: `[width, depth, height]` in files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize)]
#[serde(from = "[Length; 3]", into = "[Length; 3]")]
pub struct Size {
    /// Along x.
    pub w: Length,
    /// Along y.
    pub d: Length,
    /// Along z.
    pub h: Length,
}

impl From<[Length; 3]> for Point {
    fn from([x, y, z]: [Length; 3]) -> Self {
        Point { x, y, z }
    }
}
impl From<Point> for [Length; 3] {
    fn from(p: Point) -> Self {
        [p.x, p.y, p.z]
    }
}
impl From<[Length; 3]> for Size {
    fn from([w, d, h]: [Length; 3]) -> Self {
        Size { w, d, h }
    }
}
impl From<Size> for [Length; 3] {
    fn from(s: Size) -> Self {
        [s.w, s.d, s.h]
    }
}

impl Size {
    /// Width times depth times height.
    pub fn volume(self) -> Volume {
        self.footprint() * self.h
    }

    /// Width times depth.
    pub fn footprint(self) -> Area {
        self.w * self.d
    }

    /// The same body after a quarter turn about the vertical.
    pub fn turned(self) -> Size {
        Size { w: self.d, d: self.w, h: self.h }
    }
}

/// A body with faces parallel to the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Cuboid {
    /// Its corner with the least coordinates.
    pub at: Point,
    /// Its extent.
    pub size: Size,
}

impl Cuboid {
    /// The corner with the greatest coordinates.
    pub fn far(self) -> Point {
        Point { x: self.at.x + self.size.w, y: self.at.y + self.size.d, z: self.at.z + self.size.h }
    }
}

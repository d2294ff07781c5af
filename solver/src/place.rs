//! Points, sizes and upright cuboids in box coordinates.
//!
//! Origin at the left front bottom corner of the interior; x along the width, y along the depth,
//! z up. All lengths are exact.

use serde::{Deserialize, Serialize};

use crate::length::{Area, Length, Volume};

/// A place: `[x, y, z]` in files.
///
/// ```
/// use traywright::{length::Length, place::Point};
/// let at = Point { x: Length::mm(1), y: Length::um(2_500), z: Length::ZERO };
/// assert_eq!(serde_json::to_string(&at).unwrap(), "[1,2.5,0]"); // mm
/// assert_eq!(serde_json::from_str::<Point>("[1, 2.5, 0]").unwrap(), at);
/// ```
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
///
/// ```
/// use traywright::{length::Length, place::Size};
/// let size: Size = serde_json::from_str("[30, 20, 12.5]").unwrap();
/// assert_eq!(size.h, Length::um(12_500));
/// assert_eq!(size, Size::from([Length::mm(30), Length::mm(20), size.h]));
/// ```
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
    ///
    /// ```
    /// use traywright::{length::Length, place::Size};
    /// let [w, d, h] = [50, 40, 20].map(Length::mm);
    /// assert_eq!(Size { w, d, h }.volume().show_ml(), "40.0 ml");
    /// ```
    pub fn volume(self) -> Volume {
        self.footprint() * self.h
    }

    /// Width times depth.
    ///
    /// ```
    /// use traywright::{length::Length, place::Size};
    /// let [w, d, h] = [50, 40, 20].map(Length::mm);
    /// assert_eq!(Size { w, d, h }.footprint(), w * d);
    /// assert_eq!(Size { w, d, h: h * 2 }.footprint(), w * d);
    /// ```
    pub fn footprint(self) -> Area {
        self.w * self.d
    }

    /// The same body after a quarter turn about the vertical.
    ///
    /// ```
    /// use traywright::{length::Length, place::Size};
    /// let [w, d, h] = [50, 40, 20].map(Length::mm);
    /// assert_eq!(Size { w, d, h }.turned(), Size { w: d, d: w, h });
    /// assert_eq!(Size { w, d, h }.turned().turned(), Size { w, d, h });
    /// ```
    pub fn turned(self) -> Size {
        Size { w: self.d, d: self.w, h: self.h }
    }
}

/// A body with faces parallel to the box.
///
/// ```
/// use traywright::{length::Length, place::{Cuboid, Point, Size}};
/// let mm = Length::mm;
/// let left = Cuboid { size: Size { w: mm(50), d: mm(40), h: mm(20) }, ..Cuboid::default() };
/// let right = Cuboid { at: Point { x: mm(50), ..Point::default() }, ..left };
/// assert!(left.far().x <= right.at.x); // they touch, and share no room
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Cuboid {
    /// Its corner with the least coordinates.
    pub at: Point,
    /// Its extent.
    pub size: Size,
}

impl Cuboid {
    /// The corner with the greatest coordinates.
    ///
    /// ```
    /// use traywright::{length::Length, place::{Cuboid, Point, Size}};
    /// let at = Point::from([1, 2, 3].map(Length::mm));
    /// let lantern = Cuboid { at, size: Size::from([50, 40, 20].map(Length::mm)) };
    /// assert_eq!(lantern.far(), Point::from([51, 42, 23].map(Length::mm)));
    /// ```
    pub fn far(self) -> Point {
        Point { x: self.at.x + self.size.w, y: self.at.y + self.size.d, z: self.at.z + self.size.h }
    }
}

//! Exact lengths, areas and volumes.
//!
//! A [`Length`] is a whole number of nanometres, so that 1/64 in (396 875 nm) is exact. Areas and
//! volumes are `i128` counts of nm² and nm³. There is no floating point here.

mod error;
mod number;
mod ops;
mod show;
#[cfg(test)]
mod tests;
mod text;

pub use error::LengthError;
pub use text::{LARGEST, LONGEST, Unit, parse_length, parse_volume};

/// A length in whole nanometres.
///
/// ```
/// use traywright::length::Length;
/// assert_eq!(Length::mm(3) + Length::mm(2), Length::mm(5));
/// assert_eq!(Length::inch_64ths(6).nm(), 2_381_250); // 3/32 in
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Length(pub(crate) i64);

/// An area in whole square nanometres.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Area(pub(crate) i128);

/// A volume in whole cubic nanometres.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Volume(pub(crate) i128);

/// One millimetre in nanometres.
pub const NM_PER_MM: i64 = 1_000_000;

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);

    /// From whole nanometres.
    pub const fn from_nm(nm: i64) -> Length {
        Length(nm)
    }

    /// From whole millimetres.
    pub const fn mm(mm: i64) -> Length {
        Length(mm * NM_PER_MM)
    }

    /// From whole micrometres.
    pub const fn um(um: i64) -> Length {
        Length(um * 1_000)
    }

    /// From 64ths of an inch (16 CFR 500.19: 1 in = 25.4 mm exactly, so 1/64 in = 396 875 nm).
    pub const fn inch_64ths(n: i64) -> Length {
        Length(n * 396_875)
    }

    /// The count of nanometres.
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// How many grid steps cover this length: rounded up.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::um(2_381).steps_up(Length::um(100)), 24);
    /// assert_eq!(Length::um(2_381).steps_down(Length::um(100)), 23);
    /// ```
    pub const fn steps_up(self, grid: Length) -> i64 {
        -((-self.0).div_euclid(grid.0))
    }

    /// How many whole grid steps this length holds: rounded down.
    pub const fn steps_down(self, grid: Length) -> i64 {
        self.0.div_euclid(grid.0)
    }

    /// For drawing and for linear programs only: millimetres as a floating number.
    pub fn to_mm_f64(self) -> f64 {
        self.0 as f64 / NM_PER_MM as f64
    }
}

impl Area {
    /// No area.
    pub const ZERO: Area = Area(0);

    /// From square nanometres.
    pub const fn from_nm2(nm2: i128) -> Area {
        Area(nm2)
    }

    /// The count of square nanometres.
    pub const fn nm2(self) -> i128 {
        self.0
    }

    /// The least length that, times `side`, is at least this area. `side` must be positive.
    pub const fn over_up(self, side: Length) -> Length {
        Length(-((-self.0).div_euclid(side.0 as i128)) as i64)
    }
}

impl Volume {
    /// No volume.
    pub const ZERO: Volume = Volume(0);

    /// From cubic nanometres.
    pub const fn from_nm3(nm3: i128) -> Volume {
        Volume(nm3)
    }

    /// The count of cubic nanometres.
    pub const fn nm3(self) -> i128 {
        self.0
    }

    /// The least area that, times `height`, is at least this volume. `height` must be positive.
    pub const fn over_up(self, height: Length) -> Area {
        Area(-((-self.0).div_euclid(height.0 as i128)))
    }

    /// For pictures and tables only: millilitres as a floating number.
    pub fn to_ml_f64(self) -> f64 {
        self.0 as f64 / 1e21
    }
}

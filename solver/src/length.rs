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
///
/// ```
/// use traywright::length::{Area, Length};
/// let face = Length::mm(2) * Length::um(500);
/// assert_eq!(face, Area::from_nm2(1_000_000_000_000));
/// assert_eq!(face.to_string(), "1 mm2");
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Area(pub(crate) i128);

/// A volume in whole cubic nanometres.
///
/// ```
/// use traywright::length::{Length, Volume};
/// let cube = Length::mm(10) * Length::mm(10) * Length::mm(10);
/// assert_eq!(cube.show_ml(), "1.0 ml");
/// assert_eq!((cube + cube, -cube), (cube * 2, Volume::ZERO - cube));
/// ```
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Volume(pub(crate) i128);

/// One millimetre in nanometres.
pub const NM_PER_MM: i64 = 1_000_000;

impl Length {
    /// No length at all.
    pub const ZERO: Length = Length(0);

    /// From whole nanometres.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::from_nm(396_875), Length::inch_64ths(1));
    /// assert_eq!(Length::from_nm(-1).decimal(), "-0.000001"); // mm
    /// ```
    pub const fn from_nm(nm: i64) -> Length {
        Length(nm)
    }

    /// From whole millimetres.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::mm(3).nm(), 3_000_000);
    /// assert!(Length::mm(-3) < Length::ZERO);
    /// ```
    pub const fn mm(mm: i64) -> Length {
        Length(mm * NM_PER_MM)
    }

    /// From whole micrometres.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::um(63_500).to_string(), "63.5 mm");
    /// ```
    pub const fn um(um: i64) -> Length {
        Length(um * 1_000)
    }

    /// From 64ths of an inch (16 CFR 500.19: 1 in = 25.4 mm exactly, so 1/64 in = 396 875 nm).
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::inch_64ths(64), Length::um(25_400));
    /// assert_eq!(Length::inch_64ths(1) * 64, Length::inch_64ths(64)); // nothing is rounded
    /// ```
    pub const fn inch_64ths(n: i64) -> Length {
        Length(n * 396_875)
    }

    /// The count of nanometres.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::um(-2).nm(), -2_000);
    /// ```
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
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::um(2_999).steps_down(Length::mm(1)), 2);
    /// assert_eq!(Length::um(3_000).steps_down(Length::mm(1)), 3);
    /// assert_eq!(Length::um(-1).steps_down(Length::mm(1)), -1); // down, not towards zero
    /// ```
    pub const fn steps_down(self, grid: Length) -> i64 {
        self.0.div_euclid(grid.0)
    }

    /// For drawing and for linear programs only: millimetres as a floating number.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!(Length::um(-2_500).to_mm_f64(), -2.5);
    /// ```
    pub fn to_mm_f64(self) -> f64 {
        self.0 as f64 / NM_PER_MM as f64
    }
}

impl Area {
    /// No area.
    pub const ZERO: Area = Area(0);

    /// From square nanometres.
    ///
    /// ```
    /// use traywright::length::{Area, Length};
    /// assert_eq!(Area::from_nm2(6), Length::from_nm(2) * Length::from_nm(3));
    /// assert_eq!(Area::from_nm2(250_000_000_000).decimal(), "0.25"); // mm²
    /// ```
    pub const fn from_nm2(nm2: i128) -> Area {
        Area(nm2)
    }

    /// The count of square nanometres.
    ///
    /// ```
    /// use traywright::length::Length;
    /// assert_eq!((Length::mm(1) * Length::mm(1)).nm2(), 10i128.pow(12));
    /// ```
    pub const fn nm2(self) -> i128 {
        self.0
    }

    /// The least length that, times `side`, is at least this area. `side` must be positive.
    ///
    /// ```
    /// use traywright::length::{Area, Length};
    /// let face = Length::mm(10) * Length::mm(10);
    /// assert_eq!(face.over_up(Length::mm(4)), Length::mm(25));
    /// assert_eq!(face.over_up(Length::mm(3)), Length::from_nm(33_333_334));
    /// assert_eq!(Area::from_nm2(1).over_up(Length::mm(3)), Length::from_nm(1)); // never nothing
    /// ```
    pub const fn over_up(self, side: Length) -> Length {
        Length(-((-self.0).div_euclid(side.0 as i128)) as i64)
    }
}

impl Volume {
    /// No volume.
    pub const ZERO: Volume = Volume(0);

    /// From cubic nanometres.
    ///
    /// ```
    /// use traywright::length::{Length, Volume};
    /// let [w, d, h] = [2, 3, 4].map(Length::from_nm);
    /// assert_eq!(Volume::from_nm3(24), w * d * h);
    /// assert_eq!(Volume::from_nm3(10i128.pow(21)).show_ml(), "1.0 ml");
    /// ```
    pub const fn from_nm3(nm3: i128) -> Volume {
        Volume(nm3)
    }

    /// The count of cubic nanometres.
    ///
    /// ```
    /// use traywright::length::{Unit, parse_volume};
    /// assert_eq!(parse_volume("1 mm3", Unit::Inch).unwrap().nm3(), 10i128.pow(18));
    /// ```
    pub const fn nm3(self) -> i128 {
        self.0
    }

    /// The least area that, times `height`, is at least this volume. `height` must be positive.
    ///
    /// ```
    /// use traywright::length::{Length, Unit, parse_volume};
    /// let sacks = parse_volume("40 ml", Unit::Millimetre).unwrap();
    /// let floor = Length::mm(50) * Length::mm(40);
    /// assert_eq!(sacks.over_up(Length::mm(20)), floor);
    /// assert!(sacks.over_up(Length::mm(20) - Length::from_nm(1)) > floor);
    /// ```
    pub const fn over_up(self, height: Length) -> Area {
        Area(-((-self.0).div_euclid(height.0 as i128)))
    }

    /// For pictures and tables only: millilitres as a floating number.
    ///
    /// ```
    /// use traywright::length::{Unit, parse_volume};
    /// let oil = parse_volume("2 1/2 cl", Unit::Millimetre).unwrap();
    /// assert!((oil.to_ml_f64() - 25.0).abs() < 1e-9);
    /// ```
    pub fn to_ml_f64(self) -> f64 {
        self.0 as f64 / 1e21
    }
}

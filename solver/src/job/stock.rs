//! Sheet stock: what trays are cut from.

mod read;

pub use read::{StockRow, load_list, read_list, read_list_text};
pub(in crate::job) use read::{list, other, stock, unknown_id};

use crate::length::{Area, Length};
use crate::place::Size;

/// How a stock is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Process {
    /// By laser.
    Laser,
    /// By knife.
    Knife,
    /// By saw.
    Saw,
}

/// How panels meet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Joint {
    /// Corner combs.
    Finger,
    /// Tabs in slots.
    Tab,
    /// Crossing dividers halved into each other.
    Halved,
    /// Glued edge to face.
    Butt,
    /// Glued, one paper face left over the edge.
    Rebate,
}

/// One purchasable sheet.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Width and depth (its `h` is the stock's thickness).
    pub size: Size,
    /// Price as text with its number in hundredths, where given.
    pub price_hundredths: Option<i64>,
}

/// A sheet material.
#[derive(Clone, Debug)]
pub struct Stock {
    /// Identifier in a stock list, or the name again.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Measured thickness.
    pub thickness: Length,
    /// Greatest less least thickness met, where known.
    pub spread: Option<Length>,
    /// Density in kg/m³, where known.
    pub density: Option<i64>,
    /// How it is cut.
    pub process: Process,
    /// Usual joint.
    pub joint: Joint,
    /// Full width that a cut removes.
    pub cut_width: Length,
    /// How much wider than the sheet slots are cut so that they go together.
    pub fit: Fits,
    /// Whether its grain must run along panels.
    pub grain: bool,
    /// Whether only one of its faces may be seen.
    pub one_good_face: bool,
    /// Sheets it is sold in; never empty.
    pub sheets: Vec<Sheet>,
    /// Whether [`Stock::sheets`] is what is usual, because the brief names none.
    pub sheets_assumed: bool,
    /// Kept free along the edges of a sheet.
    pub margin: Length,
    /// Least material left between two panels on a sheet; the width of the cut comes on top.
    pub spacing: Length,
    /// What cutting takes in time.
    pub cutting: Cutting,
}

/// How much wider than the sheet slots are cut, joint by joint; negative for a press fit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fits {
    /// Corner combs.
    pub finger: Length,
    /// Tabs in slots.
    pub tab: Length,
    /// Dividers halved into each other.
    pub halved: Length,
}

impl Fits {
    /// The same for all joints.
    pub const fn all(fit: Length) -> Fits {
        Fits { finger: fit, tab: fit, halved: fit }
    }
}

/// What cutting takes in time: length / speed + lines × pierce + sheets × setup.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cutting {
    /// Micrometres cut in a second.
    pub um_a_second: i64,
    /// Milliseconds to begin a line.
    pub pierce_ms: i64,
    /// Milliseconds to set up a sheet.
    pub setup_ms: i64,
}

impl Stock {
    /// Mass of a panel of this stock in milligrams, where the density is known.
    ///
    /// Check value (facts C4): 4 mm × 1.22 m × 2.44 m at 660 kg/m³ is 7.86 kg.
    pub fn mass(&self, face: Area, thickness: Length) -> Option<i64> {
        // kg/m³ = mg/cm³ ; 1 cm³ = 1e21 nm³.
        let nm3 = (face * thickness).nm3();
        self.density.map(|rho| (nm3 * i128::from(rho) / 10i128.pow(21)) as i64)
    }
}

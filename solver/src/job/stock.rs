//! Sheet stock: what trays are cut from.

mod read;

pub use read::{StockRow, load_list, read_list};
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
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
    /// How much wider than the sheet a slot is cut so that it goes together; negative for a press fit.
    pub fit: Length,
    /// Whether its grain must run along panels.
    pub grain: bool,
    /// Sheets it is sold in.
    pub sheets: Vec<Sheet>,
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

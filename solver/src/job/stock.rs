//! Sheet stock: what trays are cut from.

mod colour;
mod read;

pub use colour::{Colour, Colours};
pub use read::{StockRow, load_list, read_list, read_list_text};
pub(in crate::job) use read::{list, other, stock, unknown_id};

use crate::length::{Area, Length};
use crate::place::Size;

/// How a stock is cut.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::Joint, length::Length};
/// let stock = starter_with("stock.process", "knife").stock;
/// assert_eq!((stock.cut_width, stock.joint), (Length::ZERO, Joint::Butt));
/// assert!(starter_with("stock.process", "saw").stock.cut_width > Length::mm(3));
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::Joint;
/// assert_eq!(starter_with("stock.joint", "").stock.joint, Joint::Finger); // a laser's
/// assert_eq!(starter_with("tray.decks.joint", "tab").trays[1].joint, Some(Joint::Tab));
/// assert_eq!(serde_json::to_string(&Joint::Halved).unwrap(), "\"halved\"");
/// ```
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
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{length::Length, place::Size};
/// let sheets = starter_with("stock.sheets", "[[600, 300, 4.50], [300, 200]]").stock.sheets;
/// assert_eq!(sheets[0].size, Size::from([600, 300, 3].map(Length::mm)));
/// assert_eq!((sheets[0].price_hundredths, sheets[1].price_hundredths), (Some(450), None));
/// ```
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Width and depth (its `h` is the stock's thickness).
    pub size: Size,
    /// Price as text with its number in hundredths, where given.
    pub price_hundredths: Option<i64>,
}

/// A sheet material.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::length::Length;
/// let stock = &job.stock;
/// assert_eq!((&*stock.id, stock.thickness), ("birch plywood", Length::mm(3)));
/// // What the brief does not say is what is usual for the material.
/// assert_eq!((stock.density, stock.margin), (Some(660), Length::mm(5)));
/// assert!(stock.sheets_assumed && !stock.sheets.is_empty());
/// ```
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
    /// Colours of lines in files of lines.
    pub colours: Colours,
}

/// How much wider than the sheet slots are cut, joint by joint; negative for a press fit.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::Fits, length::Length};
/// let fit = starter_with("stock.fit", "{ finger = \"press\", tab = \"easy\" }").stock.fit;
/// assert_eq!((fit.finger, fit.tab), (Length::um(-50), Length::um(150)));
/// assert_eq!(fit.halved, Fits::default().halved); // a push fit: as wide as the sheet is thick
/// ```
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
    ///
    /// ```
    /// use traywright::{job::Fits, length::Length};
    /// let loose = Fits::all(Length::um(100));
    /// assert_eq!([loose.finger, loose.tab, loose.halved], [Length::um(100); 3]);
    /// assert_eq!(Fits::all(Length::ZERO), Fits::default());
    /// ```
    pub const fn all(fit: Length) -> Fits {
        Fits { finger: fit, tab: fit, halved: fit }
    }
}

/// What cutting takes in time: length / speed + lines × pierce + sheets × setup.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::job::Cutting;
/// // Millimetres a second, minutes a sheet; seconds to begin a line are what is usual.
/// let cutting = starter_with("stock.cutting", "{ speed = 12.5, setup = 4 }").stock.cutting;
/// assert_eq!(cutting, Cutting { um_a_second: 12_500, pierce_ms: 500, setup_ms: 240_000 });
/// ```
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
    ///
    /// ```
    /// # use traywright::{brief::{Format, Starter, starter}, job};
    /// # let starter = starter(Starter::Brief);
    /// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
    /// use traywright::{job::Stock, length::Length};
    /// let sheet = Length::mm(1_220) * Length::mm(2_440);
    /// assert_eq!(job.stock.mass(sheet, Length::mm(4)), Some(7_858_752));
    /// let unknown = Stock { density: None, ..job.stock };
    /// assert_eq!(unknown.mass(sheet, Length::mm(4)), None);
    /// ```
    pub fn mass(&self, face: Area, thickness: Length) -> Option<i64> {
        // kg/m³ = mg/cm³ ; 1 cm³ = 1e21 nm³.
        let nm3 = (face * thickness).nm3();
        self.density.map(|rho| (nm3 * i128::from(rho) / 10i128.pow(21)) as i64)
    }
}

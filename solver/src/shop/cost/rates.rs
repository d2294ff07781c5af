//! The rates of a shop: what it pays and what it asks.

mod keys;

use std::collections::BTreeMap;
use std::path::Path;

use super::{MILLION, Money};
use crate::brief::reader::{Field, Reader};
use crate::brief::sources::Spot;
use crate::finding::Finding;
use keys::RatesKeys;

/// 80 %: the middle of what nesting of mixed rectangles usually yields (common practice, no source); millionths.
const UTILISATION: i64 = 800_000;

/// How material is charged.
///
/// ```
/// use traywright::shop::{MaterialBy, read_rates};
/// let text = "currency = \"shells\"\nmachine.hour = 24\nwork.hour = 18\nprice.margin = 30\n";
/// assert_eq!(read_rates("r.toml", text).unwrap().material, MaterialBy::Sheets);
/// let by_area = format!("{text}material.by = \"area\"\n");
/// assert_eq!(read_rates("r.toml", &by_area).unwrap().material, MaterialBy::Area);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MaterialBy {
    /// Every sheet that is bought.
    Sheets,
    /// The panels' area over the utilisation.
    Area,
}

/// What is added to the cost. Never confuse the two: a margin is a share of the price, a mark-up one of the cost.
///
/// ```
/// use traywright::shop::{Profit, read_rates};
/// let text = "currency = \"shells\"\nmachine.hour = 24\nwork.hour = 18\nprice.mark_up = 7.5\n";
/// assert_eq!(read_rates("r.toml", text).unwrap().profit, Profit::MarkUp(75_000));
/// let both = format!("{text}price.margin = 7.5\n");
/// assert_eq!(read_rates("r.toml", &both).unwrap_err()[0].place.path, "price");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profit {
    /// Share of the price, millionths.
    Margin(i64),
    /// Share of the cost, millionths.
    MarkUp(i64),
}

impl Profit {
    /// The price of something that costs so much.
    ///
    /// ```
    /// use traywright::shop::{Money, Profit};
    /// let cost = Money::hundredths(10_000);
    /// assert_eq!(Profit::Margin(300_000).price(cost).to_string(), "142.86");
    /// assert_eq!(Profit::MarkUp(300_000).price(cost).to_string(), "130.00");
    /// ```
    pub fn price(self, cost: Money) -> Money {
        match self {
            Profit::Margin(share) => cost.ratio(MILLION, MILLION - share),
            Profit::MarkUp(share) => cost.ratio(MILLION + share, MILLION),
        }
    }
}

/// A price break: so much off from this quantity on.
///
/// ```
/// use traywright::shop::{Break, Figures, cost, read_rates};
/// let text = "currency = \"shells\"\nmachine.hour = 24\nwork.hour = 18\n\
///             price = { margin = 30, breaks = [[10, \"5 %\"]] }\n";
/// let rates = read_rates("r.toml", text).unwrap();
/// assert_eq!(rates.breaks, [Break { from: 10, off: 50_000 }]);
/// let off = |n| cost(&Figures::default(), &rates, n).unwrap().break_millionths;
/// assert_eq!((off(9), off(10)), (0, 50_000));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Break {
    /// From this many boxes on.
    pub from: i64,
    /// Off the list price, millionths.
    pub off: i64,
}

/// The rates of a shop.
///
/// ```
/// use traywright::shop::{Money, read_rates};
/// let text = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 30\n\
///             work = { hour = 18, minutes_a_tray = 1.5 }\n";
/// let rates = read_rates("r.toml", text).unwrap();
/// assert_eq!((rates.glue_tray_ms, rates.handling_box_ms), (90_000, 0));
/// // What is not said:
/// assert_eq!((rates.utilisation, rates.spoilage), (800_000, 0));
/// assert_eq!(rates.round_to, Money::hundredths(1));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rates {
    /// What the currency is called; only ever printed.
    pub currency: String,
    /// Who asks.
    pub shop: String,
    /// A machine's hour.
    pub machine_hour: Money,
    /// A worker's hour.
    pub work_hour: Money,
    /// Glueing up a tray, ms.
    pub glue_tray_ms: i64,
    /// The same for each of its panels, ms.
    pub glue_panel_ms: i64,
    /// Sanding, cleaning, packing a box, ms.
    pub handling_box_ms: i64,
    /// Taking an order in and sending it off, ms.
    pub handling_order_ms: i64,
    /// How material is charged.
    pub material: MaterialBy,
    /// Share of bought sheets that becomes panels, where charged by area, millionths.
    pub utilisation: i64,
    /// Share of what is cut that is thrown away, millionths.
    pub spoilage: i64,
    /// A square metre of a stock, by its identifier, where its sheets have no price or area is charged.
    pub square_metres: BTreeMap<String, Money>,
    /// Overhead, millionths of the direct cost.
    pub overhead: i64,
    /// Overhead an order.
    pub overhead_order: Money,
    /// Margin or mark-up.
    pub profit: Profit,
    /// No order costs less.
    pub least: Money,
    /// Prices are rounded up to this.
    pub round_to: Money,
    /// Price breaks by rising quantity.
    pub breaks: Vec<Break>,
}

/// Reads a rates file (TOML).
///
/// ```
/// use std::path::Path;
/// use traywright::shop::{Money, load_rates};
/// let rates = load_rates(Path::new("../scenarios/shop/rates.toml")).unwrap();
/// assert_eq!((rates.spoilage, rates.least), (50_000, Money::hundredths(2_500)));
/// assert_eq!(load_rates(Path::new("no-such.toml")).unwrap_err()[0].code, "B001");
/// ```
///
/// # Errors
/// Every fault found.
pub fn load_rates(path: &Path) -> Result<Rates, Vec<Finding>> {
    let text = crate::job::files::read(path, "the rates")?;
    read_rates(&path.display().to_string(), &text)
}

/// Reads rates from a text.
///
/// ```
/// use traywright::shop::read_rates;
/// let text = "currency = \"shells\"\nmachine.hour = \"much\"\nwork.hours = 18\n\
///             price.margin = 100\n";
/// let faults = read_rates("rates.toml", text).unwrap_err();
/// let keys: Vec<&str> = faults.iter().map(|f| f.place.path.as_str()).collect();
/// // A margin is less than the whole price.
/// assert_eq!(keys, ["machine.hour", "work.hours", "price.margin"]);
/// assert_eq!(faults[1].remedy, "Did you mean `hour`?");
/// ```
///
/// # Errors
/// Every fault found, in the order of the text.
pub fn read_rates(name: &str, text: &str) -> Result<Rates, Vec<Finding>> {
    crate::brief::read_table(name, text, |keys: &RatesKeys, reader| rates(keys, reader))
}

/// The value of a key of a table, where both are there and well.
macro_rules! given {
    ($table:expr, $key:ident) => {
        $table.value().and_then(|t| t.$key.value())
    };
}

fn rates(keys: &RatesKeys, reader: &mut Reader<'_>) -> Rates {
    let (price, work, material, overhead) = (&keys.price, &keys.work, &keys.material, &keys.overhead);
    let minutes = |field: Option<&keys::Minutes>| field.map_or(0, |m| m.0);
    let mut breaks: Vec<Break> = Vec::new();
    let fault = |at: &Spot, cause: String, reader: &mut Reader<'_>| {
        reader.report("S071", at.span, &at.path, cause);
    };
    for b in given!(price, breaks).into_iter().flatten() {
        if breaks.last().is_some_and(|last| last.from >= b.from)
            && let Some(all) = price.value().and_then(|p| p.breaks.get())
        {
            fault(&all.spot, format!("a break from {} boxes: quantities rise from 1", b.from), reader);
        }
        breaks.push(Break { from: b.from, off: b.off });
    }
    let profit = match price.value().map(|p| (&p.margin, &p.mark_up)) {
        Some((Field::Good(margin), Field::Absent)) => Profit::Margin(margin.value.0),
        Some((Field::Absent, Field::Good(mark_up))) => Profit::MarkUp(mark_up.value.0),
        Some((a, b)) if a.is_absent() == b.is_absent() && !a.is_bad() && !b.is_bad() => {
            let which = if a.is_absent() { "neither" } else { "both" };
            let cause = format!("{which} of `margin` and `mark_up` is given, and one of them is needed");
            if let Some(at) = price.get() {
                fault(&at.spot, cause, reader);
            }
            Profit::MarkUp(0)
        }
        // The value that is there, or the table, is told already.
        _ => Profit::MarkUp(0),
    };
    let money = |field: Option<&Money>| field.copied().unwrap_or(Money::ZERO);
    Rates {
        currency: keys.currency.value().map_or(String::new(), |w| w.0.clone()),
        shop: keys.shop.value().map_or(String::new(), |s| s.0.clone()),
        machine_hour: money(given!(keys.machine, hour)),
        work_hour: money(given!(work, hour)),
        glue_tray_ms: minutes(given!(work, minutes_a_tray)),
        glue_panel_ms: minutes(given!(work, minutes_a_panel)),
        handling_box_ms: minutes(given!(work, minutes_a_box)),
        handling_order_ms: minutes(given!(work, minutes_an_order)),
        material: given!(material, by).copied().unwrap_or(MaterialBy::Sheets),
        utilisation: given!(material, utilisation).map_or(UTILISATION, |s| s.0),
        spoilage: given!(material, spoilage).map_or(0, |s| s.0),
        square_metres: given!(material, square_metre).into_iter().flat_map(|m| m.0.clone()).collect(),
        overhead: given!(overhead, percent).map_or(0, |s| s.0),
        overhead_order: money(given!(overhead, an_order)),
        profit,
        least: money(given!(price, least)),
        round_to: given!(price, round_to).copied().unwrap_or(Money::hundredths(1)),
        breaks,
    }
}

//! The rates of a shop: what it pays and what it asks.

use std::collections::BTreeMap;
use std::path::Path;

use serde::Deserialize;

use super::{MILLION, Money};
use crate::finding::{Finding, Place};

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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    currency: String,
    #[serde(default)]
    shop: String,
    machine: Machine,
    work: Work,
    #[serde(default)]
    material: Material,
    #[serde(default)]
    overhead: Overhead,
    price: Price,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Machine {
    hour: Number,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Work {
    hour: Number,
    #[serde(default)]
    minutes_a_tray: Number,
    #[serde(default)]
    minutes_a_panel: Number,
    #[serde(default)]
    minutes_a_box: Number,
    #[serde(default)]
    minutes_an_order: Number,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Material {
    by: Option<String>,
    utilisation: Option<Number>,
    spoilage: Option<Number>,
    #[serde(default)]
    square_metre: BTreeMap<String, Number>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Overhead {
    percent: Option<Number>,
    an_order: Option<Number>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Price {
    margin: Option<Number>,
    mark_up: Option<Number>,
    least: Option<Number>,
    round_to: Option<Number>,
    #[serde(default)]
    breaks: Vec<(i64, Number)>,
}

/// A number as it is written, with or without quotes and a percent sign.
#[derive(Clone, Debug, Deserialize)]
#[serde(from = "toml::Value")]
struct Number(String);

impl Default for Number {
    fn default() -> Number {
        Number("0".to_owned())
    }
}

impl From<toml::Value> for Number {
    fn from(value: toml::Value) -> Number {
        Number(match value {
            toml::Value::String(text) => text,
            other => other.to_string(),
        })
    }
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
/// let text = "currency = \"shells\"\nmachine.hour = \"much\"\nwork.hour = -1\n\
///             price.margin = 100\n";
/// let faults = read_rates("rates.toml", text).unwrap_err();
/// let keys: Vec<&str> = faults.iter().map(|f| f.place.path.as_str()).collect();
/// // A margin is less than the whole price.
/// assert_eq!(keys, ["price.margin", "machine.hour", "work.hour"]);
/// ```
///
/// # Errors
/// Every fault found; a text that is no such file at all has one.
pub fn read_rates(name: &str, text: &str) -> Result<Rates, Vec<Finding>> {
    let file: File = toml::from_str(text).map_err(|e| {
        let mut place = Place { file: name.to_owned(), bytes: e.span(), ..Place::default() };
        if let Some(span) = e.span() {
            let before = text.get(..span.start).unwrap_or("");
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
            place.line_column = Some((line, column));
        }
        vec![Finding::listed("S070", e.message().to_owned()).at(place)]
    })?;
    let mut reading = Reading { name, findings: Vec::new() };
    let rates = reading.rates(&file);
    if reading.findings.is_empty() { Ok(rates) } else { Err(reading.findings) }
}

struct Reading<'a> {
    name: &'a str,
    findings: Vec<Finding>,
}

/// A day has so many milliseconds.
const DAY_MS: i64 = 24 * 3_600_000;

impl Reading<'_> {
    fn fault(&mut self, key: &str, cause: String) {
        let place = Place { file: self.name.to_owned(), path: key.to_owned(), ..Place::default() };
        self.findings.push(Finding::listed("S071", cause).at(place));
    }

    fn money(&mut self, key: &str, number: &Number) -> Money {
        Money::parse(&number.0).unwrap_or_else(|| {
            self.fault(key, format!("`{}` is no amount of money", number.0));
            Money::ZERO
        })
    }

    /// A share in percent, as millionths, from nothing to `most` percent.
    fn share(&mut self, key: &str, number: &Number, (least, most): (i64, i64)) -> i64 {
        let text = number.0.trim().trim_end_matches('%').trim();
        let millionths = Money::parse(text).map(|percent| percent.ratio(1, 100).millionths());
        match millionths.filter(|m| (least * 10_000..=most * 10_000).contains(m)) {
            Some(millionths) => millionths,
            None => {
                self.fault(key, format!("`{}` is no share from {least} to {most} %", number.0));
                least * 10_000
            }
        }
    }

    fn minutes(&mut self, key: &str, number: &Number) -> i64 {
        let ms = number.0.trim().parse::<f64>().ok().map(|m| (m * 60_000.0).round() as i64);
        match ms.filter(|ms| (0..=DAY_MS).contains(ms)) {
            Some(ms) => ms,
            None => {
                self.fault(key, format!("`{}` is no number of minutes within a day", number.0));
                0
            }
        }
    }

    fn rates(&mut self, file: &File) -> Rates {
        let percent = |n: &Option<Number>, usual: &str| n.clone().unwrap_or(Number(usual.to_owned()));
        let (price, work, material) = (&file.price, &file.work, &file.material);
        let profit = match (&price.margin, &price.mark_up) {
            (Some(margin), None) => Profit::Margin(self.share("price.margin", margin, (0, 99))),
            (None, Some(mark_up)) => Profit::MarkUp(self.share("price.mark_up", mark_up, (0, 10_000))),
            (both, _) => {
                let which = if both.is_some() { "both" } else { "neither" };
                let cause = format!("{which} of `margin` and `mark_up` is given, and one of them is needed");
                self.fault("price", cause);
                Profit::MarkUp(0)
            }
        };
        let by = match material.by.as_deref() {
            None | Some("sheets") => MaterialBy::Sheets,
            Some("area") => MaterialBy::Area,
            Some(other) => {
                self.fault("material.by", format!("`{other}` is neither \"sheets\" nor \"area\""));
                MaterialBy::Sheets
            }
        };
        let mut breaks: Vec<Break> = Vec::new();
        for (from, off) in &price.breaks {
            let off = self.share("price.breaks", off, (0, 99));
            if *from < 1 || breaks.last().is_some_and(|b| b.from >= *from) {
                self.fault("price.breaks", format!("a break from {from} boxes: quantities rise from 1"));
            }
            breaks.push(Break { from: *from, off });
        }
        let metres: Vec<(String, Money)> = material
            .square_metre
            .iter()
            .map(|(id, price)| (id.clone(), self.money(&format!("material.square_metre.{id}"), price)))
            .collect();
        Rates {
            currency: file.currency.clone(),
            shop: file.shop.clone(),
            machine_hour: self.money("machine.hour", &file.machine.hour),
            work_hour: self.money("work.hour", &work.hour),
            glue_tray_ms: self.minutes("work.minutes_a_tray", &work.minutes_a_tray),
            glue_panel_ms: self.minutes("work.minutes_a_panel", &work.minutes_a_panel),
            handling_box_ms: self.minutes("work.minutes_a_box", &work.minutes_a_box),
            handling_order_ms: self.minutes("work.minutes_an_order", &work.minutes_an_order),
            material: by,
            // 80 %: the middle of what nesting of mixed rectangles usually yields (common practice, no source).
            utilisation: self.share("material.utilisation", &percent(&material.utilisation, "80"), (1, 100)),
            spoilage: self.share("material.spoilage", &percent(&material.spoilage, "0"), (0, 90)),
            square_metres: metres.into_iter().collect(),
            overhead: self.share("overhead.percent", &percent(&file.overhead.percent, "0"), (0, 1_000)),
            overhead_order: self.money("overhead.an_order", &percent(&file.overhead.an_order, "0")),
            profit,
            least: self.money("price.least", &percent(&price.least, "0")),
            round_to: self.money("price.round_to", &percent(&price.round_to, "0.01")),
            breaks,
        }
    }
}

//! What a box costs to make, and what to ask for it.
//!
//! All money is exact. The rules are common practice; no term is hidden: every one stands in the costing page.

mod figures;
mod money;
mod pages;
mod rates;

pub(super) use figures::made;
pub use money::Money;
pub use pages::{Offer, costing_html, quote_html, quote_json, quote_text};
pub use rates::{Break, MaterialBy, Profit, Rates, load_rates, read_rates};

use crate::finding::Finding;

/// Sheets of one size that one box takes.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::{Bought, Figures, Money}};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, sheets = [[600, 300, 4.50]] }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let figures = Figures::of_plan(&job, &plan, 1_000).unwrap();
/// let (size, price) = ("600 × 300 mm".into(), Some(Money::hundredths(450)));
/// let bought = Bought { size, count: 1, price, area_mm2: 180_000 };
/// assert_eq!(figures.materials[0].sheets, [bought]);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bought {
    /// Its size in words.
    pub size: String,
    /// How many.
    pub count: i64,
    /// Price of one, where known.
    pub price: Option<Money>,
    /// Area of one, mm².
    pub area_mm2: i64,
}

/// What one box takes of one stock.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::Figures};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, sheets = [[600, 300, 4.50]] }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let wood = &Figures::of_plan(&job, &plan, 1_000).unwrap().materials[0];
/// assert_eq!((wood.name.as_str(), wood.setup_ms), ("birch plywood 3 mm", 300_000));
/// // What is used up is less than what is bought.
/// assert!(wood.used_mm2 < wood.sheets[0].area_mm2);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MaterialFigures {
    /// Identifier of the stock.
    pub stock: String,
    /// Its name, for a reader.
    pub name: String,
    /// Sheets to buy.
    pub sheets: Vec<Bought>,
    /// Area of the panels, mm².
    pub used_mm2: i64,
    /// Length of all cuts, mm.
    pub cut_mm: i64,
    /// Time along the cuts, ms.
    pub cutting_ms: i64,
    /// Time to begin lines, ms.
    pub pierces_ms: i64,
    /// Time to set up sheets, ms.
    pub setup_ms: i64,
}

/// What one box takes.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::Figures};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, sheets = [[600, 300, 4.50]] }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let figures = Figures::of_plan(&job, &plan, 1_000).unwrap();
/// assert_eq!((figures.trays, figures.panels), (1, 5)); // a floor and four walls
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Figures {
    /// By stock.
    pub materials: Vec<MaterialFigures>,
    /// Trays to put together.
    pub trays: i64,
    /// Panels to put together.
    pub panels: i64,
}

/// One term of the cost, for all boxes of an order.
///
/// ```
/// # use traywright::shop::{Figures, cost, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// let glue = &cost(&figures, &rates, 10).unwrap().direct[0];
/// // Ten times six minutes at 18.00 an hour.
/// assert_eq!((glue.what.as_str(), glue.money.to_string()), ("glue-up", "18.00".into()));
/// assert!(glue.how.starts_with("6.0 min for 1 tray"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// What it is.
    pub what: String,
    /// How it comes about, with its numbers.
    pub how: String,
    /// How much.
    pub money: Money,
}

/// Cost and price of an order of so many boxes.
///
/// ```
/// # use traywright::shop::{Figures, cost, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// let costing = cost(&figures, &rates, 10).unwrap();
/// assert_eq!(costing.direct_sum + costing.overhead.money, costing.cost);
/// // A margin of 50 %.
/// assert_eq!([costing.cost, costing.price].map(|m| m.to_string()), ["18.00", "36.00"]);
/// assert_eq!(costing.profit, costing.price - costing.cost);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Costing {
    /// How many boxes.
    pub quantity: i64,
    /// Material, machine, work: what would not be spent without this order.
    pub direct: Vec<Term>,
    /// Sum of [`Costing::direct`].
    pub direct_sum: Money,
    /// What the shop costs anyway.
    pub overhead: Term,
    /// Direct cost and overhead.
    pub cost: Money,
    /// Cost with margin or mark-up, before the price break and the least charge.
    pub list: Money,
    /// The break for this quantity, millionths of the list price.
    pub break_millionths: i64,
    /// What is asked for the order.
    pub price: Money,
    /// Whether the least charge decides.
    pub least: bool,
    /// What the price leaves over the cost.
    pub profit: Money,
}

impl Costing {
    /// Price of one box, rounded up to the rates' step.
    ///
    /// ```
    /// # use traywright::shop::{Figures, Money, cost, read_rates};
    /// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
    /// #     work = { hour = 18, minutes_a_tray = 6 }";
    /// # let rates = read_rates("rates.toml", rates).unwrap();
    /// let rates = traywright::shop::Rates { round_to: Money::hundredths(50), ..rates };
    /// let costing = cost(&Figures { trays: 1, ..Figures::default() }, &rates, 4).unwrap();
    /// // 14.40 is asked in steps of 0.50; a quarter of that, 3.625, is rounded up once more.
    /// assert_eq!(costing.price, Money::hundredths(1_450));
    /// assert_eq!(costing.each(&rates), Money::hundredths(400));
    /// ```
    pub fn each(&self, rates: &Rates) -> Money {
        self.price.over_up(self.quantity).rounded_up(rates.round_to)
    }

    /// Profit as a share of the price, percent.
    ///
    /// ```
    /// # use traywright::shop::{Figures, Profit, Rates, cost, read_rates};
    /// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
    /// #     work = { hour = 18, minutes_a_tray = 6 }";
    /// # let rates = read_rates("rates.toml", rates).unwrap();
    /// let figures = Figures { trays: 1, ..Figures::default() };
    /// assert_eq!(cost(&figures, &rates, 1).unwrap().margin_percent(), 50.0);
    /// // A mark-up of 25 % is a fifth of the price.
    /// let rates = Rates { profit: Profit::MarkUp(250_000), ..rates };
    /// assert_eq!(cost(&figures, &rates, 1).unwrap().margin_percent(), 20.0);
    /// ```
    pub fn margin_percent(&self) -> f64 {
        self.profit.percent_of(self.price)
    }
}

const MILLION: i64 = 1_000_000;
const HOUR_MS: i64 = 3_600_000;
const MINUTE_MS: i64 = 60_000;
const M2: i64 = 1_000_000;

/// A number with its noun.
fn counted(n: i64, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

fn times(n: i64) -> String {
    if n == 1 { "once".to_owned() } else { format!("{n} times") }
}

/// Cost and price of `quantity` boxes.
///
/// - Material by sheets: every sheet that is bought for a box, whether it is used up or not. By area: price of a square
///   metre × area of the panels / utilisation, so that cost rises as utilisation falls.
/// - Spoilage: of what is cut this share is thrown away, so material and machine are divided by the rest.
/// - Price = cost / (1 − margin), or cost × (1 + mark-up): 30 % margin is × 1.4286, 30 % mark-up is × 1.30.
///
/// ```
/// # use traywright::shop::{Bought, Figures, MaterialFigures, Money, cost, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// # let sheet = |price| Bought { size: "sheet".into(), count: 2, price, area_mm2: 180_000 };
/// # let made_of = |price| Figures {
/// #     materials: vec![MaterialFigures {
/// #         stock: "birch-3".into(), name: "birch".into(), sheets: vec![sheet(price)],
/// #         used_mm2: 1_000, cut_mm: 0, cutting_ms: 0, pierces_ms: 0, setup_ms: 0,
/// #     }],
/// #     ..Figures::default()
/// # };
/// // Two sheets a box at 4.50, though little of them is used: three boxes cost 27.00.
/// let costing = cost(&made_of(Some(Money::hundredths(450))), &rates, 3).unwrap();
/// assert_eq!((costing.cost, costing.price), (Money::hundredths(2_700), Money::hundredths(5_400)));
/// assert_eq!(cost(&made_of(None), &rates, 3).unwrap_err()[0].code, "S072");
/// assert_eq!(cost(&Figures::default(), &rates, 0).unwrap_err()[0].code, "S073");
/// ```
///
/// # Errors
/// Stocks without a price, and a quantity below one.
pub fn cost(figures: &Figures, rates: &Rates, quantity: i64) -> Result<Costing, Vec<Finding>> {
    let mut findings = Vec::new();
    if !(1..=MILLION).contains(&quantity) {
        findings.push(Finding::listed("S073", format!("an order of {quantity} boxes")));
    }
    let mut direct = Vec::new();
    let kept = MILLION - rates.spoilage;
    let spoilt = if rates.spoilage > 0 {
        format!(", {} of it spoilt", percent_text(rates.spoilage))
    } else {
        String::new()
    };
    for m in &figures.materials {
        match material(m, rates) {
            Ok((how, one)) => direct.push(Term {
                what: format!("material: {}", m.name),
                how: format!("{how}, {}{spoilt}", times(quantity)),
                money: (one * quantity).ratio(MILLION, kept),
            }),
            Err(finding) => findings.push(finding),
        }
    }
    if !findings.is_empty() {
        return Err(findings);
    }
    let sum = |of: fn(&MaterialFigures) -> i64| figures.materials.iter().map(of).sum::<i64>();
    let (cutting, pierces, setup) = (sum(|m| m.cutting_ms), sum(|m| m.pierces_ms), sum(|m| m.setup_ms));
    let machine = cutting + pierces + setup;
    direct.push(Term {
        what: "machine".to_owned(),
        how: format!(
            "{} min along {:.1} m of cut, {} min to begin lines, {} min to set up sheets, {}, at {} an hour{spoilt}",
            minutes(cutting),
            sum(|m| m.cut_mm) as f64 / 1000.0,
            minutes(pierces),
            minutes(setup),
            times(quantity),
            rates.machine_hour
        ),
        money: (rates.machine_hour * quantity).ratio(machine, HOUR_MS).ratio(MILLION, kept),
    });
    let glue = rates.glue_tray_ms * figures.trays + rates.glue_panel_ms * figures.panels;
    direct.push(Term {
        what: "glue-up".to_owned(),
        how: format!(
            "{} min for {} of {}, {}, at {} an hour",
            minutes(glue),
            counted(figures.trays, "tray"),
            counted(figures.panels, "panel"),
            times(quantity),
            rates.work_hour
        ),
        money: (rates.work_hour * quantity).ratio(glue, HOUR_MS),
    });
    let handling = rates.handling_box_ms * quantity + rates.handling_order_ms;
    direct.push(Term {
        what: "handling".to_owned(),
        how: format!(
            "{} min a box and {} min an order, at {} an hour",
            minutes(rates.handling_box_ms),
            minutes(rates.handling_order_ms),
            rates.work_hour
        ),
        money: rates.work_hour.ratio(handling, HOUR_MS),
    });
    direct.retain(|t| t.money != Money::ZERO);
    let direct_sum: Money = direct.iter().map(|t| t.money).sum();
    let overhead = Term {
        what: "overhead".to_owned(),
        how: format!(
            "{} of the direct cost and {} an order",
            percent_text(rates.overhead),
            rates.overhead_order
        ),
        money: direct_sum.ratio(rates.overhead, MILLION) + rates.overhead_order,
    };
    let cost = direct_sum + overhead.money;
    let list = rates.profit.price(cost);
    let break_millionths = rates.breaks.iter().rev().find(|b| b.from <= quantity).map_or(0, |b| b.off);
    let asked = list.ratio(MILLION - break_millionths, MILLION).rounded_up(rates.round_to);
    let least = asked < rates.least;
    let price = if least { rates.least } else { asked };
    let profit = price - cost;
    Ok(Costing { quantity, direct, direct_sum, overhead, cost, list, break_millionths, price, least, profit })
}

/// Material of one box: how it is reckoned, and how much.
fn material(m: &MaterialFigures, rates: &Rates) -> Result<(String, Money), Finding> {
    let none = || {
        let cause = format!("nothing says what \"{}\" costs", m.name);
        Finding::listed("S072", cause)
    };
    let by_m2 = rates.square_metres.get(&m.stock).copied();
    match rates.material {
        MaterialBy::Sheets => {
            let mut all = Money::ZERO;
            let mut words = Vec::new();
            for s in &m.sheets {
                let one = s.price.or_else(|| by_m2.map(|p| p.ratio(s.area_mm2, M2))).ok_or_else(none)?;
                all = all + one * s.count;
                words.push(format!("{} × {} at {one}", s.count, s.size));
            }
            Ok((words.join(", "), all))
        }
        MaterialBy::Area => {
            let bought: i64 = m.sheets.iter().map(|s| s.area_mm2 * s.count).sum();
            let prices: Option<Vec<Money>> = m.sheets.iter().map(|s| s.price.map(|p| p * s.count)).collect();
            // Without a price of its own, a square metre costs what it does in the sheets that would be bought.
            let by_sheets = prices
                .filter(|p| !p.is_empty() && bought > 0)
                .map(|p| p.into_iter().sum::<Money>().ratio(M2, bought));
            let square_metre = by_m2.or(by_sheets).ok_or_else(none)?;
            let used = m.used_mm2 as f64 / 1e6;
            let how = format!(
                "{used:.3} m² of panels at {square_metre} a square metre and a utilisation of {}",
                percent_text(rates.utilisation)
            );
            Ok((how, square_metre.ratio(m.used_mm2, M2).ratio(MILLION, rates.utilisation)))
        }
    }
}

fn minutes(ms: i64) -> String {
    format!("{:.1}", ms as f64 / MINUTE_MS as f64)
}

/// Millionths as percent.
fn percent_text(millionths: i64) -> String {
    let text = format!("{:.2}", millionths as f64 / 10_000.0);
    format!("{} %", text.trim_end_matches('0').trim_end_matches('.'))
}

#[cfg(test)]
mod tests;

//! The pages of an offer: a quote for the customer, a costing for the shop.

use serde_json::{Value, json};

use super::{Costing, Figures, MaterialBy, Profit, Rates, Term, counted, percent_text};
use crate::draw::{Bar, bars, cell, escape, exploded_section, inline, page, plain, table_head, wrap};
use crate::job::Job;
use crate::plan::Plan;

/// What is offered.
///
/// ```
/// # use traywright::shop::{Figures, Offer, cost, quote_html, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// # let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// # let costings = vec![cost(&figures, &rates, 10).unwrap()];
/// # let (title, customer) = ("Pilot".to_owned(), "the harbour office".to_owned());
/// # let (about, picture) = (vec!["An insert of one tray.".to_owned()], String::new());
/// let offer = Offer { title, customer, about, picture, figures, rates, costings };
/// assert!(quote_html(&offer).contains("for the harbour office"));
/// let anyone = Offer { customer: String::new(), ..offer };
/// assert!(!quote_html(&anyone).contains("for the"));
/// ```
#[derive(Clone, Debug)]
pub struct Offer {
    /// What the job is called.
    pub title: String,
    /// Whom it is for; not said where empty.
    pub customer: String,
    /// What is made, in sentences.
    pub about: Vec<String>,
    /// A picture for the customer (HTML), or nothing.
    pub picture: String,
    /// What one box takes.
    pub figures: Figures,
    /// The shop's rates.
    pub rates: Rates,
    /// One a quantity.
    pub costings: Vec<Costing>,
}

impl Offer {
    /// The offer for a plan, with a view of it.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan};
    /// # use traywright::shop::{Figures, Offer, cost, load_rates};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, sheets = [[600, 300, 4.50]] }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = plan::Options::default();
    /// # options.nodes = 10_000;
    /// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
    /// let figures = Figures::of_plan(&job, &plan, 1_000).unwrap();
    /// let rates = load_rates("../scenarios/shop/rates.toml".as_ref()).unwrap();
    /// let costings = vec![cost(&figures, &rates, 1).unwrap()];
    /// let offer = Offer::of_plan(&job, &plan, "the pilot".into(), figures, rates, costings);
    /// assert_eq!(offer.about[1], "Made of birch plywood 3 mm, 5 panels.");
    /// assert!(offer.about[0].ends_with("120 × 90 × 40 mm inside."));
    /// assert!(offer.picture.contains("<svg"));
    /// ```
    pub fn of_plan(
        job: &Job,
        plan: &Plan,
        customer: String,
        figures: Figures,
        rates: Rates,
        costings: Vec<Costing>,
    ) -> Offer {
        let inside = job.container.interior;
        let mut stocks: Vec<String> = figures.materials.iter().map(|m| m.name.clone()).collect();
        stocks.dedup();
        let about = vec![
            format!(
                "An insert of {} for a box of {} × {} × {} inside.",
                counted(figures.trays, "tray"),
                inside.w.show_number(job.unit),
                inside.d.show_number(job.unit),
                inside.h.show(job.unit)
            ),
            format!("Made of {}, {}.", stocks.join(", "), counted(figures.panels, "panel")),
        ];
        let title = plan.title.clone();
        Offer { title, customer, about, picture: exploded_section(job, plan), figures, rates, costings }
    }
}

fn said(text: &str) -> String {
    escape(&plain(text))
}

/// The page for the customer: what is made and what it costs, nothing of what it costs the shop.
///
/// ```
/// # use traywright::shop::{Figures, Offer, cost, quote_html, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// # let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// # let costings = vec![cost(&figures, &rates, 10).unwrap()];
/// # let (title, customer) = ("Pilot".to_owned(), "the harbour office".to_owned());
/// # let (about, picture) = (vec!["An insert of one tray.".to_owned()], String::new());
/// let offer = Offer { title, customer, about, picture, figures, rates, costings };
/// let page = quote_html(&offer);
/// // Price and price of one, but not the cost of 18.00.
/// assert!(page.contains(">36.00<") && page.contains(">3.60<") && !page.contains("18.00"));
/// ```
pub fn quote_html(offer: &Offer) -> String {
    let rates = &offer.rates;
    let mut inner = format!("<header>\n<h1>Quote: {}</h1>\n", said(&offer.title));
    let mut from = Vec::new();
    if !rates.shop.is_empty() {
        from.push(format!("from {}", said(&rates.shop)));
    }
    if !offer.customer.is_empty() {
        from.push(format!("for {}", said(&offer.customer)));
    }
    if !from.is_empty() {
        inner += &format!("<p class=\"soft\">{}</p>\n", from.join(", "));
    }
    inner += &offer.about.iter().map(|l| format!("<p>{}</p>\n", escape(l))).collect::<String>();
    inner += "</header>\n";
    let (each, total) =
        (format!("each, {}", plain(&rates.currency)), format!("together, {}", plain(&rates.currency)));
    let mut table =
        format!("<table>\n{}<tbody>\n", table_head(&[("n", "Inserts"), ("n", &each), ("n", &total)]));
    for c in &offer.costings {
        let cells = [
            cell("n", "Inserts", &c.quantity.to_string()),
            cell("n", &each, &c.each(rates).to_string()),
            cell("n", &total, &c.price.to_string()),
        ];
        table += &format!("<tr>{}</tr>\n", cells.concat());
    }
    table += "</tbody>\n</table>\n";
    if offer.costings.iter().any(|c| c.least) {
        table += &format!("<p class=\"small\">No order costs less than {}.</p>\n", rates.least);
    }
    table += "<p class=\"small soft\">Made to the sizes that were measured and given; the price of one is rounded up to a \
              step, the sum is what counts.</p>\n";
    inner += &wrap("prices", "Prices", &table);
    inner += &offer.picture;
    page(&format!("Quote: {}", plain(&offer.title)), &inner)
}

/// How profit is reckoned, in words.
fn profit_words(rates: &Rates) -> String {
    match rates.profit {
        Profit::Margin(share) => {
            format!("margin {} of the price: cost / (1 − {})", percent_text(share), decimal(share))
        }
        Profit::MarkUp(share) => {
            format!("mark-up {} on the cost: cost × (1 + {})", percent_text(share), decimal(share))
        }
    }
}

fn decimal(millionths: i64) -> String {
    let text = format!("{:.6}", millionths as f64 / 1e6);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The page for the shop: every term with its numbers.
///
/// ```
/// # use traywright::shop::{Figures, Offer, cost, costing_html, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// # let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// # let costings = vec![cost(&figures, &rates, 10).unwrap()];
/// # let (title, customer) = ("Pilot".to_owned(), "the harbour office".to_owned());
/// # let (about, picture) = (vec!["An insert of one tray.".to_owned()], String::new());
/// let offer = Offer { title, customer, about, picture, figures, rates, costings };
/// let page = costing_html(&offer);
/// assert!(page.contains("For the shop, not for the customer."));
/// assert!(page.contains("glue-up") && page.contains(">18.00<") && page.contains(">36.00<"));
/// ```
pub fn costing_html(offer: &Offer) -> String {
    let rates = &offer.rates;
    let by = match rates.material {
        MaterialBy::Sheets => "Material is charged by the sheets that are bought for each box.",
        MaterialBy::Area => "Material is charged by the panels' area over the utilisation.",
    };
    let mut inner = format!(
        "<header>\n<h1>Costing: {}</h1>\n<p class=\"soft\">For the shop, not for the customer. Amounts in {}.</p>\n<p>{by} Planning \
         figures: times may be 20 % off before they are measured on your machine (common practice, no source).</p>\n</header>\n",
        said(&offer.title),
        said(&rates.currency)
    );
    if let Some(first) = offer.costings.first() {
        let drawn: Vec<Bar> = first
            .direct
            .iter()
            .chain([&first.overhead])
            .map(|t| Bar {
                name: plain(&t.what),
                value: t.money.percent_of(first.cost),
                note: format!("{} ({:.0} %)", t.money, t.money.percent_of(first.cost)),
                full: true,
                bold: false,
            })
            .collect();
        let (wide, narrow) = (bars(&drawn, 168.0), bars(&drawn, 84.0));
        let figure = format!(
            "<figure>\n{}{}</figure>\n",
            inline(&wide.0, (wide.1, wide.2), "wide", "Parts of the cost"),
            inline(&narrow.0, (narrow.1, narrow.2), "narrow", "Parts of the cost")
        );
        let heading = format!("Where the cost lies, an order of {}", first.quantity);
        inner += &wrap("parts", &heading, &figure);
    }
    for c in &offer.costings {
        let mut table = format!(
            "<table class=\"cards\">\n{}<tbody>\n",
            table_head(&[("", "Term"), ("", "How"), ("n", "Amount")])
        );
        for (term, sum) in terms(c, rates) {
            let class = if sum { " class=\"sum\"" } else { "" };
            table += &format!(
                "<tr{class}>{}{}{}</tr>\n",
                cell("first", "Term", &said(&term.what)),
                cell("", "How", &escape(&term.how)),
                cell("n", "Amount", &term.money.to_string())
            );
        }
        table += "</tbody>\n</table>\n";
        if c.profit < super::Money::ZERO {
            table += "<p><b>This price is below the cost.</b></p>\n";
        }
        let heading = if c.quantity == 1 {
            "One insert".to_owned()
        } else {
            format!("An order of {} inserts", c.quantity)
        };
        inner += &wrap(&format!("order-{}", c.quantity), &heading, &table);
    }
    page(&format!("Costing: {}", plain(&offer.title)), &inner)
}

/// All rows of a costing; sums are marked.
fn terms(c: &Costing, rates: &Rates) -> Vec<(Term, bool)> {
    let term = |what: &str, how: String, money| Term { what: what.to_owned(), how, money };
    let mut out: Vec<(Term, bool)> = c.direct.iter().map(|t| (t.clone(), false)).collect();
    out.push((term("direct cost", "sum of the above".to_owned(), c.direct_sum), true));
    out.push((c.overhead.clone(), false));
    out.push((term("cost", "direct cost and overhead".to_owned(), c.cost), true));
    out.push((term("list price", profit_words(rates), c.list), false));
    let mut how = Vec::new();
    if c.break_millionths > 0 {
        how.push(format!("{} off for {}", percent_text(c.break_millionths), c.quantity));
    }
    if c.least {
        how.push("the least charge decides".to_owned());
    } else {
        how.push(format!("rounded up to {}", rates.round_to));
    }
    out.push((term("price", how.join(", "), c.price), true));
    let each = format!("{} each", c.each(rates));
    out.push((
        term("price less cost", format!("{:.1} % of the price; {each}", c.margin_percent()), c.profit),
        false,
    ));
    out
}

/// For a screen: one row a quantity, and the terms of the first.
///
/// ```
/// # use traywright::shop::{Figures, Offer, cost, quote_text, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// # let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// # let costings = vec![cost(&figures, &rates, 10).unwrap()];
/// # let (title, customer) = ("Pilot".to_owned(), "the harbour office".to_owned());
/// # let (about, picture) = (vec!["An insert of one tray.".to_owned()], String::new());
/// let offer = Offer { title, customer, about, picture, figures, rates, costings };
/// let text = quote_text(&offer);
/// assert!(text.starts_with("Pilot: cost and price in shells\n"));
/// let row: Vec<&str> = text.lines().nth(2).unwrap().split_whitespace().collect();
/// assert_eq!(row[..4], ["10", "18.00", "36.00", "3.60"]); // inserts, cost, price, each
/// ```
pub fn quote_text(offer: &Offer) -> String {
    let rates = &offer.rates;
    let mut out = format!("{}: cost and price in {}\n", plain(&offer.title), plain(&rates.currency));
    out += "  inserts        cost       price        each   of the price\n";
    for c in &offer.costings {
        let least = if c.least { ", the least charge" } else { "" };
        out += &format!(
            "{:>9}{:>12}{:>12}{:>12}{:>9.1} % profit{least}\n",
            c.quantity,
            c.cost.to_string(),
            c.price.to_string(),
            c.each(rates).to_string(),
            c.margin_percent()
        );
    }
    if let Some(first) = offer.costings.first() {
        out += &format!("\nAn order of {}\n", first.quantity);
        for (term, _) in terms(first, rates) {
            let line = format!("{:>12}  {}: {}", term.money.to_string(), plain(&term.what), term.how);
            let cut: String = line.chars().take(99).collect();
            out += &if cut == line { line } else { format!("{cut}…") };
            out.push('\n');
        }
    }
    out
}

/// Everything, for other programs; amounts are texts with two decimals.
///
/// ```
/// # use traywright::shop::{Figures, Offer, cost, quote_json, read_rates};
/// # let rates = "currency = \"shells\"\nmachine.hour = 24\nprice.margin = 50\n\
/// #     work = { hour = 18, minutes_a_tray = 6 }";
/// # let rates = read_rates("rates.toml", rates).unwrap();
/// # let figures = Figures { trays: 1, panels: 5, ..Figures::default() };
/// # let costings = vec![cost(&figures, &rates, 10).unwrap()];
/// # let (title, customer) = ("Pilot".to_owned(), "the harbour office".to_owned());
/// # let (about, picture) = (vec!["An insert of one tray.".to_owned()], String::new());
/// let offer = Offer { title, customer, about, picture, figures, rates, costings };
/// let read: serde_json::Value = serde_json::from_str(&quote_json(&offer)).unwrap();
/// assert_eq!(read["orders"][0]["price"], "36.00"); // a text, so that no reader rounds it
/// assert_eq!(read["orders"][0]["terms"][0]["what"], "glue-up");
/// ```
pub fn quote_json(offer: &Offer) -> String {
    let rates = &offer.rates;
    let costings: Vec<Value> = offer
        .costings
        .iter()
        .map(|c| {
            let terms: Vec<Value> = terms(c, rates)
                .iter()
                .map(|(t, _)| json!({ "what": t.what, "how": t.how, "amount": t.money.to_string() }))
                .collect();
            json!({
                "quantity": c.quantity, "cost": c.cost.to_string(), "price": c.price.to_string(),
                "each": c.each(rates).to_string(), "profit": c.profit.to_string(), "least_charge": c.least, "terms": terms,
            })
        })
        .collect();
    let all = json!({ "title": offer.title, "currency": rates.currency, "orders": costings });
    format!("{all:#}\n")
}

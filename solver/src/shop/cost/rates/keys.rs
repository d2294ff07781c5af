//! The tables and keys of a file of rates, declared as those of a brief are. Forms are told nowhere yet: there is no
//! schema of rates, and those of shares and of prices by stock say less than is read.

use super::super::Money;
use super::MaterialBy;
use crate::brief::form::{Form, Read, table, words};
use crate::brief::number::plain;
use crate::brief::reader::{Path, Reader};
use crate::brief::tree::{Node, Value};
use crate::brief::value::{Whole, Words, written};

table! {
    /// The rates of a shop.
    struct RatesKeys is "rates" {
        /// What the currency is called; only ever printed.
        currency: Words, needed;
        /// Who asks.
        shop: Shop;
        /// What machines cost.
        machine: MachineKeys, needed;
        /// What work costs, and how long it takes.
        work: WorkKeys, needed;
        /// How material is charged.
        material: MaterialKeys;
        /// What is added to the direct cost.
        overhead: OverheadKeys;
        /// What is asked.
        price: PriceKeys, needed;
    }
}

table! {
    /// What machines cost.
    struct MachineKeys is "machine" {
        /// A machine's hour.
        hour: Money, needed;
    }
}

table! {
    /// What work costs, and how long it takes.
    struct WorkKeys is "work" {
        /// A worker's hour.
        hour: Money, needed;
        /// Glueing up a tray.
        minutes_a_tray: Minutes;
        /// The same for each of its panels.
        minutes_a_panel: Minutes;
        /// Sanding, cleaning and packing a box.
        minutes_a_box: Minutes;
        /// Taking an order in and sending it off.
        minutes_an_order: Minutes;
    }
}

table! {
    /// How material is charged.
    struct MaterialKeys is "material" {
        /// By sheets or by area. Default sheets.
        by: MaterialBy;
        /// Share of bought sheets that becomes panels. Default 80 %.
        utilisation: Share<1, 100>;
        /// Share of what is cut that is thrown away. Default 0.
        spoilage: Share<0, 90>;
        /// A square metre, by the stock's identifier or name.
        square_metre: Metres;
    }
}

table! {
    /// What is added to the direct cost.
    struct OverheadKeys is "overhead" {
        /// Percent of the direct cost.
        percent: Share<0, 1_000>;
        /// An order.
        an_order: Money;
    }
}

table! {
    /// What is asked.
    struct PriceKeys is "price" {
        /// Share of the price.
        margin: Share<0, 99>;
        /// Share of the cost.
        mark_up: Share<0, 10_000>;
        /// No order costs less.
        least: Money;
        /// Prices are rounded up to this. Default 0.01.
        round_to: Money;
        /// From so many boxes on so much off, each `[boxes, percent]`.
        breaks: Vec<BreakEntry>;
    }
}

words! { MaterialBy, "a way of charging material" {
    "sheets" => MaterialBy::Sheets, "Every sheet that is bought.";
    "area" => MaterialBy::Area, "The panels' area over the utilisation.";
} }

/// Who asks; nobody where it is empty.
#[derive(Clone, Debug)]
pub(super) struct Shop(pub(super) String);

impl Read for Shop {
    fn form() -> Form {
        Form::Text
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        if let Value::Text(text) = &node.value
            && text.trim().is_empty()
        {
            return Some(Shop(String::new()));
        }
        Words::read(node, path, reader).map(|words| Shop(words.0))
    }
}

/// A value that cannot be.
fn refuse(node: &Node, path: &Path, reader: &mut Reader<'_>, cause: String) {
    let remedy = "Correct the value.";
    reader.report_with("S071", node.span, path.text(), cause, remedy);
}

impl Read for Money {
    fn form() -> Form {
        Form::Number("0", "999999999")
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let text = written(node, path, reader, "an amount of money")?;
        let money = plain(&text).ok().and_then(|plain| Money::parse(&plain));
        if money.is_none() {
            refuse(node, path, reader, format!("`{}` is no amount of money", crate::brief::clip(&text)));
        }
        money
    }
}

/// A day has so many milliseconds.
const DAY_MS: i64 = 24 * 3_600_000;

/// Minutes within a day, in milliseconds.
#[derive(Clone, Copy, Debug)]
pub(super) struct Minutes(pub(super) i64);

impl Read for Minutes {
    fn form() -> Form {
        Form::Number("0", "1440")
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let text = written(node, path, reader, "a number of minutes")?;
        let minutes = plain(&text).ok().and_then(|plain| plain.parse::<f64>().ok());
        let ms = minutes.map(|minutes| (minutes * 60_000.0).round() as i64);
        let ms = ms.filter(|ms| (0..=DAY_MS).contains(ms));
        if ms.is_none() {
            let cause = format!("`{}` is no number of minutes within a day", crate::brief::clip(&text));
            refuse(node, path, reader, cause);
        }
        ms.map(Minutes)
    }
}

/// A share in percent, as a number or with a percent sign; in millionths.
#[derive(Clone, Copy, Debug)]
pub(super) struct Share<const LEAST: i64, const MOST: i64>(pub(super) i64);

impl<const LEAST: i64, const MOST: i64> Read for Share<LEAST, MOST> {
    fn form() -> Form {
        Form::Number("0", "10000")
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let text = written(node, path, reader, "a share in percent")?;
        let percent = plain(text.trim_end_matches('%')).ok().and_then(|plain| Money::parse(&plain));
        let millionths = percent.map(|p| p.ratio(1, 100).millionths());
        let millionths = millionths.filter(|m| (LEAST * 10_000..=MOST * 10_000).contains(m));
        if millionths.is_none() {
            let cause = format!("`{}` is no share from {LEAST} to {MOST} %", crate::brief::clip(&text));
            refuse(node, path, reader, cause);
        }
        millionths.map(Share)
    }
}

/// Prices of a square metre, by the names of stocks.
#[derive(Clone, Debug)]
pub(super) struct Metres(pub(super) Vec<(String, Money)>);

impl Read for Metres {
    fn form() -> Form {
        Form::Text
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let Value::Table(table) = &node.value else {
            reader.wrong_kind(node, path, "a table of stocks and their prices");
            return None;
        };
        let price = |e: &crate::brief::tree::Entry| {
            Some((e.key.clone(), Money::read(&e.node, &path.key(&e.key), reader)?))
        };
        Some(Metres(table.entries.iter().filter_map(price).collect()))
    }
}

/// A price break.
#[derive(Clone, Copy, Debug)]
pub(super) struct BreakEntry {
    pub(super) from: i64,
    pub(super) off: i64,
}

impl Read for BreakEntry {
    fn form() -> Form {
        Form::Tuple(vec![Whole::<1, 1_000_000>::form(), Share::<0, 99>::form()])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let Value::List(list) = &node.value else {
            reader.wrong_kind(node, path, "a list of boxes and percent");
            return None;
        };
        let [from, off] = &list[..] else {
            reader.report(
                "B014",
                node.span,
                path.text(),
                format!("a list of boxes and percent is wanted, but here stand {} entries", list.len()),
            );
            return None;
        };
        let from = Whole::<1, 1_000_000>::read(from, path, reader);
        let off = Share::<0, 99>::read(off, path, reader);
        Some(BreakEntry { from: from?.0, off: off?.0 })
    }
}

use super::*;

const RATES: &str = r#"
currency = "shillings"
machine.hour = 24.00
[work]
hour = 18
minutes_a_tray = 6
minutes_a_panel = "0.5"
minutes_a_box = 10
minutes_an_order = 20
[material]
spoilage = "10 %"
[overhead]
percent = 20
an_order = 4.50
[price]
margin = 30
least = 25
breaks = [[10, "5 %"], [50, 12]]
"#;

fn rates(changes: &[(&str, &str)]) -> Rates {
    let text = changes.iter().fold(RATES.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    read_rates("rates.toml", &text).unwrap()
}

fn figures() -> Figures {
    Figures {
        materials: vec![MaterialFigures {
            stock: "birch-3".into(),
            name: "birch plywood".into(),
            sheets: vec![Bought {
                size: "600 × 400 mm".into(),
                count: 2,
                price: Some(Money::hundredths(750)),
                area_mm2: 240_000,
            }],
            used_mm2: 360_000,
            cut_mm: 10_000,
            cutting_ms: 600_000,
            pierces_ms: 60_000,
            setup_ms: 240_000,
        }],
        trays: 4,
        panels: 30,
    }
}

fn shown(money: Money) -> String {
    money.to_string()
}

#[test]
fn every_term_is_what_a_pocket_calculator_says() {
    let c = cost(&figures(), &rates(&[]), 1).unwrap();
    let direct: Vec<(&str, String)> = c.direct.iter().map(|t| (t.what.as_str(), shown(t.money))).collect();
    // 2 × 7.50 / 0.9; 15 min of 24.00 / 0.9; (4 × 6 + 30 × 0.5) min of 18.00; (10 + 20) min of 18.00.
    let wanted = [
        ("material: birch plywood", "16.67"),
        ("machine", "6.67"),
        ("glue-up", "11.70"),
        ("handling", "9.00"),
    ];
    assert_eq!(direct, wanted.map(|(what, money)| (what, money.to_owned())));
    assert_eq!(shown(c.direct_sum), "44.03");
    assert_eq!(shown(c.overhead.money), "13.31");
    assert_eq!(shown(c.cost), "57.34");
    // 57.34 / 0.7.
    assert_eq!((shown(c.list), shown(c.price)), ("81.91".into(), "81.92".into()));
    assert!((c.margin_percent() - 30.0).abs() < 0.01, "{}", c.margin_percent());
}

#[test]
fn a_margin_is_not_a_mark_up() {
    let hundred = Money::hundredths(10_000);
    // 30 % margin is × 1.4286, 30 % mark-up × 1.30.
    assert_eq!(shown(Profit::Margin(300_000).price(hundred)), "142.86");
    assert_eq!(shown(Profit::MarkUp(300_000).price(hundred)), "130.00");
    let (a, b) = (cost(&figures(), &rates(&[]), 1).unwrap(), rates(&[("margin = 30", "mark_up = 30")]));
    let b = cost(&figures(), &b, 1).unwrap();
    assert_eq!(a.cost, b.cost);
    assert!(a.list > b.list && (b.margin_percent() - 23.08).abs() < 0.02, "{}", b.margin_percent());
    for bad in ["margin = 30\nmark_up = 30", "round_to = 1"] {
        assert_eq!(read_rates("r", &RATES.replace("margin = 30", bad)).unwrap_err()[0].code, "S071", "{bad}");
    }
    assert!(read_rates("r", &RATES.replace("margin = 30", "margin = 100")).is_err(), "a price without end");
}

#[test]
fn cost_rises_as_utilisation_falls() {
    let of = |percent: &str| {
        let rates = rates(&[("[material]", &format!("[material]\nby = \"area\"\nutilisation = {percent}"))]);
        cost(&figures(), &rates, 1).unwrap().direct[0].money
    };
    // 0.36 m² at 31.25 a square metre (7.50 for 0.24 m²), over the utilisation, over 0.9.
    assert_eq!(shown(of("80")), "15.63");
    assert_eq!(shown(of("50")), "25.00");
    assert!(of("90") < of("80") && of("80") < of("70"));
}

#[test]
fn quantity_breaks_and_the_least_charge() {
    let rates = rates(&[]);
    let at = |n| cost(&figures(), &rates, n).unwrap();
    assert_eq!([1, 9, 10, 49, 50].map(|n| at(n).break_millionths), [0, 0, 50_000, 50_000, 120_000]);
    // What an order costs once is shared: 20 min of handling and 4.50.
    assert!(at(9).cost < at(1).cost * 9);
    assert!(at(10).each(&rates) < at(9).each(&rates));
    let small = Figures { materials: Vec::new(), trays: 1, panels: 5 };
    let c = cost(&small, &self::rates(&[("minutes_an_order = 20", "minutes_an_order = 0")]), 1).unwrap();
    assert!(c.least && shown(c.price) == "25.00", "{c:?}");
    assert!(cost(&small, &rates, 0).is_err());
}

#[test]
fn a_stock_without_a_price_is_told_and_a_square_metre_helps() {
    let mut figures = figures();
    figures.materials[0].sheets[0].price = None;
    assert_eq!(cost(&figures, &rates(&[]), 1).unwrap_err()[0].code, "S072");
    let rates = rates(&[("[overhead]", "[material.square_metre]\nbirch-3 = 40\n[overhead]")]);
    // Two sheets of 0.24 m² at 40, over 0.9.
    assert_eq!(shown(cost(&figures, &rates, 1).unwrap().direct[0].money), "21.33");
}

#[test]
fn rates_that_cannot_be_are_all_told() {
    let text = RATES
        .replace("24.00", "\"much\"")
        .replace("minutes_a_box = 10", "minutes_a_box = -1")
        .replace("10 %", "95 %");
    let codes: Vec<&str> = read_rates("r", &text).unwrap_err().iter().map(|f| f.code).collect();
    assert_eq!(codes, ["S071"; 3]);
    // However a number is written, and a shop without a name.
    let text = RATES.replace("24.00", "2.4e1").replace("minutes_a_box = 10", "minutes_a_box = 1.6666666667");
    let rates = read_rates("r", &text).unwrap();
    assert_eq!((rates.machine_hour, rates.handling_box_ms), (Money::hundredths(2_400), 100_000));
    let unnamed = read_rates("r", &format!("shop = \"\"\n{}", RATES.replace("shop =", "# shop ="))).unwrap();
    assert_eq!(unnamed.shop, "");
    // All in one run, each at its line.
    let text = RATES
        .replace("minutes_a_box", "minutes_a_boks")
        .replace("24.00", "\"2,4\"")
        .replace("margin = 30", "margin = 30\nmark_up = 5");
    let told = read_rates("r", &text).unwrap_err();
    let at: Vec<_> = told.iter().map(|f| (f.code, f.place.line_column.is_some())).collect();
    assert_eq!(at, [("B005", true), ("B007", true), ("S071", true)], "{told:#?}");
    assert!(told[1].remedy.contains("`minutes_a_box`"), "{told:#?}");
    let codes: Vec<_> = read_rates("r", "currency = 3").unwrap_err().iter().map(|f| f.code).collect();
    assert_eq!(codes, ["B008", "B008", "B008", "B009"]);
    assert_eq!(read_rates("r", "currency = \"a\nshop = \"b\n").unwrap_err().len(), 2);
}

#[test]
fn money_is_exact() {
    let tenth = Money::parse("0.1").unwrap();
    assert_eq!((0..10).map(|_| tenth).sum::<Money>(), Money::parse("1").unwrap());
    assert_eq!(shown(Money::parse("2").unwrap().ratio(1, 3)), "0.67");
    assert_eq!(shown(Money::parse("7.01").unwrap().rounded_up(Money::parse("0.05").unwrap())), "7.05");
    assert_eq!(shown(Money::ZERO - Money::parse("0.005").unwrap()), "-0.01");
    for bad in ["", ".", "1e3", "-1", "1,5", "1.1234567", "9999999999", "nan"] {
        assert_eq!(Money::parse(bad), None, "{bad}");
    }
}

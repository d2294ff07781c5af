//! `quote`.

use serde_json::Value;

use crate::room::{Room, scenario, words};

#[test]
fn a_quote_for_the_customer_and_a_costing_for_the_shop() {
    let room = Room::new();
    let (brief, rates) = (scenario("easy/tides.toml"), scenario("shop/rates.toml"));
    room.run(words!["plan", brief, "--out", "out"]).ends(0);
    let words = words![
        "quote",
        brief,
        "out/tides.plan.json",
        "--rates",
        rates,
        "--out",
        "out",
        "--customer",
        "Harbour <school>",
        "--json",
        "out/q.json"
    ];
    let run = room.run(words).ends(0);
    assert!(run.out.contains("Oddlewick shillings") && run.out.contains("overhead"), "{}", run.out);
    assert!(run.out.lines().all(|l| l.chars().count() <= 100), "{}", run.out);
    let quote = room.read("out/tides.quote.html");
    assert!(
        quote.contains("Harbour &lt;school&gt;") && !quote.contains("overhead"),
        "no cost for the customer"
    );
    assert!(quote.contains("<svg class=") && !quote.contains("src=\"http"));
    let costing = room.read("out/tides.costing.html");
    for said in ["overhead", "margin 30 %", "glue-up", "machine", "rounded up to"] {
        assert!(costing.contains(said), "{said}");
    }
    let json: Value = serde_json::from_str(&room.read("out/q.json")).unwrap();
    let orders = json["orders"].as_array().unwrap();
    let quantities: Vec<i64> = orders.iter().map(|o| o["quantity"].as_i64().unwrap()).collect();
    assert_eq!(quantities, [1, 10, 50], "one, and every price break");
    let each = |o: &Value| o["each"].as_str().unwrap().parse::<f64>().unwrap();
    assert!(each(&orders[0]) > each(&orders[1]) && each(&orders[1]) > each(&orders[2]), "{json}");
    let page = room.read("out/tides.quote.html");
    room.run(words).ends(0);
    assert!(page == room.read("out/tides.quote.html"), "the same again");

    room.write(
        "bad.toml",
        &std::fs::read_to_string(&rates).unwrap().replace("margin =", "mark_up = 3\nmargin ="),
    );
    let bad = words!["quote", brief, "out/tides.plan.json", "--rates", "bad.toml", "--out", "other"];
    let run = room.run(bad).ends(3);
    assert!(run.err.contains("S071") && !room.path("other").exists(), "{}", run.err);
}

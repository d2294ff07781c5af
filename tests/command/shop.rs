use serde_json::Value;

use crate::room::{Room, scenario, words};

/// Rows of a CSV text by their first cell; cells here hold neither quotes nor commas where it matters.
fn first_cells(csv: &str) -> Vec<&str> {
    csv.lines().skip(1).filter_map(|l| l.split(',').next()).collect()
}

#[test]
fn one_brief_on_every_stock_of_a_list() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    let list = scenario("shop/stocks.toml");
    let words = words!["compare", brief, "--stock", list, "--csv", "out/t.csv", "--json", "out/t.json"];
    let run = room.run(words).ends(0);
    let csv = room.read("out/t.csv");
    let wanted =
        ["birch-3", "birch-4", "poplar-3", "acrylic-3", "mdf-2.5", "greyboard-2", "greyboard-1.5", "foam-5"];
    assert_eq!(first_cells(&csv), wanted);
    assert_eq!(run.out.lines().count(), wanted.len() + 1, "{}", run.out);
    assert!(run.out.lines().all(|l| l.chars().count() <= 120), "{}", run.out);

    let rows: Value = serde_json::from_str(&room.read("out/t.json")).unwrap();
    let rows = rows.as_array().unwrap();
    assert_eq!(rows.len(), wanted.len());
    let fitting: Vec<_> = rows.iter().filter(|r| r["result"] == "fits").collect();
    assert_eq!(fitting.len(), 7, "all but the thickest");
    assert!(rows[7]["result"] != "fits");
    for row in fitting {
        let ml = |key: &str| row[key].as_f64().unwrap();
        let parts = ["contents_ml", "kept_ml", "cover_ml", "stock_ml", "voids_ml", "slack_ml", "overhead_ml"];
        let sum: f64 = parts.iter().map(|k| ml(k)).sum::<f64>() + ml("spare_ml");
        assert!((sum - ml("interior_ml")).abs() < 0.5, "{row}");
    }
    let stock = |i: usize| rows[i]["stock_ml"].as_f64().unwrap();
    assert!(stock(6) < stock(5) && stock(5) < stock(0), "thinner stock takes less room");
}

#[test]
fn a_spreadsheet_of_stocks_says_the_same() {
    let room = Room::new();
    let table = |list: &str| {
        let words = words!["compare", scenario("easy/tides.toml"), "--stock", scenario(list)];
        room.run(words).ends(0).out
    };
    assert_eq!(table("shop/stocks.toml"), table("shop/stocks.csv"));
}

#[test]
fn stocks_on_which_nothing_fits_end_with_2_and_bad_lists_with_3() {
    let room = Room::new();
    room.write("thick.csv", "id,name,thickness\noak,oak board,20 mm\n");
    let brief = scenario("easy/tides.toml");
    let run = room.run(words!["compare", brief, "--stock", "thick.csv"]);
    assert!(run.code == 2, "{run:?}");
    room.write("bad.csv", "id,name,thicknes\noak,oak board,20 mm\n");
    room.run(words!["compare", brief, "--stock", "bad.csv"]).ends(3);
    room.run(words!["compare", brief, "--stock", "none.csv"]).ends(3);
    room.run(words!["compare", "none.toml", "--stock", "thick.csv"]).ends(3);
}

#[test]
fn variants_are_tried_on_every_stock_and_a_page_shows_them() {
    let room = Room::new();
    let brief = scenario("easy/tides.toml");
    let list = scenario("shop/stocks.csv");
    let words = words![
        "compare",
        brief,
        "--stock",
        list,
        "--json",
        "out/t.json",
        "--html",
        "out/t.html",
        "--nodes",
        "20000",
        "--with",
        "unsleeved",
        "--with",
        "clearance=0.3; layers=1"
    ];
    let run = room.run(words).ends(0);
    assert!(run.out.lines().all(|l| l.chars().count() <= 140), "{}", run.out);
    let rows: Vec<Value> = serde_json::from_str(&room.read("out/t.json")).unwrap();
    assert_eq!(rows.len(), 8 * 3);
    let variants: Vec<&str> = rows.iter().take(3).map(|r| r["variant"].as_str().unwrap_or("")).collect();
    assert_eq!(variants, ["", "unsleeved", "clearance=0.3; layers=1"]);
    for row in rows.iter().filter(|r| r["result"] == "fits" && r["variant"] == "clearance=0.3; layers=1") {
        assert_eq!(row["layers"], 1, "{row}");
    }
    let taken: Vec<&Value> = rows.iter().filter(|r| r["panels"].is_number()).collect();
    assert!(!taken.is_empty() && taken.iter().all(|r| r["sheets"].as_i64().unwrap() >= 1), "{rows:?}");
    assert!(taken.iter().all(|r| (1.0..=100.0).contains(&r["yield_percent"].as_f64().unwrap())));
    let page = room.read("out/t.html");
    assert!(
        page.contains("wasted, ml") && page.contains("thickness, mm") && page.contains("birch-3, unsleeved")
    );
    room.run(words!["compare", brief, "--stock", list, "--with", "thin"]).ends(3);
}

/// A thicker wall takes room and gives none: with everything else alike, what is proven best can only grow.
#[test]
fn thicker_stock_never_has_a_smaller_proven_optimum() {
    let room = Room::new();
    let stocks: String = (10..=40)
        .step_by(5)
        .map(|t| format!("board-{t},greyboard,{}.{} mm,knife,butt\n", t / 10, t % 10))
        .collect();
    room.write("stocks.csv", &format!("id,name,thickness,process,joint\n{stocks}"));
    let mut proven = 0;
    for interior in ["[152, 106, 38]", "[180, 120, 45]"] {
        let words = words![
            "compare",
            scenario("easy/tides.toml"),
            "--stock",
            "stocks.csv",
            "--json",
            "t.json",
            "--set",
            "box.clearance=0.5",
            "--set",
            format!("box.interior={interior}"),
            "--nodes",
            "200000"
        ];
        room.run(words).ends(0);
        let rows: Vec<Value> = serde_json::from_str(&room.read("t.json")).unwrap();
        let values: Vec<f64> =
            rows.iter().filter(|r| r["claim"] == "proven").map(|r| r["value_ml"].as_f64().unwrap()).collect();
        assert!(values.windows(2).all(|pair| pair[0] <= pair[1]), "{values:?}");
        proven += values.len();
    }
    assert!(proven >= 6, "only {proven} rows are proven");
}

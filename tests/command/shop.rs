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
fn a_batch_has_one_line_a_job_in_order_whatever_becomes_of_it() {
    let room = Room::new();
    room.run(words!["start", "mine.toml"]).ends(0);
    room.write("bad.toml", "title = 3\n");
    let jobs = format!(
        "id,brief,box,interior.width,interior.depth,interior.height,stock,set.title\n\
         mine,mine.toml,,,,,,\n\
         bad,bad.toml,,,,,,\n\
         none,none.toml,,,,,,\n\
         tides,{tides},,,,,birch-3,Tides in birch\n\
         small,{tides},,100,96,36,,\n\
         boxed,{tides},flat,,,,,\n\
         lost,{tides},no such box,,,,,\n",
        tides = scenario("easy/tides.toml").display()
    );
    room.write("jobs.csv", &jobs);
    let batch = |out: &str, threads: &str| {
        let stock = scenario("shop/stocks.toml");
        let boxes = scenario("shop/boxes.csv");
        room.run(words![
            "batch",
            "jobs.csv",
            "--out",
            out,
            "--stock",
            stock,
            "--boxes",
            boxes,
            "--threads",
            threads,
            "--nodes",
            "20000",
        ])
    };
    let run = batch("one", "1").ends(3);
    assert!(run.out.starts_with("7 jobs: 3 with a plan, 1 without, 3 at fault"), "{}", run.out);
    let csv = room.read("one/results.csv");
    assert_eq!(first_cells(&csv), ["mine", "bad", "none", "tides", "small", "boxed", "lost"]);
    let rows: Vec<Value> =
        room.read("one/results.jsonl").lines().map(|l| serde_json::from_str(l).unwrap()).collect();
    let results: Vec<&str> = rows.iter().filter_map(|r| r["result"].as_str()).collect();
    assert_eq!(results[..4], ["fits", "fault", "fault", "fits"]);
    assert_eq!(results[5..], ["fits", "fault"]);
    assert!(rows[6]["finding"].as_str().unwrap().contains("S058"), "{}", rows[6]);
    let plan: Value = serde_json::from_str(&room.read("one/tides.plan.json")).unwrap();
    assert_eq!(plan["title"], "Tides in birch");
    assert_eq!(first_cells(&room.read("one/times.csv")).len(), 7);
    assert!(!csv.contains("seconds"));

    batch("four", "4").ends(3);
    let (one, four) = (room.names("one"), room.names("four"));
    assert_eq!(one, four);
    for name in one.iter().filter(|n| *n != "times.csv") {
        assert!(room.read(&format!("one/{name}")) == room.read(&format!("four/{name}")), "{name} differs");
    }
}

#[test]
fn the_exit_code_of_a_batch_is_its_gravest() {
    let room = Room::new();
    let tides = scenario("easy/tides.toml");
    let full = scenario("easy/too-full.toml");
    let batch = |lines: &str| {
        room.write("jobs.csv", &format!("id,brief\n{lines}"));
        room.run(&["batch", "jobs.csv", "--out", "out", "--nodes", "20000"])
    };
    batch(&format!("a,{}\n", tides.display())).ends(0);
    batch(&format!("a,{}\nb,{}\n", tides.display(), full.display())).ends(2);
    batch(&format!("a,{}\nb,none.toml\n", tides.display())).ends(3);
    batch("").ends(3);
    room.run(&["batch", "none.csv", "--out", "out"]).ends(3);
}

#[test]
fn the_shops_own_list_runs() {
    let room = Room::new();
    let run =
        room.run(words!["batch", scenario("shop/jobs.csv"), "--out", "out", "--nodes", "20000"]).ends(3);
    assert!(run.out.starts_with("9 jobs: "), "{}", run.out);
    assert!(run.out.contains(" 1 at fault"), "only the missing brief: {}", run.out);
}

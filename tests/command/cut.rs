use crate::room::{Room, scenario, words};

fn planned(name: &str) -> Room {
    let room = Room::new();
    room.run(words!["plan", scenario(name), "--out", ".", "--nodes", "20000"]).ends(0);
    room
}

#[test]
fn a_plan_becomes_files_to_cut_and_to_build_from() {
    let room = planned("easy/lantern.toml");
    let run =
        room.run(words!["cut", scenario("easy/lantern.toml"), "lantern.plan.json", "--out", "made"]).ends(0);
    let names = room.names("made");
    for name in ["assembly.html", "cut.csv", "cut.html", "cut.json", "sheet-1.dxf", "sheet-1.svg"] {
        assert!(names.contains(&format!("lantern.{name}")), "{name} in {names:?}");
    }
    assert!(run.out.contains("full width") && run.out.contains("read back and counted"), "{}", run.out);
    let figures: serde_json::Value = serde_json::from_str(&room.read("made/lantern.cut.json")).unwrap();
    let stocks = figures["stocks"].as_array().unwrap();
    let panels: u64 = stocks.iter().map(|s| s["panels"].as_u64().unwrap()).sum();
    let sheets = figures["sheets"].as_array().unwrap();
    let placed: usize = sheets.iter().map(|s| s["panels"].as_array().unwrap().len()).sum();
    assert_eq!(placed as u64, panels);
    // Nothing hidden is left behind.
    assert!(names.iter().all(|n| n.starts_with("lantern.")), "{names:?}");
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let room = planned("easy/lantern.toml");
    for dir in ["a", "b"] {
        let run = words![
            "cut",
            scenario("easy/lantern.toml"),
            "lantern.plan.json",
            "--out",
            dir,
            "--engrave",
            "--pattern"
        ];
        room.run(run).ends(0);
    }
    assert_eq!(room.names("a"), room.names("b"));
    for name in room.names("a") {
        assert!(room.read(&format!("a/{name}")) == room.read(&format!("b/{name}")), "{name}");
    }
    assert!(room.names("a").contains(&"lantern.pattern.html".to_owned()));
    assert!(room.read("a/lantern.sheet-1.svg").contains("id=\"names\""));
    // Without the wish there are no names, and the older pattern is gone.
    room.run(words!["cut", scenario("easy/lantern.toml"), "lantern.plan.json", "--out", "a"]).ends(0);
    assert!(!room.names("a").contains(&"lantern.pattern.html".to_owned()));
    assert!(!room.read("a/lantern.sheet-1.svg").contains("id=\"names\""));
}

#[test]
fn older_sheets_do_not_stay() {
    let room = planned("easy/lantern.toml");
    std::fs::create_dir(room.path("a")).unwrap();
    for name in ["lantern.sheet-2.svg", "lantern.sheet-2.dxf", "lantern.sheet-3.dxf", "other.sheet-2.svg"] {
        room.write(&format!("a/{name}"), "old");
    }
    let many = words!["cut", scenario("easy/lantern.toml"), "lantern.plan.json", "--out", "a"];
    room.run(many).ends(0);
    let names = room.names("a");
    assert!(names.contains(&"other.sheet-2.svg".to_owned()));
    assert!(
        !names.iter().any(|n| n.starts_with("lantern.sheet-2") || n.starts_with("lantern.sheet-3")),
        "{names:?}"
    );
}

/// Everything that makes no sense ends with 3, says why with a code, and writes nothing.
#[test]
fn bad_input_ends_with_3_and_writes_nothing() {
    let room = planned("easy/lantern.toml");
    let brief = scenario("easy/lantern.toml");
    room.write("half.json", &room.read("lantern.plan.json")[..700]);
    let mut moved: serde_json::Value = serde_json::from_str(&room.read("lantern.plan.json")).unwrap();
    moved["settled"]["trays"][0]["size"][0] = serde_json::json!(3);
    room.write("moved.json", &moved.to_string());
    moved["settled"]["trays"][0]["size"][0] = serde_json::json!(-1e12);
    room.write("wild.json", &moved.to_string());
    // More kinds of nonsense, each from the sound plan.
    type Edit = fn(&mut serde_json::Value);
    let edits: [Edit; 9] = [
        |p| p["settled"]["trays"] = serde_json::json!([]),
        |p| {
            let first = p["settled"]["trays"][0].clone();
            p["settled"]["trays"].as_array_mut().unwrap().push(first);
        },
        |p| p["settled"]["trays"][0]["compartments"] = serde_json::json!([]),
        |p| {
            p["settled"]["trays"][0]["dividers"] = serde_json::json!([{ "at": [0, 0, 0], "size": [1, 1, 1] }])
        },
        |p| p["settled"]["trays"][0]["wall"] = serde_json::json!(0),
        |p| p["settled"]["trays"][0]["floor"] = serde_json::json!("3 mm"),
        |p| p["settled"]["trays"][0]["grip"] = serde_json::json!("handle"),
        |p| p["settled"]["layers"] = serde_json::json!([{ "bottom": 1e300, "height": 1 }]),
        |p| p["version"] = serde_json::json!(2),
    ];
    for edit in edits {
        let mut plan: serde_json::Value = serde_json::from_str(&room.read("lantern.plan.json")).unwrap();
        edit(&mut plan);
        room.write("edited.json", &plan.to_string());
        let run = room.run(words!["cut", brief, "edited.json", "--out", "made"]).ends(3);
        assert!(run.err.contains("fault["), "{}", run.err);
        assert_eq!((run.out.as_str(), room.names("made").len()), ("", 0));
    }
    for (plan, code) in
        [("half.json", "P050"), ("moved.json", "C"), ("wild.json", "C"), ("none.json", "cannot read")]
    {
        let run = room.run(words!["cut", brief, plan, "--out", "made"]).ends(3);
        assert!(run.err.contains(code), "{plan}: {}", run.err);
        assert_eq!((run.out.as_str(), room.names("made").len()), ("", 0));
    }
    // A plan of another brief, or of the same brief changed.
    let run =
        room.run(words!["cut", scenario("easy/tides.toml"), "lantern.plan.json", "--out", "made"]).ends(3);
    assert!(run.err.contains("C004"), "{}", run.err);
    assert_eq!(room.names("made").len(), 0);
}

/// A plan of another state of the brief breaks rules by the dozen: that is said once.
#[test]
fn a_plan_of_another_state_of_the_brief_is_told_once() {
    let room = planned("easy/lantern.toml");
    let brief = scenario("easy/lantern.toml");
    for command in [
        words!["cut", brief, "lantern.plan.json", "--out", "made", "--set", "stock.thickness=2"].to_vec(),
        words!["tolerance", brief, "lantern.plan.json", "--set", "stock.thickness=2"].to_vec(),
    ] {
        let run = room.run(&command);
        assert!(run.code == 1 || run.code == 3, "{}", run.err);
        assert_eq!(run.err.matches("fault[").count(), 1, "{}", run.err);
        assert!(run.err.contains("rules of the brief as it is now are broken"), "{}", run.err);
        assert!(run.err.contains("Plan again"), "{}", run.err);
    }
    let check = words!["check", brief, "lantern.plan.json", "--set", "stock.thickness=2"];
    assert!(room.run(check).ends(1).err.matches("fault[").count() > 1);
    // What is measured on the coupon changes no tray: the plan is cut as it is, and that is said.
    let measured = ["--set", "stock.cut_width=\"0.17 mm\""];
    let cut = words!["cut", brief, "lantern.plan.json", "--out", "made"];
    let run = room.run(&[&cut[..], &measured.map(Into::into)].concat()).ends(0);
    assert!(format!("{}{}", run.out, run.err).contains("C007"), "{} {}", run.out, run.err);
    let tolerance = words!["tolerance", brief, "lantern.plan.json"];
    let run = room.run(&[&tolerance[..], &measured.map(Into::into)].concat()).ends(0);
    assert!(run.err.contains("warning[C007]"), "{}", run.err);
}

/// What is only noted is seen too late where it stands on the page for the workshop alone.
#[test]
fn notes_about_what_is_cut_are_told() {
    let room = planned("easy/lantern.toml");
    let run =
        room.run(words!["cut", scenario("easy/lantern.toml"), "lantern.plan.json", "--out", "made"]).ends(0);
    let page = room.read("made/lantern.cut.html");
    for code in ["D004", "K023"] {
        assert_eq!(run.err.contains(&format!("note[{code}]")), page.contains(code), "{code}: {}", run.err);
    }
    assert!(run.err.contains("note[D004]"), "{}", run.err);
}

#[test]
fn stock_that_cannot_be_cut_ends_with_3() {
    // The plan is made before the sheets are named: none is made of what they do not take.
    for (keys, code) in [
        // A kerf as wide as the stock, wider, and stock thinner than an ordinary kerf.
        ("cut_width = 3", "D001"),
        ("cut_width = 5", "D001"),
        ("margin = 350", "fault["),
        ("sheets = [[60, 40]]", "fault["),
    ] {
        let room = Room::new();
        let brief = |keys: &str| {
            format!(
                "box.interior = [152, 106, 38]\nstock = {{ name = \"birch plywood\", thickness = 3, process = \"laser\"{keys} }}\n\n[[part]]\nname = \"shells\"\nloose = {{ volume = \"46 ml\" }}\n"
            )
        };
        room.write("b.toml", &brief(""));
        room.run(&["plan", "b.toml"]).ends(0);
        room.write("b.toml", &brief(&format!(", {keys}")));
        let run = room.run(&["cut", "b.toml", "b.plan.json", "--out", "made"]).ends(3);
        assert!(run.err.contains(code), "{keys}: {}", run.err);
        assert_eq!(room.names("made").len(), 0);
    }
}

/// For machines that tell operations by colour; patterns on paper stay black.
#[test]
fn lines_have_the_colours_that_the_stock_names() {
    let room = planned("easy/lantern.toml");
    let brief = scenario("easy/lantern.toml");
    let colours = ["--set", "stock.colours.outlines=red", "--set", "stock.colours.openings=blue"];
    let mut words = words!["cut", brief, "lantern.plan.json", "--out", "made", "--pattern"].to_vec();
    words.extend(colours.map(std::ffi::OsString::from));
    room.run(&words).ends(0);
    let svg = room.read("made/lantern.sheet-1.svg");
    let of = |name: &str| svg.split(&format!("<g id=\"{name}\" ")).nth(1).unwrap().split('>').next().unwrap();
    assert!(of("outlines").contains("stroke=\"#f00\"") && of("openings").contains("stroke=\"#00f\""));
    let dxf = room.read("made/lantern.sheet-1.dxf").replace("\r\n", "\n");
    let layer = |name: &str| {
        let entry =
            dxf.split("AcDbLayerTableRecord\n").find(|e| e.starts_with(&format!("  2\n{name}\n"))).unwrap();
        entry.split("\n 62\n").nth(1).and_then(|e| e.lines().next()).unwrap().trim().to_owned()
    };
    assert_eq!((layer("OUTLINES"), layer("OPENINGS"), layer("0")), ("1".into(), "5".into(), "7".into()));
    assert!(!room.read("made/lantern.pattern.html").contains("stroke=\"#f00\""));
    room.run(words!["coupon", brief, "--out", "made", "--set", "stock.colours.openings=green"]).ends(0);
    let coupon =
        room.names("made").into_iter().find(|n| n.contains("coupon") && n.ends_with(".svg")).unwrap();
    assert!(room.read(&format!("made/{coupon}")).contains("stroke=\"#0f0\""));
    let run = room.run(words!["plan", brief, "--set", "stock.colours.outlines=mauve"]).ends(3);
    assert!(run.err.contains("mauve") && run.err.contains("magenta"), "{}", run.err);
}

#[test]
fn a_place_that_cannot_be_written_leaves_nothing_half_done() {
    let room = planned("easy/lantern.toml");
    std::fs::create_dir_all(room.path("made/lantern.sheet-1.svg")).unwrap();
    room.write("made/lantern.cut.csv", "old");
    room.run(words!["cut", scenario("easy/lantern.toml"), "lantern.plan.json", "--out", "made"]).ends(3);
    assert_eq!(room.names("made"), ["lantern.cut.csv", "lantern.sheet-1.svg"]);
    assert_eq!(room.read("made/lantern.cut.csv"), "old");
}

#[test]
fn coupons_are_written_for_every_stock() {
    let room = Room::new();
    let run = room.run(words!["coupon", scenario("medium/ferry.toml"), "--out", "made"]).ends(0);
    assert_eq!(
        room.names("made"),
        [
            "ferry.coupon-1.dxf",
            "ferry.coupon-1.svg",
            "ferry.coupon-2.dxf",
            "ferry.coupon-2.svg",
            "ferry.coupon.html"
        ]
    );
    assert!(run.out.contains("how to read"), "{}", run.out);
    let page = room.read("made/ferry.coupon.html");
    for key in ["cut_width", "full width", "fit", "thickness_spread"] {
        assert!(page.contains(key), "{key}");
    }
    room.run(words!["coupon", scenario("medium/ferry.toml"), "--out", "none", "--set", "stock.cut_width=9"])
        .ends(3);
    assert!(room.names("none").is_empty());
}

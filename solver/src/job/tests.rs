//! Whole briefs read into jobs: what is right, and every kind of wrong at its place.

use std::fmt::Write as _;

use super::*;
use crate::brief::{Format, Starter, starter};
use crate::finding::{Finding, Severity};
use crate::length::Length;

/// The sample brief of the manual; every key is in it.
const SAMPLE: &str = include_str!("../brief/sample.toml");

/// The least that is needed around one part.
const BOX: &str = "box.interior = [310, 240, 70]\nstock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n";

const SACKS: &str = "part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" } }]\n";

fn source(text: &str) -> Source {
    Source {
        name: "b.toml".into(),
        text: text.into(),
        format: Format::Toml,
        inventory: Some(("i.csv".into(), "name;tray;loose.volume\nrope;cargo;2,5 ml\n".into())),
        stock_list: Some((
            "s.toml".into(),
            "[[stock]]\nid = \"greyboard-2\"\nname = \"greyboard\"\nthickness = 2\n".into(),
        )),
    }
}

fn toml(text: &str) -> Result<Job, Vec<Finding>> {
    read(text, "b.toml", Format::Toml, None, &[])
}

fn codes(result: Result<Job, Vec<Finding>>) -> Vec<&'static str> {
    result.map_or_else(|f| f, |job| job.findings).iter().map(|f| f.code).collect()
}

fn change(path: &str, value: &str) -> (String, String) {
    (path.to_owned(), value.to_owned())
}

#[test]
fn the_sample_becomes_a_job() {
    let job = source(SAMPLE).read(&[]).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(job.title, "Oddlewick crossing");
    assert_eq!(job.container.interior.w, Length::mm(310));
    assert_eq!((job.container.between, job.container.side), (Length::um(800), Length::mm(1)));
    assert_eq!((job.stock.thickness, job.floor, job.divider), (Length::mm(3), Length::mm(2), Length::mm(2)));
    assert_eq!(job.floor_stock.as_ref().unwrap().name, "greyboard");
    assert!(job.divider_stock.is_none());
    assert_eq!(job.layers.heights[1], HeightRule::Range(Length::mm(25), Length::mm(45)));
    assert_eq!(job.wishes.most_mass, Some(900_000));
    assert_eq!(job.kept[0].held, Some(Held::Layer(0)));
    assert_eq!(job.trays.iter().map(|t| t.name.as_str()).collect::<Vec<_>>(), ["cargo", "decks"]);
    let Contents::Tray(purser) = &job.trays[0].parts[2].contents else { panic!() };
    assert_eq!((purser.name.as_str(), purser.usage), ("purser's tray", Use::Always));
    let Contents::Stack(cards) = &job.trays[1].parts[0].contents else { panic!() };
    assert_eq!(cards.stand, [Stand::Flat, Stand::LongEdge, Stand::ShortEdge, Stand::Lean]);
    let figures = &job.trays[1].parts[1];
    assert_eq!(figures.mass, Some(6 * 4_000));
    let Contents::Stack(tiles) = &job.free[0].part.contents else { panic!() };
    assert_eq!(
        (tiles.face, &tiles.stand[..]),
        (Face::Hexagon(Length::mm(48)), &[Stand::Flat, Stand::Roll][..])
    );
    // The row of the inventory joins the tray of its name.
    assert_eq!(job.trays[0].parts[3].name, "rope");
    assert!(job.findings.is_empty(), "{:#?}", job.findings);
}

#[test]
fn json_says_the_same() {
    let table: toml::Table = ::toml::from_str(SAMPLE).unwrap();
    let json = Source {
        name: "b.json".into(),
        text: serde_json::to_string_pretty(&table).unwrap(),
        format: Format::Json,
        ..source("")
    };
    let from_json = Job { digest: String::new(), ..json.read(&[]).unwrap_or_else(|f| panic!("{f:#?}")) };
    let from_toml = Job { digest: String::new(), ..source(SAMPLE).read(&[]).unwrap() };
    assert_eq!(format!("{from_json:?}"), format!("{from_toml:?}"));
}

#[test]
fn starters_are_ready_to_plan() {
    let job = toml(starter(Starter::Brief)).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!((job.trays.len(), job.kept.len()), (2, 1));
    let around = format!("inventory = \"i.csv\"\n{BOX}");
    let inventory = Some(("i.csv", starter(Starter::Spreadsheet)));
    let job = read(&around, "b.toml", Format::Toml, inventory, &[]).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!((job.trays.len(), job.free.len()), (2, 1));
    let Contents::Stack(cards) = &job.trays[1].parts[0].contents else { panic!() };
    assert_eq!(cards.height, Some(Length::um(16_500)));
    let Contents::Loose(discs) = &job.trays[0].parts[1].contents else { panic!() };
    assert_eq!((discs.spare_count, discs.piece.unwrap().h), (10, Length::mm(2)));
}

#[test]
fn everything_wrong_is_told_in_one_run_in_its_order() {
    let text = r#"titel = "x"
box.interior = [310, 240, -70]
box.stord = "flat"
stock = { name = "birch plywood", thickness = "3,2 mm", proces = "laser" }

[[tray]]
name = "cargo"
use = "alway"

[[tray.part]]
name = "mail sacks"
loose = { volume = "40 spoons", level = 1.5 }

[[tray.part]]
name = "mail sacks"
solid = { size = [20, 20], count = 2.5 }

[[tray.part]]
stack = { face = 22, count = 10, each = 2 }
"#;
    let findings = toml(text).unwrap_err();
    let found: Vec<(&str, usize)> =
        findings.iter().map(|f| (f.code, f.place.line_column.map_or(0, |(line, _)| line))).collect();
    assert_eq!(
        found,
        [
            ("B007", 1),
            ("B012", 2),
            ("B007", 3),
            ("B005", 4),
            ("B007", 4),
            ("B010", 8),
            ("B016", 12),
            ("B013", 12),
            ("J001", 15),
            ("B014", 16),
            ("B018", 16),
            ("B008", 18),
            ("B009", 19),
        ],
        "{findings:#?}"
    );
    let told: Vec<String> = findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        told[0],
        "b.toml:1:1: B007 `titel` is not a key of the table of brief [titel] — Did you mean `title`?"
    );
    assert_eq!(
        told[8],
        "b.toml:15:8: J001 \"mail sacks\" is already the name of a part (line 11) [tray \"cargo\" › part \"mail sacks\" › name] — Names of parts, trays, kept and cover items must differ; change one of them."
    );
    assert!(told[5].contains("Did you mean \"always\"?"), "{}", told[5]);
}

#[test]
fn syntax_faults_have_places_and_hints() {
    let findings = toml("unit = mm\nbox.lid_room = 2,5\n").unwrap_err();
    let found: Vec<_> = findings.iter().map(|f| (f.code, f.place.line_column.unwrap().0)).collect();
    assert_eq!(found, [("B004", 1), ("B005", 2)], "{findings:#?}");
    let found = codes(toml(&BOX.replace("310, 240, 70", "31,5, 24,5, 7,5")));
    assert!(found.contains(&"B014"), "{found:?}");
    let sixes = toml(&BOX.replace("310, 240, 70", "31,5, 24,5, 7,5")).unwrap_err();
    assert!(sixes.iter().any(|f| f.remedy.contains("Write a point in decimals")), "{sixes:#?}");
}

#[test]
fn units_and_exactness() {
    let text = BOX
        .replace("[310, 240, 70]", "[\"12 1/2 in\", 9.5, \"3 in\"]")
        .replace("thickness = 3", "thickness = \"1/8 in\"");
    let job = toml(&format!("unit = \"in\"\n{text}{SACKS}")).unwrap_or_else(|f| panic!("{f:#?}"));
    // 1 in = 25.4 mm exactly (16 CFR 500.19).
    assert_eq!(job.container.interior.w, Length::um(317_500));
    assert_eq!(job.container.interior.d, Length::um(241_300));
    assert_eq!(job.stock.thickness, Length::from_nm(3_175_000));
    let job = toml(&format!(
        "unit = \"cm\"\n{}{SACKS}",
        BOX.replace("310, 240, 70", "31, 2.4e1, 0x7").replace("thickness = 3", "thickness = 0.3")
    ))
    .unwrap();
    assert_eq!(
        [job.container.interior.w, job.container.interior.d, job.container.interior.h],
        [310, 240, 70].map(Length::mm)
    );
    for not_finite in ["inf", "nan", "-inf"] {
        assert!(codes(toml(&BOX.replace("310", not_finite))).contains(&"B018"));
    }
}

#[test]
fn readings_give_the_least_and_the_spread() {
    let job = toml(&format!("{}{SACKS}", BOX.replace("310", "[310.5, 310, \"31.08 cm\"]"))).unwrap();
    assert_eq!((job.container.interior.w, job.container.spread.w), (Length::mm(310), Length::um(800)));
}

#[test]
fn clearance_is_chosen_told_and_kept() {
    let job = toml(&format!("{BOX}{SACKS}")).unwrap();
    assert_eq!((job.container.between, job.container.side), (Length::um(500), Length::um(900)));
    let note = job.findings.iter().find(|f| f.code == "J040").unwrap();
    assert!(note.cause.contains("0.5 mm") && note.cause.contains("0.9 mm"), "{note}");
    let job = toml(&format!("{BOX}box.clearance.side = 2\n{SACKS}")).unwrap();
    assert_eq!((job.container.between, job.container.side), (Length::um(500), Length::mm(2)));
    let job = toml(&format!("{BOX}box.clearance = 0\n{SACKS}")).unwrap();
    assert_eq!((job.container.between, job.container.side), (Length::ZERO, Length::ZERO));
    assert!(job.findings.is_empty());
}

#[test]
fn boxes_on_their_side_give_lids_where_none_is_told() {
    let trays = "box.stored = \"side\"\ntray = [\n\
        { name = \"a\", part = [{ name = \"x\", loose.volume = \"9 ml\" }] },\n\
        { name = \"b\", lid = false, part = [{ name = \"y\", loose.volume = \"9 ml\" }] },\n]\n";
    let job = toml(&format!("{BOX}{trays}")).unwrap();
    assert_eq!(job.trays.iter().map(|t| t.lid).collect::<Vec<_>>(), [true, false]);
    assert_eq!(job.findings.iter().filter(|f| f.code == "J041").count(), 1);
}

#[test]
fn a_laser_is_kept_from_what_it_must_not_cut() {
    for (stock, code) in [("PVC sheet", "S001"), ("foam board", "S001"), ("PETG", "S002")] {
        let found = codes(toml(&format!("{}{SACKS}", BOX.replace("birch plywood", stock))));
        assert!(found.contains(&code), "{stock}: {found:?}");
    }
    // By knife, foam board is what it is sold for; and so it is taken to be cut.
    for by_knife in [BOX.replace("laser", "knife"), BOX.replace(", process = \"laser\"", "")] {
        let job = toml(&format!("{}{SACKS}", by_knife.replace("birch plywood", "foam board"))).unwrap();
        assert_eq!((job.stock.process, job.stock.joint), (Process::Knife, Joint::Butt));
    }
    // A floor of another stock is cut by the same rule.
    let list = "id;name;thickness;process\nf;foam board;5;laser\n";
    let with_floor = Source {
        text: format!("{}{SACKS}", BOX.replace("process", "floor = \"f\", process")),
        inventory: None,
        stock_list: Some(("s.csv".into(), list.into())),
        ..source("")
    };
    assert!(codes(with_floor.read(&[])).contains(&"S001"));
}

#[test]
fn changes_reach_every_key() {
    let read = |changes: &[(String, String)]| source(SAMPLE).read(changes);
    let job = read(&[
        change("box.interior", "[\"400 mm\", 300, 120]"),
        change("stock.thickness", "4 mm"),
        change("part.weather cards.stack.count", "60"),
        change("part.ticket stubs.loose.volume", "20 ml"),
        change("part.rope.loose.volume", "3 ml"),
        change("tray.decks.use", "seldom"),
        change("kept.crew cartons.count", "1"),
        change("search.grid", "0.5 mm"),
        change("title", "Second crossing"),
    ])
    .unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!((job.container.interior.w, job.stock.thickness), (Length::mm(400), Length::mm(4)));
    let Contents::Stack(cards) = &job.trays[1].parts[0].contents else { panic!() };
    assert_eq!((cards.count, job.trays[1].usage), (Some(60), Use::Seldom));
    assert_eq!((job.kept[0].count, job.grid, job.title.as_str()), (1, Length::um(500), "Second crossing"));
    let whole = read(&[change("stock", "greyboard-2")]).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!((whole.stock.name.as_str(), whole.stock.process), ("greyboard", Process::Knife));

    for (path, value, code) in [
        ("part.whale.loose.volume", "3 ml", "B030"),
        ("part.rope", "3 ml", "B030"),
        ("box..interior", "3", "B030"),
        ("box.interior.width.x", "3", "B030"),
        ("box.intrior", "[1, 2, 3]", "B007"),
        ("box.lid_room", "2,5", "B005"),
        ("stock.process", "lazer", "B010"),
    ] {
        let findings = read(&[change(path, value)]).unwrap_err();
        let hit = findings.iter().find(|f| f.code == code).unwrap_or_else(|| panic!("{path}: {findings:#?}"));
        assert_eq!(hit.place.file, format!("change of {path}"), "{hit}");
    }
}

#[test]
fn digests_tell_inputs_apart() {
    // The digest of a brief alone is that of its bytes: the empty text has the well-known one.
    let text = format!("{BOX}{SACKS}");
    let alone = toml(&text).unwrap().digest;
    assert_eq!(alone.len(), 64);
    use sha2::Digest;
    let bytes: String = sha2::Sha256::digest(text.as_bytes()).iter().map(|b| format!("{b:02x}")).collect();
    assert_eq!(alone, bytes);
    let with =
        |changes: &[(String, String)]| read(&text, "b.toml", Format::Toml, None, changes).unwrap().digest;
    let a = with(&[change("box.lid_room", "1")]);
    let b = with(&[change("box.lid_room", "2")]);
    assert!(a != alone && a != b);
    assert_eq!(a, with(&[change("box.lid_room", "1")]));
}

#[test]
fn inventories_make_trays_and_free_parts() {
    let brief = format!("inventory = \"i.csv\"\n{BOX}");
    let read = |csv: &str| read(&brief, "b.toml", Format::Toml, Some(("i.csv", csv)), &[]);
    assert_eq!(codes(read("\u{feff}name;tray;use;stack.face.width;mass\n")), ["J021"]);
    let job = read("name;tray;use;stack.face.width;stack.face.depth;stack.height;stack.stand;stack.sleeve.film;stack.sleeve.face\r\n\"cards; old\";decks;always;63,5;88,9;1,65 cm;flat + lean;0,1;66 x 91\r\n7;;seldom;40;40;12;;;\r\n\r\n# a remark\r\n").unwrap_or_else(|f| panic!("{f:#?}"));
    let Contents::Stack(cards) = &job.trays[0].parts[0].contents else { panic!() };
    assert_eq!(job.trays[0].usage, Use::Always);
    assert_eq!(job.trays[0].parts[0].name, "cards; old");
    assert_eq!(cards.face, Face::Rectangle(Length::um(63_500), Length::um(88_900)));
    assert_eq!((cards.height, &cards.stand[..]), (Some(Length::um(16_500)), &[Stand::Flat, Stand::Lean][..]));
    assert_eq!(cards.sleeve.unwrap().film, Length::um(100));
    assert_eq!((job.free[0].part.name.as_str(), job.free[0].usage), ("7", Use::Seldom));

    // Positions are those of the cells; with commas between cells a decimal comma is refused.
    let findings = read("name,loose.volume,loose.level\nrope,\"2,5 ml\",0.9\nsacks,40 ml,9\n").unwrap_err();
    let found: Vec<_> =
        findings.iter().map(|f| (f.code, f.place.file.as_str(), f.place.line_column.unwrap())).collect();
    assert_eq!(found, [("B005", "i.csv", (2, 6)), ("B013", "i.csv", (3, 13))], "{findings:#?}");
    assert_eq!(findings[1].place.path, "part \"sacks\" › loose.level");
}

#[test]
fn stock_lists_are_read_from_both_kinds_of_file() {
    let csv = "id;name;thickness;thickness_spread;density;process;joint;fit;cut_width;grain;sheets;floor;divider\n\
        birch-3;birch plywood;3,1;0,4;;laser;finger;slip;0,2;yes;600 x 300 x 4,50 | 1220 x 2440;grey-2;2 mm\n\
        grey-2;greyboard;2;;;;;;;;;;\n";
    let rows = stock::read_list("s.csv", csv).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(rows.len(), 2);
    let birch = &rows[0];
    assert_eq!((birch.stock.thickness, birch.stock.spread), (Length::um(3_100), Some(Length::um(400))));
    assert_eq!((birch.floor.id.as_str(), birch.divider.thickness), ("grey-2", Length::mm(2)));
    assert!(birch.stock.grain);
    assert_eq!(birch.stock.fit, Length::um(150));
    assert_eq!(birch.stock.sheets.len(), 2);
    assert_eq!(birch.stock.sheets[0].price_hundredths, Some(450));
    assert_eq!(birch.stock.sheets[1].size.d, Length::mm(2440));
    assert_eq!(rows[1].stock.process, Process::Knife);

    let toml = "[[stock]]\nid = \"birch-3\"\nname = \"birch plywood\"\nthickness = \"1/8 in\"\nsheets = [[\"24 in\", \"12 in\", 5.25]]\n";
    let rows = stock::read_list("s.toml", toml).unwrap_or_else(|f| panic!("{f:#?}"));
    assert_eq!(rows[0].stock.sheets[0].size.w, Length::um(609_600));

    let wrong = "id;name;thickness;floor\na;birch;3;nothing\na;birch;4;\n;birch;4;\n";
    let found: Vec<_> = stock::read_list("s.csv", wrong).unwrap_err().iter().map(|f| f.code).collect();
    assert_eq!(found, ["S003", "S005", "B008"]);
    assert_eq!(stock::read_list("s.toml", "stock = []\n").unwrap_err()[0].code, "S006");
}

#[test]
fn files_are_found_beside_the_brief() {
    let dir = std::env::temp_dir().join(format!("traywright-job-{}", std::process::id()));
    std::fs::create_dir_all(&dir).unwrap();
    let write = |name: &str, text: &str| std::fs::write(dir.join(name), text).unwrap();
    write(
        "b.toml",
        &format!(
            "inventory = \"i.csv\"\nstock_list = \"s.csv\"\nbox.interior = [310, 240, 70]\nstock = \"birch-3\"\n"
        ),
    );
    write("i.csv", starter(Starter::Spreadsheet));
    write("j.csv", "name;loose.volume\nrope;2 ml\n");
    write("s.csv", "id;name;thickness\nbirch-3;birch plywood;3\n");
    let brief = dir.join("b.toml");
    assert_eq!(load(&brief, &[]).unwrap_or_else(|f| panic!("{f:#?}")).trays.len(), 2);
    assert_eq!(load(&brief, &[change("inventory", "j.csv")]).unwrap().free.len(), 1);
    let missing = load(&brief, &[change("inventory", "k.csv")]).unwrap_err();
    assert_eq!(missing[0].code, "B001");
    std::fs::write(dir.join("x.toml"), [b'a', 0xff, b'b']).unwrap();
    assert_eq!(load(&dir.join("x.toml"), &[]).unwrap_err()[0].code, "B003");
    std::fs::write(dir.join("big.toml"), vec![b'#'; files::MOST_BYTES as usize + 1]).unwrap();
    assert_eq!(load(&dir.join("big.toml"), &[]).unwrap_err()[0].code, "B002");
    assert_eq!(load(&dir, &[]).unwrap_err()[0].code, "B001");
    assert_eq!(stock::load_list(&dir.join("s.csv")).unwrap().len(), 1);
    std::fs::remove_dir_all(&dir).unwrap();
}

#[test]
fn too_much_is_refused_quickly() {
    let mut many = BOX.to_owned();
    for i in 0..10_000 {
        let _ = write!(many, "[[part]]\nname = \"p{i}\"\nloose = {{ volume = \"2 ml\" }}\n");
    }
    assert_eq!(codes(toml(&many)), ["J018"]);

    let mut rows = "name;tray;loose.volume\n".to_owned();
    (0..10_000).for_each(|i| writeln!(rows, "p{i};t{i};2 ml").unwrap());
    let brief = format!("inventory = \"i.csv\"\n{BOX}");
    let found = codes(read(&brief, "b.toml", Format::Toml, Some(("i.csv", &rows)), &[]));
    assert_eq!(found.iter().filter(|c| **c == "J018").count(), found.len(), "{found:?}");

    // Trays 100 deep in one another, by headings, by inline tables and in JSON.
    let mut headings = BOX.to_owned();
    for depth in 0..100 {
        let path = "tray.part.".repeat(depth);
        let _ = write!(
            headings,
            "[[{path}tray]]\nname = \"t{depth}\"\n[[{path}tray.part]]\nname = \"p{depth}\"\n"
        );
    }
    let found = codes(toml(&headings));
    assert!(found.contains(&"B006") || found.contains(&"B009"), "{found:?}");
    let nested = |open: &str, close: &str, n: usize| format!("{}{}", open.repeat(n), close.repeat(n));
    for n in [5, 100, 100_000] {
        let inline = format!("{BOX}part = [{}]\n", nested("{ name = \"a\", tray.part = [", "] }", n));
        assert!(codes(toml(&inline)).contains(&"B006"), "{n}");
        let json =
            format!("{{\"part\": [{}]}}", nested("{\"name\": \"a\", \"tray\": {\"part\": [", "]}}", n));
        let found = codes(read(&json, "b.json", Format::Json, None, &[]));
        assert!(found.contains(&"B006"), "{n}: {found:?}");
    }
    for n in [1_000, 1_000_000] {
        assert!(!codes(toml(&format!("{}a = 1\n", "a.".repeat(n)))).is_empty());
        assert!(!codes(toml(&format!("[{}a]\n", "a.".repeat(n)))).is_empty());
        let deep = change(&format!("{}a", "a.".repeat(n)), "1");
        assert!(read(BOX, "b.toml", Format::Toml, None, &[deep]).is_err());
    }
    // A value of a change is held to the same depth.
    let value = change("box.interior", &nested("[", "]", 100_000));
    assert!(read(&format!("{BOX}{SACKS}"), "b.toml", Format::Toml, None, &[value]).is_err());
}

#[test]
fn findings_stay_readable_however_many_there_are() {
    let mut text = BOX.to_owned();
    (0..50_000).for_each(|i| writeln!(text, "wrong{i} = 1").unwrap());
    let findings = toml(&text).unwrap_err();
    assert!(findings.len() <= 501);
    assert_eq!(findings.last().unwrap().code, "B019");
    let one_line =
        format!("{{{}}}", (0..50_000).map(|i| format!("\"w{i}\": 1")).collect::<Vec<_>>().join(","));
    assert_eq!(codes(read(&one_line, "b.json", Format::Json, None, &[])).last(), Some(&"B019"));
    let broken = "= 1\n".repeat(50_000);
    assert!(codes(toml(&broken)).iter().all(|c| *c == "B004"));
}

#[test]
fn absurd_numbers_are_findings_and_no_overflow() {
    for (part, code) in [
        ("loose = { count = 99999999999999999999999999, piece = [1, 1, 1] }", "B013"),
        ("loose = { count = 1e40, piece = [1, 1, 1] }", "B018"),
        ("loose = { count = 1e99, piece = [1, 1, 1] }", "B018"),
        ("loose = { count = 1000000, piece = [300, 200, 60] }", "J034"),
        ("stack = { face = [60, 90], count = 1000000, each = 50 }", "J034"),
        ("stack = { face = [60, 90], height = 100000 }", "B013"),
        ("stack = { face = [9000, 90], height = 10 }", "J017"),
        ("solid = { size = [400, 400, 400] }", "J017"),
        ("solid = { size = [1e-7, 1, 1] }", "B012"),
        ("solid = { size = [20, 20, 20], count = 0 }", "B012"),
        ("loose = { volume = \"1e9 l\" }", "B016"),
        ("loose = { volume = \"-4 ml\" }", "B012"),
        ("loose = { volume = \"40 ml\" }\nmass = \"1e30 kg\"", "B017"),
    ] {
        let findings = toml(&format!("{BOX}[[part]]\nname = \"x\"\n{part}\n")).unwrap_err();
        assert!(findings.iter().any(|f| f.code == code), "{part}: {findings:#?}");
    }
}

#[test]
fn findings_of_every_severity_come_with_a_job_or_without_one() {
    let part = "part = [{ name = \"mail sacks\", loose = { volume = \"40 ml\" }, mass = \"2 g\" }]\n";
    let job = toml(&format!("{BOX}{part}")).unwrap();
    assert!(job.findings.iter().any(|f| f.severity == Severity::Warning));
    assert!(job.findings.iter().all(|f| f.severity != Severity::Fault));
    let mut findings = toml(&format!("{BOX}{part}lid = true\n")).unwrap_err();
    findings.retain(|f| f.code != "B007");
    assert!(
        findings.iter().all(|f| f.severity == Severity::Warning) && !findings.is_empty(),
        "{findings:#?}"
    );
}

//! Whole briefs read into jobs: what is right, and every kind of wrong at its place.

mod files;
mod limits;

use super::*;
use crate::brief::{Format, Starter, starter};
use crate::finding::{Finding, Severity};
use crate::length::Length;

/// The sample brief of the manual; every key is in it.
const SAMPLE: &str = include_str!("../../brief/sample.toml");

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
        corrections: Some(("c.toml".into(), "[box]\nlid_room = 2\n".into())),
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
fn a_brief_without_a_title_has_a_name_to_show() {
    let text = "box.interior = [120, 90, 40]\nstock = { name = \"birch plywood\", thickness = 3 }\n\
                part = [{ name = \"mail\", loose = { volume = \"40 ml\" } }]\n";
    assert_eq!(toml(text).unwrap().title, "untitled insert");
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

//! Files of panels made by hand, held against what they must hold.

use super::*;
use crate::cut::tests::{job_of, laid, tray};

const PLY: &str = "{ name = \"birch plywood\", thickness = 3, process = \"laser\", cut_width = 0.2, sheets = [[300, 200, 3.50]] }";
const BOARD: &str = "{ name = \"greyboard\", thickness = 3, process = \"knife\" }";

fn files(stock: &str) -> Vec<CutFile> {
    let options = Options { engrave: true, ..Options::default() };
    cut_files(&job_of(stock), laid(stock, true).unwrap(), "sacks", &options).unwrap().files
}

#[test]
fn the_same_panels_give_the_same_bytes() {
    let text = |f: Vec<CutFile>| f.into_iter().map(|f| f.name + &f.text).collect::<String>();
    assert_eq!(text(files(PLY)), text(files(PLY)));
}

#[test]
fn both_kinds_of_file_hold_the_same_lines() {
    let files = files(PLY);
    let of = |ending: &str| {
        files.iter().filter(|f| f.name.ends_with(ending) && f.counts.is_some()).collect::<Vec<_>>()
    };
    let (svg, dxf) = (of(".svg"), of(".dxf"));
    assert!(!svg.is_empty());
    for (a, b) in svg.iter().zip(&dxf) {
        let (a, b) = (back::count_svg(&a.text).unwrap(), back::count_dxf(&b.text).unwrap());
        assert_eq!(a.lines.values().collect::<Vec<_>>(), b.lines.values().collect::<Vec<_>>());
        let (a, b) = (a.extents.unwrap(), b.extents.unwrap());
        assert!(a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-5), "{a:?} {b:?}");
    }
}

#[test]
fn a_file_with_a_line_less_or_elsewhere_does_not_pass() {
    for file in files(PLY).iter().filter(|f| f.counts.is_some()) {
        assert!(read_back(file, &file.text).is_none());
        let spoilt = if file.name.ends_with(".svg") {
            let at = file.text.find("<path data-panel").unwrap();
            let end = at + file.text[at..].find('\n').unwrap();
            vec![
                file.text[..at].to_owned() + &file.text[end..],
                file.text.replacen("d=\"M", "d=\"M9", 1),
                file.text.replacen("A4.9 4.9", "A4.9", 1),
                file.text[..file.text.len() / 2].to_owned(),
                file.text.replacen("id=\"outlines\"", "id=\"outline\"", 1),
            ]
        } else {
            vec![
                file.text.replacen("OUTLINES\n100", "OPENINGS\n100", 1),
                file.text.replacen("\n 70\n4\n", "\n 70\n1\n", 1),
                file.text[..file.text.len() / 2].to_owned(),
                file.text.replacen(" 10\n5.", " 10\n-5.", 1),
                file.text.replacen("  0\nEOF\n", "", 1),
            ]
        };
        for (i, text) in spoilt.iter().enumerate() {
            if *text != file.text {
                assert!(read_back(file, text).is_some_and(|f| f.code == "D006"), "{} {i}", file.name);
            }
        }
    }
}

#[test]
fn openings_stand_before_outlines_and_the_legend_is_apart() {
    let files = files(PLY);
    let svg = &files.iter().find(|f| f.name == "sacks.sheet-1.svg").unwrap().text;
    let at = |what: &str| svg.find(what).unwrap_or_else(|| panic!("{what}"));
    assert!(at("id=\"names\"") < at("id=\"openings\"") && at("id=\"openings\"") < at("id=\"outlines\""));
    assert!(at("id=\"outlines\"") < at("id=\"not-cut-legend\""));
    assert!(svg.contains("width=\"300mm\"") && svg.contains("full width"));
    // The legend lies below the sheet.
    let legend = svg.split("id=\"not-cut-legend\"").nth(1).unwrap();
    for y in legend.split(" y=\"").skip(1).map(|r| r.split('"').next().unwrap().parse::<f64>().unwrap()) {
        assert!(y > 200.0);
    }
}

#[test]
fn knives_get_a_pattern_and_lasers_only_when_asked() {
    assert!(files(BOARD).iter().any(|f| f.name == "sacks.pattern.html"));
    assert!(!files(PLY).iter().any(|f| f.name == "sacks.pattern.html"));
    let options = Options { pattern: true, ..Options::default() };
    let asked = cut_files(&job_of(PLY), laid(PLY, false).unwrap(), "sacks", &options).unwrap();
    let pattern = asked.files.iter().find(|f| f.name == "sacks.pattern.html").unwrap();
    assert!(pattern.text.contains("M0.5 11L100.5 11"));
}

#[test]
fn the_cut_list_names_every_panel_and_cautions() {
    let files = files(PLY);
    let csv = &files.iter().find(|f| f.name == "sacks.cut.csv").unwrap().text;
    let rows: Vec<csv::StringRecord> =
        csv::Reader::from_reader(csv.as_bytes()).records().map(Result::unwrap).collect();
    assert_eq!(rows.iter().filter(|r| &r[0] == "panel").count(), 10);
    assert!(rows.iter().any(|r| &r[0] == "caution" && r[13].contains("exhaust")));
    let json = &files.iter().find(|f| f.name == "sacks.cut.json").unwrap().text;
    let json: serde_json::Value = serde_json::from_str(json).unwrap();
    assert_eq!(json["stocks"][0]["panels"], 10);
}

#[test]
fn cards_show_every_panel_once() {
    let files = files(PLY);
    let html = &files.iter().find(|f| f.name == "sacks.assembly.html").unwrap().text;
    assert_eq!(html.matches("class=\"card\"").count(), 1);
    for panel in tray().panels {
        assert_eq!(html.matches(&format!("<li><b>{}</b>", panel.letter)).count(), 1);
    }
}

#[test]
fn coupons_of_all_stocks_are_read_back() {
    let stock = PLY.replace("cut_width", "floor = 2, cut_width");
    let made = coupon_files(&job_of(&stock), "sacks").unwrap();
    assert_eq!(made.files.len(), 5);
    let absurd = coupon_files(&job_of(&PLY.replace("0.2", "3.2")), "sacks").unwrap_err();
    assert_eq!(absurd[0].code, "D001");
}

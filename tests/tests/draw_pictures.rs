//! Pictures and report of made-up plans, checked as text; also written out for the browser test to look at.

mod draw_sample;

use std::path::PathBuf;

use draw_sample::{Cut, USUAL, make};
use traywright::draw::{self, ReportExtra};
use traywright::job::Job;
use traywright::length::{Length, Unit, Volume};
use traywright::place::{Point, Size};
use traywright::plan::{Compartment, Lift, Note, PlacedTray, Plan};

const TINY: Cut =
    Cut { seed: 5, interior: [120, 90, 40], layers: 1, tray: 60, room: 9, cover: false, ..USUAL };
const LARGE: Cut = Cut { seed: 11, interior: [380, 310, 150], tray: 90, room: 24, ..USUAL };
const INCHES: Cut = Cut { seed: 21, unit: Unit::Inch, layers: 2, ..USUAL };

/// Every file that is made of a plan: its ending and its text.
fn files(job: &Job, plan: &Plan) -> Vec<(String, String)> {
    let mut extra = ReportExtra::default();
    extra.brief = "harbour/crossing.toml".into();
    let mut all: Vec<(String, String)> = (1..=plan.settled.layers.len())
        .map(|k| (format!("layer-{k}.svg"), draw::layer_svg(job, plan, k)))
        .collect();
    all.push(("exploded.svg".into(), draw::exploded_svg(job, plan)));
    all.push(("html".into(), draw::report_html(job, plan, &extra)));
    all.push(("txt".into(), draw::summary(job, plan)));
    all
}

/// Values of an attribute, as they stand.
fn values<'t>(text: &'t str, attribute: &str) -> impl Iterator<Item = &'t str> {
    let start = format!(" {attribute}=\"");
    let cuts: Vec<&str> = text.split(&start).skip(1).collect();
    cuts.into_iter().map(|c| c.split('"').next().unwrap())
}

/// Panics unless every element is closed in order and no text holds a stray `<`.
fn assert_well_formed(name: &str, text: &str) {
    const EMPTY: [&str; 2] = ["meta", "br"];
    let mut open: Vec<String> = Vec::new();
    // A style sheet is text, not elements.
    let text = text.split("<style>").map(|p| p.split_once("</style>").map_or(p, |p| p.1)).collect::<String>();
    for piece in text.split('<').skip(1) {
        let (tag, _) = piece.split_once('>').unwrap_or_else(|| panic!("{name}: stray < before {piece:.40}"));
        let word = tag.split([' ', '/', '\n']).find(|w| !w.is_empty()).unwrap_or("");
        if tag.starts_with('!') {
            continue;
        } else if tag.starts_with('/') {
            assert_eq!(open.pop().as_deref(), Some(word), "{name}: </{word}>");
        } else if !tag.ends_with('/') && !EMPTY.contains(&word) {
            open.push(word.to_string());
        }
    }
    assert!(open.is_empty(), "{name}: left open {open:?}");
}

#[test]
fn files_are_whole_and_written_for_the_browser() {
    let dir = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    std::fs::create_dir_all(&dir).unwrap();
    for (name, cut) in
        [("usual", USUAL), ("tiny", TINY), ("large", LARGE), ("inches", INCHES), ("foreign", USUAL)]
    {
        let (job, mut plan) = make(&cut);
        if name == "foreign" {
            let names = [
                "灯台守の日誌",
                "морские карты и лоции",
                "مفاتيح الميناء",
                "Ærøskøbing œuvre",
                "😀 😀",
                "Ἑλλήσποντος",
            ];
            let rooms = plan.settled.trays.iter_mut().flat_map(|t| &mut t.compartments);
            rooms.zip(names.iter().cycle()).for_each(|(c, n)| c.part = (*n).into());
        }
        for (ending, text) in files(&job, &plan) {
            std::fs::write(dir.join(format!("{name}.{ending}")), &text).unwrap();
            if ending != "txt" {
                assert_well_formed(&ending, &text);
            }
        }
    }
}

#[test]
fn no_text_is_smaller_than_seven_points() {
    for cut in [USUAL, TINY, LARGE] {
        let (job, plan) = make(&cut);
        for (name, text) in files(&job, &plan) {
            for size in values(&text, "font-size") {
                // 7 pt = 2.4694… mm; pictures have millimetres as units, in the report too.
                assert!(size.parse::<f64>().unwrap() >= 7.0 * 25.4 / 72.0, "{name}: {size}");
            }
        }
    }
}

#[test]
fn a_layer_is_true_to_scale_and_names_every_compartment() {
    let (job, plan) = make(&LARGE);
    for k in 1..=plan.settled.layers.len() {
        let svg = draw::layer_svg(&job, &plan, k);
        let (w, h) = (values(&svg, "width").next().unwrap(), values(&svg, "height").next().unwrap());
        let view = values(&svg, "viewBox").next().unwrap();
        assert_eq!(view, format!("0 0 {} {}", w.strip_suffix("mm").unwrap(), h.strip_suffix("mm").unwrap()));
        assert!(
            svg.contains("<rect x=\"0\" y=\"0\" width=\"380\" height=\"310\""),
            "interior in millimetres"
        );
        let words: Vec<&str> = svg
            .split("</text>")
            .filter_map(|t| t.rsplit('>').next())
            .flat_map(str::split_whitespace)
            .collect();
        for tray in plan.settled.trays.iter().filter(|t| t.layers.contains(&k)) {
            for c in tray.compartments.iter().filter(|c| c.tray.is_none()) {
                let escaped = c.part.replace('&', "&amp;");
                assert!(escaped.split_whitespace().all(|w| words.contains(&w)), "layer {k}: {}", c.part);
            }
        }
    }
    assert!(draw::layer_svg(&job, &plan, 0).contains("no such layer"));
    assert!(draw::layer_svg(&job, &plan, usize::MAX).contains("no such layer"));
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let (job, plan) = make(&USUAL);
    let (again, same) = make(&USUAL);
    assert_eq!(files(&job, &plan), files(&again, &same));
}

#[test]
fn the_summary_fits_a_terminal_and_says_what_matters() {
    let (job, plan) = make(&LARGE);
    let text = draw::summary(&job, &plan);
    assert!(text.lines().all(|l| l.chars().count() <= 100), "{text}");
    for part in ["saves more than 3.2 %", "contents", "Tightest", "harbour map", "N007", "Pack in"] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
}

#[test]
fn a_report_stands_alone() {
    let (job, plan) = make(&USUAL);
    let html = draw::report_html(&job, &plan, &ReportExtra::default());
    for outside in ["<script", "<link", "<img", "@import", "url(http", "src="] {
        assert!(!html.contains(outside), "{outside}");
    }
    // Addresses only as names of the SVG language.
    assert_eq!(html.matches("http").count(), html.matches("http://www.w3.org/2000/svg").count());
}

const RUDE: &str = "</text><script>alert(1)</script>&\"'\u{0}\u{202e}\n\t灯台 😀 مرحبا";

/// Puts nonsense into every number and name of a tray.
fn spoil(tray: &mut PlacedTray, lengths: &mut dyn FnMut() -> Length) {
    tray.name = RUDE.into();
    tray.at = Point { x: lengths(), y: lengths(), z: lengths() };
    tray.size = Size { w: lengths(), d: lengths(), h: lengths() };
    (tray.wall, tray.floor, tray.lid) = (lengths(), lengths(), lengths());
    for c in &mut tray.compartments {
        spoil_room(c, lengths);
    }
}

fn spoil_room(c: &mut Compartment, lengths: &mut dyn FnMut() -> Length) {
    c.part = RUDE.repeat(9);
    c.standing = RUDE.into();
    c.at = Point { x: lengths(), y: lengths(), z: lengths() };
    c.size = Size { w: lengths(), d: lengths(), h: lengths() };
    c.need.size = Some(c.size);
    (c.slack.width, c.slack.depth, c.slack.height) = (lengths(), lengths(), lengths());
    (c.slack.volume_ml, c.slack.percent, c.slack.more) = (f64::NAN, f64::NEG_INFINITY, i64::MIN);
    c.slack.more_of = RUDE.into();
    if let Some(t) = c.tray.as_deref_mut() {
        spoil(t, lengths);
    }
}

#[test]
fn hostile_plans_are_drawn_without_panic_and_escaped() {
    let extremes = [0, -1, 1, i64::MIN, i64::MAX, -5_000_000, 310_000_000, i64::MAX / 2];
    for seed in 0..12usize {
        let (mut job, mut plan) = make(&Cut { seed: seed as u64, ..USUAL });
        let mut k = seed;
        let mut lengths = || {
            k = k.wrapping_mul(31).wrapping_add(7);
            Length::from_nm(extremes[k % extremes.len()])
        };
        job.title = RUDE.into();
        plan.title = RUDE.into();
        job.stock.name = RUDE.into();
        if seed % 2 == 0 {
            job.container.interior = Size { w: lengths(), d: lengths(), h: lengths() };
            job.container.lid_room = lengths();
        }
        for t in &mut plan.settled.trays {
            spoil(t, &mut lengths);
            t.layers = vec![seed % 5, usize::MAX, 1];
        }
        for b in plan.settled.kept.iter_mut().chain(&mut plan.settled.cover) {
            b.name = RUDE.into();
            b.at = Point { x: lengths(), y: lengths(), z: lengths() };
            b.size = Size { w: lengths(), d: lengths(), h: lengths() };
        }
        for l in &mut plan.settled.layers {
            (l.bottom, l.height) = (lengths(), lengths());
        }
        let v = &mut plan.settled.volumes_mm3;
        (v.interior, v.slack, v.stock) =
            (Volume::from_nm3(0), Volume::from_nm3(i128::MIN), Volume::from_nm3(i128::MAX));
        plan.claim.gap = [Some(f64::NAN), Some(-3.0), None][seed % 3];
        plan.lifts.push(Lift { tray: RUDE.into(), first: vec![RUDE.into()] });
        plan.left_out.push(RUDE.into());
        plan.findings.push(Note { code: RUDE.into(), text: RUDE.into() });
        for (name, text) in files(&job, &plan) {
            if name != "txt" {
                assert!(!text.contains("<script"), "{name}");
                assert_well_formed(&name, &text);
            }
            assert!(!text.contains(['\u{0}', '\u{202e}']), "{name}");
            assert!(!text.contains("NaN") && !text.contains("inf "), "{name}");
        }
    }
}

#[test]
fn an_empty_plan_still_gives_every_file() {
    let (job, mut plan) = make(&USUAL);
    plan.settled.trays.clear();
    plan.settled.kept.clear();
    plan.settled.cover.clear();
    plan.settled.layers.clear();
    plan.lifts.clear();
    plan.findings.clear();
    for (name, text) in files(&job, &plan) {
        assert!(!text.is_empty(), "{name}");
    }
}

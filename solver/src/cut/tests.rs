//! Panels that we make by hand, from stock to lines.

use super::*;
use crate::brief::Format;
use crate::job::{self, Job, Joint};
use crate::panel::{Axis, Cut, Edge, Mark, Meets, Opening, Panel, Pose, Recess, Role};
use crate::place::Point;

pub(crate) fn job_of(stock: &str) -> Job {
    let text = format!(
        "title = \"tray\"\nbox.interior = [200, 150, 40]\nstock = {stock}\npart = [{{ name = \"sacks\", loose = {{ volume = \"40 ml\" }} }}]\n"
    );
    job::read(&text, "b.toml", Format::Toml, None, &[]).unwrap_or_else(|f| panic!("{f:#?}"))
}

const PLY: &str = "{ name = \"birch plywood\", thickness = 3, process = \"laser\", cut_width = 0.2, sheets = [[300, 200, 3.50]] }";

fn pose(origin: (i64, i64, i64), x: Axis, y: Axis, normal: Axis) -> Pose {
    let origin = Point { x: Length::mm(origin.0), y: Length::mm(origin.1), z: Length::mm(origin.2) };
    Pose { origin, x, y, normal }
}

fn plate(letter: &str, role: Role, cut: Cut, w: i64, d: i64, pose: Pose) -> Panel {
    Panel {
        letter: letter.into(),
        name: letter.to_lowercase(),
        role,
        cut,
        thickness: Length::mm(3),
        outline: Ring::rectangle(Length::ZERO, Length::ZERO, Length::mm(w), Length::mm(d)),
        fitted: vec![],
        openings: vec![],
        notches: vec![],
        recesses: vec![],
        pose,
        marks: vec![],
    }
}

/// A floor and four walls, the front with a grip and a name, 100 × 60 × 30 outside.
pub(crate) fn tray() -> TrayPanels {
    let mut floor =
        plate("A", Role::Floor, Cut::Floor, 100, 60, pose((0, 0, 0), Axis::Right, Axis::Back, Axis::Up));
    let slot = Ring::rectangle(Length::mm(30), Length::ZERO, Length::mm(20), Length::mm(3));
    let slot = ring::carried(&slot, true, |p| p + Spot { x: Length::ZERO, y: Length::mm(20) });
    floor.openings.push(Opening { ring: slot, meets: Meets::Panel(Joint::Tab) });
    let mut front =
        plate("B", Role::Front, Cut::Body, 100, 27, pose((0, 3, 3), Axis::Right, Axis::Up, Axis::Front));
    let at = |x, y| Spot { x: Length::mm(x), y: Length::mm(y) };
    let arc = |to, centre| Edge::Arc { to, centre, clockwise: true };
    front.outline.edges = vec![
        Edge::Line(at(100, 0)),
        Edge::Line(at(100, 27)),
        Edge::Line(at(65, 27)),
        Edge::Line(at(65, 19)),
        arc(at(60, 14), at(60, 19)),
        Edge::Line(at(40, 14)),
        arc(at(35, 19), at(40, 19)),
        Edge::Line(at(35, 27)),
        Edge::Line(at(0, 27)),
        Edge::Line(at(0, 0)),
    ];
    front.marks.push(Mark {
        text: "Sacks".into(),
        middle: at(50, 7),
        height: Length::mm(5),
        most: Length::mm(80),
    });
    let panels = vec![
        floor,
        front,
        plate("C", Role::Back, Cut::Body, 100, 27, pose((100, 57, 3), Axis::Left, Axis::Up, Axis::Back)),
        plate("D", Role::Left, Cut::Body, 54, 27, pose((3, 57, 3), Axis::Front, Axis::Up, Axis::Left)),
        plate("E", Role::Right, Cut::Body, 54, 27, pose((97, 3, 3), Axis::Back, Axis::Up, Axis::Right)),
    ];
    TrayPanels { tray: "sacks".into(), copies: 2, placed: vec![0, 1], panels, notes: vec![] }
}

pub(crate) fn laid(stock: &str, engrave: bool) -> Result<CutJob, Vec<Finding>> {
    let options = Options { engrave, nodes: 20_000, ..Options::default() };
    lay_out(&job_of(stock), vec![tray()], vec![vec!["A".into(), "B".into()]], &options)
}

#[test]
fn every_panel_lies_on_a_sheet_with_its_lines() {
    let job = laid(PLY, true).unwrap();
    assert_eq!(job.lots.len(), 1);
    let lot = &job.lots[0];
    assert_eq!(lot.items.len(), 10);
    assert_eq!((lot.items[0].label.as_str(), lot.items[9].label.as_str()), ("A-A", "B-E"));
    let of = |o| lot.sheets.iter().flat_map(|s| s.of(o)).count();
    assert_eq!((of(Operation::Outline), of(Operation::Opening), of(Operation::EdgeCut)), (10, 2, 0));
    // Marks of both front walls, S A C K S: a stroke each but for A, which has two, and K, which has three; and a label
    // of at least three strokes on each of ten panels.
    assert!(of(Operation::Engrave) >= 16 + 30);
    for sheet in &lot.sheets {
        let (least, most) = sheet.extents().unwrap();
        // Margins are 5 mm; lines lie half a cut outside of the panels.
        assert!(least.x >= Length::um(4_900) && least.y >= Length::um(4_900));
        assert!(most.x <= sheet.w - Length::um(4_900) && most.y <= sheet.d - Length::um(4_900));
        // Openings come before outlines, names before both.
        assert!(sheet.lines.is_sorted_by_key(|l| l.operation));
        for (item, [x, y, w, d]) in &sheet.placed {
            let outline = sheet.of(Operation::Outline).find(|l| l.item == Some(*item)).unwrap();
            let half = Length::um(100);
            let around = (Spot { x: *x - half, y: *y - half }, Spot { x: *x + *w + half, y: *y + *d + half });
            assert_eq!(outline.path.bounds(), around);
        }
    }
    // Numbers of arcs survive in every outline that had them, whichever way it lies.
    let arcs = lot.sheets.iter().flat_map(|s| s.of(Operation::Outline)).flat_map(|l| match &l.path {
        Path::Closed(ring) => ring.edges.clone(),
        Path::Open(_) => vec![],
    });
    assert_eq!(arcs.filter(|e| matches!(e, Edge::Arc { clockwise: true, .. })).count(), 4);
    assert!(!job.findings.iter().any(|f| f.code == "D004"));
}

#[test]
fn the_estimate_shows_every_term() {
    let job = laid(PLY, false).unwrap();
    let e = estimate(&job, &job.lots[0]);
    assert_eq!(e.lines, 12);
    assert_eq!((e.setup_s, e.pierces_s), (e.sheets as f64 * 300.0, 6.0));
    // A rectangle of 100 × 60 drawn 100.2 × 60.2, and so on.
    let walls = 2.0 * (2.0 * (100.2 + 27.2) + 2.0 * 2.0 * (54.2 + 27.2) + 2.0 * (100.2 + 60.2));
    let slots = 2.0 * 2.0 * (19.8 + 2.8);
    let notched = 2.0 * (2.0 * (100.2 + 27.2) - 29.8 + 2.0 * 8.1 + std::f64::consts::PI * 4.9 + 20.0);
    assert!(
        (e.length_mm - walls - slots - notched).abs() < 1e-6,
        "{} {}",
        e.length_mm,
        walls + slots + notched
    );
    // 15 mm/s at 3 mm of plywood (facts F4).
    assert!((e.cutting_s - e.length_mm / 15.0).abs() < 1e-9);
    assert!((e.total_s() - e.cutting_s - e.pierces_s - e.setup_s).abs() < 1e-9);
    let notch = 30.0 * 13.0 - 2.0 * (25.0 - std::f64::consts::PI * 25.0 / 4.0);
    let area = 2.0 * (100.0 * 60.0 - 60.0 + 2.0 * 100.0 * 27.0 - notch + 2.0 * 54.0 * 27.0);
    assert!((e.panels_mm2 - area).abs() < 1e-6);
    assert_eq!(e.mass_mg, Some((area * 3.0 / 1e3 * 660.0).round() as i64));
    assert_eq!(e.price_hundredths, Some(350 * e.sheets as i64));
    assert_eq!(e.bought_mm2, e.sheets as f64 * 60_000.0);
}

/// Facts F6: 10 m at 12, 15, 18 and 20 mm/s take 833, 667, 556 and 500 s.
#[test]
fn speed_is_in_millimetres_a_second() {
    for (speed, seconds) in [(12, 833.3), (15, 666.7), (18, 555.6), (20, 500.0)] {
        let stock = PLY.replace(
            "cut_width",
            &format!("cutting = {{ speed = {speed}, pierce = 0, setup = 0 }}, cut_width"),
        );
        let job = laid(&stock, false).unwrap();
        let e = estimate(&job, &job.lots[0]);
        assert!((e.total_s() / e.length_mm * 10_000.0 - seconds).abs() < 0.05);
    }
}

#[test]
fn straight_stock_has_cuts_from_edge_to_edge_and_counts_no_line_twice() {
    let job = laid("{ name = \"greyboard\", thickness = 3, process = \"knife\" }", false).unwrap();
    let lot = &job.lots[0];
    let e = estimate(&job, lot);
    let of = |o| e.shares.iter().find(|s| s.operation == o).copied();
    assert!(of(Operation::EdgeCut).unwrap().lines >= 10);
    // Only the two grips are left of the outlines.
    assert_eq!(of(Operation::Outline).unwrap().lines, 2);
    assert!(job.findings.iter().any(|f| f.code == "D004"));
}

#[test]
fn boards_are_worked_from_the_side_that_lies_up() {
    let mut panels = tray();
    let rebate = Recess {
        ring: Ring::rectangle(Length::ZERO, Length::ZERO, Length::mm(3), Length::mm(27)),
        depth: Length::mm(2),
        from_face: false,
    };
    panels.panels[1].recesses.push(rebate);
    let lines = |faces: &str| {
        let stock = format!("{{ name = \"greyboard\", thickness = 3, process = \"knife\"{faces} }}");
        let options = Options { engrave: true, nodes: 20_000, ..Options::default() };
        let job = lay_out(&job_of(&stock), vec![panels.clone()], vec![vec!["A".into()]], &options).unwrap();
        let lot = &job.lots[0];
        let of = |o| lot.sheets.iter().flat_map(|s| s.of(o)).count();
        (lot.items[1].back_up, of(Operation::Recess), of(Operation::RecessBelow))
    };
    assert_eq!(lines(""), (true, 2, 0));
    assert_eq!(lines(", good_faces = 1"), (false, 0, 2));
}

#[test]
fn grain_runs_along_the_longer_side() {
    let job = laid(&PLY.replace("cut_width", "grain = true, cut_width"), false).unwrap();
    for (_, [_, _, w, d]) in job.lots[0].sheets.iter().flat_map(|s| &s.placed) {
        assert!(w >= d);
    }
}

#[test]
fn stock_that_cannot_be_cut_is_said_to_be_so() {
    let codes = |from: &str, to: &str| -> Vec<&'static str> {
        laid(&PLY.replace(from, to), false).unwrap_err().iter().map(|f| f.code).collect()
    };
    assert_eq!(codes("cut_width = 0.2", "cut_width = 3"), ["D001"]);
    assert_eq!(codes("cut_width = 0.2", "cut_width = 4"), ["D001"]);
    assert_eq!(codes("cut_width", "margin = 100, cut_width"), ["D003"]);
    assert_eq!(codes("laser\", cut_width = 0.2", "saw\", cut_width = 3.2"), ["D005"]);
    assert_eq!(codes("[[300, 200, 3.50]]", "[[80, 50]]").first(), Some(&"H008"));
    let job = laid(&PLY.replace("cut_width", "fit = 0.6, cut_width"), false).unwrap();
    assert_eq!(job.findings.iter().filter(|f| f.code == "D002").count(), 3);
}

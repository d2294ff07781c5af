//! Published check values of the kerf step, and its odd corners.

use super::*;
use crate::cut::ring::{area_mm2, bounds, length_mm};
use crate::panel::{Axis, Cut, Opening, Pose};
use crate::place::Point;

fn um(v: i64) -> Length {
    Length::um(v)
}

fn at(x: i64, y: i64) -> Spot {
    Spot { x: um(x), y: um(y) }
}

fn line(points: &[(i64, i64)]) -> Ring {
    Ring { edges: points.iter().map(|&(x, y)| Edge::Line(at(x, y))).collect() }
}

fn backwards(ring: &Ring) -> Ring {
    crate::cut::ring::carried(ring, true, |p| p)
}

fn panel(outline: Ring, fitted: Vec<(usize, Joint)>, openings: Vec<Opening>) -> Panel {
    let zero = Length::ZERO;
    Panel {
        letter: "A".into(),
        name: "front wall".into(),
        role: Role::Front,
        cut: Cut::Body,
        thickness: Length::mm(3),
        outline,
        fitted,
        openings,
        notches: vec![],
        recesses: vec![],
        pose: Pose {
            origin: Point { x: zero, y: zero, z: zero },
            x: Axis::Right,
            y: Axis::Up,
            normal: Axis::Front,
        },
        marks: vec![],
    }
}

fn size(ring: &Ring) -> (Length, Length) {
    let (least, most) = bounds(ring);
    (most.x - least.x, most.y - least.y)
}

/// Facts D3 and D4: to get a part of 2.0 × 4.0 draw 2.2 × 4.2, to get such an opening draw 1.8 × 3.8; full width 0.2.
#[test]
fn part_and_opening_of_the_worked_example() {
    let rectangle = |x, y, w, d| Ring::rectangle(um(x), um(y), um(w), um(d));
    let opening =
        Opening { ring: backwards(&rectangle(10_000, 10_000, 2_000, 4_000)), meets: Meets::Nothing };
    let panel = panel(rectangle(0, 0, 40_000, 60_000), vec![], vec![opening]);
    let allowance = Allowance { full_width: um(200), fits: Fits::all(um(150)) };
    let cut = cut_lines(&panel, &allowance).unwrap();
    assert_eq!(size(&cut.outline), (um(40_200), um(60_200)));
    assert_eq!(size(&cut.openings[0]), (um(1_800), um(3_800)));
    assert_eq!(bounds(&cut.openings[0]).0, at(10_100, 10_100));
}

/// Facts D12: 6 mm plywood, a cut about 0.2 mm wide: a slot drawn 5.8 mm goes home firmly, which is the push fit;
/// facts D15: +0.15 mm finished is easy, −0.05 mm is press.
#[test]
fn slots_of_the_three_fits() {
    let slot = Opening {
        ring: backwards(&Ring::rectangle(um(9_000), um(9_000), um(30_000), um(6_000))),
        meets: Meets::Panel(Joint::Tab),
    };
    let panel = panel(Ring::rectangle(um(0), um(0), um(60_000), um(40_000)), vec![], vec![slot]);
    let drawn = |fit| {
        let allowance = Allowance { full_width: um(200), fits: Fits::all(um(fit)) };
        size(&cut_lines(&panel, &allowance).unwrap().openings[0])
    };
    assert_eq!(drawn(0), (um(29_800), um(5_800)));
    assert_eq!(drawn(150), (um(29_950), um(5_950)));
    assert_eq!(drawn(-50), (um(29_750), um(5_750)));
}

/// A slot open at the rim: only its sides take the fit, its bottom does not.
#[test]
fn open_slots_take_the_fit_on_their_sides() {
    let outline = line(&[
        (50_000, 0),
        (50_000, 20_000),
        (26_000, 20_000),
        (26_000, 10_000),
        (23_000, 10_000),
        (23_000, 20_000),
        (0, 20_000),
        (0, 0),
    ]);
    let panel = panel(outline, vec![(3, Joint::Finger), (5, Joint::Finger)], vec![]);
    let allowance = Allowance { full_width: um(200), fits: Fits { finger: um(100), ..Fits::default() } };
    let cut = cut_lines(&panel, &allowance).unwrap();
    let xs: Vec<Length> = cut.outline.edges.iter().map(|e| e.to().x).collect();
    // 3 mm and 0.1 mm of fit less 0.2 mm of cut.
    assert_eq!(xs[3] - xs[4], um(2_900));
    assert_eq!(cut.outline.edges[3].to().y, um(10_100));
    assert_eq!(cut.outline.edges.len(), 8);
    // A lid always gets the easy fit, whatever the stock says.
    let lid = Panel { role: Role::Lid, ..panel };
    let cut = cut_lines(&lid, &allowance).unwrap();
    assert_eq!(cut.outline.edges[2].to().x - cut.outline.edges[4].to().x, um(2_950));
}

/// A finger notch: straight down, a quarter circle, a floor, a quarter circle, straight up; and a half circle.
#[test]
fn arcs_stay_arcs_and_their_radius_changes() {
    let arc = |x, y, cx, cy, clockwise| Edge::Arc { to: at(x, y), centre: at(cx, cy), clockwise };
    let edges = vec![
        Edge::Line(at(80_000, 0)),
        Edge::Line(at(80_000, 30_000)),
        Edge::Line(at(55_000, 30_000)),
        Edge::Line(at(55_000, 22_000)),
        arc(50_000, 17_000, 50_000, 22_000, true),
        Edge::Line(at(35_000, 17_000)),
        arc(30_000, 22_000, 35_000, 22_000, true),
        Edge::Line(at(30_000, 30_000)),
        Edge::Line(at(20_000, 30_000)),
        arc(10_000, 30_000, 15_000, 30_000, true),
        Edge::Line(at(0, 30_000)),
        Edge::Line(at(0, 0)),
    ];
    let ring = Ring { edges };
    let out = moved(&ring, &[um(100); 12]).unwrap();
    let arcs: Vec<(i64, Spot)> = out
        .spans()
        .filter_map(|(from, e)| match e {
            Edge::Arc { centre, .. } => Some((radius(from, centre), centre)),
            Edge::Line(_) => None,
        })
        .collect();
    assert_eq!(
        arcs,
        [(4_900_000, at(50_000, 22_000)), (4_900_000, at(35_000, 22_000)), (4_900_000, at(15_000, 30_000))]
    );
    // The half circle meets the rim at right angles: its ends go straight on to the moved rim.
    assert_eq!(out.edges.len(), 14);
    assert_eq!(size(&out), (um(80_200), um(30_200)));
    // What is between the two, for a small cut, is its length times the move.
    let grown = (area_mm2(&out) - area_mm2(&ring)) / length_mm(&ring);
    assert!((grown - 0.1).abs() < 1e-3, "{grown}");
}

#[test]
fn a_rounded_corner_that_closes_is_trimmed() {
    // A cove: the arc meets the floor at a right angle from inside, so that both get shorter.
    let arc = Edge::Arc { to: at(20_000, 10_000), centre: at(30_000, 10_000), clockwise: false };
    let edges = vec![
        Edge::Line(at(20_000, 30_000)),
        Edge::Line(at(0, 30_000)),
        Edge::Line(at(0, 0)),
        Edge::Line(at(30_000, 0)),
        Edge::Line(at(30_000, 20_000)),
        arc,
    ];
    let ring = Ring { edges };
    let inward = moved(&ring, &[um(-100); 6]);
    assert!(inward.is_none() || !crosses_itself(&inward.unwrap()));
}

#[test]
fn what_is_no_wider_than_the_cut_vanishes() {
    let allowance = Allowance { full_width: um(3_000), fits: Fits::default() };
    let slot = |w| Opening {
        ring: backwards(&Ring::rectangle(um(9_000), um(9_000), um(20_000), um(w))),
        meets: Meets::Nothing,
    };
    let plate = Ring::rectangle(um(0), um(0), um(60_000), um(40_000));
    let of = |w| cut_lines(&panel(plate.clone(), vec![], vec![slot(w)]), &allowance);
    assert_eq!(of(3_000), Err(Vanished::Opening(0)));
    assert_eq!(of(2_000), Err(Vanished::Opening(0)));
    assert!(of(3_100).is_ok());
    // A notch in the rim.
    let notch = |w: i64| {
        line(&[
            (50_000, 0),
            (50_000, 20_000),
            (20_000 + w, 20_000),
            (20_000 + w, 10_000),
            (20_000, 10_000),
            (20_000, 20_000),
            (0, 20_000),
            (0, 0),
        ])
    };
    assert_eq!(cut_lines(&panel(notch(3_000), vec![], vec![]), &allowance), Err(Vanished::Outline));
    assert!(cut_lines(&panel(notch(3_200), vec![], vec![]), &allowance).is_ok());
    // A round hole smaller than the cut.
    let hole = |r: i64| {
        let half = |to, clockwise| Edge::Arc { to, centre: at(30_000, 20_000), clockwise };
        Ring { edges: vec![half(at(30_000 + r, 20_000), true), half(at(30_000 - r, 20_000), true)] }
    };
    let of = |r| {
        let opening = Opening { ring: hole(r), meets: Meets::Nothing };
        cut_lines(&panel(plate.clone(), vec![], vec![opening]), &allowance)
    };
    assert_eq!(of(1_500), Err(Vanished::Opening(0)));
    let cut = of(5_000).unwrap();
    assert_eq!(size(&cut.openings[0]), (um(7_000), um(7_000)));
}

//! Every code of the checker has a fault here that brings it about, in a plan that is valid without it.

use std::collections::BTreeSet;

use traywright::check::check;
use traywright::finding::index;
use traywright::job::{Contents, Grip, HeightRule, Held, Job, Stand, Use};
use traywright::length::{Area, Length, Volume};
use traywright::place::{Point, Size};
use traywright::plan::{Arrangement, ClaimState, Layer, Note, PlacedTray, Plan};
use traywright_tests::sample;

const HAIR: Length = Length::from_nm(1);
const LEAST: Volume = Volume::from_nm3(1);

type Edit = fn(&mut Job, &mut Plan);

fn stack(job: &mut Job) -> &mut traywright::job::Stack {
    match &mut job.trays[0].parts[0].contents {
        Contents::Stack(stack) => stack,
        other => panic!("{other:?}"),
    }
}

fn nested(a: &mut Arrangement) -> &mut PlacedTray {
    a.trays[1].compartments.iter_mut().find_map(|c| c.tray.as_deref_mut()).unwrap()
}

#[rustfmt::skip]
const FAULTS: &[(&str, Edit)] = &[
    ("C001", |_, p| p.tight.kept[0].at.x = Length::mm(30_000)),
    ("C001", |_, p| p.settled.trays[0].compartments[1].slack.depth = -HAIR),
    ("C001", |_, p| p.settled.layers[0].height = Length::from_nm(i64::MAX)),
    ("C002", |_, p| { let d = p.tight.trays[0].dividers[0]; p.tight.trays[0].dividers = vec![d; 20_000]; }),
    ("C002", |_, p| for _ in 0..120 {
        let inner = p.tight.trays[1].clone();
        p.tight.trays[1].compartments[0].tray = Some(Box::new(inner));
        p.tight.trays[1].compartments.truncate(1);
    }),
    ("C003", |_, p| p.version = 2),
    ("C003", |_, p| p.format = "plan".into()),
    ("C004", |_, p| p.title.push('!')),
    ("C004", |j, _| j.digest = "0".repeat(64)),
    ("C005", |j, _| j.grid = Length::um(50)),
    ("C006", |_, p| p.findings.push(Note { code: "X001".into(), text: "storm".into() })),
    ("C010", |_, p| p.objective_mm3.wasted += LEAST),
    ("C010", |_, p| p.objective_mm3.value += LEAST),
    ("C011", |_, p| p.objective_mm3.bound = p.objective_mm3.value + LEAST),
    ("C011", |_, p| p.objective_mm3.bound = -LEAST),
    ("C012", |_, p| p.claim.state = ClaimState::Proven),
    ("C012", |_, p| p.claim.gap = Some(f64::NAN)),
    ("C012", |_, p| p.objective_mm3.bound = p.objective_mm3.value),
    ("C012", |_, p| p.objective_mm3.bound = Volume::ZERO),
    ("C013", |_, p| {
        p.objective_mm3.bound = p.objective_mm3.value;
        (p.claim.state, p.claim.gap) = (ClaimState::Proven, Some(0.0));
        p.left_out.push("harbour map".into());
    }),
    ("C014", |_, p| p.claim.curves = "guessed".into()),
    ("C014", |_, p| p.claim.bound_by.clear()),
    ("C020", |_, p| { p.settled.trays.remove(2); }),
    ("C020", |_, p| { p.tight.kept.remove(1); }),
    ("C020", |_, p| { p.tight.trays.pop(); }),
    ("C020", |_, p| p.tight.trays[1].compartments[1].tray = None),
    ("C021", |_, p| p.tight.kept[1].copy = 3),
    ("C021", |_, p| p.tight.cover[0].name = "other map".into()),
    ("C021", |_, p| nested(&mut p.settled).name = "his tray".into()),
    ("C021", |_, p| p.left_out.push("lamp oil".into())),
    ("C022", |_, p| p.left_out.push("sea serpent".into())),
    ("C023", |_, p| p.tight.trays[4].usage = Use::Always),
    ("C023", |_, p| p.tight.trays[0].usage = Use::Always),
    ("C024", |_, p| p.settled.trays.swap(0, 1)),
    ("C025", |_, p| p.settled.trays[4].name = "other tray".into()),
    ("C030", |j, _| j.layers.most = 1),
    ("C031", |_, p| p.tight.layers[1].bottom += HAIR),
    ("C031", |_, p| p.settled.layers[1].height += HAIR),
    ("C032", |j, _| j.layers.heights = vec![HeightRule::Fixed(Length::mm(40) + HAIR)]),
    ("C032", |j, _| j.layers.heights = vec![HeightRule::Open, HeightRule::Range(Length::mm(30), Length::mm(42) - HAIR)]),
    ("C033", |_, p| p.tight.layers.push(Layer { bottom: Length::mm(75), height: Length::mm(1) })),
    ("C040", |j, _| j.cover[0].size.h += HAIR),
    ("C041", |_, p| p.tight.cover[0].at.x = Length::mm(20) + HAIR),
    ("C041", |j, _| j.container.lid_room += HAIR),
    ("C042", |_, p| p.tight.cover[0].at.z -= HAIR),
    ("C043", |_, p| p.tight.cover[0].layers.push(2)),
    // Below the top of the layers, sunk without leave, and as far down as a floor.
    ("C044", |_, p| p.settled.cover[0].at.z = Length::mm(30)),
    ("C045", |j, p| {
        j.cover[0].sink = true;
        p.settled.cover[0].at.z = Length::ZERO;
    }),
    ("C050", |_, p| p.settled.kept[2].at.y -= HAIR),
    ("C050", |_, p| { let map = p.settled.cover[0].clone(); p.settled.cover.push(map); }),
    ("C051", |j, _| j.container.between += HAIR),
    ("C051", |j, _| j.container.side += HAIR),
    ("C052", |j, _| j.container.interior.w = Length::mm(180)),
    ("C053", |_, p| p.tight.trays[0].layers = vec![1, 2]),
    ("C053", |_, p| p.tight.trays[0].layers = vec![usize::MAX, 0]),
    ("C053", |_, p| p.tight.kept[0].layers = vec![1]),
    ("C053", |j, p| { p.tight.trays[1].layers = vec![1, 2]; j.trays[1].span = 1; }),
    ("C054", |_, p| p.tight.trays[0].size.h -= HAIR),
    ("C054", |_, p| p.tight.kept[1].at.z += HAIR),
    ("C055", |j, _| j.kept[0].size.h += HAIR),
    ("C055", |j, _| { j.kept[1].size = Size { w: Length::mm(20), d: Length::mm(30), h: Length::mm(40) }; }),
    ("C056", |j, _| j.trays[0].size = Some(Size { w: Length::mm(103), d: Length::mm(158), h: Length::mm(40) + HAIR })),
    ("C057", |j, _| j.wishes.largest_tray = Some((Length::mm(103), Length::mm(158) - HAIR))),
    ("C058", |j, _| j.trays[1].held = Some(Held::Layer(0))),
    ("C058", |j, _| j.kept[0].held = Some(Held::At(Point { z: HAIR, ..Point::default() }))),
    ("C059", |j, _| j.wishes.most_mass = Some(60_000)),
    ("C060", |j, _| j.stock.thickness += HAIR),
    ("C060", |j, _| j.trays[1].lid = true),
    ("C061", |j, _| j.trays[0].grip = Some(Grip::Ribbon)),
    ("C061", |_, p| p.settled.trays[0].grip = Grip::None),
    ("C062", |_, p| p.settled.trays[0].size.w = Length::mm(6)),
    ("C063", |_, p| p.tight.trays[0].compartments[0].size.h -= HAIR),
    ("C064", |j, _| j.divider += HAIR),
    ("C064", |j, _| j.trays[0].divider_height = Some(Length::mm(30))),
    ("C065", |_, p| {
        let (a, b) = (p.tight.trays[0].compartments[0].at, p.tight.trays[0].compartments[2].at);
        p.tight.trays[0].compartments[0].at = b;
        p.tight.trays[0].compartments[2].at = a;
    }),
    ("C066", |_, p| nested(&mut p.tight).at.z += HAIR),
    ("C070", |j, _| stack(j).stand = vec![Stand::LongEdge]),
    ("C070", |_, p| p.tight.trays[0].compartments[1].lean_deg = 39),
    ("C070", |_, p| p.tight.trays[1].compartments[0].piles = "3 × 1 × 2".into()),
    ("C071", |j, _| stack(j).count = Some(55)),
    ("C071", |j, _| stack(j).ease += HAIR),
    ("C071", |_, p| p.tight.trays[0].compartments[2].need.area_mm2 = Some(Area::from_nm2(1))),
    ("C072", |_, p| p.tight.trays[0].compartments[0].size.d -= HAIR),
    ("C080", |_, p| p.tight.trays[0].compartments[2].slack.width += HAIR),
    ("C081", |_, p| p.tight.trays[0].compartments[2].slack.volume_ml = f64::INFINITY),
    ("C081", |_, p| p.tight.trays[0].compartments[2].slack.percent += 0.1),
    ("C082", |_, p| p.tight.trays[2].compartments[0].slack.more -= 1),
    ("C082", |_, p| p.tight.trays[2].compartments[0].slack.more = i64::MAX),
    ("C082", |_, p| p.tight.trays[2].compartments[0].slack.more_of = "rusks".into()),
    ("C090", |j, _| j.trays[0].low = true),
    ("C100", |j, _| j.wishes.access_always += 1),
    ("C101", |_, p| { p.lifts.pop(); }),
    ("C101", |_, p| p.lifts[0].tray = "rations".into()),
    ("C102", |_, p| { p.lifts[0].first.pop(); }),
    ("C102", |_, p| p.lifts[1].first.push("lamp oil".into())),
    ("C103", |_, p| p.lifts[0].first.reverse()),
    ("C104", |_, p| p.tight.trays[3].at.x = Length::mm(100)),
    ("C110", |_, p| p.tight.trays[1].grip = Grip::Notch),
    ("C120", |j, _| j.container.on_side = true),
    ("C130", |_, p| p.settled.volumes_mm3.overhead += LEAST),
    ("C131", |j, _| j.container.interior.h = Length::mm(40)),
];

#[test]
fn every_fault_is_found_as_what_it_is() {
    for (i, (code, edit)) in FAULTS.iter().enumerate() {
        let (mut job, mut plan) = (sample::job(), sample::plan());
        edit(&mut job, &mut plan);
        let found = check(&job, &plan);
        let told: Vec<String> = found.iter().map(ToString::to_string).collect();
        assert!(found.iter().any(|f| f.code == *code), "fault {i}, {code}: {}", told.join("\n"));
    }
}

#[test]
fn every_code_of_the_checker_has_a_fault_here() {
    let shown: BTreeSet<&str> = FAULTS.iter().map(|(code, _)| *code).collect();
    let listed: BTreeSet<&str> =
        index::all().map(|e| e.code).filter(|c| c.starts_with('C') && *c != "C007").collect();
    // C007 is told of plans in which the checker finds nothing.
    assert_eq!(shown, listed);
}

/// Moves a tray with everything in it.
fn shift(t: &mut PlacedTray, by: Point) {
    let moved = |p: &mut Point| {
        *p = Point { x: p.x + by.x, y: p.y + by.y, z: p.z + by.z };
    };
    moved(&mut t.at);
    t.dividers.iter_mut().for_each(|d| moved(&mut d.at));
    for c in &mut t.compartments {
        moved(&mut c.at);
        if let Some(inner) = &mut c.tray {
            shift(inner, by);
        }
    }
}

/// Which faults the checker finds when one tray of the tight plan moves along x and y by these nanometres.
fn moved(tray: usize, x: i64, y: i64) -> Vec<&'static str> {
    let (job, mut plan) = (sample::job(), sample::plan());
    let by = Point { x: Length::from_nm(x), y: Length::from_nm(y), z: Length::ZERO };
    shift(&mut plan.tight.trays[tray], by);
    let codes: BTreeSet<&str> = check(&job, &plan).iter().map(|f| f.code).collect();
    codes.into_iter().collect()
}

#[test]
fn a_whole_tray_may_move_up_to_its_limits_and_not_a_nanometre_beyond() {
    let none: Vec<&str> = Vec::new();
    // The hold stands 1 mm from the lamp oil on its left, 1 mm from the wicks on its right, at both sides.
    assert_eq!(moved(0, -1, 0), ["C051"]);
    assert_eq!(moved(0, 1, 0), ["C051"]);
    assert_eq!(moved(0, 0, 1), ["C051"]);
    // The bridge rests on the hold's left rim, 3 mm wide, with its left edge: it may move right until that no
    // longer lies under it. (On the right it rests on the upright divider, then on the right rim.)
    assert_eq!(moved(1, 0, 0), none);
    assert_eq!(moved(1, 3_000_000 - 1, 0), none);
    assert_eq!(moved(1, 3_000_000, 0), ["C090"]);
    // Forward it is free until 1 mm from the front; it stands there.
    assert_eq!(moved(1, 0, -1), ["C051"]);
    // The tray for the quay tiles may move right up to 1 mm from the side: 199 − 196.7 mm.
    assert_eq!(moved(4, 2_300_000, 0), none);
    assert_eq!(moved(4, 2_300_001, 0), ["C051"]);
    // The upper rations tray, 47 mm deep, rests on the lower one's rims at its left and right, which must bear
    // half of each edge.
    assert_eq!(moved(3, 0, 23_500_000), none);
    assert_eq!(moved(3, 0, 23_500_001), ["C090"]);
}

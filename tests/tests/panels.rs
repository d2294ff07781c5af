//! Panels of random trays are proven to assemble, and the proof turns down panels that were changed.

use traywright::job::{Job, Joint};
use traywright::length::Length;
use traywright::panel::{Axis, Edge, Meets, NotchFor, Panel, Role, TrayPanels, panels, prove};
use traywright::place::{Point, Size};
use traywright::plan::Plan;
use traywright_tests::random_tray::{plan, random_sunk, random_tray};

fn made(seed: u64, most: usize) -> (Job, Plan, TrayPanels) {
    let (job, plan) = random_tray(seed, most);
    let all = panels(&job, &plan).unwrap_or_else(|f| panic!("seed {seed}: {}", f[0]));
    assert_eq!(all.len(), 1);
    (job, plan, all.into_iter().next().unwrap())
}

#[test]
fn random_trays_assemble() {
    let mut slots = 0;
    for seed in 1_000..1_060 {
        let (job, plan, made) = made(seed, 30);
        let proof = prove(&job, &plan, &made).unwrap_or_else(|f| panic!("seed {seed}: {}", f[0]));
        assert_eq!(proof.panels, made.panels.len());
        assert_eq!(proof.moves.len(), made.panels.len());
        slots += proof.slots;
    }
    assert!(slots > 500, "{slots}");
}

#[test]
fn random_trays_with_something_sunk_into_them_assemble() {
    let (mut seen, mut lowered, mut corners, mut barred) = (0, 0, 0, 0);
    for seed in 2_000..2_120 {
        let Some((job, plan)) = random_sunk(seed, 20) else { continue };
        let made = panels(&job, &plan).unwrap_or_else(|f| panic!("seed {seed}: {}", f[0]));
        prove(&job, &plan, &made[0]).unwrap_or_else(|f| panic!("seed {seed}: {}", f[0]));
        seen += 1;
        let low = |p: &Panel| p.notches.iter().any(|n| n.purpose == NotchFor::Sunk);
        lowered += made[0].panels.iter().filter(|p| low(p)).count();
        corners += usize::from(
            made[0].panels.iter().filter(|p| low(p) && !matches!(p.role, Role::Divider(_))).count() > 1,
        );
        // Panels made for the tray without it stand in its way.
        let mut without = plan.clone();
        without.settled.cover.clear();
        let tray = &mut without.settled.trays[0];
        let rim = tray.at.z + tray.size.h;
        tray.compartments.iter_mut().for_each(|c| c.size.h = rim - c.at.z);
        let other = panels(&job, &without).unwrap();
        if let Err(found) = prove(&job, &plan, &TrayPanels { placed: vec![0], ..other[0].clone() }) {
            assert!(found.iter().any(|f| f.code == "K031"), "seed {seed}: {}", found[0]);
            barred += 1;
        }
    }
    assert!(barred > 40, "{barred}");
    assert!(seen > 60 && lowered > 100 && corners > 10, "{seen} {lowered} {corners}");
}

/// Trays with slots to change, of every joint that has any.
fn with_slots() -> Vec<(Job, Plan, TrayPanels)> {
    let mut out: Vec<(Job, Plan, TrayPanels)> = Vec::new();
    for seed in 1..200 {
        let next = made(seed, 12);
        let joint = |t: &(Job, Plan, TrayPanels)| t.0.trays[0].joint;
        let slotted = next.2.panels.iter().any(|p| !p.openings.is_empty());
        if slotted && matches!(joint(&next), Some(Joint::Finger | Joint::Tab)) {
            out.push(next);
        }
        if out.len() == 8 {
            break;
        }
    }
    out
}

/// Every panel changed in one way, one at a time; `change` says whether it could.
fn turned_down(what: &str, change: impl Fn(&mut Panel) -> bool) {
    let mut changed = 0;
    for (job, plan, made) in with_slots() {
        assert!(prove(&job, &plan, &made).is_ok());
        for i in 0..made.panels.len() {
            let mut other = made.clone();
            if change(&mut other.panels[i]) {
                changed += 1;
                assert!(
                    prove(&job, &plan, &other).is_err(),
                    "{what}: {} was let through",
                    made.panels[i].name
                );
            }
        }
    }
    assert!(changed >= 8, "{what}: only {changed} changed");
}

#[test]
fn a_slot_dropped_is_found() {
    turned_down("slot dropped", |p| p.openings.pop().is_some());
}

#[test]
fn a_slot_moved_is_found() {
    turned_down("slot moved", |p| {
        let by = Length::from_nm(1);
        let Some(opening) = p.openings.iter_mut().find(|o| matches!(o.meets, Meets::Panel(_))) else {
            return false;
        };
        for edge in &mut opening.ring.edges {
            if let Edge::Line(to) = edge {
                to.x += by;
            }
        }
        true
    });
}

#[test]
fn a_tab_moved_is_found() {
    turned_down("tab moved", |p| {
        // An edge at the greatest y that does not make the whole breadth is the end of a tab.
        let edges: Vec<_> = p.outline.spans().collect();
        let width = edges.iter().map(|(from, _)| from.x).max().unwrap();
        let tab = edges.iter().position(|(from, edge)| {
            from.y == Length::ZERO && edge.to().y == Length::ZERO && edge.to().x - from.x < width / 2
        });
        let Some(at) = tab else { return false };
        let n = p.outline.edges.len();
        for i in [at + n - 1, at] {
            if let Edge::Line(to) = &mut p.outline.edges[i % n] {
                to.x += Length::um(10);
            }
        }
        for i in [at + n - 2, at + 1] {
            if let Edge::Line(to) = &mut p.outline.edges[i % n] {
                to.x += Length::um(10);
            }
        }
        true
    });
}

#[test]
fn another_thickness_is_found() {
    turned_down("thicker", |p| {
        p.thickness += Length::from_nm(1);
        true
    });
    turned_down("thinner", |p| {
        p.thickness -= Length::um(100);
        true
    });
}

#[test]
fn a_panel_elsewhere_or_turned_is_found() {
    turned_down("moved up", |p| {
        p.pose.origin.z += Length::from_nm(1);
        true
    });
    turned_down("turned over", |p| {
        p.pose.normal = Axis::Down;
        p.pose.x != Axis::Right || p.pose.y != Axis::Front
    });
}

#[test]
fn a_panel_left_out_and_another_order_are_found() {
    let mut orders = 0;
    for (job, plan, made) in with_slots() {
        for i in 0..made.panels.len() {
            let mut other = made.clone();
            other.panels.remove(i);
            assert!(prove(&job, &plan, &other).is_err());
        }
        // Walls before the dividers whose tabs they take.
        let mut other = made.clone();
        let divider = other.panels.iter().position(|p| matches!(p.role, Role::Divider(_)));
        if let Some(at) = divider
            && made.panels.iter().any(|p| p.role == Role::Left && !p.openings.is_empty())
        {
            let divider = other.panels.remove(at);
            other.panels.push(divider);
            orders += usize::from(prove(&job, &plan, &other).is_err());
        }
    }
    assert!(orders > 0);
}

/// A brief with one tray of this joint and stock, and a plan of two compartments side by side in it.
fn two(thickness: &str, extra: &str, rooms: [i64; 2]) -> (Job, Plan) {
    let text = format!(
        "[box]\ninterior = [400, 320, 120]\n\n[stock]\nname = \"birch plywood\"\nthickness = \"{thickness}\"\n\
         process = \"laser\"\n{extra}\n\n[[tray]]\nname = \"two\"\njoint = \"finger\"\n\
         [[tray.part]]\nname = \"left\"\nsolid = {{ size = [1, 1, 1] }}\n\
         [[tray.part]]\nname = \"right\"\nsolid = {{ size = [1, 1, 1] }}\n"
    );
    let job = traywright::job::read(&text, "two.toml", traywright::brief::Format::Toml, None, &[]).unwrap();
    let t = job.stock.thickness;
    let [a, b] = rooms.map(Length::mm);
    let (_, seeded) = random_tray(1, 1);
    let mut tray = seeded.settled.trays[0].clone();
    let (d, h) = (Length::mm(80), Length::mm(40));
    let at = |x| Point { x, y: t, z: t };
    let room = |name: &str, x, w| {
        let mut c = tray.compartments[0].clone();
        (c.part, c.at, c.size, c.standing) = (name.into(), at(x), Size { w, d, h }, "rows".into());
        c
    };
    tray.compartments = vec![room("left", t, a), room("right", t * 2 + a, b)];
    tray.dividers = vec![traywright::plan::Divider { at: at(t + a), size: Size { w: t, d, h } }];
    (tray.name, tray.at, tray.grip) = ("two".into(), Point::default(), traywright::job::Grip::None);
    (tray.wall, tray.floor, tray.lid) = (t, t, Length::ZERO);
    tray.size = Size { w: a + b + t * 3, d: d + t * 2, h: h + t };
    (job, plan(tray))
}

fn codes(job: &Job, plan: &Plan) -> Vec<(&'static str, String)> {
    panels(job, plan).err().unwrap_or_default().into_iter().map(|f| (f.code, f.remedy)).collect()
}

#[test]
fn what_cannot_be_made_names_the_smallest_change() {
    let (job, fine) = two("3 mm", "sheets = [[600, 400]]", [60, 60]);
    assert_eq!(codes(&job, &fine), []);
    // 2 mm between the slots of wall and divider, of stock 3 mm thick.
    let (job, narrow) = two("3 mm", "sheets = [[600, 400]]", [2, 60]);
    let found = codes(&job, &narrow);
    assert!(found.iter().all(|(code, _)| *code == "K001") && !found.is_empty(), "{found:?}");
    assert!(found.iter().any(|(_, remedy)| remedy.contains("1 mm larger")), "{found:?}");
    // A floor of 129 × 86 on a sheet of 120 × 300.
    let (job, large) = two("3 mm", "sheets = [[120, 120]]", [60, 60]);
    let found = codes(&job, &large);
    assert!(found.iter().all(|(code, _)| *code == "K003") && found.len() == 3, "{found:?}");
    assert!(found.iter().all(|(_, remedy)| remedy.contains("at least")), "{found:?}");
    let (job, bed) = two("3 mm", "sheets = [[600, 400]]\n[wishes]\nlargest_tray = [125, 100]", [60, 60]);
    let found = codes(&job, &bed);
    assert!(found.iter().all(|(code, _)| *code == "K004") && found.len() == 3, "{found:?}");
    assert!(found.iter().all(|(_, remedy)| remedy.contains("smaller by 4 mm")), "{found:?}");
}

/// Lengths that a remedy names, in its order.
fn lengths(remedy: &str) -> Vec<Length> {
    let words: Vec<&str> = remedy.split([' ', ',']).collect();
    let number = |w: &[&str]| match w {
        [number, unit] if unit.trim_end_matches('.') == "mm" => number.parse::<f64>().ok(),
        _ => None,
    };
    words.windows(2).filter_map(number).map(|mm| Length::from_nm((mm * 1e6).round() as i64)).collect()
}

/// Each remedy is applied as it is said: with it the tray can be made, with a hair less it cannot.
#[test]
fn remedies_mend_and_nothing_smaller_does() {
    let sheets = "sheets = [[600, 400]]";
    let hair = Length::from_nm(1);
    // K001: a larger compartment, thinner stock, or `butt`.
    let (job, narrow) = two("3 mm", sheets, [2, 60]);
    let found = codes(&job, &narrow);
    let more = found.iter().filter_map(|(_, r)| lengths(r).first().copied()).max().unwrap();
    let widened = |by: Length| {
        let (job, mut plan) = two("3 mm", sheets, [2, 60]);
        let tray = &mut plan.settled.trays[0];
        tray.size.w += by;
        tray.compartments[0].size.w += by;
        tray.compartments[1].at.x += by;
        tray.dividers[0].at.x += by;
        codes(&job, &plan)
    };
    assert_eq!(widened(more), []);
    assert!(!widened(more - hair).is_empty());
    let thinner = found.iter().filter_map(|(_, r)| lengths(r).get(1).copied()).min().unwrap();
    let (job, plan) = two(&thinner.to_string(), sheets, [2, 60]);
    assert_eq!(codes(&job, &plan), [], "{thinner}");
    let (mut job, plan) = two("3 mm", sheets, [2, 60]);
    job.trays[0].joint = Some(Joint::Butt);
    assert_eq!(codes(&job, &plan), []);
    // K003 and K004: a larger sheet or bed, or a smaller tray.
    let bed = |w: Length, d: Length| format!("{sheets}\n[wishes]\nlargest_tray = [\"{w}\", \"{d}\"]");
    let sheet = |w: Length, d: Length| format!("sheets = [[\"{w}\", \"{d}\"]]");
    type Stock<'a> = &'a dyn Fn(Length, Length) -> String;
    let cases: [(Stock, Length, Length, [usize; 2], usize); 2] = [
        (&sheet, Length::mm(120), Length::mm(120), [0, 1], 2),
        (&bed, Length::mm(125), Length::mm(100), [1, 2], 0),
    ];
    for (stock, w, d, larger, smaller) in cases {
        let found = codes(&two("3 mm", &stock(w, d), [60, 60]).0, &two("3 mm", &stock(w, d), [60, 60]).1);
        assert!(!found.is_empty());
        let all: Vec<Vec<Length>> = found.iter().map(|(_, r)| lengths(r)).collect();
        let most = |i: usize| all.iter().filter_map(|l| l.get(i).copied()).max().unwrap();
        let (w2, d2) = (most(larger[0]), most(larger[1]));
        let tried = |w: Length, d: Length| {
            let (job, plan) = two("3 mm", &stock(w, d), [60, 60]);
            codes(&job, &plan)
        };
        assert_eq!(tried(w2, d2), [], "{w2} × {d2}");
        assert!(!tried(w2 - hair, d2).is_empty() && w2 > w, "{w2}");
        let (job, mut plan) = two("3 mm", &stock(w, d), [60, 60]);
        let by = most(smaller);
        let shrunk = |plan: &mut Plan, by: Length| {
            let tray = &mut plan.settled.trays[0];
            tray.size.w -= by;
            tray.compartments[1].size.w -= by;
        };
        let mut less = plan.clone();
        shrunk(&mut plan, by);
        assert_eq!(codes(&job, &plan), [], "{by}");
        shrunk(&mut less, by - hair);
        assert!(!codes(&job, &less).is_empty(), "{by}");
    }
}

/// With a grain, the longer side of a panel runs along the sheet's width: turned it would fit, and is not taken.
#[test]
fn the_grain_decides_whether_a_sheet_takes_a_panel() {
    let stock = |w: i64, d: i64, grain: bool| format!("sheets = [[{w}, {d}]]\ngrain = {grain}");
    let tried = |w, d, grain| {
        let (job, plan) = two("3 mm", &stock(w, d, grain), [60, 60]);
        codes(&job, &plan)
    };
    assert_eq!(tried(105, 300, false), []);
    let found = tried(105, 300, true);
    assert!(!found.is_empty() && found.iter().all(|(code, _)| *code == "K003"), "{found:?}");
    assert_eq!(tried(300, 105, true), []);
    let all: Vec<Vec<Length>> = found.iter().map(|(_, r)| lengths(r)).collect();
    let width = all.iter().map(|l| l[0]).max().unwrap();
    let mended = |w: Length| {
        let (job, plan) = two("3 mm", &format!("sheets = [[\"{w}\", 300]]\ngrain = true"), [60, 60]);
        codes(&job, &plan)
    };
    assert_eq!(mended(width), []);
    assert!(!mended(width - Length::from_nm(1)).is_empty());
}

#[test]
fn a_divider_that_ends_nowhere_and_no_room_are_findings() {
    let (job, mut plan) = two("3 mm", "sheets = [[600, 400]]", [60, 60]);
    plan.settled.trays[0].dividers[0].size.d -= Length::mm(1);
    assert_eq!(codes(&job, &plan).first().map(|c| c.0), Some("K005"));
    plan.settled.trays[0].size.h = Length::mm(-5);
    assert_eq!(codes(&job, &plan).first().map(|c| c.0), Some("K006"));
}

#[test]
fn dividers_of_different_heights_interlock() {
    // A plan has one height a tray today; the joints hold for others: a low one first, or below a higher one.
    let mut seen = 0;
    for seed in 1..80 {
        let (job, mut plan) = random_tray(seed, 12);
        let tray = &mut plan.settled.trays[0];
        let slotted = !matches!(job.trays[0].joint, Some(Joint::Butt | Joint::Rebate));
        for (i, d) in tray.dividers.iter_mut().enumerate() {
            if i % 3 == 1 {
                d.size.h = d.size.h * 3 / 4;
            }
        }
        let several = tray.dividers.len() > 3;
        let made = panels(&job, &plan).unwrap_or_else(|f| panic!("seed {seed}: {}", f[0]));
        prove(&job, &plan, &made[0]).unwrap_or_else(|f| panic!("seed {seed}: {}", f[0]));
        seen += usize::from(slotted && several);
    }
    assert!(seen > 10, "{seen}");
}

//! Panels of random trays are proven to assemble, and the proof turns down panels that were changed.

use traywright::job::{Job, Joint};
use traywright::length::Length;
use traywright::panel::{Axis, Edge, Meets, Panel, Role, TrayPanels, panels, prove};
use traywright::place::{Point, Size};
use traywright::plan::Plan;
use traywright_tests::random_tray::{plan, random_tray};

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

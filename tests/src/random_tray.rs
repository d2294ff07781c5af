//! Random trays as a plan has them, with the job they belong to: for panels and their proof.

use traywright::brief::Format;
use traywright::job::{self, Grip, Job, Use};
use traywright::length::{Length, Volume};
use traywright::place::{Point, Size};
use traywright::plan::{
    Arrangement, Claim, Compartment, Divider, NeedKind, Objective, PlacedNeed, PlacedTray, Plan, Slack,
    Volumes,
};
use traywright::random::Random;

/// Joints by name.
pub const JOINTS: [&str; 5] = ["finger", "tab", "halved", "butt", "rebate"];

/// A job with one tray and a plan in which it stands: walls, floor and dividers of 1.5 to 6 mm, up to `most`
/// compartments cut straight, some with low dividers or a lid, joined in each of five ways.
pub fn random_tray(seed: u64, most: usize) -> (Job, Plan) {
    let mut r = Random::new(seed);
    let um = |r: &mut Random, from: i64, to: i64| Length::um(from + r.below((to - from + 1) as usize) as i64);
    let wall = um(&mut r, 1_500, 6_000);
    let (floor, divider) = match r.below(3) {
        0 => (wall, wall),
        1 => (um(&mut r, 1_500, 6_000), wall),
        _ => (um(&mut r, 1_500, 6_000), um(&mut r, 1_500, 6_000)),
    };
    let joint = JOINTS[r.below(5)];
    let lid = r.below(4) == 0;
    let size = Size {
        w: um(&mut r, 50_000, 380_000),
        d: um(&mut r, 50_000, 300_000),
        h: um(&mut r, 22_000, 110_000),
    };
    let low = r.below(5) == 0;
    let clear = size.h - floor - if lid { floor } else { Length::ZERO };
    let height = if low { clear * 3 / 5 } else { clear };
    let inner = [(wall, size.w - wall), (wall, size.d - wall)];
    let wanted = 1 + r.below(most);
    // No compartment is narrower than a finger's tip, or than the stock is thick.
    let least = Length::mm(12).max(divider).max(wall).max(floor);
    let mut rooms = vec![inner];
    let mut dividers: Vec<Divider> = Vec::new();
    // A plan often has dividers in line: sometimes cut where a neighbour is cut.
    for _ in 0..wanted * 4 {
        if rooms.len() >= wanted {
            break;
        }
        let i = r.below(rooms.len());
        let axis = r.below(2);
        let (from, to) = rooms[i][axis];
        let spare = (to - from - divider - least * 2).nm();
        if spare < 0 {
            continue;
        }
        let mut at = from + least + Length::from_nm((spare as f64 * r.unit()) as i64);
        if r.below(2) == 0
            && let Some(d) = dividers.get(r.below(dividers.len().max(1)))
        {
            let (own, other) = if axis == 0 { (d.at.x, d.size.w) } else { (d.at.y, d.size.d) };
            // Exactly in line, or almost.
            let nudge = [Length::ZERO, Length::ZERO, Length::um(700), divider][r.below(4)];
            if other == divider && own + nudge >= from + least && own + nudge + divider + least <= to {
                at = own + nudge;
            }
        }
        let mut own = rooms[i];
        own[axis] = (at, at + divider);
        dividers.push(Divider {
            at: Point { x: own[0].0, y: own[1].0, z: floor },
            size: Size { w: own[0].1 - own[0].0, d: own[1].1 - own[1].0, h: height },
        });
        let mut rest = rooms[i];
        rest[axis].0 = at + divider;
        rooms[i][axis].1 = at;
        rooms.push(rest);
    }
    let kinds = [
        ("loose = { volume = \"1 ml\" }", "poured"),
        ("stack = { face = [10, 10], height = 5 }", "flat"),
        ("solid = { size = [5, 5, 5] }", "block"),
    ];
    let mut parts = String::new();
    let compartments: Vec<Compartment> = rooms
        .iter()
        .enumerate()
        .map(|(i, room)| {
            let (what, standing) = kinds[r.below(3)];
            parts += &format!("[[tray.part]]\nname = \"part {i}\"\n{what}\n");
            let size = Size { w: room[0].1 - room[0].0, d: room[1].1 - room[1].0, h: clear };
            compartment(i, Point { x: room[0].0, y: room[1].0, z: floor }, size, standing)
        })
        .collect();
    let grip = [Grip::Notch, Grip::Notch, Grip::Ribbon, Grip::None][r.below(4)];
    let place = Point { x: um(&mut r, 0, 9_000), y: um(&mut r, 0, 9_000), z: Length::mm(7) };
    let tray = PlacedTray {
        name: "random".into(),
        copy: 1,
        usage: Use::Setup,
        layers: vec![1],
        at: Point::default(),
        size,
        wall,
        floor,
        lid: if lid { floor } else { Length::ZERO },
        grip,
        compartments,
        dividers,
    };
    let text = format!(
        "[box]\ninterior = [400, 320, 120]\n\n[stock]\nname = \"birch plywood\"\nthickness = \"{}\"\nprocess = \"laser\"\n\
         sheets = [[600, 500]]\nfloor = \"{}\"\ndivider = \"{}\"\n\n[[tray]]\nname = \"random\"\njoint = \"{joint}\"\n\
         lid = {lid}\n{parts}",
        wall, floor, divider
    );
    let job = job::read(&text, "random.toml", Format::Toml, None, &[])
        .unwrap_or_else(|f| panic!("seed {seed}: {}\n{text}", f[0]));
    (job, plan(moved(tray, place)))
}

/// A random tray into which a random thing is sunk, crossing walls, dividers and corners as it falls; `None` where the
/// tray of this seed has a lid or is too low.
pub fn random_sunk(seed: u64, most: usize) -> Option<(Job, Plan)> {
    let (mut job, mut plan) = random_tray(seed, most);
    let tray = plan.settled.trays.first_mut()?;
    let mut r = Random::new(seed ^ 0x5eed);
    let thick = tray.wall.max(job.divider);
    let deepest = tray.size.h - tray.floor - thick * 4;
    if tray.lid > Length::ZERO || deepest < Length::mm(2) {
        return None;
    }
    let between = |r: &mut Random, a: Length, b: Length| {
        a + Length::um(r.below(((b - a).nm() / 1000).max(0) as usize + 1) as i64)
    };
    let h = between(&mut r, Length::mm(2), deepest.min(Length::mm(30)));
    // Long and narrow, small, or larger than the tray.
    let (w, d) = match r.below(4) {
        0 => (tray.size.w + Length::mm(8), between(&mut r, Length::mm(4), Length::mm(20))),
        1 => (between(&mut r, Length::mm(4), Length::mm(20)), tray.size.d + Length::mm(8)),
        2 => (between(&mut r, Length::mm(10), tray.size.w), between(&mut r, Length::mm(10), tray.size.d)),
        _ => (tray.size.w * 3 / 4, tray.size.d * 3 / 4),
    };
    let play = job.container.between;
    let x = between(&mut r, tray.at.x - w / 2, tray.at.x + tray.size.w - w / 2);
    let y = between(&mut r, tray.at.y - d / 2, tray.at.y + tray.size.d - d / 2);
    let top = tray.at.z + tray.size.h;
    let at = Point { x, y, z: top - h };
    let covers = |p: Point, s: Size, whole: bool| {
        let (x0, y0, x1, y1) = (x - play, y - play, x + w + play, y + d + play);
        if whole {
            x0 <= p.x && y0 <= p.y && p.x + s.w <= x1 && p.y + s.d <= y1
        } else {
            x0 < p.x + s.w && p.x < x1 && y0 < p.y + s.d && p.y < y1
        }
    };
    if covers(tray.at, tray.size, true) {
        return None;
    }
    for c in &mut tray.compartments {
        if covers(c.at, c.size, false) {
            c.size.h = at.z - c.at.z;
        }
    }
    plan.settled.layers = vec![traywright::plan::Layer { bottom: Length::ZERO, height: top }];
    let size = Size { w, d, h };
    job.cover.push(traywright::job::Cover { name: "rod".into(), size, sink: true });
    plan.settled.cover.push(traywright::plan::Body {
        name: "rod".into(),
        copy: 1,
        at,
        size,
        layers: Vec::new(),
    });
    Some((job, plan))
}

fn compartment(i: usize, at: Point, size: Size, standing: &str) -> Compartment {
    Compartment {
        part: format!("part {i}"),
        at,
        size,
        need: PlacedNeed {
            kind: NeedKind::Fixed,
            size: Some(Size { w: size.w - Length::mm(2), d: size.d - Length::mm(2), h: size.h }),
            area_mm2: None,
            least: None,
        },
        standing: standing.into(),
        turn: false,
        piles: String::new(),
        lean_deg: 90,
        slack: Slack {
            width: Length::mm(2),
            depth: Length::mm(2),
            height: Length::ZERO,
            volume_ml: 0.0,
            percent: 0.0,
            more: 0,
            more_of: "pieces".into(),
        },
        tray: None,
    }
}

/// The tray elsewhere in its box.
fn moved(mut tray: PlacedTray, by: Point) -> PlacedTray {
    let shift = |p: &mut Point| {
        p.x += by.x;
        p.y += by.y;
        p.z += by.z;
    };
    shift(&mut tray.at);
    tray.compartments.iter_mut().for_each(|c| shift(&mut c.at));
    tray.dividers.iter_mut().for_each(|d| shift(&mut d.at));
    tray
}

/// A plan that has nothing but this tray.
pub fn plan(tray: PlacedTray) -> Plan {
    let empty = Arrangement {
        volumes_mm3: Volumes::default(),
        layers: Vec::new(),
        kept: Vec::new(),
        cover: Vec::new(),
        trays: vec![tray],
    };
    Plan {
        format: "traywright-plan".into(),
        version: 1,
        title: String::new(),
        brief_sha256: String::new(),
        seed: 1,
        nodes: 0,
        claim: Claim::none_found(Length::um(100)),
        objective_mm3: Objective {
            wasted: Volume::ZERO,
            access: Volume::ZERO,
            value: Volume::ZERO,
            bound: Volume::ZERO,
        },
        tight: empty.clone(),
        settled: empty,
        lifts: Vec::new(),
        left_out: Vec::new(),
        findings: Vec::new(),
    }
}

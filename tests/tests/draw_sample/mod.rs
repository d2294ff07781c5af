//! A made-up plan for pictures: trays and compartments by random straight cuts. It is a valid shape to
//! draw, not a good arrangement.

use traywright::job::*;
use traywright::length::{Length, Unit, Volume};
use traywright::place::{Point, Size};
use traywright::plan::*;
use traywright::random::Random;

/// How the made-up plan is cut.
pub(crate) struct Cut {
    pub(crate) seed: u64,
    pub(crate) unit: Unit,
    /// Width, depth, height in mm.
    pub(crate) interior: [i64; 3],
    pub(crate) layers: usize,
    /// Trays stop being cut below this side.
    pub(crate) tray: i64,
    /// Compartments stop being cut below this side.
    pub(crate) room: i64,
    pub(crate) cover: bool,
}

pub(crate) const USUAL: Cut = Cut {
    seed: 3,
    unit: Unit::Millimetre,
    interior: [310, 240, 104],
    layers: 3,
    tray: 110,
    room: 40,
    cover: true,
};

const WORDS: &[&str] = &[
    "mail sacks",
    "fare discs",
    "weather cards",
    "deckhands",
    "quay tiles",
    "ticket stubs",
    "harbour dues",
    "lamp oil",
    "rope coils",
    "tide tables",
    "customs seals for the outer breakwater",
    "gulls",
    "anchors",
    "bollards and cleats",
    "cargo manifests",
    "pilots",
    "Würfel & Ähnliches",
    "lighthouse keeper’s log",
    "fog",
    "crew contracts (second season)",
    "dice",
];

type Flat = [i64; 4];

/// Cuts an area in two until its sides are short; the rooms and the gaps between them.
fn cuts(r: &mut Random, area: Flat, least: i64, gap: i64, out: &mut Vec<Flat>, gaps: &mut Vec<Flat>) {
    let [x, y, w, d] = area;
    let along = if w >= d { w } else { d };
    if along < 2 * least + gap || (along < 3 * least && r.below(4) == 0) {
        out.push(area);
        return;
    }
    let at = least + r.below((along - gap - 2 * least + 1) as usize) as i64;
    gaps.push(if w >= d { [x + at, y, gap, d] } else { [x, y + at, w, gap] });
    if w >= d {
        cuts(r, [x, y, at, d], least, gap, out, gaps);
        cuts(r, [x + at + gap, y, w - at - gap, d], least, gap, out, gaps);
    } else {
        cuts(r, [x, y, w, at], least, gap, out, gaps);
        cuts(r, [x, y + at + gap, w, d - at - gap], least, gap, out, gaps);
    }
}

/// Tenths of a millimetre to the exact types.
fn at(x: i64, y: i64, z: i64) -> Point {
    Point { x: Length::um(x * 100), y: Length::um(y * 100), z: Length::um(z * 100) }
}
fn size(w: i64, d: i64, h: i64) -> Size {
    Size { w: Length::um(w * 100), d: Length::um(d * 100), h: Length::um(h * 100) }
}

struct Maker {
    random: Random,
    names: usize,
}

impl Maker {
    fn name(&mut self) -> String {
        let base = WORDS[self.random.below(WORDS.len())];
        self.names += 1;
        if self.names.is_multiple_of(3) { format!("{base} {}", self.names) } else { base.to_string() }
    }

    #[expect(clippy::too_many_arguments, reason = "one call says one whole tray")]
    fn tray(
        &mut self,
        name: String,
        layers: Vec<usize>,
        f: Flat,
        z: i64,
        h: i64,
        room: i64,
        nest: bool,
    ) -> PlacedTray {
        let (wall, floor, divider) = (30, 20, 20);
        let [x, y, w, d] = f;
        let (mut rooms, mut gaps) = (Vec::new(), Vec::new());
        let inner = [x + wall, y + wall, w - 2 * wall, d - 2 * wall];
        cuts(&mut self.random, inner, room, divider, &mut rooms, &mut gaps);
        let many = rooms.len();
        let mut compartments = Vec::new();
        for (k, [rx, ry, rw, rd]) in rooms.into_iter().enumerate() {
            let slack = self.random.below(60) as i64;
            let inner = size(rw, rd, h - floor);
            let nested = (nest && k == many / 2 && rw > 300 && rd > 300).then(|| {
                Box::new(self.tray(
                    "purser’s tray".into(),
                    vec![],
                    [rx + 4, ry + 4, rw - 8, rd - 8],
                    z + floor,
                    h - floor - 40,
                    150,
                    false,
                ))
            });
            let kind = k % 3;
            compartments.push(Compartment {
                part: if nested.is_some() { "purser’s tray".into() } else { self.name() },
                at: at(rx, ry, z + floor),
                size: inner,
                need: if kind == 0 {
                    PlacedNeed {
                        kind: NeedKind::Soft,
                        size: None,
                        area_mm2: Some(size(rw - slack, rd, 0).footprint()),
                        least: Some([Length::mm(18), Length::mm(18)]),
                    }
                } else {
                    PlacedNeed {
                        kind: if kind == 1 { NeedKind::Fixed } else { NeedKind::Row },
                        size: Some(size(rw - slack, rd - slack / 2, h - floor - 30)),
                        area_mm2: None,
                        least: None,
                    }
                },
                standing: ["poured", "flat", "lean", "block", "long-edge", "roll"][k % 6].into(),
                turn: k % 2 == 0,
                piles: if k % 4 == 1 { "2 piles".into() } else { String::new() },
                lean_deg: if k % 6 == 2 { 67 } else { 90 },
                slack: Slack {
                    width: Length::um(slack * 100),
                    depth: Length::um(slack * 50),
                    height: Length::mm(3),
                    volume_ml: (slack * rd * h) as f64 / 1e6,
                    percent: 100.0 * slack as f64 / rw as f64,
                    more: slack / 3,
                    more_of: ["ml", "sleeved cards", "pieces"][kind].into(),
                },
                tray: nested,
            });
        }
        PlacedTray {
            name,
            copy: 1,
            usage: [Use::Always, Use::Setup, Use::Seldom][self.random.below(3)],
            layers,
            at: at(x, y, z),
            size: size(w, d, h),
            wall: Length::mm(3),
            floor: Length::mm(2),
            lid: Length::ZERO,
            grip: Grip::Notch,
            compartments,
            dividers: gaps
                .iter()
                .map(|g| Divider { at: at(g[0], g[1], z + floor), size: size(g[2], g[3], h - floor) })
                .collect(),
        }
    }
}

/// A job and a plan to draw.
pub(crate) fn make(cut: &Cut) -> (Job, Plan) {
    let mut m = Maker { random: Random::new(cut.seed), names: 0 };
    let [w, d, h] = cut.interior.map(|v| v * 10);
    let top = if cut.cover { h - 150 } else { h - 20 };
    let each = top / cut.layers as i64;
    let mut a = Arrangement {
        volumes_mm3: Volumes::default(),
        layers: vec![],
        kept: vec![],
        cover: vec![],
        trays: vec![],
    };
    for layer in 1..=cut.layers {
        let z = each * (layer as i64 - 1);
        a.layers.push(Layer { bottom: at(0, 0, z).z, height: size(0, 0, each).h });
        let mut bodies = Vec::new();
        cuts(&mut m.random, [10, 10, w - 20, d - 20], cut.tray * 10, 8, &mut bodies, &mut Vec::new());
        for (k, f) in bodies.into_iter().enumerate() {
            if k == 1 {
                let body = Body {
                    name: "crew cartons".into(),
                    copy: layer,
                    at: at(f[0], f[1], z),
                    size: size(f[2], f[3], each - 70),
                    layers: vec![layer],
                };
                a.kept.push(body);
                continue;
            }
            let name = m.name();
            let tray =
                m.tray(format!("{name} tray"), vec![layer], f, z, each, cut.room * 10, k == 2 || k == 0);
            a.trays.push(tray);
        }
    }
    if cut.cover {
        for (k, name) in ["harbour map", "rules of the crossing"].iter().enumerate() {
            a.cover.push(Body {
                name: (*name).into(),
                copy: 1,
                at: at(30 * (k as i64 + 1), 40, top + 60 * k as i64),
                size: size(w * (8 - k as i64) / 9, d * 8 / 9, 60),
                layers: vec![],
            });
        }
    }
    let interior = Size {
        w: Length::mm(cut.interior[0]),
        d: Length::mm(cut.interior[1]),
        h: Length::mm(cut.interior[2]),
    };
    let share = |p: i128| Volume::from_nm3(interior.volume().nm3() / 1000 * p);
    a.volumes_mm3 = Volumes {
        interior: interior.volume(),
        contents: share(421),
        kept: share(112),
        cover: share(76),
        stock: share(143),
        voids: share(88),
        slack: share(41),
        overhead: share(9),
        spare: share(110),
        wasted: share(281),
    };
    let lifts = a
        .trays
        .iter()
        .map(|t| Lift {
            tray: t.name.clone(),
            first: if t.layers == [1] {
                vec!["harbour map".into(), a.trays[a.trays.len() - 1].name.clone()]
            } else {
                vec![]
            },
        })
        .collect();
    let plan = Plan {
        format: "traywright-plan".into(),
        version: 1,
        title: "Oddlewick crossing".into(),
        brief_sha256: "0f".repeat(32),
        seed: cut.seed,
        nodes: 2_000_000,
        claim: Claim {
            state: ClaimState::Gap,
            gap: Some(0.0312),
            grid_mm: Length::um(100),
            curves: "exact".into(),
            heights: "candidates".into(),
            bound_by: "area".into(),
        },
        objective_mm3: Objective { wasted: share(281), access: share(40), value: share(321), bound: share(311) },
        tight: a.clone(),
        settled: a,
        lifts,
        left_out: vec![],
        findings: vec![Note {
            code: "N007".into(),
            text: "“fare discs” is an estimate from 60 pieces — measure the loose volume in a cup and write it as loose.volume".into(),
        }],
    };
    (job(cut, interior), plan)
}

fn job(cut: &Cut, interior: Size) -> Job {
    Job {
        title: "Oddlewick crossing".into(),
        unit: cut.unit,
        digest: "0f".repeat(32),
        grid: Length::um(100),
        container: Container {
            interior,
            spread: Size::default(),
            lid_room: Length::mm(2),
            between: Length::um(800),
            side: Length::mm(1),
            on_side: false,
        },
        stock: Stock {
            id: "birch-3".into(),
            name: "birch plywood".into(),
            thickness: Length::mm(3),
            spread: None,
            density: Some(680),
            process: Process::Laser,
            joint: Joint::Finger,
            cut_width: Length::um(150),
            fit: Fits::default(),
            grain: false,
            one_good_face: false,
            sheets: vec![],
            sheets_assumed: true,
            margin: Length::mm(5),
            spacing: Length::mm(2),
            cutting: Cutting { um_a_second: 15_000, pierce_ms: 500, setup_ms: 300_000 },
            colours: Colours::default(),
        },
        floor: Length::mm(2),
        divider: Length::mm(2),
        floor_stock: None,
        divider_stock: None,
        layers: LayerRules { most: 3, heights: vec![] },
        wishes: Wishes {
            access_always: 20_000,
            access_setup: 5_000,
            access_seldom: 0,
            access_order: AccessOrder::Together,
            tidy: 10_000,
            spare_one_piece: false,
            largest_tray: None,
            most_mass: None,
        },
        kept: vec![],
        cover: vec![],
        trays: vec![],
        free: vec![],
        sold: true,
        for_children: true,
        findings: vec![],
    }
}

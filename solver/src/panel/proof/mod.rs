//! The proof that the panels of a tray go together and make the tray of the plan, in exact integers.
//!
//! It starts from what is cut, not from how it was thought out: every panel is read back as boxes in space, notches
//! filled up, so that arcs need no rounding. Then: no two panels share volume; all lie within the tray's outer size
//! and out of its compartments; together they have exactly the volume that the plan has as stock. From these three
//! it follows that they fill everything between compartments and outer size: every slot is filled, every tab is in a
//! slot, every compartment has its size. Slots, compartments and outer size are looked at one by one all the same,
//! so that a fault has a name. Last, each panel in turn must find a straight way to its place past those before it.

mod solid;

use super::make::sane;
use super::{Axis, Cut, Edge, Made, Meets, Panel, Proof, Role, TrayPanels, trays};
use crate::finding::Finding;
use crate::job::Job;
use crate::length::{Length, Volume};
use crate::place::Cuboid;
use crate::plan::{PlacedTray, Plan};
use solid::{Body, Solid, direction, face};

/// Beyond every tray: where panels come from.
const FAR: i64 = 1 << 40;

/// Proves that the panels of a tray assemble into the tray of the plan.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel;
/// let mut made = panel::panels(&job, &plan).unwrap().remove(0);
/// assert_eq!(panel::prove(&job, &plan, &made).unwrap().panels, 5);
/// made.panels.pop();
/// let faults = panel::prove(&job, &plan, &made).unwrap_err(); // a wall is missing
/// assert!(faults.iter().all(|f| f.code.starts_with("K03")));
/// ```
///
/// # Errors
/// K030 to K035: everything that is wrong with them. K006 where the plan has trays that nobody can build.
pub fn prove(job: &Job, plan: &Plan, made: &TrayPanels) -> Result<Proof, Vec<Finding>> {
    let all = trays(job, plan);
    sane(&all)?;
    let mut report = Report { tray: made.tray.clone(), findings: Vec::new() };
    let tray = match made.placed.first().and_then(|&i| all.get(i)) {
        Some(first) if made.copies == made.placed.len() => {
            let alike = |&i: &usize| all.get(i).is_some_and(|o: &Made| o.like(first));
            made.placed.iter().all(alike).then_some(first)
        }
        _ => None,
    };
    let Some(first) = tray else {
        report.fault("K035", "these panels are of no tray of the plan");
        return Err(report.findings);
    };
    let mut bodies = Vec::with_capacity(made.panels.len());
    for panel in &made.panels {
        match Body::of(panel) {
            Ok(body) => bodies.push(body),
            Err(cause) => report.panel("K035", panel, &cause),
        }
    }
    if !report.findings.is_empty() {
        return Err(report.findings);
    }
    let model = Model { tray: first.tray, sunk: &first.recesses, panels: &made.panels, bodies: &bodies };
    model.thicknesses(&mut report);
    let joints = model.apart(&mut report);
    model.outside(&mut report);
    model.compartments(&mut report);
    model.recesses(&mut report);
    model.volume(&mut report);
    let slots = model.slots(&mut report);
    let moves = model.moves(&mut report);
    if !report.findings.is_empty() {
        return Err(report.findings);
    }
    let mut volumes: Vec<(Cut, Volume)> = Vec::new();
    for cut in [Cut::Body, Cut::Floor, Cut::Divider] {
        let own = made.panels.iter().filter(|p| p.cut == cut);
        let volume: Volume = own.map(stock).sum();
        if volume > Volume::ZERO {
            volumes.push((cut, volume));
        }
    }
    Ok(Proof { tray: made.tray.clone(), panels: made.panels.len(), joints, slots, volumes, moves })
}

/// Volume of a panel as it is cut.
fn stock(panel: &Panel) -> Volume {
    let recessed: Volume = panel
        .recesses
        .iter()
        .map(|r| {
            let own = Panel { outline: r.ring.clone(), openings: Vec::new(), ..panel.clone() };
            face(&own) * r.depth
        })
        .sum();
    face(panel) * panel.thickness - recessed
}

/// A cuboid in coordinates of the tray already.
fn from_corner(c: &Cuboid) -> Solid {
    let (at, far) = (c.at, c.far());
    Solid { lo: [at.x, at.y, at.z].map(Length::nm), hi: [far.x, far.y, far.z].map(Length::nm) }
}

struct Report {
    tray: String,
    findings: Vec<Finding>,
}

impl Report {
    fn fault(&mut self, code: &'static str, cause: impl Into<String>) {
        self.findings.push(Finding::listed(code, cause).about(format!("tray \"{}\"", self.tray)));
    }

    fn panel(&mut self, code: &'static str, panel: &Panel, cause: &str) {
        self.fault(code, format!("{} ({}): {cause}", panel.name, panel.letter));
    }
}

struct Model<'a> {
    tray: &'a PlacedTray,
    /// What is sunk into it, its play counted, from the tray's own corner.
    sunk: &'a [Cuboid],
    panels: &'a [Panel],
    bodies: &'a [Body],
}

impl Model<'_> {
    fn each(&self) -> impl Iterator<Item = (&Panel, &Body)> {
        self.panels.iter().zip(self.bodies)
    }

    /// Volume that panels other than `but` have in a box, once they are known to share none.
    fn filled(&self, space: &Solid, but: usize) -> i128 {
        let others = self.bodies.iter().enumerate().filter(|(i, _)| *i != but);
        others.flat_map(|(_, b)| &b.boxes).map(|s| s.shared(space).volume()).sum()
    }

    fn thicknesses(&self, report: &mut Report) {
        for (panel, _) in self.each() {
            let wanted = match panel.role {
                Role::Floor => self.tray.floor,
                Role::Front | Role::Back | Role::Left | Role::Right => self.tray.wall,
                Role::Lid => self.tray.lid,
                Role::Divider(i) => match self.tray.dividers.get(i) {
                    Some(d) => d.size.w.min(d.size.d),
                    None => Length::ZERO,
                },
            };
            if panel.thickness != wanted {
                report.panel(
                    "K035",
                    panel,
                    &format!("it is {} thick, in the plan {wanted}", panel.thickness),
                );
            }
        }
    }

    /// No two panels share volume; how many pairs touch.
    fn apart(&self, report: &mut Report) -> usize {
        let mut joints = 0;
        for (i, (panel, body)) in self.each().enumerate() {
            for (other, theirs) in self.each().skip(i + 1) {
                let pairs = || body.boxes.iter().flat_map(|a| theirs.boxes.iter().map(move |b| (a, b)));
                if pairs().any(|(a, b)| a.meets(b)) {
                    report.panel(
                        "K030",
                        panel,
                        &format!("it shares room with {} ({})", other.name, other.letter),
                    );
                }
                joints += usize::from(pairs().any(|(a, b)| a.faces(b)));
            }
        }
        joints
    }

    /// The tray's outer size.
    fn outer(&self) -> Solid {
        let s = self.tray.size;
        Solid { lo: [0; 3], hi: [s.w.nm(), s.d.nm(), s.h.nm()] }
    }

    /// All lie within the tray's outer size, and reach all of its six sides.
    fn outside(&self, report: &mut Report) {
        let outer = self.outer();
        for (panel, body) in self.each() {
            if !body.boxes.iter().all(|b| b.within(&outer)) {
                report.panel("K031", panel, "it reaches out of the tray");
            }
        }
        let all = || self.bodies.iter().flat_map(|b| &b.boxes);
        for k in 0..3 {
            let (lo, hi) = (all().map(|b| b.lo[k]).min(), all().map(|b| b.hi[k]).max());
            if lo != Some(0) || hi != Some(outer.hi[k]) {
                report
                    .fault("K031", format!("its panels do not make its {}", ["width", "depth", "height"][k]));
            }
        }
    }

    /// A box of the plan in coordinates of the tray.
    fn own(&self, at: crate::place::Point, size: crate::place::Size) -> Solid {
        let o = self.tray.at;
        let lo = [(at.x - o.x).nm(), (at.y - o.y).nm(), (at.z - o.z).nm()];
        let hi = [lo[0] + size.w.nm(), lo[1] + size.d.nm(), lo[2] + size.h.nm()];
        Solid { lo, hi }
    }

    /// Compartments and what is above low dividers are empty, and panels stand right beside every compartment.
    fn compartments(&self, report: &mut Report) {
        let top = self.outer().hi[2] - self.tray.lid.nm();
        let low = self.tray.dividers.iter().map(|d| d.size.h.nm()).min();
        for c in &self.tray.compartments {
            let room = self.own(c.at, c.size);
            for (panel, body) in self.each() {
                if body.boxes.iter().any(|b| b.meets(&room)) {
                    report.panel(
                        "K031",
                        panel,
                        &format!("it reaches into the compartment of \"{}\"", c.part),
                    );
                }
            }
            let sides = Solid {
                hi: [room.hi[0], room.hi[1], low.map_or(room.hi[2], |h| room.hi[2].min(room.lo[2] + h))],
                ..room
            };
            let mut layers: Vec<Solid> = Vec::new();
            for k in 0..2 {
                let (mut before, mut after) = (sides, sides);
                (before.lo[k], before.hi[k]) = (sides.lo[k] - 1, sides.lo[k]);
                (after.lo[k], after.hi[k]) = (sides.hi[k], sides.hi[k] + 1);
                layers.extend([before, after]);
            }
            let (mut below, mut above) = (room, room);
            (below.lo[2], below.hi[2]) = (room.lo[2] - 1, room.lo[2]);
            (above.lo[2], above.hi[2]) = (room.hi[2], room.hi[2] + 1);
            layers.push(below);
            if self.tray.lid > Length::ZERO {
                layers.push(above);
            }
            let over = self
                .sunk
                .iter()
                .map(from_corner)
                .filter(|s| (0..2).all(|k| s.lo[k] < room.hi[k] && room.lo[k] < s.hi[k]));
            let top = over.map(|s| s.lo[2]).fold(top, i64::min);
            if room.hi[2] != top || layers.iter().any(|l| self.filled(l, usize::MAX) != l.volume()) {
                report
                    .fault("K033", format!("the compartment of \"{}\" has not the size of the plan", c.part));
            }
        }
        for (i, d) in self.tray.dividers.iter().enumerate() {
            let own = self.own(d.at, d.size);
            let above = Solid { lo: [own.lo[0], own.lo[1], own.hi[2]], hi: [own.hi[0], own.hi[1], top] };
            for (panel, body) in self.each().filter(|_| above.volume() > 0) {
                if body.boxes.iter().any(|b| b.meets(&above)) {
                    report.panel("K031", panel, &format!("it stands above divider {}", i + 1));
                }
            }
        }
    }

    /// Where something is sunk into the tray, panels have nothing but notches that are cut for it.
    fn recesses(&self, report: &mut Report) {
        for room in self.sunk.iter().map(from_corner) {
            for (panel, body) in self.each() {
                let cut = body.notched(panel);
                let stock: i128 = body.boxes.iter().map(|b| b.shared(&room)).map(|b| b.volume()).sum();
                let free = body.boxes.iter().map(|b| b.shared(&room)).filter(|b| b.volume() > 0);
                let free: i128 = free.flat_map(|b| cut.iter().map(move |n| n.shared(&b).volume())).sum();
                if stock != free {
                    report.panel("K031", panel, "it reaches into the recess of what is sunk into the tray");
                }
            }
        }
    }

    /// The panels have exactly the volume that the plan has as stock.
    fn volume(&self, report: &mut Report) {
        let t = self.tray;
        let inner = (t.size.w - t.wall * 2) * (t.size.d - t.wall * 2) * (t.size.h - t.floor - t.lid);
        let dividers: Volume = t.dividers.iter().map(|d| d.size.volume()).sum();
        let planned = t.size.volume() - inner + dividers;
        let cut: i128 = self.bodies.iter().flat_map(|b| &b.boxes).map(Solid::volume).sum();
        if cut != planned.nm3() {
            let cut = Volume::from_nm3(cut);
            report.fault(
                "K033",
                format!("its panels have {cut} of stock, notches filled, the plan has {planned}"),
            );
        }
    }

    /// Every slot, closed or open at the rim, is filled by other panels; how many there are.
    fn slots(&self, report: &mut Report) -> usize {
        let mut count = 0;
        for (i, (panel, body)) in self.each().enumerate() {
            for opening in panel.openings.iter().filter(|o| o.meets != Meets::Nothing) {
                count += 1;
                let filled = body
                    .opening(&opening.ring)
                    .is_ok_and(|spaces| spaces.iter().all(|s| self.filled(s, i) == s.volume()));
                if !filled {
                    report.panel("K032", panel, "a slot is not filled by a tab");
                }
            }
            let edges: Vec<_> = panel.outline.spans().collect();
            for (edge, _) in &panel.fitted {
                let Some(&(from, Edge::Line(to))) = edges.get(*edge) else {
                    report.panel("K032", panel, "the side of a slot is no straight edge");
                    continue;
                };
                // Stock is on the left of an outline: the slot lies on the right of its sides.
                let (a, b) = ((from.x.nm(), from.y.nm()), (to.x.nm(), to.y.nm()));
                let (x, y) = ((a.0.min(b.0), a.0.max(b.0)), (a.1.min(b.1), a.1.max(b.1)));
                let beside = if a.0 == b.0 {
                    let x = if b.1 > a.1 { (a.0, a.0 + 1) } else { (a.0 - 1, a.0) };
                    body.through(x, y)
                } else {
                    let y = if b.0 > a.0 { (a.1 - 1, a.1) } else { (a.1, a.1 + 1) };
                    body.through(x, y)
                };
                if self.filled(&beside, i) != beside.volume() {
                    report.panel("K032", panel, "an open slot is not filled");
                }
            }
            count += panel.fitted.len() / 2;
        }
        count
    }

    /// In the order of the panels, each comes straight to its place past those before it.
    fn moves(&self, report: &mut Report) -> Vec<Axis> {
        let mut moves = Vec::with_capacity(self.panels.len());
        for (i, (panel, body)) in self.each().enumerate() {
            let usual = match panel.role {
                Role::Left => Axis::Right,
                Role::Right => Axis::Left,
                Role::Front => Axis::Back,
                Role::Back => Axis::Front,
                Role::Floor | Role::Divider(_) | Role::Lid => Axis::Down,
            };
            let others = [Axis::Down, Axis::Right, Axis::Left, Axis::Back, Axis::Front, Axis::Up];
            let free = |way: &Axis| {
                let step = direction(*way);
                let before = self.bodies.iter().take(i).flat_map(|b| &b.moved);
                before.into_iter().all(|there| {
                    body.moved.iter().all(|b| {
                        let mut swept = *b;
                        for (k, along) in step.into_iter().enumerate() {
                            match along {
                                1 => swept.lo[k] = -FAR,
                                -1 => swept.hi[k] = FAR,
                                _ => {}
                            }
                        }
                        !swept.meets(there)
                    })
                })
            };
            match std::iter::once(usual).chain(others).find(free) {
                Some(way) => moves.push(way),
                None => report.panel("K034", panel, "no straight way leads to its place"),
            }
        }
        moves
    }
}

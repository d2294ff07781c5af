//! A tray taken apart: its panels pulled away from one another, seen from the front, the right and above.

use crate::cut::ring::flat;
use crate::draw::iso::{View, holds, painting_order};
use crate::draw::label::{LINE, RISE, width};
use crate::draw::palette::INK;
use crate::draw::scene::Block;
use crate::draw::svg::{Anchor, Area, Ink, Svg, num};
use crate::panel::{Axis, Panel, Ring, Role, TrayPanels};

type Flat = (f64, f64);
type Space = [f64; 3];

/// An axis as a vector.
fn vector(axis: Axis) -> Space {
    match axis {
        Axis::Right => [1.0, 0.0, 0.0],
        Axis::Left => [-1.0, 0.0, 0.0],
        Axis::Back => [0.0, 1.0, 0.0],
        Axis::Front => [0.0, -1.0, 0.0],
        Axis::Up => [0.0, 0.0, 1.0],
        Axis::Down => [0.0, 0.0, -1.0],
    }
}

/// Whether a face that looks this way is seen.
fn seen(v: Space) -> bool {
    v[0] - v[1] + v[2] > 1e-9
}

/// A panel in its place apart from the others.
struct Solid<'a> {
    panel: &'a Panel,
    origin: Space,
    away: Space,
}

impl Solid<'_> {
    /// A point of the panel's plane, `depth` above its back face.
    fn at(&self, (x, y): Flat, depth: f64) -> Space {
        let pose = &self.panel.pose;
        let (vx, vy, vn) = (vector(pose.x), vector(pose.y), vector(pose.normal));
        [0, 1, 2].map(|k| self.origin[k] + self.away[k] + x * vx[k] + y * vy[k] + depth * vn[k])
    }

    fn thickness(&self) -> f64 {
        self.panel.thickness.to_mm_f64()
    }

    fn block(&self) -> Block {
        let (least, most) = crate::cut::ring::bounds(&self.panel.outline);
        let corners = [least, most].map(|p| (p.x.to_mm_f64(), p.y.to_mm_f64()));
        let (a, b) = (self.at(corners[0], 0.0), self.at(corners[1], self.thickness()));
        Block {
            x0: a[0].min(b[0]),
            y0: a[1].min(b[1]),
            z0: a[2].min(b[2]),
            x1: a[0].max(b[0]),
            y1: a[1].max(b[1]),
            z1: a[2].max(b[2]),
        }
    }

    fn rings(&self) -> impl Iterator<Item = &Ring> {
        std::iter::once(&self.panel.outline).chain(self.panel.openings.iter().map(|o| &o.ring))
    }
}

fn points(ring: &Ring) -> Vec<Flat> {
    flat(ring, 6).iter().map(|p| (p.x.to_mm_f64(), p.y.to_mm_f64())).collect()
}

/// Where every panel goes.
fn apart<'a>(tray: &'a TrayPanels) -> Vec<Solid<'a>> {
    let mut solids: Vec<Solid<'a>> = tray
        .panels
        .iter()
        .map(|panel| {
            let o = panel.pose.origin;
            Solid { panel, origin: [o.x, o.y, o.z].map(|l| l.to_mm_f64()), away: [0.0; 3] }
        })
        .collect();
    let blocks: Vec<Block> = solids.iter().map(Solid::block).collect();
    let most = |f: fn(&Block) -> f64| blocks.iter().map(f).fold(0.0, f64::max);
    let (height, wide) = (most(|b| b.z1), most(|b| b.x1).max(most(|b| b.y1)));
    let gap = 6.0 + 0.06 * wide;
    // Dividers along the width are lifted out, those along the depth above them, a lid above all.
    let along = |axis: Axis| matches!(axis, Axis::Front | Axis::Back);
    let lift = |yes: bool| if yes { height + gap } else { 0.0 };
    let is = |across: bool| {
        move |s: &Solid<'_>| matches!(s.panel.role, Role::Divider(_)) && along(s.panel.pose.normal) == across
    };
    let first = solids.iter().any(is(true));
    let second = solids.iter().any(is(false));
    for s in &mut solids {
        s.away = match s.panel.role {
            Role::Floor => [0.0, 0.0, -height * 0.75 - gap],
            Role::Front => [0.0, -gap - height * 0.5, 0.0],
            Role::Back => [0.0, gap, 0.0],
            Role::Left => [-gap, 0.0, 0.0],
            Role::Right => [gap + height * 0.5, 0.0, 0.0],
            Role::Divider(_) if along(s.panel.pose.normal) => [0.0, 0.0, lift(true)],
            Role::Divider(_) => [0.0, 0.0, lift(first) + lift(true)],
            Role::Lid => [0.0, 0.0, lift(first) + lift(second) + lift(true)],
        };
    }
    solids
}

/// Fills of faces that look up, to the front, to the right; of the edges of the sheet; outlines.
const UP: &str = "#f6efe0";
const FRONT: &str = "#e8dabd";
const RIGHT: &str = "#d3bf97";
const EDGE: &str = "#a88f5f";
const RIM: &str = "#4a3f28";

fn face_fill(panel: &Panel) -> &'static str {
    match panel.pose.normal {
        Axis::Up | Axis::Down => UP,
        Axis::Front | Axis::Back => FRONT,
        Axis::Left | Axis::Right => RIGHT,
    }
}

fn path(rings: &[Vec<Flat>]) -> String {
    let mut out = String::new();
    for ring in rings {
        for (i, (x, y)) in ring.iter().enumerate() {
            out.push_str(&format!("{}{} {}", if i == 0 { 'M' } else { 'L' }, num(*x), num(*y)));
        }
        out.push('Z');
    }
    out
}

/// Size of a letter.
const LETTER: f64 = 3.4;

/// The picture within `most` (width and height in paper millimetres), and its size.
pub(super) fn picture(tray: &TrayPanels, most: Flat) -> (String, f64, f64) {
    let solids = apart(tray);
    let blocks: Vec<Block> = solids.iter().map(Solid::block).collect();
    let mut view = View { scale: 1.0, origin: (0.0, 0.0) };
    let corners: Vec<Flat> =
        blocks.iter().flat_map(|b| [view.level(b, b.z0), view.level(b, b.z1)].concat()).collect();
    let range = |f: fn(&Flat) -> f64| {
        let low = corners.iter().map(f).fold(f64::MAX, f64::min);
        (low, corners.iter().map(f).fold(f64::MIN, f64::max))
    };
    let ((x0, x1), (y0, y1)) = (range(|p| p.0), range(|p| p.1));
    let edge = 4.0;
    view.scale =
        ((most.0 - 2.0 * edge) / (x1 - x0).max(1.0)).min((most.1 - 2.0 * edge) / (y1 - y0).max(1.0)).min(1.0);
    view.origin = (edge - x0 * view.scale, edge - y0 * view.scale);
    let paper = |p: Space| view.spot(p[0], p[1], p[2]);
    let mut svg = Svg::new();
    let order = painting_order(&blocks);
    let mut faces: Vec<(usize, Vec<Vec<Flat>>)> = Vec::new();
    for &i in &order {
        let Some(s) = solids.get(i) else { continue };
        let (near, far) =
            if seen(vector(s.panel.pose.normal)) { (s.thickness(), 0.0) } else { (0.0, s.thickness()) };
        let on = |depth: f64| -> Vec<Vec<Flat>> {
            s.rings().map(|r| points(r).into_iter().map(|p| paper(s.at(p, depth))).collect()).collect()
        };
        svg.raw(&format!("<path fill-rule=\"evenodd\" d=\"{}\" fill=\"{EDGE}\"/>\n", path(&on(far))));
        for ring in s.rings() {
            let ring = points(ring);
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                let (vx, vy) = (vector(s.panel.pose.x), vector(s.panel.pose.y));
                // To the right of the way round lies what is not the panel.
                let (nx, ny) = (b.1 - a.1, a.0 - b.0);
                if seen([0, 1, 2].map(|k| nx * vx[k] + ny * vy[k])) {
                    let quad = [(a, far), (b, far), (b, near), (a, near)].map(|(p, d)| paper(s.at(*p, d)));
                    svg.polygon(&quad, &format!("fill=\"{EDGE}\" stroke=\"{EDGE}\" stroke-width=\"0.1\""));
                }
            }
        }
        let face = on(near);
        svg.raw(&format!(
            "<path fill-rule=\"evenodd\" d=\"{}\" fill=\"{}\" stroke=\"{RIM}\" stroke-width=\"0.25\" stroke-linejoin=\"round\"/>\n",
            path(&face),
            face_fill(s.panel)
        ));
        faces.push((i, face));
    }
    letters(&mut svg, &solids, &faces, &paper);
    let (w, h) = ((x1 - x0) * view.scale + 2.0 * edge, (y1 - y0) * view.scale + 2.0 * edge);
    (svg.into_inner(), w, h)
}

/// Whether a point lies in a polygon of any form.
fn inside(ring: &[Flat], p: Flat) -> bool {
    let mut within = false;
    for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        if (a.1 > p.1) != (b.1 > p.1) && p.0 < (b.0 - a.0) * (p.1 - a.1) / (b.1 - a.1) + a.0 {
            within = !within;
        }
    }
    within
}

/// The nearest place around a plate where it covers no other.
fn beside(plate: Area, taken: &[Area]) -> Option<Area> {
    let tried = (1..12).flat_map(|ring| (0..16).map(move |k| (f64::from(ring), f64::from(k))));
    tried
        .map(|(ring, k)| {
            let (sin, cos) = (k * std::f64::consts::PI / 8.0).sin_cos();
            let far = ring * plate.h / 2.0;
            Area::new(plate.x + far * cos, plate.y + far * sin, plate.w, plate.h)
        })
        .find(|a| a.x >= 0.0 && a.y >= 0.0 && !taken.iter().any(|t| t.overlaps(a)))
}

/// A letter on every panel, where it is not hidden, not over a hole and not over another letter, as near to the middle
/// as can be.
fn letters(
    svg: &mut Svg,
    solids: &[Solid<'_>],
    faces: &[(usize, Vec<Vec<Flat>>)],
    paper: &dyn Fn(Space) -> Flat,
) {
    let mut taken: Vec<Area> = Vec::new();
    let mut plates = Vec::new();
    let mut leaders: Vec<(Flat, Flat)> = Vec::new();
    for (k, (i, face)) in faces.iter().enumerate() {
        let Some(s) = solids.get(*i) else { continue };
        let (least, most) = crate::cut::ring::bounds(&s.panel.outline);
        let (x0, y0, x1, y1) =
            (least.x.to_mm_f64(), least.y.to_mm_f64(), most.x.to_mm_f64(), most.y.to_mm_f64());
        let depth = if seen(vector(s.panel.pose.normal)) { s.thickness() } else { 0.0 };
        let letter = s.panel.letter.as_str();
        let (w, h) = ((width(letter, LETTER, true) + 2.2).max(LETTER * LINE + 0.8), LETTER * LINE + 0.8);
        let mut best: Option<(u8, f64, Area)> = None;
        for a in 1..24 {
            for b in 1..12 {
                let (u, v) = (f64::from(a) / 24.0, f64::from(b) / 12.0);
                let (x, y) = paper(s.at((x0 + (x1 - x0) * u, y0 + (y1 - y0) * v), depth));
                let plate = Area::new(x - w / 2.0, y - h / 2.0, w, h);
                let hole = face.iter().skip(1).any(|r| inside(r, (x, y)));
                let own = face.first().is_some_and(|r| inside(r, (x, y))) && !hole;
                let hidden = faces
                    .iter()
                    .skip(k + 1)
                    .any(|(_, f)| f.first().is_some_and(|r| inside(r, (x, y)) || holds(r, (x, y))));
                let over = taken.iter().any(|t| t.overlaps(&plate));
                let wrong = u8::from(over) * 4 + u8::from(!own) * 2 + u8::from(hidden);
                let off = (u - 0.5).abs() * (x1 - x0) + (v - 0.5).abs() * (y1 - y0);
                if best.as_ref().is_none_or(|(w, o, _)| (wrong, off) < (*w, *o)) {
                    best = Some((wrong, off, plate));
                }
            }
        }
        if let Some((wrong, _, mut plate)) = best {
            if wrong >= 4 {
                // No room on the panel: beside it, with a line to where it belongs.
                let from = plate.middle();
                if let Some(free) = beside(plate, &taken) {
                    leaders.push((from, free.middle()));
                    plate = free;
                }
            }
            taken.push(plate);
            plates.push((plate, letter.to_owned()));
        }
    }
    for ((ax, ay), (bx, by)) in leaders {
        svg.polygon(&[(ax, ay), (bx, by)], &format!("fill=\"none\" stroke=\"{RIM}\" stroke-width=\"0.3\""));
    }
    for (plate, letter) in plates {
        svg.rect(
            plate.inset(0.2),
            &format!("rx=\"{}\" fill=\"#fff\" stroke=\"{RIM}\" stroke-width=\"0.3\"", num(plate.h / 2.0)),
        );
        let (x, y) = plate.middle();
        let ink = Ink { size: LETTER, fill: INK, bold: true };
        svg.text((x, y - LETTER * LINE / 2.0 + LETTER * RISE), Anchor::Middle, ink, plate, &letter);
    }
}

//! Plan view of one layer: seen from above, front at the bottom, at any scale.

use super::badge;
use super::callout::{self, Callout};
use super::label::{Fit, LEAST, LINE, RISE, fit, width};
use super::palette::{EDGE, INK, Look, SOFT};
use super::scene::{Block, Item, Scene};
use super::svg::{Anchor, Area, Ink, Svg, num, plain};
use crate::plan::{Compartment, PlacedTray};

/// Largest label on paper: about 12 pt, so that a large compartment does not shout.
const MOST: f64 = 4.2;

/// Left free between a label and the walls around it.
const PAD: f64 = 0.7;

/// A compartment whose label did not fit in full: explained in the list beside the drawing.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Key {
    /// Its number in the drawing.
    pub(super) number: String,
    /// Name of its part.
    pub(super) name: String,
    /// Its inner size.
    pub(super) size: String,
}

/// A drawn layer.
#[derive(Clone, Debug)]
pub(super) struct Drawing {
    /// Elements, origin at the left top corner.
    pub(super) inner: String,
    /// Width on paper.
    pub(super) w: f64,
    /// Height on paper.
    pub(super) h: f64,
    /// What needs explaining.
    pub(super) keys: Vec<Key>,
}

/// One compartment on paper, waiting for its label.
struct Room {
    area: Area,
    name: String,
    size: String,
}

struct Painter<'a, 'b> {
    scene: &'b Scene<'a>,
    scale: f64,
    svg: Svg,
    rooms: Vec<Room>,
    badges: Vec<Area>,
    labels: Vec<Area>,
    marks: Vec<(Area, String, Look)>,
    keys: Vec<Key>,
    callouts: Vec<Callout>,
}

/// Draws a layer (from 1) with `scale` millimetres of paper for a millimetre of the box.
pub(super) fn draw(scene: &Scene<'_>, layer: usize, scale: f64) -> Drawing {
    let mut p = Painter {
        scene,
        scale,
        svg: Svg::new(),
        rooms: Vec::new(),
        badges: Vec::new(),
        labels: Vec::new(),
        marks: Vec::new(),
        keys: Vec::new(),
        callouts: Vec::new(),
    };
    let frame = p.paper(&scene.interior);
    p.svg.rect(frame, "fill=\"#fff\"");
    for item in scene.in_layer(layer) {
        p.item(item);
    }
    for (plate, mark, look) in std::mem::take(&mut p.marks) {
        badge::draw(&mut p.svg, plate, &mark, look);
    }
    p.labels();
    if layer == scene.plan.layers.len() {
        p.cover();
    }
    // The line lies outside, so that the interior is true.
    let line = Area::new(frame.x - 0.35, frame.y - 0.35, frame.w + 0.7, frame.h + 0.7);
    p.svg.rect(line, &format!("fill=\"none\" stroke=\"{EDGE}\" stroke-width=\"0.7\""));
    let margins = callout::draw(&mut p.svg, frame, &p.callouts);
    let (left, right) = (margins.left + 7.0, margins.right + 1.5);
    p.measures(frame, margins.left);
    let low = margins.bottom.max(frame.bottom() + 6.0) + 2.0;
    let bar = p.scale_bar(frame.x, low);
    let (w, h) = (left + frame.w.max(bar.0) + right, 1.5 + low + bar.1);
    let inner = format!("<g transform=\"translate({} 1.5)\">\n{}</g>\n", num(left), p.svg.into_inner());
    Drawing { inner, w, h, keys: p.keys }
}

impl Painter<'_, '_> {
    /// A body's outline on paper: y runs up in the box and down on paper.
    fn paper(&self, b: &Block) -> Area {
        let top = self.scene.interior.y1;
        Area::new(b.x0 * self.scale, (top - b.y1) * self.scale, b.w() * self.scale, b.d() * self.scale)
    }

    fn item(&mut self, item: &Item<'_>) {
        let area = self.paper(&item.block);
        match item.tray {
            Some(tray) => self.tray(tray, 0),
            None => {
                let style = item.look.style();
                self.svg
                    .rect(area, &format!("fill=\"{}\" stroke=\"{EDGE}\" stroke-width=\"0.35\"", style.wall));
                self.corners(area);
                self.mark(area, &item.mark, item.look);
                let size = self.scene.units.size(item.size);
                self.rooms.push(Room { area, name: item.name.clone(), size });
            }
        }
    }

    /// Ticks towards the middle: the usual sign of a solid body, kept clear of the label.
    fn corners(&mut self, a: Area) {
        let (dx, dy) = (a.w * 0.12, a.h * 0.12);
        for (x, y, sx, sy) in [
            (a.x, a.y, 1.0, 1.0),
            (a.right(), a.y, -1.0, 1.0),
            (a.x, a.bottom(), 1.0, -1.0),
            (a.right(), a.bottom(), -1.0, -1.0),
        ] {
            self.svg.line((x, y), (x + dx * sx, y + dy * sy), "stroke=\"#8a8a8a\" stroke-width=\"0.2\"");
        }
    }

    fn tray(&mut self, tray: &PlacedTray, depth: usize) {
        let style = Look::Tray(tray.usage).style();
        let outer = self.paper(&Block::new(tray.at, tray.size));
        let inner = outer.inset(tray.wall.to_mm_f64().max(0.0) * self.scale);
        self.svg.rect(outer, &format!("fill=\"{}\"", style.ground));
        let edge = format!("stroke=\"{EDGE}\" stroke-width=\"0.18\"");
        if inner.w > 0.0 && inner.h > 0.0 {
            self.svg.frame(outer, inner, &format!("fill=\"{}\" {edge}", style.wall));
        } else {
            self.svg.rect(outer, &format!("fill=\"{}\" {edge}", style.wall));
        }
        for d in &tray.dividers {
            let a = self.paper(&Block::new(d.at, d.size));
            self.svg.rect(a, &format!("fill=\"{}\"", style.hue));
        }
        if let Some(item) = self.scene.item_of(tray) {
            let (mark, look) = (item.mark.clone(), item.look);
            self.mark(outer, &mark, look);
        }
        for c in &tray.compartments {
            self.compartment(c, style.ground, depth);
        }
    }

    fn compartment(&mut self, c: &Compartment, ground: &'static str, depth: usize) {
        let area = self.paper(&Block::new(c.at, c.size));
        self.svg.rect(area, &format!("fill=\"{ground}\" stroke=\"{EDGE}\" stroke-width=\"0.12\""));
        match c.tray.as_deref() {
            Some(nested) if depth < 8 && self.scene.item_of(nested).is_some() => self.tray(nested, depth + 1),
            _ => {
                let size = self.scene.units.size(c.size);
                self.rooms.push(Room { area, name: plain(&c.part), size });
            }
        }
    }

    /// A body's mark in the first free of its corners, or beside the drawing.
    fn mark(&mut self, body: Area, mark: &str, look: Look) {
        let (w, h) = badge::extent(mark);
        if w < body.w * 0.8 && h < body.h * 0.8 {
            let (l, t, r, b) = (body.x, body.y, body.right() - w, body.bottom() - h);
            for (x, y) in [(l, t), (r, t), (l, b), (r, b)] {
                let plate = Area::new(x, y, w, h);
                if self.badges.iter().all(|o| !o.overlaps(&plate)) {
                    self.badges.push(plate);
                    self.marks.push((plate, mark.to_string(), look));
                    return;
                }
            }
        }
        self.callouts.push(Callout { at: body.middle(), text: mark.to_string() });
    }

    fn labels(&mut self) {
        for room in std::mem::take(&mut self.rooms) {
            let free = free_of(room.area, &self.badges);
            if let Some((place, label)) = best(&free, &room.name, &room.size) {
                self.label(&label, place);
                continue;
            }
            let number = self.number(&room);
            let text = format!("{number}. {}", room.name);
            if let Some((place, label)) = best(&free, &text, "").or_else(|| best(&free, &number, "")) {
                self.label(&label, place);
            } else {
                self.callouts.push(Callout { at: room.area.middle(), text: number });
            }
        }
    }

    fn label(&mut self, label: &Fit, place: Area) {
        label.draw(&mut self.svg, place);
        self.labels.push(label.taken(place));
    }

    /// The number of a room; like rooms share one.
    fn number(&mut self, room: &Room) -> String {
        if let Some(k) = self.keys.iter().find(|k| k.name == room.name && k.size == room.size) {
            return k.number.clone();
        }
        let number = (self.keys.len() + 1).to_string();
        self.keys.push(Key { number: number.clone(), name: room.name.clone(), size: room.size.clone() });
        number
    }

    /// Outlines of cover items, interrupted where a label stands.
    fn cover(&mut self) {
        let hue = Look::Cover.style().hue;
        let clear: Vec<Area> = self.labels.iter().chain(&self.badges).map(|a| a.inset(-0.6)).collect();
        let outlines: Vec<Area> = self.scene.cover().map(|i| self.paper(&i.block).inset(0.2)).collect();
        for (k, a) in outlines.iter().enumerate() {
            let pen = format!("stroke=\"{hue}\" stroke-width=\"0.4\" stroke-dasharray=\"{}\"", dash(k));
            for y in [a.y, a.bottom()] {
                let breaks = clear.iter().filter(|c| c.y < y && y < c.bottom()).map(|c| (c.x, c.right()));
                for (from, to) in without((a.x, a.right()), breaks.collect()) {
                    self.svg.line((from, y), (to, y), &pen);
                }
            }
            for x in [a.x, a.right()] {
                let breaks = clear.iter().filter(|c| c.x < x && x < c.right()).map(|c| (c.y, c.bottom()));
                for (from, to) in without((a.y, a.bottom()), breaks.collect()) {
                    self.svg.line((x, from), (x, to), &pen);
                }
            }
        }
    }

    /// Inner width and depth of the box along its edges.
    fn measures(&mut self, frame: Area, callouts: f64) {
        let u = self.scene.units;
        let pen = format!("stroke=\"{EDGE}\" stroke-width=\"0.18\"");
        let ink = Ink { size: 2.8, fill: INK, bold: false };
        let y = frame.bottom() + 2.2;
        self.svg.line((frame.x, y), (frame.right(), y), &pen);
        let x = frame.x - callouts - 2.2;
        self.svg.line((x, frame.y), (x, frame.bottom()), &pen);
        for (a, b) in [(frame.x, y), (frame.right(), y)] {
            self.svg.line((a, b - 0.9), (a, b + 0.9), &pen);
        }
        for (a, b) in [(x, frame.y), (x, frame.bottom())] {
            self.svg.line((a - 0.9, b), (a + 0.9, b), &pen);
        }
        let wide = format!("front: {}", u.with_sign(self.scene.size.w));
        let tall = u.with_sign(self.scene.size.d);
        let room = Area::new(frame.x, y + 0.3, frame.w.max(width(&wide, ink.size, false)), ink.size * LINE);
        self.svg.text((room.middle().0, room.y + ink.size * RISE), Anchor::Middle, ink, room, &wide);
        let long = frame.h.max(width(&tall, ink.size, false));
        let room = Area::new(x - 0.3 - ink.size * LINE, frame.y, ink.size * LINE, long);
        let at = (room.x + ink.size * RISE, room.middle().1);
        self.svg.text_turned(at, Anchor::Middle, ink, room, &tall, true);
    }

    /// A bar of known length with the scale in words; returns its width and height.
    fn scale_bar(&mut self, x: f64, y: f64) -> (f64, f64) {
        let (mm, words, parts) = self.scene.units.bar();
        let long = mm * self.scale;
        for k in 0..parts {
            let step = long / parts as f64;
            let fill = if k % 2 == 0 { EDGE } else { "#fff" };
            let a = Area::new(x + step * k as f64, y + 0.9, step, 1.4);
            self.svg.rect(a, &format!("fill=\"{fill}\" stroke=\"{EDGE}\" stroke-width=\"0.15\""));
        }
        let text = format!("{words} · scale 1 : {}", super::words::trimmed(1.0 / self.scale, 2));
        let ink = Ink { size: LEAST, fill: SOFT, bold: false };
        let w = width(&text, ink.size, false);
        let room = Area::new(x + long + 1.8, y, w, ink.size * LINE);
        self.svg.text((room.x, y + ink.size * RISE), Anchor::Start, ink, room, &text);
        (long + 1.8 + w, ink.size * LINE + 0.6)
    }
}

/// Dashes of the k-th cover item.
pub(super) fn dash(k: usize) -> &'static str {
    match k % 3 {
        0 => "3 1.2",
        1 => "1 1",
        _ => "4 1 1 1",
    }
}

/// A stretch without some of its parts.
fn without((from, to): (f64, f64), mut parts: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut at, mut left) = (from, Vec::new());
    for (a, b) in parts {
        if a > at {
            left.push((at, a.min(to)));
        }
        at = at.max(b);
    }
    left.push((at, to));
    left.retain(|(a, b)| b > a);
    left
}

/// The largest rectangles of a room that no badge covers.
fn free_of(room: Area, badges: &[Area]) -> Vec<Area> {
    let pad = PAD.min(room.w * 0.08).min(room.h * 0.08);
    let mut free = vec![room.inset(pad)];
    for b in badges {
        let b = Area::new(b.x - 0.3, b.y - 0.3, b.w + 0.6, b.h + 0.6);
        let mut next = Vec::new();
        for f in free {
            if !f.overlaps(&b) {
                next.push(f);
                continue;
            }
            next.push(Area::new(f.x, f.y, b.x - f.x, f.h));
            next.push(Area::new(b.right(), f.y, f.right() - b.right(), f.h));
            next.push(Area::new(f.x, f.y, f.w, b.y - f.y));
            next.push(Area::new(f.x, b.bottom(), f.w, f.bottom() - b.bottom()));
        }
        next.retain(|a| a.w >= 1.0 && a.h >= LEAST);
        free = next;
    }
    free
}

/// The largest label over all free places.
fn best(free: &[Area], name: &str, second: &str) -> Option<(Area, Fit)> {
    let mut best: Option<(Area, Fit)> = None;
    for a in free {
        if let Some(f) = fit(name, second, (a.w, a.h), MOST)
            && best.as_ref().is_none_or(|(_, b)| f.size > b.size)
        {
            best = Some((*a, f));
        }
    }
    best
}

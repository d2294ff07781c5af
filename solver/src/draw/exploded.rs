//! Isometric view of the whole box with its layers lifted apart, bodies marked by letters.

use super::badge;
use super::callout::{self, Callout};
use super::iso::{COS30, Spot, View, common, holds, painting_order};
use super::label::{LEAST, LINE, RISE, width};
use super::palette::{EDGE, INK, Look, SOFT, Style};
use super::scene::{Block, Item, Scene};
use super::svg::{Anchor, Area, Ink, Svg, num};
use crate::plan::{Compartment, PlacedTray};

/// A drawn view.
pub(super) struct Exploded {
    pub(super) inner: String,
    pub(super) w: f64,
    pub(super) h: f64,
    pub(super) scale: f64,
}

/// Between the top of one layer and the next, as a share of the box's shorter side.
const GAP: f64 = 0.05;

/// Between cover items: only their front corners need to be seen.
const COVER_LIFT: f64 = 0.35;

/// Bodies lifted together.
struct Group<'s, 'a> {
    items: Vec<&'s Item<'a>>,
    /// Bottom of the layer before lifting.
    bottom: f64,
    lift: f64,
    name: String,
    note: String,
}

/// What the picture shows, in words.
pub(super) fn about(scene: &Scene<'_>, scale: f64) -> String {
    format!(
        "Seen from the front right, the box's front and right side cut away. Scale 1 : {} along the edges; inside {} {}.",
        super::words::trimmed(1.0 / scale, 2),
        scene.units.size(scene.size),
        scene.units.sign()
    )
}

fn groups<'s, 'a>(scene: &'s Scene<'a>) -> Vec<Group<'s, 'a>> {
    let u = scene.units;
    let apart = scene.interior.w().min(scene.interior.d()) * (1.0 + GAP);
    let mut out: Vec<Group<'s, 'a>> = Vec::new();
    let mut top = 0.0f64;
    for layer in 1..=scene.plan.layers.len() {
        let (bottom, height) = scene.layer(layer).unwrap_or_default();
        let items: Vec<_> = scene.in_layer(layer).filter(|i| i.layers.iter().min() == Some(&layer)).collect();
        let lift = if out.is_empty() { 0.0 } else { top + apart - bottom };
        top = items.iter().map(|i| i.block.z1).fold(bottom + height, f64::max) + lift;
        let note = format!("{} {} high", u.mm(height), u.sign());
        out.push(Group { items, bottom, lift, name: format!("Layer {layer}"), note });
    }
    let mut cover: Vec<_> = scene.cover().collect();
    cover.sort_by(|a, b| a.block.z0.total_cmp(&b.block.z0));
    for (k, item) in cover.into_iter().enumerate() {
        let step = if k == 0 { apart } else { apart * COVER_LIFT };
        let lift = if out.is_empty() { 0.0 } else { top + step - item.block.z0 };
        top = item.block.z1 + lift;
        let name = if k == 0 { "On top".to_string() } else { String::new() };
        out.push(Group { items: vec![item], bottom: item.block.z0, lift, name, note: String::new() });
    }
    out
}

/// Draws the view as large as it fits into `room`, at a scale of whole or half numbers.
pub(super) fn draw(scene: &Scene<'_>, room: (f64, f64)) -> Exploded {
    let groups = groups(scene);
    let b = &scene.interior;
    let top =
        groups.iter().flat_map(|g| g.items.iter().map(move |i| i.block.z1 + g.lift)).fold(b.z1, f64::max);
    let side = groups
        .iter()
        .map(|g| width(&g.name, 2.9, true).max(width(&g.note, LEAST, false)))
        .fold(0.0, f64::max)
        + 3.0;
    let (wide, tall) = ((b.w() + b.d()) * COS30, (b.w() + b.d()) * 0.5 + top);
    let ask = (wide / (room.0 - side).max(20.0)).max(tall / room.1);
    let ask = if ask.is_finite() { ask } else { 1.0 };
    let n = ((ask * 2.0).ceil() / 2.0).max(1.0);
    let scale = 1.0 / n;
    let view = View { scale, origin: (0.0, (b.d() * 0.5 + top) * scale) };
    let (marks, over, callouts) = (Vec::new(), Vec::new(), Vec::new());
    let mut p = Painter { scene, view, svg: Svg::new(), marks, over, callouts };
    p.the_box(groups.last().map_or(0.0, |g| g.bottom + g.lift));
    for (k, g) in groups.iter().enumerate() {
        p.group(g, k > 0);
    }
    p.marks();
    let frame = Area::new(0.0, 0.0, wide * scale, tall * scale);
    let margins = callout::draw(&mut p.svg, frame, &p.callouts);
    let left = margins.left + side;
    for g in groups.iter().filter(|g| !g.name.is_empty()) {
        p.name(g, -margins.left);
    }
    let (w, h) = (left + frame.w + margins.right + 1.0, margins.bottom.max(frame.h) + 2.0);
    let inner = format!("<g transform=\"translate({} 1)\">\n{}</g>\n", num(left), p.svg.into_inner());
    Exploded { inner, w, h, scale }
}

struct Painter<'s, 'a> {
    scene: &'s Scene<'a>,
    view: View,
    svg: Svg,
    /// Marks waiting to be drawn over all shapes: where, in which face, what.
    marks: Vec<(Spot, Vec<Spot>, String, Look)>,
    /// Faces of each body, with the number of marks there were before it: what it hides.
    over: Vec<(usize, [Vec<Spot>; 3])>,
    callouts: Vec<Callout>,
}

impl Painter<'_, '_> {
    fn face(&mut self, points: &[Spot], fill: &str) {
        if points.len() > 2 {
            let pen = "stroke-width=\"0.14\" stroke-linejoin=\"round\"";
            self.svg.polygon(points, &format!("fill=\"{fill}\" stroke=\"{EDGE}\" {pen}"));
        }
    }

    /// Floor, back and left side of the box; lines up to the topmost group.
    fn the_box(&mut self, highest: f64) {
        let b = self.scene.interior;
        let style =
            format!("fill=\"#f3f3f3\" stroke=\"{EDGE}\" stroke-width=\"0.3\" stroke-linejoin=\"round\"");
        for face in [self.view.level(&b, b.z0), self.view.across(&b, b.y1), self.view.along(&b, b.x0)] {
            self.svg.polygon(&face, &style);
        }
        let thin = "stroke=\"#999\" stroke-width=\"0.16\" stroke-dasharray=\"1.2 1.2\"";
        for (x, y) in [(b.x0, b.y0), (b.x1, b.y1)] {
            let from = if x == b.x0 { b.z1 } else { b.z0 };
            self.svg.line(self.view.spot(x, y, from), self.view.spot(x, y, highest.max(from)), thin);
        }
    }

    fn group(&mut self, g: &Group<'_, '_>, lifted: bool) {
        if lifted {
            let outline = self.view.level(&self.scene.interior, g.bottom + g.lift);
            self.svg.polygon(
                &outline,
                "fill=\"#fff\" fill-opacity=\"0.6\" stroke=\"#999\" stroke-width=\"0.16\" stroke-dasharray=\"1.2 1.2\"",
            );
        }
        let blocks: Vec<Block> = g.items.iter().map(|i| raised(i.block, g.lift)).collect();
        for k in painting_order(&blocks) {
            if let (Some(item), Some(block)) = (g.items.get(k), blocks.get(k)) {
                self.body(item, block, g.lift);
            }
        }
    }

    fn body(&mut self, item: &Item<'_>, block: &Block, lift: f64) {
        let style = item.look.style();
        let (front, right, top) =
            (self.view.across(block, block.y0), self.view.along(block, block.x1), self.view.top(block));
        self.face(&front, style.wall);
        self.face(&right, style.shade);
        self.over.push((self.marks.len(), [front.to_vec(), right.to_vec(), top.to_vec()]));
        match item.tray {
            Some(tray) if tray.lid.nm() <= 0 => {
                self.face(&top, style.hue);
                self.recesses(tray, &style, lift, &top, 0);
            }
            Some(_) => {
                self.face(&top, style.inside);
            }
            None => self.face(&top, style.ground),
        }
        let b = block;
        // Cover items lie one behind the other on paper: their front corner is what shows.
        let at = match item.look {
            Look::Cover => self.view.spot(b.x1 - b.w() * 0.12, b.y0 + b.d() * 0.12, b.z1),
            _ => self.view.spot((b.x0 + b.x1) / 2.0, (b.y0 + b.y1) / 2.0, b.z1),
        };
        self.marks.push((at, top.to_vec(), item.mark.clone(), item.look));
    }

    /// Looks into every compartment: its floor, back and left wall as far as the opening shows them.
    fn recesses(&mut self, tray: &PlacedTray, style: &Style, lift: f64, clip: &[Spot], depth: usize) {
        for c in &tray.compartments {
            let room = raised(Block::new(c.at, c.size), lift);
            let opening = common(&self.view.top(&room), clip);
            if opening.len() < 3 {
                continue;
            }
            self.face(&opening, style.inside);
            self.face(&common(&self.view.across(&room, room.y1), &opening), style.inside);
            let left = common(&self.view.along(&room, room.x0), &opening);
            self.face(&left, style.inside);
            if left.len() > 2 {
                self.svg.polygon(&left, "fill=\"#000\" fill-opacity=\"0.14\"");
            }
            self.face(&common(&self.view.level(&room, room.z0), &opening), style.ground);
            self.nested(c, lift, &opening, depth);
        }
    }

    fn nested(&mut self, c: &Compartment, lift: f64, opening: &[Spot], depth: usize) {
        let Some(tray) = c.tray.as_deref().filter(|_| depth < 8) else { return };
        let Some(item) = self.scene.item_of(tray) else { return };
        let (mark, look) = (item.mark.clone(), item.look);
        let block = raised(Block::new(tray.at, tray.size), lift);
        let top = common(&self.view.top(&block), opening);
        let style = look.style();
        for (face, fill) in [
            (self.view.across(&block, block.y0), style.wall),
            (self.view.along(&block, block.x1), style.shade),
            (self.view.top(&block), style.hue),
        ] {
            self.face(&common(&face, opening), fill);
        }
        self.recesses(tray, &style, lift, &top, depth + 1);
        let b = &block;
        let at = self.view.spot((b.x0 + b.x1) / 2.0, (b.y0 + b.y1) / 2.0, b.z1);
        self.marks.push((at, top, mark, look));
    }

    /// Marks where they fit into what shows of their own face, beside the picture where they do not.
    fn marks(&mut self) {
        let mut taken: Vec<Area> = Vec::new();
        // Nested trays are pushed before the tray around them; the smaller face chooses first.
        for (n, (at, face, mark, look)) in std::mem::take(&mut self.marks).into_iter().enumerate() {
            let hides = |spot: Spot| {
                self.over.iter().any(|(before, faces)| *before > n && faces.iter().any(|f| holds(f, spot)))
            };
            match plate(at, &face, &mark, &hides, &taken) {
                Ok(plate) => {
                    badge::draw(&mut self.svg, plate, &mark, look);
                    taken.push(plate);
                }
                Err(at) => self.callouts.push(Callout { at, text: mark }),
            }
        }
    }

    /// The name of a layer left of its left corner.
    fn name(&mut self, g: &Group<'_, '_>, right: f64) {
        let (_, y) = self.view.spot(0.0, 0.0, g.bottom + g.lift);
        let mut top = y - LINE * (2.9 + LEAST) / 2.0;
        for (text, size, bold, fill) in [(&g.name, 2.9, true, INK), (&g.note, LEAST, false, SOFT)] {
            if text.is_empty() {
                continue;
            }
            let w = width(text, size, bold);
            let room = Area::new(right - 2.0 - w, top, w, size * LINE);
            let ink = Ink { size, fill, bold };
            self.svg.text((right - 2.0, top + size * RISE), Anchor::End, ink, room, text);
            top += size * LINE;
        }
    }
}

fn raised(b: Block, by: f64) -> Block {
    Block { z0: b.z0 + by, z1: b.z1 + by, ..b }
}

/// Where a mark fits into what shows of a face and keeps clear of other marks, about this spot where that can be; else a
/// spot that shows, for a line to it.
fn plate(
    at: Spot,
    face: &[Spot],
    mark: &str,
    hides: &dyn Fn(Spot) -> bool,
    taken: &[Area],
) -> Result<Area, Spot> {
    let shows = |spot: Spot| holds(face, spot) && !hides(spot);
    let near = [(0.0, 0.0), (-6.0, 0.0), (6.0, 0.0), (0.0, -3.6), (0.0, 3.6), (-12.0, 0.0), (12.0, 0.0)];
    let mut spots = near.map(|(dx, dy)| (at.0 + dx, at.1 + dy)).to_vec();
    // Where the middle is hidden, anywhere in the face.
    if !shows(at) {
        spots.extend(spread(face));
    }
    let fits = |p: &Area| {
        let corners = [(p.x, p.y), (p.right(), p.y), (p.x, p.bottom()), (p.right(), p.bottom())];
        corners.into_iter().all(shows) && taken.iter().all(|t| !t.overlaps(p))
    };
    let plate = spots.iter().map(|&spot| badge::around(spot, mark)).find(fits);
    plate.ok_or_else(|| spots.into_iter().find(|s| shows(*s)).unwrap_or(at))
}

/// Spots all over a face, those in its middle first.
fn spread(face: &[Spot]) -> Vec<Spot> {
    let ends = |of: fn(&Spot) -> f64| {
        let all = face.iter().map(of);
        (all.clone().fold(f64::INFINITY, f64::min), all.fold(f64::NEG_INFINITY, f64::max))
    };
    let ((x0, x1), (y0, y1)) = (ends(|s| s.0), ends(|s| s.1));
    let part = |k: i32, from: f64, to: f64| from + (to - from) * f64::from(k) / 32.0;
    let mut cells: Vec<(i32, i32)> = (1..32).flat_map(|i| (1..32).map(move |j| (i, j))).collect();
    cells.sort_by_key(|(i, j)| (i - 16).abs() + (j - 16).abs());
    cells.into_iter().map(|(i, j)| (part(i, x0, x1), part(j, y0, y1))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_stand_where_their_face_shows() {
        let face = [(0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (0.0, 30.0)];
        let at = (30.0, 15.0);
        let put = |hidden_to: f64| plate(at, &face, "B", &|s| s.0 < hidden_to, &[]);
        let middle = put(0.0).unwrap();
        assert!(middle.x < 30.0 && middle.right() > 30.0);
        // Something before it hides all to the left of 40, and all but a strip.
        let aside = put(40.0).unwrap();
        assert!(aside.x >= 40.0 && aside.right() <= 60.0 && aside.bottom() <= 30.0);
        let strip = put(57.0).unwrap_err();
        assert!(strip.0 >= 57.0 && holds(&face, strip));
        // Where nothing shows, a line still leads to its middle.
        assert_eq!(put(61.0), Err(at));
        // Another mark in the middle.
        let beside = plate(at, &face, "B", &|_| false, &[middle]).unwrap();
        assert!(!beside.overlaps(&middle));
    }
}

//! What a part holds: loose, stack, solid or a tray.

use super::Builder;
use crate::brief::keys::{CarryTray, LooseKeys, PartKeys, SleeveKeys, SolidKeys, StackKeys};
use crate::brief::reader::{At, Field};
use crate::brief::shape::SpareRoom;
use crate::brief::sources::Spot;
use crate::brief::value::LONGEST;
use crate::finding::Finding;
use crate::job::{Contents, Face, Loose, Sleeve, Solid, Stack, Stand, Turn, defaults};
use crate::length::{LARGEST, Length, Volume};

/// Films of sleeves: 0.04 to 0.12 mm is usual (facts B21, common practice); twice that on either side is believed.
const FILMS: std::ops::RangeInclusive<Length> = Length::um(20)..=Length::um(240);

impl Face {
    /// The shortest and the longest way across.
    pub(super) fn across(self) -> (Length, Length) {
        match self {
            Face::Rectangle(w, d) => (w.min(d), w.max(d)),
            // A hexagon is 2/√3 = 1.1547 times as wide over its corners as over its flats.
            Face::Hexagon(flats) => (flats, flats * 11_547 / 10_000),
            Face::Disc(diameter) => (diameter, diameter),
        }
    }
}

impl Builder<'_, '_> {
    /// Exactly one kind of contents must be there.
    pub(super) fn contents(&mut self, keys: &PartKeys, name: &str) -> Option<Contents> {
        let PartKeys { loose, stack, solid, tray, .. } = keys;
        let there = [!loose.is_absent(), !stack.is_absent(), !solid.is_absent(), !tray.is_absent()];
        match there.iter().filter(|t| **t).count() {
            0 => {
                self.report("J003", &keys.spot, format!("nothing says what \"{name}\" is"));
                return None;
            }
            1 => {}
            _ => {
                self.report("J004", &keys.spot, format!("\"{name}\" is told to be several things at once"));
                return None;
            }
        }
        if let Some(loose) = loose.get() {
            let (spare_count, spare_volume) = match keys.spare_room.copied() {
                Some(SpareRoom::Pieces(n)) => (n, Volume::ZERO),
                Some(SpareRoom::Volume(v)) => (0, v),
                None => (0, Volume::ZERO),
            };
            return self.loose(loose, spare_count, spare_volume).map(Contents::Loose);
        }
        if let Some(At { value: CarryTray(inner), .. }) = tray.get() {
            self.spare_count(&keys.spare_room, "a tray", false);
            return self.tray(inner, Some(name)).map(Box::new).map(Contents::Tray);
        }
        let what = if stack.is_absent() { "solid pieces" } else { "stacked pieces" };
        let spare_count = self.spare_count(&keys.spare_room, what, true);
        if let Some(stack) = stack.get() {
            return self.stack(stack, spare_count).map(Contents::Stack);
        }
        self.solid(solid.get()?, spare_count).map(Contents::Solid)
    }

    /// Wanted spare room in pieces; a volume of them, or any of what cannot be multiplied, is a finding.
    fn spare_count(&mut self, field: &Field<SpareRoom>, what: &str, counts: bool) -> i64 {
        match field.get() {
            None => 0,
            Some(At { value: SpareRoom::Pieces(n), .. }) if counts => *n,
            Some(at) => {
                let kind = if counts { "in pieces, not as a volume" } else { "by its own parts" };
                self.report("J022", &at.spot, format!("room for more of {what} is told {kind}"));
                0
            }
        }
    }

    fn loose(&mut self, at: &At<LooseKeys>, spare_count: i64, spare_volume: Volume) -> Option<Loose> {
        let keys = &at.value;
        let volume = keys.volume.copied();
        let count = keys.count.copied().map(|c| c.0);
        let piece = keys.piece.get().map(|p| p.value.size());
        let bad = keys.volume.is_bad() || keys.count.is_bad() || keys.piece.is_bad();
        if volume.is_none() && (count.is_none() || piece.is_none()) && !bad {
            let cause = match (count, piece) {
                (Some(_), None) => "the count is known, but not the size of a piece",
                (None, Some(_)) => "the size of a piece is known, but not how many there are",
                _ => "neither a volume nor a count of pieces is given",
            };
            self.report("J005", &at.spot, cause);
        }
        if let (Some(piece), Some(p)) = (piece, keys.piece.get()) {
            self.within_diagonal(piece.w.max(piece.d).max(piece.h), "a piece", &p.spot);
            if count.is_some_and(|n| piece.volume().nm3() * i128::from(n) > LARGEST.nm3()) {
                self.report("J034", &at.spot, "the pieces come to more than 1000 litres");
            }
        }
        if let Some(p) = keys.packing.get()
            && p.value.0 > p.value.1
        {
            self.report("J023", &p.spot, "the loosest packing fraction is written first, the densest second");
        }
        Some(Loose {
            volume,
            count,
            form: keys.form.copied(),
            piece,
            packing: keys.packing.copied().map(|p| (p.0, p.1)),
            level: keys.level.copied().map_or(defaults::LEVEL, |l| l.0),
            spare_volume,
            spare_count,
            finger: keys.finger.copied().map_or(defaults::FINGER, |f| f.0),
        })
    }

    fn stack(&mut self, at: &At<StackKeys>, spare_count: i64) -> Option<Stack> {
        let keys = &at.value;
        let count = keys.count.copied().map(|c| c.0);
        let each = keys.each.copied().map(|m| m.0);
        let height = keys.height.copied().map(|m| m.0);
        let sleeve = self.sleeve(keys);
        let bad = keys.count.is_bad() || keys.each.is_bad() || keys.height.is_bad();
        if height.is_none() && (count.is_none() || each.is_none()) && !bad {
            let cause = match (count, each) {
                (Some(_), None) => "the count is known, but not how thick a piece is",
                (None, Some(_)) => "the thickness of a piece is known, but not how many there are",
                _ => "neither a measured height nor a count of pieces is given",
            };
            self.report("J006", &at.spot, cause);
        }
        self.stack_measures(keys, sleeve.as_ref(), &at.spot);
        let face = keys.face.copied()?;
        let outer = sleeve.map_or(face, |s| s.face);
        let stand = self.stands(keys, outer);
        Some(Stack {
            face,
            count,
            each,
            height,
            sleeve,
            stand,
            piles: keys.piles.copied().map_or(1, |p| p.0),
            least_lean: keys.least_lean.copied().map_or(defaults::LEAST_LEAN, |l| l.0),
            spare_count,
            ease: keys.ease.copied().map_or(defaults::EASE, |e| e.0),
            browse: keys.browse.copied().map_or(defaults::BROWSE, |b| b.0),
            finger: keys.finger.copied().map_or(Length::ZERO, |f| f.0),
        })
    }

    /// Measures of a stack held against each other.
    fn stack_measures(&mut self, keys: &StackKeys, sleeve: Option<&Sleeve>, whole: &Spot) {
        let each = keys.each.get();
        let film = sleeve.map_or(Length::ZERO, |s| s.film * 2);
        if let (Some(each), Some(face)) = (each, keys.face.get()) {
            let (shortest, _) = face.value.across();
            if each.value.0 > shortest {
                let cause =
                    format!("a piece {} thick is thicker than its face is wide ({shortest})", each.value.0);
                self.report("J007", &each.spot, cause);
            }
        }
        if let Some(face) = keys.face.get() {
            let outer = sleeve.map_or(face.value, |s| s.face);
            self.within_diagonal(outer.across().1, "a face", &face.spot);
        }
        let total = match (keys.count.copied(), each) {
            (Some(count), Some(each)) => (each.value.0 + film) * count.0,
            _ => return,
        };
        if total > LONGEST {
            self.report("J034", whole, format!("the pieces make a stack of {total}, more than 10 m"));
        }
    }

    fn sleeve(&mut self, keys: &StackKeys) -> Option<Sleeve> {
        let At { value: SleeveKeys { film, face, .. }, .. } = keys.sleeve.get()?;
        let (film, face) = (film.get()?, face.get()?);
        if let Some(card) = keys.face.value() {
            let smaller = match (*card, face.value) {
                (Face::Rectangle(..), Face::Rectangle(..))
                | (Face::Disc(_), Face::Disc(_))
                | (Face::Hexagon(_), Face::Hexagon(_)) => {
                    let ((a, b), (c, d)) = (card.across(), face.value.across());
                    c < a || d < b
                }
                // A round piece in a square sleeve: the sleeve must be as wide as the piece.
                _ => face.value.across().0 < card.across().0,
            };
            if smaller {
                self.report("J008", &face.spot, "the sleeve is smaller than what it holds");
            }
        }
        if !FILMS.contains(&film.value.0) {
            let cause = format!("a film of {} is unusual; 0.04 to 0.12 mm is common", film.value.0);
            let place = self.reader.sources.place(film.spot.span, &film.spot.path);
            self.note(Finding::listed("J031", cause).at(place));
        }
        Some(Sleeve { film: film.value.0, face: face.value })
    }

    /// Allowed ways of standing, without repeats, in the order of the brief.
    fn stands(&mut self, keys: &StackKeys, face: Face) -> Vec<Stand> {
        let rectangle = matches!(face, Face::Rectangle(..));
        let Some(given) = keys.stand.value() else {
            return match rectangle {
                true => vec![Stand::Flat, Stand::LongEdge, Stand::ShortEdge],
                false => vec![Stand::Flat, Stand::Roll],
            };
        };
        let mut stands = Vec::new();
        for At { value, spot } in &given.0 {
            match (value, face) {
                (Stand::Roll, Face::Rectangle(..)) => {
                    self.report("J009", spot, "only discs and hexagons roll");
                }
                (Stand::LongEdge | Stand::ShortEdge | Stand::Lean, Face::Disc(_) | Face::Hexagon(_)) => {
                    self.report("J009", spot, "only rectangles stand on an edge or lean");
                }
                _ if stands.contains(value) => {}
                _ => stands.push(*value),
            }
        }
        stands
    }

    fn solid(&mut self, at: &At<SolidKeys>, spare_count: i64) -> Option<Solid> {
        let keys = &at.value;
        let size = keys.size.get()?;
        let body = size.value.size();
        let turn = keys.turn.copied().unwrap_or(Turn::Upright);
        let count = keys.count.copied().map_or(1, |c| c.0);
        if let Some(room) = self.interior
            && !super::bodies::fits_turned(body, turn, room)
        {
            let [w, d, h] = [body.w, body.d, body.h].map(|l| l.show_number(self.reader.unit));
            let [bw, bd, bh] = [room.w, room.d, room.h].map(|l| l.show_number(self.reader.unit));
            let unit = self.reader.unit.name();
            let cause = format!(
                "a body of {w} × {d} × {h} {unit} does not go into the box of {bw} × {bd} × {bh} {unit} in any of its turns"
            );
            self.report("J017", &size.spot, cause);
        }
        if body.volume().nm3() * i128::from(count) > LARGEST.nm3() {
            self.report("J034", &at.spot, "the bodies come to more than 1000 litres");
        }
        Some(Solid {
            size: body,
            count,
            spare_count,
            turn,
            pile: keys.pile.copied().unwrap_or(false),
            ease: keys.ease.copied().map_or(defaults::EASE, |e| e.0),
        })
    }
}

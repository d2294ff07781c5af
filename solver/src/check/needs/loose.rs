//! Loose pieces: a bulk volume that takes any shape, filled up to a level.

use super::{Least, div_up, mul};
use crate::job::{Form, Loose};

/// Packing fraction at its loosest, in thousandths. Cubes: Baker & Kudrolli 2010 (0.54); beads: Desmond &
/// Weeks 2009 (0.55); discs: Benyahia & O'Neill 2005 at a coin's sphericity (0.42); pegs, lenses: common
/// practice; other forms: 0.40 of the bounding box, our choice.
fn loosest(form: Form) -> i128 {
    match form {
        Form::Cube => 540,
        Form::Bead => 550,
        Form::Disc => 420,
        Form::Peg => 550,
        Form::Lens => 600,
        Form::Odd => 400,
    }
}

/// Tenths of a billionth: π/4 (discs, pegs) and π/6 (beads, lenses) of the bounding box, rounded up.
const QUARTER_PI_UP: i128 = 7_853_981_634;
const SIXTH_PI_UP: i128 = 5_235_987_756;
const WHOLE: i128 = 10_000_000_000;

/// Lowest compartment that still holds loose pieces: 5 mm (our choice).
const LOWEST: i128 = 5_000_000;
const ML: i128 = 10i128.pow(21);

/// Bulk volume of one piece, rounded up: its share of the measured volume, else its own over the packing
/// fraction.
fn each(l: &Loose) -> Option<i128> {
    Some(match (l.volume, l.count) {
        (Some(measured), Some(count)) => div_up(measured.nm3(), i128::from(count)),
        _ => {
            let loosest = match l.packing {
                Some((a, b)) => i128::from(a.min(b)),
                None => loosest(l.form.unwrap_or(Form::Odd)),
            };
            let piece = l.piece?;
            let sides = [piece.w, piece.d, piece.h].map(|l| i128::from(l.nm()));
            let bounding = sides.into_iter().fold(1, mul);
            let own = match l.form {
                Some(Form::Disc | Form::Peg) => div_up(mul(bounding, QUARTER_PI_UP), WHOLE),
                Some(Form::Bead | Form::Lens) => div_up(mul(bounding, SIXTH_PI_UP), WHOLE),
                Some(Form::Cube | Form::Odd) | None => bounding,
            };
            div_up(mul(own, 1000), loosest)
        }
    })
}

/// Bulk volume of what the part holds, without wanted spare room.
pub(super) fn bulk(l: &Loose) -> Option<i128> {
    match l.volume {
        Some(measured) => Some(measured.nm3()),
        None => Some(mul(each(l)?, i128::from(l.count?))),
    }
}

pub(super) fn terms(l: &Loose) -> &'static str {
    if each(l).is_some() { "pieces" } else { "ml" }
}

/// The room with wanted spare room and `more` pieces (or ml) beyond.
pub(super) fn least(l: &Loose, more: i128) -> Option<Least> {
    let level = i128::from(l.level.max(1));
    let each = each(l);
    let wanted = mul(each.unwrap_or(0), i128::from(l.spare_count)).saturating_add(l.spare_volume.nm3());
    let beyond = mul(each.unwrap_or(ML), more);
    let filled = bulk(l)?.saturating_add(wanted).saturating_add(beyond);
    let finger = i128::from(l.finger.nm());
    let (side, long, height) = match l.piece {
        None => (finger, finger, LOWEST),
        Some(piece) => {
            let mut sides = [piece.w, piece.d, piece.h].map(|l| i128::from(l.nm()));
            sides.sort_unstable();
            let [thin, broad, long] = sides;
            // Rods may lie along a compartment that is only as wide as they are thick.
            let across = if l.form == Some(Form::Peg) { broad } else { long };
            let side = across.max(finger);
            (side, long.max(side), div_up(mul(thin, 1000), level).max(LOWEST))
        }
    };
    Some(Least::Poured { volume: div_up(mul(filled, 1000), level), side, long, height })
}

//! Loose contents: a bulk volume that takes any shape, poured into any compartment.
//!
//! * bulk volume V: as measured, or `count × piece / φ` with the packing fraction φ at its loosest;
//! * clear room: `w·d·u ≥ (V + spare room) / level`, u the clear height under the rim;
//! * sides: no narrower than a finger, nor than the longest side of a piece, so that it can lie
//!   flat; pegs and rods may lie along a compartment that is only as wide as they are thick.

use super::{Alternative, More, MoreStep, Need, Space, Standing, div_up, length, limits};
use crate::job::{Form, Loose};
use crate::length::{LARGEST, Length, Volume};
use crate::place::Size;

/// The least clear height of a compartment for loose pieces: anything lower is a tablet from which
/// they slide (our choice, no source).
pub const LEAST_HEIGHT: Length = Length::mm(5);

/// Packing fraction (volume of the pieces over their bulk volume), loosest and densest, in
/// thousandths, of equal pieces poured at random into a wide container.
///
/// Sources: cubes 0.54 and 0.67, Baker & Kudrolli, Phys. Rev. E 82, 061304 (2010); beads 0.55 and
/// 0.64, Desmond & Weeks, arXiv 0903.0864; discs from 0.42 (Benyahia & O'Neill, Particulate Sci.
/// Technol. 23(2), 2005, at a coin's sphericity) to 0.64; pegs and lenses common practice, upper
/// ends near Baule et al., arXiv 1307.7004 (2013). For any other form nothing is published: its
/// bounding box at 0.40, looser than any of these, is our choice.
pub(crate) const fn bracket(form: Form) -> (i64, i64) {
    match form {
        Form::Cube => (540, 670),
        Form::Bead => (550, 640),
        Form::Disc => (420, 640),
        Form::Peg => (550, 700),
        Form::Lens => (600, 710),
        Form::Odd => (400, 1000),
    }
}

/// What `count × piece` says about a bulk volume.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{job::Contents, need::loose::estimate};
/// let Contents::Loose(discs) = &job.trays[0].parts[1].contents else { panic!("fare discs") };
/// let both = estimate(discs).unwrap();
/// assert_eq!(both.packing, (420, 640)); // thousandths
/// assert!(both.solid < both.densest && both.densest < both.loosest);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Estimate {
    /// Volume of the pieces themselves (of their bounding boxes where the form is odd).
    pub solid: Volume,
    /// Bulk volume at the loosest packing: what a need reckons with.
    pub loosest: Volume,
    /// Bulk volume at the densest packing.
    pub densest: Volume,
    /// Packing fraction, loosest and densest, in thousandths.
    pub packing: (i64, i64),
}

/// Bulk volume by count and piece, both ends; `None` where either is missing or absurd.
///
/// ```
/// use traywright::job::{Form, Loose};
/// use traywright::length::{Length, Volume};
/// use traywright::need::loose::estimate;
/// use traywright::place::Size;
/// let side = Length::mm(16);
/// let dice = Loose {
///     volume: None,
///     count: Some(100),
///     form: Some(Form::Cube),
///     piece: Some(Size { w: side, d: side, h: side }),
///     packing: None,
///     level: 900,
///     spare_volume: Volume::ZERO,
///     spare_count: 0,
///     finger: Length::mm(20),
/// };
/// let both = estimate(&dice).unwrap();
/// assert_eq!((both.loosest.show_ml(), both.densest.show_ml()), ("758.5 ml".into(), "611.3 ml".into()));
/// ```
pub fn estimate(loose: &Loose) -> Option<Estimate> {
    if limits::of_loose(loose).is_some() {
        return None;
    }
    let (count, piece) = (loose.count?, loose.piece?);
    let packing = packing(loose);
    let (low, high) = solid(form(loose), piece);
    let solid = Volume::from_nm3(high * i128::from(count));
    if solid > LARGEST {
        return None;
    }
    let each = by_piece(loose)?;
    Some(Estimate {
        solid,
        loosest: each * count,
        densest: Volume::from_nm3(low * i128::from(count) * 1000 / i128::from(packing.1)),
        packing,
    })
}

/// The maker's packing fraction, or that of the form; a form that is not told counts as odd.
fn packing(loose: &Loose) -> (i64, i64) {
    loose.packing.map_or_else(|| bracket(form(loose)), |(a, b)| (a.min(b), a.max(b)))
}

/// The form, odd where it is not told.
pub(super) fn form(loose: &Loose) -> Form {
    loose.form.unwrap_or(Form::Odd)
}

/// Volume of one piece within its bounding size in nm³, rounded down and up: a box for cubes and odd
/// forms, π/4 of it for discs and pegs (cylinders), π/6 for beads and lenses (ellipsoids).
fn solid(form: Form, piece: Size) -> (i128, i128) {
    /// π/4 and π/6 in units of 1e-10, rounded down.
    const QUARTER_PI: i128 = 7_853_981_633;
    const SIXTH_PI: i128 = 5_235_987_755;
    const UNIT: i128 = 10_000_000_000;
    let bounding = piece.volume().nm3();
    let part = |share: i128| (bounding * share / UNIT, div_up(bounding * (share + 1), UNIT));
    match form {
        Form::Disc | Form::Peg => part(QUARTER_PI),
        Form::Bead | Form::Lens => part(SIXTH_PI),
        Form::Cube | Form::Odd => (bounding, bounding),
    }
}

/// Bulk volume of one piece at the loosest packing, rounded up.
fn by_piece(loose: &Loose) -> Option<Volume> {
    let (loosest, _) = packing(loose);
    let (_, high) = solid(form(loose), loose.piece?);
    Some(Volume::from_nm3(div_up(high * 1000, i128::from(loosest)))).filter(|v| *v <= LARGEST)
}

/// Bulk volume of one piece: its share of the measured volume, or its own over the packing fraction.
fn per_piece(loose: &Loose) -> Option<Volume> {
    match (loose.volume, loose.count) {
        (Some(measured), Some(count)) => Some(Volume::from_nm3(div_up(measured.nm3(), i128::from(count)))),
        _ => by_piece(loose),
    }
}

/// The need; `None` where the bulk volume is not known.
pub(super) fn need(loose: &Loose) -> Option<Need> {
    let each = per_piece(loose);
    let contents = match loose.volume {
        Some(measured) => measured,
        None => estimate(loose)?.loosest,
    };
    let spare = each.map_or(Volume::ZERO, |each| each * loose.spare_count) + loose.spare_volume;
    let (side, long, height) = sides(loose)?;
    if contents > LARGEST || spare > LARGEST {
        return None;
    }
    let held = contents + spare;
    let volume = Volume::from_nm3(div_up(held.nm3() * 1000, i128::from(loose.level)));
    let one_ml = Volume::from_nm3(10i128.pow(21));
    let (of, one) = each.map_or(("ml", one_ml), |each| ("pieces", each));
    Some(Need {
        contents,
        alternatives: vec![Alternative {
            standing: Standing::Poured,
            piles: 1,
            space: Space::Soft { volume, side, long, h: height },
            turnable: true,
        }],
        estimate: loose.volume.is_none(),
        more: More { of: of.into(), step: MoreStep::Bulk { one, held, level: loose.level } },
    })
}

/// Least shorter side, least longer side, least clear height.
fn sides(loose: &Loose) -> Option<(Length, Length, Length)> {
    let Some(piece) = loose.piece else {
        return Some((loose.finger, loose.finger, LEAST_HEIGHT));
    };
    let mut sides = [piece.w, piece.d, piece.h];
    sides.sort_unstable();
    let [thin, broad, long] = sides;
    let least = if form(loose) == Form::Peg { broad } else { long };
    let side = least.max(loose.finger);
    // One layer of pieces lying flat must itself stay below the level.
    let height = length(div_up(i128::from(thin.nm()) * 1000, i128::from(loose.level)))?;
    Some((side, long.max(side), height.max(LEAST_HEIGHT)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_the_bounding_box_enclose_the_true_volume() {
        let size = Size { w: Length::mm(100), d: Length::mm(100), h: Length::mm(100) };
        for (form, share) in
            [(Form::Disc, std::f64::consts::FRAC_PI_4), (Form::Bead, std::f64::consts::FRAC_PI_6)]
        {
            let (low, high) = solid(form, size);
            let exact = share * 1e10; // of 1e10 parts of the box
            assert_eq!(
                (low / 10i128.pow(14), high / 10i128.pow(14)),
                (exact.floor() as i128, exact.ceil() as i128)
            );
        }
    }
}

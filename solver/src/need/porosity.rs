//! Published formulas for how walls loosen a random packing: estimates, never geometry.
//!
//! Porosity ε = 1 − φ as a function of the ratio between a round tube's diameter and a piece's (the
//! diameter of the sphere of equal volume): Benyahia & O'Neill, Particulate Sci. Technol. 23(2),
//! 169–177 (2005), doi 10.1080/02726350590922242. Taking a rectangular compartment's hydraulic diameter,
//! four times its area over its perimeter, for the tube's is common practice, no source. Below about
//! three pieces across the published formulas disagree (Guo et al., Powder Technol. 354, 2019).
//!
//! Floating numbers serve here because the formulas are fits with errors of percents; what leaves this
//! file towards a finding is rounded to whole thousandths towards the looser side.

use crate::job::{Form, Loose};
use crate::length::Length;
use crate::place::Size;

use super::limits;

/// Name of the sphericity in [`OutOfRange`].
pub(crate) const SPHERICITY: &str = "sphericity";
/// Name of the ratio between tube and piece in [`OutOfRange`].
pub(crate) const RATIO: &str = "tube over piece";

/// A formula asked beyond the range for which it was published.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{what} is {value:.3}, but the formula holds only between {least} and {most}")]
pub(crate) struct OutOfRange {
    /// Which quantity: [`SPHERICITY`] or [`RATIO`].
    pub what: &'static str,
    /// Its value.
    pub value: f64,
    /// Least value of the range.
    pub least: f64,
    /// Greatest value of the range.
    pub most: f64,
}

fn within(what: &'static str, value: f64, least: f64, most: f64) -> Result<f64, OutOfRange> {
    // Not a number is not within either.
    if value >= least && value <= most { Ok(value) } else { Err(OutOfRange { what, value, least, most }) }
}

/// Any shape: ε = 0.1504 + 0.2024/ψ + 1.0814/(r + 0.1226)², mean error 5.2 %.
///
/// # Errors
/// The ratio must lie in 1.5…50 and the sphericity in 0.42…1.
pub(crate) fn any_shape(ratio: f64, sphericity: f64) -> Result<f64, OutOfRange> {
    let psi = within(SPHERICITY, sphericity, 0.42, 1.0)?;
    let r = within(RATIO, ratio, 1.5, 50.0)?;
    Ok(0.1504 + 0.2024 / psi + 1.0814 / ((r + 0.1226) * (r + 0.1226)))
}

/// Spheres: ε = 0.390 + 1.740/(r + 1.140)², mean error 1.5 %.
///
/// # Errors
/// The ratio must lie in 1.5…50.
pub(crate) fn spheres(ratio: f64) -> Result<f64, OutOfRange> {
    let r = within(RATIO, ratio, 1.5, 50.0)?;
    Ok(0.390 + 1.740 / ((r + 1.140) * (r + 1.140)))
}

/// Solid cylinders: ε = 0.373 + 1.703/(r + 0.611)², mean error 1.6 %.
///
/// # Errors
/// The ratio must lie in 1.7…26.3.
pub(crate) fn cylinders(ratio: f64) -> Result<f64, OutOfRange> {
    let r = within(RATIO, ratio, 1.7, 26.3)?;
    Ok(0.373 + 1.703 / ((r + 0.611) * (r + 0.611)))
}

/// Diameter of the sphere of a piece's volume, in mm: (6 V / π)^⅓. Forms as in [`sphericity`]; beads and
/// lenses are ellipsoids, whatever is odd counts with its bounding box.
pub(crate) fn equal_sphere_mm(form: Form, piece: Size) -> f64 {
    let pi = std::f64::consts::PI;
    let bounding = piece.w.to_mm_f64() * piece.d.to_mm_f64() * piece.h.to_mm_f64();
    let volume = match form {
        Form::Disc | Form::Peg => bounding * pi / 4.0,
        Form::Bead | Form::Lens => bounding * pi / 6.0,
        Form::Cube | Form::Odd => bounding,
    };
    (6.0 * volume / pi).cbrt()
}

/// Wadell sphericity ψ = π^⅓ (6 V)^⅔ / S: 1 for a sphere, less for anything else. Known in closed form
/// for cubes and boxes, beads, discs and pegs; `None` for lens-like and odd forms.
///
/// A disc's axis is its shortest side and a peg's its longest, with the mean of the other two as
/// diameter.
pub(crate) fn sphericity(form: Form, piece: Size) -> Option<f64> {
    let pi = std::f64::consts::PI;
    let mut sides = [piece.w, piece.d, piece.h].map(Length::to_mm_f64);
    sides.sort_by(f64::total_cmp);
    let [a, b, c] = sides;
    let cylinder = |across: f64, along: f64| {
        (pi / 4.0 * across * across * along, pi / 2.0 * across * across + pi * across * along)
    };
    let (volume, surface) = match form {
        Form::Bead => return Some(1.0),
        Form::Cube => (a * b * c, 2.0 * (a * b + b * c + c * a)),
        Form::Disc => cylinder((b + c) / 2.0, a),
        Form::Peg => cylinder((a + b) / 2.0, c),
        Form::Lens | Form::Odd => return None,
    };
    Some(pi.cbrt() * (6.0 * volume).powf(2.0 / 3.0) / surface)
}

/// Packing fraction in thousandths, rounded down (to the looser side), of loose pieces in a compartment
/// with that hydraulic diameter; `None` where the form or the piece is not known well enough.
///
/// # Errors
/// [`OutOfRange`] where no published formula covers the piece or the compartment.
pub(crate) fn packing_in(loose: &Loose, hydraulic: Length) -> Option<Result<i64, OutOfRange>> {
    if limits::of_loose(loose).is_some() {
        return None;
    }
    let (form, piece) = (loose.form?, loose.piece?);
    let psi = sphericity(form, piece)?;
    let ratio = hydraulic.to_mm_f64() / equal_sphere_mm(form, piece);
    let porosity = match form {
        Form::Bead => spheres(ratio),
        Form::Peg => cylinders(ratio),
        _ => any_shape(ratio, psi),
    };
    Some(porosity.map(|e| ((1.0 - e) * 1000.0).floor() as i64))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::need::loose;

    fn coin(across_um: i64, thick_um: i64) -> Size {
        Size { w: Length::um(across_um), d: Length::um(across_um), h: Length::um(thick_um) }
    }

    #[test]
    fn published_values_of_the_three_formulas() {
        // Doctests of fluids/packed_bed.py (facts A18).
        assert_relative_eq!(any_shape(10.0, 0.8).unwrap(), 0.41395363849210065, max_relative = 1e-14);
        assert_relative_eq!(spheres(50.0).unwrap(), 0.3906653157443224, max_relative = 1e-14);
        assert_relative_eq!(cylinders(10.0).unwrap(), 0.38812523109607894, max_relative = 1e-14);
        // facts A30 (computed from A16).
        for (ratio, porosity) in [(5.0, 0.4362), (10.0, 0.4040), (20.0, 0.3939), (50.0, 0.3907)] {
            assert_relative_eq!(spheres(ratio).unwrap(), porosity, epsilon = 5e-5);
        }
    }

    #[test]
    fn sphericities() {
        // facts A31: a cube has (π/6)^⅓ = 0.80600.
        assert_relative_eq!(sphericity(Form::Cube, coin(16_000, 16_000)).unwrap(), 0.80600, epsilon = 5e-6);
        // facts A26, quarter dollar 24.26 × 1.75 (US Mint, facts B9): ψ 0.3969, d 11.560 mm.
        let quarter = coin(24_260, 1_750);
        assert_relative_eq!(sphericity(Form::Disc, quarter).unwrap(), 0.3969, epsilon = 5e-5);
        assert_relative_eq!(equal_sphere_mm(Form::Disc, quarter), 11.560, epsilon = 5e-4);
        // facts A29, 1 euro 23.25 × 2.33 (facts B10): ψ 0.4710.
        assert_relative_eq!(sphericity(Form::Disc, coin(23_250, 2_330)).unwrap(), 0.4710, epsilon = 5e-5);
        assert_eq!(sphericity(Form::Lens, quarter), None);
    }

    #[test]
    fn a_quarter_is_refused_and_a_euro_is_not() {
        // facts A28: sphericity 0.397 is below the 0.42 for which A15 was published.
        let quarter = sphericity(Form::Disc, coin(24_260, 1_750)).unwrap();
        let refused = any_shape(10.0, quarter).unwrap_err();
        assert_eq!((refused.what, refused.least), (SPHERICITY, 0.42));
        // facts A29: far from walls A15 gives ε 0.580 (φ 0.42), the loosest end of the discs' bracket; A19
        // (from memory there) 0.50 and 0.64: all within the bracket.
        let euro = sphericity(Form::Disc, coin(23_250, 2_330)).unwrap();
        assert_relative_eq!(any_shape(50.0, euro).unwrap(), 0.580, epsilon = 1e-3);
        assert_eq!(loose::bracket(Form::Disc), (420, 640));
    }

    #[test]
    fn ranges_are_kept() {
        assert!(any_shape(1.49, 0.8).is_err() && any_shape(50.1, 0.8).is_err());
        assert!(any_shape(10.0, 1.01).is_err() && any_shape(f64::NAN, 0.8).is_err());
        assert!(spheres(1.4).is_err() && cylinders(1.6).is_err() && cylinders(26.4).is_err());
    }
}

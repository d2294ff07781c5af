//! Thickness of paper and board from its grammage, for makers who have nothing better.
//!
//! No need is ever computed from it: at 300 g/m² board runs from 0.30 mm (coated) to 0.43 mm and more
//! (uncoated). A measured thickness or stack height always comes first.

use crate::length::Length;

/// Bulk of greyboard in hundredths of cm³/g: thickness in mm = g/m² × 1.55 / 1000 (a mill's rule, trade
/// source; hence about 645 kg/m³).
pub const GREYBOARD_BULK: i64 = 155;

/// Thickness of a sheet: grammage (g/m²) × bulk (hundredths of cm³/g); 1 g/m² × 1 cm³/g = 1 µm, which
/// is the definition of apparent specific volume in ISO 534 the other way round.
///
/// Negative input counts as none; what is beyond [`Length`] stays at its end.
///
/// ```
/// use traywright::length::Length;
/// use traywright::need::paper::sheet_thickness;
/// assert_eq!(sheet_thickness(80, 120), Length::um(96));
/// ```
pub fn sheet_thickness(grammage: i64, bulk_hundredths: i64) -> Length {
    // One hundredth of a micrometre is 10 nm.
    Length::from_nm(grammage.max(0).saturating_mul(bulk_hundredths.max(0)).saturating_mul(10))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn published_examples() {
        // A converter page's examples (facts B16): gsm × bulk → µm.
        for (gsm, bulk, um) in [(80, 120, 96), (100, 125, 125), (250, 90, 225), (70, 180, 126)] {
            assert_eq!(sheet_thickness(gsm, bulk), Length::um(um));
        }
        // A greyboard table and its worked example 1290 g/m² → 2.0 mm (facts B18), to 0.1 mm.
        for (gsm, tenths) in [(1290, 20), (615, 10), (970, 15), (1645, 25)] {
            let nm = sheet_thickness(gsm, GREYBOARD_BULK).nm();
            assert_eq!((nm + 50_000) / 100_000, tenths, "{gsm}");
        }
        // Rows of that table that its own formula contradicts (facts X4): "3 mm" is 2.86, "3.5" is 3.33.
        for (gsm, um) in [(1845, 2_860), (2150, 3_333), (2460, 3_813), (1581, 2_451)] {
            assert!((sheet_thickness(gsm, GREYBOARD_BULK) - Length::um(um)).nm().abs() < 1_000, "{gsm}");
        }
    }
}

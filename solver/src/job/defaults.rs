//! What is taken where a brief says nothing: every value with its reason.
//!
//! "Facts" are the numbered trade facts that the project keeps; "common practice" marks what no published
//! source was found for. Every value can be set in the brief.

use crate::job::material::Material;
use crate::job::{Cutting, Joint, Millionths, Process};
use crate::length::Length;

/// Step of the search.
pub const GRID: Length = Length::um(100);

/// So many times at most the step is halved, where something fits exactly that it would keep out.
pub(crate) const MOST_HALVINGS: u32 = 3;

/// Step of the search in boxes that would have more than [`MOST_CUBES`] of the usual ones.
pub const COARSE_GRID: Length = Length::mm(1);

/// Cubed steps in a box, a cubic metre of the usual ones. Sums over all bodies of volumes in 1/256 of a cubed step, and of lifts, then
/// stay far from the ends of 64 bits.
pub const MOST_CUBES: i128 = 1_000_000_000_000;

/// Grid steps along the longest side; beyond them the search would only be slow.
pub const MOST_STEPS: i64 = 1_000_000;

/// Layers, where the brief sets no number (our choice, no source).
pub const MOST_LAYERS: usize = 4;

/// How full a compartment of loose pieces may be, in thousandths, so that nothing spills (common practice, no source).
pub const LEVEL: i64 = 900;

/// Least width of a compartment from which fingers take loose pieces: an adult finger is 16–20 mm
/// (facts D20), near the palm up to 23 mm (facts D23, from memory).
pub const FINGER: Length = Length::mm(20);

/// Width of a notch: at least 25 mm admits a large thumb (facts D23, from memory).
pub const NOTCH_WIDTH: Length = Length::mm(25);

/// Depth of a notch: a recess for finger tips is at least 13 mm deep (facts D24, from memory).
pub const NOTCH_DEPTH: Length = Length::mm(13);

/// Ease on the face of stacked pieces and around solid ones, in width and in depth (common practice, no source).
pub const EASE: Length = Length::mm(1);

/// Browsing room along a row, in thousandths of its length (common practice, no source).
pub const BROWSE: i64 = 100;

/// Least lean of a row from the floor, in degrees (our choice, no source).
pub const LEAST_LEAN: i64 = 60;

/// What one lift less is worth for a tray `always` needed, in millionths of the box (our choice, no source).
pub const ACCESS_ALWAYS: Millionths = 20_000;

/// The same for `setup` (our choice, no source).
pub const ACCESS_SETUP: Millionths = 5_000;

/// The same for `seldom` (our choice, no source).
pub const ACCESS_SELDOM: Millionths = 0;

/// How much waste may rise for tidiness, in millionths of the box (our choice, no source).
pub const TIDY: Millionths = 10_000;

/// A tray's share of spare room, in thousandths.
pub const SPARE_SHARE: i64 = 1000;

/// How far a cut edge may be off: ±0.1 mm is a usual tolerance of a laser (facts D9).
pub const CUT_ERROR: Length = Length::um(100);

/// An easy fit, together by hand and apart again: the middle of +0.1 to +0.2 mm (facts D15, common practice).
pub const EASY_FIT: Length = Length::um(150);

/// A press fit, which holds without glue: −0.05 mm (facts D15, common practice).
pub const PRESS_FIT: Length = Length::um(-50);

/// Clearances are rounded up to this.
const CLEARANCE_STEP: Length = Length::um(100);

/// The joint that a process makes: combs need a laser's fine cut, knife and saw make straight edges to be glued
/// (common practice, no source).
///
/// ```
/// use traywright::job::{Joint, Process, defaults::joint};
/// assert_eq!(joint(Process::Laser), Joint::Finger);
/// assert_eq!([joint(Process::Knife), joint(Process::Saw)], [Joint::Butt; 2]);
/// ```
pub fn joint(process: Process) -> Joint {
    match process {
        Process::Laser => Joint::Finger,
        Process::Knife | Process::Saw => Joint::Butt,
    }
}

/// The process that a material is usually cut by: boards of paper and foam by knife (a laser must not touch foam
/// board, facts E6), the rest by laser (facts E7).
///
/// ```
/// use traywright::job::{Process, defaults::process, material::Material};
/// assert_eq!(process(Material::FoamBoard), Process::Knife);
/// assert_eq!(process(Material::Unknown), Process::Laser);
/// ```
pub fn process(material: Material) -> Process {
    match material {
        Material::Board | Material::FoamBoard => Process::Knife,
        Material::Plywood | Material::Wood | Material::Fibreboard | Material::Acrylic | Material::Unknown => {
            Process::Laser
        }
    }
}

/// Full width of a laser's cut in one material up to a thickness, from one shop's averages (facts D1:
/// birch 0.006/0.008/0.010 in, acrylic 0.007/0.009/0.010 in, fibreboard 0.006/0.008/0.010 in,
/// board 0.003/0.005 in); beyond the table its last row stands.
fn laser_cut(material: Material, thickness: Length) -> Length {
    let sixteenths = |n: i64| Length::inch_64ths(4 * n);
    let mils = |n: i64| Length::from_nm(n * 25_400);
    let table: &[(Length, Length)] = match material {
        Material::Plywood | Material::Wood | Material::Unknown => {
            &[(sixteenths(1), mils(6)), (sixteenths(2), mils(8)), (sixteenths(4), mils(10))]
        }
        Material::Acrylic => &[(sixteenths(1), mils(7)), (sixteenths(2), mils(9)), (sixteenths(4), mils(10))],
        Material::Fibreboard => {
            &[(sixteenths(2), mils(6)), (sixteenths(4), mils(8)), (Length::mm(12), mils(10))]
        }
        Material::Board | Material::FoamBoard => {
            &[(Length::inch_64ths(2), mils(3)), (sixteenths(1), mils(5))]
        }
    };
    let row = table.iter().find(|(up_to, _)| thickness <= *up_to).or(table.last());
    row.map_or(mils(8), |(_, cut)| *cut)
}

/// Width of a saw's cut: the 1/8 in of a full table saw blade (common practice, no source).
const SAW_CUT: Length = Length::inch_64ths(8);

/// Full width that a cut removes. A knife removes nothing.
///
/// ```
/// use traywright::job::{Process, defaults::cut_width, material::Material};
/// use traywright::length::Length;
/// let laser = |thickness| cut_width(Process::Laser, Material::Plywood, thickness);
/// assert_eq!(laser(Length::mm(3)), Length::from_nm(203_200)); // 0.008 in, the full width
/// assert_eq!(laser(Length::mm(60)), laser(Length::mm(6)));
/// assert_eq!(cut_width(Process::Knife, Material::Board, Length::mm(2)), Length::ZERO);
/// ```
pub fn cut_width(process: Process, material: Material, thickness: Length) -> Length {
    match process {
        Process::Laser => laser_cut(material, thickness),
        Process::Knife => Length::ZERO,
        Process::Saw => SAW_CUT,
    }
}

/// Kept free along the edges of a sheet: clamps and a crooked edge for laser and saw; a knife starts from the
/// clean edge that board is sold with (common practice, no source).
///
/// ```
/// use traywright::{job::{Process, defaults::margin}, length::Length};
/// assert_eq!(margin(Process::Laser), Length::mm(5));
/// assert_eq!(margin(Process::Knife), Length::ZERO);
/// ```
pub fn margin(process: Process) -> Length {
    match process {
        Process::Laser | Process::Saw => Length::mm(5),
        Process::Knife => Length::ZERO,
    }
}

/// Material left between two panels: for a laser 2 mm, as webs below 0.5 mm may burn away and details below 1 mm are
/// fragile (facts D8); knife and saw part two panels by one cut (common practice, no source).
///
/// ```
/// use traywright::{job::{Process, defaults::spacing}, length::Length};
/// assert_eq!(spacing(Process::Laser), Length::mm(2));
/// assert_eq!(spacing(Process::Saw), Length::ZERO); // the saw's own cut parts them
/// ```
pub fn spacing(process: Process) -> Length {
    match process {
        Process::Laser => Length::mm(2),
        Process::Knife | Process::Saw => Length::ZERO,
    }
}

/// Sheets taken where a brief names none, width and depth: a small laser's blank (facts C24), a quarter
/// sheet of board, half a large panel cut to 1220 mm (facts C23); each followed by a larger one (common practice, no source).
///
/// ```
/// use traywright::{job::{Process, defaults::sheets}, length::Length};
/// assert_eq!(sheets(Process::Laser)[0], (Length::mm(600), Length::mm(400)));
/// let larger = |of| matches!(sheets(of), [a, b] if a.0 * a.1 < b.0 * b.1);
/// assert!([Process::Laser, Process::Knife, Process::Saw].into_iter().all(larger));
/// ```
pub fn sheets(process: Process) -> &'static [(Length, Length)] {
    const LASER: &[(Length, Length)] =
        &[(Length::mm(600), Length::mm(400)), (Length::mm(1000), Length::mm(600))];
    const KNIFE: &[(Length, Length)] =
        &[(Length::mm(500), Length::mm(350)), (Length::mm(1000), Length::mm(700))];
    const SAW: &[(Length, Length)] =
        &[(Length::mm(1220), Length::mm(610)), (Length::mm(2440), Length::mm(1220))];
    match process {
        Process::Laser => LASER,
        Process::Knife => KNIFE,
        Process::Saw => SAW,
    }
}

/// Speed of a 60 W laser in µm/s at 3 mm and 6 mm, the middle of what was published (facts F4: plywood 12 to 18 mm/s,
/// acrylic 10 to 15, fibreboard 15 to 20, at 6 mm 5 to 8; board 25 to 35 at 2 mm).
const fn laser_speed(material: Material) -> [(Length, i64); 2] {
    match material {
        Material::Plywood | Material::Wood | Material::Unknown => {
            [(Length::mm(3), 15_000), (Length::mm(6), 6_500)]
        }
        Material::Acrylic => [(Length::mm(3), 12_500), (Length::mm(6), 6_500)],
        Material::Fibreboard => [(Length::mm(3), 17_500), (Length::mm(6), 6_500)],
        Material::Board | Material::FoamBoard => [(Length::mm(2), 30_000), (Length::mm(6), 6_500)],
    }
}

/// What cutting takes in time.
///
/// Laser: the published speed at the nearer thickness, slower in proportion where the sheet is thicker than that and
/// never faster; 0.5 s to pierce and 5 min a sheet to lay it in, focus and take parts out. Knife: 10 mm/s with all its
/// passes, 3 s to lay the ruler. Saw: 20 mm/s, 20 s to set the fence. All but the laser's speed: common practice, no source.
///
/// ```
/// use traywright::job::{Process, defaults::cutting, material::Material};
/// use traywright::length::Length;
/// let speed = |mm| cutting(Process::Laser, Material::Plywood, Length::mm(mm)).um_a_second;
/// assert_eq!((speed(1), speed(3), speed(6), speed(12)), (15_000, 15_000, 6_500, 3_250));
/// ```
pub fn cutting(process: Process, material: Material, thickness: Length) -> Cutting {
    match process {
        Process::Laser => {
            let [thin, thick] = laser_speed(material);
            let (at, speed) = if thickness <= thin.0 { thin } else { thick };
            let slowed = i128::from(speed) * i128::from(at.nm()) / i128::from(thickness.nm().max(1));
            // Between the two published thicknesses the straight line between their speeds.
            let um_a_second = if thickness > thin.0 && thickness < thick.0 {
                let (run, rise) = ((thick.0 - thin.0).nm(), thin.1 - thick.1);
                let past = i128::from((thickness - thin.0).nm()) * i128::from(rise) / i128::from(run);
                thin.1 - past as i64
            } else {
                i128::from(speed).min(slowed).max(1) as i64
            };
            Cutting { um_a_second, pierce_ms: 500, setup_ms: 300_000 }
        }
        Process::Knife => Cutting { um_a_second: 10_000, pierce_ms: 3_000, setup_ms: 120_000 },
        Process::Saw => Cutting { um_a_second: 20_000, pierce_ms: 20_000, setup_ms: 300_000 },
    }
}

/// Density in kg/m³: plywood 660 (facts C4), thin fibreboard 880 (facts C14), acrylic 1190 (facts C18),
/// greyboard 645 (facts B18). Foam board and unknown materials have none.
///
/// ```
/// use traywright::job::{defaults::density, material::Material};
/// assert_eq!(density(Material::Plywood), Some(660)); // kg/m³
/// assert_eq!(density(Material::FoamBoard), None);
/// ```
pub fn density(material: Material) -> Option<i64> {
    match material {
        Material::Plywood => Some(660),
        Material::Fibreboard => Some(880),
        Material::Acrylic => Some(1190),
        Material::Board => Some(645),
        Material::Wood | Material::FoamBoard | Material::Unknown => None,
    }
}

/// The same by the name of the stock too: poplar plywood is far lighter than birch (common practice, no source).
pub(crate) fn density_of(name: &str, material: Material) -> Option<i64> {
    let poplar = material == Material::Plywood && name.to_lowercase().contains("poplar");
    if poplar { Some(450) } else { density(material) }
}

/// How much a sheet's thickness may differ from what was measured at one place.
///
/// Plywood 0.3 mm, half of the 0.6 mm range within one panel (facts C3); fibreboard 0.2 mm (facts C13, C14);
/// acrylic 5 % (extruded sheet, facts C17); greyboard 0.05 mm (facts B19); others 0.2 mm (common practice).
///
/// ```
/// use traywright::job::{defaults::thickness_spread, material::Material};
/// use traywright::length::Length;
/// assert_eq!(thickness_spread(Material::Acrylic, Length::mm(4)), Length::um(200)); // 5 %
/// assert_eq!(thickness_spread(Material::Plywood, Length::mm(4)), Length::um(300)); // of any
/// ```
pub fn thickness_spread(material: Material, thickness: Length) -> Length {
    match material {
        Material::Plywood => Length::um(300),
        Material::Acrylic => thickness / 20,
        Material::Board => Length::um(50),
        Material::Fibreboard | Material::Wood | Material::FoamBoard | Material::Unknown => Length::um(200),
    }
}

/// How much a tray may grow, in millionths of its length: plywood 0.27 % across its grain from 30 to 90 % relative
/// humidity (facts C20); acrylic 0.0072 % a kelvin (facts C18) over 30 K; others as plywood, for want of a source.
///
/// ```
/// use traywright::{job::{defaults::movement, material::Material}, length::Length};
/// // 300 mm of plywood may grow by 0.81 mm.
/// assert_eq!(Length::mm(300) * movement(Material::Plywood) / 1_000_000, Length::um(810));
/// ```
pub fn movement(material: Material) -> Millionths {
    match material {
        Material::Acrylic => 72 * 30,
        _ => 2_700,
    }
}

/// Clearance between trays and at the sides of the box.
///
/// Between two trays: the spread of thickness and two cut edges. At a side: the spread, one cut edge, and half
/// of what trays grow along the longer side of the box, since there are two sides to grow into. Rounded up to 0.1 mm.
///
/// ```
/// use traywright::{job::{defaults::clearance, material::Material}, length::Length};
/// let um = Length::um;
/// let (between, side) = clearance(Material::Plywood, um(300), Length::mm(310));
/// assert_eq!((between, side), (um(500), um(900))); // 0.3 + 2 × 0.1, and 0.8185 rounded up
/// ```
pub fn clearance(material: Material, spread: Length, longest_side: Length) -> (Length, Length) {
    let up = |length: Length| CLEARANCE_STEP * length.steps_up(CLEARANCE_STEP);
    let growth = longest_side * movement(material) / 2_000_000;
    (up(spread + CUT_ERROR * 2), up(spread + CUT_ERROR + growth))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn movement_agrees_with_the_worked_value() {
        // Facts C20: 300 mm of plywood, 0.81 mm across the grain.
        assert_eq!(Length::mm(300) * movement(Material::Plywood) / 1_000_000, Length::um(810));
        // 310 mm: half of 0.837 mm, 0.3 mm of spread and 0.1 mm of cut make 0.8185 mm.
        let (between, side) = clearance(Material::Plywood, Length::um(300), Length::mm(310));
        assert_eq!((between, side), (Length::um(500), Length::um(900)));
    }

    #[test]
    fn speeds_are_the_published_ones() {
        // Facts F4: birch 3 mm 12 to 18 mm/s, 6 mm 5 to 8; MDF 15 to 20; acrylic 10 to 15; board 2 mm 25 to 35.
        let speed = |m, t| cutting(Process::Laser, m, t).um_a_second;
        assert_eq!(speed(Material::Plywood, Length::mm(3)), 15_000);
        assert_eq!(speed(Material::Plywood, Length::mm(1)), 15_000);
        assert_eq!(speed(Material::Plywood, Length::um(4_500)), 10_750);
        assert_eq!(speed(Material::Plywood, Length::mm(6)), 6_500);
        assert_eq!(speed(Material::Plywood, Length::mm(12)), 3_250);
        assert_eq!(speed(Material::Fibreboard, Length::mm(3)), 17_500);
        assert_eq!(speed(Material::Board, Length::mm(2)), 30_000);
    }

    #[test]
    fn cut_widths_are_the_published_ones() {
        // Facts D1: birch plywood 1/8 in 0.203 mm, acrylic 1/4 in 0.254 mm, board 1/32 in 0.076 mm.
        let laser = |m, t| cut_width(Process::Laser, m, t);
        assert_eq!(laser(Material::Plywood, Length::mm(3)), Length::from_nm(203_200));
        assert_eq!(laser(Material::Acrylic, Length::mm(6)), Length::from_nm(254_000));
        assert_eq!(laser(Material::Board, Length::um(700)), Length::from_nm(76_200));
        assert_eq!(cut_width(Process::Knife, Material::Board, Length::mm(2)), Length::ZERO);
    }
}

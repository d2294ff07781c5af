//! What a stock's name says about it: kind of material, and whether a laser must not touch it.

/// Kinds of sheet material that have values of their own.
///
/// ```
/// use traywright::job::{defaults::density, material::{Material, material}};
/// assert_eq!(material("MDF, 3 mm"), material("hardboard"));
/// assert_eq!(density(material("MDF, 3 mm")), Some(880)); // kg/m³
/// assert_eq!(material("slate"), Material::Unknown);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Plywood.
    Plywood,
    /// Solid wood.
    Wood,
    /// MDF, HDF, hardboard.
    Fibreboard,
    /// Acrylic sheet.
    Acrylic,
    /// Greyboard, mat board and other boards of paper.
    Board,
    /// Foam between paper faces.
    FoamBoard,
    /// Anything else.
    Unknown,
}

/// Words that tell a material; the first row of which all words occur in the name decides.
const NAMES: &[(&[&str], Material)] = &[
    (&["foam", "board"], Material::FoamBoard),
    (&["foamboard"], Material::FoamBoard),
    (&["foam", "core"], Material::FoamBoard),
    (&["foamcore"], Material::FoamBoard),
    (&["plywood"], Material::Plywood),
    (&["ply"], Material::Plywood),
    (&["mdf"], Material::Fibreboard),
    (&["hdf"], Material::Fibreboard),
    (&["hardboard"], Material::Fibreboard),
    (&["fibreboard"], Material::Fibreboard),
    (&["fiberboard"], Material::Fibreboard),
    (&["acrylic"], Material::Acrylic),
    (&["pmma"], Material::Acrylic),
    (&["greyboard"], Material::Board),
    (&["grayboard"], Material::Board),
    (&["chipboard"], Material::Board),
    (&["cardboard"], Material::Board),
    (&["cardstock"], Material::Board),
    (&["matboard"], Material::Board),
    (&["mat", "board"], Material::Board),
    (&["grey", "board"], Material::Board),
    (&["gray", "board"], Material::Board),
    (&["museum", "board"], Material::Board),
    (&["paperboard"], Material::Board),
    (&["birch"], Material::Plywood),
    (&["hardwood"], Material::Wood),
    (&["wood"], Material::Wood),
    (&["basswood"], Material::Wood),
    (&["balsa"], Material::Wood),
    (&["veneer"], Material::Wood),
    (&["cork"], Material::Wood),
];

/// Names that a laser must not meet, each with why (facts E4 to E6). All words of a row must occur.
const NOT_BY_LASER: &[(&[&str], &str)] = &[
    (&["pvc"], "PVC gives off hydrogen chloride, which harms people, optics and machine"),
    (&["vinyl"], "vinyl gives off hydrogen chloride, which harms people, optics and machine"),
    (&["faux", "leather"], "imitation leather is mostly PVC, which gives off hydrogen chloride"),
    (&["artificial", "leather"], "imitation leather is mostly PVC, which gives off hydrogen chloride"),
    (&["imitation", "leather"], "imitation leather is mostly PVC, which gives off hydrogen chloride"),
    (&["leatherette"], "imitation leather is mostly PVC, which gives off hydrogen chloride"),
    (&["impregnated"], "what preserves treated wood gives off harmful fumes"),
    (&["treated"], "what preserves treated wood gives off harmful fumes"),
    (&["polycarbonate"], "polycarbonate burns and discolours instead of cutting"),
    (&["abs"], "ABS gives off hydrogen cyanide, melts and catches fire"),
    (&["ptfe"], "PTFE gives off carbonyl fluoride"),
    (&["hdpe"], "HDPE melts and catches fire"),
    (&["foam", "board"], "foam board is on the laser-prohibited lists: its foam catches fire"),
    (&["foamboard"], "foam board is on the laser-prohibited lists: its foam catches fire"),
    (&["foam", "core"], "foam board is on the laser-prohibited lists: its foam catches fire"),
    (&["foamcore"], "foam board is on the laser-prohibited lists: its foam catches fire"),
    (&["polystyrene"], "polystyrene foam is the foremost cause of laser fires"),
    (&["styrene"], "polystyrene foam is the foremost cause of laser fires"),
    (&["polypropylene", "foam"], "polypropylene foam is a foremost cause of laser fires"),
    (&["eps"], "polystyrene foam is the foremost cause of laser fires"),
    (&["xps"], "polystyrene foam is the foremost cause of laser fires"),
    (&["epp"], "polypropylene foam is a foremost cause of laser fires"),
    (&["foam"], "foam catches fire"),
    (&["fibreglass"], "fibreglass gives off harmful fumes"),
    (&["fiberglass"], "fibreglass gives off harmful fumes"),
    (&["carbon"], "carbon fibre in resin gives off harmful fumes"),
    (&["epoxy"], "resin-bound fibres give off harmful fumes"),
    (&["self", "adhesive"], "self-adhesive sheet is on the laser-prohibited lists"),
];

/// Words of plastics that no list allows by name (facts E5: unknown plastics stay away from a laser).
const PLASTICS: &[&str] = &[
    "plastic",
    "polypropylene",
    "polyethylene",
    "polyester",
    "pet",
    "petg",
    "nylon",
    "polyamide",
    "acetal",
    "pom",
    "rubber",
    "silicone",
    "pp",
    "pe",
    "ps",
    "pc",
    "resin",
    "laminate",
    "leather",
];

fn words(name: &str) -> Vec<String> {
    name.to_lowercase().split(|c: char| !c.is_alphanumeric()).map(str::to_owned).collect()
}

fn holds(words: &[String], all: &[&str]) -> bool {
    all.iter().all(|w| words.iter().any(|x| x == w))
}

/// What a name says about the material.
///
/// ```
/// use traywright::job::material::{Material, material};
/// assert_eq!(material("birch plywood 3 mm"), Material::Plywood);
/// assert_eq!(material("Foam-board, white"), Material::FoamBoard);
/// ```
pub fn material(name: &str) -> Material {
    let words = words(name);
    NAMES.iter().find(|(all, _)| holds(&words, all)).map_or(Material::Unknown, |(_, m)| *m)
}

/// Why a laser must not cut a stock of this name, where that is known.
pub(crate) fn not_by_laser(name: &str) -> Option<&'static str> {
    let words = words(name);
    NOT_BY_LASER.iter().find(|(all, _)| holds(&words, all)).map(|(_, why)| *why)
}

/// Whether the name is that of nothing which the lists allow: a plastic, a metal, or a name that says nothing.
pub(crate) fn unlisted(name: &str) -> bool {
    let words = words(name);
    material(name) == Material::Unknown || PLASTICS.iter().any(|p| words.iter().any(|w| w == p))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prohibited_stock_is_known_by_whole_words() {
        // Facts E4 to E6.
        for no in [
            "PVC sheet",
            "black vinyl",
            "clear polycarbonate",
            "ABS",
            "PTFE film",
            "HDPE",
            "polystyrene foam",
            "polypropylene foam",
            "foam board",
            "Foam-Core 5 mm",
            "fibreglass",
            "carbon fibre",
        ] {
            assert!(not_by_laser(no).is_some(), "{no}");
        }
        // Facts E7.
        for yes in ["birch plywood", "hardwood", "MDF", "cast acrylic", "matboard", "chipboard", "cork"] {
            assert!(not_by_laser(yes).is_none() && !unlisted(yes), "{yes}");
        }
        assert!(not_by_laser("absolute birch").is_none());
        assert!(not_by_laser("untreated pine").is_none() && not_by_laser("treated plywood").is_some());
        // What nobody has heard of may be anything.
        for doubtful in ["PETG", "some plastic", "steel", "brightex", "plywood with laminate"] {
            assert!(not_by_laser(doubtful).is_none() && unlisted(doubtful), "{doubtful}");
        }
    }
}

//! Colours and patterns.
//!
//! The hues are the colour-blind-safe set of M. Okabe and K. Ito, "Color Universal Design" (2002,
//! revised 2008), from memory. No picture relies on hue alone: walls carry a pattern and marks a
//! shape of their own for each use, so that a grey print says the same.

use crate::job::Use;

/// Okabe and Ito's blue.
pub(super) const BLUE: &str = "#0072B2";
/// Their sky blue.
pub(super) const SKY: &str = "#56B4E9";
/// Their orange.
pub(super) const ORANGE: &str = "#E69F00";
/// Their bluish green.
pub(super) const GREEN: &str = "#009E73";
/// Their yellow.
pub(super) const YELLOW: &str = "#F0E442";
/// Their vermillion.
pub(super) const VERMILLION: &str = "#D55E00";
/// Their reddish purple.
pub(super) const PURPLE: &str = "#CC79A7";

/// Names and numbers.
pub(super) const INK: &str = "#1a1a1a";
/// Sizes and notes: still 7 : 1 on white.
pub(super) const SOFT: &str = "#4d4d4d";
/// Outlines.
pub(super) const EDGE: &str = "#333333";
/// Kept items.
pub(super) const KEPT: &str = "#dedede";

/// What a body is, as far as its looks are concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Look {
    Tray(Use),
    Kept,
    Cover,
}

/// How one look is drawn.
pub(super) struct Style {
    /// Word in the legend.
    pub(super) word: &'static str,
    /// Fill of walls seen from above.
    pub(super) wall: &'static str,
    /// Plain colour of dividers and edges.
    pub(super) hue: &'static str,
    /// Darker shade for faces in the exploded view.
    pub(super) shade: &'static str,
    /// Ground of compartments: pale, so that text reads on it.
    pub(super) ground: &'static str,
    /// A little darker: inner walls in the exploded view.
    pub(super) inside: &'static str,
}

impl Look {
    /// Its style.
    pub(super) fn style(self) -> Style {
        match self {
            Look::Tray(Use::Always) => Style {
                word: "always needed",
                wall: BLUE,
                hue: BLUE,
                shade: "#00588a",
                ground: "#e3eff7",
                inside: "#b5d3e6",
            },
            Look::Tray(Use::Setup) => Style {
                word: "needed once, at the start",
                wall: "url(#tw-setup)",
                hue: ORANGE,
                shade: "#b37b00",
                ground: "#fcf2dd",
                inside: "#f2d79b",
            },
            Look::Tray(Use::Seldom) => Style {
                word: "seldom needed",
                wall: "url(#tw-seldom)",
                hue: GREEN,
                shade: "#007555",
                ground: "#e1f3ed",
                inside: "#a8d9ca",
            },
            Look::Kept => Style {
                word: "kept as it is",
                wall: KEPT,
                hue: "#767676",
                shade: "#b5b5b5",
                ground: KEPT,
                inside: "#c8c8c8",
            },
            Look::Cover => Style {
                word: "lies over the top layer",
                wall: "#fbf1f6",
                hue: "#9c4674",
                shade: "#e3b5cd",
                ground: "#fbf1f6",
                inside: "#f0d6e3",
            },
        }
    }
}

/// The patterns that [`Style::wall`] and the volume account refer to; once in every file.
pub(super) const DEFS: &str = "<defs>\n\
<pattern id=\"tw-setup\" width=\"1.2\" height=\"1.2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
<rect width=\"1.2\" height=\"1.2\" fill=\"#E69F00\"/><rect width=\"0.45\" height=\"1.2\" fill=\"#fff\"/></pattern>\n\
<pattern id=\"tw-seldom\" width=\"1.2\" height=\"1.2\" patternUnits=\"userSpaceOnUse\">\
<rect width=\"1.2\" height=\"1.2\" fill=\"#009E73\"/><circle cx=\"0.6\" cy=\"0.6\" r=\"0.34\" fill=\"#fff\"/></pattern>\n\
<pattern id=\"tw-stripe\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(-45)\">\
<rect width=\"0.5\" height=\"2\" fill=\"#000\" fill-opacity=\"0.38\"/></pattern>\n\
<pattern id=\"tw-dots\" width=\"1.6\" height=\"1.6\" patternUnits=\"userSpaceOnUse\">\
<circle cx=\"0.8\" cy=\"0.8\" r=\"0.35\" fill=\"#000\" fill-opacity=\"0.45\"/></pattern>\n\
<pattern id=\"tw-cross\" width=\"2\" height=\"2\" patternUnits=\"userSpaceOnUse\">\
<path d=\"M0 0L2 2M2 0L0 2\" stroke=\"#000\" stroke-opacity=\"0.4\" stroke-width=\"0.25\"/></pattern>\n\
</defs>\n";

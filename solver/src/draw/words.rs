//! Numbers and phrases that pictures, report and summary share.

use crate::job::{Grip, Use};
use crate::length::{Length, Unit, Volume};
use crate::place::Size;
use crate::plan::{Claim, ClaimState, Compartment, NeedKind, Plan, Slack};
use crate::stop::Stop;

/// Writes lengths in the unit of the brief.
#[derive(Clone, Copy, Debug)]
pub(super) struct Units(pub(super) Unit);

impl Units {
    /// Its sign.
    pub(super) fn sign(self) -> &'static str {
        match self.0 {
            Unit::Millimetre => "mm",
            Unit::Centimetre => "cm",
            Unit::Inch => "in",
        }
    }

    /// Millimetres in one unit, and decimals that say about a tenth of a millimetre.
    fn scale(self) -> (f64, usize) {
        match self.0 {
            Unit::Millimetre => (1.0, 1),
            Unit::Centimetre => (10.0, 2),
            Unit::Inch => (25.4, 2),
        }
    }

    /// Millimetres as a number in the brief's unit, rounded to the nearest.
    pub(super) fn mm(self, mm: f64) -> String {
        let (per, places) = self.scale();
        trimmed(mm / per, places)
    }

    /// A length, rounded to the nearest.
    pub(super) fn len(self, l: Length) -> String {
        self.mm(l.to_mm_f64())
    }

    /// A length rounded down, so that spare room is never overstated.
    pub(super) fn down(self, l: Length) -> String {
        let (per, places) = self.scale();
        let p = 10f64.powi(places as i32);
        // A nanometre is far below the last decimal: it makes up for the division.
        trimmed(((l.to_mm_f64() + 1e-6) / per * p).floor() / p, places)
    }

    /// `310 mm`.
    pub(super) fn with_sign(self, l: Length) -> String {
        format!("{} {}", self.len(l), self.sign())
    }

    /// `w × d × h` without unit.
    pub(super) fn size(self, s: Size) -> String {
        format!("{} × {} × {}", self.len(s.w), self.len(s.d), self.len(s.h))
    }

    /// Length of the scale bar in millimetres, its words, and its parts.
    pub(super) fn bar(self) -> (f64, &'static str, usize) {
        match self.0 {
            Unit::Millimetre => (50.0, "50 mm", 5),
            Unit::Centimetre => (50.0, "5 cm", 5),
            Unit::Inch => (50.8, "2 in", 4),
        }
    }
}

/// A number with at most `places` decimals, no trailing zeros, `0` for what is not finite.
pub(super) fn trimmed(v: f64, places: usize) -> String {
    let v = if v.is_finite() { v } else { 0.0 };
    let mut s = format!("{v:.places$}");
    if s.contains('.') {
        s.truncate(s.trim_end_matches('0').trim_end_matches('.').len());
    }
    if s == "-0" { "0".into() } else { s }
}

/// Millilitres: whole from 100, one decimal below.
pub(super) fn ml(v: Volume) -> String {
    ml_f64(v.to_ml_f64())
}

/// The same from a number.
pub(super) fn ml_f64(v: f64) -> String {
    trimmed(v, usize::from(v.abs() < 100.0))
}

/// A share in percent with one decimal; 0 of nothing.
pub(super) fn percent(part: Volume, whole: Volume) -> f64 {
    let whole = whole.to_ml_f64();
    if whole == 0.0 { 0.0 } else { 100.0 * part.to_ml_f64() / whole }
}

/// `12.3 %`.
pub(super) fn percent_words(part: Volume, whole: Volume) -> String {
    format!("{:.1} %", percent(part, whole))
}

/// A use in one word.
pub(super) fn usage(u: Use) -> &'static str {
    match u {
        Use::Always => "always",
        Use::Setup => "setup",
        Use::Seldom => "seldom",
    }
}

/// How a tray is lifted.
pub(super) fn grip(g: Grip) -> &'static str {
    match g {
        Grip::Notch => "notches",
        Grip::Ribbon => "ribbon",
        Grip::None => "no grip",
    }
}

/// How a compartment's contents stand, in words.
pub(super) fn standing(c: &Compartment) -> String {
    let how = match c.standing.as_str() {
        "poured" => "poured in".to_string(),
        "flat" => "flat".to_string(),
        "long-edge" => "row on the long edge".to_string(),
        "short-edge" => "row on the short edge".to_string(),
        "roll" => "roll on edge".to_string(),
        "lean" => format!("row leaning at {}°", c.lean_deg),
        "block" => "side by side".to_string(),
        "tray" => "a tray of its own".to_string(),
        other => super::svg::plain(other),
    };
    if c.piles.trim().is_empty() { how } else { format!("{how}, {}", super::svg::plain(&c.piles)) }
}

/// What a compartment's contents need: `66 × 91 × 41`, or an area with least sides.
pub(super) fn need(c: &Compartment, u: Units) -> String {
    match c.need.kind {
        NeedKind::Fixed | NeedKind::Row => c.need.size.map_or_else(|| "–".into(), |s| u.size(s)),
        NeedKind::Soft => {
            let (per, _) = u.scale();
            let area = c.need.area_mm2.map_or(0.0, |a| a.nm2() as f64 / 1e12);
            let square = match u.0 {
                Unit::Inch => trimmed(area / (per * per), 2),
                Unit::Centimetre => trimmed(area / (per * per), 1),
                Unit::Millimetre => trimmed(area, 0),
            };
            let sides = c
                .need
                .least
                .map_or_else(String::new, |[a, b]| format!(", sides ≥ {}, {}", u.len(a), u.len(b)));
            format!("{square} {}²{sides}", u.sign())
        }
    }
}

/// Slack in the part's own terms: `14 more sleeved cards`.
pub(super) fn more(s: &Slack) -> String {
    let of = super::svg::plain(&s.more_of);
    if of.is_empty() {
        return if s.more > 0 { format!("{} more", s.more) } else { "no more".into() };
    }
    match s.more {
        1 => format!("1 more {}", one_of(&of)),
        n if n > 0 => format!("{n} more {of}"),
        _ => format!("no more {of}"),
    }
}

/// The singular of the plurals that needs speak of: "sleeved pieces", "bodies", "ml".
fn one_of(plural: &str) -> String {
    match (plural.strip_suffix("ies"), plural.strip_suffix('s')) {
        (Some(stem), _) => format!("{stem}y"),
        (_, Some(stem)) => stem.to_string(),
        _ => plural.to_string(),
    }
}

/// The claim in one plain sentence.
pub(super) fn claim(plan: &Plan) -> String {
    let o = &plan.objective_mm3;
    match plan.claim.state {
        ClaimState::Proven => "Proven best: no arrangement of its class wastes less.".into(),
        ClaimState::Gap => match plan.claim.gap {
            Some(g) if g.is_finite() => {
                // Rounded up: the true gap is not larger than what is said.
                let p = trimmed((g * 1000.0 - 1e-9).ceil() / 10.0, 1);
                let (value, bound) = (ml(o.value), ml(o.bound));
                format!(
                    "No arrangement of its class saves more than {p} % of this: waste and lifts count {value} ml here, \
                     and at least {bound} ml in every other."
                )
            }
            _ => "A valid plan; how far it is from the best is not known.".into(),
        },
        ClaimState::Unproven => "A valid plan; how far it is from the best is not known.".into(),
        ClaimState::Impossible => "Proven: no arrangement of its class holds everything.".into(),
        ClaimState::NoneFound => {
            "No plan that holds everything was found; it is not proven that there is none.".into()
        }
    }
}

/// What cut the search short, as a sentence; `None` where it ran to its end.
pub(super) fn cut_short(plan: &Plan) -> Option<String> {
    let note = plan.findings.iter().find(|n| n.code == "P011")?;
    let why = note.text.split(" — ").next().unwrap_or_default().trim();
    let mut chars = super::svg::plain(why).chars().collect::<Vec<_>>().into_iter();
    let head: String = chars.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    Some(format!("{head}{}.", chars.collect::<String>()))
}

/// Which class of arrangements a claim speaks of.
pub(super) fn class(claim: &Claim) -> String {
    let curves = if claim.curves == "exact" {
        "every shape of every tray"
    } else {
        "the tray shapes met by a search that is not exhaustive"
    };
    let heights = if claim.heights == "all" { "all layer heights" } else { "selected layer heights" };
    format!(
        "Class: trays in layers, straight dividers, sizes in steps of {} mm, {curves}, {heights}.",
        trimmed(claim.grid_mm.to_mm_f64(), 4)
    )
}

/// The node budget of a search; one without says what ended it instead.
pub(super) fn nodes(nodes: u64) -> String {
    if nodes >= Stop::UNCOUNTED {
        "as long as the clock let it, without a budget of nodes".to_owned()
    } else {
        format!("{nodes} nodes")
    }
}

/// `1 tray`, `3 trays`.
pub(crate) fn count(n: usize, one: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {one}s") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_speak_the_briefs_unit() {
        let inch = Units(Unit::Inch);
        assert_eq!(inch.with_sign(Length::inch_64ths(160)), "2.5 in");
        assert_eq!(Units(Unit::Centimetre).len(Length::um(66_400)), "6.64");
        assert_eq!(Units(Unit::Millimetre).size(Size::default()), "0 × 0 × 0");
        // Spare room is never rounded up; exact tenths stay.
        assert_eq!(Units(Unit::Millimetre).down(Length::um(1_999)), "1.9");
        assert_eq!(Units(Unit::Millimetre).down(Length::um(300)), "0.3");
        assert_eq!(
            (one_of("bodies"), one_of("sleeved pieces"), one_of("ml")),
            ("body".into(), "sleeved piece".into(), "ml".into())
        );
        assert_eq!(trimmed(-0.01, 1), "0");
        assert_eq!(trimmed(1200.0, 0), "1200");
    }
}

//! Grips: notches where they open above the fill line, else a ribbon; a note where the maker wanted notches.

use super::account::Held;
use super::{Arrangement, Compartment, PlacedTray};
use crate::finding::{Finding, Severity};
use crate::job::{Contents, Face, Grip, Tray};
use crate::length::Length;
use crate::place::Size;

/// Width of a grip notch: the 95th-percentile thumb of DIN 33402-2 (from memory) passes.
pub const NOTCH_WIDTH: Length = Length::mm(25);
/// Depth of a grip notch: fingertip recess of MIL-STD-1472 (from memory).
pub const NOTCH_DEPTH: Length = Length::mm(13);
/// Least wall left beside a notch, so that no corner is weakened (common practice, no source).
pub const NOTCH_SHOULDER: Length = Length::mm(10);

/// Sets the grip of every tray; says where a wanted notch had to give way to a ribbon.
pub(crate) fn choose_grips(
    trays: &[Tray],
    kinds: &[usize],
    arrangement: &mut Arrangement,
    held: &dyn Fn(&Compartment) -> Held,
    on_side: bool,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (placed, kind) in arrangement.trays.iter_mut().zip(kinds) {
        if let Some(tray) = trays.get(*kind) {
            choose(tray, placed, held, on_side, &mut findings);
        }
    }
    findings.dedup();
    findings
}

fn choose(
    tray: &Tray,
    placed: &mut PlacedTray,
    held: &dyn Fn(&Compartment) -> Held,
    on_side: bool,
    findings: &mut Vec<Finding>,
) {
    // In a box kept on its side, small things would slide out through a notch.
    let slides = |c: &Compartment| {
        let own = tray.parts.iter().find(|p| p.name == c.part);
        on_side && own.is_none_or(|p| passes(&p.contents, NOTCH_WIDTH, NOTCH_DEPTH))
    };
    placed.grip = match tray.grip {
        Some(grip @ (Grip::Ribbon | Grip::None)) => grip,
        _ if notches(placed, held, &slides) => Grip::Notch,
        wanted => {
            if wanted == Some(Grip::Notch) {
                findings.push(
                    Finding::new(
                        "P010",
                        Severity::Note,
                        "no two opposite walls can take a notch that stays above what is poured in behind it, so the tray gets a ribbon",
                        "put stacked or solid parts at its ends, or accept the ribbon",
                    )
                    .about(format!("tray \"{}\"", tray.name)),
                );
            }
            Grip::Ribbon
        }
    };
    for c in &mut placed.compartments {
        let own = tray.parts.iter().find(|p| p.name == c.part).map(|p| &p.contents);
        if let (Some(Contents::Tray(own)), Some(inner)) = (own, c.tray.as_deref_mut()) {
            choose(own, inner, held, on_side, findings);
        }
    }
}

/// Whether a piece of these contents passes an opening of this width and depth, however it is turned; pieces of which
/// nothing is known do.
///
/// ```
/// # use traywright::{job::{Contents, Solid, Turn}, length::Length, place::Size, plan::grip::passes};
/// let mm = Length::mm;
/// let bodies = |w, d, h| {
///     let size = Size { w: mm(w), d: mm(d), h: mm(h) };
///     Contents::Solid(Solid { size, count: 1, spare_count: 0, turn: Turn::Any, pile: false, ease: mm(1) })
/// };
/// assert!(passes(&bodies(10, 12, 80), mm(25), mm(13)));
/// assert!(!passes(&bodies(2, 63, 88), mm(25), mm(13)));
/// ```
pub fn passes(contents: &Contents, w: Length, d: Length) -> bool {
    let face = |f: Face| match f {
        Face::Rectangle(a, b) => (a, b),
        Face::Disc(a) | Face::Hexagon(a) => (a, a),
    };
    let sides = match contents {
        Contents::Loose(l) => match l.piece {
            Some(Size { w, d, h }) => [w, d, h],
            None => return true,
        },
        Contents::Stack(s) => {
            let (a, b) = face(s.sleeve.map_or(s.face, |sleeve| sleeve.face));
            [a, b, s.each.unwrap_or_default()]
        }
        Contents::Solid(s) => [s.size.w, s.size.d, s.size.h],
        Contents::Tray(_) => return false,
    };
    (0..3).any(|i| (0..3).any(|k| k != i && sides[i] <= w && sides[k] <= d))
}

/// Whether two opposite walls can each take a notch in their middle that stays above what is poured in behind it, and
/// through which nothing slides.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// # use traywright::{length::Volume, plan::{account::Held, grip::notches}};
/// # let ml = |n: i128| Volume::from_nm3(n * 10i128.pow(21));
/// let tray = &plan.settled.trays[0];
/// let held = |n| move |_: &plan::Compartment| Held { contents: ml(n), need: ml(n) };
/// assert!(notches(tray, &held(40), &|_| false));
/// assert!(!notches(tray, &held(400), &|_| false)); // full up to the notches
/// assert!(!notches(tray, &held(40), &|_| true)); // it slides out through them
/// ```
pub fn notches(
    tray: &PlacedTray,
    held: &dyn Fn(&Compartment) -> Held,
    slides: &dyn Fn(&Compartment) -> bool,
) -> bool {
    // Walls may be lowered wherever something is sunk into the tray.
    let lowest = tray.compartments.iter().map(|c| c.size.h).min().unwrap_or_default();
    if lowest.min(tray.size.h - tray.floor - tray.lid) <= NOTCH_DEPTH {
        return false;
    }
    let least = NOTCH_WIDTH + NOTCH_SHOULDER.max(tray.wall) * 2;
    let (x, y) = (tray.at.x + tray.size.w / 2, tray.at.y + tray.size.d / 2);
    let half = NOTCH_WIDTH / 2;
    let near = Length::um(1) + tray.wall;
    let open = |c: &Compartment, side: usize| match side {
        0 => c.at.x <= tray.at.x + near && c.at.y < y + half && c.at.y + c.size.d > y - half,
        1 => {
            c.at.x + c.size.w >= tray.at.x + tray.size.w - near
                && c.at.y < y + half
                && c.at.y + c.size.d > y - half
        }
        2 => c.at.y <= tray.at.y + near && c.at.x < x + half && c.at.x + c.size.w > x - half,
        _ => {
            c.at.y + c.size.d >= tray.at.y + tray.size.d - near
                && c.at.x < x + half
                && c.at.x + c.size.w > x - half
        }
    };
    let serves = |side: usize| {
        if tray.compartments.iter().any(|c| open(c, side) && slides(c)) {
            return false;
        }
        tray.compartments.iter().filter(|c| c.standing == "poured" && open(c, side)).all(|c| {
            // Fill height: bulk over the compartment's floor.
            let contents = held(c).contents;
            let room = c.size.footprint() * (c.size.h - NOTCH_DEPTH);
            contents <= room
        })
    };
    (tray.size.d >= least && serves(0) && serves(1)) || (tray.size.w >= least && serves(2) && serves(3))
}

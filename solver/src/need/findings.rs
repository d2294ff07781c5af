//! What is doubtful about a part's contents, and what is missing.
//!
//! A measured number beats any estimate: findings ask for one where there is none, and doubt one that
//! cannot be. A part without any way of standing always has a fault that says why.

use super::{limits, loose, of, pieces, porosity};
use crate::finding::{Finding, Severity};
use crate::job::{Contents, Face, Form, Loose, Part, Stack, Stand};
use crate::length::{Length, Unit, Volume};

/// A measured bulk volume below this is rather one in another unit (our choice, no source).
const LEAST_BULK: Volume = Volume::from_nm3(5 * 10i128.pow(20));
/// How much denser than its bracket a measured volume may be, in thousandths: pieces of mixed sizes pack
/// denser than equal ones (Desmond & Weeks, PRE 90, 022204, 2014); the figure is our choice.
const MIXED: i128 = 950;
/// Mean error of the formula for any shape, in thousandths (Benyahia & O'Neill 2005).
const FORMULA_ERROR: i64 = 52;
/// Below so many pieces across published formulas disagree (Guo et al., Powder Technol. 354, 2019).
const FEWEST_ACROSS: f64 = 3.0;
/// Thickness of a playing card or anything like it: outside it a unit has probably slipped by ten
/// (facts of the trade: 0.28 to 0.36 mm usual; a mill's page prints "29 to 30 microns").
const CARD: (Length, Length) = (Length::um(150), Length::um(900));
/// Measured stack height over count × each, in thousandths, that methods and air can explain: ISO 534
/// expects a difference, a hand-measured stack is taller (bounds our choice).
const HEIGHT_RATIO: (i128, i128) = (800, 1500);

/// Findings about a part: faults that leave it without a need, warnings, and notes on estimates.
///
/// Parts of a small tray speak for themselves: ask for each of them.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{finding::Severity, need};
/// let cargo = &job.trays[0].parts;
/// assert!(need::findings(&cargo[0]).is_empty()); // a measured volume
/// let discs = need::findings(&cargo[1]);
/// assert_eq!((discs[0].code, discs[0].severity), ("N004", Severity::Note)); // an estimate
/// ```
pub fn findings(part: &Part) -> Vec<Finding> {
    let mut list = List { part: &part.name, all: Vec::new() };
    if let Some((key, cause)) = limits::beyond(&part.contents) {
        list.add("N003", key, cause);
        return list.all;
    }
    match &part.contents {
        Contents::Loose(loose) => list.loose(loose),
        Contents::Stack(stack) => list.stack(stack),
        Contents::Solid(_) | Contents::Tray(_) => {}
    }
    let stands = matches!(part.contents, Contents::Tray(_)) || !of(part).alternatives.is_empty();
    if !stands && !list.all.iter().any(|f| f.severity == Severity::Fault) {
        list.add(
            "N003",
            "",
            "count, size and packing together ask for more room than is taken (1000 l, 100 m)",
        );
    }
    list.all
}

struct List<'a> {
    part: &'a str,
    all: Vec<Finding>,
}

impl List<'_> {
    fn add(&mut self, code: &'static str, key: &str, cause: impl Into<String>) {
        let within = if key.is_empty() { String::new() } else { format!(" › {key}") };
        self.all.push(Finding::listed(code, cause).about(format!("part \"{}\"{within}", self.part)));
    }

    fn loose(&mut self, loose: &Loose) {
        let estimate = loose::estimate(loose);
        match (loose.volume, &estimate) {
            (Some(measured), _) => self.measured(loose, measured, estimate.as_ref()),
            (None, Some(estimate)) => self.estimated(loose, estimate),
            (None, None) => {
                let known = loose.count.is_some() && loose.piece.is_some();
                // Everything is there, but beyond what is taken: the caller says so.
                if !known {
                    self.add("N001", "loose", "neither a bulk volume is given, nor count and piece together");
                }
            }
        }
        let counts = loose.volume.is_some() && loose.count.is_some() || loose.piece.is_some();
        if loose.spare_count > 0 && !counts {
            self.add(
                "N013",
                "spare_room",
                format!(
                    "room for {} more pieces is wanted, but the size of one is not known",
                    loose.spare_count
                ),
            );
        }
    }

    /// A measured bulk volume, held against count × piece where that is known too.
    fn measured(&mut self, loose: &Loose, measured: Volume, estimate: Option<&loose::Estimate>) {
        if measured < LEAST_BULK {
            self.add(
                "N014",
                "loose.volume",
                format!("{measured} is hardly a drop: less than {}", LEAST_BULK.show_ml()),
            );
        }
        let Some(estimate) = estimate else { return };
        let odd = loose.packing.is_none() && loose::form(loose) == Form::Odd;
        let (measured_text, count) = (measured.show_ml(), loose.count.unwrap_or(0));
        if measured < estimate.solid && !odd {
            self.add(
                "N007",
                "loose.volume",
                format!(
                    "{measured_text} is less than the {count} pieces themselves, {} without any gap",
                    estimate.solid.show_ml()
                ),
            );
            return;
        }
        let too_dense = !odd && measured.nm3() * 1000 < estimate.densest.nm3() * MIXED;
        if too_dense || measured > estimate.loosest {
            let side = if too_dense { "denser" } else { "looser" };
            self.add(
                "N006",
                "loose.volume",
                format!(
                    "{measured_text} is {side} than {count} such pieces are known to pack, {} to {} (packing fraction {} to {})",
                    estimate.densest.show_ml(),
                    estimate.loosest.show_ml(),
                    thousandths(estimate.packing.1),
                    thousandths(estimate.packing.0),
                ),
            );
        }
    }

    /// A bulk volume from count × piece.
    fn estimated(&mut self, loose: &Loose, estimate: &loose::Estimate) {
        self.add(
            "N004",
            "loose",
            format!(
                "the bulk volume is an estimate: {} to {} at a packing fraction of {} to {}; {} is used",
                estimate.densest.show_ml(),
                estimate.loosest.show_ml(),
                thousandths(estimate.packing.1),
                thousandths(estimate.packing.0),
                estimate.loosest.show_ml(),
            ),
        );
        if loose.packing.is_some() {
            return;
        }
        if loose::form(loose) == Form::Odd {
            self.add(
                "N008",
                "loose.form",
                "no packing fraction is published for pieces of odd or untold form; their bounding boxes at 0.4 are used",
            );
            return;
        }
        self.walls(loose, estimate);
    }

    /// Walls loosen a packing: judged for the roomiest compartment there is, a cube.
    fn walls(&mut self, loose: &Loose, estimate: &loose::Estimate) {
        let Some(piece) = loose.piece else { return };
        // Millimetres, for an estimate: 1 ml is 1000 mm³, and the compartment is full to the level only.
        let side_mm = (estimate.loosest.to_ml_f64() * 1e6 / loose.level as f64).cbrt();
        let across = side_mm / porosity::equal_sphere_mm(loose::form(loose), piece);
        let packing = porosity::packing_in(loose, Length::from_nm((side_mm * 1e6) as i64));
        if let Some(Err(refused)) = packing
            && refused.what == porosity::SPHERICITY
        {
            self.add(
                "N009",
                "loose.piece",
                format!("no published formula says how such flat pieces pack near walls: {refused}"),
            );
            return;
        }
        let looser = match packing {
            Some(Ok(packing)) => {
                Some(packing).filter(|p| p * (1000 + FORMULA_ERROR) < estimate.packing.0 * 1000)
            }
            _ => None,
        };
        if across < FEWEST_ACROSS || looser.is_some() {
            let by = looser.map_or(String::new(), |p| {
                let needed = Volume::from_nm3(estimate.solid.nm3() * 1000 / i128::from(p.max(1)));
                format!(
                    ": a packing fraction of {} rather than {}, by which they take about {} instead of the {} that are used",
                    thousandths(p),
                    thousandths(estimate.packing.0),
                    needed.show_ml(),
                    estimate.loosest.show_ml()
                )
            });
            self.add(
                "N010",
                "loose.count",
                format!(
                    "no more than about {across:.1} pieces lie side by side even in a cube-shaped compartment, and walls make them pack looser{by}"
                ),
            );
        }
    }

    fn stack(&mut self, stack: &Stack) {
        let Some(pieces) = pieces(stack) else {
            // With both there the stack is longer than is taken: the caller says so.
            if stack.count.is_none() || stack.each.is_none() {
                let cause = "neither the height of the stack is given, nor count and each together";
                self.add("N001", "stack", cause);
            }
            return;
        };
        if !suits(stack, pieces.term == 1) {
            self.add(
                "N002",
                "stack.stand",
                "none of the allowed ways of standing suits such a face: edges need a rectangle, a roll needs a disc or hexagon, leaning needs a rectangle of known thickness",
            );
        }
        if stack.spare_count > 0 && pieces.term != 1 {
            self.add(
                "N013",
                "spare_room",
                format!(
                    "room for {} more pieces is wanted, but the thickness of one is not known",
                    stack.spare_count
                ),
            );
        }
        self.thickness(stack);
        if stack.height.is_none() {
            let (count, each) = (stack.count.unwrap_or(0), stack.each.unwrap_or_default());
            let film = stack.sleeve.map_or(String::new(), |s| format!(" + 2 × {}", mm(s.film)));
            self.add(
                "N005",
                "stack",
                format!(
                    "the height of the stack is an estimate: {count} × ({}{film}) = {}; a whole stack is seldom exactly that",
                    mm(each),
                    mm(pieces.height),
                ),
            );
        }
    }

    /// Is the thickness of one piece likely, and does it agree with the height?
    fn thickness(&mut self, stack: &Stack) {
        let films = stack.sleeve.map_or(Length::ZERO, |s| s.film * 2);
        let each = match (stack.each, stack.height, stack.count) {
            (Some(each), _, _) => Some(each),
            (None, Some(height), Some(count)) => Some(height / count - films),
            _ => None,
        };
        let Some(each) = each else { return };
        let key = if stack.each.is_some() { "stack.each" } else { "stack.height" };
        // Tiles may well be thicker than cards; what wears a sleeve is a card.
        if each < CARD.0 || (stack.sleeve.is_some() && each > CARD.1) {
            self.add(
                "N011",
                key,
                format!(
                    "a piece {} thick is unlikely: cards have {} to {}",
                    mm(each),
                    mm(CARD.0),
                    mm(CARD.1)
                ),
            );
        }
        if let (Some(height), Some(count), Some(each)) = (stack.height, stack.count, stack.each) {
            let reckoned = i128::from((each + films).nm()) * i128::from(count);
            let measured = i128::from(height.nm()) * 1000;
            if measured < reckoned * HEIGHT_RATIO.0 || measured > reckoned * HEIGHT_RATIO.1 {
                let sleeved = if stack.sleeve.is_some() { " in their sleeves" } else { "" };
                self.add(
                    "N012",
                    "stack.height",
                    format!(
                        "the height is {}, but {count} × each{sleeved} makes {} mm",
                        mm(height),
                        (reckoned / 10_000) as f64 / 100.0
                    ),
                );
            }
        }
    }
}

/// Does any allowed way of standing suit the face? Leaning also needs to know how thick a piece is.
fn suits(stack: &Stack, pieces_known: bool) -> bool {
    let face = stack.sleeve.map_or(stack.face, |s| s.face);
    stack.stand.iter().any(|stand| match (stand, face) {
        (Stand::Flat, _) => true,
        (Stand::LongEdge | Stand::ShortEdge, Face::Rectangle(..)) => true,
        (Stand::Lean, Face::Rectangle(..)) => pieces_known,
        (Stand::Roll, Face::Disc(_) | Face::Hexagon(_)) => true,
        _ => false,
    })
}

fn mm(length: Length) -> String {
    length.show(Unit::Millimetre)
}

/// Thousandths as a decimal fraction: 540 is 0.54.
fn thousandths(value: i64) -> f64 {
    value as f64 / 1000.0
}

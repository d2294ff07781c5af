//! The deviations of every body and of the box, as terms of a chain.

use super::assume::{Assumptions, Spread, cutting_of};
use super::chain::{Direction, Kind, Member};
use super::shape::Shape;
use crate::job::{Job, Joint};
use crate::plan::Plan;

/// Where a deviation comes from.
///
/// ```
/// use traywright::tolerance::{Assumptions, Cause, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let found = tolerance(&job, &plan, &Assumptions::of(&job));
/// let causes: Vec<Cause> = found.riskiest().unwrap().terms.iter().map(|t| t.cause).collect();
/// // Nothing kept was measured.
/// assert!(causes.contains(&Cause::Container) && !causes.contains(&Cause::Measured));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// The size of a cut part.
    Cutting,
    /// The thickness of a sheet.
    Thickness,
    /// Moisture or warmth.
    Movement,
    /// The inside of the box.
    Container,
    /// A kept or cover item that was measured.
    Measured,
}

impl Cause {
    /// All of them.
    pub const ALL: [Cause; 5] =
        [Cause::Cutting, Cause::Thickness, Cause::Movement, Cause::Container, Cause::Measured];

    /// In words.
    ///
    /// ```
    /// use traywright::tolerance::Cause;
    /// assert_eq!([Cause::Movement, Cause::Container].map(Cause::word), ["moisture", "the box"]);
    /// ```
    pub fn word(self) -> &'static str {
        match self {
            Cause::Cutting => "cutting",
            Cause::Thickness => "sheet thickness",
            Cause::Movement => "moisture",
            Cause::Container => "the box",
            Cause::Measured => "measured items",
        }
    }
}

/// One deviation: what it takes from the play of a chain where it is positive. Millimetres.
///
/// ```
/// use traywright::tolerance::{Assumptions, Cause, Shape, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let found = tolerance(&job, &plan, &Assumptions::of(&job));
/// let terms = &found.riskiest().unwrap().terms;
/// let of_box = terms.iter().find(|t| t.cause == Cause::Container).unwrap();
/// assert_eq!(of_box.of, "the box");
/// assert_eq!(of_box.shape, Shape::Uniform { lo: -0.5, hi: 0.5 }); // mm
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Term {
    /// Where it comes from.
    pub cause: Cause,
    /// The body, or what it is about.
    pub of: String,
    /// How it is spread.
    pub shape: Shape,
}

/// Deviations of one body along one direction.
pub(super) fn of_member(
    job: &Job,
    plan: &Plan,
    member: &Member,
    along: Direction,
    assumed: &Assumptions,
) -> Vec<Term> {
    let term = |cause, shape| Term { cause, of: member.name.clone(), shape };
    let even = |half: f64| between(assumed, -half, half);
    let Kind::Tray(index) = member.kind else {
        return vec![term(Cause::Measured, even(assumed.kept.value))];
    };
    let size = along.of_size(member.size);
    let cutting = assumed.cutting.as_ref().map_or_else(|| cutting_of(&job.stock, size).value, |c| c.value);
    let mut out = vec![term(Cause::Cutting, even(cutting))];
    let tray = plan.settled.trays.get(index);
    let own =
        tray.and_then(|t| job.trays.iter().find(|rule| rule.name == t.name)).and_then(|rule| rule.joint);
    // Where walls meet in combs or tabs, a thicker sheet stands out of its joint; glued edge to face, it moves the wall.
    let glued = matches!(own.unwrap_or(job.stock.joint), Joint::Butt | Joint::Rebate);
    let sheet = |half: f64, glued: bool| match (glued, assumed.spread) {
        (true, _) => even(half),
        (false, Spread::Uniform) => Shape::Thicker { half },
        (false, Spread::Normal) => Shape::ThickerNormal { half },
    };
    match along {
        Direction::Width | Direction::Depth => {
            out.extend([(); 2].map(|()| term(Cause::Thickness, sheet(assumed.thickness.value, glued))));
        }
        Direction::Height => {
            out.push(term(Cause::Thickness, sheet(assumed.floor.value, glued)));
            if tray.is_some_and(|t| t.lid.nm() > 0) {
                out.push(term(Cause::Thickness, even(assumed.floor.value)));
            }
        }
    }
    out.retain(|t| t.shape.limits() != (0.0, 0.0));
    out
}

/// The box along one direction. Of several readings the least is reckoned with, so the others only help.
pub(super) fn of_box(job: &Job, along: Direction, assumed: &Assumptions) -> Option<Term> {
    let spread = along.of_size(job.container.spread).to_mm_f64();
    let shape = if spread > 0.0 {
        between(assumed, -spread, 0.0)
    } else {
        between(assumed, -assumed.container.value, assumed.container.value)
    };
    let term = Term { cause: Cause::Container, of: "the box".to_owned(), shape };
    (term.shape.limits() != (0.0, 0.0)).then_some(term)
}

/// Moisture: all trays grow or shrink together, by the difference between the day of cutting and the day of use, each
/// anywhere in the season. `trays` is how long they are together, millimetres.
pub(super) fn of_season(trays: f64, assumed: &Assumptions) -> Option<Term> {
    let half = trays * assumed.movement.value / 100.0;
    let term = Term {
        cause: Cause::Movement,
        of: "all trays together".to_owned(),
        shape: Shape::Triangular { half },
    };
    (half > 0.0).then_some(term)
}

fn between(assumed: &Assumptions, lo: f64, hi: f64) -> Shape {
    match assumed.spread {
        Spread::Uniform => Shape::Uniform { lo, hi },
        Spread::Normal => Shape::Normal { lo, hi },
    }
}

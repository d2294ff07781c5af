//! The placement problem as one mixed-integer linear model.
//!
//! It decides layer heights (one of the heights that bodies make each), for every tray its first layer, span and
//! outline, for every kept item its layer and turn, and all positions; it minimises what [`Instance::cost`]
//! counts. **Bearing is left out**: the model is a relaxation in that respect, and a layout from it is to be checked
//! by [`super::bearing::unborne`]. Everything else of [`Instance::feasible`] is in it: spans, kept items in every
//! layer that they reach (also those that stand out of the top layer), plays, held bodies, blocked places,
//! height rules, lifts with their transitive closure, or the layer-index penalty.
//!
//! Lengths are counted in parts of the longer side, heights in parts of the box's height and the objective in parts of
//! its volume, so that coefficients are near 1: the same model in grid steps took several times as many nodes.
//! `docs/model.md` lists columns and rows with their names; [`mps`] writes the model down for other solvers.

mod build;
mod choices;
mod heights;
mod lifts;
mod mps;
mod names;
mod pairs;
mod run;
mod start;
#[cfg(test)]
pub(crate) mod tests;

use super::instance::Instance;
use choices::Choice;
pub use heights::Candidates;
pub(crate) use heights::candidate_heights;
pub use mps::mps;
pub use run::{MOST_BINARIES, ModelOutcome, ModelState, solve};

/// No model with more columns than this is built.
pub const MOST_COLUMNS: usize = 400_000;

/// How a row compares its sum with its right side.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::model::{build, Sense};
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// let model = build(&instance).unwrap();
/// let sense = |name| model.rows.iter().find(|r| r.name.starts_with(name)).map(|r| r.sense);
/// assert_eq!(sense("one-choice:"), Some(Sense::Equal)); // exactly one
/// assert_eq!(sense("inside-x:"), Some(Sense::AtMost)); // its right side within the box
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// Sum ≤ right side.
    AtMost,
    /// Sum ≥ right side.
    AtLeast,
    /// Sum = right side.
    Equal,
}

/// One unknown.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::model::build;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// // The dearest choice that a tray of 4 × 5 × 3 has is to claim 4 × 5 × 3.
/// let model = build(&instance).unwrap();
/// let dearest = model.columns.iter().filter(|c| c.binary).map(|c| c.cost).fold(0.0, f64::max);
/// assert_eq!((dearest * model.unit as f64).round(), 60.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Unique, without blanks.
    pub name: String,
    /// 0 or 1 only.
    pub binary: bool,
    /// Least value.
    pub least: f64,
    /// Greatest value.
    pub most: f64,
    /// Coefficient in the objective, which is minimised.
    pub cost: f64,
}

/// One condition.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::model::build;
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// let model = build(&instance).unwrap();
/// let row = model.rows.iter().find(|r| r.name == "one-choice:tray_0").unwrap();
/// // Of choices that are 0 or 1 each, one is taken.
/// assert!(row.terms.iter().all(|&(c, by)| by == 1.0 && model.columns[c].binary));
/// assert_eq!(row.right, 1.0);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Unique, without blanks.
    pub name: String,
    /// Columns with their coefficients; every column once.
    pub terms: Vec<(usize, f64)>,
    /// How the sum compares.
    pub sense: Sense,
    /// With what.
    pub right: f64,
}

/// The model as plain data; see `docs/model.md`.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::model::build;
/// let model = |trays| build(&Instance { trays, ..empty.clone() }).unwrap();
/// assert_eq!(model(vec![]).unit, 8 * 5 * 6); // costs are parts of the box
/// let (one, two) = (model(vec![tray(0, (4, 5, 3))]), model(vec![tray(0, (4, 5, 3)); 2]));
/// assert!(one.complete && two.columns.len() > one.columns.len());
/// ```
#[derive(Clone, Debug)]
pub struct Model {
    /// The unknowns.
    pub columns: Vec<Column>,
    /// The conditions.
    pub rows: Vec<Row>,
    /// One of the objective stands for so many cubed grid steps.
    pub unit: i64,
    /// Whether the candidate heights are complete; if not, the optimum is one over these heights.
    pub complete: bool,
    parts: Parts,
}

/// Which column decides what.
#[derive(Clone, Debug, Default)]
struct Parts {
    /// Per layer: height and column.
    heights: Vec<Vec<(i64, usize)>>,
    /// Per body (trays, then kept items): its choices with their columns.
    choices: Vec<Vec<(Choice, usize)>>,
    /// Per body: columns of its least corner.
    corners: Vec<(usize, usize)>,
    /// Relative positions.
    sides: Vec<Side>,
}

/// "`first` ends before `second` begins", along the width or the depth.
#[derive(Clone, Copy, Debug)]
struct Side {
    first: Thing,
    second: Thing,
    along_width: bool,
    column: usize,
}

/// What may stand beside something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    /// A tray or a kept item.
    Body(usize),
    /// A cover item.
    Cover(usize),
    /// A blocked place.
    Blocked(usize),
}

/// A model with more than [`MOST_COLUMNS`] columns was asked for.
///
/// ```
/// # use traywright::layout::instance::*;
/// # let tray = |kind, (w, d, h)| TrayItem {
/// #     name: format!("tray {kind}"), kind, options: vec![Option3 { w, d, h }], span: 1,
/// #     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// # };
/// # let empty = Instance {
/// #     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2,
/// #     height_rules: vec![], trays: vec![], kept: vec![], cover: vec![],
/// #     access: Access::Lifts, blocked: vec![], rims: None,
/// # };
/// # use traywright::layout::model::{build, TooLarge};
/// let trays = vec![tray(0, (4, 5, 3)); 300];
/// let error = build(&Instance { trays, ..empty }).unwrap_err();
/// assert_eq!(error, TooLarge);
/// assert!(error.to_string().contains("more than 400000 columns"));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the placement model would have more than {MOST_COLUMNS} columns")]
pub struct TooLarge;

/// Builds the model.
///
/// # Errors
/// [`TooLarge`].
///
/// ```
/// use traywright::layout::{instance::*, model};
/// let tray = |name: &str| TrayItem {
///     name: name.into(), kind: 0, options: vec![Option3 { w: 4, d: 5, h: 3 }], span: 1,
///     low: false, fixed: false, lid: false, held: HeldAt::Free, weight: 0,
/// };
/// let instance = Instance {
///     width: 8, depth: 5, height: 6, between: 0, side: 0, most_layers: 2, height_rules: vec![],
///     trays: vec![tray("a"), tray("b")], kept: vec![], cover: vec![], access: Access::Lifts,
///     blocked: vec![], rims: None,
/// };
/// let outcome = model::solve(&instance, None, &traywright::stop::Stop::never());
/// assert_eq!(outcome.bound, Some(2 * 4 * 5 * 3));
/// assert_eq!(instance.cost(&outcome.layout.unwrap()).value(), 2 * 4 * 5 * 3);
/// ```
pub fn build(instance: &Instance) -> Result<Model, TooLarge> {
    build::build(instance)
}

impl Model {
    /// How many unknowns are 0 or 1.
    pub(crate) fn binaries(&self) -> usize {
        self.columns.iter().filter(|c| c.binary).count()
    }
}

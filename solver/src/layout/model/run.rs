//! Solving the model with microlp, through good_lp, in slices of nodes; nothing it says is taken on trust.

use std::panic::{AssertUnwindSafe, catch_unwind};

use good_lp::{Expression, SolverModel, constraint, solvers::microlp::microlp, variable, variables};
use microlp::{Error, OptimizationDirection, Problem, ResumeOptions, SolveOptions, SolveOutcome, Variable};

use super::{Model, Sense, TooLarge, build};
use crate::layout::instance::{Instance, Layout};
use crate::stop::Stop;

/// Models with more binaries than this are left to the other engines: beyond about five trays microlp seldom
/// finds a layout of its own, and its linear programs alone take seconds.
pub const MOST_BINARIES: usize = 4_000;
/// Nodes between two looks at the stop.
const SLICE: u64 = 200;
/// What microlp's tolerances (1e-7 on rows, 1e-6 on whole numbers) may cost, in parts of the objective's unit: bounds are
/// taken down by this before they are rounded.
const MARGIN: f64 = 1e-6;

/// How solving the model ended.
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
/// # use traywright::{layout::model::{solve, ModelState}, stop::Stop};
/// let end = |w, stop| {
///     solve(&Instance { trays: vec![tray(0, (w, 5, 3))], ..empty.clone() }, None, &stop).state
/// };
/// assert_eq!(end(8, Stop::never()), ModelState::Optimal);
/// assert_eq!(end(9, Stop::never()), ModelState::NoLayout); // wider than the box
/// # let stop = Stop::never();
/// stop.raise();
/// assert_eq!(end(8, stop), ModelState::Stopped);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum ModelState {
    /// The solver says that nothing is better. Whether that is so to the last step, value and bound tell.
    Optimal,
    /// Stopped before the end.
    Stopped,
    /// The solver says that there is no layout over the candidate heights: a claim to be confirmed.
    NoLayout,
    /// The solver failed numerically; layout and bound are those from before.
    Failed,
    /// More than [`MOST_BINARIES`] binaries: not tried.
    TooLarge,
}

/// What came of it.
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
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// # use traywright::{layout::model::solve, stop::Stop};
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// // Stopped at once, from a layout with a layer higher than it need be.
/// let start = Layout { heights: vec![4], trays: vec![at(0, 0)], kept: vec![] };
/// # let stop = Stop::never();
/// stop.raise();
/// let outcome = solve(&instance, Some(&start), &stop);
/// assert_eq!((outcome.layout, outcome.bound), (Some(start), None));
/// ```
#[derive(Clone, Debug)]
pub struct ModelOutcome {
    /// The best layout, of the start and those found; [`Instance::feasible`] holds for it. Bearing is not looked at.
    pub layout: Option<Layout>,
    /// No layout over the candidate heights costs less, in cubed grid steps; rounded so that it is safe.
    /// It holds for all heights if [`Model::complete`].
    pub bound: Option<i64>,
    /// How it ended.
    pub state: ModelState,
    /// What is worth knowing, in plain words; empty where nothing is.
    pub note: String,
    /// Branch-and-bound nodes.
    pub nodes: u64,
}

/// Solves the model of a small instance, from `start` where one is given.
///
/// A stop with nodes alone makes it repeatable to the byte.
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
/// # let at = |layer, x| TrayPlace { layer, span: 1, option: 0, x, y: 0 };
/// # use traywright::{layout::model::solve, stop::Stop};
/// let instance = Instance { trays: vec![tray(0, (4, 5, 3))], ..empty };
/// let start = Layout { heights: vec![4], trays: vec![at(0, 0)], kept: vec![] };
/// let outcome = solve(&instance, Some(&start), &Stop::nodes(1_000));
/// assert_eq!(outcome.layout.map(|l| l.heights), Some(vec![3]));
/// assert_eq!(outcome.bound, Some(4 * 5 * 3));
/// ```
pub fn solve(instance: &Instance, start: Option<&Layout>, stop: &Stop) -> ModelOutcome {
    solve_by(&|problem, options| problem.solve_with(options), instance, start, stop)
}

/// What is asked to solve a problem; tests ask one that fails.
type Solver<'a> = &'a dyn Fn(Problem, SolveOptions) -> Result<SolveOutcome, Error>;

fn solve_by(solver: Solver, instance: &Instance, start: Option<&Layout>, stop: &Stop) -> ModelOutcome {
    let start = start.filter(|s| instance.feasible(s).is_ok()).cloned();
    let model = match build(instance) {
        Ok(m) if m.binaries() <= MOST_BINARIES => m,
        Ok(m) => {
            let note = format!("the model has {} binaries, more than {MOST_BINARIES}", m.binaries());
            return ModelOutcome { layout: start, bound: None, state: ModelState::TooLarge, note, nodes: 0 };
        }
        Err(e @ TooLarge) => {
            let note = e.to_string();
            return ModelOutcome { layout: start, bound: None, state: ModelState::TooLarge, note, nodes: 0 };
        }
    };
    let mut run =
        Run { solver, instance, model: &model, best: None, bound: None, nodes: 0, notes: Vec::new() };
    if start.is_some() {
        run.offer(start.clone());
    }
    let state = if model.parts.choices.is_empty() {
        run.offer(Some(Layout { heights: vec![], trays: vec![], kept: vec![] }));
        run.bound = Some(0.0);
        ModelState::Optimal
    } else if model.parts.choices.iter().any(Vec::is_empty) {
        // Some body has no choice at all; the solver need not be asked.
        ModelState::NoLayout
    } else {
        run.search(start.as_ref(), stop)
    };
    run.end(state)
}

struct Run<'a> {
    solver: Solver<'a>,
    instance: &'a Instance,
    model: &'a Model,
    best: Option<(i64, Layout)>,
    /// In parts of the model's unit.
    bound: Option<f64>,
    nodes: u64,
    notes: Vec<&'static str>,
}

impl Run<'_> {
    /// Takes a layout if it is feasible and better.
    fn offer(&mut self, layout: Option<Layout>) {
        match layout.filter(|l| self.instance.feasible(l).is_ok()) {
            Some(layout) => {
                let value = self.instance.cost(&layout).value();
                if self.best.as_ref().is_none_or(|b| value < b.0) {
                    self.best = Some((value, layout));
                }
            }
            None => self.note("a solution could not be turned into a layout that keeps every rule"),
        }
    }

    fn note(&mut self, text: &'static str) {
        if !self.notes.contains(&text) {
            self.notes.push(text);
        }
    }

    fn search(&mut self, start: Option<&Layout>, stop: &Stop) -> ModelState {
        if stop.now() {
            return ModelState::Stopped;
        }
        let Some((problem, handles)) = catch_unwind(AssertUnwindSafe(|| translate(self.model))).ok() else {
            self.note("the solver could not read the model");
            return ModelState::Failed;
        };
        let mut options = SolveOptions::default();
        options.node_limit = Some(SLICE);
        options.time_limit = stop.left();
        if let Some(start) = start {
            let values = self.model.values(self.instance, start);
            if values.is_none() {
                self.note("the start has a layer height or a choice that the model does not know");
            }
            let hint = |(c, v): (usize, f64)| handles.get(c).map(|h| (*h, v));
            options.warm_start = values.map(|v| v.into_iter().filter_map(hint).collect());
        }
        // A failed assertion inside the solver ends its work, not ours.
        let mut turn = catch_unwind(AssertUnwindSafe(|| (self.solver)(problem, options)));
        let mut objective = f64::INFINITY;
        loop {
            let outcome = match turn {
                Ok(Ok(outcome)) => outcome,
                Ok(Err(Error::Infeasible)) if self.best.is_none() => return ModelState::NoLayout,
                Ok(Err(Error::Infeasible)) => {
                    self.note("the solver found no layout although there is one");
                    return ModelState::Failed;
                }
                Ok(Err(e)) => {
                    // Known of microlp 0.6: "singular matrix" on some models with big constants.
                    self.note(if e.to_string().to_lowercase().contains("singular") {
                        "the solver failed numerically (singular matrix)"
                    } else {
                        "the solver failed numerically"
                    });
                    return ModelState::Failed;
                }
                Err(_) => {
                    self.note("the solver failed an assertion of its own");
                    return ModelState::Failed;
                }
            };
            let stats = outcome.stats();
            self.bound = stats.best_bound.filter(|b| b.is_finite()).or(self.bound);
            if let Some(solution) = outcome.solution().filter(|s| s.objective() < objective) {
                objective = solution.objective();
                let values: Vec<f64> = solution.iter().map(|(_, v)| v).collect();
                self.offer(self.model.layout(self.instance, &values));
            }
            let spent = stats.nodes_solved.saturating_sub(self.nodes);
            self.nodes = stats.nodes_solved;
            if outcome.is_optimal() {
                return ModelState::Optimal;
            }
            if stop.spend(spent) || stop.now() {
                return ModelState::Stopped;
            }
            turn = catch_unwind(AssertUnwindSafe(|| resume(outcome, stop)));
        }
    }

    fn end(mut self, state: ModelState) -> ModelOutcome {
        let unit = self.model.unit as f64;
        let mut bound = self.bound.map(|b| ((b - MARGIN) * unit).ceil().max(0.0) as i64);
        if bound.zip(self.best.as_ref()).is_some_and(|(b, best)| b > best.0) {
            self.note("the solver's bound lay above a layout that keeps every rule: not used");
            bound = None;
        }
        if !self.model.complete {
            self.note("layer heights are candidates, not all");
        }
        ModelOutcome {
            layout: self.best.map(|b| b.1),
            bound,
            state,
            note: self.notes.join("; "),
            nodes: self.nodes,
        }
    }
}

fn resume(outcome: SolveOutcome, stop: &Stop) -> Result<SolveOutcome, Error> {
    let mut options = ResumeOptions::default();
    options.node_limit = Some(SLICE);
    options.time_limit = stop.left();
    outcome.resume_with(options)
}

/// The model in good_lp's words, as microlp's problem, with handles of its columns.
pub(super) fn translate(model: &Model) -> (Problem, Vec<Variable>) {
    let mut vars = variables!();
    let columns: Vec<good_lp::Variable> = model
        .columns
        .iter()
        .map(|c| {
            let v = variable().min(c.least).max(c.most);
            vars.add(if c.binary { v.integer() } else { v })
        })
        .collect();
    let sum = |terms: &mut dyn Iterator<Item = (usize, f64)>| {
        let mut sum = Expression::from(0.0);
        for (c, by) in terms {
            if let Some(v) = columns.get(c) {
                sum.add_mul(by, *v);
            }
        }
        sum
    };
    let costs = model.columns.iter().enumerate().filter(|(_, c)| c.cost != 0.0).map(|(i, c)| (i, c.cost));
    let objective = sum(&mut { costs });
    let mut problem = vars.minimise(objective).using(microlp);
    for row in model.rows.iter().filter(|r| !r.terms.is_empty()) {
        let left = sum(&mut row.terms.iter().copied());
        problem.add_constraint(match row.sense {
            Sense::AtMost => constraint!(left <= row.right),
            Sense::AtLeast => constraint!(left >= row.right),
            Sense::Equal => constraint!(left == row.right),
        });
    }
    // good_lp keeps microlp's handles to itself. A handle is the number of a column in order of creation, which good_lp
    // keeps too, so a problem with as many columns has the same ones.
    let mut like = Problem::new(OptimizationDirection::Minimize);
    let handles = model.columns.iter().map(|_| like.add_var(0.0, (0.0, 1.0))).collect();
    (problem.as_inner().clone(), handles)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::model::tests::{plain, tray};

    /// Two trays beside each other: 120 at the least.
    fn pair() -> (Instance, Layout) {
        let mut i = plain(8, 5, 6, 2);
        i.trays = vec![tray("a", &[(4, 5, 3)], 1), tray("b", &[(4, 5, 3)], 1)];
        let good = solve(&i, None, &Stop::never());
        assert_eq!((good.state, good.bound), (ModelState::Optimal, Some(120)));
        let layout = good.layout.unwrap();
        assert_eq!(i.cost(&layout).value(), 120);
        (i, layout)
    }

    fn ask(solver: Solver, start: bool) -> ModelOutcome {
        let (i, layout) = pair();
        let out = solve_by(solver, &i, start.then_some(&layout), &Stop::never());
        // Whatever the solver does, nothing wrong comes out: a start is kept, a bound is none or true.
        assert_eq!(out.layout.is_some(), start);
        assert!(out.bound.is_none_or(|b| b <= 120), "{out:?}");
        out
    }

    #[test]
    fn a_solver_that_fails_is_told_and_the_start_is_kept() {
        let singular = |_: Problem, _: SolveOptions| Err(Error::InternalError("singular matrix".into()));
        let other = |_: Problem, _: SolveOptions| Err(Error::InternalError("no pivot".into()));
        let unbounded = |_: Problem, _: SolveOptions| Err(Error::Unbounded);
        let faults: [(Solver, &str); 3] =
            [(&singular, "singular matrix"), (&other, "numerically"), (&unbounded, "numerically")];
        for (solver, said) in faults {
            for start in [false, true] {
                let out = ask(solver, start);
                assert_eq!((out.state, out.bound), (ModelState::Failed, None));
                assert!(out.note.contains(said), "{}", out.note);
            }
        }
    }

    #[test]
    fn a_solver_that_panics_ends_its_work_not_ours() {
        let out = ask(&|_, _| panic!("an assertion of the solver"), true);
        assert_eq!((out.state, out.bound), (ModelState::Failed, None));
        assert!(out.note.contains("assertion"), "{}", out.note);
    }

    #[test]
    fn a_solver_that_finds_no_layout_where_there_is_one_is_not_believed() {
        let out = ask(&|_, _| Err(Error::Infeasible), true);
        assert_eq!(out.state, ModelState::Failed);
        assert!(out.note.contains("although there is one"), "{}", out.note);
        // Without a layout of our own its word is passed on as a claim to be confirmed.
        assert_eq!(ask(&|_, _| Err(Error::Infeasible), false).state, ModelState::NoLayout);
    }

    /// A solution of another problem: no choice is made at all, and the solver calls it the best.
    #[test]
    fn a_solution_that_is_none_is_not_used() {
        let lie = |_: Problem, options: SolveOptions| {
            let (i, _) = pair();
            let mut like = Problem::new(OptimizationDirection::Minimize);
            for c in &build(&i).unwrap().columns {
                like.add_var(1.0, (0.0, c.most.max(1.0)));
            }
            like.solve_with(options)
        };
        for start in [false, true] {
            let out = ask(&lie, start);
            assert!(out.note.contains("could not be turned into a layout"), "{}", out.note);
        }
    }
}

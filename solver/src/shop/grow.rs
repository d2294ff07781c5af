//! Room to grow: how much more of each part, and of all parts together, a box still takes.

use super::amount::Amount;
use super::each::each;
use super::table::{Cell, Table};
use super::tries::Tries;
use super::written::{Change, flags};
use super::{Answer, Effort};
use crate::check::check;
use crate::finding::{Finding, Severity};
use crate::job::{Contents, Job, Part, Source};
use crate::plan::{Options, Plan, refilled};

/// Amounts are told to one part in so many, and what is added to one in so many of itself.
const FINE: i64 = 100;
const FINE_BEYOND: i64 = 16;
/// The first step beyond the plan is one part in so many.
const FIRST: i64 = 32;

/// No inventory grows beyond this, in percent and in steps of a part: what is asked then is another job.
const MOST_PERCENT: i64 = 1_000;
const MOST_STEPS: i64 = 1_000_000;

/// How far one thing can grow.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, Room, grow}};
/// # let brief = r#"box.interior = [100, 70, 30]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// // Forty cards of 0.4 mm in a box of 30 mm: seventy lie below its lid, on a floor of 2 mm.
/// let room = grow(&source, &[], None, &effort, &|_| {}).unwrap();
/// let Room::Grows(growth) = room else { panic!() };
/// let cards = &growth.parts[0];
/// assert_eq!((cards.more, cards.of.as_str(), cards.then.as_str()), (30, "pieces", "70 pieces"));
/// assert_eq!(cards.changes, [("part.cards.stack.count".into(), "70".into())]);
/// assert_eq!((cards.next.as_str(), cards.beyond), ("71 pieces", "does not fit"));
/// ```
#[derive(Clone, Debug)]
pub struct Grown {
    /// Name of the part; `None` for the whole inventory.
    pub part: Option<String>,
    /// Tray that holds it; empty where the program chooses, and for the whole.
    pub tray: String,
    /// What there is now, for reading.
    pub now: String,
    /// What one step is: "pieces", "ml", "× 0.5 mm", "percent".
    pub of: String,
    /// So many steps more go in with the plan as it is, every compartment in its place.
    pub in_place: i64,
    /// So many go in with everything else unchanged, some with another plan; each verified by the checker.
    pub more: i64,
    /// What there is then, for reading.
    pub then: String,
    /// Changes to the brief that ask for it.
    pub changes: Vec<Change>,
    /// A plan that takes it; it has passed the checker.
    pub plan: Plan,
    /// The next larger amount that was tried: one step, a hundredth of today's amount or a sixteenth of what was gained more.
    pub next: String,
    /// What came of it: `does not fit` (proven), `none found`, `fault` (the brief cannot be meant so), `not run` (no
    /// time was left).
    pub beyond: &'static str,
}

/// A brief with room to grow.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, Room, grow}};
/// # let brief = r#"box.interior = [100, 70, 30]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// // Forty cards of 0.4 mm in a box of 30 mm: seventy lie below its lid, on a floor of 2 mm.
/// let room = grow(&source, &[], None, &effort, &|_| {}).unwrap();
/// let Room::Grows(growth) = room else { panic!() };
/// assert_eq!((growth.whole.part, growth.whole.of.as_str()), (None, "percent"));
/// assert_eq!(growth.parts.len(), 1);
/// assert_eq!(growth.parts[0].part.as_deref(), Some("cards"));
/// ```
#[derive(Clone, Debug)]
pub struct Growth {
    /// Title of the brief.
    pub title: String,
    /// All parts in proportion, in percent; whole pieces, rounded down.
    pub whole: Grown,
    /// Every part by itself, in the order of the brief.
    pub parts: Vec<Grown>,
    /// How many plans were sought.
    pub tries: usize,
}

/// What came of asking.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, Room, grow}};
/// # let brief = r#"box.interior = [100, 70, 30]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// let ask = |height: &str| {
///     let change = ("box.interior.height".to_owned(), height.to_owned());
///     grow(&source, &[change], None, &effort, &|_| {}).unwrap()
/// };
/// // Forty cards of 0.4 mm on a floor of 2 mm.
/// assert!(matches!(ask("18"), Room::Grows(growth) if growth.parts[0].more == 0));
/// assert!(matches!(ask("17.9"), Room::NoPlan(_)));
/// ```
#[derive(Clone, Debug)]
pub enum Room {
    /// The plan fits, and so much more does.
    Grows(Box<Growth>),
    /// The brief as it is has no plan; see [`super::advise`].
    NoPlan(Answer),
    /// The plan that was handed over breaks rules of the brief.
    Broken(Vec<Finding>),
}

/// Finds the room to grow of a brief and a plan of it; without a plan one is made.
///
/// Nodes and seed of the effort count for every try, its stop and budget for all together. `done` hears of every
/// part that is finished. Results do not depend on the number of threads, as long as the clock ends nothing.
///
/// ```
/// # use traywright::{brief::Format, job::Source, shop::{Effort, Room, grow}};
/// # let brief = r#"box.interior = [100, 70, 30]
/// # stock = { name = "greyboard", thickness = 2 }
/// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
/// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
/// #     inventory: None, stock_list: None, corrections: None };
/// # let mut effort = Effort::default();
/// # effort.options.nodes = 2_000;
/// // Forty cards of 0.4 mm in a box of 30 mm: seventy lie below its lid, on a floor of 2 mm.
/// let room = grow(&source, &[], None, &effort, &|_| {}).unwrap();
/// let Room::Grows(growth) = room else { panic!() };
/// assert_eq!(growth.parts[0].more, 30);
/// // Its plan takes them as it stands.
/// let plan = growth.parts[0].plan.clone();
/// let full = grow(&source, &growth.parts[0].changes, Some(plan), &effort, &|_| {}).unwrap();
/// assert!(matches!(full, Room::Grows(growth) if growth.parts[0].more == 0));
/// ```
///
/// # Errors
/// The faults of the brief.
pub fn grow(
    source: &Source,
    changes: &[Change],
    plan: Option<Plan>,
    effort: &Effort,
    done: &(dyn Fn(&str) + Sync),
) -> Result<Room, Vec<Finding>> {
    let job = source.read(changes)?;
    let mut options = effort.options.clone();
    if let Some(budget) = effort.budget {
        options.stop = options.stop.and_within(budget);
    }
    let tries = Tries::new(source, changes, &options);
    let plan = match plan {
        Some(plan) => {
            let faults = check(&job, &plan);
            if faults.iter().any(|f| f.severity == Severity::Fault) {
                return Ok(Room::Broken(faults));
            }
            plan
        }
        None => {
            let whole = |o: &mut Options| {
                (o.enough, o.patient, o.nodes) = (false, false, o.nodes.max(Options::default().nodes));
            };
            match tries.ask_with(&[], whole) {
                Answer::Plan { plan, .. } => *plan,
                Answer::Fault(findings) => return Err(findings),
                other => return Ok(Room::NoPlan(other)),
            }
        }
    };
    let things = things(&job);
    let ends = each(&things, |thing| {
        let end = furthest(&tries, &plan, thing);
        done(thing.name());
        end
    });
    let mut grown: Vec<Grown> =
        things.iter().zip(ends).map(|(thing, end)| thing.grown(&tries, end)).collect();
    let whole = grown.remove(0);
    Ok(Room::Grows(Box::new(Growth { title: job.title.clone(), whole, parts: grown, tries: tries.count() })))
}

/// What can grow.
enum Thing {
    /// All parts, by percent.
    Whole(Vec<Amount>),
    /// One part of a tray.
    Part { part: String, tray: String, amount: Amount },
}

/// The whole, then every part that is no tray itself.
fn things(job: &Job) -> Vec<Thing> {
    fn walk(parts: &[Part], tray: &str, job: &Job, into: &mut Vec<Thing>) {
        for part in parts {
            if let Contents::Tray(own) = &part.contents {
                walk(&own.parts, &own.name, job, into);
            } else if let Some(amount) = Amount::of(part, job.unit) {
                into.push(Thing::Part { part: part.name.clone(), tray: tray.to_owned(), amount });
            }
        }
    }
    let mut all = Vec::new();
    job.trays.iter().for_each(|tray| walk(&tray.parts, &tray.name, job, &mut all));
    job.free.iter().for_each(|free| walk(std::slice::from_ref(&free.part), "", job, &mut all));
    let amounts = all.iter().filter_map(|thing| match thing {
        Thing::Part { amount, .. } => Some(amount.clone()),
        Thing::Whole(_) => None,
    });
    all.insert(0, Thing::Whole(amounts.collect()));
    all
}

impl Thing {
    fn name(&self) -> &str {
        match self {
            Thing::Whole(_) => "whole inventory",
            Thing::Part { part, .. } => part,
        }
    }

    fn most(&self) -> i64 {
        match self {
            Thing::Whole(_) => MOST_PERCENT,
            Thing::Part { .. } => MOST_STEPS,
        }
    }

    /// So many steps there are now.
    fn now(&self) -> i64 {
        match self {
            Thing::Whole(_) => 100,
            Thing::Part { amount, .. } => amount.steps(),
        }
    }

    fn show(&self, by: i64) -> String {
        match self {
            Thing::Whole(_) => format!("{} %", 100 + by),
            Thing::Part { amount, .. } => amount.show(by),
        }
    }

    fn changes(&self, by: i64) -> Vec<Change> {
        let amounts: Vec<(&Amount, i64)> = match self {
            Thing::Whole(all) => all.iter().map(|a| (a, a.percent(by))).collect(),
            Thing::Part { amount, .. } => vec![(amount, by)],
        };
        amounts.into_iter().filter(|(_, by)| *by > 0).flat_map(|(a, by)| a.changes(by)).collect()
    }

    fn grown(&self, tries: &Tries, end: End) -> Grown {
        let End { in_place, more, plan, next, beyond } = end;
        let (part, tray, of) = match self {
            Thing::Whole(_) => (None, String::new(), "percent".to_owned()),
            Thing::Part { part, tray, amount } => (Some(part.clone()), tray.clone(), amount.step_of()),
        };
        Grown {
            part,
            tray,
            now: self.show(0),
            of,
            in_place,
            more,
            then: self.show(more),
            changes: tries.all(&self.changes(more)),
            plan,
            next: self.show(next),
            beyond,
        }
    }
}

/// How far one thing grew.
struct End {
    in_place: i64,
    more: i64,
    plan: Plan,
    next: i64,
    beyond: &'static str,
}

/// First as far as the plan itself takes it, then by ever longer steps with a new plan for each, then halving what
/// lies between the last that fitted and the first that did not; that one is sought once
/// more with more nodes, where less than twice as much is found.
fn furthest(tries: &Tries, plan: &Plan, thing: &Thing) -> End {
    let (in_place, mut plan) = as_it_stands(tries, plan.clone(), thing, 0);
    let (mut more, mut stride) = (in_place, (thing.now() / FIRST).max(1));
    let mut refused: Option<Refused> = None;
    loop {
        let exact = (thing.now().saturating_add(more) / FINE).max(more / FINE_BEYOND).max(1);
        let (next, again) = match &refused {
            Some(r) if r.at - more <= exact && (r.again || !r.open || more > thing.now()) => {
                return End { in_place, more, plan, next: r.at, beyond: r.word };
            }
            Some(r) if r.at - more <= exact => (r.at, true),
            Some(r) => (more + (r.at - more) / 2, false),
            None => (more + stride, false),
        };
        if next > thing.most() {
            return End { in_place, more, plan, next, beyond: Answer::NotRun.word() };
        }
        let changes = thing.changes(next);
        match if again { tries.ask_again(&changes) } else { tries.ask(&changes) } {
            Answer::Plan { plan: found, .. } => {
                (more, plan) = as_it_stands(tries, *found, thing, next);
                stride = if again { exact } else { stride * 4 };
                // A plan may take more than a search for that much has found.
                refused = refused.filter(|r| r.at > more);
            }
            Answer::NotRun => {
                return End { in_place, more, plan, next: more + 1, beyond: Answer::NotRun.word() };
            }
            other => refused = Some(Refused { at: next, again, open: other.is_open(), word: other.word() }),
        }
    }
}

/// An amount that was asked for and has no plan.
struct Refused {
    at: i64,
    /// It was sought with more nodes.
    again: bool,
    /// A longer search might still find one.
    open: bool,
    word: &'static str,
}

/// The most steps at or beyond `from`, which it takes, that a plan takes as it stands; and the plan with them.
fn as_it_stands(tries: &Tries, plan: Plan, thing: &Thing, from: i64) -> (i64, Plan) {
    let takes = |by: i64| {
        if by > thing.most() {
            return None;
        }
        refilled(&tries.job(&thing.changes(by)).ok()?, &plan)
    };
    let (mut good, mut best, mut stride) = (from, None, 1);
    while let Some(filled) = takes(good + stride) {
        (good, best) = (good + stride, Some(filled));
        stride *= 2;
    }
    while stride > 1 {
        stride /= 2;
        if let Some(filled) = takes(good + stride) {
            (good, best) = (good + stride, Some(filled));
        }
    }
    (good, best.unwrap_or(plan))
}

impl Grown {
    fn name(&self) -> &str {
        self.part.as_deref().unwrap_or("whole inventory")
    }
}

impl Growth {
    /// One row a part, the whole inventory first.
    ///
    /// ```
    /// # use traywright::{brief::Format, job::Source, shop::{Effort, Room, grow}};
    /// # let brief = r#"box.interior = [100, 70, 30]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
    /// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
    /// #     inventory: None, stock_list: None, corrections: None };
    /// # let mut effort = Effort::default();
    /// # effort.options.nodes = 2_000;
    /// // Forty cards of 0.4 mm in a box of 30 mm: seventy lie below its lid, on a floor of 2 mm.
    /// let room = grow(&source, &[], None, &effort, &|_| {}).unwrap();
    /// let Room::Grows(growth) = room else { panic!() };
    /// let table = growth.table().pick(&["part", "more", "set"]);
    /// let last = table.csv().lines().last().unwrap().to_owned();
    /// assert_eq!(last, "cards,30,--set 'part.cards.stack.count=70'");
    /// ```
    pub fn table(&self) -> Table {
        let row = |it: &Grown| {
            let number = |n: i64| Cell::number(n.to_string());
            let text = |t: &str| if t.is_empty() { Cell::Empty } else { Cell::text(t) };
            let set = if it.more > 0 { flags(&it.changes) } else { String::new() };
            vec![
                Cell::text(it.name()),
                text(&it.tray),
                Cell::text(&it.now),
                number(it.in_place),
                number(it.more),
                Cell::text(&it.of),
                Cell::text(&it.then),
                Cell::text(&it.next),
                Cell::text(it.beyond),
                text(&set),
            ]
        };
        Table {
            columns: vec![
                "part",
                "tray",
                "now",
                "more_in_place",
                "more",
                "of",
                "then",
                "next",
                "next_result",
                "set",
            ],
            rows: std::iter::once(&self.whole).chain(&self.parts).map(row).collect(),
        }
    }

    /// For a screen.
    ///
    /// ```
    /// # use traywright::{brief::Format, job::Source, shop::{Effort, Room, grow}};
    /// # let brief = r#"box.interior = [100, 70, 30]
    /// # stock = { name = "greyboard", thickness = 2 }
    /// # part = [{ name = "cards", stack = { face = [60, 85], count = 40, each = 0.4 } }]"#;
    /// # let source = Source { name: "b.toml".into(), text: brief.into(), format: Format::Toml,
    /// #     inventory: None, stock_list: None, corrections: None };
    /// # let mut effort = Effort::default();
    /// # effort.options.nodes = 2_000;
    /// // Forty cards of 0.4 mm in a box of 30 mm: seventy lie below its lid, on a floor of 2 mm.
    /// let room = grow(&source, &[], None, &effort, &|_| {}).unwrap();
    /// let Room::Grows(growth) = room else { panic!() };
    /// // 40 × 1.77 are 70.8 cards.
    /// assert!(growth.text().contains("The whole inventory can grow by 77 % in proportion"));
    /// ```
    pub fn text(&self) -> String {
        let whole = &self.whole;
        let all = match whole.more {
            0 => "cannot grow by 1 % in proportion".to_owned(),
            more => format!("can grow by {more} % in proportion (whole pieces, rounded down)"),
        };
        let columns = ["part", "tray", "now", "more_in_place", "more", "of", "then", "next", "next_result"];
        let mut table = self.table().pick(&columns);
        table.rows.remove(0);
        format!(
            "{}: room to grow\nThe whole inventory {all}; at {} of today's amounts: {}.\n\n{}\n\
             Each part by itself, everything else unchanged. `more in place` needs no new plan; every amount was verified\n\
             by the checker. `does not fit` is proven; `none found` is what {} searches for a plan have shown.\n",
            self.title,
            whole.next,
            whole.beyond,
            table.text(),
            self.tries
        )
    }
}

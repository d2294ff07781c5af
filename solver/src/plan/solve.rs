//! From a job to a checked plan: needs, shape curves, placement, settling, account, checker.

use super::account::account;
use super::arrange::{Places, arrange};
use super::grip::choose_grips;
use super::group::{alone, ways};
use super::hunt::Hunt;
use super::rounding::rounded_down;
use super::sink::{Asked, Laid, Sunk, lay};
use super::unshared::unshared_bound;
use super::write::{Answer, cut_short, held_in, held_volume, holdings, written};
use super::{Arrangement, Claim, ClaimState, Compartment, PlacedTray, Plan};
use crate::check::check;
use crate::finding::{Finding, Severity};
use crate::job::{Contents, Job, Part, Tray, outline};
use crate::layout::build::{Built, Sinking, build_sinking, grid_rect, room_is_certain};
use crate::layout::heights::{candidates, complete};
use crate::layout::instance::{Cost, CoverPlace, Layout, TrayPlace};
use crate::layout::search::{Standing, search_while};
use crate::layout::settle::{SettleWishes, apart, borne_layers, settle};
use crate::length::{Length, Volume};
use crate::need;
use crate::stop::Stop;
use crate::tray::Curves;

/// How to search.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"maps\"\nuse = \"seldom\"\nsize = [110, 80, 15]\n[[tray.part]]\n\
/// #     name = \"map\"\nloose = { volume = \"40 ml\" }\n[[tray]]\nname = \"mail\"\n\
/// #     use = \"always\"\nsize = [110, 80, 15]\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// let mut options = plan::Options::default();
/// assert_eq!((options.seed, options.nodes), (1, 3_000_000));
/// options.nodes = 10_000;
/// let solve = || plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// assert_eq!(solve().to_json(), solve().to_json());
/// ```
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Options {
    /// Seed of every random choice. Default 1.
    pub seed: u64,
    /// Node budget; with it and a seed the plan file is the same to the byte. Default 3 000 000.
    pub nodes: u64,
    /// Spend them all even if nothing better was found for long. Default: no.
    pub patient: bool,
    /// The first plan will do: it is asked whether there is one, not which is best. Default: no.
    pub enough: bool,
    /// Shape curves of jobs that were solved before; they change no result. Default: none.
    pub curves: Curves,
    /// The clock as backstop and the caller's flag. Default: never.
    pub stop: Stop,
}

impl Default for Options {
    fn default() -> Self {
        Options {
            seed: 1,
            nodes: 3_000_000,
            patient: false,
            enough: false,
            curves: Curves::default(),
            stop: Stop::never(),
        }
    }
}

/// What the search says while it runs.
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
/// let mut all: Vec<plan::Progress> = Vec::new();
/// plan::solve(&job, &options, &mut |p| all.push(p.clone()));
/// assert_eq!((all[0].phase, all[0].done), ("sizing trays", None));
/// assert!(all.iter().filter_map(|p| p.done).all(|share| (0.0..=1.0).contains(&share)));
/// assert!(all.iter().any(|p| p.value_ml.is_some() && p.value_ml >= p.bound_ml));
/// ```
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Progress {
    /// What is being done, in words for a maker, such as "sizing trays" or "arranging layers".
    pub phase: &'static str,
    /// Best value so far, in millilitres of waste and lifts.
    pub value_ml: Option<f64>,
    /// Best bound so far, in the same unit.
    pub bound_ml: Option<f64>,
    /// How much is done, 0 to 1, of what the search will spend unless something better turns up; `None` where that is
    /// not known.
    pub done: Option<f64>,
}

/// What came of it.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan};
/// # let brief = "box.interior = [120, 90, 40]\nsearch.grid = 1\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n[[tray]]\n\
/// #     name = \"mail\"\n[[tray.part]]\nname = \"letters\"\n\
/// #     loose = { volume = \"40 ml\" }\n";
/// # let read = |changes: &[(String, String)]| {
/// #     job::read(brief, "b.toml", Format::Toml, None, changes).unwrap()
/// # };
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// let of = |interior: &str| {
///     let job = read(&[("box.interior".into(), interior.into())]);
///     plan::solve(&job, &options, &mut |_| {})
/// };
/// let (fits, small) = (of("[120, 90, 40]"), of("[30, 30, 20]"));
/// assert!(fits.plan.is_some() && fits.reasons.is_empty());
/// assert!(small.plan.is_none() && small.reasons[0].code == "T001" && !small.input_at_fault);
/// ```
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The plan, where one was found; it has passed the checker.
    pub plan: Option<Plan>,
    /// What is proven, with or without a plan.
    pub claim: Claim,
    /// Why there is no plan, or why something was left out, in plain words; empty where all is well.
    pub reasons: Vec<Finding>,
    /// The reasons say that the brief itself cannot be meant so, whatever the box.
    pub input_at_fault: bool,
    /// Figures that do not belong in a plan file: name and value, in the order of the work.
    pub stats: Vec<(String, String)>,
}

/// Share of the nodes that choosing between ways of grouping free parts may take.
const GROUPING_SHARE: u64 = 4;
/// Part of the time after which large trays are sized at fewer heights.
pub(super) const SIZING_PART: f64 = 0.25;

/// Solves a job. Calls `progress` now and then; never prints.
///
/// Without a plan, [`Outcome::claim`] says `impossible` (proven) or `none-found`.
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
/// let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// assert_eq!(plan.settled.trays[0].name, "mail");
/// assert!(plan.objective_mm3.bound <= plan.objective_mm3.value);
/// ```
pub fn solve(job: &Job, options: &Options, progress: &mut dyn FnMut(&Progress)) -> Outcome {
    solved(job, options, progress).0
}

/// What a search began with and where it ended, for those who ask further.
#[derive(Debug)]
pub(super) struct Ground {
    /// The trays, those for free parts included.
    pub(super) trays: Vec<Tray>,
    /// Their placement problem.
    pub(super) built: Built,
    /// The search's bound, in cubed grid steps; `None` where nothing fits.
    pub(super) bound: Option<i64>,
    /// The layout that the plan was made from.
    pub(super) layout: Layout,
}

/// [`solve`], and what it worked with where it came so far and no cover item may sink.
pub(super) fn solved(
    job: &Job,
    options: &Options,
    progress: &mut dyn FnMut(&Progress),
) -> (Outcome, Option<Ground>) {
    progress(&Progress { phase: "sizing trays", value_ml: None, bound_ml: None, done: None });
    let mut outcome = Outcome {
        plan: None,
        claim: Claim::none_found(job.grid),
        reasons: Vec::new(),
        input_at_fault: false,
        stats: Vec::new(),
    };
    let doubts = doubts(job);
    if doubts.iter().any(|f| f.severity == Severity::Fault) {
        outcome.reasons = doubts;
        outcome.input_at_fault = true;
        return (outcome, None);
    }
    if !job.cover.iter().any(|c| c.sink) {
        let attempted = attempt(job, options, progress, &Way::default(), &mut outcome);
        return (outcome, attempted.ground);
    }
    // Sunk first, the trays higher where headroom turns out to be missing; then with everything over the top layer.
    let mut way = Way { sinking: Sinking { sunk: true, headroom: Vec::new() }, least: None };
    let mut best: Option<Outcome> = None;
    let mut first: Option<Outcome> = None;
    for round in 0..SINK_ROUNDS {
        let mut this = outcome.clone();
        let attempted = attempt(job, options, progress, &way, &mut this);
        if round == 0 {
            way.least = attempted.bound;
            if this.plan.is_some() || this.claim.state == ClaimState::Impossible {
                return (this, None);
            }
            first = Some(this.clone());
        }
        better(&mut best, this);
        let mut more = false;
        for (kind, lacking) in attempted.lacking {
            if way.sinking.headroom.len() <= kind {
                way.sinking.headroom.resize(kind + 1, Length::ZERO);
            }
            if let Some(own) = way.sinking.headroom.get_mut(kind).filter(|own| **own < lacking) {
                *own = lacking;
                more = true;
            }
        }
        if !more {
            break;
        }
    }
    way.sinking = Sinking::default();
    attempt(job, options, progress, &way, &mut outcome);
    better(&mut best, outcome.clone());
    if let Some(best) = best {
        return (best, None);
    }
    // Only the first way leaves nothing out that could fit: what the others refute is not impossible for that.
    let mut without = first.filter(|f| !f.reasons.is_empty()).unwrap_or(outcome);
    without.claim.state = ClaimState::NoneFound;
    (without, None)
}

/// Keeps the outcome of which the plan has the lesser value.
fn better(best: &mut Option<Outcome>, other: Outcome) {
    let value = |o: &Outcome| o.plan.as_ref().map(|p| p.objective_mm3.value);
    let least = match (best.as_ref().and_then(value), value(&other)) {
        (Some(own), Some(theirs)) => theirs < own,
        (None, Some(_)) => true,
        _ => false,
    };
    if least {
        *best = Some(other);
    }
}

/// How often trays are made higher for what sinks into them.
const SINK_ROUNDS: usize = 4;

/// One way of going about cover items that may sink.
#[derive(Clone, Debug, Default)]
struct Way {
    sinking: Sinking,
    /// A bound on the grid whatever way is gone, where one is known.
    least: Option<i64>,
}

/// What is learnt from an attempt beside its outcome.
#[derive(Debug, Default)]
struct Attempted {
    /// The bound of the search, on the grid.
    bound: Option<i64>,
    /// Trays of the list of kinds that lack headroom for what should sink into them, and how much they need.
    lacking: Vec<(usize, Length)>,
    /// What was worked with, where there was a layout.
    ground: Option<Ground>,
}

/// Searches one way, and fills in the outcome.
fn attempt(
    job: &Job,
    options: &Options,
    progress: &mut dyn FnMut(&Progress),
    way: &Way,
    outcome: &mut Outcome,
) -> Attempted {
    let mut attempted = Attempted::default();
    let ml = |v: i64| Volume::from_nm3(i128::from(v) * i128::from(job.grid.nm()).pow(3)).to_ml_f64();
    let (trays, built) = match choose_grouping(job, options, &way.sinking) {
        Ok(chosen) => chosen,
        Err((reasons, proven)) => {
            let proven = proven && rounded_down(job).is_none_or(|job| refuted(&job, options, &way.sinking));
            outcome.claim.state = if proven { ClaimState::Impossible } else { ClaimState::NoneFound };
            outcome.reasons = reasons;
            return attempted;
        }
    };
    let held = held_volume(job, &trays, &built).to_ml_f64();
    let hunt = Hunt { job, trays: &trays, sinking: &way.sinking, options, held };
    let (built, mut found) = hunt.go(built, progress);
    let mut complete = complete(&built.instance, &candidates(&built.instance));
    if !job.free.is_empty() {
        // The search's bound holds for one way of sharing trays only.
        (found.bound, complete) = unshared_bound(job, &built);
        found.bound_by = "areas of the layers, free parts whatever trays they share";
    }
    outcome.stats.push(("nodes".into(), found.nodes.to_string()));
    outcome.claim.curves = if built.exact { "exact" } else { "searched" }.into();
    let all_heights = built.all_heights && complete;
    outcome.claim.heights = if all_heights { "all" } else { "candidates" }.into();
    outcome.claim.bound_by = found.bound_by.into();
    attempted.bound = found.bound;
    // Other ways have other heights to choose from: a bound holds for those that were looked at.
    let whatever = |least: Option<i64>| least.map(|l| found.bound.map_or(l, |b| b.min(l))).or(found.bound);
    let Some((layout, cost)) = found.layout else {
        // Without a tray chosen by the maker or with searched curves another arrangement might still do.
        let proven = found.bound.is_none()
            && job.free.is_empty()
            && built.exact
            && all_heights
            && room_is_certain(job, &way.sinking)
            && rounded_down(job).is_none_or(|job| refuted(&job, options, &way.sinking));
        if proven {
            outcome.claim.state = ClaimState::Impossible;
        }
        let least = whatever(way.least).map(|b| (ml(b) - held).max(0.0));
        outcome.stats.extend(least.map(|ml| ("bound_ml".into(), format!("{ml:.1}"))));
        outcome.reasons.push(no_plan(job, &built, proven, least, &options.stop));
        return attempted;
    };
    progress(&Progress { phase: "sharing out spare room", value_ml: None, bound_ml: None, done: None });
    let bound = whatever(way.least);
    let search = Searched { layout: &layout, cost, bound, sunk: way.sinking.sunk, made: &[] };
    match finish(job, &trays, &built, &search, &mut outcome.claim, options) {
        Ok(plan) => outcome.plan = Some(plan),
        Err(Unfinished::Faults(faults)) => outcome.reasons = faults,
        Err(Unfinished::Short(lacking)) => {
            attempted.lacking = lacking;
            let least = bound.map(|b| (ml(b) - held).max(0.0));
            outcome.stats.extend(least.map(|ml| ("bound_ml".into(), format!("{ml:.1}"))));
            outcome.reasons = vec![no_plan(job, &built, false, least, &options.stop)];
        }
    }
    if outcome.plan.is_none() {
        outcome.claim.state = ClaimState::NoneFound;
    }
    attempted.ground = Some(Ground { bound: found.bound, trays, built, layout });
    attempted
}

/// Whether it is certain that nothing fits in this job either.
fn refuted(job: &Job, options: &Options, sinking: &Sinking) -> bool {
    let (_, built) = match choose_grouping(job, options, sinking) {
        Err((_, proven)) => return proven,
        Ok(chosen) => chosen,
    };
    let all_heights = built.all_heights && complete(&built.instance, &candidates(&built.instance));
    let certain = job.free.is_empty() && built.exact && all_heights && room_is_certain(job, sinking);
    let mut seeking = |s: Standing| s.value.is_none();
    certain && {
        let found = search_while(&built.instance, options.seed, options.nodes, &options.stop, &mut seeking);
        found.layout.is_none() && found.bound.is_none()
    }
}

/// What is doubtful about the needs of any part, nested ones included.
pub(super) fn doubts(job: &Job) -> Vec<Finding> {
    let mut out = Vec::new();
    let mut stack: Vec<&Part> =
        job.trays.iter().flat_map(|t| &t.parts).chain(job.free.iter().map(|f| &f.part)).collect();
    stack.reverse();
    while let Some(part) = stack.pop() {
        match &part.contents {
            Contents::Tray(own) => stack.extend(own.parts.iter().rev()),
            _ => out.extend(need::findings(part)),
        }
    }
    out
}

/// The trays to work with, and their placement problem; free parts grouped in the way that a short search likes best.
pub(super) fn choose_grouping(
    job: &Job,
    options: &Options,
    sinking: &Sinking,
) -> Result<(Vec<Tray>, Built), (Vec<Finding>, bool)> {
    let mut ways = if job.free.is_empty() { vec![Vec::new()] } else { ways(job) };
    let likely = ways.len();
    let share = options.nodes.min(Options::default().nodes) / GROUPING_SHARE / likely.max(1) as u64;
    // Where no tray holds what was put into it: what refuses every part by itself is certain.
    let alone = alone(job);
    if ways.last().is_some_and(|last| last.len() < alone.len()) {
        ways.push(alone);
    }
    let mut best: Option<(i64, Vec<Tray>, Built)> = None;
    let mut refused = Vec::new();
    for (turn, way) in ways.iter().enumerate() {
        if turn >= likely && best.is_some() {
            break;
        }
        let trays: Vec<Tray> = job.trays.iter().chain(way).cloned().collect();
        let sizing = options.stop.part(SIZING_PART);
        match build_sinking(job, &trays, sinking, &options.curves, &sizing) {
            Err(findings) => refused = findings,
            Ok(built) if ways.len() == 1 => return Ok((trays, built)),
            Ok(built) => {
                let mut on = |s: Standing| !(options.enough && s.value.is_some());
                let found = search_while(&built.instance, options.seed, share, &options.stop, &mut on);
                let value = found.layout.map_or(i64::MAX, |(_, c)| c.value());
                if best.as_ref().is_none_or(|b| value < b.0) {
                    best = Some((value, trays, built));
                }
                if options.enough && value < i64::MAX {
                    break;
                }
            }
        }
    }
    // L003 rests on the arrangements that were tried, all but what is said of the covers themselves on the room they leave.
    best.map(|(_, trays, built)| (trays, built)).ok_or_else(|| {
        let room = room_is_certain(job, sinking);
        let certain = |f: &Finding| match f.code {
            "L001" => true,
            "L003" => false,
            _ => room,
        };
        let proven = refused.iter().any(certain);
        (refused, proven)
    })
}

/// That there is no plan, or none was found: how full the box is, what is held in it, and what ended the search.
fn no_plan(job: &Job, built: &Built, proven: bool, least_ml: Option<f64>, stop: &Stop) -> Finding {
    let (room, mut cause) = (&built.instance, String::new());
    cause += if proven {
        "there is no arrangement in which everything fits"
    } else {
        "none found yet: no arrangement was met in which everything fits"
    };
    let least: i64 =
        room.trays.iter().map(|t| t.options.iter().map(|o| o.w * o.d * o.h).min().unwrap_or(0)).sum();
    let kept: i64 = room.kept.iter().map(|k| k.turns.first().map_or(0, |o| o.w * o.d * o.h)).sum();
    let percent = (100 * (least + kept)).checked_div(room.width * room.depth * room.height).unwrap_or(0);
    // The sum of the least shapes that were looked at: where others may exist it is no bound, and beyond the whole only
    // that it is too much says anything.
    cause += &match (percent > 100, proven) {
        (true, true) => ": even the smallest trays and the kept items are more than".to_owned(),
        (true, false) => ": the smallest trays that were met are, with the kept items, more than".to_owned(),
        (false, _) => format!(": the smallest trays that were met fill, with the kept items, {percent} % of"),
    };
    cause += &format!(
        " the {} × {} × {} mm that are left for layers",
        job.container.interior.w.decimal(),
        job.container.interior.d.decimal(),
        (job.grid * room.height).decimal()
    );
    if let Some(ml) = least_ml.filter(|_| !proven) {
        cause += &format!("; whatever may be found wastes at least {ml:.0} ml, lifts counted");
    }
    let mut remedy = String::new();
    let held = held_names(job);
    if !held.is_empty() {
        let names = held.join(", ");
        cause += &format!("; held are {names}");
        remedy += &format!("let go of what is held ({names}: take `held` out), ");
    }
    remedy += "allow more ways of standing, thinner stock, less clearance or another layer, leave a part out";
    if proven {
        remedy = remedy.replace(", leave a part out", ", or leave a part out");
        return Finding::new("P002", Severity::Fault, cause, remedy);
    }
    if let Some(why) = cut_short(stop) {
        cause += &format!("; {why}");
    }
    Finding::new("P003", Severity::Fault, cause, remedy + ", or give the search more time")
}

/// Trays and kept items that the maker holds in a layer or at a place, quoted.
fn held_names(job: &Job) -> Vec<String> {
    let trays = job.trays.iter().filter(|t| t.held.is_some()).map(|t| &t.name);
    let kept = job.kept.iter().filter(|k| k.held.is_some()).map(|k| &k.name);
    trays.chain(kept).map(|name| format!("\"{name}\"")).collect()
}

/// What the search hands on.
pub(super) struct Searched<'a> {
    pub(super) layout: &'a Layout,
    pub(super) cost: Cost,
    pub(super) bound: Option<i64>,
    /// Whether cover items that may sink are still to be laid.
    pub(super) sunk: bool,
    /// Trays that are there already, by their index in the instance: they keep their pieces.
    pub(super) made: &'a [Option<PlacedTray>],
}

/// Why there is no plan in spite of a layout.
pub(super) enum Unfinished {
    /// What the checker found, or a fault of the program.
    Faults(Vec<Finding>),
    /// Cover items do not sink: kinds of trays that lack headroom, and how much they need; nothing where no headroom
    /// would help.
    Short(Vec<(usize, Length)>),
}

impl From<Vec<Finding>> for Unfinished {
    fn from(faults: Vec<Finding>) -> Unfinished {
        Unfinished::Faults(faults)
    }
}

/// Settles, writes the plan, closes its accounts and has it checked.
pub(super) fn finish(
    job: &Job,
    trays: &[Tray],
    built: &Built,
    search: &Searched,
    claim: &mut Claim,
    options: &Options,
) -> Result<Plan, Unfinished> {
    let layout = search.layout;
    let tight_places = Places { made: search.made.to_vec(), ..Places::tight(built, layout) };
    let (plain, _) = arranged(job, trays, built, layout, &tight_places, &[])?;
    let (mut faults, mut short) = (Vec::new(), None);
    for places in settlings(job, trays, built, search) {
        let (mut tight, mut cost) = (plain.clone(), search.cost);
        let (mut settled, mut findings) = arranged(job, trays, built, layout, &places, &[])?;
        if search.sunk {
            let built_in = match lay(job, &settled, &Asked::Borne) {
                Laid::All(sunk) => sunk,
                lacking => {
                    short.get_or_insert(lacking);
                    continue;
                }
            };
            let sunk = match lay(job, &plain, &Asked::Over(&built_in, &settled)) {
                Laid::All(sunk) => sunk,
                lacking => {
                    short.get_or_insert(lacking);
                    continue;
                }
            };
            // With what is sunk among the cover items, for lifts.
            let mut covered = built.instance.clone();
            let rects = sunk.iter().map(|s| CoverPlace { rect: grid_rect(s.body, job.grid), level: 0 });
            covered.cover.extend(rects);
            cost = covered.cost(layout);
            (settled, findings) = arranged(job, trays, built, layout, &places, &built_in)?;
            tight = arranged(job, trays, built, layout, &tight_places, &sunk)?.0;
        }
        findings.splice(0..0, doubts(job));
        let answer = Answer { cost, bound: search.bound, options, tight, settled, findings };
        let plan = written(job, built, claim, answer);
        faults = check(job, &plan);
        if faults.iter().all(|f| f.severity < Severity::Fault) {
            *claim = plan.claim.clone();
            return Ok(plan);
        }
    }
    match short {
        Some(Laid::Short(lacking)) if faults.is_empty() => {
            let kinds = lacking.into_iter().filter_map(|(t, h)| Some((built.trays.get(t)?.0, h)));
            Err(Unfinished::Short(kinds.collect()))
        }
        Some(_) if faults.is_empty() => Err(Unfinished::Short(Vec::new())),
        _ => Err(Unfinished::Faults(faults)),
    }
}

/// Ways of sharing out the spare room, the fullest first, the tight places themselves last.
fn settlings(job: &Job, trays: &[Tray], built: &Built, search: &Searched) -> Vec<Places> {
    let (layout, made) = (search.layout, search.made);
    let tight = Places { made: made.to_vec(), ..Places::tight(built, layout) };
    let full = settle(&built.instance, layout, &settle_wishes(job, trays, built, search));
    let full = Places { made: made.to_vec(), ..Places::settled(&full) };
    let only_heights = Places { heights: full.heights.clone(), ..tight.clone() };
    let only_sides = Places { heights: tight.heights.clone(), ..full.clone() };
    vec![full, only_sides, only_heights, tight]
}

fn arranged(
    job: &Job,
    trays: &[Tray],
    built: &Built,
    layout: &Layout,
    places: &Places,
    sunk: &[Sunk],
) -> Result<(Arrangement, Vec<Finding>), Vec<Finding>> {
    let mut arrangement = arrange(job, trays, built, layout, places, sunk).ok_or_else(|| {
        vec![Finding::new(
            "P004",
            Severity::Fault,
            "a tray could not be divided at the outline that the search chose for it",
            "this is a fault of the program: please report it with the brief",
        )]
    })?;
    let holdings = holdings(trays, built);
    let held = |c: &Compartment| held_in(c, &holdings);
    arrangement.volumes_mm3 = account(job.container.interior, &arrangement, &held);
    let kinds: Vec<usize> = built.trays.iter().map(|(kind, _)| *kind).collect();
    let findings = choose_grips(trays, &kinds, &mut arrangement, &held, job.container.on_side);
    Ok((arrangement, findings))
}

/// What settling has to respect: shares, fixed and largest sizes, and outlines that lie clear of each other today.
fn settle_wishes(job: &Job, trays: &[Tray], built: &Built, search: &Searched) -> SettleWishes {
    let (g, layout) = (job.grid, search.layout);
    let made = |i: usize| search.made.get(i).is_some_and(Option::is_some);
    // A layer in which a tray that is there already stands is as high as that tray.
    let mut no_grow = borne_layers(&built.instance, layout);
    // So is one that ends with a tray of a fixed height, where something may stand on that.
    let fills = |i: usize, p: &TrayPlace| {
        let (tray, after) = (&built.instance.trays[i], p.layer + p.span);
        let begins = layout.trays.iter().map(|q| q.layer).chain(layout.kept.iter().map(|q| q.layer));
        tray.fixed
            && tray.carries(layout.bottom(after) - layout.bottom(p.layer))
            && begins.into_iter().any(|layer| layer == after)
    };
    for (_, p) in layout.trays.iter().enumerate().filter(|(i, p)| made(*i) || fills(*i, p)) {
        no_grow.iter_mut().skip(p.layer).take(p.span).for_each(|n| *n = true);
    }
    SettleWishes {
        share: built.trays.iter().map(|(k, _)| trays[*k].spare_share).collect(),
        most: outline::allowed(job)
            .map(|all| all.iter().map(|(w, d)| (w.steps_down(g), d.steps_down(g))).collect()),
        fixed: built
            .trays
            .iter()
            .enumerate()
            .map(|(i, (k, _))| trays[*k].size.is_some() || made(i))
            .collect(),
        no_grow,
        one_piece: job.wishes.spare_one_piece,
        keep_apart: apart(&built.instance, layout),
        ..SettleWishes::usual(&built.instance)
    }
}

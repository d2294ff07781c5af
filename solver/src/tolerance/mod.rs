//! Will it still go in when sheets, cuts and the box are not what they should be?
//!
//! For every chain of bodies across the box, in each direction and layer of the settled plan: the nominal play, what is
//! left of it in the worst case and by the root of the sum of squares, and the chance that it goes in, by seeded
//! simulation. Numbers here are floating millimetres: this is statistics, not geometry.
//!
//! Not counted: warped sheets, sides of a box that bulge, glue that stands in a joint, and what parts do in their
//! compartments.

mod assume;
mod chain;
mod shape;
mod simulate;
mod term;
#[cfg(test)]
mod tests;

pub use assume::{Assumed, Assumptions, KEYS, Spread, Sure, cutting_of};
pub use chain::Direction;
pub use shape::Shape;
pub use term::{Cause, Term};

use chain::{chains, members, play, webs};
use simulate::{Link, Parts, quantile, run, terms_of};

use crate::job::Job;
use crate::plan::Plan;

/// Chains of one layer and direction that are looked at one by one; the chance of the whole counts all.
const MOST_CHAINS: usize = 200;

/// One chain of bodies across the box.
///
/// ```
/// use traywright::tolerance::{Assumptions, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let chains = tolerance(&job, &plan, &Assumptions::of(&job)).chains;
/// let width = chains.iter().find(|c| c.along.word() == "width").unwrap();
/// // One tray, as wide as the box less the gaps at its sides.
/// assert_eq!((width.bodies.len(), width.play), (1, 1.2));
/// // In the worst case it does not go in, and yet it hardly ever fails to.
/// assert!(width.worst < 0.0 && 0.0 < width.squares && width.chance > 0.99);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// Along which direction.
    pub along: Direction,
    /// In which layer, from 1 at the floor; `None` for the height.
    pub layer: Option<usize>,
    /// Names of the bodies, from the origin on.
    pub bodies: Vec<String>,
    /// Nominal play: the box less all bodies, mm. Under the lid, the room kept free counts.
    pub play: f64,
    /// What is left of it when everything goes against it at once, mm.
    pub worst: f64,
    /// What is left by the root of the sum of squared limits, mm.
    pub squares: f64,
    /// Chance that it goes in, as a share of the trials.
    pub chance: f64,
    /// More play that it would take to be as sure as wanted, mm; 0 where it is.
    pub wants: f64,
    /// Everything that may be off.
    pub terms: Vec<Term>,
}

impl Chain {
    /// Each cause's part of the variance, greatest first.
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
    /// let causes = found.riskiest().unwrap().causes();
    /// assert!(causes[0].0 == Cause::Container && causes[0].1 > 0.5);
    /// assert!((causes.iter().map(|(_, share)| share).sum::<f64>() - 1.0).abs() < 1e-9);
    /// ```
    pub fn causes(&self) -> Vec<(Cause, f64)> {
        let variance = |cause: Cause| -> f64 {
            self.terms.iter().filter(|t| t.cause == cause).map(|t| t.shape.moments().1).sum()
        };
        let all: f64 = Cause::ALL.into_iter().map(variance).sum();
        let share = |cause| if all > 0.0 { variance(cause) / all } else { 0.0 };
        let mut out: Vec<(Cause, f64)> = Cause::ALL.into_iter().map(|c| (c, share(c))).collect();
        out.retain(|(_, share)| *share > 0.0);
        out.sort_by(|a, b| b.1.total_cmp(&a.1));
        out
    }
}

/// How sure the fit of a plan is.
///
/// ```
/// use traywright::tolerance::{Assumptions, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let found = tolerance(&job, &plan, &Assumptions::of(&job));
/// // Beside the tray there is more play than it takes, under the lid there is none.
/// assert!(found.gap_wants.unwrap() < 0.0 && found.lid_wants.unwrap() > 0.0);
/// assert!(found.chains.iter().all(|chain| found.chance <= chain.chance));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerance {
    /// What was assumed.
    pub assumed: Assumptions,
    /// The same with reasons, for a reader.
    pub reasons: Vec<Assumed>,
    /// Chains, the least sure first.
    pub chains: Vec<Chain>,
    /// Whether some layer has more chains than are listed.
    pub more: bool,
    /// Chance that every chain goes in at once, as a share of the trials.
    pub chance: f64,
    /// What every gap between and beside trays would have to grow by to be as sure as wanted, mm; below 0: what it could
    /// shrink by. `None` without a chain.
    pub gap_wants: Option<f64>,
    /// The same for the room under the lid.
    pub lid_wants: Option<f64>,
    /// Gaps as the brief has them, between trays and at the sides, and the room kept free under the lid, mm.
    pub gaps: (f64, f64, f64),
}

impl Tolerance {
    /// The least sure chain.
    ///
    /// ```
    /// use traywright::tolerance::{Assumptions, tolerance};
    /// # use traywright::{brief::Format, job, plan};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    /// # let mut options = plan::Options::default();
    /// # options.nodes = 10_000;
    /// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
    /// let found = tolerance(&job, &plan, &Assumptions::of(&job));
    /// let riskiest = found.riskiest().unwrap();
    /// assert!(found.chains.iter().all(|chain| riskiest.chance <= chain.chance));
    /// assert_eq!(riskiest.along.word(), "height"); // this brief keeps no room under the lid
    /// ```
    pub fn riskiest(&self) -> Option<&Chain> {
        self.chains.first()
    }
}

/// Looks at the settled plan of a job.
///
/// ```
/// use traywright::tolerance::{Assumptions, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let mut assumed = Assumptions::of(&job);
/// let seeded = tolerance(&job, &plan, &assumed);
/// assert_eq!(tolerance(&job, &plan, &assumed), seeded);
/// for key in ["thickness", "floor", "cutting", "box", "movement"] {
///     assumed.set(key, "0").unwrap();
/// }
/// assert!(seeded.chance < 1.0 && tolerance(&job, &plan, &assumed).chance == 1.0);
/// ```
pub fn tolerance(job: &Job, plan: &Plan, assumed: &Assumptions) -> Tolerance {
    let members = members(plan);
    let webs = webs(plan, &members);
    let inside = Direction::ALL.map(|along| along.of_size(job.container.interior).to_mm_f64());
    let parts = Parts {
        terms: members
            .iter()
            .map(|m| Direction::ALL.map(|along| term::of_member(job, plan, m, along, assumed)))
            .collect(),
        container: Direction::ALL.map(|along| term::of_box(job, along, assumed)),
        members: &members,
        webs: &webs,
        inside,
    };
    let (mut links, mut places, mut more): (Vec<Link>, Vec<Option<usize>>, bool) =
        (Vec::new(), Vec::new(), false);
    for web in &webs {
        let (found, whole) = chains(web, MOST_CHAINS);
        more |= !whole;
        for chain in found {
            // A body that reaches through two layers may make the same chain in both.
            if links.iter().any(|l| l.along == web.along && l.members == chain) {
                continue;
            }
            let gaps = if web.along == Direction::Height { 1 } else { chain.len() + 1 };
            let play = play(job, &members, web.along, &chain).to_mm_f64();
            links.push(Link { along: web.along, members: chain, play, gaps: gaps as f64 });
            places.push(web.layer);
        }
    }
    let trials = run(&parts, &links, assumed);
    let mut out: Vec<Chain> = Vec::with_capacity(links.len());
    for (k, (link, layer)) in links.iter().zip(&places).enumerate() {
        let terms = terms_of(&parts, link, assumed);
        let limits = terms.iter().map(|t| t.shape.limits());
        let worst: f64 = limits.clone().map(|(_, hi)| hi).sum();
        let middle: f64 = limits.clone().map(|(lo, hi)| (lo + hi) / 2.0).sum();
        let squares: f64 = limits.map(|(lo, hi)| (hi - lo) * (hi - lo) / 4.0).sum();
        let fits = trials.fits.get(k).copied().unwrap_or(0);
        let wants = trials.lacks.get(k).and_then(|l| quantile(l, assumed.level)).unwrap_or(0.0);
        out.push(Chain {
            along: link.along,
            layer: *layer,
            bodies: link.members.iter().filter_map(|&m| members.get(m)).map(|m| m.name.clone()).collect(),
            play: link.play,
            worst: link.play - worst,
            squares: link.play - middle - squares.sqrt(),
            chance: fits as f64 / assumed.trials as f64,
            wants: wants.max(0.0),
            terms,
        });
    }
    // Among chains that always went in, the one with the least left over in the worst case is the riskiest.
    out.sort_by(|a, b| a.chance.total_cmp(&b.chance).then(a.worst.total_cmp(&b.worst)));
    let [beside, lid] = &trials.gap_lacks;
    let c = &job.container;
    Tolerance {
        assumed: assumed.clone(),
        reasons: assumed.listed(job),
        chains: out,
        more,
        chance: trials.all as f64 / assumed.trials as f64,
        gap_wants: quantile(beside, assumed.level),
        lid_wants: quantile(lid, assumed.level),
        gaps: (c.between.to_mm_f64(), c.side.to_mm_f64(), c.lid_room.to_mm_f64()),
    }
}

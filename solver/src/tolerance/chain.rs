//! Chains of bodies across the box: which bodies push which.

use crate::job::Job;
use crate::length::Length;
use crate::place::{Point, Size};
use crate::plan::Plan;

/// A direction across the box.
///
/// ```
/// use traywright::tolerance::{Assumptions, Direction, tolerance};
/// # use traywright::{brief::Format, job, plan};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let mut options = plan::Options::default();
/// # options.nodes = 10_000;
/// # let plan = plan::solve(&job, &options, &mut |_| {}).plan.unwrap();
/// let chains = tolerance(&job, &plan, &Assumptions::of(&job)).chains;
/// let layer_of = |along| chains.iter().find(|c| c.along == along).unwrap().layer;
/// // Chains from floor to lid go through all layers, others lie in one.
/// assert_eq!(Direction::ALL.map(layer_of), [Some(1), Some(1), None]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Direction {
    /// From left to right.
    Width,
    /// From front to back.
    Depth,
    /// From the floor to the lid.
    Height,
}

impl Direction {
    /// All three.
    pub const ALL: [Direction; 3] = [Direction::Width, Direction::Depth, Direction::Height];

    /// In a word.
    ///
    /// ```
    /// use traywright::tolerance::Direction;
    /// assert_eq!(Direction::ALL.map(Direction::word), ["width", "depth", "height"]);
    /// ```
    pub fn word(self) -> &'static str {
        match self {
            Direction::Width => "width",
            Direction::Depth => "depth",
            Direction::Height => "height",
        }
    }

    pub(super) fn of_size(self, size: Size) -> Length {
        match self {
            Direction::Width => size.w,
            Direction::Depth => size.d,
            Direction::Height => size.h,
        }
    }

    fn of_point(self, at: Point) -> Length {
        match self {
            Direction::Width => at.x,
            Direction::Depth => at.y,
            Direction::Height => at.z,
        }
    }
}

/// What a body is, as far as its deviations go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Index into the plan's trays.
    Tray(usize),
    /// A kept or a cover item.
    Measured,
}

/// A body in its place.
#[derive(Clone, Debug)]
pub(super) struct Member {
    pub(super) name: String,
    pub(super) kind: Kind,
    pub(super) at: Point,
    pub(super) size: Size,
    pub(super) layers: Vec<usize>,
}

impl Member {
    fn from(&self, along: Direction) -> Length {
        along.of_point(self.at)
    }

    fn to(&self, along: Direction) -> Length {
        along.of_point(self.at) + along.of_size(self.size)
    }

    /// Whether one would meet the other if it were moved along this direction.
    fn meets(&self, other: &Member, along: Direction) -> bool {
        let across = Direction::ALL.into_iter().filter(|d| *d != along);
        across.into_iter().all(|d| self.from(d) < other.to(d) && other.from(d) < self.to(d))
    }
}

/// All bodies of the settled plan, trays first.
pub(super) fn members(plan: &Plan) -> Vec<Member> {
    let arranged = &plan.settled;
    let copies = |name: &str, of: &mut dyn Iterator<Item = &str>| of.filter(|n| *n == name).count();
    let named = |name: &str, copy: usize, count: usize| {
        if count > 1 { format!("{name} #{copy}") } else { name.to_owned() }
    };
    let mut out = Vec::new();
    for (i, tray) in arranged.trays.iter().enumerate() {
        let count = copies(&tray.name, &mut arranged.trays.iter().map(|t| t.name.as_str()));
        out.push(Member {
            name: named(&tray.name, tray.copy, count),
            kind: Kind::Tray(i),
            at: tray.at,
            size: tray.size,
            layers: tray.layers.clone(),
        });
    }
    for bodies in [&arranged.kept, &arranged.cover] {
        for body in bodies {
            let count = copies(&body.name, &mut bodies.iter().map(|b| b.name.as_str()));
            out.push(Member {
                name: named(&body.name, body.copy, count),
                kind: Kind::Measured,
                at: body.at,
                size: body.size,
                layers: body.layers.clone(),
            });
        }
    }
    out
}

/// Who pushes whom along one direction.
#[derive(Clone, Debug)]
pub(super) struct Web {
    pub(super) along: Direction,
    /// From 1 at the floor; `None` for the height, which goes through all layers.
    pub(super) layer: Option<usize>,
    /// Members in an order in which nobody comes before one that pushes it.
    pub(super) order: Vec<usize>,
    /// For each member of `order`, the members that it pushes directly.
    pub(super) pushes: Vec<Vec<usize>>,
}

/// The webs of all layers in both directions, and that of the height.
pub(super) fn webs(plan: &Plan, members: &[Member]) -> Vec<Web> {
    let mut out = Vec::new();
    for layer in 1..=plan.settled.layers.len() {
        let here: Vec<usize> =
            members.iter().enumerate().filter(|(_, m)| m.layers.contains(&layer)).map(|(i, _)| i).collect();
        for along in [Direction::Width, Direction::Depth] {
            out.push(web(members, &here, along, Some(layer)));
        }
    }
    let all: Vec<usize> = (0..members.len()).collect();
    out.push(web(members, &all, Direction::Height, None));
    out.retain(|web| !web.order.is_empty());
    out
}

fn web(members: &[Member], here: &[usize], along: Direction, layer: Option<usize>) -> Web {
    let mut order = here.to_vec();
    order.sort_by_key(|&i| members.get(i).map(|m| (m.from(along), m.to(along))));
    let before = |a: usize, b: usize| match (members.get(a), members.get(b)) {
        (Some(x), Some(y)) => a != b && x.to(along) <= y.from(along) && x.meets(y, along),
        _ => false,
    };
    let pushes = order
        .iter()
        .map(|&a| {
            let all: Vec<usize> = order.iter().copied().filter(|&b| before(a, b)).collect();
            // What is pushed by somebody in between is not pushed directly.
            all.iter().copied().filter(|&b| !all.iter().any(|&c| before(c, b))).collect()
        })
        .collect();
    Web { along, layer, order, pushes }
}

/// Chains of one web, at most so many; `false` where there are more.
pub(super) fn chains(web: &Web, most: usize) -> (Vec<Vec<usize>>, bool) {
    let place = |member: usize| web.order.iter().position(|&m| m == member);
    let pushed: Vec<usize> = web.pushes.iter().flatten().copied().collect();
    let mut open: Vec<Vec<usize>> =
        web.order.iter().rev().filter(|m| !pushed.contains(m)).map(|&m| vec![m]).collect();
    let mut out = Vec::new();
    while let Some(chain) = open.pop() {
        if out.len() >= most {
            return (out, false);
        }
        let next = chain.last().and_then(|&m| place(m)).and_then(|i| web.pushes.get(i));
        match next {
            Some(next) if !next.is_empty() => {
                for &b in next.iter().rev() {
                    open.push(chain.iter().copied().chain([b]).collect());
                }
            }
            _ => out.push(chain),
        }
    }
    (out, true)
}

/// What is left of the box beside the bodies of a chain.
pub(super) fn play(job: &Job, members: &[Member], along: Direction, chain: &[usize]) -> Length {
    let taken = chain.iter().filter_map(|&i| members.get(i)).map(|m| along.of_size(m.size));
    taken.fold(along.of_size(job.container.interior), |left, size| left - size)
}

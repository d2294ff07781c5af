//! Layers of an assignment, packed exactly and remembered.

use std::collections::{BTreeMap, VecDeque};

use super::super::bound::relax::Choice;
use super::super::instance::{HeldAt, Instance, Option3};
use super::super::pack::{Descent, Floor, Packed, Piece, Rect, Spot};
use crate::stop::Stop;

/// Of a body: option or turn, x, y.
pub(super) type Place = (usize, i64, i64);
/// Per body.
pub(super) type Places = Vec<Place>;

/// As many packings are kept under way; a dozen bodies of twenty outlines take about a megabyte.
const MOST_UNDER_WAY: usize = 24;

/// A packing under way.
pub(super) struct UnderWay {
    descent: Descent,
    pieces: Vec<Piece>,
    /// The options behind each piece's shapes.
    options: Vec<Vec<usize>>,
    /// Nodes since it last found something.
    nodes: u64,
}

/// What is known of a set of bodies in a layer of some height.
#[derive(Default)]
struct Known {
    /// No packing has less area than this.
    least: i64,
    /// A packing with this area.
    found: Option<(i64, Places)>,
    /// Undecided for budgets from this one on, with so many nodes.
    undecided: Option<(i64, u64)>,
    under_way: Option<Box<UnderWay>>,
}

/// The same, as others see it.
#[derive(Default)]
pub(super) struct State<'k> {
    /// No packing has less area than this.
    pub(super) least: i64,
    /// A packing with this area.
    pub(super) found: Option<(i64, &'k [Place])>,
    undecided: Option<(i64, u64)>,
}

impl State<'_> {
    /// Whether so many nodes might decide this budget.
    pub(super) fn open(&self, budget: i64, nodes: u64) -> bool {
        self.undecided.is_none_or(|(from, spent)| budget < from || nodes > spent)
    }
}

/// Layer (where it matters), most area of one outline beyond its least (coupled layers), bodies with the heights they
/// may use.
type Key = (usize, i64, Vec<(usize, i64)>);

/// Memory of layers.
#[derive(Default)]
pub(super) struct Layers {
    known: BTreeMap<Key, Known>,
    /// What may be under way, the latest last.
    latest: VecDeque<Key>,
}

/// One question: can these bodies, ascending, stand in this layer?
pub(super) struct Question {
    pub(super) layer: usize,
    pub(super) bodies: Vec<(usize, Choice)>,
    /// Most area of all outlines together.
    pub(super) budget: i64,
    /// In coupled layers: what one outline may cost beyond its least. Areas are not added up there.
    pub(super) slack: Option<i64>,
}

/// What packing said, and the nodes it took.
pub(super) struct Answer {
    said: Said,
    pub(super) nodes: u64,
    /// The clock or a caller ended it.
    stopped: bool,
    /// To be gone on with.
    under_way: Option<Box<UnderWay>>,
}

enum Said {
    /// A packing and its area.
    Found(i64, Places),
    Impossible,
    Unknown,
}

impl Question {
    fn key(&self, instance: &Instance) -> Key {
        let blocked = instance.blocked.iter().any(|(l, _)| *l == self.layer);
        let at_layer = if blocked { self.layer } else { usize::MAX };
        let bodies = self.bodies.iter().map(|(b, c)| (*b, c.height)).collect();
        (at_layer, self.slack.unwrap_or(-1), bodies)
    }

    /// Whether both ask about the same bodies in layers that are alike.
    pub(super) fn same(&self, other: &Question, instance: &Instance) -> bool {
        self.key(instance) == other.key(instance)
    }

    /// Packs with at most so many nodes, those of what is under way since it last found something counted.
    pub(super) fn answer(
        &self,
        instance: &Instance,
        under_way: Option<Box<UnderWay>>,
        nodes: u64,
        stop: &Stop,
    ) -> Answer {
        let under_way = under_way.filter(|u| u.descent.covers(self.budget));
        let Some(mut u) = under_way.or_else(|| UnderWay::new(instance, self)) else {
            return Answer { said: Said::Unknown, nodes: 0, stopped: false, under_way: None };
        };
        let own = stop.share(nodes.saturating_sub(u.nodes));
        let packed = u.descent.go(self.budget, &own);
        let spent = own.spent().min(nodes);
        u.nodes += spent;
        let said = match packed {
            Packed::Impossible => Said::Impossible,
            Packed::Unknown => Said::Unknown,
            Packed::Found(spots) => {
                u.nodes = 0;
                u.found(&spots)
            }
        };
        let goes_on = !matches!(said, Said::Impossible) && u.descent.is_under_way();
        Answer {
            said,
            nodes: spent,
            stopped: own.is_raised() || stop.late(),
            under_way: goes_on.then_some(u),
        }
    }
}

impl UnderWay {
    fn new(instance: &Instance, q: &Question) -> Option<Box<UnderWay>> {
        let (floor, pieces, options) = terms(instance, q);
        let descent = Descent::new(&floor, &pieces, q.budget)?;
        Some(Box::new(UnderWay { descent, pieces, options, nodes: 0 }))
    }

    fn found(&self, spots: &[Spot]) -> Said {
        let option = |o: &Vec<usize>, s: usize| o.get(s).copied().unwrap_or(0);
        let places = spots.iter().zip(&self.options).map(|(s, o)| (option(o, s.shape), s.x, s.y)).collect();
        let outline = |p: &Piece, s: usize| p.shapes.get(s).map_or(0, |s| s.0 * s.1);
        Said::Found(spots.iter().zip(&self.pieces).map(|(s, p)| outline(p, s.shape)).sum(), places)
    }
}

impl Layers {
    /// What is known for a question, whatever its budget.
    pub(super) fn state(&self, instance: &Instance, q: &Question) -> State<'_> {
        if q.bodies.is_empty() {
            return State { found: Some((0, &[])), ..State::default() };
        }
        self.known.get(&q.key(instance)).map_or_else(State::default, |k| State {
            least: k.least,
            found: k.found.as_ref().map(|(area, places)| (*area, places.as_slice())),
            undecided: k.undecided,
        })
    }

    /// What is under way for a question, for it to go on with; what has had so many nodes stays where it is, lest its area
    /// become less for nothing.
    pub(super) fn take(&mut self, instance: &Instance, q: &Question, nodes: u64) -> Option<Box<UnderWay>> {
        self.known.get_mut(&q.key(instance))?.under_way.take_if(|u| u.nodes < nodes)
    }

    /// Keeps the answer to a question for which there were so many nodes.
    pub(super) fn note(&mut self, instance: &Instance, q: &Question, nodes: u64, answer: Answer) {
        let key = q.key(instance);
        let known = self.known.entry(key.clone()).or_default();
        known.under_way = match (answer.under_way, known.under_way.take()) {
            (Some(new), Some(old)) if new.nodes < old.nodes => Some(old),
            (new, old) => new.or(old),
        };
        let goes_on = known.under_way.is_some();
        match answer.said {
            Said::Impossible => known.least = known.least.max(q.budget.saturating_add(1)),
            Said::Unknown if answer.stopped => {}
            Said::Unknown => {
                let before = known.undecided.filter(|u| u.1 >= nodes);
                known.undecided = Some((before.map_or(q.budget, |u| u.0.min(q.budget)), nodes));
            }
            Said::Found(area, places) => {
                if known.found.as_ref().is_none_or(|f| area < f.0) {
                    known.found = Some((area, places));
                }
            }
        }
        self.latest.retain(|k| *k != key);
        if goes_on {
            self.latest.push_back(key);
        }
        if self.latest.len() > MOST_UNDER_WAY
            && let Some(oldest) = self.latest.pop_front().and_then(|k| self.known.get_mut(&k))
        {
            oldest.under_way = None;
        }
    }
}

/// The question in the packer's terms, and the options behind each piece's shapes.
pub(super) fn terms(instance: &Instance, q: &Question) -> (Floor, Vec<Piece>, Vec<Vec<usize>>) {
    let n = instance.trays.len();
    let least: i64 = q.bodies.iter().map(|(b, c)| least_area(instance, *b, c)).sum();
    let floor = Floor {
        w: instance.width,
        d: instance.depth,
        side: instance.side,
        between: instance.between,
        blocked: instance
            .blocked
            .iter()
            .filter(|(l, _)| *l == q.layer)
            .map(|(_, r)| *r)
            .collect::<Vec<Rect>>(),
        blocked_gap: 0,
    };
    let mut options = Vec::with_capacity(q.bodies.len());
    let mut pieces = Vec::with_capacity(q.bodies.len());
    for (b, c) in &q.bodies {
        let own = least_area(instance, *b, c);
        let most = match q.slack {
            Some(slack) => own + slack / c.height.max(1),
            None => own + (q.budget - least),
        };
        let (kept, held) = match b.checked_sub(n) {
            None => (false, instance.trays[*b].held),
            Some(k) => (true, instance.kept[k].held),
        };
        let small = outlines(instance, *b, c).filter(|(_, o)| o.w * o.d <= most);
        let (chosen, shapes) = small.map(|(i, o)| (i, (o.w, o.d))).unzip();
        pieces.push(Piece {
            shapes,
            kept,
            at: match held {
                HeldAt::Point(x, y, _) => Some((x, y)),
                _ => None,
            },
        });
        options.push(chosen);
    }
    (floor, pieces, options)
}

/// Outlines of a body that its choice allows, with their options or turns.
pub(super) fn outlines<'a>(
    instance: &'a Instance,
    body: usize,
    c: &Choice,
) -> impl Iterator<Item = (usize, &'a Option3)> {
    let kept = body.checked_sub(instance.trays.len());
    let list: &[Option3] = match kept {
        None => &instance.trays[body].options,
        Some(k) => &instance.kept[k].turns,
    };
    let height = c.height;
    let fits = move |o: &Option3| if kept.is_some() { o.h == height } else { o.h <= height };
    list.iter().enumerate().filter(move |(_, o)| fits(o))
}

/// Least outline area of a body at its choice.
pub(super) fn least_area(instance: &Instance, body: usize, c: &Choice) -> i64 {
    outlines(instance, body, c).map(|(_, o)| o.w * o.d).min().unwrap_or(0)
}

//! Layers of an assignment, packed exactly and remembered.

use std::collections::BTreeMap;

use super::super::bound::relax::Choice;
use super::super::instance::{HeldAt, Instance, Option3};
use super::super::pack::{Floor, Packed, Piece, Rect, pack_within};
use crate::stop::Stop;

/// Per body: option or turn, x, y.
pub(super) type Places = Vec<(usize, i64, i64)>;

/// Whether a layer can be packed within a budget of area.
pub(super) enum Fit {
    /// Yes: the sum of its outlines, and places in the order of the bodies.
    Found(i64, Places),
    /// Proven: no.
    Impossible,
    /// Not decided.
    Unknown,
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
}

/// Layer (where it matters), most area of one outline beyond its least (coupled layers), bodies with the heights they
/// may use.
type Key = (usize, i64, Vec<(usize, i64)>);

/// Memory of layers.
#[derive(Default)]
pub(super) struct Layers {
    known: BTreeMap<Key, Known>,
}

/// One question: can these bodies, ascending, stand in this layer?
pub(super) struct Question<'q> {
    pub(super) instance: &'q Instance,
    pub(super) layer: usize,
    pub(super) bodies: &'q [(usize, Choice)],
    /// Most area of all outlines together.
    pub(super) budget: i64,
    /// In coupled layers: what one outline may cost beyond its least. Areas are not added up there.
    pub(super) slack: Option<i64>,
}

impl Layers {
    /// Answers a question from memory or by packing with at most so many nodes.
    pub(super) fn fit(&mut self, q: &Question, nodes: u64, stop: &Stop) -> Fit {
        if q.bodies.is_empty() {
            return Fit::Found(0, Vec::new());
        }
        let blocked = q.instance.blocked.iter().any(|(l, _)| *l == q.layer);
        let at_layer = if blocked { q.layer } else { usize::MAX };
        let bodies: Vec<(usize, i64)> = q.bodies.iter().map(|(b, c)| (*b, c.height)).collect();
        let known = self.known.entry((at_layer, q.slack.unwrap_or(-1), bodies)).or_default();
        if q.budget < known.least {
            return Fit::Impossible;
        }
        if let Some((area, places)) = known.found.as_ref().filter(|f| f.0 <= q.budget) {
            return Fit::Found(*area, places.clone());
        }
        if known.undecided.is_some_and(|(from, spent)| q.budget >= from && nodes <= spent) {
            return Fit::Unknown;
        }
        let (floor, pieces, options) = ask(q);
        let own_stop = stop.share(nodes);
        let answer = pack_within(&floor, &pieces, q.budget, &own_stop);
        stop.spend(own_stop.spent().min(nodes));
        match answer {
            Packed::Impossible => {
                known.least = known.least.max(q.budget.saturating_add(1));
                Fit::Impossible
            }
            Packed::Unknown => {
                if !stop.now() {
                    let from =
                        known.undecided.filter(|u| u.1 >= nodes).map_or(q.budget, |u| u.0.min(q.budget));
                    known.undecided = Some((from, nodes));
                }
                Fit::Unknown
            }
            Packed::Found(spots) => {
                let option = |o: &Vec<usize>, s: usize| o.get(s).copied().unwrap_or(0);
                let places: Places =
                    spots.iter().zip(&options).map(|(s, o)| (option(o, s.shape), s.x, s.y)).collect();
                let outline = |p: &Piece, s: usize| p.shapes.get(s).map_or(0, |s| s.0 * s.1);
                let area = spots.iter().zip(&pieces).map(|(s, p)| outline(p, s.shape)).sum();
                known.found = Some((area, places.clone()));
                Fit::Found(area, places)
            }
        }
    }
}

/// The question in the packer's terms, and the options behind each piece's shapes.
fn ask(q: &Question) -> (Floor, Vec<Piece>, Vec<Vec<usize>>) {
    let instance = q.instance;
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
    for (b, c) in q.bodies {
        let own = least_area(instance, *b, c);
        let most = match q.slack {
            Some(slack) => own + slack / c.height.max(1),
            None => own + (q.budget - least),
        };
        let (list, kept, held): (&[Option3], bool, HeldAt) = match b.checked_sub(n) {
            None => (&instance.trays[*b].options, false, instance.trays[*b].held),
            Some(k) => (&instance.kept[k].turns, true, instance.kept[k].held),
        };
        let fits = |o: &Option3| if kept { o.h == c.height } else { o.h <= c.height };
        let chosen: Vec<usize> =
            (0..list.len()).filter(|&i| fits(&list[i]) && list[i].w * list[i].d <= most).collect();
        pieces.push(Piece {
            shapes: chosen.iter().map(|&i| (list[i].w, list[i].d)).collect(),
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

/// Least outline area of a body at its choice.
pub(super) fn least_area(instance: &Instance, body: usize, c: &Choice) -> i64 {
    let areas = |list: &[Option3], fits: &dyn Fn(i64) -> bool| {
        list.iter().filter(|o| fits(o.h)).map(|o| o.w * o.d).min().unwrap_or(0)
    };
    match body.checked_sub(instance.trays.len()) {
        None => areas(&instance.trays[body].options, &|h| h <= c.height),
        Some(k) => areas(&instance.kept[k].turns, &|h| h == c.height),
    }
}

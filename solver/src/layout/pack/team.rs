//! Several searches of one packing side by side: both axes, each split by what is placed first, and constructions.
//!
//! Every member goes on for the same number of states, then all hand in what they came to; which branch a member takes
//! next is settled in a fixed order. So the answer and the count of states do not depend on the number of threads.
//!
//! A team can be left and gone on with, also for less area than before: whatever was refuted stays so.

use std::collections::VecDeque;
use std::sync::Arc;

use rayon::prelude::*;

use super::corners::{Corners, Held, Move, Outcome, holds};
use super::field::Field;
use super::quick::Climb;
use super::{NODES_PER_TRY, Packed, Spot};
use crate::stop::Stop;

/// Members at work for each axis at first: what is there to be found is sometimes found much sooner on one of them.
const EVEN: [usize; 2] = [4, 4];
/// After so many states there may be nothing to be found. To refute takes as long on either axis, so most share the
/// branches of one; the others rest.
const LONG: u64 = 60_000;
const UNEVEN: [usize; 2] = [7, 1];
/// States of a member between two meetings at first; doubled up to the cap.
const FIRST_STRETCH: u64 = 128;
const MOST_STRETCH: u64 = 2_048;
/// Constructions of a climb before it starts anew, the first time; then twice as many each time.
const FIRST_CLIMB: u64 = 512;
/// States after which a member looks whether it should stop.
const LOOK: u64 = 256;
/// So many choices of held outlines are searched side by side.
const MOST_HOLDS: usize = 64;

/// A branch: for which choice of held outlines, and the first move.
type Branch = (usize, Move);

/// One that searches.
enum Member {
    /// Branches of one axis, one after the other.
    Branches { axis: usize, hold: usize, search: Box<Corners<Arc<Field>>>, at_work: bool, rests: bool },
    /// Constructions on one axis.
    Climb { axis: usize, search: Box<Climb<Arc<Field>>>, left: u64, most: u64, seed: u64 },
}

/// What came of a stretch.
struct End {
    spent: u64,
    found: Option<Vec<Spot>>,
}

/// All members and what is still to be handed out to them.
pub(super) struct Team {
    fields: [Arc<Field>; 2],
    /// Per axis: choices of held outlines.
    holdings: [Vec<Vec<Held>>; 2],
    branches: [VecDeque<Branch>; 2],
    members: Vec<Member>,
    /// Most area of all outlines together, now.
    budget: i64,
    stretch: u64,
    spent: u64,
}

impl Team {
    /// At the start, for fields that are the same with axes swapped; `None` where there is too little or too much to be
    /// split.
    pub(super) fn new(fields: [Arc<Field>; 2]) -> Option<Team> {
        let mut team = Team {
            budget: fields[0].budget,
            fields: fields.clone(),
            holdings: Default::default(),
            branches: Default::default(),
            members: Vec::new(),
            stretch: FIRST_STRETCH,
            spent: 0,
        };
        for (axis, field) in fields.iter().enumerate() {
            let all = &mut team.holdings[axis];
            let few = holds(field, &mut |held| {
                all.push(held.to_vec());
                all.len() <= MOST_HOLDS
            });
            if !few || field.bodies.iter().all(|b| b.at.is_some()) {
                return None;
            }
            for (hold, held) in all.iter().enumerate() {
                let firsts = Corners::new(&**field, held).firsts();
                team.branches[axis].extend(firsts.into_iter().map(|first| (hold, first)));
            }
            let most = EVEN[axis].max(UNEVEN[axis]);
            team.members.extend(all.first().into_iter().flat_map(|held| {
                let one = || Box::new(Corners::new(Arc::clone(field), held));
                (0..most).map(move |_| Member::Branches {
                    axis,
                    hold: 0,
                    search: one(),
                    at_work: false,
                    rests: false,
                })
            }));
            team.members.push(Member::Climb {
                axis,
                search: Box::new(Climb::new(Arc::clone(field), field.budget, 0)),
                left: FIRST_CLIMB,
                most: FIRST_CLIMB,
                seed: 0,
            });
        }
        Some(team)
    }

    /// What is asked for.
    pub(super) fn budget(&self) -> i64 {
        self.budget
    }

    /// Asks for no more than this from now on, which is no more than before.
    pub(super) fn tighten(&mut self, budget: i64) {
        let by = self.budget.saturating_sub(budget).max(0);
        self.budget -= by;
        for member in &mut self.members {
            match member {
                Member::Branches { search, .. } => search.tighten(by),
                Member::Climb { search, .. } => search.tighten(by),
            }
        }
    }

    /// Gives back memory that can be filled again.
    pub(super) fn rest(&mut self) {
        for member in &mut self.members {
            if let Member::Branches { search, .. } = member {
                search.rest();
            }
        }
    }

    /// Goes on until the fields are decided, or the stop ends it.
    pub(super) fn go(&mut self, stop: &Stop) -> Packed {
        loop {
            if self.hand_out(if self.spent < LONG { EVEN } else { UNEVEN }).contains(&false) {
                return Packed::Impossible;
            }
            let share = self.stretch.min(stop.nodes_left() / self.members.len() as u64 + 1);
            let budget = self.budget;
            let ends: Vec<End> = self.members.par_iter_mut().map(|m| m.work(share, budget, stop)).collect();
            let now: u64 = ends.iter().map(|e| e.spent).sum();
            self.spent += now;
            self.stretch = (self.stretch * 2).min(MOST_STRETCH);
            let over = stop.spend(now) || stop.now();
            let found = self.members.iter().zip(ends).filter_map(|(member, end)| {
                let (Member::Branches { axis, .. } | Member::Climb { axis, .. }) = member;
                let answer = Packed::Found(end.found?);
                Some(if *axis == 0 { answer } else { answer.turned() })
            });
            if let Some(answer) = found.min_by_key(|a| self.fields[0].area(a)) {
                return answer;
            }
            if over {
                return Packed::Unknown;
            }
        }
    }

    /// So many members of each axis get to work, on what they had before or on what is next; whether there is anything
    /// left to do for each axis.
    fn hand_out(&mut self, most: [usize; 2]) -> [bool; 2] {
        let (mut open, mut woken) = ([false; 2], [0; 2]);
        for member in &mut self.members {
            let Member::Branches { axis, hold, search, at_work, rests } = member else { continue };
            let axis = *axis;
            *rests = woken[axis] == most[axis];
            if !*rests
                && !*at_work
                && let Some((next, first)) = self.branches[axis].pop_front()
            {
                if next != *hold {
                    let field = Arc::clone(&self.fields[axis]);
                    let before = field.budget;
                    **search = Corners::new(field, &self.holdings[axis][next]);
                    search.tighten(before.saturating_sub(self.budget));
                    *hold = next;
                }
                search.restart(&[first]);
                *at_work = true;
            }
            woken[axis] += usize::from(*at_work && !*rests);
            open[axis] |= *at_work;
        }
        open
    }
}

impl Member {
    /// Goes on for so many states, or the time they take.
    fn work(&mut self, states: u64, budget: i64, stop: &Stop) -> End {
        let mut spent = 0;
        let found = match self {
            Member::Branches { at_work: false, .. } | Member::Branches { rests: true, .. } => None,
            Member::Branches { search, at_work, .. } => {
                let came = search.go(&mut || {
                    if spent >= states || (spent % LOOK == 0 && stop.cut()) {
                        return true;
                    }
                    spent += 1;
                    false
                });
                *at_work = came != Outcome::Exhausted;
                (came == Outcome::Found).then(|| search.spots())
            }
            Member::Climb { search, left, most, seed, .. } => {
                if *left == 0 {
                    *most *= 2;
                    *seed += 1;
                    *left = *most;
                    search.restart(budget, *seed);
                }
                let tries = (states / NODES_PER_TRY).clamp(1, *left);
                let found = search.go(&mut || {
                    if spent >= tries || stop.cut() {
                        return true;
                    }
                    spent += 1;
                    false
                });
                *left -= spent.min(*left);
                found
            }
        };
        End { spent, found }
    }
}

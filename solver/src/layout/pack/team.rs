//! Several searches of one packing side by side: both axes, each split by what is placed first, and constructions.
//!
//! Every member goes on for the same number of states, then all hand in what they came to; which branch a member takes
//! next is settled in a fixed order. So the answer and the count of states do not depend on the number of threads.

use std::collections::VecDeque;

use rayon::prelude::*;

use super::corners::{self, Corners, Held, Move, Outcome, holds};
use super::field::Field;
use super::quick::Climb;
use super::slice::Slice;
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
enum Member<'a> {
    /// Branches of one axis, one after the other.
    Branches { axis: usize, hold: usize, search: Box<Corners<'a>>, at_work: bool, rests: bool },
    /// Constructions on one axis.
    Climb { axis: usize, search: Box<Climb<'a>>, field: &'a Field, left: u64, most: u64, seed: u64 },
}

/// What came of a stretch.
struct End {
    spent: u64,
    found: Option<Vec<Spot>>,
}

/// Decides `fields`, which are the same with axes swapped.
pub(super) fn search(fields: [&Field; 2], stop: &Stop) -> Packed {
    let Some(mut team) = Team::new(fields) else {
        return corners::search(fields[0], &Slice::new(stop, u64::MAX));
    };
    let mut stretch = FIRST_STRETCH;
    let mut spent = 0;
    loop {
        if team.hand_out(if spent < LONG { EVEN } else { UNEVEN }).contains(&false) {
            return Packed::Impossible;
        }
        let share = stretch.min(stop.nodes_left() / team.members.len() as u64 + 1);
        let ends: Vec<End> = team.members.par_iter_mut().map(|m| m.work(share, stop)).collect();
        let now: u64 = ends.iter().map(|e| e.spent).sum();
        spent += now;
        let over = stop.spend(now) || stop.now();
        for (member, end) in team.members.iter().zip(ends) {
            let (Member::Branches { axis, .. } | Member::Climb { axis, .. }) = member;
            if let Some(spots) = end.found {
                let answer = Packed::Found(spots);
                return if *axis == 0 { answer } else { answer.turned() };
            }
        }
        if over {
            return Packed::Unknown;
        }
        stretch = (stretch * 2).min(MOST_STRETCH);
    }
}

/// All members and what is still to be handed out to them.
struct Team<'a> {
    fields: [&'a Field; 2],
    /// Per axis: choices of held outlines.
    holdings: [Vec<Vec<Held>>; 2],
    branches: [VecDeque<Branch>; 2],
    members: Vec<Member<'a>>,
}

impl<'a> Team<'a> {
    /// `None` where there is too little or too much to be split.
    fn new(fields: [&'a Field; 2]) -> Option<Team<'a>> {
        let mut team =
            Team { fields, holdings: Default::default(), branches: Default::default(), members: Vec::new() };
        for (axis, field) in fields.into_iter().enumerate() {
            let all = &mut team.holdings[axis];
            let few = holds(field, &mut |held| {
                all.push(held.to_vec());
                all.len() <= MOST_HOLDS
            });
            if !few || field.bodies.iter().all(|b| b.at.is_some()) {
                return None;
            }
            for (hold, held) in all.iter().enumerate() {
                let firsts = Corners::new(field, held).firsts();
                team.branches[axis].extend(firsts.into_iter().map(|first| (hold, first)));
            }
            let most = EVEN[axis].max(UNEVEN[axis]);
            team.members.extend(all.first().into_iter().flat_map(|held| {
                let one = || Box::new(Corners::new(field, held));
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
                search: Box::new(Climb::new(field, 0)),
                field,
                left: FIRST_CLIMB,
                most: FIRST_CLIMB,
                seed: 0,
            });
        }
        Some(team)
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
                    **search = Corners::new(self.fields[axis], &self.holdings[axis][next]);
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

impl Member<'_> {
    /// Goes on for so many states, or the time they take.
    fn work(&mut self, states: u64, stop: &Stop) -> End {
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
                *at_work = came == Outcome::Stopped;
                (came == Outcome::Found).then(|| search.spots())
            }
            Member::Climb { search, field, left, most, seed, .. } => {
                if *left == 0 {
                    *most *= 2;
                    *seed += 1;
                    *left = *most;
                    **search = Climb::new(field, *seed);
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

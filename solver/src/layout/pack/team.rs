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

/// Members for each axis. To refute takes as long on either, so most share the branches of one of them; what is there
/// to be found is sometimes found much sooner on the other.
const MEMBERS: [usize; 2] = [7, 1];
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
    Branches { axis: usize, hold: usize, search: Box<Corners<'a>>, at_work: bool },
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
    let mut holdings: [Vec<Vec<Held>>; 2] = Default::default();
    let mut branches: [VecDeque<Branch>; 2] = Default::default();
    let mut members = Vec::new();
    for (axis, field) in fields.into_iter().enumerate() {
        let few = holds(field, &mut |held| {
            holdings[axis].push(held.to_vec());
            holdings[axis].len() <= MOST_HOLDS
        });
        if !few || field.bodies.iter().all(|b| b.at.is_some()) {
            return corners::search(fields[0], &Slice::new(stop, u64::MAX));
        }
        for (hold, held) in holdings[axis].iter().enumerate() {
            let mut search = Box::new(Corners::new(field, held));
            branches[axis].extend(search.firsts().into_iter().map(|m| (hold, m)));
            if hold == 0 {
                let again = (1..MEMBERS[axis]).map(|_| Box::new(Corners::new(field, held)));
                let all = again.chain([search]);
                members.extend(all.map(|search| Member::Branches { axis, hold, search, at_work: false }));
            }
        }
        members.push(Member::Climb {
            axis,
            search: Box::new(Climb::new(field, 0)),
            field,
            left: FIRST_CLIMB,
            most: FIRST_CLIMB,
            seed: 0,
        });
    }
    let mut stretch = FIRST_STRETCH;
    loop {
        let mut open = [false; 2];
        for member in &mut members {
            if let Member::Branches { axis, hold, search, at_work } = member {
                if !*at_work && let Some((next, first)) = branches[*axis].pop_front() {
                    if next != *hold {
                        **search = Corners::new(fields[*axis], &holdings[*axis][next]);
                        *hold = next;
                    }
                    search.restart(&[first]);
                    *at_work = true;
                }
                open[*axis] |= *at_work;
            }
        }
        if open.contains(&false) {
            return Packed::Impossible;
        }
        let share = stretch.min(stop.nodes_left() / members.len() as u64 + 1);
        let ends: Vec<End> = members.par_iter_mut().map(|m| m.work(share, stop)).collect();
        let over = stop.spend(ends.iter().map(|e| e.spent).sum()) || stop.now();
        for (member, end) in members.iter().zip(ends) {
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

impl Member<'_> {
    /// Goes on for so many states, or the time they take.
    fn work(&mut self, states: u64, stop: &Stop) -> End {
        let mut spent = 0;
        let found = match self {
            Member::Branches { at_work: false, .. } => None,
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

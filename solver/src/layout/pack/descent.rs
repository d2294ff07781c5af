//! One packing asked for again and again, for as much area or for less and less.

use std::sync::Arc;

use super::field::Field;
use super::team::Team;
use super::{Floor, Packed, Piece, Turns, take_turns};
use crate::stop::Stop;

/// A question that can be left and gone on with. What a team refuted for some area is refuted for less, so that it searches
/// nothing twice.
pub(crate) struct Descent {
    field: Arc<Field>,
    team: Option<Team>,
}

impl Descent {
    /// At the start: outlines that together have at most this area. `None` where a length is beyond the limit.
    pub(crate) fn new(floor: &Floor, pieces: &[Piece], budget: i64) -> Option<Descent> {
        let mut field = Field::new(floor, pieces)?;
        field.budget = budget;
        Some(Descent { field: Arc::new(field), team: None })
    }

    /// Whether this much area can be asked for.
    pub(crate) fn covers(&self, budget: i64) -> bool {
        let most = self.team.as_ref().map_or(self.field.budget, Team::budget);
        // Where area does not count at all, none is reckoned with.
        budget == most || (budget < most && most < i64::MAX)
    }

    /// Goes on for at most this area, which it must cover, until that is decided or the stop ends it.
    pub(crate) fn go(&mut self, budget: i64, stop: &Stop) -> Packed {
        if !self.covers(budget) {
            return Packed::Unknown;
        }
        if self.team.is_none() {
            if let Some(field) = Arc::get_mut(&mut self.field) {
                field.budget = budget;
            }
            match take_turns(&self.field, stop) {
                Turns::Decided(packed) => return packed,
                Turns::Team(team) => self.team = Some(team),
            }
        }
        let Some(team) = &mut self.team else { return Packed::Unknown };
        team.tighten(budget);
        let packed = team.go(stop);
        team.rest();
        packed
    }

    /// Whether a team is at work, which can be gone on with.
    pub(crate) fn is_under_way(&self) -> bool {
        self.team.is_some()
    }
}

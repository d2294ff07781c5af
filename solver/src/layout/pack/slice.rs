//! A share of a node budget, so that two searches can take turns.

use std::cell::Cell;

use crate::stop::Stop;

/// Ends after its own nodes or with the stop behind it, whichever is sooner; both count the nodes.
pub(super) struct Slice<'a> {
    stop: &'a Stop,
    left: Cell<u64>,
    over: Cell<bool>,
}

impl<'a> Slice<'a> {
    pub(super) fn new(stop: &'a Stop, nodes: u64) -> Slice<'a> {
        Slice { stop, left: Cell::new(nodes), over: Cell::new(false) }
    }

    /// Another share, of the same stop.
    pub(super) fn part(&self, nodes: u64) -> Slice<'a> {
        Slice::new(self.stop, nodes)
    }

    /// Counts a node and says whether to end.
    pub(super) fn spend(&self) -> bool {
        let Some(left) = self.left.get().checked_sub(1) else { return true };
        self.left.set(left);
        let over = self.stop.spend(1);
        self.over.set(self.over.get() || over);
        over
    }

    /// Whether the stop behind it has ended everything.
    pub(super) fn over(&self) -> bool {
        self.over.get()
    }
}

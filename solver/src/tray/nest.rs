//! An arrangement in groups: the members of a group are arranged in every way, and a group is one
//! member of the group above it.
//!
//! A group keeps the curve of all arrangements of its members, so a nest stands for a great many
//! slicing trees at once, and one nest can be good for square outlines and for long ones.

use super::dense::{Board, Dense};
use super::exact::Table;
use super::tree::{Kind, Node};
use crate::random::Random;

/// Members that a group starts with, and the most that it may ever have. All ways to arrange seven
/// take about 0.2 ms.
const USUAL_MEMBERS: usize = 6;
const MOST_MEMBERS: usize = 7;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Member {
    /// A compartment of this kind.
    Leaf(usize),
    /// Another group.
    Group(usize),
}

#[derive(Clone, Debug)]
struct Group {
    members: Vec<Member>,
    /// The group it is a member of; the last group is the whole tray and has none.
    above: Option<usize>,
    curve: Dense,
}

impl Group {
    /// Members without repetition, and how often each comes.
    fn counted(&self) -> (Vec<Member>, Vec<usize>) {
        let mut members: Vec<Member> = Vec::new();
        let mut counts: Vec<usize> = Vec::new();
        for &member in &self.members {
            match members.iter().position(|m| *m == member) {
                Some(i) => {
                    if let Some(count) = counts.get_mut(i) {
                        *count += 1;
                    }
                }
                None => {
                    members.push(member);
                    counts.push(1);
                }
            }
        }
        (members, counts)
    }
}

/// Groups in groups; members come before the groups that hold them.
#[derive(Clone, Debug)]
pub(super) struct Nest {
    groups: Vec<Group>,
}

impl Nest {
    /// Groups of neighbours in an order of kinds.
    pub(super) fn of_order(board: &Board, leaves: &[Dense], order: &[usize]) -> Nest {
        let mut nest = Nest { groups: Vec::new() };
        let mut level: Vec<Member> = order.iter().map(|&k| Member::Leaf(k)).collect();
        loop {
            // Groups of about the same size rather than full ones and a small rest.
            let count = level.len().div_ceil(USUAL_MEMBERS).max(1);
            let size = level.len().div_ceil(count).max(1);
            let mut next = Vec::with_capacity(count);
            for members in level.chunks(size) {
                next.push(nest.add(board, leaves, members.to_vec()));
            }
            if next.len() <= 1 {
                return nest;
            }
            level = next;
        }
    }

    /// Groups of regions of a tree: each group takes the largest of its regions apart until it has
    /// its number of members.
    pub(super) fn of_tree(board: &Board, leaves: &[Dense], tree: &Node) -> Nest {
        let mut nest = Nest { groups: Vec::new() };
        nest.group_of(board, leaves, tree);
        nest
    }

    fn group_of(&mut self, board: &Board, leaves: &[Dense], tree: &Node) -> Member {
        let mut regions = vec![tree];
        while regions.len() < USUAL_MEMBERS {
            let area = |n: &Node| n.size[0].saturating_mul(n.size[1]);
            let cut = regions.iter().enumerate().filter(|(_, n)| matches!(n.kind, Kind::Cut(..)));
            let Some((i, _)) = cut.max_by_key(|(_, n)| area(n)) else { break };
            if let Kind::Cut(_, kids) = &regions.swap_remove(i).kind {
                regions.extend(kids.iter());
            }
        }
        let members: Vec<Member> = regions
            .into_iter()
            .map(|region| match region.kind {
                Kind::Leaf(kind) => Member::Leaf(kind),
                Kind::Cut(..) => self.group_of(board, leaves, region),
            })
            .collect();
        self.add(board, leaves, members)
    }

    /// Adds a group over members that are there already.
    fn add(&mut self, board: &Board, leaves: &[Dense], members: Vec<Member>) -> Member {
        let id = self.groups.len();
        for member in &members {
            if let Member::Group(below) = *member
                && let Some(group) = self.groups.get_mut(below)
            {
                group.above = Some(id);
            }
        }
        self.groups.push(Group { members, above: None, curve: Dense::empty(board) });
        self.work_out(id, board, leaves);
        Member::Group(id)
    }

    /// The whole tray's curve.
    pub(super) fn curve(&self) -> Option<&Dense> {
        self.groups.last().map(|g| &g.curve)
    }

    fn table(&self, id: usize, board: &Board, leaves: &[Dense]) -> Option<(Vec<Member>, Table)> {
        let (members, counts) = self.groups.get(id)?.counted();
        let curves: Vec<&Dense> = members
            .iter()
            .filter_map(|m| match *m {
                Member::Leaf(kind) => leaves.get(kind),
                Member::Group(below) => self.groups.get(below).map(|g| &g.curve),
            })
            .collect();
        Some((members, Table::fill(*board, &curves, &counts)))
    }

    fn work_out(&mut self, id: usize, board: &Board, leaves: &[Dense]) {
        let curve = self.table(id, board, leaves).map(|(_, table)| table.whole());
        if let (Some(group), Some(curve)) = (self.groups.get_mut(id), curve) {
            group.curve = curve;
        }
    }

    /// All its tables, for taking arrangements out.
    pub(super) fn tables(&self, board: &Board, leaves: &[Dense]) -> Tables {
        Tables { groups: (0..self.groups.len()).filter_map(|id| self.table(id, board, leaves)).collect() }
    }
}

/// A nest with the tables of all its groups.
pub(super) struct Tables {
    groups: Vec<(Vec<Member>, Table)>,
}

impl Tables {
    /// The arrangement of the whole tray within so many columns and rows.
    pub(super) fn tree(&self, board: &Board, columns: i64, rows: i64) -> Option<Node> {
        self.group(board, self.groups.len().checked_sub(1)?, columns, rows)
    }

    fn group(&self, board: &Board, id: usize, columns: i64, rows: i64) -> Option<Node> {
        let (members, table) = self.groups.get(id)?;
        let mut node = table.tree(columns, rows)?;
        self.open(board, members, &mut node)?;
        Some(node)
    }

    /// Puts kinds of parts and whole groups in the place of members.
    fn open(&self, board: &Board, members: &[Member], node: &mut Node) -> Option<()> {
        match &mut node.kind {
            Kind::Leaf(member) => match *members.get(*member)? {
                Member::Leaf(kind) => *member = kind,
                Member::Group(id) => {
                    let [w, d] = node.size;
                    *node = self.group(board, id, board.down(w), board.down(d))?;
                }
            },
            Kind::Cut(_, kids) => {
                for kid in kids.iter_mut() {
                    self.open(board, members, kid)?;
                }
            }
        }
        Some(())
    }
}

/// What a move changed: groups as they were.
pub(super) struct Undo(Vec<(usize, Group)>);

impl Undo {
    /// Groups worked out for it.
    pub(super) fn groups(&self) -> u64 {
        self.0.len() as u64
    }
}

/// Moves.
impl Nest {
    /// Swaps two members of different groups or moves one to another group, and works out the
    /// curves anew. `None` where the draw came to nothing.
    pub(super) fn disturb(&mut self, board: &Board, leaves: &[Dense], random: &mut Random) -> Option<Undo> {
        let (from, to) = (random.below(self.groups.len()), random.below(self.groups.len()));
        let (source, target) = (self.groups.get(from)?, self.groups.get(to)?);
        let i = random.below(source.members.len());
        let member = *source.members.get(i)?;
        let moved = random.below(3) == 0;
        let j = random.below(target.members.len());
        let other = *target.members.get(j)?;
        // Only compartments move: groups keep their place, so that members stay before their groups.
        if from == to || member == other || matches!(member, Member::Group(_)) {
            return None;
        }
        if moved {
            if target.members.len() >= MOST_MEMBERS || source.members.len() <= 1 {
                return None;
            }
        } else if matches!(other, Member::Group(_)) {
            return None;
        }
        let dirty = self.upwards(from, to);
        let undo = Undo(dirty.iter().filter_map(|&id| Some((id, self.groups.get(id)?.clone()))).collect());
        let source = &mut self.groups.get_mut(from)?.members;
        if moved {
            source.remove(i);
            self.groups.get_mut(to)?.members.push(member);
        } else {
            *source.get_mut(i)? = other;
            *self.groups.get_mut(to)?.members.get_mut(j)? = member;
        }
        for id in dirty {
            self.work_out(id, board, leaves);
        }
        Some(undo)
    }

    /// Takes a move back.
    pub(super) fn undo(&mut self, undo: Undo) {
        for (id, group) in undo.0 {
            if let Some(into) = self.groups.get_mut(id) {
                *into = group;
            }
        }
    }

    /// Two groups and all above them, members first.
    fn upwards(&self, a: usize, b: usize) -> Vec<usize> {
        let mut all = Vec::new();
        for start in [a, b] {
            let mut at = Some(start);
            while let Some(id) = at {
                all.push(id);
                at = self.groups.get(id).and_then(|g| g.above);
            }
        }
        all.sort_unstable();
        all.dedup();
        all
    }
}

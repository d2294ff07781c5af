//! A slicing tree that can be disturbed: regions as numbered nodes, each with its curve.

use super::dense::{Board, Dense};
use super::tree::{Kind, Node};
use crate::random::Random;

/// A slicing tree without sizes. The last node added is the root.
#[derive(Clone, Debug, Default)]
pub(super) struct Sketch {
    nodes: Vec<Part>,
    root: usize,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    /// A compartment of this kind of part.
    Leaf(usize),
    /// Two regions along an axis.
    Cut(usize, [usize; 2]),
}

impl Sketch {
    pub(super) fn leaf(&mut self, kind: usize) -> usize {
        self.add(Part::Leaf(kind))
    }

    pub(super) fn cut(&mut self, axis: usize, a: usize, b: usize) -> usize {
        self.add(Part::Cut(axis, [a, b]))
    }

    fn add(&mut self, part: Part) -> usize {
        self.root = self.nodes.len();
        self.nodes.push(part);
        self.root
    }

    /// Works out the curves of all its regions.
    pub(super) fn grow(&self, board: &Board, leaves: &[Dense]) -> Grown {
        let mut grown = Grown {
            nodes: self.nodes.clone(),
            parents: vec![None; self.nodes.len()],
            root: self.root,
            curves: vec![Dense::empty(board); self.nodes.len()],
            spare: Dense::empty(board),
        };
        for (i, part) in self.nodes.iter().enumerate() {
            if let Part::Cut(_, kids) = part {
                for &kid in kids {
                    if let Some(parent) = grown.parents.get_mut(kid) {
                        *parent = Some(i);
                    }
                }
            }
        }
        for i in grown.upwards(self.root) {
            grown.work_out(i, leaves);
        }
        grown
    }
}

/// A slicing tree with the curves of all its regions.
pub(super) struct Grown {
    nodes: Vec<Part>,
    parents: Vec<Option<usize>>,
    root: usize,
    curves: Vec<Dense>,
    spare: Dense,
}

/// What a move changed.
pub(super) struct Undo {
    nodes: Vec<(usize, Part)>,
    parents: Vec<(usize, Option<usize>)>,
    root: usize,
    curves: Vec<(usize, Dense)>,
}

impl Undo {
    /// Curves worked out for it.
    pub(super) fn joins(&self) -> u64 {
        self.curves.len() as u64
    }
}

impl Grown {
    /// The whole tree's curve.
    pub(super) fn curve(&self) -> &Dense {
        self.curves.get(self.root).unwrap_or(&self.spare)
    }

    /// The tree alone.
    pub(super) fn sketch(&self) -> Sketch {
        Sketch { nodes: self.nodes.clone(), root: self.root }
    }

    /// All nodes below `from` and itself, children before parents.
    fn upwards(&self, from: usize) -> Vec<usize> {
        let mut order = vec![from];
        let mut next = 0;
        while let Some(&i) = order.get(next) {
            if let Some(Part::Cut(_, kids)) = self.nodes.get(i) {
                order.extend(kids);
            }
            next += 1;
        }
        order.reverse();
        order
    }

    fn work_out(&mut self, i: usize, leaves: &[Dense]) {
        match self.nodes.get(i) {
            Some(&Part::Leaf(kind)) => {
                if let (Some(into), Some(leaf)) = (self.curves.get_mut(i), leaves.get(kind)) {
                    into.clone_from(leaf);
                }
            }
            Some(&Part::Cut(axis, [a, b])) => {
                let mut own = std::mem::replace(&mut self.spare, Dense::hollow());
                if let (Some(a), Some(b)) = (self.curves.get(a), self.curves.get(b)) {
                    own.cut(axis, a, b);
                }
                if let Some(into) = self.curves.get_mut(i) {
                    std::mem::swap(into, &mut own);
                }
                self.spare = own;
            }
            None => {}
        }
    }

    /// The arrangement at a point of its curve, with sizes.
    pub(super) fn node(&self, board: &Board, columns: i64, rows: i64) -> Option<Node> {
        self.node_of(board, self.root, columns, rows)
    }

    fn node_of(&self, board: &Board, i: usize, columns: i64, rows: i64) -> Option<Node> {
        let size = [board.clear(columns), board.clear(rows)];
        match *self.nodes.get(i)? {
            Part::Leaf(kind) => Some(Node { size, kind: Kind::Leaf(kind) }),
            Part::Cut(axis, [a, b]) => {
                let first = self.curves.get(a)?;
                let (a, b) = if axis == 0 {
                    let own = i64::from(*first.width.get(usize::try_from(rows).ok()?)?);
                    (self.node_of(board, a, own, rows)?, self.node_of(board, b, columns - own, rows)?)
                } else {
                    let own = i64::from(*first.depth.get(usize::try_from(columns).ok()?)?);
                    (self.node_of(board, a, columns, own)?, self.node_of(board, b, columns, rows - own)?)
                };
                Some(Node { size, kind: Kind::Cut(axis, Box::new([a, b])) })
            }
        }
    }
}

/// Moves.
impl Grown {
    /// Makes one random move and works out what it changes; `None` where the tree is too small.
    pub(super) fn disturb(&mut self, random: &mut Random, leaves: &[Dense]) -> Option<Undo> {
        if self.nodes.len() < 5 {
            return None;
        }
        let mut undo = Undo { nodes: Vec::new(), parents: Vec::new(), root: self.root, curves: Vec::new() };
        let mut touched = Vec::new();
        match random.below(8) {
            0..3 => self.swap_kinds(random, &mut undo, &mut touched),
            3 => self.turn_cut(random, &mut undo, &mut touched),
            _ => self.move_region(random, &mut undo, &mut touched),
        }
        self.refresh(&touched, leaves, &mut undo);
        Some(undo)
    }

    /// Takes a move back.
    pub(super) fn undo(&mut self, undo: Undo) {
        for (i, part) in undo.nodes.into_iter().rev() {
            if let Some(into) = self.nodes.get_mut(i) {
                *into = part;
            }
        }
        for (i, parent) in undo.parents.into_iter().rev() {
            if let Some(into) = self.parents.get_mut(i) {
                *into = parent;
            }
        }
        for (i, curve) in undo.curves.into_iter().rev() {
            if let Some(into) = self.curves.get_mut(i) {
                *into = curve;
            }
        }
        self.root = undo.root;
    }

    fn set(&mut self, i: usize, part: Part, undo: &mut Undo) {
        if let Some(into) = self.nodes.get_mut(i) {
            undo.nodes.push((i, *into));
            *into = part;
        }
        if let Part::Cut(_, kids) = part {
            for kid in kids {
                self.set_parent(kid, Some(i), undo);
            }
        }
    }

    fn set_parent(&mut self, i: usize, parent: Option<usize>, undo: &mut Undo) {
        if let Some(into) = self.parents.get_mut(i) {
            undo.parents.push((i, *into));
            *into = parent;
        }
    }

    fn parent(&self, i: usize) -> Option<usize> {
        self.parents.get(i).copied().flatten()
    }

    fn swap_kinds(&mut self, random: &mut Random, undo: &mut Undo, touched: &mut Vec<usize>) {
        let (a, b) = (random.below(self.nodes.len()), random.below(self.nodes.len()));
        let (Some(&first), Some(&second)) = (self.nodes.get(a), self.nodes.get(b)) else { return };
        if let (Part::Leaf(x), Part::Leaf(y)) = (first, second)
            && x != y
        {
            self.set(a, second, undo);
            self.set(b, first, undo);
            touched.extend([a, b]);
        }
    }

    fn turn_cut(&mut self, random: &mut Random, undo: &mut Undo, touched: &mut Vec<usize>) {
        let i = random.below(self.nodes.len());
        if let Some(&Part::Cut(axis, kids)) = self.nodes.get(i) {
            self.set(i, Part::Cut(1 - axis, kids), undo);
            touched.push(i);
        }
    }

    /// Takes a region out of its cut and sets it beside or behind another.
    fn move_region(&mut self, random: &mut Random, undo: &mut Undo, touched: &mut Vec<usize>) {
        let (region, beside, axis) =
            (random.below(self.nodes.len()), random.below(self.nodes.len()), random.below(2));
        let Some(cut) = self.parent(region) else { return };
        if beside == cut || beside == region || self.is_below(beside, region) {
            return;
        }
        let Some(&Part::Cut(_, [a, b])) = self.nodes.get(cut) else { return };
        let sibling = if a == region { b } else { a };
        if beside == sibling {
            self.set(cut, Part::Cut(axis, [region, sibling]), undo);
            touched.push(cut);
            return;
        }
        // The sibling takes the place of the cut; the cut moves over the new neighbour.
        let above = self.parent(cut);
        self.replace_kid(above, cut, sibling, undo);
        let above_new = self.parent(beside);
        self.replace_kid(above_new, beside, cut, undo);
        self.set(cut, Part::Cut(axis, [beside, region]), undo);
        touched.extend(above);
        touched.push(cut);
    }

    fn replace_kid(&mut self, above: Option<usize>, old: usize, new: usize, undo: &mut Undo) {
        match above {
            Some(i) => {
                if let Some(&Part::Cut(axis, [a, b])) = self.nodes.get(i) {
                    let kids = if a == old { [new, b] } else { [a, new] };
                    self.set(i, Part::Cut(axis, kids), undo);
                }
            }
            None => {
                self.root = new;
                self.set_parent(new, None, undo);
            }
        }
    }

    fn is_below(&self, i: usize, above: usize) -> bool {
        let mut at = Some(i);
        while let Some(node) = at {
            if node == above {
                return true;
            }
            at = self.parent(node);
        }
        false
    }

    /// Works out again the curves of nodes that changed and of all above them, deepest first.
    fn refresh(&mut self, touched: &[usize], leaves: &[Dense], undo: &mut Undo) {
        let mut todo: Vec<(usize, usize)> = Vec::new();
        for &start in touched {
            let mut path = Vec::new();
            let mut at = Some(start);
            while let Some(node) = at {
                path.push(node);
                at = self.parent(node);
            }
            let length = path.len();
            todo.extend(path.into_iter().enumerate().map(|(i, node)| (length - i, node)));
        }
        todo.sort_unstable_by(|a, b| b.cmp(a));
        todo.dedup();
        for (_, node) in todo {
            if let Some(curve) = self.curves.get(node) {
                undo.curves.push((node, curve.clone()));
            }
            self.work_out(node, leaves);
        }
    }
}

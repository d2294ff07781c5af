//! An arrangement with the room each compartment is given, and how it is drawn tight.

use super::Slice;
use super::leaf::Leaf;
use super::needs::{PartNeed, TrayNeeds};

/// Width first, depth second, in grid steps.
pub(super) type Extent = [i64; 2];

/// A region of an arrangement.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) size: Extent,
    pub(super) kind: Kind,
}

#[derive(Clone, Debug)]
pub(super) enum Kind {
    /// A compartment of this kind of part.
    Leaf(usize),
    /// Two regions along an axis: 0 side by side, 1 one behind the other.
    Cut(usize, Box<[Node; 2]>),
}

impl Node {
    /// Least extent along `axis` while extents across it stay as they are.
    fn shrink(&mut self, axis: usize, leaves: &[Leaf], divider: i64) -> i64 {
        let (own, across) =
            if axis == 0 { (self.size[0], self.size[1]) } else { (self.size[1], self.size[0]) };
        let least = match &mut self.kind {
            Kind::Leaf(kind) => leaves.get(*kind).and_then(|l| l.least(axis, across)).unwrap_or(own),
            Kind::Cut(cut, kids) => {
                let [a, b] = kids.as_mut();
                let (a, b) = (a.shrink(axis, leaves, divider), b.shrink(axis, leaves, divider));
                if *cut == axis { a + divider + b } else { a.max(b) }
            }
        };
        *self.along(axis) = least;
        least
    }

    /// Gives the region this extent; the second of two neighbours takes what is over.
    fn stretch(&mut self, axis: usize, len: i64, divider: i64) {
        *self.along(axis) = len;
        if let Kind::Cut(cut, kids) = &mut self.kind {
            let [a, b] = kids.as_mut();
            if *cut == axis {
                let own = *a.along(axis);
                a.stretch(axis, own, divider);
                b.stretch(axis, len - divider - own, divider);
            } else {
                a.stretch(axis, len, divider);
                b.stretch(axis, len, divider);
            }
        }
    }

    fn along(&mut self, axis: usize) -> &mut i64 {
        let [w, d] = &mut self.size;
        if axis == 0 { w } else { d }
    }

    /// Draws the arrangement tight on the real grid, first along `axis`, then along the other, and
    /// once more: what rounding up to the working step gave away comes back.
    pub(super) fn tighten(&mut self, axis: usize, leaves: &[Leaf], divider: i64) {
        for axis in [axis, 1 - axis, axis, 1 - axis] {
            let least = self.shrink(axis, leaves, divider);
            self.stretch(axis, least, divider);
        }
    }

    /// Cuts and kinds in order, without sizes: equal for arrangements that differ in sizes only.
    pub(super) fn form(&self) -> Vec<u32> {
        let mut out = Vec::new();
        self.put_form(&mut out);
        out
    }

    fn put_form(&self, out: &mut Vec<u32>) {
        match &self.kind {
            Kind::Leaf(kind) => out.push(2 + *kind as u32),
            Kind::Cut(axis, kids) => {
                out.push(*axis as u32);
                kids.iter().for_each(|kid| kid.put_form(out));
            }
        }
    }

    /// How many compartments it has.
    pub(super) fn leaves(&self) -> u64 {
        match &self.kind {
            Kind::Leaf(_) => 1,
            Kind::Cut(_, kids) => kids.iter().map(Node::leaves).sum(),
        }
    }

    /// The same arrangement seen in a mirror along the diagonal.
    pub(super) fn mirror(&mut self) {
        self.size.reverse();
        if let Kind::Cut(cut, kids) = &mut self.kind {
            *cut = 1 - *cut;
            kids.iter_mut().for_each(Node::mirror);
        }
    }

    /// Names parts and their ways of standing. `pools` are the parts still to be named, by kind.
    pub(super) fn slice(
        &self,
        tray: &TrayNeeds,
        u: i64,
        leaves: &[Leaf],
        pools: &mut [std::vec::IntoIter<usize>],
    ) -> Option<Slice> {
        match &self.kind {
            Kind::Leaf(kind) => {
                let [w, d] = self.size;
                let part = pools.get_mut(*kind)?.next()?;
                let (alternative, turned) = leaves.get(*kind)?.pick(w, d)?;
                let inner = match tray.parts.get(part)? {
                    PartNeed::Room(_) => None,
                    PartNeed::Tray(inner, ease) => {
                        let less = inner.walls() + ease.max(&0);
                        let slice = super::slice(inner, u - inner.base_steps(), w - less, d - less)?;
                        Some(Box::new(slice))
                    }
                };
                Some(Slice::Part { part, alternative, turned, inner, size: (w, d) })
            }
            Kind::Cut(axis, kids) => {
                let [a, b] = kids.as_ref();
                let a = Box::new(a.slice(tray, u, leaves, pools)?);
                let b = Box::new(b.slice(tray, u, leaves, pools)?);
                Some(if *axis == 0 { Slice::Beside(a, b) } else { Slice::Behind(a, b) })
            }
        }
    }
}

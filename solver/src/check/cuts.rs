//! Straight cuts: every divider runs from wall to wall of the region that it cuts in two.
//!
//! A region is taken apart at any divider that spans it; which one comes first does not matter, since
//! a divider that spans a region also spans the part of it in which it lies. What is left must be one
//! compartment that fills its region. Then there are no gaps and no overlaps either.

use super::extent::Extent;

/// An outline seen from above: [least, greatest] along the width and the depth.
pub(super) type Region = [[i64; 2]; 2];

/// A compartment or a divider.
#[derive(Clone, Copy)]
pub(super) struct Piece {
    region: Region,
    /// Which of its axes may be its thickness; neither for a compartment.
    cuts: [bool; 2],
}

impl Piece {
    pub(super) fn compartment(e: &Extent) -> Piece {
        Piece { region: region(e), cuts: [false; 2] }
    }

    pub(super) fn divider(e: &Extent, thickness: i64) -> Piece {
        Piece { region: region(e), cuts: [e.len(0) == thickness, e.len(1) == thickness] }
    }
}

pub(super) fn region(e: &Extent) -> Region {
    [[e.lo[0], e.hi[0]], [e.lo[1], e.hi[1]]]
}

/// Whether these pieces come from straight cuts of this region; the error says what does not.
pub(super) fn straight(whole: Region, pieces: &[Piece]) -> Result<(), &'static str> {
    // A list of what is still to be taken apart: a recursion could be as deep as there are dividers.
    let mut open: Vec<(Region, Vec<Piece>)> = vec![(whole, pieces.to_vec())];
    while let Some((region, pieces)) = open.pop() {
        if let [only] = pieces.as_slice()
            && only.cuts == [false; 2]
        {
            if only.region != region {
                return Err("a compartment does not fill the room between its walls and dividers");
            }
            continue;
        }
        let cut = pieces.iter().enumerate().find_map(|(i, p)| {
            (0..2).find(|&axis| p.cuts[axis] && p.region[1 - axis] == region[1 - axis]).map(|axis| (i, axis))
        });
        let Some((cut, axis)) = cut else {
            return Err("no divider runs from wall to wall of a region that holds several compartments");
        };
        let [start, end] = pieces[cut].region[axis];
        let (mut before, mut after) = (region, region);
        before[axis][1] = start;
        after[axis][0] = end;
        let mut sides = (Vec::new(), Vec::new());
        for (_, p) in pieces.iter().enumerate().filter(|(i, _)| *i != cut) {
            if p.region[axis][1] <= start {
                sides.0.push(*p);
            } else if p.region[axis][0] >= end {
                sides.1.push(*p);
            } else {
                return Err("a divider runs through a compartment or another divider");
            }
        }
        open.push((before, sides.0));
        open.push((after, sides.1));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(x: [i64; 2], y: [i64; 2], cuts: [bool; 2]) -> Piece {
        Piece { region: [x, y], cuts }
    }

    #[test]
    fn a_pinwheel_is_no_straight_cut() {
        // Four compartments around a fifth, dividers of 1 (facts G10): every divider ends at another one.
        let c = |x, y| piece(x, y, [false; 2]);
        let (v, h) = ([true, false], [false, true]);
        let wheel = [
            c([0, 4], [0, 7]),
            c([5, 12], [0, 4]),
            c([8, 12], [5, 12]),
            c([0, 7], [8, 12]),
            c([5, 7], [5, 7]),
            piece([4, 5], [0, 7], v),
            piece([5, 12], [4, 5], h),
            piece([7, 8], [5, 12], v),
            piece([0, 7], [7, 8], h),
        ];
        assert!(straight([[0, 12], [0, 12]], &wheel).is_err());
        let row = [c([0, 4], [0, 9]), c([5, 9], [0, 4]), c([5, 9], [5, 9])];
        let dividers = [piece([4, 5], [0, 9], v), piece([5, 9], [4, 5], h)];
        assert_eq!(straight([[0, 9], [0, 9]], &[&row[..], &dividers[..]].concat()), Ok(()));
        // The same with a gap of 1 beside the last compartment.
        assert!(straight([[0, 9], [0, 10]], &[&row[..], &dividers[..]].concat()).is_err());
    }
}

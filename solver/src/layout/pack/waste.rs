//! What strips of the floor must waste, because no choice of the remaining pieces adds up to their length.
//!
//! A row of the floor is covered by pieces side by side: of each of its free intervals, no more than the largest sum
//! of their widths within it is ever used, each piece with one of its outlines and at most once. The same holds for
//! columns (the cut of Korf, ICAPS 2003, for rows of a staircase; with alternative outlines ours).

use super::field::{Frame, Shadow};

/// Most sets of remaining pieces, and most words of sums kept for them.
const MOST_SETS: usize = 1 << 15;
const MOST_WORDS: usize = 1 << 20;
/// Bits of a word of sums.
const WORD: usize = 64;

/// Which lengths along one axis the remaining pieces can add up to, per set of them.
pub(super) struct Sums {
    words: usize,
    /// Per kind: extents along the axis.
    kinds: Vec<Vec<usize>>,
    sets: usize,
    /// Per set: where its sums begin, in sets, and one; 0 where they are not known.
    known: Vec<u32>,
    bits: Vec<u64>,
}

impl Sums {
    /// For lengths to `length`: extents along the axis and number of pieces of each kind. `None` where there are too many
    /// sets.
    pub(super) fn new(length: i64, kinds: impl Iterator<Item = (Vec<i64>, usize)>) -> Option<Sums> {
        let words = usize::try_from(length).ok()? / WORD + 1;
        let (mut list, mut sets) = (Vec::new(), 1usize);
        for (extents, count) in kinds {
            let fits = |e: i64| usize::try_from(e).ok().filter(|_| e <= length);
            let mut own: Vec<usize> = extents.into_iter().filter_map(fits).collect();
            own.sort_unstable();
            own.dedup();
            list.push(own);
            sets = sets
                .checked_mul(count + 1)
                .filter(|s| *s <= MOST_SETS && s.saturating_mul(words) <= MOST_WORDS)?;
        }
        Some(Sums { words, kinds: list, sets, known: Vec::new(), bits: Vec::new() })
    }

    /// Gives back the memory of what was asked so far.
    pub(super) fn forget(&mut self) {
        (self.known, self.bits) = (Vec::new(), Vec::new());
    }

    /// The sums of the set of this number, which has so many left of each kind: the first kind counts by one, each other one
    /// by as much as all sets of those before it.
    pub(super) fn of<L: Iterator<Item = usize>>(&mut self, set: usize, left: impl Fn() -> L) -> Reach<'_> {
        let words = self.words;
        if self.known.is_empty() {
            self.known = vec![0; self.sets];
        }
        let Some(known) = self.known.get_mut(set) else { return Reach(&[]) };
        if *known == 0 {
            let start = self.bits.len();
            *known = (start / words + 1) as u32;
            self.bits.resize(start + words, 0);
            let bits = &mut self.bits[start..];
            bits[0] = 1;
            let mut before = vec![0; words];
            for (count, extents) in left().zip(&self.kinds) {
                for _ in 0..count {
                    before.copy_from_slice(bits);
                    extents.iter().for_each(|e| add(bits, &before, *e));
                }
            }
        }
        let start = (*known as usize - 1) * words;
        Reach(&self.bits[start..start + words])
    }
}

/// Also the sums that are `by` more than one of `before`.
fn add(bits: &mut [u64], before: &[u64], by: usize) {
    let (skip, shift) = (by / WORD, by % WORD);
    for (to, from) in bits.iter_mut().skip(skip).zip(before) {
        *to |= from << shift;
    }
    if shift > 0 {
        for (to, from) in bits.iter_mut().skip(skip + 1).zip(before) {
            *to |= from >> (WORD - shift);
        }
    }
}

/// Sums that some set of pieces can reach.
#[derive(Clone, Copy)]
pub(super) struct Reach<'a>(&'a [u64]);

impl Reach<'_> {
    /// What a free interval of this length must waste.
    fn waste(self, length: i64) -> i64 {
        let Ok(length) = usize::try_from(length) else { return 0 };
        let (mut at, rest) = (length / WORD, length % WORD);
        let Some(last) = self.0.get(at) else { return 0 };
        let mut word = last & (u64::MAX >> (WORD - 1 - rest));
        // No sum at all, the empty one, is always there.
        while word == 0 && at > 0 {
            at -= 1;
            word = self.0[at];
        }
        (length - at * WORD - (WORD - 1 - word.leading_zeros() as usize)) as i64
    }
}

/// Area that the rows right of a staircase must waste; `steps` are its far corners from left to right, `taken`
/// rectangles in which nothing can stand. With axes swapped: the columns.
pub(super) fn wasted(
    f: Frame,
    steps: impl Iterator<Item = (i64, i64)> + Clone,
    taken: &[Shadow],
    reach: Reach,
) -> i64 {
    if taken.is_empty() {
        let (mut sum, mut back, mut x) = (0, f.y1, f.x0);
        for (px, py) in steps.chain([(f.x1, f.y0)]) {
            sum += (back - py) * reach.waste(f.x1 - x);
            (back, x) = (py, px);
        }
        return sum;
    }
    let ends = taken.iter().flat_map(|t| [t.y0, t.y1]).chain(steps.clone().map(|s| s.1));
    let mut edges: Vec<i64> = ends.chain([f.y0, f.y1]).collect();
    edges.sort_unstable();
    edges.dedup();
    let mut sum = 0;
    for band in edges.windows(2) {
        let &[front, back] = band else { continue };
        let mut x = steps.clone().filter(|s| s.1 >= back).map(|s| s.0).max().unwrap_or(f.x0);
        let mut lost = 0;
        let mut here: Vec<&Shadow> = taken.iter().filter(|t| t.y0 <= front && t.y1 >= back).collect();
        here.sort_unstable_by_key(|t| t.x0);
        for t in here {
            lost += reach.waste(t.x0 - x);
            x = x.max(t.x1);
        }
        sum += (back - front) * (lost + reach.waste(f.x1 - x));
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_are_those_of_every_choice() {
        let kinds = || [(vec![3i64, 70], 2usize), (vec![5], 1), (vec![64, 128], 1)].into_iter();
        let mut sums = Sums::new(300, kinds()).unwrap();
        for left in [[2, 1, 1], [1, 0, 1], [0, 0, 0], [2, 1, 1]] {
            let mut all = vec![0i64];
            for ((extents, _), count) in kinds().zip(left) {
                for _ in 0..count {
                    let more = all.iter().flat_map(|s| extents.iter().map(move |e| s + e));
                    all = all.iter().copied().chain(more).collect();
                }
            }
            // Three sets of the first kind, two of the second.
            let reach = sums.of(left[0] + 3 * left[1] + 6 * left[2], || left.into_iter());
            for length in 0..=300 {
                let most = all.iter().filter(|s| **s <= length).max().unwrap();
                assert_eq!(reach.waste(length), length - most, "{left:?} {length}");
            }
        }
    }
}

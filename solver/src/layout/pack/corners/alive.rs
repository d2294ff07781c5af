//! Outlines that can still be used where a search is, as sets of bits.
//!
//! An outline that costs too much, takes too much area or fits nowhere any more does so in all that follows, too: the set
//! only shrinks from state to state. What fits a room is the outlines up to its width and those up to its depth,
//! both at hand as sets.

use std::ops::Range;

use super::super::field::Shape;
use super::kind::{Kind, Share};

/// An outline of a kind.
#[derive(Clone, Copy)]
pub(super) struct Choice {
    pub(super) kind: usize,
    pub(super) shape: Shape,
    /// What it takes, with its gap, and of the budget beyond the kind's cheapest outline.
    pub(super) share: Share,
}

/// Some of all outlines, by their numbers.
pub(super) type Alive = Vec<u64>;

/// Bits of a word of a set.
const WORD: usize = 64;

/// All outlines, kind by kind, and within a kind by rising area.
pub(super) struct Choices {
    all: Vec<Choice>,
    /// By class: which of them are of it.
    classes: [Alive; 2],
    /// By kind: which numbers they have.
    kinds: Vec<Range<usize>>,
    widths: Ranks,
    depths: Ranks,
    prices: Ranks,
}

/// For any length: which outlines have no more of it.
struct Ranks {
    /// All that occur, rising.
    values: Vec<i64>,
    /// For short lengths: how many of the values are no greater.
    table: Vec<u16>,
    /// For so many of the values: the outlines that have one of them.
    sets: Vec<u64>,
    words: usize,
}

/// Longest length that is looked up in a table.
const SHORT: i64 = 1 << 13;

impl Ranks {
    fn new(of: &[i64], words: usize) -> Ranks {
        let mut values = of.to_vec();
        values.sort_unstable();
        values.dedup();
        let mut sets = vec![0; words * (values.len() + 1)];
        for (set, most) in sets.chunks_mut(words).skip(1).zip(&values) {
            (0..).zip(of).filter(|(_, v)| *v <= most).for_each(|(i, _)| add(set, i));
        }
        let mut ranks = Ranks { values, table: Vec::new(), sets, words };
        if let Some(&last) = ranks.values.last().filter(|last| (0..SHORT).contains(*last)) {
            ranks.table = (0..=last).map(|v| u16::try_from(ranks.rank(v)).unwrap_or(u16::MAX)).collect();
        }
        ranks
    }

    fn rank(&self, most: i64) -> usize {
        self.values.partition_point(|v| *v <= most)
    }

    /// Outlines that have no more than this.
    fn to(&self, most: i64) -> &[u64] {
        let rank = match usize::try_from(most).ok().and_then(|most| self.table.get(most)) {
            Some(rank) => usize::from(*rank),
            None if self.values.last().is_none_or(|last| *last <= most) => self.values.len(),
            None => self.rank(most),
        };
        self.sets.get(rank * self.words..(rank + 1) * self.words).unwrap_or(&[])
    }
}

fn add(set: &mut [u64], i: usize) {
    if let Some(word) = set.get_mut(i / WORD) {
        *word |= 1 << (i % WORD);
    }
}

/// Numbers in a word of a set.
fn bits(mut word: u64, at: usize) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = word.trailing_zeros() as usize;
        word &= word.wrapping_sub(1);
        (bit < WORD).then_some(at * WORD + bit)
    })
}

impl Choices {
    pub(super) fn new(of: &[Kind]) -> Choices {
        let mut all: Vec<Choice> = Vec::new();
        let mut kinds = Vec::new();
        for (kind, k) in of.iter().enumerate() {
            let from = all.len();
            let shapes = k.shapes.iter().zip(&k.prices);
            all.extend(shapes.map(|(s, price)| Choice {
                kind,
                shape: *s,
                share: Share { area: s.area(), price: *price },
            }));
            all[from..].sort_by_key(|c| (c.share.area, c.shape.w));
            kinds.push(from..all.len());
        }
        let words = all.len().div_ceil(WORD).max(1);
        let mut classes = [vec![0; words], vec![0; words]];
        for (i, c) in all.iter().enumerate() {
            let class = of.get(c.kind).map_or(0, |k| k.class);
            classes.get_mut(class).into_iter().for_each(|set| add(set, i));
        }
        let ranks = |of: fn(&Choice) -> i64| Ranks::new(&all.iter().map(of).collect::<Vec<_>>(), words);
        let (widths, depths) = (ranks(|c| c.shape.w), ranks(|c| c.shape.d));
        let prices = ranks(|c| c.share.price);
        Choices { all, classes, kinds, widths, depths, prices }
    }

    /// All outlines of a class that cost no more.
    pub(super) fn of(&self, class: usize, money: i64, into: &mut Alive) {
        let set = self.classes.get(class).map_or(&[][..], |set| set);
        into.clear();
        into.extend(set.iter().zip(self.prices.to(money)).map(|(a, b)| a & b));
    }

    /// Those of a set that cost no more, and none of a kind of which nothing is left.
    pub(super) fn inherit(&self, set: &Alive, money: i64, without: Option<usize>, into: &mut Alive) {
        into.clear();
        into.extend(set.iter().zip(self.prices.to(money)).map(|(a, b)| a & b));
        for i in without.and_then(|kind| self.kinds.get(kind)).into_iter().flat_map(Range::clone) {
            if let Some(word) = into.get_mut(i / WORD) {
                *word &= !(1 << (i % WORD));
            }
        }
    }

    /// Whether one of a set fits this room and is wider than that.
    pub(super) fn any(&self, set: &Alive, (w, d): (i64, i64), wider: i64) -> bool {
        let fits = set.iter().zip(self.widths.to(w)).zip(self.depths.to(d));
        fits.zip(self.widths.to(wider)).any(|(((set, w), d), narrow)| set & w & d & !narrow != 0)
    }

    /// Those of a set that fit this room.
    pub(super) fn within(&self, set: &Alive, (w, d): (i64, i64)) -> impl Iterator<Item = &Choice> {
        let fits = set.iter().zip(self.widths.to(w)).zip(self.depths.to(d));
        let all = fits.enumerate().flat_map(|(at, ((set, w), d))| bits(set & w & d, at));
        all.filter_map(|i| self.all.get(i))
    }

    /// Takes out of a set what fits none of these rooms, and notes in `least`, by kind, what those left take at least.
    pub(super) fn fit(
        &self,
        set: &mut Alive,
        rooms: impl Iterator<Item = (i64, i64)> + Clone,
        least: &mut [Share],
    ) {
        for (at, word) in set.iter_mut().enumerate() {
            let one = |set: &[u64]| set.get(at).copied().unwrap_or(0);
            *word &=
                rooms.clone().fold(0, |all, (w, d)| all | (one(self.widths.to(w)) & one(self.depths.to(d))));
            for c in bits(*word, at).filter_map(|i| self.all.get(i)) {
                if let Some(least) = least.get_mut(c.kind) {
                    least.area = least.area.min(c.share.area);
                    least.price = least.price.min(c.share.price);
                }
            }
        }
    }

    /// Keeps what is wanted.
    pub(super) fn keep(&self, set: &mut Alive, wanted: impl Fn(&Choice) -> bool) {
        for (at, word) in set.iter_mut().enumerate() {
            let wrong = bits(*word, at).filter(|i| !self.all.get(*i).is_some_and(&wanted));
            *word &= !wrong.fold(0, |all, i| all | 1 << (i % WORD));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::Random;

    /// Sets against going through all outlines, with more of them than a word has bits and lengths beyond the table.
    #[test]
    fn sets_are_what_going_through_all_outlines_gives() {
        let mut random = Random::new(5);
        let mut below = |n: i64| random.below(n as usize) as i64;
        for case in 0..200 {
            let most = if case % 2 == 0 { 60 } else { 40_000 };
            let kinds: Vec<Kind> = (0..12)
                .map(|_| {
                    let shapes: Vec<Shape> = (0..1 + below(10) as usize)
                        .map(|index| Shape { w: 1 + below(most), d: 1 + below(most), index })
                        .collect();
                    let prices = shapes.iter().map(|_| below(30)).collect();
                    Kind {
                        class: below(2) as usize,
                        shapes,
                        prices,
                        members: vec![0],
                        left: 1,
                        stride: 0,
                        cheapest: 0,
                        quarter: false,
                    }
                })
                .collect();
            let choices = Choices::new(&kinds);
            let all: Vec<Choice> = choices.all.clone();
            let (class, money) = (below(2) as usize, below(40) - 5);
            let mut set = Alive::new();
            choices.of(class, money, &mut set);
            let mut plain: Vec<&Choice> =
                all.iter().filter(|c| kinds[c.kind].class == class && c.share.price <= money).collect();
            let list = |set: &Alive| -> Vec<Shape> {
                choices.within(set, (i64::MAX, i64::MAX)).map(|c| c.shape).collect()
            };
            assert_eq!(list(&set), plain.iter().map(|c| c.shape).collect::<Vec<_>>());
            let (gone, less) = (below(12) as usize, below(30));
            let before = set.clone();
            choices.inherit(&before, less, Some(gone), &mut set);
            plain.retain(|c| c.kind != gone && c.share.price <= less);
            assert_eq!(list(&set), plain.iter().map(|c| c.shape).collect::<Vec<_>>());
            let rooms: Vec<(i64, i64)> = (0..3).map(|_| (below(most + 9), below(most + 9))).collect();
            let wider = below(most);
            for &(w, d) in &rooms {
                let fits = |c: &&&Choice| c.shape.w <= w && c.shape.d <= d;
                let within: Vec<Shape> = choices.within(&set, (w, d)).map(|c| c.shape).collect();
                assert_eq!(within, plain.iter().filter(fits).map(|c| c.shape).collect::<Vec<_>>());
                let any = plain.iter().filter(fits).any(|c| c.shape.w > wider);
                assert_eq!(choices.any(&set, (w, d), wider), any);
            }
            let mut least = vec![Share { area: i64::MAX, price: i64::MAX }; 12];
            choices.fit(&mut set, rooms.iter().copied(), &mut least);
            plain.retain(|c| rooms.iter().any(|(w, d)| c.shape.w <= *w && c.shape.d <= *d));
            assert_eq!(list(&set), plain.iter().map(|c| c.shape).collect::<Vec<_>>());
            for (kind, least) in least.iter().enumerate() {
                let own = || plain.iter().filter(|c| c.kind == kind);
                assert_eq!(least.area, own().map(|c| c.share.area).min().unwrap_or(i64::MAX));
                assert_eq!(least.price, own().map(|c| c.share.price).min().unwrap_or(i64::MAX));
            }
            choices.keep(&mut set, |c| c.share.area % 2 == 0);
            plain.retain(|c| c.share.area % 2 == 0);
            assert_eq!(list(&set), plain.iter().map(|c| c.shape).collect::<Vec<_>>());
        }
    }
}

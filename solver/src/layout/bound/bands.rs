//! Ranges of layer heights: many profiles at once.

use super::super::instance::Instance;

/// Per layer from the floor up, its least and its greatest height, both of them candidates.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Bands(pub(super) Vec<(i64, i64)>);

impl Bands {
    /// Every profile of so many layers; `None` where there is none.
    pub(super) fn whole(
        instance: &Instance,
        candidates: &[i64],
        layers: usize,
        ascending: bool,
    ) -> Option<Bands> {
        let (&least, &most) = (candidates.first()?, candidates.last()?);
        Bands(vec![(least, most); layers]).tightened(instance, candidates, ascending)
    }

    /// The one profile that is left, where there is only one.
    pub(super) fn profile(&self) -> Option<Vec<i64>> {
        self.0.iter().map(|(low, high)| (low == high).then_some(*low)).collect()
    }

    /// All layers at their least heights.
    pub(super) fn lowest(&self) -> Vec<i64> {
        self.0.iter().map(|b| b.0).collect()
    }

    /// Least and greatest height of so many layers from this one on, together.
    pub(super) fn together(&self, first: usize, after: usize) -> (i64, i64) {
        let reached = self.0.get(first..after).unwrap_or(&[]);
        reached.iter().fold((0, 0), |sum, b| (sum.0 + b.0, sum.1 + b.1))
    }

    /// Lower and upper part of its widest range; `None` for a single profile.
    pub(super) fn halves(
        &self,
        instance: &Instance,
        candidates: &[i64],
        ascending: bool,
    ) -> Option<[Option<Bands>; 2]> {
        let widest = (0..self.0.len()).max_by_key(|&l| (self.0[l].1 - self.0[l].0, std::cmp::Reverse(l)))?;
        let (low, high) = self.0[widest];
        if low == high {
            return None;
        }
        // The last candidate of the lower half, which leaves at least one for the upper.
        let upto = candidates.partition_point(|c| *c <= low + (high - low) / 2).max(1);
        let (under, over) = (*candidates.get(upto - 1)?, *candidates.get(upto)?);
        let part = |range: (i64, i64)| {
            let mut bands = self.clone();
            bands.0[widest] = range;
            bands.tightened(instance, candidates, ascending)
        };
        Some([part((low, under)), part((over, high))])
    }

    /// The same profiles in the narrowest ranges that rules and the height of the box leave; `None` where no profile is left.
    fn tightened(mut self, instance: &Instance, candidates: &[i64], ascending: bool) -> Option<Bands> {
        loop {
            let before = self.clone();
            let all: i64 = self.0.iter().map(|b| b.0).sum();
            for l in 0..self.0.len() {
                let (mut low, mut high) = self.0[l];
                high = high.min(instance.height - (all - low));
                if let Some(&(least, most)) = instance.height_rules.get(l) {
                    (low, high) = (low.max(least), high.min(most));
                }
                if ascending && l > 0 {
                    low = low.max(self.0[l - 1].0);
                }
                if ascending && let Some(next) = self.0.get(l + 1) {
                    high = high.min(next.1);
                }
                let low = *candidates.get(candidates.partition_point(|c| *c < low))?;
                let high = *candidates.get(candidates.partition_point(|c| *c <= high).checked_sub(1)?)?;
                if low > high {
                    return None;
                }
                self.0[l] = (low, high);
            }
            if self == before {
                return Some(self);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::model::tests::plain;
    use super::*;

    /// All profiles of a range, by halving it again and again.
    fn all(instance: &Instance, candidates: &[i64], layers: usize, ascending: bool) -> Vec<Vec<i64>> {
        let mut left: Vec<Bands> =
            Bands::whole(instance, candidates, layers, ascending).into_iter().collect();
        let mut out = Vec::new();
        while let Some(bands) = left.pop() {
            match bands.halves(instance, candidates, ascending) {
                Some(halves) => left.extend(halves.into_iter().flatten()),
                None => out.extend(bands.profile()),
            }
        }
        out.sort();
        out
    }

    #[test]
    fn halving_ends_at_every_profile_once() {
        let mut instance = plain(10, 10, 12, 3);
        let candidates = [1, 3, 4, 5, 7, 9];
        for rules in [vec![], vec![(2, 5), (4, 12)]] {
            instance.height_rules = rules;
            for layers in 1..=3 {
                for ascending in [false, true] {
                    let allowed = |p: &[i64]| {
                        let rules = p.iter().zip(&instance.height_rules).all(|(h, r)| *h >= r.0 && *h <= r.1);
                        p.iter().sum::<i64>() <= 12 && rules && (!ascending || p.is_sorted())
                    };
                    let mut want: Vec<Vec<i64>> = vec![vec![]];
                    for _ in 0..layers {
                        let longer = |p: &Vec<i64>| candidates.map(|c| [p.as_slice(), &[c]].concat());
                        want = want.iter().flat_map(longer).collect();
                    }
                    want.retain(|p| allowed(p));
                    want.sort();
                    assert_eq!(all(&instance, &candidates, layers, ascending), want);
                }
            }
        }
    }
}

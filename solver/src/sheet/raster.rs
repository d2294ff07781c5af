//! The most value that straight cuts get from a rectangle, whatever the counts: dynamic programming over the places where cuts
//! can be needed (Gilmore & Gomory, Oper. Res. 14 (1966); Herz, IBM J. 16 (1972)).

use super::knapsack::Item;

/// Where one direction has more places than this, it is cut into so many steps; pieces are rounded down to them, and values become
/// bounds.
const MOST_PLACES: usize = 160;

/// One direction: the sums of piece sides that fit.
#[derive(Clone, Debug)]
struct Axis {
    places: Vec<i64>,
    /// Length of a step.
    step: i64,
}

impl Axis {
    fn new(side: i64, dims: &[i64], most: usize) -> Axis {
        let mut places = vec![0];
        let mut at = 0;
        while at < places.len() && places.len() <= 8 * most {
            // Places are taken in rising order, so that each is extended once.
            for &d in dims {
                let next = places[at] + d;
                if d > 0
                    && next <= side
                    && let Err(slot) = places.binary_search(&next)
                {
                    places.insert(slot, next);
                }
            }
            at += 1;
        }
        if places.len() <= most {
            return Axis { places, step: 1 };
        }
        let step = side / most as i64 + 1;
        Axis { places: (0..=side / step).collect(), step }
    }

    #[cfg(test)]
    fn exact(&self) -> bool {
        self.step == 1
    }

    /// In steps, rounded down.
    fn steps(&self, length: i64) -> i64 {
        length / self.step
    }

    /// The last place at or before this many steps.
    fn index(&self, steps: i64) -> usize {
        self.places.partition_point(|&p| p <= steps).saturating_sub(1)
    }
}

/// Values of all rectangles of a sheet, and of what lies around a rectangle in its corner.
#[derive(Clone, Debug)]
pub(super) struct Raster {
    x: Axis,
    y: Axis,
    /// Most value of the rectangle up to these places.
    best: Vec<i64>,
    /// Most value of the sheet without that rectangle.
    rest: Vec<i64>,
    /// Value of pieces too thin for the steps: counted as if they found room anywhere.
    loose: i64,
}

impl Raster {
    /// With values around rectangles too.
    pub(super) fn new(w: i64, d: i64, items: &[Item]) -> Raster {
        let mut raster = Raster::of(w, d, items, MOST_PLACES);
        raster.surround();
        raster
    }

    /// Values of rectangles alone, with at most so many places in each direction.
    pub(super) fn of(w: i64, d: i64, items: &[Item], most: usize) -> Raster {
        let ways = |i: &Item| {
            let mut ways = vec![(i.w, i.d)];
            if i.turns {
                ways.push((i.d, i.w));
            }
            ways.retain(|&(a, b)| a <= w && b <= d);
            ways
        };
        let mut dims: (Vec<i64>, Vec<i64>) = items.iter().flat_map(ways).unzip();
        for d in [&mut dims.0, &mut dims.1] {
            d.sort_unstable();
            d.dedup();
        }
        let (x, y) = (Axis::new(w, &dims.0, most), Axis::new(d, &dims.1, most));
        let (nx, ny) = (x.places.len(), y.places.len());
        let mut raster = Raster { x, y, best: vec![0; nx * ny], rest: vec![0; nx * ny], loose: 0 };
        for item in items {
            let steps: Vec<(i64, i64)> =
                ways(item).into_iter().map(|(a, b)| (raster.x.steps(a), raster.y.steps(b))).collect();
            if steps.iter().any(|s| s.0 == 0 || s.1 == 0) {
                let count = i64::try_from(item.count).unwrap_or(i64::MAX);
                raster.loose = raster.loose.saturating_add(item.value.saturating_mul(count));
                continue;
            }
            for (a, b) in steps {
                let (i, j) = (
                    raster.x.places.partition_point(|&p| p < a),
                    raster.y.places.partition_point(|&p| p < b),
                );
                if i < nx && j < ny {
                    let at = &mut raster.best[i * ny + j];
                    *at = (*at).max(item.value);
                }
            }
        }
        raster.fill(nx, ny);
        raster
    }

    fn fill(&mut self, nx: usize, ny: usize) {
        let halves = |axis: &Axis, n: usize| -> Vec<Vec<(usize, usize)>> {
            (0..n)
                .map(|i| {
                    let whole = axis.places[i];
                    (1..i)
                        .take_while(|&a| 2 * axis.places[a] <= whole)
                        .map(|a| (a, axis.index(whole - axis.places[a])))
                        .collect()
                })
                .collect()
        };
        let (xs, ys) = (halves(&self.x, nx), halves(&self.y, ny));
        for (i, halves) in xs.iter().enumerate() {
            for (j, behind) in ys.iter().enumerate() {
                let mut v = self.best[i * ny + j];
                if i > 0 {
                    v = v.max(self.best[(i - 1) * ny + j]);
                }
                if j > 0 {
                    v = v.max(self.best[i * ny + j - 1]);
                }
                for &(a, b) in halves {
                    v = v.max(self.best[a * ny + j].saturating_add(self.best[b * ny + j]));
                }
                for &(a, b) in behind {
                    v = v.max(self.best[i * ny + a].saturating_add(self.best[i * ny + b]));
                }
                self.best[i * ny + j] = v;
            }
        }
    }

    /// From the whole sheet inwards: a rectangle is extended to the right or to the back by another, and so on (Viswanathan &
    /// Bagchi, Oper. Res. 41 (1993)).
    fn surround(&mut self) {
        let (nx, ny) = (self.x.places.len(), self.y.places.len());
        for i in (0..nx).rev() {
            for j in (0..ny).rev() {
                let mut v = 0;
                for k in i + 1..nx {
                    let beside = self.x.index(self.x.places[k] - self.x.places[i]);
                    v = v.max(self.rest[k * ny + j].saturating_add(self.best[beside * ny + j]));
                }
                for k in j + 1..ny {
                    let behind = self.y.index(self.y.places[k] - self.y.places[j]);
                    v = v.max(self.rest[i * ny + k].saturating_add(self.best[i * ny + behind]));
                }
                self.rest[i * ny + j] = v;
            }
        }
    }

    /// No cutting of the whole sheet has more value.
    pub(super) fn most(&self) -> i64 {
        self.best.last().copied().unwrap_or(0).saturating_add(self.loose)
    }

    /// Whether [`Raster::most`] is reached where counts are unlimited.
    #[cfg(test)]
    pub(super) fn exact(&self) -> bool {
        self.x.exact() && self.y.exact() && self.loose == 0
    }

    /// Sides in the steps of this raster, rounded down.
    pub(super) fn steps(&self, w: i64, d: i64) -> (i64, i64) {
        (self.x.steps(w), self.y.steps(d))
    }

    /// No more value lies around a rectangle of so many steps in the corner.
    pub(super) fn around(&self, w: i64, d: i64) -> i64 {
        let (i, j) = (self.x.index(w), self.y.index(d));
        self.rest[i * self.y.places.len() + j].saturating_add(self.loose)
    }

    /// How many of each item a most valuable cutting has (of those that are not too thin for the steps).
    pub(super) fn counts(&self, items: &[Item]) -> Vec<usize> {
        let mut counts = vec![0; items.len()];
        let ny = self.y.places.len();
        let mut open = vec![(self.x.places.len() - 1, ny - 1)];
        while let Some((i, j)) = open.pop() {
            let v = self.best[i * ny + j];
            if v == 0 {
                continue;
            }
            if i > 0 && self.best[(i - 1) * ny + j] == v {
                open.push((i - 1, j));
            } else if j > 0 && self.best[i * ny + j - 1] == v {
                open.push((i, j - 1));
            } else if let Some(item) = self.single(i, j, v, items) {
                counts[item] += 1;
            } else {
                let beside = (1..i).map(|a| (a, self.x.index(self.x.places[i] - self.x.places[a])));
                let behind = (1..j).map(|a| (a, self.y.index(self.y.places[j] - self.y.places[a])));
                let sum = |a: usize, b: usize| self.best[a].saturating_add(self.best[b]);
                if let Some((a, b)) = { beside }.find(|&(a, b)| sum(a * ny + j, b * ny + j) == v) {
                    open.extend([(a, j), (b, j)]);
                } else if let Some((a, b)) = { behind }.find(|&(a, b)| sum(i * ny + a, i * ny + b) == v) {
                    open.extend([(i, a), (i, b)]);
                }
            }
        }
        counts
    }

    /// An item of just this value that ends at these places.
    fn single(&self, i: usize, j: usize, value: i64, items: &[Item]) -> Option<usize> {
        let (x, y) = (self.x.places[i], self.y.places[j]);
        let ends = |w: i64, d: i64| self.x.steps(w) == x && self.y.steps(d) == y && x > 0 && y > 0;
        items.iter().position(|item| {
            item.value == value && (ends(item.w, item.d) || (item.turns && ends(item.d, item.w)))
        })
    }
}

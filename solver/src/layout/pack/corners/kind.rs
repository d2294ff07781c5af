//! Pieces that are alike, and what one of them takes.

use super::super::field::Shape;

/// What a piece takes at least, or may take at most: area with its gap, and of the budget beyond its cheapest outline.
#[derive(Clone, Copy, Default)]
pub(super) struct Share {
    pub(super) area: i64,
    pub(super) price: i64,
}

/// Pieces that are alike.
pub(super) struct Kind {
    pub(super) class: usize,
    pub(super) shapes: Vec<Shape>,
    /// Per outline: what it takes of the budget beyond the cheapest one.
    pub(super) prices: Vec<i64>,
    /// Outlines by area, and by price.
    pub(super) by_area: Vec<usize>,
    pub(super) by_price: Vec<usize>,
    /// Bodies of this kind; the first `left` of them are not placed.
    pub(super) members: Vec<usize>,
    pub(super) left: usize,
    /// Least area of its outlines, gaps not counted.
    pub(super) cheapest: i64,
    /// One of them must stand in the left front quarter.
    pub(super) quarter: bool,
}

impl Kind {
    /// Outlines at most this wide and this deep that take no more than `most`, with their prices.
    pub(super) fn within(
        &self,
        w: i64,
        d: i64,
        most: Share,
    ) -> impl DoubleEndedIterator<Item = (Shape, i64)> + '_ {
        let to = self.shapes.partition_point(|s| s.w <= w);
        let from = self.shapes.partition_point(|s| s.d > d).min(to);
        let all = self.shapes[from..to].iter().zip(&self.prices[from..to]);
        all.filter(move |(s, price)| **price <= most.price && s.area() <= most.area)
            .map(|(s, price)| (*s, *price))
    }

    /// What one piece takes at least where there is so much width and depth, and no more money than this.
    pub(super) fn least(&self, open: &[(i64, i64)], money: i64) -> Option<Share> {
        let fits = |i: &&usize| {
            let s = self.shapes[**i];
            self.prices[**i] <= money && open.iter().any(|(w, d)| s.w <= *w && s.d <= *d)
        };
        let area = self.shapes[*self.by_area.iter().find(fits)?].area();
        let price = self.prices[*self.by_price.iter().find(fits)?];
        Some(Share { area, price })
    }
}

//! Bodies in a fixed order along one axis: earliest and latest places by longest paths.

/// One body along the axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Link {
    /// Its least end may not lie before this.
    pub least: i64,
    /// Its far end may not lie beyond this.
    pub most: i64,
    /// It stays here, whatever its limits.
    pub fixed: Option<i64>,
}

/// "The second begins at least `gap` beyond the end of the first."
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Order {
    pub first: usize,
    pub second: usize,
    pub gap: i64,
}

/// The bodies and their order.
#[derive(Clone, Debug)]
pub(crate) struct Chain {
    links: Vec<Link>,
    /// By the rank of their first body.
    forward: Vec<Order>,
    /// By the rank of their second body, backwards.
    backward: Vec<Order>,
}

impl Chain {
    /// `None` where the orders go round in a circle or name a body that is not there.
    pub(crate) fn new(links: Vec<Link>, orders: &[Order]) -> Option<Chain> {
        let rank = ranks(links.len(), orders)?;
        let (mut forward, mut backward) = (orders.to_vec(), orders.to_vec());
        forward.sort_by_key(|o| rank[o.first]);
        backward.sort_by_key(|o| std::cmp::Reverse(rank[o.second]));
        Some(Chain { links, forward, backward })
    }

    /// Every body as near to the origin as it goes with these sizes; `None` where they do not fit.
    pub(crate) fn earliest(&self, sizes: &[i64]) -> Option<Vec<i64>> {
        let mut at: Vec<i64> = self.links.iter().map(|l| l.fixed.unwrap_or(l.least)).collect();
        for o in &self.forward {
            let least = at[o.first] + sizes[o.first] + o.gap;
            if at[o.second] < least {
                if self.links[o.second].fixed.is_some() {
                    return None;
                }
                at[o.second] = least;
            }
        }
        let fits = self.links.iter().zip(&at).zip(sizes).all(|((l, a), s)| a + s <= l.most);
        fits.then_some(at)
    }

    /// Every body as far from the origin as it goes with these sizes; `None` where they do not fit.
    pub(crate) fn latest(&self, sizes: &[i64]) -> Option<Vec<i64>> {
        let mut at: Vec<i64> =
            self.links.iter().zip(sizes).map(|(l, s)| l.fixed.unwrap_or(l.most - s)).collect();
        for o in &self.backward {
            let most = at[o.second] - o.gap - sizes[o.first];
            if at[o.first] > most {
                if self.links[o.first].fixed.is_some() {
                    return None;
                }
                at[o.first] = most;
            }
        }
        let fits = self.links.iter().zip(&at).all(|(l, a)| l.fixed.is_some() || *a >= l.least);
        fits.then_some(at)
    }
}

/// Position of each body in an order that respects all of `orders` (Kahn, CACM 5, 1962), ties by index.
fn ranks(n: usize, orders: &[Order]) -> Option<Vec<usize>> {
    let mut before = vec![0usize; n];
    let mut after: Vec<Vec<usize>> = vec![Vec::new(); n];
    for o in orders {
        *before.get_mut(o.second)? += 1;
        after.get_mut(o.first)?.push(o.second);
    }
    let mut ready: std::collections::BTreeSet<usize> = (0..n).filter(|&i| before[i] == 0).collect();
    let mut rank = vec![0; n];
    let mut next = 0;
    while let Some(i) = ready.pop_first() {
        rank[i] = next;
        next += 1;
        for &j in &after[i] {
            before[j] -= 1;
            if before[j] == 0 {
                ready.insert(j);
            }
        }
    }
    (next == n).then_some(rank)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_in_a_row_and_one_that_stays() {
        //  |aa.bb....[c]|   c stays at 9, gap 1
        let free = Link { least: 0, most: 10, fixed: None };
        let stays = Link { fixed: Some(9), ..free };
        let orders = [Order { first: 0, second: 1, gap: 1 }, Order { first: 1, second: 2, gap: 1 }];
        let chain = Chain::new(vec![free, free, stays], &orders).unwrap();
        assert_eq!(chain.earliest(&[2, 2, 1]), Some(vec![0, 3, 9]));
        assert_eq!(chain.latest(&[2, 2, 1]), Some(vec![3, 6, 9]));
        assert_eq!(chain.earliest(&[4, 4, 1]), None);
        assert_eq!(chain.latest(&[4, 4, 1]), None);
        let round = [orders[0], Order { first: 1, second: 0, gap: 0 }];
        assert!(Chain::new(vec![free, free], &round).is_none());
    }
}

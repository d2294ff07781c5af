//! Work on many jobs side by side, results in their order.

use std::sync::atomic::{AtomicUsize, Ordering};

/// Does `work` for every item on all threads of the pool and returns the results in order.
///
/// Every thread takes the next item when it is free. A plain parallel iterator would not do: a search that
/// waits for its own parallel steps could be handed a whole further job, whose time would count against it and
/// whose stack would lie on top of its own.
pub(super) fn each<A: Sync, T: Send>(items: &[A], work: impl Fn(&A) -> T + Sync) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let mut done: Vec<(usize, T)> = rayon::broadcast(|_| {
        let mut mine = Vec::new();
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            match items.get(i) {
                Some(item) => mine.push((i, work(item))),
                None => return mine,
            }
        }
    })
    .into_iter()
    .flatten()
    .collect();
    done.sort_by_key(|(i, _)| *i);
    done.into_iter().map(|(_, result)| result).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn results_stand_in_order_on_any_number_of_threads() {
        let numbers: Vec<u32> = (0..100).collect();
        for threads in [1, 2, 5] {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            let squares = pool.install(|| each(&numbers, |i| i * i));
            assert_eq!(squares, (0..100).map(|i| i * i).collect::<Vec<_>>());
        }
        assert!(each(&[], |i: &u32| *i).is_empty());
    }
}

//! "Did you mean …?"

/// The likeliest of `known` for a mistyped word: by edit distance with swaps of neighbours, at most a third of its letters.
pub(crate) fn suggest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let plain = |s: &str| s.to_lowercase().replace([' ', '-'], "_");
    let wrong = plain(word);
    if wrong.chars().count() > 64 {
        return None;
    }
    known
        .into_iter()
        .map(|k| {
            let right = plain(k);
            // A word given in full inside a longer one ("finger_room" for "finger") is a likely slip too.
            let within = right.len() >= 4 && (wrong.contains(&right) || right.starts_with(&wrong));
            let distance = edits(&wrong, &right);
            (if within && wrong.len() >= 3 { distance.min(1) } else { distance }, k)
        })
        .filter(|(distance, k)| *distance <= (k.chars().count().max(wrong.chars().count()) / 3).max(1))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, k)| k)
}

/// Edit distance with insertions, deletions, replacements and swaps of neighbouring letters
/// (optimal string alignment).
fn edits(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, ca) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let cost = usize::from(ca != cb);
            let mut best = (last[j] + cost).min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && a[i - 1] == *cb && *ca == b[j - 1] {
                best = best.min(before[j - 1] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_the_known_ones() {
        // Usual textbook pairs, from memory.
        assert_eq!(edits("kitten", "sitting"), 3);
        assert_eq!(edits("ca", "abc"), 3);
        assert_eq!(edits("widht", "width"), 1);
        assert_eq!(edits("", "abc"), 3);
    }

    #[test]
    fn near_words_are_offered_and_far_ones_not() {
        let known = ["interior", "lid_room", "clearance", "stored"];
        assert_eq!(suggest("intrior", known), Some("interior"));
        assert_eq!(suggest("lid-room", known), Some("lid_room"));
        assert_eq!(suggest("Clearence", known), Some("clearance"));
        assert_eq!(suggest("banana", known), None);
        assert_eq!(suggest("", known), None);
    }
}

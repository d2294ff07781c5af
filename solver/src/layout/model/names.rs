//! Names in the model that a person can read and every MPS reader takes: no blanks, unique.

use std::collections::BTreeSet;

/// Letters, digits, `-`, `.` and `_` stay, everything else becomes `_`; names that come out alike get a number.
pub(super) fn plain<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut taken = BTreeSet::new();
    names
        .map(|name| {
            let stem: String = name
                .chars()
                .map(|c| if c.is_ascii_alphanumeric() || matches!(c, '-' | '.') { c } else { '_' })
                .take(40)
                .collect();
            let mut out = if stem.is_empty() { "_".to_string() } else { stem.clone() };
            let mut n = 2;
            while !taken.insert(out.clone()) {
                out = format!("{stem}_{n}");
                n += 1;
            }
            out
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_go_and_doubles_get_numbers() {
        let names = plain(["mail sacks", "mail_sacks", "Kräne 2", ""].into_iter());
        assert_eq!(names, ["mail_sacks", "mail_sacks_2", "Kr_ne_2", "_"]);
    }
}

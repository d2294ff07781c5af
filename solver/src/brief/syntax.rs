//! What is wrong with a text that is no TOML, in a maker's words.
//!
//! Where a bracket or a quote is never closed, a parser stumbles over everything that follows. So those are looked for
//! first, by what lines of a brief look like ([`slips`]), and mended in a copy; only then is the parser asked what else is wrong.
//! Nothing but findings comes of the copy.

mod slips;
mod words;

use toml::de::DeTable;

use super::sources::{Sources, Span};
use crate::finding::Finding;
use slips::{Edit, slips};

/// Syntax faults told at once; more of them are mostly echoes of the first.
const MOST_FAULTS: usize = 20;

/// All that keeps source number `source` from being TOML, in the order of its lines; at most one fault a line.
pub(super) fn faults(sources: &Sources, source: usize) -> Vec<Finding> {
    let text = sources.text(source);
    let (slips, edits) = slips(text);
    let mut told: Vec<(usize, Finding)> = Vec::new();
    // A second fault in a line is mostly an echo of the first.
    let new = |told: &[(usize, Finding)], line: usize| told.iter().all(|(other, _)| *other != line);
    for slip in &slips {
        let span = Span { source, start: slip.at, end: slip.at + slip.length };
        let line = sources.line(span);
        if told.len() < MOST_FAULTS && new(&told, line) {
            told.push((line, words::of_slip(sources, span, slip.kind)));
        }
    }
    let (copy, shifts) = mended(text, &edits);
    for error in &DeTable::parse_recoverable(&copy).1 {
        if told.len() >= MOST_FAULTS {
            break;
        }
        let bytes = error.span().unwrap_or(0..0);
        let span = Span { source, start: back(&shifts, bytes.start), end: back(&shifts, bytes.end) };
        let line = sources.line(span);
        if new(&told, line) {
            told.push((line, words::of_parser(sources, span, error.message())));
        }
    }
    told.sort_by_key(|(line, _)| *line);
    told.into_iter().map(|(_, finding)| finding).collect()
}

/// Where a piece of the copy begins, and where it stood before; pieces that were put in stand where they were put.
type Shift = (usize, usize);

/// The text with all edits made.
fn mended(text: &str, edits: &[Edit]) -> (String, Vec<Shift>) {
    let mut copy = String::with_capacity(text.len() + edits.len() * 3);
    let mut shifts = vec![(0, 0)];
    let mut from = 0;
    for e in edits {
        copy.push_str(text.get(from..e.from).unwrap_or(""));
        shifts.push((copy.len(), e.from));
        copy.push_str(e.by);
        from = from.max(e.to);
        shifts.push((copy.len(), from));
    }
    copy.push_str(text.get(from..).unwrap_or(""));
    (copy, shifts)
}

/// Where a byte of the mended text stood before.
fn back(shifts: &[Shift], at: usize) -> usize {
    let k = shifts.partition_point(|(begins, _)| *begins <= at);
    let Some(&(begins, stood)) = k.checked_sub(1).and_then(|k| shifts.get(k)) else { return at };
    // Within what was put in, no further than what comes after it.
    let end = shifts.get(k).map_or(usize::MAX, |next| next.1);
    (stood + (at - begins)).min(end)
}

#[cfg(test)]
mod tests;

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
    let mut tell = |span: Span, finding: &dyn Fn() -> Finding| {
        // A second fault in a line is mostly an echo of the first.
        let line = sources.line(span);
        if told.len() < MOST_FAULTS && told.iter().all(|(other, _)| *other != line) {
            told.push((line, finding()));
        }
    };
    for slip in &slips {
        let span = Span { source, start: slip.at, end: slip.at + slip.length };
        tell(span, &|| words::of_slip(sources, span, slip.kind));
    }
    let copy = mended(text, &edits);
    for error in &DeTable::parse_recoverable(&copy).1 {
        let bytes = error.span().unwrap_or(0..0);
        let span = Span { source, start: back(&edits, bytes.start), end: back(&edits, bytes.end) };
        tell(span, &|| words::of_parser(sources, span, error.message()));
    }
    told.sort_by_key(|(line, _)| *line);
    told.into_iter().map(|(_, finding)| finding).collect()
}

/// The text with all edits made.
fn mended(text: &str, edits: &[Edit]) -> String {
    let mut copy = String::with_capacity(text.len() + edits.len() * 3);
    let mut from = 0;
    for e in edits {
        copy.push_str(text.get(from..e.from).unwrap_or(""));
        copy.push_str(e.by);
        from = from.max(e.to);
    }
    copy.push_str(text.get(from..).unwrap_or(""));
    copy
}

/// Where a byte of the mended text stood before.
fn back(edits: &[Edit], at: usize) -> usize {
    let mut before = at;
    for e in edits {
        // Edits come in order, so this one begins in the copy where the others have moved it.
        if before <= e.from {
            break;
        }
        let end = e.from + e.by.len();
        before = if before < end { e.from } else { before - end + e.to };
    }
    before
}

#[cfg(test)]
mod tests;

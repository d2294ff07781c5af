//! Findings about slips and about what the parser refuses.

use super::slips::Slip;
use crate::brief::number::{has_decimal_comma, plain};
use crate::brief::sources::{Sources, Span};
use crate::finding::Finding;

/// Words for what may stand in quotes.
const TRUTHS: [(&str, &str); 4] = [("yes", "true"), ("true", "true"), ("no", "false"), ("false", "false")];

/// A finding about a slip.
pub(super) fn of_slip(sources: &Sources, span: Span, slip: Slip) -> Finding {
    let (what, remedy) = match slip {
        Slip::Unclosed(b'[') => ("the list that begins here is never closed", "Write `]` where it ends.".to_owned()),
        Slip::Unclosed(_) => ("the braces that open here are never closed", "Write `}` where they close.".to_owned()),
        Slip::UnclosedText(quotes) => {
            ("the text that begins here has no closing quote", format!("Write `{quotes}` where it ends."))
        }
        Slip::QuoteWithin => (
            "a text ends at this quote, but something follows it",
            "Put a text that has quotes in it between quotes of the other kind: 'the \"old\" quay' or \"the pilot's chair\"."
                .to_owned(),
        ),
        Slip::Printed(lines) => {
            let cause = match lines {
                1 => "quotes as word processors print them".to_owned(),
                _ => format!("quotes as word processors print them, in {lines} lines of which this is the first"),
            };
            return told(sources, span, &cause, "Write straight ones, \" or ', in a plain text editor.");
        }
    };
    told(sources, span, what, &remedy)
}

/// A finding about something that the parser refused.
pub(super) fn of_parser(sources: &Sources, span: Span, message: &str) -> Finding {
    let place = sources.place(span, "");
    if message.contains("duplicate key") {
        return Finding::listed("B015", format!("`{}` is written twice", sources.quote(span))).at(place);
    }
    if message.contains("recurs") {
        return Finding::listed("B006", "lists or tables lie too deep in one another").at(place);
    }
    let line = sources.line_of(span).trim();
    if let Some((_, written)) = line.split_once('=')
        && has_decimal_comma(written)
        && !written.contains(['"', '[', '\''])
    {
        let cause = format!("`{}` has a decimal comma", crate::brief::clip(written.trim()));
        return Finding::listed("B005", cause).at(place);
    }
    let rest = sources.text(span.source).get(span.start..).unwrap_or("");
    let words = if message.contains("must be quoted") || message.contains("unexpected key or value") {
        value(line, rest)
    } else if message.contains("key with no value") {
        key(line)
    } else if message.contains("unclosed table") || message.contains("unclosed array table") {
        let header = line.split('#').next().unwrap_or("").trim();
        let name = header.trim_matches(['[', ']']);
        let whole = if header.starts_with("[[") { format!("[[{name}]]") } else { format!("[{name}]") };
        Some((format!("`{header}` is not closed"), format!("Write `{whole}`.")))
    } else if message.contains("missing comma") {
        let next = rest.split([',', ']', '}', '\n']).next().unwrap_or("").trim();
        let cause = format!("there is no comma before `{}`", crate::brief::clip(next));
        Some((cause, "Write a comma between two entries.".to_owned()))
    } else if message.contains("extra assignment") && line.contains(';') {
        let cause = "a semicolon where a comma belongs".to_owned();
        Some((cause, "Write a comma between two entries.".to_owned()))
    } else {
        None
    };
    match words {
        Some((cause, remedy)) => told(sources, span, &cause, &remedy),
        None => Finding::listed("B004", in_line(sources, span, message)).at(place),
    }
}

/// A value that is no TOML.
fn value(line: &str, rest: &str) -> Option<(String, String)> {
    let bare = |text: &str| text.split([',', ']', '}', '#', '\n']).next().unwrap_or("").trim().to_owned();
    // Where the value began well, as `2` in `2 1/2 in`, the fault is told further on.
    let whole = line.split_once('=').map(|(_, v)| v.trim_start());
    let written = match whole {
        Some(v) if !v.starts_with(['[', '{', '"', '\'']) => bare(v),
        _ => bare(rest),
    };
    if written.is_empty() || written.contains(['"', '\'']) {
        return None;
    }
    if let Some((_, right)) = TRUTHS.iter().find(|(word, _)| written.eq_ignore_ascii_case(word)) {
        return Some((format!("`{written}` has no quotes"), format!("Write `{right}`.")));
    }
    if written.contains(';') {
        return Some((
            "a semicolon where a comma belongs".to_owned(),
            "Write a comma between two entries.".to_owned(),
        ));
    }
    let entries: Vec<&str> = written.split_whitespace().collect();
    if entries.len() > 1 && entries.iter().all(|e| plain(e).is_ok()) {
        let cause = format!("`{written}` are {} values without commas", entries.len());
        return Some((cause, format!("Write `{}`.", entries.join(", "))));
    }
    Some((format!("`{written}` has no quotes"), format!("Write `\"{written}\"`.")))
}

/// A line that has no key and equals sign.
fn key(line: &str) -> Option<(String, String)> {
    let before = line.split(['=', '#', '"', '\'']).next().unwrap_or("");
    if let Some((key, _)) = before.split_once(':') {
        let cause = format!("`{}` has a colon where an equals sign belongs", key.trim());
        return Some((cause, format!("Write `{} = ` and the value.", key.trim())));
    }
    let words: Vec<&str> = before.split_whitespace().collect();
    let name = |w: &&str| w.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.'));
    if !words.iter().all(name) {
        return None;
    }
    if line[before.len()..].starts_with('=') {
        let cause = format!("a key is one word, but here stand {}", words.len());
        return Some((cause, format!("Write `{}`.", words.join("_"))));
    }
    let (key, _) = before.trim().split_once(' ')?;
    Some((format!("`{key}` has no equals sign"), format!("Write `{key} = ` and the value.")))
}

fn told(sources: &Sources, span: Span, cause: &str, remedy: &str) -> Finding {
    Finding::listed("B004", in_line(sources, span, cause)).remedied(remedy).at(sources.place(span, ""))
}

fn in_line(sources: &Sources, span: Span, cause: &str) -> String {
    format!("{cause}, in the line `{}`", crate::brief::clip(sources.line_of(span).trim()))
}

//! Findings about slips and about what the parser refuses.

use super::slips::Slip;
use crate::brief::number::{has_decimal_comma, plain};
use crate::brief::sources::{Sources, Span};
use crate::finding::Finding;

/// Words for what may stand in quotes.
const TRUTHS: [(&str, &str); 4] = [("yes", "true"), ("true", "true"), ("no", "false"), ("false", "false")];

/// What is told where entries have no comma between them.
const COMMA: &str = "Write a comma between two entries.";

/// A finding about a slip.
pub(super) fn of_slip(sources: &Sources, span: Span, slip: Slip) -> Finding {
    let (cause, remedy) = match slip {
        Slip::Unclosed(b'[') => ("the list that begins here is never closed".to_owned(), "Write `]` where it ends.".to_owned()),
        Slip::Unclosed(_) => ("the braces that open here are never closed".to_owned(), "Write `}` where they close.".to_owned()),
        Slip::UnclosedText(quotes) => {
            ("the text that begins here has no closing quote".to_owned(), format!("Write `{quotes}` where it ends."))
        }
        Slip::UnopenedText => (
            "a text without an opening quote, or with a quote in it".to_owned(),
            "Write `\"` where it begins and where it ends.".to_owned(),
        ),
        Slip::InchMark => (
            "a mark for inches or feet".to_owned(),
            "Write the unit in the text: `\"1/8 in\"`.".to_owned(),
        ),
        Slip::QuoteWithin => (
            "a text ends at this quote, but something follows it".to_owned(),
            "Put a text that has quotes in it between quotes of the other kind: 'the \"old\" quay' or \"the pilot's chair\"."
                .to_owned(),
        ),
        Slip::NoComma => (
            "another entry begins here, with no comma before it".to_owned(),
            "Write a comma between two entries of a list or of braces; outside of them, every entry on a line of its own."
                .to_owned(),
        ),
        Slip::Semicolon => semicolon(sources.line_of(span)),
        Slip::Colon => {
            ("a colon where an equals sign belongs".to_owned(), "Write `=` between a key and its value.".to_owned())
        }
        Slip::Remark => ("a remark begins with `#` here".to_owned(), "Write `#` in place of `//`.".to_owned()),
        Slip::OpenHeader => header(sources.line_of(span)),
        Slip::Printed(1) => printed("quotes as word processors print them".to_owned()),
        Slip::Printed(lines) => {
            printed(format!("quotes as word processors print them, in {lines} lines of which this is the first"))
        }
    };
    told(sources, span, &cause, &remedy)
}

fn printed(cause: String) -> (String, String) {
    (cause, "Write straight ones, \" or ', in a plain text editor.".to_owned())
}

fn semicolon(line: &str) -> (String, String) {
    let within = line.split('#').next().unwrap_or("").trim_end();
    let remedy = if within.ends_with(';') || !within.contains(['[', '{']) {
        "Leave it out: a line ends with its value."
    } else {
        COMMA
    };
    ("a semicolon".to_owned(), remedy.to_owned())
}

/// A header that lacks a bracket.
fn header(line: &str) -> (String, String) {
    let written = line.split('#').next().unwrap_or("").trim();
    let name = written.trim_matches(['[', ']']);
    let whole = if written.starts_with("[[") { format!("[[{name}]]") } else { format!("[{name}]") };
    (
        format!("`{}` is not closed", crate::brief::clip(written)),
        format!("Write `{}`.", crate::brief::clip(&whole)),
    )
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
    let line = sources.line_of(span).split(" #").next().unwrap_or("").trim();
    // In a list the comma before what is refused.
    let before = sources.text(span.source).get(..span.start).unwrap_or("");
    let split = before.strip_suffix(',').is_some_and(|b| b.ends_with(|c: char| c.is_ascii_digit()));
    if let Some((_, written)) = line.split_once('=')
        && has_decimal_comma(written)
        && (split || (!written.contains(['"', '[', '{', '\'']) && written.matches(',').count() == 1))
    {
        let cause = format!("`{}` has a decimal comma", crate::brief::clip(written.trim()));
        return Finding::listed("B005", cause).at(place);
    }
    let rest = sources.text(span.source).get(span.start..).unwrap_or("");
    let hidden = |c: &char| matches!(c, '\u{a0}' | '\u{200b}' | '\u{feff}' | '\u{2009}' | '\u{202f}');
    let word = rest.split(['#', '"', '\'', ',', '\n']).next().unwrap_or("");
    if let Some(c) = before.chars().next_back().into_iter().chain(word.chars()).find(hidden) {
        let cause = format!("a character that cannot be seen (U+{:04X})", u32::from(c));
        return told(sources, span, &cause, "Delete it, and write a plain blank where one belongs.");
    }
    let words = if message.contains("must be quoted") || message.contains("unexpected key or value") {
        value(line, rest)
    } else if ["boolean", "float", "integer", "datetime"]
        .iter()
        .any(|kind| message.contains(&format!("invalid {kind}")))
    {
        let whole = line.split_once('=').map_or("", |(_, v)| v.trim_start());
        if whole.starts_with(['[', '{']) { None } else { value(line, rest) }
    } else if message.contains("missing opening quote") {
        let digit = |w: &[u8]| matches!(w, [d, b'"' | b'\''] if d.is_ascii_digit());
        let inches = line.as_bytes().windows(2).any(digit);
        return of_slip(sources, span, if inches { Slip::InchMark } else { Slip::UnopenedText });
    } else if message.contains("key with no value") {
        key(line)
    } else if message.contains("leading zero") {
        Some(("a number that begins with a zero".to_owned(), "Write it without: `2`, `0.5`.".to_owned()))
    } else if message.contains("mantissa") || message.contains("fraction") {
        Some((
            "a number with nothing on one side of its point".to_owned(),
            "Write a digit there: `0.5`, `2.0`.".to_owned(),
        ))
    } else if message.contains("unclosed") && line.starts_with('[') {
        let cause = format!("`{}` is no header of a table", crate::brief::clip(line));
        Some((
            cause,
            "Write its name in one word between square brackets, and nothing after them: `[stock]`."
                .to_owned(),
        ))
    } else if message.contains("missing comma") {
        let next = rest.split([',', ']', '}', '\n']).next().unwrap_or("").trim();
        Some((format!("there is no comma before `{}`", crate::brief::clip(next)), COMMA.to_owned()))
    } else if message.contains("extra assignment") && line.contains(';') {
        Some(semicolon(line))
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
    let (key, whole) = line.split_once('=').map(|(key, v)| (key.trim(), v.trim()))?;
    if whole.is_empty() {
        return Some((
            format!("`{}` has no value", crate::brief::clip(key)),
            "Write it after the equals sign.".to_owned(),
        ));
    }
    let alone = !whole.starts_with(['[', '{', '"', '\'']);
    let here = rest.split(['\n', '#']).next().unwrap_or("");
    if key.starts_with('[') || (alone && here.len() < whole.len() && here.contains('=')) {
        let cause = "another entry begins here".to_owned();
        return Some((cause, "Write every entry on a line of its own.".to_owned()));
    }
    // A list without its brackets: numbers with commas, blanks or signs of multiplication between them.
    let inner = whole.trim_start_matches('(').trim_end_matches(')').trim();
    let parts = inner.split([',', ' ', 'x', '×', '*', ';']).map(str::trim);
    let numbers: Vec<&str> = parts.filter(|p| !p.is_empty()).collect();
    if numbers.len() > 1 && numbers.iter().all(|p| plain(p).is_ok()) {
        let cause = format!("`{}` is a list without its brackets", crate::brief::clip(whole));
        return Some((cause, format!("Write `{key} = [{}]`.", numbers.join(", "))));
    }
    // The same with units.
    let parts: Vec<&str> = whole.split(',').map(str::trim).collect();
    let measure =
        |p: &&str| p.starts_with(|c: char| c.is_ascii_digit()) && !p.contains(['"', '\'', '[', '{']);
    if alone && parts.len() > 1 && !has_decimal_comma(whole) && parts.iter().all(measure) {
        let one = |p: &&str| if plain(p).is_ok() { (*p).to_owned() } else { format!("\"{p}\"") };
        let all: Vec<String> = parts.iter().map(one).collect();
        let cause = format!("`{}` is a list without its brackets", crate::brief::clip(whole));
        return Some((cause, format!("Write `{key} = [{}]`.", all.join(", "))));
    }
    // Where the value began well, as `2` in `2 1/2 in`, the fault is told further on.
    let written =
        if alone { whole } else { rest.split([',', ']', '}', '#', '\n']).next().unwrap_or("").trim() };
    if written.is_empty() || written.contains(['"', '\'', '=', '[', '{']) {
        return None;
    }
    if let Some((_, right)) = TRUTHS.iter().find(|(word, _)| written.eq_ignore_ascii_case(word)) {
        return Some((format!("`{written}` has no quotes"), format!("Write `{right}`.")));
    }
    if written.contains(';') {
        return Some(semicolon(line));
    }
    let entries: Vec<&str> = written.split([' ', 'x', '×', '*']).filter(|e| !e.is_empty()).collect();
    if !alone && entries.len() > 1 && entries.iter().all(|e| plain(e).is_ok()) {
        let cause = format!("`{}` are {} values without commas", crate::brief::clip(written), entries.len());
        return Some((cause, format!("Write `{}`.", entries.join(", "))));
    }
    if !alone && !rest.starts_with(written) {
        return None;
    }
    let clipped = crate::brief::clip(written);
    Some((format!("`{clipped}` has no quotes"), format!("Write `\"{clipped}\"`.")))
}

/// A line that has no key and equals sign.
fn key(line: &str) -> Option<(String, String)> {
    if line.starts_with("//") {
        return Some(("a remark begins with `#`".to_owned(), "Write `#` in place of `//`.".to_owned()));
    }
    let before = line.split(['=', '#', '"', '\'', '[', '{']).next().unwrap_or("");
    if let Some((key, _)) = before.split_once(':') {
        let cause = format!("`{}` has a colon where an equals sign belongs", key.trim());
        return Some((cause, format!("Write `{} = ` and the value.", key.trim())));
    }
    let words: Vec<&str> = before.split_whitespace().collect();
    let name = |w: &&str| {
        w.starts_with(|c: char| c.is_ascii_alphanumeric())
            && w.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.'))
    };
    if words.is_empty() || !words.iter().all(name) {
        return None;
    }
    if line[before.len()..].starts_with('=') {
        let cause = format!("a key is one word, but here stand {}", words.len());
        return (words.len() > 1).then(|| (cause, format!("Write `{}`.", words.join("_"))));
    }
    let key = words.first()?;
    Some((format!("`{key}` has no equals sign"), format!("Write `{key} = ` and the value.")))
}

fn told(sources: &Sources, span: Span, cause: &str, remedy: &str) -> Finding {
    Finding::listed("B004", in_line(sources, span, cause)).remedied(remedy).at(sources.place(span, ""))
}

fn in_line(sources: &Sources, span: Span, cause: &str) -> String {
    format!("{cause}, in the line `{}`", crate::brief::clip(sources.line_of(span).trim()))
}

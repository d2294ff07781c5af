//! The texts that findings point into.

use crate::finding::Place;

/// Bytes of one source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Span {
    pub(crate) source: usize,
    pub(crate) start: usize,
    pub(crate) end: usize,
}

/// Where a value stands and what it is called.
#[derive(Clone, Debug, Default)]
pub(crate) struct Spot {
    pub(crate) span: Span,
    pub(crate) path: String,
}

/// What kind of writing a source is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hand {
    /// TOML or JSON: texts stand in quotes, so a number is never a name.
    Quoted,
    /// Cells of a spreadsheet, or a command line: nothing is quoted.
    Bare,
}

#[derive(Debug)]
struct Text {
    name: String,
    text: String,
    hand: Hand,
    lines: Vec<usize>,
}

/// All texts of one reading; a [`Span`] names its source by number.
#[derive(Debug, Default)]
pub(crate) struct Sources(Vec<Text>);

/// Beyond this many bytes in a line a column is counted in bytes, so that a file of one enormous line stays quick.
const LONG_LINE: usize = 10_000;

impl Sources {
    /// Takes in a text and returns its number.
    pub(crate) fn add(&mut self, name: impl Into<String>, text: impl Into<String>, hand: Hand) -> usize {
        let text = text.into();
        let mut lines = vec![0];
        lines.extend(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1));
        self.0.push(Text { name: name.into(), text, hand, lines });
        self.0.len() - 1
    }

    pub(crate) fn text(&self, source: usize) -> &str {
        self.0.get(source).map_or("", |t| &t.text)
    }

    /// All bytes of a source.
    pub(crate) fn whole(&self, source: usize) -> Span {
        Span { source, start: 0, end: self.text(source).len() }
    }

    pub(crate) fn name(&self, source: usize) -> &str {
        self.0.get(source).map_or("", |t| &t.name)
    }

    pub(crate) fn is_bare(&self, span: Span) -> bool {
        self.0.get(span.source).is_some_and(|t| t.hand == Hand::Bare)
    }

    /// Where a finding about these bytes points.
    pub(crate) fn place(&self, span: Span, path: &str) -> Place {
        let Some(t) = self.0.get(span.source) else {
            return Place { path: path.to_owned(), ..Place::default() };
        };
        let start = floor_boundary(&t.text, span.start);
        let end = floor_boundary(&t.text, span.end).max(start);
        let line = t.lines.partition_point(|&l| l <= start).max(1);
        let line_start = t.lines.get(line - 1).copied().unwrap_or(0);
        let before = t.text.get(line_start..start).unwrap_or("");
        let column = 1 + if before.len() > LONG_LINE { before.len() } else { before.chars().count() };
        Place {
            file: t.name.clone(),
            bytes: Some(start..end),
            line_column: Some((line, column)),
            path: path.to_owned(),
        }
    }

    /// 1-based line of these bytes.
    pub(crate) fn line(&self, span: Span) -> usize {
        self.0.get(span.source).map_or(1, |t| t.lines.partition_point(|&l| l <= span.start).max(1))
    }

    /// The text of the line in which these bytes begin.
    pub(crate) fn line_of(&self, span: Span) -> &str {
        let Some(t) = self.0.get(span.source) else { return "" };
        let line = self.line(span);
        let from = t.lines.get(line - 1).copied().unwrap_or(0);
        let to = t.lines.get(line).copied().unwrap_or(t.text.len());
        t.text.get(from..to).unwrap_or("").trim_end_matches(['\n', '\r'])
    }

    /// What is written at these bytes, shortened where it is long.
    pub(crate) fn quote(&self, span: Span) -> &str {
        let text = self.text(span.source);
        let (from, to) = (floor_boundary(text, span.start), floor_boundary(text, span.end));
        super::clip(text.get(from..to).unwrap_or(""))
    }
}

fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

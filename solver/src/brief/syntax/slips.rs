//! Brackets and quotes that are never closed, and what they would look like closed.

/// What was written wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Slip {
    /// A list or a table in a line, by its opening bracket.
    Unclosed(u8),
    /// A text without its closing quote.
    UnclosedText(&'static str),
    /// A text without its opening quote.
    UnopenedText,
    /// A mark for inches or feet after a number.
    InchMark,
    /// A text that ends, and something after it: a quote within the text.
    QuoteWithin,
    /// Something else after a text: another entry without a comma, or on one line with it.
    NoComma,
    /// A semicolon after a text.
    Semicolon,
    /// A colon after a key.
    Colon,
    /// A remark that does not begin as one.
    Remark,
    /// A header without its last brackets.
    OpenHeader,
    /// Quotes as they are printed; so many lines have them.
    Printed(usize),
}

/// A slip and where it stands, in bytes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub(super) at: usize,
    pub(super) length: usize,
    pub(super) kind: Slip,
}

/// Bytes `from` to `to` replaced.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edit {
    pub(super) from: usize,
    pub(super) to: usize,
    pub(super) by: &'static str,
}

/// An opening bracket.
#[derive(Clone, Copy)]
struct Open {
    at: usize,
    bracket: u8,
}

/// Lists and tables lie no deeper in one another.
const DEEPEST: usize = 80;

/// After so many slips no more are looked for: fewer are told, and each may cost a look at a whole line.
const MOST_SLIPS: usize = 200;

/// So many lines are looked through for the bracket that closes a table.
const LINES_AHEAD: usize = 50;

/// Quotes that word processors print, in UTF-8.
const PRINTED: [&str; 5] = ["\u{201c}", "\u{201d}", "\u{201e}", "\u{2018}", "\u{2019}"];

struct Walk<'t> {
    text: &'t str,
    at: usize,
    open: Vec<Open>,
    /// After the equals sign of a line, or within brackets.
    in_value: bool,
    /// After the last thing that was no blank and no remark.
    end: usize,
    last_comma: usize,
    /// Where the line ends.
    line_end: usize,
    found: Vec<Found>,
    edits: Vec<Edit>,
    /// The first printed quote, and the lines that have any.
    printed: Option<(usize, usize)>,
}

/// All slips of a text, and edits in order that mend them well enough to read on.
pub(super) fn slips(text: &str) -> (Vec<Found>, Vec<Edit>) {
    let mut walk = Walk {
        text,
        at: 0,
        open: Vec::new(),
        in_value: false,
        end: 0,
        last_comma: 0,
        line_end: 0,
        found: Vec::new(),
        edits: Vec::new(),
        printed: None,
    };
    while walk.at < text.len() && walk.found.len() < MOST_SLIPS {
        walk.line();
    }
    walk.give_up(0, walk.end);
    if let Some((at, lines)) = walk.printed {
        walk.found.push(Found { at, length: PRINTED[0].len(), kind: Slip::Printed(lines) });
    }
    walk.edits.sort_by_key(|e| e.from);
    (walk.found, walk.edits)
}

impl<'t> Walk<'t> {
    fn byte(&self, at: usize) -> u8 {
        self.text.as_bytes().get(at).copied().unwrap_or(b'\n')
    }

    fn rest(&self, from: usize) -> &'t str {
        self.text.get(from..).unwrap_or("")
    }

    fn line_end(&self, from: usize) -> usize {
        self.rest(from).find('\n').map_or(self.text.len(), |n| from + n)
    }

    /// One line, from its start.
    fn line(&mut self) {
        self.line_end = self.line_end(self.at);
        let line = self.text.get(self.at..self.line_end).unwrap_or("");
        if self.open.is_empty() {
            self.in_value = false;
        } else if self.begins(line) {
            self.give_up(0, self.end);
            self.in_value = false;
        }
        // Headers have nothing that reaches over their line.
        if self.open.is_empty() && line.trim_start().starts_with('[') {
            self.header(line);
            self.at = self.line_end + 1;
            return;
        }
        let (mut printed_here, start) = (false, self.at);
        loop {
            if self.found.len() >= MOST_SLIPS {
                self.at = self.text.len();
                return;
            }
            let byte = self.byte(self.at);
            match byte {
                b'\n' => break self.at += 1,
                b'#' => self.at = self.line_end.max(self.at),
                b'/' if self.byte(self.at + 1) == b'/'
                    && (self.at == start || self.byte(self.at - 1) == b' ') =>
                {
                    self.found.push(Found { at: self.at, length: 2, kind: Slip::Remark });
                    self.edits.push(Edit { from: self.at, to: self.line_end.max(self.at), by: "" });
                    self.at = self.line_end.max(self.at);
                }
                b' ' | b'\t' | b'\r' => self.at += 1,
                b'"' | b'\'' => self.quoted(),
                b'=' => {
                    if let Some(last) = self.open.last()
                        && last.bracket == b'['
                    {
                        // A key cannot stand in a list; it follows the comma that should have come after the bracket.
                        self.give_up(self.open.len() - 1, self.last_comma.max(last.at + 1));
                    }
                    self.in_value = true;
                    self.step();
                }
                b'[' | b'{' if self.in_value => {
                    self.open.push(Open { at: self.at, bracket: byte });
                    self.step();
                }
                b']' | b'}' if self.in_value => self.close(byte),
                _ => match PRINTED.iter().find(|q| self.rest(self.at).starts_with(**q)) {
                    Some(quote) if self.in_value => {
                        if !std::mem::replace(&mut printed_here, true) {
                            let (at, lines) = self.printed.unwrap_or((self.at, 0));
                            self.printed = Some((at, lines + 1));
                        }
                        let to = self.at + quote.len();
                        let straight = if quote.ends_with(['\u{2018}', '\u{2019}']) { "'" } else { "\"" };
                        self.edits.push(Edit { from: self.at, to, by: straight });
                        (self.at, self.end) = (to, to);
                    }
                    _ => {
                        if byte == b',' {
                            self.last_comma = self.at;
                        }
                        self.step();
                    }
                },
            }
        }
    }

    /// A header has nothing that reaches over its line, but may lack a bracket.
    fn header(&mut self, line: &str) {
        let written = line.split('#').next().unwrap_or("").trim();
        let (open, close) = (written.starts_with("[["), written.ends_with("]]"));
        let by = match (open, close) {
            (true, false) if written.ends_with(']') => "]",
            (true, false) => "]]",
            (false, _) if !written.ends_with(']') => "]",
            _ => return,
        };
        let name = written.trim_start_matches('[').trim_end_matches(']');
        if name.is_empty() || !name.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.'))
        {
            return;
        }
        let start = self.at + line.find('[').unwrap_or(0);
        let end = start + written.len();
        self.found.push(Found { at: start, length: written.len(), kind: Slip::OpenHeader });
        self.edits.push(Edit { from: end, to: end, by });
    }

    fn step(&mut self) {
        self.at += 1;
        self.end = self.at;
    }

    /// All brackets from this one on are never closed; they are at `end`, the innermost first.
    fn give_up(&mut self, keep: usize, end: usize) {
        for open in self.open.drain(keep..).rev() {
            self.found.push(Found { at: open.at, length: 1, kind: Slip::Unclosed(open.bracket) });
            let by = if open.bracket == b'[' { "]" } else { "}" };
            self.edits.push(Edit { from: end, to: end, by });
        }
    }

    /// A closing bracket: what was opened after its own bracket is never closed.
    fn close(&mut self, byte: u8) {
        let opening = if byte == b']' { b'[' } else { b'{' };
        // What is closed as it was opened is found at once; of other brackets only the last ones are looked at.
        let last = self.open.len().saturating_sub(DEEPEST);
        if let Some(k) = self.open[last..].iter().rposition(|o| o.bracket == opening) {
            self.give_up(last + k + 1, self.end);
            self.open.pop();
        }
        self.step();
    }

    /// A text in quotes, from its first quote.
    fn quoted(&mut self) {
        let start = self.at;
        let quote = self.byte(start);
        let (three, one) = if quote == b'"' { ("\"\"\"", "\"") } else { ("'''", "'") };
        if self.rest(start).starts_with(three) {
            if let Some(end) = self.several_lines_end(start + 3, three) {
                (self.at, self.end) = (end, end);
                if self.at > self.line_end {
                    self.line_end = self.line_end(self.at);
                }
                return;
            }
            let end = self.line_end(start);
            return self.unclosed_text(start, three, end);
        }
        let mut at = start + 1;
        loop {
            match self.byte(at) {
                b'\n' => return self.unclosed_text(start, one, self.likely_end(start + 1)),
                b'\\' if quote == b'"' && self.byte(at + 1) != b'\n' => at += 2,
                b if b == quote => break,
                _ => at += 1,
            }
        }
        (self.at, self.end) = (at + 1, at + 1);
        let after = self.rest(self.at).trim_start_matches([' ', '\t', '\r']);
        if self.in_value && !after.is_empty() && !after.starts_with(['\n', '#', ',', ']', '}', '=', '.']) {
            self.after_text(at, after);
        }
    }

    /// After the closing quotes of a text of several lines.
    fn several_lines_end(&self, from: usize, quotes: &str) -> Option<usize> {
        let basic = quotes.starts_with('"');
        let mut at = from;
        loop {
            let n = self.rest(at).find(if basic { &['"', '\\'][..] } else { &['\''][..] })?;
            at += n;
            if self.byte(at) == b'\\' {
                let escaped = self.rest(at + 1).chars().next()?;
                at += 1 + escaped.len_utf8();
            } else if self.rest(at).starts_with(quotes) {
                // The text itself may end in one or two of them.
                let more =
                    self.rest(at + 3).bytes().take(2).take_while(|b| *b == quotes.as_bytes()[0]).count();
                return Some(at + 3 + more);
            } else {
                at += 1;
            }
        }
    }

    /// What follows a text that ended with this quote, and cannot.
    fn after_text(&mut self, quote: usize, after: &str) {
        let here = self.text.len() - after.len();
        let word = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.');
        let key = after.trim_start_matches(word);
        let another = after.starts_with(['"', '\'']) && here > self.at;
        let (kind, at) = match after.as_bytes().first() {
            Some(b';') => (Slip::Semicolon, here),
            Some(b':') => (Slip::Colon, here),
            Some(b'/') if after.starts_with("//") => (Slip::Remark, here),
            _ if another => (Slip::NoComma, here),
            _ if key.len() < after.len() && key.trim_start_matches([' ', '\t']).starts_with('=') => {
                (Slip::NoComma, here)
            }
            _ => (Slip::QuoteWithin, quote),
        };
        self.found.push(Found { at, length: 1, kind });
        let by = match kind {
            Slip::NoComma if !self.open.is_empty() => ",",
            Slip::Colon => "=",
            _ => "",
        };
        // Up to where the value may end: left out, so that the rest can be read.
        let to = match kind {
            Slip::NoComma if !self.open.is_empty() => here,
            Slip::Colon => here + 1,
            Slip::Remark | Slip::NoComma => self.line_end,
            _ => self.likely_end(self.at),
        };
        self.edits.push(Edit { from: self.at, to: to.max(self.at), by });
        self.at = to.max(self.at);
        self.end = self.at;
    }

    fn unclosed_text(&mut self, start: usize, quotes: &'static str, end: usize) {
        // Right after a word no text begins.
        let before = self.byte(start.wrapping_sub(1));
        let glued = quotes.len() == 1 && self.in_value && before.is_ascii_alphanumeric();
        let word = self
            .text
            .get(..start)
            .and_then(|t| t.rsplit([' ', '\t', ',', '[', '{', '=', '\n', '"', '\'']).next())
            .unwrap_or("");
        let kind = match glued {
            true if word.starts_with(|c: char| c.is_ascii_digit()) => Slip::InchMark,
            true => Slip::UnopenedText,
            false => Slip::UnclosedText(quotes),
        };
        self.found.push(Found { at: start, length: quotes.len(), kind });
        if glued {
            // What stands there is a word still, and told once.
            let from = start - word.len();
            let to = self.likely_end(start);
            self.edits.push(Edit { from, to, by: "0" });
            (self.at, self.end) = (to, to);
            return;
        }
        self.edits.push(Edit { from: end, to: end, by: quotes });
        (self.at, self.end) = (end, end);
    }

    /// Where a text may have been meant to end: before what closes the brackets it is in, else before a remark or at the end
    /// of the line.
    fn likely_end(&self, from: usize) -> usize {
        let line = self.text.get(from..self.line_end.max(from)).unwrap_or("");
        let within = if self.open.is_empty() { None } else { line.find([',', ']', '}']) };
        let end = within.or_else(|| line.find(" #")).unwrap_or(line.len());
        from + line.get(..end).unwrap_or("").trim_end().len()
    }

    /// Whether a line, met within brackets, begins something that cannot stand in them.
    fn begins(&self, line: &str) -> bool {
        let line = line.trim();
        if is_header(line) {
            return true;
        }
        let Some((key, _)) = line.split_once('=') else { return false };
        let word = |c: char| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.');
        if !key.trim_end().chars().all(word) || key.trim().is_empty() {
            return false;
        }
        match self.open.last() {
            Some(o) if o.bracket == b'[' => true,
            Some(_) => {
                let before = self.byte(self.end.saturating_sub(1));
                before != b',' && before != b'{' && !self.closed_ahead()
            }
            None => false,
        }
    }

    /// Whether the table that is open is closed before the next header.
    fn closed_ahead(&self) -> bool {
        let mut depth = 1;
        for line in self.rest(self.at).lines().take(LINES_AHEAD) {
            if is_header(line.trim()) {
                return false;
            }
            for byte in line.bytes() {
                depth += i32::from(byte == b'{') - i32::from(byte == b'}');
                if depth == 0 {
                    return true;
                }
            }
        }
        false
    }
}

/// `[box]`, `[[tray.part]]`: no list has bare words in it.
fn is_header(line: &str) -> bool {
    let line = line.split('#').next().unwrap_or("").trim_end();
    let inner = line.strip_prefix("[[").and_then(|l| l.strip_suffix("]]"));
    let Some(inner) = inner.or_else(|| line.strip_prefix('[').and_then(|l| l.strip_suffix(']'))) else {
        return false;
    };
    let value = matches!(inner.trim(), "true" | "false" | "inf" | "nan");
    inner.trim_start().starts_with(|c: char| c.is_ascii_alphabetic() || c == '_')
        && !value
        && inner.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-' | '.' | ' ' | '"'))
}

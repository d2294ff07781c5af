//! JSON into the tree. Our own reader, because findings need the place of every value, which the usual
//! one does not keep; what it accepts is held against `serde_json` by tests.

use super::sources::{Sources, Span};
use super::tree::{Entry, Node, Table, Value};
use crate::finding::Finding;

/// Lists and tables within one another beyond this are refused, so that no input can exhaust the stack.
const MOST_DEPTH: usize = 80;

/// Reads source number `source` as JSON.
pub(crate) fn from_json(sources: &Sources, source: usize) -> Result<Node, Vec<Finding>> {
    let text = sources.text(source);
    let mut json = Json { text, at: 0, source, depth: 0, twice: Vec::new() };
    let root = json.value().and_then(|node| {
        json.blank();
        if json.at < text.len() {
            Err(json.fault("something follows the end of the document"))
        } else {
            Ok(node)
        }
    });
    let at = |span: Span| sources.place(span, "");
    let mut findings: Vec<Finding> = json
        .twice
        .iter()
        .map(|&s| Finding::listed("B015", format!("{} is written twice", sources.quote(s))).at(at(s)))
        .collect();
    match root {
        Ok(node) if findings.is_empty() => Ok(node),
        Ok(_) => Err(findings),
        Err(Fault { at: start, what, deep }) => {
            let span = Span { source, start, end: start };
            let line = super::clip(sources.line_of(span).trim());
            let (code, cause) = match deep {
                true => ("B006", what.to_owned()),
                false => ("B004", format!("{what}, in the line `{line}`")),
            };
            let mut finding = Finding::listed(code, cause);
            if !deep {
                // The usual remedy is for the other form of briefs.
                finding = finding.remedied(
                    "Mend the text there: keys and texts in double quotes, a colon after a key, a comma between two entries and \
                     none after the last, every bracket closed.",
                );
            }
            findings.push(finding.at(at(span)));
            Err(findings)
        }
    }
}

struct Fault {
    at: usize,
    what: &'static str,
    deep: bool,
}

struct Json<'t> {
    text: &'t str,
    at: usize,
    source: usize,
    depth: usize,
    twice: Vec<Span>,
}

impl Json<'_> {
    fn fault(&self, what: &'static str) -> Fault {
        Fault { at: self.at, what, deep: false }
    }

    fn rest(&self) -> &str {
        self.text.get(self.at..).unwrap_or("")
    }

    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn blank(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    fn take(&mut self, byte: u8) -> bool {
        self.blank();
        let found = self.peek() == Some(byte);
        if found {
            self.at += 1;
        }
        found
    }

    fn span_from(&self, start: usize) -> Span {
        Span { source: self.source, start, end: self.at }
    }

    fn value(&mut self) -> Result<Node, Fault> {
        self.blank();
        let start = self.at;
        let value = match self.peek() {
            Some(b'{') => self.nested(Self::table)?,
            Some(b'[') => self.nested(Self::list)?,
            Some(b'"') => Value::Text(self.string()?),
            Some(b'-' | b'0'..=b'9') => self.number()?,
            _ => self.literal()?,
        };
        Ok(Node { span: self.span_from(start), value })
    }

    fn nested(&mut self, read: fn(&mut Self) -> Result<Value, Fault>) -> Result<Value, Fault> {
        if self.depth == MOST_DEPTH {
            return Err(Fault {
                at: self.at,
                what: "lists or tables lie too deep in one another",
                deep: true,
            });
        }
        self.depth += 1;
        self.at += 1;
        let value = read(self);
        self.depth -= 1;
        value
    }

    fn list(&mut self) -> Result<Value, Fault> {
        let mut items = Vec::new();
        if self.take(b']') {
            return Ok(Value::List(items));
        }
        loop {
            items.push(self.value()?);
            if self.take(b']') {
                return Ok(Value::List(items));
            }
            if !self.take(b',') {
                return Err(self.fault("a comma or `]` is missing"));
            }
        }
    }

    fn table(&mut self) -> Result<Value, Fault> {
        let mut entries: Vec<Entry> = Vec::new();
        if self.take(b'}') {
            return Ok(Value::Table(Table { entries }));
        }
        let mut seen = std::collections::BTreeSet::new();
        loop {
            self.blank();
            let start = self.at;
            if self.peek() != Some(b'"') {
                return Err(self.fault("a key in quotes is missing"));
            }
            let key = self.string()?;
            let key_span = self.span_from(start);
            if !self.take(b':') {
                return Err(self.fault("a colon is missing after the key"));
            }
            let node = self.value()?;
            if seen.insert(key.clone()) {
                entries.push(Entry { key, key_span, node });
            } else {
                self.twice.push(key_span);
            }
            if self.take(b'}') {
                return Ok(Value::Table(Table { entries }));
            }
            if !self.take(b',') {
                return Err(self.fault("a comma or `}` is missing"));
            }
        }
    }

    fn literal(&mut self) -> Result<Value, Fault> {
        let words = [
            ("true", Value::Truth(true)),
            ("false", Value::Truth(false)),
            ("null", Value::Foreign("`null`")),
        ];
        for (word, value) in words {
            if self.rest().starts_with(word) {
                self.at += word.len();
                return Ok(value);
            }
        }
        Err(self.fault("a value is missing here"))
    }

    /// A number by the grammar of RFC 8259 §6.
    fn number(&mut self) -> Result<Value, Fault> {
        let start = self.at;
        let digits = |json: &mut Self| {
            let from = json.at;
            while matches!(json.peek(), Some(b'0'..=b'9')) {
                json.at += 1;
            }
            json.at - from
        };
        if self.peek() == Some(b'-') {
            self.at += 1;
        }
        let leading_zero = self.peek() == Some(b'0');
        let whole = digits(self);
        let mut good = whole > 0 && !(leading_zero && whole > 1);
        if self.peek() == Some(b'.') {
            self.at += 1;
            good &= digits(self) > 0;
        }
        if matches!(self.peek(), Some(b'e' | b'E')) {
            self.at += 1;
            if matches!(self.peek(), Some(b'+' | b'-')) {
                self.at += 1;
            }
            good &= digits(self) > 0;
        }
        if !good {
            return Err(Fault { at: start, what: "this is not a number as JSON writes them", deep: false });
        }
        Ok(Value::Number(self.text.get(start..self.at).unwrap_or("").to_owned()))
    }

    fn string(&mut self) -> Result<String, Fault> {
        self.at += 1;
        let mut out = String::new();
        loop {
            let Some(c) = self.rest().chars().next() else {
                return Err(self.fault("a text is not closed"));
            };
            match c {
                '"' => {
                    self.at += 1;
                    return Ok(out);
                }
                '\\' => out.push(self.escape()?),
                c if c < ' ' => return Err(self.fault("a control character stands in a text")),
                c => {
                    self.at += c.len_utf8();
                    out.push(c);
                }
            }
        }
    }

    fn escape(&mut self) -> Result<char, Fault> {
        let bad = Fault { at: self.at, what: "this escape is unknown", deep: false };
        self.at += 1;
        let c = match self.peek() {
            Some(b'"') => '"',
            Some(b'\\') => '\\',
            Some(b'/') => '/',
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => return self.unicode().ok_or(bad),
            _ => return Err(bad),
        };
        self.at += 1;
        Ok(c)
    }

    /// Four hexadecimal digits after `u`; a pair of surrogates makes one character (RFC 8259 §7).
    fn unicode(&mut self) -> Option<char> {
        let high = self.hex4()?;
        if !(0xD800..0xE000).contains(&high) {
            return char::from_u32(high);
        }
        if !self.rest().starts_with("\\u") {
            return None;
        }
        self.at += 1;
        let low = self.hex4()?;
        if high >= 0xDC00 || !(0xDC00..0xE000).contains(&low) {
            return None;
        }
        char::from_u32(0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00))
    }

    fn hex4(&mut self) -> Option<u32> {
        let digits = self.text.get(self.at + 1..self.at + 5)?;
        if !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
            return None;
        }
        self.at += 5;
        u32::from_str_radix(digits, 16).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::sources::Hand;
    use proptest::prelude::*;

    fn read(text: &str) -> Result<Node, Vec<Finding>> {
        let mut sources = Sources::default();
        let source = sources.add("x.json", text, Hand::Quoted);
        from_json(&sources, source)
    }

    /// The tree as `serde_json` sees it.
    fn same(node: &Node) -> serde_json::Value {
        match &node.value {
            Value::Text(t) => t.clone().into(),
            Value::Number(n) => serde_json::from_str(n).unwrap(),
            Value::Truth(b) => (*b).into(),
            Value::List(l) => l.iter().map(same).collect(),
            Value::Table(t) => {
                serde_json::Value::Object(t.entries.iter().map(|e| (e.key.clone(), same(&e.node))).collect())
            }
            Value::Foreign(_) => serde_json::Value::Null,
        }
    }

    #[test]
    fn keys_twice_and_depth_are_found() {
        let twice = read(r#"{"a": 1, "b": {"c": 1, "c": 2}, "a": 3}"#).unwrap_err();
        assert_eq!(twice.iter().map(|f| f.code).collect::<Vec<_>>(), ["B015", "B015"]);
        let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
        assert_eq!(read(&deep).unwrap_err()[0].code, "B006");
        assert_eq!(read("{\"a\": 1,\n}").unwrap_err()[0].place.line_column, Some((2, 1)));
    }

    fn json() -> impl Strategy<Value = serde_json::Value> {
        let leaf = prop_oneof![
            Just(serde_json::Value::Null),
            any::<bool>().prop_map(Into::into),
            any::<i64>().prop_map(Into::into),
            (-1e9..1e9f64).prop_map(Into::into),
            "[a-zé😀\"\\\\\n\u{1}]{0,6}".prop_map(Into::into),
        ];
        leaf.prop_recursive(4, 30, 5, |inner| {
            prop_oneof![
                prop::collection::vec(inner.clone(), 0..5).prop_map(Into::into),
                prop::collection::btree_map("[a-c\\\\]{0,3}", inner, 0..5)
                    .prop_map(|m| serde_json::Value::Object(m.into_iter().collect())),
            ]
        })
    }

    proptest! {
        #[test]
        fn reads_what_serde_json_writes(value in json()) {
            prop_assert_eq!(&same(&read(&value.to_string()).unwrap()), &value);
            let pretty = serde_json::to_string_pretty(&value).unwrap();
            prop_assert_eq!(&same(&read(&pretty).unwrap()), &value);
        }

        #[test]
        fn accepts_what_serde_json_accepts(value in json(), at in any::<prop::sample::Index>(), with in "[\\[\\]{}:,\"\\\\u0-9.eE+tn -]{0,2}") {
            let mut text: Vec<char> = value.to_string().chars().collect();
            let i = at.index(text.len());
            text.splice(i..=i, with.chars());
            let text: String = text.into_iter().collect();
            let ours = read(&text);
            match serde_json::from_str::<serde_json::Value>(&text) {
                Ok(theirs) => match ours {
                    Ok(ours) => prop_assert_eq!(same(&ours), theirs),
                    // Keys written twice are the one thing in which we are stricter.
                    Err(findings) => prop_assert!(findings.iter().all(|f| f.code == "B015")),
                },
                Err(_) => prop_assert!(ours.is_err(), "{}", text),
            }
        }
    }
}

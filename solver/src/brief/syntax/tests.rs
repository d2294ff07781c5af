use super::*;
use crate::brief::sources::Hand;

const BRIEF: &str = include_str!("../starter.toml");

fn told(text: &str) -> Vec<(usize, Finding)> {
    let mut sources = Sources::default();
    let source = sources.add("b.toml", text, Hand::Quoted);
    let all = faults(&sources, source);
    all.into_iter().map(|f| (f.place.line_column.unwrap().0, f)).collect()
}

/// The line of this text in the starter.
fn line(text: &str) -> usize {
    BRIEF.lines().position(|l| l.contains(text)).unwrap() + 1
}

#[test]
fn one_slip_is_one_finding_at_its_line() {
    // What is written, what instead, and words of the finding.
    let slips = [
        ("[240, 180, 60]", "[240, 180, 60", "the list that begins here is never closed"),
        ("[240, 180, 60]", "[240, 180 60]", "`180 60` are 2 values without commas"),
        ("[22, 22, 2] }", "[22, 22, 2 }", "the list that begins here is never closed"),
        ("[22, 22, 2] }", "[22, 22, 2]", "the braces that open here are never closed"),
        ("\"60 ml\" }", "\"60 ml\"", "the braces that open here are never closed"),
        ("\"60 ml\" }", "\"60 ml }", "no closing quote"),
        ("\"60 ml\" }", "60 ml }", "`60 ml` has no quotes"),
        ("[20, 20, 34]", "[20, 20, 34", "the list that begins here is never closed"),
        ("\"deckhands\"", "\"deckhands", "no closing quote"),
        ("\"deckhands\"", "'deckhands\"", "no closing quote"),
        ("\"deckhands\"", "\"\"\"deckhands\"", "no closing quote"),
        ("\"deckhands\"", "\"6\" deckhands\"", "a text ends at this quote"),
        ("\"deckhands\"", "'pilot's chair'", "a text ends at this quote"),
        ("\"deckhands\"", "\u{201e}deckhands\u{201c}", "quotes as word processors print them"),
        ("most = 2", "most 2", "`most` has no equals sign"),
        ("most = 2", "most: 2", "`most` has a colon"),
        ("lid_room = 2", "lid room = 2", "a key is one word, but here stand 2"),
        ("count = 6, ", "count = 6; ", "a semicolon"),
        ("interior = [240, 180, 60]", "interior = 240, 180, 60", "a list without its brackets"),
        ("interior = [240, 180, 60]", "interior = 240 x 180 x 60", "a list without its brackets"),
        ("interior = [240, 180, 60]", "interior = (240, 180, 60)", "a list without its brackets"),
        ("interior = [240, 180, 60]", "interior = [240 x 180 x 60]", "`240 x 180 x 60` are 3 values"),
        ("\"3 mm\"", "1/8\"", "a mark for inches"),
        ("lid_room = 2 ", "lid_room = 2mm # 0,5 more", "`2mm` has no quotes"),
        ("lid_room = 2 ", "lid_room = 2,5 #", "`2,5` has a decimal comma"),
        ("\"deckhands\"", "deckhands\"", "a text without an opening quote"),
        ("\"deckhands\"", "pilot's chair", "a text without an opening quote"),
        ("\"deckhands\"", "\"deckhands\";", "a semicolon"),
        ("\"deckhands\"", "\"deckhands\" // mine", "a remark begins"),
        ("form = \"disc\", piece", "form = \"disc\" piece", "another entry begins here"),
        ("volume = \"60 ml\" }", "\"volume\" : \"60 ml\" }", "a colon where"),
        ("name = \"deckhands\"", "name = \"deckhands\" mass = \"4 g\"", "another entry begins here"),
        ("most = 2", "most = 2;", "a semicolon"),
        ("form = \"disc\", piece", "form = disc, piece", "`disc` has no quotes"),
        ("most = 2", "most = 2 // two", "a remark begins"),
        ("most = 2", "// don't\nmost = 2", "a remark begins"),
        ("[layers]\nmost = 2", "[layers] most = 2", "another entry begins here"),
        ("interior = [240, 180, 60]", "interior = [240,5 mm, 180, 60]", "has a decimal comma"),
        ("lid_room = 2 ", "lid_room = 0,5 mm #", "has a decimal comma"),
        ("interior = [240, 180, 60]", "interior = 240 mm, 180 mm, 60 mm", "a list without its brackets"),
        ("interior = [240, 180, 60]", "interior = [10\", 8\", 60]", "a mark for inches"),
        ("\"3 mm\"", "foam", "`foam` has no quotes"),
        ("\"3 mm\"", "2.5mm", "`2.5mm` has no quotes"),
        ("most = 2", "most =", "`most` has no value"),
        ("most = 2", "most = 02", "begins with a zero"),
        ("most = 2", "most = 2.", "nothing on one side"),
        ("most = 2", "most = 2 heights = []", "another entry begins here"),
        ("most = 2", "most = 2\u{a0}", "cannot be seen (U+00A0)"),
        ("[layers]", "[my layers]", "is no header of a table"),
        ("most = 2", "// two\nmost = 2", "a remark begins"),
        ("[layers]", "[layers", "`[layers` is not closed"),
        ("[[kept]]", "[[kept]", "`[[kept]` is not closed"),
        ("use = \"always\"", "use = always", "`always` has no quotes"),
    ];
    for (from, to, words) in slips {
        let at = BRIEF.find(&format!("\n{from}")).map_or_else(|| BRIEF.rfind(from).unwrap(), |at| at + 1);
        let text = format!("{}{to}{}", &BRIEF[..at], &BRIEF[at + from.len()..]);
        let line = BRIEF[..at].matches('\n').count() + 1;
        let findings = told(&text);
        let [(at, finding)] = &findings[..] else { panic!("{to}: {findings:#?}") };
        assert_eq!(*at, line, "{to}: {finding:?}");
        assert!(
            ["B004", "B005"].contains(&finding.code) && finding.cause.contains(words),
            "{to}: {finding:?}"
        );
    }
}

#[test]
fn slips_hide_nothing_that_comes_after_them() {
    let text = BRIEF
        .replace("interior = [240, 180, 60] ", "interior = [240, 180, 60")
        .replace("\"ticket box\"", "\"ticket box")
        .replace("use = \"always\"", "use = always")
        .replace("size = [70, 50, 30]", "size = [70, 50, 30")
        .replace("volume = \"60 ml\" }", "volume = \"60 ml\"")
        .replace("face = [63.5, 88.9], height", "face = [63.5, 88.9; height");
    let lines: Vec<usize> = told(&text).into_iter().map(|(line, _)| line).collect();
    let wrong = ["interior =", "ticket box", "size = [70", "use = \"always\"", "60 ml", "face = ["];
    assert_eq!(lines, wrong.map(line), "{:#?}", told(&text));
}

#[test]
fn printed_quotes_are_told_once() {
    let findings = told(&BRIEF.replace('"', "\u{201d}"));
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert!(findings[0].1.cause.contains("in 1"), "{findings:#?}");
}

#[test]
fn what_is_toml_has_no_slips() {
    let tables = "a = [\n  [1, 2], # one [\n  ['x', \"y # {\"],\n]\nb = { c = \"\"\"\n[d\n\"\"\", \"e f\" = 'g',\n  h.\"i\".j = 1,\n  k = [\n] }\n";
    let quotes = "a = \"\"\"he said \"x\"\"\"\"\nb = \"\"\"b \\\"\"\" c\"\"\"\nc = \'\'\'d\'\'\'\'\n";
    for text in [BRIEF, include_str!("../sample.toml"), tables, quotes, ""] {
        assert!(told(text).is_empty());
        assert!(slips(text).0.is_empty(), "{:?}", slips(text).0);
    }
}

#[test]
fn any_text_at_all_is_read_to_its_end() {
    let mut random = crate::random::Random::new(3);
    let bits = [
        "[", "]", "{", "}", "\"", "'", "\"\"\"", "=", ",", "\n", "# ", "a", "1", " ", "\\", "\u{201c}", "é",
        "[a]\n", "b = ",
    ];
    for _ in 0..20_000 {
        let text: String = (0..random.below(40)).map(|_| bits[random.below(bits.len())]).collect();
        let (found, edits) = slips(&text);
        let (copy, shifts) = mended(&text, &edits);
        assert!(found.iter().all(|f| text.is_char_boundary(f.at)), "{text:?} {found:?}");
        assert!((0..=copy.len()).all(|at| back(&shifts, at) <= text.len()), "{text:?} {edits:?}");
        // What the parser reads has nothing told about it, and the other way round.
        if DeTable::parse_recoverable(&text).1.is_empty() {
            assert!(slips(&text).0.is_empty(), "{text:?}");
        } else {
            assert!(!told(&text).is_empty(), "{text:?}");
        }
    }
}

#[test]
fn long_texts_of_slips_are_read_as_fast_as_short_ones() {
    // Two hundred thousand slips each: seconds where every one is looked at, hours where each looks at all others.
    for slip in ["'\n", "a = [\n", "a b = \u{201c}x\u{201d}\n", "[a\n"] {
        assert!(!told(&slip.repeat(200_000)).is_empty());
    }
    for (from, one) in
        [("a = [", "\u{201c}x\u{201d} y, "), ("a = [", "\"x\" y, "), ("a = { ", "b = \"x\" c = 1, ")]
    {
        assert!(!told(&format!("{from}{}", one.repeat(200_000))).is_empty());
    }
}

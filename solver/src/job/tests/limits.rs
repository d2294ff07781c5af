//! Too much, too deep, too large: refused, and quickly.

use std::fmt::Write as _;

use proptest::prelude::*;

use super::*;

#[test]
fn too_much_is_refused_quickly() {
    let mut many = BOX.to_owned();
    for i in 0..10_000 {
        let _ = write!(many, "[[part]]\nname = \"p{i}\"\nloose = {{ volume = \"2 ml\" }}\n");
    }
    assert_eq!(codes(toml(&many)), ["J018"]);

    let mut rows = "name;tray;loose.volume\n".to_owned();
    (0..10_000).for_each(|i| writeln!(rows, "p{i};t{i};2 ml").unwrap());
    let brief = format!("inventory = \"i.csv\"\n{BOX}");
    let found = codes(read(&brief, "b.toml", Format::Toml, Some(("i.csv", &rows)), &[]));
    assert_eq!(found.iter().filter(|c| **c == "J018").count(), found.len(), "{found:?}");

    // Trays 100 deep in one another, by headings, by inline tables and in JSON.
    let mut headings = BOX.to_owned();
    for depth in 0..100 {
        let path = "tray.part.".repeat(depth);
        let _ = write!(
            headings,
            "[[{path}tray]]\nname = \"t{depth}\"\n[[{path}tray.part]]\nname = \"p{depth}\"\n"
        );
    }
    let found = codes(toml(&headings));
    assert!(found.contains(&"B006") || found.contains(&"B009"), "{found:?}");
    let nested = |open: &str, close: &str, n: usize| format!("{}{}", open.repeat(n), close.repeat(n));
    for n in [5, 100, 100_000] {
        let inline = format!("{BOX}part = [{}]\n", nested("{ name = \"a\", tray.part = [", "] }", n));
        assert!(codes(toml(&inline)).contains(&"B006"), "{n}");
        let json =
            format!("{{\"part\": [{}]}}", nested("{\"name\": \"a\", \"tray\": {\"part\": [", "]}}", n));
        let found = codes(read(&json, "b.json", Format::Json, None, &[]));
        assert!(found.contains(&"B006"), "{n}: {found:?}");
    }
    for n in [1_000, 1_000_000] {
        assert!(!codes(toml(&format!("{}a = 1\n", "a.".repeat(n)))).is_empty());
        assert!(!codes(toml(&format!("[{}a]\n", "a.".repeat(n)))).is_empty());
        let deep = change(&format!("{}a", "a.".repeat(n)), "1");
        assert!(read(BOX, "b.toml", Format::Toml, None, &[deep]).is_err());
    }
    // A value of a change is held to the same depth.
    let value = change("box.interior", &nested("[", "]", 100_000));
    assert!(read(&format!("{BOX}{SACKS}"), "b.toml", Format::Toml, None, &[value]).is_err());
}

#[test]
fn findings_stay_readable_however_many_there_are() {
    let mut text = BOX.to_owned();
    (0..50_000).for_each(|i| writeln!(text, "wrong{i} = 1").unwrap());
    let findings = toml(&text).unwrap_err();
    assert!(findings.len() <= 501);
    assert_eq!(findings.last().unwrap().code, "B019");
    let one_line =
        format!("{{{}}}", (0..50_000).map(|i| format!("\"w{i}\": 1")).collect::<Vec<_>>().join(","));
    assert_eq!(codes(read(&one_line, "b.json", Format::Json, None, &[])).last(), Some(&"B019"));
    let broken = "= 1\n".repeat(50_000);
    assert!(codes(toml(&broken)).iter().all(|c| *c == "B004"));
}

#[test]
fn a_value_in_the_wrong_form_is_told_the_right_one() {
    let held = "kept = [{ name = \"carton\", size = [30, 30, 36], held = [9, 45, 0] }]\n";
    let findings =
        toml(&format!("{BOX}{held}[[part]]\nname = \"x\"\nloose = {{ volume = \"40 ml\" }}\n")).unwrap_err();
    let remedy = &findings.iter().find(|f| f.code == "B009").unwrap().remedy;
    assert!(
        remedy.contains("`at`: Its least corner `[x, y, z]`") && remedy.contains("`layer`: "),
        "{remedy}"
    );
    // JSON is not told how TOML is written.
    let broken =
        read("{\"box\": {\"interior\": [1, 2, 3],}}", "b.json", Format::Json, None, &[]).unwrap_err();
    assert!(broken[0].code == "B004" && !broken[0].remedy.contains("equals sign"), "{broken:#?}");
    assert!(broken[0].remedy.contains("double quotes"), "{broken:#?}");
    // One limit for all lengths, however far beyond it they are.
    for length in ["20 m", "200 m", "1e9 m"] {
        let part = format!("{BOX}[[part]]\nname = \"x\"\nsolid = {{ size = [\"{length}\", 1, 1] }}\n");
        let findings = toml(&part).unwrap_err();
        assert!(
            findings[0].code == "B013" && findings[0].cause.ends_with("is more than 10 m"),
            "{findings:#?}"
        );
    }
    // A part that is larger than the box says how large both are.
    let large =
        toml(&format!("{BOX}[[part]]\nname = \"x\"\nsolid = {{ size = [400, 20, 10] }}\n")).unwrap_err();
    assert!(
        large[0].cause.contains("400 × 20 × 10 mm") && large[0].cause.contains("the box of "),
        "{large:#?}"
    );
}

#[test]
fn absurd_numbers_are_findings_and_no_overflow() {
    for (part, code) in [
        ("loose = { count = 99999999999999999999999999, piece = [1, 1, 1] }", "B013"),
        ("loose = { count = 1e40, piece = [1, 1, 1] }", "B018"),
        ("loose = { count = 1e99, piece = [1, 1, 1] }", "B018"),
        ("loose = { count = 1000000, piece = [300, 200, 60] }", "J034"),
        ("stack = { face = [60, 90], count = 1000000, each = 50 }", "J034"),
        ("stack = { face = [60, 90], height = 100000 }", "B013"),
        ("stack = { face = [9000, 90], height = 10 }", "J017"),
        ("solid = { size = [400, 400, 400] }", "J017"),
        ("solid = { size = [1e-7, 1, 1] }", "B012"),
        ("solid = { size = [20, 20, 20], count = 0 }", "B012"),
        ("loose = { volume = \"1e9 l\" }", "B013"),
        ("solid = { size = [\"200 m\", 1, 1] }", "B013"),
        ("loose = { volume = \"-4 ml\" }", "B012"),
        ("loose = { volume = \"40 ml\" }\nmass = \"1e30 kg\"", "B017"),
    ] {
        let findings = toml(&format!("{BOX}[[part]]\nname = \"x\"\n{part}\n")).unwrap_err();
        assert!(findings.iter().any(|f| f.code == code), "{part}: {findings:#?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// Whatever stands in a brief, reading ends with a job or with a fault: never by a panic.
    #[test]
    fn broken_briefs_are_refused(at in any::<prop::sample::Index>(), length in 0..12usize, with in "[a-z0-9\\[\\]{}\"=.,\n -]{0,6}|99999999999|1e18|-0.000001|1e-9|\\[\\]|true") {
        let mut text: Vec<char> = SAMPLE.chars().collect();
        let from = at.index(text.len());
        let to = (from + length).min(text.len());
        text.splice(from..to, with.chars());
        let text: String = text.into_iter().collect();
        if let Err(findings) = source(&text).read(&[]) {
            prop_assert!(findings.iter().any(|f| f.severity == Severity::Fault));
        }
    }
}

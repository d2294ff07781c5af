//! Advice for briefs that do not fit, and room to grow of those that do: every change that is told is made by hand here,
//! solved afresh and checked; one step less or more is what is said of it.

use proptest::prelude::*;
use traywright::brief::Format;
use traywright::check::check;
use traywright::job::Source;
use traywright::plan::{ClaimState, Options, Outcome, solve};
use traywright::shop::{Advice, Advised, Answer, Effort, Growth, Room, TRY_NODES as NODES, advise, grow};
use traywright_tests::scenarios::folder;

/// A try that decides gets four times the nodes.
const AGAIN: u64 = 4;

fn effort() -> Effort {
    let mut options = Options::default();
    options.nodes = NODES;
    Effort { options, budget: None }
}

fn scenario(name: &str) -> Source {
    Source::load(&folder().join(name), &[]).unwrap()
}

fn text(brief: String) -> Source {
    Source {
        name: "brief.toml".into(),
        text: brief,
        format: Format::Toml,
        inventory: None,
        stock_list: None,
        corrections: None,
    }
}

type Change = (String, String);

fn solved(source: &Source, changes: &[Change], nodes: u64) -> Outcome {
    let mut options = Options::default();
    (options.nodes, options.patient) = (nodes, true);
    solve(&source.read(changes).unwrap(), &options, &mut |_| {})
}

fn ask(source: &Source) -> Advice {
    advise(source, &[], &effort(), &|_| {}).unwrap()
}

/// All that is said of a piece of advice is so.
fn holds(source: &Source, it: &Advised) {
    let job = source.read(&it.changes).unwrap();
    assert_eq!(check(&job, &it.plan), [], "{it:?}");
    let again = solved(source, &it.changes, NODES * AGAIN);
    let plan = again.plan.unwrap_or_else(|| panic!("{}: {:?}", it.words(), again.reasons));
    assert_eq!(check(&job, &plan), [], "{it:?}");
    let Some(smaller) = &it.smaller else { return };
    assert_ne!(smaller.changes, it.changes);
    match source.read(&smaller.changes) {
        Err(_) => assert_eq!(smaller.word, "fault", "{it:?}"),
        Ok(_) => {
            let outcome = solved(source, &smaller.changes, NODES * AGAIN);
            assert!(outcome.plan.is_none(), "{} fits with {} too", it.words(), smaller.to);
            let proven = outcome.claim.state == ClaimState::Impossible;
            assert_eq!(smaller.word == "does not fit", proven, "{it:?} {:?}", outcome.claim);
        }
    }
}

fn find<'a>(advice: &'a Advice, kind: &str, about: &str) -> &'a Advised {
    let is = |it: &&Advised| it.what[0].0 == kind && it.what[0].1.contains(about);
    advice.singles.iter().find(is).unwrap_or_else(|| panic!("no {kind} in {}", advice.text()))
}

#[test]
fn a_box_that_is_too_low() {
    let source = scenario("easy/too-low.toml");
    let advice = ask(&source);
    assert!(matches!(advice.brief, Answer::NoPlan { .. }), "{:?}", advice.brief);
    assert!(advice.singles.is_sorted_by_key(|it| it.size));
    assert!(advice.pairs.is_empty() && !advice.cut_short);
    advice.singles.iter().for_each(|it| holds(&source, it));
    // 84 sleeved cards are 42 mm high, upon a floor of 3 mm and under 1 mm of lid room.
    let higher = find(&advice, "box higher", "");
    assert_eq!((higher.from[0].as_str(), higher.to[0].as_str()), ("42 mm", "46 mm"));
    assert_eq!(higher.changes, [("box.interior.height".to_owned(), "46".to_owned())]);
    // 38 mm are left above the floor: 76 cards.
    assert_eq!(find(&advice, "less of it", "tide cards").to[0], "76 pieces");
    assert_eq!(find(&advice, "unsleeved", "tide cards").smaller, None);
    assert!(!advice.singles.iter().any(|it| it.what[0].1.contains("shells")), "{}", advice.text());
}

#[test]
fn a_box_that_is_too_full() {
    let source = scenario("easy/too-full.toml");
    let advice = ask(&source);
    find(&advice, "left out", "crew cartons");
    advice.singles.iter().for_each(|it| holds(&source, it));
}

#[test]
fn what_is_larger_than_the_box_is_no_fault_of_the_brief() {
    let brief = std::fs::read_to_string(folder().join("easy/too-low.toml")).unwrap();
    let source = text(brief.replace("size = [20, 20, 28]", "size = [20, 20, 44]"));
    assert_eq!(source.read(&[]).unwrap_err()[0].code, "J017");
    let advice = ask(&source);
    assert!(matches!(&advice.brief, Answer::Fault(findings) if findings[0].code == "J017"));
    let higher = find(&advice, "box higher", "");
    assert_eq!(higher.to[0], "48 mm", "44 mm, a floor and the lid room");
    holds(&source, higher);
    assert!(advice.text().contains("J017"), "{}", advice.text());
    // Another fault beside it is the maker's to mend.
    let wrong = text(source.text.replace("count = 3", "count = 0"));
    assert!(advise(&wrong, &[], &effort(), &|_| {}).is_err());
}

#[test]
fn sheets_that_are_too_small() {
    let brief = r#"
        box = { interior = [200, 150, 40], clearance = 0.5 }
        stock = { name = "greyboard", thickness = 2, process = "knife", margin = 5, cut_width = 0, sheets = [[120, 100, 1.50]] }
        part = [{ name = "oar", solid = { size = [130, 8, 8], turn = "none" } }]
    "#;
    let source = text(brief.to_owned());
    let advice = ask(&source);
    let larger = find(&advice, "larger sheets", "");
    // 130 mm and 1 mm of ease between two walls of 2 mm, and a margin of 5 mm on both sides: 145 mm.
    assert_eq!((&*larger.from[0], &*larger.to[0]), ("120 × 100 mm", "145 × 125 mm"));
    holds(&source, larger);
}

#[test]
fn a_pair_where_no_single_change_does() {
    // Too narrow for the oar and too low for the mast.
    let brief = r#"
        title = "Narrows"
        box = { interior = [90, 60, 30], clearance = 0.5 }
        stock = { name = "greyboard", thickness = 2 }
        [[tray]]
        name = "boat"
        part = [{ name = "oar", solid = { size = [87, 8, 8], turn = "none" } }]
        [[tray]]
        name = "rigging"
        part = [{ name = "mast", solid = { size = [8, 8, 29.5], turn = "none" } }]
    "#;
    let source = text(brief.to_owned());
    let advice = ask(&source);
    assert!(advice.singles.is_empty(), "{}", advice.text());
    assert!(!advice.pairs.is_empty(), "{}", advice.text());
    assert!(advice.pairs.is_sorted_by_key(|it| it.size));
    for pair in &advice.pairs {
        assert_eq!((pair.what.len(), pair.from.len(), pair.to.len()), (2, 2, 2));
        holds(&source, pair);
    }
    // 87 mm and 1 mm of ease between two walls of 2 mm and 0.5 mm of clearance; 29.5 mm upon a floor of 2 mm.
    assert_eq!(advice.pairs[0].to, ["31.5 mm", "93 mm"], "{}", advice.text());
    assert!(advice.text().contains("these pairs do"), "{}", advice.text());
}

#[test]
fn a_brief_that_fits_needs_no_advice() {
    let advice = ask(&scenario("easy/tides.toml"));
    assert!(matches!(advice.brief, Answer::Plan { .. }));
    assert!(advice.singles.is_empty() && advice.is_helpful());
    assert!(advice.text().contains("it fits as it is"));
}

fn room(source: &Source) -> Growth {
    match grow(source, &[], None, &effort(), &|_| {}).unwrap() {
        Room::Grows(growth) => *growth,
        other => panic!("{other:?}"),
    }
}

#[test]
fn room_to_grow_is_room() {
    for name in ["easy/tides.toml", "easy/lantern.toml", "medium/moored.toml"] {
        let source = scenario(name);
        let growth = room(&source);
        let base = solve(&source.read(&[]).unwrap(), &Options::default(), &mut |_| {}).plan.unwrap();
        for it in std::iter::once(&growth.whole).chain(&growth.parts) {
            let job = source.read(&it.changes).unwrap();
            assert_eq!(check(&job, &it.plan), [], "{name}: {it:?}");
            assert!(it.in_place <= it.more, "{name}: {it:?}");
            assert!(["does not fit", "none found", "fault"].contains(&it.beyond), "{name}: {it:?}");
            // What is said of the plan as it stands is what the plan says itself, standing alike.
            if let Some(part) = &it.part
                && it.of == "pieces"
            {
                let least = base.settled.trays.iter().flat_map(|t| &t.compartments);
                let more = least.filter(|c| c.part == *part).map(|c| c.slack.more).min();
                assert!(more.is_none_or(|more| it.in_place >= more), "{name}: {it:?} {more:?}");
            }
        }
    }
}

#[test]
fn one_card_more_than_the_pile_has_room_for() {
    // 84 cards of 0.5 mm fill 42 mm to the last: not one more, and that is proven.
    let low = scenario("easy/too-low.toml");
    let source = text(low.text.replace("[160, 115, 42]", "[160, 115, 46]"));
    let growth = room(&source);
    let cards = growth.parts.iter().find(|it| it.part.as_deref() == Some("tide cards")).unwrap();
    assert_eq!((cards.more, cards.next.as_str(), cards.beyond), (0, "85 pieces", "does not fit"));
    assert_eq!(growth.whole.more, 1, "1 % of 84 cards is none, 2 % is one");
    assert_eq!(growth.whole.beyond, "does not fit");
}

#[test]
fn a_brief_without_a_plan_cannot_grow() {
    let answer = grow(&scenario("easy/too-full.toml"), &[], None, &effort(), &|_| {}).unwrap();
    assert!(matches!(answer, Room::NoPlan(Answer::NoPlan { .. })), "{answer:?}");
}

#[test]
fn a_plan_of_another_brief_is_refused() {
    let plan = solved(&scenario("easy/tides.toml"), &[], NODES).plan;
    let answer = grow(&scenario("easy/lantern.toml"), &[], plan, &effort(), &|_| {}).unwrap();
    assert!(matches!(answer, Room::Broken(faults) if !faults.is_empty()));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    /// Small briefs of all sorts, most in boxes too small for them.
    #[test]
    fn advice_holds_for_any_brief(
        box_sides in [90i64..150, 80..130, 16..40],
        volume in 10i64..60,
        cards in 20i64..120,
        sleeved in any::<bool>(),
        bodies in 1i64..5,
        body in [10i64..40, 10..40, 8..40],
        fixed in any::<bool>(),
    ) {
        let [w, d, h] = box_sides;
        let [a, b, c] = body;
        let sleeve = if sleeved { ", sleeve = { film = 0.1, face = [47, 71] }" } else { "" };
        let layers = if fixed { format!("layers = {{ most = 1, heights = [{}] }}", h / 2 + 3) } else { String::new() };
        let source = text(format!(
            r#"
            box = {{ interior = [{w}, {d}, {h}] }}
            stock = {{ name = "greyboard", thickness = 1.5 }}
            {layers}
            [[tray]]
            name = "shore"
            use = "always"
            part = [{{ name = "shells", loose.volume = "{volume} ml" }}, {{ name = "gulls", solid = {{ size = [{a}, {b}, {c}], count = {bodies} }} }}]
            [[tray]]
            name = "almanac"
            part = [{{ name = "tide cards", stack = {{ face = [45, 68], count = {cards}, each = 0.3{sleeve} }} }}]
            "#
        ));
        match advise(&source, &[], &effort(), &|_| {}) {
            Ok(advice) => {
                advice.singles.iter().chain(&advice.pairs).for_each(|it| holds(&source, it));
                if let Answer::NoPlan { claim, .. } = &advice.brief {
                    let said = advice.text().contains("that is proven");
                    prop_assert_eq!(said, claim.state == ClaimState::Impossible);
                }
            }
            Err(findings) => prop_assert!(source.read(&[]).is_err(), "{findings:?}"),
        }
    }
}

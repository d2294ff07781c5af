//! What is said where there is no plan, or where a search did not come to its end: only what is known, and by name.
#![expect(clippy::tests_outside_test_module, reason = "an integration test is all test")]

use std::time::Duration;

use traywright::brief::Format;
use traywright::finding::Finding;
use traywright::job::{self, Job, Source};
use traywright::length::Length;
use traywright::plan::{self, ClaimState, Options, Outcome};
use traywright::shop::{Answer, Effort, advise};
use traywright::stop::Stop;
use traywright::{check, draw, panel};
use traywright_tests::scenarios::{self, folder};

const BOX: &str = "box.interior = [200, 150, 40]\nlayers.most = 1\n\
    stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n";
/// Two cartons in the middle of the floor: either leaves the tray no room, both in a corner leave it.
const HELD: &str = "kept = [\n\
    { name = \"carton\", size = [30, 30, 36], held = { at = [70, 45, 0] } },\n\
    { name = \"crate\", size = [30, 30, 36], held = { at = [130, 90, 0] } },\n]\n";

fn tray(ml: u32) -> String {
    format!(
        "[[tray]]\nname = \"cargo\"\npart = [{{ name = \"salt\", loose = {{ volume = \"{ml} ml\" }} }}]\n"
    )
}

fn read(brief: &str) -> Job {
    job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap()
}

fn solved(brief: &str) -> Outcome {
    let mut options = Options::default();
    options.nodes = 20_000;
    plan::solve(&read(brief), &options, &mut |_| {})
}

fn source(brief: String) -> Source {
    let name = "b.toml".into();
    Source { name, text: brief, format: Format::Toml, inventory: None, stock_list: None, corrections: None }
}

fn of<'a>(outcome: &'a Outcome, code: &str) -> &'a Finding {
    outcome.reasons.iter().find(|f| f.code == code).unwrap_or_else(|| panic!("{:#?}", outcome.reasons))
}

#[test]
fn nothing_beyond_the_whole_is_claimed_of_what_is_not_proven() {
    // Parts of more than the box holds, in three trays.
    let parts: String = ["salt", "tar", "rope"]
        .map(|n| tray(150).replace("cargo", n).replace("\"salt\", loose", &format!("\"{n}s\", loose")))
        .concat();
    let outcome = solved(&format!("{}{parts}", BOX.replace("[200, 150, 40]", "[100, 90, 40]")));
    assert_eq!(outcome.claim.state, ClaimState::NoneFound);
    let told = of(&outcome, "P003");
    assert!(
        told.cause.contains("more than the 100 × 90 × 40 mm") && !told.cause.contains('%'),
        "{}",
        told.cause
    );
    assert!(!told.cause.contains("at least") || told.cause.contains("wastes at least"), "{}", told.cause);
}

#[test]
fn a_wish_that_leaves_no_tray_is_named() {
    for (wish, value) in [("largest_tray", "[60, 60]"), ("most_mass", "\"20 g\"")] {
        let outcome = solved(&format!("{BOX}wishes.{wish} = {value}\n{}", tray(300)));
        let told = of(&outcome, "L003");
        let wish = format!("`wishes.{wish}`");
        assert!(told.cause.contains(&wish) && told.remedy.contains(&wish), "{told:?}");
        assert!(!told.remedy.contains("larger box"), "{told:?}");
    }
}

#[test]
fn sheets_that_take_no_tray_are_named() {
    let small = BOX.replace("thickness = 3,", "thickness = 3, sheets = [[70, 70], [90, 30]],");
    let told = of(&solved(&format!("{small}{}", tray(300))), "L003").clone();
    for text in [&told.cause, &told.remedy] {
        assert!(text.contains("`stock.sheets`") && !text.contains("wish"), "{told:?}");
    }
}

/// Between walls that thick there may be less than a notch: the checker refuses what the program chose otherwise.
#[test]
fn walls_too_thick_for_a_notch_take_none() {
    let outcome = solved(
        "unit = \"cm\"\nbox.interior = [152, 106, 38]\nstock = { name = \"greyboard\", thickness = 2 }\n\
         [[part]]\nname = \"shells\"\nloose = { volume = \"46 ml\" }\n",
    );
    let plan = outcome.plan.unwrap_or_else(|| panic!("{:#?}", outcome.reasons));
    let walls = |t: &plan::PlacedTray| t.size.w.max(t.size.d) - t.wall * 2 >= Length::mm(25);
    assert!(plan.settled.trays.iter().all(|t| t.grip != job::Grip::Notch || walls(t)));
    // Tight, its inside is narrower than a thumb.
    assert!(plan.tight.trays.iter().any(|t| t.grip != job::Grip::Notch), "{:?}", plan.tight.trays);
}

#[test]
fn what_is_held_is_named_where_nothing_fits() {
    let outcome = solved(&format!("{BOX}{HELD}{}", tray(450)));
    assert!(outcome.plan.is_none());
    let told = of(&outcome, "P003");
    for text in [&told.cause, &told.remedy] {
        assert!(text.contains("\"carton\", \"crate\""), "{text}");
    }
    assert!(told.remedy.starts_with("let go of what is held"), "{}", told.remedy);
    // Without a hold nobody is told to let go.
    let free = solved(&format!("{BOX}{}", tray(5_000)));
    assert!(free.reasons.iter().all(|f| !f.remedy.contains("held") && !f.cause.contains("held")));
}

#[test]
fn letting_go_of_everything_that_is_held_is_advised() {
    let source = source(format!("{BOX}{HELD}{}", tray(450)));
    let advice = advise(&source, &[], &Effort::default(), &|_| {}).unwrap();
    let free = advice.singles.iter().find(|it| it.what[0].0 == "all set free");
    let free = free.unwrap_or_else(|| panic!("{}", advice.text()));
    assert_eq!(free.words(), "\"carton\" and \"crate\", all set free: anywhere (was held)");
    assert!(source.read(&free.changes).unwrap().kept.iter().all(|k| k.held.is_none()));
}

#[test]
fn advice_that_was_interrupted_does_not_ask_for_more_time() {
    let mut effort = Effort::default();
    effort.options.stop = Stop::never();
    effort.options.stop.raise();
    let source = source(format!("{BOX}{HELD}{}", tray(450)));
    let advice = advise(&source, &[], &effort, &|_| {}).unwrap();
    assert!(advice.interrupted && matches!(advice.brief, Answer::NotRun));
    assert!(
        advice.text().contains("interrupted") && !advice.text().contains("--budget"),
        "{}",
        advice.text()
    );
    // By the clock it does.
    effort.options.stop = Stop::within(Duration::ZERO);
    let late = advise(&source, &[], &effort, &|_| {}).unwrap();
    assert!(!late.interrupted && late.text().contains("no time"), "{}", late.text());
}

/// A search is interrupted as soon as it has a plan.
#[test]
fn a_plan_from_a_search_that_was_cut_short_says_so() {
    let job = scenarios::job(&folder().join("medium/ferry.toml"));
    let mut options = Options::default();
    (options.nodes, options.patient) = (Stop::UNCOUNTED, true);
    let stop = options.stop.clone();
    let outcome = plan::solve(&job, &options, &mut |p| {
        if p.value_ml.is_some() {
            stop.raise();
        }
    });
    let plan = outcome.plan.unwrap();
    let note = plan.findings.iter().find(|n| n.code == "P011").unwrap();
    assert!(note.text.starts_with("the search was interrupted"), "{}", note.text);
    assert!(check::check(&job, &plan).is_empty());
    let summary = draw::summary(&job, &plan);
    assert!(summary.contains("The search was interrupted before it was through."), "{summary}");
    // No count of nodes that nobody asked for.
    let report = draw::report_html(&job, &plan, &draw::ReportExtra::default());
    assert!(report.contains("as long as the clock let it") && !report.contains("1000000000000"));
    // One that came to its end has no such note.
    let whole = solved(&format!("{BOX}{}", tray(100))).plan.unwrap();
    assert!(whole.findings.iter().all(|n| n.code != "P011"));
}

#[test]
fn a_refusal_for_want_of_time_says_so() {
    let mut options = Options::default();
    options.stop = Stop::within(Duration::ZERO);
    let outcome = plan::solve(&read(&format!("{BOX}{HELD}{}", tray(450))), &options, &mut |_| {});
    assert!(of(&outcome, "P003").cause.ends_with("the time for the search was over before it was through"));
}

#[test]
fn a_summary_tells_how_far_a_layer_slides_and_where_no_finger_gets_in() {
    // One tray of a fixed size in a far larger box.
    let brief = format!(
        "{BOX}[[tray]]\nname = \"mail\"\nsize = [60, 50, 40]\npart = [{{ name = \"sacks\", loose = {{ volume = \"20 ml\" }} }}]\n"
    );
    let plan = solved(&brief).plan.unwrap();
    let summary = draw::summary(&read(&brief), &plan);
    assert!(
        summary.contains("loose by up to 150 mm sideways (mail), 90 mm from front to back (mail)"),
        "{summary}"
    );
    // Cards in a narrow shaft between others: what `cut` would tell stands in the summary too.
    let job = scenarios::job(&folder().join("medium/ferry.toml"));
    let plan = {
        let mut options = Options::default();
        options.nodes = 20_000;
        plan::solve(&job, &options, &mut |_| {}).plan.unwrap()
    };
    let notes = panel::notes(&job, &plan);
    assert!(notes.iter().any(|f| f.code == "K023"), "{notes:#?}");
    let summary = draw::summary(&job, &plan);
    for note in notes {
        assert!(summary.contains(&format!("note {}: {}", note.code, note.place.path)), "{note} in {summary}");
    }
}

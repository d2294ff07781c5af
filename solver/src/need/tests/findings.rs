use super::*;
use crate::finding::index::INDEX;
use crate::finding::{Finding, Severity};
use crate::job::Sleeve;

fn codes(contents: Contents) -> Vec<&'static str> {
    let all: Vec<Finding> = crate::need::findings(&part(contents));
    for f in &all {
        let entry =
            INDEX.iter().find(|e| e.code == f.code).unwrap_or_else(|| panic!("{} has no entry", f.code));
        assert_eq!(entry.severity, f.severity, "{}", f.code);
        assert!(f.place.path.starts_with("part \"probe\"") && !f.remedy.is_empty(), "{f}");
    }
    all.iter().map(|f| f.code).collect()
}

fn ml(n: i64) -> Option<Volume> {
    Some(Volume::from_nm3(i128::from(n) * 10i128.pow(21)))
}

#[test]
fn loose_contents() {
    let with = |change: &dyn Fn(&mut Loose)| {
        let mut loose = dice();
        change(&mut loose);
        codes(Contents::Loose(loose))
    };
    assert_eq!(with(&|_| {}), ["N004"]);
    assert_eq!(with(&|l| l.volume = ml(700)), [""; 0]);
    assert_eq!(with(&|l| l.volume = ml(900)), ["N006"]); // looser than 758.5 ml
    assert_eq!(with(&|l| l.volume = ml(590)), [""; 0]); // mixed sizes pack a little denser than 611.3 ml
    assert_eq!(with(&|l| l.volume = ml(570)), ["N006"]);
    assert_eq!(with(&|l| l.volume = ml(400)), ["N007"]); // 409.6 ml without any gap (facts A24)
    assert_eq!(with(&|l| (l.volume, l.form) = (ml(400), Some(Form::Odd))), [""; 0]);
    assert_eq!(with(&|l| l.form = Some(Form::Odd)), ["N004", "N008"]);
    assert_eq!(with(&|l| l.form = None), ["N004", "N008"]);
    assert_eq!(with(&|l| l.count = Some(6)), ["N004", "N010"]);
    // facts A28: a quarter dollar is flatter (ψ 0.397) than the formula covers (0.42).
    let quarters = |l: &mut Loose| {
        (l.form, l.piece, l.count) = (Some(Form::Disc), Some(size(24_260, 24_260, 1_750)), Some(40));
    };
    assert_eq!(with(&quarters), ["N004", "N009"]);
    assert_eq!(with(&|l| l.count = None), ["N001"]);
    assert_eq!(with(&|l| (l.piece, l.spare_count) = (None, 5)), ["N001", "N013"]);
    assert_eq!(
        with(&|l| (l.volume, l.piece) = (Some(Volume::from_nm3(38 * 10i128.pow(18))), None)),
        ["N014"]
    );
    assert_eq!(with(&|l| l.level = 0), ["N003"]);
    assert_eq!(with(&|l| l.packing = Some((300, 500))), ["N004"]);
}

/// Both findings speak of one volume.
#[test]
fn what_walls_take_is_told_beside_the_volume_that_is_used() {
    let few = Loose { count: Some(6), ..dice() };
    let all = crate::need::findings(&part(Contents::Loose(few)));
    let [estimate, walls] = all.as_slice() else { panic!("{all:#?}") };
    let used = estimate.cause.split("; ").last().unwrap().strip_suffix(" is used").unwrap();
    assert!(walls.cause.ends_with(&format!(" instead of the {used} that are used")), "{all:#?}");
}

#[test]
fn stacked_contents() {
    let with = |change: &dyn Fn(&mut Stack)| {
        let mut stack = cards();
        change(&mut stack);
        codes(Contents::Stack(stack))
    };
    let sleeve = |w: i64, d: i64| Some(Sleeve { film: um(100), face: Face::Rectangle(um(w), um(d)) });
    assert_eq!(with(&|_| {}), ["N005"]);
    assert_eq!(with(&|s| s.height = Some(um(17_000))), [""; 0]);
    // facts X3: a page prints 29 to 30 µm for a playing card; 54 would make 1.6 mm.
    assert_eq!(with(&|s| s.each = Some(um(30))), ["N011", "N005"]);
    assert_eq!(with(&|s| (s.each, s.height) = (None, Some(um(1_600)))), ["N011"]);
    // Tiles of 2 mm are no cards and are not doubted; in a sleeve they are.
    assert_eq!(with(&|s| s.each = Some(um(2_000))), ["N005"]);
    assert_eq!(with(&|s| (s.each, s.sleeve) = (Some(um(2_000)), sleeve(66_000, 91_000))), ["N011", "N005"]);
    assert_eq!(with(&|s| s.height = Some(um(27_000))), ["N012"]);
    // Sleeved 54 cards are 27 mm high; 16.2 mm is the bare height.
    assert_eq!(with(&|s| (s.height, s.sleeve) = (Some(um(27_000)), sleeve(66_000, 91_000))), [""; 0]);
    assert_eq!(with(&|s| (s.height, s.sleeve) = (Some(um(16_200)), sleeve(66_000, 91_000))), ["N012"]);
    assert_eq!(with(&|s| s.count = None), ["N001"]);
    assert_eq!(with(&|s| s.stand = vec![Stand::Roll]), ["N002", "N005"]);
    let tiles =
        |s: &mut Stack| (s.count, s.each, s.height, s.spare_count) = (None, None, Some(um(41_000)), 4);
    assert_eq!(with(&tiles), ["N013"]);
    assert_eq!(with(&|s| s.piles = 101), ["N003"]);
}

#[test]
fn texts_name_the_numbers() {
    let all = crate::need::findings(&part(Contents::Loose(dice())));
    assert_eq!(
        all[0].cause,
        "the bulk volume is an estimate: 611.3 ml to 758.5 ml at a packing fraction of 0.67 to 0.54; 758.5 ml is used"
    );
    let all = crate::need::findings(&part(Contents::Stack(cards())));
    assert_eq!(
        all[0].cause,
        "the height of the stack is an estimate: 54 × (0.3 mm) = 16.2 mm; a whole stack is seldom exactly that"
    );
    assert_eq!(all[0].severity, Severity::Note);
}

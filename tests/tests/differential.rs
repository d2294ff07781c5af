//! The search against other ways to the same answer: trying everything, and the mixed-integer model. Long runs of the same
//! are the bench `differential`.

use traywright::layout::instance::{Access, CoverPlace, HeldAt, Option3};
use traywright::layout::lifts::covers_over;
use traywright::layout::pack::Rect;
use traywright::layout::search::search;
use traywright::stop::Stop;
use traywright_tests::bare::{bricks, empty, tray};
use traywright_tests::tiny::least_value;
use traywright_tests::versus::{NODES, STEPS, everything, found, model, nothing_worse};

#[test]
fn tiny_problems_against_trying_everything() {
    let tally = everything(11, 0..300, false);
    tally.agree();
    assert!(tally.proven > 170 && tally.none > 40 && tally.missed * 50 < tally.cases, "{tally:?}");
}

#[test]
fn tiny_problems_that_must_bear_against_trying_everything() {
    let tally = everything(12, 0..200, true);
    tally.agree();
    assert!(tally.proven > 80 && tally.none > 25 && tally.missed * 20 < tally.cases, "{tally:?}");
}

#[test]
fn small_problems_against_the_model() {
    let tally = model(13, 0..80);
    tally.agree();
    assert!(tally.open * 20 < tally.cases, "{} left open by the model", tally.open);
    assert!(tally.proven > 30 && tally.none > 16 && tally.missed * 50 < tally.cases, "{tally:?}");
}

/// Larger problems, for which nothing else has the truth: bounds below values, nothing worse later, valid layouts.
#[test]
fn larger_problems_never_contradict_themselves() {
    let tally = nothing_worse(14, 0..25);
    tally.agree();
    assert!(tally.cases == 25 && tally.none + tally.missed < 20, "{tally:?}");
}

/// Met among random problems: the room that a blocked place takes was counted over the sides of the box too.
#[test]
fn a_blocked_place_takes_no_room_outside_the_box() {
    let mut i = empty(3, 4, 4, 2);
    i.access = Access::LayerIndex;
    i.height_rules = vec![(1, 4), (1, 3)];
    i.blocked = vec![(0, Rect { x: 2, y: 0, w: 2, d: 2 })];
    i.trays = vec![tray(0, (1, 3, 3)), tray(1, (2, 3, 1))];
    i.trays[0].options = [(1, 3, 3), (3, 1, 3), (3, 3, 3)].map(|(w, d, h)| Option3 { w, d, h }).to_vec();
    i.trays[0].span = 2;
    i.trays[1].weight = 2;
    assert_eq!(least_value(&i, &|_| true, STEPS), Some(Some(15)));
    let found = found(&i, NODES);
    assert_eq!((found.layout.map(|(_, c)| c.value()), found.bound), (Some(15), Some(15)));
}

/// Met among random problems (three cases in twenty thousand): kept items may stand where trays may not, so that room is not
/// lost to all bodies alike.
#[test]
fn kept_items_use_blocked_places() {
    let mut i = empty(6, 3, 5, 1);
    i.blocked = vec![(0, Rect { x: 0, y: 1, w: 1, d: 3 })];
    i.trays = vec![tray(0, (4, 3, 2)), tray(1, (1, 3, 3))];
    i.kept = bricks(0, 1, [1, 2, 3]);
    i.kept[0].held = HeldAt::Layer(0);
    let one = found(&i, NODES);
    assert_eq!((one.layout.map(|(_, c)| c.value()), one.bound), (Some(51), Some(51)));

    let mut i = empty(3, 4, 4, 2);
    i.blocked = vec![(0, Rect { x: 1, y: 0, w: 3, d: 2 }), (0, Rect { x: -1, y: -1, w: 3, d: 1 })];
    i.trays = vec![tray(0, (3, 4, 2))];
    i.kept = bricks(0, 1, [3, 4, 2]);
    let two = found(&i, NODES);
    assert_eq!((two.layout.map(|(_, c)| c.value()), two.bound), (Some(48), Some(48)));

    let mut i = empty(7, 4, 5, 1);
    i.blocked = vec![(0, Rect { x: 2, y: 1, w: 2, d: 3 })];
    i.trays = vec![tray(0, (2, 3, 3)), tray(1, (6, 1, 5))];
    i.kept = bricks(0, 1, [5, 3, 4]);
    let three = found(&i, NODES);
    assert_eq!(three.layout.map(|(_, c)| c.value()), least_value(&i, &|_| true, 50_000_000).unwrap());
    assert!(three.bound.is_some());
}

/// What lies over a cover item must be lifted before it: by every way of counting.
#[test]
fn a_cover_item_over_another_is_lifted_too() {
    let mut i = empty(10, 4, 3, 1);
    i.trays = vec![tray(0, (3, 4, 3))];
    i.trays[0].weight = 100;
    i.trays[0].held = HeldAt::Point(0, 0, 0);
    let cover = |x, w, level| CoverPlace { rect: Rect { x, y: 0, w, d: 4 }, level };
    // The first lies over the tray, the second over the first only, the third over the second only.
    i.cover = vec![cover(0, 5, 0), cover(4, 4, 1), cover(7, 3, 2), cover(6, 3, 0)];
    let found = found(&i, NODES);
    let value = 3 * 4 * 3 + 3 * 100;
    assert_eq!((found.layout.map(|(_, c)| c.value()), found.bound), (Some(value), Some(value)));
    assert_eq!(covers_over(&i, &i.trays[0]), 3);
    let model = traywright::layout::model::solve(&i, None, &Stop::never());
    assert_eq!(model.bound, Some(value));
}

/// Met among random problems: what is held at a point may need a layer below it that no body is as high as.
#[test]
fn a_layer_below_what_is_held_has_the_height_it_needs() {
    let mut i = empty(5, 5, 5, 2);
    i.trays = vec![tray(0, (1, 4, 1)), tray(1, (2, 3, 2))];
    i.trays[0].held = HeldAt::Layer(0);
    i.trays[1].held = HeldAt::Point(1, 1, 3);
    let found = found(&i, NODES);
    let value = 4 * 3 + 2 * 3 * 2;
    assert_eq!((found.layout.map(|(_, c)| c.value()), found.bound), (Some(value), Some(value)));
}

/// Met among random problems: a kept item may stand on the top of the last layer.
#[test]
fn a_kept_item_stands_on_the_last_layer() {
    let mut i = empty(4, 4, 5, 1);
    i.trays = vec![tray(0, (4, 4, 2))];
    i.kept = bricks(0, 1, [3, 3, 3]);
    let found = found(&i, NODES);
    let (layout, cost) = found.layout.expect("a layout");
    assert_eq!((layout.kept[0].layer, cost.value()), (1, 16 * 2 + 27));
    assert!(found.bound.is_some_and(|b| b <= cost.value()));
    // Held in a second layer it is not there: there is but one.
    i.kept[0].held = HeldAt::Layer(1);
    let held = search(&i, 1, NODES, &Stop::never(), &mut |_, _| {});
    assert!(held.layout.is_none() && held.bound.is_none());
}

//! Published packings as whole jobs: from a brief through needs, shape curves, layers, settling and the checker, with a
//! stock of no thickness and no play, which only tests may make.

use traywright::job::{Held, Job};
use traywright::layout::instance::{HeldAt, Instance};
use traywright::layout::model::{self, ModelState};
use traywright::layout::search::{Found, search};
use traywright::length::{Length, Volume};
use traywright::place::Point;
use traywright::plan::{ClaimState, Options, Outcome, Plan, solve};
use traywright::stop::Stop;
use traywright_tests::bare::{self, bricks, empty};

/// Fixed heights, so that a body of this height fills a layer.
fn brief(interior: [i64; 3], layers: usize, bodies: &str) -> String {
    format!(
        "title = \"published\"\n[box]\ninterior = {interior:?}\n[stock]\nname = \"none\"\nthickness = 0.01\n[layers]\nmost = {layers}\n\
         [wishes]\naccess = {{ always = 0.0, setup = 0.0, seldom = 0.0 }}\n{bodies}"
    )
}

/// A tray that holds one block and is therefore of its size.
fn block(name: &str, [w, d, h]: [i64; 3], turn: &str) -> String {
    format!("[[tray]]\nname = \"{name}\"\ngrip = \"none\"\n{}", part(name, [w, d, h], turn))
}

fn part(name: &str, size: [i64; 3], turn: &str) -> String {
    format!(
        "[[tray.part]]\nname = \"{name} block\"\nsolid = {{ size = {size:?}, count = 1, turn = \"{turn}\", ease = 0 }}\n"
    )
}

fn squares(sides: &[i64]) -> String {
    sides.iter().map(|s| block(&format!("square {s}"), [*s, *s, 5], "none")).collect()
}

fn kept(name: &str, count: usize, size: [i64; 3]) -> String {
    format!("[[kept]]\nname = \"{name}\"\nsize = {size:?}\ncount = {count}\nturn = \"any\"\n")
}

/// Nothing but kept items, which no brief asks for.
fn kept_only(interior: [i64; 3], layers: usize, bodies: &str) -> Job {
    let mut job = job(&brief(interior, layers, &format!("{bodies}{}", block("none", [1, 1, 1], "none"))));
    job.trays.clear();
    job
}

fn job(brief: &str) -> Job {
    bare::job(brief).unwrap_or_else(|findings| panic!("{findings:#?}\n{brief}"))
}

fn solved(job: &Job, nodes: u64) -> Outcome {
    let mut options = Options::default();
    options.nodes = nodes;
    solve(job, &options, &mut |_| {})
}

fn plan(job: &Job, nodes: u64) -> Plan {
    let outcome = solved(job, nodes);
    outcome.plan.unwrap_or_else(|| panic!("{:?} {:#?}", outcome.claim, outcome.reasons))
}

/// Nothing spare and nothing wasted but what the compartments hold.
fn fills(plan: &Plan) {
    let v = &plan.tight.volumes_mm3;
    assert_eq!((v.spare, v.wasted), (Volume::ZERO, Volume::ZERO), "{v:?}");
    assert_eq!(plan.claim.state, ClaimState::Proven);
}

/// Perfect squared rectangles of orders 9 and 10 (definitions at squaring.net), a tray a square: no waste, whatever
/// straight cuts could do.
#[test]
fn squared_rectangles_leave_nothing_spare() {
    for (w, d, sides) in
        [(33, 32, &[18, 15, 14, 10, 9, 8, 7, 4, 1][..]), (65, 47, &[25, 24, 23, 22, 19, 17, 11, 6, 5, 3])]
    {
        let trays = squares(sides);
        fills(&plan(&job(&brief([w, d, 5], 1, &trays)), 400_000));
        let outcome = solved(&job(&brief([w - 1, d, 5], 1, &trays)), 400_000);
        assert!(outcome.plan.is_none());
        assert_eq!(outcome.claim.state, ClaimState::Impossible);
    }
}

/// The same squares as compartments of one tray: no first straight cut exists, so no tray of that size holds them.
#[test]
fn a_squared_rectangle_is_no_tray() {
    let parts: String = [18, 15, 14, 10, 9, 8, 7, 4, 1]
        .iter()
        .map(|s| part(&format!("square {s}"), [*s, *s, 5], "none"))
        .collect();
    let tray = |size: [i64; 2]| {
        let tray = format!("[[tray]]\nname = \"all\"\ngrip = \"none\"\n{parts}");
        job(&brief([size[0], size[1], 5], 1, &tray))
    };
    let outcome = solved(&tray([33, 32]), 50_000);
    assert!(outcome.plan.is_none(), "straight cuts filled a squared rectangle");
    assert!(solved(&tray([40, 36]), 50_000).plan.is_some(), "with room to spare they do");
}

/// The squared square of order 21 (Duijvestijn, J. Combin. Theory B 25, 1978), read from its Bouwkamp code: every tray
/// held at its place, the rest of the way through is settling, the account and the checker.
#[test]
fn the_squared_square_is_content_with_its_places() {
    let code: [&[i64]; 9] =
        [&[50, 35, 27], &[8, 19], &[15, 17, 11], &[6, 24], &[29, 25, 9, 2], &[7, 18], &[16], &[42], &[4, 37]];
    let sides: Vec<i64> = code.iter().flat_map(|g| g.iter().copied()).chain([33]).collect();
    let mut job = job(&brief([112, 112, 5], 1, &squares(&sides)));
    let mut line = vec![0i64; 112];
    for (tray, &side) in job.trays.iter_mut().zip(&sides) {
        let y = line.iter().copied().min().unwrap();
        let x = line.iter().position(|l| *l == y).unwrap();
        line[x..x + side as usize].fill(y + side);
        tray.held = Some(Held::At(Point { x: Length::mm(x as i64), y: Length::mm(y), z: Length::ZERO }));
    }
    fills(&plan(&job, 50_000));
    // One of them held a step off its place: they overlap, and that is proven.
    let Some(Held::At(at)) = &mut job.trays[20].held else { panic!("held") };
    at.x -= Length::mm(1);
    let outcome = solved(&job, 50_000);
    assert!(outcome.plan.is_none());
    assert_eq!(outcome.claim.state, ClaimState::Impossible);
}

/// Smallest rectangles for squares 1 … N (Korf, ICAPS 2004; OEIS A038666): the box of that size takes them, boxes that
/// are a step narrower or less deep do not, and that is proven.
#[test]
fn smallest_boxes_for_consecutive_squares() {
    let boxes = [(1, 1), (2, 3), (3, 5), (5, 7), (5, 12), (9, 11), (7, 22), (14, 15), (15, 20), (15, 27)];
    for (n, (w, d)) in (1..).zip(boxes) {
        let sides: Vec<i64> = (1..=n).collect();
        let trays = squares(&sides);
        let found = plan(&job(&brief([w, d, 5], 1, &trays)), 400_000);
        let spare = Volume::from_nm3(
            i128::from((w * d - sides.iter().map(|s| s * s).sum::<i64>()) * 5) * 10i128.pow(18),
        );
        assert_eq!(found.tight.volumes_mm3.spare, spare, "squares 1 to {n}");
        for (w, d) in [(w - 1, d), (w, d - 1)] {
            if w.min(d) < n {
                continue;
            }
            let outcome = solved(&job(&brief([w, d, 5], 1, &trays)), 400_000);
            assert_eq!(outcome.claim.state, ClaimState::Impossible, "squares 1 to {n} in {w} x {d}");
        }
    }
}

/// Two 2 × 1, two 1 × 2 and one 1 × 1, none of which may turn, fill 3 × 3 as trays; as compartments straight cuts hold 7
/// of 9 at best (computed by exhaustion for this project).
#[test]
fn the_pinwheel_at_both_levels() {
    let sizes = [("east", 2, 1), ("west", 2, 1), ("north", 1, 2), ("south", 1, 2), ("hub", 1, 1)];
    let trays: String = sizes.iter().map(|(name, w, d)| block(name, [*w, *d, 5], "none")).collect();
    fills(&plan(&job(&brief([3, 3, 5], 1, &trays)), 100_000));

    let mut best = 0;
    for taken in 1u32..32 {
        let chosen: Vec<_> = (0..5).filter(|i| taken >> i & 1 == 1).map(|i| sizes[i]).collect();
        let parts: String = chosen.iter().map(|(name, w, d)| part(name, [*w, *d, 5], "none")).collect();
        let brief =
            brief([3, 3, 5], 1, &format!("[[tray]]\nname = \"hub and arms\"\ngrip = \"none\"\n{parts}"));
        let outcome = solved(&job(&brief), 20_000);
        let area: i64 = chosen.iter().map(|(_, w, d)| w * d).sum();
        match outcome.plan {
            Some(_) => best = best.max(area),
            None => assert!(area > 7, "{chosen:?}: {:?}", outcome.reasons),
        }
    }
    assert_eq!(best, 7);
}

/// Shape lists merge as Stockmeyer's do (Information and Control 57, 1983): 2 × 5, 3 × 4 and 1 × 6 fill 6 × 6 and 9 × 4
/// with A beside B and C above; over all arrangements 10 × 3 is less (computed for this project).
#[test]
fn three_blocks_in_the_least_trays() {
    let parts: String = [("a", [2, 5, 5]), ("b", [3, 4, 5]), ("c", [1, 6, 5])]
        .iter()
        .map(|(n, s)| part(n, *s, "upright"))
        .collect();
    let fits = |w: i64, d: i64| {
        let tray = format!("[[tray]]\nname = \"three\"\ngrip = \"none\"\n{parts}");
        solved(&job(&brief([w, d, 5], 1, &tray)), 20_000).plan.is_some()
    };
    for (w, d) in [(6, 6), (9, 4), (4, 9), (5, 11), (8, 5), (10, 3), (3, 10)] {
        assert!(fits(w, d), "{w} x {d}");
    }
    // All rectangles of at least the blocks' area, by every arrangement of straight cuts tried by hand-written search.
    let by_hand = least_rectangles(&[(2, 5), (3, 4), (1, 6)]);
    for w in 3..=12 {
        for d in 3..=12 {
            if w.max(d) < 6 {
                continue;
            }
            let wanted = by_hand.iter().any(|&(a, b)| a <= w && b <= d);
            assert_eq!(fits(w, d), wanted, "{w} x {d}");
        }
    }
}

/// Every rectangle that straight cuts make of these blocks, each turned as it likes: by splitting the set in two.
fn least_rectangles(blocks: &[(i64, i64)]) -> Vec<(i64, i64)> {
    if let [(w, d)] = blocks {
        return vec![(*w, *d), (*d, *w)];
    }
    let mut out = Vec::new();
    for taken in 1..(1usize << blocks.len()) - 1 {
        let side = |wanted: bool| -> Vec<(i64, i64)> {
            (0..blocks.len()).filter(|i| (taken >> i & 1 == 1) == wanted).map(|i| blocks[i]).collect()
        };
        for (a, b) in least_rectangles(&side(true)) {
            for (c, e) in least_rectangles(&side(false)) {
                out.extend([(a + c, b.max(e)), (a.max(c), b + e)]);
            }
        }
    }
    out
}

/// Volume is not enough (de Bruijn, Amer. Math. Monthly 76, 1969): 27 bricks 1 × 2 × 4 have the volume of 6 × 6 × 6, only
/// 26 fit; 125 have that of 10 × 10 × 10 and do not fill it.
#[test]
fn bricks_that_fit_by_volume_only() {
    for (side, counts) in [(6, [13, 14]), (10, [62, 63])] {
        let bricks: String =
            (1..).zip(counts).map(|(i, count)| kept(&format!("bricks {i}"), count, [1, 2, 4])).collect();
        let job = kept_only([side, side, side], side as usize, &bricks);
        let outcome = solved(&job, 4_000);
        assert!(outcome.plan.is_none(), "{counts:?} bricks in {side} x {side} x {side}");
        if outcome.claim.state == ClaimState::Impossible {
            names_its_class(&outcome);
        }
        assert!(!outcome.reasons.is_empty());
    }
}

/// A claim names within which class of arrangements it holds.
fn names_its_class(outcome: &Outcome) {
    let c = &outcome.claim;
    assert!(["exact", "searched"].contains(&c.curves.as_str()), "{c:?}");
    assert!(["all", "candidates"].contains(&c.heights.as_str()), "{c:?}");
    assert!(c.grid_mm > Length::ZERO && !c.bound_by.is_empty(), "{c:?}");
}

/// But five bricks 1 × 2 × 3 fill 1 × 5 × 6 with mixed orientations (same paper). Lying in one layer they are found; on
/// edge through four layers that share them they need not be, but are never called impossible.
#[test]
fn bricks_that_only_fit_crosswise() {
    let upright = kept_only([1, 5, 6], 4, &kept("brick", 5, [1, 2, 3]));
    assert_ne!(solved(&upright, 50_000).claim.state, ClaimState::Impossible);
    for (interior, layers) in [([5, 6, 1], 1), ([6, 5, 1], 1)] {
        let job = kept_only(interior, layers, &kept("brick", 5, [1, 2, 3]));
        let found = plan(&job, 400_000);
        assert_eq!(found.tight.volumes_mm3.spare, Volume::ZERO, "{interior:?}");
        let first = found.tight.kept[0].size;
        assert!(found.tight.kept.iter().any(|k| k.size != first), "all lie alike in {interior:?}");
    }
}

/// A box of unit layers filled with kept items.
fn cube(side: i64, sets: &[(usize, [i64; 3])]) -> Instance {
    let mut instance = empty(side, side, side, side as usize);
    instance.height_rules = vec![(1, 1); side as usize];
    for (kind, (count, size)) in sets.iter().enumerate() {
        instance.kept.extend(bricks(kind, *count, *size));
    }
    instance
}

fn searched(instance: &Instance, nodes: u64) -> Found {
    search(instance, 1, nodes, &Stop::never(), &mut |_, _| {})
}

/// Slothouber–Graatsma: six 1 × 2 × 2 and three 1 × 1 × 1 fill 3 × 3 × 3, in one way but for symmetry, the small cubes on a
/// body diagonal. Layers one step high express it, as blocks may stand through two of them.
#[test]
fn six_blocks_and_three_cubes_fill_a_cube() {
    let mut instance = cube(3, &[(6, [1, 2, 2]), (3, [1, 1, 1])]);
    // The published way: the cubes on the diagonal. Held there, the search finds places for the others.
    for (k, item) in instance.kept[6..].iter_mut().enumerate() {
        item.held = HeldAt::Point(k as i64, k as i64, k as i64);
    }
    let found = searched(&instance, 200_000);
    let (layout, cost) = found.layout.expect("the published way");
    assert_eq!(cost.value(), 27);
    assert!(instance.feasible(&layout).is_ok());
    // Off the diagonal there is none: never a layout, and what is called impossible is so.
    instance.kept[8].held = HeldAt::Point(1, 2, 2);
    let found = searched(&instance, 50_000);
    assert!(found.layout.is_none());
    // Nothing held: never said to be impossible, and whatever is found is it.
    let free = cube(3, &[(6, [1, 2, 2]), (3, [1, 1, 1])]);
    let found = searched(&free, 100_000);
    assert!(found.bound.is_some_and(|b| b <= 27));
    if let Some((layout, _)) = found.layout {
        let mut cubes: Vec<_> = layout.kept[6..].iter().map(|p| (p.layer, p.x, p.y)).collect();
        cubes.sort_unstable();
        assert!(cubes[1] == (1, 1, 1) && cubes[0].0 == 0 && cubes[2].0 == 2, "{cubes:?}");
    }
}

/// The general solver on the written model of the same cube agrees.
#[test]
fn the_model_knows_the_cube_too() {
    let mut instance = cube(3, &[(6, [1, 2, 2]), (3, [1, 1, 1])]);
    for (k, item) in instance.kept[6..].iter_mut().enumerate() {
        item.held = HeldAt::Point(k as i64, k as i64, k as i64);
    }
    let outcome = model::solve(&instance, None, &Stop::nodes(20_000));
    assert_ne!(outcome.state, ModelState::NoLayout);
    if let Some(layout) = &outcome.layout {
        assert_eq!(instance.cost(layout).value(), 27);
    }
}

/// Conway's puzzle in 5 × 5 × 5, and forty-one 1 × 2 × 4 in 7 × 7 × 7 (Berlekamp, Conway & Guy, Winning Ways, vol. 4, 2004):
/// both are known to fit, so whatever the search reaches in a moment, it must not call them impossible.
#[test]
fn hard_cubes_are_never_called_impossible() {
    let conway = [(13, [1, 2, 4]), (1, [2, 2, 2]), (1, [1, 2, 2]), (3, [1, 1, 3])];
    for (side, sets, volume) in [(5, &conway[..], 125), (7, &[(41, [1, 2, 4])], 328)] {
        let instance = cube(side, sets);
        let found = searched(&instance, 20_000);
        assert!(found.bound.is_some_and(|b| b <= volume), "{side}: {:?}", found.bound);
        if let Some((layout, cost)) = found.layout {
            assert!(instance.feasible(&layout).is_ok() && cost.value() == volume);
        }
    }
}

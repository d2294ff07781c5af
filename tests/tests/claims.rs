//! Claims that a plan would refute: boxes once called impossible that hold what they are asked to, each met by thrown briefs
//! beside the same briefs with sizes pinned.

use std::fmt::Write as _;

use traywright::brief::Format;
use traywright::check::check;
use traywright::job;
use traywright::layout::exact::Exact;
use traywright::layout::instance::{Access, Option3, TrayItem};
use traywright::plan::{ClaimState, Options, Outcome, solve};
use traywright::stop::Stop;

const BIRCH: &str = "[stock]\nname = \"birch plywood\"\nthickness = 3\n";

fn solved(brief: &str) -> Outcome {
    let job = job::read(brief, "claims.toml", Format::Toml, None, &[]).unwrap();
    let outcome = solve(&job, &Options::default(), &mut |_| {});
    assert!(outcome.plan.as_ref().is_none_or(|plan| check(&job, plan).is_empty()));
    outcome
}

fn tight_box(size: &str) -> String {
    format!("[box]\ninterior = {size}\nclearance = {{ between = 0, side = 0 }}\n{BIRCH}")
}

fn solid(tray: &str, size: &str, rest: &str) -> String {
    format!(
        "[[tray]]\nname = \"{tray}\"\n[[tray.part]]\nname = \"{tray} part\"\nsolid = {{ size = {size}, {rest} }}\n"
    )
}

/// Twelve blocks and two cartons that fill the box, sized on a coarser step than the grid.
#[test]
fn a_coarse_step_refutes_nothing() {
    let blocks = [
        "48.7, 17.8",
        "50, 17.8",
        "23.7, 33.6",
        "20.2, 33.6",
        "24.2, 33.6",
        "22.6, 33.6",
        "39.8, 24.7",
        "21.4, 39.1",
        "14.4, 39.1",
        "58.9, 23.2",
        "58.9, 17.1",
        "58.9, 19.5",
    ];
    let mut brief = tight_box("[139.7, 154.2, 23]") + "[layers]\nmost = 1\n[[tray]]\nname = \"gear\"\n";
    for (i, block) in blocks.iter().enumerate() {
        let _ = write!(
            brief,
            "[[tray.part]]\nname = \"piece {i}\"\nsolid = {{ size = [{block}, 20], count = 1, turn = \"upright\" }}\n"
        );
    }
    brief += "[[kept]]\nname = \"bar\"\nsize = [30, 134.2, 23]\nturn = \"none\"\n\
              [[kept]]\nname = \"beam\"\nsize = [139.7, 20, 23]\nturn = \"none\"\n";
    assert_ne!(solved(&brief).claim.state, ClaimState::Impossible);
}

/// More heights at which some tray changes than one tray is sized at.
#[test]
fn every_height_that_matters_to_a_tray_is_looked_at() {
    let mut brief = tight_box("[110, 60, 110]") + "[search]\ngrid = 1\n[layers]\nmost = 1\nheights = [63]\n";
    brief += &solid("chart tray", "[100, 60, 2]", "count = 1, turn = \"any\"");
    for i in 0..9 {
        let size = format!("[{}, {}, {}]", 4 + i, 13 + i, 22 + i);
        brief += &solid(&format!("tray {i}"), &size, "count = 1, turn = \"any\"");
    }
    assert!(solved(&brief).plan.is_some());
}

/// Seven plates that nobody put into a tray: six trays do not hold them, though seven do.
#[test]
fn free_parts_that_share_no_tray_get_one_each() {
    let mut brief = tight_box("[100, 80, 80]") + "[search]\ngrid = 1\n[layers]\nmost = 8\n";
    for i in 0..7 {
        let h = 4 + i % 2;
        let _ = write!(
            brief,
            "[[part]]\nname = \"plate {i}\"\nsolid = {{ size = [80, 60, {h}], count = 1, turn = \"upright\" }}\n"
        );
    }
    assert_eq!(solved(&brief).plan.unwrap().settled.trays.len(), 7);
}

/// Nine rules lie side by side, which the slab of so many cover items does not try.
#[test]
fn a_slab_that_could_be_lower_refutes_nothing() {
    let brief = |h: &str, rules: usize| {
        let tray = solid("yarn", "[60, 40, 25]", "count = 1, turn = \"none\"");
        let mut brief =
            tight_box(&format!("[200, 150, {h}]")) + "[search]\ngrid = 1\n[layers]\nmost = 1\n" + &tray;
        for i in 0..rules {
            let _ = write!(brief, "[[cover]]\nname = \"rule {i}\"\nsize = [190, 12, 5]\n");
        }
        solved(&brief).claim.state
    };
    assert_ne!(brief("42", 9), ClaimState::Impossible);
    assert_ne!(brief("25", 9), ClaimState::Impossible);
    assert!(matches!(brief("42", 8), ClaimState::Proven | ClaimState::Gap));
    // One rule is as low as a slab can be.
    assert_eq!(brief("30", 1), ClaimState::Impossible);
}

/// Masses are counted from above, so that a tray may be lighter than it was taken to be.
#[test]
fn a_mass_counted_from_above_refutes_nothing() {
    let brief = tight_box("[196, 140, 63]")
        + "density = 700\n[search]\ngrid = 1\n[layers]\nmost = 1\n[wishes]\nmost_mass = \"80 g\"\n"
        + &solid("plates", "[60, 40, 4]", "count = 9, turn = \"any\", pile = false")
        + &solid("reeds", "[100, 20, 10]", "count = 1, turn = \"none\"");
    assert_ne!(solved(&brief).claim.state, ClaimState::Impossible);
}

/// A fixed height that is no whole number of steps gives away its rest, not a step more.
#[test]
fn a_fixed_height_off_the_grid_is_held_once() {
    let one = |interior: &str, heights: &str, trays: &str| {
        let brief = tight_box(interior) + &format!("[layers]\nmost = 2\nheights = {heights}\n") + trays;
        solved(&brief).plan.is_some()
    };
    let low = solid("masts", "[80, 60, 10]", "count = 1, turn = \"none\"");
    assert!(one("[100, 80, 20.05]", "[20.05]", &low));
    let masts = solid("masts", "[80, 60, 17]", "count = 1, turn = \"none\"");
    let spars = solid("spars", "[80, 60, 18.9]", "count = 1, turn = \"none\"");
    assert!(one("[100, 80, 42]", "[20.05, 21.95]", &(masts + &spars)));
}

/// With lifts first, the search's bound holds lifts at a weight beyond every claim; the plan's bound is on what the maker counts.
#[test]
fn with_lifts_first_a_short_search_claims_no_more_than_a_long_one_finds() {
    let tray = |name: &str, parts: &[&str]| {
        let mut text = format!("[[tray]]\nname = \"{name}\"\nuse = \"always\"\n");
        for (i, part) in parts.iter().enumerate() {
            let _ = write!(text, "[[tray.part]]\nname = \"{name} {i}\"\n{part}\n");
        }
        text
    };
    let nested = |a: &str, b: &str| {
        format!(
            "tray = {{ part = [ {{ name = \"{a}\", solid = {{ size = [{a}], count = 1, turn = \"upright\" }} }}, \
             {{ name = \"{b}\", solid = {{ size = [{b}], count = 1, turn = \"any\" }} }} ] }}"
        )
    };
    let (a, b, c) = (
        nested("27, 15.5, 6.1", "11.5, 12, 6"),
        nested("22, 15, 8", "15, 12, 6"),
        nested("11, 20, 6.5", "16.1, 12, 6"),
    );
    let brief = tight_box("[111.5, 92, 70]").replace("[box]\n", "[box]\nlid_room = 1\n")
        + "[search]\ngrid = 1\n[layers]\nmost = 3\n[wishes]\n\
           access = { always = 0.5, setup = 0.5, seldom = 0, order = \"first\" }\n"
        + &tray(
            "tarred",
            &[
                "stack = { face = [27, 22], count = 12, each = 0.3 }",
                "solid = { size = [17.1, 13, 17.1], count = 3, turn = \"none\", pile = false }",
                &a,
                "solid = { size = [39, 18, 17], count = 1, turn = \"none\", pile = true }",
            ],
        )
        + &tray(
            "spliced",
            &[
                &b,
                &c,
                "solid = { size = [27, 22, 20], count = 2, turn = \"none\", pile = false }",
                "solid = { size = [40, 32, 10], count = 3, turn = \"any\", pile = false }",
            ],
        )
        + &tray("whipped", &["solid = { size = [52, 30, 10], count = 1, turn = \"any\" }"]);
    let job = job::read(&brief, "claims.toml", Format::Toml, None, &[]).unwrap();
    let of = |nodes| {
        let mut options = Options::default();
        options.nodes = nodes;
        let plan = solve(&job, &options, &mut |_| {}).plan.unwrap();
        (plan.objective_mm3.bound, plan.objective_mm3.value)
    };
    let (short, long) = (of(3_000), of(300_000));
    assert!(short.0 <= long.1 && long.0 <= long.1, "{short:?} {long:?}");
    assert!(long.1 < short.1, "the long search finds more: {short:?} {long:?}");
}

/// A profile that was made ready with the last node is searched, or no bound is told past it.
#[test]
fn a_pass_claims_nothing_past_what_it_left() {
    let mut instance = traywright_tests::model_jobs::empty(8, 5, 6, 1);
    (instance.between, instance.side, instance.access) = (0, 0, Access::Lifts);
    let options = vec![Option3 { w: 4, d: 5, h: 2 }, Option3 { w: 3, d: 5, h: 4 }];
    instance.trays = vec![TrayItem { options, ..traywright_tests::model_jobs::tray("a", &[], 0) }];
    for nodes in 0..40 {
        let pass = Exact::new(&instance).pass(100, &Stop::nodes(nodes));
        assert!(pass.bound <= 40, "{nodes} nodes: {}", pass.bound);
    }
}

/// What only rounding to the grid refutes may fit all the same.
#[test]
fn rounding_up_alone_refutes_nothing() {
    let row = |w: &str, count: usize| {
        let brief = tight_box("[100.05, 60, 40]") + "[layers]\nmost = 1\n";
        let tray = solid("tray", &format!("[{w}, 40, 20]"), "turn = \"none\"");
        brief + &tray.replace("name = \"tray\"\n", &format!("name = \"tray\"\ncount = {count}\n"))
    };
    // One of 100.03 mm in 100.05, and two of 50.02 mm beside each other.
    for brief in [row("93.03", 1), row("43.02", 2)] {
        assert_eq!(solved(&brief).claim.state, ClaimState::NoneFound);
        let fine = brief + "[search]\ngrid = 0.01\n";
        assert_eq!(solved(&fine).claim.state, ClaimState::Proven);
    }
    // Where more is missing than rounding takes, it is impossible off the grid too.
    assert_eq!(solved(&row("84.02", 2)).claim.state, ClaimState::Impossible);
}

/// Trays that fill the depth of the box; the plates are 100 mm wide and 21 high, 80 and 31 high, each in a tray of its own.
#[test]
fn heights_of_another_sharing_are_bounded_too() {
    let mut brief = String::from(
        "wishes.access = { always = 0.0, setup = 0.0, seldom = 0.0 }\n\
         [search]\ngrid = 1\n[layers]\nmost = 3\n[stock]\nname = \"birch plywood\"\nthickness = 1\n\
         [box]\ninterior = [182, 110, 79]\nclearance = 0\n",
    );
    for (name, w, h, span) in [("sail", 61, 47, 2), ("nail", 10, 23, 1), ("lamp", 56, 30, 1)] {
        brief += &format!(
            "[[tray]]\nname = \"{name}\"\nuse = \"seldom\"\nspan = {span}\ngrip = \"none\"\n\
             part = [{{ name = \"{name}s\", solid = {{ size = [{w}, 107, {h}], turn = \"none\" }} }}]\n"
        );
    }
    let part = |name: &str, w: i64, h: i64| {
        format!("{{ name = \"{name}\", solid = {{ size = [{w}, 107, {h}], turn = \"none\" }} }}")
    };
    let pair = [part("chart", 19, 30), part("dial", 19, 30)].join(", ");
    brief += &format!("[[tray]]\nname = \"pair\"\nuse = \"setup\"\ngrip = \"none\"\npart = [{pair}]\n");
    for (name, w, h) in [("plate", 97, 20), ("board", 77, 30)] {
        brief += &format!(
            "[[part]]\nname = \"{name}\"\nuse = \"always\"\nsolid = {{ size = [{w}, 107, {h}], turn = \"none\" }}\n"
        );
    }
    let job = job::read(&brief, "claims.toml", Format::Toml, None, &[]).unwrap();
    let searched = |nodes: u64| {
        let mut options = Options::default();
        (options.nodes, options.patient) = (nodes, true);
        solve(&job, &options, &mut |_| {}).plan.map(|p| p.objective_mm3)
    };
    let found: Vec<_> = [1, 1_000, 10_000, 100_000, 1_000_000].into_iter().filter_map(searched).collect();
    let least = found.iter().map(|o| o.value).min().unwrap();
    assert!(found.len() > 2 && least.to_ml_f64() < 141.0, "{least:?}");
    assert!(found.iter().all(|o| o.bound <= least), "{found:?}");
}

/// With lifts last, how many trays there are for free parts is open, and so are the lifts of what lies over them.
#[test]
fn lifts_of_trays_that_may_be_one_are_not_sure() {
    let head = "wishes.access = { always = 2.0, order = \"last\" }\n[search]\ngrid = 1\n[layers]\nmost = 2\n\
                [box]\ninterior = [300, 200, 70]\nclearance = 0\n[stock]\nname = \"birch plywood\"\nthickness = 3\n\
                [[cover]]\nname = \"board\"\nsize = [298, 198, 3]\n";
    let plate = |name: &str, h: i64| format!("name = \"{name}\"\nsolid = {{ size = [100, 100, {h}] }}\n");
    let free: String = [("plate", 29), ("panel", 30)]
        .map(|(n, h)| format!("[[part]]\nuse = \"always\"\n{}", plate(n, h)))
        .concat();
    let named: String =
        [("plate", 29), ("panel", 30)].map(|(n, h)| format!("[[tray.part]]\n{}", plate(n, h))).concat();
    let apart = solved(&format!("{head}{free}")).plan.unwrap().objective_mm3;
    let together =
        solved(&format!("{head}[[tray]]\nname = \"both\"\nuse = \"always\"\n{named}")).plan.unwrap();
    assert!(apart.bound <= together.objective_mm3.value, "{apart:?} {:?}", together.objective_mm3);
}

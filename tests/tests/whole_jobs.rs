//! Every scenario, planned with its default settings but for a budget of nodes: what is expected of it, the checker, the
//! account worked out again from the file's own numbers, and slack in terms that can be true.

use std::collections::BTreeSet;

use traywright::brief::Format;
use traywright::check::check;
use traywright::cut;
use traywright::job::{self, Contents, Job, Part, Tray};
use traywright::length::{Length, Volume};
use traywright::panel::panels;
use traywright::plan::{
    Arrangement, Body, ClaimState, Compartment, Options, Outcome, PlacedTray, Plan, solve,
};
use traywright_tests::scenarios::{self, briefs};

/// What is expected of a scenario.
enum Expected {
    /// A plan; these trays or more, and within so many layers.
    Fits { trays: usize, layers: usize },
    /// No plan, proven or not.
    Nothing,
}

const SCENARIOS: &[(&str, u64, Expected)] = &[
    ("easy/lantern", 40_000, Expected::Fits { trays: 3, layers: 2 }),
    ("easy/rigging", 40_000, Expected::Fits { trays: 4, layers: 2 }),
    ("easy/tides", 40_000, Expected::Fits { trays: 2, layers: 1 }),
    ("easy/too-full", 40_000, Expected::Nothing),
    ("easy/too-low", 40_000, Expected::Nothing),
    ("hard/harbour", 150_000, Expected::Fits { trays: 15, layers: 3 }),
    ("medium/drawer", 120_000, Expected::Fits { trays: 5, layers: 1 }),
    ("medium/ferry", 40_000, Expected::Fits { trays: 9, layers: 3 }),
    ("medium/ferry-second", 60_000, Expected::Fits { trays: 8, layers: 3 }),
    ("medium/fishwives", 40_000, Expected::Fits { trays: 2, layers: 2 }),
    ("medium/moored", 40_000, Expected::Fits { trays: 3, layers: 3 }),
    ("medium/pilot", 40_000, Expected::Fits { trays: 2, layers: 1 }),
];

fn solved(job: &Job, nodes: u64) -> Outcome {
    let mut options = Options::default();
    options.nodes = nodes;
    solve(job, &options, &mut |_| {})
}

#[test]
fn every_scenario_is_here() {
    let here: Vec<String> = briefs(&["easy", "medium", "hard"]).into_iter().map(|b| b.0).collect();
    let known: Vec<&str> = SCENARIOS.iter().map(|s| s.0).collect();
    assert_eq!(here, known);
}

#[test]
fn every_scenario_comes_to_what_is_expected() {
    for ((name, nodes, expected), (_, path)) in SCENARIOS.iter().zip(briefs(&["easy", "medium", "hard"])) {
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("# Shows "), "{name} says in its first line what it shows");
        let job = scenarios::job(&path);
        let outcome = solved(&job, *nodes);
        match expected {
            Expected::Nothing => {
                assert!(outcome.plan.is_none() && !outcome.reasons.is_empty(), "{name}");
                assert!(
                    matches!(outcome.claim.state, ClaimState::Impossible | ClaimState::NoneFound),
                    "{name}"
                );
            }
            Expected::Fits { trays, layers } => {
                let plan = outcome.plan.unwrap_or_else(|| panic!("{name}: {:#?}", outcome.reasons));
                assert!(plan.tight.trays.len() >= *trays, "{name}: {} trays", plan.tight.trays.len());
                assert!(plan.tight.layers.len() <= *layers, "{name}: {} layers", plan.tight.layers.len());
                true_in_itself(name, &job, &plan);
            }
        }
    }
}

/// The checker is content, the file reads back, and what it says of volumes and slack can be so.
fn true_in_itself(name: &str, job: &Job, plan: &Plan) {
    assert!(check(job, plan).is_empty(), "{name}: {:#?}", check(job, plan));
    assert_eq!(Plan::from_json(name, &plan.to_json()).as_ref(), Ok(plan), "{name}");
    assert!(plan.left_out.is_empty(), "{name}");
    let o = &plan.objective_mm3;
    assert_eq!(o.wasted + o.access, o.value, "{name}");
    assert!(Volume::ZERO <= o.bound && o.bound <= o.value, "{name}");
    if let Some(gap) = plan.claim.gap {
        assert!((0.0..1.0).contains(&gap), "{name}: {gap}");
    }
    for a in [&plan.tight, &plan.settled] {
        account(name, job, a);
    }
    // Settling changes what is spare into slack, never what is held.
    let (t, s) = (&plan.tight.volumes_mm3, &plan.settled.volumes_mm3);
    assert_eq!((t.contents, t.kept, t.cover), (s.contents, s.kept, s.cover), "{name}");
    assert!(s.spare <= t.spare, "{name}");
    let told: BTreeSet<&str> = plan.lifts.iter().map(|l| l.tray.as_str()).collect();
    assert_eq!(told.len(), plan.settled.trays.len(), "{name}");
}

/// The identity, and wood and compartments added up from the places alone.
fn account(name: &str, job: &Job, a: &Arrangement) {
    let v = &a.volumes_mm3;
    let sum = v.contents + v.kept + v.cover + v.stock + v.voids + v.slack + v.overhead + v.spare;
    assert_eq!(v.interior, sum, "{name}");
    assert_eq!(v.interior, job.container.interior.volume(), "{name}");
    assert_eq!(v.wasted, v.stock + v.voids + v.slack + v.overhead, "{name}");
    let parts = [v.contents, v.kept, v.cover, v.stock, v.voids, v.slack, v.overhead, v.spare];
    assert!(parts.iter().all(|p| *p >= Volume::ZERO), "{name}: {v:?}");
    let kept: Volume = a.kept.iter().map(|b| b.size.volume()).sum();
    let cover: Volume = a.cover.iter().map(|b| b.size.volume()).sum();
    assert_eq!((v.kept, v.cover), (kept, cover), "{name}");
    let trays: Volume = a.trays.iter().map(|t| t.size.volume()).sum();
    let over: Volume = v.overhead + v.spare;
    // What is sunk into trays is within their outlines.
    let sunk: Volume = a.trays.iter().flat_map(|t| a.cover.iter().map(|c| shared(t, c))).sum();
    assert_eq!(v.interior, trays + kept + cover + over - sunk, "{name}");
    assert!(v.stock < trays, "{name}");
    let mut seen = BTreeSet::new();
    for tray in &a.trays {
        let rules = job.trays.iter().find(|t| t.name == tray.name);
        compartments(name, job, rules, tray, &mut seen);
    }
    let wanted: usize = job.trays.iter().map(|t| t.count * parts_of(t)).sum::<usize>() + job.free.len();
    assert_eq!(seen.len(), wanted, "{name}: every part once a tray");
}

/// The room that a tray and a cover item share.
fn shared(t: &PlacedTray, c: &Body) -> Volume {
    let long =
        |a: Length, la: Length, b: Length, lb: Length| ((a + la).min(b + lb) - a.max(b)).max(Length::ZERO);
    let (w, d) = (long(t.at.x, t.size.w, c.at.x, c.size.w), long(t.at.y, t.size.d, c.at.y, c.size.d));
    w * d * long(t.at.z, t.size.h, c.at.z, c.size.h)
}

fn parts_of(tray: &Tray) -> usize {
    let inner = tray.parts.iter().map(|p| match &p.contents {
        Contents::Tray(inner) => parts_of(inner),
        _ => 1,
    });
    inner.sum()
}

fn compartments(
    name: &str,
    job: &Job,
    rules: Option<&Tray>,
    tray: &PlacedTray,
    seen: &mut BTreeSet<(String, usize)>,
) {
    for c in &tray.compartments {
        let free = job.free.iter().map(|f| &f.part);
        let part = rules
            .map_or(Vec::new(), |t| t.parts.iter().collect())
            .into_iter()
            .chain(free)
            .find(|p| p.name == c.part);
        let Some(part) = part else { panic!("{name}: what is {}?", c.part) };
        match (&part.contents, &c.tray) {
            (Contents::Tray(inner), Some(placed)) => {
                let placed = PlacedTray { copy: tray.copy, ..(**placed).clone() };
                compartments(name, job, Some(inner), &placed, seen);
            }
            _ => {
                assert!(seen.insert((c.part.clone(), tray.copy)), "{name}: {} twice", c.part);
                slack(name, part, c);
            }
        }
    }
}

/// Room beyond need, in terms that can be true: so many more pieces are no more than the room that is over.
fn slack(name: &str, part: &Part, c: &Compartment) {
    let s = &c.slack;
    let what = format!("{name}: {} {s:?}", c.part);
    let sides = [s.width, s.depth, s.height];
    assert!(sides.iter().all(|l| *l >= Length::ZERO) && s.volume_ml >= 0.0 && s.more >= 0, "{what}");
    assert!((0.0..=100.0).contains(&s.percent), "{what}");
    assert!(s.width <= c.size.w && s.depth <= c.size.d && s.height <= c.size.h, "{what}");
    assert!(!s.more_of.is_empty(), "{what}");
    let room = c.size.volume().to_ml_f64();
    // A piece's own volume, ml, and what is there already.
    let (piece, held) = match &part.contents {
        Contents::Solid(solid) => (solid.size.volume().to_ml_f64(), solid.count),
        Contents::Loose(loose) => match (loose.piece, loose.count) {
            (Some(piece), Some(count)) => {
                // A bounding box is more than the piece: a disc or a bead fills half of it or more.
                (piece.volume().to_ml_f64() * 0.3, count)
            }
            _ => (1.0, 0),
        },
        _ => return,
    };
    assert!(piece * (held + s.more) as f64 <= room + 1e-6, "{what}: more than the room of {room} ml holds");
}

/// Floors and walls of every tray lie on the sheets that are named, also where trays are made larger to fill the box.
#[test]
fn trays_are_no_larger_than_the_sheets_that_are_named() {
    let brief = |sheets: &str| {
        format!(
            "title = \"quay\"\nbox.interior = [400, 300, 60]\nlayers.most = 1\n\
             stock = {{ name = \"birch plywood\", thickness = 3, process = \"laser\"{sheets} }}\n\
             [[tray]]\nname = \"cargo\"\npart = [{{ name = \"salt\", loose = {{ volume = \"900 ml\" }} }}]\n"
        )
    };
    let largest = |sheets: &str| {
        let job = job::read(&brief(sheets), "b.toml", Format::Toml, None, &[]).unwrap();
        let plan = solved(&job, 20_000).plan.unwrap();
        let made = panels(&job, &plan);
        let cut = made.is_ok_and(|trays| {
            cut::lay_out(&job, trays, vec![vec!["A".into()]], &cut::Options::default()).is_ok()
        });
        let size = plan.settled.trays[0].size;
        (size.w.max(size.d), size.w.min(size.d), cut)
    };
    let mm = Length::mm;
    let free = largest("");
    assert!(free.0 > mm(350) && free.1 > mm(250), "{free:?}");
    let (long, short, cut) = largest(", sheets = [[300, 200], [310, 60]]");
    assert!(cut && long <= mm(300) && short <= mm(200), "{long} {short}");
}

/// A tray of a fixed height in a higher layer ends lower; what it bears then is asked beside `layout::bearing`.
#[test]
fn a_tray_of_fixed_size_may_stand_in_a_higher_layer() {
    let tray = |name: &str, rest: &str, solid: &str| {
        format!(
            "[[tray]]\nname = \"{name}\"\n{rest}[[tray.part]]\nname = \"{name} part\"\nsolid = {{ size = {solid} }}\n"
        )
    };
    let head = "title = \"sizes\"\nbox.interior = [215, 90, 70]\nlayers.most = 1\n\
         stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n";
    let fixed = tray("fixed", "size = [60, 80, 20.5]\n", "[40, 60, 12]");
    let brief = format!(
        "{head}{fixed}{}{}",
        tray("tall", "", "[60, 70, 38]"),
        tray("upper", "use = \"always\"\n", "[60, 70, 15]")
    );
    let job = job::read(&brief, "b.toml", Format::Toml, None, &[]).unwrap();
    let outcome = solved(&job, 40_000);
    let plan = outcome.plan.unwrap_or_else(|| panic!("{:#?}", outcome.reasons));
    assert!(check(&job, &plan).is_empty());
    let tray = |name: &str| plan.settled.trays.iter().find(|t| t.name == name).unwrap();
    assert_eq!(tray("fixed").size.h, Length::um(20_500));
    assert_eq!(tray("fixed").layers, tray("tall").layers, "{:#?}", plan.settled.layers);
    assert!(tray("tall").size.h > Length::mm(38));
}

/// The scenario of tall, low, closed and swept trays shows them.
#[test]
fn the_rigging_loft_shows_what_it_says() {
    let (_, path) = briefs(&["easy"]).into_iter().find(|b| b.0 == "easy/rigging").unwrap();
    let job = scenarios::job(&path);
    let plan = solved(&job, 40_000).plan.unwrap();
    let tray = |name: &str| plan.settled.trays.iter().find(|t| t.name == name).unwrap();
    assert_eq!(tray("spars").layers.len(), 2, "the tall tray reaches through both layers");
    let pennants = tray("pennants");
    let top = plan.settled.layers[pennants.layers[0] - 1];
    assert!(pennants.at.z + pennants.size.h < top.bottom + top.height, "the low tray ends below its layer");
    assert!(tray("tar and pitch").lid > Length::ZERO, "the lid takes room");
    let blocks = tray("blocks");
    let low = blocks.dividers.iter().all(|d| d.at.z + d.size.h < blocks.at.z + blocks.size.h);
    assert!(low && blocks.dividers.len() >= 2, "dividers end below the walls");
}

/// A box kept on the floor reached through three layers, of which two held nothing else.
#[test]
fn no_two_layers_hold_the_same_bodies() {
    let brief = "unit = \"in\"\nbox = { interior = [\"11 3/4\", \"8 1/2\", 3], lid_room = \"1/16\" }\n\
        stock = { name = \"birch plywood\", thickness = \"1/8\" }\nkept = [{ name = \"ticket box\", size = [3, 2, 1.5] }]\n\
        [[tray]]\nname = \"cargo\"\nuse = \"always\"\npart = [{ name = \"sacks\", loose.volume = \"4 in3\" }, \
        { name = \"discs\", loose = { count = 60, form = \"disc\", piece = [\"7/8\", \"7/8\", \"1/16\"] } }]\n\
        [[tray]]\nname = \"decks\"\nuse = \"setup\"\n\
        part = [{ name = \"cards\", stack = { face = [2.5, 3.5], count = 54, each = \"0.3 mm\" } }]\n";
    let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
    let plan = solve(&job, &Options::default(), &mut |_| {}).plan.unwrap();
    assert_eq!(check(&job, &plan), []);
    let bodies = |l: usize| {
        let trays = plan.settled.trays.iter().map(|t| (&t.name, &t.layers));
        let kept = plan.settled.kept.iter().map(|k| (&k.name, &k.layers));
        trays
            .chain(kept)
            .filter(|(_, layers)| layers.contains(&l))
            .map(|(name, _)| name.clone())
            .collect::<Vec<_>>()
    };
    for l in 1..plan.settled.layers.len() {
        assert_ne!(bodies(l), bodies(l + 1), "layers {l} and {}", l + 1);
    }
}

//! Cover items that sink into the trays under them: what it gains, and what the checker says of those that may not.

use traywright::check::check;
use traywright::finding::Severity;
use traywright::job::Job;
use traywright::length::{Length, Volume};
use traywright::panel::{NotchFor, panels, prove};
use traywright::plan::{Options, Plan, solve};
use traywright_tests::scenarios::{briefs, job};

fn pilot() -> Job {
    let (_, path) = briefs(&["medium"]).into_iter().find(|b| b.0 == "medium/pilot").unwrap();
    job(&path)
}

fn solved(job: &Job) -> Option<Plan> {
    let mut options = Options::default();
    options.nodes = 40_000;
    solve(job, &options, &mut |_| {}).plan
}

#[test]
fn the_lid_closes_because_they_sink() {
    let job = pilot();
    let plan = solved(&job).unwrap();
    let layers: Length = plan.settled.layers.iter().map(|l| l.height).sum();
    for c in &plan.settled.cover {
        assert_eq!(c.at.z + c.size.h, layers, "{} is flush with the rims", c.name);
    }
    // Walls or dividers are lowered for them, to their underside and no lower.
    let made = panels(&job, &plan).unwrap();
    let mut lowered = 0;
    for tray in &made {
        prove(&job, &plan, tray).unwrap();
        lowered +=
            tray.panels.iter().flat_map(|p| &p.notches).filter(|n| n.purpose == NotchFor::Sunk).count();
    }
    assert!(lowered >= 2, "{lowered}");
    let mut without = job.clone();
    without.cover.iter_mut().for_each(|c| c.sink = false);
    assert!(solved(&without).is_none());
}

#[test]
fn with_height_enough_a_plan_is_no_worse_for_the_permission() {
    let mut job = pilot();
    job.container.interior.h = Length::mm(90);
    let with = solved(&job).unwrap();
    job.cover.iter_mut().for_each(|c| c.sink = false);
    let without = solved(&job).unwrap();
    assert!(with.objective_mm3.value <= without.objective_mm3.value);
    // Nothing that may sink makes a bound that what lies on top could beat.
    assert!(with.objective_mm3.bound <= with.objective_mm3.value.min(without.objective_mm3.value));
    assert!(with.objective_mm3.bound > Volume::ZERO);
}

fn codes(job: &Job, plan: &Plan) -> Vec<&'static str> {
    let mut all: Vec<_> =
        check(job, plan).into_iter().filter(|f| f.severity == Severity::Fault).map(|f| f.code).collect();
    all.sort_unstable();
    all.dedup();
    all
}

/// Each change of a valid plan or of its job, and a code that must be among the findings.
#[test]
fn the_checker_finds_what_does_not_sink_so() {
    let (job, plan) = (pilot(), solved(&pilot()).unwrap());
    assert_eq!(codes(&job, &plan), [""; 0]);
    type Change = fn(&mut Job, &mut Plan);
    let changes: [(&str, Change); 7] = [
        ("C044", |j, _| j.cover[0].sink = false),
        // A little lower than the rims.
        ("C044", |_, p| p.settled.cover[0].at.z -= Length::um(100)),
        ("C045", |j, p| {
            let under = p.settled.trays[0].name.clone();
            j.trays.iter_mut().filter(|t| t.name == under).for_each(|t| t.lid = true);
            p.settled.trays.iter_mut().for_each(|t| t.lid = j.floor);
        }),
        // Compartments that reach up to the rim under it.
        ("C063", |_, p| {
            for t in &mut p.settled.trays {
                let rim = t.at.z + t.size.h;
                t.compartments.iter_mut().for_each(|c| c.size.h = rim - c.at.z);
            }
        }),
        // Half out of the box.
        ("C041", |_, p| p.settled.cover[0].at.x = Length::mm(210)),
        ("C130", |_, p| p.settled.volumes_mm3.slack += Volume::from_nm3(1)),
        ("C102", |_, p| p.lifts.iter_mut().for_each(|l| l.first.clear())),
    ];
    for (i, (code, change)) in changes.into_iter().enumerate() {
        let (mut job, mut plan) = (job.clone(), plan.clone());
        change(&mut job, &mut plan);
        let found = codes(&job, &plan);
        assert!(found.contains(&code), "change {i}: {found:?}");
    }
}

/// A rod shorter than the least way between two walls lies on nothing.
#[test]
fn what_nothing_bears_does_not_sink() {
    let mut job = pilot();
    job.cover.retain(|c| c.name == "sounding rod");
    job.cover[0].size.w = Length::mm(12);
    job.cover[0].size.d = Length::mm(9);
    if let Some(mut plan) = solved(&job) {
        // Where it was given a place on a wall, in the middle of a compartment it has none.
        let room = plan
            .settled
            .trays
            .iter()
            .flat_map(|t| &t.compartments)
            .max_by_key(|c| c.size.footprint())
            .unwrap();
        let (x, y) = (room.at.x + room.size.w / 2, room.at.y + room.size.d / 2);
        let own = &mut plan.settled.cover[0];
        (own.at.x, own.at.y) = (x - own.size.w / 2, y - own.size.d / 2);
        assert!(codes(&job, &plan).contains(&"C090"));
    }
}

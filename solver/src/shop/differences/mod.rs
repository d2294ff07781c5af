//! Two plans beside each other: what moved, grew and shrank, and which panels must be cut again.
//!
//! Both are looked at as they are built, with the spare room shared out. A panel is cut again unless a panel of the old
//! plan has its very shape, whatever that is called.

mod shape;

use std::collections::{BTreeMap, BTreeSet};

use shape::Shape;

use crate::check::reckonable;
use crate::cut::ring::bounds;
use crate::draw::mark;
use crate::finding::Finding;
use crate::job::Job;
use crate::layout::build::copy_name;
use crate::length::{Length, Unit, Volume};
use crate::panel::{Mark, Panel, panels};
use crate::place::{Cuboid, Size};
use crate::plan::{Body, Fate, PlacedTray, Plan, compared};

/// What has become of something.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::{Became, differences}};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// assert_eq!(found.trays[0].became, Became::Afresh);
/// assert_eq!(between(&old, &old).trays[0].became, Became::Stays);
/// assert_eq!(serde_json::to_value(found.trays[0].became).unwrap(), "afresh");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Became {
    /// It is as it was, where it was.
    Stays,
    /// It is as it was, elsewhere.
    Moves,
    /// Its outside and its compartments are as they were, but some of its panels are not: a divider, a grip, a notch for
    /// fingers.
    Altered,
    /// It is of another size or otherwise divided.
    Afresh,
    /// It was not there before.
    Added,
    /// It is not there any more.
    Gone,
}

/// A tray of either plan.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan, shop::differences};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// let tray = &found.trays[0];
/// let (was, now) = (tray.old.unwrap(), tray.new.unwrap());
/// assert!(was.at == now.at && now.size.h - was.size.h == Length::mm(2));
/// assert_eq!((tray.nested, tray.new_layers.as_slice()), (false, &[1][..]));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrayChange {
    /// Its name, with the number of its copy where there are several; nested ones as `outer › inner`.
    pub tray: String,
    /// What has become of it.
    pub became: Became,
    /// It lies in another tray.
    pub nested: bool,
    /// Where it stood and how large it was.
    pub old: Option<Cuboid>,
    /// Where it stands and how large it is.
    pub new: Option<Cuboid>,
    /// Layers it reached through, from 1 at the floor.
    pub old_layers: Vec<usize>,
    /// Layers it reaches through.
    pub new_layers: Vec<usize>,
    /// Compartments of another size, and those that came or went.
    pub rooms: Vec<RoomChange>,
    /// The panels of the new tray.
    pub panels: Vec<PanelChange>,
}

/// A compartment that grew, shrank, came or went; clear room.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan, shop::differences};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// let room = &found.trays[0].rooms[0];
/// // Clear room: 3 mm of floor are not counted.
/// let heights = [room.old, room.new].map(|size| size.unwrap().h);
/// assert_eq!((room.part.as_str(), heights), ("mail", [37, 39].map(Length::mm)));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoomChange {
    /// The part it is for.
    pub part: String,
    /// Its size before.
    pub old: Option<Size>,
    /// Its size now.
    pub new: Option<Size>,
}

/// A panel of the new plan.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan, shop::{From, differences}};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// let wall = &found.trays[0].panels[1];
/// assert_eq!((wall.label.as_str(), wall.name.as_str()), ("A-B", "left wall"));
/// // As deep as the tray, and as high as it is now.
/// assert_eq!((wall.size.1, wall.thickness), (Length::mm(42), Length::mm(3)));
/// assert_eq!(wall.from, From::Cut);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PanelChange {
    /// Its label in cut lists of the new plan, such as `B-C`.
    pub label: String,
    /// What it is, such as "front wall".
    pub name: String,
    /// Width and depth of its outline.
    pub size: (Length, Length),
    /// Its thickness.
    pub thickness: Length,
    /// Where it comes from.
    pub from: From,
}

/// Where a panel of a new plan comes from.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::{From, differences}};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// let panels = &found.trays[0].panels;
/// // The floor of the old tray does, its walls are too low.
/// assert!(panels[0].from == From::Same && panels[1..].iter().all(|p| p.from == From::Cut));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum From {
    /// It is the very panel of the old tray.
    Same,
    /// A panel of the old plan of the same shape, which is called otherwise now: its old label, tray and name.
    Relabelled {
        /// Its label in cut lists of the old plan.
        label: String,
        /// Its old tray.
        tray: String,
        /// What it was.
        name: String,
    },
    /// It must be cut.
    Cut,
}

/// A panel of the old plan that nothing uses any more.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::differences};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// let names: Vec<&str> = found.left_over.iter().map(|panel| panel.name.as_str()).collect();
/// assert_eq!(names, ["left wall", "right wall", "back wall", "front wall"]);
/// assert_eq!(found.left_over[0].label, "A-B");
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOver {
    /// Its label in cut lists of the old plan.
    pub label: String,
    /// Its tray.
    pub tray: String,
    /// What it was.
    pub name: String,
}

/// A kept or cover item.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::{Became, differences}};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// let lamp = ("kept", "[{ name = \"lamp\", size = [20, 20, 20] }]");
/// let found = between(&solved(&[]), &solved(&[lamp]));
/// let body = &found.bodies[0];
/// assert_eq!((body.name.as_str(), body.became), ("lamp", Became::Added));
/// assert!(body.old.is_none() && body.new.is_some());
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BodyChange {
    /// Its name, with the number of its copy where there are several.
    pub name: String,
    /// What has become of it.
    pub became: Became,
    /// Where it was.
    pub old: Option<Cuboid>,
    /// Where it is.
    pub new: Option<Cuboid>,
}

/// Figures of one plan.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop::differences};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// let (was, now) = found.figures;
/// assert_eq!((was.panels, now.panels), (5, 5));
/// // The only tray takes all of the box, and leaves more of it empty.
/// assert_eq!(now.wasted, new.1.settled.volumes_mm3.wasted);
/// assert!(now.wasted > was.wasted);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PlanFigures {
    /// Waste and lifts of the tight plan.
    pub value: Volume,
    /// Waste of the plan as built.
    pub wasted: Volume,
    /// Spare room of the plan as built.
    pub spare: Volume,
    /// Panels in all.
    pub panels: usize,
}

/// Everything in which two plans differ.
///
/// ```
/// # use traywright::{brief::Format, job, length::Length, plan, shop::differences};
/// # let brief = r#"box.interior = [120, 90, 40]
/// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
/// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
/// # let solved = |changes: &[(&str, &str)]| {
/// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
/// #     let changes: Vec<_> = changes.iter().map(own).collect();
/// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
/// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// #     (job, plan)
/// # };
/// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
/// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
/// # };
/// // The same brief for a box that is 2 mm higher.
/// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
/// let found = between(&old, &new);
/// assert_eq!(found.interior.1.h - found.interior.0.h, Length::mm(2));
/// assert_eq!(found.heights, (vec![Length::mm(40)], vec![Length::mm(42)]));
/// ```
#[derive(Clone, Debug)]
pub struct Differences {
    /// Title of the new plan.
    pub title: String,
    /// Unit of the new brief.
    pub unit: Unit,
    /// Inside of the box, before and now.
    pub interior: (Size, Size),
    /// Heights of layers from the floor up, before and now.
    pub heights: (Vec<Length>, Vec<Length>),
    /// The old and the new plan.
    pub figures: (PlanFigures, PlanFigures),
    /// Trays in the order of the new plan, then those that are gone.
    pub trays: Vec<TrayChange>,
    /// Kept and cover items.
    pub bodies: Vec<BodyChange>,
    /// Panels of the old plan that nothing uses.
    pub left_over: Vec<LeftOver>,
}

impl Differences {
    /// Panels that must be cut.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan, shop::differences};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let solved = |changes: &[(&str, &str)]| {
    /// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
    /// #     let changes: Vec<_> = changes.iter().map(own).collect();
    /// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
    /// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
    /// #     (job, plan)
    /// # };
    /// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
    /// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
    /// # };
    /// // The same brief for a box that is 2 mm higher.
    /// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
    /// let found = between(&old, &new);
    /// let labels: Vec<&str> = found.to_cut().map(|(_, panel)| panel.label.as_str()).collect();
    /// assert_eq!(labels, ["A-B", "A-C", "A-D", "A-E"]); // the walls, not the floor
    /// ```
    pub fn to_cut(&self) -> impl Iterator<Item = (&TrayChange, &PanelChange)> {
        let all = self.trays.iter().flat_map(|t| t.panels.iter().map(move |p| (t, p)));
        all.filter(|(_, p)| p.from == From::Cut)
    }

    /// Whether there is nothing to tell.
    ///
    /// ```
    /// # use traywright::{brief::Format, job, plan, shop::differences};
    /// # let brief = r#"box.interior = [120, 90, 40]
    /// # stock = { name = "birch plywood", thickness = 3, process = "laser" }
    /// # part = [{ name = "mail", loose = { volume = "40 ml" } }]"#;
    /// # let solved = |changes: &[(&str, &str)]| {
    /// #     let own = |(key, value): &(&str, &str)| (key.to_string(), value.to_string());
    /// #     let changes: Vec<_> = changes.iter().map(own).collect();
    /// #     let job = job::read(brief, "b.toml", Format::Toml, None, &changes).unwrap();
    /// #     let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
    /// #     (job, plan)
    /// # };
    /// # let between = |old: &(job::Job, plan::Plan), new: &(job::Job, plan::Plan)| {
    /// #     differences((&old.0, &old.1), (&new.0, &new.1)).unwrap()
    /// # };
    /// // The same brief for a box that is 2 mm higher.
    /// let (old, new) = (solved(&[]), solved(&[("box.interior.height", "42")]));
    /// let found = between(&old, &new);
    /// assert!(between(&old, &old).is_nothing() && !found.is_nothing());
    /// ```
    pub fn is_nothing(&self) -> bool {
        self.trays.iter().all(|t| t.became == Became::Stays && t.panels.iter().all(|p| p.from == From::Same))
            && self.bodies.iter().all(|b| b.became == Became::Stays)
            && self.heights.0 == self.heights.1
            && self.interior.0 == self.interior.1
    }
}

/// Says that an older plan was made from another state of the brief than the one by which its panels are worked out.
///
/// ```
/// let told = traywright::shop::another_state("old.plan.json");
/// assert!(told.code == "P063" && told.cause.starts_with("old.plan.json was made"));
/// ```
pub fn another_state(plan: &str) -> Finding {
    let cause = format!(
        "{plan} was made from another state of the brief: its panels are worked out with the brief as it is now"
    );
    Finding::listed("P063", cause)
}

/// A tray with its panels.
struct Side<'a> {
    name: String,
    tray: &'a PlacedTray,
    nested: bool,
    panels: Vec<Piece<'a>>,
}

struct Piece<'a> {
    panel: &'a Panel,
    label: String,
    shape: Shape,
    taken: bool,
}

/// In what a new plan differs from an old one, each with the job it was made from.
///
/// ```
/// # use traywright::{brief::Format, job, plan, shop};
/// # let brief = "box.interior = [120, 90, 40]\nstock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// let none = shop::differences((&job, &plan), (&job, &plan)).unwrap();
/// assert!(none.is_nothing() && none.to_cut().next().is_none());
/// ```
///
/// # Errors
/// Plans whose numbers nobody can reckon with, and trays of either plan that cannot be made of panels.
pub fn differences(old: (&Job, &Plan), new: (&Job, &Plan)) -> Result<Differences, Vec<Finding>> {
    let faults: Vec<Finding> = [old, new].iter().flat_map(|(job, plan)| reckonable(job, plan)).collect();
    if !faults.is_empty() {
        return Err(faults);
    }
    let made = [panels(old.0, old.1)?, panels(new.0, new.1)?];
    let [mut was, now] = [(old, &made[0]), (new, &made[1])].map(|((job, plan), made)| {
        let mut sides = Vec::new();
        for tray in &plan.settled.trays {
            let count = plan.settled.trays.iter().filter(|t| t.name == tray.name).count();
            add(copy_name(&tray.name, tray.copy, count), tray, false, &mut sides);
        }
        for group in made {
            for &placed in &group.placed {
                let letter = mark(placed);
                let Some(side) = sides.get_mut(placed) else { continue };
                let pieces = group.panels.iter().map(|panel| Piece {
                    panel,
                    label: format!("{letter}-{}", panel.letter),
                    shape: Shape::of(job, panel),
                    taken: false,
                });
                side.panels = pieces.collect();
            }
        }
        sides
    });
    let figures = |plan: &Plan, sides: &[Side]| PlanFigures {
        value: plan.objective_mm3.value,
        wasted: plan.settled.volumes_mm3.wasted,
        spare: plan.settled.volumes_mm3.spare,
        panels: sides.iter().map(|s| s.panels.len()).sum(),
    };
    let heights = |plan: &Plan| plan.settled.layers.iter().map(|l| l.height).collect();
    let froms = origins(&mut was, &now);
    let mut trays: Vec<TrayChange> = now
        .iter()
        .zip(froms)
        .map(|(side, froms)| tray(was.iter().find(|w| w.name == side.name), Some(side), froms))
        .collect();
    let gone = was.iter().filter(|w| now.iter().all(|n| n.name != w.name));
    trays.extend(gone.map(|w| tray(Some(w), None, Vec::new())));
    let left = was.iter().flat_map(|side| {
        side.panels.iter().filter(|p| !p.taken).map(|p| LeftOver {
            label: p.label.clone(),
            tray: side.name.clone(),
            name: p.panel.name.clone(),
        })
    });
    Ok(Differences {
        title: new.1.title.clone(),
        unit: new.0.unit,
        interior: (old.0.container.interior, new.0.container.interior),
        heights: (heights(old.1), heights(new.1)),
        figures: (figures(old.1, &was), figures(new.1, &now)),
        left_over: left.collect(),
        bodies: bodies(old.1, new.1),
        trays,
    })
}

/// A tray and those that lie in it, in the order of [`crate::panel::trays()`].
fn add<'a>(name: String, tray: &'a PlacedTray, nested: bool, into: &mut Vec<Side<'a>>) {
    into.push(Side { name: name.clone(), tray, nested, panels: Vec::new() });
    for inner in tray.compartments.iter().filter_map(|c| c.tray.as_deref()) {
        add(format!("{name} › {}", inner.name), inner, true, into);
    }
}

/// Where each panel of the new trays comes from; takes what it uses of the old ones. The same tray's own panels go
/// first, those in the same place of it before others.
fn origins(was: &mut [Side], now: &[Side]) -> Vec<Vec<From>> {
    let mut out: Vec<Vec<Option<From>>> = now.iter().map(|side| vec![None; side.panels.len()]).collect();
    for (side, froms) in now.iter().zip(&mut out) {
        let Some(old) = was.iter_mut().find(|w| w.name == side.name) else { continue };
        for same_role in [true, false] {
            for (piece, from) in side.panels.iter().zip(froms.iter_mut()).filter(|(_, f)| f.is_none()) {
                let fits = |p: &&mut Piece| {
                    !p.taken && p.shape == piece.shape && (!same_role || p.panel.role == piece.panel.role)
                };
                if let Some(own) = old.panels.iter_mut().find(fits) {
                    own.taken = true;
                    *from = Some(called(&old.name, own, piece));
                }
            }
        }
    }
    // What is still wanted may lie among what other trays have left over.
    let mut free: BTreeMap<Shape, Vec<(usize, usize)>> = BTreeMap::new();
    for (s, side) in was.iter().enumerate().rev() {
        for (p, piece) in side.panels.iter().enumerate().rev().filter(|(_, p)| !p.taken) {
            free.entry(piece.shape.clone()).or_default().push((s, p));
        }
    }
    for (side, froms) in now.iter().zip(&mut out) {
        for (piece, from) in side.panels.iter().zip(froms.iter_mut()).filter(|(_, f)| f.is_none()) {
            let Some((s, p)) = free.get_mut(&piece.shape).and_then(Vec::pop) else { continue };
            let name = was[s].name.clone();
            let old = &mut was[s].panels[p];
            old.taken = true;
            *from = Some(called(&name, old, piece));
        }
    }
    out.into_iter().map(|froms| froms.into_iter().map(|f| f.unwrap_or(From::Cut)).collect()).collect()
}

/// Whether a panel is called what it was.
fn called(tray: &str, old: &Piece, new: &Piece) -> From {
    let texts = |marks: &[Mark]| marks.iter().map(|m| m.text.clone()).collect::<BTreeSet<_>>();
    let same = old.label == new.label
        && old.panel.name == new.panel.name
        && texts(&old.panel.marks) == texts(&new.panel.marks);
    if same {
        return From::Same;
    }
    From::Relabelled { label: old.label.clone(), tray: tray.to_owned(), name: old.panel.name.clone() }
}

fn tray(was: Option<&Side>, now: Option<&Side>, froms: Vec<From>) -> TrayChange {
    let cuboid = |s: &Side| Cuboid { at: s.tray.at, size: s.tray.size };
    let layers = |s: Option<&Side>| s.map_or_else(Vec::new, |s| s.tray.layers.clone());
    // Notches for fingers go by what lies in a tray: one of the same size may still need other panels.
    let other = froms.contains(&From::Cut);
    let became = match (was, now) {
        (Some(was), Some(now)) => match compared(was.tray, now.tray) {
            Fate::Stays if !other => Became::Stays,
            Fate::Moves if !other => Became::Moves,
            Fate::Stays | Fate::Moves | Fate::Altered => Became::Altered,
            Fate::Afresh => Became::Afresh,
        },
        (None, _) => Became::Added,
        (Some(_), None) => Became::Gone,
    };
    let panels = now.map_or_else(Vec::new, |now| {
        let change = |(piece, from): (&Piece, From)| {
            let (least, most) = bounds(&piece.panel.outline);
            PanelChange {
                label: piece.label.clone(),
                name: piece.panel.name.clone(),
                size: (most.x - least.x, most.y - least.y),
                thickness: piece.panel.thickness,
                from,
            }
        };
        now.panels.iter().zip(froms).map(change).collect()
    });
    TrayChange {
        tray: was.or(now).map_or_else(String::new, |s| s.name.clone()),
        became,
        nested: was.or(now).is_some_and(|s| s.nested),
        old: was.map(cuboid),
        new: now.map(cuboid),
        old_layers: layers(was),
        new_layers: layers(now),
        rooms: rooms(was, now),
        panels,
    }
}

/// Compartments of two trays that are not of one size.
fn rooms(was: Option<&Side>, now: Option<&Side>) -> Vec<RoomChange> {
    let sizes = |side: Option<&Side>| -> BTreeMap<String, Size> {
        side.iter().flat_map(|s| &s.tray.compartments).map(|c| (c.part.clone(), c.size)).collect()
    };
    let (was, now) = (sizes(was), sizes(now));
    if was.is_empty() || now.is_empty() {
        return Vec::new();
    }
    let parts: BTreeSet<&String> = was.keys().chain(now.keys()).collect();
    let change = |part: &&String| RoomChange {
        part: (*part).clone(),
        old: was.get(*part).copied(),
        new: now.get(*part).copied(),
    };
    parts.iter().map(change).filter(|r| r.old != r.new).collect()
}

/// The sides of a body however it stands.
fn sides(size: Size) -> [Length; 3] {
    let mut sides = [size.w, size.d, size.h];
    sides.sort();
    sides
}

fn bodies(old: &Plan, new: &Plan) -> Vec<BodyChange> {
    let all = |plan: &Plan| -> BTreeMap<(String, usize), Cuboid> {
        let list = plan.settled.kept.iter().chain(&plan.settled.cover);
        list.map(|b: &Body| ((b.name.clone(), b.copy), Cuboid { at: b.at, size: b.size })).collect()
    };
    let (was, now) = (all(old), all(new));
    let keys: BTreeSet<&(String, usize)> = was.keys().chain(now.keys()).collect();
    keys.into_iter()
        .map(|key| {
            let (old, new) = (was.get(key).copied(), now.get(key).copied());
            let became = match (old, new) {
                (None, _) => Became::Added,
                (_, None) => Became::Gone,
                (Some(a), Some(b)) if a == b => Became::Stays,
                (Some(a), Some(b)) if sides(a.size) == sides(b.size) => Became::Moves,
                _ => Became::Afresh,
            };
            let count = was.keys().chain(now.keys()).filter(|k| k.0 == key.0).map(|k| k.1).max().unwrap_or(1);
            BodyChange { name: copy_name(&key.0, key.1, count), became, old, new }
        })
        .collect()
}

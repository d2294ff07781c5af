//! The pieces of a tray: flat panels with their joints, as exact outlines and as solids in space.
//!
//! Outlines are nominal: what the finished piece measures. The width of the cut is allowed for in one named step,
//! [`crate::cut::kerf`], and nowhere else.

mod blank;
mod boards;
mod comb;
mod dividers;
mod make;
mod marks;
mod notch;
mod proof;
mod recess;
mod region;
mod shape;
mod shell;
mod size;
mod trays;

pub use proof::prove;
pub use shape::{Edge, Ring, Spot};
pub use trays::{Made, trays};

use crate::check::reckonable;
use crate::finding::Finding;
use crate::job::{Job, Joint};
use crate::length::{Length, Volume};
use crate::place::Point;
use crate::plan::Plan;

/// The panels of every tray of a checked plan, nested ones after the tray they lie in; trays that are cut alike are
/// listed once. [`prove()`] shows that they go together.
///
/// ```
/// # use traywright::{brief::Format, job, panel, plan};
/// let brief = "box.interior = [120, 90, 40]\n\
///     stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n\
///     [[tray]]\nname = \"sacks\"\n[[tray.part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// let job = job::read(brief, "brief.toml", Format::Toml, None, &[]).unwrap();
/// let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// let trays = panel::panels(&job, &plan).unwrap();
/// assert_eq!(trays[0].panels.len(), 5); // a floor and four walls
/// let proof = panel::prove(&job, &plan, &trays[0]).unwrap();
/// assert_eq!(proof.moves[0], panel::Axis::Down);
/// ```
///
/// # Errors
/// Every tray that cannot be made so, with the smallest change that mends it.
pub fn panels(job: &Job, plan: &Plan) -> Result<Vec<TrayPanels>, Vec<Finding>> {
    make::shared(job, &trays(job, plan))
}

/// What is worth knowing about the panels of a plan before they are cut, each once: walls without room for a notch, say.
/// Nothing where some tray cannot be made: [`panels`] says why.
///
/// ```
/// # use traywright::{brief::Format, job, panel, plan};
/// # let brief = "box.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n\
/// #     [[tray]]\nname = \"sacks\"\n[[tray.part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "brief.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// assert!(panel::notes(&job, &plan).is_empty());
/// // A wall that leaves no room inside is no tray, and that is not for notes.
/// let mut wrong = plan.clone();
/// wrong.settled.trays[0].wall = wrong.settled.trays[0].size.w;
/// assert!(panel::panels(&job, &wrong).is_err() && panel::notes(&job, &wrong).is_empty());
/// ```
pub fn notes(job: &Job, plan: &Plan) -> Vec<Finding> {
    // Numbers beyond all measure are the checker's to tell.
    if !reckonable(job, plan).is_empty() {
        return Vec::new();
    }
    let made = panels(job, plan).unwrap_or_default();
    let mut notes: Vec<Finding> = Vec::new();
    for note in made.into_iter().flat_map(|tray| tray.notes) {
        // Copies of a tray that differ a little lack the same.
        if !notes.contains(&note) {
            notes.push(note);
        }
    }
    notes
}

/// What a panel is in its tray.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[tray]]\nname = \"cargo\"\nlid = true\n\
/// #     [[tray.part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n\
/// #     [[tray.part]]\nname = \"lamp oil\"\nloose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel::{self, Role};
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let roles: Vec<Role> = made.panels.iter().map(|p| p.role).collect();
/// assert_eq!(roles[..2], [Role::Floor, Role::Divider(0)]);
/// assert_eq!(roles[2..], [Role::Left, Role::Right, Role::Back, Role::Front, Role::Lid]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The floor.
    Floor,
    /// The outer wall at the least depth.
    Front,
    /// The outer wall at the greatest depth.
    Back,
    /// The outer wall at the least width.
    Left,
    /// The outer wall at the greatest width.
    Right,
    /// A divider: index into the plan's list of the tray.
    Divider(usize),
    /// A lid: it seats on tabs of the walls and is lifted off again, so its slots always take the easy fit.
    Lid,
}

/// Which of a brief's stocks a panel is cut from.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[tray]]\nname = \"cargo\"\nlid = true\n\
/// #     [[tray.part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n\
/// #     [[tray.part]]\nname = \"lamp oil\"\nloose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel::{self, Cut};
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let names = |cut| made.panels.iter().filter(move |p| p.cut == cut).map(|p| &*p.name);
/// assert_eq!(names(Cut::Floor).collect::<Vec<_>>(), ["floor", "lid"]);
/// assert_eq!((names(Cut::Divider).count(), names(Cut::Body).count()), (1, 4));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cut {
    /// The stock of walls.
    Body,
    /// The stock of floors and lids.
    Floor,
    /// The stock of dividers.
    Divider,
}

/// How the sides of an opening or of a notch meet what goes into them.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[tray]]\nname = \"cargo\"\nlid = true\n\
/// #     [[tray.part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n\
/// #     [[tray.part]]\nname = \"lamp oil\"\nloose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{job::Joint, panel::{self, Meets}};
/// // A tab of the divider goes into the floor.
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// assert_eq!(made.panels[0].openings[0].meets, Meets::Panel(Joint::Tab));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meets {
    /// Nothing goes into it: a grip, a finger notch.
    Nothing,
    /// Another panel goes into it: the stock's fit for this joint (`finger`, `tab` or `halved`) applies, with a lid
    /// ([`Role::Lid`]) always an easy one.
    Panel(Joint),
}

/// A hole in a panel.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[tray]]\nname = \"cargo\"\nlid = true\n\
/// #     [[tray.part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n\
/// #     [[tray.part]]\nname = \"lamp oil\"\nloose = { volume = \"30 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::ring::bounds, panel};
/// // The slot in the floor is exactly as wide as the divider is thick: no cut is allowed for yet.
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let (least, most) = bounds(&made.panels[0].openings[0].ring);
/// assert_eq!((most.x - least.x).min(most.y - least.y), job.divider);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// Its rim, clockwise.
    pub ring: Ring,
    /// What goes into it.
    pub meets: Meets,
}

/// A place where a panel is cut only to a part of its thickness (a rebate).
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "box.interior = [120, 90, 40]\n\
/// #     stock = { name = \"greyboard\", thickness = 2, joint = \"rebate\" }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{length::Length, panel};
/// // Greyboard 2 mm thick with rebates: half a millimetre is left over the edge of the floor.
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let wall = &made.panels[1];
/// assert_eq!((wall.recesses[0].depth, wall.recesses[0].from_face), (Length::um(1_500), false));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recess {
    /// Its rim, counterclockwise, within the outline.
    pub ring: Ring,
    /// How deep it goes from the panel's good face (towards the pose's `-normal`) or from the back.
    pub depth: Length,
    /// Whether it is cut from the good face.
    pub from_face: bool,
}

/// One of the six directions along the axes of the box.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel::{self, Axis};
/// // The floor is laid down, the left wall is pushed to the right, the front wall to the back.
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let moves = panel::prove(&job, &plan, &made).unwrap().moves;
/// assert_eq!(moves, [Axis::Down, Axis::Right, Axis::Left, Axis::Front, Axis::Back]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Axis {
    /// Width, rising.
    Right,
    /// Width, falling.
    Left,
    /// Depth, rising.
    Back,
    /// Depth, falling.
    Front,
    /// Height, rising.
    Up,
    /// Height, falling.
    Down,
}

/// Where a panel is in its tray: a right-handed frame.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel::{self, Axis};
/// // Good faces look up and outward.
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let faces: Vec<Axis> = made.panels.iter().map(|p| p.pose.normal).collect();
/// assert_eq!(faces, [Axis::Up, Axis::Left, Axis::Right, Axis::Back, Axis::Front]);
/// // The left wall runs from back to front, seen from outside.
/// assert_eq!((made.panels[1].pose.x, made.panels[1].pose.y), (Axis::Front, Axis::Up));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pose {
    /// Where the panel's (0, 0) on its back face lies, in tray coordinates (the tray's outer left front bottom
    /// corner is the origin).
    pub origin: Point,
    /// Direction of the panel's x.
    pub x: Axis,
    /// Direction of the panel's y.
    pub y: Axis,
    /// Direction from the back face to the good face: x × y.
    pub normal: Axis,
}

/// One flat piece to cut.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{cut::ring::bounds, panel};
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let (floor, tray) = (&made.panels[0], &plan.settled.trays[0]);
/// assert_eq!((&*floor.letter, &*floor.name, floor.thickness), ("A", "floor", tray.floor));
/// let (_, far) = bounds(&floor.outline);
/// assert_eq!((far.x, far.y), (tray.size.w, tray.size.d)); // combs and all
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Panel {
    /// Letters that tell it from the other panels of its tray: `A`, `B`, … `AA`.
    pub letter: String,
    /// What it is, in words: "front wall".
    pub name: String,
    /// What it is.
    pub role: Role,
    /// What it is cut from.
    pub cut: Cut,
    /// Its thickness.
    pub thickness: Length,
    /// Its outer rim, counterclockwise seen on the good face.
    pub outline: Ring,
    /// Parts of the rim that another panel goes into (both sides of a slot open at the edge), as index of the edge of
    /// [`Panel::outline`], with the joint whose fit applies to them. Of two panels that interlock only one has them.
    pub fitted: Vec<(usize, Joint)>,
    /// Holes.
    pub openings: Vec<Opening>,
    /// Notches for fingers, which the outline follows.
    pub notches: Vec<Notch>,
    /// Places cut to a part of the thickness.
    pub recesses: Vec<Recess>,
    /// Where it is in the tray.
    pub pose: Pose,
    /// Names to engrave on the good face, where that is asked for.
    pub marks: Vec<Mark>,
}

/// What a notch is for.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel::{self, NotchFor};
/// // The tray is lifted by its left and its right wall.
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let purposes = |p: &panel::Panel| p.notches.iter().map(|n| n.purpose).collect::<Vec<_>>();
/// let all: Vec<Vec<NotchFor>> = made.panels.iter().map(purposes).collect();
/// assert_eq!(all, [vec![], vec![NotchFor::Grip], vec![NotchFor::Grip], vec![], vec![]]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotchFor {
    /// The tray is lifted by it.
    Grip,
    /// Something is taken out of a compartment.
    Finger,
    /// A cover item lies in it, sunk into the tray.
    Sunk,
}

/// A notch at the rim of a panel: no other panel goes into it.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{job::defaults::NOTCH_WIDTH, panel};
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let grip = made.panels[1].notches[0];
/// assert_eq!(grip.w, NOTCH_WIDTH);
/// assert_eq!(grip.at.y + grip.d, plan.settled.trays[0].size.h); // up to the rim
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Notch {
    /// Least corner of the rectangle that it takes from the panel; the lower corners of those for fingers are rounded
    /// within it.
    pub at: Spot,
    /// Its width.
    pub w: Length,
    /// How deep it goes from the rim.
    pub d: Length,
    /// What it is for.
    pub purpose: NotchFor,
}

/// A line of text that may be engraved on a panel's good face.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::{length::Length, panel};
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let (mark, room) = (&made.panels[0].marks[0], plan.settled.trays[0].compartments[0].size);
/// assert_eq!(mark.text, "mail"); // on the floor of its compartment
/// assert_eq!(mark.most, room.w - Length::mm(4)); // 2 mm are kept free at both ends
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    /// What it says.
    pub text: String,
    /// The middle of the line.
    pub middle: Spot,
    /// Height of a capital letter.
    pub height: Length,
    /// The line must not be longer than this.
    pub most: Length,
}

/// All panels of one tray of a plan.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[tray]]\nname = \"captain\"\ncount = 2\nsize = [55, 80, 30]\n\
/// #     [[tray.part]]\nname = \"mail\"\nloose = { volume = \"20 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel;
/// // Two captains' trays of one size are cut from the same drawings.
/// let all = panel::panels(&job, &plan).unwrap();
/// assert_eq!((all.len(), &*all[0].tray, all[0].copies), (1, "captain", 2));
/// assert_eq!((&all[0].placed[..], all[0].panels.len()), (&[0, 1][..], 5));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrayPanels {
    /// The tray's name, nested ones as `outer › inner`.
    pub tray: String,
    /// How many like trays of the plan are made of these panels.
    pub copies: usize,
    /// Which trays of the plan these are, as they are counted by [`trays()`].
    pub placed: Vec<usize>,
    /// The panels, in the order of assembly.
    pub panels: Vec<Panel>,
    /// What is worth knowing: joints that had to give way to glue, compartments that no notch opens.
    pub notes: Vec<Finding>,
}

/// What is proven about the panels of one tray, in exact integers.
///
/// ```
/// # use traywright::{brief::Format, job, plan};
/// # let brief = "title = \"Quay\"\nbox.interior = [120, 90, 40]\n\
/// #     stock = { name = \"birch plywood\", thickness = 3 }\n\
/// #     [[part]]\nname = \"mail\"\nloose = { volume = \"40 ml\" }\n";
/// # let job = job::read(brief, "b.toml", Format::Toml, None, &[]).unwrap();
/// # let plan = plan::solve(&job, &plan::Options::default(), &mut |_| {}).plan.unwrap();
/// use traywright::panel::{self, Cut};
/// let made = panel::panels(&job, &plan).unwrap().remove(0);
/// let proof = panel::prove(&job, &plan, &made).unwrap();
/// // Four corners, and every wall with the floor.
/// assert_eq!((proof.panels, proof.joints, proof.moves.len()), (5, 8, 5));
/// let [(Cut::Body, walls), (Cut::Floor, floor)] = proof.volumes[..] else { panic!("volumes") };
/// assert!(walls + floor < plan.settled.volumes_mm3.stock); // less what the grips take away
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    /// The tray's name.
    pub tray: String,
    /// How many panels it has.
    pub panels: usize,
    /// Pairs of panels that touch face to face.
    pub joints: usize,
    /// Slots that a tab (or a crossing divider) fills exactly: all of them.
    pub slots: usize,
    /// Volume of the panels by what they are cut from; the arcs of notches rounded down to whole nm².
    pub volumes: Vec<(Cut, Volume)>,
    /// How each panel comes into its place, in the order of the panels: the direction in which it is moved, past
    /// nothing that is already there.
    pub moves: Vec<Axis>,
}

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

/// What a panel is in its tray.
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cut {
    /// The stock of walls and lids.
    Body,
    /// The stock of floors.
    Floor,
    /// The stock of dividers.
    Divider,
}

/// How the sides of an opening or of a notch meet what goes into them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Meets {
    /// Nothing goes into it: a grip, a finger notch.
    Nothing,
    /// Another panel goes into it: the stock's fit for this joint (`finger`, `tab` or `halved`) applies, with a lid
    /// ([`Role::Lid`]) always an easy one.
    Panel(Joint),
}

/// A hole in a panel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// Its rim, clockwise.
    pub ring: Ring,
    /// What goes into it.
    pub meets: Meets,
}

/// A place where a panel is cut only to a part of its thickness (a rebate).
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

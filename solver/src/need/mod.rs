//! From contents to the least inner room they require.
//!
//! A [`Need`] lists every way of standing as an [`Alternative`]; each is a function of the clear
//! height under the rim. Everything is exact; a need is never smaller than the contents require:
//! whatever must be rounded is rounded up, and irrational factors (π, 2/√3, sines) stand as whole
//! fractions on the safe side.
//!
//! [`of`] gives the need of loose, stacked and solid contents, [`findings`] what is doubtful about
//! them, [`more`](fn@more) how many more would go into a given room.

mod angle;
mod findings;
mod limits;
pub mod loose;
mod more;
pub mod paper;
mod pareto;
pub(crate) mod porosity;
mod solid;
mod stack;
#[cfg(test)]
mod tests;

use crate::job::{self, Contents, Stand};
use crate::length::{Area, LONGEST, Length, Volume};

pub use findings::findings;
pub use limits::{MOST_BODIES, MOST_PIECES, MOST_PILES, MOST_SIDE};
pub use more::more;
use stack::pieces;

/// The need of a part's contents.
///
/// No alternative is listed for a small tray, whose need the tray room works out from its own
/// compartments, and where the contents have no known size or none of the allowed ways of standing
/// suits them: then [`findings`] holds a fault that says what is missing.
///
/// ```
/// use traywright::job::{Contents, Face, Part, Stack, Stand};
/// use traywright::length::Length;
/// use traywright::need;
/// let deck = Part {
///     name: "weather cards".into(),
///     contents: Contents::Stack(Stack {
///         face: Face::Rectangle(Length::um(63_500), Length::um(88_900)),
///         count: Some(54),
///         each: Some(Length::um(300)),
///         height: None,
///         sleeve: None,
///         stand: vec![Stand::Flat],
///         piles: 1,
///         least_lean: 60,
///         spare_count: 0,
///         ease: Length::ZERO,
///         browse: 0,
///         finger: Length::ZERO,
///     }),
///     mass: None,
/// };
/// let need = need::of(&deck);
/// assert_eq!(need.alternatives[0].space.least_height(), Length::um(16_200)); // 54 × 0.3 mm
/// ```
pub fn of(part: &job::Part) -> Need {
    let need = match &part.contents {
        contents if limits::beyond(contents).is_some() => None,
        Contents::Loose(loose) => loose::need(loose),
        Contents::Stack(stack) => stack::need(stack),
        Contents::Solid(solid) => Some(solid::need(solid)),
        Contents::Tray(_) => None,
    };
    let mut need = need.unwrap_or_else(|| Need::plain(Vec::new()));
    need.alternatives = pareto::undominated(need.alternatives);
    need
}

/// What one part needs.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::need;
/// let need = |tray: usize, part: usize| need::of(&job.trays[tray].parts[part]);
/// assert_eq!(need(0, 0).contents.show_ml(), "60.0 ml"); // the sacks, as they were poured
/// // Discs are counted and their volume is an estimate; the stack was measured.
/// assert!(need(0, 1).estimate && !need(1, 0).estimate);
/// ```
#[derive(Clone, Debug)]
pub struct Need {
    /// Volume of the contents alone: bulk volume of loose parts, face × thickness of stacks,
    /// bounding volume of solids, however they stand; without wanted spare room.
    pub contents: Volume,
    /// Every way of standing that is worth listing; empty where there is none.
    pub alternatives: Vec<Alternative>,
    /// Set where no measured volume or height was given and the size rests on an estimate.
    pub estimate: bool,
    /// In which units slack is told, and how much room one more of them takes.
    pub more: More,
}

impl Need {
    /// A need of contents of no volume, of which never more go in: a start for tests and examples.
    ///
    /// ```
    /// use traywright::length::{Length, Volume};
    /// use traywright::need::{Alternative, Need, Space, Standing, more};
    /// let [w, d, h] = [20, 20, 30].map(Length::mm);
    /// let space = Space::Fixed { w, d, h };
    /// let standing = Standing::Block(1, 1, 1);
    /// let lantern = Alternative { standing, piles: 1, space, turnable: true };
    /// let need = Need::plain(vec![lantern.clone()]);
    /// assert_eq!(need.contents, Volume::ZERO);
    /// assert_eq!(more(&need, &lantern, w * 5, d * 5, h * 5, false), 0);
    /// ```
    pub fn plain(alternatives: Vec<Alternative>) -> Need {
        let more = More { of: "pieces".into(), step: MoreStep::Nothing };
        Need { contents: Volume::ZERO, alternatives, estimate: false, more }
    }
}

/// The part's own terms, in which [`more`](fn@more) counts.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::need;
/// let of = |tray: usize, part: usize| need::of(&job.trays[tray].parts[part]).more.of;
/// assert_eq!([of(0, 0), of(0, 1), of(1, 1)], ["ml", "pieces", "bodies"]);
/// assert_eq!(of(1, 0), "mm of stack"); // how thick one card is nobody knows
/// ```
#[derive(Clone, Debug)]
pub struct More {
    /// Such as "sleeved pieces", "pieces", "bodies", "ml".
    pub of: String,
    /// What one more of them takes.
    pub(crate) step: MoreStep,
}

/// What one more of a part takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum MoreStep {
    /// Bulk volume of one more piece or millilitre (loose).
    Bulk {
        /// Bulk volume of one.
        one: Volume,
        /// Bulk volume that the need holds, wanted spare room included.
        held: Volume,
        /// How full a compartment may be, in thousandths.
        level: i64,
    },
    /// Thickness in a pile or row (stacks).
    Piece(Pieces),
    /// A place in a block (solids).
    Body {
        /// Bodies that the need holds, wanted spare ones included.
        held: i64,
        /// Ease in each horizontal direction.
        ease: Length,
        /// May they lie one on another?
        pile: bool,
    },
    /// Nothing more ever goes in.
    Nothing,
}

/// How thick any number of a stack's pieces is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pieces {
    /// Thickness of `of` pieces together.
    pub(crate) height: Length,
    /// How many pieces that is.
    pub(crate) of: i64,
    /// Pieces that the need holds, wanted spare ones included.
    pub(crate) held: i64,
    /// Browsing room along a row, in thousandths of its length.
    pub(crate) browse: i64,
    /// Pieces that make one of the part's own terms: 1, or a million where the pieces are not known
    /// and the stack counts as slices of a nanometre told in millimetres.
    pub(crate) term: i64,
}

/// One way of standing.
///
/// ```
/// # let starter_with = |key: &str, value: &str| {
/// #     use traywright::{brief::{Format, Starter, starter}, job};
/// #     let change = [(key.to_owned(), value.to_owned())];
/// #     job::read(starter(Starter::Brief), "b.toml", Format::Toml, None, &change).unwrap()
/// # };
/// use traywright::{job::Stand, need::{self, Standing}};
/// let cards = "{ face = [44, 68], count = 50, each = 0.3, stand = [\"flat\"], piles = 2 }";
/// let job = starter_with("part.weather cards.stack", cards);
/// let ways = need::of(&job.trays[1].parts[0]).alternatives;
/// assert!(ways.iter().all(|a| a.standing == Standing::Stacked(Stand::Flat, 90) && a.turnable));
/// // Two piles side by side are half as high.
/// let height = |piles| ways.iter().find(|a| a.piles == piles).unwrap().space.least_height();
/// assert_eq!(height(1), height(2) * 2);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Alternative {
    /// How the contents stand.
    pub standing: Standing,
    /// Piles or rows side by side (1 is usual).
    pub piles: i64,
    /// The room it takes.
    pub space: Space,
    /// May the room be turned by 90° about the vertical?
    pub turnable: bool,
}

/// How contents stand.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::need::{self, Standing};
/// assert_eq!(need::of(&job.trays[0].parts[0]).alternatives[0].standing, Standing::Poured);
/// let blocks = need::of(&job.trays[1].parts[1]).alternatives;
/// assert!(blocks.iter().all(|a| match a.standing {
///     Standing::Block(nx, ny, nz) => nx * ny * nz >= 6 && nz == 1, // six that must not pile
///     _ => false,
/// }));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Poured.
    Poured,
    /// A stack in this way; the lean angle in whole degrees for [`Stand::Lean`], 90 otherwise.
    Stacked(Stand, i64),
    /// A block of nx × ny × nz bodies.
    Block(i64, i64, i64),
    /// A small tray.
    Tray,
}

/// The room that an alternative takes, as a function of the clear height `u`.
///
/// ```
/// use traywright::{length::{Length, Unit, parse_volume}, need::Space};
/// let [w, d, h] = [40, 30, 20].map(Length::mm);
/// let volume = parse_volume("24 ml", Unit::Millimetre).unwrap();
/// let soft = Space::Soft { volume, side: h, long: h, h: Length::mm(5) };
/// assert!(soft.fits(w, d, h, false) && soft.fits(w * 2, d, h / 2, false)); // any shape
/// let fixed = Space::Fixed { w, d, h };
/// assert!(fixed.fits(w, d, h, false) && !fixed.fits(w * 2, d, h / 2, false));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Space {
    /// Width, depth and height (a row, a pile, a block).
    Fixed {
        /// Along x before turning.
        w: Length,
        /// Along y before turning.
        d: Length,
        /// Least clear height.
        h: Length,
    },
    /// Any w, d with `w·d·u ≥ volume`, `min(w, d) ≥ side`, `max(w, d) ≥ long`, `u ≥ h`.
    Soft {
        /// Contents (with wanted spare room) divided by the level, rounded up.
        volume: Volume,
        /// Neither side may be less.
        side: Length,
        /// The longer side may not be less.
        long: Length,
        /// Least clear height.
        h: Length,
    },
}

impl Space {
    /// Least clear height at which this room can be had at all.
    ///
    /// ```
    /// use traywright::{length::{Length, Volume}, need::Space};
    /// let [w, d, h] = [40, 30, 20].map(Length::mm);
    /// assert_eq!(Space::Fixed { w, d, h }.least_height(), h);
    /// assert_eq!(Space::Soft { volume: Volume::ZERO, side: d, long: w, h }.least_height(), h);
    /// ```
    pub fn least_height(&self) -> Length {
        match *self {
            Space::Fixed { h, .. } | Space::Soft { h, .. } => h,
        }
    }

    /// Whether a clear room of this size serves, turned or not as `turned` says.
    ///
    /// ```
    /// use traywright::{length::Length, need::Space};
    /// let [w, d, h] = [40, 30, 20].map(Length::mm);
    /// let berth = Space::Fixed { w, d, h };
    /// assert!(berth.fits(w, d, h, false) && !berth.fits(w, d, h, true));
    /// assert!(berth.fits(d, w, h, true));
    /// assert!(!berth.fits(w, d, h - Length::from_nm(1), false));
    /// ```
    pub fn fits(&self, w: Length, d: Length, u: Length, turned: bool) -> bool {
        let (w, d) = if turned { (d, w) } else { (w, d) };
        match *self {
            Space::Fixed { w: fw, d: fd, h } => w >= fw && d >= fd && u >= h,
            Space::Soft { volume, side, long, h } => {
                // No room is longer, and three such lengths still multiply safely.
                let [w, d, u] = [w, d, u].map(|side| side.clamp(Length::ZERO, LONGEST));
                u >= h && w.min(d) >= side && w.max(d) >= long && w * d * u >= volume
            }
        }
    }

    /// The volume of the need itself, for the account: what of a compartment is not slack.
    ///
    /// ```
    /// use traywright::{length::{Length, Unit, parse_volume}, need::Space};
    /// let [w, d, h] = [40, 30, 20].map(Length::mm);
    /// assert_eq!(Space::Fixed { w, d, h }.volume().show_ml(), "24.0 ml");
    /// let volume = parse_volume("50 ml", Unit::Millimetre).unwrap();
    /// assert_eq!(Space::Soft { volume, side: d, long: w, h }.volume(), volume);
    /// ```
    pub fn volume(&self) -> Volume {
        match *self {
            Space::Fixed { w, d, h } => w * d * h,
            Space::Soft { volume, .. } => volume,
        }
    }
}

/// The least area of floor that any alternative takes at clear height `u`; `None` where none stands.
///
/// A bound for searches that do not walk every arrangement.
pub(crate) fn least_area(need: &Need, u: Length) -> Option<Area> {
    need.alternatives
        .iter()
        .filter(|a| u > Length::ZERO && a.space.least_height() <= u)
        .map(|a| match a.space {
            Space::Fixed { w, d, .. } => w * d,
            Space::Soft { volume, side, long, .. } => volume.over_up(u).max(side * side.max(long)),
        })
        .min()
}

/// `a / b` rounded up; `b` positive.
const fn div_up(a: i128, b: i128) -> i128 {
    -((-a).div_euclid(b))
}

/// A length of that many nanometres; `None` beyond [`LONGEST`].
fn length(nm: i128) -> Option<Length> {
    i64::try_from(nm).ok().map(Length::from_nm).filter(|l| *l <= LONGEST)
}

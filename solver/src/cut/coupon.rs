//! Test coupons: a small piece of a stock that measures the width of its cut and which fit suits.
//!
//! The ladder: a window in a frame, and in it so many lines across that everything within falls out as loose strips.
//! Pushed together they leave a gap of one full cut width for every cut along the row: gap ÷ cuts is the full width
//! (common practice, no source). It is drawn without any allowance, as its lines are what is measured.
//!
//! The comb: slots open at the edge, wider by 0.05 mm from one to the next (steps of 0.04 mm were enough to feel in
//! published trials; facts D14), with the allowance of the stock. An offcut of the same sheet is pushed in.

use super::kerf::moved;
use super::ring::carried;
use super::stroke::strokes_of;
use super::{CutSheet, Line, Operation, Path};
use crate::job::Stock;
use crate::length::Length;
use crate::panel::{Edge, Ring, Spot};

/// From one slot of the comb to the next.
pub const STEP: Length = Length::um(50);
/// Slots to either side of one as wide as the sheet is thick.
const EITHER_SIDE: i64 = 4;
/// Height of the numbers at the slots, and room between two of them.
const LETTERS: Length = Length::um(3_600);
const APART: Length = Length::um(2_500);
/// Loose strips of the ladder, and their width.
const STRIPS: i64 = 9;
const STRIP: Length = Length::mm(5);
/// Depth of the window.
const WINDOW: Length = Length::mm(14);
/// Least material between and around.
const WEB: Length = Length::mm(5);

/// A coupon with what its parts mean.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{cut::coupon, length::Length};
/// let coupon = coupon::coupon(&job.stock).unwrap();
/// assert_eq!((coupon.fits.first(), coupon.fits.len()), (Some(&Length::um(-200)), 9));
/// assert_eq!(coupon.fits[4], Length::ZERO); // as wide as the sheet is thick
/// assert_eq!(coupon.full_width(Length::mm(2)), Some(Length::um(200))); // ten cuts in a row
/// ```
#[derive(Clone, Debug)]
pub struct Coupon {
    /// The stock that it is cut from.
    pub stock: Stock,
    /// Its lines, on a piece of this size.
    pub sheet: CutSheet,
    /// How much wider than the sheet each slot is when it is cut, from the left.
    pub fits: Vec<Length>,
    /// Cuts along the row of the ladder; `None` where the cut removes nothing, so that there is no ladder.
    pub cuts: Option<i64>,
}

impl Coupon {
    /// The full width of the cut that a gap means.
    ///
    /// ```
    /// use traywright::cut::coupon::full_width;
    /// use traywright::length::Length;
    /// // Ten cuts along the row leave 2.0 mm: the cut is 0.2 mm wide, full width.
    /// assert_eq!(full_width(Length::mm(2), 10), Length::um(200));
    /// ```
    pub fn full_width(&self, gap: Length) -> Option<Length> {
        self.cuts.map(|cuts| full_width(gap, cuts))
    }
}

/// The full width of the cut from the gap that so many cuts leave.
///
/// ```
/// use traywright::{cut::coupon::full_width, length::Length};
/// assert_eq!(full_width(Length::um(1_850), 10), Length::um(185));
/// ```
pub fn full_width(gap: Length, cuts: i64) -> Length {
    gap / cuts.max(1)
}

/// The coupon of a stock; `None` where the cut is so wide that none of its slots can be cut.
///
/// ```
/// # use traywright::{brief::{Format, Starter, starter}, job};
/// # let starter = starter(Starter::Brief);
/// # let job = job::read(starter, "b.toml", Format::Toml, None, &[]).unwrap();
/// use traywright::{cut::coupon::coupon, job::Stock, length::Length};
/// let with = |cut_width| coupon(&Stock { cut_width, ..job.stock.clone() });
/// assert_eq!(with(Length::um(200)).unwrap().cuts, Some(10));
/// assert_eq!(with(Length::ZERO).unwrap().cuts, None); // a knife's: no ladder
/// assert!(with(job.stock.thickness + Length::um(200)).is_none());
/// ```
pub fn coupon(stock: &Stock) -> Option<Coupon> {
    let (t, cut) = (stock.thickness, stock.cut_width);
    let half = cut / 2;
    // Slots so narrow that the cut swallows them are left out.
    let fits: Vec<Length> = (-EITHER_SIDE..=EITHER_SIDE)
        .map(|k| STEP * k)
        .filter(|fit| t + *fit - cut >= Length::um(100))
        .collect();
    if fits.is_empty() {
        return None;
    }
    let margin = stock.margin.max(half).max(Length::mm(1));
    let web = WEB.max(t * 2);
    let deep = (t * 4).max(Length::mm(10));
    let count = fits.len() as i64;
    let comb = web + (t + web) * count;
    let ladder = STRIP * STRIPS + web * 2;
    let with_ladder = cut > Length::ZERO;
    let wide = if with_ladder { comb.max(ladder) } else { comb };
    let letters = Length::mm(8);
    let below = if with_ladder { WINDOW + web * 2 } else { web };
    let tall = below + letters + deep;
    let corner = Spot { x: margin, y: margin };
    let mut lines = Vec::new();
    // Outline with the comb at the back edge.
    let left = (wide - comb) / 2 + web;
    let at = |x: Length, y: Length| Edge::Line(corner + Spot { x, y });
    let mut edges = vec![at(wide, Length::ZERO), at(wide, tall)];
    let mut by = vec![half; 2];
    for (k, fit) in (1..=count).zip(fits.iter().rev()).map(|(k, fit)| (count - k, fit)) {
        let (a, b) = (left + (t + web) * k, left + (t + web) * k + t);
        for (x, y, moves) in [
            (b, tall, half),
            (b, tall - deep, half - *fit / 2),
            (a, tall - deep, half),
            (a, tall, half - *fit / 2),
        ] {
            edges.push(at(x, y));
            by.push(moves);
        }
    }
    edges.extend([at(Length::ZERO, tall), at(Length::ZERO, Length::ZERO)]);
    by.extend([half; 2]);
    let outline = moved(&Ring { edges }, &by)?;
    for (k, fit) in (0..).zip(&fits) {
        let middle = corner + Spot { x: left + (t + web) * k + t / 2, y: below + letters / 2 };
        let hundredths = fit.nm() / 10_000;
        let text = if hundredths > 0 { format!("+{hundredths}") } else { hundredths.to_string() };
        for stroke in strokes_of(&text, middle, LETTERS, t + web - APART) {
            lines.push(Line { operation: Operation::Engrave, item: None, path: Path::Open(stroke) });
        }
    }
    let cuts = with_ladder.then(|| {
        let x = corner.x + (wide - STRIP * STRIPS) / 2;
        let y = corner.y + web;
        let window = carried(&Ring::rectangle(x, y, STRIP * STRIPS, WINDOW), true, |p| p);
        // The strips are parted while the window still holds them.
        for k in 1..STRIPS {
            let ends = [y, y + WINDOW].map(|y| Spot { x: x + STRIP * k, y });
            lines.push(Line { operation: Operation::Opening, item: None, path: Path::Open(ends.to_vec()) });
        }
        lines.push(Line { operation: Operation::Opening, item: None, path: Path::Closed(window) });
        // Lines between strips, and both ends of the window.
        STRIPS - 1 + 2
    });
    lines.push(Line { operation: Operation::Outline, item: None, path: Path::Closed(outline) });
    let sheet = CutSheet {
        number: 1,
        w: wide + margin * 2,
        d: tall + margin * 2,
        placed: Vec::new(),
        lines,
        cuts: Vec::new(),
        offcut: None,
    };
    Some(Coupon { stock: stock.clone(), sheet, fits, cuts })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cut::ring::bounds;
    use crate::cut::tests::job_of;

    fn ply(more: &str) -> Stock {
        job_of(&format!("{{ name = \"birch plywood\", thickness = 3, process = \"laser\"{more} }}")).stock
    }

    /// The gap that a laser of a given true width would leave, worked out from the lines themselves: the window grows by
    /// one width, every strip shrinks by one.
    #[test]
    fn the_gap_of_the_ladder_is_one_width_a_cut() {
        let coupon = coupon(&ply(", cut_width = 0.2")).unwrap();
        let openings: Vec<&Line> = coupon.sheet.of(Operation::Opening).collect();
        let lines: Vec<Length> = openings
            .iter()
            .filter_map(|l| match &l.path {
                Path::Open(points) => Some(points[0].x),
                Path::Closed(_) => None,
            })
            .collect();
        let Path::Closed(window) = &openings.last().unwrap().path else { panic!() };
        let (least, most) = bounds(window);
        let true_width = Length::um(230);
        let inner = most.x - least.x + true_width;
        let mut edges = vec![least.x];
        edges.extend(lines);
        edges.push(most.x);
        let strips: Length = edges.windows(2).map(|w| w[1] - w[0] - true_width).sum();
        assert_eq!(coupon.full_width(inner - strips), Some(true_width));
        assert_eq!(coupon.cuts, Some(10));
    }

    #[test]
    fn slots_step_by_a_twentieth_of_a_millimetre_and_allow_for_the_cut() {
        let coupon = coupon(&ply(", cut_width = 0.2")).unwrap();
        assert_eq!(coupon.fits.first(), Some(&Length::um(-200)));
        assert_eq!(coupon.fits.last(), Some(&Length::um(200)));
        let Path::Closed(ring) = &coupon.sheet.of(Operation::Outline).next().unwrap().path else { panic!() };
        // Bottoms of the slots run to the left, the last slot first.
        let bottoms: Vec<Length> = ring
            .spans()
            .filter(|(from, e)| e.to().y == from.y && e.to().x < from.x && from.x - e.to().x < Length::mm(4))
            .map(|(from, e)| from.x - e.to().x)
            .collect();
        let wanted: Vec<Length> = coupon.fits.iter().rev().map(|f| Length::um(2_800) + *f).collect();
        assert_eq!(bottoms, wanted);
    }

    #[test]
    fn thin_sheets_and_knives_get_what_can_be_cut() {
        let knife = job_of("{ name = \"greyboard\", thickness = 2, process = \"knife\" }").stock;
        assert_eq!(coupon(&knife).unwrap().cuts, None);
        let thin = coupon(&ply(", cut_width = 2.9")).unwrap();
        assert_eq!(thin.fits.first(), Some(&Length::ZERO));
        assert!(coupon(&ply(", cut_width = 3.2")).is_none());
    }
}

//! Numbers beside a picture for what is too small to hold one, with a thin line to it.

use super::label::{LEAST, LINE, RISE, width};
use super::palette::{EDGE, INK};
use super::svg::{Anchor, Area, Ink, Svg};

/// Height of a row of callouts.
const ROW: f64 = LEAST * LINE + 0.4;

/// From the picture's edge to the text.
const REACH: f64 = 3.0;

/// One callout: what it points at, and its text.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    pub(super) at: (f64, f64),
    pub(super) text: String,
}

/// What callouts take beside a picture: left, right, and the y of the lowest.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Margins {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

/// Places for things of given extents as near as possible to where they want to begin, in this order,
/// none overlapping, from 0 to `room` (or beyond, where they are too many).
pub(super) fn spread(wanted: &[(f64, f64)], room: f64) -> Vec<f64> {
    let mut places: Vec<f64> = Vec::with_capacity(wanted.len());
    let mut free = 0.0f64;
    for (at, extent) in wanted {
        let at = at.max(free);
        places.push(at);
        free = at + extent;
    }
    // What hangs over the end moves back as far as there is room.
    let mut end = room.max(wanted.iter().map(|w| w.1).sum());
    for (at, (_, extent)) in places.iter_mut().zip(wanted).rev() {
        *at = at.min(end - extent);
        end = *at;
    }
    places
}

/// Draws callouts left and right of a picture that fills `frame`.
pub(super) fn draw(svg: &mut Svg, frame: Area, callouts: &[Callout]) -> Margins {
    let mut margins = Margins { bottom: frame.bottom(), ..Margins::default() };
    let (cx, _) = frame.middle();
    for left in [true, false] {
        let mut side: Vec<&Callout> = callouts.iter().filter(|c| (c.at.0 < cx) == left).collect();
        side.sort_by(|a, b| a.at.1.total_cmp(&b.at.1));
        let wanted: Vec<(f64, f64)> = side.iter().map(|c| (c.at.1 - frame.y - ROW / 2.0, ROW)).collect();
        let widest = side.iter().map(|c| width(&c.text, LEAST, false)).fold(0.0, f64::max);
        for (c, y) in side.iter().zip(spread(&wanted, frame.h)) {
            let y = frame.y + y;
            let (edge, text, anchor) = if left {
                (frame.x - REACH, frame.x - REACH - 0.5, Anchor::End)
            } else {
                (frame.right() + REACH, frame.right() + REACH + 0.5, Anchor::Start)
            };
            let middle = y + ROW / 2.0;
            for (colour, thick) in [("#fff", 0.5), (EDGE, 0.16)] {
                let style = format!("stroke=\"{colour}\" stroke-width=\"{thick}\"");
                svg.line(c.at, (edge, middle), &style);
            }
            svg.circle(c.at, 0.4, &format!("fill=\"{EDGE}\""));
            let room =
                if left { Area::new(text - widest, y, widest, ROW) } else { Area::new(text, y, widest, ROW) };
            let ink = Ink { size: LEAST, fill: INK, bold: false };
            svg.text((text, y + 0.2 + LEAST * RISE), anchor, ink, room, &c.text);
            margins.bottom = margins.bottom.max(y + ROW);
        }
        if !side.is_empty() {
            let take = REACH + 0.5 + widest + 0.5;
            if left { margins.left = take } else { margins.right = take }
        }
    }
    margins
}

#[cfg(test)]
mod tests {
    use super::spread;

    #[test]
    fn rows_keep_their_order_and_never_overlap() {
        assert_eq!(spread(&[(0.0, 2.0), (1.0, 2.0), (9.5, 2.0)], 10.0), [0.0, 2.0, 8.0]);
        // More than there is room for: they run on below.
        assert_eq!(spread(&[(5.0, 4.0), (5.0, 4.0), (5.0, 4.0)], 10.0), [0.0, 4.0, 8.0]);
        assert_eq!(spread(&[], 10.0), Vec::<f64>::new());
    }
}

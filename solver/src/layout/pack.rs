//! Exact packing of one layer: rectangles with alternative outlines, blocked places and gaps.

/// A rectangle in grid steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rect {
    /// Left edge.
    pub x: i64,
    /// Front edge.
    pub y: i64,
    /// Width.
    pub w: i64,
    /// Depth.
    pub d: i64,
}

impl Rect {
    /// Whether the two share area.
    pub fn overlaps(&self, o: &Rect) -> bool {
        self.x < o.x + o.w && o.x < self.x + self.w && self.y < o.y + o.d && o.y < self.y + self.d
    }

    /// Whether the two come closer than `gap` in both directions.
    pub fn nearer(&self, o: &Rect, gap: i64) -> bool {
        self.x < o.x + o.w + gap
            && o.x < self.x + self.w + gap
            && self.y < o.y + o.d + gap
            && o.y < self.y + self.d + gap
    }
}

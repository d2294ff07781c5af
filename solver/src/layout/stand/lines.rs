//! Lines that an edge of a body may lie on, and the places that they make.

use super::super::decode::gap;
use super::super::instance::HeldAt;
use super::Stand;
use super::parts::Seat;

/// Places of an outline against sides and neighbours that are tried, and others.
const PUSHED: usize = 24;
const OTHERS: usize = 24;

/// Buffers.
#[derive(Default)]
pub(super) struct Lines {
    xs: Vec<i64>,
    ys: Vec<i64>,
    pub(super) places: Vec<(i64, i64)>,
}

impl Lines {
    /// Places worth trying for an outline: pushed against sides and neighbours, and, above the floor, lined up with what
    /// lies below.
    pub(super) fn places(&mut self, stand: &mut Stand, at: usize, seat: &Seat) {
        let Lines { xs, ys, places } = self;
        let (xs, ys) = (xs, ys);
        places.clear();
        let Some(part) = stand.parts.get(at) else { return };
        if let HeldAt::Point(x, y, _) = seat.taken.held {
            places.push((x, y));
            return;
        }
        let now = part.now.filter(|n| n.0 == seat.taken.choice).map(|n| (n.1, n.2));
        places.extend(now);
        if part.stays {
            return;
        }
        let (w, d, kept) = (seat.taken.size.w, seat.taken.size.d, seat.taken.kept);
        let i = stand.instance;
        let s = if kept { 0 } else { i.side };
        let (far_x, far_y) = (i.width - s - w, i.depth - s - d);
        if far_x < s || far_y < s {
            places.clear();
            return;
        }
        xs.clear();
        ys.clear();
        xs.extend([s, far_x]);
        ys.extend([s, far_y]);
        for o in stand.standing.iter().filter(|o| o.from < part.to && part.from < o.to) {
            let g = gap(i, o.kept, kept);
            xs.extend([o.rect.x + o.rect.w + g, o.rect.x - g - w]);
            ys.extend([o.rect.y + o.rect.d + g, o.rect.y - g - d]);
        }
        for (_, b) in i.blocked.iter().filter(|(l, _)| !kept && (part.from..part.to).contains(l)) {
            xs.extend([b.x + b.w, b.x - w]);
            ys.extend([b.y + b.d, b.y - d]);
        }
        tidy(xs, 0, (s, far_x));
        tidy(ys, 0, (s, far_y));
        let (many_x, many_y) = (xs.len(), ys.len());
        if many_x * many_y <= PUSHED {
            places.extend(xs.iter().flat_map(|x| ys.iter().map(move |y| (*x, *y))));
        } else {
            for _ in 0..PUSHED {
                let (a, b) = (stand.random.below(many_x), stand.random.below(many_y));
                places.push((xs[a], ys[b]));
            }
        }
        if part.from == 0 {
            return;
        }
        for o in stand.standing.iter().filter(|o| o.top <= part.bottom) {
            let r = &o.rect;
            if o.top == part.bottom {
                xs.extend([r.x, r.x + r.w - w]);
                ys.extend([r.y, r.y + r.d - d]);
            }
            // Right beside it, so that neither waits for the other.
            if o.weight > 0 {
                xs.extend([r.x + r.w, r.x - w]);
                ys.extend([r.y + r.d, r.y - d]);
            }
        }
        if let Some(rims) = &i.rims {
            let size = stand.footing.size(rims, part.body, &seat.taken);
            let step = rims.per_step.max(1);
            for p in stand.footing.under(part.from) {
                xs.extend(reaching(p.x, p.w, size.0, step));
                ys.extend(reaching(p.y, p.d, size.1, step));
            }
        }
        tidy(xs, many_x, (s, far_x));
        tidy(ys, many_y, (s, far_y));
        for _ in 0..OTHERS {
            let (a, b) = (stand.random.below(xs.len()), stand.random.below(ys.len()));
            places.push((xs[a], ys[b]));
        }
    }
}

/// Places at which an outer quarter of a body just reaches what bears, from either side of it.
fn reaching(at: i64, long: i64, size: i64, step: i64) -> [i64; 4] {
    let quarter = size / 4;
    // The last whole step before, and the first one after, a body that no longer reaches.
    let below = |end: i64| (end - 1).div_euclid(step);
    let above = |end: i64| end.div_euclid(step) + 1;
    [below(at + long), above(at - quarter), above(at - size), below(at + long - size + quarter)]
}

/// Sorts lines from `from` on, without those out of range or twice there.
fn tidy(lines: &mut Vec<i64>, from: usize, (least, most): (i64, i64)) {
    let mut kept = from;
    if let Some(tail) = lines.get_mut(from..) {
        tail.sort_unstable();
    }
    for n in from..lines.len() {
        let line = lines[n];
        if (least..=most).contains(&line) && (kept == from || lines[kept - 1] != line) {
            lines[kept] = line;
            kept += 1;
        }
    }
    lines.truncate(kept);
}

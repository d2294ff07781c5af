//! Moves that give room: the box, the sheet, the clearance, the layers, limits that the maker set.

use super::{Move, Step, share};
use crate::job::outline::on_sheets;
use crate::job::{HeightRule, Job, Sheet, Source, StockRow, read_list};
use crate::length::{Length, Unit};
use crate::shop::amount::ruler;
use crate::shop::written::{heights, length, side};

/// A side of the box is made larger by half at most: beyond that it is another box.
const MOST_SIDE: i64 = 2;
/// Thinnest sheet that walls are made of (common practice, no source); half of what it is where that is less.
const THINNEST: Length = Length::mm(1);
/// Least play with which a tray still lifts out (common practice, no source).
const LEAST_PLAY: Length = Length::um(200);

/// The box higher, wider, deeper.
pub(super) fn sides(job: &Job) -> Vec<Move> {
    let step = ruler(job.unit);
    let inside = job.container.interior;
    let all = [
        ("box higher", "height", inside.h),
        ("box wider", "width", inside.w),
        ("box deeper", "depth", inside.d),
    ];
    let one = |(kind, name, of): (&'static str, &'static str, Length)| {
        let job = job.clone();
        let unit = job.unit;
        Move::new(kind, kind, (of / MOST_SIDE).nm() / step.nm(), move |k| Step {
            changes: vec![side(&job, name, step * k)],
            to: (of + step * k).show(unit),
            from: of.show(unit),
            size: share(step * k, of),
        })
        .map(Move::paired)
    };
    all.into_iter().filter_map(one).collect()
}

/// Less kept free under the lid.
pub(super) fn lid_room(job: &Job) -> Option<Move> {
    let (step, unit, room) = (ruler(job.unit), job.unit, job.container.lid_room);
    let height = job.container.interior.h;
    Move::new("less room under the lid", "lid room", room.steps_up(step), move |k| {
        let left = (room - step * k).max(Length::ZERO);
        Step {
            changes: vec![("box.lid_room".to_owned(), length(left, unit))],
            to: left.show(unit),
            from: room.show(unit),
            size: share(room - left, height),
        }
    })
    .map(Move::paired)
}

/// A step of thicknesses and clearances, which calipers show: a tenth of a millimetre, or five thousandths of an inch.
fn calipers(unit: Unit) -> Length {
    match unit {
        Unit::Millimetre | Unit::Centimetre => Length::um(100),
        Unit::Inch => Length::um(127),
    }
}

/// The brief's stock list, where its stock is one of that.
fn same_list(job: &Job, source: &Source) -> Vec<StockRow> {
    let listed = source.stock_list.as_ref().and_then(|(name, text)| read_list(name, text).ok());
    listed.filter(|list| list.iter().any(|row| row.id == job.stock.id)).unwrap_or_default()
}

/// Thinner sheet: the thinner rows of the brief's stock list, or a thinner sheet of the brief's own.
pub(super) fn stocks(job: &Job, source: &Source) -> Vec<Move> {
    let (unit, wall) = (job.unit, job.stock.thickness);
    let of_list = same_list(job, source);
    if !of_list.is_empty() {
        let thinner = of_list.into_iter().filter(|row| row.stock.thickness < wall);
        let one = |row: StockRow| {
            let words = |name: &str, of: Length| format!("{name} of {}", of.show(unit));
            Move::once(
                "thinner stock",
                format!("stock {}", row.id),
                vec![("stock".to_owned(), row.id.clone())],
                (
                    words(&job.stock.name, wall),
                    format!("{} ({})", words(&row.stock.name, row.stock.thickness), row.id),
                ),
                share(wall - row.stock.thickness, wall),
            )
            .map(Move::paired)
        };
        return thinner.filter_map(one).collect();
    }
    let thinner = |kind: &'static str, key: &'static str, from: Length, pairs: bool| {
        let (least, step) = (THINNEST.min(from / 2), calipers(unit));
        let mut made = Move::new(kind, "stock", (from - least).nm() / step.nm(), move |k| Step {
            changes: vec![(key.to_owned(), length(from - step * k, unit))],
            to: (from - step * k).show(unit),
            from: from.show(unit),
            size: share(step * k, from),
        })?;
        made.pairs = pairs;
        Some(made)
    };
    let mut all = vec![thinner("thinner stock", "stock.thickness", wall, true)];
    if job.floor_stock.is_none() {
        all.push(thinner("thinner floors", "stock.floor", job.floor, false));
    }
    if job.divider_stock.is_none() {
        all.push(thinner("thinner dividers", "stock.divider", job.divider, false));
    }
    all.into_iter().flatten().collect()
}

/// Thinner clearance, both kinds by the same.
pub(super) fn clearance(job: &Job) -> Option<Move> {
    let (between, side, unit) = (job.container.between, job.container.side, job.unit);
    let (most, step) = (between.max(side), calipers(unit));
    Move::new("thinner clearance", "clearance", (most - LEAST_PLAY).nm() / step.nm(), move |k| {
        let less = |play: Length| (play - step * k).max(LEAST_PLAY.min(play));
        let words = |b: Length, s: Length| {
            if b == s {
                b.show(unit)
            } else {
                format!("{} between, {} at the sides", b.show(unit), s.show(unit))
            }
        };
        let value =
            format!("{{ between = {}, side = {} }}", length(less(between), unit), length(less(side), unit));
        Step {
            changes: vec![("box.clearance".to_owned(), value)],
            to: words(less(between), less(side)),
            from: words(between, side),
            size: share(step * k, most),
        }
    })
    .map(Move::paired)
}

/// A larger sheet beside those that the brief names, where they keep trays small.
pub(super) fn sheets(job: &Job, source: &Source) -> Option<Move> {
    let stock = &job.stock;
    if !same_list(job, source).is_empty() || job.floor_stock.is_some() || on_sheets(job).is_none() {
        return None;
    }
    let (unit, inside, step) = (job.unit, job.container.interior, ruler(job.unit) * 10);
    let named = stock.sheets.clone();
    let largest = named.iter().max_by_key(|s| (s.size.w.min(s.size.d), s.size.w.max(s.size.d)))?.clone();
    let (w, d) = (largest.size.w, largest.size.d);
    let lost = stock.margin * 2 + stock.cut_width;
    let most = (inside.w.max(inside.d) + lost - w.min(d)).steps_up(step);
    let text = move |s: &Sheet| {
        let price = s.price_hundredths.map_or(String::new(), |p| format!(", {}.{:02}", p / 100, p % 100));
        format!("[{}, {}{price}]", length(s.size.w, unit), length(s.size.d, unit))
    };
    let words = move |w: Length, d: Length| format!("{} × {}", w.show_number(unit), d.show(unit));
    Move::new("larger sheets", "sheets", most, move |k| {
        let mut grown = largest.clone();
        (grown.size.w, grown.size.d) = (w + step * k, d + step * k);
        let all: Vec<String> = named.iter().chain([&grown]).map(text).collect();
        Step {
            changes: vec![("stock.sheets".to_owned(), format!("[{}]", all.join(", ")))],
            to: words(grown.size.w, grown.size.d),
            from: words(w, d),
            size: share(step * k, w.max(d)),
        }
    })
}

/// One more layer; given heights left open, or one fewer of them.
pub(super) fn layers(job: &Job) -> Vec<Move> {
    let (most, given) = (job.layers.most, &job.layers.heights);
    let plural = |n: usize| if n == 1 { "at most 1 layer".to_owned() } else { format!("at most {n} layers") };
    let mut all = vec![
        Move::once(
            "one more layer",
            "layers",
            vec![("layers.most".to_owned(), (most + 1).to_string())],
            (plural(most), plural(most + 1)),
            1_000_000 / i64::try_from(most).unwrap_or(1).max(1),
        )
        .filter(|_| most < 20)
        .map(Move::paired),
    ];
    let size = 1_000_000 / i64::try_from(given.len()).unwrap_or(1).max(1);
    let rule = |rule: &HeightRule| match *rule {
        HeightRule::Open => "open".to_owned(),
        HeightRule::Fixed(h) => h.show(job.unit),
        HeightRule::Range(a, b) => format!("{} to {}", a.show(job.unit), b.show(job.unit)),
    };
    for (i, old) in given.iter().enumerate() {
        let from = format!("{} high", rule(old));
        if *old != HeightRule::Open {
            let mut open = given.clone();
            open[i] = HeightRule::Open;
            let changes = vec![heights(&open, job.unit)];
            let about = format!("layer {}", i + 1);
            all.push(Move::once("of open height", about, changes, (from.clone(), "of open height"), size));
        }
        if given.len() > 1 || most > 1 {
            let mut fewer = given.clone();
            fewer.remove(i);
            let changes = vec![heights(&fewer, job.unit)];
            let to = "left to the program";
            all.push(Move::once("one layer fewer", format!("layer {}", i + 1), changes, (from, to), size));
        }
    }
    all.into_iter().flatten().collect()
}

/// Limits that the maker set, widened.
pub(super) fn wishes(job: &Job) -> Vec<Move> {
    let mut all = Vec::new();
    let unit = job.unit;
    if let Some((w, d)) = job.wishes.largest_tray {
        let (inside, step) = (job.container.interior, ruler(unit) * 10);
        let (long, short) = (w.max(d), w.min(d));
        let most = (inside.w.max(inside.d) - short).steps_up(step);
        let words = move |w: Length, d: Length| format!("{} × {}", w.show_number(unit), d.show(unit));
        all.push(Move::new("larger tray allowed", "largest tray", most, move |k| {
            let (w, d) = (w + step * k, d + step * k);
            Step {
                changes: vec![(
                    "wishes.largest_tray".to_owned(),
                    format!("[{}, {}]", length(w, unit), length(d, unit)),
                )],
                to: words(w, d),
                from: words(w - step * k, d - step * k),
                size: share(step * k, long),
            }
        }));
    }
    if let Some(mass) = job.wishes.most_mass {
        // A tenth at a time, up to twice the mass.
        let tenth = (mass / 10 / 1000).max(1) * 1000;
        let grams = |mass: i64| format!("{} g", (mass + 999) / 1000);
        all.push(Move::new("heavier tray allowed", "most mass", 10, move |k| Step {
            changes: vec![("wishes.most_mass".to_owned(), grams(mass + tenth * k))],
            to: grams(mass + tenth * k),
            from: grams(mass),
            size: tenth * k * 1_000_000 / mass.max(1),
        }));
    }
    if job.container.on_side {
        let changes = vec![("box.stored".to_owned(), "flat".to_owned())];
        all.push(Move::once("kept flat", "box", changes, ("on its side", "flat"), 1_000_000));
    }
    all.into_iter().flatten().collect()
}

//! Values made of several lengths, and values that may be written in more than one way.

use super::form::{Form, Key, Read, TableForm, table, words};
use super::reader::{At, Field, Path, Reader};
use super::sources::Spot;
use super::tree::{Node, Value};
use super::value::{Measure, Play, Price, Thousandths, Whole, Words};
use crate::job::defaults::{EASY_FIT, PRESS_FIT};
use crate::job::{Face, Stand};
use crate::length::{Length, Volume, parse_length};
use crate::place::{Point, Size};

/// Readings of one measure that are kept apart: more than this is a table of readings, not a brief.
const MOST_READINGS: usize = 50;

/// A list whose entries are all of one form, read one by one so that every wrong entry is found.
fn entries<T: Read>(
    node: &Node,
    path: &Path,
    reader: &mut Reader<'_>,
    count: std::ops::RangeInclusive<usize>,
    wanted: &str,
) -> Option<Vec<T>> {
    let Value::List(list) = &node.value else {
        reader.wrong_kind(node, path, wanted);
        return None;
    };
    if !count.contains(&list.len()) {
        let cause = match list.len() {
            1 => format!("{wanted} is wanted, but here stands one entry"),
            n => format!("{wanted} is wanted, but here stand {n} entries"),
        };
        let commas = reader.sources.quote(node.span);
        if super::number::has_decimal_comma(commas) {
            let hint = "Write a point in decimals (63.5, not 63,5): a comma begins the next entry.";
            reader.report_with("B014", node.span, path.text(), cause, hint);
        } else {
            reader.report("B014", node.span, path.text(), cause);
        }
        return None;
    }
    let all: Vec<Option<T>> = list.iter().map(|item| T::read(item, path, reader)).collect();
    all.into_iter().collect()
}

/// Width, depth and height: `[w, d, h]`, or `{ width = …, depth = …, height = … }`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Triple<T>(pub(crate) [T; 3]);

/// Width and depth: `[w, d]`, or `{ width = …, depth = … }`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pair<T>(pub(crate) [T; 2]);

trait Sided: Read {
    const TRIPLE: &'static [Key] = &[
        Key { name: "width", about: "From left to right.", needed: true, form: Self::form },
        Key { name: "depth", about: "From front to back.", needed: true, form: Self::form },
        Key { name: "height", about: "Upwards.", needed: true, form: Self::form },
    ];
    const PAIR: &'static [Key] = &[
        Key { name: "width", about: "From left to right.", needed: true, form: Self::form },
        Key { name: "depth", about: "From front to back.", needed: true, form: Self::form },
    ];
    const NAMES: [&'static str; 2];
}

impl Sided for Measure {
    const NAMES: [&'static str; 2] = ["width, depth and height", "width and depth"];
}
impl Sided for Readings {
    const NAMES: [&'static str; 2] = ["readings of width, depth and height", "readings of width and depth"];
}

/// The sides of a list or of a table with named sides.
fn sides<T: Read>(
    node: &Node,
    path: &Path,
    reader: &mut Reader<'_>,
    keys: &'static [Key],
    what: &str,
) -> Option<Vec<T>> {
    if !matches!(node.value, Value::Table(_)) {
        let wanted = format!("a list of {what}");
        return entries(node, path, reader, keys.len()..=keys.len(), &wanted);
    }
    let table = reader.table(node, path, keys, &format!("the table of {what}"))?;
    let all: Vec<Option<T>> =
        keys.iter().map(|k| table.get(k.name).and_then(|n| T::read(n, &path.key(k.name), reader))).collect();
    all.into_iter().collect()
}

fn sided_form<T: Read>(name: &'static str, keys: fn() -> &'static [Key]) -> Form {
    let tuple = keys().iter().map(|_| T::form()).collect();
    let about = "The same with named sides.";
    Form::Either(vec![Form::Tuple(tuple), Form::Table(TableForm { name, about, keys })])
}

impl Read for Triple<Measure> {
    fn form() -> Form {
        sided_form::<Measure>("size", || Measure::TRIPLE)
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let all = sides(node, path, reader, Measure::TRIPLE, Measure::NAMES[0])?;
        <[Measure; 3]>::try_from(all).ok().map(Triple)
    }
}

impl Triple<Measure> {
    pub(crate) fn size(self) -> Size {
        let [w, d, h] = self.0;
        Size { w: w.0, d: d.0, h: h.0 }
    }
}

impl Read for Triple<Readings> {
    fn form() -> Form {
        sided_form::<Readings>("interior", || Readings::TRIPLE)
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let all = sides(node, path, reader, Readings::TRIPLE, Readings::NAMES[0])?;
        <[Readings; 3]>::try_from(all).ok().map(Triple)
    }
}

impl Read for Pair<Measure> {
    fn form() -> Form {
        sided_form::<Measure>("footprint", || Measure::PAIR)
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let all = sides(node, path, reader, Measure::PAIR, Measure::NAMES[1])?;
        <[Measure; 2]>::try_from(all).ok().map(Pair)
    }
}

/// A place `[x, y, z]`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Corner(pub(crate) Point);

impl Read for Corner {
    fn form() -> Form {
        Form::Tuple(vec![Form::Length, Form::Length, Form::Length])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let all: Vec<Play> = entries(node, path, reader, 3..=3, "a list of x, y and z")?;
        let [x, y, z] = <[Play; 3]>::try_from(all).ok()?;
        Some(Corner(Point { x: x.0, y: y.0, z: z.0 }))
    }
}

/// One measure, or several readings of it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Readings {
    pub(crate) least: Length,
    pub(crate) greatest: Length,
}

impl Read for Readings {
    fn form() -> Form {
        Form::Either(vec![Form::Length, Form::List(Box::new(Form::Length), 1, MOST_READINGS)])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        if !matches!(node.value, Value::List(_)) {
            let one = Measure::read(node, path, reader)?.0;
            return Some(Readings { least: one, greatest: one });
        }
        let all: Vec<Measure> = entries(node, path, reader, 1..=MOST_READINGS, "a list of readings")?;
        let least = all.iter().map(|m| m.0).min()?;
        let greatest = all.iter().map(|m| m.0).max()?;
        Some(Readings { least, greatest })
    }
}

table! {
    /// Play that lets trays lift out.
    struct ClearanceKeys is "clearance" {
        /// Between two trays, and between a tray and a kept item.
        between: Play;
        /// Between a tray and a side of the box.
        side: Play;
    }
}

/// One clearance for both kinds, or each by itself.
#[derive(Clone, Debug)]
pub(crate) enum Clearance {
    Both(Length),
    Each(ClearanceKeys),
}

impl Read for Clearance {
    fn form() -> Form {
        Form::Either(vec![Form::Length, ClearanceKeys::form()])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match node.value {
            Value::Table(_) => ClearanceKeys::read(node, path, reader).map(Clearance::Each),
            _ => Play::read(node, path, reader).map(|p| Clearance::Both(p.0)),
        }
    }
}

table! {
    /// Bounds of a layer's outer height.
    struct RangeKeys is "range" {
        /// Not lower than this.
        least: Play, needed;
        /// Not higher than this.
        most: Measure, needed;
    }
}

/// What outer height a layer may have.
#[derive(Clone, Debug)]
pub(crate) enum HeightEntry {
    Open,
    Range(Box<RangeKeys>),
    Fixed(Length),
}

impl Read for HeightEntry {
    fn form() -> Form {
        Form::Either(vec![Form::Words(&[("open", "Any height.")]), Form::Length, RangeKeys::form()])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match &node.value {
            Value::Text(t) if t.trim() == "open" => Some(HeightEntry::Open),
            Value::Table(_) => RangeKeys::read(node, path, reader).map(Box::new).map(HeightEntry::Range),
            _ => Measure::read(node, path, reader).map(|m| HeightEntry::Fixed(m.0)),
        }
    }
}

table! {
    /// Face of a piece, named by its form.
    struct FaceKeys is "face" {
        /// Rectangle: from left to right.
        width: Measure;
        /// Rectangle: from front to back.
        depth: Measure;
        /// Hexagon: width over the flats.
        hexagon: Measure;
        /// Disc: diameter.
        disc: Measure;
    }
}

impl Read for Face {
    fn form() -> Form {
        Form::Either(vec![Form::Tuple(vec![Form::Length, Form::Length]), FaceKeys::form()])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let wanted = "a face ([width, depth], { disc = … } or { hexagon = … })";
        match &node.value {
            Value::List(_) => {
                let all: Vec<Measure> = entries(node, path, reader, 2..=2, "a list of width and depth")?;
                let [w, d] = <[Measure; 2]>::try_from(all).ok()?;
                Some(Face::Rectangle(w.0, d.0))
            }
            Value::Table(_) => {
                let keys = FaceKeys::read(node, path, reader)?;
                let bad = [&keys.width, &keys.depth, &keys.hexagon, &keys.disc].iter().any(|f| f.is_bad());
                let given = |f: &Field<Measure>| f.copied().map(|m| m.0);
                match (given(&keys.width), given(&keys.depth), given(&keys.hexagon), given(&keys.disc)) {
                    _ if bad => None,
                    (Some(w), Some(d), None, None) => Some(Face::Rectangle(w, d)),
                    (None, None, Some(over_flats), None) => Some(Face::Hexagon(over_flats)),
                    (None, None, None, Some(diameter)) => Some(Face::Disc(diameter)),
                    _ => {
                        reader.report("B028", node.span, path.text(), "this is not one whole face");
                        None
                    }
                }
            }
            _ => {
                reader.wrong_kind(node, path, wanted);
                None
            }
        }
    }
}

words! { Stand, "a way of standing" {
    "flat" => Stand::Flat, "Pieces lie flat, one on another.";
    "long-edge" => Stand::LongEdge, "A row on the long edges.";
    "short-edge" => Stand::ShortEdge, "A row on the short edges.";
    "roll" => Stand::Roll, "Discs or hexagons on edge in a trough.";
    "lean" => Stand::Lean, "A row that leans where the room is lower than the edge.";
} }

/// Ways of standing: a list, or one alone.
#[derive(Clone, Debug)]
pub(crate) struct Stands(pub(crate) Vec<At<Stand>>);

impl Read for Stands {
    fn form() -> Form {
        Form::Either(vec![Form::List(Box::new(Stand::form()), 1, 5), Stand::form()])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let list = match &node.value {
            Value::List(list) if list.is_empty() => {
                reader.report("B014", node.span, path.text(), "an empty list allows no way of standing");
                return None;
            }
            Value::List(list) => list.as_slice(),
            _ => std::slice::from_ref(node),
        };
        let all: Vec<Option<At<Stand>>> = list
            .iter()
            .map(|item| {
                let spot = Spot { span: item.span, path: path.text().to_owned() };
                Stand::read(item, path, reader).map(|value| At { value, spot })
            })
            .collect();
        all.into_iter().collect::<Option<Vec<_>>>().map(Stands)
    }
}

/// Packing fraction, loosest and densest, in thousandths.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Packing(pub(crate) i64, pub(crate) i64);

impl Read for Packing {
    fn form() -> Form {
        let one = || Thousandths::<10, 1000>::form();
        Form::Either(vec![one(), Form::Tuple(vec![one(), one()])])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        if !matches!(node.value, Value::List(_)) {
            return Thousandths::<10, 1000>::read(node, path, reader).map(|t| Packing(t.0, t.0));
        }
        let wanted = "a list of the loosest and the densest packing fraction";
        let all: Vec<Thousandths<10, 1000>> = entries(node, path, reader, 2..=2, wanted)?;
        let [loose, dense] = <[Thousandths<10, 1000>; 2]>::try_from(all).ok()?;
        Some(Packing(loose.0, dense.0))
    }
}

/// Room for more: a count of pieces, or a volume.
#[derive(Clone, Copy, Debug)]
pub(crate) enum SpareRoom {
    Pieces(i64),
    Volume(Volume),
}

/// Pieces of one part; more of them are weighed or measured, not counted.
pub(crate) type Count = Whole<1, 1_000_000>;

impl Read for SpareRoom {
    fn form() -> Form {
        Form::Either(vec![Form::Whole(0, 1_000_000), Form::Volume])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match &node.value {
            Value::Text(t) if super::number::plain(t).is_err() => {
                Volume::read(node, path, reader).map(SpareRoom::Volume)
            }
            _ => Whole::<0, 1_000_000>::read(node, path, reader).map(|n| SpareRoom::Pieces(n.0)),
        }
    }
}

table! {
    /// Where a body must stay: in a layer or at a place.
    struct HeldKeys is "held" {
        /// Its least corner `[x, y, z]` in the box: from the left, from the front, from the floor.
        at: Corner;
        /// The layer in which it stands, counted from the floor, from 1.
        layer: Whole<1, 100>;
    }
}

/// One sheet: width, depth and, where known, its price.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SheetEntry {
    pub(crate) width: Length,
    pub(crate) depth: Length,
    pub(crate) price_hundredths: Option<i64>,
}

impl Read for SheetEntry {
    fn form() -> Form {
        Form::Either(vec![
            Form::Tuple(vec![Form::Length, Form::Length]),
            Form::Tuple(vec![Form::Length, Form::Length, Price::form()]),
        ])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let wanted = "a sheet ([width, depth] or [width, depth, price])";
        let Value::List(list) = &node.value else {
            reader.wrong_kind(node, path, wanted);
            return None;
        };
        let (Some(w), Some(d), true) = (list.first(), list.get(1), list.len() <= 3) else {
            let cause = format!("{wanted} is wanted, but here stand {} entries", list.len());
            reader.report("B014", node.span, path.text(), cause);
            return None;
        };
        let w = Measure::read(w, path, reader);
        let d = Measure::read(d, path, reader);
        let price_hundredths = match list.get(2) {
            Some(price) => Some(Price::read(price, path, reader)?.0),
            None => None,
        };
        Some(SheetEntry { width: w?.0, depth: d?.0, price_hundredths })
    }
}

/// Another stock for floors or dividers: a thickness, or an identifier in the stock list.
#[derive(Clone, Debug)]
pub(crate) enum OtherStock {
    Thickness(Length),
    Id(String),
}

impl Read for OtherStock {
    fn form() -> Form {
        Form::Either(vec![Form::Length, Form::Text])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match &node.value {
            // An identifier may begin with a digit, so only what reads as a length is a thickness.
            Value::Text(t)
                if parse_length(t, reader.unit).is_err() && !super::number::has_decimal_comma(t) =>
            {
                Words::read(node, path, reader).map(|w| OtherStock::Id(w.0))
            }
            _ => Measure::read(node, path, reader).map(|m| OtherStock::Thickness(m.0)),
        }
    }
}

/// How slots fit, as a length added to the sheet's thickness.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fit(pub(crate) Length);

impl Read for Fit {
    fn form() -> Form {
        Form::Either(vec![
            Form::Words(&[
                ("easy", "Slots 0.15 mm wider than the sheet: together by hand, and apart again."),
                ("push", "Slots as wide as the sheet is thick: home by a firm push."),
                ("press", "Slots 0.05 mm narrower than the sheet: they hold without glue."),
            ]),
            Form::Length,
        ])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match &node.value {
            Value::Text(t) if t.trim() == "easy" => Some(Fit(EASY_FIT)),
            // In 6 mm plywood a slot drawn 5.8 mm, which the cut widens by about 0.2 mm, goes home firmly (facts D12).
            Value::Text(t) if t.trim() == "push" => Some(Fit(Length::ZERO)),
            Value::Text(t) if t.trim() == "press" => Some(Fit(PRESS_FIT)),
            _ => super::value::Signed::read(node, path, reader).map(|s| Fit(s.0)),
        }
    }
}

table! {
    /// How slots fit, joint by joint.
    struct FitKeys is "fit" {
        /// Corner combs. Default push.
        finger: Fit;
        /// Tabs in slots. Default push.
        tab: Fit;
        /// Dividers halved into each other. Default push.
        halved: Fit;
    }
}

/// One fit for all joints, or one a joint.
#[derive(Clone, Debug)]
pub(crate) enum FitEntry {
    All(Fit),
    EachJoint(Box<FitKeys>),
}

impl Read for FitEntry {
    fn form() -> Form {
        Form::Either(vec![Fit::form(), FitKeys::form()])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match node.value {
            Value::Table(_) => FitKeys::read(node, path, reader).map(Box::new).map(FitEntry::EachJoint),
            _ => Fit::read(node, path, reader).map(FitEntry::All),
        }
    }
}

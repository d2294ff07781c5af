//! Every table and key of a brief: names, meanings and forms, declared once.

use super::form::{Form, Read, table, words};
use super::reader::{MOST_TRAY_DEPTH, Path, Reader};
use super::shape::{
    Clearance, Count, FitEntry, HeightEntry, HeldKeys, OtherStock, Packing, Pair, Readings, SheetEntry,
    SpareRoom, Stands, Triple,
};
use super::tree::{Node, Value};
use super::value::{Mass, Measure, Percent, Play, Thousandths, Whole, Words};
use crate::job::{self, AccessOrder, Colour, Face, Grip, Joint, Process, Turn, Use};
use crate::length::{Unit, Volume};

table! {
    /// A brief: the box, the stock, the inventory and the wishes.
    struct BriefKeys is "brief" {
        /// What the maker calls the job.
        title: Words;
        /// What a bare number means. Default mm.
        unit: Unit;
        /// Name of a spreadsheet (CSV) beside the brief with one row a part.
        inventory: Words;
        /// Name of a stock list (TOML or CSV) beside the brief.
        stock_list: Words;
        /// Name of a file (TOML) beside the brief with measures corrected on a dry fit.
        corrections: Words;
        /// The insert is sold: the report then asks for the emission class of boards. Default false.
        sold: bool;
        /// The insert is meant for children: the report then speaks of small parts. Default false.
        for_children: bool;
        /// The box that everything must go into.
        container = "box": BoxKeys, needed;
        /// The sheet stock that trays are cut from: a table, or an identifier in the stock list.
        stock: StockEntry, needed;
        /// How layers may be made.
        layers: LayerKeys;
        /// What the maker would like.
        wishes: WishKeys;
        /// How the search works.
        search: SearchKeys;
        /// Things that stay in the box as they are, outside any tray.
        kept: Vec<KeptKeys>;
        /// Large flat things that lie over the top layer.
        cover: Vec<CoverKeys>;
        /// Trays with their parts.
        tray: Vec<TrayKeys>;
        /// Parts without a tray: the program decides which of the same use share one.
        part: Vec<FreePartKeys>;
    }
}

table! {
    /// The box and its rules.
    struct BoxKeys is "box" {
        /// Inside width, depth and height. Each may be a list of readings: the least counts, the spread goes into the tolerance.
        interior: Triple<Readings>, needed;
        /// Height kept free under the lid. Default 0.
        lid_room: Play;
        /// Play between trays (`between`) and at the sides of the box (`side`); one number means both. Default by stock and size of the box.
        clearance: Clearance;
        /// How the box is kept. Default flat.
        stored: Stored;
    }
}

/// How the box is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stored {
    Flat,
    Side,
}

words! { Stored, "a way of keeping the box" {
    "flat" => Stored::Flat, "On its floor.";
    "side" => Stored::Side, "On edge, so that nothing may slide out of its compartment.";
} }

words! { Unit, "a unit for bare numbers" {
    "mm" => Unit::Millimetre, "Millimetres.";
    "cm" => Unit::Centimetre, "Centimetres.";
    "in" => Unit::Inch, "Inches of 25.4 mm.";
} }

table! {
    /// A sheet stock: what trays are cut from.
    struct StockKeys is "stock" {
        /// Identifier by which briefs name it (in a stock list).
        id: Words;
        /// Material, such as "birch plywood"; clearance, cut width and safety go by it.
        name: Words;
        /// Measured thickness.
        thickness: Measure, needed;
        /// Greatest less least thickness met on the sheets.
        thickness_spread: Play;
        /// Density in kg/m³. Default by material.
        density: Whole<1, 25_000>;
        /// How it is cut. Default by material.
        process: Process;
        /// How panels meet. Default finger for laser, butt for knife and saw.
        joint: Joint;
        /// How much wider than the sheet a slot is cut: easy, push, press or a length; or a table with one for each joint. Default push.
        fit: FitEntry;
        /// Full width that a cut removes, not the half of it. Default by process and material.
        cut_width: Play;
        /// Whether its grain must run along panels. Default false.
        grain: bool;
        /// How many of its two faces may be seen. Default 2.
        good_faces: Whole<1, 2>;
        /// Sheets it is sold in, each [width, depth] or [width, depth, price], the width along the grain; no tray is larger than they take. Default by process, which limits no tray.
        sheets: Vec<SheetEntry>;
        /// Kept free along the edges of a sheet. Default by process.
        margin: Play;
        /// Least material left between two panels on a sheet. Default by process.
        spacing: Play;
        /// What cutting takes in time.
        cutting: CuttingKeys;
        /// Colours of lines, for machines that tell operations by colour. Default all black.
        colours: ColourKeys;
        /// Floors and lids: another thickness, or another stock of the stock list. Default the same stock.
        floor: OtherStock;
        /// Dividers: another thickness, or another stock of the stock list. Default the same stock.
        divider: OtherStock;
    }
}

table! {
    /// The colour of each operation's lines, by the names of groups in the files of lines.
    struct ColourKeys is "colours" {
        /// Names, engraved or written.
        names: Colour;
        /// Recesses from above.
        recesses: Colour;
        /// Recesses from below.
        recesses_from_below: Colour;
        /// Openings within panels.
        openings: Colour;
        /// Straight cuts by knife and saw.
        edge_to_edge: Colour;
        /// Around panels.
        outlines: Colour;
    }
}

words! { Colour, "a colour" {
    "black" => Colour::Black, "Black.";
    "red" => Colour::Red, "Red.";
    "yellow" => Colour::Yellow, "Yellow.";
    "green" => Colour::Green, "Green.";
    "cyan" => Colour::Cyan, "Cyan.";
    "blue" => Colour::Blue, "Blue.";
    "magenta" => Colour::Magenta, "Magenta.";
} }

table! {
    /// What cutting takes in time.
    struct CuttingKeys is "cutting" {
        /// Millimetres cut in a second. Default by process, material and thickness.
        speed: Thousandths<1, 1_000_000>;
        /// Seconds to begin a line anew. Default by process.
        pierce: Thousandths<0, 1_000_000>;
        /// Minutes to set up one sheet. Default by process.
        setup: Thousandths<0, 1_000_000>;
    }
}

/// A stock's own table, or its identifier in the stock list.
#[derive(Clone, Debug)]
pub(crate) enum StockEntry {
    Table(Box<StockKeys>),
    Id(String),
}

impl Read for StockEntry {
    fn form() -> Form {
        Form::Either(vec![StockKeys::form(), Form::Text])
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        match node.value {
            Value::Table(_) => StockKeys::read(node, path, reader).map(Box::new).map(StockEntry::Table),
            Value::Text(_) | Value::Number(_) => Words::read(node, path, reader).map(|w| StockEntry::Id(w.0)),
            _ => {
                reader.wrong_kind(node, path, "a stock (a table, or an identifier of the stock list)");
                None
            }
        }
    }
}

words! { Process, "a way of cutting" {
    "laser" => Process::Laser, "Cut by laser.";
    "knife" => Process::Knife, "Cut by knife along a ruler.";
    "saw" => Process::Saw, "Cut by saw.";
} }

words! { Joint, "a joint" {
    "finger" => Joint::Finger, "Corner combs.";
    "tab" => Joint::Tab, "Tabs in slots.";
    "halved" => Joint::Halved, "Crossing dividers halved into each other.";
    "butt" => Joint::Butt, "Glued edge to face.";
    "rebate" => Joint::Rebate, "Glued, one paper face left over the edge.";
} }

table! {
    /// How layers may be made, from the floor up.
    struct LayerKeys is "layers" {
        /// At most so many layers. Default 4.
        most: Whole<1, 20>;
        /// Outer heights of the first layers, each "open", a length or a range { least, most }; further ones are open.
        heights: Vec<HeightEntry>;
    }
}

table! {
    /// What the maker would like.
    struct WishKeys is "wishes" {
        /// What one lift less is worth, and how lifts rank against waste.
        access: AccessKeys;
        /// How much waste may rise for fewer panels and straight dividers, in percent of the box. Default 1.
        tidy: Percent;
        /// What becomes of spare room. Default share.
        spare: Spare;
        /// Largest outer footprint of a tray, either way round: the bed of the machine or the span of the hands.
        largest_tray: Pair<Measure>;
        /// Greatest mass of a tray with its contents.
        most_mass: Mass;
    }
}

table! {
    /// What one lift less is worth for trays of each use, in percent of the box.
    struct AccessKeys is "access" {
        /// For trays that are always needed. Default 2.
        always: Percent;
        /// For trays that are needed once at the start. Default 0.5.
        setup: Percent;
        /// For trays that are hardly ever needed. Default 0.
        seldom: Percent;
        /// How lifts and waste rank. Default together.
        order: AccessOrder;
    }
}

words! { AccessOrder, "an order of lifts and waste" {
    "first" => AccessOrder::First, "Fewest lifts first, waste only between equals.";
    "together" => AccessOrder::Together, "One sum.";
    "last" => AccessOrder::Last, "Least waste first, lifts only between equals.";
} }

/// What becomes of spare room.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Spare {
    Share,
    OnePiece,
}

words! { Spare, "a wish for spare room" {
    "share" => Spare::Share, "Shared out, so that trays fill their layer and rattle as little as they can.";
    "one-piece" => Spare::OnePiece, "Kept together.";
} }

table! {
    /// How the search works.
    struct SearchKeys is "search" {
        /// Step of the search; needs are rounded up to it. Default 0.1 mm, or what the box and what fits it exactly ask for.
        grid: Measure;
    }
}

table! {
    /// Something that stays in the box as it is, outside any tray.
    struct KeptKeys is "kept item" {
        /// Its name.
        name: Words, needed;
        /// Outer width, depth and height.
        size: Triple<Measure>, needed;
        /// How many alike. Default 1.
        count: Whole<1, 100>;
        /// Which ways it may stand. Default upright.
        turn: Turn;
        /// Where it must stay.
        held: HeldKeys;
        /// Mass of one.
        mass: Mass;
    }
}

words! { Turn, "a way of turning" {
    "none" => Turn::None, "As given only.";
    "upright" => Turn::Upright, "Turned about the vertical only.";
    "any" => Turn::Any, "On any face.";
} }

table! {
    /// A large flat thing that lies over the top layer.
    struct CoverKeys is "cover item" {
        /// Its name.
        name: Words, needed;
        /// Width, depth and height, lying flat.
        size: Triple<Measure>, needed;
        /// It may sink into the trays under it, flush with their rims: walls and dividers are lowered where it crosses them. For a board, or for a long piece that no tray takes. Default false.
        sink: bool;
    }
}

words! { Use, "a use" {
    "always" => Use::Always, "In play all the time.";
    "setup" => Use::Setup, "Once at the start.";
    "seldom" => Use::Seldom, "Hardly ever.";
} }

words! { Grip, "a grip" {
    "notch" => Grip::Notch, "Two notches in opposite walls.";
    "ribbon" => Grip::Ribbon, "A ribbon under the tray.";
    "none" => Grip::None, "Nothing.";
} }

table! {
    /// A tray with its parts.
    struct TrayKeys is "tray" {
        /// Its name; a tray within a tray may go by its part's name.
        name: Words;
        /// How soon it is needed. Default setup.
        usage = "use": Use;
        /// How many alike, such as one a person. Default 1.
        count: Whole<1, 100>;
        /// Whether it gets a lid. Default false, or true where the box is kept on its side.
        lid: bool;
        /// How it is lifted. Default chosen by the program.
        grip: Grip;
        /// The most layers it may reach through. Default 1.
        span: Whole<1, 20>;
        /// Its share of spare room relative to other trays. Default 1.
        spare_share: Thousandths<0, 1_000_000>;
        /// Its walls end where its contents need it, and it carries nothing. Default false.
        low: bool;
        /// Where it must stay.
        held: HeldKeys;
        /// Outer width, depth and height, where they are fixed. In a layer that is higher it ends lower and carries nothing.
        size: Triple<Measure>;
        /// Joint that differs from the stock's.
        joint: Joint;
        /// Height of its dividers above the floor panel, where they are lower than the walls.
        divider_height: Measure;
        /// Its parts, each with a compartment of its own.
        part: Vec<PartKeys>;
    }
}

table! {
    /// One entry of the inventory, which gets its own compartment.
    struct PartKeys is "part" {
        /// Its name.
        name: Words, needed;
        /// Pieces poured in.
        loose: LooseKeys;
        /// Pieces in piles, rows or rolls.
        stack: StackKeys;
        /// Bodies placed side by side.
        solid: SolidKeys;
        /// A small tray that is carried by itself.
        tray: CarryTray;
        /// Room for more: so many pieces, or a volume for loose pieces.
        spare_room: SpareRoom;
        /// Mass of one piece.
        mass: Mass;
    }
}

table! {
    /// One entry of the inventory for which the program chooses the tray.
    struct FreePartKeys is "part without a tray" {
        /// Its name.
        name: Words, needed;
        /// How soon it is needed. Default setup.
        usage = "use": Use;
        /// Pieces poured in.
        loose: LooseKeys;
        /// Pieces in piles, rows or rolls.
        stack: StackKeys;
        /// Bodies placed side by side.
        solid: SolidKeys;
        /// A small tray that is carried by itself.
        tray: CarryTray;
        /// Room for more: so many pieces, or a volume for loose pieces.
        spare_room: SpareRoom;
        /// Mass of one piece.
        mass: Mass;
    }
}

impl FreePartKeys {
    /// What it shares with a part that has a tray.
    pub(crate) fn part(&self) -> PartKeys {
        let FreePartKeys { name, usage: _, loose, stack, solid, tray, spare_room, mass, spot } = self.clone();
        PartKeys { name, loose, stack, solid, tray, spare_room, mass, spot }
    }
}

table! {
    /// Loose pieces: a measured volume, or a count of pieces.
    struct LooseKeys is "loose" {
        /// Measured bulk volume, such as "45 ml"; best of all.
        volume: Volume;
        /// How many pieces.
        count: Count;
        /// Form of one piece; sets how densely they pack.
        form: job::Form;
        /// One piece's width, depth and height.
        piece: Triple<Measure>;
        /// Packing fraction, where known: one number, or [loosest, densest]. Default by form.
        packing: Packing;
        /// How full the compartment may be. Default 0.9.
        level: Thousandths<10, 1000>;
        /// Least width of the compartment, so that fingers reach in. Default 20 mm.
        finger: Play;
    }
}

words! { job::Form, "a form of pieces" {
    "cube" => job::Form::Cube, "Cubes and dice.";
    "bead" => job::Form::Bead, "Balls and beads.";
    "disc" => job::Form::Disc, "Flat round pieces.";
    "peg" => job::Form::Peg, "Pegs and rods.";
    "lens" => job::Form::Lens, "Lens-like pieces.";
    "odd" => job::Form::Odd, "Figures with arms or bases, and whatever else.";
} }

table! {
    /// Stacked pieces: a measured height, or a count of pieces and the thickness of each.
    struct StackKeys is "stack" {
        /// Face of a bare piece: [width, depth], { disc = diameter } or { hexagon = width over flats }.
        face: Face, needed;
        /// How many pieces.
        count: Count;
        /// Thickness of one bare piece.
        each: Measure;
        /// Measured height of the whole stack, sleeved where a sleeve is given.
        height: Measure;
        /// Protective sleeve about each piece.
        sleeve: SleeveKeys;
        /// Allowed ways of standing. Default flat, long-edge and short-edge; flat and roll for discs and hexagons.
        stand: Stands;
        /// The most piles side by side. Default 1.
        piles: Whole<1, 100>;
        /// Least lean from the floor in degrees. Default 60.
        least_lean: Whole<30, 89>;
        /// Ease on the face, in width and in depth. Default 1 mm.
        ease: Play;
        /// Browsing room along a row, as a share of its length. Default 0.1.
        browse: Thousandths<0, 1000>;
        /// Finger room beside a flat stack. Default 0: a notch in the wall serves.
        finger: Play;
    }
}

table! {
    /// Protective sleeve about a piece.
    struct SleeveKeys is "sleeve" {
        /// Thickness of one film; two lie on each piece.
        film: Measure, needed;
        /// Outer face of the sleeve.
        face: Face, needed;
    }
}

table! {
    /// Bodies placed side by side.
    struct SolidKeys is "solid" {
        /// One body's width, depth and height.
        size: Triple<Measure>, needed;
        /// How many. Default 1.
        count: Count;
        /// Which ways it may stand. Default upright.
        turn: Turn;
        /// Whether they may lie one on another. Default false.
        pile: bool;
        /// Ease around all of them, in width and in depth. Default 1 mm.
        ease: Play;
    }
}

table! {
    /// A list of stocks.
    struct StockListKeys is "stock list" {
        /// One stock each.
        stock: Vec<StockKeys>, needed;
    }
}

/// A tray within a tray.
#[derive(Clone, Debug)]
pub(crate) struct CarryTray(pub(crate) Box<TrayKeys>);

impl Read for CarryTray {
    fn form() -> Form {
        TrayKeys::form()
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        // The outermost tray, which this one lies in, is the first.
        if reader.tray_depth + 2 > MOST_TRAY_DEPTH {
            let cause = format!("trays lie more than {MOST_TRAY_DEPTH} deep in one another");
            reader.report("B006", node.span, path.text(), cause);
            return None;
        }
        reader.tray_depth += 1;
        let tray = TrayKeys::read(node, path, reader);
        reader.tray_depth -= 1;
        tray.map(|t| CarryTray(Box::new(t)))
    }
}

impl<T: Read> Read for Vec<T> {
    fn form() -> Form {
        Form::List(Box::new(T::form()), 0, usize::MAX)
    }

    fn read(node: &Node, path: &Path, reader: &mut Reader<'_>) -> Option<Self> {
        let Value::List(list) = &node.value else {
            reader.wrong_kind(node, path, "a list");
            return None;
        };
        // Entries at fault are left out, so that the others are still looked at.
        Some(
            list.iter()
                .enumerate()
                .filter_map(|(i, item)| T::read(item, &path.item(i, item), reader))
                .collect(),
        )
    }
}

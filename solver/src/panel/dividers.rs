//! Dividers as panels: tabs into walls, floor and each other, and the slots that take them.

use super::blank::{Blank, Lie};
use super::boards::{Board, End, boards, ends, order};
use super::comb::{LEAST, tabs};
use super::recess::{Zone, top_at};
use super::region::Rect;
use super::shell::{Measures, Shell, Side, Ways};
use super::{Cut, Role};
use crate::finding::Finding;
use crate::job::Joint;
use crate::length::Length;
use crate::plan::PlacedTray;

/// Dividers of a tray.
pub(super) struct Dividers {
    pub(super) boards: Vec<Board>,
    /// In the order of `boards`.
    pub(super) blanks: Vec<Blank>,
    /// In which order they are put in.
    pub(super) order: Vec<usize>,
}

/// Where a notch leaves a wall lower: side, along the wall, and the height up to which stock is left.
pub(super) type Lowered = (Side, (Length, Length), Length);

/// Makes the dividers of a tray and cuts what they go into.
///
/// # Errors
/// K005 for a divider that ends nowhere.
pub(super) fn dividers(
    tray: &PlacedTray,
    name: &str,
    m: &Measures,
    ways: &Ways,
    shell: &mut Shell,
    lowered: &[Lowered],
    zones: &[Zone],
) -> Result<Dividers, Vec<Finding>> {
    let boards = boards(tray, ways.halved);
    let ends = ends(&boards, m, name)?;
    let (order, plain) = order(&boards, &ends);
    let mut work = Work {
        blanks: boards.iter().map(blank).collect(),
        feet: vec![Vec::new(); boards.len()],
        boards: &boards,
        zones,
        place: {
            let mut place = vec![0; order.len()];
            order.iter().enumerate().for_each(|(k, &i)| place[i] = k);
            place
        },
    };
    if ways.halved {
        work.crossings();
        for (i, both) in ends.iter().enumerate() {
            for (e, end) in both.iter().enumerate() {
                if let End::Board(a) = *end
                    && !plain.contains(&(i, e))
                {
                    work.meeting(i, e, a);
                }
            }
        }
    }
    if ways.ends {
        for (i, both) in ends.iter().enumerate() {
            for (e, end) in both.iter().enumerate() {
                if let End::Wall(side) = *end {
                    work.meet_wall(i, e, side, m, shell, lowered);
                }
            }
        }
    }
    if ways.feet {
        work.stand(m, shell);
    }
    let blanks = work.blanks;
    Ok(Dividers { boards, blanks, order })
}

/// The board without tabs and slots.
fn blank(b: &Board) -> Blank {
    let numbers: Vec<String> = b.parts.iter().map(|p| (p + 1).to_string()).collect();
    let name = format!("divider {}", numbers.join(" + "));
    let role = Role::Divider(b.parts.first().copied().unwrap_or(0));
    let t = b.faces.1 - b.faces.0;
    let (lie, back) = if b.along_width { (Lie::AlongWidth, b.faces.1) } else { (Lie::AlongDepth, b.faces.0) };
    let mut blank = Blank::new(role, &name, Cut::Divider, t, lie, back);
    blank.region.add(Rect::new((b.from, b.to), (b.bottom, b.top())));
    blank
}

struct Work<'a> {
    boards: &'a [Board],
    /// Where boards are lowered.
    zones: &'a [Zone],
    blanks: Vec<Blank>,
    /// Of every board, stretches of its foot that a slot or a crossing takes.
    feet: Vec<Vec<(Length, Length)>>,
    /// Of every board, when it is put in.
    place: Vec<usize>,
}

impl Work<'_> {
    /// How high boards are where these two cross or meet.
    fn tops(&self, i: usize, j: usize) -> (Length, Length) {
        let (a, b) = (&self.boards[i], &self.boards[j]);
        let (x, y) = if a.along_width { (b.faces, a.faces) } else { (a.faces, b.faces) };
        (top_at(self.zones, x, y, a.top()), top_at(self.zones, x, y, b.top()))
    }

    /// Boards that cross are halved into each other: the one that is put in first is open above, the other below.
    fn crossings(&mut self) {
        for i in 0..self.boards.len() {
            for j in i + 1..self.boards.len() {
                if !self.boards[i].crosses(&self.boards[j]) {
                    continue;
                }
                let (first, second) = if self.place[i] < self.place[j] { (i, j) } else { (j, i) };
                let (a, b) = (&self.boards[first], &self.boards[second]);
                let (high, other) = self.tops(first, second);
                let half = a.bottom + (high.min(other) - a.bottom) / 2;
                let (top, bottom) = (a.top(), b.bottom);
                self.blanks[first].slot(Rect::new(b.faces, (half, top)), Joint::Halved, true);
                self.blanks[second].slot(Rect::new(a.faces, (bottom, half)), Joint::Halved, true);
                self.feet[first].push(b.faces);
                self.feet[second].push(a.faces);
            }
        }
    }

    /// Board `i` ends at the face of board `a`: a third of their height goes through it, the upper third where `i` is
    /// put in later, else the lower one.
    fn meeting(&mut self, i: usize, e: usize, a: usize) {
        let (own, other) = (&self.boards[i], &self.boards[a]);
        let (high, top) = self.tops(i, a);
        let third = (top - other.bottom).min(high - own.bottom) / 3;
        let thick = (own.faces.1 - own.faces.0).max(other.faces.1 - other.faces.0);
        if third < thick.max(LEAST) {
            return;
        }
        let later = self.place[i] > self.place[a];
        let z = if later { (top - third, top) } else { (other.bottom, other.bottom + third) };
        let (faces, along) = (own.faces, other.faces);
        debug_assert!(if e == 0 { own.from == along.1 } else { own.to == along.0 });
        self.blanks[i].region.add(Rect::new(along, z));
        self.blanks[a].slot(Rect::new(faces, z), Joint::Halved, true);
        if !later {
            self.feet[a].push(faces);
        }
    }

    fn meet_wall(
        &mut self,
        i: usize,
        e: usize,
        side: Side,
        m: &Measures,
        shell: &mut Shell,
        lowered: &[Lowered],
    ) {
        let b = &self.boards[i];
        let thick = (b.faces.1 - b.faces.0).max(m.wall);
        let beside = |u: (Length, Length)| u.0 < b.faces.1 + thick && b.faces.0 < u.1 + thick;
        let top = lowered.iter().filter(|(s, u, _)| *s == side && beside(*u)).map(|(_, _, z)| *z);
        let top = top.min().unwrap_or(b.top()).min(b.top());
        let far = if b.along_width { m.w } else { m.d };
        let through = if e == 0 { (Length::ZERO, m.wall) } else { (far - m.wall, far) };
        for z in tabs(b.bottom, top, thick) {
            self.blanks[i].region.add(Rect::new(through, z));
            shell.wall(side).slot(Rect::new(b.faces, z), Joint::Tab, true);
        }
    }

    fn stand(&mut self, m: &Measures, shell: &mut Shell) {
        for (i, b) in self.boards.iter().enumerate().filter(|(_, b)| b.bottom == m.floor) {
            let thick = (b.faces.1 - b.faces.0).max(m.floor);
            let mut taken = self.feet[i].clone();
            taken.sort_unstable();
            taken.push((b.to, b.to));
            let mut from = b.from;
            for (start, end) in taken {
                for u in tabs(from, start, thick) {
                    self.blanks[i].region.add(Rect::new(u, (Length::ZERO, m.floor)));
                    let slot = if b.along_width { Rect::new(u, b.faces) } else { Rect::new(b.faces, u) };
                    shell.floor.slot(slot, Joint::Tab, true);
                }
                from = from.max(end);
            }
        }
    }
}

//! Dividers as boards: those in one line across another become one, and each knows what its ends meet.

use super::shell::{Measures, Side};
use crate::finding::Finding;
use crate::length::Length;
use crate::plan::PlacedTray;

/// A divider panel in tray coordinates, made of one divider of the plan or of several in one line.
#[derive(Clone, Debug)]
pub(super) struct Board {
    /// Whether it runs along the width.
    pub(super) along_width: bool,
    /// Its two faces, across.
    pub(super) faces: (Length, Length),
    /// Its ends.
    pub(super) from: Length,
    pub(super) to: Length,
    pub(super) bottom: Length,
    pub(super) h: Length,
    /// Dividers of the plan that it stands for.
    pub(super) parts: Vec<usize>,
}

impl Board {
    pub(super) fn top(&self) -> Length {
        self.bottom + self.h
    }

    /// Whether the other runs through it.
    pub(super) fn crosses(&self, o: &Board) -> bool {
        let within = |b: &Board, faces: (Length, Length)| b.from < faces.0 && faces.1 < b.to;
        self.along_width != o.along_width && within(self, o.faces) && within(o, self.faces)
    }
}

/// What an end of a board meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    Wall(Side),
    /// The face of another board.
    Board(usize),
}

/// The boards of a tray; with `halved`, dividers that go on beyond another in the same line are one board.
pub(super) fn boards(tray: &PlacedTray, halved: bool) -> Vec<Board> {
    let mut all: Vec<Board> = tray
        .dividers
        .iter()
        .enumerate()
        .map(|(i, d)| {
            let (x, y) = (d.at.x - tray.at.x, d.at.y - tray.at.y);
            // The thickness is the lesser of the two: compartments are wider than dividers are thick.
            let along_width = d.size.w >= d.size.d;
            let (along, across) =
                if along_width { ((x, d.size.w), (y, d.size.d)) } else { ((y, d.size.d), (x, d.size.w)) };
            Board {
                along_width,
                faces: (across.0, across.0 + across.1),
                from: along.0,
                to: along.0 + along.1,
                bottom: d.at.z - tray.at.z,
                h: d.size.h,
                parts: vec![i],
            }
        })
        .collect();
    all.sort_by_key(|b| (b.along_width, b.faces, b.bottom, b.h, b.from));
    let mut out: Vec<Board> = Vec::with_capacity(all.len());
    for board in &all {
        if let Some(last) = out.last_mut()
            && halved
            // Either half keeps as much stock as it is thick.
            && board.h >= (board.faces.1 - board.faces.0).max(board.from - last.to) * 2
            && (last.along_width, last.faces, last.bottom, last.h)
                == (board.along_width, board.faces, board.bottom, board.h)
            && all.iter().any(|x| {
                x.along_width != board.along_width
                    && x.faces == (last.to, board.from)
                    && x.from < board.faces.0
                    && board.faces.1 < x.to
                    && x.bottom == board.bottom
                    && x.h >= board.h
            })
        {
            last.to = board.to;
            last.parts.extend(&board.parts);
        } else {
            out.push(board.clone());
        }
    }
    out.sort_by_key(|b| b.parts.iter().min().copied());
    out
}

/// What both ends of every board meet.
///
/// # Errors
/// K005 for a divider that ends at neither a wall nor a divider.
pub(super) fn ends(boards: &[Board], m: &Measures, tray: &str) -> Result<Vec<[End; 2]>, Vec<Finding>> {
    let mut out = Vec::with_capacity(boards.len());
    let mut lost = Vec::new();
    for b in boards {
        let far = if b.along_width { m.w } else { m.d };
        let (low, high) = if b.along_width { (Side::Left, Side::Right) } else { (Side::Front, Side::Back) };
        let face = |at: Length, of: fn(&Board) -> Length| {
            boards.iter().position(|o| {
                o.along_width != b.along_width && of(o) == at && o.from <= b.faces.0 && b.faces.1 <= o.to
            })
        };
        let start =
            if b.from == m.wall { Some(End::Wall(low)) } else { face(b.from, |o| o.faces.1).map(End::Board) };
        let end = if b.to == far - m.wall {
            Some(End::Wall(high))
        } else {
            face(b.to, |o| o.faces.0).map(End::Board)
        };
        match (start, end) {
            (Some(start), Some(end)) => out.push([start, end]),
            _ => {
                let number = b.parts.first().map_or(0, |p| p + 1);
                let cause = format!("divider {number} ends at neither a wall nor another divider");
                lost.push(Finding::listed("K005", cause).about(format!("tray \"{tray}\"")));
            }
        }
    }
    if lost.is_empty() { Ok(out) } else { Err(lost) }
}

/// Two boards that meet the same board from both sides, so close that one slot must come from above and one from
/// below: that board must come between them.
struct Between {
    board: usize,
    sides: [usize; 2],
}

/// In which order boards are put in, all from above: lower ones first, and so that as few as can be meet a board from
/// both sides at one place after or before it alike. Also which ends can then not be slotted, as (board, end).
pub(super) fn order(boards: &[Board], ends: &[[End; 2]]) -> (Vec<usize>, Vec<(usize, usize)>) {
    let mut order: Vec<usize> = (0..boards.len()).collect();
    order.sort_by_key(|&i| (boards[i].h, i));
    let mut meeting: Vec<Vec<(usize, usize)>> = vec![Vec::new(); boards.len()];
    for (i, both) in ends.iter().enumerate() {
        for (e, end) in both.iter().enumerate() {
            if let End::Board(a) = end {
                meeting[*a].push((i, e));
            }
        }
    }
    let near = |i: usize, j: usize| {
        let ((a, b), (c, d)) = (boards[i].faces, boards[j].faces);
        let t = b - a;
        a < d + t && c < b + t
    };
    let mut rules = Vec::new();
    for (a, own) in meeting.iter().enumerate() {
        for &(i, _) in own.iter().filter(|(_, e)| *e == 0) {
            for &(j, _) in own.iter().filter(|(_, e)| *e == 1) {
                if near(i, j) {
                    rules.push(Between { board: a, sides: [i, j] });
                }
            }
        }
    }
    let broken = |order: &[usize]| {
        let place = places(order);
        rules.iter().filter(|r| !kept(r, &place)).count()
    };
    let mut left = broken(&order);
    // Every round mends one rule at least, so there are no more rounds than rules.
    'mending: while left > 0 {
        let place = places(&order);
        for rule in rules.iter().filter(|r| !kept(r, &place)) {
            for moved in rule.sides {
                for after in [false, true] {
                    let mut tried: Vec<usize> = order.iter().copied().filter(|&i| i != moved).collect();
                    let at = tried.iter().position(|&i| i == rule.board).unwrap_or(0) + usize::from(after);
                    tried.insert(at, moved);
                    let rising = tried.windows(2).all(|w| boards[w[0]].h <= boards[w[1]].h);
                    let now = broken(&tried);
                    if rising && now < left {
                        (order, left) = (tried, now);
                        continue 'mending;
                    }
                }
            }
        }
        break;
    }
    let place = places(&order);
    let mut plain = Vec::new();
    for rule in rules.iter().filter(|r| !kept(r, &place)) {
        let [_, j] = rule.sides;
        plain.extend((0..2).filter(|&e| ends[j][e] == End::Board(rule.board)).map(|e| (j, e)));
    }
    (order, plain)
}

fn places(order: &[usize]) -> Vec<usize> {
    let mut place = vec![0; order.len()];
    for (k, &i) in order.iter().enumerate() {
        place[i] = k;
    }
    place
}

fn kept(rule: &Between, place: &[usize]) -> bool {
    let [i, j] = rule.sides.map(|s| place[s] < place[rule.board]);
    i != j
}

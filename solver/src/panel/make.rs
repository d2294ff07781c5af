//! All panels of one tray.

use super::blank::Blank;
use super::dividers::{Lowered, dividers};
use super::marks::marks;
use super::notch::{Taken, fingers, grips};
use super::recess::{lowered, zones};
use super::region::Rect;
use super::shell::{Measures, Shell, Side, Ways, lid_tab, seat_lid, shell};
use super::size::too_large;
use super::trays::Made;
use super::{Panel, TrayPanels};
use crate::finding::Finding;
use crate::job::Job;
use crate::length::Length;

/// No length of a plan is greater; see the checker.
const LARGEST: Length = Length::mm(20_000);

/// Dividers and compartments beyond which a tray is not made.
const MOST_DIVIDERS: usize = 500;

/// The panels of a tray, in the order in which they go together: floor, dividers from above, walls from their sides,
/// lid from above.
pub(super) fn make(job: &Job, made: &Made) -> Result<(Vec<Panel>, Vec<Finding>), Vec<Finding>> {
    let (tray, name) = (made.tray, made.name.as_str());
    let m = Measures::of(tray);
    let ways = Ways::of(job, made.rule);
    let zones = zones(made, &m);
    let mut shell = shell(&m, &ways, &zones);
    let mut notes = Vec::new();
    let low = lowered(&zones, &m);
    let grips = grips(job, made, &m, &mut shell, &low).unwrap_or_else(|| {
        let cause = "no two opposite walls have room for notches to lift it by; nothing is cut";
        notes.push(about(Finding::listed("K022", cause), name));
        Vec::new()
    });
    let below: Vec<Lowered> = grips.iter().chain(&low).copied().collect();
    let mut made_of = dividers(tray, name, &m, &ways, &mut shell, &below, &zones)?;
    let gripped = |side: Side| grips.iter().any(|(s, ..)| *s == side);
    let lid_tabs = |side: Side| lid_tab(&m, side).filter(|_| !gripped(side));
    let taken = Taken { grips: &grips, low: &low, zones: &zones, lid_tabs: &lid_tabs };
    let without = fingers(job, made, &m, &mut shell, &taken, &mut made_of);
    if !without.is_empty() {
        let cause = format!("no wall or divider has room for a notch beside {}", without.join(", "));
        notes.push(about(Finding::listed("K023", cause), name));
    }
    for (side, u, z) in &low {
        shell.wall(*side).lower(Rect::new(*u, (*z, m.top)));
    }
    for (board, blank) in made_of.boards.iter().zip(&mut made_of.blanks) {
        for zone in &zones {
            if let Some(rect) = zone.on(board.along_width, board.faces, board.top()) {
                blank.lower(rect);
            }
        }
    }
    marks(made, &m, &mut shell);
    if !seat_lid(&mut shell, &m, &gripped) {
        let cause = "no two opposite walls are long enough for tabs that keep the lid from sliding";
        notes.push(about(Finding::listed("K021", cause), name));
    }
    if !shell.glued.is_empty() {
        let cause =
            format!("{} are too short for fingers or tabs and are only glued", shell.glued.join(", "));
        notes.push(about(Finding::listed("K020", cause), name));
    }
    let Shell { floor, front, back, left, right, lid, .. } = shell;
    let mut blanks: Vec<Option<Blank>> = made_of.blanks.into_iter().map(Some).collect();
    let inside = made_of.order.iter().filter_map(|&i| blanks.get_mut(i).and_then(Option::take));
    let all = std::iter::once(floor).chain(inside).chain([left, right, back, front]).chain(lid);
    let mut panels = Vec::new();
    let mut faults = Vec::new();
    for (i, blank) in all.enumerate() {
        match blank.finish(letters(i), name) {
            Ok(panel) => {
                faults.extend(too_large(job, &panel, name));
                panels.push(panel);
            }
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok((panels, notes)) } else { Err(faults) }
}

fn about(f: Finding, tray: &str) -> Finding {
    f.about(format!("tray \"{tray}\""))
}

/// `A`, `B`, … `Z`, `AA`, `AB`, …
fn letters(mut i: usize) -> String {
    let mut out = Vec::new();
    loop {
        out.push(b'A' + (i % 26) as u8);
        if i < 26 {
            break;
        }
        i = i / 26 - 1;
    }
    out.iter().rev().map(|&b| char::from(b)).collect()
}

/// K006 for every tray of a plan that is no tray at all: nothing is reckoned with before.
pub(super) fn sane(all: &[Made]) -> Result<(), Vec<Finding>> {
    let faults = all.iter().filter_map(|made| {
        let cause = unsound(made).err()?;
        Some(about(Finding::listed("K006", cause), &made.name))
    });
    let faults: Vec<Finding> = faults.collect();
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// Says what makes a tray of the plan no tray at all.
fn unsound(made: &Made) -> Result<(), String> {
    let t = made.tray;
    let within = |l: Length| l >= Length::ZERO && l <= LARGEST;
    let sizes = [t.size.w, t.size.d, t.size.h, t.wall, t.floor, t.lid, t.at.x, t.at.y, t.at.z];
    let inner =
        t.dividers.iter().map(|d| (d.at, d.size)).chain(t.compartments.iter().map(|c| (c.at, c.size)));
    let inner: Vec<_> = inner.flat_map(|(at, s)| [at.x, at.y, at.z, s.w, s.d, s.h]).collect();
    if !sizes.iter().chain(&inner).all(|&l| within(l)) {
        return Err("it has a length that nothing can have".into());
    }
    if t.dividers.len() > MOST_DIVIDERS || t.compartments.len() > MOST_DIVIDERS {
        return Err(format!("it has more than {MOST_DIVIDERS} dividers or compartments"));
    }
    if t.wall * 2 >= t.size.w.min(t.size.d)
        || t.floor + t.lid >= t.size.h
        || t.wall.min(t.floor) <= Length::ZERO
    {
        return Err("its walls, floor and lid leave no room inside".into());
    }
    Ok(())
}

/// Panels as they are shared by like trays.
pub(super) fn shared(job: &Job, all: &[Made]) -> Result<Vec<TrayPanels>, Vec<Finding>> {
    sane(all)?;
    let mut groups: Vec<(usize, Vec<usize>)> = Vec::new();
    for (i, made) in all.iter().enumerate() {
        match groups.iter_mut().find(|(first, _)| all[*first].like(made)) {
            Some((_, placed)) => placed.push(i),
            None => groups.push((i, vec![i])),
        }
    }
    let mut out = Vec::new();
    let mut faults = Vec::new();
    for (first, placed) in &groups {
        let made = &all[*first];
        let several = groups.iter().filter(|(other, _)| all[*other].name == made.name).count() > 1;
        let copies = placed.iter().map(|&i| all[i].tray.copy.to_string()).collect::<Vec<_>>().join(", ");
        let tray = if several { format!("{} ({copies})", made.name) } else { made.name.clone() };
        match make(job, made) {
            Ok((panels, notes)) => {
                out.push(TrayPanels { tray, copies: placed.len(), placed: placed.clone(), panels, notes });
            }
            Err(all) => faults.extend(all),
        }
    }
    if faults.is_empty() { Ok(out) } else { Err(faults) }
}

//! Whether a tray that is there already still does: the same pieces, what they hold told afresh.

use crate::job::{Contents, Part, Tray};
use crate::length::Length;
use crate::need::{Alternative, Need};
use crate::place::{Cuboid, Size};
use crate::plan::arrange::{compartment, nested_compartment};
use crate::plan::{Compartment, PlacedTray};
use crate::tray::{PartNeed, TrayNeeds};

/// The old tray as the job has it now: outside, compartments and dividers stay where they are, only dividers take the
/// height that is asked for now.
///
/// The error says, for the maker, why it cannot stay.
pub(super) fn refit(tray: &Tray, needs: &TrayNeeds, old: &PlacedTray) -> Result<PlacedTray, String> {
    let thick = |what: &str, is: Length, wanted: Length| {
        (is == wanted)
            .then_some(())
            .ok_or_else(|| format!("its {what} is {is} thick and must be {wanted} now"))
    };
    thick("wall", old.wall, needs.wall)?;
    thick("floor", old.floor, needs.floor)?;
    thick("lid", old.lid, needs.base - needs.floor)?;
    if let Some(size) = tray.size {
        let same = |s: Size| (s.w, s.d, s.h) == (old.size.w, old.size.d, old.size.h);
        if !same(size) && !same(size.turned()) {
            return Err("another size is asked for now".into());
        }
    }
    let clear = old.size.h - needs.base;
    let mut out = old.clone();
    out.usage = tray.usage;
    let height = needs.divider_height.map_or(clear, |h| h.min(clear));
    for d in &mut out.dividers {
        if d.size.w != needs.divider_exact && d.size.d != needs.divider_exact {
            return Err(format!("its dividers must be {} thick now", needs.divider_exact));
        }
        d.size.h = height;
    }
    if old.compartments.len() != tray.parts.len() {
        return Err("it holds other parts now".into());
    }
    out.compartments = old
        .compartments
        .iter()
        .map(|c| {
            let at = tray.parts.iter().position(|p| p.name == c.part);
            let at = at.ok_or_else(|| format!("\"{}\" is not in it any more", c.part))?;
            let (Some(part), Some(need)) = (tray.parts.get(at), needs.parts.get(at)) else {
                return Err("it holds other parts now".to_owned());
            };
            held(part, need, c)
        })
        .collect::<Result<_, _>>()?;
    let mut names: Vec<&str> = out.compartments.iter().map(|c| c.part.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    if names.len() < tray.parts.len() {
        return Err("it holds other parts now".into());
    }
    Ok(out)
}

/// A compartment with what stands in it now.
fn held(part: &Part, need: &PartNeed, old: &Compartment) -> Result<Compartment, String> {
    let room = Cuboid { at: old.at, size: old.size };
    match (need, &part.contents, &old.tray) {
        (PartNeed::Room(need), _, None) => {
            let fitting = ways(part, need, room, old).ok_or_else(|| {
                let u = &old.size;
                format!(
                    "\"{}\" does not fit its compartment of {} × {} × {} any more",
                    part.name,
                    u.w.decimal(),
                    u.d.decimal(),
                    u.h
                )
            })?;
            Ok(fitting)
        }
        (PartNeed::Tray(inner, ease), Contents::Tray(own), Some(tray)) => {
            let play = inner.grid * *ease;
            if old.size.w - tray.size.w < play || old.size.d - tray.size.d < play {
                return Err(format!("\"{}\" has too little play in its compartment", part.name));
            }
            let tray = refit(own, inner, tray).map_err(|why| format!("in \"{}\": {why}", part.name))?;
            Ok(nested_compartment(&part.name, room, old.turn, Some(Box::new(tray))))
        }
        _ => Err(format!("\"{}\" is of another kind now", part.name)),
    }
}

/// The way of standing that serves in a room, the one that it was made for before all others.
fn ways(part: &Part, need: &Need, room: Cuboid, old: &Compartment) -> Option<Compartment> {
    let mut best: Option<(usize, Compartment)> = None;
    for a in &need.alternatives {
        for turned in turns(a) {
            if !a.space.fits(room.size.w, room.size.d, room.size.h, turned) {
                continue;
            }
            let c = compartment(&part.name, need, a, room, turned);
            let unlike = [c.standing != old.standing, c.turn != old.turn, c.piles != old.piles];
            // Another way of standing weighs most: notches for fingers go by it.
            let far = unlike.into_iter().fold(0, |sum, u| 2 * sum + usize::from(u));
            if best.as_ref().is_none_or(|(b, _)| far < *b) {
                best = Some((far, c));
            }
        }
    }
    best.map(|(_, c)| c)
}

fn turns(a: &Alternative) -> impl Iterator<Item = bool> {
    [false, true].into_iter().filter(move |turned| !turned || a.turnable)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::job::{self, Job};
    use crate::plan::{Options, Plan, solve};
    use crate::tray::needs;

    fn job(changes: &[(&str, &str)]) -> Job {
        let brief = "box.interior = [150, 100, 40]\n\
            stock = { name = \"birch plywood\", thickness = 3, process = \"laser\" }\n\
            [[tray]]\nname = \"decks\"\n\
            [[tray.part]]\nname = \"tide cards\"\nstack = { face = [44, 68], height = 20, stand = [\"flat\"] }\n\
            [[tray.part]]\nname = \"purse\"\n[tray.part.tray]\n[[tray.part.tray.part]]\nname = \"coins\"\nloose.volume = \"12 ml\"\n";
        let changes: Vec<_> = changes.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        job::read(brief, "brief.toml", Format::Toml, None, &changes).unwrap()
    }

    fn plan(job: &Job) -> Plan {
        solve(job, &Options { nodes: 20_000, ..Options::default() }, &mut |_| {}).plan.unwrap()
    }

    fn refitted(job: &Job, old: &Plan) -> Result<PlacedTray, String> {
        refit(&job.trays[0], &needs(job, &job.trays[0]), &old.settled.trays[0])
    }

    #[test]
    fn a_tray_without_any_change_is_itself() {
        let job = job(&[]);
        let old = plan(&job);
        assert_eq!(refitted(&job, &old).as_ref(), Ok(&old.settled.trays[0]));
    }

    #[test]
    fn a_thicker_deck_that_still_fits_only_has_less_slack() {
        let old = plan(&job(&[]));
        let was = &old.settled.trays[0].compartments[0];
        let slack = was.slack.height;
        assert!(slack >= Length::mm(2), "{slack}");
        let tray = refitted(&job(&[("part.tide cards.stack.height", "22")]), &old).unwrap();
        let is = &tray.compartments[0];
        assert_eq!((is.size, is.at, is.slack.height), (was.size, was.at, slack - Length::mm(2)));
        let higher = job(&[("part.tide cards.stack.height", "39.5")]);
        assert!(refitted(&higher, &old).unwrap_err().contains("\"tide cards\" does not fit"));
    }

    #[test]
    fn what_is_thicker_larger_or_elsewhere_cannot_stay() {
        let old = plan(&job(&[]));
        for (key, value, why) in [
            ("stock.thickness", "3.2", "wall"),
            ("stock.floor", "2 mm", "floor"),
            ("stock.divider", "2 mm", "divider"),
            ("tray.decks.lid", "true", "lid"),
            ("tray.decks.size", "[110, 90, 39]", "another size"),
            ("part.coins.loose.volume", "95 ml", "in \"purse\""),
        ] {
            let told = refitted(&job(&[(key, value)]), &old).unwrap_err();
            assert!(told.contains(why), "{key}: {told}");
        }
        let mut fewer = job(&[]);
        fewer.trays[0].parts.pop();
        assert!(refitted(&fewer, &old).unwrap_err().contains("other parts"));
    }

    #[test]
    fn a_lower_divider_leaves_everything_else() {
        let old = plan(&job(&[]));
        let tray = refitted(&job(&[("tray.decks.divider_height", "15")]), &old).unwrap();
        let was = &old.settled.trays[0];
        assert_eq!(tray.dividers[0].size.h, Length::mm(15));
        assert_eq!((tray.size, &tray.compartments), (was.size, &was.compartments));
    }
}

//! Parts that are larger than any tray of the box could be inside: what a tray that fits nowhere is told for.

use crate::finding::Finding;
use crate::job::{Job, Part, Tray};
use crate::need::{Alternative, Space};
use crate::place::Size;
use crate::tray::{OptionLimits, PartNeed, TrayNeeds};

/// Parts and ways of standing that are told; more would only repeat it.
const MOST_PARTS: usize = 3;
const MOST_WAYS: usize = 3;

/// The finding that a tray fits nowhere, with those of its parts named that do not even by themselves.
pub(super) fn named(
    job: &Job,
    tray: &Tray,
    needs: &TrayNeeds,
    limits: &OptionLimits,
    it: &Finding,
) -> Finding {
    let g = needs.grid;
    let inside = Size {
        w: g * (limits.most_w - needs.walls()).max(0),
        d: g * (limits.most_d - needs.walls()).max(0),
        h: g * (limits.most_h - needs.base_steps()).max(0),
    };
    let too_large = |(part, need): &(&Part, &PartNeed)| match need {
        PartNeed::Room(need) => {
            let told = need.alternatives.iter().all(|a| !fits(a, inside)) && !need.alternatives.is_empty();
            told.then(|| format!("\"{}\" (needs {})", part.name, ways(job, &need.alternatives)))
        }
        PartNeed::Tray(..) => None,
    };
    let parts: Vec<String> =
        tray.parts.iter().zip(&needs.parts).filter_map(|both| too_large(&both)).take(MOST_PARTS).collect();
    // With a size of its own it is that size that does not go in.
    if parts.is_empty() || tray.size.is_some() {
        return it.clone();
    }
    let cause = format!(
        "in every allowed way of standing these parts are larger than a tray can be inside: {}; walls, floor and clearance \
         leave {} of the box of {}",
        parts.join(", "),
        size(job, inside),
        size(job, job.container.interior)
    );
    Finding { cause, ..it.clone() }.remedied(
        "Measure these parts again, allow them another way of standing, take thinner stock or a larger box, or leave them out.",
    )
}

fn fits(way: &Alternative, inside: Size) -> bool {
    let (short, long) = (inside.w.min(inside.d), inside.w.max(inside.d));
    match way.space {
        Space::Fixed { w, d, h } => {
            let own = w <= inside.w && d <= inside.d;
            let turned = way.turnable && d <= inside.w && w <= inside.d;
            (own || turned) && h <= inside.h
        }
        Space::Soft { volume, side, long: least, h } => {
            side <= short && least <= long && h <= inside.h && volume <= inside.volume()
        }
    }
}

/// What a part takes, in each way of standing.
fn ways(job: &Job, all: &[Alternative]) -> String {
    let mut told: Vec<String> = Vec::new();
    for way in all {
        let text = match way.space {
            Space::Fixed { w, d, h } => size(job, Size { w, d, h }),
            Space::Soft { volume, .. } => volume.show_ml(),
        };
        if !told.contains(&text) {
            told.push(text);
        }
    }
    let more = if told.len() > MOST_WAYS { " and others" } else { "" };
    told.truncate(MOST_WAYS);
    told.join(" or ") + more
}

fn size(job: &Job, size: Size) -> String {
    let [w, d, h] = [size.w, size.d, size.h].map(|l| l.show_number(job.unit));
    format!("{w} × {d} × {h} {}", job.unit.name())
}

#[cfg(test)]
mod tests {
    use crate::brief::Format;
    use crate::{job, plan};

    fn told(part: &str) -> String {
        let brief = format!(
            "box.interior = [100, 90, 40]\nstock = {{ name = \"birch plywood\", thickness = 3, process = \"laser\" }}\n\
             [[tray]]\nname = \"cargo\"\n[[tray.part]]\nname = \"salt\"\nloose = {{ volume = \"35 ml\" }}\n\
             [[tray.part]]\nname = \"charts\"\n{part}\n"
        );
        let job = job::read(&brief, "b.toml", Format::Toml, None, &[]).unwrap();
        let outcome = plan::solve(&job, &plan::Options::default(), &mut |_| {});
        let found = outcome.reasons.iter().find(|f| f.code == "T001").unwrap();
        assert_eq!(found.place.path, "tray \"cargo\"");
        format!("{} — {}", found.cause, found.remedy)
    }

    #[test]
    fn a_part_that_no_tray_could_hold_is_named_with_its_size_and_the_box() {
        let text = told("stack = { face = [88, 96], height = 20, stand = [\"flat\"] }");
        assert!(text.contains("\"charts\" (needs 89 × 97 × 20 mm)"), "{text}");
        assert!(text.contains("the box of 100 × 90 × 40 mm"), "{text}");
        assert!(!text.contains("salt") && !text.contains("plit it"), "{text}");
        assert!(told("loose = { volume = \"300 ml\" }").contains("\"charts\" (needs "));
    }

    #[test]
    fn parts_that_fit_each_by_itself_are_not_blamed() {
        let text = told("solid = { size = [88, 78, 30] }");
        assert!(text.starts_with("no outline of this tray that holds all its parts"), "{text}");
    }
}

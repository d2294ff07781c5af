//! How much there is of a part, and how a brief says that there is more or less of it.

use super::written::{self, Change};
use crate::job::{Contents, Part};
use crate::length::{Length, Unit, Volume};

/// An amount and the steps in which a maker would change it.
#[derive(Clone, Debug)]
pub(super) struct Amount {
    part: String,
    unit: Unit,
    kind: Kind,
}

#[derive(Clone, Debug)]
enum Kind {
    /// So many pieces; what was measured of all of them grows and shrinks with them.
    Pieces { key: &'static str, count: i64, bulk: Option<Volume>, height: Option<Length> },
    /// A measured volume, in steps of a millilitre.
    Bulk(Volume),
    /// A measured height of pieces that nobody counted.
    Height(Length),
}

const ML: i128 = 10i128.pow(21);

/// A step of a length that any ruler shows: half a millimetre, or a 64th of an inch.
pub(super) fn ruler(unit: Unit) -> Length {
    match unit {
        Unit::Millimetre | Unit::Centimetre => Length::um(500),
        Unit::Inch => Length::inch_64ths(1),
    }
}

impl Amount {
    /// That of a part; `None` for a small tray, whose own parts have theirs.
    pub(super) fn of(part: &Part, unit: Unit) -> Option<Amount> {
        let kind = match &part.contents {
            Contents::Loose(l) => match (l.count, l.volume) {
                (Some(count), bulk) => Kind::Pieces { key: "loose", count, bulk, height: None },
                (None, Some(volume)) => Kind::Bulk(volume),
                (None, None) => return None,
            },
            Contents::Stack(s) => match (s.count, s.height) {
                (Some(count), height) => Kind::Pieces { key: "stack", count, bulk: None, height },
                (None, Some(height)) => Kind::Height(height),
                (None, None) => return None,
            },
            Contents::Solid(s) => Kind::Pieces { key: "solid", count: s.count, bulk: None, height: None },
            Contents::Tray(_) => return None,
        };
        Some(Amount { part: part.name.clone(), unit, kind })
    }

    /// So many steps there are; less one of them, something is left.
    pub(super) fn steps(&self) -> i64 {
        let steps = match self.kind {
            Kind::Pieces { count, .. } => i128::from(count),
            Kind::Bulk(volume) => -(-volume.nm3()).div_euclid(ML),
            Kind::Height(height) => i128::from(height.steps_up(ruler(self.unit))),
        };
        i64::try_from(steps).unwrap_or(i64::MAX)
    }

    /// So many steps are this share of it, rounded down.
    pub(super) fn percent(&self, percent: i64) -> i64 {
        let share = match self.kind {
            Kind::Pieces { count, .. } => i128::from(count) * i128::from(percent) / 100,
            Kind::Bulk(volume) => volume.nm3() * i128::from(percent) / 100 / ML,
            Kind::Height(height) => {
                i128::from(height.nm()) * i128::from(percent) / 100 / i128::from(ruler(self.unit).nm())
            }
        };
        i64::try_from(share).unwrap_or(i64::MAX)
    }

    /// What a step is called.
    pub(super) fn step_of(&self) -> String {
        match self.kind {
            Kind::Pieces { .. } => "pieces".to_owned(),
            Kind::Bulk(_) => "ml".to_owned(),
            Kind::Height(_) => format!("× {}", ruler(self.unit).show(self.unit)),
        }
    }

    /// The amount `by` steps from what it is, for reading.
    pub(super) fn show(&self, by: i64) -> String {
        match self.kind {
            Kind::Pieces { count, .. } if count.saturating_add(by) == 1 => "1 piece".to_owned(),
            Kind::Pieces { count, .. } => format!("{} pieces", count.saturating_add(by)),
            Kind::Bulk(volume) => bulk(volume, by).show_ml(),
            Kind::Height(height) => {
                format!("a stack of {}", (height + ruler(self.unit) * by).show(self.unit))
            }
        }
    }

    /// Changes that make it so many steps more, or less where `by` is negative; what was measured is shared out
    /// evenly among pieces and rounded up.
    pub(super) fn changes(&self, by: i64) -> Vec<Change> {
        let key = |keys: &str| format!("part.{}.{keys}", self.part);
        match self.kind {
            Kind::Pieces { key: kind, count, bulk, height } => {
                let wanted = count.saturating_add(by);
                let scaled = |all: i128, step: i128| {
                    let (n, of) = (i128::from(wanted), i128::from(count.max(1)) * step);
                    -(-(all.saturating_mul(n))).div_euclid(of) * step
                };
                let mut changes = vec![(key(&format!("{kind}.count")), wanted.to_string())];
                if let Some(volume) = bulk {
                    let volume = Volume::from_nm3(scaled(volume.nm3(), 1));
                    changes.push((key("loose.volume"), written::volume(volume)));
                }
                if let Some(height) = height {
                    // To a micrometre.
                    let nm = i64::try_from(scaled(i128::from(height.nm()), 1000)).unwrap_or(i64::MAX);
                    changes.push((key("stack.height"), format!("\"{} mm\"", Length::from_nm(nm).decimal())));
                }
                changes
            }
            Kind::Bulk(volume) => vec![(key("loose.volume"), written::volume(bulk(volume, by)))],
            Kind::Height(height) => {
                let height = height + ruler(self.unit) * by;
                vec![(key("stack.height"), format!("\"{} mm\"", height.decimal()))]
            }
        }
    }
}

fn bulk(volume: Volume, by: i64) -> Volume {
    Volume::from_nm3(volume.nm3() + ML * i128::from(by))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::Format;
    use crate::job;

    const BRIEF: &str = r#"
box.interior = [300, 250, 60]
stock = { name = "greyboard", thickness = 2 }
part = [
  { name = "shells", loose = { volume = "46.5 ml" } },
  { name = "dice", loose = { volume = "30 ml", count = 9, form = "cube", piece = [12, 12, 12] } },
  { name = "tide cards", stack = { face = [63.5, 88.9], count = 54, height = 16 } },
  { name = "map tiles", stack = { face = [60, 60], height = 21 } },
  { name = "gulls", solid = { size = [20, 20, 30], count = 4 } },
]
"#;

    fn job(changes: &[Change]) -> job::Job {
        job::read(BRIEF, "shore.toml", Format::Toml, None, changes).unwrap()
    }

    fn amounts() -> Vec<Amount> {
        job(&[]).free.iter().map(|f| Amount::of(&f.part, Unit::Millimetre).unwrap()).collect()
    }

    #[test]
    fn amounts_are_told_in_the_parts_own_terms() {
        let shown: Vec<String> = amounts().iter().map(|a| a.show(0)).collect();
        assert_eq!(shown, ["46.5 ml", "9 pieces", "54 pieces", "a stack of 21 mm", "4 pieces"]);
        let more: Vec<String> = amounts().iter().map(|a| a.show(2)).collect();
        assert_eq!(more, ["48.5 ml", "11 pieces", "56 pieces", "a stack of 22 mm", "6 pieces"]);
        let steps: Vec<i64> = amounts().iter().map(Amount::steps).collect();
        assert_eq!(steps, [47, 9, 54, 42, 4]);
        let half: Vec<i64> = amounts().iter().map(|a| a.percent(50)).collect();
        assert_eq!(half, [23, 4, 27, 21, 2]);
    }

    #[test]
    fn changes_read_back_as_the_amount_they_say() {
        for by in [-3, 0, 7] {
            let changes: Vec<Change> = amounts().iter().flat_map(|a| a.changes(by)).collect();
            let shown: Vec<String> = job(&changes)
                .free
                .iter()
                .map(|f| Amount::of(&f.part, Unit::Millimetre).unwrap().show(0))
                .collect();
            assert_eq!(shown, amounts().iter().map(|a| a.show(by)).collect::<Vec<_>>());
        }
        // 16 mm for 54 are 18.0741 mm for 61.
        let more = amounts()[2].changes(7);
        assert_eq!(more[1], ("part.tide cards.stack.height".to_owned(), "\"18.075 mm\"".to_owned()));
    }
}

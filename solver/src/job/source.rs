//! From files or texts to a job.

use std::path::Path;

use sha2::{Digest, Sha256};

use super::files::{self, MOST_BYTES};
use super::{Job, build, stock};
use crate::brief::keys::BriefKeys;
use crate::brief::reader::Reader;
use crate::brief::sources::Sources;
use crate::brief::{self, Format, Input, Written};
use crate::finding::{Finding, Place, Severity};

/// Faults that say only that something is too large for the box, or the stock too thick for it.
const TOO_LARGE: [&str; 4] = ["J010", "J011", "J012", "J017"];

/// A brief with what it names, as texts: what a job is read from.
///
/// A caller without a disk fills it by hand; [`Source::load`] fills it from files.
///
/// ```
/// use traywright::{brief::Format, job::Source};
/// let brief = "box.interior = [120, 90, 40]\nstock = \"ply\"\nstock_list = \"shelf.csv\"\n\
///     part = [{ name = \"mail\", loose = { volume = \"40 ml\" } }]\n";
/// let list = "id,name,thickness,process\nply,birch plywood,3 mm,laser\n";
/// let source = Source {
///     name: "quay.toml".into(),
///     text: brief.into(),
///     format: Format::Toml,
///     inventory: None,
///     stock_list: Some(("shelf.csv".into(), list.into())),
///     corrections: None,
/// };
/// assert_eq!(source.read(&[]).unwrap().stock.name, "birch plywood");
/// let faults = Source { stock_list: None, ..source }.read(&[]).unwrap_err();
/// assert!(faults.iter().any(|f| f.code == "B031")); // a file that did not come along
/// ```
#[derive(Clone, Debug)]
pub struct Source {
    /// Name of the brief for findings.
    pub name: String,
    /// The brief.
    pub text: String,
    /// How it is written.
    pub format: Format,
    /// Name and text of its inventory.
    pub inventory: Option<(String, String)>,
    /// Name and text of its stock list; a name that ends in `.csv` is a spreadsheet.
    pub stock_list: Option<(String, String)>,
    /// Name and text of measures corrected on a dry fit, which are laid over the brief before any change.
    pub corrections: Option<(String, String)>,
}

impl Source {
    /// Reads a brief from disk (JSON where its name ends so, else TOML), and its inventory, stock list and corrections
    /// from beside it. `changes` count here too, as they may name another inventory or list.
    ///
    /// ```
    /// use traywright::{brief::Format, job::Source};
    /// let folder = std::env::temp_dir().join(format!("quay-{}", std::process::id()));
    /// std::fs::create_dir_all(&folder).unwrap();
    /// std::fs::write(folder.join("quay.toml"), "inventory = \"parts.csv\"\n").unwrap();
    /// std::fs::write(folder.join("parts.csv"), "name,tray\n").unwrap();
    /// let source = Source::load(&folder.join("quay.toml"), &[]).unwrap();
    /// std::fs::remove_dir_all(&folder).unwrap();
    /// assert_eq!(source.format, Format::Toml);
    /// assert_eq!(source.inventory.unwrap().1, "name,tray\n"); // found beside the brief
    /// ```
    ///
    /// # Errors
    /// Files that are missing, too large (over 8 MiB) or no text.
    pub fn load(path: &Path, changes: &[(String, String)]) -> Result<Source, Vec<Finding>> {
        let text = files::read(path, "the brief")?;
        let name = path.display().to_string();
        let format = if name.to_lowercase().ends_with(".json") { Format::Json } else { Format::Toml };
        let written = Written { name: &name, text: &text };
        let [inventory, stock_list, corrections] = brief::named_files(written, format, changes);
        let beside = |name: Option<String>, what: &str| -> Result<Option<(String, String)>, Vec<Finding>> {
            let Some(name) = name else { return Ok(None) };
            let path = path.parent().unwrap_or(Path::new("")).join(&name);
            let text = files::read(&path, what)?;
            Ok(Some((path.display().to_string(), text)))
        };
        let inventory = beside(inventory, "the inventory");
        let stock_list = beside(stock_list, "the stock list");
        let corrections = beside(corrections, "the corrections");
        match (inventory, stock_list, corrections) {
            (Ok(inventory), Ok(stock_list), Ok(corrections)) => {
                Ok(Source { name, text, format, inventory, stock_list, corrections })
            }
            (inventory, stock_list, corrections) => {
                let faults = [inventory.err(), stock_list.err(), corrections.err()];
                Err(faults.into_iter().flatten().flatten().collect())
            }
        }
    }

    /// Reads the job. `changes` set keys by their dotted path, such as `box.interior`, `stock.thickness` or
    /// `part.weather cards.stack.count`; values are written as in a brief, and a plain text needs no quotes.
    ///
    /// ```
    /// use traywright::{brief::{starter, Format, Starter}, job, length::Length};
    ///
    /// let changes = [("box.lid_room".to_owned(), "3 mm".to_owned())];
    /// let job = job::read(starter(Starter::Brief), "starter.toml", Format::Toml, None, &changes).unwrap();
    /// assert_eq!(job.container.lid_room, Length::mm(3));
    /// ```
    ///
    /// # Errors
    /// Every fault found, together with the warnings, in the order of the files.
    pub fn read(&self, changes: &[(String, String)]) -> Result<Job, Vec<Finding>> {
        let (job, findings) = self.read_all(changes)?;
        // Among findings that are left out there may be a fault.
        let fault = findings.iter().any(|f| f.severity == Severity::Fault || f.code == "B019");
        match job {
            Some(job) if !fault => Ok(Job { findings, ..job }),
            // Beside faults, what was chosen for want of a word is of no interest.
            _ => Err(findings.into_iter().filter(|f| f.severity != Severity::Note).collect()),
        }
    }

    /// Reads a job that may ask for more than its box has room for: beside it stand the faults that only say so.
    /// Such a job is good for looking at, not for solving.
    ///
    /// # Errors
    /// As [`Source::read`], where there is a fault of another kind.
    pub(crate) fn read_unfitting(
        &self,
        changes: &[(String, String)],
    ) -> Result<(Job, Vec<Finding>), Vec<Finding>> {
        let (job, findings) = self.read_all(changes)?;
        let faults = findings.iter().filter(|f| f.severity == Severity::Fault || f.code == "B019");
        match job {
            Some(job) if faults.clone().all(|f| TOO_LARGE.contains(&f.code)) => {
                Ok((job, faults.cloned().collect()))
            }
            _ => self.read(changes).map(|job| (job, Vec::new())),
        }
    }

    /// The job, where it could be built, and everything that was found.
    fn read_all(&self, changes: &[(String, String)]) -> Result<(Option<Job>, Vec<Finding>), Vec<Finding>> {
        let texts = [Some((&self.name, &self.text))].into_iter().chain([
            self.inventory.as_ref().map(|(n, t)| (n, t)),
            self.stock_list.as_ref().map(|(n, t)| (n, t)),
            self.corrections.as_ref().map(|(n, t)| (n, t)),
        ]);
        for (name, text) in texts.flatten() {
            if text.len() as u64 > MOST_BYTES {
                let place = Place { file: name.clone(), ..Place::default() };
                return Err(vec![Finding::listed("B002", "the text is larger than 8 MiB").at(place)]);
            }
        }
        let mut sources = Sources::default();
        let written =
            |(name, text): &'_ (String, String)| -> (String, String) { (name.clone(), text.clone()) };
        let inventory = self.inventory.as_ref().map(written);
        let inventory = inventory.as_ref().map(|(name, text)| Written { name, text });
        let corrections = self.corrections.as_ref().map(|(name, text)| Written { name, text });
        let brief = Written { name: &self.name, text: &self.text };
        let input = Input::new(&mut sources, brief, self.format, inventory, corrections, changes);
        let list = self
            .stock_list
            .as_ref()
            .map(|(name, text)| brief::add_stock_list(&mut sources, Written { name, text }));
        let mut reader = Reader::new(&sources);
        let keys = brief::read(&mut reader, &input);
        let rows = match list {
            Some(list) => {
                // A list is written in millimetres, whatever the brief's unit: it serves many briefs.
                let unit = std::mem::take(&mut reader.unit);
                let rows = stock::list(&mut reader, list);
                reader.unit = unit;
                Some(rows)
            }
            None => None,
        };
        let job = keys.and_then(|keys| {
            self.all_handed_over(&keys, &mut reader);
            build::job(&keys, rows.as_deref(), &mut reader)
        });
        let job = job.map(|job| Job { digest: self.digest(changes), ..job });
        Ok((job, reader.findings.into_list()))
    }

    /// A file that the brief names must have come along: without it parts would be missing unnoticed.
    fn all_handed_over(&self, keys: &BriefKeys, reader: &mut Reader<'_>) {
        let files = [
            (&keys.inventory, self.inventory.is_some()),
            (&keys.stock_list, self.stock_list.is_some()),
            (&keys.corrections, self.corrections.is_some()),
        ];
        for (named, here) in files {
            if let (Some(at), false) = (named.get(), here) {
                let cause = format!("the brief names \"{}\", but only the brief was handed over", at.value.0);
                reader.report("B031", at.spot.span, &at.spot.path, cause);
            }
        }
    }

    /// SHA-256 of what was read. For a brief alone it is that of the file's bytes; an inventory, a stock list
    /// and changes are added to it, each after its name.
    pub(crate) fn digest(&self, changes: &[(String, String)]) -> String {
        let mut hash = Sha256::new();
        hash.update(self.text.as_bytes());
        let inventory = self.inventory.iter().map(|(_, text)| ("inventory", text.as_str()));
        let stock_list = self.stock_list.iter().map(|(_, text)| ("stock_list", text.as_str()));
        let corrections = self.corrections.iter().map(|(_, text)| ("corrections", text.as_str()));
        // Where the corrections lie is nobody's business; what they say counts.
        let changes = changes.iter().filter(|(path, _)| path != "corrections");
        let changes = changes.map(|(path, value)| (path.as_str(), value.as_str()));
        for (name, text) in inventory.chain(stock_list).chain(corrections).chain(changes) {
            hash.update([0]);
            hash.update(name.as_bytes());
            hash.update([0]);
            hash.update(text.as_bytes());
        }
        hash.finalize().iter().map(|b| format!("{b:02x}")).collect()
    }
}

/// Reads a job from a brief on disk and what it names there; see [`Source`].
///
/// ```
/// use traywright::{brief::{Starter, starter}, job, length::Length};
/// let file = std::env::temp_dir().join(format!("ferry-{}.toml", std::process::id()));
/// std::fs::write(&file, starter(Starter::Brief)).unwrap();
/// let job = job::load(&file, &[("box.lid_room".into(), "3 mm".into())]).unwrap();
/// std::fs::remove_file(&file).unwrap();
/// assert_eq!((&*job.title, job.container.lid_room), ("Oddlewick ferry", Length::mm(3)));
/// assert!(job::load(&file, &[]).is_err()); // gone
/// ```
///
/// # Errors
/// Every fault found, together with the warnings.
pub fn load(path: &Path, changes: &[(String, String)]) -> Result<Job, Vec<Finding>> {
    Source::load(path, changes)?.read(changes)
}

/// Reads a job from texts alone; see [`Source`].
///
/// ```
/// use traywright::{brief::Format, job};
/// let brief = "inventory = \"parts.csv\"\nbox.interior = [120, 90, 40]\n\
///     stock = { name = \"birch plywood\", thickness = 3 }\n";
/// let parts = ("parts.csv", "name,tray,loose.volume\nmail,cargo,40 ml\n");
/// let job = job::read(brief, "quay.toml", Format::Toml, Some(parts), &[]).unwrap();
/// assert_eq!((&*job.trays[0].name, &*job.trays[0].parts[0].name), ("cargo", "mail"));
/// assert!(job::read(brief, "quay.toml", Format::Toml, None, &[]).is_err());
/// ```
///
/// # Errors
/// Every fault found, together with the warnings.
pub fn read(
    text: &str,
    file_name: &str,
    format: Format,
    inventory: Option<(&str, &str)>,
    changes: &[(String, String)],
) -> Result<Job, Vec<Finding>> {
    let inventory = inventory.map(|(name, text)| (name.to_owned(), text.to_owned()));
    let source = Source {
        name: file_name.to_owned(),
        text: text.to_owned(),
        format,
        inventory,
        stock_list: None,
        corrections: None,
    };
    source.read(changes)
}

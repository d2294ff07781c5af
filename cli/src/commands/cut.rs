use std::path::PathBuf;

use clap::Args;
use traywright::cut::Options;
use traywright::draw;

use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::opened::brief_and_plan;
use crate::search::Changes;

/// Write everything that is needed to cut and build a plan: sheets, cut list, assembly cards, patterns
///
/// Writes STEM.sheet-K.svg and STEM.sheet-K.dxf for each sheet, STEM.cut.html (sheets with letters, cut list, time and
/// material, cautions), STEM.cut.csv, STEM.cut.json, STEM.assembly.html (a card a tray) and, for stock cut by knife or
/// saw, STEM.pattern.html at true size, STEM being the brief's name. The plan is checked against its brief first; files
/// are read back and counted before they are put in place.
#[derive(Args)]
pub(crate) struct Cut {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Plan file (STEM.plan.json)
    plan: PathBuf,
    /// Directory to write into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Put names on the panels, as an operation of its own
    #[arg(long)]
    engrave: bool,
    /// Write a pattern on paper for every stock, not only for those cut by knife or saw
    #[arg(long)]
    pattern: bool,
    #[command(flatten)]
    changes: Changes,
}

impl Cut {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let Some((job, plan)) = brief_and_plan(&self.brief, &self.plan, &self.changes, console)? else {
            return Ok(Exit::InputAtFault);
        };
        let stem = stem(&self.brief)?;
        let mut options = Options::default();
        (options.engrave, options.pattern) = (self.engrave, self.pattern);
        let made = match draw::cut(&job, &plan, &stem, &options) {
            Ok(made) => made,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut files = FileSet::default();
        for file in &made.files {
            add(&mut files, &self.out, file);
        }
        // What an earlier plan with more sheets, or with stock cut by hand, has left behind.
        let sheets = made.job.lots.iter().map(|l| l.sheets.len()).sum::<usize>();
        let older = (sheets + 1..)
            .map(|k| [format!("{stem}.sheet-{k}.svg"), format!("{stem}.sheet-{k}.dxf")])
            .take_while(|pair| pair.iter().any(|name| self.out.join(name).exists()))
            .flatten();
        older.for_each(|name| files.remove(self.out.join(name)));
        if !made.files.iter().any(|f| f.name.ends_with(".pattern.html")) {
            files.remove(self.out.join(format!("{stem}.pattern.html")));
        }
        files.write()?;
        // Notes too: a sheet that was taken for granted or a compartment without a notch is seen too late once it is cut.
        console.findings(&made.job.findings);
        console.result(&made.summary)?;
        Ok(Exit::Done)
    }
}

/// How files of a brief begin.
pub(super) fn stem(brief: &std::path::Path) -> anyhow::Result<String> {
    let stem = brief.file_stem().ok_or_else(|| anyhow::anyhow!("the brief has no name"))?;
    Ok(stem.to_string_lossy().into_owned())
}

/// Adds a file that is read back from the disk before it is put in place.
pub(super) fn add(files: &mut FileSet, dir: &std::path::Path, file: &draw::CutFile) {
    let own = file.clone();
    files.add_read_back(dir.join(&file.name), file.text.clone(), move |text| {
        draw::read_back(&own, text).map(|finding| finding.to_string())
    });
}

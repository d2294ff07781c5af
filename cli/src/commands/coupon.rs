use std::path::PathBuf;

use clap::Args;
use traywright::draw;

use super::cut::{add, stem};
use crate::console::Console;
use crate::exit::Exit;
use crate::files::FileSet;
use crate::search::Changes;

/// Write a test coupon for each stock of a brief: it measures the width of the cut and shows which fit suits
///
/// Writes STEM.coupon-N.svg and STEM.coupon-N.dxf for each stock and STEM.coupon.html, which tells how to read them and
/// which keys of the stock the measured values go into.
#[derive(Args)]
pub(crate) struct Coupon {
    /// Brief (TOML or JSON)
    brief: PathBuf,
    /// Directory to write into
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    #[command(flatten)]
    changes: Changes,
}

impl Coupon {
    pub(crate) fn run(&self, console: &Console) -> anyhow::Result<Exit> {
        let stem = stem(&self.brief)?;
        let made = self.changes.job(&self.brief).and_then(|job| draw::coupon_files(&job, &stem));
        let made = match made {
            Ok(made) => made,
            Err(findings) => {
                console.findings(&findings);
                return Ok(Exit::InputAtFault);
            }
        };
        let mut files = FileSet::default();
        made.files.iter().for_each(|file| add(&mut files, &self.out, file));
        let count = made.files.iter().filter(|f| f.name.ends_with(".svg")).count();
        let older = (count + 1..)
            .map(|k| [format!("{stem}.coupon-{k}.svg"), format!("{stem}.coupon-{k}.dxf")])
            .take_while(|pair| pair.iter().any(|name| self.out.join(name).exists()))
            .flatten();
        older.for_each(|name| files.remove(self.out.join(name)));
        files.write()?;
        console.result(&made.summary)?;
        Ok(Exit::Done)
    }
}

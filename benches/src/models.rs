//! Placement models as MPS files, for other solvers.

use std::path::Path;

use traywright::layout::instance::Instance;
use traywright::layout::model::mps;

/// Writes each instance as `NAME.mps` into a folder, which is made where it is missing. Models that are too large are
/// named on the standard output and left out.
///
/// # Errors
/// What could not be written.
pub fn write_models<'a>(
    instances: impl Iterator<Item = (&'a str, Instance)>,
    folder: &Path,
) -> Result<(), String> {
    std::fs::create_dir_all(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    for (name, instance) in instances {
        match mps(&instance) {
            Ok(text) => {
                let file = folder.join(format!("{name}.mps"));
                std::fs::write(&file, text).map_err(|e| format!("{}: {e}", file.display()))?;
            }
            Err(e) => println!("{name}: {e}: not written"),
        }
    }
    Ok(())
}

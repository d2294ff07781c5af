//! Files from disk, within stated limits.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use crate::finding::{Finding, Place};

/// Bytes of a brief, an inventory or a stock list. A brief with 2 000 parts takes a tenth of it.
pub(crate) const MOST_BYTES: u64 = 8 * 1024 * 1024;

/// Reads a text file; `what` names it in findings. Nothing beyond [`MOST_BYTES`] is read.
pub(crate) fn read(path: &Path, what: &str) -> Result<String, Vec<Finding>> {
    let fault = |code, bytes, cause: String| {
        let place = Place { file: path.display().to_string(), bytes, ..Place::default() };
        vec![Finding::listed(code, cause).at(place)]
    };
    let mut bytes = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|e| fault("B001", None, format!("{what} cannot be read: {e}")))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(fault("B002", None, format!("{what} is larger than {} MiB", MOST_BYTES / (1024 * 1024))));
    }
    String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        fault("B003", Some(at..at + 1), format!("{what} is not text in UTF-8: byte {at} fits no letter"))
    })
}

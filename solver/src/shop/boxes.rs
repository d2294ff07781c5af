//! Box lists: the boxes that a shop works with.

use std::path::Path;

use super::list::{Row, rows, whole};
use crate::finding::Finding;

/// One box of a list; its sides are kept as they are written, so that they take the unit of the brief.
///
/// ```
/// let list = "id,width,depth,height,price\nflat,10 1/4 in,188,50,5.20\n";
/// let flat = &traywright::shop::read_boxes("boxes.csv", list).unwrap()[0];
/// assert_eq!(flat.interior, ["10 1/4 in", "188", "50"]);
/// assert_eq!(flat.price.as_deref(), Some("5.20"));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoxRow {
    /// Identifier by which job lists name it.
    pub id: String,
    /// Inside width, depth and height.
    pub interior: [String; 3],
    /// What one costs, as it is written.
    pub price: Option<String>,
}

const COLUMNS: [&str; 5] = ["id", "width", "depth", "height", "price"];

/// Reads a box list (CSV: `id, width, depth, height, price`) from a file.
///
/// ```
/// use traywright::shop::load_boxes;
/// let boxes = load_boxes("../scenarios/shop/boxes.csv".as_ref()).unwrap();
/// assert_eq!((boxes.len(), boxes[0].id.as_str()), (5, "small"));
/// assert_eq!(load_boxes("no-such.csv".as_ref()).unwrap_err()[0].code, "B001");
/// ```
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn load_boxes(path: &Path) -> Result<Vec<BoxRow>, Vec<Finding>> {
    let text = crate::job::files::read(path, "the box list")?;
    read_boxes(&path.display().to_string(), &text)
}

/// Reads a box list from a text.
///
/// ```
/// let boxes = traywright::shop::read_boxes("boxes.csv", "id,width,depth,height\nflat,262,188,50\n").unwrap();
/// assert_eq!(boxes[0].interior, ["262", "188", "50"]);
/// assert_eq!(boxes[0].price, None);
/// ```
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_boxes(name: &str, text: &str) -> Result<Vec<BoxRow>, Vec<Finding>> {
    let rows = rows(name, text, &|c| COLUMNS.contains(&c), &COLUMNS.join(", "))?;
    let mut findings = Vec::new();
    let mut boxes: Vec<BoxRow> = Vec::new();
    for (row, faults) in &rows {
        if !faults.is_empty() {
            findings.extend(faults.iter().cloned());
            continue;
        }
        match box_of(row) {
            Ok(b) if boxes.iter().any(|other| other.id == b.id) => {
                findings.push(row.fault("S055", format!("\"{}\" stands twice in the list", b.id)));
            }
            Ok(b) => boxes.push(b),
            Err(finding) => findings.push(finding),
        }
    }
    if boxes.is_empty() && findings.is_empty() {
        findings.push(whole(name, "S054", "the list is empty"));
    }
    if findings.is_empty() { Ok(boxes) } else { Err(findings) }
}

fn box_of(row: &Row) -> Result<BoxRow, Finding> {
    match (row.get("id"), row.get("width"), row.get("depth"), row.get("height")) {
        (Some(id), Some(w), Some(d), Some(h)) => {
            let price = row.get("price").map(str::to_owned);
            Ok(BoxRow { id: id.to_owned(), interior: [w, d, h].map(str::to_owned), price })
        }
        _ => Err(row.fault("S056", "a box needs an id, a width, a depth and a height")),
    }
}

//! Job lists: which briefs to solve, with which box, stock and other changes.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use serde_json::Value;

use super::boxes::BoxRow;
use super::list::{MOST_ROWS, Row, line_place, rows, too_many, whole};
use crate::finding::Finding;

/// One job of a list.
///
/// ```
/// use traywright::shop::{Catalogue, read_jobs};
/// let list = "id,brief\n,ferry.toml\nlow,\n";
/// let jobs = read_jobs("jobs.csv", list, &Catalogue::default()).unwrap();
/// assert_eq!((jobs[0].id.as_str(), jobs[0].brief.as_str()), ("line-2", "ferry.toml"));
/// assert_eq!(jobs[1].findings[0].code, "S056"); // no brief: a fault of that line alone
/// ```
#[derive(Clone, Debug)]
pub struct JobLine {
    /// Its identifier, fit for the names of files; `line-N` where the list gives none.
    pub id: String,
    /// The brief as the list names it, relative to the list.
    pub brief: String,
    /// The box by its identifier in the box list, where the job names one.
    pub box_id: Option<String>,
    /// What that box costs, as the box list has it.
    pub box_price: Option<String>,
    /// The stock as the job names it.
    pub stock: Option<String>,
    /// Keys of the brief that this job sets.
    pub changes: Vec<(String, String)>,
    /// What is wrong with the line itself; such a job is not run.
    pub findings: Vec<Finding>,
}

/// What job lists may choose from.
///
/// ```
/// use traywright::shop::{Catalogue, read_jobs};
/// let shelf = Catalogue { boxes: Vec::new(), stocks: vec!["oak-3".into(), "ash-4".into()] };
/// let jobs = read_jobs("jobs.csv", "id,brief,stock\nlow,ferry.toml,*\n", &shelf).unwrap();
/// let ids: Vec<&str> = jobs.iter().map(|job| job.id.as_str()).collect();
/// assert_eq!(ids, ["low.oak-3", "low.ash-4"]);
/// ```
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    /// Boxes, in the order of their list.
    pub boxes: Vec<BoxRow>,
    /// Identifiers of the stock list, in its order.
    pub stocks: Vec<String>,
}

/// Stands for every box or every stock of a list.
const EVERY: &str = "*";

const COLUMNS: &str = "id, brief, box, interior.width, interior.depth, interior.height, stock and set.KEY for any key of a brief";
const INTERIOR: [&str; 3] = ["interior.width", "interior.depth", "interior.height"];
/// Longest identifier: names of files are made from it.
const LONGEST_ID: usize = 100;
/// The page of the whole run is called so.
const RESERVED: &str = "summary";

fn is_column(name: &str) -> bool {
    ["id", "brief", "box", "stock"].contains(&name)
        || INTERIOR.contains(&name)
        || name.strip_prefix("set.").is_some_and(|key| !key.is_empty())
}

/// Reads a job list from a file: JSON lines where its name ends in `.jsonl`, else CSV.
///
/// ```
/// use traywright::shop::{Catalogue, load_jobs};
/// let jobs = load_jobs("../scenarios/shop/jobs.csv".as_ref(), &Catalogue::default()).unwrap();
/// assert_eq!(jobs[1].id, "tides-lower");
/// assert_eq!(jobs[1].changes, [("box.interior".into(), "[160, 110, 32]".into())]);
/// ```
///
/// # Errors
/// Faults of the whole list. What is wrong with one line stands in that line.
pub fn load_jobs(path: &Path, catalogue: &Catalogue) -> Result<Vec<JobLine>, Vec<Finding>> {
    let text = crate::job::files::read(path, "the job list")?;
    read_jobs(&path.display().to_string(), &text, catalogue)
}

/// Reads a job list from a text.
///
/// ```
/// let list = "id,brief,stock,set.layers.most\nlow,ferry.toml,birch-3,1\n";
/// let jobs = traywright::shop::read_jobs("jobs.csv", list, &Default::default()).unwrap();
/// assert_eq!(jobs[0].changes, [("stock".into(), "birch-3".into()), ("layers.most".into(), "1".into())]);
/// ```
///
/// A `*` as box or stock makes one job for each of the catalogue, `ID.BOX`, `ID.STOCK` or `ID.BOX.STOCK`.
///
/// # Errors
/// Faults of the whole list. What is wrong with one line stands in that line.
pub fn read_jobs(name: &str, text: &str, catalogue: &Catalogue) -> Result<Vec<JobLine>, Vec<Finding>> {
    let rows = if name.to_lowercase().ends_with(".jsonl") {
        json_rows(name, text)?
    } else {
        rows(name, text, &is_column, COLUMNS)?
    };
    if rows.is_empty() {
        return Err(vec![whole(name, "S054", "the list is empty")]);
    }
    let mut seen = BTreeSet::new();
    let mut jobs = Vec::with_capacity(rows.len());
    for (row, findings) in &rows {
        for (row, ending, more) in each_of_all(row, catalogue) {
            let findings = findings.iter().cloned().chain(more).collect();
            jobs.push(job(&row, &ending, findings, &catalogue.boxes, &mut seen));
            if jobs.len() > MOST_ROWS {
                return Err(vec![too_many(name)]);
            }
        }
    }
    Ok(jobs)
}

/// A row with `*` as many rows, each with what is added to its identifier.
fn each_of_all(row: &Row, catalogue: &Catalogue) -> Vec<(Row, String, Option<Finding>)> {
    let mut out = vec![(row.clone(), String::new(), None)];
    let boxes: Vec<&str> = catalogue.boxes.iter().map(|b| b.id.as_str()).collect();
    let stocks: Vec<&str> = catalogue.stocks.iter().map(String::as_str).collect();
    for (column, all) in [("box", boxes), ("stock", stocks)] {
        if row.get(column) != Some(EVERY) {
            continue;
        }
        if all.is_empty() {
            let cause = format!("`*` stands for every {column} of a list, and there is no such list");
            out.iter_mut().for_each(|(row, _, finding)| {
                row.cells.remove(column);
                *finding = Some(row.fault("S061", cause.clone()));
            });
            continue;
        }
        let more = out.iter().flat_map(|(row, ending, finding)| {
            all.iter().map(move |id| {
                let mut row = row.clone();
                row.cells.insert(column.to_owned(), (*id).to_owned());
                (row, format!("{ending}.{id}"), finding.clone())
            })
        });
        out = more.collect();
    }
    out
}

fn job(
    row: &Row,
    ending: &str,
    mut findings: Vec<Finding>,
    boxes: &[BoxRow],
    seen: &mut BTreeSet<String>,
) -> JobLine {
    let line = row.place.line_column.map_or(0, |(line, _)| line);
    let own = format!("line-{line}{ending}");
    let id = row.get("id").map_or_else(|| own.clone(), |id| format!("{id}{ending}"));
    let fit = id.len() <= LONGEST_ID
        && !id.starts_with('.')
        && id != RESERVED
        && id.chars().all(|c| c.is_alphanumeric() || "-_. ".contains(c));
    let id = if !fit {
        let cause = format!("\"{id}\" cannot name files");
        findings.push(row.fault("S057", cause));
        free(format!("line-{line}"), seen)
    } else if !seen.insert(id.to_lowercase()) {
        let cause = format!("\"{id}\" stands twice in the list");
        findings.push(row.fault("S055", cause));
        free(own, seen)
    } else {
        id
    };
    if row.get("brief").is_none() && findings.is_empty() {
        findings.push(row.fault("S056", "a job needs a brief"));
    }
    let mut changes = Vec::new();
    match interior(row, boxes) {
        Ok(Some(sides)) => changes.push(("box.interior".to_owned(), sides)),
        Ok(None) => {}
        Err(finding) => findings.push(finding),
    }
    changes.extend(row.get("stock").map(|stock| ("stock".to_owned(), stock.to_owned())));
    changes
        .extend(row.cells.iter().filter_map(|(k, v)| Some((k.strip_prefix("set.")?.to_owned(), v.clone()))));
    let text = |column: &str| row.get(column).map(str::to_owned);
    let of_list = boxes.iter().find(|b| row.get("box") == Some(&b.id));
    JobLine {
        id,
        brief: text("brief").unwrap_or_default(),
        box_id: text("box"),
        box_price: of_list.and_then(|b| b.price.clone()),
        stock: text("stock"),
        changes,
        findings,
    }
}

/// A name that no job has yet; `+` stands in no name that a list may give.
fn free(mut id: String, seen: &mut BTreeSet<String>) -> String {
    while !seen.insert(id.to_lowercase()) {
        id.push('+');
    }
    id
}

/// The interior that a row asks for, as it would stand in a brief.
fn interior(row: &Row, boxes: &[BoxRow]) -> Result<Option<String>, Finding> {
    let sides = INTERIOR.map(|column| row.get(column));
    match (sides, row.get("box")) {
        ([None, None, None], None) => Ok(None),
        ([Some(w), Some(d), Some(h)], None) => Ok(Some(list_of([w, d, h]))),
        ([None, None, None], Some(id)) => match boxes.iter().find(|b| b.id == id) {
            Some(b) => Ok(Some(list_of([&b.interior[0], &b.interior[1], &b.interior[2]]))),
            None => Err(row.fault("S058", format!("no box of the list is called \"{id}\""))),
        },
        _ => Err(row.fault("S059", "this is not one whole interior")),
    }
}

/// Sides as a list of a brief: bare numbers as they are, everything else as texts.
fn list_of(sides: [&str; 3]) -> String {
    let side = |s: &str| match s.parse::<f64>() {
        Ok(_) => s.to_owned(),
        Err(_) => Value::from(s).to_string(),
    };
    format!("[{}]", sides.map(side).join(", "))
}

/// Rows of a list in JSON lines, each with the faults of its form.
fn json_rows(name: &str, text: &str) -> Result<Vec<(Row, Vec<Finding>)>, Vec<Finding>> {
    let mut out = Vec::new();
    let mut start = 0;
    for (i, line) in text.split_inclusive('\n').enumerate() {
        let place = line_place(name, text, start, i + 1);
        start += line.len();
        if line.trim().is_empty() {
            continue;
        }
        if out.len() >= MOST_ROWS {
            return Err(vec![too_many(name)]);
        }
        let mut row = Row { cells: BTreeMap::new(), place };
        let mut findings = Vec::new();
        match serde_json::from_str::<Value>(line) {
            Ok(Value::Object(keys)) => fill(&keys, &mut row, &mut findings),
            Ok(_) => findings.push(row.fault("S051", "this line is no object")),
            Err(error) => findings.push(row.fault("S051", format!("this line is no JSON: {error}"))),
        }
        out.push((row, findings));
    }
    Ok(out)
}

/// Takes the keys of an object as cells, as a spreadsheet would have them.
fn fill(keys: &serde_json::Map<String, Value>, row: &mut Row, findings: &mut Vec<Finding>) {
    for (key, value) in keys {
        let cells: Vec<(String, &Value)> = match (key.as_str(), value) {
            ("set", Value::Object(changes)) => changes.iter().map(|(k, v)| (format!("set.{k}"), v)).collect(),
            ("interior", Value::Array(sides)) if sides.len() == 3 => {
                INTERIOR.iter().zip(sides).map(|(k, v)| ((*k).to_owned(), v)).collect()
            }
            (name, value) if is_column(name) => vec![(name.to_owned(), value)],
            _ => {
                let remedy = "Keys are id, brief, box, interior (a list of three), stock and set (a table).";
                let cause = format!("`{key}` is no key of a job, or not of this kind");
                findings.push(row.fault("S052", cause).remedied(remedy));
                continue;
            }
        };
        for (key, value) in cells {
            let cell = match value {
                Value::Null => continue,
                Value::String(text) => text.clone(),
                // A list of numbers and texts is written alike in JSON and in a brief.
                Value::Bool(_) | Value::Number(_) | Value::Array(_) => value.to_string(),
                Value::Object(_) => {
                    let remedy = "Set its keys one by one, by dotted names.";
                    findings
                        .push(row.fault("S051", format!("`{key}` cannot be a table here")).remedied(remedy));
                    continue;
                }
            };
            row.cells.insert(key, cell);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(job: &JobLine) -> Vec<&str> {
        job.findings.iter().map(|f| f.code).collect()
    }

    #[test]
    fn both_writings_say_the_same() {
        let csv = "id;brief;interior.width;interior.depth;interior.height;set.box.lid_room\n\
                   a;x.toml;2 1/2 in;60;40;3\n";
        let jsonl =
            r#"{"id": "a", "brief": "x.toml", "interior": ["2 1/2 in", 60, 40], "set": {"box.lid_room": 3}}"#;
        let wanted = [
            ("box.interior".to_owned(), r#"["2 1/2 in", 60, 40]"#.to_owned()),
            ("box.lid_room".to_owned(), "3".to_owned()),
        ];
        for (name, text) in [("jobs.csv", csv), ("jobs.jsonl", jsonl)] {
            let jobs = read_jobs(name, text, &Catalogue::default()).unwrap();
            assert_eq!(
                (jobs.len(), jobs[0].id.as_str(), &jobs[0].changes[..]),
                (1, "a", &wanted[..]),
                "{name}"
            );
            assert!(jobs[0].findings.is_empty());
        }
    }

    #[test]
    fn a_bad_line_is_a_line_and_not_the_end() {
        let list = "id,brief,box,interior.width\n\
                    a,x.toml,,\n\
                    A,x.toml,,\n\
                    b,,,\n\
                    c,x.toml,,300\n\
                    d,x.toml,small,\n\
                    ../e,x.toml,,\n\
                    # a remark\n\
                    ,x.toml,,\n";
        let jobs = read_jobs("jobs.csv", list, &Catalogue::default()).unwrap();
        let ids: Vec<&str> = jobs.iter().map(|j| j.id.as_str()).collect();
        assert_eq!(ids, ["a", "line-3", "b", "c", "d", "line-7", "line-9"]);
        let found: Vec<Vec<&str>> = jobs.iter().map(codes).collect();
        assert_eq!(
            found,
            [vec![], vec!["S055"], vec!["S056"], vec!["S059"], vec!["S058"], vec!["S057"], vec![]]
        );
        assert_eq!(jobs[3].findings[0].place.line_column, Some((5, 1)));
    }

    #[test]
    fn boxes_are_found_by_their_id() {
        let jobs = read_jobs("jobs.csv", "id,brief,box\na,x.toml,small\n", &shelf()).unwrap();
        assert_eq!(jobs[0].changes, [("box.interior".into(), r#"[200, "6 in", 60]"#.into())]);
        assert_eq!(jobs[0].box_price.as_deref(), Some("4,10 shells"));
    }

    fn shelf() -> Catalogue {
        let row = |id: &str, w: &str| BoxRow {
            id: id.into(),
            interior: [w.into(), "6 in".into(), "60".into()],
            price: Some("4,10 shells".into()),
        };
        Catalogue {
            boxes: vec![row("small", "200"), row("large", "300")],
            stocks: vec!["oak".into(), "ash".into()],
        }
    }

    #[test]
    fn a_star_stands_for_everything_on_the_shelf() {
        let list = "id,brief,box,stock\na,x.toml,*,*\nb,x.toml,small,*\n";
        let jobs = read_jobs("jobs.csv", list, &shelf()).unwrap();
        let ids: Vec<&str> = jobs.iter().map(|j| j.id.as_str()).collect();
        assert_eq!(ids, ["a.small.oak", "a.small.ash", "a.large.oak", "a.large.ash", "b.oak", "b.ash"]);
        let change = jobs[3].changes.iter().map(|(k, v)| format!("{k}={v}")).collect::<Vec<_>>();
        assert_eq!(change, ["box.interior=[300, \"6 in\", 60]", "stock=ash"]);
        let jobs = read_jobs("jobs.csv", list, &Catalogue::default()).unwrap();
        assert!(jobs.iter().all(|j| codes(j).contains(&"S061")), "{jobs:?}");
    }

    #[test]
    fn a_broken_line_takes_no_other_with_it() {
        let list = "id,brief,stock\na,x.toml,oak\nb,x.toml\nc,\"x.toml,oak\nd,x.toml,oak,ash\ne,x.toml,ash\n";
        let jobs = read_jobs("jobs.csv", list, &Catalogue::default()).unwrap();
        let ids: Vec<&str> = jobs.iter().map(|j| j.id.as_str()).collect();
        assert_eq!(ids, ["a", "b", "line-4", "d", "e"]);
        let found: Vec<Vec<&str>> = jobs.iter().map(codes).collect();
        assert_eq!(found, [vec![], vec!["S051"], vec!["S051"], vec!["S051"], vec![]]);
    }

    #[test]
    fn faults_of_the_whole_list() {
        for (text, code) in [
            ("", "S054"),
            ("id,brief\n", "S054"),
            ("id,brief,lid\na,x.toml,1\n", "S052"),
            ("id,\"brief\na,x.toml\n", "S051"),
            ("id,brief,id\na,x.toml,b\n", "S052"),
        ] {
            let findings = read_jobs("jobs.csv", text, &Catalogue::default()).unwrap_err();
            assert_eq!(findings[0].code, code, "{text:?}");
        }
    }

    #[test]
    fn json_lines_that_are_none() {
        let text = "{\"id\": \"a\"\n[1]\n{\"id\": \"c\", \"brief\": \"x\", \"lid\": 1}\n\
                    {\"id\": \"d\", \"brief\": \"x\", \"stock\": {\"name\": \"oak\"}}\n";
        let jobs = read_jobs("jobs.jsonl", text, &Catalogue::default()).unwrap();
        let found: Vec<Vec<&str>> = jobs.iter().map(codes).collect();
        assert_eq!(found, [vec!["S051"], vec!["S051"], vec!["S052"], vec!["S051"]]);
    }
}

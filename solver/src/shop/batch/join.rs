//! Portions of a run put together.

use super::{BatchRow, Header, Journal, JournalLine, Portion};
use crate::finding::{Finding, Place};

/// Jobs named at most in one finding.
const NAMED: usize = 5;

/// A run put together from its portions.
///
/// ```
/// use traywright::shop::{Journal, Portion, join};
/// # use traywright::shop::{Header, JournalLine};
/// # let header = |this| Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
/// #     list: "".into(), effort: "".into(), portion: Portion { this, of: 2 }, whole: true };
/// # let line = |job: usize, row: serde_json::Value| JournalLine {
/// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
/// #     row: serde_json::from_value(row).unwrap(),
/// # };
/// # let line = |job| line(job, serde_json::json!({}));
/// # let one = |this, job| {
/// #     let journal = Journal { header: header(this), lines: vec![line(job)] };
/// #     (format!("{this}.jsonl"), journal)
/// # };
/// // A list of two jobs in two portions; each journal (which portion, which job) has one job.
/// let joined = join(&[one(2, 1), one(1, 0)]).unwrap();
/// assert_eq!(joined.header.portion, Portion::ALL);
/// let from: Vec<_> = joined.lines.iter().map(|(journal, line)| (*journal, line.job)).collect();
/// assert_eq!(from, [(1, 0), (0, 1)]);
/// ```
#[derive(Clone, Debug)]
pub struct Joined {
    /// The head of the journal, as that of an undivided run.
    pub header: Header,
    /// All lines in the order of the list, each with the number of the journal it came from.
    pub lines: Vec<(usize, JournalLine)>,
    /// All rows in the order of the list.
    pub rows: Vec<BatchRow>,
}

/// Puts the journals of all portions of one run together; each comes with the name of its file.
///
/// ```
/// use traywright::shop::{Journal, join};
/// # use traywright::shop::{Header, JournalLine, Portion};
/// # let header = |this| Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
/// #     list: "".into(), effort: "".into(), portion: Portion { this, of: 2 }, whole: true };
/// # let line = |job: usize, row: serde_json::Value| JournalLine {
/// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
/// #     row: serde_json::from_value(row).unwrap(),
/// # };
/// # let line = |job| line(job, serde_json::json!({}));
/// # let one = |this, job| {
/// #     let journal = Journal { header: header(this), lines: vec![line(job)] };
/// #     (format!("{this}.jsonl"), journal)
/// # };
/// // A list of two jobs in two portions; each journal (which portion, which job) has one job.
/// assert_eq!(join(&[one(2, 1), one(1, 0)]).unwrap().rows.len(), 2);
/// let code = |portions: &[_]| join(portions).unwrap_err()[0].code;
/// assert_eq!(code(&[one(1, 0)]), "S064"); // the second job is missing
/// assert_eq!(code(&[one(1, 0), one(1, 0)]), "S063"); // it is there twice
/// ```
///
/// # Errors
/// Portions of different runs, jobs that two portions hold, and jobs that none holds.
pub fn join(portions: &[(String, Journal)]) -> Result<Joined, Vec<Finding>> {
    let fault = |name: &str, code: &'static str, cause: String| {
        Finding::listed(code, cause).at(Place { file: name.to_owned(), ..Place::default() })
    };
    let Some((first_name, first)) = portions.first() else {
        return Err(vec![Finding::listed("S064", "there is nothing to put together")]);
    };
    let mut findings = Vec::new();
    for (name, other) in portions.iter().skip(1) {
        let (a, b) = (&first.header, &other.header);
        let differ = [
            (a.list != b.list || a.jobs != b.jobs, "job list"),
            (a.effort != b.effort, "program, seed, nodes or clock"),
            (a.portion.of != b.portion.of, "number of portions"),
        ];
        for (_, what) in differ.iter().filter(|(differs, _)| *differs) {
            findings.push(fault(name, "S063", format!("another {what} than in {first_name}")));
        }
    }
    if !findings.is_empty() {
        return Err(findings);
    }
    let mut places: Vec<Option<(usize, &JournalLine)>> = vec![None; first.header.jobs];
    for (n, (name, journal)) in portions.iter().enumerate() {
        for line in &journal.lines {
            match places.get_mut(line.job) {
                Some(place @ None) => *place = Some((n, line)),
                Some(Some((other, _))) => {
                    let there = portions.get(*other).map_or("", |(name, _)| name.as_str());
                    let cause = format!("job \"{}\" is in {there} already", line.id);
                    findings.push(fault(name, "S063", cause));
                }
                None => findings.push(fault(name, "S063", format!("job \"{}\" is beyond the list", line.id))),
            }
        }
    }
    for k in 1..=first.header.portion.of {
        let portion = Portion { this: k, ..first.header.portion };
        let missing: Vec<usize> = places
            .iter()
            .enumerate()
            .filter(|(i, p)| p.is_none() && portion.holds(*i))
            .map(|(i, _)| i)
            .collect();
        if let Some(from) = missing.first() {
            let cause = format!("{} of the jobs are missing, from the {}. on", missing.len(), from + 1);
            let remedy = format!("Run the portion {portion} with --resume until it is finished.");
            findings
                .push(Finding::listed("S064", cause).remedied(remedy).about(format!("portion {portion}")));
        }
    }
    if !findings.is_empty() {
        findings.truncate(NAMED + first.header.portion.of);
        return Err(findings);
    }
    let lines: Vec<(usize, JournalLine)> =
        places.into_iter().flatten().map(|(n, line)| (n, line.clone())).collect();
    let rows = lines.iter().map(|(_, line)| BatchRow::of_line(line)).collect();
    let header = Header { portion: Portion::ALL, whole: true, ..first.header.clone() };
    Ok(Joined { header, lines, rows })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn portion(this: usize, jobs: &[usize]) -> (String, Journal) {
        let header = Header {
            format: Header::FORMAT.into(),
            version: Header::VERSION,
            jobs: 3,
            list: "ab".into(),
            effort: "seed 1".into(),
            portion: Portion { this, of: 2 },
            whole: true,
        };
        let line = |&job: &usize| JournalLine {
            job,
            id: format!("j{job}"),
            input: String::new(),
            files: Vec::new(),
            row: [("result".to_owned(), "fits".into())].into(),
        };
        (format!("p{this}"), Journal { header, lines: jobs.iter().map(line).collect() })
    }

    fn codes(findings: &[Finding]) -> Vec<&str> {
        findings.iter().map(|f| f.code).collect()
    }

    #[test]
    fn portions_make_the_whole_in_any_order() {
        let joined = join(&[portion(2, &[1]), portion(1, &[2, 0])]).unwrap();
        let order: Vec<(usize, &str)> = joined.lines.iter().map(|(n, l)| (*n, l.id.as_str())).collect();
        assert_eq!(order, [(1, "j0"), (0, "j1"), (1, "j2")]);
        assert!(joined.header.whole && joined.header.portion == Portion::ALL);
        assert!(joined.rows.iter().all(BatchRow::fits));
    }

    #[test]
    fn what_is_missing_twice_or_foreign_is_told() {
        assert_eq!(codes(&join(&[]).unwrap_err()), ["S064"]);
        let missing = join(&[portion(1, &[0]), portion(2, &[1])]).unwrap_err();
        assert_eq!(codes(&missing), ["S064"]);
        assert!(missing[0].remedy.contains("1/2"), "{missing:?}");
        assert_eq!(codes(&join(&[portion(1, &[0, 2]), portion(1, &[0, 1])]).unwrap_err()), ["S063"]);
        let mut foreign = portion(2, &[1]);
        foreign.1.header.effort = "seed 2".into();
        assert_eq!(codes(&join(&[portion(1, &[0, 2]), foreign]).unwrap_err()), ["S063"]);
        assert_eq!(codes(&join(&[portion(1, &[0, 2]), portion(2, &[1, 7])]).unwrap_err()), ["S063"]);
    }
}

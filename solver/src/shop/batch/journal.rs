//! The journal of a run: complete lines, each with all that is known of one finished job.
//!
//! It is written line by line as jobs end. A kill can leave no more behind than half of a last line, which counts
//! for nothing.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::finding::{Finding, Place};

/// Every N-th job of a list, beginning with the K-th.
///
/// ```
/// use traywright::shop::Portion;
/// let second: Portion = "2/8".parse().unwrap();
/// assert_eq!(second, Portion { this: 2, of: 8 });
/// assert_eq!(second.to_string(), "2/8");
/// assert_eq!("1/1".parse(), Ok(Portion::ALL));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Portion {
    /// Which portion, from 1.
    pub this: usize,
    /// How many there are.
    pub of: usize,
}

impl Portion {
    /// The undivided list.
    pub const ALL: Portion = Portion { this: 1, of: 1 };

    /// Whether the job at this place of the list, from 0, belongs to it. Neighbours in a list are alike in size, so
    /// they go to different portions.
    ///
    /// ```
    /// use traywright::shop::Portion;
    /// let first = Portion { this: 1, of: 2 };
    /// let held: Vec<usize> = (0..5).filter(|&job| first.holds(job)).collect();
    /// assert_eq!(held, [0, 2, 4]);
    /// ```
    pub fn holds(&self, position: usize) -> bool {
        position % self.of == self.this - 1
    }
}

impl FromStr for Portion {
    type Err = String;

    /// ```
    /// use traywright::shop::Portion;
    /// let second: Portion = "2/3".parse().unwrap();
    /// assert!(second.holds(1) && second.holds(4) && !second.holds(2));
    /// assert!("4/3".parse::<Portion>().is_err());
    /// ```
    fn from_str(text: &str) -> Result<Portion, String> {
        let numbers = text.split_once('/').map(|(k, n)| (k.trim().parse(), n.trim().parse()));
        match numbers {
            Some((Ok(this), Ok(of))) if (1..=of).contains(&this) => Ok(Portion { this, of }),
            _ => Err("a portion is K/N, such as 2/8: the second of eight".to_owned()),
        }
    }
}

impl fmt::Display for Portion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.this, self.of)
    }
}

/// The first line.
///
/// ```
/// # use traywright::shop::{Header, Portion};
/// use traywright::shop::Journal;
/// # let (list, effort) = ("ab".to_owned(), "seed 1".to_owned());
/// let header = Header {
///     format: Header::FORMAT.into(), version: Header::VERSION,
///     jobs: 9, list, effort, portion: Portion::ALL, whole: false,
/// };
/// let text = Journal::text(&header, &[]);
/// assert_eq!(Journal::read("run.jsonl", &text).unwrap().header, header);
/// let later = Header { version: Header::VERSION + 1, ..header };
/// assert_eq!(Journal::read("run.jsonl", &Journal::text(&later, &[])).unwrap_err().code, "S062");
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    /// Always [`Header::FORMAT`].
    pub format: String,
    /// Always [`Header::VERSION`].
    pub version: u32,
    /// Jobs of the whole list.
    pub jobs: usize,
    /// Digest of the whole list.
    pub list: String,
    /// Program, seed, nodes and clock.
    pub effort: String,
    /// Which jobs were to be run.
    pub portion: Portion,
    /// Whether all of them have been.
    pub whole: bool,
}

impl Header {
    /// Name of the format.
    pub const FORMAT: &'static str = "traywright-batch";
    /// Its version.
    pub const VERSION: u32 = 1;
}

/// A file that a job left, and the digest of its bytes.
///
/// ```
/// use traywright::shop::FileMark;
/// let (kept, altered) = (FileMark::of("low.html", b"tides"), FileMark::of("low.html", b"Tides"));
/// assert_eq!(kept.name, altered.name);
/// assert_ne!(kept, altered);
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FileMark {
    /// Its name in the folder of the run.
    pub name: String,
    /// SHA-256 in hexadecimal.
    pub sha256: String,
}

impl FileMark {
    /// The mark of a file of this name with these bytes.
    ///
    /// ```
    /// use traywright::shop::FileMark;
    /// let empty = FileMark::of("low.html", b"");
    /// assert!(empty.sha256.starts_with("e3b0c44298fc1c14") && empty.sha256.len() == 64);
    /// ```
    pub fn of(name: impl Into<String>, bytes: &[u8]) -> FileMark {
        let sha256 = Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect();
        FileMark { name: name.into(), sha256 }
    }
}

/// All that is known of one finished job.
///
/// ```
/// use traywright::shop::{FileMark, JournalLine};
/// let line = JournalLine {
///     job: 0, id: "low".into(), input: "ab".into(),
///     files: vec![FileMark::of("low.html", b"tides")],
///     row: [("gap_percent".to_owned(), 12.5.into())].into(),
/// };
/// let read: JournalLine = serde_json::from_str(&line.text()).unwrap();
/// assert_eq!(read, line);
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JournalLine {
    /// Its place in the list, from 0.
    pub job: usize,
    /// Its identifier.
    pub id: String,
    /// Digest of everything that the result depends on.
    pub input: String,
    /// The files it left.
    pub files: Vec<FileMark>,
    /// Its row, by column.
    pub row: BTreeMap<String, serde_json::Value>,
}

/// A journal that was read.
///
/// ```
/// # use traywright::shop::{Header, Portion};
/// use traywright::shop::{Journal, JournalLine};
/// # let header = Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
/// #     list: String::new(), effort: String::new(), portion: Portion::ALL, whole: true };
/// # let line = |job: usize, row: serde_json::Value| JournalLine {
/// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
/// #     row: serde_json::from_value(row).unwrap(),
/// # };
/// let line = |result: &str| line(0, serde_json::json!({ "result": result }));
/// let text = Journal::text(&header, &[line("none found"), line("fits")]);
/// // Of a job that was run again the later line counts.
/// assert_eq!(Journal::read("run.jsonl", &text).unwrap().lines, [line("fits")]);
/// ```
#[derive(Clone, Debug)]
pub struct Journal {
    /// Its first line.
    pub header: Header,
    /// Finished jobs in the order in which they ended; of a job that stands twice, the later line.
    pub lines: Vec<JournalLine>,
}

impl Journal {
    /// Reads a journal. A last line without its end was cut off and counts for nothing; a line in the middle that
    /// cannot be read (a disk that failed) counts as not written.
    ///
    /// ```
    /// # use traywright::shop::{Header, JournalLine, Portion};
    /// use traywright::shop::Journal;
    /// # let header = Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
    /// #     list: String::new(), effort: String::new(), portion: Portion::ALL, whole: true };
    /// # let line = |job: usize, row: serde_json::Value| JournalLine {
    /// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
    /// #     row: serde_json::from_value(row).unwrap(),
    /// # };
    /// # let line = |job| line(job, serde_json::json!({}));
    /// let text = Journal::text(&header, &[line(0), line(1)]);
    /// let lines = |text: &str| Journal::read("run.jsonl", text).unwrap().lines.len();
    /// // A line without its end was cut off.
    /// assert_eq!((lines(&text), lines(text.trim_end())), (2, 1));
    /// assert_eq!(Journal::read("run.jsonl", "id,brief\n").unwrap_err().code, "S062");
    /// ```
    ///
    /// # Errors
    /// What is no journal of this version.
    pub fn read(name: &str, text: &str) -> Result<Journal, Finding> {
        let fault = |cause: String| {
            Finding::listed("S062", cause).at(Place { file: name.to_owned(), ..Place::default() })
        };
        let mut whole = text.split_inclusive('\n').filter(|line| line.ends_with('\n'));
        let first = whole.next().unwrap_or_default();
        let header: Header =
            serde_json::from_str(first).map_err(|e| fault(format!("this is no journal of a run: {e}")))?;
        if header.format != Header::FORMAT || header.version != Header::VERSION {
            let cause = format!("this is {} version {}", header.format, header.version);
            return Err(fault(cause));
        }
        if header.portion.of == 0 || !(1..=header.portion.of).contains(&header.portion.this) {
            return Err(fault(format!("there is no portion {}", header.portion)));
        }
        let mut lines: Vec<JournalLine> = whole.filter_map(|line| serde_json::from_str(line).ok()).collect();
        let mut last: BTreeMap<String, usize> = BTreeMap::new();
        for (i, line) in lines.iter().enumerate() {
            last.insert(line.id.clone(), i);
        }
        let mut i = 0;
        lines.retain(|line| {
            i += 1;
            last.get(&line.id) == Some(&(i - 1))
        });
        Ok(Journal { header, lines })
    }

    /// Why a new run must not take the place of this one: it is not finished, and has results.
    ///
    /// ```
    /// # use traywright::shop::{Header, JournalLine, Portion};
    /// use traywright::shop::Journal;
    /// # let header = Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
    /// #     list: String::new(), effort: String::new(), portion: Portion::ALL, whole: true };
    /// # let line = |job: usize, row: serde_json::Value| JournalLine {
    /// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
    /// #     row: serde_json::from_value(row).unwrap(),
    /// # };
    /// # let line = line(0, serde_json::json!({}));
    /// let mut run = Journal { header: Header { whole: false, ..header }, lines: vec![line] };
    /// assert_eq!(run.unfinished("run.jsonl").unwrap().code, "S065");
    /// run.lines.clear(); // nothing would be lost
    /// assert!(run.unfinished("run.jsonl").is_none());
    /// ```
    pub fn unfinished(&self, name: &str) -> Option<Finding> {
        let place = Place { file: name.to_owned(), ..Place::default() };
        let cause = format!("an unfinished run with {} results lies here", self.lines.len());
        (!self.header.whole && !self.lines.is_empty()).then(|| Finding::listed("S065", cause).at(place))
    }

    /// The journal as a text, its lines in the order of the list.
    ///
    /// ```
    /// # use traywright::shop::{Header, JournalLine, Portion};
    /// use traywright::shop::Journal;
    /// # let header = Header { format: Header::FORMAT.into(), version: Header::VERSION, jobs: 2,
    /// #     list: String::new(), effort: String::new(), portion: Portion::ALL, whole: true };
    /// # let line = |job: usize, row: serde_json::Value| JournalLine {
    /// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
    /// #     row: serde_json::from_value(row).unwrap(),
    /// # };
    /// # let line = |job| line(job, serde_json::json!({}));
    /// let text = Journal::text(&header, &[line(1), line(0)]);
    /// let lines: Vec<&str> = text.lines().collect();
    /// assert!(lines[0].contains("traywright-batch"));
    /// assert!(lines[1].contains("job-0") && lines[2].contains("job-1"));
    /// ```
    pub fn text(header: &Header, lines: &[JournalLine]) -> String {
        let mut sorted: Vec<&JournalLine> = lines.iter().collect();
        sorted.sort_by_key(|l| l.job);
        let lines = sorted.into_iter().map(json_line);
        std::iter::once(json_line(header)).chain(lines).collect()
    }
}

impl JournalLine {
    /// As it stands in the file, with its end.
    ///
    /// ```
    /// use traywright::shop::JournalLine;
    /// # let line = |job: usize, row: serde_json::Value| JournalLine {
    /// #     job, id: format!("job-{job}"), input: String::new(), files: Vec::new(),
    /// #     row: serde_json::from_value(row).unwrap(),
    /// # };
    /// let text = line(3, serde_json::json!({ "gap_percent": 12.5 })).text();
    /// assert!(text.starts_with("{\"job\":3,\"id\":\"job-3\",") && text.ends_with("}\n"));
    /// assert_eq!(text.lines().count(), 1);
    /// ```
    pub fn text(&self) -> String {
        json_line(self)
    }
}

fn json_line(it: &impl Serialize) -> String {
    // Neither a header nor a line holds anything that JSON has no word for.
    let mut text = serde_json::to_string(it).unwrap_or_default();
    text.push('\n');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> (Header, Vec<JournalLine>) {
        let header = Header {
            format: Header::FORMAT.into(),
            version: Header::VERSION,
            jobs: 3,
            list: "ab".into(),
            effort: "seed 1".into(),
            portion: Portion::ALL,
            whole: false,
        };
        let line = |job: usize, id: &str| JournalLine {
            job,
            id: id.into(),
            input: "cd".into(),
            files: vec![FileMark::of("a.html", b"x")],
            row: [("gap_percent".to_owned(), "12.50".parse::<serde_json::Number>().unwrap().into())].into(),
        };
        (header, vec![line(2, "c"), line(0, "a")])
    }

    #[test]
    fn a_kill_at_any_byte_loses_no_whole_line() {
        let (header, lines) = sample();
        let text = Journal::text(&header, &lines);
        let ends: Vec<usize> = text.match_indices('\n').map(|(i, _)| i + 1).collect();
        for cut in 0..=text.len() {
            let read = Journal::read("j", &text[..cut]);
            let whole = ends.iter().filter(|end| **end <= cut).count();
            assert_eq!(read.map(|j| j.lines.len()).ok(), whole.checked_sub(1), "cut at {cut}");
        }
    }

    #[test]
    fn numbers_come_back_as_they_were_written_and_later_lines_count() {
        let (header, mut lines) = sample();
        lines.push(JournalLine { input: "new".into(), ..lines[0].clone() });
        let text = std::iter::once(json_line(&header)).chain(lines.iter().map(json_line)).collect::<String>();
        let mut read = Journal::read("j", &text).unwrap();
        assert_eq!(read.lines, lines[1..]);
        assert_eq!(read.unfinished("j").map(|f| f.code), Some("S065"));
        read.header.whole = true;
        assert!(read.unfinished("j").is_none());
        assert!(text.contains("12.50"), "{text}");
        assert!(Journal::read("j", "{}\n").is_err() && Journal::read("j", "").is_err());
    }
}

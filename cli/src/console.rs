//! What is said to whoever sits at the terminal: results on stdout, findings and progress on stderr.

use std::collections::BTreeMap;
use std::io::{self, ErrorKind, IsTerminal, Write};
use std::sync::Mutex;
use std::time::Duration;

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use traywright::finding::{Finding, Severity};
use traywright::plan::Progress;
use traywright::stop::Watch;

/// Lines beyond this length are cut out of a shown file, so that a file of one enormous line stays readable.
const LONGEST_LINE: usize = 400;

/// Both streams and how to write on them.
pub(crate) struct Console {
    short: bool,
    coloured: bool,
    width: usize,
}

impl Console {
    pub(crate) fn new(short: bool) -> Console {
        // https://no-color.org: any value that is not empty turns colours off.
        let unwanted = std::env::var_os("NO_COLOR").is_some_and(|v| !v.is_empty());
        Console { short, coloured: io::stderr().is_terminal() && !unwanted, width: 110 }
    }

    /// A result on stdout. A reader that has gone away (`| head`) has seen what it wanted.
    pub(crate) fn result(&self, text: &str) -> io::Result<()> {
        let mut out = io::stdout().lock();
        match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
            Err(e) if e.kind() == ErrorKind::BrokenPipe => Ok(()),
            other => other,
        }
    }

    /// Findings on stderr, the gravest last, where the eye is.
    pub(crate) fn findings(&self, findings: &[Finding]) {
        let mut sources = BTreeMap::new();
        let mut sorted: Vec<&Finding> = findings.iter().collect();
        sorted.sort_by_key(|f| f.severity);
        for finding in sorted {
            let text = if self.short {
                format!("{finding}\n")
            } else {
                let file = &finding.place.file;
                let source = sources
                    .entry(file.clone())
                    .or_insert_with(|| std::fs::read_to_string(file).unwrap_or_default());
                self.rendered(finding, source) + "\n\n"
            };
            self.aside(&text);
        }
    }

    /// What went wrong outside the input: a file that cannot be written, say.
    pub(crate) fn error(&self, error: &anyhow::Error) {
        self.aside(&format!("error: {error:#}\n"));
    }

    /// A line on stderr about what was done.
    pub(crate) fn note(&self, text: &str) {
        self.aside(&format!("{text}\n"));
    }

    /// A progress line that is written over again and again; silent where stderr is no terminal.
    pub(crate) fn progress(&self) -> ProgressLine {
        let columns = terminal_size::terminal_size_of(io::stderr()).map_or(80, |(w, _)| usize::from(w.0));
        // The last column stays free: some terminals wrap as soon as it is written.
        let width = columns.saturating_sub(1).max(20);
        ProgressLine { shown: io::stderr().is_terminal(), width, last: String::new() }
    }

    /// A progress line that counts what is done, from any thread; `all` is 0 where nobody knows how much there is.
    pub(crate) fn counter(&self, what: &'static str, done: usize, all: usize) -> Counter {
        Counter { what, all, before: done, watch: Watch::start(), state: Mutex::new((done, self.progress())) }
    }

    fn aside(&self, text: &str) {
        // Nobody is left to tell that nobody is listening.
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }

    fn rendered(&self, finding: &Finding, source: &str) -> String {
        let level = match finding.severity {
            Severity::Fault => Level::ERROR.with_name("fault"),
            Severity::Warning => Level::WARNING,
            Severity::Note => Level::NOTE,
        };
        let title = level.primary_title(finding.cause.as_str()).id(finding.code);
        let place = &finding.place;
        let label = (!place.path.is_empty()).then_some(place.path.as_str());
        let shown = place.bytes.clone().filter(|b| b.end <= source.len() && fits(source, b.start));
        let group = match shown {
            Some(bytes) => title.element(
                Snippet::source(source)
                    .path(place.file.as_str())
                    .annotation(AnnotationKind::Primary.span(bytes).label(label)),
            ),
            None => {
                let mut group = Group::with_title(title);
                if !place.file.is_empty() {
                    group = group.element(annotate_snippets::Origin::path(place.file.as_str()));
                }
                if let Some(label) = label {
                    group = group.element(Level::NOTE.with_name("at").message(label));
                }
                group
            }
        };
        let remedy = Level::HELP.message(finding.remedy.as_str());
        let renderer = if self.coloured { Renderer::styled() } else { Renderer::plain() };
        renderer.term_width(self.width).render(&[group.element(remedy)])
    }
}

/// Is the line about this byte short enough to be shown?
fn fits(source: &str, byte: usize) -> bool {
    let bytes = source.as_bytes();
    let before = bytes.iter().take(byte).rev().take_while(|b| **b != b'\n').take(LONGEST_LINE).count();
    let after = bytes.iter().skip(byte).take_while(|b| **b != b'\n').take(LONGEST_LINE).count();
    before + after < LONGEST_LINE
}

/// See [`Console::progress`].
pub(crate) struct ProgressLine {
    shown: bool,
    /// Columns that a line may take.
    width: usize,
    last: String,
}

impl ProgressLine {
    /// Shows what the search says.
    pub(crate) fn show(&mut self, progress: &Progress) {
        if self.shown {
            let parts = [progress.value_ml, progress.bound_ml, progress.done];
            self.say(told(progress.phase, parts, self.width));
        }
    }

    /// Shows a text, cut where the terminal ends: a line that wraps could not be taken away again.
    pub(crate) fn say(&mut self, line: String) {
        let line: String = line.chars().take(self.width).collect();
        if self.shown && line != self.last {
            let _ = write!(io::stderr().lock(), "\r\x1b[2K{line}");
            self.last = line;
        }
    }
}

/// What the search says (value and bound in ml, and how much is done), in as many words as there is room for.
fn told(phase: &str, [value, bound, done]: [Option<f64>; 3], width: usize) -> String {
    let forms = [
        [
            " · best so far # ml of waste and lifts",
            " · nothing below # ml",
            " · # % of the time that is worth it",
        ],
        [" · best so far # ml", " · at least # ml", " · # %"],
        [" · # ml", " · at least # ml", " · # %"],
    ];
    let done = done.filter(|_| value.is_some());
    let parts = [
        value.map(|v| format!("{v:.1}")),
        bound.map(|b| format!("{b:.1}")),
        done.map(|d| format!("{:.0}", d * 100.0)),
    ];
    let line = |forms: [&str; 3]| {
        let texts = forms.iter().zip(&parts).filter_map(|(form, n)| Some(form.replace('#', n.as_ref()?)));
        texts.fold(phase.to_owned(), |line, text| line + &text)
    };
    let lines = forms.map(line);
    let [.., shortest] = &lines;
    lines.iter().find(|l| l.chars().count() <= width).unwrap_or(shortest).clone()
}

impl Drop for ProgressLine {
    fn drop(&mut self) {
        if self.shown && !self.last.is_empty() {
            let _ = write!(io::stderr().lock(), "\r\x1b[2K");
        }
    }
}

/// See [`Console::counter`].
pub(crate) struct Counter {
    what: &'static str,
    all: usize,
    /// Done before this run.
    before: usize,
    watch: Watch,
    state: Mutex<(usize, ProgressLine)>,
}

impl Counter {
    /// One more is done, called so.
    pub(crate) fn count(&self, name: &str) {
        // A thread that died while it counted has left nothing half done here.
        let mut state = self.state.lock().unwrap_or_else(|poisoned| poisoned.into_inner());
        state.0 += 1;
        let left = left(self.watch.elapsed(), state.0 - self.before, self.all.saturating_sub(state.0));
        let all = if self.all > 0 { format!(" of {}", self.all) } else { String::new() };
        let line = format!("{}{all} {} done · {left}{name}", state.0, self.what);
        state.1.say(line);
    }
}

/// About how long it will still take, when so many took so long.
fn left(elapsed: Duration, done: usize, to_do: usize) -> String {
    if done == 0 || to_do == 0 {
        return String::new();
    }
    let seconds = elapsed.as_secs_f64() / done as f64 * to_do as f64;
    match seconds {
        s if s < 90.0 => format!("about {:.0} s left · ", s.max(1.0)),
        s if s < 5400.0 => format!("about {:.0} min left · ", s / 60.0),
        s => format!("about {:.1} h left · ", s / 3600.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn progress_keeps_to_the_width_of_the_terminal() {
        let at = |width| told("arranging layers", [Some(12_345.6), Some(11_234.5), Some(0.42)], width);
        assert!(at(130).ends_with("42 % of the time that is worth it"));
        for width in [60, 79, 90, 99, 130] {
            assert!(at(width).chars().count() <= width, "{width}: {}", at(width));
        }
        // As on a terminal of 80 columns.
        assert_eq!(at(79), "arranging layers · best so far 12345.6 ml · at least 11234.5 ml · 42 %");
        assert_eq!(at(60), "arranging layers · 12345.6 ml · at least 11234.5 ml · 42 %");
        assert_eq!(told("sizing trays", [None; 3], 40), "sizing trays");
    }

    #[test]
    fn time_left_goes_by_what_is_done() {
        let minute = Duration::from_secs(60);
        assert_eq!(left(minute, 0, 10), "");
        assert_eq!(left(minute, 10, 0), "");
        assert_eq!(left(minute, 60, 12), "about 12 s left · ");
        assert_eq!(left(minute, 6, 60), "about 10 min left · ");
        assert_eq!(left(minute, 1, 300), "about 5.0 h left · ");
    }
}

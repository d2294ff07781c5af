//! A directory of its own for every test, and the command run in it.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

/// The root of the workspace.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").canonicalize().unwrap()
}

/// A scenario by its path under `scenarios/`.
pub(crate) fn scenario(name: &str) -> PathBuf {
    root().join("scenarios").join(name)
}

/// A directory that goes away with its test.
pub(crate) struct Room(PathBuf);

impl Room {
    pub(crate) fn new() -> Room {
        static NEXT: AtomicUsize = AtomicUsize::new(0);
        let n = NEXT.fetch_add(1, Ordering::Relaxed);
        let dir = std::env::temp_dir().join(format!("traywright-command-{}-{n}", std::process::id()));
        fs::create_dir_all(&dir).unwrap();
        Room(dir)
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub(crate) fn write(&self, name: &str, content: &str) -> PathBuf {
        let path = self.path(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, content).unwrap();
        path
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// Names of all files, hidden ones too, in order.
    pub(crate) fn names(&self, dir: &str) -> Vec<String> {
        let Ok(entries) = fs::read_dir(self.path(dir)) else { return Vec::new() };
        let mut names: Vec<String> =
            entries.map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    pub(crate) fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_traywright"));
        command.current_dir(&self.0).stdin(Stdio::null());
        command
    }

    /// Runs the command with these words.
    pub(crate) fn run<S: AsRef<std::ffi::OsStr>>(&self, words: &[S]) -> Run {
        Run::from(self.command().args(words).output().unwrap())
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// What a run said.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl From<Output> for Run {
    fn from(output: Output) -> Run {
        Run {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Run {
    /// Asserts the exit code, showing everything that was said where it is another.
    #[track_caller]
    pub(crate) fn ends(self, code: i32) -> Run {
        assert_eq!(self.code, code, "stdout:\n{}\nstderr:\n{}", self.out, self.err);
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self
    }
}

/// Words of a command line, texts and paths mixed.
macro_rules! words {
    ($($word:expr),* $(,)?) => {
        &[$(std::ffi::OsString::from(&$word)),*]
    };
}
pub(crate) use words;

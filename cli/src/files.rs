//! Files written whole or not at all: first beside their place under another name, then all renamed.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

use anyhow::Context;
use traywright::shop::FileMark;

use crate::interrupt;

/// A set of files that belong together.
#[derive(Default)]
pub(crate) struct FileSet {
    written: Vec<(PathBuf, Vec<u8>, Option<ReadBack>)>,
    removed: Vec<PathBuf>,
}

/// Says what is wrong with a file that was read back.
type ReadBack = Box<dyn Fn(&str) -> Option<String>>;

/// A file on its way to its place, and the older one that had to make room.
struct Staged {
    target: PathBuf,
    new: Option<PathBuf>,
    old: Option<PathBuf>,
}

impl FileSet {
    /// Adds a file.
    pub(crate) fn add(&mut self, path: impl Into<PathBuf>, content: impl Into<Vec<u8>>) {
        self.written.push((path.into(), content.into(), None));
    }

    /// Adds a file that is read back once it is written, and before anything is put in place: `look` says what is wrong.
    pub(crate) fn add_read_back(
        &mut self,
        path: impl Into<PathBuf>,
        content: impl Into<Vec<u8>>,
        look: impl Fn(&str) -> Option<String> + 'static,
    ) {
        self.written.push((path.into(), content.into(), Some(Box::new(look))));
    }

    /// A file of an earlier set that has no successor in this one; it need not be there.
    pub(crate) fn remove(&mut self, path: impl Into<PathBuf>) {
        self.removed.push(path.into());
    }

    /// The mark of each file that will be written.
    pub(crate) fn marks(&self) -> Vec<FileMark> {
        let name = |path: &Path| path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        self.written.iter().map(|(path, content, _)| FileMark::of(name(path), content)).collect()
    }

    /// Writes all of them, or none: where one fails, everything is put back as it was.
    ///
    /// An interrupt waits until that is done.
    pub(crate) fn write(self) -> anyhow::Result<()> {
        let _whole = interrupt::writing();
        let mut staged = Vec::new();
        let result = self.stage(&mut staged).and_then(|()| put_in_place(&mut staged));
        if result.is_err() {
            put_back(&staged);
        } else {
            for old in staged.iter().filter_map(|s| s.old.as_ref()) {
                // The set is complete; a leftover under its own hidden name harms nobody.
                let _ = fs::remove_file(old);
            }
        }
        result
    }

    fn stage(&self, staged: &mut Vec<Staged>) -> anyhow::Result<()> {
        for (target, content, look) in &self.written {
            if let Some(dir) = target.parent().filter(|d| !d.as_os_str().is_empty()) {
                make_folder(dir)?;
            }
            let new = aside(target, "new");
            staged.push(Staged { target: target.clone(), new: Some(new.clone()), old: None });
            write_new(&new, content).with_context(|| format!("cannot write {}", target.display()))?;
            if let Some(look) = look {
                let text = fs::read_to_string(&new)
                    .with_context(|| format!("cannot read back {}", target.display()))?;
                if let Some(wrong) = look(&text) {
                    anyhow::bail!("{wrong}");
                }
            }
        }
        staged.extend(self.removed.iter().map(|target| Staged {
            target: target.clone(),
            new: None,
            old: None,
        }));
        Ok(())
    }
}

/// Larger files are no plans.
const MOST_BYTES: u64 = 50_000_000;

/// Reads a whole text file of reasonable size.
pub(crate) fn read(path: &Path) -> anyhow::Result<String> {
    let failed = || format!("cannot read {}", path.display());
    let size = fs::metadata(path).with_context(failed)?.len();
    anyhow::ensure!(size <= MOST_BYTES, "{} has {size} bytes; at most {MOST_BYTES} are read", path.display());
    fs::read_to_string(path).with_context(failed)
}

/// Writes a file that must not be there yet.
///
/// # Errors
/// Where something of that name is there already, or cannot be written.
pub(crate) fn write_fresh(path: &Path, content: &str) -> anyhow::Result<()> {
    let _whole = interrupt::writing();
    let written = write_new(path, content.as_bytes());
    match &written {
        Err(e) if e.kind() == ErrorKind::AlreadyExists => {
            anyhow::bail!("{} is there already: name another file, or move it away", path.display())
        }
        // Half a file is worse than none.
        Err(_) => drop(fs::remove_file(path)),
        Ok(()) => {}
    }
    written.with_context(|| format!("cannot write {}", path.display()))
}

/// Makes a folder, with those that it lies in, where it is not there.
///
/// # Errors
/// Where it cannot be made; a file in its place is named as one.
pub(crate) fn make_folder(dir: &Path) -> anyhow::Result<()> {
    let file = dir.ancestors().find(|d| d.is_file());
    if let Some(file) = file {
        anyhow::bail!("cannot make {}: {} is a file", dir.display(), file.display());
    }
    fs::create_dir_all(dir).with_context(|| format!("cannot make {}", dir.display()))
}

fn write_new(path: &Path, content: &[u8]) -> io::Result<()> {
    fs::OpenOptions::new().write(true).create_new(true).open(path)?.write_all(content)
}

/// A hidden name beside a file, of this process alone.
fn aside(target: &Path, what: &str) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}.{}.{what}", std::process::id()))
}

/// The file that a hidden name of [`aside`] stands for, and what it is to it.
fn stands_for(hidden: &str) -> Option<(&str, &str)> {
    let (rest, what) = hidden.strip_prefix('.')?.rsplit_once('.')?;
    let (name, process) = rest.rsplit_once('.')?;
    let ours = !name.is_empty() && !process.is_empty() && process.bytes().all(|b| b.is_ascii_digit());
    (ours && ["new", "old"].contains(&what)).then_some((name, what))
}

/// Clears away what a program that was killed left half written in a folder; a file that it had only moved aside comes
/// back.
pub(crate) fn clear_half_written(dir: &Path) -> io::Result<()> {
    let mut names: Vec<String> = Vec::new();
    for entry in fs::read_dir(dir)? {
        names.extend(entry?.file_name().into_string());
    }
    for hidden in &names {
        let Some((name, what)) = stands_for(hidden) else { continue };
        if what == "old" && !dir.join(name).try_exists()? {
            fs::rename(dir.join(hidden), dir.join(name))?;
        } else {
            fs::remove_file(dir.join(hidden))?;
        }
    }
    Ok(())
}

fn put_in_place(staged: &mut [Staged]) -> anyhow::Result<()> {
    for file in staged {
        let failed = || format!("cannot write {}", file.target.display());
        if file.target.is_dir() {
            return Err(io::Error::from(ErrorKind::IsADirectory)).with_context(failed);
        }
        let old = aside(&file.target, "old");
        match fs::rename(&file.target, &old) {
            Ok(()) => file.old = Some(old),
            Err(e) if e.kind() == ErrorKind::NotFound => {}
            Err(e) => return Err(e).with_context(failed),
        }
        if let Some(new) = &file.new {
            fs::rename(new, &file.target)
                .with_context(|| format!("cannot write {}", file.target.display()))?;
        }
    }
    Ok(())
}

/// Best effort: a second failure on the way back cannot be told apart from the first by the caller.
fn put_back(staged: &[Staged]) {
    for file in staged {
        if let Some(new) = &file.new
            && fs::remove_file(new).is_err()
        {
            // Not under its hidden name any more: it was renamed already.
            let _ = fs::remove_file(&file.target);
        }
        if let Some(old) = &file.old {
            let _ = fs::rename(old, &file.target);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room(name: &str) -> PathBuf {
        let dir = std::env::temp_dir().join(format!("traywright-files-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).unwrap();
        dir
    }

    fn names(dir: &Path) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(dir)
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn what_a_kill_left_is_cleared_away_or_comes_back() {
        assert_eq!(stands_for(".a.json.12.new"), Some(("a.json", "new")));
        for other in ["a.json.12.new", ".a.json.x.new", ".12.new", ".a.json.12.tmp", ".gitignore"] {
            assert_eq!(stands_for(other), None, "{other}");
        }
    }

    #[test]
    fn a_set_replaces_and_removes_older_files() {
        let dir = room("set");
        fs::write(dir.join("a"), "old").unwrap();
        fs::write(dir.join("c"), "old").unwrap();
        let mut set = FileSet::default();
        set.add(dir.join("a"), "new");
        set.add(dir.join("b"), "new");
        set.remove(dir.join("c"));
        set.remove(dir.join("d"));
        set.write().unwrap();
        assert_eq!(names(&dir), ["a", "b"]);
        assert_eq!(fs::read_to_string(dir.join("a")).unwrap(), "new");
    }

    #[test]
    fn one_failure_leaves_everything_as_it_was() {
        let dir = room("failure");
        fs::write(dir.join("a"), "old").unwrap();
        fs::create_dir(dir.join("b")).unwrap();
        let mut set = FileSet::default();
        set.add(dir.join("0"), "new");
        set.add(dir.join("a"), "new");
        set.add(dir.join("b"), "new");
        assert!(set.write().is_err());
        assert_eq!(names(&dir), ["a", "b"]);
        assert_eq!(fs::read_to_string(dir.join("a")).unwrap(), "old");
    }

    #[test]
    fn a_file_that_reads_back_wrong_leaves_everything_as_it_was() {
        let dir = room("read-back");
        fs::write(dir.join("a"), "old").unwrap();
        let mut set = FileSet::default();
        set.add(dir.join("a"), "new");
        set.add_read_back(dir.join("b"), "half", |text| (text != "whole").then(|| "half a file".to_owned()));
        assert_eq!(set.write().unwrap_err().to_string(), "half a file");
        assert_eq!(names(&dir), ["a"]);
        assert_eq!(fs::read_to_string(dir.join("a")).unwrap(), "old");
    }

    #[test]
    fn a_fresh_file_never_overwrites() {
        let dir = room("fresh");
        write_fresh(&dir.join("a"), "first").unwrap();
        assert!(write_fresh(&dir.join("a"), "second").is_err());
        assert_eq!(fs::read_to_string(dir.join("a")).unwrap(), "first");
    }
}

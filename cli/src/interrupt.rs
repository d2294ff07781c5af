//! Ctrl-C, and a polite request to end: a search ends with the best plan so far, everything else ends at once, and in either
//! case a set of files that is being written is written to its end first.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, OnceLock, RwLock, RwLockReadGuard};

use anyhow::Context;

/// The code of a program that Ctrl-C has ended, as shells have it: 128 and the number of the signal.
const INTERRUPTED: i32 = 130;

/// Raised for searches, where one has begun.
static RAISED: OnceLock<Arc<AtomicBool>> = OnceLock::new();
/// Read-locked while files are written, by any number of threads.
static WRITING: RwLock<()> = RwLock::new(());

/// From here on an interrupt ends the program only between two sets of files.
#[expect(
    clippy::disallowed_methods,
    reason = "the thread that hears a signal cannot return an exit code for the program"
)]
pub(crate) fn listen() -> anyhow::Result<()> {
    ctrlc::set_handler(|| {
        // The second one means it.
        let searching = RAISED.get().is_some_and(|raised| !raised.swap(true, Ordering::Relaxed));
        if !searching {
            let _whole = WRITING.write().unwrap_or_else(|poisoned| poisoned.into_inner());
            std::process::exit(INTERRUPTED);
        }
    })
    .context("cannot listen for Ctrl-C")
}

/// A flag that an interrupt raises; from here on the first one ends the search instead of the program.
pub(crate) fn flag() -> Arc<AtomicBool> {
    Arc::clone(RAISED.get_or_init(Arc::default))
}

/// Keeps the program from ending by an interrupt as long as what is returned lives.
pub(crate) fn writing() -> RwLockReadGuard<'static, ()> {
    // A thread that died in here has left nothing of this guard's own half done.
    WRITING.read().unwrap_or_else(|poisoned| poisoned.into_inner())
}

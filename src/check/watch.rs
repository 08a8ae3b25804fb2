//! Long work that can be watched and broken off.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

/// How far a piece of work has come, and whether it shall go on. Shared between the thread that
/// works and one that looks.
#[derive(Debug, Default)]
pub struct Watch {
    stop: AtomicBool,
    done: AtomicUsize,
    of: AtomicUsize,
    stage: Mutex<&'static str>,
}

impl Watch {
    pub const fn new() -> Watch {
        Watch {
            stop: AtomicBool::new(false),
            done: AtomicUsize::new(0),
            of: AtomicUsize::new(0),
            stage: Mutex::new(""),
        }
    }

    /// Asks the work to end as soon as it can. What it has found so far is kept.
    pub fn stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }

    pub fn stopped(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }

    /// What is being done, how much of it is done, and of how much.
    pub fn progress(&self) -> (&'static str, usize, usize) {
        let stage = *self.stage.lock().unwrap_or_else(PoisonError::into_inner);
        (stage, self.done.load(Ordering::Relaxed), self.of.load(Ordering::Relaxed))
    }

    pub(crate) fn begin(&self, stage: &'static str, of: usize) {
        *self.stage.lock().unwrap_or_else(PoisonError::into_inner) = stage;
        self.done.store(0, Ordering::Relaxed);
        self.of.store(of, Ordering::Relaxed);
    }

    pub(crate) fn step(&self) {
        self.done.fetch_add(1, Ordering::Relaxed);
    }
}

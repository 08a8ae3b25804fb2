//! Long work on the command line: what is being done, and an early end to it with Ctrl-C.

use std::io::{IsTerminal, Write};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use crate::check::Watch;

static WATCH: Watch = Watch::new();
static DONE: AtomicBool = AtomicBool::new(false);
/// A line of progress stands on the screen.
static SHOWN: AtomicBool = AtomicBool::new(false);

/// Work that takes less time than this shows nothing.
const PATIENCE: Duration = Duration::from_secs(2);

/// Begins to watch: the first Ctrl-C ends the work with what was found so far, the second ends the
/// program.
pub fn watch() -> &'static Watch {
    // Where no handler can be set, Ctrl-C ends the program as ever.
    let _ = ctrlc::set_handler(|| {
        if WATCH.stopped() || DONE.load(Ordering::Relaxed) {
            std::process::exit(130);
        }
        WATCH.stop();
    });
    if std::io::stderr().is_terminal() {
        std::thread::spawn(|| {
            std::thread::sleep(PATIENCE);
            while !DONE.load(Ordering::Relaxed) {
                let (stage, done, of) = WATCH.progress();
                if !stage.is_empty() {
                    SHOWN.store(true, Ordering::Relaxed);
                    let mut err = std::io::stderr().lock();
                    let _ = write!(err, "\r\x1b[K{stage}: {done} of {of} (Ctrl-C ends it)");
                    let _ = err.flush();
                }
                std::thread::sleep(Duration::from_millis(250));
            }
        });
    }
    &WATCH
}

/// Ends the watch: the line of progress is taken away.
pub fn finish() {
    DONE.store(true, Ordering::Relaxed);
    if SHOWN.load(Ordering::Relaxed) {
        let _ = write!(std::io::stderr().lock(), "\r\x1b[K");
    }
}

//! Ctrl-C: a study ends with what is finished, a question unanswered, everything else at once; temporary files are removed.

use super::outcome::Failure;
use crate::report::write;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Whether something is under way that ends by itself when it is told to.
static ENDS_BY_ITSELF: AtomicBool = AtomicBool::new(false);
/// Whether it has been told to.
static HEARD: AtomicBool = AtomicBool::new(false);

/// Signals closer together than this count as one: some programs that end others send theirs twice.
const TOGETHER: Duration = Duration::from_millis(300);

/// Exit status of a program that was interrupted, as shells have it: 128 and the signal's number, 2.
pub(super) const INTERRUPTED: u8 = 130;

/// Begins to listen for Ctrl-C, and for the signals by which systems ask a program to end.
///
/// # Errors
/// If the system does not let the program listen.
pub(super) fn listen() -> Result<(), Failure> {
    match ctrlc::set_handler(heard) {
        // Another verb of the same process listens already.
        Ok(()) | Err(ctrlc::Error::MultipleHandlers) => Ok(()),
        Err(why) => Err(Failure::Failed(format!("Ctrl-C cannot be listened for: {why}"))),
    }
}

/// From now on the first Ctrl-C is left to the verb, which asks [`told`]; a second one ends the program.
pub(super) fn leave_to_verb() {
    ENDS_BY_ITSELF.store(true, Ordering::SeqCst);
}

/// Whether the study is to end.
pub(super) fn told() -> bool {
    HEARD.load(Ordering::SeqCst)
}

fn heard() {
    static FIRST: OnceLock<Instant> = OnceLock::new();
    if ENDS_BY_ITSELF.load(Ordering::SeqCst) {
        HEARD.store(true, Ordering::SeqCst);
        if FIRST.get_or_init(Instant::now).elapsed() < TOGETHER {
            return;
        }
    }
    let _nothing_begins_anew = write::leave_nothing_behind();
    std::process::exit(INTERRUPTED.into());
}

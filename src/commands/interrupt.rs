//! Ctrl-C: a study ends with what is finished, everything else at once; temporary files are removed.

use super::outcome::Failure;
use crate::report::write;
use std::sync::atomic::{AtomicBool, Ordering};

/// Whether a study is under way that ends by itself when it is told to.
static STUDYING: AtomicBool = AtomicBool::new(false);
/// Whether it has been told to.
static HEARD: AtomicBool = AtomicBool::new(false);

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

/// From now on the first Ctrl-C is left to a study, which asks [`told`]; a second one ends the program.
pub(super) fn leave_to_study() {
    STUDYING.store(true, Ordering::SeqCst);
}

/// Whether the study is to end.
pub(super) fn told() -> bool {
    HEARD.load(Ordering::SeqCst)
}

fn heard() {
    if STUDYING.load(Ordering::SeqCst) && !HEARD.swap(true, Ordering::SeqCst) {
        return;
    }
    let _nothing_begins_anew = write::leave_nothing_behind();
    std::process::exit(INTERRUPTED.into());
}

//! Flow networks that have been put together, for the next opening of the same bleeders.

use super::hydraulics::{Hydraulics, Joined};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Networks that nobody uses at the moment. To put one together costs as much as some steps, and the jobs of a study
/// open the same few bleeders again and again. There are never more of one kind than were in use at a time.
#[derive(Debug, Default)]
pub(crate) struct Networks(Mutex<Vec<Hydraulics>>);

/// A copy of a setting may be of another vehicle: it begins with none.
impl Clone for Networks {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl Networks {
    /// One of these, if there is one, as it was when it was put together.
    pub(crate) fn take(&self, joined: &Joined) -> Option<Hydraulics> {
        let mut all = self.all();
        let at = all.iter().position(|h| h.joined == *joined)?;
        Some(all.swap_remove(at))
    }

    /// Keeps one for the next.
    pub(crate) fn give_back(&self, mut network: Hydraulics) {
        network.forget();
        self.all().push(network);
    }

    /// Whoever panicked held a list that was whole.
    fn all(&self) -> MutexGuard<'_, Vec<Hydraulics>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

//! How far a study is, and whether it is to end early.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// Whoever waits for a study. Called from several threads.
pub trait Onlooker: Sync {
    /// `done` of `of` pieces of work are finished.
    fn advanced(&self, done: u64, of: u64) {
        let _ = (done, of);
    }

    /// Whether the study is to end now with what is finished.
    fn enough(&self) -> bool {
        false
    }
}

/// Nobody waits: the study runs to its end.
#[derive(Debug, Clone, Copy, Default)]
pub struct Nobody;

impl Onlooker for Nobody {}

/// Counts pieces of work over all threads and passes the word to an [`Onlooker`].
pub struct Progress<'a> {
    onlooker: &'a dyn Onlooker,
    done: AtomicU64,
    of: AtomicU64,
    stopped: AtomicBool,
}

impl<'a> Progress<'a> {
    /// A study of `of` pieces of work.
    pub fn new(onlooker: &'a dyn Onlooker, of: u64) -> Self {
        onlooker.advanced(0, of);
        Self {
            onlooker,
            done: AtomicU64::new(0),
            of: AtomicU64::new(of),
            stopped: AtomicBool::new(false),
        }
    }

    /// More work has turned up.
    pub fn more(&self, pieces: u64) {
        self.of.fetch_add(pieces, Ordering::Relaxed);
    }

    /// `pieces` are finished.
    pub fn finished(&self, pieces: u64) {
        let done = self.done.fetch_add(pieces, Ordering::Relaxed) + pieces;
        self.onlooker.advanced(done, self.of.load(Ordering::Relaxed));
    }

    /// Whether to go on: false for good once the onlooker has had enough. Ask before each piece.
    pub fn goes_on(&self) -> bool {
        if self.onlooker.enough() {
            self.stopped.store(true, Ordering::Relaxed);
        }
        !self.stopped()
    }

    /// Whether the study was ended early: its answer is then partial.
    pub fn stopped(&self) -> bool {
        self.stopped.load(Ordering::Relaxed)
    }
}

/// A study within another: its pieces of work are pieces of that one.
pub struct Part<'a> {
    whole: &'a Progress<'a>,
    /// Pieces that the whole has been told of: done, and in all.
    told: [AtomicU64; 2],
}

impl<'a> Part<'a> {
    /// Of this one.
    pub fn of(whole: &'a Progress<'a>) -> Self {
        Self { whole, told: Default::default() }
    }
}

impl Onlooker for Part<'_> {
    fn advanced(&self, done: u64, of: u64) {
        let [before, all] = &self.told;
        self.whole.more(of.saturating_sub(all.fetch_max(of, Ordering::Relaxed)));
        let more = done.saturating_sub(before.fetch_max(done, Ordering::Relaxed));
        self.whole.finished(more);
    }

    fn enough(&self) -> bool {
        !self.whole.goes_on()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    struct After(u64, AtomicU64);

    impl Onlooker for After {
        fn advanced(&self, done: u64, of: u64) {
            assert!(done <= of);
            self.1.store(done, Ordering::Relaxed);
        }

        fn enough(&self) -> bool {
            self.1.load(Ordering::Relaxed) >= self.0
        }
    }

    #[test]
    fn ends_once_the_onlooker_has_had_enough() {
        let onlooker = After(3, AtomicU64::new(0));
        let progress = Progress::new(&onlooker, 10);
        let mut pieces = 0;
        while pieces < 10 && progress.goes_on() {
            progress.finished(1);
            pieces += 1;
        }
        assert_eq!(pieces, 3);
        assert!(progress.stopped() && !progress.goes_on());
    }

    #[test]
    fn pieces_of_a_part_are_pieces_of_the_whole() {
        let onlooker = After(4, AtomicU64::new(0));
        let whole = Progress::new(&onlooker, 2);
        let part = Part::of(&whole);
        let progress = Progress::new(&part, 3);
        whole.finished(1);
        progress.finished(2);
        assert_eq!(onlooker.1.load(Ordering::Relaxed), 3);
        assert!(progress.goes_on());
        progress.finished(1);
        assert_eq!(onlooker.1.load(Ordering::Relaxed), 4);
        assert!(!progress.goes_on() && whole.stopped());
    }

    #[test]
    fn nobody_stops_nothing() {
        let progress = Progress::new(&Nobody, 1);
        progress.more(1);
        progress.finished(2);
        assert!(progress.goes_on() && !progress.stopped());
    }
}

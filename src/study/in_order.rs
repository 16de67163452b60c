//! Work over all threads that can end early with an unbroken beginning.

use super::progress::Progress;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// Does pieces 0, 1, 2 … of some work on all threads and gives the answers in that order: all of them, or
/// where the onlooker has had enough the first so many, none missing. Pieces are begun in order and a piece
/// begun is finished, so that what a partial answer rests on is a beginning and not a choice by speed.
///
/// # Errors
/// The first error by the number of its piece, whatever the number of threads.
pub fn in_order<T, E, F>(pieces: usize, progress: &Progress<'_>, work: F) -> Result<Vec<T>, E>
where
    T: Send,
    E: Send,
    F: Fn(usize) -> Result<T, E> + Sync,
{
    let (next, failed) = (AtomicUsize::new(0), AtomicBool::new(false));
    let each_thread = rayon::broadcast(|_| {
        let (mut done, mut error) = (Vec::new(), None);
        while !failed.load(Ordering::Relaxed) && progress.goes_on() {
            let piece = next.fetch_add(1, Ordering::Relaxed);
            if piece >= pieces {
                break;
            }
            match work(piece) {
                Ok(answer) => done.push((piece, answer)),
                Err(why) => {
                    failed.store(true, Ordering::Relaxed);
                    error = Some((piece, why));
                }
            }
            progress.finished(1);
        }
        (done, error)
    });
    let (each_thread, errors): (Vec<_>, Vec<_>) = each_thread.into_iter().unzip();
    if let Some((_, why)) = errors.into_iter().flatten().min_by_key(|(piece, _)| *piece) {
        return Err(why);
    }
    let mut all: Vec<(usize, T)> = each_thread.into_iter().flatten().collect();
    all.sort_unstable_by_key(|(piece, _)| *piece);
    Ok(all.into_iter().map(|(_, answer)| answer).collect())
}

#[cfg(test)]
mod tests {
    use super::super::progress::{Nobody, Onlooker};
    use super::*;
    use std::sync::atomic::AtomicU64;

    struct After(u64, AtomicU64);

    impl Onlooker for After {
        fn advanced(&self, done: u64, _of: u64) {
            self.1.fetch_max(done, Ordering::Relaxed);
        }

        fn enough(&self) -> bool {
            self.1.load(Ordering::Relaxed) >= self.0
        }
    }

    fn on<T: Send>(threads: usize, work: impl FnOnce() -> T + Send) -> T {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().expect("threads");
        pool.install(work)
    }

    #[test]
    fn everything_in_order_on_any_number_of_threads() {
        for threads in [1, 2, 5] {
            let squares = on(threads, || {
                let progress = Progress::new(&Nobody, 1000);
                in_order(1000, &progress, |i| Ok::<_, ()>(i * i))
            });
            assert_eq!(squares, Ok((0..1000).map(|i| i * i).collect()));
        }
    }

    #[test]
    fn an_early_end_leaves_a_beginning_without_gaps() {
        for threads in [1, 3] {
            let onlooker = After(40, AtomicU64::new(0));
            let progress = Progress::new(&onlooker, 1000);
            let begun = on(threads, || in_order(1000, &progress, Ok::<_, ()>)).expect("no error");
            assert!((40..40 + threads).contains(&begun.len()), "{}", begun.len());
            assert_eq!(begun, (0..begun.len()).collect::<Vec<_>>());
            assert!(progress.stopped());
        }
    }

    #[test]
    fn the_first_error_is_told() {
        for threads in [1, 4] {
            let progress = Progress::new(&Nobody, 500);
            let work = |i: usize| if i % 100 == 37 { Err(i) } else { Ok(i) };
            assert_eq!(on(threads, || in_order(500, &progress, work)), Err(37));
        }
    }
}

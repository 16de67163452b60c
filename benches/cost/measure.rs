//! Wall clock, processor time and memory of this process.

use std::fs;
use std::time::{Duration, Instant};

/// What something took.
#[derive(Debug, Clone, Copy)]
pub struct Took {
    /// By the clock on the wall, s.
    pub wall_s: f64,
    /// On processors, all threads together, s; the same where the system does not tell.
    pub processor_s: f64,
}

/// Runs it once.
pub fn once<T>(what: impl FnOnce() -> T) -> (Took, T) {
    let (clock, processors) = (Instant::now(), processor_s());
    let answer = what();
    let wall_s = clock.elapsed().as_secs_f64();
    let processor_s = processors.zip(processor_s()).map_or(wall_s, |(a, b)| b - a);
    (Took { wall_s, processor_s }, answer)
}

/// The shortest wall clock of one run, over as many runs as `span` allows, at least three, s.
pub fn best_s<T>(span: Duration, mut what: impl FnMut() -> T) -> f64 {
    let began = Instant::now();
    let mut best = f64::INFINITY;
    let mut runs = 0;
    while runs < 3 || began.elapsed() < span {
        let clock = Instant::now();
        std::hint::black_box(what());
        best = best.min(clock.elapsed().as_secs_f64());
        runs += 1;
    }
    best
}

/// Processor time of all threads that run, s (Linux).
fn processor_s() -> Option<f64> {
    let mut sum_ns = 0.0;
    for task in fs::read_dir("/proc/self/task").ok()? {
        let line = fs::read_to_string(task.ok()?.path().join("schedstat")).ok()?;
        sum_ns += line.split(' ').next()?.parse::<f64>().ok()?;
    }
    Some(1e-9 * sum_ns)
}

/// Largest memory that this process has held so far, MB (Linux).
pub fn peak_mb() -> Option<f64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    let kib: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kib * 1024.0 / 1e6)
}

//! What must not matter, and what must go one way only, over random cars.
//!
//! Each property runs a job twice: as it is, and changed in something that has no say (names, order in the file, units,
//! threads and the like), or changed in a way whose effect has a sign that no circuit can turn round.

#[path = "../common/mod.rs"]
mod common;
mod compare;
mod fluid;
mod job;
mod monotone;
mod naming;
mod orders;
mod pieces;
mod pressure;
mod threads;
mod units;

use proptest::prelude::ProptestConfig;
use proptest::test_runner::RngSeed;

/// The same cases every time, so that a change is judged by what it changes; `PROPTEST_RNG_SEED=n` tries
/// others, `PROPTEST_CASES=n` more of them.
fn cases(cases: u32) -> ProptestConfig {
    let mut config = ProptestConfig { failure_persistence: None, ..ProptestConfig::default() };
    if std::env::var_os("PROPTEST_CASES").is_none() {
        config.cases = cases;
    }
    if std::env::var_os("PROPTEST_RNG_SEED").is_none() {
        config.rng_seed = RngSeed::Fixed(1);
    }
    config
}

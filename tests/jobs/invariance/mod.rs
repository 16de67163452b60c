//! What must not matter, and what must go one way only, over random cars.
//!
//! Each property runs a job twice: as it is, and changed in something that has no say (names, order in the file, units,
//! threads and the like), or changed in a way whose effect has a sign that no circuit can turn round.

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

use crate::common;
use proptest::prelude::ProptestConfig;

/// The same cases every time; none that failed is kept.
fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { failure_persistence: None, ..common::cases(cases) }
}
